package typeset

import (
	"context"
	"fmt"
	"math/rand"
	"os"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

func TestMain(m *testing.M) {
	panicOnBug = true
	os.Exit(m.Run())
}

// shared is a library of the built-in faces, so that each is read once.
var shared = NewLibrary(nil)

const pt = measure.Point

// The texts are invented. They hold what journaling holds: dates, initials, dashes, quotes, accents, figures.
var texts = []string{
	`We left before dawn, the four of us packed into Uncle Harold's old station wagon with a flask of cocoa and far too many blankets. By the time the lighthouse came into view the fog had lifted, and there was the whole bay, flat as a mirror.`,
	`First steps! From the blue armchair to the bookcase, all on her own — eleven of them. Dr. K. said it would be any day now. 4 July 2019, 10 km from home and nobody had a camera.`,
	`Grandmother's strawberry-rhubarb pie takes three hours, two phone calls and one argument about the crust. We wouldn't have it any other way; the afternoon was extraordinarily beautiful.`,
	`“Are we nearly there?” asked Zoë for the fifteenth time. Señor Núñez, who drove the bus, laughed until he cried & gave her half of his sandwich.`,
	`Unquestionably the most disorganised birthday celebration in the neighbourhood: balloons everywhere, congratulations shouted over the fence, and an unidentified dog eating the marzipan decorations.`,
	`Snow.`,
	`A quiet Sunday at the lake.`,
}

func aBlock(w, h measure.Length, text string) intake.Block {
	return intake.Block{Code: "A-1", Owner: "Ada", Text: []intake.Paragraph{{{Text: text}}}, Space: measure.Size{W: w, H: h},
		Inset: measure.Same(measure.Inch / 8), Font: "Serif", Back: config.Colour{R: 255, G: 255, B: 255},
		Type: config.Type{Smallest: 7 * pt, Largest: 24 * pt, Leading: 1.25}}
}

func settings() *config.Settings { return &config.Settings{Language: config.AutoLanguage} }

// randomBlock is a block of one of the texts or of several, in any of the ways that a row can ask for.
func randomBlock(rnd *rand.Rand) intake.Block {
	b := aBlock(measure.Inch*measure.Length(12+rnd.Intn(36))/8, measure.Inch*measure.Length(8+rnd.Intn(30))/8, "")
	b.Text = nil
	for n := 1 + rnd.Intn(3); n > 0; n-- {
		words := strings.Fields(texts[rnd.Intn(len(texts))])
		if rnd.Intn(3) == 0 {
			words = words[:1+rnd.Intn(len(words))]
		}
		var p intake.Paragraph
		for i, w := range words {
			run := intake.Run{Text: w, Bold: rnd.Intn(15) == 0, Italic: rnd.Intn(10) == 0}
			if i > 0 {
				run.Text = " " + w
			}
			p = append(p, run)
		}
		b.Text = append(b.Text, p)
		if n > 1 && rnd.Intn(3) == 0 {
			b.Text = append(b.Text, nil)
		}
	}
	if rnd.Intn(4) == 0 {
		b.Title = "Summer at the lake"
	}
	if rnd.Intn(4) == 0 {
		b.End = "Ada and Zoë, Fern Hollow, 3 August 2021"
	}
	b.Font = []string{"Serif", "Sans", "Roman", "Book", "Typewriter"}[rnd.Intn(5)]
	b.Type.Align = config.Align(rnd.Intn(4))
	b.Type.Vertical = config.Vertical(rnd.Intn(3))
	b.Type.Hyphenate = config.Hyphenate(rnd.Intn(3))
	b.Type.Leading = []float64{1, 1.2, 1.25, 1.5}[rnd.Intn(4)]
	b.Tuck = measure.Sides{Top: measure.Inch / 2 * measure.Length(rnd.Intn(2)), Left: measure.Inch / 4 * measure.Length(rnd.Intn(2))}
	return b
}

func randomBlocks(n int, seed int64) []intake.Block {
	rnd := rand.New(rand.NewSource(seed))
	out := make([]intake.Block, n)
	for i := range out {
		out[i] = randomBlock(rnd)
		out[i].Code = fmt.Sprintf("A-%d", i+1)
	}
	return out
}

// putIn is what a hyphen that was put in says.
const putIn = "\u00ad"

// lineText is what a line says.
func lineText(l *Line) string {
	var b strings.Builder
	for _, s := range l.Spans {
		for _, g := range s.Glyphs {
			b.WriteString(g.Text)
		}
	}
	return b.String()
}

// said is all that a setting says, line ends made good.
func said(s *Setting) string {
	var b strings.Builder
	for i := range s.Lines {
		t := lineText(&s.Lines[i])
		b.WriteString(strings.TrimSuffix(t, putIn))
		if !strings.HasSuffix(t, putIn) {
			b.WriteString(" ")
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// wrote is all that was typed.
func wrote(b *intake.Block) string {
	all := b.Title + " "
	for _, p := range b.Text {
		for _, r := range p {
			all += r.Text
		}
		all += " "
	}
	return strings.Join(strings.Fields(all+b.End), " ")
}

func squash(s string) string { return strings.ReplaceAll(s, " ", "") }

// check holds a setting against what any setting must be. It measures the ink by the glyphs' outlines, not by the extents that
// the setting was made with.
func check(t *testing.T, s *Setting) {
	t.Helper()
	checkBox(t, s)
	if got, want := squash(said(s)), squash(wrote(s.Block)); got != want {
		t.Errorf("%s: says %q, typed %q", s.Block.Code, got, want)
	}
}

func checkBox(t *testing.T, s *Setting) {
	t.Helper()
	box := s.Block.Ink()
	name := fmt.Sprintf("%s (%s, %s, %.2f pt)", s.Block.Code, s.Face, s.Block.Type.Align, s.Size.Points())
	if !box.Contains(s.Ink) {
		t.Errorf("%s: ink %v reaches out of %v", name, s.Ink, box)
	}
	if s.Size%config.TypeStep != 0 {
		t.Errorf("%s: no whole step", name)
	}
	for i := range s.Lines {
		l := &s.Lines[i]
		if i > 0 && l.Baseline <= s.Lines[i-1].Baseline {
			t.Errorf("%s: line %d is not below the line before", name, i)
		}
		if txt := lineText(l); txt != strings.Trim(txt, " ") {
			t.Errorf("%s: space at an end of %q", name, txt)
		}
		for _, sp := range l.Spans {
			if l.Baseline-sp.Face.Ascent(sp.Size) < box.Y || l.Baseline+sp.Face.Descent(sp.Size) > box.Bottom() {
				t.Errorf("%s: line %d reaches out of the box by the font's ascent or descent", name, i)
			}
			for _, g := range sp.Glyphs {
				x0, y0, x1, y1 := outline(sp.Face, g.ID)
				// Two units: where a glyph starts is rounded, and so is its ink. Up and down one of the font's units more: the
				// outline here holds the control points of curves, which may stand that much outside the ink (U+06A7 of DejaVu Sans).
				high := at(em/2048, sp.Size) + 2
				if g.X+at(x0, sp.Size) < box.X-2 || g.X+at(x1, sp.Size) > box.Right()+2 || g.Y-at(y1, sp.Size) < box.Y-high || g.Y-at(y0, sp.Size) > box.Bottom()+high {
					t.Errorf("%s: ink of %q in line %d reaches out of the box", name, g.Text, i)
				}
			}
		}
	}
}

// TestSetInvariants: whatever is asked for, ink and advances lie in the ink box, every letter is there once and in order, and
// hyphens only where they are allowed.
func TestSetInvariants(t *testing.T) {
	blocks := randomBlocks(600/slower, 1)
	set, held, list := Set(context.Background(), shared, blocks, settings(), nil)
	if len(set)+len(held) != len(blocks) || list.Errors() < len(held) {
		t.Fatalf("%d blocks, %d set, %d held, %d errors", len(blocks), len(set), len(held), list.Errors())
	}
	if len(set) < 400/slower {
		t.Errorf("only %d of %d could be set: too few to learn from", len(set), len(blocks))
	}
	hyphens := 0
	for i := range set {
		check(t, &set[i])
		n := 0
		for j := range set[i].Lines {
			n += strings.Count(lineText(&set[i].Lines[j]), putIn)
		}
		if n > 0 && set[i].Block.Type.Hyphenate == config.HyphenateNever {
			t.Errorf("%s is hyphenated against its will", set[i].Block.Code)
		}
		hyphens += n
	}
	t.Logf("%d set, %d held, %d hyphens", len(set), len(held), hyphens)
}

// TestCores: the result does not depend on the number of cores, and is in the order of the blocks.
func TestCores(t *testing.T) {
	blocks := randomBlocks(80, 2)
	set, held, list := Set(context.Background(), shared, blocks, settings(), nil)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	last := 0
	set1, held1, list1 := Set(context.Background(), NewLibrary(nil), blocks, settings(), func(done int) {
		if done <= last {
			t.Errorf("%d done after %d", done, last)
		}
		last = done
	})
	if last != len(blocks) {
		t.Errorf("told of %d of %d blocks", last, len(blocks))
	}
	same := reflect.DeepEqual(held, held1) && reflect.DeepEqual(list, list1) && len(set) == len(set1)
	for i := range set {
		same = same && reflect.DeepEqual(drawn(&set[i]), drawn(&set1[i]))
	}
	if !same {
		t.Error("one core and several disagree")
	}
}

// drawn is a setting without its pointers.
func drawn(s *Setting) []string {
	out := []string{fmt.Sprint(s.Block.Code, s.Face, s.Size, s.Ink)}
	for _, l := range s.Lines {
		for _, sp := range l.Spans {
			out = append(out, fmt.Sprint(l.Baseline, sp.Face.Name(), sp.Size, sp.Glyphs))
		}
	}
	return out
}

// TestLargest tries every size there is for 500 random blocks, and holds the answer against the rules, each spelt out: the
// largest that fits; with words broken only where that makes it a twentieth larger; no more than an eighth, or one size, less
// where a person's lines hold there and not above; justified where that costs no more than an eighth, else ragged.
func TestLargest(t *testing.T) {
	s := settings()
	ts := newTextSetter(shared, "en")
	defer ts.close()
	kept, ragged := 0, 0
	for i, b := range randomBlocks(500/slower, 3) {
		if i%2 == 0 {
			b.Type.Scale = scale
		}
		switch {
		case i%5 == 0:
			b.Text = verse
		case i%11 == 1:
			b.Text = inOtherLanguages[i/11%len(inOtherLanguages) : i/11%len(inOtherLanguages)+1]
		}
		set, held, _ := Set(context.Background(), shared, []intake.Block{b}, s, nil)
		got := measure.Length(0)
		if len(held) == 0 {
			got = set[0].Size
		}
		body, found := ts.prepare(&b)
		if found.Errors() > 0 {
			t.Fatal(found)
		}
		sizes := body.sizes(&b)
		want, keeps := largest(ts, body, &b, sizes)
		if b.Type.Align == config.Justified && body.prose() {
			body.align = config.Left
			if loose, keepsToo := largest(ts, body, &b, sizes); want*8 <= loose*7 {
				want, keeps = loose, keepsToo
				ragged++
			}
		}
		if keeps {
			kept++
		}
		if got != want {
			t.Errorf("%s (%s, %s): set at %.2f pt, the rules give %.2f pt\n%s", b.Code, b.Font, b.Type.Align, got.Points(), want.Points(), wrote(&b))
		}
	}
	if kept < 5/slower || ragged < 5/slower {
		t.Errorf("lines were kept in %d blocks, %d that were to be justified are ragged: too few to learn from", kept, ragged)
	}
}

// inOtherLanguages are texts that are broken by other rules than those of English.
var inOtherLanguages = []intake.Paragraph{
	{{Text: "Die Großmutter erzählte selbstverständlich Weihnachtsgeschichten, während draußen Schneeflocken niederfielen und der Weihnachtsbaum leuchtete."}},
	{{Text: "Les enfants racontaient inlassablement leurs merveilleuses aventures de vacances pendant que les parents regardaient tranquillement la montagne."}},
	{{Text: "No aniversário da nossa avó choveu sem parar e, mesmo assim, ficámos todos sentados no jardim, debaixo do telhado de guarda-chuvas."}},
}

// verse is a person's own lines.
var verse = []intake.Paragraph{{{Text: "The tide came in,"}}, {{Text: "the tide went out,"}}, {{Text: "and nobody could say about"}}}

// scale is the built-in scale, as far as these tests go.
var scale = func() (out []measure.Length) {
	for _, s := range []measure.Length{7, 8, 9, 10, 11, 12, 14, 16, 18, 21, 24, 28, 32, 36, 42, 48} {
		out = append(out, s*pt)
	}
	return out
}()

// largest is the size that a block gets by the rules with the alignment that body has, or 0; kept tells that it is less than
// the largest that fits, for the sake of lines that somebody typed.
func largest(ts *textSetter, body *body, b *intake.Block, sizes []measure.Length) (size measure.Length, kept bool) {
	rules := body.hyphenator(b, settings())
	if english := body.lang == langEn && b.Type.Hyphenate != config.HyphenateNever; english != (rules != nil && rules.lang == langEn) {
		panic("these are not the rules of the text's language: " + wrote(b))
	}
	always := rules != nil && (b.Type.Hyphenate == config.HyphenateAlways || body.align == config.Justified)
	top := func(hyphens bool) int {
		for n := len(sizes) - 1; n >= 0; n-- {
			if trySize(ts, body, b, sizes[n], hyphens) {
				return n
			}
		}
		return -1
	}
	n, hyphens := top(always), always
	if rules != nil && !always {
		if m := top(true); m >= 0 && (n < 0 || sizes[m]*20 >= sizes[n]*21) {
			n, hyphens = m, true
		}
	}
	if n < 0 {
		return 0, false
	}
	if trySize(ts, body, b, sizes[n], hyphens); body.turned() {
		for m := n - 1; m >= 0 && (m == n-1 || sizes[n]*7 <= sizes[m]*8); m-- {
			if trySize(ts, body, b, sizes[m], hyphens) && !body.turned() {
				return sizes[m], true
			}
		}
	}
	return sizes[n], false
}

// trySize sets a block at a size, with hyphens or without, whatever the bound says.
func trySize(ts *textSetter, body *body, b *intake.Block, size measure.Length, hyphens bool) bool {
	penalty := int64(penaltyAllowed)
	if body.align == config.Justified {
		penalty = penaltyJustified
	} else if b.Type.Hyphenate == config.HyphenateAlways && hyphens {
		penalty = penaltyRagged
	}
	rules := body.hyphenator(b, settings())
	ts.list(body, rules, penalty)
	if !hyphens {
		rules = nil
	}
	ts.useBreaks(body, rules, penalty)
	_, ok := ts.attempt(body, b, size)
	return ok
}

// TestWordsToDrop: what a message says about the words to drop is exact, by doing it.
func TestWordsToDrop(t *testing.T) {
	tried := 0
	for _, b := range randomBlocks(400/slower, 4) {
		b.Type.Smallest = 11 * pt
		b.Space.H = b.Space.H * 2 / 3
		set, held, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
		if len(set) == 1 {
			continue
		}
		var drop int
		if n, _ := fmt.Sscanf(list[len(list)-1].What, "the text is %d word", &drop); n != 1 {
			if !strings.Contains(held[0].Why, "wider than") && !strings.Contains(held[0].Why, "too low") {
				t.Errorf("%s: %s", b.Code, held[0].Why)
			}
			continue
		}
		tried++
		for _, n := range []int{drop, drop - 1} {
			if n == 0 {
				continue
			}
			shorter := b
			shorter.Text = dropWords(b.Text, n)
			set, _, _ := Set(context.Background(), shared, []intake.Block{shorter}, settings(), nil)
			if fits := len(set) == 1; fits != (n == drop) {
				t.Errorf("%s: %d words too long, but with %d gone it fits: %v", b.Code, drop, n, fits)
			}
		}
	}
	if tried < 50/slower {
		t.Errorf("only %d blocks were too long: too few to learn from", tried)
	}
	t.Logf("%d tried", tried)
}

// A text that reads like no language once words are dropped is not broken by the rules of one any more, and what is told counts with that.
func TestWordsToDropWithTheirLanguage(t *testing.T) {
	b := aBlock(measure.Inch, measure.Inch/2, "waffles waffles plums was never")
	b.Font = "Typewriter"
	_, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
	var drop int
	if n, _ := fmt.Sscanf(list[len(list)-1].What, "the text is %d words too long", &drop); n != 1 {
		t.Fatal(list)
	}
	b.Text = dropWords(b.Text, drop)
	if set, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil); len(set) != 1 {
		t.Errorf("with %d words gone: %v", drop, list)
	}
}

// dropWords drops the last n words.
func dropWords(text []intake.Paragraph, n int) []intake.Paragraph {
	out := slices.Clone(text)
	for i := len(out) - 1; i >= 0 && n > 0; i-- {
		p := slices.Clone(out[i])
		for len(p) > 0 && n > 0 { // each run is one word here, with the space before it
			words := strings.Fields(p[len(p)-1].Text)
			k := min(n, len(words))
			words, n = words[:len(words)-k], n-k
			if len(words) == 0 {
				p = p[:len(p)-1]
				continue
			}
			p[len(p)-1].Text = " " + strings.Join(words, " ")
		}
		out[i] = p
	}
	return out
}

// TestNeededHeight: a space of the height that a message names does, one of a sixteenth less does not.
func TestNeededHeight(t *testing.T) {
	tried := 0
	for _, b := range randomBlocks(300/slower, 5) {
		b.Type.Smallest = 11 * pt
		b.Space.H = b.Space.H / 2
		_, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
		if len(list) == 0 {
			continue
		}
		_, rest, found := strings.Cut(list[len(list)-1].Hint, "make the space at least ")
		high, _, isHigh := strings.Cut(rest, " high")
		if !found || !isHigh {
			continue
		}
		tried++
		l, err := measure.Parse(high, measure.In)
		if err != nil {
			t.Fatal(err)
		}
		for _, less := range []measure.Length{0, measure.Inch / 16} {
			taller := b
			taller.Space.H = l - less
			set, _, _ := Set(context.Background(), shared, []intake.Block{taller}, settings(), nil)
			if fits := len(set) == 1; fits != (less == 0) {
				t.Errorf("%s needs %s, but %s less fits: %v", b.Code, high, less.Format(measure.In), fits)
			}
		}
	}
	if tried < 50/slower {
		t.Errorf("only %d blocks were too long", tried)
	}
}

// TestNeededWidth: in a space of the width, and the height, that a message names where a word is too wide the whole text fits.
func TestNeededWidth(t *testing.T) {
	ways := map[bool]int{} // by whether a height is named
	for i, b := range randomBlocks(300/slower, 6) {
		b.Type.Smallest = 11 * pt
		b.Space = measure.Size{W: measure.Inch * 3 / 4, H: b.Space.H * measure.Length(1+i%8) / 2}
		_, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
		if len(list) == 0 || !strings.Contains(list[len(list)-1].What, "wider than the space, even") {
			continue
		}
		_, rest, _ := strings.Cut(list[len(list)-1].Hint, "make the space at least ")
		rest, _, _ = strings.Cut(rest, " (it is")
		wide, high, both := strings.Cut(rest, " wide and ")
		var err error
		if b.Space.W, err = measure.Parse(strings.TrimSuffix(wide, " wide"), measure.In); err != nil {
			t.Fatal(err)
		}
		for _, less := range []measure.Length{measure.Inch / 16, 0} {
			if both {
				if b.Space.H, err = measure.Parse(strings.TrimSuffix(high, " high"), measure.In); err != nil {
					t.Fatal(err)
				}
				b.Space.H -= less
			} else if less > 0 {
				continue
			}
			set, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
			if fits := len(set) == 1; fits != (less == 0) {
				t.Errorf("%s needs a space %s, but %s less fits: %v: %v", b.Code, rest, less.Format(measure.In), fits, list)
			}
		}
		ways[both]++
	}
	if ways[false] < 4/slower || ways[true] < 4/slower {
		t.Errorf("only %v blocks were too wide", ways)
	}
}

// TestMatch: the blocks of one owner and page, of one owner, or of the whole job, have one size, that of the smallest.
func TestMatch(t *testing.T) {
	for match, want := range map[config.Match][4]int{ // which have one size
		config.MatchPage: {0, 0, 2, 3}, config.MatchOwner: {0, 0, 0, 3}, config.MatchJob: {0, 0, 0, 0}, config.MatchNo: {0, 1, 2, 3},
	} {
		var blocks []intake.Block
		for i, eighths := range []measure.Length{24, 12, 20, 16} {
			b := aBlock(4*measure.Inch, eighths*measure.Inch/8, texts[0])
			b.Type.Match, b.Page = match, "Lake"
			if i == 2 {
				b.Page = "Mountain"
			}
			if i == 3 {
				b.Owner = "Zoë"
			}
			blocks = append(blocks, b)
		}
		set, _, _ := Set(context.Background(), shared, blocks, settings(), nil)
		for i := range set {
			check(t, &set[i])
			for j := range i {
				if same := set[i].Size == set[j].Size; same != (want[i] == want[j]) {
					t.Errorf("match %d: %v pt and %v pt", match, set[j].Size.Points(), set[i].Size.Points())
				}
			}
		}
	}
}

// one sets a single block.
func one(b intake.Block) (*Setting, problem.List) {
	set, _, list := Set(context.Background(), shared, []intake.Block{b}, settings(), nil)
	if len(set) == 0 {
		return nil, list
	}
	return &set[0], list
}

func rgb(hex int) config.Colour {
	return config.Colour{R: uint8(hex >> 16), G: uint8(hex >> 8), B: uint8(hex)}
}
