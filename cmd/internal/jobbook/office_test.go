package jobbook

import (
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/longtests"
)

// A book that LibreOffice has opened and saved again has the same rows by the same ids, and nothing is asked.
func TestThroughLibreOffice(t *testing.T) {
	longtests.Only(t)
	program, err := exec.LookPath("soffice")
	if err != nil || testing.Short() {
		t.Skip("LibreOffice is not installed, or the tests are short")
	}
	dir := t.TempDir()
	s := settings(t)
	path := filepath.Join(dir, "retreat-desk.xlsx")
	b, err := create(save.System, path, s)
	if err != nil {
		t.Fatal(err)
	}
	c := chance{rand.New(rand.NewPCG(5, 5))}
	for range 60 {
		do(t, b, c.changes(rowsOf(b))...)
	}
	if err := b.Keep(b.Input(), readJob(b)); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	want, codes := rowsOf(b), b.Rows(Journaling)
	out := filepath.Join(dir, "out")
	cmd := exec.Command(program, "-env:UserInstallation=file://"+filepath.ToSlash(dir)+"/home", "--headless", "--convert-to", "xlsx", "--outdir", out, path)
	if said, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	data, err := os.ReadFile(filepath.Join(out, "retreat-desk.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	// With the journal, and as a book that came from another machine.
	for _, known := range []bool{true, false} {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		if !known {
			if err := os.RemoveAll(filepath.Join(dir, ".retreat-desk")); err != nil {
				t.Fatal(err)
			}
		}
		b, found, err := open(save.System, path, s)
		if err != nil {
			t.Fatal(err, found)
		}
		got := rowsOf(b)
		for sheet := range sheets {
			if len(got[sheet]) != len(want[sheet]) {
				t.Fatalf("with its journal %v: %d rows of %v, want %d", known, len(got[sheet]), sheet, len(want[sheet]))
			}
			for i := range want[sheet] {
				g, w := got[sheet][i], want[sheet][i]
				if g.ID != w.ID {
					t.Errorf("row %d of %v is %s, was %s", i, sheet, g.ID, w.ID)
				}
				for _, column := range Columns(sheet) {
					if g, w := as(sheet, column, g.Cells[column]), as(sheet, column, w.Cells[column]); g != w {
						t.Errorf("with its journal %v: %s of row %d of %v is %q, was %q", known, column, i, sheet, g, w)
					}
				}
			}
		}
		for i, r := range b.Rows(Journaling) {
			if r.Code != codes[i].Code {
				t.Errorf("row %d has the code %s, had %s", i, r.Code, codes[i].Code)
			}
		}
		if known && !reflect.DeepEqual(got, want) {
			t.Error("the rows were changed")
		}
		if q := b.Questions(); len(q) > 0 || len(found) > 0 {
			t.Errorf("with its journal %v: asked is %v, said %v", known, q, found)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
