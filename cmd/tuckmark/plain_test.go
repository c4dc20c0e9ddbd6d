package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"
)

// steering are characters that steer a terminal, or turn the order of what is shown round.
const steering = "\x1b[31m\x07\x7f\u009b31m\u0085\u202e\u2066\u2028"

// TestNothingSteersTheTerminal has them in every name that may reach a terminal: of files and folders, sheets, headings, people, stocks,
// printers, fonts, currency. No command lets one through; --json writes them as escapes.
func TestNothingSteersTheTerminal(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no file is called so there")
	}
	dir := filepath.Join(t.TempDir(), "a"+steering)
	must(t, os.MkdirAll(filepath.Join(dir, "fonts"), 0o755))
	t.Chdir(dir)
	yaml := strings.NewReplacer("\x1b", `\e`, "\x07", `\a`, "\x7f", `\x7f`, "\u009b", `\u009b`, "\u0085", `\N`, "\u202e", `\u202e`, "\u2066", `\u2066`, "\u2028", `\L`).Replace(steering)
	put(t, "steering.yaml", `currency: "`+yaml+`"
printers:
  - name: "p`+yaml+`"
stocks:
  - name: "v`+yaml+`"
x`+steering+`: 1
`)
	put(t, "tuckmark.yaml", "currency: \u202e$\nprinters:\n  - name: p\u202e\n  - name: q\u202e\nstocks:\n  - name: v\u202e\nstock: v\u202e\n")
	put(t, "fonts/F"+steering+".ttf", "no font")
	head := "Name,Journaling,Width,Height,Font,Col" + steering + "\n"
	put(t, "good"+steering+".csv", head+"Pim"+steering+",Plums in Larvik 1987,4,2,,x\n")
	put(t, "bad"+steering+".csv", head+"Pim"+steering+",Plums,wide"+steering+",2,F"+steering+",x\n")
	put(t, "caf\xe9.csv", head+"Pim,Plums in Larvik 1987,4,2,,x\n")
	book := excelize.NewFile()
	must(t, book.SetSheetName("Sheet1", "S\u202e\u009b31m"))
	must(t, book.SetSheetRow("S\u202e\u009b31m", "A1", &[]string{"Name", "Journaling", "Width", "Height", "Col\u202e"}))
	must(t, book.SetSheetRow("S\u202e\u009b31m", "A2", &[]string{"Pim", "Plums", "4", "x"}))
	must(t, book.SaveAs("book.xlsx"))
	good, bad := "good"+steering+".csv", "bad"+steering+".csv"
	for _, args := range [][]string{
		{"check", good}, {"check", bad}, {"check", "--columns", "book.xlsx", bad}, {"check", "--json", "book.xlsx", bad}, {"check", "."},
		{"check", "nothing" + steering}, {"check", good, "--answers", "no" + steering}, {"check", good, "--config", "no" + steering}, {"check", good, "--config", "steering.yaml"},
		{"check", good, "--set", "x" + steering + "=1"}, {"check", good, "-o", "m" + steering + ".xlsx"}, {"no" + steering}, {"check", "--no" + steering},
		{"make", good}, {"make", bad}, {"make", bad, good, "--hold-back", "--split", "--plan", "p" + steering}, {"make", good, "-o", "no" + steering + "/x.pdf"},
		{"make", "caf\xe9.csv"}, {"proof", good}, {"proof", "caf\xe9.csv"}, {"proof", good, "-o", "x" + steering},
		{"redo", "good" + steering + "-report.xlsx", "--blocks", "P-1"}, {"redo", "good" + steering + "-report.xlsx", "--blocks", "X" + steering},
		{"note", "--space", "4 x 2", "Plums" + steering}, {"note", "--space", "4 x 2" + steering, "--stock", "n" + steering, "Plums"},
		{"fonts"}, {"fonts", "F" + steering}, {"form", "-o", "f" + steering + ".xlsx"}, {"testpage"}, {"testpage", "--printer", "p\u202e"},
		{"testpage", "--printer", "n" + steering}, {"testpage", "--printer", "p\u202e", "--measured", "1;2;3;4" + steering},
	} {
		_, out, err := tuckmark(t, args...)
		if all := out + err; strings.ContainsAny(all, "\x1b\x07\x7f\u009b\u0085\u202e\u2066\u2028\r") || !utf8.ValidString(all) || all == "" {
			t.Errorf("%q: %q", args, all)
		}
		if slices.Contains(args, "--json") {
			var answer struct{ Problems []struct{ What string } }
			if bad := json.Unmarshal([]byte(out), &answer); bad != nil || !strings.Contains(out, `\u009b`) {
				t.Errorf("%v: %q, %s", bad, out, err)
			}
		}
		if strings.Contains(err, "should not happen") {
			t.Errorf("%q: %q", args, err)
		}
	}
	pages, _ := filepath.Glob("*.html")
	if len(pages) == 0 {
		t.Error("no proof was made")
	}
	for _, p := range pages {
		if html, err := os.ReadFile(p); err != nil || !utf8.Valid(html) {
			t.Errorf("%q is no UTF-8: %v", p, err)
		}
	}
}
