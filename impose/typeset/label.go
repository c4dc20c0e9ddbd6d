package typeset

import (
	"fmt"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Label sets a text in one line from the origin 0, 0 and gives its width. Letters that the face lacks come from others; what no
// font has becomes a question mark, and control characters are dropped, for a label must not fail.
func (l *Library) Label(f *Face, size measure.Length, text string) (spans []Span, width measure.Length) {
	t := newTextSetter(l, "")
	defer t.closeSafely(func() { spans, width = nil, 0 })
	p := t.shapeAlone(f, text)
	line := t.make(p, 0, len(p.text), false)
	return t.spansOf(p, &line, linePosition{size: size}, nil), atUp(line.width, size)
}

// Advance is the width of a text that Label sets.
func (l *Library) Advance(f *Face, size measure.Length, text string) (width measure.Length) {
	t := newTextSetter(l, "")
	defer t.closeSafely(func() { width = 0 })
	p := t.shapeAlone(f, text)
	return atUp(t.make(p, 0, len(p.text), false).width, size)
}

// closeSafely closes a setter, unless a font made the shaper panic: then its shapers are not to be used again, and there is nothing
// to show.
func (t *textSetter) closeSafely(nothing func()) {
	if recover() != nil {
		nothing()
		return
	}
	t.close()
}

// Paragraph breaks a text into lines no wider than width, ragged and without hyphens. Each line starts from the origin 0, 0. A
// word that is wider than the width stands alone and reaches beyond it.
func (l *Library) Paragraph(f *Face, size, width measure.Length, text string) (lines [][]Span) {
	t := newTextSetter(l, "")
	defer t.closeSafely(func() { lines = nil })
	p := t.shapeAlone(f, text)
	bs := t.breakpoints(p, penaltyTyped, false)
	room := parts(width, size)
	for i := range bs { // no line is narrower than its widest word
		if i > 0 {
			room = max(room, bs[i].width-bs[i-1].width1+bs[i].before+bs[i-1].after)
		}
	}
	b := body{align: config.Left}
	r := b.rules(room, false)
	r.tail = 0
	t.best.optimise(bs, room, &r, 0)
	from := 0
	for _, i := range t.best.path(t.best.result(0)) {
		line := t.make(p, from, bs[i].end, bs[i].soft)
		lines = append(lines, t.spansOf(p, &line, linePosition{size: size}, nil))
		from = bs[i].next
	}
	return lines
}

// Ink is the smallest rectangle that holds the ink of set lines, wherever they were moved to; it is empty where a font made the
// shaper panic.
func (l *Library) Ink(lines [][]Span) (box measure.Rect) {
	t := newTextSetter(l, "")
	defer t.closeSafely(func() { box = measure.Rect{} })
	for _, spans := range lines {
		for _, s := range spans {
			at := linePosition{size: s.Size}
			for _, g := range s.Glyphs {
				if o := t.shaper(s.Face).overhang(g.ID); o.left != o.right {
					grow(&box, g.X+at.up(o.left), g.Y-atUp(o.top, s.Size), g.X+atUp(o.right, s.Size), g.Y-at.up(o.bottom))
				}
			}
		}
	}
	return box
}

// shapeAlone shapes a text of one style.
func (t *textSetter) shapeAlone(f *Face, text string) *paragraph {
	clean := make([]rune, 0, len(text))
	paragraphs, _ := read(&intake.Block{Text: []intake.Paragraph{{{Text: text}}}})
	if len(paragraphs) > 0 {
		clean = paragraphs[0].text
	}
	fs := &faces{f, f, f, f}
	p, lacks := t.shape(typed{text: clean}, fs)
	if lacks == nil {
		return p
	}
	none := strings.Join(unlent(lacks), "")
	if none == "" {
		return p
	}
	for i, r := range clean {
		if strings.ContainsRune(none, r) {
			clean[i] = '?'
		}
	}
	p, _ = t.shape(typed{text: clean}, fs)
	return p
}

// unreadable tells which letters of the names that guides and lists sort a block by no font has: they show question marks there, so that one name may look like another.
func (t *textSetter) unreadable(b *intake.Block) (found problem.List) {
	f, err := t.library.Face("Sans", false, false)
	if err != nil {
		return nil
	}
	for _, name := range []struct{ column, text string }{{"Name", b.Owner}, {"Page", b.Page}} {
		if !strings.ContainsFunc(name.text, func(r rune) bool { return r >= 0x80 }) {
			continue
		}
		_, lacks := t.shape(typed{text: []rune(name.text)}, &faces{f, f, f, f})
		if none := unlent(lacks); len(none) > 0 {
			found.Note(in(name.column), fmt.Sprintf("the guides and lists show “?” for %s", withCodes(none)), "no font at hand has them",
				"write the name in other letters, or put a font that has these into the fonts folder of the printing computer")
		}
	}
	return found
}
