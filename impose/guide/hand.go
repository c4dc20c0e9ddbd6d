package guide

import (
	"tuckmark/config/measure"
	"tuckmark/impose"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// hand sets short texts in the library's plain face.
type hand struct {
	lib      *typeset.Library
	font     func(*typeset.Face) *press.Font
	faces    [2]*typeset.Face // regular, bold
	advances map[written]measure.Length
}

type written struct {
	bold bool
	size measure.Length
	text string
}

func newHand(in Input) *hand {
	h := &hand{lib: in.Fonts, font: in.Font, advances: map[written]measure.Length{}}
	if h.font == nil {
		h.font = new(impose.Drawer).Font
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

// advance is how wide a text is.
func (h *hand) advance(s style, text string) measure.Length {
	key := written{s.bold, s.size, text}
	w, ok := h.advances[key]
	if !ok {
		_, w = h.set(s, text)
		h.advances[key] = w
	}
	return w
}

// set makes a text ready to be placed: its origin is the beginning of its baseline.
func (h *hand) set(s style, text string) ([]press.Text, measure.Length) {
	f := h.faces[0]
	if s.bold {
		f = h.faces[1]
	}
	spans, w := h.lib.Label(f, s.size, text)
	var out []press.Text
	for _, span := range spans {
		t := press.Text{Font: h.font(span.Face), Size: span.Size, Colour: s.colour, Glyphs: make([]press.Glyph, len(span.Glyphs))}
		for i, g := range span.Glyphs {
			t.Glyphs[i] = press.Glyph(g)
		}
		out = append(out, t)
	}
	return out, w
}
