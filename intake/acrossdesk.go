package intake

import (
	"fmt"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// The headings of a desk's workbook say the desk's unit, whoever typed its rows: a file without units that is taken in beside rows in another unit is read in the
// desk's without a word, and so were rows of the desk beside which a file in another unit comes later.

// ofDesk is what a desk's sheet says of its unit.
type ofDesk struct {
	*Sheet
	most  measure.Unit // which most of its measures are in
	bares bool         // some are a number alone, which is in the unit of the headings
}

// inUnits counts the measures of a desk's sheet; ok is false where it has none.
func (s *Sheet) inUnits() (d ofDesk, ok bool) {
	d = ofDesk{Sheet: s}
	cells := map[measure.Unit]int{}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		e := &entry{sheet: s, row: &s.Rows[i]}
		beside, _ := e.unitCell()
		for side, col := range e.sides() {
			if u, ok := measure.ParseUnit(namedUnit(side)); ok {
				cells[u]++
			} else if unsaid(side) && beside == nil && !strings.HasSuffix(side.Text, unitAsked) { // else it is asked about
				cells[e.unit(col)]++
				d.bares = true
			}
		}
	}
	most := 0
	d.most, most = mostOf(cells)
	return d, most > 0
}

// tellDesks notes where tables and a desk's sheets are in several units and one side says none: once for the tables, once for the desk. Told is whether that was said of the
// tables already. A desk's workbook by itself says what it is in.
func (a *across) tellDesks(told bool) (found problem.List) {
	if len(a.said)+len(a.bare) == 0 {
		return nil
	}
	var desks []ofDesk
	for _, s := range a.desks {
		if d, ok := s.inUnits(); ok {
			desks = append(desks, d)
		}
	}
	// A list of paper is held against the desk's, where that has measures, and journaling likewise.
	first := func(s *Sheet, differs func(d *ofDesk) bool) *ofDesk {
		var other *ofDesk
		for i := range desks {
			switch d := &desks[i]; {
			case d.File == s.File:
			case (d.use == paper) == (s.use == paper):
				if differs(d) {
					return d
				}
				return nil
			case other == nil && differs(d):
				other = d
			}
		}
		return other
	}
	for i, s := range a.bare {
		if told {
			break
		}
		d := first(s, func(d *ofDesk) bool { return d.most != s.unit })
		if told = d != nil; !told {
			continue
		}
		s.noteBare(&found, d.Sheet, d.most, len(a.bare)-i-1)
		found.OnPage(fmt.Sprintf("if it is in %s, undo the step, name the unit in the headings, like Width (%s), and take it in again", d.most, d.most))
	}
	for _, s := range a.said {
		u := a.unit[s]
		if d := first(s, func(d *ofDesk) bool { return d.bares && d.most == d.unit && d.unit != u }); d != nil {
			found.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("the measures here are in %s, though %s has some without a unit, which are read in %s", u, whence(d.Sheet), d.unit), "nothing there says in what it was measured",
				fmt.Sprintf("if those rows are in %s as well, type the unit beside their measures, like 8 %s", u, u))
			break
		}
	}
	return found
}
