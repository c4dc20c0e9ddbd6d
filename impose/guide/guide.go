package guide

import (
	"cmp"
	"fmt"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// Language is what the guides are written in, as of BCP 47.
const Language = "en-GB"

// Input is what the guides are made from.
type Input struct {
	Account  *account.Account
	Fonts    *typeset.Library
	Font     func(*typeset.Face) *press.Font // what a face is for press; nil: fonts of the guides' own
	Problems problem.List                    // of the whole run; its notes are listed
	Title    string                          // of the job
	Files    []string                        // that were read, as the user named them
	Added    string                          // to the names of the report's sheets of this run, as " 2"; "": it is the first
	Stop     func() bool                     // asked now and then; once it says yes, the pages are no longer wanted; may be nil
}

// Pages are the guides, on Settings.Guide. They stand in front of the plan's pieces in the PDF and name pieces by
// Piece.Page; their number does not depend on these up to 9,999, so that a plan whose pages are numbered from 1 can be numbered
// anew behind as many pages as come back, and its guides made again.
func Pages(in Input) []press.Page {
	j := &job{Input: in, Account: in.Account, unit: in.Account.Settings.Unit, told: map[*account.Piece][]entry{}}
	h := newHand(in.Fonts, in.Font)
	h.stop = in.Stop
	var at sections
	run := func() *pageWriter { return j.section(h, "Run sheet", 0, func(p *pageWriter) { j.runSheet(p, at) }) }
	parts := []*pageWriter{run()}
	last := len(parts[0].pages) // number of the last page so far
	add := func(name string, lines int, write func(*pageWriter)) (numbers []int) {
		p := j.follow(h, parts[len(parts)-1], name, lines, write)
		if p.start == 0 {
			last++
		}
		for i := range p.pages {
			numbers = append(numbers, last+i)
		}
		last += len(p.pages) - 1
		parts = append(parts, p)
		return numbers
	}
	cuts, blocks := 8, 0
	for i := range j.Groups {
		cuts += max(len(j.Groups[i].Pieces[0].Lines)*4/3, 14) // no less than the picture
	}
	for i := range j.Owners {
		blocks += 1 + len(j.Owners[i].Copied())/2
	}
	at.cutting = add("Cutting guide", cuts, j.cuttingGuide)
	at.sorting = add("Sorting list", blocks, j.sortingList)
	if j.stopped() {
		return nil
	}
	at.account = add("Paper account", 0, j.paperAccount)
	parts[0] = run() // again, now that it is known which pages to name; they take the same room

	var all []press.Page
	for _, p := range parts {
		pages := p.pages
		if p.start > 0 {
			g := &all[len(all)-1]
			g.Title += ", " + strings.ToLower(p.name)
			g.Fills, g.Lines, g.Texts = append(g.Fills, pages[0].Fills...), append(g.Lines, pages[0].Lines...), append(g.Texts, pages[0].Texts...)
			pages = pages[1:]
		}
		all = append(all, pages...)
	}
	for i := range all {
		foot(h, all, i, cmp.Or(strings.TrimSpace(j.Title), "Guides"))
	}
	return all
}

// stopped reports whether the guides are no longer wanted.
func (j *job) stopped() bool { return j.Stop != nil && j.Stop() }

// sections are the pages of each part of the guides.
type sections struct{ cutting, sorting, account []int }

// section writes a part of the guides, on pages of its own or, from start down, on the last page of another.
func (j *job) section(h *hand, name string, start measure.Length, write func(*pageWriter)) *pageWriter {
	p := &pageWriter{hand: h, size: j.Settings.Guide, name: name, start: start}
	p.open()
	write(p)
	return p
}

// follow writes a section below another one, if all of it fits there, so that a small job takes few pages. It has about
// so many lines, which tells whether to try.
func (j *job) follow(h *hand, before *pageWriter, name string, lines int, write func(*pageWriter)) *pageWriter {
	start := before.y + measure.Inch/8
	if room := before.bottom() - start; room > measure.Inch && measure.Length(lines)*small.line() < room {
		if p := j.section(h, name, start, write); len(p.pages) == 1 {
			return p
		}
	}
	return j.section(h, name, 0, write)
}

// foot writes the title and the page's number at the bottom of a page, as one row of glyphs from margin to margin: readers
// that guess which way a page is written by how its texts cover it (PDFium does) take a page of short columns for
// one that is written downwards, and jumble its rows, unless something spans it.
func foot(h *hand, all []press.Page, i int, title string) {
	p := &pageWriter{hand: h, size: all[i].Size, pages: all[i : i+1]}
	y := p.size.H - margin
	g := p.page()
	p.cell(p.left(), y, p.width()-2*measure.Inch, faint, title, toLeft)
	n := len(g.Texts)
	p.cell(p.right()-2*measure.Inch, y, 2*measure.Inch, faint, fmt.Sprintf("page %d of %d", i+1, len(all)), toRight)
	if before, number := &g.Texts[n-1], g.Texts[n]; before.Font == number.Font {
		before.Glyphs = append(before.Glyphs, number.Glyphs...)
		g.Texts = g.Texts[:n]
	}
}

// job is the guides in the making.
type job struct {
	Input
	*account.Account
	unit   measure.Unit
	begins map[string]int             // page of the cutting guide, from 0, that a stock begins on
	told   map[*account.Piece][]entry // of pieces in lists
}
