package intake

import (
	"bytes"
	"image"
	"image/png"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
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
		for _, c := range []excelize.Comment{{Cell: "C3", Author: "Pim", Text: "or 3, if\nit must be"}, {Cell: "A1", Author: "Ada", Text: "who are you?"}, {Cell: "D1", Author: "Ada", Text: "in centimetres, please"}, {Cell: "D3", Author: "tuckmark", Text: "ours"},
			{Cell: "A4", Author: "tc={1}", Text: "[Threaded comment]\n\nYour version is old.\n\nComment:\n    print it twice"}} {
			if err := f.AddComment("Sheet1", c); err != nil {
				t.Fatal(err)
			}
		}
	})
	job, problems := read(t, "a.xlsx", data)
	got := intaketest.Say(problems)
	for _, want := range []string{"error a.xlsx/Sheet1 2 B2: there is no text but a picture\n", "note a.xlsx/Sheet1: pictures were not read: F4\n",
		"note a.xlsx/Sheet1 1 D1: a remark on the cell: “in centimetres, please”\n", "note a.xlsx/Paper 2 D2: a remark on the cell: “two of these have a stain”\n", "note a.xlsx/Sheet1 3 C3: a remark on the cell: “or 3, if it must be”\n", "note a.xlsx/Sheet1 4 A4: a remark on the cell: “print it twice”\n"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q lacks %q", got, want)
		}
	}
	if strings.Contains(got, "ours") || strings.Contains(got, "who are you") || strings.Contains(got, "read: B2") || len(job.Blocks) != 2 || len(job.Held) != 1 {
		t.Errorf("%d blocks, %d held: %s", len(job.Blocks), len(job.Held), got)
	}
}
