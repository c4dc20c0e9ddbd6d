package subset

import (
	"bytes"
	"encoding/binary"
	"errors"
	"runtime"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
)

// A craftedCFF is a table keyed by CID of which the parts, the subroutines of all glyphs and the private dictionary can be chosen.
type craftedCFF struct {
	names, parts    int
	private, locals []byte // of all parts; locals is an index right after it
	globals, glyphs []byte // indexes
	selects         []byte
}

func (c craftedCFF) table() []byte {
	fill := func(b *[]byte, with []byte) {
		if *b == nil {
			*b = with
		}
	}
	c.names, c.parts = max(c.names, 1), max(c.parts, 1)
	fill(&c.globals, []byte{0, 0})
	fill(&c.glyphs, appendIndex(nil, [][]byte{{csEndChar}, {csEndChar}}))
	fill(&c.selects, []byte{0, 0, 0})
	if c.locals != nil {
		c.private = appendEntry(c.private, opSubrs, len(c.private)+6)
	}
	var strings, selects, private, fonts int
	top := func() []byte {
		d := appendEntry(nil, opROS, 391, 392, 0)
		d = appendEntry(d, opCharStrings, strings)
		d = appendEntry(d, opFDSelect, selects)
		return appendEntry(d, opFDArray, fonts)
	}
	whole := func() []byte {
		out := appendIndex([]byte{1, 0, 4, 4}, bytes.Fields(bytes.Repeat([]byte("Evil "), c.names)))
		out = appendIndex(out, bytes.Split(bytes.Repeat(append(top(), 0xFF), c.names), []byte{0xFF})[:c.names])
		out = append(append(out, 0, 0), c.globals...)
		strings = len(out)
		out = append(out, c.glyphs...)
		selects = len(out)
		out = append(out, c.selects...)
		private = len(out)
		out = append(append(out, c.private...), c.locals...)
		fonts = len(out)
		var dicts [][]byte
		for range c.parts {
			dicts = append(dicts, appendEntry(nil, opPrivate, len(c.private), private))
		}
		return appendIndex(out, dicts)
	}
	whole()
	return whole()
}

// rawIndex is an index with these offsets over n bytes of subroutines that do nothing.
func rawIndex(n int, offsets ...int) []byte {
	out := binary.BigEndian.AppendUint16(nil, uint16(len(offsets)-1))
	out = append(out, 4)
	for _, o := range offsets {
		out = binary.BigEndian.AppendUint32(out, uint32(o))
	}
	return append(out, bytes.Repeat([]byte{csReturn}, n)...)
}

// A piece of the table that is named many times, so that the whole would be many times what the file holds, is told as damage at once. As fonts have them, tables are
// read.
func TestNamedManyTimes(t *testing.T) {
	f := open(t, lmroman10regular.TTF)
	var overlapping []int
	for range 3000 {
		overlapping = append(overlapping, 1, 20001)
	}
	zeroes := bytes.Repeat([]byte{139, 20}, 20) // "0 defaultWidthX"
	subroutines := rawIndex(2000, ramp(2000)...)
	for name, c := range map[string]struct {
		table craftedCFF
		fine  bool
	}{
		"one part":                       {craftedCFF{}, true},
		"parts that share a small one":   {craftedCFF{parts: 200, private: zeroes}, true},
		"subroutines of their own":       {craftedCFF{private: zeroes, locals: subroutines}, true},
		"ranges of glyphs":               {craftedCFF{parts: 2, selects: []byte{3, 0, 2, 0, 0, 0, 0, 1, 1, 0, 2}}, true},
		"several fonts":                  {craftedCFF{names: 2}, false},
		"more parts than a byte tells":   {craftedCFF{parts: 4000}, false},
		"parts that share a large one":   {craftedCFF{parts: 250, private: bytes.Repeat(append(bytes.Repeat([]byte{139}, 400), 20), 4)}, false},
		"their subroutines":              {craftedCFF{parts: 250, private: zeroes, locals: subroutines}, false},
		"entries without end":            {craftedCFF{private: bytes.Repeat(zeroes, 500)}, false},
		"operands without end":           {craftedCFF{private: append(bytes.Repeat([]byte{139}, 5000), 20)}, false},
		"subroutines over each other":    {craftedCFF{globals: rawIndex(20000, overlapping...)}, false},
		"their last offset is the least": {craftedCFF{globals: rawIndex(20, 1, 20, 1)}, false},
		"outlines over each other":       {craftedCFF{glyphs: rawIndex(20, 1, 20, 1, 20)}, false},
		"ranges that go back":            {craftedCFF{selects: []byte{3, 0, 2, 0, 1, 0, 0, 0, 0, 0, 2}}, false},
	} {
		tables := map[string][]byte{}
		for tag, b := range f.tables {
			tables[tag] = b
		}
		tables["CFF "] = c.table.table()
		data := Join("OTTO", tables)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		g, err := Open(data, 0)
		if err == nil {
			_, err = g.Cut([]uint16{0})
		}
		if (err == nil) != c.fine || err != nil && !errors.Is(err, ErrDamaged) {
			t.Errorf("%s: %v", name, err)
		}
		runtime.ReadMemStats(&after)
		if took := int(after.TotalAlloc - before.TotalAlloc); took > 32*len(data) {
			t.Errorf("%s: it took %d bytes for a file of %d", name, took, len(data))
		}
	}
}

// ramp is the offsets of n subroutines of one byte.
func ramp(n int) (out []int) {
	for i := range n + 1 {
		out = append(out, i+1)
	}
	return out
}
