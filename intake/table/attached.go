package table

import (
	"encoding/xml"
	"maps"
	"path"
	"slices"
	"strings"
)

// Spot is where a cell stands: its column, from 0, and its row as the spreadsheet shows it.
type Spot struct{ Col, Row int }

// Remark is what somebody attached to a cell, as a note or a comment, beside what stands in it.
type Remark struct {
	Spot
	Text string
}

// Ours is the author of remarks that this program attaches to cells itself.
const Ours = "tuckmark"

// mostAttached is how many pictures or remarks of a sheet are told.
const mostAttached = 1000

// attached finds what lies on a sheet beside its cells: pictures, by the cell at their upper left corner, and remarks. What cannot be
// read of that is said: the cells are whole without it.
func (b *book) attached(s *Sheet, part string) {
	rels, ok := b.relations(path.Join(path.Dir(part), "_rels", path.Base(part)+".rels"), path.Dir(part))
	if !ok {
		return // most sheets have none
	}
	whole := true
	for _, id := range slices.Sorted(maps.Keys(rels)) {
		switch r := rels[id]; path.Base(r.kind) {
		case "drawing":
			whole = b.pictures(s, r.target) && whole
		case "comments":
			whole = b.remarks(s, r.target) && whole
		}
	}
	if !whole {
		s.Unseen = true
	}
}

// pictures reads a drawing (ECMA-376 part 1, 20.5.2): the anchors that hold a picture.
func (b *book) pictures(s *Sheet, part string) bool {
	raw, ok := b.unpack(part)
	type corner struct {
		Col int `xml:"col"`
		Row int `xml:"row"`
	}
	type anchor struct {
		From    corner     `xml:"from"`
		Picture []struct{} `xml:"pic"`
	}
	var doc struct {
		Two []anchor `xml:"twoCellAnchor"`
		One []anchor `xml:"oneCellAnchor"`
	}
	if !ok || xml.Unmarshal(raw, &doc) != nil {
		return false
	}
	for _, a := range append(doc.Two, doc.One...) {
		if len(a.Picture) > 0 && a.From.Col >= 0 && a.From.Col < lastColumn && a.From.Row >= 0 && a.From.Row < lastRow && len(s.Pictures) < mostAttached {
			s.Pictures = append(s.Pictures, Spot{a.From.Col, a.From.Row + 1})
		}
	}
	return true
}

// threaded is what stands before the text in the note that a program writes for those which know no conversations.
const threaded = "Comment:"

// remarks reads the notes of a sheet (ECMA-376 part 1, 18.7), but not those that this program attached.
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
		ours := author == Ours || strings.HasPrefix(text, Ours+":") // some programs leave the author out
		text, _ = strings.CutPrefix(text, author+":")
		text = strings.TrimSpace(text)
		if ok && text != "" && !ours && len(s.Remarks) < mostAttached {
			s.Remarks = append(s.Remarks, Remark{Spot{col, row}, text})
		}
	}
	return true
}
