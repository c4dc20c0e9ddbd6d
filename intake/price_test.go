package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestPaperSaysNoMore: what a list of paper has beside is told, and packs are no sheets; what shows behind the ink of no clear stock is no colour is told, too.
func TestPaperSaysNoMore(t *testing.T) {
	for data, want := range map[string]string{
		"Stock,Width,Height,Count (packs)\nvellum,8.5,11,2\n": "is no number of sheets, as the heading “Count (packs)” says", "Stock,Width,Height,Count,Tuck\nvellum,8.5,11,2,1/4\n": "were not read: E",
	} {
		if _, problems := ReadPaper(intaketest.Write(t, "paper.csv", data)[0], intaketest.Home()); !strings.Contains(intaketest.Say(problems), want) {
			t.Errorf("%s: %s", data, intaketest.Say(problems))
		}
	}
	for _, heading := range []string{"Size", "Size (in)", "Size (w x h)"} {
		paper, problems := ReadPaper(intaketest.Write(t, "paper.csv", "Stock,"+heading+",Count\nvellum,8.5 x 11,2\n")[0], intaketest.Home())
		if len(paper) != 1 || len(problems) > 0 || paper[0].Size != (measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}) {
			t.Errorf("%s: %v %s", heading, paper, intaketest.Say(problems))
		}
	}
	for typed, told := range map[string]bool{"ask Sue about this": true, "dark blue": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,Stock,Page colour\nAda Lind,In May,4,2,cardstock,"+typed+"\n")
		if got := strings.Contains(said, "is no colour"); got != told {
			t.Errorf("%s: told %t: %s", typed, got, said)
		}
	}
}

// TestDoubtfulPrice: a heading of prices in which something stands that is not known is told, since they are taken for those of one sheet.
func TestDoubtfulPrice(t *testing.T) {
	for heading, told := range map[string]bool{"Price (ten)": true, "Price (120 gsm)": true, "Price (all)": true, "Price": false, "Price per sheet": false, "Cost per sheet (kr)": false, "Price (incl. VAT)": false, "Price (zł)": false, "Price (2026)": false} {
		_, problems := ReadPaper(intaketest.Write(t, "paper.csv", "Stock,Width,Height,Count,"+heading+"\nvellum,8.5,11,2,5\n")[0], intaketest.Home())
		if got := strings.Contains(intaketest.Say(problems), "is taken for that of one sheet"); got != told {
			t.Errorf("%s: told %t: %s", heading, got, intaketest.Say(problems))
		}
	}
}

// TestWithList: paper that the job's files list and a list beside them, too, is told; where the list is the job's own, it counts once.
func TestWithList(t *testing.T) {
	read := func(name, rows string) []Paper {
		paper, problems := ReadPaper(intaketest.Write(t, name, "Stock,Width,Height,Count\n"+rows)[0], intaketest.Home())
		if problems.Errors() > 0 {
			t.Fatal(problems)
		}
		return paper
	}
	for _, c := range []struct {
		job, list string
		rows      int
		told      string
	}{
		{"vellum,8.5,11,2\n", "vellum,8.5,11,2\n", 1, "given twice, and counts once"},
		{"vellum,8.5,11,5\n", "vellum,11,8.5,1\n", 2, "counted twice: vellum 8 1/2 x 11 in (row 2 and row 2 of paper.csv)"},
		{"vellum,8.5,11,5\n", "cardstock,8.5,11,1\nvellum,5,7,1\n", 3, ""}, {"", "vellum,8.5,11,2\n", 1, ""}, {"vellum,8.5,11,2\n", "", 1, ""},
	} {
		var job, list []Paper
		if c.job != "" {
			job = read("paper.csv", c.job)
		}
		if c.list != "" {
			list = read("paper.csv", c.list)
		}
		all, told := (&Job{Paper: job}).WithList(list, measure.In)
		if len(all) != c.rows || c.told == "" && len(told) > 0 || !strings.Contains(intaketest.Say(told), c.told) {
			t.Errorf("%q and %q: %v %s", c.job, c.list, all, intaketest.Say(told))
		}
	}
}

// TestPrices: a price has the currency that its cell, the format of its number (ECMA-376 part 1, 18.8.31) or its heading names; one that is not of one
// sheet, or in small coin, is refused. As it is typed over elsewhere it says the same.
func TestPrices(t *testing.T) {
	for _, c := range []struct {
		heading string
		cell    any
		format  string
		want    string
	}{
		{"Price", 0.6, "", "60"}, {"Price", "0.60 €", "", "60 €"}, {"Price", 0.6, `#,##0.00\ "€"`, "60 €"}, {"Price", 0.6, `#,##0.00\ [$€-407]`, "60 €"}, {"Price", 0.6, `[$€-2]\ #,##0.00`, "60 €"},
		{"Price", 0.6, `[$kr-41D] #,##0.00`, "60 kr"}, {"Price", 1.6, `_-* #,##0.00\ [$€-407]_-`, "160 €"}, {"Price", 0.6, `[$£-809]#,##0.00`, "60 £"}, {"Price", 0.6, `[$-409]#,##0.00`, "60"},
		{"Price (€)", 0.6, "", "60 €"}, {"Price (€)", "0.60", "", "60 €"}, {"Price (EUR)", 0.6, "", "60 EUR"}, {"Price (€)", "0.60 $", "", "60 $"}, {"Price $", 0.6, `#,##0.00\ [$€-407]`, "60 €"},
		{"Price per sheet", 0.6, "", "60"}, {"Price (2026)", 0.6, "", "60"}, {"Cost per sheet (kr)", 6, "", "600 kr"},
		{"Price (cents)", 60, "", "refused"}, {"Price (ct)", "60", "", "refused"}, {"Price ¢", 60, "", "refused"}, {"Price (p)", 60, "", "refused"}, {"Price", "60 ct", "", "refused"}, {"Price", "60,000", "", "refused"}, {"Price", "¥60,000", "", "refused"}, {"Price", "60.500 Ft", "", "refused"}, {"Price", "0.600", "", "60"}, {"Price", 0.6, "0.000", "60"},
		{"Price (pack of 10)", 5.99, "", "refused"}, {"Price (per ream)", "$5.99", "", "refused"}, {"Price (10)", 5.99, "", "refused"}, {"Price (per 25)", 5.99, "", "refused"}, {"Price (total)", 5.99, "", "refused"},
		{"Price (25 sheets)", 5.99, "", "refused"}, {"Price (pk)", 5.99, "", "refused"}, {"Price (100 Blatt)", 5.99, "", "refused"}, {"Price (2 for)", 5.99, "", "refused"}, {"Price each (pkg)", 5.99, "", "refused"}, {"Price (bag)", 5.99, "", "refused"},
		{"Price", "5.99 pk", "", "refused"}, {"Price", "$5.99/pk", "", "refused"}, {"Price", "6 pack", "", "refused"}, {"Price", "6/doz", "", "refused"}, {"Price", "6 ?", "", "refused"}, {"Price", "~6", "", "refused"}, {"Price", "(0.60)", "", "refused"}, {"Price", 5.99, `0.00" per pack"`, "refused"}, {"Price", 5.99, `0.00"/pk"`, "refused"},
		{"Price", "0.60/sheet", "", "60"}, {"Price", "$0.60 each", "", "60 $"}, {"Price", "60 Ft", "", "6000 Ft"}, {"Price", "R$ 3", "", "300 R$"}, {"Price", "5 ALL", "", "500 ALL"}, {"Price", "5 all", "", "refused"}, {"Price", "US $5", "", "500 US $"}, {"Price", "$5 CAD", "", "500 CAD"}, {"Price", "$5 USD", "", "500 USD"}, {"Price", "5 zl", "", "500 zl"}, {"Price", "5:-", "", "500"}, {"Price", "Php 5", "", "500 Php"}, {"Price", "5元", "", "500 元"}, {"Price", "€5 USD", "", "refused"},
		{"Price (65 lb)", 5, "", "500"}, {"Price (120 gsm)", 5, "", "500"}, {"Price (5 Nov)", 5, "", "500"},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Stock", "Width", "Height", "Count", c.heading}, []any{"vellum", 8.5, 11, 3, c.cell})
			if c.format != "" {
				intaketest.Styled(t, f, "Sheet1", "E2", &excelize.Style{CustomNumFmt: &c.format})
			}
		})
		read := func(name, data string) string {
			paper, problems := ReadPaper(intaketest.Write(t, name, data)[0], intaketest.Home())
			if len(problems) == 1 && (strings.HasSuffix(problems[0].What, "is no price of one sheet") || strings.Contains(problems[0].What, "as the heading")) {
				return "refused"
			}
			if len(paper) != 1 || problems.Errors() > 0 {
				return intaketest.Say(problems)
			}
			return strings.TrimSpace(fmt.Sprintf("%d %s", paper[0].Price, paper[0].Sign))
		}
		if got := read("paper.xlsx", data); got != c.want {
			t.Errorf("%s %v %s: %s, want %s", c.heading, c.cell, c.format, got, c.want)
		}
		typed := Typed([]*table.File{table.Parse("paper.xlsx", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)
		cells := typed[0].Rows[0].Cells
		price := cells[len(cells)-1].Text
		if got := read("typed.csv", fmt.Sprintf("Stock,Width,Height,Count,Price\nvellum,8.5,11,3,%q\n", price)); got != c.want {
			t.Errorf("%s %v %s: typed %q, %s, want %s", c.heading, c.cell, c.format, price, got, c.want)
		}
	}
}
