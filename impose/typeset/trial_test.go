package typeset

import (
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// TestTry: a block set by itself is as Set sets it, takes the words that it is said to take and not half as many again, and is as much too
// long as it is said to be.
func TestTry(t *testing.T) {
	s := settings()
	shortened, lengthened := 0, 0
	for _, b := range randomBlocks(200/slower, 11) {
		got := Try(shared, &b, s)
		set, _, _ := Set(t.Context(), shared, []intake.Block{b}, s, nil)
		if (got.Setting != nil) != (len(set) == 1) || got.Setting != nil && (got.Setting.Size != set[0].Size || len(got.Setting.Lines) != len(set[0].Lines)) {
			t.Fatalf("%v: a trial is not as the job sets it", b.Place)
		}
		ts := newTextSetter(shared, s.Language)
		body, found := ts.prepare(&b)
		if found.Errors() > 0 {
			continue
		}
		low := body.sizes(&b)[:1]
		fits := func(paragraphs []typed) bool {
			other, _ := ts.assemble(&b, paragraphs, body.faces)
			_, _, ok := ts.fit(other, &b, s, low)
			return ok
		}
		switch {
		case got.Setting != nil && got.More > 0:
			lengthened++
			if !fits(longer(body.typed, got.More)) || got.More < mostMore && fits(longer(body.typed, got.More*3/2+4)) {
				t.Errorf("%v: it does not hold %d words more, or far more", b.Place, got.More)
			}
		case got.Over > 0:
			shortened++
			words := 0
			for _, p := range body.typed {
				if p.role == text {
					words += tokens(p.text)
				}
			}
			if !fits(first(body.typed, words-got.Over)) || fits(first(body.typed, words-got.Over+1)) {
				t.Errorf("%v: it is not %d words too long", b.Place, got.Over)
			}
			higher := b
			higher.Space.H += got.High - b.Space.H
			if Try(shared, &higher, s).Setting == nil {
				t.Errorf("%v: a space of the height named does not hold it", b.Place)
			}
		}
		ts.close()
	}
	if shortened == 0 || lengthened == 0 {
		t.Errorf("%d blocks were too long, %d had room: there is nothing to see", shortened, lengthened)
	}
}

// TestTryBreaksWords: the words that a space is said to hold more of may be broken as those that are there.
func TestTryBreaksWords(t *testing.T) {
	words := strings.Fields("We remembered the extraordinary celebration of our grandparents and their unforgettable neighbours from the mountains")
	b := aBlock(measure.Inch*7/8, 3*measure.Inch, strings.Join(words, " "))
	b.Type.Hyphenate = config.HyphenateAlways
	more := Try(shared, &b, settings()).More
	holds := 0
	for n := 1; n < 200; n++ {
		longer := b
		text := slices.Clone(words)
		for i := range n {
			text = append(text, words[i%len(words)])
		}
		longer.Text = []intake.Paragraph{{{Text: strings.Join(text, " ")}}}
		if Try(shared, &longer, settings()).Setting == nil {
			break
		}
		holds = n
	}
	if holds < 10 || more > holds || more < holds*9/10-1 {
		t.Errorf("it holds %d words more, and is said to hold %d", holds, more)
	}
}

// TestOutline: a glyph's outline stays within the ink that the font tells of (table glyf, or the charstring), and reaches its edges.
func TestOutline(t *testing.T) {
	for _, name := range []string{"Serif", "Sans", "Roman", "Book", "Typewriter"} {
		f, err := shared.Face(name, false, false)
		if err != nil {
			t.Fatal(err)
		}
		s := f.takeShaper()
		for _, r := range "aQgß." {
			g, _ := f.font.NominalGlyph(r)
			left, right := int32(1<<30), int32(-1<<30)
			for _, seg := range f.Outline(uint16(g)) {
				for _, p := range seg.Points {
					left, right = min(left, p.X), max(right, p.X)
				}
			}
			ink := s.overhang(uint16(g))
			const unit = em / OutlineEm
			if d := ink.left/unit - int64(left); d > 2 || d < -2 {
				t.Errorf("%s %c begins at %d, its ink at %d", name, r, left, ink.left/unit)
			}
			if d := ink.right/unit - int64(right); d > 2 || d < -2 {
				t.Errorf("%s %c ends at %d, its ink at %d", name, r, right, ink.right/unit)
			}
		}
		f.give(s)
	}
}
