package press

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"strings"
	"unicode/utf16"

	"github.com/tdewolff/font"
)

// FontError says that a font cannot be put into a PDF.
type FontError struct {
	Font string // its name
	Why  string // in plain words
}

func (e *FontError) Error() string {
	return fmt.Sprintf("the font %q cannot be put into a PDF: %s", e.Font, e.Why)
}

// fontSet is the fonts of a document in the order of their first use. Codes are given out over the whole document, so
// that a font is the same object in every section and stands in the merged file once.
type fontSet struct {
	faces []*face
	index map[*Font]int
}

// face is a font with the codes (CIDs) that the document needs of it. A code stands for a glyph together with the text it
// was set for: one glyph that serves two texts gets two codes, so that each can be read back as what was typed.
type face struct {
	font   *Font
	name   string
	sfnt   *font.SFNT
	glyphs []uint16  // by code; code 0 is .notdef
	texts  []string  // by code
	widths []int64   // by code, in 1/1000 em, whole: some readers drop the fraction, and the row must agree with them
	codes  [][]coded // by glyph
}

type coded struct {
	sign sign
	code uint16
}

// gather reads every font of the document and gives out all codes.
func gather(d *Document) (*fontSet, error) {
	s := &fontSet{index: map[*Font]int{}}
	for i := range d.Sections {
		for j := range d.Sections[i].Pages {
			p := &d.Sections[i].Pages[j]
			for k := range p.Texts {
				if err := s.add(&p.Texts[k]); err != nil {
					return nil, err
				}
			}
		}
	}
	return s, nil
}

func (s *fontSet) add(t *Text) error {
	if len(t.Glyphs) == 0 {
		return nil
	}
	if t.Font == nil || t.Size <= 0 {
		return fmt.Errorf("press: a text without font or size")
	}
	n, ok := s.index[t.Font]
	if !ok {
		f, err := open(t.Font)
		if err != nil {
			return err
		}
		n = len(s.faces)
		s.index[t.Font] = n
		s.faces = append(s.faces, f)
	}
	f := s.faces[n]
	return spell(t, func(_ int, s sign) error { return f.need(s) }, func(string) {})
}

func (s *fontSet) use(f *Font) int { return s.index[f] }

// open reads a font. The library panics on some malformed files, which is caught here.
func open(f *Font) (out *face, err error) {
	name := postScriptName(f.Name)
	defer func() {
		if recover() != nil {
			out, err = nil, &FontError{f.Name, "its file is damaged"}
		}
	}()
	s, e := font.ParseSFNT(f.Data, f.Face)
	if e != nil {
		return nil, &FontError{f.Name, unreadable(f.Data)}
	}
	if s.Head.UnitsPerEm == 0 || s.NumGlyphs() == 0 {
		return nil, &FontError{f.Name, "its file is damaged"}
	}
	if s.IsCFF {
		// Some viewers look glyphs up by name; the writer needs one for each.
		if s.CFF == nil || s.CFF.TopDICT().IsCID {
			return nil, &FontError{f.Name, "its outlines are stored in a way (keyed by character collection) that this program cannot embed"}
		}
	}
	return &face{
		font: f, name: name, sfnt: s,
		glyphs: []uint16{0}, texts: []string{""}, widths: []int64{advance(s, 0)},
		codes: make([][]coded, s.NumGlyphs()),
	}, nil
}

// unreadable says why a font file cannot be read, as far as its first bytes tell.
func unreadable(data []byte) string {
	switch {
	case bytes.HasPrefix(data, []byte("wOF")):
		return "it is a web font (WOFF); a TrueType or OpenType file is needed"
	case bytes.HasPrefix(data, []byte("OTTO")) && bytes.Contains(data[:min(len(data), 512)], []byte("CFF2")):
		return "it is a variable OpenType font; install one of its fixed styles"
	}
	return "its file is damaged, or is no TrueType or OpenType font"
}

func advance(s *font.SFNT, glyph uint16) int64 {
	return roundDiv(int64(s.GlyphAdvance(glyph))*1000, int64(s.Head.UnitsPerEm))
}

// need makes sure that there is a code for a sign.
func (f *face) need(s sign) error {
	if int(s.glyph) >= len(f.codes) {
		return fmt.Errorf("press: font %q has no glyph %d", f.font.Name, s.glyph)
	}
	for _, c := range f.codes[s.glyph] {
		if c.sign == s {
			return nil
		}
	}
	if len(f.glyphs) > 0xFFFF {
		return &FontError{f.font.Name, "the document uses more than 65,535 different characters of it"}
	}
	width := s.width
	if width == 0 {
		width = advance(f.sfnt, s.glyph)
	}
	f.codes[s.glyph] = append(f.codes[s.glyph], coded{s, uint16(len(f.glyphs))})
	f.glyphs = append(f.glyphs, s.glyph)
	f.texts = append(f.texts, s.text)
	f.widths = append(f.widths, width)
	return nil
}

// code is the code of a sign that need has seen.
func (f *face) code(s sign) uint16 {
	for _, c := range f.codes[s.glyph] {
		if c.sign == s {
			return c.code
		}
	}
	return 0
}

// program is a font cut down to the glyphs in use, with the dictionaries' contents that depend on it.
type program struct {
	name    string // with the tag of a subset
	cff     bool
	data    []byte
	toGlyph []byte // code -> glyph of the subset, two bytes each; nil: the same
	metrics string // entries of the font descriptor
	widths  string
	unicode []byte // the CMap that maps codes to text
}

// subset cuts the font down. It is called once for a document: the library changes the font it subsets.
func (f *face) subset() (p *program, err error) {
	defer func() {
		if recover() != nil {
			p, err = nil, &FontError{f.font.Name, "its file is damaged"}
		}
	}()
	p = &program{cff: f.sfnt.IsCFF, metrics: f.metrics(), widths: f.widthArray(), unicode: f.toUnicode()}
	if p.cff {
		// There is no table between code and glyph for CFF, so a glyph with two codes is stored twice.
		s, e := f.sfnt.Subset(bytesOf(f.glyphs), font.SubsetOptions{Tables: []string{"CFF ", "head", "hhea", "hmtx", "maxp"}})
		if e != nil {
			return nil, &FontError{f.font.Name, "its outlines cannot be read"}
		}
		p.data = s.Tables["CFF "]
	} else {
		glyphs, to := f.distinct()
		s, e := f.sfnt.Subset(glyphs, font.SubsetOptions{Tables: font.KeepPDFTables})
		if e != nil {
			return nil, &FontError{f.font.Name, "its outlines cannot be read"}
		}
		p.data = s.Write()
		fixStamp(p.data)
		p.toGlyph = to
	}
	sum := sha256.Sum256(p.data)
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	p.name = string(tag) + "+" + f.name
	return p, nil
}

func bytesOf(g []uint16) []uint16 { return append([]uint16(nil), g...) }

// distinct lists each glyph once, and for every code its place in that list.
func (f *face) distinct() (glyphs []uint16, toGlyph []byte) {
	place := map[uint16]uint16{}
	same := true
	for code, g := range f.glyphs {
		at, ok := place[g]
		if !ok {
			at = uint16(len(glyphs))
			place[g] = at
			glyphs = append(glyphs, g)
		}
		same = same && int(at) == code
		toGlyph = binary.BigEndian.AppendUint16(toGlyph, at)
	}
	if same {
		return glyphs, nil
	}
	return glyphs, toGlyph
}

// metrics are the entries of the font descriptor (ISO 32000-1, table 122), in 1/1000 em.
func (f *face) metrics() string {
	s := f.sfnt
	em := func(v int16) int64 { return roundDiv(int64(v)*1000, int64(s.Head.UnitsPerEm)) }
	ascent, descent := em(s.Hhea.Ascender), em(s.Hhea.Descender)
	capital := ascent
	if s.OS2 != nil && s.OS2.SCapHeight > 0 {
		capital = em(s.OS2.SCapHeight)
	}
	flags, angle := 4, int64(0) // 4: the font's own set of characters
	if s.Post != nil && s.Post.ItalicAngle != 0 {
		flags |= 64
		angle = int64(s.Post.ItalicAngle)
	}
	return fmt.Sprintf("/Flags %d/FontBBox[%d %d %d %d]/ItalicAngle %d/Ascent %d/Descent %d/CapHeight %d/StemV 80",
		flags, em(s.Head.XMin), em(s.Head.YMin), em(s.Head.XMax), em(s.Head.YMax), angle, ascent, descent, capital)
}

func (f *face) widthArray() string {
	var b strings.Builder
	b.WriteString("[0[")
	for i, w := range f.widths {
		if i > 0 {
			b.WriteByte(' ')
		}
		fmt.Fprintf(&b, "%d", w)
	}
	b.WriteString("]]")
	return b.String()
}

// toUnicode is the CMap from codes to text (ISO 32000-1, 9.10.3).
func (f *face) toUnicode() []byte {
	var b bytes.Buffer
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo<</Registry(Adobe)/Ordering(UCS)/Supplement 0>>def\n" +
		"/CMapName/Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000><FFFF>\nendcodespacerange\n")
	var lines []string
	for code, text := range f.texts {
		if text != "" {
			lines = append(lines, fmt.Sprintf("<%04X><%X>\n", code, utf16BE(text)))
		}
	}
	for len(lines) > 0 {
		n := min(100, len(lines)) // the most that one block may hold
		fmt.Fprintf(&b, "%d beginbfchar\n%sendbfchar\n", n, strings.Join(lines[:n], ""))
		lines = lines[n:]
	}
	b.WriteString("endcmap\nCMapName currentdict/CMap defineresource pop\nend\nend\n")
	return b.Bytes()
}

func utf16BE(s string) []byte {
	var b []byte
	for _, u := range utf16.Encode([]rune(s)) {
		b = binary.BigEndian.AppendUint16(b, u)
	}
	return b
}

// postScriptName keeps what a PDF name and a PostScript name may hold.
func postScriptName(s string) string {
	name := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' || r == '.' {
			return r
		}
		return -1
	}, s)
	if name == "" {
		return "Unnamed"
	}
	return name[:min(len(name), 56)] // 63 with the tag, the longest that PostScript knew
}

// fixStamp replaces the time of day that the library writes into the font's head table ("modified") by the time the font
// was made, and puts the checksums right.
func fixStamp(b []byte) {
	for i := range int(binary.BigEndian.Uint16(b[4:])) {
		record := b[12+16*i:]
		if string(record[:4]) != "head" {
			continue
		}
		at, size := binary.BigEndian.Uint32(record[8:]), binary.BigEndian.Uint32(record[12:])
		head := b[at : at+size]
		copy(head[28:36], head[20:28])
		binary.BigEndian.PutUint32(head[8:], 0) // the sum of the file is taken with nought here
		binary.BigEndian.PutUint32(record[4:], checksum(head))
		binary.BigEndian.PutUint32(head[8:], 0xB1B0AFBA-checksum(b))
		return
	}
}

// checksum is the sum of an OpenType table's 32-bit words.
func checksum(b []byte) (sum uint32) {
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	if len(b) > 0 {
		var last [4]byte
		copy(last[:], b)
		sum += binary.BigEndian.Uint32(last[:])
	}
	return sum
}
