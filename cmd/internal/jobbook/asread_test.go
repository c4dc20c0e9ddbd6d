package jobbook

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// takenFrom is a book that has taken in a file, what was told, and the job that its rows are.
func takenFrom(t *testing.T, name string, data []byte) (*Book, problem.List, *intake.Job) {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	must(t, os.WriteFile(file, data, 0o600))
	b, _, found, err := Import(context.Background(), []string{file}, settings(t))
	must(t, err)
	t.Cleanup(func() { must(t, b.Close()) })
	j, _ := intake.ReadTables(b.Input().Tables, settings(t))
	return b, found, j
}

// What a table says is read alike once it was taken in, whoever and whatever its rows take from above and in whatever unit they are measured.
func TestTakenInAsRead(t *testing.T) {
	for _, c := range []struct{ data, want string }{
		{"Name,Journaling,Width (cm),Height (cm)\nAna,a,8 wide,5 high\n", "Ana 8 cm x 5 cm"},
		{"Name,Journaling,Width (cm),Height (cm)\nAna,a,8w,5h.\n", "Ana 8 cm x 5 cm"},
		{"Name,Journaling,Width (cm),Height (cm)\nAna,a,'8,\"=\"\"5\"\"\"\n", "Ana 8 cm x 5 cm"},
		{"Name,Journaling,Space (H x W in cm)\nAna,a,5 x 8\n", "Ana 8 cm x 5 cm"},
		{"Name,Journaling,Height x Width\nAna,a,2 x 3\n", "Ana 3 in x 2 in"},
		{"Name,Journaling,Width,Height,Owner\nAna,a,3,2,\nEve,a,3,2,Zoe\nditto,b,3,2,Fay\n\",b\",c,3,2,\n", "Ana 3 in x 2 in|Eve 3 in x 2 in|Eve 3 in x 2 in|"},
		{"First name,Surname,Journaling,Width,Height\nAna,Berg,a,3,2\nditto,,b,3,2\nditto,ditto,c,3,2\n,ditto,d,3,2\nBo,ditto,e,3,2\nditto,Fox,f,3,2\n",
			"Ana Berg 3 in x 2 in|Ana Berg 3 in x 2 in|Ana Berg 3 in x 2 in|Ana Berg 3 in x 2 in|Bo Berg 3 in x 2 in|Bo Fox 3 in x 2 in"},
		{"Name,Journaling,Width,Height,Where,When,Title\nAna,a,3,2,The quay,June,Gulls\nAna,b,3,2,ditto,\"\"\"\",same as above\n", "Ana 3 in x 2 in The quay · June Gulls|Ana 3 in x 2 in The quay · June Gulls"},
	} {
		_, found, j := takenFrom(t, "more.csv", []byte(c.data))
		var got []string
		for i := range j.Blocks {
			b := &j.Blocks[i]
			u := b.Unit
			got = append(got, strings.TrimSpace(fmt.Sprintf("%s %s x %s %s %s", b.Owner, b.Space.W.Format(u), b.Space.H.Format(u), b.End, b.Title)))
		}
		want := strings.Split(strings.TrimSuffix(c.want, "|"), "|")
		if len(got) < len(want) || !slices.Equal(got[:len(want)], want) {
			t.Errorf("%q: %q, want %q", c.data, got, want)
		}
		for _, p := range found {
			if strings.Contains(p.What, "is not taken over as") {
				t.Errorf("%q: %v", c.data, p)
			}
		}
	}
}

// A measure that cannot be read keeps the unit of its column: whoever mends it at the desk sees it.
func TestUnreadableMeasureKeepsItsUnit(t *testing.T) {
	b, _, j := takenFrom(t, "more.csv", []byte("Name;Journaling;Width (cm);Height (cm)\nAna;a;8,125;ca. 10\n"))
	if got := b.Rows(Journaling)[0].Cells; got["Width"] != "8,125 cm" || got["Height"] != "ca. 10 cm" || len(j.Blocks) != 0 {
		t.Errorf("taken over as %v, and %d blocks would be printed", got, len(j.Blocks))
	}
	// Nor is one printed of which its heading leaves the unit open.
	if b, _, j := takenFrom(t, "more.csv", []byte("Name,Journaling,Width (inches or cm),Height (inches or cm)\nAna,a,8,5 cm\n")); len(j.Blocks) != 0 {
		t.Errorf("%v would be printed", b.Rows(Journaling)[0].Cells)
	}
}

// A remark on a cell, and a side in another unit than the other, are told where rows are taken in: no workbook of a job shows them.
func TestRemarksAreToldAtImport(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range [][]any{{"Name", "Journaling", "Width (cm)", "Height"}, {"Eve", "Rain on the quay", 4, 2}, {"Fay", "Plums", 10, "3 in"}} {
		must(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	must(t, f.AddComment("Sheet1", excelize.Comment{Cell: "B2", Author: "Eve", Text: "Wait for the other text"}))
	data, err := f.WriteToBuffer()
	must(t, err)
	_, found, _ := takenFrom(t, "more.xlsx", data.Bytes())
	for _, want := range []string{"a remark on the cell: “Wait for the other text”", "the width is read as 10 cm, though the height is in in"} {
		if !slices.ContainsFunc(found, func(p problem.Problem) bool { return p.What == want }) {
			t.Errorf("%q is not told, but %v", want, found)
		}
	}
}

// A later version of what is in the job, and a marked copy of it, would be printed beside it: that is told. A few more rows are not such.
func TestVersionTakenIn(t *testing.T) {
	const first = "Name,Journaling,Width,Height\nEve,words of Eve,4,2\nFay,words of Fay,4,2\nZoe,words of Zoe,4,2\n"
	b, _, _ := takenFrom(t, "more.csv", []byte(first))
	take := func(name string, data []byte) problem.List {
		file := filepath.Join(t.TempDir(), name)
		must(t, os.WriteFile(file, data, 0o600))
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		return found
	}
	if found := take("else.csv", []byte("Name,Journaling,Width,Height\nEve,other words,4,2\nFay,words of Fay,4,2\nBo,words of Bo,4,2\n")); len(found) != 0 {
		t.Errorf("other rows: told %v", found)
	}
	found := take("later.csv", []byte(strings.Replace(first, "words of Fay", "better words", 1)))
	if len(found) != 1 || found[0].Severity != problem.Error || !strings.Contains(found[0].What, "versions of one file") || !strings.Contains(found[0].Hint, "undo") {
		t.Errorf("a later version: told %v", found)
	}
	// The workbook itself, which came back from somebody under its own name.
	found = take(filepath.Base(b.path), []byte(strings.Replace(first, "words of Fay", "better words", 1)))
	if len(found) != 1 || !strings.Contains(found[0].What, "versions of one file") || !strings.Contains(found[0].What, filepath.Base(b.path)) {
		t.Errorf("a version of the workbook's own name: told %v", found)
	}
}

// TestVersionTakenInWhileAsked: so is a later version while a column of the job waits for its answer, and no block of the job can be printed.
func TestVersionTakenInWhileAsked(t *testing.T) {
	const first = "Name,Journaling,Width,Height,More words\nEve,words of Eve,4,2,and she said that she liked it very much indeed\nFay,words of Fay,4,2,\nZoe,words of Zoe,4,2,\n"
	for _, later := range []string{first, strings.ReplaceAll(strings.Replace(strings.Replace(first, ",More words", "", 1), ",and she said that she liked it very much indeed", "", 1), ",\n", "\n")} {
		b, _, j := takenFrom(t, "more.csv", []byte(first))
		if len(j.Blocks) > 0 {
			t.Fatalf("it is not asked about: %v", j.Blocks)
		}
		file := filepath.Join(t.TempDir(), "more.csv")
		must(t, os.WriteFile(file, []byte(strings.Replace(later, "words of Fay", "better words", 1)), 0o600))
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		if !slices.ContainsFunc(found, func(p problem.Problem) bool {
			return p.Severity == problem.Error && strings.Contains(p.What, "versions of one file") && strings.Contains(p.Hint, "undo")
		}) {
			t.Errorf("%q: told %v", later, found)
		}
	}
}

// TestVersionTakenInWhileTextsAreAsked: so is one while nobody has said which column holds the texts, or the measures, in the job, in the file or in both; other texts under such a heading are no version.
func TestVersionTakenInWhileTextsAreAsked(t *testing.T) {
	const named = "Name,Journaling,Width,Height\nEve,\"words of **Eve**, said\",4,2\nFay,words of Fay,4,2\nZoe,words of Zoe,4,2\n"
	asked, wide := strings.Replace(named, "Journaling", "Zyy", 1), strings.Replace(named, "Width", "Xqq", 1)
	both := strings.Replace(named, "Width,Height\n", "Xqq,Yqq\n", 1)
	moods := strings.NewReplacer("words of Fay", "blue", "words of Zoe", "red").Replace(asked)
	longer := func(s string) string {
		return strings.NewReplacer("words of", "so many words and a few more that nobody could type by the way of").Replace(s)
	}
	for _, c := range []struct {
		before, taken string
		same          int
	}{
		{asked, asked, 2}, {named, asked, 2}, {asked, named, 2}, {longer(asked), longer(asked), 2}, {longer(named), longer(asked), 2}, {longer(asked), longer(named), 2},
		{wide, wide, 2}, {both, both, 2}, {both, named, 2}, {named, both, 2}, {moods, moods, 3},
		{asked, strings.ReplaceAll(asked, "words", "other words"), 0}, {named, strings.ReplaceAll(asked, "words", "other words"), 0}, {asked, "Name,Zyy,Width,Height\nFay,words of Fay,4,2\n", 0},
	} {
		b, _, _ := takenFrom(t, "more.csv", []byte(c.before))
		file := filepath.Join(t.TempDir(), "more.csv")
		must(t, os.WriteFile(file, []byte(strings.Replace(c.taken, " Zoe,4", " Zoe and all,4", 1)), 0o600))
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		var told []string
		for _, p := range found {
			if strings.Contains(p.What, "versions of one file") {
				told = append(told, fmt.Sprint(p.Severity, ": ", p.What, " ", p.Hint))
			}
		}
		if c.same == 0 && len(told) > 0 || c.same > 0 && (len(told) != 1 || !strings.HasPrefix(told[0], "error") || !strings.Contains(told[0], problem.Count(c.same, "row is|rows are")+" the same") || !strings.Contains(told[0], "undo")) {
			t.Errorf("%q beside %q: told %q", c.taken, c.before, told)
		}
	}
}

// TestOwnWorkbookTakenIn: the book's own workbook in which somebody has written all texts anew is none that is like it, and is told all the same.
func TestOwnWorkbookTakenIn(t *testing.T) {
	b, _, _ := takenFrom(t, "more.csv", []byte("Name,Journaling,Width,Height\nEve,words of Eve,4,2\nFay,words of Fay,4,2\n"))
	must(t, b.Save())
	f, err := excelize.OpenFile(b.path)
	must(t, err)
	rows, err := f.GetRows("Journaling")
	must(t, err)
	col := slices.Index(rows[0], "Journaling") + 1
	for row := 2; row <= 3; row++ {
		at, _ := excelize.CoordinatesToCellName(col, row)
		must(t, f.SetCellStr("Journaling", at, fmt.Sprint("better words ", row)))
	}
	for _, name := range []string{filepath.Base(b.path), "from Eve.xlsx"} {
		file := filepath.Join(t.TempDir(), name)
		must(t, f.SaveAs(file))
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		if len(found) != 1 || found[0].What != "the file is this job's own workbook, or a copy of it" || !strings.Contains(found[0].Hint, "undo") {
			t.Errorf("%s: told %v", name, found)
		}
		_, _, err = b.Undo()
		must(t, err)
	}
	must(t, f.Close())
	// The same as a table of text, with its ids.
	rows[1][col-1], rows[2][col-1] = "better words 2", "better words 3"
	var text strings.Builder
	for _, r := range rows[:3] {
		text.WriteString(strings.Join(r, "\t") + "\n")
	}
	_, found := b.Paste(text.String())
	if len(found) == 0 || found[len(found)-1].What != "the file is this job's own workbook, or a copy of it" {
		t.Errorf("pasted: told %v of %q", found, text.String())
	}
}

// TestPaperTakenInTwice: a list of paper that is taken in once more, mended or not, is told; another one is not.
func TestPaperTakenInTwice(t *testing.T) {
	for _, blocks := range []string{"", "Name,Journaling,Width,Height\nEve,words of Eve,4,2\n"} {
		_, b, _ := one(t)
		take := func(rows string) problem.List {
			file := filepath.Join(t.TempDir(), "paper.csv")
			must(t, os.WriteFile(file, []byte("Stock,Width,Height,Count\n"+rows), 0o600))
			found, err := b.Take(context.Background(), []string{file})
			must(t, err)
			return found
		}
		if blocks != "" {
			do(t, b, first(b.Paste(strings.ReplaceAll(blocks, ",", "\t")))...)
		}
		if found := take("vellum,8.5,11,5\ncardstock,8.5,11,7\n"); len(found) > 0 {
			t.Errorf("the first list: %v", found)
		}
		if found := take("vellum,12,12,5\n"); len(found) > 0 {
			t.Errorf("another list: %v", found)
		}
		if found := take("vellum,8.5,11,6\ncardstock,8.5,11,7\n"); len(found) != 1 || found[0].What != "2 rows of the list of paper are of stocks and sizes that are in the job already" {
			t.Errorf("once more: %v", found)
		}
	}
}

// first is the first of two.
func first[T, U any](a T, _ U) T { return a }

// Random tables are read alike before and after they are taken in, as far as rows are not held: in the comparison nothing is found.
func TestRandomTablesTakenIn(t *testing.T) {
	r := rand.New(rand.NewPCG(29, 11))
	pick := func(some ...string) string { return some[r.IntN(len(some))] }
	s := settings(t)
	read := 0
	for range longtests.Cases(150, 5000) {
		heads := []string{"Name", pick("Journaling", "Your text"), "Width" + pick("", " (cm)", " (mm)", " in inches"), "Height" + pick("", " (cm)", " (mm)")}
		some := map[string][]string{
			"Surname": {"", "", "Berg", "ditto", `"`}, "Owner": {"", "Zoe", "ditto"}, "Page": {"", "3", "ditto", "4-5"}, "Title": {"", "Gulls", "*Rain*", `"`, "same"},
			"Where": {"", "The quay", "ditto"}, "When": {"", "June", "2 May 2024", `"`}, "Copies": {"", "1", "2", "x3"}, "Tuck": {"", "1/4", "top 1/2", "none"}, "Inset": {"", "0.1"},
			"Turn": {"", "no", "yes"}, "Size": {"", "10", "12 pt"}, "Align": {"", "centre", "top right"}, "Note": {"", "for Bo"}, "Snack": {"", "plums"}, "Hold": {"", "yes"},
		}
		var more []string
		for h := range some {
			more = append(more, h)
		}
		slices.Sort(more)
		r.Shuffle(len(more), func(i, k int) { more[i], more[k] = more[k], more[i] })
		more = more[:r.IntN(6)]
		rows := [][]string{slices.Concat(heads, more)}
		for range 2 + r.IntN(5) {
			row := []string{pick("Ana", "Ana Berg", "Bo", "ditto", `"`, "same", ""), pick("We rowed out", "Rain, **then** sun", "- plums", "1/2 of it", "# 4", "a_b*c", "\\*"),
				pick("3", "3", "4", "2 1/2", "80", "8 wide", "8,1", "8,125", "70 mm", "ca. 4", "3 in"), pick("2", "2", "3", "1.5", "50", "5 high", "2 tum", "4 cm", "'3")}
			for _, h := range more {
				row = append(row, pick(some[h]...))
			}
			rows = append(rows, row)
		}
		tables := []*table.File{{Name: "x.csv", Path: "x.csv", Sheets: []*table.Sheet{table.New(rows)}}}
		unit := []measure.Unit{measure.In, measure.Cm, measure.Mm}[r.IntN(3)]
		for _, sh := range tables[0].Sheets {
			sh.File = "x.csv"
		}
		job, _ := intake.ReadTables(tables, s)
		read += len(job.Blocks)
		_, found := takenOver(tables, s, unit, beyond{})
		for _, p := range found {
			if strings.Contains(p.What, "is not taken over as") {
				t.Errorf("%q in %s: %v", rows, unit, p)
			}
		}
		if t.Failed() {
			return
		}
	}
	if read < 80 {
		t.Errorf("only %d blocks were read", read)
	}
}

// TestPaperTakenInAsRead: leftovers stay leftovers and prices their currency, and paper that is read otherwise is told.
func TestPaperTakenInAsRead(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for sheet, rows := range map[string][][]any{
		"Sheet1":    {{"Name", "Journaling", "Width", "Height"}, {"Eve", "Rain on the quay", 4, 2}},
		"Leftovers": {{"Stock", "Width", "Height"}, {"vellum", 4, 3}, {"vellum", 8.5, 11}},
		"Paper":     {{"Stock", "Width", "Height", "Count", "Price"}, {"cardstock", 8.5, 11, 5, 0.6}},
	} {
		if sheet != "Sheet1" {
			_, err := f.NewSheet(sheet)
			must(t, err)
		}
		for i, row := range rows {
			must(t, f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &row))
		}
	}
	euro := `#,##0.00\ [$€-407]`
	style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &euro})
	must(t, err)
	must(t, f.SetCellStyle("Paper", "E2", "E2", style))
	data, err := f.WriteToBuffer()
	must(t, err)
	_, found, j := takenFrom(t, "more.xlsx", data.Bytes())
	leftovers, priced := 0, 0
	for _, p := range j.Paper {
		if p.Leftover {
			leftovers++
		}
		if p.Sign == "€" && p.Price == 60 && p.Count == 5 {
			priced++
		}
	}
	if leftovers != 2 || priced != 1 || len(j.Paper) != 3 || slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.What, "the paper of the row") }) {
		t.Errorf("%+v\n%v", j.Paper, found)
	}
}

// TestBookThatWasThere: of a book that does not know what it was made of, rows of a file that it has not are told.
func TestBookThatWasThere(t *testing.T) {
	dir := t.TempDir()
	b, err := New(filepath.Join(dir, "a-desk.xlsx"), settings(t))
	must(t, err)
	must(t, b.Close())
	file := filepath.Join(dir, "a.csv")
	must(t, os.WriteFile(file, []byte("Name,Journaling,Width,Height\nEve,Rain,4,2\nAna,Sun,4,2\n"), 0o600))
	for _, want := range []string{"of 2 rows of “a.csv”, 2 are not in the job as they stand there", ""} {
		b, _, found, err := Import(context.Background(), []string{file}, settings(t))
		must(t, err)
		if told := slices.ContainsFunc(found, func(p problem.Problem) bool { return p.What == want }); told != (want != "") {
			t.Errorf("%q: %v", want, found)
		}
		_, err = b.Take(context.Background(), []string{file})
		must(t, err)
		must(t, b.Close())
	}
	// A workbook that came without its journal knows no file; a measure, the copies and the paper count as well.
	for rows, want := range map[string]string{
		"Name,Journaling,Width,Height,Copies\nEve,Rain,4,2,\nAna,Sun,4,2,3\n": "of 2 rows of “a.csv”, 1 are not in the job as they stand there", "Name,Journaling,Width,Height\nEve,Rain,5,2\nAna,Sun,4,2\n": "of 2 rows of “a.csv”, 1 are not in the job as they stand there",
		"Stock,Width,Height,Count\nvellum,8.5,11,3\n": "of 1 row of “a.csv”, 1 are not in the job as they stand there", "Name,Journaling,Height,Width\nEve,Rain,2,4\n": "",
	} {
		must(t, os.RemoveAll(Folder(filepath.Join(dir, "a-desk.xlsx"))))
		must(t, os.WriteFile(file, []byte(rows), 0o600))
		b, _, found, err := Import(context.Background(), []string{file}, settings(t))
		must(t, err)
		must(t, b.Close())
		if told := slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.What, "in the job as they stand there") }); told != (want != "") || told && !slices.ContainsFunc(found, func(p problem.Problem) bool { return p.What == want }) {
			t.Errorf("%q: %v", rows, found)
		}
	}
}

// TestAnsweredBook: of such a book also what stands below headings that are not known counts, and what was told of them is no other row.
func TestAnsweredBook(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "a.csv")
	made := "Name,Journaling,Left to right (cm),Height (cm),Banner\nEve,Rain,8,5,Fog\nAna,Sun,7,4,\n"
	must(t, os.WriteFile(file, []byte(made), 0o600))
	b, _, _, err := Import(context.Background(), []string{file}, settings(t))
	must(t, err)
	path := filepath.Join(dir, "a-desk.xlsx")
	told := func(rows string) string {
		t.Helper()
		must(t, b.Close())
		must(t, os.RemoveAll(Folder(path)))
		must(t, os.WriteFile(file, []byte(rows), 0o600))
		var found problem.List
		b, _, found, err = Import(context.Background(), []string{file}, settings(t))
		must(t, err)
		for _, p := range found {
			if strings.Contains(p.What, "as they stand there") {
				return p.What
			}
		}
		return ""
	}
	for _, answered := range []bool{false, true} {
		if answered {
			for _, r := range b.Rows(Journaling) {
				var changes []Change
				for column, text := range map[string]string{"Width": intake.TakenFor("Width", "Left to right (cm)", r.Cells, b.Unit()), "Left to right (cm)": "", "Title": r.Cells["Banner"], "Banner": ""} {
					changes = append(changes, Change{Sheet: Journaling, ID: r.ID, Column: column, Text: text})
				}
				_, err := b.Do(changes...)
				must(t, err)
			}
		}
		for rows, want := range map[string]string{made: "", strings.Replace(made, "Rain,8", "Rain,9", 1): "of 2 rows of “a.csv”, 1 are not in the job as they stand there", strings.Replace(made, "Fog", "Sun", 1): "of 2 rows of “a.csv”, 1 are not in the job as they stand there",
			strings.Replace(made, "7,4", "4,7", 1): "of 2 rows of “a.csv”, 1 are not in the job as they stand there", made + "Ana,Sun,7,4,\n": "of 3 rows of “a.csv”, 1 are not in the job as they stand there",
			strings.Replace(made, "Fog", "", 1): "of 2 rows of “a.csv”, 1 are not in the job as they stand there"} {
			if got := told(rows); got != want {
				t.Errorf("answered %t: %q, not %q, of\n%s", answered, got, want, rows)
			}
		}
	}
	must(t, b.Close())
}

// TestAddedCells: what a row is given that no cell of it says, its unit or that it is a leftover, has no cell of another row go astray, whichever its first one is.
func TestAddedCells(t *testing.T) {
	s := settings(t)
	s.Unit = measure.In
	dir := t.TempDir()
	file := filepath.Join(dir, "a.csv")
	must(t, os.WriteFile(file, []byte("Page,Title,Name,Journaling,Width (cm),Height (cm),Cabin\n3,The tart,Ann Lee,Rain,12,8,4\n,The plums,Bo Mu,Plums,11,7,2\n,,Cy Poe,Night,10,6,7\n"), 0o600))
	sets := filepath.Join(dir, "b.csv")
	must(t, os.WriteFile(sets, []byte("Name,Text 1,Left to right 1,Height 1,Unit 1,Text 2,Left to right 2,Height 2,Unit 2,Air\nEve Os,One,8,5,cm,Two,3,2,in,1\nIda Os,Three,6,4,mm,,40,,,1\n"), 0o600))
	b, _, found, err := Import(context.Background(), []string{file, sets}, s)
	must(t, err)
	defer b.Close()
	for i, want := range []map[string]string{{"Title": "The tart", "Name": "Ann Lee"}, {"Title": "The plums", "Name": "Bo Mu"}, {"Name": "Cy Poe", "Journaling": "Night"}} {
		for heading, text := range want {
			if got := b.Rows(Journaling)[i].Cells; got[heading] != text || got["Unit (2)"] != "" || got["Unit"] == "" {
				t.Errorf("row %d: %v, and %v", i, got, found)
			}
		}
	}
	// Columns that differ by the blocks' numbers alone are each of its block, but for a block without a text, and so is the unit.
	for i, want := range []map[string]string{{"Journaling": "One", "Left to right 1": "8", "Left to right 2": "", "Unit": "cm"}, {"Journaling": "Two", "Left to right 1": "", "Left to right 2": "3", "Unit": "in"},
		{"Journaling": "Three", "Left to right 1": "6", "Left to right 2": "", "Unknown column G “Left to right 2” of b.csv": "40", "Unit": "mm"}} {
		for heading, text := range want {
			if got := b.Rows(Journaling)[3+i].Cells; got[heading] != text || got["Unit (2)"] != "" {
				t.Errorf("block %d: %v, and %v", i, got, found)
			}
		}
	}
	must(t, os.WriteFile(file, []byte("Name,Journaling,Width,Height,Rim,Journaling,Width,Height,Rim\nEve Os,One,8,5,1,Two,3,2,2\n"), 0o600))
	_, err = b.Take(context.Background(), []string{file})
	must(t, err)
	for i, rim := range []string{"1", "2"} {
		if got := b.Rows(Journaling)[6+i].Cells; got["Rim"] != rim || got["Rim (2)"] != "" {
			t.Errorf("under headings that stand twice, block %d: %v", i, got)
		}
	}
}

// TestUnitOfPaperTakenIn: a list of paper without units beside journaling in cm of one workbook stays open in the job: no size is made of it that nobody meant.
func TestUnitOfPaperTakenIn(t *testing.T) {
	for _, c := range []struct{ of, line, heading, want string }{
		{" (cm)", "", "", "21 ?/29.7 ?"}, {"", "", "", "21/29.7"}, {" (cm)", "", " (cm)", "21 cm/29.7 cm"}, {" (in)", "", "", "21/29.7"}, {"", "All sizes in cm", "", "21 cm/29.7 cm"}, {"", "Paper: in cm", "", "21 ?/29.7 ?"},
	} {
		f := excelize.NewFile()
		_, err := f.NewSheet("Paper")
		must(t, err, f.SetSheetRow("Sheet1", "A1", &[]any{"Name", "Text", "Width" + c.of, "Height" + c.of}), f.SetSheetRow("Sheet1", "A2", &[]any{"Cy", "On 4 May we sang", 7, 5}),
			f.SetCellStr("Paper", "A1", c.line), f.SetSheetRow("Paper", "A3", &[]any{"Stock", "Width" + c.heading, "Height" + c.heading, "Count"}), f.SetSheetRow("Paper", "A4", &[]any{"cardstock", 21, 29.7, 4}))
		data, err := f.WriteToBuffer()
		must(t, err, f.Close())
		b, found, j := takenFrom(t, "a.xlsx", data.Bytes())
		rows := b.Rows(Paper)
		if len(rows) != 1 || rows[0].Cells["Width"]+"/"+rows[0].Cells["Height"] != c.want {
			t.Errorf("%v: the rows are %v", c, rows)
		}
		asked := strings.Contains(c.want, "?")
		if len(j.Paper) == 1 == asked {
			t.Errorf("%v: the job reads %v", c, j.Paper)
		}
		for _, p := range found {
			if strings.Contains(p.What, "not taken over") {
				t.Errorf("%v: told %v", c, p)
			}
		}
		if c.want == "21 cm/29.7 cm" && j.Paper[0].Size != (measure.Size{W: 210 * measure.Millimetre, H: 297 * measure.Millimetre}) {
			t.Errorf("%v: the job reads %v", c, j.Paper)
		}
	}
}
