package desk

import (
	"fmt"
	"net/http"
	"slices"
	"strings"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// cuttingView is the page that stands beside the trimmer.
type cuttingView struct {
	frame
	Made     bool
	Scissors bool // what was made is cut with scissors
}

// cutsView is every cut of what was printed, in the order in which they are made, and how far they are done. Lengths are thousandths of an inch.
type cutsView struct {
	Of     string     `json:"of"` // what they are the cuts of, as cutsOf says it
	Pieces []cutPiece `json:"pieces"`
	cutsDone
}

// cutPiece is what lies at the trimmer: a piece, some that are cut alike in a stack, or sheets that are cut before printing.
type cutPiece struct {
	Key    string    `json:"key"` // of its PDF and its place there, so that the cuts of another PDF are not taken for done
	Title  string    `json:"title"`
	Note   string    `json:"note,omitempty"`
	Leaves []cutLeaf `json:"leaves"`
	Steps  []cutStep `json:"steps"`
}

// cutLeaf is what comes off: a block with its code, a leftover or scrap.
type cutLeaf struct {
	cutBox
	Kind string `json:"kind"` // own (somebody's block), keep or scrap
	Says string `json:"says"`
}

type cutBox struct {
	X int64 `json:"x"`
	Y int64 `json:"y"`
	W int64 `json:"w"`
	H int64 `json:"h"`
}

// cutStep is a cut: the part in hand, where it is cut, and how it lies.
type cutStep struct {
	Part  cutBox  `json:"part"`
	At    int64   `json:"at"`            // of the piece, from its left or upper edge
	Down  bool    `json:"down"`          // the cut runs from top to bottom
	Far   bool    `json:"far"`           // the right or lower edge lies against the fence
	Out   *cutBox `json:"out,omitempty"` // without a trimmer: what is cut out of the part, which lies as the piece does
	Edge  string  `json:"edge"`          // "Left edge against the fence"
	Set   string  `json:"set"`           // what the trimmer is set to
	Skip  bool    `json:"skip"`
	Line  string  `json:"line"`  // what the cut goes by, in few words
	Why   string  `json:"why"`   // more of that
	Fence string  `json:"fence"` // what lies against the fence
	Other string  `json:"other"` // what lies on the other side
}

func thousandths(l measure.Length) int64 { return int64(l * 1000 / measure.Inch) }

func boxOf(r measure.Rect) cutBox {
	return cutBox{thousandths(r.X), thousandths(r.Y), thousandths(r.W), thousandths(r.H)}
}

// cuts are those of a PDF's account: first what is cut before printing, then every piece. What is cut alike is stacked as far as the trimmer takes
// it. Titles begin with the words.
func cuts(a *account.Account, of save.Digest, words string) (out []cutPiece) {
	unit, most := a.Settings.Unit, max(1, a.Settings.Trimmer.Stack)
	add := func(key, title string, notes []string, c *account.Cutting, says func(*account.Part) string) {
		one := cutPieceOf(c, unit, says)
		one.Key, one.Title, one.Note = string(of[:min(len(of), 12)])+" "+key, problem.Capital(words+title), strings.Join(notes, " ")
		out = append(out, one)
	}
	for i := range a.Panels {
		p := &a.Panels[i]
		sheets := "sheet"
		if p.Leftover {
			sheets = "leftover"
		}
		var notes []string
		switch {
		case p.Sheets > 1 && most > 1:
			notes = append(notes, fmt.Sprintf("Cut alike: up to %d in a stack.", most))
		case p.Sheets > 1:
			notes = append(notes, "Cut alike: make each cut on all of them before the next one.")
		}
		add(fmt.Sprintf("before %d", i), fmt.Sprintf("before printing, %s of %s", problem.Count(p.Sheets, sheets), p.Stock), notes, p.Cutting, (*account.Part).Describe)
	}
	for _, stack := range stacks(a, most) {
		top := stack[0]
		var pages []int
		for _, p := range stack {
			pages = append(pages, p.Page)
		}
		title, notes := printjob.PageWords(pages)+", "+top.Stock, []string(nil)
		if c := top.Carrier; c != nil && c.Nth > 0 {
			title += fmt.Sprintf(", piece %d", c.Nth+1)
		}
		if len(stack) > 1 {
			title += fmt.Sprintf(", a stack of %d", len(stack))
			notes = append(notes, fmt.Sprintf("Page %d on top, marks exactly over each other. A letter is a place, as in the sorting list.", top.Page))
		}
		if stock, _ := a.Settings.Stock(top.Stock); stock.Mirror {
			notes = append(notes, "Printed mirrored: lay it with the printed side down.")
		}
		add(fmt.Sprintf("%s %d", top.Name(), len(stack)), title, notes, top.Cutting, saysIn(stack))
	}
	if a.Plan.Precut && len(a.Panels) == 0 && len(out) > 0 {
		out[0].Note = strings.TrimSpace("The cuts before printing stand on the run sheet of the PDF. " + out[0].Note)
	}
	return out
}

// stacks are the pieces in their order, those that are cut alike together with the first of them, so many at most.
func stacks(a *account.Account, most int) (out [][]*account.Piece) {
	place := map[*account.Piece]int{}
	for i, p := range a.Pieces {
		place[p] = i
	}
	for _, g := range a.Groups {
		out = slices.AppendSeq(out, slices.Chunk(g.Pieces, most))
	}
	slices.SortFunc(out, func(a, b []*account.Piece) int { return place[a[0]] - place[b[0]] })
	return out
}

// saysIn names the leaves of a stack: a block by its code, or by its place where others lie under it.
func saysIn(stack []*account.Piece) func(*account.Part) string {
	return func(leaf *account.Part) string {
		if leaf.Block == nil {
			return leaf.Describe()
		}
		for _, p := range stack {
			if p.Spots[leaf.First-stack[0].Spots[0].First].Block.Code != leaf.Block.Code {
				return leaf.Describe()
			}
		}
		return leaf.Block.Code
	}
}

// cutPieceOf is what the cuts of a piece come to; its leaves are called as the function says.
func cutPieceOf(c *account.Cutting, unit measure.Unit, says func(*account.Part) string) cutPiece {
	out := cutPiece{Leaves: []cutLeaf{}, Steps: []cutStep{}}
	for leaf := range c.Whole.Leaves {
		l := cutLeaf{cutBox: boxOf(leaf.Rect), Kind: "own", Says: says(leaf)}
		switch {
		case leaf.Rest() && leaf.Keep:
			l.Kind = "keep"
		case leaf.Rest():
			l.Kind = "scrap"
		}
		out.Leaves = append(out.Leaves, l)
	}
	if c.Outlined {
		for _, q := range c.Out() {
			out.Steps = append(out.Steps, cutOutOf(c, q, unit, says))
		}
	}
	for i := range c.Steps {
		s := &c.Steps[i]
		step := cutStep{Part: boxOf(s.Of.Rect), At: thousandths(s.Of.Cut.At), Down: s.Of.Cut.Axis == plan.Down, Far: s.Far, Skip: s.Skip,
			Edge: problem.Capital(s.Edge()), Set: s.Set.About(unit.Ruler()), Fence: inPart(s.Of.Near, says), Other: inPart(s.Of.Far, says)}
		if s.Far {
			step.Fence, step.Other = step.Other, step.Fence
		}
		switch {
		case s.Skip:
			step.Line, step.Why = "Skip it", "The part is to size but for a hair."
		case s.Measured():
			step.Line, step.Why = "By the measure", "No mark shows this cut."
		default:
			step.Line, step.Why = "Along the mark", "The printed mark stays on the waste."
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// cutOutOf is a block, or what is kept, that is cut out of a piece with scissors.
func cutOutOf(c *account.Cutting, q *account.Part, unit measure.Unit, says func(*account.Part) string) cutStep {
	box := boxOf(q.Rect)
	step := cutStep{Part: boxOf(c.Whole.Rect), Down: true, Out: &box, Edge: says(q), Set: q.Rect.Size().About(unit.Ruler()), Line: "Along its outline",
		Why: "The printed line stays on the waste; where it stops short of the paper's edge, go straight on."}
	if len(q.Outline) == 0 {
		step.Line, step.Why = "No line is printed", ""
	}
	if told := c.Told(q, unit); told != "" {
		step.Why = strings.TrimSpace(step.Why + " " + problem.Capital(told) + ".")
	}
	return step
}

// inPart names all that is in a part but scrap, or the scrap.
func inPart(p *account.Part, says func(*account.Part) string) string {
	var names []string
	for leaf := range p.Leaves {
		if !leaf.Rest() || leaf.Keep {
			names = append(names, says(leaf))
		}
	}
	if len(names) == 0 {
		return "scrap"
	}
	return problem.And(problem.Few(names, 12))
}

func (s *server) cuttingPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	f := s.frame(j, "/cutting", "/cutting.js")
	d, _, bad := j.made()
	made := bad == nil && d != nil
	page(w, "cutting", &cuttingView{f, made, made && account.ByScissors(d.Plan, j.layer.settings.Load())})
}
