package typeset

import (
	"bytes"
	"context"
	"encoding/binary"
	"fmt"
	"slices"
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

// past is a contextual lookup that sets off another one at a glyph, which is a mark by gdef: ligatures of it and another glyph that ignore marks.
func past(glyph, last, n int) (table, gdef []byte) {
	second := ligatures(glyph, last, n, 2)
	second[3] = 8 // its flag
	return layout("liga", calling(5, glyph, 1), second), big16(1, 0, 12, 0, 0, 0, 1, glyph, 1, 3)
}

// distances is a table kern of so many subtables without a pair.
func distances(n int) []byte {
	return append(big16(0, n), bytes.Repeat(big16(0, 14, 1, 0, 0, 0, 0), n)...)
}

// states is a state machine of Apple's: for each state from the second on the entry for one glyph, and a list of glyphs that they insert.
func states(glyph int, entries ...[]byte) []byte {
	rows, list := big16(0, 0, 0, 0, 1, 0, 0, 0, 0, 1), append(make([]byte, len(entries[0])), entries[0]...)
	for i, e := range entries[1:] {
		rows, list = append(rows, big16(0, 0, 0, 0, 2+i)...), append(list, e...)
	}
	at := 28 + len(rows)
	out := big16(0, 5, 0, 20, 0, 28, 0, at, 0, at+len(list), 8, glyph, 1, 4)
	return append(append(append(out, rows...), list...), big16(glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph, glyph)...)
}

// metamorphosis is a table morx of one such machine, of a kind.
func metamorphosis(kind, glyph int, entries ...[]byte) []byte {
	machine := states(glyph, entries...)
	return append(big16(2, 0, 0, 1, 0, 1, 0, 28+len(machine), 0, 0, 0, 1, 0, 12+len(machine), 0, kind, 0, 1), machine...)
}

// aheads is a lookup of so many subtables that each look for a glyph behind another (OpenType specification, "GSUB", lookup type 6, format 3).
func aheads(n, glyph, behind int) []byte {
	out := big16(6, 0, n)
	for i := range n {
		out = append(out, big16(6+2*n+26*i)...)
	}
	return append(out, bytes.Repeat(big16(3, 0, 1, 14, 1, 20, 0, 1, 1, glyph, 1, 1, behind), n)...)
}

// pairs is a lookup of so many subtables with one pair each (OpenType specification, "GPOS", lookup type 2, format 1).
func pairs(n, first, second int) []byte {
	out := big16(2, 0, n)
	for i := range n {
		out = append(out, big16(6+2*n+24*i)...)
	}
	return append(out, bytes.Repeat(big16(1, 12, 4, 0, 1, 18, 1, 1, first, 1, second, 0), n)...)
}

// many is a table morx of so many subtables like its only one.
func many(n int, morx []byte) []byte {
	sub := morx[24:]
	out := append([]byte{}, morx[:24]...)
	binary.BigEndian.PutUint32(out[12:], uint32(16+n*len(sub)))
	binary.BigEndian.PutUint32(out[20:], uint32(n))
	return append(out, bytes.Repeat(sub, n)...)
}

// marksOn is a lookup that puts a mark on a letter (OpenType specification, "GPOS", lookup type 4).
func marksOn(mark, letter int) []byte {
	return append(append(big16(4, 0, 1, 8, 1, 12, 18, 1, 24, 36), big16(1, 1, mark, 1, 1, letter)...), big16(1, 0, 6, 1, 0, 0, 1, 4, 1, 0, 0)...)
}

// calling is a contextual lookup, of the given type, that calls others where the glyph stands.
func calling(kind, glyph int, others ...int) []byte {
	out := big16(kind, 0, 1, 8, 1, 8, 1, 14, 1, 1, glyph, 1, 4, 1, len(others))
	for _, n := range others {
		out = append(out, big16(0, n)...)
	}
	return out
}

// lettersOf tells the glyphs of letters in the font that is changed here.
func lettersOf(t *testing.T) func(r rune) int {
	loaded, err := parseFace(goregular.TTF, 0, "Go")
	if err != nil {
		t.Fatal(err)
	}
	return func(r rune) int {
		g, _ := loaded.font.NominalGlyph(r)
		return int(g)
	}
}

// Letters that become more and more, and lookups that call each other without end, are told as a damaged font where it is read, or where a text grows;
// no text of it is shaped whole. Substitutions as fonts have them are left alone.
func TestGlyphsWithoutEnd(t *testing.T) {
	letter := lettersOf(t)
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
	const goesOn, stays, none = 0, 0x4000, 0xFFFF
	inserting := func(n int) int { return n << 5 }
	pastFew, marks := past(letter('\u00e9'), x, 50)
	pastMany, _ := past(letter('\u00e9'), x, 1200)
	_, letters := past(e, x, 1)
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
		{"rules that look ahead", "GSUB", layout("calt", aheads(500, e, x)), fine},
		{"rules that look ahead without end", "GSUB", layout("calt", all(3, func(int) []byte { return aheads(1000, e, x) })...), atOnce},
		{"long ligatures without end", "GSUB", layout("liga", all(20, func(int) []byte { return ligatures(e, x, 240, 14) })...), atOnce},
		{"placed by one that calls itself", "GPOS", layout("kern", calling(7, e, 0)), atOnce},
		{"past other marks", "GSUB", pastFew, fine},
		{"past other marks for many", "GSUB", pastMany, atOnce},
		{"marks put on by one that is called", "GPOS", layout("kern", append(all(8, func(int) []byte { return calling(7, letter('\u00e9'), slices.Repeat([]int{8}, 250)...) }), marksOn(letter('\u00e9'), x))...), atOnce},
		{"marks put on by one that is called once", "GPOS", layout("kern", calling(7, letter('\u00e9'), 1), marksOn(letter('\u00e9'), x)), fine},
		{"pairs of thousands of lists", "GPOS", layout("kern", all(2, func(int) []byte { return pairs(1900, e, x) })...), atOnce},
		{"pairs of some lists", "GPOS", layout("kern", pairs(500, e, x)), fine},
		{"letters that are accents", "GDEF", letters, atOnce},
		{"distances", "kern", distances(100), fine},
		{"distances without end", "kern", distances(9000), atOnce},
		{"one inserted", "morx", metamorphosis(5, e, big16(2, goesOn, none, none), big16(0, goesOn|inserting(1), 0, none)), fine},
		{"one inserted where the machine stays", "morx", metamorphosis(5, e, big16(2, stays|inserting(1), 0, none), big16(0, goesOn, none, none)), atOnce},
		{"many inserted", "morx", metamorphosis(5, e, big16(2, goesOn, none, none), big16(0, goesOn|inserting(16), 0, none)), atOnce},
		{"inserted for ever", "morx", metamorphosis(5, e, big16(2, stays, none, none), big16(2, stays|inserting(1), 0, none)), atOnce},
		{"inserted to and fro", "morx", metamorphosis(5, e, big16(2, stays, none, none), big16(3, stays, none, none), big16(2, stays|1, none, 0)), atOnce},
		{"stays for ever", "morx", metamorphosis(0, e, big16(2, stays), big16(2, stays)), atOnce},
		{"many that put glyphs in another order", "morx", many(1900, metamorphosis(0, e, big16(2, 0x8000), big16(2, 0x2003))), atOnce},
		{"some that do", "morx", many(60, metamorphosis(0, e, big16(2, 0x8000), big16(2, 0x2003))), fine},
		{"stays once", "morx", metamorphosis(0, e, big16(2, stays), big16(0, goesOn)), fine},
		{"stays to and fro with others", "morx", metamorphosis(0, e, big16(2, stays|1), big16(3, stays), big16(2, stays|1)), atOnce},
	} {
		data := withTable(goregular.TTF, c.table, c.data)
		if strings.HasPrefix(c.name, "past") {
			data = withTable(data, "GDEF", marks)
		}
		f, err := parseFace(data, 0, "Bad")
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

// However many letters the texts of a job have, fonts that compare much at each of them have only so many, whether they are named or lend letters: the rows
// beyond are held, always the same ones, and the others are set.
func TestManyLettersTimesManyRules(t *testing.T) {
	letter := lettersOf(t)
	heavy := withTable(goregular.TTF, "GSUB", layout("liga", ligatures(letter('q'), letter('x'), 1200, 10)))
	f, err := parseFace(heavy, 0, "Heavy")
	if err != nil {
		t.Fatal(err)
	}
	l := onlyBuiltIn(NewLibrary([]string{folder(t, map[string][]byte{"Heavy.ttf": heavy})}))
	of := func(font string, letters int) intake.Block {
		b := aBlock(4000*measure.Inch, 1000*measure.Inch, strings.Repeat("The tea was cold. ", letters/18))
		b.Font, b.Code = font, fmt.Sprint(font, letters)
		return b
	}
	most := mostWork / f.compares
	blocks := []intake.Block{of("Go", most/2), of("Serif", 2*most), of("Go", most/2-1000), of("Go", most/10), of("Go", 90), of("Serif", most)}
	setter := newTextSetter(l, "en")
	setter.stop = func() bool { return false }
	if got := setter.laborious(blocks, []int{0, 1, 2, 3, 4, 5}); len(got) != 1 || got[3] == nil {
		t.Errorf("too much are %v", got)
	}
	blocks = []intake.Block{of("Go", most+18), of("Go", 90)}
	if set, held, found := Set(context.Background(), l, blocks, settings(), nil); len(set) != 1 || len(held) != 1 || held[0].Code != blocks[0].Code || found.Errors() != 1 {
		t.Errorf("%d are set; held %v: %v", len(set), held, found)
	}

	// a letter that another text's font lacks, and this one has
	const odd = '\uE123'
	cmap := append(big16(0, 1, 3, 10, 0, 12, 12, 0, 0, 28, 0, 0, 0, 1), big16(0, odd, 0, odd, 0, letter('q'))...)
	lends := onlyBuiltIn(NewLibrary([]string{folder(t, map[string][]byte{"Lends.ttf": withTable(heavy, "cmap", cmap)})}))
	lent := of("Serif", 90)
	lent.Text[0][0].Text += strings.Repeat(string(odd), most+1)
	if set, held, _ := Set(context.Background(), lends, []intake.Block{of("Serif", 90), lent}, settings(), nil); len(set) != 1 || len(held) != 1 || !strings.Contains(held[0].Why, "Go") {
		t.Errorf("%d are set, held %v", len(set), held)
	}
}

// No text in a font that comes with the program is too much, however long a job is.
func TestOwnFontsAreNoLabour(t *testing.T) {
	l := onlyBuiltIn(NewLibrary(nil))
	for _, name := range l.Names() {
		for style := range 4 {
			if f, err := l.Face(name.Name, style&bold != 0, style&italic != 0); err != nil || f.compares > fewCompared || f.atOnce > 0 {
				t.Errorf("%s: it compares %d: %v", name.Name, f.compares, err)
			}
		}
	}
}
