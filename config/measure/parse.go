package measure

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/problem"
)

// LongestRead is the largest length that is read, either way from nought: far beyond any sheet, and small enough that the area
// of a Size of it still is an int64.
const LongestRead = 1000 * Inch

// What a person is told who typed something else.
const (
	howToType     = "type it like 4 1/2, 4.5, 4.5 in or 114 mm"
	howToTypeSize = "type the width and the height like 4 x 2 1/2"
)

// bad is what is wrong with a text that is no measure, and what to type instead.
func bad(hint, format string, args ...any) error {
	return &problem.Problem{What: fmt.Sprintf(format, args...), Hint: hint}
}

// Quote is a text as a message shows it: in curly quotes, on one line, not longer than a person reads.
func Quote(text string) string {
	if len(text) > mostLetters { // the beginning is all that is shown
		text = strings.ToValidUTF8(text[:mostLetters], "")
	}
	text = strings.Join(strings.Fields(text), " ")
	if utf8.RuneCountInString(text) > 40 {
		text = string([]rune(text)[:39]) + "…"
	}
	return "“" + text + "”"
}

// fractions are the characters for vulgar fractions, as typed with a slash.
var fractions = map[rune]string{
	'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅙': "1/6", '⅚': "5/6", '⅐': "1/7", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅑': "1/9", '⅒': "1/10",
}

// normalise rewrites the characters that office programs and phones put in place of the typed ones.
func normalise(text string) string {
	var b strings.Builder
	for _, r := range text {
		f, vulgar := fractions[r]
		switch {
		case vulgar:
			b.WriteString(" " + f) // 4½ is 4 1/2, not 41/2
		case strings.ContainsRune("″”“„‟❞＂", r):
			b.WriteByte('"')
		case strings.ContainsRune("′’‘´`", r):
			b.WriteByte('\'')
		case strings.ContainsRune("−‐‑‒–—－", r):
			b.WriteByte('-')
		case strings.ContainsRune("⁄∕／", r):
			b.WriteByte('/')
		case strings.ContainsRune("×✕✖⨯хХ", r):
			b.WriteByte('x')
		case r == '．', r == '٫': // the latter parts decimals in Arabic and Persian (CLDR 48.2, symbols)
			b.WriteByte('.')
		case r > unicode.MaxASCII && unicode.IsDigit(r):
			b.WriteByte('0' + digitOf(r))
		case strings.ContainsRune("\u200b\u200c\u200d\u200e\u200f\u2060\ufeff", r):
			// nothing to see, nothing meant
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), "''", `"`))
}

// digitOf is what a decimal digit of any script counts. Those of one kind stand in a row from nought to nine (Unicode 14, chapter 4.6).
func digitOf(r rune) byte {
	n := byte(0)
	for unicode.IsDigit(r - rune(n) - 1) {
		n++
	}
	return n % 10
}

// ParseUnit reads a unit as people name it: in, inches, ", mm, centimetres, pt, with or without a full stop.
func ParseUnit(text string) (Unit, bool) {
	switch strings.TrimSpace(strings.TrimSuffix(normalise(text), ".")) {
	case `"`, "in", "ins", "inch", "inches":
		return In, true
	case "mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters":
		return Mm, true
	case "cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters":
		return Cm, true
	case "pt", "pts", "point", "points":
		return Pt, true
	}
	return In, false
}

// Parse reads a measure as a person types it, exactly (ties of a fraction that is no whole EMU, such as 1/7 in, go to
// the nearest); a bare number is in u. A leading minus is read, so that the caller can say what is wrong with it. Any
// error is a *problem.Problem with What and Hint.
func Parse(text string, u Unit) (Length, error) {
	number, unit, named, err := split(text, u)
	if err != nil {
		return 0, err
	}
	return toLength(text, number, unit, named)
}

// mostLetters is how long a text is, in bytes, that is looked at at all.
const mostLetters = 2000

// split parts a measure into its number and its unit; named tells whether the unit was written.
func split(text string, u Unit) (number string, unit Unit, named bool, err error) {
	if len(text) > mostLetters {
		return "", u, false, bad(howToType, "%s is too long for a measure", Quote(text))
	}
	t := normalise(text)
	switch {
	case t == "":
		return "", u, false, bad(howToType, "the measure is empty")
	case len(t) > 60:
		return "", u, false, bad(howToType, "%s is too long for a measure", Quote(text))
	}
	end := strings.LastIndexFunc(t, func(r rune) bool { return r >= '0' && r <= '9' }) + 1
	if end == 0 {
		return "", u, false, bad(howToType, "%s is not a measure", Quote(text))
	}
	rest := strings.TrimSpace(t[end:])
	if rest == "" || rest == "." {
		return t[:end], u, false, nil
	}
	unit, named = ParseUnit(rest)
	if !named {
		hint := howToType
		if rest == "'" || rest == "ft" || rest == "feet" || rest == "foot" {
			hint = "give it in inches; the inch mark is \", and ' is the mark of feet"
		}
		return "", u, false, bad(hint, "%s is not a measure: %s is no unit that is known here", Quote(text), Quote(rest))
	}
	return t[:end], unit, true, nil
}

var (
	decimal  = regexp.MustCompile(`^([-+]?) *([0-9]*)([.,]([0-9]+))?$`)
	fraction = regexp.MustCompile(`^([-+]?) *(?:([0-9]+)(?: +| *- *| *and +| *[&+] *))?([0-9]+) */ *([0-9]+)$`)
)

// toLength is the number, as `normalise` leaves it, in the unit.
func toLength(text, number string, u Unit, named bool) (Length, error) {
	v, ok := new(big.Rat), false
	sign := ""
	if m := decimal.FindStringSubmatch(number); m != nil {
		sign = m[1]
		if strings.HasPrefix(m[3], ",") && len(m[4]) == 3 && m[2] != "" && m[2] != "0" && u != In {
			// 4,125 in can only be a decimal; 1,200 mm may be either, and both are paper sizes.
			return 0, bad("type it without the comma, or with a point for the decimals",
				"%s can be read in two ways: %s.%s or %s%s", Quote(text), m[2], m[4], m[2], m[4])
		}
		_, ok = v.SetString("0" + m[2] + "." + m[4] + "0")
	} else if m := fraction.FindStringSubmatch(number); m != nil {
		sign = m[1]
		whole, part := new(big.Rat), new(big.Rat)
		whole.SetString("0" + m[2])
		if strings.Trim(m[4], "0") == "" {
			return 0, bad(howToType, "%s has a 0 under its fraction", Quote(text))
		}
		_, ok = part.SetString(m[3] + "/" + m[4])
		if m[2] != "" && part.Cmp(big.NewRat(1, 1)) >= 0 {
			return 0, bad(howToType, "%s has a fraction of one or more beside its whole number", Quote(text))
		}
		v.Add(whole, part)
	}
	if !ok {
		return 0, bad(howToType, "%s is not a measure", Quote(text))
	}
	v.Mul(v, new(big.Rat).SetInt64(int64(u.Length())))
	if v.Cmp(new(big.Rat).SetInt64(int64(LongestRead))) > 0 {
		hint := "check the number and its unit"
		if !named {
			hint += "; a bare number is in " + u.String()
		}
		return 0, bad(hint, "%s is larger than anything that can be printed", Quote(text))
	}
	v.Add(v, big.NewRat(1, 2)) // the nearest whole number is the floor of this, v being positive
	n := new(big.Int).Quo(v.Num(), v.Denom()).Int64()
	if sign == "-" {
		n = -n
	}
	return Length(n), nil
}

var (
	by = regexp.MustCompile(`[0-9"a-z. ](x|by|\*)[ .,0-9-]`)
	// side is the word that says which of the two a measure is.
	side = regexp.MustCompile(`^(.*[^a-z])(w|wide|width|h|high|height|tall)[ .,]*$`)
)

// ParseSize reads a width and a height: 4 x 2, 4" by 2 1/2", 4×2, 10 x 5 cm (a unit at the end is for both), 4 wide x 2
// high in either order, or the name of a paper. A bare number is in u. Any error is a
// *problem.Problem with What and Hint.
func ParseSize(text string, u Unit) (Size, error) {
	if len(text) > mostLetters {
		return Size{}, bad(howToTypeSize, "%s is too long for a size", Quote(text))
	}
	if s, ok := paperSize(text); ok {
		return s, nil
	}
	t := normalise(text)
	if len(t) > 100 {
		return Size{}, bad(howToTypeSize, "%s is too long for a size", Quote(text))
	}
	at := by.FindAllStringSubmatchIndex(" "+t+" ", 2)
	if len(at) != 1 {
		return Size{}, bad(howToTypeSize, "%s is not a width and a height", Quote(text))
	}
	parts := [2]string{t[:at[0][2]-1], t[at[0][3]-1:]}
	turned := false
	for i := range parts {
		if m := side.FindStringSubmatch(parts[i]); m != nil {
			parts[i] = m[1]
			wide := m[2][0] == 'w'
			turned = turned || wide == (i == 1)
		}
	}
	var numbers [2]string
	var units [2]Unit
	var named [2]bool
	for i := range parts {
		var err error
		if numbers[i], units[i], named[i], err = split(parts[i], u); err != nil {
			return Size{}, bad(howToTypeSize, "%s is not a width and a height", Quote(text))
		}
	}
	for i := range parts {
		if !named[i] && named[1-i] {
			units[i], named[i] = units[1-i], true
		}
	}
	var out [2]Length
	for i := range parts {
		var err error
		if out[i], err = toLength(strings.TrimSpace(parts[i]), numbers[i], units[i], named[i]); err != nil {
			return Size{}, err
		}
	}
	if turned {
		out[0], out[1] = out[1], out[0]
	}
	return Size{out[0], out[1]}, nil
}
