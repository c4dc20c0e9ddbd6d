package intake

import (
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
)

// TestInset: what a row says of its inset, and that a fingerprint hears of it.
func TestInset(t *testing.T) {
	s := intaketest.Home()
	stock, _ := s.Stock(s.Default)
	in := measure.Inch
	for text, want := range map[string]measure.Sides{
		"": stock.Inset, "yes": stock.Inset, "1/4": measure.Same(in / 4), "1": measure.Same(in), "6 mm": measure.Same(6 * measure.Millimetre), "none": {},
		"left 1/2 right 1/2": {Left: in / 2, Right: in / 2}, "all sides 3/8 in": measure.Same(in * 3 / 8), "1/4 edges": measure.Same(in / 4), "1/4 in at the edges": measure.Same(in / 4), "all 4 edges 1/4": measure.Same(in / 4),
	} {
		b, problems := ReadOne([]Field{{Heading: "Name", Text: "Ada"}, {Heading: "Journaling", Text: "Snow."}, {Heading: "Space", Text: "4 x 4"}, {Heading: "Inset", Text: text}}, s)
		if problems.Errors() > 0 || b.Inset != want {
			t.Errorf("inset %q: %+v, %v", text, b.Inset, problems)
		}
		if says := len(AddedWishes(&b, s)) > 0; says != (want != stock.Inset) {
			t.Errorf("inset %q: a fingerprint hears of it: %v", text, says)
		}
	}
	for _, text := range []string{"-1/4", "wide", "1/4 on two edges", "1 edge 1/4", "2 edges 1/4", "1/4 2 edges", "1 edge", "3"} { // the last leaves no room for a text
		_, problems := ReadOne([]Field{{Heading: "Name", Text: "Ada"}, {Heading: "Journaling", Text: "Snow."}, {Heading: "Space", Text: "4 x 4"}, {Heading: "Inset", Text: text}}, s)
		if problems.Errors() != 1 {
			t.Errorf("inset %q: %v", text, problems)
		}
	}
}

// TestIndents: what a line is set in by more than others stays; what stands before all lines, before the only one, or is one space, goes.
func TestIndents(t *testing.T) {
	s := intaketest.Home()
	for text, want := range map[string]string{
		"  Snow.": "Snow.", "  a\n    b\n  c": "a|  b|c", "a\n b": "a|b", "a\n\tb\tc": "a|    b c", "a\nb\tc": "a|b c", " \n  a\n\n   b": "a||b", "a  \n    b  ": "a|    b",
	} {
		b, problems := ReadOne([]Field{{Heading: "Name", Text: "Ada"}, {Heading: "Journaling", Text: text}, {Heading: "Space", Text: "4 x 4"}}, s)
		got := ""
		for i, p := range b.Text {
			if i > 0 {
				got += "|"
			}
			for _, r := range p {
				got += r.Text
			}
		}
		if problems.Errors() > 0 || got != want {
			t.Errorf("%q: %q, %v", text, got, problems)
		}
	}
}
