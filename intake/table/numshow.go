package table

import (
	"fmt"
	"math"
	"math/big"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/measure"
)

// How a number is shown by its format. Where that cannot be told for sure, or programs differ, it is said so, and nothing is guessed.

// of is the section for a number, and the number that it shows: a section for numbers below 0 has a minus of its own. Known is false where programs
// do not agree which section it is.
func (f cellFormat) of(v float64) (s section, shown float64, known bool) {
	all := f.sections
	limited := false
	for _, s := range all {
		limited = limited || s.limit != nil
	}
	switch {
	case len(all) == 0:
		return asItIs, v, true
	case limited:
		return limitedTo(all, v)
	case len(all) > 1 && v < 0:
		return all[1], -v, true
	case len(all) > 2 && v == 0:
		return all[2], v, true
	}
	return all[0], v, true
}

// limitedTo is the section for a number where they say for which numbers they are.
func limitedTo(all []section, v float64) (s section, shown float64, known bool) {
	holds := func(i int) bool { return all[i].limit != nil && all[i].limit.holds(v) }
	last := len(all) - 1
	switch {
	case holds(0):
		s = all[0]
	case last > 0 && holds(1):
		s = all[1]
	case last > 0 && all[0].limit != nil && all[last].limit == nil && (last == 1 || all[1].limit != nil):
		s = all[last]
	default:
		return all[0], v, false
	}
	s.odd = s.odd || v < 0 // some show a minus then, and some do not
	return s, v, true
}

// plainNumber writes a number out, without an exponent.
func plainNumber(v float64) string {
	if math.Abs(v) >= 1e15 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	return strconv.FormatFloat(v, 'f', -1, 64)
}

// typedNumber writes a number with the 15 digits that spreadsheets keep of what is typed: 0.1+0.2 is 0.3.
func typedNumber(v float64) string {
	short, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 15, 64), 64)
	if err != nil {
		return plainNumber(v)
	}
	return plainNumber(short)
}

// farthest is how far from 1 a number may be, on either side, whose digits are worked out: nobody measures so.
const farthest = 1e60

// show is a number as a person sees it. Known is false where that cannot be told: then it is the number as it is.
func (s section) show(v float64) (text string, known bool) {
	sign, abs := "", v
	if v < 0 {
		sign, abs = "-", -v
	}
	switch {
	case s.odd, s.date, abs >= 1e15 && s.general(), abs >= farthest, v != 0 && abs <= 1/farthest:
		return typedNumber(v), false
	case len(s.marks) == 1 && s.general():
		return typedNumber(v), true
	case s.fraction:
		if s.percent {
			return typedNumber(v), false
		}
		text, known = s.inParts(abs)
		text = s.prefix + text + s.suffix
	default:
		text, known = s.lay(abs)
	}
	if !known || sign != "" && !strings.ContainsAny(text, "123456789") { // some show a minus before nothing
		return typedNumber(v), false
	}
	return strings.TrimSpace(sign + text), true
}

// isDigit reports a mark that stands for a digit.
func (m mark) isDigit() bool { return m.sign == '0' || m.sign == '#' || m.sign == '?' }

// filler is what a mark shows for a digit that is not needed.
func (m mark) filler() string {
	switch m.sign {
	case '0':
		return "0"
	case '?':
		return " "
	}
	return ""
}

// lay puts the digits of a number, which is not below 0, in the places of the section's marks.
func (s section) lay(v float64) (text string, known bool) {
	whole, part, grouped := s.digits(v)
	point, first := len(s.marks), -1 // the mark of the point, and that of the first digit
	for i, m := range s.marks {
		if m.sign == '.' && point == len(s.marks) {
			point = i
		}
		if m.isDigit() && first < 0 {
			first = i
		}
	}
	var before []string // from right to left
	placed := 0
	put := func(digit string) {
		if grouped && placed > 0 && placed%3 == 0 {
			before = append(before, ",")
		}
		before, placed = append(before, digit), placed+1
	}
	putRest := func() {
		for ; whole != ""; whole = whole[:len(whole)-1] {
			put(whole[len(whole)-1:])
		}
	}
	if first > point { // .00
		putRest()
	}
	for i := point - 1; i >= 0; i-- {
		m := s.marks[i]
		switch {
		case m.isDigit() && whole != "":
			put(whole[len(whole)-1:])
			if whole = whole[:len(whole)-1]; i == first {
				putRest()
			}
		case m.isDigit() && m.sign == '0':
			put("0")
		case m.isDigit():
			before = append(before, m.filler())
		case m.sign == markGeneral:
			before = append(before, typedNumber(v))
		case m.sign != ',':
			before = append(before, m.text)
		}
	}
	var out strings.Builder
	for i := len(before) - 1; i >= 0; i-- {
		out.WriteString(before[i])
	}
	decimals, needed := 0, len(strings.TrimRight(part, "0"))
	for _, m := range s.marks[min(point, len(s.marks)):] {
		switch {
		case m.isDigit() && decimals >= needed:
			if m.sign == '#' && decimals == 0 {
				return "", false // some show a point then that nothing follows
			}
			out.WriteString(m.filler())
			decimals++
		case m.isDigit():
			out.WriteByte(part[decimals])
			decimals++
		case m.sign != ',':
			out.WriteString(m.text)
		}
	}
	return out.String(), strings.TrimSpace(out.String()) != "" // what shows nothing is hidden
}

// general reports a section that shows a number as it is; one of more digits than are kept is shown with an exponent.
func (s section) general() bool {
	return slices.ContainsFunc(s.marks, func(m mark) bool { return m.sign == markGeneral })
}

// hides reports a section that shows nothing.
func (s section) hides() bool {
	for _, m := range s.marks {
		if m.sign != markText || strings.TrimSpace(m.text) != "" {
			return false
		}
	}
	return !s.date && !s.odd
}

// digits are those of a number as the section shows it, before and behind the point, and whether its thousands are parted. A half is rounded up, as
// spreadsheets do: that of the decimal number that was typed, not of the binary one that is stored.
func (s section) digits(v float64) (whole, part string, grouped bool) {
	var n big.Rat
	n.SetString(typedNumber(v))
	decimals, behind, commas, digits := 0, false, 0, false
	tens := 0 // how many places the point moves to the right
	thousandths := func() { tens, commas = tens-3*commas, 0 }
	for _, m := range s.marks {
		switch {
		case m.sign == '.':
			thousandths()
			behind = true
		case m.sign == '%':
			tens += 2
		case m.sign == ',' && digits:
			commas++
		case m.isDigit():
			grouped = grouped || commas > 0 && !behind
			commas, digits = 0, true
			if behind {
				decimals++
			}
		}
	}
	thousandths()
	if tens != 0 {
		ten := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(tens, -tens))), nil))
		if tens > 0 {
			n.Mul(&n, ten)
		} else {
			n.Quo(&n, ten)
		}
	}
	whole, part, _ = strings.Cut(n.FloatString(decimals), ".")
	if whole == "0" {
		whole = ""
	}
	return whole, part, grouped
}

// inParts writes a number as a fraction, where it is one that its format can show: how programs round others is not for us to guess.
func (s section) inParts(v float64) (string, bool) {
	if !s.fraction || v >= 1e9 {
		return "", false
	}
	whole, part := 0.0, v
	if s.mixed {
		whole, part = math.Modf(v)
	}
	first, last := int64(1), s.most
	if s.over > 0 {
		first, last = s.over, s.over
	}
	for over := first; over <= last; over++ {
		above := math.Round(part * float64(over))
		switch {
		case math.Abs(part*float64(over)-above) > 1e-8:
		case s.mixed && above == 0:
			return plainNumber(whole), true
		case s.mixed && above == float64(over):
			return plainNumber(whole + 1), true
		case s.mixed && whole > 0:
			return fmt.Sprintf("%s %s/%d", plainNumber(whole), plainNumber(above), over), true
		default:
			return fmt.Sprintf("%s/%d", plainNumber(above), over), true
		}
	}
	return "", false
}

// exact is a number as it is stored, with the unit that its format shows: what was typed, not what was rounded for
// the eye.
func (s section) exact(v float64) string {
	if s.percent {
		text, _ := s.show(v)
		return text
	}
	if s.unit != "" {
		return plainNumber(v) + " " + s.unit
	}
	return plainNumber(v)
}

// otherUnit is the text that a format shows with a number, where it may be a unit, or a part of the number, that is not known here; a sign such as € is none.
func (s section) otherUnit() string {
	if _, unit := measure.ParseUnit(strings.TrimSpace(s.prefix)); unit {
		return " (" + strings.TrimSpace(s.prefix) + ")"
	}
	if s.unit != "" || s.percent || !strings.ContainsFunc(s.suffix, func(r rune) bool {
		return unicode.IsLetter(r) || unicode.IsNumber(r) || strings.ContainsRune("'’′´㎝㎜", r)
	}) {
		return ""
	}
	return " " + strings.TrimSpace(s.suffix)
}
