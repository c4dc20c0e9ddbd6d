package pack

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
)

// handling is what cutting pieces takes beside the number of cuts: how often the blade comes down, and how often the fence is set.
type handling struct {
	strokes  int // cuts, those that are made in one stack counted once
	settings int // different ones of the fence
	far      int // cuts, made or skipped, from the right or the bottom, where the sheet's own error falls on what is cut off
	lines    int // settings one after the other, as a guide tells them
}

// compare is below nought where a is less to do: the strokes first.
func (a handling) compare(b handling) int {
	return cmp.Or(cmp.Compare(a.strokes, b.strokes), cmp.Compare(a.settings, b.settings), cmp.Compare(a.far, b.far), cmp.Compare(a.lines, b.lines))
}

// handlingOf is what so many pieces that are cut alike take together. What can be done with one setting of the fence is done at once, and
// parts that are alike are cut alike, in stacks as high as the trimmer takes.
func (l Limits) handlingOf(n *Node, pieces int) handling {
	t := teller{Limits: l, pieces: pieces}
	if n != nil && n.Near != nil {
		t.tell(n, 1)
	}
	return t.handling
}

// teller goes through a tree as a guide does.
type teller struct {
	Limits
	handling
	pieces int
	sets   []measure.Length // of the fence, so far
}

// tell counts the first cut of so many parts that are alike, and then those of what it makes.
func (t *teller) tell(n *Node, parts int) {
	set, far := t.fence(n)
	times, skip := 1, leavesHair(n)
	made := []*Node{n.Near}
	last := n.Far
	for ; !far && !skip && last.Near != nil && last.Axis == n.Axis && !leavesHair(last); last = last.Far {
		if next, far := t.fence(last); far || next != set {
			break
		}
		times++
		made = append(made, last.Near)
	}
	made = append(made, last)
	t.lines++
	if far {
		t.far += times * parts
	}
	if !skip {
		t.strokes += times * ((parts*t.pieces + max(t.Stack, 1) - 1) / max(t.Stack, 1))
		if !slices.Contains(t.sets, set) {
			t.sets = append(t.sets, set)
			t.settings++
		}
	}
	shapes, told := make([]uint64, len(made)), make([]bool, len(made))
	for i, m := range made {
		shapes[i] = shapeOf(m)
	}
	for i, m := range made {
		if m.Near == nil || told[i] {
			continue
		}
		like, apart := 0, t.mixed(made, shapes, i)
		for k := i; k < len(made); k++ {
			if shapes[k] == shapes[i] {
				told[k] = true
				like++
			} else if apart && made[k].Rect.Size() == m.Rect.Size() {
				break // of one size, but not cut alike: only neighbours can be named together
			}
		}
		t.tell(m, parts*like)
	}
}

// mixed reports whether another part is as large as the ith, and is not cut alike.
func (t *teller) mixed(made []*Node, shapes []uint64, i int) bool {
	for k, m := range made {
		if m.Rect.Size() == made[i].Rect.Size() && shapes[k] != shapes[i] {
			return true
		}
	}
	return false
}

// fence is what the trimmer is set to for the first cut of a tree, and whether from the far edge: where it could not hold the near part
// against the fence, but the other.
func (l Limits) fence(n *Node) (set measure.Length, far bool) {
	near, other := lengthAlong(n.Near.Rect, n.Axis), lengthAlong(n.Far.Rect, n.Axis)
	if near < l.Hold && other >= l.Hold {
		return other, true
	}
	return near, false
}

// leavesHair reports whether nobody makes the first cut of a tree: what it would take off is scrap no wider than a hair, together with what stays of others beside
// it (see plan.Part.Hair).
func leavesHair(n *Node) bool {
	return thin(n.Near, n.Axis) && lengthAlong(n.Near.Rect, n.Axis)+hairs(n.Far, n.Axis) <= measure.Hair ||
		thin(n.Far, n.Axis) && lengthAlong(n.Far.Rect, n.Axis)+hairs(n.Near, n.Axis) <= measure.Hair
}

// thin reports scrap that is no wider along an axis than a hair.
func thin(n *Node, axis Axis) bool {
	return n.Near == nil && n.Item < 0 && !n.Keep && lengthAlong(n.Rect, axis) <= measure.Hair
}

// hairs is how wide such strips along an axis are together, at most, that stay on any leaf of a tree.
func hairs(n *Node, axis Axis) measure.Length {
	if n.Near == nil {
		return 0
	}
	near, far := hairs(n.Near, axis), hairs(n.Far, axis)
	if n.Axis == axis { // see leavesHair, which would go through all below once more at each cut
		if with := lengthAlong(n.Near.Rect, axis) + far; thin(n.Near, axis) && with <= measure.Hair {
			return with
		}
		if with := lengthAlong(n.Far.Rect, axis) + near; thin(n.Far, axis) && with <= measure.Hair {
			return with
		}
	}
	return max(near, far)
}

// Made is how many cuts of a tree are made; nobody takes a hair off.
func (n *Node) Made() (cuts int) {
	if n.Near == nil {
		return 0
	}
	if !leavesHair(n) {
		cuts = 1
	}
	return cuts + n.Near.Made() + n.Far.Made()
}

// shapeOf is a number that is equal for trees of one size that are cut alike; others differ but for chance.
func shapeOf(n *Node) uint64 {
	h := uint64(n.Rect.W)*0x9e3779b97f4a7c15 ^ uint64(n.Rect.H)*0xc2b2ae3d27d4eb4f
	switch {
	case n.Near != nil:
		h = (h+uint64(n.Axis)+7)*0x9e3779b97f4a7c15 + shapeOf(n.Near)
		h = (h^h>>29)*0xbf58476d1ce4e5b9 + shapeOf(n.Far)
	case n.Item >= 0:
		h += 1
	case n.Keep:
		h += 2
	}
	return (h ^ h>>32) * 0x94d049bb133111eb
}
