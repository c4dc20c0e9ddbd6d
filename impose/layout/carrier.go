package layout

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
)

// betweenRiders is the room between two pieces on a carrier, for their outlines and for tape (common practice).
const betweenRiders = measure.Inch / 8

// ride is the first printer that pulls the stock's carrier with a piece of that size on it, and the ride; without one the
// printer is -1. The piece lies in the middle, where the carrier can be printed all round it.
func (f feed) ride(size measure.Size) (printer int, r *plan.Carrier) {
	c := f.stock.Carrier
	if c == nil || !c.Smallest.WithinEitherWay(size) {
		return -1, nil
	}
	for _, i := range f.takers {
		at := size.At((c.Size.W-size.W)/2, (c.Size.H-size.H)/2)
		if f.printers[i].Feeds(c.Size) && f.onCarrier(i).Contains(at) {
			return i, &plan.Carrier{Size: c.Size, X: at.X, Y: at.Y}
		}
	}
	return -1, nil
}

// onCarrier is where a piece may lie on the stock's carrier: a printer prints there, and the outline around it.
func (f feed) onCarrier(printer int) measure.Rect {
	const outline = measure.Point / 2
	return f.stock.Carrier.Size.At(0, 0).Inset(margins(f.printers[printer], f.stock, f.stock.Carrier.Size)).Inset(measure.Same(outline))
}

// rides reports whether a piece goes through its printer on a carrier.
func (f feed) rides(p pack.Piece) bool {
	return p.Printer >= 0 && !f.printers[p.Printer].Feeds(p.Rect.Size())
}

// ridesWhole reports whether a sheet that is not cut before printing goes through its printer on a carrier.
func (f feed) ridesWhole(d pack.Division) bool { return d.Cuts == nil && f.rides(d.Pieces[0]) }

// seat is a piece's place on one of several carriers.
type seat struct {
	piece int // by its place among the sizes
	at    measure.Rect
}

// seats puts pieces of those sizes on as few of a printer's carriers as may be, on each in reading order. They lie as they are fed, in the middle of what
// can be printed.
func (f feed) seats(printer int, sizes []measure.Size, effort int) [][]seat {
	room := f.onCarrier(printer)
	all := pack.Piece{Rect: room.Size().At(0, 0), Printer: printer}
	job := pack.Job{Gap: betweenRiders, Effort: effort, Sheets: []pack.Sheet{{Size: room.Size(), Cost: 1, Count: len(sizes), Divisions: []pack.Division{{Pieces: []pack.Piece{all}}}}}}
	for _, s := range sizes {
		job.Items = append(job.Items, pack.Item{Size: s})
	}
	var out [][]seat
	for _, laid := range pack.Pack(job).Sheets {
		on, box := together(laid.Trees[0])
		for i := range on {
			on[i].at = on[i].at.Move(room.X+(room.W-box.W)/2, room.Y+(room.H-box.H)/2)
		}
		slices.SortFunc(on, func(a, b seat) int { return cmp.Or(cmp.Compare(a.at.Y, b.at.Y), cmp.Compare(a.at.X, b.at.X)) })
		out = append(out, on)
	}
	return out
}

// seatEffort is what finding seats may take: a carrier holds a few pieces.
const seatEffort = 100

// together are the items of a tree with the waste between them taken out, but for the room that there must be, and the size of all.
func together(n *pack.Node) ([]seat, measure.Size) {
	switch {
	case n.Near == nil && n.Item < 0:
		return nil, measure.Size{}
	case n.Near == nil:
		return []seat{{n.Item, n.Rect.Size().At(0, 0)}}, n.Rect.Size()
	}
	near, a := together(n.Near)
	far, b := together(n.Far)
	if len(near) == 0 {
		return far, b
	} else if len(far) == 0 {
		return near, a
	}
	x, y := a.W+betweenRiders, measure.Length(0)
	all := measure.Size{W: x + b.W, H: max(a.H, b.H)}
	if n.Axis == pack.Across {
		x, y = 0, a.H+betweenRiders
		all = measure.Size{W: max(a.W, b.W), H: y + b.H}
	}
	for _, s := range far {
		near = append(near, seat{s.piece, s.at.Move(x, y)})
	}
	return near, all
}

// fewerCarriers is the job and its answer, or others that print as few new sheets and take fewer carriers: each is an outline to print, tape
// to put on and off, and a sheet to feed twice. Pieces that ride may be laid the other way round, where more of them lie on one carrier then.
func (l *layout) fewerCarriers(f feed, job pack.Job, answer pack.Answer) (pack.Job, pack.Answer) {
	if l.rough && len(job.Items) > tooManyToRide {
		return job, answer
	}
	carriers, riders := f.carriers(job, answer)
	for i, way := range []func(measure.Size) bool{
		func(measure.Size) bool { return false }, // as they lie
		func(s measure.Size) bool { return s.W > s.H },
		func(s measure.Size) bool { return s.W < s.H },
	} {
		if carriers == 0 || l.stop() {
			break
		}
		other := f.turned(job, way)
		if i > 0 && len(job.Items) > manyToRide {
			if n, _ := f.carriers(other, answer); n >= carriers {
				continue // those that ride now would take as many carriers so
			}
		}
		a := packForCarriers(f, other, answer.Bound)
		n, all := f.carriers(other, a)
		if len(a.Unplaced) == 0 && a.Cost <= answer.Cost && cmp.Or(cmp.Compare(n, carriers), cmp.Compare(all, riders)) < 0 {
			job, answer, carriers, riders = other, a, n, all
		}
		if carriers < 2 {
			break // there is nothing to be gained by turning
		}
	}
	return job, answer
}

// manyToRide is how many blocks a job has where another way for what rides is only tried if it shows at once that it helps, since that takes as long as the job did.
const manyToRide = 100

// tooManyToRide is how many blocks a job has whose sketch does without fewer carriers, since they are counted by laying all blocks again.
const tooManyToRide = 1000

// turned is a job with those of the sheets that ride laid the other way round.
func (f feed) turned(job pack.Job, which func(measure.Size) bool) pack.Job {
	job.Sheets = slices.Clone(job.Sheets)
	for k := range job.Sheets {
		s := &job.Sheets[k]
		if s.Cost == 0 && f.ridesWhole(s.Divisions[0]) && which(s.Size) {
			if by, _ := f.ride(s.Size.Turn()); by >= 0 {
				s.Size = s.Size.Turn()
				s.Divisions = []pack.Division{{Pieces: []pack.Piece{{Rect: s.Size.At(0, 0), Printer: by}}}}
			}
		}
	}
	return job
}

// packForCarriers is the answer where what rides is dearer than what feeds, and cheaper than the cheapest new sheet. Its cost is that of the job.
func packForCarriers(f feed, job pack.Job, bound int) pack.Answer {
	const sheet = 1 << 12
	trial := job
	trial.Sheets, trial.Tick = slices.Clone(job.Sheets), nil
	for k := range trial.Sheets {
		s := &trial.Sheets[k]
		s.Cost *= sheet
		if s.Cost == 0 && f.ridesWhole(s.Divisions[0]) {
			s.Cost = 1
		}
	}
	a := pack.Pack(trial)
	a.Cost, a.Bound = 0, bound
	for _, laid := range a.Sheets {
		a.Cost += job.Sheets[laid.Sheet].Cost
	}
	return a
}

// carriers are the carriers that an answer takes, and the pieces that ride on them.
func (f feed) carriers(job pack.Job, answer pack.Answer) (carriers, riders int) {
	sizes := map[int][]measure.Size{}
	for _, laid := range answer.Sheets {
		d := job.Sheets[laid.Sheet].Divisions[laid.Division]
		for i, p := range d.Pieces {
			if laid.Trees[i] != nil && f.ridesWhole(d) {
				sizes[p.Printer] = append(sizes[p.Printer], p.Rect.Size())
			}
		}
	}
	for _, i := range f.takers {
		if n := len(sizes[i]); n > 0 {
			riders += n
			carriers += len(f.seats(i, sizes[i], seatEffort))
		}
	}
	return carriers, riders
}

// share puts the pieces that ride on as few carriers as may be. Those of one carrier follow each other.
func (f feed) share(pieces []*plan.Piece) []*plan.Piece {
	company := map[*plan.Piece][]*plan.Piece{} // by the first on a carrier
	seated := map[*plan.Piece]bool{}           // behind the first
	for _, i := range f.takers {
		var riding []*plan.Piece
		var sizes []measure.Size
		for _, p := range pieces {
			if p.Carrier != nil && p.Printer == f.printers[i].Name {
				riding, sizes = append(riding, p), append(sizes, p.Size())
			}
		}
		if len(riding) < 2 {
			continue
		}
		for _, on := range f.seats(i, sizes, seatEffort) {
			if len(on) == 1 {
				continue // it lies in the middle already
			}
			first := riding[on[0].piece]
			for nth, s := range on {
				p := riding[s.piece]
				p.Carrier.X, p.Carrier.Y, p.Carrier.Nth = s.at.X, s.at.Y, nth
				if nth > 0 {
					seated[p] = true
					company[first] = append(company[first], p)
				}
			}
		}
	}
	var out []*plan.Piece
	for _, p := range pieces {
		if !seated[p] {
			out = append(append(out, p), company[p]...)
		}
	}
	return out
}
