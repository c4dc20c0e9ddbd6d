package desk

import (
	"fmt"
	"net/http"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// cuttingView is the page that stands beside the trimmer.
type cuttingView struct {
	frame
	Made bool
}

// cutsView is every cut of what was printed, in the order in which they are made. Lengths are thousandths of an inch.
type cutsView struct {
	PDF    string     `json:"pdf"` // tells PDFs apart, so that cuts done are those of this one
	Pieces []cutPiece `json:"pieces"`
}

// cutPiece is a piece, or sheets that are cut alike before printing.
type cutPiece struct {
	Key    string    `json:"key"`
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
	Part  cutBox `json:"part"`
	At    int64  `json:"at"`   // of the piece, from its left or upper edge
	Down  bool   `json:"down"` // the cut runs from top to bottom
	Far   bool   `json:"far"`  // the right or lower edge lies against the fence
	Edge  string `json:"edge"` // "Left edge against the fence"
	Set   string `json:"set"`  // what the trimmer is set to
	Skip  bool   `json:"skip"`
	Line  string `json:"line"`  // where the cut goes
	Fence string `json:"fence"` // what lies against the fence
	Other string `json:"other"` // what lies on the other side
}

func thousandths(l measure.Length) int64 { return int64(l * 1000 / measure.Inch) }

func boxOf(r measure.Rect) cutBox {
	return cutBox{thousandths(r.X), thousandths(r.Y), thousandths(r.W), thousandths(r.H)}
}

// cuts are those of an account: first what is cut before printing, then every piece.
func cuts(a *account.Account) (out []cutPiece) {
	unit := a.Settings.Unit
	for i := range a.Panels {
		p := &a.Panels[i]
		title := fmt.Sprintf("Before printing: %s of %s", problem.Count(p.Sheets, "sheet"), p.Stock)
		if p.Leftover {
			title = fmt.Sprintf("Before printing: %s of %s", problem.Count(p.Sheets, "leftover"), p.Stock)
		}
		one := cutPieceOf(p.Cutting, unit)
		one.Key, one.Title = fmt.Sprintf("before %d", i), title
		if p.Sheets > 1 {
			one.Note = "Cut alike: stack them if your trimmer allows."
		}
		out = append(out, one)
	}
	for i, p := range a.Pieces {
		one := cutPieceOf(p.Cutting, unit)
		one.Key, one.Title = fmt.Sprintf("piece %d", i), fmt.Sprintf("Page %d, %s", p.Page, p.Stock)
		if stock, _ := a.Settings.Stock(p.Stock); stock.Mirror {
			one.Note = "Printed mirrored: lay it with the printed side down."
		}
		out = append(out, one)
	}
	return out
}

func cutPieceOf(c *account.Cutting, unit measure.Unit) cutPiece {
	out := cutPiece{Leaves: []cutLeaf{}, Steps: []cutStep{}}
	for leaf := range c.Whole.Leaves {
		l := cutLeaf{cutBox: boxOf(leaf.Rect), Kind: "own", Says: saysOf(leaf)}
		switch {
		case leaf.Rest() && leaf.Keep:
			l.Kind = "keep"
		case leaf.Rest():
			l.Kind = "scrap"
		}
		out.Leaves = append(out.Leaves, l)
	}
	for i := range c.Steps {
		s := &c.Steps[i]
		step := cutStep{Part: boxOf(s.Of.Rect), At: thousandths(s.Of.Cut.At), Down: s.Of.Cut.Axis == plan.Down, Far: s.Far, Skip: s.Skip,
			Edge: problem.Capital(s.Edge()) + " against the fence", Set: s.Set.About(unit.Ruler()), Fence: inPart(s.Of.Near), Other: inPart(s.Of.Far)}
		if s.Far {
			step.Fence, step.Other = step.Other, step.Fence
		}
		switch {
		case s.Skip:
			step.Line = "Skip this cut: the part is to size but for a hair."
		case s.Measured():
			step.Line = "No mark shows it: cut by the measure."
		default:
			step.Line = "Cut along the printed mark, so that it stays on the waste."
		}
		out.Steps = append(out.Steps, step)
	}
	return out
}

// saysOf names a leaf: a block by its code, what is cut before printing by its place.
func saysOf(p *account.Part) string {
	if p.Block != nil {
		return p.Block.Code
	}
	return p.Describe()
}

// inPart names all that is in a part but scrap, or the scrap.
func inPart(p *account.Part) string {
	var names []string
	for leaf := range p.Leaves {
		if !leaf.Rest() || leaf.Keep {
			names = append(names, saysOf(leaf))
		}
	}
	if len(names) == 0 {
		return "scrap"
	}
	const most = 12
	if len(names) > most {
		names = append(names[:most-1], fmt.Sprintf("%d more", len(names)-most+1))
	}
	return problem.And(names)
}

func (s *server) cuttingPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	d, _, bad := j.made()
	page(w, "cutting", &cuttingView{s.frame(j, "/cutting", "/cutting.js"), bad == nil && d != nil})
}

// cutsPart is the data of the page.
func (s *server) cutsPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	d, fresh, bad := j.made()
	if bad != nil || d == nil {
		refuse(w, http.StatusNotFound, errNoFile)
		return
	}
	_, a, err := j.accounted(r.Context(), d, fresh)
	if err != nil || a == nil { // the job has changed since; the PDF knows its pieces
		a = account.Of(d.Plan, j.layer.settings.Load(), nil)
	}
	answer(w, cutsView{string(d.digest), cuts(a)})
}
