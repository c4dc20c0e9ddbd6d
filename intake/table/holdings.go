package table

import (
	"bytes"
	"crypto/sha256"
	"encoding/xml"
	"fmt"
	"io"
	"maps"
	"path"
	"regexp"
	"slices"
	"strings"
)

// Holding is one thing that a workbook holds. Two that are equal hold the same in the same place.
type Holding struct {
	Kind  HoldingKind
	Sheet string // that it stands on; "": on none
	At    string // the cell that it stands in or lies on, or what it is called
	Text  string // what it says; of what is no text, its digest
}

// HoldingKind is what it is.
type HoldingKind uint8

// The kinds of holdings.
const (
	HeldCell        HoldingKind = iota // what a cell shows
	HeldFormula                        // a cell's formula; what it shows is a HeldCell
	HeldComment                        // a note, or a remark of a conversation
	HeldLink                           // where a cell leads to
	HeldRunningHead                    // what is printed above or below every page of a sheet
	HeldPicture                        // that lies on a sheet
	HeldChart                          // on a sheet, or a sheet of its own
	HeldDrawing                        // that is neither
	HeldName                           // of cells, which somebody has given
	HeldProperty                       // of the document
	HeldMedia                          // what a picture, a chart or a drawing is made of
	HeldPart                           // any other part of the file
	HeldStroke                         // words of a cell that are struck through
	HeldSigns                          // letters of a cell that its font shows as signs
)

// Holdings are all that a workbook holds that somebody may have put there, beside how it looks: every cell with something in it, as f has them, and
// what is struck through of it or shows as signs, and whatever else is in the parts of the file, those that nobody here knows included. f is what Parse gave of the bytes. ok is false where a part cannot be
// read.
func (f *File) Holdings(data []byte) (all []Holding, ok bool) {
	defer func() {
		if recover() != nil {
			all, ok = nil, false
		}
	}()
	archive, why := partsOf(data)
	if why != nil {
		return nil, false
	}
	l := &lister{book: &book{data: data, archive: archive}, of: map[string]relation{}}
	for _, s := range f.Sheets {
		for i := range s.Rows {
			for j := range s.Rows[i].Cells {
				if c := &s.Rows[i].Cells[j]; !c.Covered && strings.TrimSpace(c.ExactText()) != "" {
					l.add(HeldCell, s.Name, Address(c.Col, s.Rows[i].N), c.ExactText())
					if struck := c.Struck(); struck != "" {
						l.add(HeldStroke, s.Name, Address(c.Col, s.Rows[i].N), struck)
					}
					if signs := c.Signs(); signs != "" {
						l.add(HeldSigns, s.Name, Address(c.Col, s.Rows[i].N), signs)
					}
				}
			}
		}
	}
	tabs, _, sound := l.tabs()
	if !sound {
		return nil, false
	}
	whole := true
	for _, t := range tabs {
		l.of[strings.ToLower(t.path)] = relation{"worksheet", t.name}
		whole = l.worksheet(t) && whole
	}
	for _, part := range slices.Sorted(maps.Keys(archive)) {
		whole = l.part(part) && whole
	}
	return l.out, whole
}

// lister lists what a workbook holds.
type lister struct {
	*book
	of  map[string]relation // of parts, in small letters, that belong to a sheet: what they are to it, and its name
	out []Holding
}

func (l *lister) add(kind HoldingKind, sheet, at, text string) {
	l.out = append(l.out, Holding{kind, sheet, at, text})
}

// worksheet lists what stands in a worksheet's part beside what its cells show, and notes which parts belong to it.
func (l *lister) worksheet(t sheetPart) bool {
	raw, ok := l.unpack(t.path)
	if !ok {
		return false
	}
	rels := map[string]relation{}
	name := path.Join(path.Dir(t.path), "_rels", path.Base(t.path)+".rels")
	if l.archive[partName(name)] != nil {
		if rels, ok = l.relations(name, path.Dir(t.path)); !ok {
			return false
		}
	}
	for _, r := range rels {
		l.of[strings.ToLower(r.target)] = relation{path.Base(r.kind), t.name}
	}
	end := max(0, bytes.LastIndex(raw, []byte("sheetData"))) // what follows the cells
	end += max(0, bytes.IndexByte(raw[end:], '>')) + 1
	if bytes.Contains(raw[:end], []byte("<f")) || bytes.Contains(raw[:end], []byte(":f")) {
		ok = l.formulas(t.name, raw[:end])
	}
	return l.behind(t.name, raw[end:], rels) && ok
}

// formulas lists the formulas of a worksheet.
func (l *lister) formulas(sheet string, raw []byte) bool {
	at, in := "", false
	var text strings.Builder
	return eachToken(raw, func(tok xml.Token) {
		switch e := tok.(type) {
		case xml.StartElement:
			if e.Name.Local == "c" {
				at = attr(e, "r")
			}
			if in = e.Name.Local == "f"; in {
				text.Reset()
			}
		case xml.CharData:
			if in {
				text.Write(e)
			}
		case xml.EndElement:
			if e.Name.Local == "f" {
				l.add(HeldFormula, sheet, at, text.String())
			}
			in = false
		}
	})
}

// behind lists what stands behind the rows of a worksheet.
func (l *lister) behind(sheet string, raw []byte, rels map[string]relation) bool {
	running := ""
	return eachToken(raw, func(tok xml.Token) {
		switch e := tok.(type) {
		case xml.StartElement:
			running = ""
			switch name := e.Name.Local; {
			case name == "hyperlink":
				to := attr(e, "location")
				if r, ok := rels[attr(e, "id")]; ok {
					to = r.target + "#" + to
				}
				l.add(HeldLink, sheet, attr(e, "ref"), to)
			case strings.HasSuffix(name, "Header"), strings.HasSuffix(name, "Footer"):
				running = name
			}
		case xml.CharData:
			if text := runningText(string(e)); running != "" && text != "" {
				l.add(HeldRunningHead, sheet, running, text)
			}
		case xml.EndElement:
			running = ""
		}
	})
}

// runningCode is how the text above or below a page says its place, its font, its size, or what a program fills in (ECMA-376 part 1, 18.3.1.46).
var runningCode = regexp.MustCompile(`&(?:"[^"]*"|K[0-9A-Fa-f+-]{5,6}|[0-9]+|.)`)

// runningText is what somebody has typed above or below the pages; "" where it is no more than the words beside the number of a page, which a program puts there by
// itself, in its own language.
func runningText(s string) string {
	text := strings.TrimSpace(runningCode.ReplaceAllString(s, " "))
	if strings.Contains(s, "&P") && len(strings.Fields(text)) <= 2 {
		return ""
	}
	return text
}

// plainPart are the parts that hold nothing of somebody's, or are listed otherwise: how the workbook looks and prints, what it has been worked out in, who has
// commented, the boxes that comments show in, and what an organisation marks its documents with.
var plainPart = regexp.MustCompile(`^(\[content_types\]\.xml|(.*/)?_rels/[^/]*\.rels|docprops/(app\.xml|thumbnail\..*)|docmetadata/.*|xl/(workbook|styles|sharedstrings|calcchain|metadata)\.xml|` +
	`xl/theme/.*|xl/persons/.*|xl/printersettings/.*|.*\.vml|.*/)$`)

// part lists what a part of the file holds, but for the worksheets.
func (l *lister) part(name string) bool {
	sheet := l.of[name].target
	switch kind := l.of[name].kind; {
	case name == "xl/workbook.xml":
		return l.names(name)
	case plainPart.MatchString(name), kind == "worksheet":
		return true
	case name == "docprops/core.xml", name == "docprops/custom.xml":
		return l.properties(name)
	case kind == "comments", kind == "threadedComment", kind == "" && strings.HasPrefix(path.Base(name), "comments"): // of a sheet that is gone, too
		return l.comments(name, sheet)
	case kind == "drawing":
		return l.drawing(name, sheet)
	}
	digest, ok := l.digest(name)
	kind := HeldPart
	switch path.Base(path.Dir(name)) {
	case "chartsheets":
		kind = HeldChart
	case "media", "charts", "diagrams", "drawings":
		kind = HeldMedia
	}
	l.add(kind, "", name, digest)
	return ok
}

func (l *lister) digest(name string) (string, bool) {
	raw, ok := l.unpack(name)
	return digestOf(raw), ok
}

func digestOf(raw []byte) string {
	return fmt.Sprintf("%x", sha256.Sum256(raw))
}

// names lists the names that somebody has given to cells; those that programs give begin with _xlnm.
func (l *lister) names(part string) bool {
	raw, ok := l.unpack(part)
	var doc struct {
		Names []struct {
			Name string `xml:"name,attr"`
			Of   string `xml:",chardata"`
		} `xml:"definedNames>definedName"`
	}
	if !ok || xml.Unmarshal(raw, &doc) != nil {
		return false
	}
	for _, n := range doc.Names {
		if !strings.HasPrefix(n.Name, "_xlnm") {
			l.add(HeldName, "", n.Name, n.Of)
		}
	}
	return true
}

// unsaid are properties that programs fill in by themselves.
var unsaid = []string{"coreProperties", "creator", "lastModifiedBy", "created", "modified", "revision", "language", "version", "lastPrinted", "identifier", "contentType"}

// properties lists what somebody has written into the properties of the document.
func (l *lister) properties(part string) bool {
	raw, ok := l.unpack(part)
	called := ""
	return ok && eachToken(raw, func(tok xml.Token) {
		switch e := tok.(type) {
		case xml.StartElement:
			if strings.HasSuffix(part, "core.xml") {
				called = e.Name.Local
			} else if name := attr(e, "name"); name != "" {
				called = name
			}
		case xml.CharData:
			if text := strings.TrimSpace(string(e)); text != "" && !slices.Contains(unsaid, called) {
				l.add(HeldProperty, "", called, text)
			}
		}
	})
}

// comments lists the notes of a sheet, or its conversations.
func (l *lister) comments(part, sheet string) bool {
	raw, ok := l.unpack(part)
	at, in, said := "", false, strings.Builder{}
	return ok && eachToken(raw, func(tok xml.Token) {
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "comment", "threadedComment":
				at = attr(e, "ref")
				said.Reset()
			case "t", "text":
				in = e.Name.Local == "t" || l.of[part].kind == "threadedComment"
			}
		case xml.CharData:
			if in {
				said.Write(e)
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "t", "text":
				in = false
			case "comment", "threadedComment":
				l.add(HeldComment, sheet, at, unescape(said.String()))
			}
		}
	})
}

// drawing lists what lies on a sheet. Some programs write a drawing on which there is nothing.
func (l *lister) drawing(part, sheet string) bool {
	raw, ok := l.unpack(part)
	digest := digestOf(raw)
	var at [2]string // column and row
	in, kind := "", HeldDrawing
	return ok && eachToken(raw, func(tok xml.Token) {
		switch e := tok.(type) {
		case xml.StartElement:
			switch in = e.Name.Local; in {
			case "twoCellAnchor", "oneCellAnchor", "absoluteAnchor":
				at, kind = [2]string{}, HeldDrawing
			case "pic":
				kind = HeldPicture
			case "graphicFrame":
				kind = HeldChart
			}
		case xml.CharData:
			if in == "col" && at[0] == "" {
				at[0] = string(e)
			} else if in == "row" && at[1] == "" {
				at[1] = string(e)
			}
		case xml.EndElement:
			in = ""
			switch e.Name.Local {
			case "twoCellAnchor", "oneCellAnchor", "absoluteAnchor":
				l.add(kind, sheet, cellOf(at[0], at[1]), digest)
			}
		}
	})
}

// cellOf is the name of the cell at a column and a row that are counted from 0; "" where they are none.
func cellOf(col, row string) string {
	var c, r int
	if _, err := fmt.Sscan(col+" "+row, &c, &r); err != nil || c < 0 || c >= lastColumn || r < 0 || r >= lastRow {
		return ""
	}
	return Address(c, r+1)
}

// eachToken hands on the tokens of some XML. It is false where that cannot be read to its end.
func eachToken(raw []byte, f func(xml.Token)) bool {
	d := xml.NewDecoder(bytes.NewReader(raw))
	d.Strict = false
	for {
		tok, err := d.RawToken()
		if err != nil {
			return err == io.EOF
		}
		f(tok)
	}
}
