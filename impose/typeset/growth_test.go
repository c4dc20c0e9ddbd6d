package typeset

import (
	"context"
	"encoding/binary"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// big16 is numbers as fonts have them.
func big16(numbers ...int) (out []byte) {
	for _, n := range numbers {
		out = binary.BigEndian.AppendUint16(out, uint16(n))
	}
	return out
}

// withTable is a font with one table more, or another one in its place.
func withTable(data []byte, tag string, table []byte) []byte {
	type named struct {
		tag  string
		data []byte
	}
	all := []named{{tag, table}}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		d := data[12+16*i:]
		if off := binary.BigEndian.Uint32(d[8:]); string(d[:4]) != tag {
			all = append(all, named{string(d[:4]), data[off : off+binary.BigEndian.Uint32(d[12:])]})
		}
	}
	out := append(append([]byte{}, data[:4]...), big16(len(all), 0, 0, 0)...)
	var body []byte
	for _, n := range all {
		out = append(append(out, n.tag...), 0, 0, 0, 0)
		out = binary.BigEndian.AppendUint32(out, uint32(12+16*len(all)+len(body)))
		out = binary.BigEndian.AppendUint32(out, uint32(len(n.data)))
		body = append(body, n.data...)
		body = append(body, make([]byte, -len(n.data)&3)...)
	}
	return append(out, body...)
}

// ligatures is a lookup of so many ligatures that begin with a letter and have so many parts, the last of them another one. Some are named three times.
func ligatures(first, last, n, parts int) []byte {
	own := n/3 + 1
	set, bodies := big16(n), []byte{}
	size := 4 + 2*(parts-1)
	for i := range n {
		set = append(set, big16(2+2*n+size*(i%own))...)
	}
	for range own {
		bodies = append(bodies, big16(last, parts)...)
		for range parts - 2 {
			bodies = append(bodies, big16(first)...)
		}
		bodies = append(bodies, big16(last)...)
	}
	sub := append(big16(1, 8, 1, 14), big16(1, 1, first)...)
	return append(append(append(big16(4, 0, 1, 8), sub...), set...), bodies...)
}

// layout is a table of lookups that one feature has all of (OpenType specification, "OpenType Layout Common Table Formats").
func layout(feature string, lookups ...[]byte) []byte {
	scripts := append(append(big16(1), "DFLT"...), big16(8, 4, 0, 0, 0xFFFF, 1, 0)...)
	features := append(append(big16(1), feature...), big16(8, 0, len(lookups))...)
	list, bodies := big16(len(lookups)), []byte{}
	for i, l := range lookups {
		features = append(features, big16(i)...)
		list = append(list, big16(2+2*len(lookups)+len(bodies))...)
		bodies = append(bodies, l...)
	}
	out := big16(1, 0, 10, 10+len(scripts), 10+len(scripts)+len(features))
	return append(append(append(append(out, scripts...), features...), list...), bodies...)
}

// multiply is a lookup that makes a glyph into others.
func multiply(glyph int, into ...int) []byte {
	return append(big16(2, 0, 1, 8, 1, 8, 1, 14, 1, 1, glyph, len(into)), big16(into...)...)
}

// calling is a contextual lookup, of the given type, that calls others where the glyph stands.
func calling(kind, glyph int, others ...int) []byte {
	out := big16(kind, 0, 1, 8, 1, 8, 1, 14, 1, 1, glyph, 1, 4, 1, len(others))
	for _, n := range others {
		out = append(out, big16(0, n)...)
	}
	return out
}

// Letters that become more and more, and lookups that call each other without end, are told as a damaged font where it is read, or where a text grows;
// no text of it is shaped whole. Substitutions as fonts have them are left alone.
func TestGlyphsWithoutEnd(t *testing.T) {
	loaded, err := parseFace(goregular.TTF, 0, "Go")
	if err != nil {
		t.Fatal(err)
	}
	letter := func(r rune) int {
		g, _ := loaded.font.NominalGlyph(r)
		return int(g)
	}
	e, x := letter('e'), letter('x')
	times := func(n int) (out []int) {
		for range n {
			out = append(out, e)
		}
		return out
	}
	all := func(n int, of func(i int) []byte) (out [][]byte) {
		for i := range n {
			out = append(out, of(i))
		}
		return out
	}
	const fine, atTexts, atOnce = 0, 1, 2
	for _, c := range []struct {
		name   string
		table  string
		data   []byte
		damage int
	}{
		{"a letter and its accent", "GSUB", layout("ccmp", multiply(e, e, x)), fine},
		{"sixteen of one", "GSUB", layout("ccmp", multiply(e, times(16)...)), fine},
		{"called as fonts do", "GSUB", layout("calt", calling(5, e, 1, 1), multiply(e, e, x)), fine},
		{"many, of which none grows", "GSUB", layout("ccmp", all(20, func(int) []byte { return multiply(letter('\u00e9'), e, x) })...), fine},
		{"thousands of one", "GSUB", layout("ccmp", multiply(e, times(4000)...)), atOnce},
		{"two, and four of those", "GSUB", layout("ccmp", all(20, func(int) []byte { return multiply(e, e, e) })...), atTexts},
		{"ten, a hundred, a thousand", "GSUB", layout("ccmp", all(6, func(int) []byte { return multiply(e, times(10)...) })...), atTexts},
		{"one that calls itself", "GSUB", layout("calt", calling(5, e, 0)), atOnce},
		{"two that call each other", "GSUB", layout("calt", calling(5, e, 1, 1), calling(5, e, 0, 0)), atOnce},
		{"calls and calls of those", "GSUB", layout("calt", append(all(8, func(i int) []byte { return calling(5, e, i+1, i+1, i+1) }), multiply(e, x))...), atOnce},
		{"one that is called for many", "GSUB", layout("calt", calling(5, e, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1), multiply(e, e, x)), atOnce},
		{"ligatures as emoji have them", "GSUB", layout("liga", ligatures(e, x, 400, 6)), fine},
		{"long ligatures without end", "GSUB", layout("liga", all(10, func(int) []byte { return ligatures(e, x, 240, 14) })...), atOnce},
		{"placed by one that calls itself", "GPOS", layout("kern", calling(7, e, 0)), atOnce},
	} {
		f, err := parseFace(withTable(goregular.TTF, c.table, c.data), 0, "Bad")
		if (err != nil) != (c.damage == atOnce) {
			t.Errorf("%s: %v", c.name, err)
		}
		if err != nil {
			continue
		}
		l := onlyBuiltIn(NewLibrary([]string{folder(t, map[string][]byte{"Bad.ttf": f.data})}))
		for _, text := range []string{"tree", strings.Repeat("ee, the tree. ", 100), strings.Repeat("e", 1200)} {
			b := aBlock(4000*measure.Inch, 100*measure.Inch, text)
			b.Font = "Go"
			set, _, found := Set(context.Background(), l, []intake.Block{b}, settings(), nil)
			told := len(found) > 0 && found[0].Cause == swollen("").Cause
			if told != (c.damage == atTexts) || told == (len(set) == 1) {
				t.Errorf("%s, %d letters: %v", c.name, len(text), found)
			}
		}
	}
}
