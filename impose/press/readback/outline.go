package readback

import (
	"github.com/klippa-app/go-pdfium/requests"
	"github.com/klippa-app/go-pdfium/responses"
)

// Bookmark is an entry of the outline; Page counts from 0, and is -1 where it leads nowhere.
type Bookmark struct {
	Title string
	Page  int
	Kids  []Bookmark
}

// Bookmarks is the outline.
func (d *Doc) Bookmarks() []Bookmark {
	d.t.Helper()
	defer d.lock()()
	r, err := engine.pdfium.GetBookmarks(&requests.GetBookmarks{Document: d.ref})
	d.check(err)
	return bookmarks(r.Bookmarks)
}

func bookmarks(from []responses.GetBookmarksBookmark) []Bookmark {
	var to []Bookmark
	for _, b := range from {
		m := Bookmark{Title: b.Title, Page: -1, Kids: bookmarks(b.Children)}
		if b.DestInfo != nil {
			m.Page = b.DestInfo.PageIndex
		}
		to = append(to, m)
	}
	return to
}

// Title is the document's title.
func (d *Doc) Title() string {
	d.t.Helper()
	defer d.lock()()
	r, err := engine.pdfium.FPDF_GetMetaText(&requests.FPDF_GetMetaText{Document: d.ref, Tag: "Title"})
	d.check(err)
	return r.Value
}
