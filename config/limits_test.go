package config

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// TestLimits tries settings at the very edge of what is allowed, and a step beyond it.
func TestLimits(t *testing.T) {
	printer := "printers:\n  - {name: home, narrowest: 4 in, widest: 8 in, shortest: 5 in, longest: 14 in}\n"
	for _, c := range []struct {
		text string
		want string // the fault, or "" for none
	}{
		{"mark: {length: 2 in}", ""}, // lengths: the most, and the least
		{"mark: {length: 2 1/32 in}", "more than 2 in"},
		{"mark: {length: 1/32 in}", ""},
		{"mark: {length: 1/64 in}", "less than 1/32 in"},
		{"gap: 0", ""},
		{"gap: 2", ""},
		{"effort: 1000000", ""}, // whole numbers
		{"effort: 1000001", "is not between"},
		{"currency: crowns??", ""}, // texts
		{"currency: crowns??!", "has 9 characters"},
		{"type: {leading: 3}", ""}, // factors
		{"type: {leading: 3.01}", "is not between"},
		{"type: {leading: 0.9}", ""},
		{"trimmer: {longest: 10, holds: 9 31/32}", ""},
		{"trimmer: {longest: 10, holds: 10}", "holds no strip narrower than 10 in"},
		{"stocks:\n  - {name: film, carrier: {size: 5 x 5, smallest: 5 x 5}}", ""},
		{"stocks:\n  - {name: film, carrier: {size: 5 x 5, smallest: 5 1/32 x 5}}", "larger than the carrier"},
		{printer + "stocks:\n  - {name: film, sheets: [4 x 5]}", ""}, // as small as the printer takes
		{printer + "stocks:\n  - {name: film, sheets: [4 x 4 31/32]}", "too small for every printer"},
		{printer + "stocks:\n  - {name: film, sheets: [3 31/32 x 5]}", "too small for every printer"},
		{strings.Replace(printer, "}", ", margins: 1 31/32 in}", 1), ""}, // margins leave a hair of the smallest piece
		{strings.Replace(printer, "}", ", margins: 2 in}", 1), "leave nothing"},
	} {
		_, problems := Load(Source{File: write(t, t.TempDir(), c.text), Home: t.TempDir()})
		if got := said(problems); c.want == "" && len(problems) > 0 || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q, want %q", c.text, got, c.want)
		}
	}
}

// TestNextStep: a least type size between two steps goes to the larger one, however little it is over, and a largest to the smaller.
func TestNextStep(t *testing.T) {
	s := load(t, "type: {smallest: 8.0001, largest: 11.9999}") // 1 and 3,174 units off a step
	if s.Type.Smallest != 33*TypeStep || s.Type.Largest != 47*TypeStep {
		t.Errorf("%v to %v points", s.Type.Smallest.Points(), s.Type.Largest.Points())
	}
}

// TestNoGap: a gap of nought is no gap that could be left out.
func TestNoGap(t *testing.T) {
	for _, text := range []string{"gap: auto 0", "gap: 0 mm"} {
		if s := load(t, text); s.Gap != (Gap{}) {
			t.Errorf("%s: %+v", text, s.Gap)
		}
	}
}

func TestAmount(t *testing.T) {
	for _, c := range []struct {
		currency string
		of       int64
		want     string
	}{
		{"$", 120, "$1.20"}, {"EUR", 120, "EUR 1.20"}, {"", 5, "0.05"}, {"$", -150, "-$1.50"}, {"kr", -5, "-kr 0.05"}, {"€", 0, "€0.00"},
	} {
		if got := (&Settings{Currency: c.currency}).Amount(c.of); got != c.want {
			t.Errorf("%d of %q: %q, want %q", c.of, c.currency, got, c.want)
		}
	}
}

// TestEditDistance holds the distance to cases worked out by hand.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0}, {"", "ab", 2}, {"ab", "ba", 1}, {"abc", "acb", 1}, {"abcd", "badc", 2}, {"ca", "abc", 3}, {"linen", "line", 1}, {"line", "wine", 1}, {"é", "e", 1},
	} {
		if got := EditDistance(c.a, c.b); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
		if got := EditDistance(c.b, c.a); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.b, c.a, got, c.want)
		}
	}
	if got := Near("linem", []string{"lined", "linen"}); got != "lined" {
		t.Errorf("of two as near: %q, want the first", got)
	}
}

// TestBadSide: a bad side leaves all sides as they were.
func TestBadSide(t *testing.T) {
	r := &reader{unit: measure.In}
	was := measure.Sides{Left: 1, Top: 2, Right: 3, Bottom: 4}
	to := was
	r.sides(value{text: "1/2 in top, wide left"}, &to, []string{"top"}, measure.Inch, false)
	if to != was || r.problems.Errors() != 1 || r.problems[0].Severity != problem.Error {
		t.Errorf("%+v, %v", to, r.problems)
	}
}
