package intake

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// desk is a table of a desk's workbook: name, text, width, height, id, code.
func desk(isDesk bool, rows ...[]string) []*table.File {
	s := &table.Sheet{File: "x-desk.xlsx", Name: "Journaling", Desk: isDesk}
	for i, r := range append([][]string{{"Name", "Journaling", "Width", "Height", "Id", "Code"}}, rows...) {
		row := table.Row{N: i + 1}
		for col, text := range r {
			if text != "" {
				row.Cells = append(row.Cells, table.Typed(col, text, nil))
			}
		}
		s.Rows = append(s.Rows, row)
	}
	return []*table.File{{Path: "x-desk.xlsx", Name: "x-desk.xlsx", Desk: isDesk, Sheets: []*table.Sheet{s}}}
}

// A code that a row of a desk's workbook has stays with it; no other row is given it, and nobody else's begin like it.
func TestCodesStay(t *testing.T) {
	s := intaketest.Home()
	for _, c := range []struct{ names, codes, want string }{
		{"Mia Kowal|Mia Kowal|Mia Kowal", "||", "MK-1|MK-2|MK-3"},
		{"Mia Kowal|Mia Kowal|Mia Kowal", "|MK-1|", "MK-2|MK-1|MK-3"},
		{"Mia Kowal|Mia Kowal|Mia Kowal", "|MK-2|MK-1", "MK-3|MK-2|MK-1"},
		{"Max Kerr|Mia Kowal", "|MK-1", "MKE-1|MK-1"},                // MK is Mia's already, who comes later
		{"Mia Kowal|Mia Kowal", "MK-1|MK-1", "MK-1|MK-2"},            // a row that was copied
		{"Mia Kowal|Mia Kowal|Jo Lind", "JL-4||", "JL-4|JL-1|JLI-1"}, // whoever the row was before
		{"Mia Kowal|Mia Kowal", "no code|MK-0", "MK-1|MK-2"},         // somebody typed there
		{"Mia Kowal|Mia Kowal|Mia Kowal", "MK-900000|MK-3|", "MK-900000|MK-3|MK-1"},
	} {
		names, codes := strings.Split(c.names, "|"), strings.Split(c.codes, "|")
		var rows [][]string
		for i := range names {
			rows = append(rows, []string{names[i], "We rowed out.", "4", "2", "abcdefghi" + string(rune('a'+i)), codes[i]})
		}
		j, found := ReadTables(desk(true, rows...), s)
		var got []string
		for _, b := range j.Blocks {
			got = append(got, b.Code)
		}
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s with %s: %v, want %s; %v", c.names, c.codes, got, c.want, found)
		}
		for _, p := range found {
			if strings.Contains(p.What, "not read") {
				t.Errorf("%s: %s", c.names, p.What)
			}
		}
		// In anybody else's table they are columns like others.
		j, found = ReadTables(desk(false, rows...), s)
		if len(j.Blocks) != len(names) || j.Blocks[0].Code != "MK-1" && names[0] == "Mia Kowal" || !slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.What, "not read: “Id”, “Code”") }) {
			t.Errorf("%s, as nobody's: %v %v", c.names, j.Blocks, found)
		}
	}
}

// An empty row of a desk's workbook, which has an id, is nothing to tell of.
func TestEmptyDeskRow(t *testing.T) {
	j, found := ReadTables(desk(true, []string{"", "", "", "", "abcdefghij", ""}, []string{"Mia Kowal", "We rowed out.", "4", "2", "abcdefghik", ""}), intaketest.Home())
	if len(j.Blocks) != 1 || len(j.Held) != 0 || found.Errors() > 0 || slices.ContainsFunc(found, func(p problem.Problem) bool { return p.Place.Row == 2 || p.Place.Row == 0 }) {
		t.Errorf("%v %v", j.Held, found)
	}
}

// Bold and italic as markup are the same bold and italic again, wherever in a word they begin.
func TestMarkupAndBack(t *testing.T) {
	for _, c := range []struct {
		runs []table.Run
		want string
	}{
		{[]table.Run{{Text: "plain"}}, "plain"},
		{[]table.Run{{Text: "We "}, {Text: "rowed", Bold: true}, {Text: " out"}}, "We *rowed* out"},
		{[]table.Run{{Text: "We "}, {Text: "rowed ", Bold: true}, {Text: "out"}}, "We *rowed* out"},
		{[]table.Run{{Text: "un"}, {Text: "believ", Italic: true}, {Text: "able"}}, "un\u2060_believ_\u2060able"},
		{[]table.Run{{Text: "both", Bold: true, Italic: true}}, "_*both*_"},
		{[]table.Run{{Text: "one\ntwo", Bold: true}}, "*one*\n*two*"},
		{[]table.Run{{Text: "2*3 and *kept*"}}, `2\*3 and \*kept\*`},
		{[]table.Run{{Text: "2*3 and snake_case_"}}, `2*3 and snake_case_`},
		{[]table.Run{{Text: "wow"}, {Text: "!", Bold: true}}, "wow!"}, // a sign alone has no style
	} {
		cell := table.Typed(0, joined(c.runs), c.runs)
		if got := Markup(&cell); got != c.want {
			t.Errorf("%v is %q, want %q", c.runs, got, c.want)
		}
	}
	chance := rand.New(rand.NewPCG(1, 2))
	parts := []string{"word", " ", "*", "_", "\\", "\n", "a", "!", "日本", "é", "  ", "2*3", "_x_", "**", "—", "שלום", "`"}
	for range 20_000 {
		var runs []table.Run
		for range 1 + chance.IntN(5) {
			text := ""
			for range 1 + chance.IntN(4) {
				text += parts[chance.IntN(len(parts))]
			}
			runs = append(runs, table.Run{Text: text, Bold: chance.IntN(3) == 0, Italic: chance.IntN(3) == 0})
		}
		cell := table.Typed(0, joined(runs), runs)
		markup := Markup(&cell)
		again := Runs(markup)
		if joined(again) != joined(runs) {
			t.Fatalf("%+v is %q, which reads as %+v", runs, markup, again)
		}
		twice := table.Typed(0, joined(again), again)
		if Markup(&twice) != markup {
			t.Fatalf("%+v is %q, and then %q", runs, markup, Markup(&twice))
		}
		if got, want := styles(again), styles(runs); got != want {
			t.Fatalf("%+v is %q, which is bold and italic at\n%s, was\n%s", runs, markup, got, want)
		}
	}
}

func joined(runs []table.Run) string {
	var b strings.Builder
	for _, r := range runs {
		b.WriteString(r.Text)
	}
	return b.String()
}

// styles shows the style of each letter and digit: what else there is may be in either.
func styles(runs []table.Run) string {
	var b strings.Builder
	for _, r := range runs {
		for _, c := range r.Text {
			if isWordRune(c) {
				b.WriteByte("-biB"[map[[2]bool]int{{true, false}: 1, {false, true}: 2, {true, true}: 3}[[2]bool{r.Bold, r.Italic}]])
			}
		}
	}
	return b.String()
}

// TestTypedOtherwise: what only the place says of a cell is typed with it: that the height comes first, that a sheet is one of leftovers, what a number is
// that is shown rounded.
func TestTypedOtherwise(t *testing.T) {
	for _, c := range []struct{ heading, typed, as, want string }{
		{"Space (h x w)", "2 x 4", "", "4 x 2 in"}, {"Space (h x w)", "2 x 4ish", "", "2 x 4ish (h x w)"}, {"Space (h x w), cm", "2 x 4ish", "", "2 x 4ish cm (h x w)"}, {"Space (w x h)", "2 x 4ish", "", "2 x 4ish"},
		{"Space (h x w), cm or inches", "5 1/2 x 10", "", "10 x 5.5 ?"},
		{"Width (cm)", "5 ?", "", "5 ?"}, {"Width (cm)", "?", "", "?"}, {"Space (h x w), cm", "2 x 4 ?", "", "4 x 2 ?"}, {"Rim (cm)", "1 ?", "Tuck", "1 ?"},
		{"Opening (h x w)", "2 x 4", "Space", "4 x 2 in"}, {"Opening (h x w) in cm", "2 x 4", "Space", "4 x 2 cm"}, {"Opening (w x h)", "2 x 4", "Space", "2 x 4"}, {"Opening (h x w)", "A6", "Space", "A6"}, {"Opening (h x w)", "so", "Title", "so"},
		{"Opening (h x w)", "2 x 4ish", "Space", "2 x 4ish (h x w)"}, {"Opening (cm or in)", "8", "Width", "8 ?"}, {"Opening (ft)", "8", "Width", "8 ?"}, {"Opening (ft)", "8 in", "Width", "8 in"}, {"Opening (h x w), cm or in", "2 x 4", "Space", "4 x 2 ?"},
	} {
		f := table.Parse("x.csv", []byte(fmt.Sprintf("Name,Journaling,%q\nMia,a,%s\n", c.heading, c.typed)), KnownHeading)
		got := ""
		if c.as != "" {
			got = TakenFor(c.as, c.heading, map[string]string{c.heading: c.typed}, measure.In)
		} else if cells := Typed([]*table.File{f}, intaketest.Home(), measure.In)[0].Rows[0].Cells; len(cells) == 3 {
			got = cells[2].Text
		}
		if got != c.want {
			t.Errorf("%s: %q is typed %q, not %q", c.heading, c.typed, got, c.want)
		}
	}
	s := intaketest.Home()
	if l, err := (&Column{as: asSpace}).size("2 x 4 (h x w)", measure.In); err != nil || l != (measure.Size{W: 4 * measure.Inch, H: 2 * measure.Inch}) {
		t.Errorf("a size that was mended is %v: %v", l, err)
	}
	for _, c := range []struct{ unit, heading, as, want string }{
		{"cm", "Opening", "Width", "8 cm"}, {"in", "Opening", "Width", "8"}, {"ft", "Opening", "Width", "8 ?"}, {"cm ?", "Opening", "Width", "8 ?"}, {"cm", "Opening (mm)", "Width", "8 ?"}, {"cm", "Opening (cm)", "Width", "8 cm"}, {"cm", "Opening", "Copies", "8"},
		{"cm" + unitOfOthers, "Opening", "Width", "8 cm"}, {"cm" + unitOfOthers, "Opening (mm)", "Width", "8 mm"}, {"cm" + unitOfOthers, "Opening (cm or in)", "Width", "8 ?"}, {"cm ?" + unitOfOthers, "Opening", "Width", "8 ?"}, {"?cm", "Opening (cm)", "Width", "8 ?"}, {"in/cm", "Opening", "Width", "8 ?"},
	} {
		if got := TakenFor(c.as, c.heading, map[string]string{c.heading: "8", "Unit": c.unit}, measure.In); got != c.want {
			t.Errorf("%s below %s, in %s: %q, not %q", c.as, c.heading, c.unit, got, c.want)
		}
	}
	// What says the unit stands in the row where a column may still be told to be a measure.
	for data, want := range map[string]string{
		"Name,Journaling,Opening,Unit\nMia,a,8 x 5,cm\n": "cm", "All measures in cm\nName,Journaling,Opening\nMia,a,8 x 5\n": "cm" + unitOfOthers, "Name,Journaling,Opening,All measures in cm\nMia,a,8 x 5,\n": "cm ?" + unitOfOthers,
		"Name,Journaling,Opening (cm),Unit\nMia,a,8 x 5,in\n": "in", "All measures in cm\nName,Journaling,Opening,Unit\nMia,a,8 x 5,mm\nJo,b,8 x 5,\n": "mm ?" + unitOfOthers,
		"Name,Journaling,Width (cm),Height (cm),Rim\nMia,a,8,5,top 1\n": "cm" + unitOfOthers, "Name,Journaling,Width (cm),Height (cm),Shoe\nMia,a,8,5,red\n": "", "Name,Journaling,Opening\nMia,a,8 x 5\n": "",
		"Name,Journaling,Opening,Unit\nMia,a,ask Sue,cm\nJo,b,8 x 5,cm\n": "cm", "All measures in cm\nName,Journaling,Opening\nMia,a,?\nJo,b,8 x 5 ?\n": "cm" + unitOfOthers,
		"Name,Journaling,Opening,Unit\nMia,a,8 x 5,cm\nJo,b,8 x 5,\n": "cm ?" + unitOfOthers, "Name,Journaling,Opening,Unit\nMia,a,8 x 5,in\nJo,b,8 x 5,\n": "",
		"Name,Journaling,Left to right (cm),Up and down (cm),Margin blank\nMia,a,8,5,1\n": "cm ?" + unitOfOthers, "Name,Journaling,Left to right (cm),Up and down (cm)\nMia,a,8,5\n": "",
	} {
		got, rows := "", Typed([]*table.File{table.Parse("x.csv", []byte(data), KnownHeading)}, s, measure.In)[0].Rows
		for _, c := range rows[len(rows)-1].Cells {
			if c.Heading == "Unit" {
				got = c.Text
			}
		}
		if got != want {
			t.Errorf("%q: the unit is typed %q, not %q", data, got, want)
		}
	}
	in := Typed([]*table.File{table.Parse("x.csv", []byte("Name,Journaling,Left to right (cm),Up and down (cm),Tuck\nMia,a,8,5,1\n"), KnownHeading)}, s, measure.In)
	if cells := in[0].Rows[0].Cells; cells[4] != (Field{"Tuck", "1 ?"}) {
		t.Errorf("a tuck beside columns of centimetres that are not known is typed %v", cells)
	}
	if in = Typed([]*table.File{table.Parse("x.csv", []byte("All measures in cm\nName,Journaling,Opening,Unit\nMia,a,8 x 5,mm\nJo,b,8 x 5,\n"), KnownHeading)}, s, measure.In); !reflect.DeepEqual(in[0].Rows[0].At, in[0].Rows[1].At) {
		t.Errorf("one column Unit is taken for two: %v, %v", in[0].Rows[0].At, in[0].Rows[1].At)
	}
	story := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "What she wrote", "Width", "Height", "Sum"}, []any{"Mia", "We *all* rowed out before anybody was awake that day.", 4, 2, nil})
		intaketest.Styled(t, f, "Sheet1", "B2", &excelize.Style{Font: &excelize.Font{Bold: true}})
		if err := f.SetCellFormula("Sheet1", "E2", "SUM(C2:D2)+NOSUCH(1)"); err != nil {
			t.Fatal(err)
		}
	})
	row := Typed([]*table.File{table.Parse("x.xlsx", []byte(story), KnownHeading)}, s, measure.In)[0].Rows[0]
	if !slices.Contains(row.Cells, Field{"What she wrote", `*We \*all\* rowed out before anybody was awake that day.*`}) || !slices.Contains(row.Cells, Field{"Sum", notThere}) {
		t.Errorf("what may be the journaling, bold, and a formula that cannot be worked out: %v", row.Cells)
	}
	shared := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", "Bottom line"}, []any{"Mia", "a", 4, 2, "At sea"}, []any{"Jo", "b", 4, 2})
		if err := f.MergeCell("Sheet1", "E2", "E3"); err != nil {
			t.Fatal(err)
		}
	})
	if rows := Typed([]*table.File{table.Parse("x.xlsx", []byte(shared), KnownHeading)}, s, measure.In)[0].Rows; !slices.Contains(rows[1].Cells, Field{"Bottom line", "At sea"}) {
		t.Errorf("of a cell that is merged over two rows the second has %v", rows[1].Cells)
	}
	exact := "0"
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Left to right", "Height", "Phone", "Rim"}, []any{"Mia", "a", 3.75, 2, 5551234, 3.25})
		cm := `0.0" cm"`
		intaketest.Styled(t, f, "Sheet1", "F2", &excelize.Style{CustomNumFmt: &cm})
		intaketest.Styled(t, f, "Sheet1", "C2", &excelize.Style{CustomNumFmt: &exact})
		phone := "000-0000"
		intaketest.Styled(t, f, "Sheet1", "E2", &excelize.Style{CustomNumFmt: &phone})
		if _, err := f.NewSheet("Leftovers"); err != nil {
			t.Fatal(err)
		}
		letter := s.Stocks[0].Sheets[0].Size
		intaketest.Put(t, f, "Leftovers", []any{"Stock", "Width", "Height"}, []any{s.Stocks[0].Name, 4, 3}, []any{s.Stocks[0].Name, letter.W.Format(measure.In), letter.H.Format(measure.In)})
	})
	typed := Typed([]*table.File{table.Parse("x.xlsx", []byte(data), KnownHeading)}, s, measure.In)
	if cells := typed[0].Rows[0].Cells; len(cells) != 6 || cells[2].Text != "3.75" || cells[4].Text != "555-1234" || cells[5].Text != "3.25 cm" {
		t.Errorf("%v", cells)
	}
	if rows := typed[1].Rows; len(rows) != 2 || !slices.Contains(rows[0].Cells, Field{"Leftover", "yes"}) || !slices.Contains(rows[1].Cells, Field{"Leftover", "yes"}) || !slices.Contains(typed[1].Columns, "Leftover") {
		t.Errorf("%+v", typed[1])
	}
}

// What was typed is taken down as it was typed: its columns by the form's names, its blocks one by one, its measures in words that mean the
// same where another unit holds.
func TestTyped(t *testing.T) {
	s := intaketest.Home()
	for _, c := range []struct {
		csv  string
		unit measure.Unit
		want [][]Field
	}{
		{"Your name,Text,Space\nMia,*We* rowed,4 x 2\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "*We* rowed"}, {"Space", "4 x 2"}}}},
		{"Name,Journaling,Width (mm),Height (mm),Tuck\nMia,a,100,50 mm,top 10\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "100 mm"}, {"Height", "50 mm"}, {"Tuck", "top 10 mm"}}}},
		{"Name,Journaling,Width (mm),Height (mm)\nMia,a,100,4 in\n", measure.Mm, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "100"}, {"Height", "4 in"}}}},
		{"All measures in cm\nName,Journaling,Width,Height\nMia,a,10,5\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "10 cm"}, {"Height", "5 cm"}}}},
		{"Name,Journaling 1,Width 1,Height 1,Journaling 2,Width 2,Height 2\nMia,a,1,2,b,3,4\nJo,c,5,6,,,\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "1"}, {"Height", "2"}},
			{{"Name", "Mia"}, {"Journaling", "b"}, {"Width", "3"}, {"Height", "4"}}, {{"Name", "Jo"}, {"Journaling", "c"}, {"Width", "5"}, {"Height", "6"}}}},
		{"Name,Journaling 1,Width 1,Height 1,Title 1,Journaling 2,Width 2,Height 2,Title\nMia,a,1,2,Spring,b,3,4,Summer\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "1"}, {"Height", "2"}, {"Title", "Spring"}},
			{{"Name", "Mia"}, {"Journaling", "b"}, {"Width", "3"}, {"Height", "4"}, {"Title", "Summer"}}}},
		{"Name,Journaling,Width,Height,Shoe,Note,Note\nMia,a,1,2,38,x,y\n\",,\",b,3,4,,,\n", measure.In, [][]Field{{{"Name", "Mia"}, {"Journaling", "a"}, {"Width", "1"}, {"Height", "2"}, {"Shoe", "38"}, {"Note", "x"}, {"Unknown column G “Note” of x.csv", "y"}},
			{{"Name", "Mia"}, {"Journaling", "b"}, {"Width", "3"}, {"Height", "4"}}}},
	} {
		f := table.Parse("x.csv", []byte(strings.Replace(c.csv, `",,"`, "ditto", 1)), KnownHeading)
		var got [][]Field
		for _, sheet := range Typed([]*table.File{f}, s, c.unit) {
			for _, r := range sheet.Rows {
				got = append(got, r.Cells)
			}
		}
		if !reflect.DeepEqual(got, c.want) {
			t.Errorf("%q is\n%q, want\n%q", c.csv, got, c.want)
		}
	}
}

// TestNamelessApart: what is said of a column without a heading of its own is said of that one, and of no column of another file or with another heading.
func TestNamelessApart(t *testing.T) {
	columns := func(file, data string) (names []string) {
		for _, c := range Typed([]*table.File{table.Parse(file, []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0].Columns {
			if strings.HasPrefix(c, noHeading) {
				names = append(names, c)
			}
		}
		return names
	}
	seen := map[string]string{}
	for _, of := range []struct{ file, data string }{
		{"april.csv", "Name,Text,Width,Height,\nAnn,In May,3,2,paid already\n"},
		{"may.csv", "Name,Text,Width,Height,\nCy,In June,3,2,twice please\n"},
		{"may.csv", "Name,Text,Width,Height,Text\nCy,In June,3,2,and more\n"},
		{"a retreat whose name is very long indeed, first day.csv", "Name,Text,Width,Height,\nAnn,In May,3,2,x\n"},
		{"a retreat whose name is very long indeed, second day.csv", "Name,Text,Width,Height,\nAnn,In May,3,2,x\n"},
	} {
		names := columns(of.file, of.data)
		if len(names) != 1 || seen[names[0]] != "" || utf8.RuneCountInString(names[0]) > 100 || KnownHeading(names[0]) {
			t.Errorf("%s %q: %q", of.file, of.data, names)
			continue
		}
		seen[names[0]] = of.data
	}
	if job, said := readTables(t, []config.Column{{Heading: "Unknown column E of may.csv", As: "nothing"}}, "a.csv", "Name,Text,Width,Height,Unknown column E “Text” of may.csv\nAnn,In May,3,2,Plums\n"); len(job.Blocks) != 0 || strings.Contains(said, "no table has") {
		t.Errorf("short: %d blocks\n%s", len(job.Blocks), said)
	}
	job, said := readTables(t, []config.Column{{Heading: "Unknown column E of april.csv", As: "nothing"}}, "a.csv", "Name,Text,Width,Height,Unknown column E of april.csv,Unknown column E “Text” of may.csv\nAnn,In May,3,2,paid already,\nCy,In June,3,2,,and more of what we saw there that June\n")
	if len(job.Blocks) != 0 || !strings.Contains(said, "of may.csv” holds texts and would not be printed") {
		t.Errorf("%d blocks\n%s", len(job.Blocks), said)
	}
}
