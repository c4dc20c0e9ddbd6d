package desk

import (
	"net/http"
	"slices"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// headingView is a column whose heading no rule knows, with the first of what is in it.
type headingView struct {
	Heading string
	Cells   []string
	As      []string // what it may be
}

// firstCells is how many of a column's cells are shown, and how much of each.
const (
	firstCells = 3
	mostShown  = 60 // letters
)

// ownColumns are those of a desk's workbook that the form has not got: nobody types into them at the desk.
var ownColumns = []string{"Hold", "Kept"}

// formColumns are the columns of the form in a desk's workbook.
func formColumns() []string {
	return slices.DeleteFunc(slices.Clone(jobbook.Columns(jobbook.Journaling)), func(c string) bool { return slices.Contains(ownColumns, c) })
}

// unknown are the columns of the journaling that are asked about: no rule and no setting knows the heading, and there is something in them.
func (j *openJob) unknown() (out []headingView) {
	c := j.layer.settings.Load()
	var rows []jobbook.Row // copied only where there is a column to ask about
	for _, heading := range j.book.Columns(jobbook.Journaling) {
		told := slices.ContainsFunc(c.Columns, func(t config.Column) bool { return strings.EqualFold(t.Heading, heading) })
		if told || intake.KnownHeading(heading) || slices.Contains(ownColumns, heading) {
			continue
		}
		if rows == nil {
			rows = j.book.Rows(jobbook.Journaling)
		}
		v := headingView{Heading: heading, As: append(formColumns(), "Space")}
		for _, r := range rows {
			if text := []rune(strings.Join(strings.Fields(r.Cells[heading]), " ")); len(text) > 0 && len(v.Cells) < firstCells {
				if len(text) > mostShown {
					text = append(text[:mostShown-1], '…')
				}
				v.Cells = append(v.Cells, string(text))
			}
		}
		if len(v.Cells) > 0 {
			out = append(out, v)
		}
	}
	return out
}

// heading takes the answer for one: its cells are put where they belong, or, where it is nothing that is printed, that is remembered in the
// configuration.
func (s *server) heading(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Heading, As string }
	if !read(w, r, &in) {
		return
	}
	asked := j.unknown()
	at := slices.IndexFunc(asked, func(v headingView) bool { return v.Heading == in.Heading })
	if at < 0 || in.As != "" && !slices.Contains(asked[at].As, in.As) {
		fail(w, http.StatusConflict, &problem.Problem{What: "the column is not asked about", Hint: "load this page again"}, nil)
		return
	}
	waits := j.asked()
	if in.As == "" {
		if err := j.amend(j.layer.settings.Load(), []config.Amendment{{Keys: []string{"columns"}, Value: config.Typed(in.Heading + " = nothing"), Add: true}}); err != nil {
			fail(w, http.StatusConflict, err, nil)
			return
		}
		j.told.answered(in.Heading, "", waits, nil)
		answer(w, struct{}{})
		return
	}
	var found problem.List
	var made []jobbook.Change
	rev, err := j.doFound(func(rows []jobbook.Row) (changes []jobbook.Change, err error) {
		for _, row := range rows {
			if row.Cells[in.Heading] == "" || row.Cells[in.As] != "" { // what is filled already stays, and so does what is not taken
				continue
			}
			changes = append(changes, setAll(jobbook.Journaling, row.ID, map[string]string{in.As: intake.TakenFor(in.As, in.Heading, row.Cells, j.book.Unit()), in.Heading: ""})...)
		}
		if len(changes) == 0 {
			err = &problem.Problem{What: in.As + " is filled in every one of these rows already", Hint: "choose what else it is, or nothing"}
		}
		changes, found = j.book.Answered(in.Heading, changes)
		made = changes
		return changes, err
	})
	if err == nil || notOnDisk(err) {
		j.told.answered(in.Heading, in.As, waits, made)
		j.tell(found, in.Heading, made...)
	}
	did(j, w, rev, err, found...)
}
