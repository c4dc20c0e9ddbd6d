package jobbook

import (
	"context"
	"path/filepath"
	"reflect"
	"testing"

	"tuckmark/config"
	"tuckmark/impose"
	"tuckmark/intake"
)

func settings(t testing.TB) *config.Settings {
	t.Helper()
	s, found := config.Load(config.Source{Work: t.TempDir()})
	if s == nil {
		t.Fatal(found)
	}
	return s
}

// The sample becomes a book, which reads as the sample does: from its workbook, and without a file between.
func TestSampleBook(t *testing.T) {
	s := settings(t)
	want, found := intake.Read([]string{"../../../samples/retreat.xlsx"}, s)
	if found.Errors() > 0 {
		t.Fatal(found)
	}
	path := filepath.Join(t.TempDir(), "retreat-desk.xlsx")
	b, err := New(path, s)
	if err != nil {
		t.Fatal(err)
	}
	if found, err := b.Take(context.Background(), []string{"../../../samples/retreat.xlsx"}); err != nil || found.Errors() > 0 {
		t.Fatal(err, found)
	}
	in := b.Input()
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	j := impose.New(s, nil)
	if err := j.ReadTables(context.Background(), in.Tables, ""); err != nil {
		t.Fatal(err)
	}
	saved, found := intake.Read([]string{path}, s)
	same(t, "without a file", j.Input, want, false)
	same(t, "from the file", saved, j.Input, true)
	if !reflect.DeepEqual(found, j.Problems) {
		t.Errorf("problems differ:\n%v\n%v", found, j.Problems)
	}
	// and the codes stay when a row goes
	b, _, _, err = Open(path, s)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Keep(b.Input(), j.Input); err != nil {
		t.Fatal(err)
	}
	rows := b.Rows(Journaling)
	if _, err := b.Do(Change{Kind: Remove, ID: rows[0].ID}); err != nil {
		t.Fatal(err)
	}
	later, _ := intake.ReadTables(b.Input().Tables, s)
	for i := range later.Blocks {
		if later.Blocks[i].Code != j.Input.Blocks[i+1].Code {
			t.Fatalf("%s became %s", j.Input.Blocks[i+1].Code, later.Blocks[i].Code)
		}
	}
	if now, more, err := b.Undo(); err != nil || !more || now != b.Revision() || !reflect.DeepEqual(b.Rows(Journaling), rows) {
		t.Fatal(now, more, err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
}

// same compares jobs by their blocks.
func same(t *testing.T, what string, got, want *intake.Job, places bool) {
	t.Helper()
	if len(got.Blocks) != len(want.Blocks) || len(got.Held) != len(want.Held) || len(got.Paper) != len(want.Paper) {
		t.Fatalf("%s: %d blocks, %d held, %d of paper; want %d, %d, %d", what, len(got.Blocks), len(got.Held), len(got.Paper), len(want.Blocks), len(want.Held), len(want.Paper))
	}
	for i := range want.Blocks {
		a, b := got.Blocks[i], want.Blocks[i]
		if !places {
			a.Place = b.Place
		}
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s:\n%+v\nwant\n%+v", what, a, b)
		}
	}
}

// readJob is what a job reads of a book.
func readJob(b *Book) *intake.Job {
	j, _ := intake.ReadTables(b.Input().Tables, b.settings.Load())
	return j
}
