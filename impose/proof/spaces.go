package proof

import (
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
)

// A space that is given goes on with the rest of a measure, which mail may have broken off, and with nothing else: what stands below it may be a wish.

// ofMeasures are the words of measures, but for units.
var ofMeasures = []string{"x", "х", "by", "and", "w", "wide", "width", "h", "high", "height", "tall", "across", "ft", "foot", "feet"}

// ofMeasure reports whether a line has nothing but figures and words of measures.
func ofMeasure(line string) bool {
	words := strings.FieldsFunc(strings.ToLower(line), func(r rune) bool { return !unicode.IsLetter(r) })
	return strings.ContainsFunc(line, letter) && !slices.ContainsFunc(words, func(w string) bool {
		_, unit := measure.ParseUnit(w)
		return !unit && !slices.Contains(ofMeasures, w)
	})
}

// units are those that the row may be measured in, which is not known yet.
var units = []measure.Unit{measure.In, measure.Mm, measure.Cm, measure.Pt}

// isSize reports whether a text is a width and a height.
func isSize(text string) bool {
	return slices.ContainsFunc(units, func(u measure.Unit) bool { return readSpace(text, u).whole })
}

// isMeasure reports whether it is that, or one side.
func isMeasure(text string) bool {
	return slices.ContainsFunc(units, func(u measure.Unit) bool { g := readSpace(text, u); return g.whole || g.oneSide })
}

// endSpace ends a space that is given where a line does not go on with it.
func (r *reading) endSpace(line, head string, codes []named) {
	if !r.open || !r.measuring || emptyLine.MatchString(line) {
		return
	}
	a := &r.list[len(r.list)-1]
	line = strings.TrimLeft(line, "> |")
	names := slices.ContainsFunc(codes, func(n named) bool { return r.known == nil || r.known[n.code] })
	with := a.Space + " " + line
	switch {
	case !names && ofMeasure(line) && (!r.closed || isSize(with)) || !names && !r.closed && isMeasure(with):
	case a.Space == "" && head == "" && !names: // it is what is said of the row
		r.measuring = false
		r.part = func(a *Answer) *string { return &a.Change }
	default:
		r.open, r.closed, r.near = false, true, true
	}
}

// measured ends a space that is whole, as a text is ended; one side may be half of one.
func (r *reading) measured() {
	if so := r.list[len(r.list)-1].Space; r.measuring && isMeasure(so) {
		r.open, r.closed, r.near = r.open && !isSize(so), true, true
	}
}
