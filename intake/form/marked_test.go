package form

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// read reads files given by their contents: name, content, name, content, ...
func read(t testing.TB, files ...string) (*intake.Job, problem.List) {
	t.Helper()
	return intake.Read(intaketest.Write(t, files...), intaketest.Home())
}

func markedBook(t testing.TB, job *intake.Job, problems problem.List) (*excelize.File, string) {
	t.Helper()
	var b bytes.Buffer
	if err := WriteMarked(&b, job, problems, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	return opened(t, b.Bytes()), b.String()
}

// The marked workbook has every row at its number, the faulty cells with comments, and reads back with the same
// problems.
func TestMarked(t *testing.T) {
	csv := intaketest.Rows([]string{"Name=Pim", "Width=0", "Stock=velum"}, []string{"Name=Odile", "Journaling=*Rain* in Larvik 2026"},
		[]string{"Name=Pim", "Journaling==HYPERLINK(\"x\") in Larvik 2026", "Width=2-Apr"})
	job, problems := read(t, "a.csv", csv, "b/a.csv", strings.ReplaceAll(csv, "*Rain*", "*Snow*"))
	problems.Add(problem.Place{File: job.Blocks[0].Place.File, Row: 3, Column: "Journaling"}, "the text is too long", "", "drop 3 words")
	f, data := markedBook(t, job, problems)
	if got := strings.Join(f.GetSheetList(), ", "); got != "Problems, a, a 2, Lists" {
		t.Errorf("sheets %s", got)
	}
	comments, err := f.GetComments("a")
	if err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, c := range comments {
		text := c.Text
		for _, r := range c.Paragraph {
			text += r.Text
		}
		said[c.Cell] = text
	}
	for cell, want := range map[string]string{"C2": "the width is 0", "E2": "taken for “vellum”", "B3": "drop 3 words",
		"C4": "became a date"} {
		if !strings.Contains(said[cell], want) {
			t.Errorf("comment at %s: %q", cell, said[cell])
		}
		style, _ := f.GetCellStyle("a", cell)
		if s, err := f.GetStyle(style); err != nil || len(s.Fill.Color) != 1 || s.Fill.Color[0] == "" {
			t.Errorf("%s has no colour: %+v", cell, s)
		}
	}
	if who, _ := f.GetCellValue("Problems", "A3"); who != "Pim" {
		t.Errorf("whose: %q", who)
	}
	if formula, _ := f.GetCellFormula("a", "B4"); formula != "" {
		t.Errorf("a text became the formula %s", formula)
	}
	again, problems2 := read(t, "mended.xlsx", data)
	if len(again.Blocks) != 2 || len(again.Held) != 4 || !again.Blocks[0].Text[0][0].Bold {
		t.Errorf("read again: %d blocks, %d held\n%s", len(again.Blocks), len(again.Held), intaketest.Say(problems2))
	}
	if got := intaketest.Say(problems2); !strings.Contains(got, "error mended.xlsx/a 2 C2: the width is 0\n") || strings.Contains(got,
		"Problems") {
		t.Errorf("problems: %s", got)
	}
}

// Names that no sheet may have, and stray rows, make no trouble; nor do thousands of problems.
func TestMarkedLimits(t *testing.T) {
	var list [][]string
	for i := range 3000 / intaketest.Raced {
		list = append(list, []string{fmt.Sprintf("Name=P%d", i), "Width=0"})
	}
	stray := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 0, 2})
		if err := f.SetCellValue("Sheet1", "XFD200000", 1); err != nil {
			t.Fatal(err)
		}
	})
	job, problems := read(t, "what [is] this'.csv", intaketest.Rows(list...), strings.Repeat("long", 20)+".csv", intaketest.Rows([]string{"Journaling=Plums."}),
		strings.Repeat("long", 20)+"2.csv", intaketest.Rows([]string{"Journaling=Pears."}))
	began := time.Now()
	f, _ := markedBook(t, job, problems)
	if took := time.Since(began); took > intaketest.Raced*10*time.Second {
		t.Errorf("took %v", took)
	}
	if got := len(f.GetSheetList()); got != 5 {
		t.Errorf("%d sheets", got)
	}
	if job, problems = read(t, "stray.xlsx", stray); WriteMarked(io.Discard, job, problems, intaketest.Home()) == nil {
		t.Error("a cell that is far away is lost")
	}
	if WriteMarked(io.Discard, &intake.Job{}, nil, intaketest.Home()) == nil {
		t.Error("a workbook without rows would take the place of an earlier one")
	}
}

// TestMarkedOfManyBlocks: a copy of rows that may have 99 blocks each, and mostly have none, takes little for a row: a merged cell over them all is asked about once a row,
// and of hundreds of columns those are looked at that have something to mark.
func TestMarkedOfManyBlocks(t *testing.T) {
	head, row := []any{"Name", "Page"}, []any{"Ada Lind", "p", "In May we", 3, 2, "vellum"}
	for i := range 99 {
		for _, h := range []string{"Journaling", "Width", "Height", "Stock"} {
			head = append(head, fmt.Sprint(h, " ", i+1))
		}
	}
	rows := [][]any{head, row}
	for range 4_000 {
		rows = append(rows, row[:2])
	}
	job, problems := read(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", rows...)
		for _, col := range []string{"C", "D", "E", "F"} {
			if err := f.MergeCell("Sheet1", col+"2", fmt.Sprint(col, len(rows))); err != nil {
				t.Fatal(err)
			}
		}
	}))
	began := intaketest.Processor()
	if err := WriteMarked(io.Discard, job, problems, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	if took := intaketest.Processor() - began; len(job.Blocks) != 4001 || took > intaketest.Raced*time.Second {
		t.Errorf("%d blocks; the copy took %v", len(job.Blocks), took)
	}
}

// TestMarkedUnknown: the copy of a table whose heading nobody knows, mended in the copy, says what the table says where it is mended itself: formulas without a result,
// merged cells, numbers whose format shows more, remarks.
func TestMarkedUnknown(t *testing.T) {
	for name, c := range map[string]struct {
		heading, mended string
		fill            func(f *excelize.File)
		want            string // in what is said, or in the blocks
	}{
		"formulas": {"Papperssort", "Stock", func(f *excelize.File) {
			for row, formula := range []string{`"card"&"stock"`, "E2", `IF(1,"cardstock")`} {
				_ = f.SetCellFormula("Sheet1", fmt.Sprint("E", row+2), formula)
			}
		}, "formula"},
		"merged cells": {"Papperssort", "Stock", func(f *excelize.File) {
			_ = f.SetCellStr("Sheet1", "E2", "cardstock")
			_ = f.MergeCell("Sheet1", "E2", "E4")
		}, "cardstock"},
		"remarks": {"Left to right", "Width", func(f *excelize.File) {
			_ = f.AddComment("Sheet1", excelize.Comment{Cell: "B2", Author: "Bo", Text: "please spell it Kathryn"})
			_ = f.AddComment("Sheet1", excelize.Comment{Cell: "C1", Author: "Bo", Text: "all measured twice"})
		}, "Kathryn"},
		"numbers": {"Left to right", "Width", func(f *excelize.File) {
			for row, format := range []string{`0" 1/2"`, `0" 1/4 in"`, `0.0" cm (with mat)"`} {
				style, _ := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
				_ = f.SetCellStyle("Sheet1", fmt.Sprint("C", row+2), fmt.Sprint("C", row+2), style)
			}
		}, "4 1/2"},
	} {
		book := func(heading string) string {
			return intaketest.Saved(t, func(f *excelize.File) {
				intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", "Own"}, []any{"Ann", "We met in May", 4, 2}, []any{"Bea", "We met in June", 5, 2}, []any{"Cid", "We met in July", 6, 2})
				at := "E1"
				if c.mended == "Width" {
					at = "C1"
				}
				_ = f.SetCellStr("Sheet1", at, heading)
				c.fill(f)
			})
		}
		says := func(data string) (out string) {
			job, problems := read(t, "a.xlsx", data)
			for _, b := range job.Blocks {
				out += fmt.Sprintln(b.Owner, b.Stock, b.Space.Format(measure.In))
			}
			for _, h := range job.Held {
				out += "held: " + h.Owner + "\n"
			}
			for _, p := range problems {
				if strings.HasPrefix(p.What, intake.RemarkOn) || strings.Contains(p.What, "formula") {
					out += p.Place.Cell + ": " + p.What + "\n"
				}
			}
			return out
		}
		want := says(book(c.mended))
		job, problems := read(t, "a.xlsx", book(c.heading))
		f, _ := markedBook(t, job, problems)
		for _, sheet := range f.GetSheetList() {
			rows, _ := f.GetRows(sheet)
			for r, row := range rows {
				for k, text := range row {
					if at, _ := excelize.CoordinatesToCellName(k+1, r+1); text == c.heading && sheet != table.ProblemsSheet {
						_ = f.SetCellStr(sheet, at, c.mended)
					}
				}
			}
		}
		var b bytes.Buffer
		if err := f.Write(&b); err != nil {
			t.Fatal(err)
		}
		got := says(b.String())
		if name == "formulas" { // an error's text in place of the result: held as well
			if strings.Count(got, "held: ") != 3 || strings.Count(want, "held: ") != 3 {
				t.Errorf("%s:\n%s\nwanted\n%s", name, got, want)
			}
			continue
		}
		if got != want || !strings.Contains(fmt.Sprint(want, b.Len()), c.want) && name != "numbers" {
			t.Errorf("%s:\n%s\nwanted\n%s", name, got, want)
		}
	}
}

// TestRemarksBeyondTheMost: where there are too many marks to have a comment each, no copy is made that would lack a remark of a table that was not read, wherever
// in it that is.
func TestRemarksBeyondTheMost(t *testing.T) {
	for cell, whole := range map[string]bool{"A1": false, "B1": false, "C2": false, "": true} {
		job, problems := read(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
			rows := [][]any{intaketest.Head}
			for i := range mostComments + 50 {
				rows = append(rows, []any{"Pim", fmt.Sprint(intaketest.Story, i), "about 4", 2})
			}
			intaketest.Put(t, f, "Sheet1", rows...)
			_, _ = f.NewSheet("B")
			intaketest.Put(t, f, "B", []any{"Name", "Journaling", "Left to right", "Height"}, []any{"Ann", "We met in May", 4, 2})
			if cell != "" {
				_ = f.AddComment("B", excelize.Comment{Cell: cell, Author: "Bo", Text: "all of these on vellum please"})
			}
		}))
		err := WriteMarked(io.Discard, job, problems, intaketest.Home())
		if (err == nil) != whole || err != nil && !strings.Contains(err.Error(), "what is remarked") {
			t.Errorf("%s: %v", cell, err)
		}
	}
}

// TestMarkedForm: a form that comes back marked looks as it came: the live column counts, its steps and the columns in which nobody typed are
// folded away, the drop-downs are there; and advice colours nothing.
func TestMarkedForm(t *testing.T) {
	var b bytes.Buffer
	if err := Write(&b, intaketest.Home(), Options{}); err != nil {
		t.Fatal(err)
	}
	f := opened(t, b.Bytes())
	at := map[string]string{}
	heads, _ := f.GetRows("Journaling")
	for i, h := range heads[0] {
		at[strings.TrimSuffix(h, " (in)")] = string(rune('A' + i))
	}
	for heading, text := range map[string]string{"Name": "Ada Lind", "Journaling": "Plums.", "Width": "4", "Height": "2", "Stock": "birch"} {
		if err := f.SetCellStr("Journaling", at[heading]+"2", text); err != nil {
			t.Fatal(err)
		}
	}
	job, problems := read(t, "form.xlsx", intaketest.Bytes(t, f))
	problems.Advise(problem.Place{File: "form.xlsx", Sheet: "Journaling", Row: 2, Column: "Journaling", Cell: at["Journaling"] + "2"}, "the text has no date", "", "")
	m, data := markedBook(t, job, problems)
	sheet := m.GetSheetList()[1]
	for col := range 60 {
		shown, err := m.GetColVisible(sheet, table.Letters(col))
		if err != nil {
			t.Fatal(err)
		}
		if short := col < len(columns) && columns[col].Form.Short; shown != (short || col >= len(columns) && !helper(t, m, sheet, col)) {
			t.Errorf("column %s is shown: %v", table.Letters(col), shown)
		}
	}
	if fits, err := m.CalcCellValue(sheet, at["Fits"]+"2"); fits != "fits: 1 of about 124 words" {
		t.Errorf("the count says %q, %v", fits, err)
	}
	lists, err := m.GetDataValidations(sheet)
	if err != nil || len(lists) != 4 {
		t.Errorf("%d drop-downs, %v", len(lists), err)
	}
	comments, _ := m.GetComments(sheet)
	if len(comments) != 1 || comments[0].Cell != at["Stock"]+"2" {
		t.Errorf("%+v", comments)
	}
	again, said := read(t, "marked.xlsx", data)
	if len(again.Held) != 1 || said.Errors() != problems.Errors() {
		t.Errorf("%s", intaketest.Say(said))
	}
}

// helper reports a column with formulas.
func helper(t *testing.T, f *excelize.File, sheet string, col int) bool {
	t.Helper()
	formula, err := f.GetCellFormula(sheet, table.Address(col, 2))
	if err != nil {
		t.Fatal(err)
	}
	return formula != ""
}

// TestMarkedIsWhole draws tables with something at their limits: the marked workbook has every cell, or the error says which it would lack.
func TestMarkedIsWhole(t *testing.T) {
	for name, c := range map[string]struct {
		cell, text string
		refused    bool
	}{
		"a far column":         {"ZZ2", "far", false},
		"the last row":         {"B100000", "far", false},
		"a row beyond":         {"B100001", "far", true},
		"the longest text":     {"B2", strings.Repeat("x", 32_767), false},
		"a text beyond":        {"B2", strings.Repeat("x", 32_768), true},
		"a text of two halves": {"B2", strings.Repeat("\U0001F600", 16_384), true},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "x", 4, 2})
		})
		job, problems := read(t, "a.xlsx", data)
		col, row, err := excelize.CellNameToCoordinates(c.cell)
		if err != nil {
			t.Fatal(err)
		}
		r := &job.Sheets[0].Rows[1] // as if a CSV file had it: no workbook can
		if row != r.N {
			job.Sheets[0].Rows = append(job.Sheets[0].Rows, table.Row{N: row})
			r = &job.Sheets[0].Rows[2]
		}
		if k := r.At(col - 1); k != nil {
			k.Text = c.text
		} else {
			r.Cells = append(r.Cells, table.Cell{Col: col - 1, Text: c.text})
		}
		var b bytes.Buffer
		var p *problem.Problem
		err = WriteMarked(&b, job, problems, intaketest.Home())
		if errors.As(err, &p) != c.refused || p != nil && p.Place.Row != row {
			t.Errorf("%s: %v", name, err)
		}
		if c.refused || err != nil {
			continue
		}
		f, err := excelize.OpenReader(&b)
		if err != nil {
			t.Fatal(err)
		}
		if got, _ := f.GetCellValue("a Sheet1", c.cell); got != c.text {
			t.Errorf("%s: %d bytes of %d in %v", name, len(got), len(c.text), f.GetSheetList())
		}
		f.Close()
	}
}

// TestMarkedNames: what a sheet's name says of the unit is in the name of its copy, however long the file's is.
func TestMarkedNames(t *testing.T) {
	for _, sheet := range []string{"Sizes in cm", "The sizes that we want, in cm", "Every one of our sizes is in cm"} {
		book := intaketest.Saved(t, func(f *excelize.File) {
			if err := f.SetSheetName("Sheet1", sheet); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, sheet, []any{"Name", "Journaling", "Width", "Height"}, []any{"Pim", intaketest.Story, 8, 5})
		})
		files := []string{"Autumn retreat 2026 journaling.xlsx", book, "Autumn retreat 2026 more of it.xlsx", strings.Clone(book)}
		job, problems := read(t, files...)
		_, data := markedBook(t, job, problems)
		if again, said := read(t, "m.xlsx", data); len(job.Held) != 2 || len(again.Held) != 2 {
			t.Errorf("%s: %d held, %d in the copy: %s", sheet, len(job.Held), len(again.Held), intaketest.Say(said))
		}
	}
}

// TestMarkedFileUnit: so it is where the file's name says it, and that is too long for a sheet's name; a list of paper keeps it, too.
func TestMarkedFileUnit(t *testing.T) {
	tab := func(name string) string {
		return intaketest.Saved(t, func(f *excelize.File) {
			if err := f.SetSheetName("Sheet1", name); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, name, []any{"Name", "Journaling", "Width", "Height"}, []any{"Pim", intaketest.Story, 8, 5})
		})
	}
	csv := "Name,Journaling,Width,Height\nPim,\"" + intaketest.Story + "\",8,5\n"
	for name, data := range map[string]string{"Retreat at the mill 2026, all sizes in cm.csv": csv, "retreat cm.csv": csv, "retreat cm.xlsx": tab("Journaling of all people"), "Retreat 2026, sizes in cm.xlsx": tab("Texts of everybody")} {
		job, problems := read(t, name, data, "Paper in cm.csv", "Stock,Width,Height,Count\nvellum,20,10,3\n")
		_, copied := markedBook(t, job, problems)
		if again, said := read(t, "m.xlsx", copied); len(job.Held) != 1 || len(again.Held) != 1 || len(job.Paper)+len(again.Paper) > 0 {
			t.Errorf("%s: %d held, %d in the copy, %v and %v of paper: %s", name, len(job.Held), len(again.Held), job.Paper, again.Paper, intaketest.Say(said))
		}
	}
}

// Nor in another one than its original was, where only the settings of that run said in what: it is asked about, also in a list of paper.
func TestMarkedUnitOfSettings(t *testing.T) {
	for _, unit := range []measure.Unit{measure.Cm, measure.In} {
		markedUnitOf(t, unit)
	}
}

func markedUnitOf(t *testing.T, unit measure.Unit) {
	settings, others := intaketest.Home(), intaketest.Home()
	settings.Unit, settings.File, others.Unit = unit, "tuckmark.yaml", measure.Mm
	files := intaketest.Write(t, "r.csv", "Name,Journaling,Width,Height\nPim,\""+intaketest.Story+"\",8,5\n", "paper.csv", "Stock,Width,Height,Count\nvellum,20,10,3\n")
	job, problems := intake.Read(files, settings)
	var b bytes.Buffer
	if err := WriteMarked(&b, job, problems, settings); err != nil || len(job.Blocks) != 1 || len(job.Paper) != 1 {
		t.Fatal(err, intaketest.Say(problems))
	}
	again, said := intake.Read(intaketest.Write(t, "m.xlsx", b.String()), others)
	if len(again.Blocks) > 0 || len(again.Paper) > 0 || said.Errors() < 3 {
		t.Errorf("%v and %v of paper: %s", again.Blocks, again.Paper, intaketest.Say(said))
	}
	again, said = intake.Read(intaketest.Write(t, "m.xlsx", b.String()), settings)
	if len(again.Blocks) != 1 || again.Blocks[0].Space != job.Blocks[0].Space || len(again.Paper) != 1 || again.Paper[0].Size != job.Paper[0].Size || said.Errors() > 0 {
		t.Errorf("with the same settings: %v and %v of paper: %s", again.Blocks, again.Paper, intaketest.Say(said))
	}
}

// What leaves the unit open in a file leaves it open in its marked copy, with the settings of any unit.
func TestMarkedUnitOpen(t *testing.T) {
	for _, unit := range []measure.Unit{measure.Cm, measure.In} {
		s := intaketest.Home()
		s.Unit, s.File = unit, "tuckmark.yaml"
		other := map[measure.Unit]string{measure.Cm: "in", measure.In: "cm"}[unit]
		for _, csv := range []string{"Name,Journaling,Width,Height,Tuck (" + other + ")\nPim,\"" + intaketest.Story + "\",8,5,0.5\n", "Name,Journaling,Width,Height\nPim,\"" + intaketest.Story + "\",8,5\nAll sizes in " + other + ",,,\n",
			"Name (sizes in " + other + "),Journaling,Width,Height\nPim,\"" + intaketest.Story + "\",8,5\n"} {
			job, problems := intake.Read(intaketest.Write(t, "r.csv", csv), s)
			var b bytes.Buffer
			if err := WriteMarked(&b, job, problems, s); err != nil || len(job.Blocks) > 0 {
				t.Fatal(err, csv, intaketest.Say(problems))
			}
			if again, said := intake.Read(intaketest.Write(t, "m.xlsx", b.String()), s); len(again.Blocks) > 0 {
				t.Errorf("%s in %s: %v %s", csv, unit, again.Blocks, intaketest.Say(said))
			}
		}
		tab := intaketest.Saved(t, func(f *excelize.File) {
			if err := f.SetSheetName("Sheet1", other); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, other, []any{"Name", "Journaling", "Width", "Height"}, []any{"Pim", intaketest.Story, 8, 5})
		})
		job, problems := intake.Read(intaketest.Write(t, "retreat.xlsx", tab), s)
		var b bytes.Buffer
		if err := WriteMarked(&b, job, problems, s); err != nil || len(job.Blocks) > 0 {
			t.Fatal(err, intaketest.Say(problems))
		}
		if again, said := intake.Read(intaketest.Write(t, "m.xlsx", b.String()), s); len(again.Blocks) > 0 {
			t.Errorf("the tab %s in %s: %v %s", other, unit, again.Blocks, intaketest.Say(said))
		}
	}
}

// A marked copy is never read beside what it is a copy of, and is read by itself, whatever the files are called.
func TestMarkedBesideItsOriginal(t *testing.T) {
	for _, name := range []string{"help.csv", "lists.csv", "problems.csv", "a.csv"} {
		csv := intaketest.Rows([]string{"Name=Pim", "Width=x"})
		job, problems := read(t, name, csv)
		_, data := markedBook(t, job, problems)
		again, said := read(t, "m.xlsx", data)
		if len(again.Held) != 1 || said.Errors() != 1 {
			t.Errorf("%s: %s", name, intaketest.Say(said))
		}
		for _, copied := range []string{"m.xlsx", "n.xlsx", "o.xlsx"} { // and a copy of the copy, and so on
			if _, said = read(t, name, csv, copied, data); !strings.Contains(intaketest.Say(said), "error "+copied+": the file is a copy of “"+name+"” with") {
				t.Errorf("%s and %s: %s", name, copied, intaketest.Say(said))
			}
			job, problems = read(t, copied, data)
			_, data = markedBook(t, job, problems)
		}
	}
}

// TestMarkedOverBlocks: what is merged over the columns of several blocks of a row is that of each in the copy as well.
func TestMarkedOverBlocks(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Text 1", "Text 2", "Width", "Height", "Stock 1", "Stock 2", "Title 1", "Title 2"},
			[]any{"Pim", intaketest.Story, "Plums.", 4, 2, "clear sticker", "", "May", ""}, []any{"Odile", "Figs.", "Pears.", 4, "x", "clear sticker", "", "June", ""})
		for _, m := range []string{"F2:G2", "H2:I2", "F3:G3", "H3:I3"} {
			from, to, _ := strings.Cut(m, ":")
			if err := f.MergeCell("Sheet1", from, to); err != nil {
				t.Fatal(err)
			}
		}
	})
	job, problems := read(t, "a.xlsx", data)
	f, copied := markedBook(t, job, problems)
	f.Close()
	again, said := read(t, "b.xlsx", copied)
	if was, is := placeless(job), placeless(again); len(job.Blocks) != 2 || job.Blocks[1].Stock != "clear sticker" || job.Blocks[1].Title != "May" || !reflect.DeepEqual(was, is) || len(again.Held) != 2 || again.Held[1].Read.Stock != "clear sticker" {
		t.Errorf("%+v\n%+v\n%s\n%s", was, is, intaketest.Say(problems), intaketest.Say(said))
	}
}

// TestRepliesInOurs: what people type into the notes and the lists that this program wrote comes back with them, and these by themselves are not told.
func TestRepliesInOurs(t *testing.T) {
	remark := "please leave this out altogether, since nobody knows yet whether it will be needed"
	job, problems := read(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", nil, 4, 2}, []any{"Ida", intaketest.Story, "x", 2}, []any{"Odile", intaketest.Story, 4, 2})
		if err := errors.Join(f.SetSheetName("Sheet1", "Journaling"), f.AddComment("Journaling", excelize.Comment{Cell: "C3", Author: "Ida", Text: remark}), f.AddComment("Journaling", excelize.Comment{Cell: "D4", Author: "Odile", Text: remark})); err != nil {
			t.Fatal(err)
		}
	}))
	f, data := markedBook(t, job, problems)
	notes := map[string]string{}
	comments, err := f.GetComments("a")
	if err != nil || len(comments) < 2 {
		t.Fatal(comments, err)
	}
	for _, c := range comments {
		notes[c.Cell] = c.Text
		for _, r := range c.Paragraph {
			notes[c.Cell] += r.Text
		}
	}
	again := func(cell, note, author string) {
		if err := errors.Join(f.DeleteComment("a", cell), f.AddComment("a", excelize.Comment{Cell: cell, Author: author, Text: note})); err != nil {
			t.Fatal(err)
		}
	}
	again("B2", notes["B2"]+"\nWe bought plums", "tuckmark")
	again("C3", strings.Replace(notes["C3"], "measure", "measure: it is 4", 1), "")
	if err := errors.Join(f.SetCellStr("Problems", "I2", "done: plums"), f.SetCellStr("Problems", "A9", "and below the text"), f.AddComment("Problems", excelize.Comment{Cell: "G2", Author: "Ida", Text: "is it?"})); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string]string{"untouched": data, "typed into": intaketest.Bytes(t, f), "by LibreOffice": office(t, f)} {
		if data == "" {
			continue
		}
		_, problems := read(t, "m.xlsx", data)
		said := intaketest.Say(problems)
		for _, want := range []string{"a 2 B2: a remark on the cell: “We bought plums”", "a 3 C3: a remark on the cell: “tuckmark: “x” is not a measure: it is 4", "Problems: cells that were typed beside what the sheet says were not read: A2:G2, I2:J2 and A9\n",
			"Problems 2 G2: a remark on the cell: “is it?”"} {
			if strings.Contains(said, want) == (name == "untouched") {
				t.Errorf("%s: %q: %s", name, want, said)
			}
		}
		if name == "untouched" && (strings.Count(said, "a remark on the cell: “please leave this out") != 2 || strings.Count(said, "remark") != 2 || strings.Contains(said, "typed")) {
			t.Error(said)
		}
	}
}
