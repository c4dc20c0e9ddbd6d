package table

import (
	_ "embed"
	"strconv"
	"strings"
	"testing"
)

// Numbers in formats, as LibreOffice 7.4 (en-US) shows them in the CSV that it writes "as shown", runs of spaces as one.
//
//go:embed testdata/shown.tsv
var shown string

// A number is shown as a spreadsheet shows it, or it is said that this cannot be told.
func TestNumbersAsShown(t *testing.T) {
	lines := strings.Split(strings.TrimSpace(shown), "\n")
	unseen := 0
	for _, line := range lines {
		f := strings.Split(line, "\t")
		v, err := strconv.ParseFloat(f[0], 64)
		if err != nil || len(f) != 3 {
			t.Fatal(line)
		}
		s, number, known := cellFormat{sections: parseFormat(f[1])}.of(v)
		got, sure := s.show(number)
		if !known || !sure {
			unseen++
		} else if got = strings.Join(strings.Fields(got), " "); got != f[2] {
			t.Errorf("%s as %s: %q, want %q", f[0], f[1], got, f[2])
		}
	}
	if unseen > len(lines)/5 {
		t.Errorf("of %d numbers %d cannot be told", len(lines), unseen)
	}
}

// Any format is read, and any number is shown by it, in text without a control character, or not at all.
func FuzzNumberFormat(f *testing.F) {
	for _, line := range strings.Split(strings.TrimSpace(shown), "\n") {
		of := strings.Split(line, "\t")
		v, _ := strconv.ParseFloat(of[0], 64)
		f.Add(of[1], v)
	}
	f.Fuzz(func(t *testing.T, code string, v float64) {
		for _, v := range []float64{v, -v, 0, v * 1e-300} {
			s, number, known := cellFormat{sections: parseFormat(code)}.of(v)
			if text, sure := s.show(number); known && sure && strings.TrimSpace(text) == "" {
				t.Errorf("%g as %q shows nothing, and is told as seen", v, code)
			}
			s.exact(v)
			s.otherUnit()
		}
	})
}

// What shows a text as it was typed, as LibreOffice 7.4 does.
func TestTextsAsTyped(t *testing.T) {
	for _, code := range []string{"", "General", "@", "0.00", `0" cm"`, ";;;@", "[Red]@", `_(* #,##0.00_);_(* "-"??_);_(@_)`, `[$-409]d\-mmm;@`, `@\ `, "@*.", "0;0;0;General", `"x"`} {
		if restatesText(code) {
			t.Errorf("%s restates", code)
		}
	}
	for _, code := range []string{`"Dear "@`, `@" cm"`, ";;;", "0;0;0;", `0;0;0;"gone"`, "@@", `\-@`, "@!", `0;@" in"`} {
		if !restatesText(code) {
			t.Errorf("%s does not", code)
		}
	}
}
