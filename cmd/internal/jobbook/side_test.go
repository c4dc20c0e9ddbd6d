package jobbook

import (
	"fmt"
	"reflect"
	"slices"
	"testing"
)

// ofOne is a state of one row of journaling with one cell; "-" is a state without the row.
func ofOne(text string) *state {
	s := &state{}
	if text != "-" {
		s.Rows[Journaling] = []Row{{ID: "aaaaaaaaaa", Cells: map[string]string{"Title": text}}}
		if text == "" {
			s.Rows[Journaling][0].Cells = map[string]string{}
		}
	}
	return s
}

// threeWays is what comes of one cell, or of its row, by the plain rule of two sides and what they began with: what one side alone has changed is that
// side's. Where both have, or a row is gone there, the desk's stays, or the row, and it is asked about.
func threeWays(base, ours, theirs string) (is string, asked bool) {
	switch {
	case ours == theirs:
		return ours, false
	case theirs == "-":
		return ours, base != "-"
	case ours == "-":
		if base == "-" {
			return theirs, false
		}
		if base == theirs {
			return "-", false
		}
		return theirs, true
	case theirs == base:
		return ours, false
	case ours == base:
		return theirs, false
	}
	return ours, true
}

// Whoever saves with a state open that a program has saved from before is that program or another one. Every combination of what both began with, what was
// saved before, what the desk has and what is saved now comes to what the plain rule says of both, or is asked about; what is as it was saved before
// changes nothing at all.
func TestSavedBefore(t *testing.T) {
	texts := []string{"-", "", "one", "two", "three"}
	for _, base := range texts {
		for _, saved := range texts {
			for _, ours := range texts {
				for _, theirs := range texts {
					after, asked := takeOver(begun{base: ofOne(base), saved: ofOne(saved), same: true}, ofOne(ours), ofOne(theirs).asRead())
					is := "-"
					if rows := after.Rows[Journaling]; len(rows) == 1 {
						is = rows[0].Cells["Title"]
					}
					at := fmt.Sprintf("began with %q, saved %q, desk %q, saved now %q: %q, asked %v", base, saved, ours, theirs, is, asked)
					again, askedAgain := threeWays(saved, ours, theirs)
					other, askedOther := threeWays(base, ours, theirs)
					switch {
					case theirs == saved:
						if is != ours || len(asked) > 0 {
							t.Error(at + ", but it was left alone")
						}
					case again == other && askedAgain == askedOther:
						if is != again || (len(asked) > 0) != askedAgain {
							t.Errorf("%s, want %q, %v", at, again, askedAgain)
						}
					case base == "-" || saved == "-": // a row that only one of the two programs has had: which one it is is known
						if is != again && is != other || len(asked) == 0 && is != ours && is != theirs {
							t.Error(at + ", which neither of the two comes to")
						}
					case len(asked) == 0:
						t.Error(at + ", where it may be the one program or the other")
					case is == "-", theirs != "-" && ours != "-" && is != ours:
						t.Error(at + ", and what the desk had is gone")
					}
				}
			}
		}
	}
}

// Who saves with a state open, and shows as it was then what was saved with it before, may be another program that has typed the same word elsewhere: where
// the two would come to different ends it is asked about, and what is as it was saved, too.
func TestSavedByAnother(t *testing.T) {
	texts := []string{"", "one", "two", "three"}
	with := func(text, note string) *state {
		s := ofOne(text)
		s.Rows[Journaling] = append(s.Rows[Journaling], Row{ID: "bbbbbbbbbb", Cells: map[string]string{"Title": "another", "Note": note}})
		return s
	}
	for _, base := range texts {
		for _, saved := range texts {
			for _, ours := range texts {
				for _, theirs := range texts {
					after, asked := takeOver(begun{base: with(base, "as it was"), saved: with(saved, "by the first"), same: true}, with(ours, "by the first"), with(theirs, "as it was").asRead())
					asked = slices.DeleteFunc(asked, func(q Question) bool { return q.Column == "Note" })
					is := after.Rows[Journaling][0].Cells["Title"]
					at := fmt.Sprintf("began with %q, saved %q, desk %q, saved now %q: %q, asked %v", base, saved, ours, theirs, is, asked)
					again, askedAgain := threeWays(saved, ours, theirs)
					other, askedOther := threeWays(base, ours, theirs)
					switch {
					case again == other && askedAgain == askedOther:
						if is != again || (len(asked) > 0) != askedAgain {
							t.Errorf("%s, want %q, %v", at, again, askedAgain)
						}
					case len(asked) == 0:
						t.Error(at + ", where it may be the one program or the other")
					case is != ours:
						t.Error(at + ", and what the desk had is gone")
					}
				}
			}
		}
	}
}

// A program that shows a long text of what was saved before, and nothing that it then had changed as it was, is the same one: what it has typed anew is taken. What it has put
// back is asked about, as is all of a program that has set another cell to the same word as the first, which two people do.
func TestSavedAgainByTheSame(t *testing.T) {
	const long = "A text of some length"
	row := func(title, text, stock string) *state {
		s := ofOne(title)
		s.Rows[Journaling][0].Cells = map[string]string{"Title": title, "Journaling": text, "Stock": stock}
		return s
	}
	base, saved := row("one", "", ""), row("two", long, "clear sticker sheet")
	for _, c := range []struct {
		theirs *state
		want   string
		asked  bool // about the title
	}{
		{row("three", long, "clear sticker sheet"), "three", false},
		{row("three", long, ""), "two", true},
		{row("three", "", "clear sticker sheet"), "two", true},
		{row("three", "A text of its own", "clear sticker sheet"), "two", true},
		{row("one", long, "clear sticker sheet"), "two", true},
		{row("two", long, "clear sticker sheet"), "two", false},
	} {
		after, asked := takeOver(begun{base: base, saved: saved, same: true}, saved, c.theirs.asRead())
		titles := 0
		for _, q := range asked {
			if q.Column == "Title" {
				titles++
			}
		}
		if is := after.Rows[Journaling][0].Cells["Title"]; is != c.want || (titles > 0) != c.asked {
			t.Errorf("%v: it is %q, want %q; asked %v", c.theirs.Rows[Journaling][0].Cells, is, c.want, asked)
		}
	}
}

// Of the sides that were read the latest are kept, each once: a job of large workbooks does not grow with every saving.
func TestSidesKept(t *testing.T) {
	h := &history{}
	for n := range 3 * mostSides {
		h.saw(side{Mark: fmt.Sprint(n), At: Revision(n + 1)})
		h.saw(side{Mark: "stays open", At: Revision(n + 1), Changes: []Change{{Text: fmt.Sprint(n)}}})
	}
	if s := h.side([]string{"stays open", "0"}, false, 1); len(h.sides) != mostSides || s == nil || s.Changes[0].Text != fmt.Sprint(3*mostSides-1) {
		t.Errorf("%d sides are kept, of them %+v", len(h.sides), s)
	}
	large := side{Mark: "large", Changes: []Change{{Text: string(make([]byte, mostSideBytes+1))}}}
	h.saw(large)
	if h.saw(side{Mark: "new"}); len(h.sides) != 1 {
		t.Errorf("%d sides are kept beside one that is too large", len(h.sides)-1)
	}
	h.saw(large)
	if got := h.side([]string{"large"}, false, 0); !reflect.DeepEqual(*got, large) {
		t.Error("the latest side is not kept")
	}
}
