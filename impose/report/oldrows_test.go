package report

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/intake/intaketest"
)

// partOf is a worksheet's part in a workbook that excelize has not saved anew.
func partOf(t *testing.T, raw []byte, worksheet string) (name, xml string) {
	t.Helper()
	old, err := withoutRows("job-report.xlsx", raw)
	if err != nil {
		t.Fatal(err)
	}
	f := old.Of(worksheet)
	if f == nil {
		t.Fatalf("there is no sheet %s", worksheet)
	}
	r, err := f.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	part, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return f.Name, string(part)
}

// longer is a report with so many rows more for copies of its last block, as make writes them for a job of as many blocks.
func longer(t *testing.T, raw []byte, more int) []byte {
	t.Helper()
	name, part := partOf(t, raw, "Blocks")
	begin, end := strings.LastIndex(part, "<row "), strings.Index(part, "</sheetData>")
	last := part[begin:end]
	n := regexp.MustCompile(`<row r="(\d+)"`).FindStringSubmatch(last)[1]
	var at int
	fmt.Sscan(n, &at)
	places := regexp.MustCompile(`r="([A-Z]*)` + n + `"`)
	var rows strings.Builder
	for i := range more {
		rows.WriteString(places.ReplaceAllString(last, fmt.Sprintf(`r="${1}%d"`, at+1+i)))
	}
	return []byte(intaketest.Repack(t, string(raw), map[string]string{name: part[:end] + rows.String() + part[end:]}))
}

// A report of as many blocks as make makes is printed again from: 25,000 rows of 17 cells are more than a table of journaling may have; 100,000 with
// LONG_TESTS=1. What was in it stays as it was, to the byte, but for the outcome of the blocks that are printed again.
func TestRedoOfAnySize(t *testing.T) {
	longtests.Only(t)
	s := builtInSettings(t)
	in := lay(t, odd(s)[:3], nil, s)
	first, err := os.ReadFile(reportFile(t, in))
	if err != nil {
		t.Fatal(err)
	}
	sizes := []int{0, 1, 25_000}
	if longtests.Many() {
		sizes = append(sizes, 50_001, 100_000)
	}
	for _, more := range sizes {
		raw := longer(t, first, more)
		path := t.TempDir() + "/job-report.xlsx"
		if err := os.WriteFile(path, raw, 0o600); err != nil {
			t.Fatal(err)
		}
		e, problems := Open(path)
		if e == nil || len(e.Codes) != 3 {
			t.Fatalf("%d rows more: %v", more, problems)
		}
		var out bytes.Buffer
		if err := e.Redo(&out, lay(t, odd(s)[2:3], nil, s)); err != nil {
			t.Fatalf("%d rows more: %v", more, err)
		}
		for _, name := range []string{"Blocks", "Cuts", "Account", "Held back", "Notes", Texts} {
			_, old := partOf(t, raw, name)
			_, now := partOf(t, out.Bytes(), name)
			rows := func(part string) string {
				_, rows, _ := strings.Cut(part, "<sheetData>")
				rows, _, _ = strings.Cut(rows, "</sheetData>")
				return rows
			}
			if name == "Blocks" {
				code := regexp.MustCompile(`<c r="A\d+"[^>]*><is><t[^>]*>OH-3<`)
				if n, all := strings.Count(now, ">"+printedAgain+"<"), len(code.FindAllString(old, -1)); n != all || n != more+1 {
					t.Errorf("%d rows more: %d are printed again, of %d", more, n, all)
				}
				now = regexp.MustCompile(` t="inlineStr"><is><t>`+printedAgain).ReplaceAllString(now, ` t="inlineStr"><is><t xml:space="preserve">`+printed)
			}
			if rows(old) != rows(now) {
				t.Errorf("%d rows more: the rows of %s are not what they were", more, name)
			}
		}
		if again := withName(t, out.Bytes()); len(again.Codes) != 3 {
			t.Errorf("%d rows more: what comes out of the redo is not read: %v", more, again.Codes)
		}
	}
}

// withName opens a report that stands nowhere yet.
func withName(t *testing.T, raw []byte) *Earlier {
	t.Helper()
	path := t.TempDir() + "/next-report.xlsx"
	if err := os.WriteFile(path, raw, 0o600); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	return e
}

// A small file that passes for a report has no more room than another workbook: neither to be read, nor to be written anew.
func TestSmallReportsStaySmall(t *testing.T) {
	longtests.Only(t)
	s := builtInSettings(t)
	first, err := os.ReadFile(reportFile(t, lay(t, odd(s)[:1], nil, s)))
	if err != nil {
		t.Fatal(err)
	}
	name, part := partOf(t, first, "Cuts")
	raw := intaketest.Repack(t, string(first), map[string]string{name: strings.Replace(part, "</sheetData>", strings.Repeat(" ", 97<<20)+"</sheetData>", 1)})
	if z, err := zip.NewReader(strings.NewReader(raw), int64(len(raw))); err != nil || len(raw) > 1<<20 || len(z.File) < 10 {
		t.Fatalf("the workbook of the test is none: %d bytes, %v", len(raw), err)
	}
	path := t.TempDir() + "/job-report.xlsx"
	if err := os.WriteFile(path, []byte(raw), 0o600); err != nil {
		t.Fatal(err)
	}
	if e, problems := Open(path); e != nil || problems.Errors() != 1 || !strings.Contains(problems[0].What, "unpacks to far more") {
		t.Errorf("it is read: %v", problems)
	}
	if err := (&Earlier{raw: []byte(raw), path: path}).Redo(io.Discard, lay(t, odd(s)[:1], nil, s)); err == nil {
		t.Error("it is written anew")
	}
}
