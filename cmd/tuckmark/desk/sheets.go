package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
)

// sheetsView is every piece as it will be printed and cut, with what can be pressed.
type sheetsView struct {
	frame
	Pieces piecesView
}

type piecesView struct {
	Laid    bool
	Version string
	Counts  string    // what the job comes to
	Other   string    // what the other way to cut would give
	Mend    int       // rows that cannot be set yet
	Out     []outView // blocks without a place
	Lacking []string  // sheets that would have to be there
	Told    []string  // what could not be kept where it lay
	Held    []rowView
	Kept    []string
	Pressed []press
	Tried   *triedView
	Stocks  []stockSheets
}

// rowView is a row by its code.
type rowView struct{ ID, Code, Name string }

// outView is blocks that found no place for the same reason, and what would help.
type outView struct {
	Found []finding
	Rows  []rowView
}

// stockSheets are the pieces of a stock.
type stockSheets struct {
	Name, Facts string
	Ways        []way
	Holds       string // the narrower strip that a sheet would be saved with; "": none
	List        []pieceView
}

type pieceView struct {
	Number        int
	Title         string
	Picture       string
	Width, Height int64
	Blocks        []spotOnPiece
	Facts         string
}

// spotOnPiece is a block on the drawing of a piece: its place in ten-thousandths of the piece's sides.
type spotOnPiece struct {
	Number     int
	ID, Code   string
	Copy       string // ", copy 2"; "": there is one
	X, Y, W, H int64
	Kept, Hot  bool // it stays; it is what is tried
}

// triedView compares what is tried with what there is.
type triedView struct {
	Number int
	Says   string
	Rows   [][3]string // what, before, after
	Over   bool        // the job was changed since
	Found  []finding   // against it
}

func (j *openJob) pieces() (v piecesView) {
	n := j.layer.latest.Load()
	if n == nil || n.job.Plan == nil {
		return v
	}
	rows := j.book.Rows(jobbook.Journaling)
	v.Laid, v.Version = true, n.version()
	v.Counts, v.Other = n.counts(), n.otherWay()
	v.Pressed = j.standing(rowsByID(rows))
	shown, version, hot := n, n.version(), ""
	if t := j.trying.current(); t != nil {
		v.Tried = t.view(n)
		if !v.Tried.Over {
			shown, version, hot = t.after, t.version(), t.code
		}
	}
	a := j.layer.advised.Load()
	if a != nil && (a.of != n || n.revision != j.book.Revision()) { // it is advice on sheets that are being laid anew
		a = nil
	}
	v.rest(rows, n, a)
	v.Stocks = stocksOnSheets(shown, version, hot)
	if a != nil && v.Tried == nil {
		for i := range v.Stocks {
			v.Stocks[i].advise(a)
		}
	}
	return v
}

// rest is what lies on no sheet, and what is kept or held.
func (v *piecesView) rest(rows []jobbook.Row, n *laid, a *advised) {
	for _, r := range rows {
		row := n.rows[r.ID]
		if row == nil {
			continue
		}
		is := rowView{r.ID, row.code, ownerOf(r, n)}
		switch {
		case row.wish:
			v.Held = append(v.Held, is)
		case row.withoutPlace():
			v.out(is, row.problems)
		case row.toMend():
			v.Mend++
		}
		for _, p := range row.problems {
			if n.job.Input.As(p.Place) == "Kept" {
				v.Told = append(v.Told, sentenceOf(p))
			}
		}
	}
	for _, p := range n.job.Plan.Pieces {
		for _, leaf := range p.Blocks() {
			if code := leaf.Block.Code; leaf.Block.Kept > 0 && !slices.Contains(v.Kept, code) {
				v.Kept = append(v.Kept, code)
			}
		}
	}
	if a != nil {
		for _, s := range a.short {
			if s.Sheets > 0 {
				v.Lacking = append(v.Lacking, s.Words()+" of "+s.Stock+" would do for "+problem.And(s.Codes))
			}
		}
	}
}

// out adds a block that found no place.
func (v *piecesView) out(is rowView, problems problem.List) {
	var found []finding
	for _, p := range problems {
		if p.Severity == problem.Error {
			f := findingOf(p)
			f.Place = "" // of others, too
			found = append(found, f)
		}
	}
	at := slices.IndexFunc(v.Out, func(o outView) bool { return slices.Equal(o.Found, found) })
	if at < 0 {
		at = len(v.Out)
		v.Out = append(v.Out, outView{Found: found})
	}
	v.Out[at].Rows = append(v.Out[at].Rows, is)
}

// sentenceOf is a problem in one line without its place.
func sentenceOf(p problem.Problem) string {
	p.Place = problem.Place{}
	return sentence(p)
}

// stocksOnSheets are the pieces of a layout by their stocks. Hot is the code of a block to be seen.
func stocksOnSheets(n *laid, version, hot string) (out []stockSheets) {
	unit := n.job.Settings.Unit
	for i, p := range n.job.Plan.Pieces {
		if len(out) == 0 || out[len(out)-1].Name != p.Stock {
			out = append(out, stockSheets{Name: p.Stock, Facts: n.factsOf(p.Stock)})
		}
		size := p.Size()
		one := pieceView{Number: i, Title: problem.Capital(p.Title(unit)), Width: pixels(size.W) / 2, Height: pixels(size.H) / 2,
			Picture: "/piece/" + strconv.Itoa(i) + "." + version + ".svg"}
		for k, leaf := range p.Blocks() {
			b, r := leaf.Block, leaf.Rect
			share := func(l, of measure.Length) int64 { return int64(l * 10_000 / of) }
			spot := spotOnPiece{Number: k, ID: n.ids[b.Code], Code: b.Code, Kept: b.Kept > 0, Hot: b.Code == hot,
				X: share(r.X, size.W), Y: share(r.Y, size.H), W: share(r.W, size.W), H: share(r.H, size.H)}
			if b.Copies > 1 {
				spot.Copy = ", copy " + strconv.Itoa(b.Copy)
			}
			one.Blocks = append(one.Blocks, spot)
		}
		facts := []string{problem.Count(p.Whole.CutCount(), "cut")}
		if n.job.Settings.Trimmer.Scissors {
			facts[0] = problem.Count(len(p.Blocks()), "block to cut out|blocks to cut out")
		}
		for leaf := range p.Whole.Leaves {
			if leaf.Keep {
				facts = append(facts, "keep "+leaf.Rect.Size().Down(unit))
			}
		}
		one.Facts = strings.Join(facts, " · ")
		s := &out[len(out)-1]
		s.List = append(s.List, one)
	}
	return out
}

// factsOf says what a stock's blocks take.
func (n *laid) factsOf(stock string) string {
	for _, u := range n.job.Plan.Stocks {
		if u.Stock != stock {
			continue
		}
		facts := []string{problem.Count(u.NewSheets, "new sheet")}
		if u.Bound > 0 && u.NewSheets > u.Bound {
			facts = append(facts, fmt.Sprintf("no layout takes fewer than %d", u.Bound))
		} else if u.Bound > 0 {
			facts = append(facts, "no layout takes fewer")
		}
		facts = append(facts, fmt.Sprintf("%.0f%% full", u.Filled*100))
		if u.Cents > 0 {
			facts = append(facts, n.job.Settings.Amount(u.Cents))
		}
		return strings.Join(facts, " · ")
	}
	return ""
}

// advise gives a stock what would save one of its sheets.
func (s *stockSheets) advise(a *advised) {
	for _, w := range a.ways {
		if w.stock == s.Name {
			s.Ways = append(s.Ways, w)
		}
	}
	if l := a.holds[s.Name]; l > 0 {
		s.Holds = l.About(a.of.job.Settings.Unit)
	}
}

// counts says what a layout comes to.
func (n *laid) counts() string {
	t := n.sum()
	said := []string{problem.Count(t.Sheets, "new sheet"), problem.Count(t.Pieces, "piece to print|pieces to print"), toCut(t)}
	if t.Cents > 0 {
		said = append(said, n.job.Settings.Amount(t.Cents)+" for paper")
	}
	return problem.And(said)
}

// toCut says how much there is to cut.
func toCut(t tally) string {
	said := problem.Count(t.Cuts, "cut")
	if t.Scissors {
		said = problem.Count(t.Blocks, "block to cut out|blocks to cut out")
		if t.Cuts > 0 {
			said += " and " + problem.Count(t.Cuts, "cut") + " before printing"
		}
	}
	if t.Strokes != t.Cuts {
		said += " in " + problem.Count(t.Strokes, "stroke")
	}
	return said
}

// otherWay says what finding the cuts the other way would give; "": it is not known, or the same.
func (n *laid) otherWay() string {
	now, other := n.job.Plan.Trimming(), n.job.Plan.Other
	if other == (plan.Trimming{}) || other == now {
		return ""
	}
	to := waysToCut[1][1]
	if n.job.Settings.Trimmer.Measure {
		to = waysToCut[0][1]
	}
	return fmt.Sprintf("The pieces take %s. With “%s” chosen under Paper they would take %s.", howFound(now), to, howFound(other))
}

// howFound says how many cuts there are, and what they are found by.
func howFound(t plan.Trimming) string {
	marked := t.Cuts - t.Unmarked
	said := problem.Count(t.Cuts, "cut")
	switch {
	case t.Unmarked == 0:
		return said + ", along a printed mark"
	case marked == 0:
		return said + ", set by the measure"
	}
	return fmt.Sprintf("%s, %d along a printed mark and %d set by the measure", said, marked, t.Unmarked)
}

// view compares what is tried with the job as it is laid now.
func (t *tried) view(now *laid) *triedView {
	v := &triedView{Number: t.number, Says: t.says, Over: now.revision != t.before.revision}
	a, b := t.before.sum(), t.after.sum()
	settings := t.after.job.Settings
	count := func(what string, before, after int) {
		v.Rows = append(v.Rows, [3]string{what, strconv.Itoa(before), strconv.Itoa(after)})
	}
	count("New sheets", a.Sheets, b.Sheets)
	count("Pieces to print", a.Pieces, b.Pieces)
	count("Cuts", a.Cuts, b.Cuts)
	if a.Strokes != a.Cuts || b.Strokes != b.Cuts {
		count("Strokes", a.Strokes, b.Strokes)
	}
	if a.Cents > 0 || b.Cents > 0 {
		v.Rows = append(v.Rows, [3]string{"For paper", settings.Amount(a.Cents), settings.Amount(b.Cents)})
	}
	if a.Out > 0 || b.Out > 0 {
		count("Blocks without a place", a.Out, b.Out)
	}
	for _, p := range t.after.rows[t.after.ids[t.code]].problems {
		if p.Severity == problem.Error || p.Kind != problem.Advice && t.after.job.Input.As(p.Place) == "Kept" {
			v.Found = append(v.Found, findingOf(p))
		}
	}
	return v
}

func (s *server) sheetsPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	v := &sheetsView{s.frame(j, "/sheets", "/sheets.js"), j.pieces()}
	page(w, "sheets", v)
}

func (s *server) sheetsPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "pieces", j.pieces())
}

// handView is a block that was pressed on its piece, or that has no place.
type handView struct {
	rowView
	Facts   string
	Stock   string
	Stocks  []string
	Space   string // of a row that has its measures in one cell
	Width   string
	Height  string
	Turn    bool
	Was     string // the cells that can be tried, as they stand in the row, as JSON
	Person  string // key
	Placed  bool   // it lies on a piece
	Kept    bool
	Version string
	Piece   int
	Block   int
}

// handPart is what can be done with a block: /part/hand?id=ID, and &piece=N&block=N where it lies on a piece.
func (s *server) handPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	n := j.layer.latest.Load()
	row, there := rowsByID(j.book.Rows(jobbook.Journaling))[q.Get("id")]
	if n == nil || !there || n.rows[row.ID] == nil || n.rows[row.ID].block == nil {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	b := n.rows[row.ID].block
	v := handView{rowView: rowView{row.ID, n.rows[row.ID].code, ownerOf(row, n)}, Stock: b.Stock, Space: row.Cells["Space"], Width: row.Cells["Width"], Height: row.Cells["Height"],
		Turn: b.Turn, Person: personKey(ownerOf(row, n)), Version: n.version()}
	was, _ := json.Marshal(triedOf(row)) // of texts
	v.Was, v.Facts = string(was), b.Space.About(b.Unit)+" on "+b.Stock
	for _, t := range n.job.Settings.Stocks {
		v.Stocks = append(v.Stocks, t.Name)
	}
	piece, err := strconv.Atoi(q.Get("piece"))
	block, err2 := strconv.Atoi(q.Get("block"))
	if err == nil && err2 == nil {
		if on := n.blockOn(piece, block); on != nil && on.Block.Code == v.Code {
			v.Placed, v.Piece, v.Block, v.Kept = true, piece, block, on.Block.Kept > 0
			v.Facts += " · " + n.job.Plan.Pieces[piece].Title(n.job.Settings.Unit)
		}
	}
	page(w, "hand", v)
}
