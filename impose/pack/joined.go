package pack

import "tuckmark/config/measure"

// Two cuts undo each other where one takes off a strip of waste and the other a further strip beside it: one cut does. They come about
// where the waste of a part and that of its neighbour lie side by side.

// joined is a tree in which no cut parts waste from waste, but where the trimmer would not hold what is left.
func joined(n *Node, lim Limits) *Node {
	if n.Near == nil {
		return n
	}
	near, far := joined(n.Near, lim), joined(n.Far, lim)
	strip, other := stripOf(near, n.Axis, true), stripOf(far, n.Axis, false)
	m := cutInto(n.Axis, near, far)
	if strip > 0 && other > 0 {
		if less, ok := without(near, n.Axis, true, lim); ok {
			m = withWaste(far, n.Axis, false, strip, lim)
			if less != nil {
				m = cutInto(n.Axis, less, m)
			}
		} else if less, ok := without(far, n.Axis, false, lim); ok {
			m = withWaste(near, n.Axis, true, other, lim)
			if less != nil {
				m = cutInto(n.Axis, m, less)
			}
		}
	}
	move(m, n.Rect.X-m.Rect.X, n.Rect.Y-m.Rect.Y)
	return m
}

// stripOf is how long the strip of scrap is that a part has along its far edge, or its near one; 0: none.
func stripOf(n *Node, a Axis, far bool) measure.Length {
	for n.Near != nil {
		if n.Axis != a {
			return 0
		}
		if far {
			n = n.Far
		} else {
			n = n.Near
		}
	}
	if isScrap(n) {
		return lengthAlong(n.Rect, a)
	}
	return 0
}

// without is a part without that strip, nil if there is nothing else; false where the trimmer would not hold it.
func without(n *Node, a Axis, far bool, lim Limits) (*Node, bool) {
	if n.Near == nil {
		return nil, true
	}
	first, last := n.Near, n.Far
	if far {
		first, last = last, first
	}
	less, ok := without(first, a, far, lim)
	switch {
	case !ok || less == nil:
		return last, ok
	case far:
		less = cutInto(a, last, less)
	default:
		less = cutInto(a, less, last)
	}
	return less, lengthAlong(less.Rect, a) >= lim.Hold
}

// withWaste is a part whose strip is longer by so much.
func withWaste(n *Node, a Axis, far bool, by measure.Length, lim Limits) *Node {
	switch {
	case n.Near == nil:
		return restSized(sizedAlong(n.Rect.Size(), a, lengthAlong(n.Rect, a)+by), lim)
	case far:
		return cutInto(a, n.Near, withWaste(n.Far, a, far, by, lim))
	default:
		return cutInto(a, withWaste(n.Near, a, far, by, lim), n.Far)
	}
}

// sizedAlong is a size with another length in the direction in which cuts of an axis follow one another.
func sizedAlong(s measure.Size, a Axis, l measure.Length) measure.Size {
	if a == Down {
		s.W = l
	} else {
		s.H = l
	}
	return s
}

// restSized is a rest of that size.
func restSized(s measure.Size, lim Limits) *Node {
	return &Node{Rect: s.At(0, 0), Item: -1, Keep: lim.Keep != nil && lim.Keep(s)}
}
