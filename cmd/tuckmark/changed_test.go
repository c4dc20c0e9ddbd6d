package main

import (
	"bytes"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/longtests"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/color"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
	"github.com/xuri/excelize/v2"
)

// change is a way in which people change a file that was made for them; nil: not one of this kind.
type change struct {
	name string
	of   func(t *testing.T, name string, data []byte) []byte
}

// changes are such ways.
func changes() []change {
	return []change{
		{"something is added at the end", func(_ *testing.T, _ string, data []byte) []byte { return append(bytes.Clone(data), "mine\n"...) }},
		{"a program for the kind saves it", func(t *testing.T, name string, data []byte) []byte {
			switch filepath.Ext(name) {
			case ".pdf":
				return annotated(t, data)
			case ".xlsx":
				return retyped(t, data)
			case ".html":
				return bytes.Replace(data, []byte("</body>"), []byte("<p>All well, Jo.</p></body>"), 1)
			case ".json":
				return bytes.Replace(data, []byte("\n"), nil, 1)
			}
			return bytes.Replace(data, []byte("\nPlease"), []byte("\nMy dear, please"), 1)
		}},
	}
}

// annotated is a PDF with a note stuck to its first page by an incremental update, which leaves all that was there as it was.
func annotated(t *testing.T, pdf []byte) []byte {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.pdf")
	put(t, path, string(pdf))
	note := model.NewTextAnnotation(*types.NewRectangle(40, 40, 60, 60), 0, "mine", "note", "", 0, &color.Gray, "Jo", nil, nil, "", "", 0, 0, 0, true, "Comment")
	must(t, api.AddAnnotationsFile(path, "", []string{"1"}, note, nil, true))
	after, err := os.ReadFile(path)
	must(t, err)
	if !bytes.HasPrefix(after, pdf) || len(after) == len(pdf) {
		t.Fatal("that is no incremental update")
	}
	return after
}

// retyped is a workbook in which a cell was typed anew.
func retyped(t *testing.T, data []byte) []byte {
	t.Helper()
	book, err := excelize.OpenReader(bytes.NewReader(data))
	must(t, err)
	defer book.Close()
	must(t, book.SetCellStr(book.GetSheetName(0), "A2", "mine"))
	after, err := book.WriteToBuffer()
	must(t, err)
	return after.Bytes()
}

// resaved is a workbook as LibreOffice saves it.
func resaved(t *testing.T, data []byte) []byte {
	t.Helper()
	office, err := exec.LookPath("soffice")
	if err != nil {
		t.Skip("LibreOffice is not installed")
	}
	dir := t.TempDir()
	put(t, filepath.Join(dir, "a.xlsx"), string(data))
	if said, err := exec.Command(office, "-env:UserInstallation=file://"+dir+"/home", "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", filepath.Join(dir, "out"), filepath.Join(dir, "a.xlsx")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	after, err := os.ReadFile(filepath.Join(dir, "out", "a.xlsx"))
	must(t, err)
	return after
}

// printedJob is a file with one row to print and one to mend, and the report of what was printed of it.
func printedJob(t *testing.T) (in, report string) {
	t.Helper()
	dir := t.TempDir()
	in = filepath.Join(dir, "in.csv")
	put(t, in, "Name,Journaling,Width,Height,Stock,When\nOdile Hart,Plums.,4,2,vellum,4 July 2026\nJo,Rain.,wide,2,vellum,5 July 2026\n")
	report = filepath.Join(dir, "first-report.xlsx")
	if code, _, err := tuckmark(t, "make", in, "--hold-back", "-o", filepath.Join(dir, "first.pdf")); code != exitDone {
		t.Fatal(err)
	}
	return in, report
}

// everyOutput is a folder with a job, and the commands that write each kind of output into another and replace it.
func everyOutput(t *testing.T) (commands map[string]func(out string) []string) {
	t.Helper()
	in, report := printedJob(t)
	join := filepath.Join
	return map[string]func(string) []string{
		"make": func(out string) []string {
			return []string{"make", in, "--hold-back", "--split", "-o", join(out, "a.pdf"), "--plan", join(out, "a.json")}
		},
		"redo": func(out string) []string {
			return []string{"redo", report, "--blocks", "OH-1", "-o", join(out, "b.pdf"), "--report", join(out, "b.xlsx"), "--plan", join(out, "b.json")}
		},
		"proof":          func(out string) []string { return []string{"proof", in, "--print", "-o", join(out, "c.html")} },
		"proof for each": func(out string) []string { return []string{"proof", in, "--each", out} },
		"letters":        func(out string) []string { return []string{"check", in, "--letters", out} },
		"test page":      func(out string) []string { return []string{"testpage", "-o", join(out, "d.pdf")} },
		"fonts":          func(out string) []string { return []string{"fonts", "Typewriter", "-o", join(out, "e.pdf")} },
	}
}

// yoursOf is the name that a changed file gets.
func yoursOf(name string) string {
	ext := filepath.Ext(name)
	return strings.TrimSuffix(name, ext) + "-yours" + ext
}

// What somebody changed of an earlier run's outputs, in whatever way, is kept under another name when a run writes them anew, and the run says so. What
// nobody changed is replaced without a word.
func TestChangedOutputsAreKept(t *testing.T) {
	for command, args := range everyOutput(t) {
		out := t.TempDir()
		run := func() string {
			t.Helper()
			code, said, err := tuckmark(t, args(out)...)
			if code != exitDone && code != exitInput {
				t.Fatalf("%s: exit status %d, %s", command, code, err)
			}
			return said
		}
		run()
		made := contents(t, out)
		said := run()
		if d := differ(made, contents(t, out)); d != "" || strings.Contains(said, "-yours") {
			t.Errorf("%s again: other is %s; %s", command, d, said)
		}
		for _, c := range changes() {
			want := map[string]string{}
			for name, data := range made {
				want[name] = data
				after := string(c.of(t, name, []byte(data)))
				if after == data {
					continue
				}
				put(t, filepath.Join(out, name), after)
				want[yoursOf(name)] = after
			}
			said := run()
			if d := differ(want, contents(t, out)); d != "" || len(want) == len(made) {
				t.Errorf("%s, when %s: other is %s", command, c.name, d)
			}
			for name := range want {
				if was, yours := strings.CutSuffix(strings.TrimSuffix(name, filepath.Ext(name)), "-yours"); yours {
					was += filepath.Ext(name)
					if !strings.Contains(said, filepath.Join(out, was)+" was changed after it was made, so it is kept: it is now "+filepath.Join(out, name)+".\n") {
						t.Errorf("%s, when %s: it says %q, and nothing of %s", command, c.name, said, name)
					}
					must(t, os.Remove(filepath.Join(out, name)))
				}
			}
		}
	}
}

// One bit of an output is another, anywhere: what is there is kept under another name, or the run stops before it. No bit of it is lost.
func TestNoChangedBitIsLost(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 27))
	commands := everyOutput(t)
	kept := 0
	for _, c := range [][]string{{"make", "a.pdf", "a.json", "a-report.xlsx"}, {"proof for each", "jo.html"}, {"letters", "jo.txt", "list.txt"}} {
		out, command := t.TempDir(), c[0]
		if code, _, err := tuckmark(t, commands[command](out)...); code != exitDone && code != exitInput {
			t.Fatal(err)
		}
		made := contents(t, out)
		for range often(1, 40) {
			for _, name := range c[1:] {
				data := []byte(made[name])
				data[r.IntN(len(data))] ^= 1 << r.IntN(8)
				path := filepath.Join(out, name)
				put(t, path, string(data))
				code, _, said := tuckmark(t, commands[command](out)...)
				now := contents(t, out)
				switch {
				case code == exitFile && now[name] == string(data) && strings.Contains(said, name):
				case now[name] == made[name] && now[yoursOf(name)] == string(data):
					kept++
				default:
					t.Errorf("%s: a bit of %s was another; exit status %d, %s", command, name, code, said)
				}
				os.Remove(filepath.Join(out, yoursOf(name)))
				put(t, path, made[name])
			}
		}
	}
	if kept == 0 {
		t.Error("nothing was kept under another name")
	}
}

// A report that LibreOffice has saved is kept, and is none of the rows of a folder; a marked copy that it has saved is not written over.
func TestResavedIsKept(t *testing.T) {
	longtests.Only(t)
	dir := t.TempDir()
	in := filepath.Join(dir, "in.csv")
	put(t, in, "Name,Journaling,Width,Height,Stock,When\nOdile Hart,Plums.,4,2,vellum,4 July 2026\n")
	pdf, report, copied := filepath.Join(dir, "in.pdf"), filepath.Join(dir, "in-report.xlsx"), filepath.Join(t.TempDir(), "mend.xlsx")
	for range 2 {
		if code, said, err := tuckmark(t, "make", dir, "-o", pdf, "--report", report); code != exitDone || strings.Contains(said, "-yours") {
			t.Fatal(said, err)
		}
	}
	book, err := os.ReadFile(report)
	must(t, err)
	saved := resaved(t, book)
	put(t, report, string(saved))
	for n := range 2 { // the second time the kept one is in the folder
		code, said, err := tuckmark(t, "make", dir, "-o", pdf, "--report", report)
		now := contents(t, dir)
		if code != exitDone || strings.Contains(said, "-yours") != (n == 0) || !strings.Contains(said, "1 block for 1 person") || now["in-report-yours.xlsx"] != string(saved) || len(now) != 4 {
			t.Errorf("run %d: exit status %d, %s%s; there are %d files", n, code, said, err, len(now))
		}
	}
	if code, _, err := tuckmark(t, "check", in, "-o", copied); code != exitDone {
		t.Fatal(err)
	}
	book, err = os.ReadFile(copied)
	must(t, err)
	saved = resaved(t, book)
	put(t, copied, string(saved))
	code, _, said := tuckmark(t, "check", in, "-o", copied)
	if now, _ := os.ReadFile(copied); code != exitFile || !slices.Equal(now, saved) || !strings.Contains(said, "somebody has worked in it") {
		t.Errorf("a marked copy: exit status %d, %s", code, said)
	}
}

// differ names a file that is other in one folder than in the other; "" is none.
func differ(a, b map[string]string) string {
	for _, k := range slices.Sorted(maps.Keys(a)) {
		if v, ok := b[k]; !ok || v != a[k] {
			return fmt.Sprintf("%s (%d bytes, then %d)", k, len(a[k]), len(v))
		}
	}
	for _, k := range slices.Sorted(maps.Keys(b)) {
		if _, ok := a[k]; !ok {
			return k + " is new"
		}
	}
	return ""
}
