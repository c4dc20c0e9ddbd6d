package report

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

var plainFonts = typeset.NewLibrary(nil)

// lay sets and arranges blocks with the settings that are built in.
func lay(t testing.TB, blocks []intake.Block, paper []intake.Paper, s *config.Settings) Input {
	t.Helper()
	set, held, _ := typeset.Set(t.Context(), plainFonts, blocks, s, nil)
	laid, more, _ := layout.Arrange(t.Context(), set, paper, s, nil)
	laid.Held = slices.Concat(held, more)
	return Input{Account: account.Of(laid, s, paper), Title: "test"}
}

func builtInSettings(t testing.TB) *config.Settings {
	t.Helper()
	s, problems := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir()})
	if s == nil {
		t.Fatal(problems)
	}
	s.Effort = 10
	return s
}

// known reports whether the report has a block of that code.
func known(e *Earlier, code string) bool {
	_, list := e.Spell([]string{code})
	return len(list) == 0
}

func reportFile(t *testing.T, in Input) string {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, in); err != nil {
		t.Fatal(err)
	}
	return intaketest.Write(t, "job-report.xlsx", b.String())[0]
}

// odd are blocks with everything in them that may get lost in a workbook.
func odd(s *config.Settings) []intake.Block {
	var out []intake.Block
	add := func(code string, change func(*intake.Block)) {
		stock, _ := s.Stock("vellum")
		b := intake.Block{Place: problem.Place{File: "week.csv", Sheet: "", Row: len(out) + 2}, Code: code, Owner: "Odile Hart", Page: "3", Space: measure.Size{W: 4 * inch, H: 2 * inch},
			Tuck: stock.Tuck, Inset: stock.Inset, Stock: "vellum", Font: "Serif", Type: s.Type, Copies: 1, Turn: true, Back: stock.Colour,
			Text: []intake.Paragraph{{{Text: "Plums on the quay."}}}}
		change(&b)
		out = append(out, b)
	}
	run := func(text string) intake.Paragraph { return intake.Paragraph{{Text: text}} }
	add("OH-1", func(*intake.Block) {})
	add("OH-2", func(b *intake.Block) {
		b.Text = []intake.Paragraph{{{Text: "We "}, {Text: "all", Bold: true}, {Text: " ate ", Italic: true}, {Text: "plums", Bold: true, Italic: true}, {Text: "."}}}
	})
	add("OH-3", func(b *intake.Block) {
		b.Text = []intake.Paragraph{run("One."), {}, run("Three, after a blank line."), {{Text: "Four", Bold: true}}}
		b.Space.H = 3 * inch
	})
	add("OH-4", func(b *intake.Block) {
		b.Text = []intake.Paragraph{run("=2*3, *not bold*, snake_case & <tags> “quotes” café 1962")}
		b.Title, b.End = "-1962-", "Odile · Quay · 4 July"
	})
	add("OH-5", func(b *intake.Block) {
		b.Text = []intake.Paragraph{run("1962")}
		b.Space = measure.Size{W: 101 * measure.Millimetre / 2, H: 333 * measure.Millimetre / 10}
		b.Tuck = measure.Sides{Left: inch / 4, Bottom: 7 * measure.Millimetre}
	})
	add("OH-6", func(b *intake.Block) {
		b.Tuck, b.Turn, b.Copies, b.Font = measure.Sides{}, false, 3, "Sans"
		b.Type.Align, b.Type.AutoAlign, b.Type.Vertical, b.Type.Ink = config.Justified, false, config.Bottom, config.Colour{R: 32, G: 64, B: 128}
	})
	add("OH-7", func(b *intake.Block) {
		stock, _ := s.Stock("clear sticker")
		b.Stock, b.Tuck, b.Inset, b.Back = stock.Name, stock.Tuck, stock.Inset, config.Colour{R: 250, G: 240, B: 200}
		b.Type.Align, b.Type.AutoAlign, b.Type.Vertical = config.Centre, false, config.Top
	})
	return out
}

// TestTextsReadBack prints blocks, reads them back out of the report and compares: nothing but the largest size, which becomes
// the printed one, and the copies, which are asked for, may change. Set again, they look the same.
func TestTextsReadBack(t *testing.T) {
	s := builtInSettings(t)
	blocks := odd(s)
	in := lay(t, blocks, nil, s)
	laid := in.Account.Plan
	laid.Held = append(laid.Held, intake.Held{Place: problem.Place{File: "week.csv", Row: 40}, Code: "SB-1", Owner: "Simeon Brandt", Why: "the width is missing"})
	in.Account = account.Of(laid, s, nil)
	path := reportFile(t, in)
	src, problems := Open(path)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if src.Held["SB-1"] != "the width is missing" || known(src, "SB-1") || len(src.Codes) != len(blocks) {
		t.Errorf("codes %q, held %q", src.Codes, src.Held)
	}
	printed := map[string]*typeset.Setting{}
	for _, p := range in.Account.Plan.Pieces {
		for _, b := range p.Blocks() {
			printed[b.Block.Code] = b.Block.Setting
		}
	}
	var codes []string
	for i := range blocks {
		codes = append(codes, blocks[len(blocks)-1-i].Code)
	}
	back, problems := src.Blocks(append(codes, "OH-2"), s)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for i := range back {
		got, want := back[i], blocks[len(blocks)-1-i]
		want.Type.Wished = printed[want.Code].Size
		want.Copies = 1
		if want.End != "" {
			want.EndIn = []string{"When"} // the report has one column for all of it
		}
		if want.Code == "OH-2" {
			want.Copies = 2
		}
		for k, p := range want.Text { // an empty paragraph may be nil or not
			if len(p) == 0 && len(got.Text) > k && len(got.Text[k]) == 0 {
				got.Text[k] = p
			}
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %+v\nwant %+v", want.Code, got, want)
		}
	}
	again, held, _ := typeset.Set(t.Context(), plainFonts, back, s, nil)
	if len(held) > 0 {
		t.Errorf("held: %v", held)
	}
	for i := range again {
		was := printed[again[i].Block.Code]
		if again[i].Size != was.Size || !reflect.DeepEqual(again[i].Lines, was.Lines) {
			t.Errorf("%s is set otherwise: in %v, then in %v", was.Block.Code, was.Size.Points(), again[i].Size.Points())
		}
	}
}

// TestRedoKeepsTheBooks redoes blocks twice and keeps account of the paper in the folder: what the report listed, less what
// was used, plus what was left. The workbook keeps what a person wrote into it.
func TestRedoKeepsTheBooks(t *testing.T) {
	s := builtInSettings(t)
	for i := range s.Stocks {
		if s.Stocks[i].Name == "vellum" {
			s.Stocks[i].Sheets = []config.Sheet{{Size: made.LetterPaper, Count: 5, Price: 60}}
		}
	}
	path := reportFile(t, lay(t, odd(s), nil, s))
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellStr("Account", "K1", "Odile has paid"); err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	type row struct {
		stock    string
		size     measure.Size
		leftover bool
	}
	folder := func(path string) map[row]int {
		paper, problems := intake.ReadPaper(path, s)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		out := map[row]int{}
		for _, p := range paper {
			out[row{p.Stock, p.Size, p.Leftover}] += p.Count
		}
		return out
	}
	for n := range 2 {
		before := folder(path)
		src, problems := Open(path)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		blocks, problems := src.Blocks([]string{"OH-1", "OH-3"}, s)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		paper, _ := intake.ReadPaper(path, s)
		in := lay(t, blocks, paper, s)
		in.Account.Other = src.Run()
		var once, twice bytes.Buffer
		for _, b := range []*bytes.Buffer{&once, &twice} {
			if err := src.Redo(b, in); err != nil {
				t.Fatal(err)
			}
		}
		if !bytes.Equal(once.Bytes(), twice.Bytes()) {
			t.Error("the same redo gave two different workbooks")
		}
		for _, p := range in.Account.Plan.Pieces {
			before[row{p.Stock, p.Source.Rect.Size(), p.Source.Leftover}]--
			for leaf := range p.Whole.Leaves {
				if leaf.Keep {
					before[row{p.Stock, leaf.Rect.Size(), true}]++
				}
			}
		}
		path = filepath.Join(t.TempDir(), "redo.xlsx")
		if err := os.WriteFile(path, once.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		after := folder(path)
		for r, n := range before {
			if n < 0 || r.leftover && n != after[r] || !r.leftover && r.stock == "vellum" && n != after[r] {
				t.Errorf("%+v: %d in the folder, the report says %d", r, n, after[r])
			}
		}
		for r, n := range after {
			if r.leftover && n != before[r] {
				t.Errorf("%+v: the report says %d, in the folder are %d", r, n, before[r])
			}
		}
		book, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		sheets := book.GetSheetList()
		want := []string{"Blocks", "Cuts", "Leftovers", "Account", "Held back", "Notes", "Texts", "Blocks 2", "Cuts 2", "Account 2", "Blocks 3", "Cuts 3", "Account 3"}
		if want = want[:10+3*n]; !slices.Equal(sheets, want) {
			t.Errorf("sheets %q, want %q", sheets, want)
		}
		if v, _ := book.GetCellValue("Account", "K1"); v != "Odile has paid" {
			t.Errorf("what was written into the account is gone: %q", v)
		}
		outcome := map[string]string{}
		rows, _ := book.GetRows("Blocks")
		for _, r := range rows[1:] {
			outcome[r[0]] = r[5]
		}
		if outcome["OH-1"] != "printed again" || outcome["OH-2"] != "printed" || outcome["OH-3"] != "printed again" {
			t.Errorf("outcomes %v", outcome)
		}
		book.Close()
	}
}

// TestRedoUsesUpTheLeftovers redoes a block on the last leftover: then none is in the list, nor in its rows.
func TestRedoUsesUpTheLeftovers(t *testing.T) {
	s := builtInSettings(t)
	for i := range s.Printers {
		s.Printers[i].Margins = measure.Sides{}
	}
	b := odd(s)[:1]
	b[0].Space.H, b[0].Turn = 6*inch, false
	exact := intake.Paper{Stock: "vellum", Size: b[0].Trim(), Count: 1, Leftover: true}
	path := reportFile(t, lay(t, b, []intake.Paper{exact, exact}, s))
	left := func() int {
		paper, _ := intake.ReadPaper(path, s)
		n := 0
		for _, p := range paper {
			if p.Leftover {
				n += p.Count
			}
		}
		return n
	}
	if left() != 1 {
		t.Fatalf("after the first run %d leftovers are listed", left())
	}
	old, problems := Open(path)
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	paper, _ := intake.ReadPaper(path, s)
	var again bytes.Buffer
	if err := old.Redo(&again, lay(t, b, paper, s)); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, again.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if left() != 0 {
		t.Errorf("%d leftovers are listed, and none is left", left())
	}
}

func TestRedoOfWhatIsNoReport(t *testing.T) {
	s := builtInSettings(t)
	in := lay(t, odd(s), nil, s)
	empty := excelize.NewFile()
	defer empty.Close()
	other, err := empty.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	for name, old := range map[string][]byte{"nothing": {}, "a text": []byte("Name,Journaling"), "another workbook": other.Bytes()} {
		if err := (&Earlier{raw: old}).Redo(&bytes.Buffer{}, in); !errors.Is(err, ErrReport) {
			t.Errorf("%s: %v", name, err)
		}
	}
	path := filepath.Join(t.TempDir(), "other.xlsx")
	if err := os.WriteFile(path, other.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, problems := Open(path); problems.Errors() != 1 || problems[0].Hint == "" {
		t.Errorf("another workbook: %v", problems)
	}
}
