package typeset

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// prepare reads the text of a block, finds its faces and shapes it. All that it finds wrong or worth saying is in the list; where
// that holds an error the block cannot be set.
func (t *textSetter) prepare(b *intake.Block) (out *body, found problem.List) {
	paragraphs, f := read(b)
	if b.Ink().Empty() || !slices.ContainsFunc(paragraphs, func(p typed) bool { return len(p.text) > 0 }) {
		panic("a block without a text, or without room for one: intake holds such rows back")
	}
	if f != nil {
		found = append(found, *f)
	}
	fs, f := t.family(b.Font)
	if f != nil {
		found = append(found, *f)
	}
	found = append(found, noteFaintInk(b.Type.Ink, b.Back)...)
	if found.Errors() > 0 {
		return nil, found
	}
	lang := t.reads(paragraphs)
	for i := range paragraphs {
		paragraphs[i].lang = lang
	}
	if !b.Type.AsTyped {
		for i := range paragraphs {
			paragraphs[i].setMarks(lang, fs)
		}
	}
	out, lacks := t.assemble(b, paragraphs, fs)
	if t.swollen != nil {
		bad := swollen(t.swollen.name)
		bad.Place = in("Font")
		return nil, append(found, *bad)
	}
	return out, slices.Concat(found, lackingStyles(fs, paragraphs), lentLetters(lacks, fs[0].name), t.unreadable(b))
}

// assemble shapes a block's paragraphs.
func (t *textSetter) assemble(b *intake.Block, paragraphs []typed, fs *faces) (*body, []lack) {
	out := &body{box: b.Ink().Size(), leading: int64(math.Round(b.Type.Leading * 1000)), align: b.Type.Align,
		faces: fs, face: fs[0].name, typed: paragraphs, lang: paragraphs[0].lang, scale: b.Type.Scale, closing: closingMost}
	if out.smallest = b.Type.Smallest; out.smallest == 0 {
		out.smallest = fs[0].Legible()
	}
	for _, p := range paragraphs {
		if p.role == text {
			out.words += tokens(p.text)
		}
	}
	if out.most = b.Type.LargestFor(out.words); out.most > 0 {
		out.smallest = min(out.smallest, out.most) // who asks for a size gets it
	}
	var lacks []lack
	for _, typed := range paragraphs {
		p, missing := t.shape(typed, fs)
		out.parts = append(out.parts, rolePart{paragraph: p, role: typed.role})
		lacks = append(lacks, missing...)
	}
	out.typedLines()
	out.readable = out.lineOf(mostLetters)
	return out, lacks
}

// lineOf is the width of a line of so many letters of the text, in parts of the em.
func (b *body) lineOf(letters int64) int64 {
	width, n := int64(0), int64(0)
	for i := range b.parts {
		if p := &b.parts[i]; p.role == text {
			n += int64(len(p.text))
			for j := range p.glyphs {
				width += int64(p.glyphs[j].advance)
			}
		}
	}
	return width * letters / max(1, n)
}

// typed is a paragraph as it was typed, cleaned: what stands at its ends and doubled spaces are gone.
type typed struct {
	text   []rune
	styles []uint8
	source []rune  // what text stands for, where that is something else: as it was typed,
	at     []int32 // and where in it each character of text begins, with its length at the end
	role   role
	lang   lang // of the whole block
	indent int  // spaces before it
}

// add appends a character. A space at the start or beside another is dropped, and so is what only allows or forbids a break
// beside a space or before an accent.
func (p *typed) add(c rune, style uint8) {
	last := func() rune {
		if n := len(p.text); n > 0 {
			return p.text[n-1]
		}
		return ' '
	}
	unmark := func() {
		for breakMark(last()) {
			p.text, p.styles = p.text[:len(p.text)-1], p.styles[:len(p.styles)-1]
		}
	}
	switch {
	case c >= 0x202A && c <= 0x202E, c >= 0x2066 && c <= 0x2069: // see levels
		return
	case c == ' ':
		unmark()
		if last() == ' ' || !slices.ContainsFunc(p.text, seen) { // also where only a joiner stands before it
			return
		}
	case breakMark(c) && last() == ' ':
		return
	case isCombining(c) && !ignorable(c): // no line ends between a letter and its accent
		unmark()
	}
	p.text, p.styles = append(p.text, c), append(p.styles, style)
}

// trim drops what add could not know to stand at the end.
func (p *typed) trim() {
	n := len(p.text)
	for n > 0 && (p.text[n-1] == ' ' || breakMark(p.text[n-1])) {
		n--
	}
	end := n
	for end > 0 && !seen(p.text[end-1]) {
		end--
	}
	if gap := slices.Index(p.text[end:n], ' '); gap >= 0 { // a space, and joiners that have nothing to join
		n = end + gap
	}
	p.text, p.styles = p.text[:n], p.styles[:n]
}

// seen reports whether a character is one that can be seen.
func seen(r rune) bool { return r != ' ' && !ignorable(r) }

// breakMark reports whether a character cannot be seen and only says where a line may break.
func breakMark(r rune) bool {
	return r == softHyphen || r == 0x200B || r >= 0x200E && r <= 0x200F || r == 0x061C || r == 0x2060 || r == 0xFEFF
}

// read brings a block's texts to what is set: one kind of space, none to spare. Blank lines at the start and the end are dropped.
func read(b *intake.Block) (out []typed, f *problem.Problem) {
	add := func(runs intake.Paragraph, r role, style uint8, column string) {
		n := 0
		for _, run := range runs {
			n += len(run.Text)
		}
		p := typed{role: r, text: make([]rune, 0, n), styles: make([]uint8, 0, n)}
		for _, run := range runs {
			st := style
			if run.Bold {
				st |= bold
			}
			if run.Italic {
				st ^= italic
			}
			for _, c := range run.Text {
				if len(p.text) == 0 && c == ' ' {
					p.indent++
				}
				switch {
				case c > ' ' && c < 0x7F: // most of what is typed
				case unicode.IsSpace(c) && c != 0xA0 && c != 0x202F:
					c = ' '
				case unicode.IsControl(c): // in a label; intake leaves none in a text
					continue
				}
				p.add(c, st)
			}
		}
		p.trim()
		if n := len(p.text); r != text && n == 0 {
			return
		}
		if len(p.text) > 0 && isCombining(p.text[0]) && !ignorable(p.text[0]) && f == nil {
			f = &problem.Problem{What: fmt.Sprintf("a line starts with an accent (U+%04X) that has no letter to stand on", p.text[0]), Hint: "type the letter before it", Place: in(column)}
		}
		out = append(out, p)
	}
	add(intake.Paragraph{{Text: b.Title}}, heading, bold, "Title")
	for _, p := range b.Text {
		add(p, text, 0, "")
	}
	blank := func(p typed) bool { return len(p.text) == 0 }
	for len(out) > 1 && blank(out[len(out)-1]) {
		out = out[:len(out)-1]
	}
	add(intake.Paragraph{{Text: b.End}}, closing, italic, "When")
	for len(out) > 1 && blank(out[0]) {
		out = out[1:]
	}
	if len(out) > 1 && out[0].role == heading {
		for len(out) > 2 && blank(out[1]) {
			out = slices.Delete(out, 1, 2)
		}
	}
	return out, f
}

// lackingStyles notes styles that the text uses and the family lacks.
func lackingStyles(fs *faces, paragraphs []typed) (notes problem.List) {
	used := uint8(0)
	for _, p := range paragraphs {
		if p.role != text {
			continue
		}
		for _, st := range p.styles {
			used |= 1 << st
		}
	}
	missing := func(name string, styles uint8, has func(f *Face) bool, instead string) {
		for st := range fs {
			if used&(1<<st) != 0 && uint8(st)&styles != 0 && !has(fs[st]) {
				notes.Note(in("Font"), fmt.Sprintf("the font %s has no %s; such words are set in %s", fs[0].name, name, instead), "",
					"choose a font that has it, or leave it so")
				return
			}
		}
	}
	missing("bold", bold, func(f *Face) bool { return f.bold }, "its regular weight")
	missing("italic", italic, func(f *Face) bool { return f.italic }, "its upright letters")
	return notes
}

// family finds the four members of a family, or what serves in their place.
func (t *textSetter) family(name string) (*faces, *problem.Problem) {
	if fs := t.families[name]; fs != nil {
		return fs, nil
	}
	if t.over[name] {
		return nil, &problem.Problem{Place: in("Font"), What: fmt.Sprintf("with the font %s the job uses more fonts than can be held at once", measure.Quote(name)),
			Cause: fmt.Sprintf("those of the rows before it have %d MB already", mostFontBytes>>20), Hint: "use fewer fonts, or make the job in parts"}
	}
	fs := &faces{}
	for style := range fs {
		f, err := t.library.Face(name, style&bold != 0, style&italic != 0)
		if err != nil {
			if style == 0 {
				p := problem.Problem{What: err.Error()}
				if known := (*problem.Problem)(nil); errors.As(err, &known) {
					p = *known
				}
				p.Place = in("Font")
				return nil, &p
			}
			f = fs[0] // a damaged bold must not stop a text without it
		}
		fs[style] = f
	}
	t.families[name] = fs
	return fs, nil
}

// lentLetters is what to say about letters that the text's face lacks: a note for each face that lent some, and an error where none does.
func lentLetters(lacks []lack, name string) (found problem.List) {
	type loan struct {
		from  *Face
		blank bool
	}
	var order []loan
	lent := map[loan][]string{}
	none := unlent(lacks)
	blank := false // of those
	for _, l := range lacks {
		if l.lender == nil {
			blank = blank || l.blank
			continue
		}
		of := loan{l.lender, l.blank}
		if lent[of] == nil {
			order = append(order, of)
		}
		if !slices.Contains(lent[of], l.letter) {
			lent[of] = append(lent[of], l.letter)
		}
	}
	for _, of := range order {
		which := "the characters " + withCodes(lent[of])
		switch n := len(lent[of]); {
		case n == 1:
			which = "the character " + withCodes(lent[of])
		case n > 4: // a whole script
			which = fmt.Sprintf("%d characters, %s the first", n, withCodes(lent[of][:1]))
		}
		lacks, cause := "lacks", ""
		if of.blank {
			lacks, cause = "has no outline of", "it draws pictures in place of letters, which cannot be printed, or its file is damaged"
		}
		found.Note(in("Font"), fmt.Sprintf("the font %s %s %s; set in %s", name, lacks, which, of.from.name), cause, "")
	}
	if len(none) > 0 {
		noun, hold, has := "the character", "it", "has"
		if blank {
			has = "has an outline of"
		}
		if len(none) > 1 {
			noun, hold = "the characters", "them"
		}
		found.Add(in(""), fmt.Sprintf("no font at hand %s %s %s", has, noun, withCodes(none)), "",
			fmt.Sprintf("write something else; or a font that has %s goes into the fonts folder of the printing computer", hold))
	}
	return found
}

// unlent are the letters that no font has, each once.
func unlent(lacks []lack) (none []string) {
	for _, l := range lacks {
		if l.lender == nil && !slices.Contains(none, l.letter) {
			none = append(none, l.letter)
		}
	}
	return none
}

// withCodes shows characters with their code points.
func withCodes(letters []string) string {
	const most = 8
	var out []string
	for _, l := range letters {
		var codes []string
		for _, r := range l {
			codes = append(codes, fmt.Sprintf("U+%04X", r))
		}
		out = append(out, fmt.Sprintf("“%s” (%s)", l, strings.Join(codes, " ")))
	}
	if len(out) > most {
		return strings.Join(out[:most], ", ") + fmt.Sprintf(" and %d more", len(out)-most)
	}
	return strings.Join(out, ", ")
}
