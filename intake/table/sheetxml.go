package table

import (
	"bytes"
	"encoding/xml"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/problem"
)

// shared is an entry of the shared strings: a text, or runs.
type shared struct {
	text  string
	runs  []Run
	drawn drawn
	cell  *Cell // what is made of it, once: thousands of cells may have it
}

// drawn are the first runs of a text that are drawn as no block is printed.
type drawn struct {
	struck string // through
	moved  string // digits above the line, or below it
	signs  string // in a font of signs
}

// made is a text as a cell has it.
func (s *shared) made() *Cell {
	if s.cell != nil {
		return s.cell
	}
	s.cell = &Cell{}
	s.cell.clean(s.text)
	if len(s.runs) > 0 {
		if s.cell.more == nil {
			s.cell.more = &more{}
		}
		s.cell.more.drawn = &s.drawn
		for _, r := range s.runs {
			r.Text, _, _ = cleaned(r.Text)
			s.cell.more.runs = append(s.cell.more.runs, r)
		}
	}
	return s.cell
}

// tokens reads XML as a flat row of tokens and knows whether the document was complete.
type tokens struct {
	d    *xml.Decoder
	open []opened // elements
	any  bool
	root string // the outermost element
	over bool   // a text was longer than all texts together may be
	left *int   // elements that may still come; nil: any number
}

// deepest is how far elements may stand within each other; a worksheet has about ten.
const deepest = 200

func newTokens(r io.Reader) *tokens {
	d := xml.NewDecoder(r)
	d.Strict = true
	return &tokens{d: d}
}

// next is the next token; at the end of a document that is whole it is nil, and ok is false only where it is not.
func (t *tokens) next() (tok xml.Token, ok bool) {
	tok, err := t.d.RawToken()
	if err == io.EOF {
		return nil, t.any && len(t.open) == 0
	}
	if err != nil {
		return nil, false
	}
	switch e := tok.(type) {
	case xml.CharData:
		if t.strays(e) {
			return nil, false
		}
	case xml.StartElement:
		if t.left != nil {
			if *t.left--; *t.left < 0 {
				return nil, false
			}
		}
		if len(t.open) == deepest || len(t.open) == 0 && t.any || !fits(t.open, e) {
			return nil, false
		}
		if !t.any {
			t.root = e.Name.Local
		}
		t.any, t.open = true, append(t.open, opened{Name: e.Name, says: attr(e, counted[e.Name.Local])})
	case xml.EndElement:
		n := len(t.open) - 1
		if n < 0 || t.open[n].Name != e.Name || !t.open[n].complete() {
			return nil, false
		}
		t.open = t.open[:n]
	}
	return tok, true
}

// strays reports letters between the elements of a table, where none can be.
func (t *tokens) strays(text xml.CharData) bool {
	if len(t.open) == 0 {
		return false
	}
	in := t.open[len(t.open)-1]
	if in.Space != t.open[0].Space && !t.within("sheetData") && !t.within("sst") { // of a drawing's anchor or the like
		return false
	}
	switch in.Local {
	case "sheetData", "row", "c", "is", "si", "r", "sst":
		return len(bytes.TrimSpace(text)) > 0
	}
	return false
}

// within reports whether an element is open, of the outer ones, where a worksheet has what is asked for.
func (t *tokens) within(name string) bool {
	return slices.ContainsFunc(t.open[:min(len(t.open), outer)], func(o opened) bool { return o.Local == name })
}

// outer is how many elements around another are looked at for it: one in a hundred others, with a million letters between its own, would cost as many looks.
const outer = 10

// tooMany reports whether more elements came than may.
func (t *tokens) tooMany() bool { return t.left != nil && *t.left < 0 }

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// xmlBoolean is an XML Schema boolean.
func xmlBoolean(s string) bool { return s == "1" || s == "true" || s == "on" }

// readStrings reads the shared strings. They count whether a cell shows them or not.
func (b *book) readStrings(raw []byte) *problem.Problem {
	t := newTokens(bytes.NewReader(raw))
	t.left = &b.elements
	text := 0
	for {
		tok, ok := t.next()
		if t.tooMany() {
			return huge()
		}
		if !ok {
			return damaged()
		}
		if tok == nil {
			return nil
		}
		if e, is := tok.(xml.StartElement); is && e.Name.Local == "si" {
			s, ok := t.item("si", b.mostText)
			if text += len(s.text) + aRun*(1+len(s.runs)); t.over || text > unshown*b.mostText {
				return wordy(b.mostText)
			}
			if t.tooMany() {
				return huge()
			}
			if !ok {
				return damaged()
			}
			if b.strings = append(b.strings, s); len(b.strings) > mostStrings {
				return damaged()
			}
		}
	}
}

// item reads a string item (si or is) up to its end: its text, and its runs where it is rich text. Readings beside
// the text (rPh) are none of it. It is given up where it is longer than most bytes.
func (t *tokens) item(end string, most int) (s shared, ok bool) {
	var all, styled strings.Builder // the whole text, and that of the run
	rich, inText, phonetic, props := false, false, false, false
	var run Run
	struck, moved, signs := false, false, false
	for {
		tok, ok := t.next()
		if !ok || tok == nil {
			return s, false
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "rPh":
				phonetic = true
			case "r":
				rich, run, struck, moved, signs = true, Run{}, false, false, false
				styled.Reset()
			case "rPr":
				props = true
			case "t":
				inText = true
			case "b", "i", "strike":
				if v := attr(e, "val"); props {
					on := v == "" || xmlBoolean(v)
					switch e.Name.Local {
					case "b":
						run.Bold = on
					case "i":
						run.Italic = on
					default:
						struck = on
					}
				}
			case "vertAlign":
				moved = props && attr(e, "val") != "baseline"
			case "rFont", "charset":
				signs = signs || props && ofSigns(attr(e, "val"))
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "rPh":
				phonetic = false
			case "rPr":
				props = false
			case "t":
				inText = false
			case "r":
				if styled.Len() > 0 {
					run.Text = unescape(styled.String())
					s.runs = append(s.runs, run)
					said := strings.TrimSpace(run.Text)
					if signs && s.drawn.signs == "" {
						s.drawn.signs = said
					}
					if struck && s.drawn.struck == "" {
						s.drawn.struck = said
					} else if moved && s.drawn.moved == "" && strings.ContainsFunc(said, unicode.IsNumber) {
						s.drawn.moved = said
					}
				}
			case end:
				if s.text = unescape(all.String()); !rich {
					s.runs = nil
				}
				return s, true
			}
		case xml.CharData:
			if inText && !phonetic {
				all.Write(e)
				if rich {
					styled.Write(e)
				}
				if all.Len()+aRun*len(s.runs) > most {
					t.over = true
					return s, false
				}
			}
		}
	}
}

// ofSigns reports the name of a font, or the number of a set of characters, in which letters show as signs: 2 is that of such fonts (ECMA-376 part 1,
// 18.4.1 and 18.8.29). The names are from memory.
func ofSigns(font string) bool {
	switch name := strings.ToLower(strings.TrimSpace(font)); name {
	case "2", "symbol", "webdings", "marlett", "zapf dingbats", "zapfdingbats", "itc zapf dingbats", "mt extra", "ms outlook":
		return true
	default:
		return strings.HasPrefix(name, "wingdings") || strings.HasPrefix(name, "bookshelf symbol")
	}
}

var escaped = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// Escape writes a text as an ST_Xstring (ECMA-376 part 1, 22.9.2.19): the low line of what looks like _x0041_ is itself written so. Excelize
// does that for rich text alone.
func Escape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for i := range len(s) {
		if len(s)-i >= 7 && s[i:i+2] == "_x" && s[i+6] == '_' && strings.Trim(s[i+2:i+6], "0123456789abcdefABCDEF") == "" {
			b.WriteString("_x005F_")
			continue
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// unescape undoes ST_Xstring (ECMA-376 part 1, 22.9.2.19): _x000D_ is a carriage return, _x005F_ a low line.
func unescape(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escaped.ReplaceAllStringFunc(s, func(m string) string {
		n, _ := strconv.ParseUint(m[2:6], 16, 32)
		return string(rune(n))
	})
}

// sheetReader reads one worksheet part.
type sheetReader struct {
	book   *book
	sheet  *Sheet
	cells  int
	text   int // bytes, as mostText counts them
	row    Row
	merged []mergedCell
	arrays []string              // cells that formulas without a result fill
	data   bool                  // the element for the rows was there
	named  bool                  // the row's cells say where they stand
	each   func(Row) (more bool) // takes the rows, however many, which are not kept then; nil: they are
}

// read fills the sheet's rows, or says why it cannot.
func (x *sheetReader) read(r io.Reader) *problem.Problem {
	t := newTokens(r)
	if x.each == nil {
		t.left = &x.book.elements
	}
	col, last := -1, 0
	running := ""
	for {
		tok, ok := t.next()
		if t.tooMany() {
			return huge()
		}
		if !ok {
			return damaged()
		}
		if tok == nil {
			break
		}
		switch e := tok.(type) {
		case xml.StartElement:
			if (e.Name.Local == "row" || e.Name.Local == "c") && !t.within("sheetData") { // where a button lies, by row and column
				continue
			}
			switch e.Name.Local {
			case "col":
				first, errFirst := strconv.Atoi(attr(e, "min"))
				last, errLast := strconv.Atoi(attr(e, "max"))
				if t.within("cols") && xmlBoolean(attr(e, "hidden")) && errFirst == nil && errLast == nil && len(x.sheet.hidden) < mostAttached {
					x.sheet.hidden = append(x.sheet.hidden, [2]int{first - 1, last - 1})
				}
			case "sheetData":
				x.data = true
			case "row":
				n, err := strconv.Atoi(attr(e, "r"))
				if attr(e, "r") == "" {
					n, err = last+1, nil
				}
				if err != nil || n <= last || n > lastRow { // no program writes rows out of order
					return damaged()
				}
				x.row, col, last = Row{N: n, Hidden: xmlBoolean(attr(e, "hidden"))}, -1, n
			case "c":
				at, n, ok := parseAddress(attr(e, "r"))
				if attr(e, "r") == "" {
					at, n, ok = col+1, last, col+1 < lastColumn
				}
				if named := attr(e, "r") != ""; col < 0 {
					x.named = named
				} else if named != x.named { // a cell that lost its place
					return damaged()
				}
				if !ok || n != last || at <= col {
					return damaged()
				}
				col = at
				if !x.cell(t, e, col) {
					if t.over {
						return wordy(x.book.mostText)
					}
					if t.tooMany() {
						return huge()
					}
					return damaged()
				}
				if x.cells > x.book.mostCells && x.each == nil {
					return huge()
				}
				if x.text > x.book.mostText && x.each == nil {
					return wordy(x.book.mostText)
				}
			case "mergeCell":
				x.merge(attr(e, "ref"))
			}
		case xml.CharData:
			if t.within("headerFooter") && len(running) < mostBox {
				running += string(e)
			}
		case xml.EndElement:
			switch {
			case t.within("headerFooter"):
				if said := runningText(Clean(running)); said != "" && len(x.sheet.RunningHeads) < mostRunning && !slices.Contains(x.sheet.RunningHeads, said) {
					x.sheet.RunningHeads = append(x.sheet.RunningHeads, said)
				}
				running = ""
			case e.Name.Local != "row" || len(x.row.Cells) == 0:
			case x.each != nil:
				if !x.each(x.row) {
					return nil
				}
				x.row.Cells = x.row.Cells[:0]
			default:
				if len(x.sheet.Rows) == mostRows {
					return tooMany()
				}
				x.sheet.Rows = append(x.sheet.Rows, x.row)
				x.row.Cells = nil
			}
		}
	}
	if t.root != "worksheet" || !x.data {
		return damaged()
	}
	return nil
}

// cell reads a cell up to its end and adds it to the row where there is something in it.
func (x *sheetReader) cell(t *tokens, begin xml.StartElement, col int) bool {
	kind, style := attr(begin, "t"), 0
	if s := attr(begin, "s"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil || n < 0 || n > 0 && n >= len(x.book.looks) { // its style is gone
			return false
		}
		style = n
	}
	var value []byte
	var inline shared
	hasFormula, hasValue, hasInline, in := false, false, false, ""
	array, follows := "", false // the cells that the formula fills; it may be another one, as if it were copied
	var formula []byte          // how it begins
	for {
		tok, ok := t.next()
		if !ok || tok == nil {
			return false
		}
		switch e := tok.(type) {
		case xml.StartElement:
			switch in = e.Name.Local; in {
			case "f":
				hasFormula = true
				switch attr(e, "t") {
				case "array", "dataTable":
					array = attr(e, "ref")
				case "shared":
					follows = true
				}
			case "v":
				hasValue = true
			case "is":
				hasInline = true
				if inline, ok = t.item("is", x.book.mostText); !ok {
					return false
				}
				in = ""
			}
		case xml.EndElement:
			if e.Name.Local == "c" {
				if inlined := kind == "inlineStr"; inlined && hasValue || !inlined && hasInline {
					return false // a text that would not be read
				}
				if hasFormula && (!hasValue || len(value) == 0 && kind != "str") {
					c := Cell{Col: col, Kind: Uncomputed}
					if from, to, several := strings.Cut(array, ":"); several && from != to {
						c.more = &more{fills: array}
						x.arrays = append(x.arrays, array)
					} else if live(string(formula)) || follows && len(formula) == 0 {
						c.more = &more{live: true}
					}
					c.drawnAs(x.book.formatOf(style))
					x.appendCell(c)
				} else {
					x.add(col, kind, style, string(value), inline)
				}
				if kind == "e" && attr(begin, "vm") != "" && len(x.sheet.Pictures) < mostAttached { // a picture in the cell, or another value that older programs show as an error
					x.sheet.Pictures = append(x.sheet.Pictures, Spot{col, x.row.N})
				}
				return true
			}
			in = ""
		case xml.CharData:
			switch in {
			case "v":
				if value = append(value, e...); len(value) > x.book.mostText {
					t.over = true
					return false
				}
			case "f":
				formula = append(formula, e[:min(len(e), longestLive-len(formula))]...)
			}
		}
	}
}

// drawnAs notes how a style draws the whole cell.
func (c *Cell) drawnAs(look cellFormat) {
	c.Bold, c.Italic, c.struck, c.signs = look.bold, look.italic, look.struck, look.signs
}

// add makes a cell of what was read.
func (x *sheetReader) add(col int, kind string, style int, value string, inline shared) {
	c := Cell{Col: col}
	look := x.book.formatOf(style)
	c.drawnAs(look)
	s := &shared{text: value}
	switch kind {
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || i < 0 || i >= len(x.book.strings) {
			s = &shared{text: "�"} // the text that this cell shows is not in the file
			break
		}
		s = &x.book.strings[i]
	case "inlineStr":
		s = &inline
	case "str":
		s.text = unescape(value)
	case "", "n", "d": // a number, or nothing
		if value == "" {
			return
		}
		x.setNumber(&c, kind == "d", strings.TrimSpace(value), look)
		x.appendCell(c)
		return
	case "e":
		c.Kind = Fault
	case "b":
		s.text = "no"
		if xmlBoolean(value) {
			s.text = "yes"
		}
		c.Text, c.more = s.text, &more{unseen: true} // every language has its own word for it
		x.appendCell(c)
		return
	default: // none that there is
		s = &shared{text: "�"}
	}
	if s.text == "" {
		return
	}
	c.Text, c.more = s.made().Text, s.made().more
	if look.restates && kind != "e" {
		own := more{}
		if c.more != nil {
			own = *c.more
		}
		own.unseen, own.unsaid = true, true
		c.more = &own
	}
	x.appendCell(c)
}

func (x *sheetReader) appendCell(c Cell) {
	x.count(&c)
	x.row.Cells = append(x.row.Cells, c)
}

// count counts a cell.
func (x *sheetReader) count(c *Cell) {
	x.cells++
	x.text += c.size()
}

// setNumber fills a cell that holds a number or a date.
func (x *sheetReader) setNumber(c *Cell, iso bool, value string, look cellFormat) {
	if iso {
		if m, ok := isoMoment(value); ok {
			c.Kind, c.Text, c.more = Date, m.String(), &more{moment: &m}
			return
		}
		c.clean(value)
		return
	}
	v, err := strconv.ParseFloat(value, 64)
	if err != nil {
		c.clean(value)
		return
	}
	s, shown, known := look.of(v)
	if s.date && known {
		if m, ok := serial(v, x.book.date04); ok {
			m.look = s
			c.Kind, c.Text, c.more = Date, m.String(), &more{moment: &m, unseen: s.odd}
			return
		}
	}
	c.Kind = Number
	text, sure := s.show(shown)
	c.Text, c.more = text, &more{exact: s.exact(v), otherUnit: s.otherUnit(), currency: s.currency, unseen: !known || !sure, unsaid: !known || s.hides()}
}
