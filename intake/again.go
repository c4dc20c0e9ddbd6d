package intake

import (
	"strings"

	"tuckmark/config/measure"
)

// What a block asks for, written as the form takes it: what is written here, the readers read again.

// sidesAsTyped is a tuck: "top 1/2 in, left 1/4 in".
func sidesAsTyped(t measure.Sides, u measure.Unit) string {
	if t == (measure.Sides{}) {
		return "none"
	}
	var out []string
	for _, e := range []struct {
		name string
		l    measure.Length
	}{{"top", t.Top}, {"left", t.Left}, {"right", t.Right}, {"bottom", t.Bottom}} {
		if e.l != 0 {
			out = append(out, e.name+" "+e.l.Format(u))
		}
	}
	return strings.Join(out, ", ")
}

func yesOrNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
