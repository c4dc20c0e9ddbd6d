package table

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/problem"
)

// readCSV reads a text file as a table: RFC 4180 and what spreadsheet programs make of it. Row numbers are those that a
// spreadsheet shows: a quoted cell with line breaks is one row. copied: it was copied in a spreadsheet.
func readCSV(file string, data []byte, known func(heading string) bool, copied bool) (*Sheet, *problem.Problem) {
	if len(data) > mostCSV {
		return nil, refused(fmt.Sprintf("the table is larger than %d MB", mostCSV>>20),
			"that is more journaling than one job can be", "delete what is not journaling, or split the file")
	}
	s, note, ok := ReadText(file, data, "CSV UTF-8")
	if !ok && utf16Like(data) {
		if read, ok := utf16Text(data); ok {
			if line := strayLine(data, read); line > 0 {
				return nil, refused(fmt.Sprintf("from line %d on the file is in another encoding than before", line),
					"it is in UTF-16, and plain text was added to it, or a byte of it was lost, so that rows would be lost or read as other letters", "put its rows together in your spreadsheet program, and save them as an Excel workbook (.xlsx)")
			}
		}
	}
	if !ok {
		return nil, refused("the file is neither a workbook nor text",
			"it may be damaged, or in an encoding that is not known here", saveAs)
	}
	out := &Sheet{File: file, CSV: true, Copied: copied}
	if note != nil {
		out.Problems = append(out.Problems, *note)
	}
	var sep string
	if s, sep = declared(s); sep == "" {
		sep = separator(s, known)
	}
	return out, out.parse(&reader{s: s, sep: sep, copied: copied})
}

// ReadText makes text of the bytes of a file, whatever its encoding; ok is false where it is none. Where the encoding had to be judged by the look
// of the words, a note says so, of the whole file or of lines of it; saveAs is what it is best saved as.
func ReadText(file string, data []byte, saveAs string) (s string, note *problem.Problem, ok bool) {
	s, name, lines, ok := decode(data)
	if !ok || strings.ContainsRune(s, 0) {
		return "", nil, false
	}
	var list problem.List
	switch at := (problem.Place{File: file}); {
	case len(lines) > 0:
		list.Note(at, "lines of the file are in another encoding than the rest, and were read as "+name+": "+numbers(lines),
			"it was put together of files that were saved in different ways", "where a letter of these lines looks wrong, type it again")
	case name != "":
		list.Note(at, "the file is in an old encoding, read as "+name,
			"it does not say which one it is in, so that accents and quotes had to be judged by the look of the words",
			"where a letter looks wrong, save it as “"+saveAs+"”")
	default:
		return s, nil, true
	}
	return s, &list[0], true
}

// numbers lists numbers, and how far they go where they are many.
func numbers(list []int) string {
	const most = 12
	var out []string
	for _, n := range list[:min(len(list), most)] {
		out = append(out, strconv.Itoa(n))
	}
	if n := len(list); n > most {
		out = append(out, fmt.Sprintf("%d others up to %d", n-most, list[n-1]))
	}
	return problem.And(out)
}

// declared takes off a first line that names the separator, as in sep=; and returns it, or "".
func declared(s string) (rest, sep string) {
	head := strings.TrimPrefix(s, `"`)
	if len(head) < 5 || !strings.EqualFold(head[:4], "sep=") {
		return s, ""
	}
	sep = head[4:5]
	if _, n := utf8.DecodeRuneInString(head[4:]); n > 1 {
		sep = head[4 : 4+n]
	}
	rest = head[4+len(sep):]
	if len(head) < len(s) {
		rest = strings.TrimPrefix(rest, `"`)
	}
	switch {
	case strings.HasPrefix(rest, "\r\n"):
		return rest[2:], sep
	case strings.HasPrefix(rest, "\n"), strings.HasPrefix(rest, "\r"):
		return rest[1:], sep
	}
	return s, ""
}

// separators are what may part cells: what programs write, and the signs that other languages part lists by (CLDR 48.2, symbols).
var separators = []string{",", ";", "\t", "|", "؛", "⁏", "၊"}

// separator judges which sign parts the cells: the one that makes the most of the headings that are known above, and the
// steadiest rows.
func separator(s string, known func(heading string) bool) string {
	if len(s) > 1<<16 {
		s = s[:1<<16]
	}
	best, most := ",", -1
	for _, sep := range separators {
		if !strings.Contains(s, sep) {
			continue
		}
		score, width, rows := 0, 0, 0
		r := reader{s: s, sep: sep}
		for rows < 40 && !r.done() {
			fields, _ := r.record()
			if len(fields) < 2 {
				continue
			}
			rows++
			if len(fields) == width {
				score++
			}
			width = len(fields)
			if rows <= 12 {
				for _, f := range fields {
					if known(f.text) {
						score += 10
					}
				}
			}
		}
		if score > most {
			best, most = sep, score
		}
	}
	if most <= 0 {
		return ","
	}
	return best
}

// csvField is one cell of a CSV record.
type csvField struct {
	text   string
	quoted bool
	bare   bool // a quotation mark within the quotes stood alone
	broken bool // the text has a line break
	parted bool // the text has a separator
	twice  bool // the text has a quotation mark that stands doubled
}

// reader takes a text apart into records.
type reader struct {
	s   string
	sep string
	pos int
	n   int // records read

	wide   bool // a record had more cells than a spreadsheet has columns
	spaced int  // quotation marks after spaces that were never closed: after a few, no more are tried

	copied       bool // in a spreadsheet: where tabs part the cells, only those with a line break or a tab are quoted, or have their marks doubled
	quoting      bool // the first record is quoted throughout, as some programs write all texts
	last, widest int  // cells of the record before, and of the widest
	lineEnd      int  // of the line whose cells were counted last
	lineCells    int  // of the record, up to that end
	unsure       bool // a text in the record may as well be two cells, or two rows
}

// parts reports whether a separator stands at a place.
func (r *reader) parts(at int) bool {
	return r.s[at] == r.sep[0] && (len(r.sep) == 1 || strings.HasPrefix(r.s[at:], r.sep))
}

func (r *reader) done() bool { return r.pos >= len(r.s) }

// record reads the next record. open tells that a quotation mark in it is never closed.
func (r *reader) record() (fields []csvField, open bool) {
	r.n++
	defer func() {
		if r.last == 0 && !open {
			r.quoting = !slices.ContainsFunc(fields, func(f csvField) bool { return !f.quoted })
		}
		r.last = len(fields)
		r.widest = max(r.widest, r.last)
	}()
	for {
		f, closed := r.field(len(fields))
		if fields = append(fields, f); len(fields) > lastColumn {
			r.wide = true
			fields = fields[:lastColumn]
		}
		if !closed {
			return fields, true
		}
		if r.done() {
			return fields, false
		}
		switch r.s[r.pos] {
		case '\r':
			r.pos++
			if !r.done() && r.s[r.pos] == '\n' {
				r.pos++
			}
			return fields, false
		case '\n':
			r.pos++
			return fields, false
		}
		r.pos += len(r.sep)
	}
}

// field reads up to a separator or the end of the line; before is how many cells the record has before it.
func (r *reader) field(before int) (f csvField, closed bool) {
	start := r.pos
	for start < len(r.s) && r.s[start] == ' ' && r.sep != " " {
		start++
	}
	switch {
	case start == len(r.s) || r.s[start] != '"':
	case start == r.pos:
		f, end, closed := r.quoted(start+1, len(r.s))
		if r.sep == "\t" {
			typed, whole := r.typed(f, closed, before, end)
			if typed {
				break
			}
			if closed = whole; !f.broken { // its tabs part no cells of the line
				r.lineCells -= strings.Count(r.s[r.pos:end], "\t")
			}
		}
		r.pos = end
		return f, closed
	case r.spaced < 100 && !(r.sep == "\t" && r.copied):
		if f, end, closed := r.quoted(start+1, min(len(r.s), start+mostSpaced)); closed {
			r.pos = end
			return f, true
		}
		r.spaced++
	}
	end := r.pos
	for end < len(r.s) && !r.parts(end) && r.s[end] != '\r' && r.s[end] != '\n' {
		end++
	}
	f.text, r.pos = r.s[r.pos:end], end
	return f, true
}

// marksFit reports a text whose quotation marks stand as such: round words, in pairs, or behind a figure, as inches. In "Ready?""Ready!" they were typed.
func marksFit(text string) bool {
	open := false
	runes := []rune(text)
	for i, c := range runes {
		if c != '"' {
			continue
		}
		begins := i == 0 || unicode.IsSpace(runes[i-1]) || strings.ContainsRune("([{-–—/", runes[i-1])
		ends := i+1 == len(runes) || !unicode.IsLetter(runes[i+1]) && !unicode.IsDigit(runes[i+1])
		switch {
		case open && ends && !unicode.IsSpace(runes[i-1]):
			open = false
		case !open && begins && i+1 < len(runes) && !unicode.IsSpace(runes[i+1]):
			open = true
		case i > 0 && (unicode.IsDigit(runes[i-1]) || strings.ContainsRune("½¼¾⅛⅜⅝⅞", runes[i-1])) && ends:
		default:
			return false
		}
	}
	return !open
}

// typed reports that the quotation mark that a cell between tabs begins with was typed, as a ditto, or in "We" went home: what a spreadsheet copies has
// such cells as they are, with a tab for each cell, so that the line has as many as the one before, and so has each line that the mark would quote. Otherwise
// the mark quotes the cell: f is what it quotes then, up to end, and whole whether no rows can have been swallowed by that.
func (r *reader) typed(f csvField, closed bool, before, end int) (typed, whole bool) {
	if closed && !f.parted && !f.broken {
		return r.copied && r.last > 0 && !r.quoting && !(f.twice && marksFit(f.text)), true // nobody types marks round a text and doubles those in it
	}
	if closed && r.quoting { // by a program that doubles the marks that are typed
		return false, true
	}
	if r.pos >= r.lineEnd { // counted once: a line may have very many cells that begin so
		r.lineEnd, r.lineCells = r.rest(r.pos, before)
	}
	n := r.lineCells
	full := n == r.last || n == r.widest
	alone := strings.HasPrefix(r.s[r.pos:], "\"\t")
	switch {
	case closed && !f.parted: // several lines, where the mark that closes them may be the one that the next row begins with
		if _, cells := r.rest(end, before); !full || cells <= r.widest {
			return false, true
		}
		r.unsure = !r.copied && !ditto(f.text)
		return !r.unsure, false
	case closed && f.broken:
		some, all := r.fullLines(end)
		switch {
		case full && ditto(f.text) && (all || r.copied && strings.ContainsAny(f.text[len(f.text)-1:], "\r\n")):
			return true, true
		case full && (all || ditto(f.text)):
			r.unsure = true
			return false, false
		case !some || r.last == 0:
			return false, true
		}
	case full && closed && !r.copied && !(alone && ditto(f.text)):
		r.unsure = true
		return false, false
	case full:
		return true, true
	}
	if r.last == 0 && !closed || r.copied && alone {
		return true, true
	}
	whole = closed && (r.last == 0 || n > r.widest && !((f.broken || alone) && ditto(f.text)))
	r.unsure = closed && !whole
	return false, whole
}

// ditto reports whether the mark that closes a text may have been typed for itself: as a ditto, which stands alone in its cell, or as an inch mark.
func ditto(text string) bool {
	last := text[len(text)-1]
	return last == '\t' || last == '\n' || last == '\r' || last >= '0' && last <= '9'
}

// fullLines reports whether some of the lines after the one that is read now, up to the line that end is in, have as many cells as a row has, and whether all.
func (r *reader) fullLines(end int) (some, all bool) {
	all = true
	for from := r.lineEnd; from < end; {
		for from < len(r.s) && (r.s[from] == '\r' || r.s[from] == '\n') {
			from++
		}
		to, cells := r.rest(from, 0)
		full := cells == r.last || cells == r.widest
		some, all = some || full, all && full
		from = to
	}
	return some, all
}

// rest is where the line ends that from is in, and how many cells the record has up to there, with before it that many.
func (r *reader) rest(from, before int) (end, cells int) {
	if end = strings.IndexAny(r.s[from:], "\r\n"); end < 0 {
		end = len(r.s) - from
	}
	end += from
	return end, before + 1 + strings.Count(r.s[from:end], "\t")
}

// quoted reads a quoted field whose text starts at start; end is where its separator stands. A quotation mark that is
// neither doubled nor followed by the end of the cell is taken as typed: "4 1/2" x 2" is an inch mark. In a text of
// several lines it is not, for there it may as well be the one that opens a later cell, and rows would be swallowed.
func (r *reader) quoted(start, limit int) (f csvField, end int, closed bool) {
	f.quoted = true
	var b strings.Builder
	from := start
	for i := start; i < limit; i++ {
		switch c := r.s[i]; {
		case c == '\r' || c == '\n':
			f.broken = true
		case r.parts(i):
			f.parted = true
		case c == '"':
			if i+1 < len(r.s) && r.s[i+1] == '"' {
				f.twice = true
				b.WriteString(r.s[from : i+1])
				i++
				from = i + 1
				continue
			}
			end := i + 1
			for end < len(r.s) && r.s[end] == ' ' {
				end++
			}
			if end == len(r.s) || r.parts(end) || r.s[end] == '\r' || r.s[end] == '\n' {
				b.WriteString(r.s[from:i])
				f.text = b.String()
				return f, end, !(f.bare && f.broken)
			}
			f.bare = true
		}
		if r.sep == "\t" && f.bare { // nothing that quotes a cell between tabs: how far it goes is of no use
			return f, i + 1, false
		}
	}
	return f, limit, false
}

// mostSpaced is how far the end of a quoted cell is looked for whose quotation mark stands after spaces.
const mostSpaced = 20_000

// The most that one table may be; more is no retreat. 24 MB are 50,000 rows of 500 letters.
const (
	mostRows = 50_000
	mostCSV  = 24 << 20
)

// parse fills the sheet's rows.
func (s *Sheet) parse(r *reader) *problem.Problem {
	width, most, cells := 0, 0, 0 // of the records before: cells that hold something, and all that are written
	for !r.done() {
		fields, open := r.record()
		if open && r.unsure {
			return refused(fmt.Sprintf("row %d can be read in two ways", r.n), "a tab or a line break stands between quotation marks: it may be part of a text, or stand between two cells that have such marks in them",
				"take it or the quotation marks away, or save the table as a workbook (.xlsx)")
		}
		if open {
			return unclosed(r.n)
		}
		written := len(fields)
		for len(fields) > 0 && strings.TrimSpace(fields[len(fields)-1].text) == "" {
			fields = fields[:len(fields)-1]
		}
		if len(fields) == 0 {
			continue
		}
		if len(s.Rows) == mostRows || r.wide {
			return tooMany()
		}
		if swallowsLines(fields, r.sep, width, most > 0 && written > most) {
			return unclosed(r.n)
		}
		width, most = max(width, len(fields)), max(most, written)
		out := Row{N: r.n, Written: written}
		for col, f := range fields {
			if strings.TrimSpace(f.text) == "" {
				continue
			}
			if cells++; cells > mostCells {
				return tooMany()
			}
			c := Cell{Col: col}
			c.clean(f.text)
			out.Cells = append(out.Cells, c)
		}
		s.Rows = append(s.Rows, out)
	}
	return nil
}

func unclosed(row int) *problem.Problem {
	return refused(fmt.Sprintf("a quotation mark in row %d is opened and never closed", row),
		"everything after it would be read as one cell, and rows would be lost",
		"close the quotation mark in that row, or save the table as a workbook (.xlsx)")
}

func tooMany() *problem.Problem {
	return refused(fmt.Sprintf("the table has more than %d rows, or far too many cells", mostRows),
		"that is more journaling than one job can be",
		"delete what is not journaling, or split the file")
}

// swallowsLines reports a record one of whose texts holds lines of the table: its closing quotation mark was another cell's. In a record
// that is too short, a line within the text has as many separators as the table; in one that is not, one line of the text has what
// was missing of its row, and a later one the beginning of another, and a cell of either begins with a digit, as a measure does. So it does where the record
// has more cells than any before (long), those of two rows. A text of one line holds the next cells where quotation marks stand alone in it and the record
// is too short by just these.
func swallowsLines(fields []csvField, sep string, width int, long bool) bool {
	for col, f := range fields {
		if f.bare && len(fields) < width && len(fields)+strings.Count(f.text, sep) >= width {
			return true
		}
		if !f.quoted || !f.broken || width < 3 {
			continue
		}
		missing, measured := false, false
		lines := strings.Split(lineEnds.Replace(f.text), "\n")
		for i, line := range lines {
			if line == "" && i > 0 && i < len(lines)-1 {
				continue // between paragraphs; at either end it may be a row's that ends, or begins, with a ditto
			}
			if i > 0 && strings.Count(line, sep) == width-1 && len(fields) < width {
				return true
			}
			cells := strings.Split(strings.ReplaceAll(line, sep+" ", " "), sep) // which is prose
			if n := len(cells) - 1; missing && (n >= col || long && n > 0) && (measured || digits(cells[:n])) {
				return true
			} else if n >= width-1-col {
				missing, measured = true, measured || digits(cells[1:])
			}
		}
	}
	return false
}

var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// digits reports whether one of the cells begins with a digit.
func digits(cells []string) bool {
	return slices.ContainsFunc(cells, func(c string) bool { return c != "" && c[0] >= '0' && c[0] <= '9' })
}
