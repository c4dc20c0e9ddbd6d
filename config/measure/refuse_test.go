package measure

import (
	"fmt"
	"strings"
	"testing"
)

// TestParseSizeRefuses: what a size that is none is told. The whole text is quoted, for its parts may say nothing.
func TestParseSizeRefuses(t *testing.T) {
	hundred := "4" + strings.Repeat(" ", 41) + "in x 2" + strings.Repeat(" ", 50) + "in"
	for text, want := range map[string]string{
		"4":           "“4” is not a width and a height",
		"4 x":         "“4 x” is not a width and a height",
		"4 x 2 x 1":   "“4 x 2 x 1” is not a width and a height",
		"4 x two":     "“4 x two” is not a width and a height",
		"2h x 4":      "", // the other one is the width
		"4 x 2 yd":    "“4 x 2 yd” is not a width and a height",
		"4 x 1/0":     "“1/0” has a 0 under its fraction",
		"4 x 2 2/2":   "“2 2/2” has a fraction of one or more beside its whole number",
		"4 x 1001":    "“1001” is larger than anything that can be printed",
		hundred:       "",
		hundred + ".": "“4 in x 2 in.” is too long for a size",
	} {
		_, err := ParseSize(text, In)
		got := ""
		if err != nil {
			got = err.Error()
		}
		if got != want {
			t.Errorf("ParseSize(%q): %q, want %q", text, got, want)
		}
	}
}

// TestLongest: a measure of 60 characters is read, one of 61 is not.
func TestLongest(t *testing.T) {
	if l, err := Parse("4."+strings.Repeat("0", 58), In); err != nil || l != 4*Inch {
		t.Errorf("60 characters: %d, %v", l, err)
	}
	if l, err := Parse("4."+strings.Repeat("0", 59), In); err == nil {
		t.Errorf("61 characters: %d", l)
	}
}

// TestFractions: a fraction beside a whole number is less than one.
func TestFractions(t *testing.T) {
	for text, want := range map[string]string{
		"4 2/2": "“4 2/2” has a fraction of one or more beside its whole number",
		"4 1/1": "“4 1/1” has a fraction of one or more beside its whole number",
		"0 1/2": "",
	} {
		_, err := Parse(text, In)
		if err == nil && want != "" || err != nil && err.Error() != want {
			t.Errorf("Parse(%q): %v, want %q", text, err, want)
		}
	}
}

// TestQuote: 40 characters are shown whole, of more the first 39, on one line.
func TestQuote(t *testing.T) {
	forty := strings.Repeat("étamine ", 5)[:44] + "."
	for text, want := range map[string]string{
		"":                      "“”",
		" a \n\t b ":            "“a b”",
		forty:                   "“" + forty + "”",
		forty + "x":             "“" + strings.TrimSuffix(forty, ".") + "…”",
		strings.Repeat("é", 90): "“" + strings.Repeat("é", 39) + "…”",
	} {
		if got := Quote(text); got != want {
			t.Errorf("Quote(%q) = %s, want %s", text, got, want)
		}
	}
}

// TestHints: what to type instead. A measure in feet gets the mark of inches named, all others an example.
func TestHints(t *testing.T) {
	feet := "' is the mark of feet"
	for text, want := range map[string]string{
		"4'": feet, "4 ft": feet, "4 feet": feet, "4 foot": feet, "4 Ft.": "type it like",
		"4 yd": "type it like", "": "type it like", "four": "type it like", "4 1/0": "type it like",
		"1,200 mm": "without the comma",
		"1001":     "a bare number is in in", "1001 in": "check the number and its unit",
	} {
		_, err := Parse(text, In)
		// The value with its fields: an error's own words do not carry the hint.
		if fields := fmt.Sprintf("%#v", err); err == nil || !strings.Contains(fields, want) {
			t.Errorf("Parse(%q): %s, want %q in its hint", text, fields, want)
		}
	}
	_, err := Parse("1001 in", In)
	if fields := fmt.Sprintf("%#v", err); strings.Contains(fields, "bare number") {
		t.Errorf("a number with its unit is not bare: %s", fields)
	}
}

// TestEndless: blanks do not count, up to the bytes that are looked at at all.
func TestEndless(t *testing.T) {
	for n, want := range map[int]bool{mostLetters: true, mostLetters + 1: false} {
		pad := strings.Repeat(" ", n-len("4 x 2"))
		if l, err := Parse("4"+pad+"    ", In); (err == nil) != want || want && l != 4*Inch {
			t.Errorf("%d bytes: %v", n, err)
		}
		if s, err := ParseSize("4 x 2"+pad, In); (err == nil) != want || want && s != (Size{4 * Inch, 2 * Inch}) {
			t.Errorf("%d bytes: %v", n, err)
		}
	}
	if got := Quote(strings.Repeat("é", mostLetters)); got != "“"+strings.Repeat("é", 39)+"…”" {
		t.Error(got)
	}
}
