package guide

import (
	"fmt"
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// runSheet says what to load, how to set the printer, what to print and in which order.
func (j *job) runSheet(p *pageWriter, at sections) {
	p.y -= measure.Inch / 16
	p.para(p.left(), p.width(), large, j.summary())
	p.space(measure.Inch / 12)
	p.explain(j.cautions(), small)
	p.space(measure.Inch / 12)
	guides := []int{1}
	for n := len(at.account); n > 0 && len(guides) < at.account[n-1]; {
		guides = append(guides, len(guides)+1)
	}
	t := steps(p, 0)
	t.columns[1].numbers = true
	t.start(p)
	t.row(p, "x", "These guides, on plain paper "+exact(j.Settings.Guide, j.unit)+": print "+pages(guides)+". Check the line below.")
	p.space(measure.Inch / 8)
	for i, stock := range j.Stocks() {
		j.card(p, i+1, stock, at)
	}
	j.total(p)
	j.heldBack(p)
	j.notes(p)
	j.drawScaleLine(p)
}

// summary is the whole job in a sentence or two.
func (j *job) summary() string {
	copies, people := 0, 0
	for _, o := range j.Owners {
		copies += len(o.Blocks)
		if len(o.Blocks) > 0 {
			people++
		}
	}
	stocks := len(j.Stocks())
	s := fmt.Sprintf("%s: %s for %s, on %s of %s.", problem.Capital(j.Title), problem.Count(copies, "block"), problem.Count(people, "person|people"),
		problem.Count(len(j.Pieces), "piece"), problem.Count(stocks, "stock"))
	if len(j.Files) > 0 {
		files := j.Files
		if len(files) > 3 {
			files = append(slices.Clone(files[:2]), strconv.Itoa(len(files)-2)+" more")
		}
		s += " From " + problem.And(files) + "."
	}
	return s
}

// cautions are the usual ones (common practice; no standard was found for them).
func (j *job) cautions() []term {
	tool := term{"Blade.", "Keep fingers behind the rail, close the blade after each cut, and keep it from children."}
	if j.Scissors {
		tool = scissorCaution
	}
	return []term{
		{"Size.", "Print at 100% (actual size), never “fit to page”, and on one side only."},
		{"Heat.", "A laser printer can melt stock that is not made for it: read the pack first."},
		{"Feed.", "Sizes are width by height as the printer takes them: the width is the edge that goes in first."},
		{"Ink.", "Let it dry before you touch or stack it."},
		tool,
		{"Rule.", "The printer's and the stock maker's directions come before this sheet."},
	}
}

// total is the sum of what is used.
func (j *job) total(p *pageWriter) {
	sheets, leftovers := 0, 0
	var cents int64
	for _, u := range j.Plan.Stocks {
		sheets += u.NewSheets
		cents += u.Cents
		leftovers += j.LeftoversUsed(u.Stock)
	}
	text := "Total: " + problem.Count(len(j.Pieces), "piece") + " to print, from " + problem.Count(sheets, "new sheet")
	if leftovers > 0 {
		text += " and " + problem.Count(leftovers, "leftover")
	}
	if cents > 0 {
		text += "; paper for " + j.Settings.Amount(cents)
	}
	p.need(strong.line())
	p.para(p.left(), p.width(), strong, text+".")
	p.space(measure.Inch / 8)
}

// drawScaleLine draws a line of known length at the foot of the run sheet's first page, to see whether the printer scales.
func (j *job) drawScaleLine(p *pageWriter) {
	length, name := 4*measure.Inch, "4 in"
	if j.unit.Metric() {
		length, name = 100*measure.Millimetre, "100 mm"
	}
	first := &pageWriter{hand: p.hand, size: p.size, pages: p.pages[:1]}
	y := first.size.H - margin - measure.Inch*19/100
	x := first.left()
	first.stroke(x, y, x+length, y, stroke, black, 0)
	for _, at := range []measure.Length{x, x + length} {
		first.stroke(at, y-measure.Inch/20, at, y+measure.Inch/20, stroke, black, 0)
	}
	first.cell(x+length+measure.Inch/8, y+3*measure.Point, first.right()-x-length-measure.Inch/8, small,
		"This line is exactly "+name+" long, or the printer scales.", toLeft)
}
