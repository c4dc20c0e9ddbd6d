package guide

import (
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// mostHeld is how many rows that are held back the run sheet lists, and how many the sorting list, in the order of either. More is no matter
// for paper: the report has all.
const mostHeld = 1000

// heldBack lists the rows that are not printed.
func (j *job) heldBack(p *pageWriter) {
	if len(j.Plan.Held) == 0 {
		return
	}
	p.need(heading.line() + 3*body.line() + measure.Inch/4)
	p.text(p.left(), p.y+heading.size, heading, "Held back: "+problem.Count(len(j.Plan.Held), "row")+", not in this print")
	p.y += heading.line() + 2*measure.Point
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: []column{
		{w: measure.Inch / 6, style: body, tick: true},
		{head: "Row", w: measure.Inch * 19 / 10, style: body},
		{head: "Block", w: measure.Inch * 8 / 10, style: bold},
		{head: "Owner", w: measure.Inch * 13 / 10, style: body},
		{head: "Why", style: body},
	}}
	t.start(p)
	for _, h := range j.Plan.Held[:min(mostHeld, len(j.Plan.Held))] {
		t.row(p, "x", where(h.Place), h.Code, h.Owner, h.Why)
	}
	if more := len(j.Plan.Held) - mostHeld; more > 0 {
		p.para(p.left(), p.width(), body, "And "+strconv.Itoa(more)+" more: the report's sheet "+j.heldSheet()+" has them all.")
	}
	p.space(measure.Inch / 8)
}

// where names a row.
func where(at problem.Place) string {
	var parts []string
	if at.File != "" {
		parts = append(parts, at.File)
	}
	if at.Sheet != "" {
		parts = append(parts, at.Sheet)
	}
	if at.Row > 0 {
		parts = append(parts, "row "+strconv.Itoa(at.Row))
	}
	if at.Line > 0 {
		parts = append(parts, "line "+strconv.Itoa(at.Line))
	}
	return strings.Join(parts, ", ")
}

// heldSheet is the report's sheet that lists what was held back: a redo adds none for that alone.
func (j *job) heldSheet() string {
	if j.Added != "" {
		return "Blocks" + j.Added
	}
	return "Held back"
}

// noted is what was noted, with all places that it was noted of.
type noted struct {
	what string
	rows int      // how many of the places are rows, or lines
	row  string   // the first of them
	at   []string // the others: sheets, files and columns, each once
}

// noted are the run's notes, the same thing once.
func (j *job) noted() (all []*noted) {
	index := map[string]*noted{}
	for _, n := range j.Problems {
		if n.Severity != problem.Note || n.Kind == problem.Advice {
			continue
		}
		same := index[n.What]
		if same == nil {
			same = &noted{what: n.What}
			index[n.What] = same
			all = append(all, same)
		}
		same.add(n.Place)
	}
	return all
}

func (n *noted) add(at problem.Place) {
	name := where(at)
	switch {
	case at.Row > 0 || at.Line > 0:
		if n.rows++; n.rows == 1 {
			n.row = name
		}
	case name != "" && !slices.Contains(n.at, name):
		n.at = append(n.at, name)
	}
}

// mostPlaces is how many sheets or files are named of which the same was noted.
const mostPlaces = 8

// sentence says what was noted. Rows are counted; a sheet or a file is named, since without its name nobody knows where to look. All is false where there are too
// many to be named.
func (n *noted) sentence() (text string, all bool) {
	places := problem.Few(n.at, mostPlaces)
	switch {
	case n.rows == 1:
		places = append([]string{n.row}, places...)
	case n.rows > 1:
		places = append([]string{problem.Count(n.rows, "row")}, places...)
	}
	if len(places) > 0 {
		text = strings.Join(places, "; ") + ": "
	}
	return text + n.what + ".", len(n.at) <= mostPlaces
}

// notes lists what was noted, the same thing said once; advice is for before the print.
func (j *job) notes(p *pageWriter) {
	const most = 6
	all := j.noted()
	if len(all) == 0 {
		return
	}
	p.need(heading.line() + 2*body.line())
	p.text(p.left(), p.y+heading.size, heading, "Worth knowing")
	p.y += heading.line() + 2*measure.Point
	named := true
	for _, n := range all[:min(most, len(all))] {
		text, whole := n.sentence()
		named = named && whole
		p.para(p.left(), p.width(), body, text)
	}
	sheet := "the report's sheet Notes" + j.Added
	if more := len(all) - most; more > 0 {
		p.para(p.left(), p.width(), body, "And "+strconv.Itoa(more)+" more: "+sheet+" has them all.")
	} else if !named {
		p.para(p.left(), p.width(), body, problem.Capital(sheet)+" names each.")
	}
	p.space(measure.Inch / 8)
}
