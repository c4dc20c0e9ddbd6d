package jobbook

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// mostAside is how many copies beside the workbook are looked into, and mostCopies how many names are tried.
const (
	mostAside  = 20
	mostCopies = 1000
)

// keepCopy keeps a copy of the workbook that is owed one, beside it, unless the book has all that it holds, or a copy has it already, and asks a person to look at it. It adds
// to what the journal needs to know.
func (b *Book) keepCopy(r *record) *problem.Problem {
	if b.owed == nil {
		return nil
	}
	var left []table.Holding
	says := "all of it: " + wideColumns + ", so that nothing of it was taken over. " + b.owed.wide
	if b.owed.wide == "" {
		left = b.outside(b.owed)
		says = inWords(left)
	}
	if len(left) > 0 || b.owed.wide != "" {
		name, why := b.copyBeside(b.owed.data, left, says)
		if why != nil {
			return why
		}
		if !slices.Contains(b.aside, name) {
			b.aside, r.Aside = append(b.aside, name), name
			asked, closed := b.ask([]Question{{Kind: SetAside, Column: name, Says: says, Choices: []Choice{{Key: Keep}}}})
			r.Asked, r.Closed = append(r.Asked, asked...), append(r.Closed, closed...)
		}
	}
	b.owed = nil
	return nil
}

// payOwed makes the copy that could not be made before.
func (b *Book) payOwed() *problem.Problem {
	if b.owed == nil {
		return nil
	}
	var r record
	if why := b.keepCopy(&r); why != nil {
		return why
	}
	if len(r.Asked) > 0 {
		b.tell(Event{Kind: Asked})
		_ = b.log(r) // it has told what is wrong
	}
	return nil
}

// copyBeside puts a copy of a workbook beside the book's, unless one that is there is the same, or holds what is left, if that is all that counts, and returns its name. Nothing is written over.
func (b *Book) copyBeside(data []byte, left []table.Holding, says string) (name string, why *problem.Problem) {
	free := ""
	var beside [][]byte
	var names []string
	for n := 1; n <= mostCopies && free == ""; n++ {
		path := naming.Yours(b.path, n)
		there, err := b.disk.Read(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			free = path
		case err == nil && bytes.Equal(there, data):
			return filepath.Base(path), nil
		case err == nil:
			beside, names = append(beside, there), append(names, filepath.Base(path))
		}
	}
	for i := len(beside) - 1; i >= max(0, len(beside)-mostAside); i-- {
		if len(left) > 0 && holds(beside[i], left) {
			return names[i], nil
		}
	}
	err := error(fs.ErrExist)
	if free != "" {
		err = save.Replace(b.disk, free, data)
	}
	if err != nil {
		return "", &problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: "another program saved something in the workbook that the desk does not keep, and no copy of it could be made",
			Cause: says + "; " + save.Reason(err), Hint: "make room on the disk, or make its folder one that may be written to; the workbook is left as it is until then", Disk: true}
	}
	return filepath.Base(free), nil
}

// holds reports a workbook that holds all of some things.
func holds(data []byte, all []table.Holding) bool {
	there, ok := table.Parse("", data, intake.KnownHeading).Holdings(data)
	if !ok {
		return false
	}
	has := make(map[table.Holding]bool, len(there))
	for _, h := range there {
		has[h] = true
	}
	return !slices.ContainsFunc(all, func(h table.Holding) bool { return !has[h] })
}

// mostTold is how many kinds of things are told of one workbook, and mostPlaces in how many places each.
const (
	mostTold   = 6
	mostPlaces = 3
)

// inWords says what a workbook held, each kind of it on a sheet once: "the sheet “Mine”, a comment at Journaling!B2".
func inWords(left []table.Holding) string {
	own := map[string]bool{} // sheets of which nothing is the desk's
	for _, h := range left {
		own[h.Sheet] = true
	}
	for _, s := range []string{Journaling.String(), Paper.String(), "Help", "Lists"} {
		delete(own, s)
	}
	drawn := slices.ContainsFunc(left, func(h table.Holding) bool {
		return h.Kind == table.HeldPicture || h.Kind == table.HeldChart || h.Kind == table.HeldDrawing
	})
	type group struct {
		kind  table.HoldingKind
		sheet string
	}
	var order []group
	places := map[group][]string{}
	for _, h := range left {
		g := group{h.Kind, h.Sheet}
		switch {
		case own[h.Sheet] && h.Sheet != "":
			g.kind = table.HeldCell
		case h.Kind == table.HeldMedia && drawn:
			continue // which is told by what lies there
		}
		if places[g] == nil {
			order = append(order, g)
		}
		at := h.At
		if h.Sheet != "" && h.Kind != table.HeldRunningHead {
			at = strings.TrimSuffix(h.Sheet+"!"+h.At, "!")
		}
		if !slices.Contains(places[g], at) {
			places[g] = append(places[g], at)
		}
	}
	var out []string
	for i, g := range order {
		if i == mostTold {
			out = append(out, "and more")
			break
		}
		if own[g.sheet] && g.sheet != "" {
			out = append(out, "the sheet "+measure.Quote(g.sheet))
			continue
		}
		out = append(out, kindInWords(g.kind, g.sheet, places[g]))
	}
	return strings.Join(out, ", ")
}

// kindWords are the words for one thing of a kind and for several, before where they are.
var kindWords = map[table.HoldingKind][2]string{
	table.HeldCell:     {"what stands in", "what stands in"},
	table.HeldFormula:  {"the formula in", "the formulas in"},
	table.HeldStroke:   {"what is struck through in", "what is struck through in"},
	table.HeldSigns:    {"letters that show as signs in", "letters that show as signs in"},
	table.HeldComment:  {"a comment at", "comments at"},
	table.HeldLink:     {"a link at", "links at"},
	table.HeldPicture:  {"a picture at", "pictures at"},
	table.HeldChart:    {"a chart at", "charts at"},
	table.HeldDrawing:  {"a drawing at", "drawings at"},
	table.HeldName:     {"the name", "the names"},
	table.HeldProperty: {"the document's property", "the document's properties"},
	table.HeldPart:     {"a part of the file that is not known here:", "parts of the file that are not known here:"},
}

// kindInWords says what things of one kind are and where they stand.
func kindInWords(kind table.HoldingKind, sheet string, at []string) string {
	switch kind {
	case table.HeldRunningHead:
		return "the text above or below the pages of " + sheet
	case table.HeldMedia:
		return "a picture or a chart"
	}
	words, more := kindWords[kind][0], ""
	if len(at) > 1 {
		words = kindWords[kind][1]
	}
	if n := len(at) - mostPlaces; n > 0 {
		at, more = at[:mostPlaces], fmt.Sprintf(" and %d more", n)
	}
	for i, a := range at {
		if kind == table.HeldName || kind == table.HeldProperty {
			a = measure.Quote(a)
		}
		at[i] = problem.Line(a)
	}
	return words + " " + strings.Join(at, ", ") + more
}
