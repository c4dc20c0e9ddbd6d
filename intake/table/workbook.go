package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"path"
	"strings"

	"tuckmark/config/problem"
)

// What a workbook may unpack to. A sheet of 10,000 full rows is about 12 MB of XML; parts that are no sheet and no
// picture are read into trees many times their size, so they are held shorter. A report has rows for 100,000 blocks and
// their cuts (130 MB), and nearly all of them stand in sheets that are not read again. It is bound by its own size, so that a small file
// that passes for one has no more room than another.
const (
	mostUnpacked = 96 << 20
	smallUnpack  = 48 << 20 // likewise of a workbook below smallFile: its XML is 10 to 20 times as long as what it is packed to
	mostRatio    = 40       // what a report unpacks to, for each byte of it; those that are written come to 17
	mostPart     = 4 << 20
	smallXML     = 4 << 20      // elements of the sheets and the shared strings in such a workbook: ten for each cell that it may have
	mostXML      = 32 << 20     // likewise of a larger one
	mostBeside   = 3 * mostPart // of what lies on sheets beside their cells, together
	mostParts    = 5000
	mostStrings  = 1_000_000 // that cells share
	mostCells    = 400_000
	mostText     = 32 << 20 // bytes in all cells, a text that many share once for each: more than a table of commas may hold, with what our own workbooks add
	smallText    = 5 << 20  // likewise in workbooks of less than smallFile together: each text may ask for another space, and then each is set
	smallFile    = 1 << 20
	aRun         = 24 // bytes that a stretch of rich text counts for, besides its letters
	unshown      = 2  // times as much text may lie in the workbook as its cells may show

	mostReportRows  = 6 * mostRows // of its sheets that are read: a row for each block, and one for each person in every account
	mostReportText  = 3 * mostText
	mostReportCells = 3 * mostCells // a row of a block has more than was typed: its code, its place, the size that it was set in
)

func damaged() *problem.Problem {
	return refused("the workbook is damaged", "it was cut short or changed on its way; nothing of it can be trusted to be complete",
		"ask for the file again, or open it in your spreadsheet program, let it repair the file, check it and save it anew")
}

func huge() *problem.Problem {
	return refused("the workbook unpacks to far more than a table of journaling needs",
		"it may hold many large pictures, or have been made to do harm",
		"copy the cells into a new workbook, without the pictures, and save that")
}

// size is what a cell counts for of mostText.
func (c *Cell) size() int { return len(c.Text) + aRun*len(c.Runs()) }

// textRoom is how much text workbooks of so many bytes together may show.
func textRoom(bytes int) int {
	if bytes < smallFile {
		return smallText
	}
	return mostText
}

// elementRoom is how many elements workbooks of so many bytes together may have.
func elementRoom(bytes int) int {
	if bytes < smallFile {
		return smallXML
	}
	return mostXML
}

func wordy(most int) *problem.Problem {
	return refused(fmt.Sprintf("the cells show more than %d MB of text", most>>20), "that is more journaling than one job can be: the same long text may stand in many cells",
		"leave out the rows that are not needed, or part them over several workbooks")
}

// book is an open workbook.
type book struct {
	data    []byte
	archive map[string]*zip.File // its parts, by partName
	shown   string               // the file's name as it is shown
	strings []shared
	looks   []cellFormat // of the styles
	date04  bool
	report  bool // it has the sheets of a report

	elements int               // that may still be read
	covered  int               // rows that merged cells were seen to cover
	filled   int               // cells that formulas without results were seen to fill
	beside   int               // bytes of what lies on sheets that were unpacked
	told     int               // things that lie on sheets and are told
	unpacked int               // bytes of all parts
	of       map[string]*Sheet // which sheet has such a part, by partName

	mostRows, mostCells, mostText int // of all sheets that are read

	tabNames []string // of all sheets, those without rows too
}

// readWorkbook reads all worksheets, and adds to work what that took, also where nothing comes of it. What a library panics on is a damaged file.
func readWorkbook(shown string, data []byte, work *int) (sheets []*Sheet, sources []string, why *problem.Problem) {
	b := newBook(shown, data)
	defer func() {
		*work += b.work()
		if recover() != nil {
			sheets, sources, why = nil, nil, damaged()
		}
	}()
	parts, why := b.open()
	if why != nil {
		return nil, nil, why
	}
	rows, cells, text := 0, 0, 0 // of all sheets: the limits are those of a job
	for _, p := range parts {
		s := &Sheet{File: shown, Name: p.name, Hidden: p.hidden}
		if b.report && listsAgain(p.name) {
			b.attached(s, p.path)
			sheets = append(sheets, s)
			continue
		}
		raw, ok := b.unpack(p.path)
		if !ok {
			return nil, nil, damaged()
		}
		x := sheetReader{book: b, sheet: s}
		if why := x.read(bytes.NewReader(raw)); why != nil {
			return nil, nil, why
		}
		if !x.spread() {
			if b.filled > mostFilled {
				return nil, nil, overfilled()
			}
			return nil, nil, damaged()
		}
		b.attached(s, p.path)
		sheets = append(sheets, s)
		if rows, cells, text = rows+len(s.Rows), cells+x.cells, text+x.text; rows > b.mostRows {
			return nil, nil, tooMany()
		} else if cells > b.mostCells {
			return nil, nil, huge()
		} else if text > b.mostText {
			return nil, nil, wordy(b.mostText)
		}
	}
	return sheets, b.sources(), nil
}

func newBook(shown string, data []byte) *book {
	return &book{data: data, shown: shown, of: map[string]*Sheet{}, elements: elementRoom(len(data))}
}

// work is what a workbook has taken so far, in elements of its XML: those, what merged cells cover and formulas fill, and bytes that were unpacked, 16 for one.
func (b *book) work() int {
	return elementRoom(len(b.data)) - b.elements + b.covered + b.filled + b.unpacked/16
}

// open opens a workbook as far as its worksheets can be read.
func (b *book) open() (parts []sheetPart, why *problem.Problem) {
	if b.archive, why = partsOf(b.data); why != nil {
		return nil, why
	}
	parts, links, ok := b.tabs()
	if !ok {
		return nil, damaged()
	}
	named := map[string]bool{}
	for _, p := range parts {
		named[p.name] = true
	}
	b.report = reportNames(named)
	b.mostRows, b.mostCells, b.mostText = mostRows, mostCells, textRoom(len(b.data))
	if b.report {
		b.mostRows, b.mostCells, b.mostText = mostReportRows, mostReportCells, mostReportText
	}
	if !b.fits() {
		return nil, huge()
	}
	if why := b.readShared(links); why != nil {
		return nil, why
	}
	if !b.allReached(parts) {
		return nil, damaged()
	}
	return parts, nil
}

// fits reports whether what is in the archive may be unpacked.
func (b *book) fits() bool {
	whole, most := uint64(0), uint64(mostUnpacked)
	if len(b.data) < smallFile {
		most = smallUnpack
	}
	if b.report {
		most = max(most, mostRatio*uint64(len(b.data)))
	}
	for _, f := range b.archive {
		if whole += f.UncompressedSize64; whole > most || f.UncompressedSize64 > most {
			return false
		}
	}
	return true
}

// unpack is a part of the package, whole: the archive has its size and its checksum.
func (b *book) unpack(name string) ([]byte, bool) {
	f := b.archive[partName(name)]
	if f == nil {
		return nil, false
	}
	r, err := f.Open()
	if err != nil {
		return nil, false
	}
	defer r.Close()
	raw := make([]byte, f.UncompressedSize64)
	b.unpacked += len(raw)
	if _, err := io.ReadFull(r, raw); err != nil {
		return nil, false
	}
	n, err := r.Read(make([]byte, 1)) // at the end it is told whether the checksum is right
	return raw, n == 0 && err == io.EOF
}

// sheetPart is where a worksheet lies in the package.
type sheetPart struct {
	name, path string
	hidden     bool
}

// tabs are the worksheets in the order of their tabs, and links what else belongs to the workbook.
func (b *book) tabs() (out []sheetPart, links map[string]relation, ok bool) {
	home := "xl/workbook.xml"
	if rels, ok := b.relations("_rels/.rels", ""); ok {
		for _, r := range rels {
			if strings.HasSuffix(r.kind, "/officeDocument") {
				home = r.target
			}
		}
	}
	raw, ok := b.unpack(home)
	if !ok {
		return nil, nil, false
	}
	var doc struct {
		Properties struct {
			Date1904 string `xml:"date1904,attr"`
		} `xml:"workbookPr"`
		Sheets []struct {
			Name  string     `xml:"name,attr"`
			State string     `xml:"state,attr"`
			Attrs []xml.Attr `xml:",any,attr"`
		} `xml:"sheets>sheet"`
	}
	dir := path.Dir(home)
	rels, ok := b.relations(path.Join(dir, "_rels", path.Base(home)+".rels"), dir)
	if !ok || !sound(raw) || xml.Unmarshal(raw, &doc) != nil {
		return nil, nil, false
	}
	b.date04 = xmlBoolean(doc.Properties.Date1904)
	unused := map[string]bool{} // sheets that no tab leads to
	parts := map[string]bool{}  // that they lie in
	for id, r := range rels {
		if path.Base(r.kind) == "worksheet" {
			if parts[partName(r.target)] { // two sheets would be one
				return nil, nil, false
			}
			unused[id], parts[partName(r.target)] = true, true
		}
	}
	for _, s := range doc.Sheets {
		b.tabNames = append(b.tabNames, s.Name)
		id := ""
		for _, a := range s.Attrs {
			if a.Name.Local == "id" {
				id = a.Value
			}
		}
		r, ok := rels[id]
		switch path.Base(r.kind) {
		case "worksheet":
			if !unused[id] { // two tabs lead to it
				return nil, nil, false
			}
			delete(unused, id)
			out = append(out, sheetPart{name: s.Name, path: r.target, hidden: s.State != "" && s.State != "visible"})
		case "chartsheet", "dialogsheet", "xlMacrosheet", "xlIntlMacrosheet":
		default:
			ok = false
		}
		if !ok || s.Name == "" {
			return nil, nil, false
		}
	}
	return out, rels, len(unused) == 0
}

// readShared reads what the worksheets share: the strings and the styles. A workbook has one part of each (ECMA-376 part 1, 12.3.15 and 12.3.20): of two
// it cannot be told which one the cells mean.
func (b *book) readShared(links map[string]relation) *problem.Problem {
	one := map[string]string{}
	for _, r := range links {
		kind := path.Base(r.kind)
		if kind != "sharedStrings" && kind != "styles" {
			continue
		}
		if _, two := one[kind]; two {
			return damaged()
		}
		one[kind] = r.target
	}
	if part, has := one["styles"]; has {
		if raw, found := b.unpack(part); !found || !b.readStyles(raw) {
			return damaged()
		}
	}
	if part, has := one["sharedStrings"]; has {
		raw, found := b.unpack(part)
		if !found {
			return damaged()
		}
		return b.readStrings(raw)
	}
	return nil
}

type relation struct{ kind, target string }

// relations reads a relationships part; targets are made relative to the package.
func (b *book) relations(name, dir string) (map[string]relation, bool) {
	raw, ok := b.unpack(name)
	if !ok {
		return nil, false
	}
	var doc struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Type   string `xml:"Type,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	if !sound(raw) || xml.Unmarshal(raw, &doc) != nil {
		return nil, false
	}
	out := map[string]relation{}
	for _, r := range doc.Relationship {
		if _, twice := out[r.ID]; twice || r.ID == "" || r.Type == "" || r.Target == "" {
			return nil, false
		}
		target := r.Target
		if strings.HasPrefix(target, "/") {
			target = path.Clean(target)[1:]
		} else {
			target = path.Join(dir, target)
		}
		out[r.ID] = relation{r.Type, target}
	}
	return out, true
}

// readStyles reads how each style shows what is in its cells: its number format, bold and italic.
func (b *book) readStyles(raw []byte) bool {
	type flag struct {
		Val *string `xml:"val,attr"`
	}
	on := func(f *flag) bool { return f != nil && (f.Val == nil || xmlBoolean(*f.Val)) }
	var doc struct {
		Formats []struct {
			ID   int     `xml:"numFmtId,attr"`
			Code *string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Fonts []struct {
			Bold   *flag `xml:"b"`
			Italic *flag `xml:"i"`
			Struck *flag `xml:"strike"`
			Name   struct {
				Val string `xml:"val,attr"`
			} `xml:"name"`
			Charset struct {
				Val string `xml:"val,attr"`
			} `xml:"charset"`
		} `xml:"fonts>font"`
		Styles []struct {
			Format int `xml:"numFmtId,attr"`
			Font   int `xml:"fontId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if !sound(raw) || xml.Unmarshal(raw, &doc) != nil {
		return false
	}
	codes := map[int]string{}
	for _, f := range doc.Formats {
		if f.Code == nil {
			return false
		}
		codes[f.ID] = *f.Code
	}
	known := map[string]cellFormat{} // thousands of styles may share a format
	for _, s := range doc.Styles {
		code, own := codes[s.Format]
		if !own {
			code = builtInFormats[s.Format]
		}
		if !own && s.Format >= firstOwnFormat || s.Font < 0 || s.Font >= max(1, len(doc.Fonts)) {
			return false
		}
		l, ok := known[code]
		if !ok {
			l = cellFormat{sections: parseFormat(code), restates: restatesText(code)}
			known[code] = l
		}
		if s.Font < len(doc.Fonts) {
			f := &doc.Fonts[s.Font]
			l.bold, l.italic, l.struck = on(f.Bold), on(f.Italic), on(f.Struck)
			l.signs = ofSigns(f.Name.Val) || ofSigns(f.Charset.Val)
		}
		b.looks = append(b.looks, l)
	}
	return true
}

// firstOwnFormat is the first number of a format that a workbook defines itself (ECMA-376 part 1, 18.8.30).
const firstOwnFormat = 164

// formatOf is how a style shows what is in its cells.
func (b *book) formatOf(style int) cellFormat {
	if style < len(b.looks) {
		return b.looks[style]
	}
	return cellFormat{}
}
