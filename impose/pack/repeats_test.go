package pack

import (
	"fmt"
	"math/rand"
	"reflect"
	"testing"

	"tuckmark/config/measure"
)

// What is like an earlier batch comes to what packing it would have come to, on sheets of which there may be more.
func TestRepeats(t *testing.T) {
	for seed := range int64(60) {
		r := rand.New(rand.NewSource(seed))
		j := randomJob(r)
		n := len(j.Items)
		for _, it := range j.Items[:n] {
			it.Group++
			j.Items = append(j.Items, it)
		}
		p := newPacker(&j)
		var first, second []int
		for _, i := range p.ids {
			if i < n {
				first = append(first, i)
			} else {
				second = append(second, i)
			}
		}
		few := p.fullCounts()
		for k := range few {
			if r.Intn(3) == 0 {
				few[k] = len(first) + 1
			}
		}
		more := append([]int(nil), few...)
		for k := range more {
			if more[k] > len(first) && more[k] < unlimited {
				more[k] += r.Intn(50)
			}
		}
		gap, its := measure.Length(r.Intn(2))*in/8, int64(j.Effort*20)
		known := p.newRepeats()
		searched := 0
		pack := func(ids, counts []int) plan {
			return known.once(ids, counts, 0, func(counts []int) plan {
				searched++
				return p.packTogether(ids, counts, gap, its, its/2)
			})
		}
		pack(first, few)
		got, want := pack(second, more), p.packTogether(second, few, gap, its, its/2)
		if searched != 1 {
			t.Fatalf("seed %d: searched %d times", seed, searched)
		}
		for k := range more {
			if few[k] < unlimited {
				want.counts[k] += more[k] - few[k]
			}
		}
		for k := range want.sheets {
			want.sheets[k].node = nil // of the sheet's last piece; nobody asks
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("seed %d: %s, want %s", seed, fmt.Sprint(got.ids(), got.counts, got.out), fmt.Sprint(want.ids(), want.counts, want.out))
		}
		if known.once(first, few, 0, func([]int) plan { return plan{out: []int{0}} }, 1).out == nil {
			t.Errorf("seed %d: another sign is the same", seed)
		}
	}
}

func (p plan) ids() (all [][]int) {
	for _, l := range p.sheets {
		all = append(all, l.ids)
	}
	return all
}

// Copies by the thousand take no longer than their patterns: nearly all that is dealt was packed before.
func TestManyCopies(t *testing.T) {
	j := Job{Effort: 300, Gap: in / 8, Auto: true, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 50, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
	j.Limits.Keep = feeds
	for i := range 20000 {
		j.Items = append(j.Items, Item{Size: measure.Size{W: in, H: in}, Group: i / 5000})
	}
	rounds := 0
	j.Stop = func() bool { rounds++; return false }
	a := Pack(j)
	if faults := Verify(j, a); len(faults) > 0 {
		t.Fatal(faults)
	}
	if len(a.Sheets) > a.Bound*102/100 {
		t.Errorf("%d sheets, of which %d are needed", len(a.Sheets), a.Bound)
	}
	if rounds > 1000 { // 2,701 without what is known, and a time that grows with the copies
		t.Errorf("the search was asked to stop %d times", rounds)
	}
}
