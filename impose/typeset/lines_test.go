package typeset

import (
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// inLines is a block of a text with line breaks, as a row without wishes is set.
func inLines(w, h measure.Length, text string) intake.Block {
	b := aBlock(w, h, "")
	b.Text = nil
	for line := range strings.SplitSeq(text, "\n") {
		if line == "" {
			b.Text = append(b.Text, nil)
			continue
		}
		b.Text = append(b.Text, intake.Paragraph{{Text: line}})
	}
	b.Type.Scale, b.Type.Largest, b.Type.Caption, b.Type.AsTyped = scale, 12*pt, 18*pt, true
	return b
}

// shownLines is what the lines of a block say, each after the points by which it is set in.
func shownLines(s *Setting) (lines []string, in []measure.Length) {
	for i := range s.Lines {
		if l := &s.Lines[i]; len(l.Spans) > 0 {
			lines = append(lines, lineText(l))
			in = append(in, (l.Spans[0].Glyphs[0].X-s.Block.Ink().X)/pt)
		}
	}
	return lines, in
}

// TestTypedLines: verse, lists and addresses keep their lines where one size is all that costs; what turns over hangs.
func TestTypedLines(t *testing.T) {
	const tide = "The tide came in,\nthe tide went out,\nand nobody could say about"
	for _, c := range []struct {
		name, text string
		w, h       measure.Length // eighths of an inch
		align      config.Align
		size       measure.Length // points
		lines      string
		in         []measure.Length // points, where that is to be looked at
	}{
		{"three lines and not a turnover", tide, 24, 12, config.Centre, 16, "The tide came in,|the tide went out,|and nobody could say about", nil},
		{"too narrow to hold: it hangs by an em", tide, 18, 16, config.Left, 18, "The tide came in,|the tide went out,|and nobody could|say about", []measure.Length{0, 0, 0, 18}},
		{"centred lines do not hang", tide, 16, 16, config.Centre, 18, "The tide came in,|the tide went out,|and nobody|could say about", nil},
		{"an indent", "Out\n    and in\nagain", 24, 16, config.Left, 18, "Out|and in|again", []measure.Length{0, 18, 0}},
		{"no paragraphs: those do not hang", texts[0] + "\n" + texts[1], 24, 32, config.Left, 12, "", nil},
		{"bullets hang", "• two pairs of boots and a hole\n• Nan", 18, 24, config.Left, 18, "• two pairs of boots|and a hole|• Nan", []measure.Length{0, 10, 0}},
		{"numbers hang, units under units", "1. Wake up and find the other boot\n10. Sleep", 20, 24, config.Left, 18, "1. Wake up and find|the other boot|10. Sleep", []measure.Length{9, 27, 0}},
		{"verse is not justified", "The tide came in,\nand the tide went out again before anybody could say\nwhat it had come for.", 20, 16, config.Justified, 18,
			"The tide came in,|and the tide went|out again before|anybody could say|what it had come for.", []measure.Length{0, 0, 18, 18, 0}},
	} {
		b := inLines(c.w*measure.Inch/8, c.h*measure.Inch/8, c.text)
		b.Type.Align = c.align
		set, list := one(b)
		if set == nil {
			t.Errorf("%s: %v", c.name, list)
			continue
		}
		check(t, set)
		lines, in := shownLines(set)
		if set.Size != c.size*pt || c.lines != "" && strings.Join(lines, "|") != c.lines {
			t.Errorf("%s: %v pt\n%s", c.name, set.Size.Points(), strings.Join(lines, "\n"))
		}
		if c.in != nil && !slices.Equal(in, c.in) {
			t.Errorf("%s: set in by %v, want %v", c.name, in, c.in)
		}
		if c.lines == "" && slices.Max(in) > 0 {
			t.Errorf("%s: set in by %v", c.name, in)
		}
	}
}

// TestClosing: a closing line breaks only between who, where and when, and loses the dot there; what alone is wider than the line may
// break within; it is small print, and never stretched.
func TestClosing(t *testing.T) {
	for _, c := range []struct {
		w     measure.Length // eighths of an inch
		align config.Align
		end   string
		want  string
	}{
		{32, config.Left, "Priya + Daniel · Pensione Sofía, Lago Verro · 8–14 September 2024", "Priya + Daniel · Pensione Sofía, Lago Verro|8–14 September 2024"},
		{27, config.Justified, "Priya + Daniel · Pensione Sofía, Lago Verro · 8–14 September 2024", "Priya + Daniel · Pensione Sofía, Lago Verro|8–14 September 2024"},
		{16, config.Right, "Priya + Daniel · Pensione Sofía, Lago Verro · 8–14 September 2024", "Priya + Daniel|Pensione Sofía, Lago Verro|8–14 September 2024"},
		{16, config.Left, "Nan, Grandpa, Uncle Bartholomew, Aunt Josephine and all of us · Saltmarsh · 4–11 May 2024", "Nan, Grandpa,|Uncle Bartholomew,|Aunt Josephine and|all of us · Saltmarsh|4–11 May 2024"},
		{16, config.Left, "4 May 2024", "4 May 2024"},
	} {
		b := inLines(c.w*measure.Inch/8, 3*measure.Inch, "It rained for six days so we learned backgammon")
		b.End, b.Type.Align = c.end, c.align
		set, list := one(b)
		if set == nil {
			t.Errorf("%v: %v", c.end, list)
			continue
		}
		checkBox(t, set)
		lines, _ := shownLines(set)
		at := slices.IndexFunc(lines, func(l string) bool { return strings.HasPrefix(c.end, strings.TrimRight(l, " ")) })
		if got := strings.Join(lines[at:], "|"); got != c.want {
			t.Errorf("%v eighths: %s\nwant %s", c.w, got, c.want)
		}
		if size := set.Lines[len(set.Lines)-1].Spans[0].Size; size > 12*pt || size >= set.Size {
			t.Errorf("%s: the closing line has %v pt beside a text of %v", c.end, size.Points(), set.Size.Points())
		}
	}
}

// TestLeading: 1.25 up to 12 pt, 1.05 from 48 pt on, and baselines that never come closer as the size grows.
func TestLeading(t *testing.T) {
	b := body{leading: 1250}
	for size, want := range map[measure.Length]int64{7 * pt: 1250, 12 * pt: 1250, 30 * pt: 1150, 48 * pt: 1050, 96 * pt: 1050} {
		if got := b.leadingAt(size); got != want {
			t.Errorf("%v pt: leading %d, want %d", size.Points(), got, want)
		}
	}
	before := measure.Length(0)
	for size := 4 * pt; size < 100*pt; size += config.TypeStep {
		if p := measure.Length(int64(size) * b.leadingAt(size) / 1000); p < before {
			t.Fatalf("at %v pt lines stand closer than below", size.Points())
		} else {
			before = p
		}
	}
}

// TestReadableLines: a long text in a wide space has lines of at most 75 letters, in the middle, where there is room for that.
func TestReadableLines(t *testing.T) {
	long := strings.Repeat(texts[0]+" ", 5)
	for _, c := range []struct {
		h      measure.Length // inches
		narrow bool
	}{{10, true}, {1, false}} {
		b := inLines(8*measure.Inch, c.h*measure.Inch, long)
		if c.h == 1 {
			b.Text = b.Text[:1]
			b.Text[0][0].Text = long[:600]
		}
		set, list := one(b)
		if set == nil {
			t.Fatal(list)
		}
		check(t, set)
		most := 0
		for i := range set.Lines {
			most = max(most, len([]rune(lineText(&set.Lines[i]))))
		}
		left, right := set.Ink.X, b.Space.W-set.Ink.Right()
		if narrow := most <= 84; narrow != c.narrow || narrow && (left < measure.Inch || left > right+measure.Inch/2) { // 75 of mean width
			t.Errorf("%v in high: %d letters a line, %v and %v from the edges", c.h, most, left.Format(measure.In), right.Format(measure.In))
		}
		if said := strings.Contains(fmt.Sprint(list), "hard to follow"); said == c.narrow {
			t.Errorf("%v in high: %v", c.h, list)
		}
	}
}

// TestMatchAuto: blocks of one owner and page get one size where that costs none more than a tenth, all of them or none; who asks for a
// size gets it.
func TestMatchAuto(t *testing.T) {
	heights := func(h ...measure.Length) (sizes []measure.Length) {
		var blocks []intake.Block
		for _, h := range h {
			b := inLines(4*measure.Inch, h*measure.Inch/16, texts[0])
			b.Page = "Lake"
			if h < 0 {
				b = inLines(4*measure.Inch, 3*measure.Inch, texts[0])
				b.Page, b.Type.Wished = "Lake", 16*pt
			}
			blocks = append(blocks, b)
		}
		set, _, _ := Set(t.Context(), shared, blocks, settings(), nil)
		for i := range set {
			check(t, &set[i])
			sizes = append(sizes, set[i].Size/pt)
		}
		return sizes
	}
	for _, c := range []struct{ high, want []measure.Length }{
		{[]measure.Length{32, 20}, []measure.Length{11, 11}}, {[]measure.Length{32, 16}, []measure.Length{12, 10}}, {[]measure.Length{32, 20, 16}, []measure.Length{12, 11, 10}},
		{[]measure.Length{32, 20, -1}, []measure.Length{11, 11, 16}},
	} {
		if got := heights(c.high...); !slices.Equal(got, c.want) {
			t.Errorf("%v sixteenths high: %v, want %v", c.high, got, c.want)
		}
	}
}

// TestFewWords: a few words in a large space stand in its middle, unless somebody asked for another place.
func TestFewWords(t *testing.T) {
	for _, c := range []struct {
		text   string
		w, h   measure.Length // inches
		auto   bool
		centre bool
	}{
		{"Best day ever", 4, 3, true, true}, {"Best day ever", 4, 3, false, false}, {"Best day ever", 2, 3, true, false}, {"Yes!", 1, 1, true, true}, {"Home again.", 4, 1, true, true},
		{"Out\nand in", 4, 3, true, false}, {texts[6] + " " + texts[6], 9, 4, true, false},
	} {
		b := inLines(c.w*measure.Inch, c.h*measure.Inch, c.text)
		b.Type.AutoAlign = c.auto
		set, _ := one(b)
		check(t, set)
		left, right := set.Ink.X, b.Space.W-set.Ink.Right()
		if centre := left-right < pt && right-left < pt; centre != c.centre {
			t.Errorf("%q in %v x %v: %v from the left, %v from the right", c.text, c.w, c.h, left.Format(measure.In), right.Format(measure.In))
		}
	}
}

// TestAnySigns: whatever signs are typed in whatever lines, they are set within the box and stand for what was typed, but for the dots of the closing
// line; or they are held, and nothing breaks.
func TestAnySigns(t *testing.T) {
	rnd := rand.New(rand.NewSource(21))
	signs := []rune("aabbeeoo    \"'-./x0123456789ABC,;:!?\n\n·é“”א—*|•)")
	set, held := 0, 0
	for range 1500 / slower {
		text := []rune{'a'}
		for range rnd.Intn(300) {
			text = append(text, signs[rnd.Intn(len(signs))])
		}
		b := inLines(measure.Length(4+rnd.Intn(60))*measure.Inch/8, measure.Length(4+rnd.Intn(60))*measure.Inch/8, string(text))
		b.Type.AsTyped, b.Type.AutoAlign, b.Type.Align = rnd.Intn(2) == 0, true, config.Align(rnd.Intn(4))
		if rnd.Intn(2) == 0 {
			b.Type.Scale = nil
		}
		b.End = "Ada · Fern Hollow · 4 May"
		got, list := one(b)
		if got == nil {
			held++
			if list.Errors() == 0 {
				t.Errorf("%q is held, and nothing says why", text)
			}
			continue
		}
		set++
		checkBox(t, got)
		undotted := func(s string) string { return squash(strings.ReplaceAll(s, "·", "")) }
		if said, wrote := undotted(said(got)), undotted(wrote(&b)); said != wrote {
			t.Errorf("says\n%q, typed\n%q", said, wrote)
		}
	}
	if set < 300/slower || held < 50/slower {
		t.Errorf("%d set, %d held: too few to learn from", set, held)
	}
}

// TestNoWordAlone: a caption's last line is not one word that fills less than a third of it, where another break of the same size does
// without.
func TestNoWordAlone(t *testing.T) {
	for _, align := range []config.Align{config.Left, config.Right, config.Centre} {
		b := aBlock(3*measure.Inch, measure.Inch, "It rained for six days so we learned backgammon")
		b.Type.Align, b.Type.Wished = align, 12*pt
		set, _ := one(b)
		if last := lineText(&set.Lines[len(set.Lines)-1]); len(set.Lines) != 2 || !strings.Contains(last, " ") {
			t.Errorf("%s: %q stands alone in %d lines", align, last, len(set.Lines))
		}
	}
}
