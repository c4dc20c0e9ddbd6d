package layout

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/pack"
)

// A size of pieces more is one more to fetch, to load and mostly to cut first. Nobody does that to save a few hundredths, and so each
// size beyond the first counts as a price (Settings.Load).

// shareOfEffort is what each trial of fewer sizes gets of the effort; the one that wins is packed again with all of it.
const shareOfEffort = 4

// mostTrials is how many blocks the trials of fewer sizes lay in all, and mostSketched those of a sketch: a job of a hundred blocks has some forty trials.
const (
	mostTrials   = 4000
	mostSketched = 1000
)

// fewerLoads is the job and its answer, or those with fewer sheets on offer where that is cheaper with the loads counted. Without prices,
// or where pieces are of one size, there is nothing to weigh.
func (l *layout) fewerLoads(job pack.Job, answer pack.Answer) (pack.Job, pack.Answer) {
	load := l.settings.Load
	if load == 0 || !byPrice(l.sheets) || answer.Cost == 0 {
		return job, answer
	}
	bound := answer.Bound
	job.Tick = nil // the blocks are laid already
	cost := func(j pack.Job, a pack.Answer) int64 { return a.Cost + load*int64(loads(j, a)-1) }
	trials, looks := mostTrials/max(1, len(job.Items)), int64(0)
	if l.rough { // all trials together look at half of what the packing did, and what wins at half of that before it
		trials = mostSketched / max(1, len(job.Items))
		looks = max(1, job.Looks/2/int64(max(1, trials)))
	}
	for loads(job, answer) > 1 && !l.stop() {
		var best pack.Job
		least := cost(job, answer)
		for _, offer := range fewer(job, answer) {
			if l.stop() || !suffices(offer) {
				continue
			}
			if trials--; trials < 0 {
				break
			}
			trial := offer // a copy: the job that wins is packed as it was offered
			trial.Effort, trial.Rough, trial.Looks = job.Effort/shareOfEffort, true, looks
			if a := pack.Pack(trial); len(a.Unplaced) == 0 && cost(trial, a) < least {
				best, least = offer, cost(trial, a)
			}
		}
		if best.Sheets == nil {
			break
		}
		if l.rough {
			best.Looks = max(1, job.Looks/2)
		}
		again := pack.Pack(best)
		if len(again.Unplaced) > 0 || cost(best, again) >= cost(job, answer) {
			break
		}
		job, answer = best, again
	}
	answer.Bound = bound // of all sheets on offer
	return job, answer
}

// suffices reports whether the sheets on offer have as much area as the items.
func suffices(job pack.Job) bool {
	lacks := 0.0 // more than 64 bits may hold
	for _, it := range job.Items {
		lacks += float64(it.Size.Area())
	}
	for _, s := range job.Sheets {
		if s.Count < 0 {
			return true
		}
		lacks -= float64(s.Size.Area()) * float64(s.Count)
	}
	return lacks <= 0
}

// loads is the number of sizes of pieces that new sheets are printed as.
func loads(job pack.Job, answer pack.Answer) int {
	type tray struct {
		printer int
		size    measure.Size
	}
	sizes := map[tray]bool{}
	for _, laid := range answer.Sheets {
		sheet := job.Sheets[laid.Sheet]
		if sheet.Cost == 0 { // a leftover is loaded by itself in any case
			continue
		}
		for i, p := range sheet.Divisions[laid.Division].Pieces {
			if laid.Trees[i] != nil {
				sizes[tray{p.Printer, p.Rect.Size()}] = true
			}
		}
	}
	return len(sizes)
}

// fewer are jobs that offer less than a job whose answer is known: without one of the kinds of new sheets that it takes, or with one
// of them cut into panels of one size only. Those that it takes the fewest of come first.
func fewer(job pack.Job, answer pack.Answer) []pack.Job {
	used := make([]int, len(job.Sheets))
	var kinds []int
	for _, laid := range answer.Sheets {
		if k := laid.Sheet; job.Sheets[k].Cost > 0 {
			if used[k] == 0 {
				kinds = append(kinds, k)
			}
			used[k]++
		}
	}
	slices.SortFunc(kinds, func(a, b int) int { return cmp.Or(cmp.Compare(used[a], used[b]), cmp.Compare(a, b)) })
	var out []pack.Job
	change := func(k int, change func(*pack.Sheet)) {
		trial := job
		trial.Sheets = slices.Clone(job.Sheets)
		change(&trial.Sheets[k])
		out = append(out, trial)
	}
	for _, k := range kinds {
		sheet := job.Sheets[k]
		change(k, func(s *pack.Sheet) { s.Count = 0 })
		var even []pack.Division
		for _, d := range sheet.Divisions {
			if ofOneSize(d) {
				even = append(even, d)
			}
		}
		if len(even) > 0 && len(even) < len(sheet.Divisions) {
			change(k, func(s *pack.Sheet) { s.Divisions = even })
		}
	}
	return out
}

// ofOneSize reports whether all panels of a division that feed are of one size and go to one printer.
func ofOneSize(d pack.Division) bool {
	var first *pack.Piece
	for i := range d.Pieces {
		p := &d.Pieces[i]
		switch {
		case p.Printer < 0:
		case first == nil:
			first = p
		case p.Rect.Size() != first.Rect.Size() || p.Printer != first.Printer:
			return false
		}
	}
	return true
}
