package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"slices"
	"strconv"
	"strings"
)

// ProblemsSheet is the sheet of a workbook with the cells to mend marked that lists what is wrong. It comes back with the
// mended rows and is none of them.
const ProblemsSheet = "Problems"

// reportSheets are sheets that every report has.
var reportSheets = []string{"Blocks", "Leftovers", "Cuts"}

// IsReport reports whether the file is a report workbook of ours: by its sheets, for a person may have renamed the file.
func (f *File) IsReport() bool {
	named := map[string]bool{}
	for _, s := range f.Sheets {
		named[s.Name] = true
	}
	return reportNames(named)
}

// listsAgain reports a sheet of a report that lists every block or cut, for people. What a later run needs stands elsewhere.
func listsAgain(name string) bool {
	name, n, again := strings.Cut(name, " ")
	if _, err := strconv.Atoi(n); again && err != nil { // what a redo adds has a number
		return false
	}
	return name == "Blocks" || name == "Cuts"
}

// ours are the sheets that this program puts into workbooks for people, which hold nothing of theirs, by what stands in the first
// row. Their names alone would not tell: people have sheets with these names.
var ours = map[string][]string{
	"Help":        {"How to fill in this form"},
	"Lists":       {"Stocks", "less width", "less height", "Fonts", "letter width", "Align", "Turn"},
	ProblemsSheet: {"Whose", "File", "Sheet", "Row", "Cell", "Kind", "What is wrong", "Why", "What to do"},
}

// longestLive is how many bytes of a formula are looked at: those of a form's live column say the sentence that live looks for further ahead.
const longestLive = 500

// live reports a formula, or how one begins, that a form has in its live column (intake/form/live.go): no other says that sentence.
func live(formula string) bool { return strings.Contains(formula, `"check width and height"`) }

// IsOurs reports whether the sheet is one of those that this program puts beside the ones to fill in.
func (s *Sheet) IsOurs() bool {
	first := ours[s.Name]
	if first == nil || len(s.Rows) == 0 {
		return false
	}
	cells := s.Rows[0].Cells
	for _, more := range []struct{ sheet, heading string }{{"Lists", DeskMark}, {"Lists", HelpLines}, {ProblemsSheet, AsWritten}} {
		if n := len(cells); s.Name == more.sheet && n > 0 && cells[n-1].Text == more.heading {
			cells = cells[:n-1]
		}
	}
	if len(cells) != len(first) {
		return false
	}
	for i, c := range cells {
		if c.Text != first[i] {
			return false
		}
	}
	return true
}

// HelpLines heads the column of the sheet of lists that has the lines of the sheet of help, as they were written.
const HelpLines = "Help"

// AsWritten heads the last column of the sheet of problems: below it stand the marks of its lines.
const AsWritten = "As written"

// changed reports a line of the sheet of problems that does not have the mark of what it says.
func (s *Sheet) changed(r *Row) bool {
	last := s.Rows[0].Cells[len(s.Rows[0].Cells)-1]
	if last.Text != AsWritten { // somebody has taken the marks away
		return true
	}
	var said []string
	for _, c := range r.Cells {
		if c.Col < last.Col {
			said = append(said, c.Text)
		}
	}
	mark := r.At(last.Col)
	return mark == nil || mark.Text != Sign(strings.Join(said, " "))
}

// TypedInto are the cells of one of this program's own sheets that somebody typed into since it was written: those beside its columns, on the
// sheet of help those that are none of its lines, or all where the sheet of lists with these is gone, on the sheet of lists those below the end of a list, and
// on the sheet of problems those of lines that say something else.
func (f *File) TypedInto(s *Sheet) (out []Spot) {
	help := s.Name == "Help"
	var lines map[string]bool
	old := false // a form whose lines stand on no list
	for _, lists := range f.Sheets {
		if help && lists.Name == "Lists" && lists.IsOurs() {
			lines = lists.below(HelpLines)
			old = lines == nil
		}
	}
	if !s.IsOurs() || old {
		return nil
	}
	head := &s.Rows[0]
	ends := map[int]int{} // the rows that the lists have come to, by their columns
	for _, c := range head.Cells {
		if s.Name == "Lists" && c.Text != HelpLines && c.Text != DeskMark {
			ends[c.Col] = head.N
		}
	}
	wrote := func(c *Cell, row int) bool { // as far as it can be told
		switch end, list := ends[c.Col]; {
		case row == head.N || head.At(c.Col) == nil:
			return head.At(c.Col) != nil
		case help:
			return lines[c.Text]
		case list && end != row-1:
			return false
		case list:
			ends[c.Col] = row
		}
		return true
	}
	for i := range s.Rows {
		changed := s.Name == ProblemsSheet && i > 0 && s.changed(&s.Rows[i])
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			if !c.Covered && (strings.TrimSpace(c.Text) != "" || c.Kind != Text) && (changed || !wrote(c, s.Rows[i].N)) {
				out = append(out, Spot{Col: c.Col, Row: s.Rows[i].N})
			}
		}
	}
	return out
}

// below are the texts below a heading in the first row; nil: there is no such heading.
func (s *Sheet) below(heading string) map[string]bool {
	for _, head := range s.Rows[0].Cells {
		if head.Text == heading {
			texts := map[string]bool{}
			for i := range s.Rows[1:] {
				if c := s.Rows[i+1].At(head.Col); c != nil {
					texts[c.Text] = true
				}
			}
			return texts
		}
	}
	return nil
}

// CopyOf is what the properties of a workbook with the cells to mend marked say: which files its rows are from.
func CopyOf(files []string) string { return copyOf + strings.Join(files, "\n") }

const copyOf = "Rows of these files:\n"

// Keywords are those among the properties of a workbook; "" where there are none.
func Keywords(data []byte) string {
	archive, why := partsOf(data)
	if why != nil {
		return ""
	}
	var doc struct {
		Keywords string `xml:"keywords"`
	}
	raw, ok := (&book{archive: archive}).unpack("docProps/core.xml")
	if !ok || xml.Unmarshal(raw, &doc) != nil {
		return ""
	}
	return doc.Keywords
}

// sources are the files that a workbook is a marked copy of, as its properties say; none where it is no such copy.
func (b *book) sources() []string {
	raw, ok := b.unpack("docProps/core.xml")
	var doc struct {
		Description string `xml:"description"`
	}
	if !ok || xml.Unmarshal(raw, &doc) != nil {
		return nil
	}
	list, marked := strings.CutPrefix(strings.ReplaceAll(doc.Description, "\r\n", "\n"), copyOf)
	if !marked {
		return nil
	}
	return strings.Split(list, "\n")
}

// Written is what a workbook is that this program wrote.
type Written uint8

// What a workbook may be. A form is none of them: what is in it was typed by somebody.
const (
	NotWritten Written = iota
	Report
	MarkedCopy
)

// WrittenAs tells which of this program's workbooks the bytes are, whatever has become of them since. It looks at two small parts, so that a report is
// known that is too large to be read.
func WrittenAs(data []byte) Written {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return NotWritten
	}
	b := smallParts(z)
	named := b.sheetNames()
	switch {
	case named == nil:
		return NotWritten
	case b.sources() != nil:
		return MarkedCopy
	case reportNames(named):
		return Report
	case named[ProblemsSheet]: // in a program that keeps no properties; other people have sheets of that name
		if f := Parse("", data, func(string) bool { return false }); slices.ContainsFunc(f.Sheets, (*Sheet).IsOurs) {
			return MarkedCopy
		}
	}
	return NotWritten
}

// smallParts is a workbook of which the small parts can be looked at.
func smallParts(z *zip.Reader) *book {
	b := &book{archive: map[string]*zip.File{}}
	for _, f := range z.File {
		if f.UncompressedSize64 <= mostPart {
			b.archive[partName(f.Name)] = f
		}
	}
	return b
}

// sheetNames are those of all sheets; nil: the list of sheets cannot be read.
func (b *book) sheetNames() map[string]bool {
	var doc struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
		} `xml:"sheets>sheet"`
	}
	if raw, ok := b.unpack("xl/workbook.xml"); !ok || xml.Unmarshal(raw, &doc) != nil {
		return nil
	}
	named := map[string]bool{}
	for _, s := range doc.Sheets {
		named[s.Name] = true
	}
	return named
}

// reportNames reports whether sheets of a report are among the names.
func reportNames(named map[string]bool) bool {
	return !slices.ContainsFunc(reportSheets, func(name string) bool { return !named[name] })
}
