package intake

import (
	"strings"
	"testing"

	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestKeptText: what is written is read again, and what is none is told and harms nothing.
func TestKeptText(t *testing.T) {
	for _, text := range []string{
		`sheet 1 7772400x10058400 * by "home" of "vellum"`,
		`leftover 12 7772400x10058400 * a2743200< d1828800> turned by "my \"best\" by far; one" of "vellum"`,
		`sheet 2 10972800x10972800 d3657600 . d7315200 * . a2743200< by "home" of "vellum"; sheet 3 7772400x10058400 * a5> by "a" of "of; \"by\""`,
	} {
		if k, ok := ParseKept(text); !ok || KeptText(k) != text {
			t.Errorf("%s is read as %s", text, KeptText(k))
		}
	}
	for _, text := range []string{"yes", "sheet", `sheet 1 7772400x10058400 by "home" of "vellum"`, `sheet 1 0x10058400 * by "home" of "vellum"`, `sheet 0 7x7 * by "h" of "vellum"`, `sheet 1 7x7 . by "h" of "vellum"`, `sheet 1 7x7 d3 * * by "h" of "vellum"`,
		`sheet 1 7x7 d3 * by "h" of "vellum"`, `sheet 1 7x7 * d3 by "h" of "vellum"`, `sheet 1 7x7 * x3< by "h" of "vellum"`, `sheet 1 7x7 * d3< by h`, `sheet 1 7x7 * by "h"`, `sheet 1 7x7 * by "h" of vellum`, `sheet 1 7x7 * d99999999999999999999< by "h" of "vellum"`, `sheet 1 7x7 * by "h" of "vellum" sheet 1 7x7 * by "h" of "vellum"`,
		"sheet 1 7x7 " + strings.Repeat("d3 ", 300) + `by "h" of "vellum"`} {
		if k, ok := ParseKept(text); ok {
			t.Errorf("%s is read as %s", text, KeptText(k))
		}
	}
}

// FuzzKept: whatever stands in the cell, what is taken from it is written as it is read.
func FuzzKept(f *testing.F) {
	f.Add(`sheet 2 10972800x10972800 d3657600 . d7315200 * . a2743200< turned by "home" of "vellum"`)
	f.Fuzz(func(t *testing.T, text string) {
		if k, ok := ParseKept(text); ok {
			again, ok := ParseKept(KeptText(k))
			if !ok || KeptText(again) != KeptText(k) {
				t.Errorf("%q becomes %q", KeptText(k), KeptText(again))
			}
		}
	})
}

// TestHold: in a desk's workbook a row is held back by its column Hold, and kept by Kept; in any other table those are columns that nobody knows.
func TestHold(t *testing.T) {
	head := []string{"Hold", "Kept"}
	for _, c := range []struct {
		desk       bool
		hold, kept string
		want       bool
		places     int
		found      string
	}{
		{true, "", "", false, 0, ""},
		{true, "yes", `sheet 1 7772400x10058400 * by "home" of "vellum"`, true, 1, ""},
		{true, "no", "somewhere", false, 0, "where the block was kept cannot be read any more"},
		{true, "maybe", "", false, 0, "“maybe” is neither yes nor no"},
		{false, "yes", "x", false, 0, ""},
	} {
		files := desk(c.desk, []string{"Mia Kowal", "We rowed out.", "4", "2", "abcdefghia", "MK-1"})
		for i, r := range files[0].Sheets[0].Rows {
			for k := range head {
				text := head[k]
				if i > 0 {
					text = []string{c.hold, c.kept}[k]
				}
				if text != "" {
					files[0].Sheets[0].Rows[i].Cells = append(r.Cells[:len(r.Cells):len(r.Cells)], table.Typed(6+k, text, nil))
					r = files[0].Sheets[0].Rows[i]
				}
			}
		}
		j, found := ReadTables(files, intaketest.Home())
		said := ""
		for _, p := range found {
			said += p.What
		}
		if c.found == "" && c.desk && said != "" && strings.Contains(said, "Hold") || !strings.Contains(said, c.found) {
			t.Errorf("%+v: %s", c, said)
		}
		if c.hold == "maybe" {
			if len(j.Blocks) > 0 {
				t.Errorf("%+v: it is printed", c)
			}
		} else if len(j.Blocks) != 1 || j.Blocks[0].Hold != c.want || len(j.Blocks[0].Kept) != c.places {
			t.Errorf("%+v: %+v", c, j.Blocks)
		}
	}
}
