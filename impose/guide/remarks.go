package guide

import (
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
		p.para(p.left(), p.width(), body, "And "+strconv.Itoa(more)+" more: the report's sheet Held back has them all.")
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

// notes lists what was noted, the same thing said once; advice is for before the print.
func (j *job) notes(p *pageWriter) {
	const most = 6
	type note struct {
		what, hint string
		at         []string
	}
	var all []note
	index := map[string]int{}
	for _, n := range j.Problems {
		if n.Severity != problem.Note || n.Kind == problem.Advice {
			continue
		}
		i, ok := index[n.What]
		if !ok {
			i = len(all)
			index[n.What] = i
			all = append(all, note{what: n.What, hint: n.Hint})
		}
		all[i].at = append(all[i].at, where(n.Place))
	}
	if len(all) == 0 {
		return
	}
	p.need(heading.line() + 2*body.line())
	p.text(p.left(), p.y+heading.size, heading, "Worth knowing")
	p.y += heading.line() + 2*measure.Point
	for _, n := range all[:min(most, len(all))] {
		text := n.what
		switch {
		case len(n.at) == 1 && n.at[0] != "":
			text = n.at[0] + ": " + text
		case len(n.at) > 1:
			text = problem.Count(len(n.at), "row") + ": " + text
		}
		p.para(p.left(), p.width(), body, text+".")
	}
	if more := len(all) - most; more > 0 {
		p.para(p.left(), p.width(), body, "And "+strconv.Itoa(more)+" more: the report's sheet Notes has them all.")
	}
	p.space(measure.Inch / 8)
}
