package measure

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

// Down rounds a length down to the rule, so that what is said to be there really is.
func (u Unit) Down(l Length) Length { return l / u.Graduation() * u.Graduation() }
