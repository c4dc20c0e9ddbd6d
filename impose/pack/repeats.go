package pack

import (
	"encoding/binary"
	"slices"
)

// repeats knows what was packed before. Items of the same kinds in the same order, on as many sheets, with as many rounds come to the same:
// the search depends on nothing else. So a job of many copies is laid out by its patterns, not by its items.
type repeats struct {
	packer *packer
	kinds  []uint32 // of each item
	known  map[string]batch
}

// batch is items in their order, and what they came to.
type batch struct {
	ids []int
	plan
}

func (p *packer) newRepeats() *repeats {
	r := &repeats{packer: p, kinds: make([]uint32, len(p.Items)), known: map[string]batch{}}
	numbers := map[Item]uint32{}
	for i, it := range p.Items {
		it.Group = 0
		if _, ok := numbers[it]; !ok {
			numbers[it] = uint32(len(numbers))
		}
		r.kinds[i] = numbers[it]
	}
	return r
}

// once is what pack comes to for these items on sheets of these counts, of which it is told no more than there are items. Signs are all
// else that pack depends on; rounds is the progress that it would tell.
func (r *repeats) once(ids, counts []int, rounds int64, pack func(counts []int) plan, signs ...int64) plan {
	var key []byte
	for _, n := range signs {
		key = binary.AppendVarint(key, n)
	}
	told := slices.Clone(counts)
	for k, c := range told {
		if c < unlimited {
			told[k] = min(c, len(ids)+1) // with one left over
		}
		key = binary.AppendVarint(key, int64(told[k]))
	}
	for _, i := range ids {
		key = binary.AppendUvarint(key, uint64(r.kinds[i]))
	}
	old, ok := r.known[string(key)]
	if ok {
		r.packer.progress.add(rounds)
	} else if old = (batch{ids, pack(told)}); !r.packer.stopped() {
		r.known[string(key)] = old
	}
	return old.with(ids, counts)
}

// with is the plan with other items in the places of its own, on what there is.
func (b batch) with(ids, counts []int) plan {
	now := make(map[int]int, len(ids))
	for k, i := range b.ids {
		now[i] = ids[k]
	}
	out := plan{counts: slices.Clone(counts)}
	for _, l := range b.sheets {
		l.node = nil
		l.Trees = slices.Clone(l.Trees)
		for k, t := range l.Trees {
			l.Trees[k] = clone(t)
			eachItem(l.Trees[k], func(leaf *Node) { leaf.Item = now[leaf.Item] })
		}
		l.ids = slices.Clone(l.ids)
		for k, i := range l.ids {
			l.ids[k] = now[i]
		}
		out.add(l)
	}
	for _, i := range b.out {
		out.out = append(out.out, now[i])
	}
	return out
}
