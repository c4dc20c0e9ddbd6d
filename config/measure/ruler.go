package measure

import "cmp"

// ThinnestStrip is what a trimmer takes off at least (common practice): a blade pushes a thinner strip aside. A strip up to a Hair, half of that,
// need not be taken off at all: the block beside it counts as to size.
const (
	ThinnestStrip = Inch / 16
	Hair          = ThinnestStrip / 2
)

// Metric reports whether a person who measures in u has a millimetre rule in hand, and not an inch rule.
func (u Unit) Metric() bool { return u == Mm || u == Cm }

// Ruler is the unit of the rule that a person who measures in u has in hand: inches or millimetres.
func (u Unit) Ruler() Unit {
	if u.Metric() {
		return Mm
	}
	return In
}

// Graduation is the finest division of that rule, a sixteenth of an inch or a millimetre: a trimmer is set to a whole number
// of it.
func (u Unit) Graduation() Length {
	if u.Metric() {
		return Millimetre
	}
	return Inch / 16
}

// Read is what a person sees who holds that rule to a length: the nearest mark, or the middle between two, and whether the length ends a
// little under it (-1), at it (0) or a little over it (1). It is off by no more than a quarter of a graduation. Of two that are as near it is
// the upper one.
func (u Unit) Read(l Length) (shown Length, off int) {
	half := u.Graduation() / 2
	shown = (l + half/2) / half * half
	return shown, cmp.Compare(l, shown)
}

// Shows reports whether that rule shows a length as it is.
func (u Unit) Shows(l Length) bool { _, off := u.Read(l); return off == 0 }

// Down rounds a length down to the rule, so that what is said to be there really is.
func (u Unit) Down(l Length) Length { return l / u.Graduation() * u.Graduation() }
