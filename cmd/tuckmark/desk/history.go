package desk

import (
	"errors"
	"maps"
	"net/http"
	"slices"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }

func (s *server) undo(j *openJob, w http.ResponseWriter, r *http.Request) {
	s.back(j, w, r, j.book.Undo, "undo")
}

func (s *server) redo(j *openJob, w http.ResponseWriter, r *http.Request) {
	s.back(j, w, r, j.book.Redo, "redo")
}

// back goes a step back or forth.
func (s *server) back(j *openJob, w http.ResponseWriter, r *http.Request, step func() (jobbook.Revision, bool, error), name string) {
	if !read(w, r, &struct{}{}) {
		return
	}
	rev, some, err := step()
	if err == nil && !some {
		err = &problem.Problem{What: "there is nothing to " + name}
	}
	did(j, w, rev, err)
}

func (s *server) returnTo(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ State, Seen jobbook.Revision } // Seen is the latest that the list has
	if !read(w, r, &in) {
		return
	}
	rev, err := j.book.Return(in.State, in.Seen)
	if errors.Is(err, jobbook.ErrSince) {
		err = &problem.Problem{What: "something else was done since this list was opened", Hint: "look at it again, and choose"}
	}
	did(j, w, rev, err)
}

// stateView is an earlier state in words.
type stateView struct {
	Revision jobbook.Revision
	Says     string
}

// mostStates is the most states that a page lists.
const mostStates = 300

func (s *server) statesPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	var v []stateView
	for _, st := range j.book.States() {
		if len(v) < mostStates {
			says := whatWasDone(st.Changes)
			if st.Answered && len(st.Changes) == 0 {
				says = "a question answered, or asked again"
			}
			v = append(v, stateView{st.Revision, says})
		}
	}
	page(w, "states", v)
}

// whatWasDone says in a few words what led to a state.
func whatWasDone(changes []jobbook.Change) string {
	if len(changes) == 0 {
		return "as it was when the desk was opened"
	}
	added, gone, moved := 0, 0, 0
	var cells []string
	for _, c := range changes {
		switch c.Kind {
		case jobbook.Insert:
			added++
		case jobbook.Remove:
			gone++
		case jobbook.Move:
			moved++
		case jobbook.Set:
			cells = append(cells, c.Column)
		}
	}
	var said []string
	if added > 0 {
		said = append(said, problem.Count(added, "row")+" added")
	}
	if gone > 0 {
		said = append(said, problem.Count(gone, "row")+" removed")
	}
	if moved > 0 {
		said = append(said, problem.Count(moved, "row")+" moved")
	}
	switch {
	case added > 0 || len(cells) == 0:
	case len(changes) == 1:
		text := []rune(strings.Join(strings.Fields(changes[0].Text), " "))
		if len(text) > 50 {
			text = append(text[:49], '…')
		}
		if len(text) == 0 {
			return changes[0].Column + " emptied"
		}
		said = append(said, changes[0].Column+": "+measure.Quote(string(text)))
	default:
		slices.Sort(cells)
		cells = slices.Compact(cells)
		said = append(said, problem.And(cells[:min(4, len(cells))])+" changed")
	}
	return strings.Join(said, ", ")
}

// answerQuestion settles what only a person can.
func (s *server) answerQuestion(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Question, Key, Shown string }
	if !read(w, r, &in) {
		return
	}
	did(j, w, j.book.Revision(), j.book.Answer(in.Question, in.Key, in.Shown))
}
