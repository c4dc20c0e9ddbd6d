package impose

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/proof"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Answer takes a file of answers to the proof; the rows are read already. Name is what problems call it.
func (j *Job) Answer(name string, data []byte) {
	list, found := proof.ReadAnswers(name, data, j.codes(), j.known())
	j.Answers = append(j.Answers, list...)
	j.Problems = append(j.Problems, found...)
}

// codes are those of the job's rows.
func (j *Job) codes() map[string]bool {
	known := map[string]bool{}
	for i := range j.Blocks {
		known[j.Blocks[i].Code] = true
	}
	for i := range j.Held {
		if code := j.Held[i].Code; code != "" {
			known[code] = true
		}
	}
	return known
}

// known is what else answers may name: titles that its proof may have, and who has rows.
func (j *Job) known() (of proof.Of) {
	for _, f := range j.Files {
		of.Titles = append(of.Titles, strings.TrimSuffix(filepath.Base(f), filepath.Ext(f)))
	}
	for i := range j.Blocks {
		of.Owners = append(of.Owners, j.Blocks[i].Owner)
	}
	for i := range j.Held {
		of.Owners = append(of.Owners, j.Held[i].Owner)
	}
	return of
}

// row is a row that a proof asks about, as it is by now: a block, or held.
type row struct {
	block   *intake.Block
	held    *intake.Held
	lacking bool // held before any answer was put into it
	unit    measure.Unit
	space   measure.Size // before that as well
}

// mostReplaced is of how many cells it is told what they said before an answer: where there are more, nobody reads them one by one.
const mostReplaced = 1000

// fillIn puts texts and spaces that came with answers into their rows: a row that was held for the lack of them becomes a block.
func (j *Job) fillIn() {
	if j.Input == nil || len(j.Answers) == 0 {
		return
	}
	var rows []*row
	for i := range j.Blocks {
		b := &j.Blocks[i]
		rows = append(rows, &row{block: b, unit: b.Unit, space: b.Space})
	}
	var others []intake.Held // that nobody is asked about
	for i := range j.Held {
		if h := &j.Held[i]; h.Read != nil && h.Code != "" {
			rows = append(rows, &row{held: h, lacking: true, unit: h.Read.Unit, space: h.Read.Space})
		} else {
			others = append(others, *h)
		}
	}
	changed, problems, replaced := false, byRow{job: j}, 0
	type cells struct {
		row  problem.Place
		text bool // else the measures
	}
	filled := map[cells]bool{} // by answers before
	said := proof.Give(j.Answers, j.Blocks, j.Held, j.Settings, func(i int, text, space string) (*intake.Block, *problem.Problem) {
		r := rows[i]
		was := r.block
		if was == nil {
			was = r.held.Read
		}
		own := *was // each answer is read as it would be alone
		own.Unit, own.Space = r.unit, r.space
		again, wrong := j.Input.Amend(&own, text, space, j.Settings)
		if wrong != nil {
			return nil, wrong
		}
		changed = true
		if c := (cells{was.Place.OfRow(), text != ""}); !filled[c] && r.lacking { // nobody has seen what stood there
			for _, c := range again.Replaced {
				if replaced++; replaced <= mostReplaced {
					again.Problems.ToOrganiser(c.Place, "what an answer gives is in the place of what the cell said: "+measure.Quote(c.Text), "", "look whether that says more")
				} else if replaced == mostReplaced+1 {
					again.Problems.ToOrganiser(c.Place, "what cells said in whose place answers give something is not told any more, here and below", fmt.Sprintf("there are more than %d of them", mostReplaced), "look at the rows")
				}
			}
			filled[c] = true
		}
		problems.reread(was.Place, text != "", again.Problems)
		if r.block, r.held = again.Block, nil; r.block == nil {
			r.held = &again.Held
			return r.held.Read, nil
		}
		return r.block, nil
	})
	if changed {
		problems.close()
		blocks, held := []intake.Block{}, others
		for _, r := range rows {
			if r.block != nil {
				blocks = append(blocks, *r.block)
			} else {
				held = append(held, *r.held)
			}
		}
		order := j.order()
		slices.SortStableFunc(blocks, func(a, b intake.Block) int { return order(a.Place, b.Place) })
		j.Blocks, j.Held = blocks, held
	}
	for _, p := range said {
		if at := p.Place; at.Column == "Width" && j.Input.Locate(at).Cell == "" {
			p.Place.Column = "Space"
		}
		if p.Severity == problem.Error {
			j.refused = append(j.refused, p)
		} else {
			j.Problems = append(j.Problems, p)
		}
	}
}

// byRow are the problems of a job by their rows, while some of these are read again: there may be as many of them as problems.
type byRow struct {
	job    *Job
	listed map[problem.Place][]int // which of the job's are a row's; nil before the first is read again
	gone   map[int]bool            // which of the job's are none any more
}

// reread puts what was found in a row that was read again in the place of what was found before. Notes on what is as it was stay.
func (b *byRow) reread(at problem.Place, text bool, found problem.List) {
	if b.listed == nil {
		b.listed, b.gone = map[problem.Place][]int{}, map[int]bool{}
		for i := range b.job.Problems {
			b.list(i)
		}
	}
	seen := map[problem.Problem]bool{}
	row := at.OfRow()
	b.listed[row] = slices.DeleteFunc(b.listed[row], func(i int) bool {
		p := b.job.Problems[i]
		of := b.job.Input.As(p.Place)
		typed := of == "Journaling" && text || !text && (of == "Width" || of == "Height" || of == "Space")
		b.gone[i] = p.Severity == problem.Error || typed && p.Kind != problem.ForOrganiser // a remark on the cell, which nobody finds again
		seen[p] = !b.gone[i]
		return b.gone[i]
	})
	for _, p := range found {
		if p.Severity == problem.Error || !seen[p] {
			b.job.Problems = append(b.job.Problems, p)
			b.list(len(b.job.Problems) - 1)
		}
	}
}

func (b *byRow) list(i int) {
	at := b.job.Problems[i].Place.OfRow()
	b.listed[at] = append(b.listed[at], i)
}

// close takes those that are gone out of the job's.
func (b *byRow) close() {
	left := b.job.Problems[:0]
	for i, p := range b.job.Problems {
		if !b.gone[i] {
			left = append(left, p)
		}
	}
	b.job.Problems = left
}

// toLay are the settings that nobody holds back and no answer wants changed.
func (j *Job) toLay() []typeset.Setting {
	out := j.answered()
	if !slices.ContainsFunc(out, func(t typeset.Setting) bool { return t.Block.Hold }) {
		return out
	}
	for i := range j.Blocks {
		if b := &j.Blocks[i]; b.Hold && !slices.ContainsFunc(j.Held, func(h intake.Held) bool { return h.Place.OfRow() == b.Place.OfRow() }) {
			j.Held = append(j.Held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: "somebody holds it back for now", Wish: true})
		}
	}
	return slices.DeleteFunc(slices.Clone(out), func(t typeset.Setting) bool { return t.Block.Hold })
}

// answered are the settings that no answer wants changed.
func (j *Job) answered() []typeset.Setting {
	if len(j.Answers) == 0 {
		return j.Typeset
	}
	j.Outcome = proof.Tally(j.Answers, j.Blocks, j.Held, j.Settings)
	already := map[problem.Place]bool{}
	for _, h := range j.Held {
		already[h.Place.OfRow()] = true
	}
	wanted := map[problem.Place]bool{}
	codes := map[problem.Place]string{}
	for i := range j.Blocks {
		codes[j.Blocks[i].Place.OfRow()] = j.Blocks[i].Code
	}
	for _, p := range j.refused {
		at := p.Place.OfRow()
		if wanted[at] = true; !already[at] {
			already[at] = true
			j.Held = append(j.Held, intake.Held{Place: at, Code: codes[at], Owner: j.Input.Person(at), Why: p.What})
		}
		j.Problems = append(j.Problems, p)
	}
	for _, h := range j.Outcome.Held {
		wanted[h.Place] = true
		if !already[h.Place] { // a row is held once
			j.Held = append(j.Held, h)
		}
	}
	j.Problems = append(j.Problems, j.Outcome.Problems...)
	var rest []typeset.Setting
	for _, s := range j.Typeset {
		if !wanted[s.Block.Place.OfRow()] {
			rest = append(rest, s)
		}
	}
	return rest
}
