package jobbook

import (
	"math/rand/v2"
	"testing"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/longtests"
)

// copied is a job that was copied with its folder, as a stick is, and worked on in both places.
type copied struct {
	*chance
	t           *testing.T
	here, there *Book
	at, on      *fakedisk.Disk
}

// work makes some steps at a desk, with savings between.
func (c *copied) work(b *Book, steps int) {
	for range steps {
		if _, err := b.Do(c.changes(rowsOf(b))...); err != nil {
			c.t.Fatal(err)
		}
		if c.IntN(3) == 0 {
			c.save(b)
		}
	}
	c.save(b)
}

func (c *copied) save(b *Book) {
	if err := b.Save(); err != nil {
		c.t.Fatal(err)
	}
}

// bring puts the workbook of one desk in the place of the other's.
func (c *copied) bring(from, to *fakedisk.Disk, b *Book) {
	data, err := from.Read(bookPath)
	if err != nil {
		c.t.Fatal(err)
	}
	to.Put(bookPath, data)
	if err := b.compare(); err != nil {
		c.t.Fatal(err)
	}
}

// A job that is copied and worked on in both places has two sides whose states bear the same numbers, and are others. Where the workbook of
// one comes back to the other, nothing that either has done is taken back without a question.
// 6 jobs, or 400 with LONG_TESTS=1.
func TestCopiedJobComesBack(t *testing.T) {
	seeds := uint64(longtests.Cases(6, 400))
	for seed := range seeds {
		r := chance{rand.New(rand.NewPCG(seed, 17))}
		d := fakedisk.New()
		b, err := create(d, bookPath, settings(t))
		if err != nil {
			t.Fatal(err)
		}
		c := &copied{chance: &r, t: t, at: d, here: b}
		c.work(b, 10+r.IntN(10))
		base := rowsOf(b)
		c.on = d.Restart(nil)
		if c.there, _, err = open(c.on, bookPath, settings(t)); err != nil {
			t.Fatal(err)
		}
		c.work(c.here, r.IntN(8))
		c.work(c.there, r.IntN(8))
		ours, theirs := rowsOf(c.here), rowsOf(c.there)
		c.bring(c.on, c.at, c.here)
		c.kept(seed, base, ours, theirs, c.here)
		c.save(c.here)
		base = agreed(base, theirs, rowsOf(c.here))
		c.work(c.there, r.IntN(8)) // and what came of it goes the other way
		ours, theirs = rowsOf(c.here), rowsOf(c.there)
		c.bring(c.at, c.on, c.there)
		c.kept(seed, base, theirs, ours, c.there)
	}
}

// agreed is what two sides begin with once one has taken the other's state: that state, but for what is asked about, or was done here.
func agreed(base, theirs, here [sheets][]Row) (out [sheets][]Row) {
	for s := range sheets {
		was, now := byID(base[s]), byID(here[s])
		for _, r := range theirs[s] {
			both := Row{ID: r.ID, Cells: map[string]string{}}
			for _, column := range append(Columns(s), spaceColumn) {
				if text := shows(s, &r, column); text == shows(s, now[r.ID], column) {
					both.Cells[column] = text
				} else {
					both.Cells[column] = shows(s, was[r.ID], column)
				}
			}
			out[s] = append(out[s], both)
		}
	}
	return out
}

// kept looks that what either side has done since base is there, or asked about.
func (c *copied) kept(seed uint64, base, ours, theirs [sheets][]Row, b *Book) {
	asked := map[QuestionKind]map[string]bool{}
	for _, q := range b.Questions() {
		if asked[q.Kind] == nil {
			asked[q.Kind] = map[string]bool{}
		}
		asked[q.Kind][q.Row+" "+q.Column] = true
	}
	after := rowsOf(b)
	for s := range sheets {
		was, mine, their, got := byID(base[s]), byID(ours[s]), byID(theirs[s]), byID(after[s])
		for id, r := range mine {
			if got[id] == nil {
				c.t.Fatalf("seed %d: the row %s of the desk is gone", seed, id)
			}
			for _, column := range append(Columns(s), spaceColumn) {
				if m := shows(s, r, column); m != shows(s, was[id], column) && shows(s, got[id], column) != m {
					c.t.Fatalf("seed %d: %s of %s was typed at the desk as %q, and is %q", seed, column, id, m, shows(s, got[id], column))
				}
			}
		}
		for id, r := range their {
			if got[id] == nil {
				if was[id] == nil {
					c.t.Fatalf("seed %d: the row %s of the workbook is not there", seed, id)
				}
				continue
			}
			for _, column := range append(Columns(s), spaceColumn) {
				if h := shows(s, r, column); h != shows(s, was[id], column) && shows(s, got[id], column) != h && !asked[Conflict][id+" "+column] {
					c.t.Fatalf("seed %d: %s of %s was changed elsewhere to %q, and is %q without a question", seed, column, id, h, shows(s, got[id], column))
				}
			}
		}
	}
}
