package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Amended is a row that was read again.
type Amended struct {
	Block    *Block // nil where the row is still held
	Held     Held   // then
	Problems problem.List
	Replaced []Replaced // what stood in the cells before, but for measures
}

// Replaced is what a cell said that now says something else.
type Replaced struct {
	Place problem.Place
	Text  string
}

// Amend reads a row again with another text or another space in it, as if somebody had typed them there; "" leaves what is there. Was
// is the row as it was read. The text may have markup; a bare number of the space is in the unit that its owner measures in; one measure alone is the one that
// the row lacks. What is typed stands in the row from then on, for who writes it down again (see Settle for cells that several blocks share), unless it is itself what is wrong:
// then the error says why, and the row is as it was.
func (j *Job) Amend(was *Block, text, space string, s *config.Settings) (*Amended, *problem.Problem) {
	sh, at := j.row(was.Place)
	if sh == nil {
		return nil, &problem.Problem{What: "the row is in no table that was read"}
	}
	row, stays := with(sh.Rows[at], j.own[was.Place]), with(sh.Rows[at], nil)
	set := was.Place.Block
	var own []table.Cell
	var typed []*Column
	type typing struct {
		as   meaning
		text string
	}
	var cells []typing
	var replaced []Replaced
	if text != "" {
		cells = append(cells, typing{asJournaling, text})
	}
	if space != "" {
		size, wrong := was.sized(space)
		if wrong != nil {
			return nil, wrong
		}
		unit := was.Unit
		if named, ok := measure.ParseUnit(namedUnit(&table.Cell{Text: space})); ok {
			unit = named
		}
		if sh.columnOf(asWidth, set) == nil || sh.columnOf(asHeight, set) == nil {
			plain := size.Format(unit)
			text, as := plain, asSpace
			for _, m := range []meaning{asHeight, asWidth, asSpace} { // a column of widths may hold whole sizes, too
				if col := sh.columnOf(m, set); col != nil {
					if as, text = m, plain; col.swaps(plain) { // who answers was asked for the width first
						text = size.Turn().Format(unit)
					}
				}
			}
			cells = append(cells, typing{as, text})
		} else {
			cells = append(cells, typing{asSpace, ""}, typing{asWidth, size.W.Format(unit)}, typing{asHeight, size.H.Format(unit)})
		}
	}
	if was.Owner != "" { // however the name was written
		cells = append(cells, typing{asName, was.Owner}, typing{asSurname, ""})
	}
	for _, c := range cells {
		col := sh.columnOf(c.as, set)
		if col == nil && c.as == asSpace && c.text != "" {
			return nil, &problem.Problem{What: "the table has no column for the width and the height", Hint: "give it one, headed Space, and type there " + c.text}
		}
		if col != nil {
			cell := table.Typed(col.Index, c.text, nil)
			if c.as == asJournaling && !sh.CSV {
				plain, runs := InCell(Runs(c.text))
				cell = table.Typed(col.Index, plain, runs)
			}
			if c.as != asName && c.as != asSurname {
				typed = append(typed, col)
				replaced = append(replaced, sh.replaced(&row, col, set, c.text)...)
			}
			put(&row, cell)
			switch {
			case c.as == asName || c.as == asSurname: // what the rows below take from above stays
			case set != 0 && col.set == 0:
				own = append(own, cell)
			default:
				put(&stays, cell)
			}
		}
	}
	b, problems := j.reread(sh, at, row, was.Place, s)
	for i := range problems {
		p := &problems[i]
		if p.Severity == problem.Error && slices.ContainsFunc(typed, func(c *Column) bool { return c.Heading == p.Place.Column }) {
			return nil, p
		}
	}
	sh.Rows[at] = stays
	j.keepOwn(was.Place, own)
	out := &Amended{Problems: problems, Replaced: replaced}
	if len(b.job.Blocks) > 0 {
		out.Block = &b.job.Blocks[0]
		out.Block.Owner, out.Block.Code = was.Owner, was.Code
	} else {
		out.Held = b.job.Held[0]
		out.Held.Owner, out.Held.Code = was.Owner, was.Code
		out.Held.Read.Owner, out.Held.Read.Code = was.Owner, was.Code
	}
	return out, nil
}

// replaced is what the cell of a column says, unless it is nothing, a measure, or the same as the text.
func (s *Sheet) replaced(r *table.Row, col *Column, set int, text string) []Replaced {
	c := r.At(col.Index)
	if c == nil || blank(c) || line(c.Text) == line(text) {
		return nil
	}
	_, err := measure.Parse(c.ExactText(), measure.In)
	if col.as == asSpace {
		_, err = measure.ParseSize(c.ExactText(), measure.In)
	}
	if col.as != asJournaling && err == nil {
		return nil
	}
	at := s.place(r, col)
	at.Block = set
	return []Replaced{{at, line(c.Text)}}
}

// row finds a row among the tables of the job: its sheet, and where in it.
func (j *Job) row(p problem.Place) (*Sheet, int) {
	for _, sh := range j.Sheets {
		if sh.File != p.File || sh.Name != p.Sheet {
			continue
		}
		if at, ok := slices.BinarySearchFunc(sh.Rows, p.Row, func(r table.Row, n int) int { return cmp.Compare(r.N, n) }); ok && at > sh.Head {
			return sh, at
		}
	}
	return nil, 0
}

// anew is a builder for one row of the job that is read again. What names of stocks and colours mean is looked up once for all of them.
func (j *Job) anew(s *config.Settings) *builder {
	if j.again != nil && j.again.settings == s {
		j.again = j.again.fresh()
		return j.again
	}
	j.again = newBuilder(s)
	for _, p := range j.Paper {
		j.again.stockSizes[p.Stock] = append(j.again.stockSizes[p.Stock], p.Size)
	}
	return j.again
}

// put types into a cell of the row.
func put(r *table.Row, c table.Cell) {
	at := slices.IndexFunc(r.Cells, func(o table.Cell) bool { return o.Col >= c.Col })
	switch {
	case at < 0:
		r.Cells = append(r.Cells, c)
	case r.Cells[at].Col == c.Col:
		r.Cells[at] = c
	default:
		r.Cells = slices.Insert(r.Cells, at, c)
	}
}

// sized reads a space that somebody gives for the block: both measures, or the one that it lacks.
func (b *Block) sized(text string) (measure.Size, *problem.Problem) {
	size, err := measure.ParseSize(text, b.Unit)
	if err == nil {
		return size, nil
	}
	side, bad := measure.Parse(text, b.Unit)
	switch {
	case bad != nil:
	case b.Space.W <= 0 && b.Space.H > 0:
		return measure.Size{W: side, H: b.Space.H}, nil
	case b.Space.H <= 0 && b.Space.W > 0:
		return measure.Size{W: b.Space.W, H: side}, nil
	}
	return size, &problem.Problem{What: fmt.Sprintf("%s is not a width and a height", measure.Quote(strings.TrimSpace(text))),
		Hint: "give both, like " + measure.Size{W: 4 * measure.Inch, H: 2 * measure.Inch}.Format(b.Unit)}
}
