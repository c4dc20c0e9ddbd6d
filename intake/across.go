package intake

import (
	"fmt"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// The tables of a job are measured by several people. Where one says its unit and another says none, the other is read in the usual unit, which may not be what was
// meant: that is told, and of a list of paper in the same file it is asked.

// saidUnit is the unit that a table says for its spaces, by a line, by headings, or by most of its cells, and whether some of its measures say none.
func (s *Sheet) saidUnit() (u measure.Unit, said, bares bool) {
	cells := map[measure.Unit]int{}
	headed := false // one heading's unit is that of all
	bareOnes := 0
	for i := range s.Columns {
		c := &s.Columns[i]
		switch {
		case c.Double || !c.ofSpace() || c.unitOpen != "":
			continue
		case c.Unit != "":
			cells[c.unit]++
			headed = true
			continue
		case s.stated != nil:
			cells[s.unit]++
			continue
		}
		for _, cell := range s.below(c) {
			if u, ok := measure.ParseUnit(namedUnit(cell)); ok {
				cells[u]++
			} else if unsaid(cell) {
				bareOnes++
			}
		}
	}
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == asUnit && !c.notRead() {
			bareOnes = 0 // each row says it, or is asked about
			for _, cell := range s.below(c) {
				if u, ok := aUnit(cell.Text); ok {
					cells[u]++
				}
			}
		}
	}
	u, most := mostOf(cells)
	return u, most > 0 && (headed || most >= bareOnes), bareOnes > 0 && !headed // else a few say it, beside many that do not
}

// mostOf is the unit that most cells are in, and how many these are.
func mostOf(cells map[measure.Unit]int) (u measure.Unit, most int) {
	for _, of := range []measure.Unit{measure.In, measure.Cm, measure.Mm} {
		if cells[of] > most {
			u, most = of, cells[of]
		}
	}
	return u, most
}

// unsaid reports a cell with a measure that names no unit; A4 needs none.
func unsaid(c *table.Cell) bool {
	return !blank(c) && bare(c) && !unicode.IsLetter([]rune(strings.TrimSpace(c.ExactText()))[0])
}

// across is what the tables of a job say of their units.
type across struct {
	said, bare []*Sheet
	unit       map[*Sheet]measure.Unit // of those that say it
	desks      []*Sheet                // of a desk's workbook, whose headings say it: see acrossdesk.go
}

// add takes a table whose headings were read. Bares is whether some of its measures say no unit; those of a desk's have headings that do.
func (a *across) add(s *Sheet) (bares bool) {
	if s.Desk {
		a.desks = append(a.desks, s)
		return false
	}
	u, said, bares := s.saidUnit()
	if said {
		if a.unit == nil {
			a.unit = map[*Sheet]measure.Unit{}
		}
		a.said, a.unit[s] = append(a.said, s), u
	}
	if bares {
		a.bare = append(a.bare, s)
	}
	return bares
}

// whence names a table among those of a job.
func whence(s *Sheet) string {
	if s.Name == "" {
		return measure.Quote(s.File)
	}
	return fmt.Sprintf("the sheet %s of %s", measure.Quote(s.Name), measure.Quote(s.File))
}

// openPaper leaves open the bare measures of a list of paper where journaling of the same file says another unit.
func (a *across) openPaper(s *Sheet) {
	for _, o := range a.said {
		u := a.unit[o]
		if o.File != s.File || o.use == paper || u == s.unit {
			continue
		}
		if s.stated == nil {
			s.leaveOpen(fmt.Sprintf("the journaling on the sheet %s is in %s", measure.Quote(o.Name), u))
		}
		return
	}
}

// tell notes tables whose bare measures are read in another unit than a table beside them says: each is told at the first of them.
func (a *across) tell(to *problem.List) {
	for i, s := range a.bare {
		for _, o := range a.said {
			if u := a.unit[o]; o != s && u != s.unit {
				s.noteBare(to, o, u, len(a.bare)-i-1)
				return
			}
		}
	}
}

// noteBare notes that the bare measures of a table are in another unit than another table is; more tables have such measures.
func (s *Sheet) noteBare(to *problem.List, other *Sheet, u measure.Unit, more int) {
	also := ""
	if more > 0 {
		also = fmt.Sprintf(", and so is what names none in %s more", problem.Count(more, "table"))
	}
	to.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf(readBare+"%s here, though %s is in %s%s", s.unit, whence(other), u, also), "nothing here says in what it is measured",
		fmt.Sprintf("if it is in %s, name it in the headings, like Width (%s)", u, u))
}

// otherSets looks for a side of a block without a unit where another block of the row has one that is not its own; tellOtherSets tells of all of a table.
func (e *entry) otherSets(side *table.Cell, col *Column) {
	if e.set == 0 || col.Unit != "" || e.sheet.Desk || !unsaid(side) {
		return
	}
	if c, _ := e.cell(asUnit); c != nil {
		return
	}
	s := e.sheet
	if s.unitsIn != e.row.N {
		s.unitsIn, s.unitsOf = e.row.N, e.unitsOfSets()
	}
	own := e.unit(col).String()
	for _, u := range s.unitsOf {
		if u.set != e.set && u.unit != own {
			s.otherUnit = u.unit
			s.otherSets = append(s.otherSets, table.Spot{Col: side.Col, Row: e.row.N})
			return
		}
	}
}

// unitOfSet is the unit that a block of a row says for its space.
type unitOfSet struct {
	set  int
	unit string
}

// unitsOfSets are those that the blocks of the row say, one of each unit and another, if there are more.
func (e *entry) unitsOfSets() (out []unitOfSet) {
	times := map[string]int{}
	for _, set := range e.sheet.sets {
		of := entry{builder: e.builder, sheet: e.sheet, row: e.row, set: set}
		named := ""
		for cell := range of.sides() {
			if named == "" {
				named = namedUnit(cell)
			}
		}
		if c, _ := of.cell(asUnit); c != nil && named == "" {
			if u, ok := aUnit(c.Text); ok {
				named = u.String()
			}
		}
		if named != "" && times[named] < 2 { // the block itself may be one
			times[named]++
			out = append(out, unitOfSet{set, named})
		}
	}
	return out
}

// tellOtherSets notes what otherSets has found in a table.
func (s *Sheet) tellOtherSets() {
	if len(s.otherSets) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("numbers without a unit are read in %s, though another block of the row is in %s: %s", s.unit, s.otherUnit, areas(s.otherSets)),
			"these blocks have no unit of their own", "type the unit beside each measure")
		s.otherSets = nil
	}
}
