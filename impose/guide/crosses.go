package guide

import (
	"fmt"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// CorrectionYAML is what to write into tuckmark.yaml for a printer's correction.
func CorrectionYAML(printer string, shift config.Offset, scale [2]float64, u measure.Unit) string {
	return correctionYAML(printer, short(shift.X, u), short(shift.Y, u), factor(scale[0]), factor(scale[1]))
}

// short is a shift as finely as it matters: to a thousandth of an inch or a hundredth of a millimetre.
func short(l measure.Length, u measure.Unit) string {
	decimals, show := 3, measure.In
	if u == measure.Mm || u == measure.Cm {
		decimals, show = 2, measure.Mm
	}
	n := strconv.FormatFloat(float64(l)/float64(show.Length()), 'f', decimals, 64)
	if strings.Trim(n, "-0.") == "" {
		n = "0"
	}
	return n + " " + show.String()
}

// ReadCrosses reads the four places of a test page as they were measured: "1; 7 1/2; 1; 10".
func ReadCrosses(text string, u measure.Unit) (Crosses, *problem.Problem) {
	bad := func(what, hint string) (Crosses, *problem.Problem) {
		return Crosses{}, &problem.Problem{What: what, Hint: hint}
	}
	parts := strings.Split(text, ";")
	if len(parts) == 1 {
		parts = strings.Split(text, ",")
	}
	const how = `give the four distances A, B, C and D of the page in that order, like --measured "1 1/32; 7 1/2; 1; 10"`
	if len(parts) != 4 {
		return bad(fmt.Sprintf("%s in “%s”, not four", problem.Count(len(parts), "measure"), text), how)
	}
	var l [4]measure.Length
	for i, p := range parts {
		var err error
		if l[i], err = measure.Parse(strings.TrimSpace(p), u); err != nil {
			return bad(err.Error(), how)
		}
	}
	return Crosses{Left: l[0], Right: l[1], Top: l[2], Bottom: l[3]}, nil
}
