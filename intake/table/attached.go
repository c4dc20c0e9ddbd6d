package table

import (
	"bytes"
	"encoding/xml"
	"io"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
)

// Spot is where a cell stands: its column, from 0, and its row as the spreadsheet shows it.
type Spot struct{ Col, Row int }

// Remark is what somebody attached to a cell, as a note or a comment, beside what stands in it.
type Remark struct {
	Spot
	Text string
}

// mostAttached is how many pictures or remarks of a sheet are told; mostTold how many of all sheets.
const (
	mostAttached = 1000
	mostTold     = 10 * mostAttached
)

// attached finds what lies on a sheet beside its cells: pictures, and texts of shapes, by the cell at their upper left corner, and remarks. What cannot be
// read of that is said: the cells are whole without it.
func (b *book) attached(s *Sheet, part string) {
	own := path.Join(path.Dir(part), "_rels", path.Base(part)+".rels")
	if b.archive[partName(own)] != nil && !b.affords(own) {
		s.Unseen = true
		return
	}
	rels, ok := b.relations(own, path.Dir(part))
	if !ok {
		s.Unseen = b.archive[partName(own)] != nil // most sheets have none
		return
	}
	whole, notes, talks := true, false, false
	for _, id := range slices.Sorted(maps.Keys(rels)) {
		switch r := rels[id]; path.Base(r.kind) {
		case "drawing":
			whole = b.once(s, r.target, b.drawing) && whole
		case "comments":
			notes = true
			whole = b.once(s, r.target, b.remarks) && whole
		case "threadedComment": // which stands in a note, too, as programs write it
			talks = true
		case "oleObject", "package":
			s.Embedded++
		}
	}
	if !whole || talks && !notes {
		s.Unseen = true
	}
}

// once reads a part that lies on a sheet. One that was read for the sheet already has nothing new; one that is another sheet's as well is not read
// for each of them: a small file may have it on thousands.
func (b *book) once(s *Sheet, part string, read func(*Sheet, string) bool) bool {
	switch b.of[partName(part)] {
	case s:
		return true
	case nil:
		b.of[partName(part)] = s
		return b.affords(part) && read(s, part)
	}
	return false
}

// affords counts a part before it is unpacked, and reports whether all of its kind are still no more than may be.
func (b *book) affords(part string) bool {
	if f := b.archive[partName(part)]; f != nil {
		b.beside += int(min(f.UncompressedSize64, mostUnpacked))
	}
	return b.beside <= mostBeside
}

// tells reports whether a sheet that tells so many of a kind may tell one more.
func (b *book) tells(s *Sheet, n int) bool {
	if b.told >= mostTold {
		s.Unseen = true
	}
	if n >= mostAttached || b.told >= mostTold {
		return false
	}
	b.told++
	return true
}

// drawing reads a drawing (ECMA-376 part 1, 20.5.2): the anchors that hold a picture, a chart, a diagram, a line, strokes of a pen (contentPart) or a shape
// without text, which all count as pictures, or shapes with text, alone or in a group.
func (b *book) drawing(s *Sheet, part string) bool {
	raw, ok := b.unpack(part)
	if !ok {
		return false
	}
	d := xml.NewDecoder(bytes.NewReader(raw)) // which sees that elements are closed
	var open []string
	within := func(name string) bool { return slices.Contains(open, name) }
	var at Spot
	var text strings.Builder
	picture, shape, number := false, false, ""
	for {
		tok, err := d.Token()
		if err != nil || len(open) > deepest {
			return err == io.EOF
		}
		switch e := tok.(type) {
		case xml.StartElement:
			open = append(open, e.Name.Local)
			switch name := e.Name.Local; {
			case strings.HasSuffix(name, "Anchor"):
				at, picture, shape = Spot{Row: 1}, false, false
				text.Reset()
			case slices.Contains(pictured, name) && !within("Fallback"):
				picture = true
			case name == "sp" && !within("Fallback"):
				shape = true
			case name == "col" || name == "row":
				number = ""
			}
		case xml.CharData:
			switch {
			case within("from") && (within("col") || within("row")) && len(number) < 20: // no longer one is a column's
				number += string(e)
			case within("txBody") && within("t") && !within("Fallback") && text.Len() < mostBox:
				text.Write(e)
			}
		case xml.EndElement:
			open = open[:len(open)-1]
			n, err := strconv.Atoi(strings.TrimSpace(number))
			switch name := e.Name.Local; {
			case name == "p" || name == "br":
				text.WriteByte('\n')
			case name == "col" && within("from") && err == nil && n >= 0 && n < lastColumn:
				at.Col = n
			case name == "row" && within("from") && err == nil && n >= 0 && n < lastRow:
				at.Row = n + 1
			case strings.HasSuffix(name, "Anchor"):
				said := strings.TrimSpace(Clean(text.String()))
				if (picture || shape && said == "") && b.tells(s, len(s.Pictures)) {
					s.Pictures = append(s.Pictures, at)
				}
				if said != "" && b.tells(s, len(s.Boxes)) {
					s.Boxes = append(s.Boxes, Remark{at, said})
				}
			}
		}
	}
}

// pictured are the elements of an anchor that a person sees as a picture over the cells.
var pictured = []string{"pic", "graphicFrame", "cxnSp", "contentPart"}

const (
	mostBox     = 2000 // of a text on a drawing or above the pages is kept, in bytes, or little more
	mostRunning = 6    // texts: left or right, even and first pages, above and below
)

// threaded is what stands before the text in the note that a program writes for those which know no conversations.
const threaded = "Comment:"

// remarks reads the notes of a sheet (ECMA-376 part 1, 18.7), but not what this program attached.
func (b *book) remarks(s *Sheet, part string) bool {
	raw, ok := b.unpack(part)
	var doc struct {
		Authors []string `xml:"authors>author"`
		List    []struct {
			Ref    string   `xml:"ref,attr"`
			Author int      `xml:"authorId,attr"`
			Plain  []string `xml:"text>t"`
			Runs   []string `xml:"text>r>t"`
		} `xml:"commentList>comment"`
	}
	if !ok || xml.Unmarshal(raw, &doc) != nil {
		return false
	}
	for _, c := range doc.List {
		col, row, ok := parseAddress(c.Ref)
		text := unescape(strings.Join(append(c.Plain, c.Runs...), ""))
		if strings.HasPrefix(text, "[Threaded comment]") {
			_, text, _ = strings.Cut(text, threaded)
		}
		author := ""
		if c.Author >= 0 && c.Author < len(doc.Authors) {
			author = doc.Authors[c.Author]
		}
		text = strings.TrimSpace(Clean(text))
		text, _ = strings.CutPrefix(beyond(text), author+":")
		text = strings.TrimSpace(text)
		if ok && text != "" && b.tells(s, len(s.Remarks)) {
			s.Remarks = append(s.Remarks, Remark{Spot{col, row}, text})
		}
	}
	return true
}
