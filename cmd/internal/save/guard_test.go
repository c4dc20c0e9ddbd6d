package save

import (
	"archive/zip"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

// house is a folder with what a run may read, and is the working folder while the test runs.
func house(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	t.Chdir(dir)
	must(t, os.MkdirAll(filepath.Join("forms", "late"), 0o755))
	must(t, os.MkdirAll(filepath.FromSlash("forms/1/2/3/4/5/6"), 0o755))
	put(t, filepath.FromSlash("forms/dee.sent"), "PK\x03\x04") // a workbook, as its bytes say
	for _, name := range []string{"job.csv", "tuckmark.yaml", "other.csv", "old.pdf", "forms/ana.xlsx", "forms/bo.CSV", "forms/late/cy.tsv", "forms/out.pdf", "forms/plan.json", "forms/cake.jpg", "forms/no-report.xlsx",
		"forms/ede.ods", "forms/eli.XLS", "forms/1/2/3/4/5/fay.csv", "forms/1/2/3/4/5/6/gil.csv"} {
		put(t, filepath.FromSlash(name), "old "+name)
	}
	var report strings.Builder
	z := zip.NewWriter(&report)
	part, err := z.Create("xl/workbook.xml")
	must(t, err)
	_, err = part.Write([]byte(`<workbook><sheets><sheet name="Blocks"/><sheet name="Leftovers"/><sheet name="Cuts"/></sheets></workbook>`))
	must(t, err)
	must(t, z.Close())
	put(t, filepath.FromSlash("forms/out-report.xlsx"), report.String())
	return dir
}

// What a run reads is not written over, by whatever name; and no two outputs are one file.
func TestGuard(t *testing.T) {
	dir := house(t)
	var g Guard
	g.Protect("job.csv", "forms", "", filepath.Join(dir, "tuckmark.yaml"), "absent.csv")
	const input, two = "is an input and would be overwritten", "two outputs are to be written to"
	type row struct {
		says    string
		outputs []string
	}
	rows := []row{
		{"", []string{"new.pdf", "new-report.xlsx", "", ""}},
		{"", []string{"other.csv", "old.pdf"}},
		{"", []string{"absent.csv"}}, // nothing is there that could be lost
		{"", []string{"forms/new.xlsx"}},
		{"", []string{"forms/out.pdf", "forms/out-report.xlsx", "forms/plan.json"}}, // of the run before
		{input, []string{"job.csv"}},
		{input, []string{"new.pdf", "./forms/../job.csv"}},
		{input, []string{filepath.Join(dir, "job.csv")}},
		{input, []string{"tuckmark.yaml"}},
		{input, []string{"forms/ana.xlsx"}},
		{input, []string{"forms/bo.CSV"}},
		{input, []string{"forms/late/cy.tsv"}},
		{input, []string{"forms/dee.sent"}},
		{input, []string{"forms/ede.ods"}}, // read, though only to be told that it has to be saved in another format
		{input, []string{"forms/eli.XLS"}},
		{input, []string{"forms/1/2/3/4/5/fay.csv"}},
		{input, []string{"forms/1/2/3/4/5/6/gil.csv"}},
		{input, []string{"forms/cake.jpg"}},       // whatever was in the folder, unless an earlier run can have written it
		{input, []string{"forms/no-report.xlsx"}}, // which is called so, and is none
		{two, []string{"new.pdf", "new.pdf"}},
		{two, []string{"new.pdf", "", "./new.pdf"}},
		{two, []string{"forms/new.pdf", filepath.Join(dir, "forms", "new.pdf")}},
	}
	if runtime.GOOS != "windows" { // where links need a right
		must(t, os.Symlink("job.csv", "link.pdf"))
		must(t, os.Symlink("forms", "linked"))
		must(t, os.Symlink("old.pdf", "other name.pdf"))
		must(t, os.Symlink(filepath.Join("..", "hal.txt"), filepath.Join("forms", "hal.csv")))
		put(t, "hal.txt", "old hal")
		must(t, os.Symlink(".", filepath.Join("forms", "round")))
		rows = append(rows, row{input, []string{"hal.txt"}}, row{input, []string{"link.pdf"}}, row{input, []string{"linked/ana.xlsx"}}, row{two, []string{"old.pdf", "other name.pdf"}})
	}
	for _, c := range rows {
		for i := range c.outputs {
			c.outputs[i] = filepath.FromSlash(c.outputs[i])
		}
		before := contents(t, dir)
		p := g.Check(c.outputs...)
		switch {
		case c.says == "" && p != nil:
			t.Errorf("%q: %v", c.outputs, p)
		case c.says != "" && (p == nil || !strings.Contains(p.What, c.says) || p.Hint == "" || p.Disk):
			t.Errorf("%q: %v, want %q", c.outputs, p, c.says)
		}
		if c.says == "" {
			continue
		}
		if _, p := Create(files(c.outputs...), g); p == nil || !strings.Contains(p.What, c.says) { // nobody asked before
			t.Errorf("%q written: %v", c.outputs, p)
		}
		if !maps.Equal(before, contents(t, dir)) {
			t.Errorf("%q: something was written", c.outputs)
		}
	}
	if p := (Guard{}).Check("job.csv", "forms/ana.xlsx"); p != nil {
		t.Errorf("a guard of nothing: %v", p)
	}
}

// What is protected through a copy is not protected through another.
func TestGuardsCopy(t *testing.T) {
	house(t)
	var g Guard
	g.Protect("tuckmark.yaml")
	a, b := g, g
	a.Protect("job.csv")
	b.Protect("old.pdf")
	if a.Check("job.csv") == nil || b.Check("old.pdf") == nil || a.Check("old.pdf") != nil || b.Check("job.csv") != nil || g.Check("job.csv") != nil {
		t.Error("copies share what they protect")
	}
}
