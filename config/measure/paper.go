package measure

import "strings"

// papers are the sheets known by name, upright. ISO 216 A and B, the Japanese B of JIS P 0138, and the North American
// sizes as CSS Paged Media 3 lists them; statement is half a letter sheet (common practice).
var papers = map[string]Size{
	"a0": {841 * Millimetre, 1189 * Millimetre},
	"a1": {594 * Millimetre, 841 * Millimetre},
	"a2": {420 * Millimetre, 594 * Millimetre},
	"a3": {297 * Millimetre, 420 * Millimetre},
	"a4": {210 * Millimetre, 297 * Millimetre},
	"a5": {148 * Millimetre, 210 * Millimetre},
	"a6": {105 * Millimetre, 148 * Millimetre},
	"a7": {74 * Millimetre, 105 * Millimetre},
	"b4": {250 * Millimetre, 353 * Millimetre},
	"b5": {176 * Millimetre, 250 * Millimetre},

	"jisb4": {257 * Millimetre, 364 * Millimetre},
	"jisb5": {182 * Millimetre, 257 * Millimetre},

	"letter":     {17 * Inch / 2, 11 * Inch},
	"legal":      {17 * Inch / 2, 14 * Inch},
	"ledger":     {11 * Inch, 17 * Inch},
	"tabloid":    {11 * Inch, 17 * Inch},
	"statement":  {11 * Inch / 2, 17 * Inch / 2},
	"halfletter": {11 * Inch / 2, 17 * Inch / 2},
}

// paper finds a sheet by its name, in any letter case: "letter", "US Letter", "A4", "A4 landscape".
func paper(name string) (Size, bool) {
	words := strings.FieldsFunc(plain(name), func(r rune) bool { return strings.ContainsRune(" -_,()", r) })
	var key strings.Builder
	landscape := false
	for _, w := range words {
		switch w {
		case "landscape":
			landscape = true
		case "us", "size", "paper", "sheet", "din", "iso", "portrait":
		default:
			key.WriteString(w)
		}
	}
	s, ok := papers[key.String()]
	if landscape {
		s = s.Turn()
	}
	return s, ok
}
