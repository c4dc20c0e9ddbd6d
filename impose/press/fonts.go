package press

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"tuckmark/impose/press/subset"
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
	file   *subset.Font
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
			if d.Stop() {
				return nil, ErrStopped
			}
			texts := d.Sections[i].Pages[j].texts()
			for k := range texts {
				if err := s.add(&texts[k]); err != nil {
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

// open reads a font's file.
func open(f *Font) (*face, error) {
	cut, err := subset.Open(f.Data, f.Face)
	if err != nil {
		return nil, &FontError{f.Name, err.Error()}
	}
	return &face{
		font: f, file: cut,
		glyphs: []uint16{0}, texts: []string{""}, widths: []int64{int64(cut.Advance(0))},
		codes: make([][]coded, cut.Glyphs),
	}, nil
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
		width = int64(f.file.Advance(s.glyph))
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

// subset makes the font's program.
func (f *face) subset() (*program, error) {
	p := &program{cff: f.file.CFF, metrics: f.metrics(), widths: f.widthArray(), unicode: f.toUnicode()}
	glyphs := f.glyphs // there is no table between code and glyph for CFF, so a glyph with two codes is stored twice
	if !p.cff {
		glyphs, p.toGlyph = f.distinct()
	}
	var err error
	if p.data, err = f.file.Cut(glyphs); err != nil {
		return nil, &FontError{f.font.Name, err.Error()}
	}
	// The tag goes by all that tells this subset from another: some readers keep fonts by their names.
	sum := sha256.Sum256(slices.Concat(p.data, []byte(p.widths), p.unicode))
	tag := make([]byte, 6)
	for i := range tag {
		tag[i] = 'A' + sum[i]%26
	}
	p.name = string(tag) + "+" + postScriptName(f.font.Name)
	return p, nil
}

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
	m, flags := f.file, 4 // the font's own set of characters
	if m.ItalicAngle != 0 {
		flags |= 64
	}
	return fmt.Sprintf("/Flags %d/FontBBox[%d %d %d %d]/ItalicAngle %d/Ascent %d/Descent %d/CapHeight %d/StemV 80",
		flags, m.Box[0], m.Box[1], m.Box[2], m.Box[3], m.ItalicAngle, m.Ascent, m.Descent, m.CapHeight)
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
