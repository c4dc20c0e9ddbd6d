package report

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

func TestNearCodes(t *testing.T) {
	codes := []string{"MK-1", "MK-2", "MK-12", "AO-1"}
	for typed, want := range map[string][]string{
		"MK-22": {"MK-2", "MK-12"}, "mk2": {"MK-2", "MK-1", "MK-12"}, "A0-1": {"AO-1"}, "nothing like it": nil,
	} {
		if got := nearCodes(typed, codes, 0); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", typed, got, want)
		}
	}
}

// textsOf is a report as a workbook to be edited, and the rows of its sheet of texts.
func textsOf(t *testing.T, s *config.Settings) (*excelize.File, [][]string) {
	t.Helper()
	f, err := excelize.OpenFile(reportFile(t, lay(t, odd(s), nil, s)))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := f.GetRows(Texts)
	if err != nil {
		t.Fatal(err)
	}
	return f, rows
}

// redone is the report after blocks of it were printed again.
func redone(t *testing.T, e *Earlier, blocks []intake.Block, s *config.Settings) *excelize.File {
	t.Helper()
	return redoneAs(t, e, lay(t, blocks, nil, s))
}

// redoneAs is the report after what is in a run's input was printed again.
func redoneAs(t *testing.T, e *Earlier, in Input) *excelize.File {
	t.Helper()
	var b bytes.Buffer
	if err := e.Redo(&b, in); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(&b)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// TestAddedToTexts: what somebody has added to the sheet of texts and that is not printed is told of: strokes, columns, remarks and rows of no block.
func TestAddedToTexts(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	col, _ := excelize.ColumnNumberToName(slices.Index(rows[0], "Journaling") + 1)
	more, _ := excelize.ColumnNumberToName(len(rows[0]) + 1)
	mirrored, _ := excelize.ColumnNumberToName(slices.Index(rows[0], headMirrored) + 1)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	struck, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	if err := errors.Join(err, f.SetCellStyle(Texts, col+"2", col+"2", struck), f.AddComment(Texts, excelize.Comment{Cell: col + "2", Author: "Ann", Text: "please on vellum"}), f.SetCellStr(Texts, more+"1", "Correction"), f.SetCellStr(Texts, more+"2", "pier"),
		f.SetCellStr(Texts, col+fmt.Sprint(len(rows)+1), "and home"),
		f.SetCellStr(Texts, mirrored+"2", "yes"), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	_, found := e.Blocks(e.Codes[:1], s)
	said := ""
	for _, p := range append(problems, found...) {
		said += p.Severity.String() + ": " + p.What + "\n"
	}
	for _, want := range []string{"note: the row has no code, and is not printed again: “and home”\n", "note: not read: “Correction”\n", "note: “yes” in the column Mirrored is not read\n", "note: a remark on the cell: “please on vellum”\n", " is struck through in the cell\n"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not in %s", want, said)
		}
	}
	if _, found := e.Blocks(e.Codes[1:2], s); len(found) > 0 {
		t.Errorf("of another block it is said: %v", found)
	}
}

// TestOutcomeTypedOver: what somebody has typed over an outcome stays when the block is printed again.
func TestOutcomeTypedOver(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	heads, err := f.GetRows(blocksSheet)
	if err != nil {
		t.Fatal(err)
	}
	col, _ := excelize.ColumnNumberToName(slices.Index(heads[0], headOutcome) + 1)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := errors.Join(f.SetCellStr(blocksSheet, col+"2", "smeared"), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	blocks, _ := e.Blocks([]string{rows[1][0], rows[2][0]}, s)
	again := redone(t, e, blocks, s)
	for at, want := range map[string]string{col + "2": "smeared", col + "3": printedAgain} {
		if got, err := again.GetCellValue(blocksSheet, at); err != nil || got != want {
			t.Errorf("%s is %q, want %q: %v", at, got, want, err)
		}
	}
}

// TestSheetsAddedToReport: what somebody types into a sheet of their own, or into a copy of one, is not read, and that is told.
func TestSheetsAddedToReport(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	copied, err := f.NewSheet(Texts + " (2)")
	from, err2 := f.GetSheetIndex(Texts)
	_, err3 := f.NewSheet("Corrections")
	second, err7 := f.NewSheet(Texts + " 2")
	_, err4 := f.NewSheet("Sheet9") // empty
	paper, err5 := f.NewSheet(leftoversSheet + " at Ann")
	fromPaper, err6 := f.GetSheetIndex(leftoversSheet)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := errors.Join(err, err2, err3, err4, err5, err6, err7, f.CopySheet(from, second), f.AddComment(leftoversSheet, excelize.Comment{Cell: "B1", Author: "Ann", Text: "in the drawer"}), f.CopySheet(from, copied), f.CopySheet(fromPaper, paper), f.SetCellStr(blocksSheet, "D40", "and this"), f.SetCellStr("Corrections", "A1", rows[1][0]+": pears"), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	said := ""
	for _, p := range problems {
		said += p.Place.Sheet + ": " + p.What + "\n"
	}
	if want := "Leftovers: a remark on the cell: “in the drawer”\nTexts (2): the sheet is not read\nCorrections: the sheet is not read\nTexts 2: the sheet is not read\nLeftovers at Ann: the paper that is listed here counts besides that of the sheet Leftovers\n"; e == nil || said != want {
		t.Fatalf("%s, want %s", said, want)
	}
	if _, found := e.Blocks(e.Codes[:1], s); len(found) != 1 || found[0].Place.Row != 40 || found[0].What != "1 row of no block of the report, not read" {
		t.Errorf("a row below the blocks: %v", found)
	}
}

// TestTypedIntoBlocks: what somebody types into the sheet of blocks, and not into that of texts, is told of where the block is printed again.
func TestTypedIntoBlocks(t *testing.T) {
	s := builtInSettings(t)
	const asItWas, asAgain = "moved", "printed again"
	for what, change := range map[string]func(f *excelize.File, at func(heading string) string) error{
		"": func(*excelize.File, func(string) string) error { return nil },
		"words": func(f *excelize.File, at func(string) string) error {
			return f.SetCellStr(blocksSheet, at("First words"), "Pears on the quay.")
		},
		"a stock": func(f *excelize.File, at func(string) string) error {
			return f.SetCellStr(blocksSheet, at("Stock"), "cardstock")
		},
		"a size": func(f *excelize.File, at func(string) string) error {
			return f.SetCellInt(blocksSheet, at("Type size (pt)"), 7)
		},
		"outcome": func(f *excelize.File, at func(string) string) error {
			return f.SetCellStr(blocksSheet, at(headOutcome), "smeared, on cardstock please")
		},
		asAgain: func(f *excelize.File, at func(string) string) error {
			return f.SetCellStr(blocksSheet, at(headOutcome), printedAgain)
		},
		"emptied": func(f *excelize.File, at func(string) string) error { return f.SetCellStr(blocksSheet, at("Page"), "") },
		"a remark": func(f *excelize.File, at func(string) string) error {
			return f.AddComment(blocksSheet, excelize.Comment{Cell: at("Owner"), Author: "Ann", Text: "on vellum, please"})
		},
		asItWas: func(f *excelize.File, at func(string) string) error { // a column that stands elsewhere
			cells, err := f.GetCols(blocksSheet)
			err = errors.Join(err, f.RemoveCol(blocksSheet, "E"), f.InsertCols(blocksSheet, "B", 1))
			for i, c := range cells[4] {
				err = errors.Join(err, f.SetCellStr(blocksSheet, fmt.Sprint("B", i+1), c))
			}
			return err
		},
		"beside it": func(f *excelize.File, _ func(string) string) error { return f.SetCellStr(blocksSheet, "X2", "Pears") },
	} {
		f, _ := textsOf(t, s)
		rows, err := f.GetRows(blocksSheet)
		if err != nil {
			t.Fatal(err)
		}
		at := func(heading string) string {
			col, _ := excelize.ColumnNumberToName(slices.Index(rows[0], heading) + 1)
			return col + "2"
		}
		name, _ := excelize.ColumnNumberToName(slices.Index(rows[0], headWritten) + 1)
		if seen, err := f.GetColVisible(blocksSheet, name); err != nil || seen {
			t.Errorf("the column of sums is seen: %v", err)
		}
		if high, err := f.GetRowHeight(blocksSheet, 2); err != nil || high > rowHeight {
			t.Errorf("a row of one line is %v high: %v", high, err)
		}
		path := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(change(f, at), f.SaveAs(path), f.Close()); err != nil {
			t.Fatal(err)
		}
		e, problems := Open(path)
		if e == nil || len(problems) > 0 {
			t.Fatal(problems)
		}
		_, found := e.Blocks(e.Codes[:1], s)
		if told := len(found) == 1 && found[0].Place.Sheet == blocksSheet && found[0].Place.Row == 2 && found[0].What == "the row of "+e.Codes[0]+" was changed here, where it is not read"; told != (what != "" && what != asItWas && what != asAgain) || !told && len(found) > 0 {
			t.Errorf("%s: %v", what, found)
		}
		if _, found := e.Blocks(e.Codes[1:2], s); len(found) > 0 {
			t.Errorf("%s: of another block it is said: %v", what, found)
		}
	}
}

// TestCopiesInTexts: copies in a column that somebody added to the sheet of texts are told of: a code is named once for each.
func TestCopiesInTexts(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	col, _ := excelize.ColumnNumberToName(len(rows[0]) + 1)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := errors.Join(f.SetCellStr(Texts, col+"1", "Copies"), f.SetCellInt(Texts, col+"2", 3), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	for named, told := range map[int]bool{1: true, 3: false} {
		blocks, problems := e.Blocks(slices.Repeat(e.Codes[:1], named), s)
		if len(blocks) != 1 || blocks[0].Copies != named || problems.Errors() > 0 || (len(problems) == 1) != told || told && problems[0].What != e.Codes[0]+" is printed 1 time, and its row says 3" {
			t.Errorf("%d: %v, %v", named, blocks, problems)
		}
	}
}

// TestManyUnknownCodes: others that may have been meant are sought for the first ones only, since each is compared with all of the report.
func TestManyUnknownCodes(t *testing.T) {
	e := &Earlier{Codes: []string{"AL-1"}}
	var typed []string
	for range 2 * mostNear {
		typed = append(typed, "AL-l")
	}
	_, list := e.Spell(typed)
	near := 0
	for _, p := range list {
		if strings.HasPrefix(p.Hint, "did you mean AL-1? ") {
			near++
		}
	}
	if len(list) != len(typed) || near != mostNear || list[len(list)-1].Hint == "" {
		t.Errorf("%d problems, %d with a code that was meant", len(list), near)
	}
}

// TestSecondBlockInARow: columns for a second block that somebody added to the sheet of texts are an error at the row, not another copy of its block.
func TestSecondBlockInARow(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	col, _ := excelize.ColumnNumberToName(len(rows[0]) + 1)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := errors.Join(f.SetCellStr(Texts, col+"1", "Journaling 2"), f.SetCellStr(Texts, col+"2", "Plums."), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	_, problems = e.Blocks(e.Codes[:1], s)
	if len(problems) != 1 || problems[0].Place.Sheet != Texts || problems[0].Place.Row != 2 || problems[0].What != "the row of "+e.Codes[0]+" has two blocks" {
		t.Errorf("%v", problems)
	}
	if blocks, problems := e.Blocks(e.Codes[1:2], s); len(problems) > 0 || len(blocks) != 1 {
		t.Errorf("%d blocks of the row below: %v", len(blocks), problems)
	}
}

// TestTextsEdited: a code that stands twice in the sheet of texts is told, and one that was typed in small letters is marked as printed again like any other.
func TestTextsEdited(t *testing.T) {
	s := builtInSettings(t)
	f, rows := textsOf(t, s)
	at, _ := excelize.CoordinatesToCellName(slices.Index(rows[0], headCode)+1, 2)
	code, _ := f.GetCellValue(Texts, at)
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := errors.Join(f.SetCellStr(Texts, at, strings.ToLower(code)), f.DuplicateRowTo(Texts, 2, len(rows)+1), f.SaveAs(path), f.Close()); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if len(problems) != 1 || problems[0].Place.Row != len(rows)+1 || problems[0].What != fmt.Sprintf("the block %s has a row already, row 2", code) {
		t.Fatal(problems)
	}
	blocks, problems := e.Blocks([]string{strings.ToLower(code)}, s)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	again := redone(t, e, blocks, s)
	rows, err := again.GetRows(blocksSheet)
	if err != nil {
		t.Fatal(err)
	}
	of, outcome := slices.Index(rows[0], headCode), slices.Index(rows[0], headOutcome)
	for _, r := range rows[1:] {
		if marked := r[outcome] == printedAgain; marked != (r[of] == code) {
			t.Errorf("%s: %s", r[of], r[outcome])
		}
	}
}

// TestMirroredIsKept: a report knows which blocks were printed mirrored, on the stock that they were printed on; one that has no column for it knows nothing, and is read as it was.
func TestMirroredIsKept(t *testing.T) {
	s := builtInSettings(t).Mirrored([]string{"clear sticker"})
	f, rows := textsOf(t, s) // OH-7 alone is on it
	defer f.Close()
	col := func(heading string) string {
		name, _ := excelize.ColumnNumberToName(slices.Index(rows[0], heading) + 1)
		return name
	}
	last := fmt.Sprint(len(rows))
	for _, c := range []struct {
		what     string
		change   func() error
		mirrored string // of the codes
		known    bool
	}{
		{"as it was made", func() error { return nil }, "OH-7", true},
		{"written in another way", func() error { return f.SetCellStr(Texts, col(headMirrored)+last, " Clear  STICKER") }, "OH-7", true},
		{"another stock", func() error { return f.SetCellStr(Texts, col("Stock")+last, "vellum") }, "", true},
		{"the stock as it was, nothing mirrored", func() error {
			return errors.Join(f.SetCellStr(Texts, col("Stock")+last, "clear sticker"), f.SetCellStr(Texts, col(headMirrored)+last, ""))
		}, "", true},
		{"no column", func() error { return f.RemoveCol(Texts, col(headMirrored)) }, "", false},
	} {
		path := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(c.change(), f.SaveAs(path)); err != nil {
			t.Fatal(c.what, err)
		}
		e, problems := Open(path)
		if len(problems) > 0 {
			t.Fatal(c.what, problems)
		}
		blocks, problems := e.Blocks(e.Codes, s)
		if len(problems) > 0 || len(blocks) != len(odd(s)) {
			t.Errorf("%s: %d blocks, %v", c.what, len(blocks), problems)
		}
		for i := range blocks {
			if mirrored, known := e.Mirrored(&blocks[i]); mirrored != (blocks[i].Code == c.mirrored) || known != c.known {
				t.Errorf("%s: %s is mirrored: %v, known: %v", c.what, blocks[i].Code, mirrored, known)
			}
		}
	}
}

// TestSizeTypedInTexts: a bare size that somebody types in the sheet of texts is in the unit that all the others have beside them, whatever a number alone is in elsewhere.
func TestSizeTypedInTexts(t *testing.T) {
	for _, unit := range []measure.Unit{measure.Cm, measure.In} {
		s := builtInSettings(t)
		s.Unit = unit
		space := measure.Size{W: 10 * unit.Length(), H: 5 * unit.Length()}
		var blocks []intake.Block
		for _, b := range odd(s)[:2] {
			b.Space, b.Unit = space, unit
			blocks = append(blocks, b)
		}
		f, err := excelize.OpenFile(reportFile(t, lay(t, blocks, nil, s)))
		if err != nil {
			t.Fatal(err)
		}
		rows, err := f.GetRows(Texts)
		if err != nil {
			t.Fatal(err)
		}
		at, _ := excelize.CoordinatesToCellName(slices.Index(rows[0], "Space")+1, 2)
		path := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(f.SetCellStr(Texts, at, "8 x 5"), f.SaveAs(path), f.Close()); err != nil {
			t.Fatal(err)
		}
		e, problems := Open(path)
		if e == nil {
			t.Fatal(problems)
		}
		again, problems := e.Blocks(e.Codes[:1], builtInSettings(t))
		if want := (measure.Size{W: 8 * unit.Length(), H: space.H}); len(again) != 1 || again[0].Space != want {
			t.Errorf("%s: %v %v, want %v\n%q", unit, again, problems, want, rows)
		}
	}
}
