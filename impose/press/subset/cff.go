package subset

import (
	"encoding/binary"
	"math"
	"slices"
	"sort"
	"strconv"
)

// cff is a CFF table (Adobe Technical Note 5176). Its top dictionary's strings and its character set are not read:
// glyphs are addressed by index.
type cff struct {
	name    safeBytes
	top     dict
	globals index      // subroutines of all glyphs
	glyphs  index      // charstrings
	parts   []fontDict // one for a font keyed by name, several for one keyed by CID
	partOf  func(glyph int) int
}

// fontDict is what glyphs of one kind share: hints, widths, subroutines.
type fontDict struct {
	font    dict // a font dictionary; empty for a font keyed by name
	private dict
	locals  index
}

// Operators of dictionaries, two-byte ones from 0x0C00.
const (
	opCharset     = 15
	opEncoding    = 16
	opCharStrings = 17
	opPrivate     = 18
	opSubrs       = 19
	opType        = 0x0C06
	opMatrix      = 0x0C07
	opROS         = 0x0C1E
	opCIDCount    = 0x0C22
	opFDArray     = 0x0C24
	opFDSelect    = 0x0C25
)

func readCFF(t safeBytes) *cff {
	c := &cff{}
	names, at := readIndex(t, t.u8(2))
	tops, at := readIndex(t, at)
	_, at = readIndex(t, at) // strings
	c.globals, _ = readIndex(t, at)
	if names.count != 1 || tops.count != 1 { // a file may hold several fonts, a table of it only one (OpenType specification, "CFF ")
		panic(damaged{})
	}
	c.name = names.get(0)
	c.top = readDict(tops.get(0))
	if c.top.has(opType) && c.top.operand(opType, 0) != 2 {
		panic(damaged{})
	}
	c.glyphs, _ = readIndex(t, c.top.operand(opCharStrings, 0))
	c.partOf = func(int) int { return 0 }
	if !c.top.has(opROS) {
		c.parts = []fontDict{readPart(t, nil, c.top)}
		return c
	}
	fonts, _ := readIndex(t, c.top.operand(opFDArray, 0))
	if fonts.count > mostParts {
		panic(damaged{})
	}
	held := 0
	for i := range fonts.count {
		d := readDict(fonts.get(i))
		p := readPart(t, d, d)
		c.parts = append(c.parts, p)
		if held += d.operand(opPrivate, 0) + len(p.locals.offsets); held > len(t)+sharedBytes {
			panic(damaged{})
		}
	}
	c.partOf = readSelect(t, c.top.operand(opFDSelect, 0), c.glyphs.count)
	return c
}

// How many parts can be told apart (a glyph's is a byte), and how many bytes they may hold together beyond the whole table: some fonts have parts that
// share what is theirs, but it is never large.
const (
	mostParts   = 256
	sharedBytes = 1 << 16
)

func readPart(t safeBytes, font, holder dict) fontDict {
	size, at := holder.operand(opPrivate, 0), holder.operand(opPrivate, 1)
	p := fontDict{font: font, private: readDict(t.slice(at, size))}
	if p.private.has(opSubrs) {
		p.locals, _ = readIndex(t, at+p.private.operand(opSubrs, 0))
	}
	return p
}

// readSelect reads which part each glyph belongs to.
func readSelect(t safeBytes, at, glyphs int) func(int) int {
	switch t.u8(at) {
	case 0:
		list := t.slice(at+1, glyphs)
		return func(g int) int { return list.u8(g) }
	case 3:
		n := t.u16(at + 1)
		ranges := t.slice(at+3, 3*n+2)
		for k := 1; k < n; k++ {
			if ranges.u16(3*k) <= ranges.u16(3*k-3) {
				panic(damaged{})
			}
		}
		return func(g int) int {
			k := sort.Search(n, func(k int) bool { return ranges.u16(3*k) > g })
			return ranges.u8(3*k - 1) // of the last range that begins no later; there is none for 0
		}
	}
	panic(damaged{})
}

// index is a CFF INDEX: a list of byte strings.
type index struct {
	count, width int
	offsets      safeBytes
	data         safeBytes // offsets count from the byte before
}

// readIndex also returns where the next structure begins. Its items lie one after the other: were an offset less than the one before, items could
// lie over each other, and a small file would hold more than a machine has room for.
func readIndex(t safeBytes, at int) (index, int) {
	x := index{count: t.u16(at)}
	if x.count == 0 {
		return x, at + 2
	}
	x.width = t.u8(at + 2)
	if x.width < 1 || x.width > 4 {
		panic(damaged{})
	}
	x.offsets = t.slice(at+3, x.width*(x.count+1))
	start := at + 3 + len(x.offsets)
	before := 1
	for i := range x.count + 1 {
		if n := x.offset(i); n < before {
			panic(damaged{})
		} else {
			before = n
		}
	}
	end := before - 1
	x.data = t.slice(start, end)
	return x, start + end
}

func (x index) offset(i int) (n int) {
	for _, b := range x.offsets.slice(i*x.width, x.width) {
		n = n<<8 | int(b)
	}
	return n
}

func (x index) get(i int) safeBytes {
	if i < 0 || i >= x.count {
		panic(damaged{})
	}
	from, to := x.offset(i)-1, x.offset(i+1)-1
	return x.data.slice(from, to-from)
}

// dict is a dictionary: each entry its operator and its operands as they stand in the file.
type dict []entry

type entry struct {
	op       int
	operands safeBytes
	numbers  []int // the whole ones; nought for a real number
}

func readDict(t safeBytes) (d dict) {
	e, start := entry{}, 0
	for at := 0; at < len(t); {
		b := t.u8(at)
		switch {
		case b <= 21:
			e.operands, e.op = t.slice(start, at-start), b
			at++
			if b == 12 {
				e.op = 0x0C00 | t.u8(at)
				at++
			}
			if d = append(d, e); len(d) > mostEntries {
				panic(damaged{})
			}
			e, start = entry{}, at
		case b == 30: // a real number, in half bytes up to one of 15
			for at++; t.u8(at)&15 != 15 && t.u8(at)>>4 != 15; at++ {
			}
			at++
			e.numbers = append(e.numbers, 0)
		default:
			n, size := integerAt(t, at)
			e.numbers = append(e.numbers, n)
			at += size
		}
		if len(e.numbers) > mostOperands {
			panic(damaged{})
		}
	}
	return d
}

// No dictionary has more entries than there are operators, and none more operands than the stack holds (513 in the later format, 48 in this one). A damaged
// one may be as long as the table, and would take fifty times that.
const (
	mostEntries  = 128
	mostOperands = 513
)

// integerAt reads a whole number of a dictionary.
func integerAt(t safeBytes, at int) (n, size int) {
	switch b := t.u8(at); {
	case b == 28:
		return t.i16(at + 1), 3
	case b == 29:
		return int(int32(t.u32(at + 1))), 5
	case b >= 32 && b <= 246:
		return b - 139, 1
	case b >= 247 && b <= 250:
		return (b-247)*256 + t.u8(at+1) + 108, 2
	case b >= 251 && b <= 254:
		return -(b-251)*256 - t.u8(at+1) - 108, 2
	}
	panic(damaged{})
}

func (d dict) has(op int) bool {
	return slices.ContainsFunc(d, func(e entry) bool { return e.op == op })
}

// operand is the i-th operand of an operator that must be there.
func (d dict) operand(op, i int) int {
	for _, e := range d {
		if e.op == op && i < len(e.numbers) {
			return e.numbers[i]
		}
	}
	panic(damaged{})
}

// matrix is the first number of a dictionary's matrix: what a unit of the outlines is of the type size.
func (d dict) matrix() (scale float64, ok bool) {
	for _, e := range d {
		if e.op == opMatrix && len(e.operands) > 0 {
			return numberAt(e.operands), true
		}
	}
	return 0, false
}

// numberAt reads the first number, whole or not.
func numberAt(t safeBytes) float64 {
	if t.u8(0) != 30 {
		n, _ := integerAt(t, 0)
		return float64(n)
	}
	var text string
	for at := 1; at <= mostDigits; at++ {
		for _, half := range [2]int{t.u8(at) >> 4, t.u8(at) & 15} {
			if half == 15 {
				n, err := strconv.ParseFloat(text, 64)
				if err != nil {
					panic(damaged{})
				}
				return n
			}
			text += [...]string{"0", "1", "2", "3", "4", "5", "6", "7", "8", "9", ".", "E", "E-", "", "-"}[half]
		}
	}
	panic(damaged{})
}

// mostDigits are pairs of digits: no number that says something is longer.
const mostDigits = 40

// fits reports whether outlines come out in the size that the font's measures are taken for: a reader of the PDF goes by the matrix, which is a
// thousandth where there is none, and whoever sets text by the units to the em. Of two matrices of a font keyed by CID
// either may hold all of the scale.
func (c *cff) fits(upem int) bool {
	top, hasTop := c.top.matrix()
	for _, p := range c.parts {
		own, hasOwn := p.font.matrix()
		scales := []float64{0.001}
		switch {
		case hasTop && hasOwn:
			scales = []float64{top * own, top, own}
		case hasTop:
			scales = []float64{top}
		case hasOwn:
			scales = []float64{own}
		}
		if !slices.ContainsFunc(scales, func(s float64) bool { return math.Abs(s*float64(upem)-1) < 0.01 }) {
			return false
		}
	}
	return true
}

// kept are the entries of dictionaries that stay as they are: those that neither point to another place nor name a string.
func (d dict) kept() (out []byte) {
	for _, e := range d {
		switch e.op {
		case opCharset, opEncoding, opCharStrings, opPrivate, opSubrs, opROS, opCIDCount, opFDArray, opFDSelect,
			0, 1, 2, 3, 4, 13, 14, 0x0C00, 0x0C14, 0x0C15, 0x0C16, 0x0C17, 0x0C1F, 0x0C20, 0x0C21, 0x0C23, 0x0C26:
			continue
		}
		out = appendOp(append(out, e.operands...), e.op)
	}
	return out
}

func appendOp(b []byte, op int) []byte {
	if op >= 0x0C00 {
		b = append(b, 12)
	}
	return append(b, byte(op))
}

// appendEntry writes an operator with whole numbers, each in five bytes, so that a size does not hang on a value.
func appendEntry(b []byte, op int, numbers ...int) []byte {
	for _, n := range numbers {
		b = binary.BigEndian.AppendUint32(append(b, 29), uint32(n))
	}
	return appendOp(b, op)
}

func appendIndex(b []byte, list [][]byte) []byte {
	b = binary.BigEndian.AppendUint16(b, uint16(len(list)))
	if len(list) == 0 {
		return b
	}
	total := 1
	for _, s := range list {
		total += len(s)
	}
	width := 1
	for total>>(8*width) != 0 {
		width++
	}
	b = append(b, byte(width))
	at := 1
	offset := func() {
		for k := width - 1; k >= 0; k-- {
			b = append(b, byte(at>>(8*k)))
		}
	}
	offset()
	for _, s := range list {
		at += len(s)
		offset()
	}
	for _, s := range list {
		b = append(b, s...)
	}
	return b
}

// subset writes the glyphs as a font keyed by CID, each under its index in the list, whatever the font was keyed by.
func (c *cff) subset(glyphs []uint16) ([]byte, error) {
	used, err := c.trace(glyphs)
	if err != nil {
		return nil, err
	}
	var outlines [][]byte
	var partOf []byte
	var parts []int // of the font, in the order of their first use
	for _, g := range glyphs {
		outlines = append(outlines, c.glyphs.get(int(g)))
		p := c.partOf(int(g))
		at := slices.Index(parts, p)
		if at < 0 {
			at = len(parts)
			parts = append(parts, p)
		}
		partOf = append(partOf, byte(at))
	}

	out := []byte{1, 0, 4, 4}
	out = appendIndex(out, [][]byte{c.name})
	// The top dictionary and the array of font dictionaries hold offsets of what follows; their size does not change with
	// the value, so they are made twice.
	after := []byte{}
	after = appendIndex(after, [][]byte{[]byte("Adobe"), []byte("Identity")}) // strings 391 and 392
	after = appendIndex(after, used.globals.only(c.globals))

	var charset, choice, strings, fonts int
	top := func() []byte {
		d := appendEntry(nil, opROS, 391, 392, 0)
		d = append(d, c.top.kept()...)
		d = appendEntry(d, opCIDCount, len(glyphs))
		d = appendEntry(d, opCharset, charset)
		d = appendEntry(d, opFDSelect, choice)
		d = appendEntry(d, opCharStrings, strings)
		return appendEntry(d, opFDArray, fonts)
	}
	base := len(appendIndex(out, [][]byte{top()})) + len(after)
	body := []byte{2} // a character set of one range: the CIDs from 1 on
	charset = base
	body = binary.BigEndian.AppendUint16(body, 1)
	body = binary.BigEndian.AppendUint16(body, uint16(max(len(glyphs)-2, 0)))
	if len(glyphs) == 1 {
		body = []byte{0}
	}
	choice = base + len(body)
	body = append(append(body, 0), partOf...)
	strings = base + len(body)
	body = appendIndex(body, outlines)

	var sizes, places []int
	for _, p := range parts {
		private := c.parts[p].private.kept()
		places = append(places, base+len(body))
		if locals := used.locals[p].only(c.parts[p].locals); len(locals) > 0 {
			private = appendEntry(private, opSubrs, len(private)+6) // they follow at once; this entry takes six bytes
			sizes = append(sizes, len(private))
			body = appendIndex(append(body, private...), locals)
			continue
		}
		sizes = append(sizes, len(private))
		body = append(body, private...)
	}
	fonts = base + len(body)
	var dicts [][]byte
	for i, p := range parts {
		dicts = append(dicts, appendEntry(c.parts[p].font.kept(), opPrivate, sizes[i], places[i]))
	}
	body = appendIndex(body, dicts)

	out = appendIndex(out, [][]byte{top()})
	return append(append(out, after...), body...), nil
}
