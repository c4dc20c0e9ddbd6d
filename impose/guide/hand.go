package guide

import (
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// hand sets short texts in the library's plain face.
type hand struct {
	lib   *typeset.Library
	font  func(*typeset.Face) *press.Font
	faces [2]*typeset.Face // regular, bold
	known []*vocabulary    // by style
	stop  func() bool      // what is written is no longer wanted; may be nil
	cut   map[shortened]string
}

// vocabulary is what is known of a style, but for its colour: how texts look in it, and how wide a space between words is.
type vocabulary struct {
	bold  bool
	size  measure.Length
	texts map[string]writing
	blank measure.Length
}

// written is a text in a style, but for its colour; writing is how it looks.
type written struct {
	bold bool
	size measure.Length
	text string
}

type writing struct {
	texts []press.Text
	width measure.Length
}

// within is about how many of its characters stand within w.
func (w writing) within(room measure.Length) (n int) {
	for _, t := range w.texts {
		for i := range t.Glyphs {
			if t.Glyphs[i].X > room {
				return max(0, n-1)
			}
			n += utf8.RuneCountInString(t.Glyphs[i].Text)
		}
	}
	return n
}

// shortened is a text cut short to a width.
type shortened struct {
	written
	w measure.Length
}

func newHand(fonts *typeset.Library, font func(*typeset.Face) *press.Font) *hand {
	h := &hand{lib: fonts, font: font, cut: map[shortened]string{}}
	if h.font == nil {
		h.font = new(draw.Drawer).Font
	}
	for i := range h.faces {
		f, err := h.lib.Face("Sans", i == 1, false)
		if err != nil {
			panic("guide: the library has no plain face: " + err.Error())
		}
		h.faces[i] = f
	}
	return h
}

func (h *hand) face(s style) *typeset.Face {
	if s.bold {
		return h.faces[1]
	}
	return h.faces[0]
}

// advance is how wide a text is.
func (h *hand) advance(s style, text string) measure.Length { return h.write(s, text).width }

// blank is how wide a space between words is; alone it would be dropped like any at the end of a line.
func (h *hand) blank(s style) measure.Length { return h.in(s).blank }

// in is what is known of a style. There are a dozen of them, and words by the ten thousand.
func (h *hand) in(s style) *vocabulary {
	for _, v := range h.known {
		if v.bold == s.bold && v.size == s.size {
			return v
		}
	}
	v := &vocabulary{bold: s.bold, size: s.size, texts: map[string]writing{}}
	h.known = append(h.known, v)
	v.blank = h.advance(s, "x x") - h.advance(s, "xx")
	return v
}

// write sets a text: its origin is the beginning of its baseline. What comes back belongs to the hand.
func (h *hand) write(s style, text string) writing {
	v := h.in(s)
	w, known := v.texts[text]
	if !known {
		w = h.set(s, text)
		v.texts[text] = w
	}
	return w
}

// set sets a text anew.
func (h *hand) set(s style, text string) writing {
	spans, width := h.lib.Label(h.face(s), s.size, text)
	w := writing{width: width}
	for _, span := range spans {
		t := press.Text{Font: h.font(span.Face), Size: span.Size, Glyphs: make([]press.Glyph, len(span.Glyphs))}
		for i, g := range span.Glyphs {
			t.Glyphs[i] = press.Glyph(g)
		}
		w.texts = append(w.texts, t)
	}
	return w
}
