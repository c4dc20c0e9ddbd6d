package plan

import (
	"encoding/json"
	"errors"
	"fmt"
	"regexp"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Why a plan file is not read.
var (
	ErrNewer = errors.New("plan: a newer tuckmark wrote this file")
	ErrFile  = errors.New("plan: this is no plan file")
)

var fileBegins = regexp.MustCompile(`^\s*\{\s*"plan"\s*:\s*[0-9]+\s*,\s*"pieces"\s*:`)

// IsFile reports whether a file begins as WriteFile writes it.
func IsFile(data []byte) bool { return fileBegins.Match(data) }

// ReadFile reads what WriteFile wrote, as far as it is in the file: pieces with their cuts, marks and blocks. Of a block it
// has code, owner, place, copy and ink box, not its text and setting; it has no sheets, stocks and held rows; Precut says whether some were cut
// before printing. The error
// is ErrNewer, or wraps ErrFile.
func ReadFile(data []byte) (*Plan, error) {
	if isCrowded(data) {
		return nil, fmt.Errorf("%w: its lists are longer than those of a plan of that size", ErrFile)
	}
	var in struct {
		Plan    int         `json:"plan"`
		Pieces  []pieceRead `json:"pieces"`
		Precuts []struct{}  `json:"precuts"`
	}
	err := json.Unmarshal(data, &in)
	switch {
	case in.Plan > fileVersion:
		return nil, ErrNewer
	case errors.Is(err, ErrFile):
		return nil, err
	case err != nil:
		return nil, fmt.Errorf("%w: %v", ErrFile, err)
	case in.Plan < 1:
		return nil, ErrFile
	}
	out := &Plan{Precut: len(in.Precuts) > 0}
	names := map[string]bool{}
	for _, p := range in.Pieces {
		if names[p.Name()] {
			return nil, fmt.Errorf("%w: there are two pieces %s", ErrFile, p.Name())
		}
		names[p.Name()] = true
		out.Pieces = append(out.Pieces, p.Piece)
	}
	return out, nil
}

// leastElement is how many bytes an element of a list takes at least, over a whole plan as WriteFile writes it: those of real jobs take 110 to 170.
const leastElement = 64

// isCrowded reports whether the lists of a file have far more elements than WriteFile writes into so many bytes. An element that says nothing takes two
// bytes in the file, and hundreds once it is read.
func isCrowded(data []byte) bool {
	var in []byte // the brackets that are open
	quoted, elements := false, 0
	for i := 0; i < len(data); i++ {
		switch c := data[i]; {
		case c == '"':
			quoted = !quoted
		case quoted:
			if c == '\\' {
				i++
			}
		case c == '[' || c == '{':
			in = append(in, c)
		case c == ']' || c == '}':
			in = in[:max(len(in)-1, 0)]
		case c == ',' && len(in) > 0 && in[len(in)-1] == '[':
			elements++
		}
	}
	return elements > len(data)/leastElement
}

// pieceRead is a piece that is made as it is read, so that reading ends at the first that is none, and only one is held as the file has it.
type pieceRead struct{ *Piece }

func (p *pieceRead) UnmarshalJSON(data []byte) (err error) {
	var f pieceFile
	if err = json.Unmarshal(data, &f); err == nil {
		p.Piece, err = f.read()
	}
	return err
}

func (f *pieceFile) read() (*Piece, error) {
	if f.Page < 1 || f.Width <= 0 || f.Height <= 0 {
		return nil, fmt.Errorf("%w: a piece without page or size", ErrFile)
	}
	p := &Piece{Page: f.Page, Stock: f.Stock, Printer: f.Printer, Whole: &Part{Rect: measure.Rect{W: f.Width, H: f.Height}},
		Source: Source{Sheet: f.Source.Sheet, Leftover: f.Source.Kind == "leftover",
			Rect: f.Source.rect()}}
	if c := f.Carrier; c != nil {
		p.Carrier = &Carrier{Size: c.rect().Size(), X: c.X, Y: c.Y, Nth: c.Nth}
	}
	parts := map[string]*Part{p.Name(): p.Whole}
	marks := map[int][]Mark{} // by the number of the cut
	for _, m := range f.Marks {
		marks[m.Cut] = append(marks[m.Cut], Mark(m.lineFile))
	}
	numbers := map[int]bool{}
	for _, c := range f.Cuts {
		if numbers[c.N] {
			return nil, fmt.Errorf("%w: there are two cuts %d of %s", ErrFile, c.N, p.Name())
		}
		numbers[c.N] = true
		if err := c.readInto(parts, marks[c.N]); err != nil {
			return nil, err
		}
	}
	for _, r := range f.Leftovers {
		part, err := leafOf(parts, r.Name)
		if err != nil {
			return nil, err
		}
		part.Keep = r.Keep
	}
	for _, b := range f.Blocks {
		part, err := leafOf(parts, b.Leaf)
		if err != nil {
			return nil, err
		}
		part.Block = &Block{Copy: b.Copy, Turned: b.Turned, InkBox: b.Ink, Block: &intake.Block{Code: b.Code, Owner: b.Owner,
			Place: problem.Place{File: b.Place.File, Sheet: b.Place.Sheet, Row: b.Place.Row}}}
	}
	for _, o := range f.Outlines {
		part := parts[o.Leaf]
		if part == nil || part.Cut != nil {
			return nil, fmt.Errorf("%w: an outline of %q", ErrFile, o.Leaf)
		}
		part.Outline = append(part.Outline, Mark(o.lineFile))
	}
	return p, nil
}

// readInto makes a cut of the file, with its marks, in the part that it names.
func (c *cutFile) readInto(parts map[string]*Part, marks []Mark) error {
	part, err := leafOf(parts, c.Of)
	if err != nil {
		return err
	}
	near, far := part.Rect, part.Rect
	cut := &Cut{At: c.At, Marks: marks}
	switch c.Axis {
	case Down.word():
		near.W = c.At - near.X
		far.X, far.W = c.At, part.Rect.Right()-c.At
	case Across.word():
		cut.Axis = Across
		near.H = c.At - near.Y
		far.Y, far.H = c.At, part.Rect.Bottom()-c.At
	default:
		return fmt.Errorf("%w: a cut %q", ErrFile, c.Axis)
	}
	if near.Empty() || far.Empty() {
		return fmt.Errorf("%w: cut %d of %s misses it", ErrFile, c.N, c.Of)
	}
	cut.Near, cut.Far = &Part{Rect: near}, &Part{Rect: far}
	part.Cut = cut
	parts[c.Makes[0]], parts[c.Makes[1]] = cut.Near, cut.Far
	return nil
}

// leafOf is the part of that name, which is not yet cut.
func leafOf(parts map[string]*Part, name string) (*Part, error) {
	part := parts[name]
	if part == nil || part.Cut != nil || part.Block != nil {
		return nil, fmt.Errorf("%w: there is no part %q to cut or print", ErrFile, name)
	}
	return part, nil
}
