package guide

import (
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

func TestReportReadsBack(t *testing.T) {
	d := three(settings())
	in := d.input(nil)
	in.Problems.Note(problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 7}, "neither the text nor When carries a date", "", "add one")
	in.Problems.Add(problem.Place{File: "weekend.xlsx", Row: 8}, "no note", "", "")
	var once, twice bytes.Buffer
	for _, b := range []*bytes.Buffer{&once, &twice} {
		if err := Report(b, in); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(once.Bytes(), twice.Bytes()) {
		t.Error("the same plan gave two different workbooks")
	}
	f, err := excelize.OpenReader(bytes.NewReader(once.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, want := f.GetSheetList(), []string{"Blocks", "Cuts", "Leftovers", "Account", "Held back", "Notes"}; !equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	rows := func(sheet string) [][]string {
		r, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		return r[1:]
	}
	blocks, cuts := 0, 0
	for _, p := range d.plan.Pieces {
		blocks += len(p.Blocks)
		cuts += len(p.Cuts)
	}
	if got, want := len(rows("Blocks")), blocks+len(d.plan.Held); got != want {
		t.Errorf("%d rows of blocks, want %d", got, want)
	}
	if got, want := len(rows("Cuts")), cuts+1; got != want { // one pre-cut, alike for both sheets
		t.Errorf("%d rows of cuts, want %d", got, want)
	}
	if got := len(rows("Notes")); got != 1 {
		t.Errorf("%d notes, want 1", got)
	}
	if got := len(rows("Held back")); got != 3 {
		t.Errorf("%d rows held back, want 3", got)
	}
	for i, r := range rows("Blocks") {
		if r[3] == texts[2] {
			cell, _ := excelize.CoordinatesToCellName(4, i+2)
			if formula, _ := f.GetCellFormula("Blocks", cell); formula != "" {
				t.Errorf("%s: a text became the formula %q", cell, formula)
			}
		}
	}
}

// The Leftovers sheet, read the way the next run reads a Paper sheet, is what the plan leaves.
func TestReportLeftovers(t *testing.T) {
	for _, unit := range []measure.Unit{measure.In, measure.Mm} {
		s := settings()
		s.Unit = unit
		d := three(s)
		d.piece("cardstock", letterPaper, inch/8, []measure.Size{z(100*measure.Millimetre, 40*measure.Millimetre)})
		var b bytes.Buffer
		if err := Report(&b, d.input(nil)); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(&b)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := f.GetRows("Leftovers", excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		type rest struct {
			stock string
			size  measure.Size
		}
		got, want := map[rest]string{}, map[rest]int{}
		heads := []string{"Stock", "Width (" + ruler(unit).String() + ")", "Height (" + ruler(unit).String() + ")", "Count", "Price", "Leftover"}
		if !equal(rows[0], heads) {
			t.Errorf("headings %q, want %q", rows[0], heads)
		}
		for _, r := range rows[1:] {
			w, err1 := measure.Parse(r[1], ruler(unit))
			h, err2 := measure.Parse(r[2], ruler(unit))
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			got[rest{r[0], measure.Size{W: w, H: h}}] = r[3]
		}
		for _, p := range d.plan.Pieces {
			for _, r := range p.Leftovers {
				if r.Keep {
					want[rest{p.Stock, r.Size()}]++
				}
			}
		}
		if len(got) != len(want) || len(want) == 0 {
			t.Errorf("%s: %d leftovers, want %d", unit, len(got), len(want))
		}
		for r, n := range want { // no larger than it is, and smaller by less than a ten-thousandth of an inch
			found := false
			for g, count := range got {
				w, h := r.size.W-g.size.W, r.size.H-g.size.H
				found = found || g.stock == r.stock && 0 <= w && w <= inch/10000+1 && 0 <= h && h <= inch/10000+1 && count == itoa(n)
			}
			if !found {
				t.Errorf("%s: %d of %s %s are not in the report", unit, n, r.stock, r.size.Format(unit))
			}
		}
	}
}
