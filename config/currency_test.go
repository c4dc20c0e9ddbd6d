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
		"currency: $\ncosts: {ink: 3.50 Euro}\n":                                              true,
		"costs: {ink: 3.50 Euro, postage: $4}\n":                                              true,
		"currency: €\ncosts: {ink: EUR 3.50, postage: 4 euros}\n":                             false,
		"currency: kr.\ncosts: {ink: 3.50 kr, postage: Kr. 4, glue: 2 SEK}\n":                 false,
		"currency: Fr.\ncosts: {ink: CHF 3.50, postage: Fr.4.00}\n":                           false,
		"currency: SEK\ncosts: {ink: 3.50 NOK}\n":                                             true,
		"currency: $\ncosts: {ink: 3.50 CAD, postage: 10.00 USD}\n":                           true,
		"currency: kr\ncosts: {ink: 3.50 kr, postage: 10.00 SEK, glue: 2 NOK}\n":              true,
		"costs: {ink: $3.50, postage: 10.00 CAD, glue: 5 CAD}\n":                              false,
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
