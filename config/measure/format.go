package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// digits is how many decimals of each unit tell every Length apart: half of the last one is less than half an EMU.
var digits = [...]int{In: 6, Mm: 5, Cm: 6, Pt: 5}

// Format prints a length so that Parse gives it back exactly: inches as a fraction where they are a whole number of
// thirty-seconds ("4 1/2 in"), all else with as many decimals as it takes ("114.3 mm").
func (l Length) Format(u Unit) string { return l.decimal(u, digits[u]) + " " + u.String() }

// About prints a length for people to read off a ruler: the mark of a rule in u that is nearest, and of what lies beside it on which side,
// as "a little over 8 1/8 in" (Unit.Read). Points, which no ruler shows, are printed to the hundredth, and what is less than nought as Format does.
func (l Length) About(u Unit) string {
	switch {
	case u == Pt:
		return l.decimal(u, 2) + " " + u.String()
	case l < 0:
		return l.Format(u)
	}
	shown, off := u.Read(l)
	if shown == 0 && off != 0 {
		return "less than " + (u.Graduation() / 2).Format(u)
	}
	return [...]string{"a little under ", "", "a little over "}[off+1] + shown.Format(u)
}

// Format prints a size so that ParseSize gives it back exactly: "4 1/2 x 2 in", the width first.
func (s Size) Format(u Unit) string {
	return s.W.decimal(u, digits[u]) + " x " + s.H.decimal(u, digits[u]) + " " + u.String()
}

// About prints a size for people to read, as Length.About does: "4 x 2 in", "a little over 8 1/8 in x 2 in".
func (s Size) About(u Unit) string {
	w, h := s.W.About(u), s.H.About(u)
	if u != Pt && (!u.Shows(s.W) || !u.Shows(s.H)) {
		return w + " x " + h
	}
	return strings.TrimSuffix(w, " "+u.String()) + " x " + h
}

// Down prints a size to the rule of who measures in u, rounded down, so that what is said to be there really is: "4 x 7 1/2 in".
func (s Size) Down(u Unit) string { return Size{u.Down(s.W), u.Down(s.H)}.Format(u.Ruler()) }

// decimal is l in the unit, rounded to so many decimals at most.
func (l Length) decimal(u Unit, decimals int) string {
	if l = max(l, -math.MaxInt64); l < 0 { // of the least of all there is no opposite
		n := (-l).decimal(u, decimals)
		if n == "0" {
			return n
		}
		return "-" + n
	}
	one := u.Length()
	if step := Inch / 32; u == In && l%step == 0 {
		return inches(int64(l / step))
	}
	scale := int64(1)
	for range decimals {
		scale *= 10
	}
	// Whole units apart, so that nothing overflows: the rest is less than one unit, and its product less than 1e12.
	whole, rest := int64(l/one), int64(l%one)
	part := (rest*scale*2 + int64(one)) / (2 * int64(one))
	whole, part = whole+part/scale, part%scale
	if part == 0 {
		return strconv.FormatInt(whole, 10)
	}
	return strings.TrimRight(fmt.Sprintf("%d.%0*d", whole, decimals, part), "0")
}

// inches prints so many thirty-seconds of an inch as a whole number and a fraction in its lowest terms.
func inches(n int64) string {
	whole, part, of := n/32, n%32, int64(32)
	if part == 0 {
		return strconv.FormatInt(whole, 10)
	}
	for part%2 == 0 {
		part, of = part/2, of/2
	}
	if whole == 0 {
		return fmt.Sprintf("%d/%d", part, of)
	}
	return fmt.Sprintf("%d %d/%d", whole, part, of)
}

// About names the sides that have a length, as About prints it: "1/2 in on top, 1/4 in at the left". It is "" where none has one.
func (s Sides) About(u Unit) string {
	var out []string
	for _, side := range []struct {
		l     Length
		where string
	}{{s.Top, "on top"}, {s.Bottom, "at the bottom"}, {s.Left, "at the left"}, {s.Right, "at the right"}} {
		if side.l > 0 {
			out = append(out, side.l.About(u)+" "+side.where)
		}
	}
	return strings.Join(out, ", ")
}
