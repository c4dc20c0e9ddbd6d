package config

import (
	"slices"
	"strconv"
	"strings"

	"golang.org/x/image/colornames"
)

// ParseColour reads a colour as people write it: #663399, #639 or a name of SVG 1.1 ("dark blue", "grey"). Where it is
// none, near is the name that was probably meant, or "".
func ParseColour(text string) (c Colour, near string, ok bool) {
	if c, ok = KnownColour(text); ok || strings.HasPrefix(withoutSeparators(text), "#") {
		return c, "", ok
	}
	return Colour{}, Near(text, colourNames), false
}

// KnownColour reads a colour as ParseColour does, without looking for what was probably meant.
func KnownColour(text string) (c Colour, ok bool) {
	name := withoutSeparators(text)
	if hex, found := strings.CutPrefix(name, "#"); found {
		if len(hex) == 3 {
			hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
		}
		n, err := strconv.ParseUint(hex, 16, 24)
		if err != nil || len(hex) != 6 {
			return Colour{}, false
		}
		return Colour{uint8(n >> 16), uint8(n >> 8), uint8(n)}, true
	}
	named, ok := colornames.Map[name]
	return Colour{named.R, named.G, named.B}, ok
}

// colourNames are the names of SVG 1.1 by the alphabet: of two that are as near the first is meant.
var colourNames = slices.Sorted(slices.Values(colornames.Names))

// LeavesNoInk reports whether an ink is so near to white that printing it leaves no trace: printers have no white.
func (c Colour) LeavesNoInk() bool { return min(c.R, c.G, c.B) >= 250 }

// String is the colour as ParseColour reads it.
func (c Colour) String() string {
	n := 1<<24 | int(c.R)<<16 | int(c.G)<<8 | int(c.B)
	return "#" + strconv.FormatInt(int64(n), 16)[1:]
}
