package measure

import "strings"

// papers are the sheets known by name, upright. ISO 216 A and B, the Japanese B of JIS P 0138, and the North American
// sizes as CSS Paged Media 3 lists them; statement is half a letter sheet (common practice).
var papers = map[string]Size{
	"a0": mm(841, 1189),
	"a1": mm(594, 841),
	"a2": mm(420, 594),
	"a3": mm(297, 420),
	"a4": mm(210, 297),
	"a5": mm(148, 210),
	"a6": mm(105, 148),
	"a7": mm(74, 105),
	"b4": mm(250, 353),
	"b5": mm(176, 250),

	"jisb4": mm(257, 364),
	"jisb5": mm(182, 257),

	"letter":     halfInches(17, 22),
	"legal":      halfInches(17, 28),
	"ledger":     halfInches(22, 34),
	"tabloid":    halfInches(22, 34),
	"statement":  halfInches(11, 17),
	"halfletter": halfInches(11, 17),
}

// paperSize finds a sheet by its name, in any letter case: "letter", "US Letter", "A4", "A4 landscape".
func paperSize(name string) (Size, bool) {
	words := strings.FieldsFunc(normalise(name), func(r rune) bool { return strings.ContainsRune(" -_,()", r) })
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

func mm(w, h Length) Size         { return Size{w * Millimetre, h * Millimetre} }
func halfInches(w, h Length) Size { return Size{w * Inch / 2, h * Inch / 2} }
