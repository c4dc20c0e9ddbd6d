// Package findings says what a check of a job found, in the order in which a person can use it, and to each person what is theirs.
//
//	findings.go  what stops the print, what is doubtful, what is only advice
//	answers.go   what came back from the proof
//	letters.go   to each person what to mend, and the organiser's own part
//	parcels.go   to each person what is in the envelope and what it comes to
package findings

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/intake"
)

// Findings are lines to show.
type Findings struct {
	Stops  []string // what keeps rows from being printed, the quickest to mend first
	Doubts []string // what was understood, and may be meant otherwise
	Advice []string // on what may be as it is
	Texts  int      // that the advice is about
}

// Of sorts what a job's check found.
func Of(j *impose.Job) Findings {
	v := newView(j)
	f := Findings{
		Stops:  v.lines(func(p *problem.Problem) bool { return p.Severity == problem.Error }),
		Doubts: v.lines(func(p *problem.Problem) bool { return p.Severity == problem.Note && p.Kind != problem.Advice }),
		Advice: v.lines(func(p *problem.Problem) bool { return p.Severity == problem.Note && p.Kind == problem.Advice }),
	}
	for _, p := range j.Problems {
		if p.Kind == problem.Advice {
			f.Texts++
		}
	}
	return f
}

// view is a job as its findings are told.
type view struct {
	*impose.Job
	many bool // more tables than one
}

func newView(j *impose.Job) *view {
	return &view{Job: j, many: j.Input != nil && len(j.Input.Sheets) != 1}
}

// effort is what it takes to mend a problem: to ask for a file or a heading, then for a name, to choose another word, to measure
// again, to write anew.
func (v *view) effort(p *problem.Problem) int {
	if p.Place.Row == 0 {
		return 0
	}
	switch v.Input.As(p.Place) {
	case "Name", "Surname":
		return 1
	case "Width", "Height", "Space":
		return 3
	case "Journaling", "Title", "Who", "Where", "When":
		return 4
	}
	return 2
}

// AllOfThem is how to see what is not shown one by one.
const AllOfThem = "`tuckmark check --json` lists them all, and `tuckmark check -o FILE.xlsx` marks their cells"

// lines tells the problems of a kind, a line for each, or for several rows that have the same; of very many that are alike, the first.
func (v *view) lines(of func(*problem.Problem) bool) []string {
	type line struct {
		problem.Problem
		rows   []int
		effort int
	}
	var list []line
	same := map[problem.Problem]int{} // where it stands in the list
	for i := range v.Problems {
		p := v.Problems[i]
		if !of(&p) {
			continue
		}
		key := p
		if of := v.person(&p); p.Kind == problem.OfRow && of != "" {
			key.Place.File += "\x00" + of // each person's own
		}
		key.Place.Row, key.Place.Cell, key.Place.Block = 0, "", 0
		if k, ok := same[key]; ok && p.Place.Row > 0 && list[k].rows[0] > 0 {
			list[k].rows = append(list[k].rows, p.Place.Row)
			continue
		}
		same[key] = len(list)
		list = append(list, line{p, []int{p.Place.Row}, v.effort(&p)})
	}
	slices.SortStableFunc(list, func(a, b line) int { return cmp.Compare(a.effort, b.effort) })
	var out []string
	for _, l := range problem.Shorten(list, func(l *line) *problem.Problem { return &l.Problem }, AllOfThem) {
		text := v.where(&l.Problem, l.rows)
		if text != "" {
			text += ": "
		}
		text += l.What
		if l.Cause != "" && (l.Hint == "" || l.Place.Row == 0 || l.Kind == problem.Wish) { // of a wish, which answer asks for it
			text += " (" + l.Cause + ")"
		}
		if l.Hint != "" {
			text += ". To do: " + l.Hint
		}
		out = append(out, text)
	}
	return out
}

// where says where a problem lies: of one table only the row and the column, and whose row it is.
func (v *view) where(p *problem.Problem, rows []int) string {
	at := p.Place
	if len(rows) > 1 {
		numbers := make([]string, len(rows))
		for i, r := range rows {
			numbers[i] = fmt.Sprint(r)
		}
		said := "rows " + problem.And(problem.Few(numbers, 8))
		if at.Column != "" {
			said += ", column " + at.Column
		}
		if v.many {
			said = problem.Place{File: at.File, Sheet: at.Sheet}.String() + ", " + said
		}
		return said
	}
	if at.Row > 0 && !v.many {
		at.File, at.Sheet = "", ""
	}
	said := at.String()
	if who := v.person(p); who != "" {
		said += ", " + who
	}
	return said
}

// person is whose row a problem is in, or "".
func (v *view) person(p *problem.Problem) string {
	if v.Input == nil {
		return ""
	}
	return v.Input.Person(p.Place)
}

// Columns says in plain sentences what every column was taken for.
func Columns(list []intake.Column) (lines []string) {
	table := ""
	for _, c := range list {
		if at := (problem.Place{File: c.File, Sheet: c.Sheet}).String(); at != table {
			lines = append(lines, at+":")
			table = at
		}
		if c.Heading == "" {
			continue
		}
		said := " is read as " + c.As
		switch {
		case c.Double:
			said = " is not read: another column is read as " + c.Meaning() + " already"
		case c.As == "":
			said = " is not read"
		case c.Unit != "":
			said += ", in " + c.Unit
		}
		if of := c.Blocks(); len(of) > 0 && c.As != "" && !c.Double {
			var blocks []string
			for _, n := range of {
				blocks = append(blocks, strconv.Itoa(n))
			}
			said += ", of " + problem.Noun(len(of), "block|blocks") + " " + problem.And(blocks)
		}
		lines = append(lines, fmt.Sprintf("  Column %s, “%s”,%s.", c.Letter(), c.Heading, said))
	}
	return lines
}

// Next is what to do after a check, for who does it for the first time.
func Next(j *impose.Job) string {
	if j.Problems.Errors() > 0 {
		said := "Next: mend these and check again. --letters FOLDER writes to each person, -o FILE.xlsx marks the cells"
		if j.CanHoldBack() && j.Ready() > 0 {
			said += ", and `tuckmark make --hold-back` prints the rest"
		}
		return said + "."
	}
	return "Next: nothing stops the print. `tuckmark proof` shows every block as it will look, `tuckmark make` makes the pages."
}

// AdviceLine says in one line how much advice there is.
func (f *Findings) AdviceLine() string {
	if f.Texts == 0 {
		return ""
	}
	return problem.Count(f.Texts, "text names|texts name") + " no date, or nobody and no place, which may be meant: list them with --advice."
}
