package press

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"pgregory.net/rapid"

	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// TestAnyTitle: whatever is typed as a title, the file is sound and PDFium shows the title as cleaned.
func TestAnyTitle(t *testing.T) {
	size := measure.Size{W: measure.Inch, H: measure.Inch}
	rapid.Check(t, func(r *rapid.T) {
		typed := rapid.SliceOfN(rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{"(", ")", `\`, "\x00", "\xff", "A", "A", "<", ">>", "/", "%"})), 1, 6).Draw(r, "titles")
		var d Document
		for i, title := range typed {
			d.Sections = append(d.Sections, Section{Title: title, Pages: []Page{{Title: typed[len(typed)-1-i], Size: size}}})
		}
		d.Title = typed[0]
		if !readback.Available {
			write(t, d)
			return
		}
		pdf := readback.Open(t, write(t, d))
		if got, want := pdf.Title(), clean(d.Title, 500); got != want {
			r.Fatalf("title %+q, want %+q", got, want)
		}
		seen := map[string]bool{}
		shown := pdf.Bookmarks()
		for i, title := range typed {
			page := clean(typed[len(typed)-1-i], longestTitle)
			if clean(title, longestTitle) == "" {
				if page != "" {
					shown = follow(r, seen, shown, page, i)
				}
				continue
			}
			if len(shown) == 0 {
				r.Fatalf("no bookmark for %+q", title)
			}
			kids := shown[0].Kids
			shown = follow(r, seen, shown, clean(title, longestTitle), i)
			if page != "" {
				kids = follow(r, seen, kids, page, i)
			}
			if len(kids) > 0 {
				r.Fatalf("too many bookmarks: %v", kids)
			}
		}
		if len(shown) > 0 {
			r.Fatalf("too many bookmarks: %v", shown)
		}
	})
}

// follow checks that the first bookmark is the one wanted, by its title or that with a number, and returns the others.
func follow(r *rapid.T, seen map[string]bool, shown []readback.Bookmark, title string, page int) []readback.Bookmark {
	if len(shown) == 0 {
		r.Fatalf("no bookmark for %+q", title)
	}
	b := shown[0]
	if b.Page != page || seen[b.Title] || b.Title != title && !(seen[title] && strings.HasPrefix(b.Title, title+" (")) {
		r.Fatalf("bookmark %+q to page %d, want %+q to %d", b.Title, b.Page, title, page)
	}
	seen[b.Title] = true
	return shown[1:]
}

func TestClean(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(r, "most")
		s := clean(rapid.String().Draw(r, "title"), n)
		if utf8.RuneCountInString(s) > n || !utf8.ValidString(s) || strings.ContainsFunc(s, unicode.IsControl) || strings.TrimSpace(s) != s {
			r.Fatalf("%+q", s)
		}
		if clean(s, n) != s {
			r.Fatalf("cleaned twice: %+q, %+q", s, clean(s, n))
		}
	})
}
