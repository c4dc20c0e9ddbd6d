package desk

import (
	"slices"
	"sync"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// told is what was said as a job was opened and as files came in, and what columns were answered to be since: some of it hangs on that.
type told struct {
	mutex sync.Mutex
	list  []toldOnce
	as    map[jobbook.Waiting]string
}

// toldOnce is something that was told; with the answer about a heading, where that is not "", while something of what it has written stands.
type toldOnce struct {
	problem.Problem
	with  string
	wrote []jobbook.Change
}

// tell has problems stand on the page of the journaling. What hangs on columns that nobody is asked about stands for good.
func (j *openJob) tell(found problem.List, with string, made ...jobbook.Change) {
	if len(found) == 0 {
		return
	}
	asked := j.asked()
	wrote := written(made)
	j.told.mutex.Lock()
	defer j.told.mutex.Unlock()
	for _, p := range found {
		if p.Open != nil {
			open := *p.Open
			open.Asks = slices.DeleteFunc(slices.Clone(open.Asks), func(heading string) bool { return !asked[jobbook.Waiting{Of: open.Of, Heading: heading}] })
			if p.Open = &open; len(open.Asks) == 0 {
				p.Open = nil
			}
		}
		j.told.list = append(j.told.list, toldOnce{p, with, wrote})
	}
}

// written are those of an answer's changes that are to be mended where a note came with it: the measures without a unit, or whatever was written where there are none.
func written(made []jobbook.Change) (out []jobbook.Change) {
	for _, c := range made {
		if c.Text != "" && intake.Bare(c.Text) {
			out = append(out, c)
		}
	}
	if out == nil {
		out = slices.DeleteFunc(slices.Clone(made), func(c jobbook.Change) bool { return c.Text == "" })
	}
	return out
}

// answered notes what a column is, of the tables of which it was asked, and with which changes.
func (t *told) answered(heading, as string, asked map[jobbook.Waiting]bool, made []jobbook.Change) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.as == nil {
		t.as = map[jobbook.Waiting]string{}
	}
	for w := range asked {
		if w.Heading == heading {
			t.as[w] = as
		}
	}
	rows := map[string]bool{}
	for _, c := range made {
		rows[c.ID] = true
	}
	t.list = slices.DeleteFunc(t.list, func(p toldOnce) bool { // of an answer that was taken back
		return p.with == heading && slices.ContainsFunc(p.wrote, func(c jobbook.Change) bool { return rows[c.ID] })
	})
}

// asked are the headings of the columns that are asked about, and the tables that they are of.
func (j *openJob) asked() map[jobbook.Waiting]bool {
	var headings []string
	for _, v := range j.unknown() {
		headings = append(headings, v.Heading)
	}
	if headings == nil {
		return nil
	}
	return j.book.Waits(headings)
}

// stillTold is what was told and still holds: what an answer has settled, or came with one, changes when that is taken back.
func (j *openJob) stillTold() (out problem.List) {
	j.told.mutex.Lock()
	list := slices.Clone(j.told.list)
	hangs := slices.ContainsFunc(list, func(p toldOnce) bool { return p.Open != nil || p.with != "" })
	j.told.mutex.Unlock()
	var asked map[jobbook.Waiting]bool
	if hangs {
		asked = j.asked()
	}
	j.told.mutex.Lock()
	defer j.told.mutex.Unlock()
	for _, p := range list {
		if (p.with == "" || j.book.Stands(p.wrote)) && !j.told.settled(p.Open, asked) &&
			!(p.with != "" && slices.ContainsFunc(out, func(o problem.Problem) bool { return o.Place == p.Place && o.What == p.What })) { // answers of several files may tell the same
			out = append(out, p.Problem)
		}
	}
	return out
}

// settled reports whether the columns that a problem hangs on are none that is asked about any more, or have been told to be those that were lacking.
func (t *told) settled(open *problem.Open, asked map[jobbook.Waiting]bool) bool {
	if open == nil {
		return false
	}
	of := func(heading string) jobbook.Waiting { return jobbook.Waiting{Of: open.Of, Heading: heading} }
	told := func(as ...string) bool {
		return slices.ContainsFunc(open.Asks, func(heading string) bool { return !asked[of(heading)] && slices.Contains(as, t.as[of(heading)]) })
	}
	is := func(lacks string) bool {
		switch lacks {
		case "Name":
			return told("Name", "Surname")
		case "Width", "Height":
			return told(lacks, "Space")
		case "Journaling":
			return told(lacks)
		}
		return told("Space") || told("Width") && told("Height") // as intake says that both are lacking
	}
	return !slices.ContainsFunc(open.Asks, func(heading string) bool { return asked[of(heading)] }) || len(open.Lacks) > 0 && !slices.ContainsFunc(open.Lacks, func(lacks string) bool { return !is(lacks) })
}
