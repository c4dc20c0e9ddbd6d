package jobbook

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// A table that was copied in a spreadsheet program becomes rows, with its headings or in the order of the form.
func TestPaste(t *testing.T) {
	for _, c := range []struct {
		text string
		want []string // name/width/height, then the journaling
		err  string
	}{
		{"Name\tJournaling\tWidth\tHeight\nOdile Hart\tWe rowed out.\t4\t2\nMia\t\"two\nlines\"\t3\t1\n", []string{"Odile Hart/4/2", "We rowed out.", "Mia/3/1", "two\nlines"}, ""},
		{"Your name,Text,Space\r\nOdile Hart,\"We rowed, out.\",4 x 2\r\n", []string{"Odile Hart/4/2", "We rowed, out."}, ""},
		{"Odile Hart\tHarbour\tWe rowed out.\t4\t2\tvellum\n", []string{"Odile Hart/4/2", "We rowed out."}, ""},
		{"Name\tJournaling\tWidth (mm)\tHeight (mm)\nOdile Hart\tWe rowed out.\t100\t50 mm\n", []string{"Odile Hart/100 mm/50 mm", "We rowed out."}, ""},
		{"Name\tJournaling 1\tWidth 1\tHeight 1\tJournaling 2\tWidth 2\tHeight 2\nOdile Hart\tOne.\t1\t2\tTwo.\t3\t4\n", []string{"Odile Hart/1/2", "One.", "Odile Hart/3/4", "Two."}, ""},
		{"just a text", nil, "what was pasted is no table of journaling"},
		{"", nil, "the file is empty"},
	} {
		b, err := create(fakedisk.New(), bookPath, settings(t))
		if err != nil {
			t.Fatal(err)
		}
		changes, found := b.Paste(c.text)
		if c.err != "" {
			if found.Errors() == 0 || !strings.Contains(found[0].What, c.err) || found[0].Hint == "" || len(changes) > 0 {
				t.Errorf("%q: %v", c.text, found)
			}
			continue
		}
		if found.Errors() > 0 {
			t.Errorf("%q: %v", c.text, found)
		}
		do(t, b, changes...)
		var got []string
		for i, r := range b.Rows(Journaling) {
			got = append(got, told(b)[i], r.Cells["Journaling"])
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%q became\n%q, want\n%q", c.text, got, c.want)
		}
	}
}

// What people send becomes a book that reads to the same blocks; the files stay as they are.
func TestImport(t *testing.T) {
	for _, name := range []string{"samples/retreat.csv", "../shared/trials/crop.xlsx", "../shared/trials/numbered.csv", "../shared/trials/form-answers.csv", "../shared/intake/typed_by_hand.xlsx", "../shared/intake/odd_openpyxl.xlsx", "../shared/intake/odd_exceljs.xlsx", "../shared/intake/date1904.xlsx",
		"../shared/intake/inline_exceljs.xlsx", "../shared/intake/semicolon.csv", "../shared/intake/cp1252.csv"} {
		t.Run(filepath.Base(name), func(t *testing.T) {
			source, err := os.ReadFile(filepath.Join("../../..", name))
			if err != nil && strings.HasPrefix(name, "..") {
				t.Skip("it is not here")
			} else if err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			in := filepath.Join(dir, filepath.Base(name))
			if err := os.WriteFile(in, source, 0o644); err != nil {
				t.Fatal(err)
			}
			s := settings(t)
			want, _ := intake.Read([]string{in}, s)
			b, asked, found, err := Import(context.Background(), []string{in}, s)
			if err != nil || len(asked) > 0 {
				if len(want.Blocks)+len(want.Held) == 0 {
					return
				}
				t.Fatal(err, found, asked)
			}
			j, _ := intake.ReadTables(b.Input().Tables, s)
			if len(j.Blocks) != len(want.Blocks) {
				t.Errorf("%d blocks, want %d", len(j.Blocks), len(want.Blocks))
			}
			for i := range min(len(j.Blocks), len(want.Blocks)) {
				got, want := j.Blocks[i], want.Blocks[i]
				got.Place, got.Code, got.Unit = want.Place, want.Code, want.Unit
				if !reflect.DeepEqual(got, want) {
					t.Errorf("block %d is\n%+v\nwant\n%+v", i, got, want)
				}
			}
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			again, _, _, err := Import(context.Background(), []string{in}, s)
			if err != nil || !IsBook(again.Path()) || !reflect.DeepEqual(rowsOf(again), rowsOf(b)) {
				t.Errorf("the second time: %v", err)
			}
			if err := again.Close(); err != nil {
				t.Fatal(err)
			}
			if now, err := os.ReadFile(in); err != nil || string(now) != string(source) {
				t.Errorf("the file was changed (%v)", err)
			}
		})
	}
	if _, _, _, err := Import(context.Background(), nil, settings(t)); err == nil {
		t.Error("nothing was imported")
	}
	if _, _, found, err := Import(context.Background(), []string{filepath.Join(t.TempDir(), "none.xlsx")}, settings(t)); err == nil || found.Errors() == 0 {
		t.Error("what is not there was imported")
	}
}

// A book keeps the unit that it began with, whatever the settings say later.
func TestUnitStays(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	want := b.Input()
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	metric, found := config.Load(config.Source{Work: t.TempDir(), Flags: map[string]string{"units": "mm"}})
	if metric == nil {
		t.Fatal(found)
	}
	b, _, err := open(d, bookPath, metric)
	if err != nil || b.Unit() != measure.In {
		t.Fatal(err, b.Unit())
	}
	j, _ := intake.ReadTables(b.Input().Tables, metric)
	first, _ := intake.ReadTables(want.Tables, settings(t))
	for i := range first.Blocks {
		if j.Blocks[i].Space != first.Blocks[i].Space {
			t.Errorf("%v became %v", first.Blocks[i].Space, j.Blocks[i].Space)
		}
	}
}

// FuzzPaste: whatever is pasted, it is refused in words or can be taken in, and the job can be read.
func FuzzPaste(f *testing.F) {
	for _, s := range []string{"Name\tJournaling\tWidth\tHeight\nOdile\tText *b*\t4\t2", "a,b\n1,2", "Name;Journaling;Space\n\"x;y;4 x 2", "Stock\tWidth\tHeight\tCount\nvellum\t4\t4\t2", "\x00", "Odile\tx\ty\tz", "Name,Text,Text,Text 2,Width,Height\n1,2,3,4,5,6"} {
		f.Add(s)
	}
	s := settings(f)
	f.Fuzz(func(t *testing.T, text string) {
		b := blank(fakedisk.New(), bookPath, s)
		b.begin(&state{}, s.Unit, NewID())
		changes, found := b.Paste(text)
		if len(changes) == 0 && len(found) == 0 && strings.TrimSpace(text) != "" && strings.Count(text, "\n") > 3 {
			t.Logf("nothing of %q", text)
		}
		after, back, why := b.now.apply(changes)
		if why != nil {
			t.Fatalf("%q: %v", text, why)
		}
		if undone, _, why := after.apply(back); why != nil || len(undone.Rows[0])+len(undone.Rows[1]) > 0 {
			t.Fatalf("%q cannot be taken back: %v", text, why)
		}
		b.now = after
		intake.ReadTables(b.Input().Tables, s)
	})
}

// FuzzOpen: whatever a workbook holds, with a journal or without, it is refused or opened, nothing of the journal is lost, and it can be saved
// and opened again as it is.
func FuzzOpen(f *testing.F) {
	s := settings(f)
	d := fakedisk.New()
	b, err := create(d, bookPath, s)
	if err != nil {
		f.Fatal(err)
	}
	id := NewID()
	if _, err := b.Do(Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile"}, Change{Kind: Set, ID: id, Column: "Journaling", Text: "one *two*"}); err != nil {
		f.Fatal(err)
	}
	if err := b.Close(); err != nil {
		f.Fatal(err)
	}
	data, err := d.Read(bookPath)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data, 0, byte(0))
	f.Add(data, len(data)/2, byte(7))
	f.Add([]byte("Name,Journaling\nOdile,x"), 0, byte(0))
	f.Fuzz(func(t *testing.T, workbook []byte, at int, x byte) {
		workbook = slices.Clone(workbook)
		if len(workbook) > 0 {
			workbook[(at%len(workbook)+len(workbook))%len(workbook)] ^= x
		}
		for _, known := range []bool{true, false} {
			d := d.Restart(nil)
			if !known {
				if err := d.Remove("d/.x-desk/journal"); err != nil {
					t.Fatal(err)
				}
			}
			d.Put(bookPath, workbook)
			b, _, err := open(d, bookPath, s)
			if err != nil {
				if known {
					t.Fatalf("a book with its journal: %v", err)
				}
				continue
			}
			rows := rowsOf(b)
			if known && find(rows[0], id) < 0 {
				t.Fatalf("the row is lost: %v", rows)
			}
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			again, found, err := open(d, bookPath, s)
			if err != nil || len(found) > 0 || !reflect.DeepEqual(rowsOf(again), rows) {
				t.Fatalf("%v became %v: %v %v", rows, rowsOf(again), err, found)
			}
		}
	})
}

// What cannot all be taken in begins no book, which would stand in the place of the files from then on; and at whichever step the machine
// stops, there is none yet or one with all rows.
func TestImportIsWhole(t *testing.T) {
	s := settings(t)
	dir := t.TempDir()
	file := filepath.Join(dir, "many.csv")
	if err := os.WriteFile(file, []byte("Name,Journaling,Width,Height\n"+strings.Repeat("Odile Hart,We rowed out,4,2\n", MostRows+1)), 0o600); err != nil {
		t.Fatal(err)
	}
	if b, _, _, err := Import(context.Background(), []string{file}, s); err == nil {
		t.Fatalf("there is a book of %d rows, of %d", len(b.Rows(Journaling)), MostRows+1)
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) != 1 {
		t.Fatalf("the file is not alone: %v %v", left, err)
	}
	for stop := 1; ; stop++ {
		d := fakedisk.New()
		d.StopAt(stop, nil)
		id := NewID()
		b, err := create(d, bookPath, s, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"})
		after := d.Restart(nil)
		if _, no := after.Stat(bookPath); no == nil {
			if b, found, err := open(after, bookPath, s); err != nil || len(b.Rows(Journaling)) != 1 || b.Rows(Journaling)[0].Cells["Name"] != "Odile Hart" {
				t.Fatalf("stopped at step %d: %v %v", stop, found, err)
			}
		}
		if err == nil {
			if got := b.Rows(Journaling); len(got) != 1 {
				t.Fatalf("the rows are %v", got)
			}
			return
		}
	}
}

// Of a table that lacks a column rows are taken in all the same, and each row that is not is named: above its headings, and from other headings on.
func TestNothingLeftOutInSilence(t *testing.T) {
	const headless = "Name,Journaling,Width,Stock\nEve,words of Eve,4,vellum\nFay,words of Fay,4,vellum\n"
	for _, c := range []struct{ data, rows, told string }{
		{headless, "Eve Fay", ""},
		{headless + "\nName,Width,Journaling\nZoe,3,the words of Zoe\nYan,3,the words of Yan\n", "Eve Fay", "not taken over: rows 5 to 7"},
		{headless + "\nStock,Width,Height,Count\nvellum,8.5,11,7\n", "Eve Fay", "not taken over: rows 5 to 6"},
		{"Everything is in INCHES\n" + headless, "Eve Fay", "not taken over: row 1"},
		{"Everything is in INCHES\n" + headless + "\nStock,Width,Height,Count\nvellum,8.5,11,7\n", "Eve Fay", "not taken over: rows 1, 6 to 7"},
		{headless + headless, "Eve Fay Eve Fay", ""},
	} {
		file := filepath.Join(t.TempDir(), "more.csv")
		must(t, os.WriteFile(file, []byte(c.data), 0o600))
		_, b, _ := one(t)
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		var rows, told []string
		for _, r := range b.Rows(Journaling)[1:] {
			rows = append(rows, r.Cells["Name"])
		}
		for _, p := range found {
			if strings.HasPrefix(p.What, "not taken over") {
				told = append(told, p.What)
			}
		}
		if strings.Join(rows, " ") != c.rows || strings.Join(told, "; ") != c.told {
			t.Errorf("%q: %q, told %q of %v", c.data, rows, told, found)
		}
	}
}

// How a file has a cell does not show in the job's workbook: what there is to say of it is said when its rows are taken in.
func TestToldOnlyAtImport(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	style := func(cell string, st *excelize.Style) {
		n, err := f.NewStyle(st)
		must(t, err)
		must(t, f.SetCellStyle("Sheet1", cell, cell, n))
	}
	for i, row := range [][]any{{"Name", "Journaling", "Width", "Height", "Page"}, {"Eve", "Rain on the quay", 4, 2, 1}, {"ditto", "We ate \x01plums", 4, 2, 2}, {"Fay", "", 4, 2, 46114}} {
		must(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	must(t, f.SetCellRichText("Sheet1", "B4", []excelize.RichTextRun{{Text: "Ten m"}, {Text: "2", Font: &excelize.Font{VertAlign: "superscript"}}, {Text: " of hall"}}))
	style("B2", &excelize.Style{Font: &excelize.Font{Strike: true}})
	style("E4", &excelize.Style{NumFmt: 16})
	tum := `0" tum"`
	style("C4", &excelize.Style{CustomNumFmt: &tum}) // a unit that is not known here
	file := filepath.Join(t.TempDir(), "more.xlsx")
	must(t, f.SaveAs(file))
	_, b, _ := one(t)
	found, err := b.Take(context.Background(), []string{file})
	must(t, err)
	var told []string
	for _, p := range found {
		told = append(told, p.Place.Cell+" "+p.What)
	}
	if rows := b.Rows(Journaling); rows[len(rows)-1].Cells["Width"] != "4 tum" {
		t.Errorf("the width is %q", rows[len(rows)-1].Cells["Width"])
	}
	for _, want := range []string{"B2 “Rain on the quay” is struck through in the cell", "A3 “ditto” is taken for “Eve”, the name above", "B4 “2” is raised or lowered in the cell", "E4 the page became a date"} {
		if !slices.ContainsFunc(told, func(s string) bool { return strings.HasPrefix(s, want) }) {
			t.Errorf("%q is not told, but %q", want, told)
		}
	}
}

// TestToldWhereColumnsAreAsked: what only a file shows is told as well where a column that a block needs is not known, and will be asked about: remarks, strokes, also in that column,
// hidden rows and columns, what a comma has parted.
func TestToldWhereColumnsAreAsked(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range [][]any{{"Name", "Journaling", "Left to right", "Height", "Banner"}, {"Eve", "Rain on the quay", 4, 2, "June"}, {"Fay", "We ate plums", 4, 2, "July"}, {"Gus", "We stayed", 4, 2, "May"}} {
		must(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	strike, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	must(t, err)
	for _, cell := range []string{"B2", "C3", "E2"} {
		must(t, f.SetCellStyle("Sheet1", cell, cell, strike))
	}
	must(t, f.AddComment("Sheet1", excelize.Comment{Cell: "B3", Paragraph: []excelize.RichTextRun{{Text: "Please print this one twice"}}}))
	must(t, f.SetRowVisible("Sheet1", 4, false))
	must(t, f.SetColVisible("Sheet1", "D", false))
	file := filepath.Join(t.TempDir(), "more.xlsx")
	must(t, f.SaveAs(file))
	text := filepath.Join(t.TempDir(), "more.csv")
	must(t, os.WriteFile(text, []byte("Lady,Journaling,Width,Height\nEve,We went to Rome, then home,4,2\nFay,Rain,4,2\n"), 0o600))
	_, b, _ := one(t)
	var told []string
	for _, file := range []string{file, text} {
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		for _, p := range found {
			told = append(told, p.Place.Cell+" "+p.What)
		}
	}
	for _, want := range []string{"B2 “Rain on the quay” is struck through", "C3 “4” is struck through", "E2 “June” is struck through", "B3 a remark on the cell: “Please print this one twice”", " hidden rows were read: 4", " hidden columns were read: “Height”", " the row has 5 cells"} {
		if n := len(slices.DeleteFunc(slices.Clone(told), func(s string) bool { return !strings.HasPrefix(s, want) })); n != 1 {
			t.Errorf("%q is told %d times, of %q", want, n, told)
		}
	}
}

// A row that a comma has parted is told where it is taken in: in the job's workbook nothing shows it.
func TestPartedRowIsTold(t *testing.T) {
	for _, rows := range []string{"Name,Width,Height,Journaling,Note\nEve,3,2,We rowed out, then swam.,\nFay,3,2,We stayed,\n", "Name,Width,Height,Journaling\nEve,3,2,We rowed out, then swam.\nFay,3,2,We stayed\n"} {
		file := filepath.Join(t.TempDir(), "more.csv")
		must(t, os.WriteFile(file, []byte(rows), 0o600))
		_, b, _ := one(t)
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		if len(found) != 1 || found[0].Place.Row != 2 || !strings.Contains(found[0].What, "cells, and there are") {
			t.Errorf("%q: told %v", rows, found)
		}
	}
}

// Words beside the hidden steps of a form that was saved as text are taken in, as all that stands under no heading; the steps are not.
func TestWordsBesideTheSteps(t *testing.T) {
	row := make([]string, intake.FormSteps+intake.FormStepColumns)
	copy(row, []string{"Eve", "words of Eve", "4", "2", "fits: 3 of about 24 words"})
	row[intake.FormSteps], row[intake.FormSteps+1], row[intake.FormSteps+2] = "not on vellum", "12.5", "4"
	file := filepath.Join(t.TempDir(), "more.csv")
	must(t, os.WriteFile(file, []byte("Name,Journaling,Width,Height,Fits\n"+strings.Join(row, ",")+"\n"), 0o600))
	_, b, _ := one(t)
	_, err := b.Take(context.Background(), []string{file})
	must(t, err)
	rows := b.Rows(Journaling)
	got := fmt.Sprint(rows[len(rows)-1].Cells)
	if !strings.Contains(got, "not on vellum") || strings.Contains(got, "12.5") || strings.Contains(got, "fits") {
		t.Error(got)
	}
}

// What is left out of a table is told alike, whether it came as a file or was pasted: other tables below it, lines above its headings, rows that are at fault.
func TestPasteTellsWhatTakeTells(t *testing.T) {
	const rows = "Name,Journaling,Width,Height\nEve,words of Eve,4,2\nFay,words of Fay,4,2\n"
	whence := strings.NewReplacer(" of more.csv", "", " of what was pasted", "", " “stray”", "") // of columns without a heading of their own
	for _, c := range []struct{ text, told string }{
		{rows, ""},
		{rows + rows, ""},
		{rows + "\nName,Journaling,Width,Height,Stock,Title\nZoe,words of Zoe,3,2,vellum,Hello\n", "other headings stand here"},
		{rows + "\nName,Width,Journaling\nZoe,3,words of Zoe\n", "other headings stand here"},
		{rows + "\nStock,Width,Height,Count\nvellum,8.51,11.03,7\n", "other headings stand here"},
		{"All of it is for SATURDAY\n" + rows, "cells above the headings were not read: A1"},
		{"Zoe,words of Zoe,3,2\n" + rows, "the row stands above the headings"},
		{"Name,Journaling,Width,Stock\nEve,words of Eve,4,vellum\n\nStock,Width,Height,Count\nvellum,8.51,11.03,7\n", "not taken over: rows 4 to 5"},
		{rows + ",,,,stray\n", "were not read"},
		{"Name,Journaling,Width,Height,,Name,Width,Height,Journaling\nEve,words of Eve,4,2,,Zoe,3,1,words of Zoe\n", "text in column I would be lost"},
		{"Stock,Width,Height,Count\nvellum,8.51,11.03,7\n\nName,Note\nEve,hello\n", ""},
	} {
		file := filepath.Join(t.TempDir(), "more.csv")
		must(t, os.WriteFile(file, []byte(c.text), 0o600))
		_, b, _ := one(t)
		want, err := b.Take(context.Background(), []string{file})
		must(t, err)
		for i := range want {
			want[i].Place.File = pastedName
		}
		_, p, _ := one(t)
		changes, got := p.Paste(strings.ReplaceAll(c.text, ",", "\t"))
		do(t, p, changes...)
		for _, p := range slices.Concat(got, want) {
			if p.Open != nil {
				p.Open.Of = "" // each table is another
			}
			for i := 0; p.Open != nil && i < len(p.Open.Asks); i++ {
				p.Open.Asks[i] = whence.Replace(p.Open.Asks[i])
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%q: told %v, want %v", c.text, got, want)
		}
		if c.told != "" && !slices.ContainsFunc(got, func(p problem.Problem) bool { return strings.Contains(p.What, c.told) }) {
			t.Errorf("%q: %q is not told, but %v", c.text, c.told, got)
		}
		cells := func(b *Book) (out []string) {
			for s := range sheets {
				for _, r := range b.Rows(s) {
					out = append(out, whence.Replace(fmt.Sprint(r.Cells)))
				}
			}
			return out
		}
		if !slices.Equal(cells(p), cells(b)) {
			t.Errorf("%q: the rows are %q, want %q", c.text, cells(p), cells(b))
		}
	}
	// Rows without headings are numbered as they were pasted.
	_, b, _ := one(t)
	_, found := b.Paste("Eve\t7\twords of Eve\t4\t2\n\n\t\t\t\t\tstray\n")
	if len(found) != 2 || !strings.HasSuffix(found[0].What, "were not read: F3") || found[1].What != "the rows have no headings and were taken for Name, Page, Journaling, Width and Height" {
		t.Errorf("a cell in line 3: %v", found)
	}
}

// A link to a workbook leads to the job that lies beside the workbook, so that there is one journal, and one desk, for each.
func TestLinkedWorkbook(t *testing.T) {
	dir, other := t.TempDir(), t.TempDir()
	real, link := filepath.Join(dir, "job-desk.xlsx"), filepath.Join(other, "linked-desk.xlsx")
	if err := os.Symlink(real, link); err != nil {
		t.Skip("no links here: ", err)
	}
	b, err := New(real, settings(t))
	if err != nil {
		t.Fatal(err)
	}
	if c, _, _, err := Import(context.Background(), []string{link}, settings(t)); !IsBusy(err) {
		t.Errorf("it was opened a second time: %v", err)
		if c != nil {
			_ = c.Close()
		}
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	c, _, _, err := Import(context.Background(), []string{link}, settings(t))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	if left, err := os.ReadDir(other); c.Path() != real || err != nil || len(left) != 1 {
		t.Errorf("the job is at %s; beside the link are %v %v", c.Path(), left, err)
	}
}

// A file from which a job began is only read once. What it holds later, and what a second file holds that is given with it, is not in the job, and
// that is said.
func TestFilesThatWereNotTaken(t *testing.T) {
	dir := t.TempDir()
	first, second := filepath.Join(dir, "a.csv"), filepath.Join(dir, "b.csv")
	const rows = "Name,Journaling,Width,Height\nOdile Hart,We rowed out,4,2\n"
	write := func(path, text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write(first, rows)
	write(second, rows+"Sunil Rao,We came back,4,2\n")
	told := func(take string, inputs ...string) (files []string) {
		t.Helper()
		b, _, found, err := Import(context.Background(), inputs, settings(t))
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range found {
			if p.Severity == problem.Error && p.Hint != "" && strings.Contains(p.What, "not in the job") {
				files = append(files, p.Place.File)
			}
		}
		if take != "" {
			if _, err := b.Take(context.Background(), []string{take}); err != nil {
				t.Fatal(err)
			}
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		return files
	}
	for _, c := range []struct {
		name, take string
		before     func()
		inputs     []string
		want       []string
	}{
		{name: "begun", inputs: []string{first}},
		{name: "as it was", inputs: []string{first}},
		{name: "by its workbook", inputs: []string{filepath.Join(dir, "a-desk.xlsx")}},
		{name: "a row more", before: func() { write(first, rows+"Mia Kowal,We swam,4,2\n") }, inputs: []string{first}, want: []string{"a.csv"}},
		{name: "and another file", inputs: []string{first, second}, want: []string{"a.csv", "b.csv"}, take: first},
		{name: "one of them taken", inputs: []string{first, second}, want: []string{"b.csv"}, take: second},
		{name: "both taken", inputs: []string{first, second}},
		{name: "the folder", before: func() { write(filepath.Join(dir, "c.csv"), "Name,Journaling,Width,Height\nIda Lund,We slept,4,2\n") }, inputs: []string{first, dir}, want: []string{"c.csv"}},
	} {
		if c.before != nil {
			c.before()
		}
		if got := told(c.take, c.inputs...); !slices.Equal(got, c.want) {
			t.Errorf("%s: told of %q, want %q", c.name, got, c.want)
		}
	}
}

// A workbook that was deleted, or moved away, while nobody had the job open is there again with all that was typed, whether the job is opened by its
// own name or by that of the file that it began with. Only what is left of a job without rows makes way for a new one.
func TestImportWithoutWorkbook(t *testing.T) {
	for _, by := range []string{"crop.csv", "crop-desk.xlsx"} {
		for _, typed := range []bool{true, false} {
			dir, s := t.TempDir(), settings(t)
			source, book := filepath.Join(dir, "crop.csv"), filepath.Join(dir, "crop-desk.xlsx")
			if err := os.WriteFile(source, []byte("Name,Journaling,Width,Height\nMia Kerr,We rowed out.,4,2\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			b, _, _, err := Import(context.Background(), []string{source}, s)
			if err != nil {
				t.Fatal(err)
			}
			row := b.Rows(Journaling)[0].ID
			if _, err := b.Do(Change{Kind: Set, ID: row, Column: "Title", Text: "At sea"}); err != nil {
				t.Fatal(err)
			}
			if !typed {
				if _, err := b.Do(Change{Kind: Remove, ID: row}); err != nil {
					t.Fatal(err)
				}
			}
			if err := errors.Join(b.Close(), os.Remove(book)); err != nil {
				t.Fatal(err)
			}
			b, _, found, err := Import(context.Background(), []string{filepath.Join(dir, by)}, s)
			if !typed && by == "crop-desk.xlsx" {
				if err == nil {
					t.Error("a job of no rows, and without a workbook, was opened")
				}
				continue
			} else if err != nil {
				t.Fatal(by, err)
			}
			title := b.Rows(Journaling)[0].Cells["Title"]
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			if _, err := os.Stat(book); err != nil {
				t.Error(by, err)
			}
			if typed && (title != "At sea" || len(found) == 0 || !strings.Contains(found[0].What, "the workbook was not there")) {
				t.Errorf("%s: the title is %q; told: %v", by, title, found)
			} else if !typed && title != "" {
				t.Errorf("%s: a job of no rows was kept: %q", by, title)
			}
		}
	}
}
