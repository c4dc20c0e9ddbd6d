package guide

import (
	"bytes"
	"maps"
	"os"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
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
	if got, want := f.GetSheetList(), []string{"Blocks", "Cuts", "Leftovers", "Account", "Held back", "Notes", "Texts"}; !equal(got, want) {
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

// The next run takes the Leftovers sheet for a Paper sheet, and finds in it what is in the folder: what the plan leaves, the
// leftovers at hand that it did not use, and what remains of the sheets that are counted.
func TestReportIsTheNextRunsPaper(t *testing.T) {
	s := settings()
	s.Stocks[0].Sheets = []config.Sheet{
		{Size: z(12*inch, 12*inch), Count: 8, Price: 120},
		{Size: z(4*inch, 15*inch/2), Count: 3, Leftover: true},
	}
	s.Stocks[2].Sheets = append(s.Stocks[2].Sheets, config.Sheet{Size: z(4*inch, 15*inch/2), Count: 2, Leftover: true, Name: "blue folder"})
	d := three(s)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	var b bytes.Buffer
	if err := Report(&b, d.input(nil)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	paper, problems := intake.ReadPaper(path, s)
	for _, p := range problems {
		t.Errorf("problem: %s %s", p.Place.Cell, p.What)
	}
	type row struct {
		stock    string
		size     measure.Size
		count    int
		price    int64
		leftover bool
	}
	got, want := map[row]bool{}, map[row]bool{}
	for _, p := range paper {
		got[row{p.Stock, p.Size, p.Count, p.Price, p.Leftover}] = true
	}
	n := map[row]int{}
	for _, p := range d.plan.Pieces {
		for _, r := range p.Leftovers {
			if r.Keep {
				n[row{p.Stock, r.Size(), 0, 0, true}]++
			}
		}
	}
	for r, count := range n {
		r.count = count
		want[r] = true
	}
	want[row{"vellum", z(4*inch, 15*inch/2), 3, 0, true}] = true
	want[row{"vellum", z(12*inch, 12*inch), 6, 120, false}] = true // two of eight are cut into panels
	want[row{"cardstock", z(4*inch, 15*inch/2), 1, 0, true}] = true
	if !maps.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
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
