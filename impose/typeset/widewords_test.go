package typeset

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// TestSyllables: long words of several languages, parted so that they are not read wrong.
func TestSyllables(t *testing.T) {
	for _, want := range []string{
		"do-nau-dampf-schiff-fahrts-ge-sell-schafts-ka-pi-täns-mütze", "was-ser-bahn", "bru-der", "fe-bruar", "zu-cker",
		"na-tür-lich", "me-ra-vi-glioso", "ko-šice", "strength", "aa", "ee-rier", "прав-ди-вый", "γε-νέθ-λια", "",
	} {
		word := strings.ReplaceAll(want, "-", "")
		if got := parted(word, syllables([]rune(word))); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// TestWideWords: what is wider than the space is broken by the rules of its language, names too, and by syllables where none are known;
// of what no rule parts a note says so, and a space as wide as it says holds the word.
func TestWideWords(t *testing.T) {
	for _, c := range []struct {
		text string
		w, h measure.Length
		note bool
	}{
		{"Die Donaudampfschifffahrtsgesellschaftskapitänsmütze lag im Straßenbahnhaltestellenwartehäuschen. „Großartig“, rief Jürgen, ‚wirklich‘.", 2 * measure.Inch, 5 * measure.Inch / 2, false},
		{"Supercalifragilisticexpialidocious even though the sound of it is something quite atrocious", 3 * measure.Inch / 2, 2 * measure.Inch, true},
		{"Llanfairpwllgwyngyllgogerychwyrndrobwllllantysiliogogogoch", 2 * measure.Inch, measure.Inch, true},
		{"Donaudampfschifffahrtsgesellschaft", 3 * measure.Inch / 2, measure.Inch, true},
	} {
		b := aBlock(c.w, c.h, c.text)
		set, notes := one(b)
		if set == nil {
			t.Errorf("%q is held: %v", c.text, notes)
			continue
		}
		hyphened := 0
		for i := range set.Lines {
			if strings.HasSuffix(lineText(&set.Lines[i]), putIn) {
				hyphened++
			}
		}
		if told := len(notes) > 0 && strings.Contains(notes[0].What, "is wider than the space, and is broken"); hyphened == 0 || told != c.note {
			t.Errorf("%q: %d hyphens, %q, %v", c.text, hyphened, set.broken, notes)
		}
		if set.broken == "" {
			continue
		}
		wider := b
		wider.Space.W = set.unbroken + b.Inset.Left + b.Inset.Right
		if whole, _ := one(wider); whole == nil || whole.broken != "" {
			t.Errorf("%q is broken in a space of %s too", c.text, wider.Space.W.Format(measure.In))
		}
	}
	if set, notes := one(aBlock(3*measure.Inch/2, measure.Inch, strings.Repeat("1961", 20))); set != nil {
		t.Errorf("figures are broken: %v", notes)
	}
}
