package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config/longtests"

	"github.com/xuri/excelize/v2"
)

// somebodys are files that people make, also of the kinds that this program makes.
func somebodys(t *testing.T) map[string][]byte {
	t.Helper()
	form := filepath.Join(t.TempDir(), "form.xlsx")
	if code, _, err := tuckmark(t, "form", "-o", form); code != exitDone {
		t.Fatal(err)
	}
	book, err := excelize.OpenFile(form)
	must(t, err)
	must(t, book.SetCellStr("Journaling", "A2", "Jo Lind"))
	must(t, book.Save())
	must(t, book.Close())
	filled, err := os.ReadFile(form)
	must(t, err)
	sample, err := os.ReadFile(filepath.Join(root, "samples", "retreat.xlsx"))
	must(t, err)
	return map[string][]byte{
		"a text":          []byte("Dear diary\n"),
		"a PDF":           []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n1 0 obj <</Type/Catalog>> endobj\ntrailer <</Root 1 0 R>>\n%%EOF\n"),
		"a page":          []byte("<!doctype html>\n<html lang=en><title>Recipes</title>"),
		"some JSON":       []byte(`{"plan": "for the week", "pieces": []}`),
		"a form":          filled,
		"a workbook":      sample,
		"half a workbook": sample[:len(sample)/2],
		"bytes":           {0, 1, 2, 3},
	}
}

// What a command would write stands under a name that a person's file has: it is refused, the file stays, and no other is written. An empty file, as
// mktemp makes one, and what the same command wrote before, are replaced.
func TestNothingOfSomebodysIsReplaced(t *testing.T) {
	in, report := printedJob(t)
	x := "{}" // in whose place the name stands
	commands := map[string][]string{
		"make":             {"make", in, "--hold-back", "-o", x + "/a.pdf"},
		"make, the report": {"make", in, "--hold-back", "-o", x + "/b.pdf", "--report", x + "/a.xlsx"},
		"make, the plan":   {"make", in, "--hold-back", "-o", x + "/b.pdf", "--plan", x + "/a.json"},
		"make, by stock":   {"make", in, "--hold-back", "-o", x + "/a.pdf", "--split"},
		"redo":             {"redo", report, "--blocks", "OH-1", "-o", x + "/a.pdf", "--report", x + "/b.xlsx"},
		"redo, the report": {"redo", report, "--blocks", "OH-1", "-o", x + "/b.pdf", "--report", x + "/a.xlsx"},
		"note":             {"note", "--space", "4 x 2", "Plums.", "-o", x + "/a.pdf"},
		"note, the plan":   {"note", "--space", "4 x 2", "Plums.", "-o", x + "/b.pdf", "--plan", x + "/a.json"},
		"proof":            {"proof", in, "-o", x + "/a.html"},
		"proof, on paper":  {"proof", in, "-o", x + "/a.html", "--print"},
		"proof, for each":  {"proof", in, "--each", x},
		"check":            {"check", in, "-o", x + "/a.xlsx"},
		"check, letters":   {"check", in, "--letters", x},
		"form":             {"form", "-o", x + "/a.xlsx"},
		"test page":        {"testpage", "-o", x + "/a.pdf"},
		"fonts":            {"fonts", "Typewriter", "-o", x + "/a.pdf"},
	}
	files := map[string]string{"make, by stock": "a-vellum.pdf", "proof, on paper": "a-plain.pdf", "proof, for each": "jo.html", "check, letters": "jo.txt"}
	kept := somebodys(t)
	for name, args := range commands {
		at := func(out string) (path string, code int, said string) {
			call := make([]string, len(args))
			for i, a := range args {
				call[i] = strings.ReplaceAll(a, x, out)
			}
			file := files[name]
			for _, a := range args {
				if base := filepath.Base(a); file == "" && strings.HasPrefix(base, "a.") {
					file = base
				}
			}
			code, text, err := tuckmark(t, call...)
			return filepath.Join(out, file), code, text + err
		}
		empty := t.TempDir()
		path, code, said := at(empty)
		if code != exitDone && code != exitInput {
			t.Errorf("%s: exit status %d, %s", name, code, said)
			continue
		}
		base := filepath.Base(path)
		made, err := os.ReadFile(path)
		must(t, err)
		put(t, path, "")
		_, code, said = at(empty) // where what else it wrote is still there
		if again, _ := os.ReadFile(path); string(again) != string(made) || code != exitDone && code != exitInput {
			t.Errorf("%s: an empty file, or one of an earlier run, is not replaced: %s", name, said)
		}
		for what, data := range kept {
			if ends := map[string]string{"a PDF": ".pdf", "a page": ".html", "some JSON": ".json", "a form": ".xlsx", "a text": ".txt"}[what]; !longtests.Many() && ends != filepath.Ext(base) {
				continue
			}
			out := t.TempDir()
			put(t, filepath.Join(out, base), string(data))
			_, code, said := at(out)
			if got := contents(t, out); got[base] != string(data) || len(got) != 1 {
				t.Errorf("%s over %s: there are %d files; %s", name, what, len(got), said)
			}
			if code != exitFile || !strings.Contains(said, base) || !strings.Contains(said, "a file of that name is there") || !strings.Contains(said, "give another name") || strings.Contains(said, "with ,") {
				t.Errorf("%s over %s: exit status %d, %s", name, what, code, said)
			}
		}
	}
}

// A marked copy in which somebody has typed is not written over; one that nobody touched is. Of this program's kinds none takes another's place.
func TestMendedCopyStays(t *testing.T) {
	dir := t.TempDir()
	in, copied := filepath.Join(dir, "in.csv"), filepath.Join(dir, "mend.xlsx")
	check := func(more string) (int, string) {
		t.Helper()
		put(t, in, "Name,Journaling,Width,Height,When\nJo,Rain.,wide,2,5 July 2026\n"+more)
		code, out, err := tuckmark(t, "check", in, "-o", copied)
		return code, out + err
	}
	if code, said := check(""); code != exitInput {
		t.Fatal(said)
	}
	if code, said := check("Al,Sun.,wide,2,5 July 2026\n"); code != exitInput {
		t.Errorf("nobody touched it: exit status %d, %s", code, said)
	}
	// What a spreadsheet program does when it saves: a cell, and when it was.
	book, err := excelize.OpenFile(copied)
	must(t, err)
	must(t, book.SetCellStr(book.GetSheetName(0), "A2", "Jo Lind"))
	about, err := book.GetDocProps()
	must(t, err)
	about.Modified = "2026-11-27T02:03:04Z"
	must(t, book.SetDocProps(about))
	must(t, book.Save())
	must(t, book.Close())
	before, err := os.ReadFile(copied)
	must(t, err)
	code, said := check("")
	if after, _ := os.ReadFile(copied); code != exitFile || string(after) != string(before) || !strings.Contains(said, "somebody has worked in it") {
		t.Errorf("somebody worked in it: exit status %d, %s", code, said)
	}
	put(t, in, "Name,Journaling,Width,Height,When\nJo,Rain.,4,2,5 July 2026\n")
	pdf, proof := filepath.Join(dir, "a.pdf"), filepath.Join(dir, "p.html")
	if code, _, err := tuckmark(t, "make", in, "-o", pdf, "--report", filepath.Join(dir, "r.xlsx")); code != exitDone {
		t.Fatal(err)
	}
	if code, _, err := tuckmark(t, "proof", in, "-o", proof); code != exitDone {
		t.Fatal(err)
	}
	if code, _, err := tuckmark(t, "proof", in, "-o", pdf); code != exitFile || !strings.Contains(err, "of another kind") {
		t.Errorf("a proof over a print: exit status %d, %s", code, err)
	}
}

// A print that another command has made stays: the report of a job lies beside its pages, and a test page in their place would not be what it tells of.
// What the same command makes again is replaced.
func TestOneKindOfPrintKeepsItsPlace(t *testing.T) {
	longtests.Only(t)
	in, report := printedJob(t)
	dir := t.TempDir()
	a := filepath.Join(dir, "a.pdf")
	commands := map[string][]string{
		"make":      {"make", in, "--hold-back", "-o", a, "--report", filepath.Join(dir, "r1.xlsx")},
		"redo":      {"redo", report, "--blocks", "OH-1", "-o", a, "--report", filepath.Join(dir, "r2.xlsx")},
		"note":      {"note", "--space", "4 x 2", "Plums.", "-o", a},
		"proof":     {"proof", in, "--print", "-o", filepath.Join(dir, "p.html")},
		"test page": {"testpage", "-o", a},
		"fonts":     {"fonts", "Typewriter", "-o", a},
	}
	for first, args := range commands {
		path := a
		if first == "proof" {
			path = filepath.Join(dir, "p-plain.pdf")
		}
		if code, _, err := tuckmark(t, args...); code != exitDone && code != exitInput {
			t.Fatalf("%s: %s", first, err)
		}
		made, err := os.ReadFile(path)
		must(t, err)
		for second, args := range commands {
			at := a
			if second == "proof" {
				at = filepath.Join(dir, "p-plain.pdf")
			}
			put(t, at, string(made))
			code, said, told := tuckmark(t, args...)
			now, _ := os.ReadFile(at)
			switch stays := string(now) == string(made); {
			case first == second && code == exitFile:
				t.Errorf("%s again: exit status %d, %s%s", first, code, said, told)
			case first != second && (!stays || code != exitFile || second != "note" && !strings.Contains(told, "a file of another kind has that name")):
				t.Errorf("%s over %s: exit status %d, %s%s", second, first, code, said, told)
			}
		}
		for _, path := range []string{a, filepath.Join(dir, "p-plain.pdf")} {
			must(t, os.RemoveAll(path))
		}
	}
}

// The pages of one stock of two jobs that have one name stay, too: those of retreat on clear vellum, and of retreat-clear on vellum.
func TestStocksOfTwoJobs(t *testing.T) {
	for _, job := range []string{"crop", "crop (1)", `crop) \(1`, "Schüler) der Woche"} {
		dir := t.TempDir()
		put(t, filepath.Join(dir, "tuckmark.yaml"), "stocks:\n  - {name: clear vellum}\n  - {name: vellum}\n")
		one, other := filepath.Join(dir, job+".csv"), filepath.Join(dir, job+"-clear.csv")
		put(t, one, "Name,Journaling,Width,Height,Stock\nAda Lind,In May,3,2,clear vellum\n")
		put(t, other, "Name,Journaling,Width,Height,Stock\nAda Lind,In June,3,2,vellum\n")
		if code, _, err := tuckmark(t, "make", one, "--split"); code != exitDone {
			t.Fatal(err)
		}
		pages := filepath.Join(dir, job+"-clear-vellum.pdf")
		made, err := os.ReadFile(pages)
		must(t, err)
		code, _, told := tuckmark(t, "make", other, "--split")
		if now, _ := os.ReadFile(pages); code != exitFile || string(now) != string(made) || !strings.Contains(told, "a file of another kind has that name") {
			t.Errorf("%s: exit status %d, %s", job, code, told)
		}
		if code, _, err := tuckmark(t, "make", one, "--split"); code != exitDone {
			t.Errorf("%s again: %s", job, err)
		}
	}
}

// The pages of one stock, which a job writes beside its own, and the pages of another job that has their name do not take each other's place.
func TestStocksAndJobsKeepTheirPlaces(t *testing.T) {
	dir := t.TempDir()
	all, one := filepath.Join(dir, "crop.csv"), filepath.Join(dir, "crop-vellum.csv")
	for _, path := range []string{all, one} {
		put(t, path, "Name,Journaling,Width,Height,Stock\nAda Lind,In May,3,2,vellum\n")
	}
	pages := filepath.Join(dir, "crop-vellum.pdf")
	for first, second := range map[string]string{all: one, one: all} {
		if code, _, err := tuckmark(t, "make", first, "--split"); code != exitDone {
			t.Fatal(err)
		}
		made, err := os.ReadFile(pages)
		must(t, err)
		code, _, told := tuckmark(t, "make", second, "--split")
		now, _ := os.ReadFile(pages)
		if code != exitFile || string(now) != string(made) || !strings.Contains(told, "a file of another kind has that name") {
			t.Errorf("%s after %s: exit status %d, %s", filepath.Base(second), filepath.Base(first), code, told)
		}
		if code, _, err := tuckmark(t, "make", first, "--split"); code != exitDone {
			t.Errorf("%s again: %s", filepath.Base(first), err)
		}
		for _, path := range []string{pages, filepath.Join(dir, "crop.pdf")} {
			must(t, os.RemoveAll(path))
		}
	}
}

// The PDF of a redo stays, whatever its report is called: another one was named for it or for the next, it was moved, or there are reports of two jobs whose redos have one name.
func TestRedoOfAnotherReport(t *testing.T) {
	dir := t.TempDir()
	in, report, pages := filepath.Join(dir, "crop.csv"), filepath.Join(dir, "crop-report.xlsx"), filepath.Join(dir, "crop-redo.pdf")
	put(t, in, "Name,Journaling,Width,Height\nAda Lind,In May,3,2\nBo Mu,In June,3,2\n")
	if code, _, err := tuckmark(t, "make", in); code != exitDone {
		t.Fatal(err)
	}
	other := filepath.Join(dir, "crop.xlsx")
	data, err := os.ReadFile(report)
	must(t, err)
	must(t, os.WriteFile(other, data, 0o600))
	if code, _, err := tuckmark(t, "redo", report, "--blocks", "AL-1", "--report", filepath.Join(dir, "ada.xlsx")); code != exitDone {
		t.Fatal(err)
	}
	made, err := os.ReadFile(pages)
	must(t, err)
	for _, args := range [][]string{{report, "--report", filepath.Join(dir, "bo.xlsx")}, {report}, {other}} {
		code, _, told := tuckmark(t, append([]string{"redo", "--blocks", "BM-1"}, args...)...)
		if now, _ := os.ReadFile(pages); code != exitFile || string(now) != string(made) || !strings.Contains(told, "blocks which were printed again already, and perhaps not printed yet") {
			t.Errorf("%v: exit status %d, %s", args, code, told)
		}
		if code, _, err := tuckmark(t, append([]string{"redo", "--blocks", "BM-1", "-o", filepath.Join(dir, "bo.pdf")}, args...)...); code != exitDone {
			t.Errorf("%v: under another name: %s", args, err)
		}
		must(t, os.Remove(filepath.Join(dir, "bo.pdf")))
	}
	bo := filepath.Join(dir, "bo.pdf") // a name that was given is that of what is to be replaced, which is told
	for i := range 2 {
		code, said, err := tuckmark(t, "redo", report, "--blocks", []string{"AL-1", "BM-1"}[i], "-o", bo, "--report", filepath.Join(dir, fmt.Sprint("r", i, ".xlsx")))
		if code != exitDone || strings.Contains(said, bo+" is in place of an older one.") != (i > 0) {
			t.Errorf("%d: exit status %d, %s%s", i, code, said, err)
		}
	}
	must(t, os.Remove(pages)) // as the refusals say
	if code, _, err := tuckmark(t, "redo", report, "--blocks", "BM-1", "--report", filepath.Join(dir, "last.xlsx")); code != exitDone {
		t.Errorf("without the other PDF: %s", err)
	}
}

// Who prints the same blocks again from the first report is told that this was done before: only the report of that redo counts its paper.
func TestSameRedoAgain(t *testing.T) {
	dir := t.TempDir()
	in, report := filepath.Join(dir, "crop.csv"), filepath.Join(dir, "crop-report.xlsx")
	put(t, in, "Name,Journaling,Width,Height\nAda Lind,In May,3,2\n")
	if code, _, err := tuckmark(t, "make", in); code != exitDone {
		t.Fatal(err)
	}
	for _, again := range []bool{false, true} {
		if code, said, err := tuckmark(t, "redo", report, "--blocks", "AL-1"); code != exitDone || strings.Contains(said, "(the same was there already; if its pages were printed, print more from this report") != again {
			t.Errorf("again %v: exit status %d, %s%s", again, code, said, err)
		}
	}
}

// TestFilesForThousands: a table whose names are other things asks for thousands of letters and pages. None is written, nor a folder for them, and it is
// said what to look at.
func TestFilesForThousands(t *testing.T) {
	dir := t.TempDir()
	in, folder := filepath.Join(dir, "in.csv"), filepath.Join(dir, "folder")
	for _, people := range []int{900, 1100} {
		var b strings.Builder
		b.WriteString("Name,Page,Journaling,Width,Height,Stock\n")
		for i := range people {
			b.WriteString("Ada " + string([]rune{rune('a' + i/400), rune('a' + i/20%20), rune('a' + i%20)}) + "ix,,In May\n")
		}
		put(t, in, b.String())
		code, out, err := tuckmark(t, "check", in, "--letters", folder)
		files, _ := os.ReadDir(folder)
		if people < 1000 {
			if code != exitInput || len(files) != people+1 {
				t.Errorf("%d files; exit status %d, %.500s%.500s", len(files), code, out, err)
			}
			must(t, os.RemoveAll(folder))
			continue
		}
		if code != exitFile || len(files) > 0 || !strings.Contains(err, folder+": 1101 files would come into this folder, and 1000 are the most") || !strings.Contains(err, "--columns") {
			t.Errorf("letters: %d files; exit status %d, %.500s%.2000s", len(files), code, out, err)
		}
		code, out, err = tuckmark(t, "proof", in, "--each", folder)
		if files, _ := os.ReadDir(folder); code != exitFile || len(files) > 0 || !strings.Contains(err, folder+": 1100 files would come into this folder, and 1000 are the most") {
			t.Errorf("pages: %d files; exit status %d, %.500s%.2000s", len(files), code, out, err)
		}
	}
}

// Pages and letters of an earlier run in a folder are replaced, also those of another job, and that is told.
func TestPagesReplacedAreTold(t *testing.T) {
	dir := t.TempDir()
	for name, texts := range map[string]string{"friday.csv": "In May,3,2\nBo Mu,,3,2", "saturday.csv": "In June,3,2\nBo Mu,In July,,2"} {
		put(t, filepath.Join(dir, name), "Name,Journaling,Width,Height\nAda Lind,"+texts+"\n")
	}
	for command, args := range map[string][]string{"proof": {"--each", filepath.Join(dir, "pages")}, "check": {"--letters", filepath.Join(dir, "letters")}} {
		for i, job := range []string{"friday.csv", "friday.csv", "saturday.csv"} {
			_, said, told := tuckmark(t, append([]string{command, filepath.Join(dir, job)}, args...)...)
			if strings.Contains(said+told, "in place of older ones: ") != (i == 2) {
				t.Errorf("%s of %s, turn %d: %s%s", command, job, i, said, told)
			}
		}
	}
}
