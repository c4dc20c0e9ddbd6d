package report

import (
	"bytes"
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

const inch = measure.Inch

// input is a made plan as a report takes it.
func input(d *made.Draft) Input {
	return Input{Account: account.Of(d.Plan, d.Settings, nil), Title: "Ferry weekend"}
}

func TestReportReadsBack(t *testing.T) {
	d := made.Three(made.Settings())
	in := input(d)
	in.Problems.Note(problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 7}, "neither the text nor When carries a date", "", "add one")
	in.Problems.Add(problem.Place{File: "weekend.xlsx", Row: 8}, "no note", "", "")
	var once, twice bytes.Buffer
	for _, b := range []*bytes.Buffer{&once, &twice} {
		if err := Write(b, in); err != nil {
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
	if got, want := f.GetSheetList(), []string{"Blocks", "Cuts", "Leftovers", "Account", "Held back", "Notes", "Texts"}; !slices.Equal(got, want) {
		t.Errorf("sheets %q, want %q", got, want)
	}
	rows := func(sheet string) [][]string {
		r, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(err)
		}
		if _, last, err := dimension(f, sheet); err != nil || last < len(r) { // by which some programs read, row by row (ECMA-376, 18.3.1.35)
			t.Errorf("%s says that it ends in row %d, and it has %d", sheet, last, len(r))
		}
		return r[1:]
	}
	blocks, cuts := 0, 0
	for _, p := range in.Account.Pieces {
		blocks += len(p.Blocks())
		cuts += len(p.Lines)
	}
	if got, want := len(rows("Blocks")), blocks+len(d.Plan.Held); got != want {
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
		if r[3] == made.Texts[2] {
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
	s := made.Settings()
	s.Stocks[0].Sheets = []config.Sheet{
		{Size: made.Size(12*inch, 12*inch), Count: 8, Price: 120},
		{Size: made.Size(4*inch, 15*inch/2), Count: 3, Leftover: true},
	}
	s.Stocks[2].Sheets = append(s.Stocks[2].Sheets, config.Sheet{Size: made.Size(4*inch, 15*inch/2), Count: 2, Leftover: true, Name: "blue folder"})
	d := made.Three(s)
	path := reportFile(t, input(d))
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
	for _, p := range d.Plan.Pieces {
		for leaf := range p.Whole.Leaves {
			if leaf.Keep {
				n[row{p.Stock, leaf.Rect.Size(), 0, 0, true}]++
			}
		}
	}
	for r, count := range n {
		r.count = count
		want[r] = true
	}
	want[row{"vellum", made.Size(4*inch, 15*inch/2), 3, 0, true}] = true
	want[row{"vellum", made.Size(12*inch, 12*inch), 6, 120, false}] = true // two of eight are cut into panels
	want[row{"cardstock", made.Size(4*inch, 15*inch/2), 1, 0, true}] = true
	if !maps.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

// Paper that was listed without a price is listed with the settings' price, and a leftover with none: the next run reads both.
func TestReportOfPaperWithoutPrices(t *testing.T) {
	s := made.Settings()
	d := made.One(s)
	square, left := made.Size(12*inch, 12*inch), made.Size(4*inch, 15*inch/2)
	listed := []intake.Paper{{Stock: "vellum", Size: square, Count: 8, Price: -1}, {Stock: "vellum", Size: left, Count: 3, Price: -1, Leftover: true}}
	path := reportFile(t, Input{Account: account.Of(d.Plan, s, listed), Title: "Ferry weekend"})
	paper, problems := intake.ReadPaper(path, s)
	for _, p := range problems {
		t.Errorf("problem: %s %s", p.Place.Cell, p.What)
	}
	var got []intake.Paper
	for _, p := range paper {
		if p.Place = (problem.Place{}); p.Stock == "vellum" {
			got = append(got, p)
		}
	}
	want := []intake.Paper{{Stock: "vellum", Size: left, Count: 3, Leftover: true}, {Stock: "vellum", Size: square, Count: 8, Price: 120}}
	if !slices.Equal(got, want) {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

// sheetRows are the rows of a sheet in the report of a job, with values as they are kept.
func sheetRows(t *testing.T, d *made.Draft, sheet string) [][]string {
	t.Helper()
	return writtenRows(t, input(d), sheet)
}

func writtenRows(t *testing.T, in Input, sheet string) [][]string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, in); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestReportCutsLeftovers: a leftover that is cut before printing is called one among the cuts.
func TestReportCutsLeftovers(t *testing.T) {
	d := made.New(made.Settings(), 1)
	for range 2 {
		d.Panels("vellum", made.Size(12*inch, 12*inch), 0, []measure.Size{made.Size(4*inch, 2*inch)})
	}
	d.Plan.Sheets[1].Leftover = true
	var got []string
	for _, r := range sheetRows(t, d, cutsSheet) {
		for _, cell := range r {
			if strings.HasSuffix(cell, "12 x 12 in") && !slices.Contains(got, cell) {
				got = append(got, cell)
			}
		}
	}
	if want := []string{"1 sheet 12 x 12 in", "1 leftover 12 x 12 in"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// The Leftovers sheet, read the way the next run reads a Paper sheet, is what the plan leaves.
func TestReportLeftovers(t *testing.T) {
	for _, unit := range []measure.Unit{measure.In, measure.Mm} {
		s := made.Settings()
		s.Unit = unit
		s.Stocks[2].Sheets = append(s.Stocks[2].Sheets, config.Sheet{Size: made.Size(inch, 2), Count: 3, Leftover: true}) // so small that its height is written as 0: it is left out
		d := made.Three(s)
		d.Piece("cardstock", made.LetterPaper, inch/8, []measure.Size{made.Size(100*measure.Millimetre, 40*measure.Millimetre)})
		rows := sheetRows(t, d, "Leftovers")
		type rest struct {
			stock string
			size  measure.Size
		}
		got, want := map[rest]string{}, map[rest]int{}
		heads := []string{"Stock", "Width (" + unit.Ruler().String() + ")", "Height (" + unit.Ruler().String() + ")", "Count", "Price", "Leftover"}
		if !slices.Equal(rows[0], heads) {
			t.Errorf("headings %q, want %q", rows[0], heads)
		}
		for _, r := range rows[1:] {
			w, err1 := measure.Parse(r[1], unit.Ruler())
			h, err2 := measure.Parse(r[2], unit.Ruler())
			if err1 != nil || err2 != nil {
				t.Fatal(err1, err2)
			}
			got[rest{r[0], measure.Size{W: w, H: h}}] = r[3]
		}
		for _, p := range d.Plan.Pieces {
			for leaf := range p.Whole.Leaves {
				if leaf.Keep {
					want[rest{p.Stock, leaf.Rect.Size()}]++
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
				found = found || g.stock == r.stock && 0 <= w && w <= inch/10000+1 && 0 <= h && h <= inch/10000+1 && count == strconv.Itoa(n)
			}
			if !found {
				t.Errorf("%s: %d of %s %s are not in the report", unit, n, r.stock, r.size.Format(unit))
			}
		}
	}
}

// Odd jobs and the plan that describes the plan file have reports too.
func TestReportOfOddJobs(t *testing.T) {
	jobs := made.Odd()
	example, s := made.Example()
	jobs["example"] = &made.Draft{Plan: example, Settings: s}
	for name, d := range jobs {
		in := input(d)
		in.Title = strings.Repeat("A very long title ", 20)
		if err := Write(io.Discard, in); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	for _, n := range []int{1000, 8000} {
		in := input(made.Random(made.Settings(), 1, n, n/10, 40))
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if err := Write(io.Discard, in); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// dimension is the last column and row that a sheet says it has.
func dimension(f *excelize.File, sheet string) (column, row int, err error) {
	said, err := f.GetSheetDimension(sheet)
	if err != nil {
		return 0, 0, err
	}
	_, last, _ := strings.Cut(said, ":")
	return excelize.CellNameToCoordinates(last)
}
