package config

import (
	"strings"
	"testing"
)

// TestTwoCurrencies: an amount in another currency than the others is told: all are added up as they stand.
func TestTwoCurrencies(t *testing.T) {
	for text, told := range map[string]bool{
		"currency: €\ncosts: {ink: 3.50}\n":                                                   false,
		"currency: €\ncosts: {ink: €3.50, postage: 4 €}\n":                                    false,
		"currency: €\ncosts: {ink: $3.50}\n":                                                  true,
		"costs: {ink: $3.50, postage: €4 by person}\n":                                        true,
		"stocks: [{name: kraft, sheets: [{size: letter, price: $0.60}]}]\ncosts: {ink: €2}\n": true,
	} {
		_, problems := Load(Source{File: write(t, t.TempDir(), text), Home: t.TempDir()})
		got := false
		for _, p := range problems {
			got = got || strings.Contains(p.What, "and others are in")
		}
		if got != told {
			t.Errorf("%s: told %t: %v", text, got, problems)
		}
	}
}
