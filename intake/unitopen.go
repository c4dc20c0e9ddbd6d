package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// In what a number without a unit is: that of a table, and of a row, and where neither can be told.

// findUnit finds what a bare number of the sheet is measured in: what the sheet states, else what a measure's heading does, else the configured unit.
func (s *Sheet) findUnit(configured measure.Unit) {
	s.unit = configured
	for i := range s.Columns {
		if c := &s.Columns[i]; !c.Double && c.Unit != "" && c.ofSpace() {
			s.unit = c.unit
			break
		}
	}
	if u, ok := s.statedUnit(); ok {
		s.unit = u
		// A heading may say otherwise for its own column; where all do, nothing is measured in what the line says.
		otherwise := func(c *Column) bool { return c.as.measured() && c.Unit != "" && c.unit != u }
		follows := slices.ContainsFunc(s.Columns, func(c Column) bool {
			return !c.Double && c.ofSpace() && !otherwise(&c)
		})
		first, _ := heightFirst(s.stated.Text)
		for i := range s.Columns {
			c := &s.Columns[i]
			c.heightFirst = c.heightFirst || c.as.measured() && first
			if c.unitOpen = ""; !follows && otherwise(c) {
				c.unitOpen = fmt.Sprintf("the heading says %s, and cell %s says %s", c.unit, table.Address(s.stated.Col, s.statedIn), measure.Quote(line(s.stated.Text)))
			}
		}
	} else if u, who := s.unitElsewhere(); who != "" && u != s.unit && !s.Desk {
		s.leaveOpen(fmt.Sprintf("%s says %s", who, u))
	} else if u, cell, ofAll := s.unitOfMost(); cell != "" && !s.Desk && !ofAll {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf(readBare+"%s here, though others are in %s, as in %s", s.unit, u, cell), "",
			"type the unit beside each measure, or name it in the headings, like Width ("+u.String()+")")
	} else if cell != "" && !s.Desk {
		for i := range s.Columns {
			if c := &s.Columns[i]; c.ofSpace() && c.Unit == "" && c.unitOpen == "" {
				c.unitOpen = fmt.Sprintf("most of the others are in %s, as in %s", u, cell)
			}
		}
	}
}

// leaveOpen leaves open what a bare number is in below the headings of measures that say nothing.
func (s *Sheet) leaveOpen(why string) {
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as.measured() && c.Unit == "" && c.unitOpen == "" {
			c.unitOpen = fmt.Sprintf("%s, and the heading %s says nothing", why, measure.Quote(c.Heading))
		}
	}
}

// noteUnasked tells of columns of measures that no heading says to be such: what a line above says of the unit goes no further than the columns that are known.
func (s *Sheet) noteUnasked(at problem.Place) {
	if s.stated == nil || s.Desk {
		return
	}
	var found []string
	for _, c := range s.unknownMeasures() {
		if unitSaid(c.Heading).unit == "" {
			found = append(found, measure.Quote(c.Heading))
		}
	}
	if len(found) > 0 {
		s.problems.Note(at, fmt.Sprintf("%s in row %d says in what all is measured, and that holds for no column that is not known: %s", measure.Quote(line(s.stated.Text)), s.statedIn, problem.And(found)), "",
			"if these are measures, name the unit in their headings, like Width ("+s.unit.String()+")")
	}
}

// namedSize reports a size that needs no unit: A4.
func namedSize(c *table.Cell) bool {
	text := strings.TrimSpace(c.ExactText())
	if len(text) > mostMeasure || text == "" || !unicode.IsLetter([]rune(text)[0]) {
		return false
	}
	one, err1 := measure.ParseSize(text, measure.In)
	two, err2 := measure.ParseSize(text, measure.Cm)
	return err1 == nil && err2 == nil && one == two
}

// unitOpen is why it cannot be told in what a bare number of a row is; "": it can.
func (e *entry) unitOpen(c *table.Cell, col *Column) string {
	if !bare(c) || namedSize(c) {
		return ""
	}
	said, of := e.unitCell()
	if !col.as.measured() {
		return col.unitOpen
	}
	if a := e.aboveIt(); a.stated != nil {
		if u, _ := e.sheet.namesUnit(a.stated.Text); u != e.unit(col) {
			return fmt.Sprintf("cell %s says %s, and further above it is %s", table.Address(a.stated.Col, a.statedIn), measure.Quote(line(a.stated.Text)), e.unit(col))
		}
	}
	if e.sheet.besideUnit != nil {
		return cmp.Or(e.unitBeside(c, col), col.unitOpen)
	}
	if u := e.aboveIt().lines[col.Index]; u != "" && u != e.unit(col).String() {
		return fmt.Sprintf("%s stands by itself further up in the column %s", u, measure.Quote(col.Heading))
	}
	if a := e.aboveIt(); a.unitRow != "" && a.unitRowIn < e.row.N && col.Unit == "" && a.unitRow != e.unit(col).String() && a.lines[col.Index] == "" {
		return fmt.Sprintf("%s stands by itself in row %d, in another column", a.unitRow, a.unitRowIn)
	}
	if said == nil {
		if of != nil && col.Unit == "" && (saysOfEmpty.MatchString(of.Heading) || !slices.Contains([]string{"", e.unit(col).String()}, unitSaid(of.Heading).unit)) {
			return fmt.Sprintf("%s says nothing in this row, and its heading says more than is understood", measure.Quote(of.Heading))
		}
		if above := e.unitAbove(); above != "" && col.Unit == "" && col.unitOpen == "" && above != e.unit(col).String() {
			return fmt.Sprintf("%s says nothing in this row, and %s further above", measure.Quote(of.Heading), above)
		}
		return col.unitOpen
	}
	what := fmt.Sprintf("the cell below %s says %s", measure.Quote(of.Heading), measure.Quote(line(said.Text)))
	switch u, ok := aUnit(said.Text); {
	case !ok:
		return what + ", which is no unit that is known"
	case col.Unit != "" && col.unit != u:
		return fmt.Sprintf("the heading %s says %s, and %s", measure.Quote(col.Heading), col.unit, what)
	}
	return ""
}

// unitBeside is why it cannot be told at a desk in what a bare number of a row is: somebody has typed another unit below Unit, or the desk has written one there
// for columns that it did not know, of which this is one.
func (e *entry) unitBeside(c *table.Cell, col *Column) string {
	of := e.sheet.besideUnit
	said := e.row.At(of.Index)
	if said == nil || blank(said) {
		return ""
	}
	text, ofOthers := strings.CutSuffix(said.Text, unitOfOthers)
	if ofOthers && !(col.told && col.Unit == "") {
		return ""
	}
	if u, ok := aUnit(text); !ok && !ofOthers || ok && withUnit(c.ExactText(), u, e.unit(col)) == bareMeasure(c.ExactText()) {
		return ""
	}
	return fmt.Sprintf("the cell below %s says %s, and in this job a number alone is in %s", measure.Quote(of.Heading), measure.Quote(line(text)), e.unit(col))
}
