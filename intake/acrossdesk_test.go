package intake

import (
	"strings"
	"testing"

	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestUnitsAcrossDesk: a desk's workbook beside a table is in the unit of most of its cells, of which a number alone is in that of the heading; what is asked about there, and what
// says no unit on another sheet of that workbook, is nothing to tell of.
func TestUnitsAcrossDesk(t *testing.T) {
	sheet := func(name string, rows ...string) *table.Sheet {
		var cells [][]string
		for _, r := range rows {
			cells = append(cells, strings.Split(r, "|"))
		}
		s := table.New(cells)
		s.File, s.Name = "x-desk.xlsx", name
		s.Desk = name == "Journaling" || name == "Paper"
		return s
	}
	const heads, paper = "Name|Journaling|Width (in)|Height (in)|Unit", "Stock|Width (in)|Height (in)|Count"
	bare, cm := sheet("", "Name|Text|Width|Height", "Bob|In May|8|5"), sheet("", "Name|Text|Width (cm)|Height (cm)", "Bob|In May|8|5")
	bare.File, cm.File = "b.csv", "b.csv"
	for i, c := range []struct {
		desk   []*table.Sheet
		beside *table.Sheet
		want   string // "": nothing
	}{
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm", "Cy|In June|8 cm|5")}, bare, "in in here, though the sheet “Journaling” of “x-desk.xlsx” is in cm"},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm", "Cy|In June|8|5", "Di|In June|8|5")}, bare, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm", "Cy|In June|8|5", "Di|In June|8|5")}, cm, "though the sheet “Journaling” of “x-desk.xlsx” has some without a unit, which are read in in"},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm", "Cy|In June|8 cm|5")}, cm, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 ?|5 ?")}, cm, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8|5|cm")}, cm, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 in|5 in")}, cm, ""},
		{[]*table.Sheet{sheet("Journaling", heads), sheet("Paper", paper, "vellum|21 cm|29.7 cm|2")}, bare, "though the sheet “Paper” of “x-desk.xlsx” is in cm"},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8|5"), sheet("Paper", paper, "vellum|21 cm|29.7 cm|2")}, bare, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm"), sheet("Paper", paper, "vellum|8.5|11|2")}, nil, ""},
		{[]*table.Sheet{sheet("Journaling", heads, "Ann|In June|8 cm|5 cm"), sheet("Mine", "Name|Text|Width|Height", "Bob|In May|8|5")}, nil, ""},
	} {
		tables := []*table.File{{Name: "x-desk.xlsx", Path: "x-desk.xlsx", Sheets: c.desk}}
		if c.beside != nil {
			tables = append(tables, &table.File{Name: "b.csv", Path: "b.csv", Sheets: []*table.Sheet{c.beside}})
		}
		job, found := ReadTables(tables, intaketest.Home())
		said := intaketest.Say(found)
		if told := strings.Contains(said, "without a unit"); told != (c.want != "") || !strings.Contains(intaketest.Say(job.Units), c.want) || len(job.Units) > 1 || told != (len(job.Units) > 0) {
			t.Errorf("case %d: want %q, told %s", i, c.want, said)
		}
	}
}
