package guide

import (
	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// What the guides say where there is no trimmer: every block is cut out with scissors, by the outline on the waste around it.

// cutOut is the list of what is cut out of a piece: each block, then what is kept, with the edges that have no line.
func (j *job) cutOut(w *account.Cutting) (*table, [][]string) {
	t := &table{pad: measure.Point / 2, columns: []column{{head: "Cut out", style: smallB}, {head: "Size", style: strong}, {head: "Outline", style: small}}}
	var rows [][]string
	for _, q := range w.Out() {
		told := w.Told(q, j.unit)
		switch {
		case told != "":
		case len(q.Outline) == 0:
			told = "the paper's own edges"
		default:
			told = "all around"
		}
		rows = append(rows, []string{q.Describe(), exact(q.Rect.Size(), j.unit), told})
	}
	return t, rows
}

// scissorTerms are the words of the cutting guide without a trimmer.
func (j *job) scissorTerms() []term {
	all := []term{
		{"Picture", "to scale, printed side up, the edge that entered the printer first on top. Letters are places of blocks. Grey is scrap."},
		{"Cut out", "the block in this place, along the printed line around it: cut on its inner edge, so that the line stays on the waste. Where the line stops short of the paper's edge, go straight on. The paper's own edges need no cut."},
		{"Size", "what comes out, width by height as it lies in the picture."},
		{"No line", "nothing could be printed there (a dashed line in the picture): rule one lightly with a pencil, so far from the other side."},
	}
	if j.several() {
		all = append(all, term{"Pages", "those under one picture have their blocks in the same places."})
	}
	return all
}

// outlines are the lines of a picture along which is cut: drawn where they are printed, dashed where not.
func (pic *picture) outlines() (lines []cutLine) {
	line := func(r measure.Rect, dashed bool) {
		r = pic.rect(r)
		lines = append(lines, cutLine{r.X, r.Y, r.Right(), r.Bottom(), dashed})
	}
	for _, q := range pic.way.Out() {
		for _, m := range q.Outline {
			r := m.Ink()
			if m.X1 == m.X2 {
				r.W = 0
			} else {
				r.H = 0
			}
			line(r, false)
		}
		for _, b := range pic.way.Bare(q) {
			line(b.At, true)
		}
	}
	return lines
}

// scissorCaution takes the place of the one about a trimmer's blade.
var scissorCaution = term{"Scissors.", "Cut away from yourself, close them before you put them down or hand them on, and keep them from children."}
