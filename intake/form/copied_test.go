package form

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// placeless are the blocks and the paper of a job without their places, which name the file; who is held back, and by what.
func placeless(j *intake.Job) (out []any) {
	for _, b := range j.Blocks {
		b.Place = problem.Place{}
		out = append(out, b)
	}
	for _, p := range j.Paper {
		p.Place = problem.Place{}
		out = append(out, p)
	}
	for _, h := range j.Held {
		out = append(out, h.Owner+": "+h.Why)
	}
	return out
}

// TestMarkedSaysTheSame: a marked copy is read as its original is, whatever cells are merged there, and with its lists of paper.
func TestMarkedSaysTheSame(t *testing.T) {
	heads := []any{"Name", "Journaling", "Width", "Height", "Stock", "Copies", "Size", "Ink", "Note", "Nickname"}
	r := rand.New(rand.NewPCG(1, 13))
	for n := range 25 {
		rows := [][]any{heads}
		for i := range 8 {
			row := []any{"Ann Berg", fmt.Sprintf("Plums, basket %d.", i), 4, 2, "vellum", 2, 14, "red", "", ""}
			for k := range row {
				switch {
				case r.IntN(4) == 0:
					row[k] = nil
				case k == 2 && r.IntN(6) == 0:
					row[k] = "wide"
				}
			}
			if r.IntN(6) == 0 { // asked for by nothing of its own
				row = nil
			}
			rows = append(rows, row)
		}
		price := r.IntN(2)
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", rows...)
			for range 1 + r.IntN(4) {
				col, from := 1+r.IntN(len(heads)), 2+r.IntN(6)
				a, _ := excelize.CoordinatesToCellName(col, from)
				b, _ := excelize.CoordinatesToCellName(min(len(heads), col+r.IntN(2)), from+r.IntN(4))
				if err := f.MergeCell("Sheet1", a, b); err != nil {
					t.Fatal(err)
				}
			}
			for _, name := range []string{"Paper", "Leftovers", "Stock we have"}[:1+r.IntN(3)] {
				if _, err := f.NewSheet(name); err != nil {
					t.Fatal(err)
				}
				intaketest.Put(t, f, name, []any{"What lies in the folder"}, []any{"Stock", "Width", "Height", "Count", "Price"},
					[]any{"vellum", 8.5, 11, 3, 1.25}, []any{"cardstock", 5, 7.25, 2}, []any{"velum", 5, 7, "two"})
				style, err := f.NewStyle(&excelize.Style{CustomNumFmt: []*string{new(`"€"0.00`), new("0.00")}[price]})
				if err != nil {
					t.Fatal(err)
				}
				if err := f.SetCellStyle(name, "E3", "E3", style); err != nil {
					t.Fatal(err)
				}
			}
		})
		job, problems := read(t, "a.xlsx", data)
		f, copied := markedBook(t, job, problems)
		f.Close()
		again, said := read(t, "b.xlsx", copied)
		if was, is := placeless(job), placeless(again); !reflect.DeepEqual(was, is) || len(job.Paper) == 0 || problems.Errors() != said.Errors() {
			t.Fatalf("job %d:\n%+v\n%+v\n%s\n%s", n, was, is, intaketest.Say(problems), intaketest.Say(said))
		}
	}
}

// TestMarkedHeadings: so is one with two rows of headings, some of which are merged over both.
func TestMarkedHeadings(t *testing.T) {
	for _, merged := range [][]string{{"A1:A2", "B1:D1", "E1:G1"}, {"A1:A2", "H1:H2", "I1:I2", "B1:D1", "E1:G1"}, {"A1:A2"}, {}} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Block 1", nil, nil, "Block 2", nil, nil, "Page", "Stock"}, []any{nil, "Text", "Width", "Height", "Text", "Width", "Height"},
				[]any{"Pim", intaketest.Story, 4, 2, "Plums.", 5, 3, 7, "vellum"})
			if len(merged) != 5 {
				intaketest.Put(t, f, "Sheet1", []any{"Name", "Block 1", nil, nil, "Block 2", nil, nil, "", ""})
			}
			if len(merged) == 0 {
				intaketest.Put(t, f, "Sheet1", []any{"Blocks"}, []any{"Name", "Text", "Width", "Height", "Text", "Width", "Height"})
			}
			for _, m := range merged {
				from, to, _ := strings.Cut(m, ":")
				if err := f.MergeCell("Sheet1", from, to); err != nil {
					t.Fatal(err)
				}
			}
		})
		job, problems := read(t, "a.xlsx", data)
		if len(job.Blocks) == 0 {
			t.Fatalf("%q: %s", merged, intaketest.Say(problems))
		}
		f, copied := markedBook(t, job, problems)
		f.Close()
		again, said := read(t, "b.xlsx", copied)
		if was, is := placeless(job), placeless(again); len(job.Blocks) != 2 || !reflect.DeepEqual(was, is) || strings.Contains(intaketest.Say(problems), "A1") != (len(merged) == 0) {
			t.Errorf("%q:\n%+v\n%+v\n%s\n%s", merged, was, is, intaketest.Say(problems), intaketest.Say(said))
		}
	}
}

// TestMarkedAsShown: a marked copy is read as its original is, whatever formats its numbers have, in each column.
func TestMarkedAsShown(t *testing.T) {
	heads := []any{"Name", "Title", "Journaling", "Width", "Height", "Stock", "Where", "When", "Page", "Copies", "Size", "Tuck"}
	values := []any{12.5, 1234.5, 0.333333, 3.14159, 7, 1234567, 0.5, true, time.Date(2026, 4, 2, 0, 0, 0, 0, time.UTC), 0}
	formats := []string{"0.00", `"€" 0.00`, "#,##0.00", "# ?/?", "0.0", "0%", "000", "d mmm yyyy", "mm-dd", ";;;", `0.0" in"`, "General", "@", "0.00E+00"}
	r := rand.New(rand.NewPCG(2, 13))
	held, blocks := 0, 0
	for n := range 25 {
		data := intaketest.Saved(t, func(f *excelize.File) {
			rows := [][]any{heads}
			for range 6 {
				rows = append(rows, []any{"Ann Berg", "Plums", "Plums.", 4, 2, "vellum", "Larvik", "May", "left", 2, 14, nil})
			}
			intaketest.Put(t, f, "Sheet1", rows...)
			for row := 2; row < 8; row++ {
				for range 1 + r.IntN(2) {
					cell, _ := excelize.CoordinatesToCellName(1+r.IntN(len(heads)), row)
					style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &formats[r.IntN(len(formats))]})
					if err := errors.Join(err, f.SetCellValue("Sheet1", cell, values[r.IntN(len(values))]), f.SetCellStyle("Sheet1", cell, cell, style)); err != nil {
						t.Fatal(err)
					}
				}
			}
			if err := f.SetCellFormula("Sheet1", "B3", "NOSUCH(1)"); err != nil {
				t.Fatal(err)
			}
		})
		job, problems := read(t, "a.xlsx", data)
		f, copied := markedBook(t, job, problems)
		f.Close()
		again, said := read(t, "b.xlsx", copied)
		if len(job.Blocks) != len(again.Blocks) || len(job.Held) != len(again.Held) {
			t.Fatalf("job %d: %d blocks and %d held, %d and %d in the copy\n%s\n%s", n, len(job.Blocks), len(job.Held), len(again.Blocks), len(again.Held), intaketest.Say(problems), intaketest.Say(said))
		}
		held, blocks = held+len(job.Held), blocks+len(job.Blocks)
		for i, was := range job.Blocks {
			is := again.Blocks[i]
			if is.Place.Row != was.Place.Row {
				t.Fatalf("job %d: row %d is row %d", n, was.Place.Row, is.Place.Row)
			}
			was.Place, is.Place = problem.Place{}, problem.Place{}
			if !reflect.DeepEqual(was, is) {
				t.Errorf("job %d:\n%+v\n%+v", n, was, is)
			}
		}
	}
	if held < 10 || blocks < 10 {
		t.Errorf("%d held and %d blocks say little", held, blocks)
	}
}

// TestMarkedMarkup: bold, italic and the markup of CSV files mean the same in a marked copy, in each block of a row and in titles; merged cells of one block ask
// for no other; sizes of paper that are merged over its rows are those of each; a price is rounded as it was.
func TestMarkedMarkup(t *testing.T) {
	several := []any{"Name", "Journaling", "Width", "Height", "Journaling 2", "Width 2", "Height 2"}
	wrong := []any{"Bo Ek", "Pears.", "wide", 2}
	workbook := func(edit func(f *excelize.File) error, rows ...[]any) string {
		return intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", rows...)
			if err := edit(f); err != nil {
				t.Fatal(err)
			}
		})
	}
	for name, file := range map[string][]string{
		"a title of a CSV": {"a.csv", "Name,Title,Journaling,Width,Height\nAnn Lo,*Rome* in _May_,Plums.,4,2\nBo Ek,,Pears.,wide,2\n"},
		"blocks of a CSV":  {"a.csv", "Name,Journaling,Width,Height,Journaling 2,Width 2,Height 2\nAnn Lo,*Plums*.,4,2,_Pears_.,4,2\nBo Ek,Pears.,wide,2,,,\n"},
		"blocks of a workbook": {"a.xlsx", workbook(func(f *excelize.File) error {
			return f.SetCellRichText("Sheet1", "E2", []excelize.RichTextRun{{Text: "Ripe "}, {Text: "pears", Font: &excelize.Font{Bold: true}}})
		}, several, []any{"Ann Lo", "Plums.", 4, 2, "", 4, 2}, wrong)},
		"a merged block": {"a.xlsx", workbook(func(f *excelize.File) error {
			return errors.Join(f.MergeCell("Sheet1", "E2", "E3"), f.MergeCell("Sheet1", "F2", "F3"), f.MergeCell("Sheet1", "G2", "G3"))
		}, several, []any{"Ann Lo", "Plums.", 4, 2, "Ripe pears.", 4, 2}, []any{"Cy Vane", "Apples.", 4, 2}, wrong)},
		"a bold number": {"a.xlsx", workbook(func(f *excelize.File) error {
			style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}})
			return errors.Join(err, f.SetCellStyle("Sheet1", "B2", "B2", style))
		}, several, []any{"Ann Lo", 2026, 4, 2}, wrong)},
		"merged sizes of paper": {"a.xlsx", workbook(func(f *excelize.File) error {
			_, err := f.NewSheet("Paper")
			intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count", "Price"}, []any{"vellum", 8.5, 11, 3, 0.2598}, []any{"cardstock", nil, nil, 2}, []any{"plain paper", nil, nil, 1})
			return errors.Join(err, f.MergeCell("Paper", "B2", "B4"), f.MergeCell("Paper", "C2", "C4"))
		}, several, []any{"Ann Lo", "Plums.", 4, 2}, wrong)},
	} {
		job, problems := read(t, file...)
		f, copied := markedBook(t, job, problems)
		f.Close()
		again, said := read(t, "m.xlsx", copied)
		if was, is := placeless(job), placeless(again); !reflect.DeepEqual(was, is) || problems.Errors() != said.Errors() || len(job.Held) != 1 {
			t.Errorf("%s:\n%+v\n%+v\n%s\n%s", name, was, is, intaketest.Say(problems), intaketest.Say(said))
		}
	}
}

// TestMarkedIsAllOrNothing: a table whose headings are at fault is in the marked copy, with its error; what cannot be read at all is an error.
func TestMarkedIsAllOrNothing(t *testing.T) {
	ours, theirs := intaketest.Rows([]string{"Name=Pim", "Width=x"}), "For,Journaling,Width,Height\nBo Ek,Plums.,4,2\n"
	job, problems := read(t, "a.csv", ours, "b.csv", theirs)
	f, data := markedBook(t, job, problems)
	if got := strings.Join(f.GetSheetList(), ", "); got != "Problems, a, b, Lists" {
		t.Errorf("sheets %s", got)
	}
	if _, said := read(t, "m.xlsx", data); said.Errors() != problems.Errors() || !strings.Contains(intaketest.Say(said), "m.xlsx/b") {
		t.Errorf("%s", intaketest.Say(said))
	}
	same := "Name,Journaling,Width,Height\nPim,Plums and pears.,4,2\nPim,Apples and grapes.,4,2\nAnn,Cherries and figs.,4,2\n"
	for name, files := range map[string][]string{
		"a row that a comma has parted": {"a.csv", "Name,Width,Height,Journaling\nAnn Lo,4,2,We bought plums, and pears\n"},
		"versions of one file":          {"a.csv", same, "b.csv", same},
	} {
		job, problems := read(t, files...)
		if err := WriteMarked(&strings.Builder{}, job, problems, intaketest.Home()); err == nil || problems.Errors() == 0 {
			t.Errorf("%s: a copy is made\n%s", name, intaketest.Say(problems))
		}
	}
	for name, content := range map[string]string{"b.csv": "Apples,Pears\n1,2\n", "b.xlsx": "PK\x03\x04 and no more", "b.pdf": "%PDF-1.7", "c.csv": ""} {
		job, problems = read(t, "a.csv", ours, name, content)
		if err := WriteMarked(&strings.Builder{}, job, problems, intaketest.Home()); (problems.Errors() > 1) != (err != nil) {
			t.Errorf("%s: %v\n%s", name, err, intaketest.Say(problems))
		}
	}
}

// TestMarkedPaper: each list of paper that a job was read from is in its marked copy, which is not read beside any of them.
func TestMarkedPaper(t *testing.T) {
	csv, more := intaketest.Rows([]string{"Name=Pim", "Width=x"}), "Stock,Width,Height,Count\nvellum,4,5,2\n"
	job, problems := read(t, "a.csv", csv, "have.csv", more, "also.csv", more)
	f, data := markedBook(t, job, problems)
	if got := strings.Join(f.GetSheetList(), ", "); got != "Problems, a, Paper, Paper 2, Lists" {
		t.Errorf("sheets %s", got)
	}
	if again, _ := read(t, "m.xlsx", data); len(again.Paper) != 2 {
		t.Errorf("%d rows of paper of 2", len(again.Paper))
	}
	if _, said := read(t, "have.csv", more, "m.xlsx", data); said.Errors() < 2 {
		t.Errorf("the paper counts twice: %s", intaketest.Say(said))
	}
	// Known for a list of paper by the name of its sheet alone: there is one of that name.
	bare := func(text string) string {
		return intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", text, 4, 2})
			if _, err := f.NewSheet("Paper"); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, "Paper", []any{"Width", "Height", "Count"}, []any{5, 7, 2})
		})
	}
	job, problems = read(t, "b.xlsx", bare("plums"), "c.xlsx", bare("pears"))
	if err := WriteMarked(&strings.Builder{}, job, problems, intaketest.Home()); err == nil || !strings.Contains(err.Error(), "lack this list of paper") {
		t.Errorf("%v", err)
	}
}
