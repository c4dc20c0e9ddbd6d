package typeset

import (
	"slices"
	"unicode"
	"unicode/utf8"

	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
)

// shaper shapes text in one face. It keeps what HarfBuzz works out about the face, so it is worth using again; it serves
// one goroutine at a time.
type shaper struct {
	face   *Face
	font   *harfbuzz.Font
	buffer *harfbuzz.Buffer
	glyphs []glyph // of the last call of shape
	ink    []overhangs
	seen   []bool          // glyphs that ink is known of
	bad    map[uint16]bool // glyphs that cannot be put into a PDF

	optical *opticalKerner // nil as long as it is not wanted
}

// glyph is a shaped glyph. Its widths are in parts of the em; runes tells which characters of the paragraph it stands for,
// and is empty for the second and later glyphs of a cluster.
type glyph struct {
	gid          uint16
	unsafe       bool // the text cannot be cut before it without shaping it again
	from, to     int32
	advance      int32
	shiftX, rise int32
}

// runProps is what HarfBuzz must know about a run.
type runProps struct {
	script   language.Script
	language language.Language
	right    bool // to left
}

// shape shapes text[from:to], with the rest as its surroundings, into s.glyphs, in the order of the text.
func (s *shaper) shape(text []rune, from, to int, props runProps) {
	b := s.buffer
	b.Clear()
	b.AddRunes(text, from, to-from)
	b.Props.Direction = harfbuzz.LeftToRight
	if props.right {
		b.Props.Direction = harfbuzz.RightToLeft
	}
	b.Props.Script = props.script
	switch {
	case props.script == 0:
		b.Props.Script = language.Latin
	case props.script == language.Arabic && !s.face.arabic:
		// Spaces and brackets between words whose letters another face lends. In a font without rules for Arabic the
		// library looks at every call for joined letters with a code of their own, which takes far longer than the shaping.
		b.Props.Script = language.Common
	}
	b.Props.Language = props.language
	b.Shape(s.font, nil)

	n := len(b.Info)
	if cap(s.glyphs) < n {
		s.glyphs = make([]glyph, n, 2*n)
	}
	s.glyphs = s.glyphs[:n]
	for i := range n {
		info, pos := &b.Info[i], &b.Pos[i]
		g := &s.glyphs[i]
		if props.right { // HarfBuzz hands out glyphs as they stand from left to right
			g = &s.glyphs[n-1-i]
		}
		*g = glyph{gid: uint16(info.Glyph), unsafe: info.Mask&harfbuzz.GlyphUnsafeToBreak != 0, from: int32(info.Cluster),
			advance: int32(s.face.scale(int64(pos.XAdvance))), shiftX: int32(s.face.scale(int64(pos.XOffset))), rise: int32(s.face.scale(int64(pos.YOffset)))}
	}
	for i := 0; i < n; {
		j := i + 1
		for j < n && s.glyphs[j].from == s.glyphs[i].from {
			j++
		}
		end := int32(to)
		if j < n {
			end = s.glyphs[j].from
		}
		s.glyphs[i].to = end
		for k := i + 1; k < j; k++ {
			s.glyphs[k].from, s.glyphs[k].to = end, end
			s.glyphs[k].unsafe = true
		}
		i = j
	}
	if s.face.optical && !props.right {
		s.kernOptically(text)
	}
}

// width shapes a text that stands alone and measures it.
func (s *shaper) width(text []rune, props runProps) int64 {
	s.shape(text, 0, len(text), props)
	return s.total()
}

// total is the width of what was shaped last.
func (s *shaper) total() (w int64) {
	for i := range s.glyphs {
		w += int64(s.glyphs[i].advance)
	}
	return w
}

// run is a stretch of a paragraph in one face, script and direction.
type run struct {
	from, to int // runes
	face     *Face
	level    uint8 // of the bidirectional algorithm: odd runs from right to left
	props    runProps
	first    int // its glyphs are p.glyphs[first:last]
	last     int
}

// paragraph is a shaped paragraph.
type paragraph struct {
	text   []rune
	lang   lang
	source string  // what it stands for, as it was typed; glyphs take their texts from it
	byteAt []int32 // where each rune begins in source, and its length
	runs   []run
	glyphs []glyph
	base   uint8 // level of the paragraph itself: 1 where it runs from right to left

	indent, hang int64         // by which its first line and the others are set in, in parts of the em
	starts       map[int]int64 // what lines cost that start within very long words, as far as it was asked for

	ascent, descent int64 // parts of the em that the line box needs above and below the baseline
}

// style of a rune.
const (
	bold   = 1
	italic = 2
)

// textSetter is what one goroutine sets texts with.
type textSetter struct {
	library   *Library
	language  language.Language
	shapers   map[*Face]*shaper
	families  map[string]*faces
	words     map[wordKey][]hyphenPoint
	wideWords map[wordKey][]hyphenPoint // broken where nothing else helps
	best      optimiser
	line      lineMaker
	bare      bool            // nothing is to be drawn
	over      map[string]bool // fonts that are too many
	stop      func() bool     // what is set is no longer wanted; may be nil
	roughly   bool            // of texts that are too long, it is reckoned by how much, and not tried
	uncut     *Face           // one that a glyph of the block cannot be taken from; nil: none
	swollen   *Face           // one that makes too many glyphs of a letter of the block; nil: none

	glyphs arena[glyph]
	breaks arena[breakpoint]
}

// arena hands out room for what is needed until a block is done, and uses it again for the next.
type arena[T any] struct {
	room []T
	used int
}

// alloc is an empty slice with a capacity of n.
func (a *arena[T]) alloc(n int) []T {
	if a.used+n > len(a.room) {
		a.room, a.used = make([]T, max(n, 2*len(a.room))), 0 // who has parts of the old room keeps it alive
	}
	a.used += n
	return a.room[a.used-n : a.used-n : a.used]
}

func (a *arena[T]) reset() {
	const most = 1 << 16 // do not keep what only a huge text needed
	if a.used = 0; len(a.room) > most {
		a.room = nil
	}
}

func newTextSetter(l *Library, lang string) *textSetter {
	return &textSetter{library: l, language: language.Language(lang), shapers: map[*Face]*shaper{},
		families: map[string]*faces{}, words: map[wordKey][]hyphenPoint{}, wideWords: map[wordKey][]hyphenPoint{}}
}

// close hands the shapers back to their faces.
func (t *textSetter) close() {
	for f, s := range t.shapers {
		f.give(s)
	}
	clear(t.shapers)
}

func (t *textSetter) shaper(f *Face) *shaper {
	s := t.shapers[f]
	if s == nil {
		s = f.takeShaper()
		t.shapers[f] = s
	}
	return s
}

// faces are the four members of a family, by style.
type faces [4]*Face

// lack is a letter that the text's face does not have: who lent it, or nil.
type lack struct {
	letter string
	lender *Face
	blank  bool // the face has it, without an outline
}

// shape splits a paragraph into runs and shapes them. Letters that the faces lack are lent by others; lacks tells of them.
func (t *textSetter) shape(from typed, fs *faces) (p *paragraph, lacks []lack) {
	text, styles := from.text, from.styles
	p = &paragraph{text: text, lang: from.lang}
	p.byteAt = make([]int32, len(text)+1)
	if from.at == nil {
		p.source = string(text)
		n := 0
		for i, r := range text {
			p.byteAt[i] = int32(n)
			n += utf8.RuneLen(r)
		}
		p.byteAt[len(text)] = int32(n)
	} else {
		p.source = string(from.source)
		n, at := 0, 0 // bytes and characters of the source
		for i, to := range from.at {
			for ; at < int(to); at++ {
				n += utf8.RuneLen(from.source[at])
			}
			p.byteAt[i] = int32(n)
		}
	}

	levels, base := levels(text)
	p.base = base
	var blank map[int][]*Face // that left a letter blank
	for look := range mostLooks {
		p.runs, p.glyphs, p.ascent, p.descent = nil, p.glyphs[:0], 0, 0
		lacks = t.itemise(p, styles, levels, fs, blank)
		p.runs = apart(p.runs, text)
		lacks = append(lacks, t.shapeRuns(p)...)
		more := false
		for _, r := range p.runs {
			t.shaper(r.face).unseen(p.glyphs[r.first:r.last], text, func(at int) {
				if slices.Contains(blank[at], r.face) { // nobody lends it
					return
				}
				if blank == nil {
					blank = map[int][]*Face{}
				}
				blank[at] = append(blank[at], r.face)
				if more = true; look == mostLooks-1 {
					lacks = append(lacks, lack{letter: string(text[at]), blank: true})
				}
			})
		}
		if !more {
			break
		}
	}
	if len(p.runs) == 0 {
		p.ascent, p.descent = fs[0].ascent, fs[0].descent
	}
	return p, lacks
}

// shapeRuns fills p.glyphs and tells which letters no glyph came of.
func (t *textSetter) shapeRuns(p *paragraph) (lacks []lack) {
	text := p.text
	for i := range p.runs {
		r := &p.runs[i]
		s := t.shaper(r.face)
		s.shape(text, r.from, r.to, r.props)
		if r.face.atOnce > 0 && len(s.glyphs) > mostGrowth*(r.to-r.from) {
			t.swollen = r.face
			s.glyphs = s.glyphs[:r.to-r.from]
		}
		r.first = len(p.glyphs)
		if p.glyphs == nil {
			p.glyphs = t.glyphs.alloc(len(text) + len(text)/8 + 8)
		}
		p.glyphs = append(p.glyphs, s.glyphs...)
		r.last = len(p.glyphs)
		p.ascent, p.descent = max(p.ascent, r.face.ascent), max(p.descent, r.face.descent)
		for j := r.first; j < r.last; j++ {
			g := &p.glyphs[j]
			if g.gid == 0 && g.to > g.from && !allIgnorable(text[g.from:g.to]) {
				lacks = append(lacks, lack{letter: string(text[g.from:g.to])})
			}
			ink := s.overhang(g.gid)
			p.ascent, p.descent = max(p.ascent, ink.top+int64(g.rise)), max(p.descent, -ink.bottom-int64(g.rise))
		}
	}
	return lacks
}

func allIgnorable(text []rune) bool {
	for _, r := range text {
		if !ignorable(r) {
			return false
		}
	}
	return true
}

// isCombining reports whether a character belongs to the letter before it.
func isCombining(r rune) bool {
	return r >= 0x300 && (unicode.In(r, unicode.M) || ignorable(r))
}

// itemise fills p.runs. A letter goes to none of the faces that left it blank.
func (t *textSetter) itemise(p *paragraph, styles []uint8, levels []uint8, fs *faces, blank map[int][]*Face) (lacks []lack) {
	text := p.text
	script := leadingScript(text)
	for i := 0; i < len(text); {
		j := i + 1
		for j < len(text) && isCombining(text[j]) {
			j++
		}
		if s := scriptOf(text[i]); s.Strong() {
			script = s
		}
		style := uint8(0)
		if styles != nil {
			style = styles[i]
		}
		face := fs[style]
		if left := slices.Contains(blank[i], face); left || !face.hasAll(text[i:j]) {
			lent := t.lend(p, text[i:j], style, blank[i])
			lacks = append(lacks, lack{letter: string(text[i:j]), lender: lent, blank: left})
			if lent != nil {
				face = lent
			}
		}
		level := uint8(0)
		if levels != nil {
			level = levels[i]
		}
		if n := len(p.runs) - 1; n >= 0 && p.runs[n].face == face && p.runs[n].level == level && p.runs[n].props.script == script {
			p.runs[n].to = j
		} else {
			props := runProps{script: script, right: level&1 == 1}
			if script == language.Latin {
				props.language = t.language
			}
			p.runs = append(p.runs, run{from: i, to: j, face: face, level: level, props: props})
		}
		i = j
	}
	return lacks
}

// lend finds another face for a letter; the one that lent the letter before comes first, so that a word stays in one face.
func (t *textSetter) lend(p *paragraph, cluster []rune, style uint8, blank []*Face) *Face {
	if n := len(p.runs) - 1; n >= 0 && p.runs[n].face.hasAll(cluster) && !slices.Contains(blank, p.runs[n].face) {
		return p.runs[n].face
	}
	if f := t.library.lender(cluster, style&bold != 0, style&italic != 0); f != nil && !slices.Contains(blank, f) {
		return f
	}
	return nil
}

// scriptOf is language.LookupScript, faster for what is typed most.
func scriptOf(r rune) language.Script {
	switch {
	case r >= 0x80:
		return language.LookupScript(r)
	case r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z':
		return language.Latin
	}
	return language.Common
}

// leadingScript is the script of the first letter that has one of its own.
func leadingScript(text []rune) language.Script {
	for _, r := range text {
		if s := scriptOf(r); s.Strong() {
			return s
		}
	}
	return language.Latin
}
