package desk

import (
	"slices"
	"sync"

	"tuckmark/config/problem"
)

// told is what was said as a job was opened and as files came in, and what columns were answered to be since: some of it hangs on that.
type told struct {
	mutex sync.Mutex
	list  []toldOnce
	as    map[string]string // by heading
}

// toldOnce is something that was told; with the answer about a heading, where that is not "".
type toldOnce struct {
	problem.Problem
	with string
}

// tell has problems stand on the page of the journaling. What hangs on columns that nobody is asked about stands for good.
func (j *openJob) tell(with string, found problem.List) {
	if len(found) == 0 {
		return
	}
	asked := j.asked()
	j.told.mutex.Lock()
	defer j.told.mutex.Unlock()
	for _, p := range found {
		if p.Open != nil {
			open := *p.Open
			open.Asks = slices.DeleteFunc(slices.Clone(open.Asks), func(heading string) bool { return !asked[heading] })
			if p.Open = &open; len(open.Asks) == 0 {
				p.Open = nil
			}
		}
		j.told.list = append(j.told.list, toldOnce{p, with})
	}
}

// answered notes what a column is.
func (t *told) answered(heading, as string) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.as == nil {
		t.as = map[string]string{}
	}
	t.as[heading] = as
	t.list = slices.DeleteFunc(t.list, func(p toldOnce) bool { return p.with == heading }) // of an answer that was taken back
}

// asked are the headings of the columns that are asked about.
func (j *openJob) asked() map[string]bool {
	out := map[string]bool{}
	for _, v := range j.unknown() {
		out[v.Heading] = true
	}
	return out
}

// stillTold is what was told and still holds: what an answer has settled, or came with one, changes when that is taken back.
func (j *openJob) stillTold() (out problem.List) {
	j.told.mutex.Lock()
	list := slices.Clone(j.told.list)
	hangs := slices.ContainsFunc(list, func(p toldOnce) bool { return p.Open != nil || p.with != "" })
	j.told.mutex.Unlock()
	var asked map[string]bool
	if hangs {
		asked = j.asked()
	}
	j.told.mutex.Lock()
	defer j.told.mutex.Unlock()
	for _, p := range list {
		if !asked[p.with] && !j.told.settled(p.Open, asked) {
			out = append(out, p.Problem)
		}
	}
	return out
}

// settled reports whether the columns that a problem hangs on are none that is asked about any more, or have been told to be those that were lacking.
func (t *told) settled(open *problem.Open, asked map[string]bool) bool {
	if open == nil {
		return false
	}
	told := func(as ...string) bool {
		return slices.ContainsFunc(open.Asks, func(heading string) bool { return !asked[heading] && slices.Contains(as, t.as[heading]) })
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
	return !slices.ContainsFunc(open.Asks, func(heading string) bool { return asked[heading] }) || len(open.Lacks) > 0 && !slices.ContainsFunc(open.Lacks, func(lacks string) bool { return !is(lacks) })
}
