package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// has reports whether a list has a problem with that sentence in it.
func has(list problem.List, what string) bool { return count(list, what) > 0 }

func count(list problem.List, what string) (n int) {
	for _, p := range list {
		if strings.Contains(p.What, what) {
			n++
		}
	}
	return n
}

// TestRowsThatAsk: a row in which anything is asked for is a block or held back; what a form fills in beforehand asks for nothing.
func TestRowsThatAsk(t *testing.T) {
	table := "Name,Journaling,Width,Height,Stock,Title,Surname\n"
	for row, held := range map[string]bool{
		",,,,,Our day,": true, ",,4,,,,": true, ",,,2,,,": true, ",,,,,,Kowalski": true, ",Rain.,,,,,": true, "Marie,,,,,,": true,
		",,,,vellum,,": false, "name,journaling,width,height,stock,title,surname": false,
	} {
		job, problems := read(t, "a.csv", table+"Marie Kowalski,\"Rain, May 2026.\",4,2,,,\n"+row+"\n")
		if len(job.Blocks) != 1 || (len(job.Held) == 1) != held || (problems.Errors() > 0) != held {
			t.Errorf("%q: %d blocks, %d held: %s", row, len(job.Blocks), len(job.Held), intaketest.Say(problems))
		}
	}
	// Four headings again are the headings; fewer are somebody's words.
	job, _ := read(t, "a.csv", table+"Name,Journaling,4,2,,,\n")
	if len(job.Blocks) != 1 || job.Blocks[0].Owner != "Name" {
		t.Errorf("a person called Name: %+v", job)
	}
}

// TestOnce: a note about a word is said once in a file, and in each file.
func TestOnce(t *testing.T) {
	table := intaketest.Rows([]string{"Stock=white cardstock"}, []string{"Stock=white cardstock"}, []string{"Stock=sticker"})
	_, problems := read(t, "a.csv", table, "b.csv", table)
	if n := count(problems, "“white cardstock” is taken for"); n != 2 {
		t.Errorf("said %d times of two files: %s", n, intaketest.Say(problems))
	}
	if n := count(problems, "“sticker” is taken for"); n != 2 {
		t.Errorf("another word is said %d times", n)
	}
}

// TestLongest: texts are measured in letters, and the most that is allowed is allowed.
func TestLongest(t *testing.T) {
	for _, c := range []struct {
		field string
		n     int
		bad   string
	}{
		{"Name", mostName, ""}, {"Name", mostName + 1, "the cell is 81 characters long"},
		{"Title", mostLine, ""}, {"Title", mostLine + 1, "the cell is 301 characters long"},
		{"Journaling", mostText, ""}, {"Journaling", mostText + 1, "the text is 20001 characters long"},
	} {
		_, problems := read(t, "a.csv", intaketest.Rows([]string{c.field + "=" + strings.Repeat("ä", c.n)}))
		if c.bad == "" && problems.Errors() > 0 || !has(problems, c.bad) && c.bad != "" {
			t.Errorf("%s of %d letters: %s", c.field, c.n, intaketest.Say(problems))
		}
	}
}

// TestHiddenRows: up to ten are named, and of more that there are others.
func TestHiddenRows(t *testing.T) {
	for n, want := range map[int]string{1: "read: 2", 9: "read: 2, 3, 4, 5, 6, 7, 8, 9, 10", 10: "read: 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, and others",
		13: "read: 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, and others"} {
		book := intaketest.Saved(t, func(f *excelize.File) {
			rows := [][]any{intaketest.Head}
			for i := range n + 1 {
				rows = append(rows, []any{"Marie Kowalski", fmt.Sprintf("%s %d", intaketest.Story, i), 4, 2})
			}
			intaketest.Put(t, f, "Sheet1", rows...)
			for i := range n {
				if err := f.SetRowVisible("Sheet1", i+2, false); err != nil {
					t.Fatal(err)
				}
			}
		})
		_, problems := read(t, "a.xlsx", book)
		said := ""
		for _, p := range problems {
			if strings.Contains(p.What, "hidden rows") {
				said = p.What
			}
		}
		if !strings.HasSuffix(said, want) {
			t.Errorf("%d hidden rows: %q", n, said)
		}
	}
}

// TestUnseen: what cannot be seen is not there.
func TestUnseen(t *testing.T) {
	for _, text := range []string{"\u200b", " \u2060 ", "\u200c\u200d"} {
		if _, problems := read(t, "a.csv", intaketest.Rows([]string{"Journaling=" + text})); !has(problems, "the journaling is missing") {
			t.Errorf("%q: %s", text, intaketest.Say(problems))
		}
	}
}

// TestOverflowHasItsOwner: a row with a cell too many is held under its person's name and code, and the codes behind it do not move.
func TestOverflowHasItsOwner(t *testing.T) {
	table := "Name,Journaling,Width,Height\nMarie Kowalski,Rain,4,2,sun\nMarie Kowalski,\"Sun, May 2026.\",4,2\n"
	job, problems := read(t, "a.csv", table)
	if len(job.Held) != 1 || job.Held[0].Owner != "Marie Kowalski" || job.Held[0].Code != "MK-1" || len(job.Blocks) != 1 || job.Blocks[0].Code != "MK-2" {
		t.Errorf("%+v, %+v: %s", job.Held, job.Blocks, intaketest.Say(problems))
	}
}

// TestHeldWhy: a row is held for what was found first, and says how much more there is.
func TestHeldWhy(t *testing.T) {
	for fields, want := range map[string]string{"Width=": "the width is missing", "Width=|Height=0": "the width is missing (and 1 more)", "Name=|Width=|Height=": "the name is missing (and 2 more)"} {
		job, _ := read(t, "a.csv", intaketest.Rows(strings.Split(fields, "|")))
		if len(job.Held) != 1 || job.Held[0].Why != want {
			t.Errorf("%s: %+v", fields, job.Held)
		}
	}
}

// TestTitleMarkup: a title has no bold, so its signs for that go.
func TestTitleMarkup(t *testing.T) {
	job, _ := read(t, "a.csv", intaketest.Rows([]string{"Title=*Our* day"}))
	if len(job.Blocks) != 1 || job.Blocks[0].Title != "Our day" {
		t.Errorf("%+v", job.Blocks)
	}
}

// TestTuckBelowNought, on each side.
func TestTuckBelowNought(t *testing.T) {
	for _, side := range []string{"top", "left", "right", "bottom"} {
		if _, problems := read(t, "a.csv", intaketest.Rows([]string{"Tuck=" + side + " -1/4"})); !has(problems, "the tuck is less than 0") {
			t.Errorf("%s: %s", side, intaketest.Say(problems))
		}
	}
}

// TestPageColour: the page's colour counts where the stock lets it through.
func TestPageColour(t *testing.T) {
	for stock, shows := range map[string]bool{"vellum": true, "clear sticker": true, "cardstock": false} {
		job, problems := read(t, "a.csv", intaketest.Rows([]string{"Stock=" + stock, "Page colour=dark blue"}))
		if len(job.Blocks) != 1 || (job.Blocks[0].Back.B == 0x8b) != shows {
			t.Errorf("%s: %+v %s", stock, job.Blocks, intaketest.Say(problems))
		}
	}
}

// TestFractions: a fraction of one or more is doubted, one below is not.
func TestFractions(t *testing.T) {
	for text, doubted := range map[string]bool{"3/4": false, "4/4": true, "5/4": true} {
		if _, problems := read(t, "a.csv", intaketest.Rows([]string{"Width=" + text, "Stock=clear sticker"})); has(problems, "is read as") != doubted {
			t.Errorf("%s: %s", text, intaketest.Say(problems))
		}
	}
}

// TestMillimetresAsInches: a space far too large that would fit as millimetres is told to be such.
func TestMillimetresAsInches(t *testing.T) {
	for text, guessed := range map[string]bool{"114": true, "30": false, "12": false, "999": false} {
		_, problems := read(t, "a.csv", intaketest.Rows([]string{"Width=" + text, "Height=50"}))
		hint := ""
		for _, p := range problems {
			if strings.Contains(p.What, "larger than any sheet") {
				hint = p.Hint
			}
		}
		if hint == "" || strings.Contains(hint, "millimetres") != guessed {
			t.Errorf("%s: %q: %s", text, hint, intaketest.Say(problems))
		}
	}
}

// TestStockWords: a stock is found by a near spelling where the word is long enough to tell, and never by "paper" alone.
func TestStockWords(t *testing.T) {
	s := intaketest.Home()
	for text, want := range map[string]string{"velum": "vellum", "vellums": "vellum", "Clear Stickers": "clear sticker", "sticker": "clear sticker", "paper": "", "plain": "plain paper", "glitter": ""} {
		stock, _, ok, _ := findStock(text, s)
		if ok != (want != "") || stock.Name != want {
			t.Errorf("%q: %q, %v", text, stock.Name, ok)
		}
	}
	s.Stocks = append(s.Stocks[:0:0], s.Stocks[0])
	s.Stocks[0].Name = "film"
	for text, want := range map[string]string{"fillm": "true ", "flim": "true ", "fil": "false film"} { // three letters may be another word
		if _, _, ok, near := findStock(text, s); fmt.Sprint(ok, " ", near) != want {
			t.Errorf("%q: %v, near %q", text, ok, near)
		}
	}
	s.Stocks[0].Name = "linen paper"
	if _, _, ok, _ := findStock("paper", s); ok {
		t.Error("paper alone names a stock")
	}
	if got, err := parseTuck("1/2 top 1/4", measure.In, measure.Sides{}); err == nil {
		t.Errorf("a measure without its edge: %+v", got)
	}
}

// TestHeadingsFarDown: headings are looked for in the first 40 rows.
func TestHeadingsFarDown(t *testing.T) {
	for above, found := range map[int]bool{0: true, 5: true, 39: true, 40: false} {
		job, problems := read(t, "a.csv", strings.Repeat("Our retreat,by the lake\n", above)+intaketest.Rows(nil))
		if len(job.Blocks) == 1 != found {
			t.Errorf("below %d rows: %d blocks: %s", above, len(job.Blocks), intaketest.Say(problems))
		}
	}
}

// TestUnitOfOneHeading: the unit of one heading is meant of the other, too.
func TestUnitOfOneHeading(t *testing.T) {
	for _, headings := range []string{"Width (cm),Height", "Width,Height (cm)", "Width (cm),Height (cm)"} {
		job, problems := read(t, "a.csv", "Name,Journaling,"+headings+"\nMarie Kowalski,\"Rain, May 2026.\",10,5\n")
		if want := (measure.Size{W: 100 * measure.Millimetre, H: 50 * measure.Millimetre}); len(job.Blocks) != 1 || job.Blocks[0].Space != want {
			t.Errorf("%s: %+v: %s", headings, job.Blocks, intaketest.Say(problems))
		}
	}
}

// TestNumberedNames: Table 1 and Table 2 differ by one letter and are two; Katarina and Catarina may be one.
func TestNumberedNames(t *testing.T) {
	for names, asked := range map[[2]string]bool{{"Lakeside Table 1", "Lakeside Table 2"}: false, {"Katarina Moss", "Catarina Moss"}: true, {"Ann Lee", "Ann Lea"}: false} {
		_, problems := read(t, "a.csv", intaketest.Rows([]string{"Name=" + names[0]}, []string{"Name=" + names[1], "Journaling=Sun at the harbour with Odile, May 2026."}))
		if has(problems, "are kept apart") != asked {
			t.Errorf("%q: %s", names, intaketest.Say(problems))
		}
	}
}

// TestSheetsLieEitherWay: a sheet that is listed the other way round is a sheet, one of another size a leftover.
func TestSheetsLieEitherWay(t *testing.T) {
	for size, leftover := range map[string]bool{"8.5,11": false, "11,8.5": false, "8,11": true} {
		job, problems := read(t, "paper.csv", "Stock,Width,Height,Count\nvellum,"+size+",3\n", "a.csv", intaketest.Rows(nil))
		if len(job.Paper) != 1 || job.Paper[0].Leftover != leftover {
			t.Errorf("%s: %+v: %s", size, job.Paper, intaketest.Say(problems))
		}
	}
}

// TestMostCopies: a run makes 100,000 blocks, each copy counted. The rows beyond are held, and named; a row after them that has room is not.
func TestMostCopies(t *testing.T) {
	table := "Name,Journaling,Width,Height,Copies\n" + strings.Repeat("Marie,\"Rain in Larvik, May 2026.\",1,1,999\n", 103) + "Marie,\"Sun in Larvik, May 2026.\",1,1,100\n"
	job, problems := read(t, "a.csv", table)
	n := 0
	for _, b := range job.Blocks {
		n += b.Copies
	}
	if n != 100_000 || len(job.Held) != 3 || problems.Errors() != 3 || count(problems, "too many copies for one run") != 3 || job.Held[0].Place.Row != 102 {
		t.Errorf("%d blocks, %d rows held, the first %d: %s", n, len(job.Held), job.Held[0].Place.Row, intaketest.Say(problems))
	}
	for _, p := range problems {
		if p.Severity == problem.Error && (p.Place.Cell == "" || p.Kind != problem.ForOrganiser || !strings.Contains(p.Hint, "in parts")) {
			t.Errorf("%+v", p)
		}
	}
}

// TestMostErrors: where more is wrong than anybody reads, the rest of a table is not looked at, nor are those after it, and it is an error of the whole table.
func TestMostErrors(t *testing.T) {
	for room, looked := range []int{1, 1, 1, 2, 2, 2, 3, 3, 3} { // three errors a row
		b := newBuilder(intaketest.Home())
		b.failed = mostErrors - room
		var sheets []*Sheet
		for range 2 {
			sh := newSheet(table.New([][]string{{"Name", "Journaling", "Width", "Height"}, {"Ada"}, {"Bo"}, {"Cy"}}), nil)
			sh.classify()
			b.sheet(sh)
			sheets = append(sheets, sh)
		}
		var all problem.List
		for _, sh := range sheets {
			all = append(all, sh.problems...)
		}
		if told := count(all, "more than 100,000 things are wrong"); told != 2 && looked < 3 || len(b.job.Held) != looked || told == 0 {
			t.Errorf("room for %d: %d held, %d told: %s", room, len(b.job.Held), told, intaketest.Say(all))
		}
		for _, p := range all {
			if strings.Contains(p.What, "things are wrong") && (p.Place.Row != 0 || p.Severity != problem.Error) {
				t.Errorf("it holds a row back only: %+v", p)
			}
		}
	}
}

// TestMostSeveral: where more blocks stand several to a row than a job can be, the rest of the table is not looked at, and that is an error of the whole table; other tables are.
func TestMostSeveral(t *testing.T) {
	for before, want := range map[int]int{0: 7, mostSeveral - 3: 5, mostSeveral + 1: 1} {
		b := newBuilder(intaketest.Home())
		b.severalToRow = before
		var all problem.List
		for _, rows := range [][][]string{
			{{"Name", "Text 1", "Width 1", "Height 1", "Text 2", "Width 2", "Height 2"}, {"Ada", "In May", "4", "2", "In June", "3", "1"}, {"Bo", "At sea", "4", "2", "On land", "3", "1"}, {"Cy", "By day", "4", "2", "By night", "3", "1"}},
			{{"Name", "Journaling", "Width", "Height"}, {"Di", "In the hills", "4", "2"}},
		} {
			sh := newSheet(table.New(rows), nil)
			sh.classify()
			b.sheet(sh)
			all = append(all, sh.problems...)
		}
		if told := count(all, "more than 40,000 blocks stand several to a row, and the rows from"); len(b.job.Blocks) != want || told != min(7-want, 1) || all.Errors() != told {
			t.Errorf("after %d: %d blocks, %d told: %s", before, len(b.job.Blocks), told, intaketest.Say(all))
		}
	}
}
