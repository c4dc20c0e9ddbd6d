package intake

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestAttached: a picture where the text should be is asked about, other pictures and what people attach to cells are told; what this
// program attached itself is not.
func TestAttached(t *testing.T) {
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", nil, 4, 2}, []any{"Pim", intaketest.Story, 4, 2}, []any{"Ada", intaketest.Story, 4, 2})
		for _, cell := range []string{"B2", "F4"} {
			if err := f.AddPictureFromBytes("Sheet1", cell, &excelize.Picture{Extension: ".png", File: picture.Bytes()}); err != nil {
				t.Fatal(err)
			}
		}
		intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count", "Price"}, []any{"vellum", 8.5, 11, 3, 0.6})
		if err := f.AddComment("Paper", excelize.Comment{Cell: "D2", Author: "Ada", Text: "two of these have a stain"}); err != nil {
			t.Fatal(err)
		}
		for _, c := range []excelize.Comment{{Cell: "C3", Author: "Pim", Text: "or 3, if\nit must be"}, {Cell: "A1", Author: "Ada", Text: "who are you?"}, {Cell: "D1", Author: "Ada", Text: "in centimetres, please"}, {Cell: "D3", Author: "tuckmark", Text: table.Signed("ours")}, {Cell: "B1", Author: "tuckmark", Text: "The text. Alt+Enter makes a new line. Bold and italic stay as you set them."}, {Cell: "E1", Author: "tuckmark", Text: "What it is printed on. Empty: vellum for all of mine."},
			{Cell: "A4", Author: "tc={1}", Text: "[Threaded comment]\n\nYour version is old.\n\nComment:\n    print it twice"}} {
			if err := f.AddComment("Sheet1", c); err != nil {
				t.Fatal(err)
			}
		}
	})
	job, problems := read(t, "a.xlsx", data)
	got := intaketest.Say(problems)
	for _, want := range []string{"error a.xlsx/Sheet1 2 B2: there is no text but a picture\n", "note a.xlsx/Sheet1: pictures were not read: F4\n",
		"note a.xlsx/Sheet1 1 A1: a remark on the cell: “who are you?”\n", "note a.xlsx/Sheet1 1 D1: a remark on the cell: “in centimetres, please”\n", "note a.xlsx/Sheet1 1 E1: a remark on the cell: “What it is printed on. Empty: vellum fo…”\n", "note a.xlsx/Paper 2 D2: a remark on the cell: “two of these have a stain”\n", "note a.xlsx/Sheet1 3 C3: a remark on the cell: “or 3, if it must be”\n", "note a.xlsx/Sheet1 4 A4: a remark on the cell: “print it twice”\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q lacks %q", got, want)
		}
	}
	if strings.Contains(got, "ours") || strings.Contains(got, "1 B1") || strings.Contains(got, "read: B2") || len(job.Blocks) != 2 || len(job.Held) != 1 {
		t.Errorf("%d blocks, %d held: %s", len(job.Blocks), len(job.Held), got)
	}
}

// TestSheetsWithoutCells: what lies on a sheet that has nothing in its cells is told, and such a sheet that is hidden, too.
func TestSheetsWithoutCells(t *testing.T) {
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 4, 4))); err != nil {
		t.Fatal(err)
	}
	for _, of := range []string{"journaling", "paper"} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
			if of == "paper" {
				intaketest.Put(t, f, "Sheet1", []any{"Stock", "Width", "Height", "Count"}, []any{"vellum", 8.5, 11, 3})
				for _, cell := range []string{"A1", "A2", "B1", "B2"} {
					_ = f.SetCellValue("Sheet1", cell, map[string]any{"A1": "Stock", "A2": "vellum", "B1": "Width", "B2": 8.5}[cell])
				}
			}
			if of == "journaling" { // a sheet that is told is told all the same
				intaketest.Put(t, f, "Wishes", []any{"Bea wants hers on vellum"})
				intaketest.Put(t, f, "Rows", []any{"Gus", intaketest.Story, 4, 2}, []any{"Hal", intaketest.Story, 4, 2})
				for _, name := range []string{"Wishes", "Rows"} {
					if err := f.AddComment(name, excelize.Comment{Cell: "A1", Author: "Bea", Text: "see here"}); err != nil {
						t.Fatal(err)
					}
				}
			}
			for _, name := range []string{"Bea", "Cara", "Dora", "Eve", "Fay"} {
				if _, err := f.NewSheet(name); err != nil {
					t.Fatal(err)
				}
			}
			if err := errors.Join(f.AddShape("Bea", &excelize.Shape{Cell: "B4", Type: "rect", Paragraph: []excelize.RichTextRun{{Text: "Soup in Larvik"}}}),
				f.AddPictureFromBytes("Cara", "C2", &excelize.Picture{Extension: ".png", File: picture.Bytes()}),
				f.AddComment("Dora", excelize.Comment{Cell: "A2", Author: "Dora", Text: "print mine twice"}),
				f.SetHeaderFooter("Eve", &excelize.HeaderFooterOptions{OddHeader: "&CBring it on Friday"}),
				f.AddComment("Fay", excelize.Comment{Cell: "A2", Author: "Fay", Text: "hidden"}), f.SetSheetVisible("Fay", false)); err != nil {
				t.Fatal(err)
			}
		})
		var problems problem.List
		if of == "paper" {
			_, problems = ReadPaper(intaketest.Write(t, "a.xlsx", data)[0], intaketest.Home())
		} else {
			_, problems = read(t, "a.xlsx", data)
		}
		got := intaketest.Say(problems)
		for _, want := range []string{"a.xlsx/Bea: a text box at B4 was not read: “Soup in Larvik”\n", "a.xlsx/Cara: pictures were not read: C2\n", "a.xlsx/Dora 2 A2: a remark on the cell: “print mine twice”\n",
			"a.xlsx/Eve: what stands above or below the pages of the sheet was not read: “Bring it on Friday”\n", "a.xlsx/Fay: the sheet is hidden and was not read\n"} {
			if strings.Count(got, want) != 1 {
				t.Errorf("%s: %q is not in %s", of, want, got)
			}
		}
		for _, want := range []string{"note a.xlsx/Wishes: the sheet is not journaling and was not read\n", "error a.xlsx/Rows: the sheet has rows like those of “Sheet1”", "a.xlsx/Rows 1 A1: a remark on the cell: “see here”\n"} {
			if strings.Contains(got, want) != (of == "journaling") {
				t.Errorf("%s: %q: %s", of, want, got)
			}
		}
	}
}
