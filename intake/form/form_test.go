package form

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// formFile is the form with all there is, open.
func formFile(t testing.TB) (*excelize.File, string) {
	return formWith(t, Options{Full: true, Paper: true})
}

func formWith(t testing.TB, o Options) (*excelize.File, string) {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, intaketest.Home(), o); err != nil {
		t.Fatal(err)
	}
	return opened(t, b.Bytes()), b.String()
}

// opened is a workbook, open until the end of the test.
func opened(t testing.TB, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// fill types texts into a row of the form's journaling, by heading.
func fill(t testing.TB, f *excelize.File, row int, cells map[string]string) {
	t.Helper()
	for i, c := range columns {
		if text, ok := cells[c.Name]; ok {
			if err := f.SetCellStr("Journaling", table.Address(i, row), text); err != nil {
				t.Fatal(err)
			}
			delete(cells, c.Name)
		}
	}
	if len(cells) > 0 {
		t.Fatalf("the form has no column for %v", cells)
	}
}

// The form is the same every time, reads back as nothing to print, and says nothing about the paper as long as nobody
// fills it in.
func TestFormEmpty(t *testing.T) {
	_, data := formFile(t)
	if _, again := formFile(t); again != data {
		t.Error("two forms differ")
	}
	job, problems := read(t, "form.xlsx", data)
	if len(problems) > 0 || len(job.Blocks)+len(job.Held)+len(job.Paper) > 0 {
		t.Errorf("%s %+v", intaketest.Say(problems), job)
	}
	for i, c := range job.Columns[:len(columns)] {
		if c.As != columns[i].Name || strings.TrimSuffix(c.Heading, " (in)") != c.As || c.Guess != "" {
			t.Errorf("column %d is taken for %q", i, c.As)
		}
	}
}

// TestTypedIntoHelp: what somebody types on the sheets that go with the form is told, and the form's own lines are not.
func TestTypedIntoHelp(t *testing.T) {
	for _, o := range []Options{{}, {Full: true, Paper: true}} {
		f, _ := formWith(t, o)
		fill(t, f, 2, wish())
		for cell, text := range map[string]string{"Help!C3": "Please print mine first", "Help!A60": "We rowed out before breakfast.", "Help!A61": "and home again", "Lists!AA9": "eleven mackerel", "Lists!B30": "then home", "Help!A5": "Ann"} {
			sheet, at, _ := strings.Cut(cell, "!")
			if err := f.SetCellStr(sheet, at, text); err != nil {
				t.Fatal(err)
			}
		}
		for _, data := range []string{intaketest.Bytes(t, f), office(t, f)} {
			if data == "" { // no office here
				continue
			}
			job, problems := read(t, "form.xlsx", data)
			said := intaketest.Say(problems)
			if len(job.Blocks) != 1 || strings.Count(said, "were not read") != 2 {
				t.Errorf("%+v: %s", o, said)
			}
			for _, want := range []string{"Help: cells that were typed beside what the sheet says were not read: C3, A5 and A60:A61\n", "Lists: cells that were typed beside what the sheet says were not read: AA9 and B30\n"} {
				if !strings.Contains(said, want) {
					t.Errorf("%+v: %q is not in %s", o, want, said)
				}
			}
		}
	}
}

// TestHelpAlone: where the sheet of lists is gone, by which the form's own lines are known, all of the sheet of help is told.
func TestHelpAlone(t *testing.T) {
	f, _ := formWith(t, Options{})
	fill(t, f, 2, wish())
	if err := errors.Join(f.SetCellStr("Help", "C3", "Please print mine first"), f.DeleteSheet("Lists")); err != nil {
		t.Fatal(err)
	}
	if _, problems := read(t, "form.xlsx", intaketest.Bytes(t, f)); !strings.Contains(intaketest.Say(problems), "Help: cells that were typed beside what the sheet says were not read: A2:A4, C3,") {
		t.Error(intaketest.Say(problems))
	}
}

// wish is a row with something in every column, and with what a spreadsheet would make dates and formulas of.
func wish() map[string]string {
	return map[string]string{"Name": "Odile Hart", "Page": "Harbour", "Journaling": "We rowed out in 1987.\nPim steered.",
		"Width": "1/2", "Height": "4 1/2", "Stock": "cardstock", "Font": "Sans", "Size": "11.5", "Align": "centre middle",
		"Ink": "dark blue", "Page colour": "ivory", "Tuck": "none", "Turn": "no", "Copies": "2", "Title": "=1+1", "Who": "+Pim", "Where": "-Larvik", "When": "@4 July", "Note": "thanks"}
}

// granted checks that the wish in row 2, and three sheets in the first row of Paper, came back as typed.
func granted(t *testing.T, data string) {
	t.Helper()
	job, problems := read(t, "form.xlsx", data)
	for _, p := range problems {
		if p.Place.Row <= 2 && p.Place.Column != "Note" {
			t.Errorf("%+v", p)
		}
	}
	if len(job.Blocks) != 1 {
		t.Fatalf("%d blocks: %s", len(job.Blocks), intaketest.Say(problems))
	}
	b, in := job.Blocks[0], measure.Inch
	if b.Space != (measure.Size{W: in / 2,
		H: 9 * in / 2}) || b.Code != "OH-1" || b.Type.Wished != 23*measure.Point/2 || b.Turn || b.Copies != 2 || b.Title != "=1+1" || b.End != "+Pim · -Larvik · @4 July" || len(b.Text) != 2 || b.Tuck != (measure.Sides{}) {
		t.Errorf("%+v", b)
	}
	if len(job.Paper) != 1 || job.Paper[0].Count != 3 || job.Paper[0].Stock != "vellum" || job.Paper[0].Leftover {
		t.Errorf("paper %+v", job.Paper)
	}
}

// What is typed into the form comes back as typed.
func TestFormFilled(t *testing.T) {
	f, _ := formFile(t)
	fill(t, f, 2, wish())
	if err := f.SetCellValue("Paper", "D2", 3); err != nil {
		t.Fatal(err)
	}
	granted(t, intaketest.Bytes(t, f))
}

// office opens a workbook in LibreOffice, where it is installed, works out its formulas and saves it anew; else it is
// "".
func office(t testing.TB, f *excelize.File) string {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err != nil || !longtests.Asked() {
		t.Log("LibreOffice is not installed, or no long tests are asked for")
		return ""
	}
	dir := t.TempDir()
	in, out := filepath.Join(dir, "form.xlsx"), filepath.Join(dir, "out")
	if err := f.SaveAs(in); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(program, "-env:UserInstallation=file://"+filepath.ToSlash(dir)+"/home", "--headless", "--convert-to",
		"xlsx", "--outdir", out, in)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	data, err := os.ReadFile(filepath.Join(out, "form.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// The live column, worked out by excelize and, where it is installed, by LibreOffice, which also saves the form anew to
// be read.
func TestFormLive(t *testing.T) {
	f, _ := formFile(t)
	long := strings.TrimSpace(strings.Repeat("rowing out before breakfast ", 12))
	// By hand, for 4 x 2 at 14 pt: (126/14 - 1.1)/1.2 + 1 = 7 lines of 270/(14 x 0.398) - 1.6 = 46.9 letters, 7 letters
	// a word.
	cases := []struct{ width, height, text, size, want string }{
		// At 10 pt: (126/10 - 1.1)/1.2 + 1 = 10 lines of 270/(10 x 0.398) - 1.6 = 66.2 letters, 5.3 letters a word.
		{"4", "2", "", "", "about 124 words fit at 10 pt"},
		{"4 in", "2\"", "", "", "about 124 words fit at 10 pt"},
		{"101.6 mm", "5,08 cm", "", "", "about 124 words fit at 10 pt"},
		{"4½", "2-1/2", "", "", "about 184 words fit at 10 pt"},
		{"4", "2", long, "14", "smaller type: about 46 words fit at 14 pt"},
		{"4", "2", long, "13", "fits: 48 of about 57 words"},
		{"4", "1", long, "14", "smaller type: about 20 words fit at 14 pt"},
		{"1 1/2", "1/2", long, "", "too long by about 38 words"},
		{"four", "2", long, "", "check width and height"},
		{"", "2", long, "", ""},
		{"4", "2", "", "12 pt", "about 82 words fit at 12 pt"},
		{"4", "1", long, "", "smaller type: about 37 words fit at 10 pt"},
		{"45782", "45750", "", "", "check width and height"}, // a date, as its number
		{"45782", "2", long, "", "check width and height"},
		{"0", "2", "", "", "check width and height"},
		{"-4", "2", "", "", "check width and height"},
	}
	for i, c := range cases {
		fill(t, f, i+3, map[string]string{"Journaling": c.text, "Width": c.width, "Height": c.height, "Size": c.size})
	}
	fill(t, f, 2, wish())
	if err := f.SetCellValue("Paper", "D2", 3); err != nil {
		t.Fatal(err)
	}
	for i, c := range cases {
		if got, err := f.CalcCellValue("Journaling", fmt.Sprintf("F%d", i+3)); err != nil || got != c.want {
			t.Errorf("%s x %s at %q: %q, %v, want %q", c.width, c.height, c.size, got, err, c.want)
		}
	}
	converted := office(t, f)
	if converted == "" {
		return
	}
	granted(t, converted)
	g, err := excelize.OpenReader(strings.NewReader(converted))
	if err != nil {
		t.Fatal(err)
	}
	defer g.Close()
	for i, c := range cases {
		if got, err := g.GetCellValue("Journaling", fmt.Sprintf("F%d", i+3)); err != nil || got != c.want {
			t.Errorf("in LibreOffice %s x %s at %q: %q, %v, want %q", c.width, c.height, c.size, got, err, c.want)
		}
	}
}

// The live count is within 15% (or a word) of how many words the setting itself gets into the spaces of the sample job;
// testdata/fits.tsv says how that was found.
func TestFormCount(t *testing.T) {
	data, err := os.ReadFile("testdata/fits.tsv")
	if err != nil {
		t.Fatal(err)
	}
	s := intaketest.Home()
	s.Type.Leading, s.Type.Smallest = 1.25, 7*measure.Point
	var b bytes.Buffer
	if err := Write(&b, s, Options{}); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	row, worst := 2, 0.0
	real := map[int]float64{}
	for _, l := range strings.Split(strings.Trim(string(data), "\n"), "\n") {
		if strings.HasPrefix(l, "#") || row > rows+1 {
			continue
		}
		c := strings.Split(l, "\t")
		num := func(i int) float64 {
			v, err := strconv.ParseFloat(c[i], 64)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		// A text of so many words, as long as the real one was. The inset of all stocks is 1/8 in on each side.
		words, length := int(num(4)), int(num(5))
		text := strings.Repeat("a ", words-1)
		text += strings.Repeat("a", length-len(text))
		fill(t, f, row, map[string]string{"Journaling": text, "Width": fmt.Sprintf("%.4f", num(1)/72+0.25),
			"Height": fmt.Sprintf("%.4f", num(2)/72+0.25), "Font": c[0], "Size": c[3], "Title": c[6], "Who": c[7]})
		real[row] = num(4)
		row++
	}
	room := (&writer{settings: s}).counter().step(sRoom)
	for r := 2; r < row; r++ {
		got, err := f.CalcCellValue("Journaling", fmt.Sprintf("%s%d", room, r))
		n, bad := strconv.ParseFloat(got, 64)
		if err != nil || bad != nil {
			t.Fatalf("row %d: %q %v", r, got, err)
		}
		off := n - real[r]
		if max(off, -off) > max(1, 0.15*real[r]) {
			t.Errorf("row %d: %v words are said to fit, and %v do", r, n, real[r])
		}
		if real[r] >= 10 {
			worst = max(worst, max(off, -off)/real[r])
		}
	}
	t.Logf("%d spaces, at worst %.1f%% off where ten words or more fit", row-2, 100*worst)
}

func BenchmarkForm(b *testing.B) {
	for b.Loop() {
		if err := Write(&bytes.Buffer{}, intaketest.Home(), Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// TestFormShort: the form shows what everybody needs and folds the rest away, guards what is not to be typed over, and has the sheet that
// explains in front; with all columns its headings are locked and its other cells open.
func TestFormShort(t *testing.T) {
	for _, o := range []Options{{}, {Full: true}, {Paper: true}, {Full: true, Paper: true}} {
		f, data := formWith(t, o)
		if deep := strings.Contains(part(t, data, "xl/worksheets/sheet2.xml"), `outlineLevelCol="1"`); deep == o.Full {
			t.Errorf("%+v: the outline is shown: %v", o, deep)
		}
		want := "Help, Journaling, Lists"
		if o.Paper {
			want = "Help, Journaling, Paper, Lists"
		}
		if got := strings.Join(f.GetSheetList(), ", "); got != want || f.GetActiveSheetIndex() != 0 {
			t.Errorf("%+v: sheets %s", o, got)
		}
		var shown []string
		for i, c := range columns {
			visible, err := f.GetColVisible("Journaling", table.Letters(i))
			level, err2 := f.GetColOutlineLevel("Journaling", table.Letters(i))
			if err != nil || err2 != nil || (level == 1) != !visible {
				t.Errorf("%+v: %s is shown: %v, level %d, %v %v", o, c.Name, visible, level, err, err2)
			}
			if visible {
				shown = append(shown, c.Name)
			}
		}
		if got := strings.Join(shown, " "); (got == "Name Page Journaling Width Height Fits Stock") == o.Full {
			t.Errorf("%+v: shown are %s", o, got)
		}
		guards := 0
		list, err := f.GetDataValidations("Journaling")
		for _, v := range list {
			if v.Type == "custom" && *v.ErrorStyle == "stop" && v.Formula1 == "FALSE" {
				guards++
			}
		}
		if err != nil || guards != 2 {
			t.Errorf("%+v: %d guards, %v", o, guards, err)
		}
		for cell, locked := range map[string]bool{"A1": true, "A2": false, "C2": false, "F2": false, table.Address(len(columns)-1, rows+1): false} {
			id, err := f.GetCellStyle("Journaling", cell)
			style, err2 := f.GetStyle(id)
			if err != nil || err2 != nil || (style.Protection == nil || style.Protection.Locked) != locked {
				t.Errorf("%+v: %s is locked otherwise", o, cell)
			}
		}
	}
}

// part is a part of a workbook.
func part(t *testing.T, data, name string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	raw, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

// TestWiden: each column is as wide as it shall be; thousands that somebody has made cost little, alike or not.
func TestWiden(t *testing.T) {
	f := writer{file: excelize.NewFile()}
	asTheyCome, err := f.file.GetColWidth("Sheet1", "E")
	if err != nil {
		t.Fatal(err)
	}
	f.widen("Sheet1", map[int]float64{0: 20, 1: 20, 2: 30, 5: 30, 6: 20})
	for col, want := range map[string]float64{"A": 20, "B": 20, "C": 30, "D": asTheyCome, "E": asTheyCome, "F": 30, "G": 20, "H": asTheyCome} {
		if got, err := f.file.GetColWidth("Sheet1", col); err != nil || got != want {
			t.Errorf("column %s is %v wide, not %v: %v", col, got, want, err)
		}
	}
	for _, kinds := range []int{1, 2} {
		widths := map[int]float64{}
		for i := range 3000 {
			widths[i] = float64(10 + i%kinds)
		}
		did := testing.AllocsPerRun(1, func() {
			f = writer{file: excelize.NewFile()}
			f.widen("Sheet1", widths)
		})
		if did > 300_000 || f.err != nil {
			t.Errorf("%d widths by turns: %.0f allocations: %v", kinds, did, f.err)
		}
	}
}
