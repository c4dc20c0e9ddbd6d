package guide

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// A printer puts a point that it is told to print at p in truth at a*p + b: it stretches a little and lies a little off.
// The test page has crosses at known places; from where they are found the correction follows that takes both back. As
// the page is printed with the correction so far, the new one is worked out from that one and not from none.

// Crosses are the known places on a test page: distances of the crosses from the left and upper edges of the paper.
type Crosses struct{ Left, Right, Top, Bottom measure.Length }

// TestPiece is the paper to print a printer's test page on, and where its crosses are: the paper of the guides, or as
// much of it as the printer pulls.
func TestPiece(p config.Printer, s *config.Settings) (measure.Size, Crosses) {
	size := s.Guide
	if !p.Feeds(size) {
		size.W = min(max(size.W, p.Narrowest), p.Widest)
		size.H = min(max(size.H, p.Shortest), p.Longest)
	}
	step := measure.Inch / 4
	if s.Unit.Metric() {
		step = 5 * measure.Millimetre
	}
	off := func(margin measure.Length) measure.Length { return max(4, (margin+step-1)/step+1) * step }
	// The far crosses are a whole number of steps from the near edge too, so that a rule shows them on a line.
	back := func(side, margin measure.Length) measure.Length { return (side - off(margin)) / step * step }
	return size, Crosses{Left: off(p.Margins.Left), Right: back(size.W, p.Margins.Right),
		Top: off(p.Margins.Top), Bottom: back(size.H, p.Margins.Bottom)}
}

// Correct is the shift and scale to enter for a printer whose test page, printed with the correction that it has now,
// shows the crosses at the places found. It reports false where the places cannot be those of a test page.
func Correct(p config.Printer, true, found Crosses) (config.Offset, [2]float64, bool) {
	x, sx, okX := correct(true.Left, true.Right, found.Left, found.Right, p.Shift.X, p.Scale[0])
	y, sy, okY := correct(true.Top, true.Bottom, found.Top, found.Bottom, p.Shift.Y, p.Scale[1])
	return config.Offset{X: x, Y: y}, [2]float64{sx, sy}, okX && okY
}

// correct is Correct in one direction. The page was sent as scale*p + shift, and of two of its points is known where they
// are: near is found at m, and so on. What the printer did is found = a*p + b, so that
//
//	new scale = scale / a, and new shift = shift + scale*near - m*(new scale).
func correct(near, far, m, n, shift measure.Length, scale float64) (measure.Length, float64, bool) {
	if scale == 0 {
		scale = 1
	}
	const most = 0.05 // no printer is off by more than a twentieth (a judgement); a person who mistook a cross is
	if a := float64(n-m) / float64(far-near); n <= m || math.Abs(a-1) > most {
		return 0, 0, false
	}
	to := scale * float64(far-near) / float64(n-m)
	to = math.Round(to*1e5) / 1e5
	off := float64(shift) + scale*float64(near) - float64(m)*to
	return measure.Length(math.Round(off)), to, math.Abs(off) < float64(measure.Inch)
}

// TestPlan is the plan of the test page, a piece without blocks, so that it is printed as pieces are.
func TestPlan(p config.Printer, s *config.Settings) *plan.Plan {
	size, _ := TestPiece(p, s)
	r := size.At(0, 0)
	return &plan.Plan{Pieces: []*plan.Piece{{Page: 1, Stock: "plain paper", Printer: p.Name, Source: plan.Source{Sheet: 1, Rect: r}, Whole: &plan.Part{Rect: r}}}}
}

// TestPage is the page to measure a printer by, with its correction so far. A small one says less, or nothing: TestSteps are what it then leaves out.
func TestPage(p config.Printer, s *config.Settings, fonts *typeset.Library) press.Page {
	size, at := TestPiece(p, s)
	w := &pageWriter{hand: newHand(fonts, nil), size: size, name: "Test page"}
	w.pages = []press.Page{{Title: "Test page", Size: size}}
	t := testPage{pageWriter: w, printer: p, settings: s, at: at}
	t.frame(size.At(0, 0).Inset(p.Margins), hairline, black, 0)
	for _, x := range []measure.Length{at.Left, at.Right} {
		for _, y := range []measure.Length{at.Top, at.Bottom} {
			t.cross(x, y)
		}
	}
	t.rulers()
	t.writeSteps()
	page := w.page()
	page.Scale, page.ShiftX, page.ShiftY = p.Scale, p.Shift.X, p.Shift.Y
	return *page
}

type testPage struct {
	*pageWriter
	printer  config.Printer
	settings *config.Settings
	at       Crosses
}

func (t *testPage) cross(x, y measure.Length) {
	t.stroke(x-crossArm, y, x+crossArm, y, hairline, black, 0)
	t.stroke(x, y-crossArm, x, y+crossArm, hairline, black, 0)
}

const (
	crossArm = measure.Inch / 4
	ruled    = 3 * measure.Inch / 8 // from the crosses to the rulers
)

// rulers run from edge to edge of the paper, so that where their print begins shows what the printer cannot print.
func (t *testPage) rulers() {
	small := style{false, 7 * measure.Point, black}
	step, whole, half, numbered := measure.Inch/16, 16, 8, measure.Inch
	if t.settings.Unit.Metric() {
		step, whole, half, numbered = measure.Millimetre, 10, 5, measure.Centimetre
	}
	tick := func(n int) measure.Length {
		switch {
		case n%whole == 0:
			return measure.Inch / 6
		case n%half == 0:
			return measure.Inch / 8
		}
		return measure.Inch / 16
	}
	y, x := t.at.Top+ruled, t.at.Left+ruled
	t.stroke(0, y, t.size.W, y, hairline, black, 0)
	t.stroke(x, 0, x, t.size.H, hairline, black, 0)
	for n := 0; measure.Length(n)*step <= t.size.W; n++ {
		at := measure.Length(n) * step
		t.stroke(at, y, at, y+tick(n), hairline, black, 0)
		if n%whole == 0 && at != x {
			t.cell(at-measure.Inch/4, y+measure.Inch/6+small.size, measure.Inch/2, small, strconv.Itoa(int(at/numbered)), toCentre)
		}
	}
	for n := 0; measure.Length(n)*step <= t.size.H; n++ {
		at := measure.Length(n) * step
		t.stroke(x, at, x+tick(n), at, hairline, black, 0)
		if n%whole == 0 && at != y {
			t.text(x+measure.Inch/5, at+small.size/3, small, strconv.Itoa(int(at/numbered)))
		}
	}
}

// step is a paragraph of the page: its first one is the title.
type step struct {
	words  string
	indent measure.Length
	gap    bool // before it
}

// writeSteps writes what to measure and where to enter it, between the rulers and the lower crosses: all of it in the largest type in which that has room,
// else the least that somebody needs at the rule.
func (t *testPage) writeSteps() {
	x := t.at.Left + ruled + measure.Inch/2
	room := measure.Rect{X: x, Y: t.at.Top + ruled + measure.Inch/2, W: t.size.W - max(margin/2, t.printer.Margins.Right) - x}
	room.H = t.at.Bottom - crossArm - measure.Inch/8 - room.Y
	for _, steps := range [][]step{t.steps(), t.fewSteps()} {
		for size := body.size; size >= 7*measure.Point; size -= measure.Point {
			if t.write(room, size, steps) {
				return
			}
		}
	}
}

// write writes steps into a room, if they fit it.
func (t *testPage) write(room measure.Rect, size measure.Length, steps []step) bool {
	type row struct {
		style style
		x, y  measure.Length // of the line's upper edge
		text  string
	}
	var rows []row
	y := room.Y
	for i, p := range steps {
		s := style{false, size, black}
		if i == 0 {
			s = style{true, size * 14 / 10, black}
		}
		if p.gap {
			y += measure.Inch / 10 * size / body.size
		}
		for _, l := range t.breakLines(s, p.words, room.W-p.indent) {
			if t.advance(s, l) > room.W-p.indent { // a word wider than the room
				return false
			}
			rows = append(rows, row{s, room.X + p.indent, y, l})
			y += s.line()
		}
	}
	if y > room.Bottom() {
		return false
	}
	for _, r := range rows {
		t.text(r.x, r.y+r.style.size, r.style, r.text)
	}
	return true
}

// measures are the four distances to take, and what they should be.
func (t *testPage) measures() [4]struct {
	name, from, to string
	is             measure.Length
} {
	return [...]struct {
		name, from, to string
		is             measure.Length
	}{
		{"A", "left edge", "crosses on the left", t.at.Left}, {"B", "left edge", "crosses on the right", t.at.Right},
		{"C", "upper edge", "upper crosses", t.at.Top}, {"D", "upper edge", "lower crosses", t.at.Bottom},
	}
}

// enter is the command that says what to enter.
func (t *testPage) enter() string {
	return "tuckmark testpage --printer " + quoteArg(t.printer.Name) + " --measured \"A; B; C; D\""
}

// fewSteps are the steps of a small page.
func (t *testPage) fewSteps() []step {
	out := []step{{words: "Test page of “" + t.printer.Name + "”"}, {words: "At actual size, upper edge first. From the paper's edge measure:"}}
	for _, m := range t.measures() {
		out = append(out, step{words: m.name + " " + m.from + " to " + m.to + ": " + m.is.About(t.settings.Unit.Ruler())})
	}
	return append(out, step{words: "If one is off:", gap: true}, step{words: t.enter()})
}

// steps are all steps.
func (t *testPage) steps() []step {
	u := t.settings.Unit
	about := func(l measure.Length) string { return l.About(u.Ruler()) }
	const in = measure.Inch / 5
	var out []step
	say := func(indent measure.Length, words string) { out = append(out, step{words: words, indent: indent}) }
	next := func(words string) { out = append(out, step{words: words, gap: true}) }
	say(0, "Test page of the printer “"+t.printer.Name+"”")
	say(0, "Print it on plain paper of "+exact(t.size, u)+", upper edge first, at actual size (100 %), never “fit to page”.")
	next("1. Measure with a good rule, from the edges of the paper:")
	for _, m := range t.measures() {
		say(in, m.name+": from the "+m.from+" to the "+m.to+". It should be "+about(m.is)+"; it is  .............")
	}
	next("2. If all four are as they should be, there is nothing to do. If not, this tells what to enter:")
	say(in, t.enter())
	say(0, "with your four measures for the letters. By hand it is, in "+unitName(u)+":")
	for _, f := range [][2]string{t.formula("x", "A", "B", t.at.Left, t.at.Right, t.printer.Shift.X, t.printer.Scale[0]),
		t.formula("y", "C", "D", t.at.Top, t.at.Bottom, t.printer.Shift.Y, t.printer.Scale[1])} {
		say(in, f[0])
		say(in, f[1])
	}
	next("3. Enter both under “printers” in tuckmark.yaml:")
	for i, l := range strings.Split(correctionYAML(t.printer.Name, "...", "...", "...", "..."), "\n") {
		say(in+[...]measure.Length{0, 1, 2, 2}[i]*measure.Inch/8, strings.TrimSpace(l))
	}
	next("4. Print the test page again: now the crosses are where they should be.")
	m := t.printer.Margins
	next(fmt.Sprintf("The frame stands where the margins of this printer end: left %s, top %s, right %s, bottom %s. If a side of it is missing, the printer "+
		"cannot print that far: read off the rulers, which begin at the edges of the paper, where the print begins, and enter that as “margins”.",
		about(m.Left), about(m.Top), about(m.Right), about(m.Bottom)))
	next(t.printedCorrection())
	return out
}

// TestSteps are the steps of a printer's test page as lines of text, for where the page has no room for all of them.
func TestSteps(p config.Printer, s *config.Settings) []string {
	size, at := TestPiece(p, s)
	t := testPage{pageWriter: &pageWriter{size: size}, printer: p, settings: s, at: at}
	var out []string
	for _, step := range t.steps()[1:] {
		out = append(out, strings.Repeat("  ", int(step.indent/(measure.Inch/8)))+step.words)
	}
	return out
}

// formula is correct in words, its constants worked out: the scale, and the shift.
func (t *testPage) formula(axis, m, n string, near, far, shift measure.Length, scale float64) [2]string {
	if scale == 0 {
		scale = 1
	}
	one := float64(t.settings.Unit.Ruler().Length())
	number := func(l float64) string { return strconv.FormatFloat(math.Round(l/one*1e4)/1e4, 'f', -1, 64) }
	return [2]string{fmt.Sprintf("scale %s = %s : (%s - %s)", axis, number(scale*float64(far-near)), n, m),
		fmt.Sprintf("shift %s = %s - (%s times scale %s)", axis, number(float64(shift)+scale*float64(near)), m, axis)}
}

// printedCorrection says what correction the page was printed with.
func (t *testPage) printedCorrection() string {
	p, u := t.printer, t.settings.Unit.Ruler()
	if p.Shift == (config.Offset{}) && (p.Scale == [2]float64{1, 1} || p.Scale == [2]float64{}) {
		return "This page was printed without a correction."
	}
	return fmt.Sprintf("This page was printed with the correction so far: shift %s and %s, scale %s and %s (x and y). The new one takes its place.",
		p.Shift.X.Format(u), p.Shift.Y.Format(u), factor(p.Scale[0]), factor(p.Scale[1]))
}

// correctionYAML is what to write into tuckmark.yaml for a printer's correction.
func correctionYAML(printer, shiftX, shiftY, scaleX, scaleY string) string {
	if quoteArg(strings.ReplaceAll(printer, " ", "-")) != strings.ReplaceAll(printer, " ", "-") { // YAML reads much into signs
		printer = strconv.Quote(printer)
	}
	return fmt.Sprintf("printers:\n  - name: %s\n    shift: {x: %s, y: %s}\n    scale: {x: %s, y: %s}", printer, shiftX, shiftY, scaleX, scaleY)
}

// factor is a scale as the configuration takes it.
func factor(f float64) string { return strconv.FormatFloat(f, 'f', -1, 64) }

func unitName(u measure.Unit) string {
	if u.Metric() {
		return "millimetres"
	}
	return "inches"
}

// quoteArg is a name as a shell takes it.
func quoteArg(name string) string {
	if strings.ContainsFunc(name, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.", r))
	}) {
		return `"` + name + `"`
	}
	return name
}
