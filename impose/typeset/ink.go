package typeset

import (
	"fmt"
	"math"

	"tuckmark/config"
	"tuckmark/config/problem"
)

// readable is the least contrast of text with what lies behind it by WCAG 2 (success criterion 1.4.3).
const readable = 4.5

// noteFaintInk notes an ink that is hard to read on what shows behind it.
func noteFaintInk(ink, back config.Colour) (list problem.List) {
	if c := contrast(ink, back); c < readable {
		list.Note(in("Ink"), fmt.Sprintf("the ink may be hard to read: its contrast with what lies behind it is %.1f to 1", math.Floor(c*10)/10),
			"text reads well from 4.5 to 1", "choose a darker ink, or a lighter one on a dark page")
	}
	return list
}

// contrast is the contrast of two colours by WCAG 2: 1 for equal ones, 21 for black and white.
func contrast(a, b config.Colour) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// luminance is the relative luminance of WCAG 2.
func luminance(c config.Colour) float64 {
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// linear is the share of light of a channel, to a millionth: a power may differ in its last digit between machines, and none of the 256
// is so near to the middle of two millionths that this could tell (TestLinear).
func linear(v uint8) float64 { return math.Round(exactLinear(v)*1e6) / 1e6 }

func exactLinear(v uint8) float64 {
	s := float64(v) / 255
	if s <= 0.04045 {
		return s / 12.92
	}
	return math.Pow((s+0.055)/1.055, 2.4) //nolint:forbidigo // it is rounded
}
