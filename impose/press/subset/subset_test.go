package subset

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math/rand"
	"strings"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmmono10regular"
	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/stix/stix2textitalic"
	gotext "github.com/go-text/typesetting/font"
)

func open(t testing.TB, data []byte) *Font {
	t.Helper()
	f, err := Open(data, 0)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func cut(t testing.TB, f *Font, glyphs []uint16) []byte {
	t.Helper()
	b, err := f.Cut(glyphs)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// TestMetrics compares with go-text's reading of the same files.
func TestMetrics(t *testing.T) {
	for name, data := range map[string][]byte{
		"Liberation Sans": liberationsansregular.TTF, "Latin Modern": lmroman10regular.TTF, "STIX": stix2textitalic.TTF, "mono": lmmono10regular.TTF,
	} {
		f := open(t, data)
		g, err := gotext.ParseTTF(bytes.NewReader(data))
		if err != nil {
			t.Fatal(err)
		}
		k := 1000 / float32(g.Upem())
		near := func(what string, got int, want float32) {
			if d := float32(got) - want*k; d > 0.51 || d < -0.51 {
				t.Errorf("%s: %s is %d, go-text has %.2f", name, what, got, want*k)
			}
		}
		e, _ := g.FontHExtents()
		near("ascent", f.Ascent, e.Ascender)
		near("descent", f.Descent, e.Descender)
		near("height of capitals", f.CapHeight, g.LineMetric(gotext.CapHeight))
		for i := range f.Glyphs {
			near("advance", f.Advance(uint16(i)), g.HorizontalAdvance(gotext.GID(i)))
		}
	}
	// Adobe's Core-14 AFM for Helvetica, which Liberation Sans matches: A 667, space 278, W 944; Helvetica-Oblique leans -12.
	f := open(t, liberationsansregular.TTF)
	g, err := gotext.ParseTTF(bytes.NewReader(liberationsansregular.TTF))
	if err != nil {
		t.Fatal(err)
	}
	for r, want := range map[rune]int{'A': 667, ' ': 278, 'W': 944} {
		if id, _ := g.NominalGlyph(r); f.Advance(uint16(id)) != want {
			t.Errorf("%q is %d wide", r, f.Advance(uint16(id)))
		}
	}
	if f.ItalicAngle != 0 || open(t, stix2textitalic.TTF).ItalicAngle >= 0 {
		t.Error("the angle of the italic")
	}
}

// TestTrueTypeFile checks the rules of the OpenType specification: the sum of each table, and of the file (0xB1B0AFBA).
func TestTrueTypeFile(t *testing.T) {
	f := open(t, liberationsansregular.TTF)
	b := cut(t, f, []uint16{0, 36, 100, 133, 200}) // some composite ones among them
	if sum := checksum(b); sum != 0xB1B0AFBA {
		t.Errorf("the file sums to %X", sum)
	}
	seen := map[string]bool{}
	v := safeBytes(b)
	for i := range v.u16(4) {
		r := v.slice(12+16*i, 16)
		table := append([]byte(nil), v.slice(r.u32(8), r.u32(12))...)
		if string(r[:4]) == "head" {
			binary.BigEndian.PutUint32(table[8:], 0)
			if original := f.tables["head"]; !bytes.Equal(table[20:36], original[20:36]) {
				t.Error("the time of making changed")
			}
		}
		if got, want := checksum(table), uint32(r.u32(4)); got != want {
			t.Errorf("table %q sums to %X, says %X", r[:4], got, want)
		}
		seen[string(r[:4])] = true
	}
	for _, tag := range []string{"glyf", "head", "hhea", "hmtx", "loca", "maxp"} { // ISO 32000-1, table 126
		if !seen[tag] {
			t.Errorf("no table %q", tag)
		}
	}
}

// wrap makes an OpenType file of a bare CFF table and the tables of the font it was cut from.
func wrap(f *Font, program []byte, glyphs []uint16) []byte {
	var hmtx []byte
	for _, g := range glyphs {
		advance, bearing := f.metric(int(g))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(advance))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(bearing))
	}
	hhea := append([]byte(nil), f.tables["hhea"]...)
	binary.BigEndian.PutUint16(hhea[34:], uint16(len(glyphs)))
	maxp := append([]byte(nil), f.tables["maxp"]...)
	binary.BigEndian.PutUint16(maxp[4:], uint16(len(glyphs)))
	b := Join(trueType, map[string][]byte{"CFF ": program, "head": f.tables["head"], "hhea": hhea, "hmtx": hmtx, "maxp": maxp})
	copy(b, "OTTO")
	return b
}

// TestKeyedByCID cuts what was cut: the first result is a font keyed by CID, as many East Asian fonts are.
func TestKeyedByCID(t *testing.T) {
	f := open(t, lmroman10regular.TTF)
	first := []uint16{0, 28, 28, 50, 116, 200, 300, 301}
	g := open(t, wrap(f, cut(t, f, first), first))
	if !g.cff.top.has(opROS) || g.Glyphs != len(first) {
		t.Fatalf("%d glyphs, keyed by CID: %v", g.Glyphs, g.cff.top.has(opROS))
	}
	second := []uint16{0, 7, 3}
	h := open(t, wrap(g, cut(t, g, second), second))
	for i, want := range []uint16{0, 301, 50} {
		if !bytes.Equal(h.cff.glyphs.get(i), f.cff.glyphs.get(int(want))) {
			t.Errorf("glyph %d is not the one asked for", i)
		}
	}
	if a, b := h.cff.parts[0].private.kept(), f.cff.parts[0].private.kept(); !bytes.Equal(a, b) {
		t.Error("the private dictionary changed")
	}
}

// manyParts is a font keyed by CID by hand: six glyphs in three parts, told apart by their widths.
func manyParts(format byte) []byte {
	private := func(width int) []byte { return appendEntry(nil, 20, width) }
	out := appendIndex([]byte{1, 0, 4, 4}, [][]byte{[]byte("Parts")})
	var strings, selects, fonts int
	top := func() []byte {
		d := appendEntry(nil, opROS, 391, 392, 0)
		d = appendEntry(d, opCharStrings, strings)
		d = appendEntry(d, opFDSelect, selects)
		return appendEntry(d, opFDArray, fonts)
	}
	base := len(appendIndex(out, [][]byte{top()})) + 2 + 2
	strings = base
	body := appendIndex(nil, [][]byte{{csEndChar}, {csEndChar}, {csEndChar}, {csEndChar}, {csEndChar}, {csEndChar}})
	selects = base + len(body)
	if format == 0 {
		body = append(body, 0, 0, 0, 1, 1, 2, 0)
	} else {
		body = append(body, 3, 0, 4, 0, 0, 0, 0, 2, 1, 0, 4, 2, 0, 5, 0, 0, 6)
	}
	var dicts [][]byte
	for i := range 3 {
		p := private(100 + i)
		dicts = append(dicts, appendEntry(nil, opPrivate, len(p), base+len(body)))
		body = append(body, p...)
	}
	fonts = base + len(body)
	body = appendIndex(body, dicts)
	out = appendIndex(out, [][]byte{top()})
	return append(append(out, 0, 0, 0, 0), body...)
}

func TestManyParts(t *testing.T) {
	for _, format := range []byte{0, 3} {
		c := readCFF(manyParts(format))
		program, err := c.subset([]uint16{0, 4, 3, 4, 5})
		if err != nil {
			t.Fatal(err)
		}
		d := readCFF(program)
		if len(d.parts) != 3 {
			t.Fatalf("%d parts", len(d.parts))
		}
		for i, want := range []int{100, 102, 101, 102, 100} {
			if got := d.parts[d.partOf(i)].private.operand(20, 0); got != want {
				t.Errorf("format %d: glyph %d belongs to the part with width %d, want %d", format, i, got, want)
			}
		}
	}
}

// TestSubroutines: those called stay, with their numbers; the others go.
func TestSubroutines(t *testing.T) {
	f := open(t, stix2textitalic.TTF)
	all := make([]uint16, f.Glyphs)
	for i := range all {
		all[i] = uint16(i)
	}
	used, err := f.cff.trace(all)
	if err != nil {
		t.Fatal(err)
	}
	locals := f.cff.parts[0].locals.count
	t.Logf("%d of %d local and %d of %d global subroutines are called", len(used.locals[0].used), locals, len(used.globals.used), f.cff.globals.count)
	// A font's maker does not put in subroutines that nothing calls; were the walk wrong, many would seem unused.
	if used.globals.all || len(used.locals[0].used)+len(used.globals.used) < (locals+f.cff.globals.count)*95/100 {
		t.Error("many subroutines seem unused")
	}
	few, err := f.cff.trace([]uint16{0, 40})
	if err != nil {
		t.Fatal(err)
	}
	if n := len(few.locals[0].used) + len(few.globals.used); n > 60 {
		t.Errorf("one glyph calls %d subroutines", n)
	}
	if a, b := len(cut(t, f, []uint16{0, 40})), len(cut(t, f, all)); a*10 > b {
		t.Errorf("one glyph takes %d bytes, all take %d", a, b)
	}
}

func TestRefused(t *testing.T) {
	f := open(t, liberationsansregular.TTF)
	without := func(drop string, add ...string) []byte {
		tables := map[string][]byte{}
		for tag, b := range f.tables {
			if tag != drop {
				tables[tag] = b
			}
		}
		for _, tag := range add {
			tables[tag] = []byte{0}
		}
		return Join(trueType, tables)
	}
	for name, c := range map[string]struct {
		data []byte
		face int
		want error
	}{
		"empty":          {nil, 0, ErrDamaged},
		"text":           {[]byte("<html>not found</html>"), 0, ErrDamaged},
		"web font":       {[]byte("wOF2\x00\x01\x00\x00"), 0, ErrWeb},
		"variable CFF":   {without("glyf", "CFF2"), 0, ErrVariable},
		"pictures":       {without("glyf", "CBDT"), 0, ErrPictures},
		"no outlines":    {without("glyf"), 0, ErrDamaged},
		"no head":        {without("head"), 0, ErrDamaged},
		"no such face":   {liberationsansregular.TTF, 1, ErrDamaged},
		"half a file":    {liberationsansregular.TTF[:5000], 0, ErrDamaged},
		"no widths":      {without("hhea"), 0, ErrDamaged},
		"names may lack": {without("name"), 0, nil},
	} {
		if _, err := Open(c.data, c.face); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
	for upem, want := range map[uint16]error{1000: nil, 1250: ErrSizes} { // of outlines that are drawn to a thousand
		tables := map[string][]byte{}
		for tag, b := range open(t, lmroman10regular.TTF).tables {
			tables[tag] = bytes.Clone(b)
		}
		binary.BigEndian.PutUint16(tables["head"][18:], upem)
		if _, err := Open(Join("OTTO", tables), 0); !errors.Is(err, want) {
			t.Errorf("%d units to the em: %v", upem, err)
		}
	}
	if _, err := f.Cut([]uint16{0, uint16(f.Glyphs)}); !errors.Is(err, ErrDamaged) {
		t.Errorf("a glyph that is not there: %v", err)
	}
}

// Parts within parts, and subroutines within subroutines, that stand for more points than can be drawn are told at once; as deep and as many as
// fonts have them, they are cut.
func TestOutlinesWithoutEnd(t *testing.T) {
	composite := func(part, times int) (out []byte) {
		out = []byte{0xff, 0xff, 0, 0, 0, 0, 3, 0, 3, 0}
		for i := range times {
			more := byte(moreParts)
			if i == times-1 {
				more = 0
			}
			out = append(out, 0, more, byte(part>>8), byte(part), 0, 0)
		}
		return out
	}
	nested := func(depth, times int) *Font { // glyph 0 is made of glyph 1, that of 2 and so on, each so many times
		f := open(t, liberationsansregular.TTF)
		simple := f.outline(f.Glyphs / 2) // of a few points
		var glyf, loca []byte
		for g := range f.Glyphs + 1 {
			loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
			switch {
			case g < depth:
				glyf = append(glyf, composite((g+1)%f.Glyphs, times)...)
			case g == depth:
				glyf = append(glyf, simple...)
			}
		}
		f.tables["glyf"], f.tables["loca"], f.longLoca = glyf, loca, true
		return f
	}
	for _, c := range []struct {
		depth, times int
		fails        bool
	}{{1, 20, false}, {3, 4, false}, {8, 2, false}, {3, 100, true}, {10, 10, true}, {19, 2, true}, {100, 1, true}, {2620, 1, true}} {
		f := nested(c.depth, c.times)
		if _, err := f.Cut([]uint16{0, 5}); errors.Is(err, ErrDamaged) != c.fails {
			t.Errorf("%d times, %d deep: %v", c.times, c.depth, err)
		}
	}
	f := open(t, liberationsansregular.TTF)
	f.tables["glyf"], f.tables["loca"], f.longLoca = composite(0, 2), append(make([]byte, 4), bytes.Repeat([]byte{0, 0, 0, 22}, f.Glyphs)...), true
	if _, err := f.Cut([]uint16{0}); !errors.Is(err, ErrDamaged) {
		t.Errorf("a glyph that is a part of itself: %v", err)
	}

	calls := func(depth, times int) *cff {
		var subroutines [][]byte
		for i := range depth {
			subroutines = append(subroutines, append(bytes.Repeat([]byte{byte(139 - 107 + i + 1), csCallAll}, times), csReturn))
		}
		subroutines = append(subroutines, []byte{csReturn})
		list, _ := readIndex(appendIndex(nil, subroutines), 0)
		glyph, _ := readIndex(appendIndex(nil, [][]byte{{139 - 107, csCallAll, csEndChar}}), 0)
		c := readCFF(manyParts(0))
		c.globals, c.glyphs = list, glyph
		return c
	}
	if _, err := calls(4, 10).trace([]uint16{0}); err != nil {
		t.Errorf("calls as fonts have them: %v", err)
	}
	if _, err := calls(8, 10).trace([]uint16{0}); !errors.Is(err, ErrDamaged) {
		t.Errorf("calls without end: %v", err)
	}
}

// TestSpoilt changes bytes all over: an error or a font, never a panic.
func TestSpoilt(t *testing.T) {
	rng := rand.New(rand.NewSource(11))
	for range 400 {
		for _, data := range [][]byte{liberationsansregular.TTF, lmmono10regular.TTF} {
			b := append([]byte(nil), data...)
			f := open(t, b)
			for range 1 + rng.Intn(30) {
				at := rng.Intn(len(b))
				if t := f.tables[[]string{"CFF ", "loca", "head", "maxp", "hhea", "glyf"}[rng.Intn(6)]]; t != nil && rng.Intn(4) > 0 {
					t[rng.Intn(min(len(t), 3000))] = byte(rng.Intn(256))
					continue
				}
				b[at] = byte(rng.Intn(256))
			}
			try(b)
		}
	}
}

func try(data []byte) {
	f, err := Open(data, 0)
	if err != nil {
		return
	}
	var glyphs []uint16
	for g := 0; g < min(f.Glyphs, 300); g++ {
		f.Advance(uint16(g))
		glyphs = append(glyphs, uint16(g))
	}
	_, _ = f.Cut(glyphs)
}

func FuzzOpen(f *testing.F) {
	f.Add(Join(trueType, open(f, lmmono10regular.TTF).small()))
	f.Add(Join(trueType, open(f, liberationsansregular.TTF).small()))
	f.Add([]byte("ttcf\x00\x01\x00\x00\x00\x00\x00\x01\x00\x00\x00\x10"))
	f.Fuzz(func(t *testing.T, data []byte) { try(data) })
}

// small is the tables of a font that are short.
func (f *Font) small() map[string][]byte {
	out := map[string][]byte{}
	for tag, t := range f.tables {
		out[tag] = t[:min(len(t), 3000)]
	}
	return out
}

// numberAt reads numbers as dictionaries have them (Adobe Technical Note 5176, section 4: -2.25 and 0.140541E-3 are its examples).
func TestNumbers(t *testing.T) {
	for text, want := range map[string]float64{"\x1e\xe2\xa2\x5f": -2.25, "\x1e\x0a\x14\x05\x41\xc3\xff": 0.140541e-3, "\x8b": 0, "\xef": 100} {
		if got := numberAt(safeBytes(text)); got != want {
			t.Errorf("%x: %v", text, got)
		}
	}
	long := func() (refused bool) {
		defer func() { refused = recover() == damaged{} }()
		numberAt(safeBytes("\x1e" + strings.Repeat("\x11", 1<<20) + "\xff"))
		return false
	}
	if !long() {
		t.Error("a number of two million digits is read")
	}
}
