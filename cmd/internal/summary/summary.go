// Package summary says what a run came to, in lines for a person.
//
//	summary.go  a job: blocks, sheets, what is left, what would save a sheet, and the files
//	note.go     one block on a piece in hand
package summary

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/layout"
)

// lines are put together one by one.
type lines []string

func (l *lines) say(format string, args ...any) { *l = append(*l, fmt.Sprintf(format, args...)) }

// Files are what a run wrote.
type Files struct {
	PDF, Report, Plan string   // "" where it was not wanted
	Guides            int      // pages of guides that the PDF begins with
	Replaced          []string // those that stand in the place of an older file
	Same              bool     // the report was there already, as it is
	Again             bool     // blocks of an earlier run were printed again
}

// replaces is what is said behind the name of a file where it stands in the place of an older one.
func (f *Files) replaces(path string) string {
	if slices.Contains(f.Replaced, path) {
		return " (in place of an older one)"
	}
	return ""
}

// Job says in a few lines what was made, with what would save a sheet.
func Job(j *impose.Job, advice []layout.Advice, to Files) []string {
	var out lines
	copies, owners := 0, map[string]bool{}
	pieces := map[string]int{}
	leftovers := map[string]map[int]bool{}
	for _, p := range j.Plan.Pieces {
		pieces[p.Stock]++
		for _, b := range p.Blocks() {
			copies++
			owners[b.Block.Owner] = true
		}
		if p.Source.Leftover {
			if leftovers[p.Stock] == nil {
				leftovers[p.Stock] = map[int]bool{}
			}
			leftovers[p.Stock][p.Source.Sheet] = true
		}
	}
	out.say("%s for %s, on %s:", problem.Count(copies, "block"), problem.Count(len(owners), "person|people"), problem.Count(len(j.Plan.Pieces), "piece"))
	for _, use := range j.Plan.Stocks {
		line := "  " + use.Stock + ": " + problem.Count(pieces[use.Stock], "piece") + " from " + problem.Count(use.NewSheets, "new sheet")
		if n := len(leftovers[use.Stock]); n > 0 {
			line += " and " + problem.Count(n, "leftover")
		}
		line += ", " + percent(use.Filled) + " filled"
		if use.Bound > 0 && use.Bound == use.NewSheets {
			line += " (fewer sheets cannot do)"
		} else if use.Bound > 0 {
			line += fmt.Sprintf(" (at least %d are needed)", use.Bound)
		}
		if use.Cents > 0 {
			line += ", " + j.Settings.Amount(use.Cents)
		}
		out.say("%s", line)
		if left := leftoversOf(j, use.Stock); left != "" {
			out.say("    left: %s", left)
		}
		for _, a := range advice {
			if a.Stock == use.Stock {
				out.advise(j, a)
			}
		}
	}
	if len(j.Settings.Costs) > 0 && !to.Again {
		var costs []string
		for _, c := range j.Settings.Costs {
			costs = append(costs, c.Name+" "+j.Settings.Amount(c.Cents)+" "+c.By.String())
		}
		out.say("  besides: %s", strings.Join(costs, ", "))
	}
	if n := len(j.Plan.Held); n > 0 {
		out.say("%s held back; the run sheet and the report list them.", problem.Count(n, "row"))
	}
	notes := 0 // advice is none
	for _, p := range j.Problems {
		if p.Severity == problem.Note && p.Kind != problem.Advice {
			notes++
		}
	}
	if notes > 0 {
		where := "report"
		if to.Again {
			where += "'s sheet " + j.NotesSheet() // its sheet Notes is of the first run
		}
		out.say("%s; the %s lists them.", problem.Count(notes, "note"), where)
	}
	out.say("To print: %s (%s, the first %d on plain paper)", to.PDF, problem.Count(to.Guides+j.Plan.Pages(), "page"), to.Guides)
	out.say("%s", j.Trimming())
	replaces := to.replaces(to.Report)
	if replaces == "" && to.Same && to.Again { // a second redo from the first report knows nothing of the first redo
		replaces = " (the same was there already; if its pages were printed, print more from this report, not from the one before it)"
	}
	out.say("To sort and pay: %s%s", to.Report, replaces)
	if to.Plan != "" {
		out.say("The plan: %s%s", to.Plan, to.replaces(to.Plan))
	}
	return out
}

// advise says what would save a sheet of a stock.
func (l *lines) advise(j *impose.Job, a layout.Advice) {
	var ways []string
	if a.Turning {
		ways = append(ways, "if every block may be turned")
	}
	if a.Holds > 0 {
		ways = append(ways, "if the trimmer held strips of "+a.Holds.About(j.Settings.Unit))
	}
	if a.Gap {
		ways = append(ways, fmt.Sprintf("with a gap only where there is room (gap: auto %s)", j.Settings.Gap.Width.Format(j.Settings.Unit)))
	}
	if a.Without != "" {
		ways = append(ways, fmt.Sprintf("without %s (%s)", a.Without, a.Owner))
	}
	u := j.Settings.Unit
	if a.Lower > 0 {
		ways = append(ways, "with its space "+a.Lower.About(u)+" lower")
	}
	if a.Narrower > 0 {
		ways = append(ways, "with its space "+a.Narrower.About(u)+" narrower")
	}
	l.say("    one sheet fewer would do %s", strings.Join(ways, ", or "))
}

func percent(share float64) string { return fmt.Sprintf("%.0f%%", share*100) }

// leftoversOf names the leftovers of a stock, the largest first.
func leftoversOf(j *impose.Job, stock string) string {
	const most = 4
	var names []string
	kept := j.Plan.Kept(stock)
	for _, k := range kept[:min(len(kept), most)] {
		names = append(names, k.Down(j.Settings.Unit))
	}
	if more := len(kept) - most; more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, ", ")
}
