package intake

import (
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Measures whose column nobody knew are held against each other, and against those of the job, once it is said what they are, as they would have been below the right heading. That
// needs no block.

// AnsweredUnits is what there is to say of the units of tables that were answered: of each by itself, and of all beside each other and a desk's sheets.
type AnsweredUnits struct {
	Of     []AnsweredTable
	Across problem.List
}

// AnsweredTable is what there is to say of the units of one table.
type AnsweredTable struct {
	Open  map[string]bool // the form's columns in which it cannot be told in what a bare number is
	Notes problem.List
}

// UnitsAnswered looks at the units of tables whose headings are those of the form, beside a desk's; a number alone is in the unit.
func UnitsAnswered(tables, desks []*table.Sheet, unit measure.Unit) (out AnsweredUnits) {
	var all across
	read := func(t *table.Sheet) *Sheet {
		s := newSheet(t, nil)
		if s.use = s.classify(); s.use != nothing {
			s.reportColumns(unit)
			if s.use == journaling || s.Desk {
				all.add(s)
			}
		}
		return s
	}
	for _, t := range tables {
		s, of := read(t), AnsweredTable{Open: map[string]bool{}}
		for i := range s.Columns {
			if c := &s.Columns[i]; c.ofSpace() && c.unitOpen != "" {
				of.Open[c.as.String()] = true
			}
		}
		for _, p := range s.problems {
			if strings.HasPrefix(p.What, readBare) {
				of.Notes = append(of.Notes, p)
			}
		}
		out.Of = append(out.Of, of)
	}
	for _, t := range desks {
		read(t)
	}
	all.tell(&out.Across)
	out.Across = append(out.Across, all.tellDesks(len(out.Across) > 0)...)
	return out
}

// readBare begins what is told of numbers without a unit.
const readBare = "a number without a unit is read in "

// NamesUnit reports a heading that says that a number alone is in a unit.
func NamesUnit(heading string, unit measure.Unit) bool {
	said := unitSaid(heading)
	return said.unit == unit.String() && !said.doubtful
}

// Bare reports a measure or a size that hangs on the unit in which a number alone is.
func Bare(text string) bool {
	c := &table.Cell{Text: text}
	return bare(c) && !namedSize(c)
}

// Asked is a measure of which it cannot be told in what it is.
func Asked(text string) string { return strings.TrimSpace(text) + unitAsked }

// WithHeading is what a row's cell below a heading says for below another, to be, that does not say the unit which this one says.
func WithHeading(to, heading string, row map[string]string) string {
	text, said, was := row[heading], unitSaid(heading), unitSaid(to)
	if said.unit == "" && !said.doubtful || said.unit == was.unit && said.doubtful == was.doubtful || !Bare(text) || KnownHeading(to) && !synonyms[plainLetters(to)].measured() {
		return text
	}
	as, other := to, measure.In
	if !synonyms[plainLetters(to)].measured() {
		as = asSpace.String()
	}
	if u, _ := measure.ParseUnit(said.unit); u == measure.In {
		other = measure.Cm // so that the unit is written
	}
	return TakenFor(as, heading, row, other)
}
