package form

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tuckmark/config/longtests"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// said is a job in lines: blocks and rows held.
func said(j *intake.Job) string {
	var b strings.Builder
	for i := range j.Blocks {
		k := &j.Blocks[i]
		fmt.Fprintf(&b, "%d %s %s %s %s %s\n", k.Place.Row, k.Code, k.Owner, k.Space.Format(k.Unit), k.Stock, k.Markup())
	}
	for _, h := range j.Held {
		fmt.Fprintf(&b, "%d %s %s held: %s\n", h.Place.Row, h.Code, h.Owner, h.Why)
	}
	return b.String()
}

// filled are forms with a few rows, and what is marked of them.
func filled(t *testing.T, o Options) (form, marked string) {
	t.Helper()
	f, _ := formWith(t, o)
	fill(t, f, 2, wish())
	fill(t, f, 3, map[string]string{"Name": "Odile Hart", "Journaling": "In May", "Width": "4", "Height": "", "Stock": "velum"})
	fill(t, f, 4, map[string]string{"Name": "Bo Ek", "Page": "3", "Journaling": "In June", "Width": "4 / 2", "Height": "2"})
	fill(t, f, 5, map[string]string{"Name": "Bo Ek", "Page": "3", "Journaling": "In July", "Width": "1/2", "Height": "2"})
	form = intaketest.Bytes(t, f)
	job, problems := read(t, "form.xlsx", form)
	_, marked = markedBook(t, job, problems)
	return form, marked
}

// TestOffice: the form, short and full, and what is marked of it, opened and saved anew by LibreOffice, are read as before.
func TestOffice(t *testing.T) {
	for _, o := range []Options{{}, {Full: true}} {
		form, marked := filled(t, o)
		for name, data := range map[string]string{"form": form, "marked": marked} {
			again := office(t, opened(t, []byte(data)))
			if again == "" {
				t.Skip("LibreOffice is not installed, or the tests are short")
			}
			before, found := read(t, "a.xlsx", data)
			after, foundAfter := read(t, "a.xlsx", again)
			if a, b := intaketest.Say(found), intaketest.Say(foundAfter); a != b {
				t.Errorf("%+v, %s: before\n%safter\n%s", o, name, a, b)
			}
			if a, b := said(before), said(after); a != b || strings.Count(a, "\n") != 5 {
				t.Errorf("%+v, %s: before\n%safter\n%s", o, name, a, b)
			}
		}
	}
}

// seen is how another program's library sees a sheet of a workbook.
type seen struct {
	Sheets    []string
	Lists     int // validations of the kind list
	Guards    int // and custom ones
	Protected bool
	Comments  int
	Folded    int // columns of an outline that are hidden
	OpenA2    bool
	LockedA1  bool
	Formula   bool // in the live column of row 2
	Cell      string
}

// look asks a script, which prints what it sees as JSON.
func look(t *testing.T, data, sheet string, program string, args ...string) seen {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.xlsx")
	if err := os.WriteFile(path, []byte(data), 0o666); err != nil {
		t.Fatal(err)
	}
	c := exec.Command(program, append(args, path, sheet)...)
	var wrong bytes.Buffer
	c.Stderr = &wrong
	out, err := c.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program, err, wrong.String())
	}
	var s seen
	if err := json.Unmarshal(out, &s); err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	return s
}

// independent holds what a library of others sees of the form and of the marked copy against what they are to have; one that reads "true" not as
// the standard has it sees no protection.
func independent(t *testing.T, protection bool, see func(data, sheet string) seen) {
	t.Helper()
	for _, o := range []Options{{}, {Full: true}} {
		form, marked := filled(t, o)
		few := 0
		for _, c := range columns {
			if !c.Form.Short {
				few++
			}
		}
		if o.Full {
			few = 0
		}
		want := seen{Sheets: []string{"Help", "Journaling", "Lists"}, Lists: 4, Guards: 2, Protected: o.Full && protection, Comments: len(columns), Folded: few, OpenA2: protection, LockedA1: true, Formula: true, Cell: "Odile Hart"}
		if got := see(form, "Journaling"); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%+v: the form is seen as\n%+v, not\n%+v", o, got, want)
		}
		got := see(marked, "form")
		want = seen{Sheets: []string{"Problems", "form", "Lists"}, Lists: 4, Comments: got.Comments, OpenA2: protection, LockedA1: true, Formula: true, Cell: "Odile Hart"}
		if want.Folded = got.Folded; fmt.Sprint(got) != fmt.Sprint(want) || got.Comments < 3 {
			t.Errorf("%+v: the marked copy is seen as\n%+v, not\n%+v", o, got, want)
		}
	}
}

// TestOpenpyxl: what openpyxl, where a Python has it, sees of these workbooks.
func TestOpenpyxl(t *testing.T) {
	longtests.Only(t)
	program := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		ctx, end := context.WithTimeout(t.Context(), time.Minute) // a Python may hang as it starts
		if program == "" && exec.CommandContext(ctx, p, "-c", "import openpyxl").Run() == nil {
			program = p
		}
		end()
	}
	if program == "" {
		t.Skip("there is no Python with openpyxl here")
	}
	const script = `
import json, sys, warnings
warnings.simplefilter("ignore")
import openpyxl
book = openpyxl.load_workbook(sys.argv[1])
s = book[sys.argv[2]]
v = s.data_validations.dataValidation
print(json.dumps({"Sheets": book.sheetnames, "Lists": sum(x.type == "list" for x in v), "Guards": sum(x.type == "custom" for x in v),
  "Protected": s.protection.sheet, "Comments": sum(c.comment is not None for r in s.iter_rows() for c in r),
  "Folded": sum((d.max or 0) - (d.min or 1) + 1 for d in s.column_dimensions.values() if d.hidden and d.outlineLevel == 1),
  "OpenA2": not s["A2"].protection.locked, "LockedA1": s["A1"].protection.locked, "Formula": str(s["F2"].value).startswith("="), "Cell": s["A2"].value}))
`
	independent(t, true, func(data, sheet string) seen { return look(t, data, sheet, program, "-c", script) })
}

// TestExceljs: what exceljs sees of them. EXCELJS names the folder node_modules that holds it.
func TestExceljs(t *testing.T) {
	node, err := exec.LookPath("node")
	folder := os.Getenv("EXCELJS")
	if err != nil || folder == "" {
		t.Skip("there is no node here, or EXCELJS does not name the folder that holds exceljs")
	}
	const script = `
const [folder, path, name] = process.argv.slice(1);
const excel = require(folder + "/exceljs");
const book = new excel.Workbook();
book.xlsx.readFile(path).then(() => {
  const s = book.getWorksheet(name);
  const seen = {lists: new Set(), guards: new Set(), comments: 0};
  for (const [at, v] of Object.entries(s.dataValidations.model)) {
    if (v.type === "list") seen.lists.add(v.formulae[0]);
    if (v.type === "custom") seen.guards.add(v.error);
  }
  s.eachRow((r) => r.eachCell({includeEmpty: true}, (c) => { if (c.note) seen.comments++; }));
  let folded = 0;
  for (const c of s.columns) if (c.hidden && c.outlineLevel === 1) folded++;
  const open = (c) => Boolean(c.protection && c.protection.locked === false);
  console.log(JSON.stringify({Sheets: book.worksheets.map((w) => w.name), Lists: seen.lists.size, Guards: seen.guards.size, Protected: Boolean(s.sheetProtection && s.sheetProtection.sheet),
    Comments: seen.comments, Folded: folded, OpenA2: open(s.getCell("A2")), LockedA1: !open(s.getCell("A1")), Formula: Boolean(s.getCell("F2").formula), Cell: s.getCell("A2").text}));
});
`
	independent(t, false, func(data, sheet string) seen { return look(t, data, sheet, node, "-e", script, folder) })
}
