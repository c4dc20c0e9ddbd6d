package typeset

import (
	"bytes"
	"encoding/binary"
	"math"
	"testing"
)

// kernless is a built-in face without its kerns: the tables that hold them go by another name.
func kernless(t *testing.T, name string) (own, without *Face) {
	t.Helper()
	own, err := shared.Face(name, false, false)
	if err != nil {
		t.Fatal(err)
	}
	data := bytes.Clone(own.Data())
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		if tag := data[12+16*i : 16+16*i]; string(tag) == "GPOS" || string(tag) == "kern" {
			copy(tag, "xxxx")
		}
	}
	without, err = parseFace(data, 0, name+" without kerns")
	if err != nil {
		t.Fatal(err)
	}
	return own, without
}

// kerned is by how much closer a face sets two letters than their advances say, in thousandths of the em.
func kerned(f *Face, pair string) int64 {
	s := f.takeShaper()
	defer f.give(s)
	text := []rune(pair)
	return (s.width(text, runProps{}) - s.width(text[:1], runProps{}) - s.width(text[1:], runProps{})) * 1000 / em
}

// TestOpticalKerns compares with the kerns that faces have of their own, drawn by hand: their sign and rough size for pairs that every
// typesetter knows, no kern between straight and round letters, and the correlation over all pairs that a text has.
func TestOpticalKerns(t *testing.T) {
	for _, name := range []string{"Serif", "Sans", "Book", "Roman"} {
		own, without := kernless(t, name)
		if own.optical || !without.optical {
			t.Fatalf("%s is kerned optically: %v, without its kerns: %v", name, own.optical, without.optical)
		}
		for _, pair := range []string{"AV", "VA", "AW", "AT", "TA", "AY", "YA", "LT", "LY", "LV", "To", "Te", "Ta", "Yo", "Ye", "Vo", "We", "Wo", "PA", "FA", "P.", "P,", "Y.", "V.", "y.", "L’"} {
			got, want := kerned(without, pair), kerned(own, pair)
			if want == 0 { // this face has none for it
				want = -60
			}
			rough := got*4 <= want && got >= 3*want || want > -30 && got >= -60 // hardly any: a sans serif's W stands nearly upright
			if got >= 0 || !rough {
				t.Errorf("%s: %s is kerned by %d, the face's own kern is %d thousandths", name, pair, got, want)
			}
		}
		for _, pair := range []string{"HH", "HI", "nn", "no", "on", "oo", "mi", "li", "un", "hi", "bd", "NE", "OH", "IN", "HO", "Hn", "I.", "n.", "In", "MI", "EN"} {
			if got := kerned(without, pair); got < -20 || got > 20 {
				t.Errorf("%s: %s is kerned by %d thousandths", name, pair, got)
			}
		}
		const capitals, small = "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "abcdefghijklmnopqrstuvwxyz"
		var n, sx, sy, sxx, syy, sxy float64
		tighter, wide := 0, 0
		for _, of := range [][2]string{{capitals, capitals + small + ".,’"}, {small, small + ".,’"}} {
			for _, a := range of[0] {
				for _, b := range of[1] {
					if a == 'f' && (b == 'f' || b == 'i' || b == 'l') { // ligatures
						continue
					}
					x, y := float64(kerned(own, string([]rune{a, b}))), float64(kerned(without, string([]rune{a, b})))
					n, sx, sy, sxx, syy, sxy = n+1, sx+x, sy+y, sxx+x*x, syy+y*y, sxy+x*y
					if x < -40 {
						wide++
						if y < -10 {
							tighter++
						}
					}
				}
			}
		}
		r := (n*sxy - sx*sy) / math.Sqrt((n*sxx-sx*sx)*(n*syy-sy*sy))
		t.Logf("%s: correlation %.2f, of %d pairs that the face sets closer by more than 40 thousandths %d are closer", name, r, wide, tighter)
		if r < 0.5 || tighter*100 < wide*85 {
			t.Errorf("%s: correlation %.2f, %d of %d pairs", name, r, tighter, wide)
		}
	}
}

// Faces whose letters join or are all of one width are left as they are.
func TestNotKernedOptically(t *testing.T) {
	_, mono := kernless(t, "Typewriter")
	if mono.optical {
		t.Error("letters of one width are kerned")
	}
	if own, err := shared.Face("Dancing Script", false, false); err == nil {
		if _, joined := kernless(t, own.Name()); joined.optical {
			t.Error("letters that join are kerned")
		}
	}
	_, f := kernless(t, "Serif")
	s := f.takeShaper()
	arabic := []rune("AV")
	s.shape(arabic, 0, 2, runProps{right: true})
	apart := s.total()
	s.shape(arabic, 0, 2, runProps{})
	if s.total() >= apart {
		t.Errorf("%d from left to right, %d from right to left", s.total(), apart)
	}
	if got := kerned(f, "11"); got != 0 {
		t.Errorf("figures are kerned by %d thousandths", got)
	}
}

// Kerns found by the outlines hold wherever a text is cut: each line is as wide as it is when it is shaped alone, and accents stay on
// their letters.
func TestOpticalKernsInLines(t *testing.T) {
	_, f := kernless(t, "Serif")
	ts := newTextSetter(shared, "en")
	fs := &faces{f, f, f, f}
	p, _ := ts.shape(typed{text: []rune("AVATAR To Ty-We Yo-yo VÀVÁ Ty\u00adpe “To.” T’A L’Y AV\u0301AV")}, fs)
	for from := range p.text {
		for end := from + 1; end <= len(p.text); end++ {
			if from > 0 && p.text[from] == 0x301 || end < len(p.text) && p.text[end] == 0x301 {
				continue
			}
			line := ts.make(p, from, end, false)
			width := line.width
			if alone := f.takeShaper().width(p.text[from:end], runProps{script: p.runs[0].props.script, language: p.runs[0].props.language}); alone != width {
				t.Fatalf("%q is %d wide in its line, %d alone", string(p.text[from:end]), width, alone)
			}
		}
	}
	s := f.takeShaper()
	at := func(text string) int64 { // of the accent on the second letter, from that letter
		r := []rune(text)
		s.shape(r, 0, len(r), runProps{})
		var x int64
		for i := range s.glyphs {
			g := &s.glyphs[i]
			if i > 0 && g.from == g.to {
				return x + int64(g.shiftX) - (x - int64(s.glyphs[i-1].advance))
			}
			x += int64(g.advance)
		}
		return 0
	}
	if plain, between := at("xq\u0330"), at("Tq\u0330T"); plain != between {
		t.Errorf("an accent stands %d from its letter, %d between letters that are kerned", plain, between)
	}
}
