package typeset

import (
	"context"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// TestMessages: each thing that can be wrong with a text has a message that says what, why and what to do. The second column is what
// the person reads; read it as one.
func TestMessages(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(b *intake.Block)
		want   string
	}{
		{"accents", func(b *intake.Block) { b.Text[0][0].Text = "\u0301\u0302" },
			"Journaling: error: a line starts with an accent (U+0301) that has no letter to stand on; type the letter before it"},
		{"no letter", func(b *intake.Block) { b.Text[0][0].Text = "the sign 𒀀 of" },
			"Journaling: error: no font at hand has the character “𒀀” (U+12000); write something else; or a font that has it goes into the fonts folder of the printing computer"},
		{"names", func(b *intake.Block) { b.Owner, b.Page = "Zoë 𒀀", "Ωmega" },
			"Name: note: the guides and lists show “?” for “𒀀” (U+12000); no font at hand has them; write the name in other letters, or put a font that has these into the fonts folder of the printing computer"},
		{"lent", func(b *intake.Block) { b.Text[0][0].Text = "a → b, ☂" },
			"Font: note: the font Serif lacks the character “☂” (U+2602); set in DejaVu Sans"},
		{"script lent", func(b *intake.Block) { b.Font, b.Text[0][0].Text = "Roman", "Привет!" },
			"Font: note: the font Roman lacks 6 characters, “П” (U+041F) the first; set in DejaVu Sans"},
		{"font", func(b *intake.Block) { b.Font = "Serof" },
			"Font: error: there is no font “Serof”; did you mean “Serif”? Else write Sans, Serif, Typewriter, Roman or Book, or the name of a font that the printing computer has (in its fonts folder, or as its own)"},
		{"all at once", func(b *intake.Block) { b.Text[0][0].Text, b.Font, b.Type.Ink = "\u0301", "Serof", rgb(0x9D9D9D) },
			"Ink: note: the ink may be hard to read: its contrast with what lies behind it is 2.7 to 1; text reads well from 4.5 to 1; choose a darker ink, or a lighter one on a dark page\n" +
				"Journaling: error: a line starts with an accent (U+0301) that has no letter to stand on; type the letter before it\n" +
				"Font: error: there is no font “Serof”; did you mean “Serif”? Else write Sans, Serif, Typewriter, Roman or Book, or the name of a font that the printing computer has (in its fonts folder, or as its own)"},
		{"faint", func(b *intake.Block) { b.Type.Ink = rgb(0x9D9D9D) },
			"Ink: note: the ink may be hard to read: its contrast with what lies behind it is 2.7 to 1; text reads well from 4.5 to 1; choose a darker ink, or a lighter one on a dark page"},
		{"on a dark page", func(b *intake.Block) { b.Back = rgb(0x203040) },
			"Ink: note: the ink may be hard to read: its contrast with what lies behind it is 1.5 to 1; text reads well from 4.5 to 1; choose a darker ink, or a lighter one on a dark page"},
		{"too long", func(b *intake.Block) {
			b.Text[0][0].Text = strings.Repeat("once more with feeling ", 40)
		}, "Journaling: error: the text is 40 words too long for its space, even at 7 pt; drop 40 words, make the space at least 2 in high (it is 1 1/2 in), or allow type of 6 pt"},
		{"too wide", func(b *intake.Block) {
			b.Text[0][0].Text = "Our " + strings.Repeat("20262026", 10) + " trip"
		}, "Journaling: error: “202620262026202620262026202620262026202…” is wider than the space, even at 7 pt; make the space at least 4 3/16 in wide (it is 3 in), or choose a narrower font, or allow type of 4.75 pt"},
		{"a word too wide", func(b *intake.Block) {
			b.Text[0][0].Text = "Our " + strings.Repeat("Donaudampfschiff", 5) + " trip"
		}, "Journaling: note: “DonaudampfschiffDonaudampfschiffDonauda…” is wider than the space, and is broken; make the space at least 3 15/16 in wide (it is 3 in), or type a hyphen where it may be broken"},
		{"a title too wide", func(b *intake.Block) { b.Title = strings.Repeat("20262026", 10) },
			"Title: error: “202620262026202620262026202620262026202…” is wider than the space, even at 7 pt; make the space at least 4 3/4 in wide (it is 3 in), or choose a narrower font, or allow type of 4.25 pt"},
		{"a place too wide", func(b *intake.Block) {
			b.End, b.EndIn = "Jo · "+strings.Repeat("20262026", 10)+" · 2026", []string{"Who", "Where", "When"}
		}, "Where: error: “202620262026202620262026202620262026202…” is wider than the space, even at 7 pt; make the space at least 4 3/16 in wide (it is 3 in), or choose a narrower font, or allow type of 6.75 pt"},
		{"a title that is broken", func(b *intake.Block) { b.Title = strings.Repeat("Donaudampfschiff", 5) },
			"Title: note: “DonaudampfschiffDonaudampfschiffDonauda…” is wider than the space, and is broken; make the space at least 4 11/16 in wide (it is 3 in), or type a hyphen where it may be broken"},
		{"a date that is broken", func(b *intake.Block) {
			b.End, b.EndIn = "Jo · "+strings.Repeat("Donaudampfschiff", 8), []string{"Who", "When"}
		}, "When: note: “DonaudampfschiffDonaudampfschiffDonauda…” is wider than the space, and is broken; make the space at least 6 1/16 in wide (it is 3 in), or type a hyphen where it may be broken"},
		{"too low", func(b *intake.Block) { b.Space.H = measure.Inch / 3 },
			"Journaling: error: the space is too low for a line of 7 pt; make the space at least 3/8 in high (it is a little under 11/32 in), or allow type of 5.25 pt"},
		{"justified", func(b *intake.Block) {
			b.Type.Align, b.Text[0][0].Text = config.Justified, texts[0][:120]
		}, "Align: note: justified lines of about 29 letters get uneven spaces; lines set to both edges look even from 40 letters on; align the block left, or choose a narrower font"},
	} {
		b := aBlock(3*measure.Inch, measure.Inch*3/2, "A quiet Sunday at the lake.")
		c.change(&b)
		b.Place = problem.Place{File: "a.xlsx", Sheet: "Journaling", Row: 7}
		l := onlyBuiltIn(NewLibrary(nil))
		set, held, list := Set(context.Background(), l, []intake.Block{b}, settings(), nil)
		var got []string
		for _, p := range list {
			if p.Place.Row != 7 || p.Place.File != "a.xlsx" {
				t.Errorf("%s: place %v", c.name, p.Place)
			}
			s := fmt.Sprintf("%s: %s: %s", p.Place.Column, p.Severity, p.What)
			for _, more := range []string{p.Cause, p.Hint} {
				if more != "" {
					s += "; " + more
				}
			}
			got = append(got, s)
		}
		if strings.Join(got, "\n") != c.want {
			t.Errorf("%s:\ngot  %s\nwant %s", c.name, strings.Join(got, "\n     "), c.want)
		}
		if len(held) > list.Errors() || len(set)+len(held) != 1 || len(held) == 1 && (held[0].Code != "A-1" || !strings.HasSuffix(held[0].Why, ".")) {
			t.Errorf("%s: %d set, held %v", c.name, len(set), held)
		}
	}
}

// TestJustifiedByDefault: what only the configuration wants justified is aligned left where lines are short, and a note says so.
func TestJustifiedByDefault(t *testing.T) {
	s := settings()
	s.Type.Align = config.Justified
	for _, c := range []struct {
		w     measure.Length
		notes int
	}{{2 * measure.Inch, 1}, {measure.Inch * 9 / 2, 0}} {
		b := aBlock(c.w, 2*measure.Inch, texts[0]+" "+texts[2])
		b.Type.Align, b.Type.Largest = config.Justified, 11*pt
		set, _, list := Set(context.Background(), shared, []intake.Block{b}, s, nil)
		list = slices.DeleteFunc(list, func(p problem.Problem) bool { return p.Place.Column != "Align" })
		if len(set) != 1 || len(list) != c.notes {
			t.Errorf("%v: %d set, %v", c.w, len(set), list)
			continue
		}
		check(t, &set[0])
		ends := map[measure.Length]bool{} // where lines end, but for the last
		for i := range set[0].Lines[:len(set[0].Lines)-1] {
			sp := set[0].Lines[i].Spans[0]
			g := sp.Glyphs[len(sp.Glyphs)-1]
			_, w := shared.Label(sp.Face, sp.Size, g.Text)
			ends[(g.X+w)/pt] = true
		}
		if (len(ends) > 2) != (c.notes == 1) {
			t.Errorf("%v: lines end at %v", c.w, ends)
		}
	}
}

// TestHugeText: a cell of 100,000 letters is refused in good time.
func TestHugeText(t *testing.T) {
	b := aBlock(4*measure.Inch, 2*measure.Inch, strings.Repeat("All work and no play. ", 100000/22/slower))
	start := time.Now()
	_, held, _ := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
	if len(held) != 1 || !strings.Contains(held[0].Why, "words too long") {
		t.Errorf("%v", held)
	}
	if d := time.Since(start); d > 10*time.Second {
		t.Errorf("took %v", d)
	}
}

// FuzzSet: whatever is typed and let pass by intake, the block is set as it must be or held with a reason.
func FuzzSet(f *testing.F) {
	for i, text := range append(texts, "שלום abc 123 (אב)", "東京に行った。", "a\u0301b\u00adc\u200bd", "\u202eabc", "كتاب", "👩‍👩‍👧", "x\u0301\u0302\u0303", "ﬁ ½ ™ Ǆ", "- – — ― …", "1/2 and/or http://a.b/c") {
		f.Add(text, uint16(300), uint16(200), byte(i))
	}
	f.Fuzz(func(t *testing.T, text string, w, h uint16, how byte) {
		if len(text) > 2000 {
			return
		}
		read, problems := intake.ReadOne([]intake.Field{{Heading: "Name", Text: "Ada"}, {Heading: "Journaling", Text: text}, {Heading: "Space", Text: "4 x 2"}},
			&config.Settings{Stocks: []config.Stock{{Name: "card"}}, Default: "card"})
		if problems.Errors() > 0 {
			return // it never comes here
		}
		b := aBlock(measure.Length(5+w%700)*pt, measure.Length(5+h%500)*pt, "")
		b.Text = read.Text
		b.Inset = measure.Same(2 * pt)
		b.Type.Align = config.Align(how & 3)
		b.Type.Vertical = config.Vertical(how >> 2 & 3 % 3)
		b.Type.Hyphenate = config.Hyphenate(how >> 4 & 3 % 3)
		b.Font = []string{"Serif", "Roman"}[how>>6&1]
		set, held, list := Set(context.Background(), fuzzLibrary, []intake.Block{b}, settings(), nil)
		if len(set)+len(held) != 1 || list.Errors() < len(held) {
			t.Fatalf("%d set, %d held, %v", len(set), len(held), list)
		}
		for i := range set {
			checkBox(t, &set[i])
			if got, want := letters(said(&set[i])), letters(wrote(&b)); got != want {
				t.Errorf("says %q, typed %q", got, want)
			}
		}
	})
}

var fuzzLibrary = onlyBuiltIn(NewLibrary(nil))

// letters is what of a text can be seen: no spaces, nothing that only guides the setting.
func letters(s string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || r == utf8.RuneError || ignorable(r) || strings.ContainsRune("\t\n\v\f\r\u0085\u1680\u2028\u2029\u202f\u205f\u3000", r) || r >= 0x2000 && r <= 0x200A {
			return -1
		}
		return r
	}, s)
}

// golden is how settings are kept: a line of text a line, with its baseline and size in points and the place and width of
// what it says, so that a change shows where it is.
func golden(set []Setting) string {
	var b strings.Builder
	for i := range set {
		s := &set[i]
		fmt.Fprintf(&b, "%s %s %.2f pt, %s %s, ink %s at %s %s\n", s.Block.Code, s.Face, s.Size.Points(), s.Block.Type.Align, [...]string{"top", "middle", "bottom"}[s.Block.Type.Vertical],
			s.Ink.Size().About(measure.Pt), s.Ink.X.About(measure.Pt), s.Ink.Y.About(measure.Pt))
		for j := range s.Lines {
			l := &s.Lines[j]
			if len(l.Spans) == 0 {
				fmt.Fprintf(&b, "%8.2f\n", l.Baseline.Points())
				continue
			}
			first := l.Spans[0].Glyphs[0]
			fmt.Fprintf(&b, "%8.2f %7.2f  ", l.Baseline.Points(), first.X.Points())
			for k, sp := range l.Spans {
				if k > 0 || sp.Size != s.Size {
					fmt.Fprintf(&b, "{%s %.2f}", sp.Face.Name(), sp.Size.Points())
				}
				for _, g := range sp.Glyphs {
					b.WriteString(strings.ReplaceAll(g.Text, putIn, "¬"))
				}
			}
			b.WriteByte('\n')
		}
	}
	return b.String()
}

// TestGolden compares settings with testdata/settings.txt. Set UPDATE=1 to write it anew, and read the difference.
func TestGolden(t *testing.T) {
	var blocks []intake.Block
	for i := range 12 {
		b := aBlock(measure.Inch*7/2, measure.Inch*2, texts[i%5])
		b.Code = fmt.Sprintf("G-%d", i+1)
		b.Type.Align, b.Type.Vertical, b.Type.Hyphenate = config.Align(i%4), config.Vertical(i%3), config.Hyphenate(i/4)
		b.Font = []string{"Serif", "Sans", "Roman", "Book", "Typewriter"}[i%5]
		if i%2 == 1 {
			b.Title, b.End = "Summer at the lake", "Ada and Zoë, Fern Hollow, 3 August 2021"
		}
		if i%3 == 2 {
			b.Text = append(b.Text, nil, intake.Paragraph{{Text: "The light, "}, {Text: "the first light", Italic: true}, {Text: " of the year, and "}, {Text: "nobody", Bold: true}, {Text: " awake but us."}})
		}
		blocks = append(blocks, b)
	}
	set, _, _ := Set(context.Background(), onlyBuiltIn(NewLibrary(nil)), blocks, settings(), nil)
	got := golden(set)
	const path = "testdata/settings.txt"
	if os.Getenv("UPDATE") != "" {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		g, w := strings.Split(got, "\n"), strings.Split(string(want), "\n")
		for i := range min(len(g), len(w)) {
			if g[i] != w[i] {
				t.Fatalf("line %d of %s:\ngot  %s\nwant %s", i+1, path, g[i], w[i])
			}
		}
		t.Fatalf("%d lines, want %d", len(g), len(w))
	}
}
