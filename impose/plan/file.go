package plan

import (
	"bufio"
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// The plan file is a promise to other readers. Parts have names in it, and nowhere else: a piece is "P" and its page, a sheet
// "S" and its number, the near part of a cut its name and ".1", the far part its name and ".2".

// The file's own version; a reader refuses a higher one.
const fileVersion = 1

type planFile struct {
	Plan    int          `json:"plan"`
	Pieces  []pieceFile  `json:"pieces"`
	Precuts []precutFile `json:"precuts"`
	Stocks  []stockFile  `json:"stocks"`
	Held    []heldFile   `json:"held"`
}

type pieceFile struct {
	Page      int            `json:"page"`
	Stock     string         `json:"stock"`
	Printer   string         `json:"printer"`
	Width     measure.Length `json:"width"`
	Height    measure.Length `json:"height"`
	Source    sourceFile     `json:"source"`
	Carrier   *carrierFile   `json:"carrier,omitempty"`
	Blocks    []blockFile    `json:"blocks"`
	Cuts      []cutFile      `json:"cuts"`
	Marks     []markFile     `json:"marks"`
	Outlines  []outlineFile  `json:"outlines,omitempty"`
	Labels    []labelFile    `json:"labels"`
	Leftovers []restFile     `json:"leftovers"`
}

type sourceFile struct {
	Kind  string `json:"kind"` // sheet, panel or leftover
	Sheet int    `json:"sheet"`
	boxFile
}

// boxFile is a rectangle, its size first.
type boxFile struct {
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
}

// carrierFile is the carrier of a piece, and where the piece lies on it.
type carrierFile struct {
	boxFile
	Nth int `json:"nth,omitempty"`
}

func boxOf(r measure.Rect) boxFile { return boxFile{r.W, r.H, r.X, r.Y} }

func (b boxFile) rect() measure.Rect { return measure.Rect{X: b.X, Y: b.Y, W: b.Width, H: b.Height} }

type blockFile struct {
	Code   string         `json:"code"`
	Owner  string         `json:"owner"`
	Place  placeFile      `json:"place"`
	Copy   int            `json:"copy"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	Turned bool           `json:"turned"`
	Ink    measure.Rect   `json:"ink"`
	Font   string         `json:"font"`
	Points float64        `json:"points"`
	Lines  int            `json:"lines"`
	Leaf   string         `json:"leaf"`
}

type placeFile struct {
	File  string `json:"file"`
	Sheet string `json:"sheet"`
	Row   int    `json:"row"`
}

type cutFile struct {
	N       int            `json:"n"`
	Of      string         `json:"of"`
	Axis    string         `json:"axis"`
	At      measure.Length `json:"at"`
	Makes   [2]string      `json:"makes"`
	Measure bool           `json:"measure"`
	Skip    bool           `json:"skip,omitempty"` // a hair, which nobody cuts off
}

type markFile struct {
	Cut int `json:"cut"`
	lineFile
}

// outlineFile is a hairline along an edge of a leaf, to cut that out with scissors.
type outlineFile struct {
	Leaf string `json:"leaf"`
	lineFile
}

// lineFile is a line of ink, as Mark is.
type lineFile struct {
	X1     measure.Length `json:"x1"`
	Y1     measure.Length `json:"y1"`
	X2     measure.Length `json:"x2"`
	Y2     measure.Length `json:"y2"`
	Weight measure.Length `json:"weight"`
}

type labelFile struct {
	Text string `json:"text"`
	measure.Rect
}

type restFile struct {
	Name string `json:"name"`
	measure.Rect
	Keep bool `json:"keep"`
}

type precutFile struct {
	Stock string         `json:"stock"`
	Sheet int            `json:"sheet"`
	N     int            `json:"n"`
	Of    string         `json:"of"`
	Axis  string         `json:"axis"`
	At    measure.Length `json:"at"`
	Makes [2]string      `json:"makes"`
	Skip  bool           `json:"skip,omitempty"`
}

type stockFile struct {
	Stock     string  `json:"stock"`
	NewSheets int     `json:"newSheets"`
	Bound     int     `json:"bound"`
	Filled    float64 `json:"filled"`
	Cost      string  `json:"cost"`
}

type heldFile struct {
	Place placeFile `json:"place"`
	Code  string    `json:"code"`
	Why   string    `json:"why"`
}

// Name is the piece's name: "P3" for page 3, "P3-2" for the second piece on the carrier of page 3.
func (p *Piece) Name() string {
	name := "P" + strconv.Itoa(p.Page)
	if c := p.Carrier; c != nil && c.Nth > 0 {
		name += "-" + strconv.Itoa(c.Nth+1)
	}
	return name
}

// PartName is the name of a part of the sheet: "S2.1".
func (s *Sheet) PartName(part *Part) (name string) {
	s.Whole.named(s.name(), func(p *Part, n string) {
		if p == part {
			name = n
		}
	})
	return name
}

func (s *Sheet) name() string { return "S" + strconv.Itoa(s.Number) }

// The names of the parts that a cut makes.
func (p *Part) makes(name string) [2]string { return [2]string{name + ".1", name + ".2"} }

// named visits a part called name and all parts of it, in the order of cutting, each with its name.
func (p *Part) named(name string, visit func(*Part, string)) {
	visit(p, name)
	if p.Cut != nil {
		makes := p.makes(name)
		p.Cut.Near.named(makes[0], visit)
		p.Cut.Far.named(makes[1], visit)
	}
}

func (a Axis) word() string { return [...]string{"down", "across"}[a] }

// WriteFile writes the plan as JSON, piece by piece, since it is many times as large as the plan. The error is w's.
func (p *Plan) WriteFile(w io.Writer) error {
	all := planFile{Plan: fileVersion, Pieces: []pieceFile{}, Precuts: p.precuts(), Stocks: []stockFile{}, Held: []heldFile{}}
	for _, u := range p.Stocks {
		all.Stocks = append(all.Stocks, stockFile{Stock: u.Stock, NewSheets: u.NewSheets, Bound: u.Bound, Filled: u.Filled,
			Cost: fmt.Sprintf("%d.%02d", u.Cents/100, u.Cents%100)})
	}
	for _, h := range p.Held {
		all.Held = append(all.Held, heldFile{Place: placeOf(h.Place), Code: h.Code, Why: h.Why})
	}
	frame, err := asJSON(all, "")
	before, after, _ := bytes.Cut(frame, []byte("[]")) // the first list is that of the pieces
	out := bufio.NewWriter(w)
	out.Write(before)
	out.WriteByte('[')
	for i, piece := range p.Pieces {
		if i > 0 {
			out.WriteByte(',')
		}
		out.WriteString("\n  ")
		one, wrong := asJSON(piece.file(), "  ")
		err = cmp.Or(err, wrong)
		out.Write(one)
	}
	if len(p.Pieces) > 0 {
		out.WriteString("\n ")
	}
	out.WriteByte(']')
	out.Write(after)
	out.WriteByte('\n')
	return cmp.Or(err, out.Flush())
}

// asJSON is a value as JSON, each of its lines but the first behind a prefix.
func asJSON(v any, prefix string) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent(prefix, " ")
	err := e.Encode(v)
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// precuts are the cuts of all sheets that are made before printing.
func (p *Plan) precuts() []precutFile {
	out := []precutFile{}
	for _, s := range p.Sheets {
		n := 0
		s.Whole.named(s.name(), func(q *Part, name string) {
			if q.Cut != nil {
				n++
				out = append(out, precutFile{Stock: s.Stock, Sheet: s.Number, N: n, Of: name, Axis: q.Cut.Axis.word(), At: q.Cut.At, Makes: q.makes(name), Skip: q.Hair() != nil})
			}
		})
	}
	return out
}

func placeOf(p problem.Place) placeFile { return placeFile{File: p.File, Sheet: p.Sheet, Row: p.Row} }

func (p *Piece) file() pieceFile {
	size := p.Size()
	out := pieceFile{Page: p.Page, Stock: p.Stock, Printer: p.Printer, Width: size.W, Height: size.H,
		Source: sourceFile{"sheet", p.Source.Sheet, boxOf(p.Source.Rect)},
		Blocks: []blockFile{}, Cuts: []cutFile{}, Marks: []markFile{}, Labels: []labelFile{}, Leftovers: []restFile{}}
	switch {
	case p.Source.Leftover:
		out.Source.Kind = "leftover"
	case p.Source.Panel != nil:
		out.Source.Kind = "panel"
	}
	if c := p.Carrier; c != nil {
		out.Carrier = &carrierFile{boxOf(c.Size.At(c.X, c.Y)), c.Nth}
	}
	for _, l := range p.Labels {
		out.Labels = append(out.Labels, labelFile{l.Text, l.Rect})
	}
	leaf := map[*Part]string{}
	p.Whole.named(p.Name(), func(q *Part, name string) {
		for _, m := range q.Outline {
			out.Outlines = append(out.Outlines, outlineFile{name, lineFile(m)})
		}
		switch {
		case q.Cut != nil:
			n := len(out.Cuts) + 1
			out.Cuts = append(out.Cuts, cutFile{N: n, Of: name, Axis: q.Cut.Axis.word(), At: q.Cut.At, Makes: q.makes(name), Measure: len(q.Cut.Marks) == 0, Skip: q.Hair() != nil})
			for _, m := range q.Cut.Marks {
				out.Marks = append(out.Marks, markFile{n, lineFile(m)})
			}
		case q.Rest():
			out.Leftovers = append(out.Leftovers, restFile{Name: name, Rect: q.Rect, Keep: q.Keep})
		default:
			leaf[q] = name
		}
	})
	for _, q := range p.Blocks() {
		b, r := q.Block, q.Rect
		out.Blocks = append(out.Blocks, blockFile{Code: b.Code, Owner: b.Owner, Place: placeOf(b.Place), Copy: b.Copy, X: r.X, Y: r.Y, Width: r.W, Height: r.H,
			Turned: b.Turned, Ink: b.InkBox, Font: b.Setting.Face, Points: b.Setting.Size.Points(), Lines: len(b.Setting.Lines), Leaf: leaf[q]})
	}
	return out
}
