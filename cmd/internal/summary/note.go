package summary

import (
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
)

// Note says how to print and cut one block on a piece in hand, and what then remains. The PDF is the file's name.
func Note(strip *layout.Strip, s *config.Settings, pdf string, replaced []string) []string {
	var out lines
	for _, path := range replaced {
		out.say("%s is in place of an older one.", path)
	}
	u := s.Unit
	p := strip.Plan.Pieces[0]
	b := p.Blocks()[0].Block
	stock, _ := s.Stock(p.Stock)
	for _, step := range impose.PreCuts(strip.Plan, u) {
		out.say("%s", step)
	}
	if p.Carrier == nil {
		out.say("To print: %s, on “%s” with the printer “%s”: %s, %s edge first", pdf, p.Stock, p.Printer, p.Size().About(u), p.Size().W.About(u))
	} else {
		out.say("To print: %s, on “%s” with the printer “%s”; the piece of %s is too small to feed and rides on a sheet of %s:",
			pdf, p.Stock, p.Printer, p.Size().About(u), p.Carrier.Size.About(u))
		out.say("  print page 1 on plain paper, fix the piece inside its outline, load it again and print page 2")
	}
	var advice []string
	for _, a := range []string{stock.Tray, stock.Quality} {
		if a != "" {
			advice = append(advice, a)
		}
	}
	if stock.Drying > 0 {
		advice = append(advice, "let it dry for "+problem.Count(stock.Drying, "minute"))
	}
	if len(advice) > 0 {
		out.say("  %s", strings.Join(advice, "; "))
	}
	if stock.Mirror {
		out.say("  mirrored, to read right from the other side")
	}
	out.say("  %s in %s, %s", b.Setting.Size.Format(measure.Pt), b.Setting.Face, problem.Count(len(b.Setting.Lines), "line"))
	cuts := slices.DeleteFunc(slices.Collect(p.Whole.Cuts), func(q *plan.Part) bool { return q.Hair() != nil })
	for i, q := range cuts {
		axis, from, edge := "across", q.Cut.At-q.Rect.Y, "upper edge"
		if q.Cut.Axis == plan.Down {
			axis, from, edge = "down", q.Cut.At-q.Rect.X, "left edge"
		} else if q.Rect.Y == 0 && p.Carrier == nil {
			edge = "edge that went in first"
		}
		how := "beside the mark"
		switch {
		case outlined(p, q):
			how = "along the printed line"
		case len(q.Cut.Marks) == 0:
			how = "measured"
		}
		if len(cuts) == 1 {
			out.say("To cut: once %s, %s from the %s (%s)", axis, from.About(u), edge, how)
			continue
		}
		if i == 0 {
			out.say("To cut:")
		}
		out.say("  %d. %s, %s from the %s (%s)", i+1, axis, from.About(u), edge, how)
	}
	if tuck := b.Tuck.About(u); tuck != "" {
		out.say("  the blank %s goes under the layer", tuck)
	}
	after := "Afterwards: the piece measures " + strip.Rest.About(u)
	if strip.Turned {
		after += ", turned,"
	}
	serves := " and still feeds"
	if strip.Rides {
		serves = " and can still ride"
	}
	switch {
	case strip.Rest.At(0, 0).Empty():
		out.say("Afterwards: nothing remains of the piece.")
	case !strip.Feeds:
		out.say("%s and no longer feeds: %s.", after, strip.Why)
	case strip.More == 0:
		out.say("%s, but has no room for another block like this.", after+serves)
	case strip.Why == "":
		out.say("%s. %s like this, and it is used up.", after+serves, problem.Capital(another(strip.More)))
	default:
		out.say("%s.", after+serves)
		out.say("  After %s like this it would measure %s: %s.", another(strip.More), strip.Last.About(u), strip.Why)
	}
	return out
}

func another(n int) string {
	if n == 1 {
		return "one more block"
	}
	return problem.Count(n, "more block")
}

// outlined reports whether the outline of what comes out of a part shows where it is cut.
func outlined(p *plan.Piece, q *plan.Part) bool {
	for leaf := range p.Whole.Leaves {
		if slices.ContainsFunc(leaf.Outline, func(m plan.Mark) bool { return m.Along(q.Cut.Axis, q.Cut.At) }) {
			return true
		}
	}
	return false
}
