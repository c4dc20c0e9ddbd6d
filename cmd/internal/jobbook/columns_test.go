package jobbook

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
)

// Columns that nobody knows and that have one heading keep apart, and nothing of them is lost: whether one was there before, and wherever another program puts the other.
func TestOneHeadingTwice(t *testing.T) {
	texts := func(b *Book) (out []string) {
		for _, r := range b.Rows(Journaling) {
			for _, c := range []string{"Mood", "Mood (2)", "Mood (3)", "Mood (4)"} {
				if text := r.Cells[c]; text != "" {
					out = append(out, text)
				}
			}
		}
		slices.Sort(out)
		return out
	}
	add := func(t *testing.T, f *excelize.File, heading, text string) {
		col := last(t, f, "Journaling", 1)
		must(t, f.SetCellValue("Journaling", col+"1", heading), f.SetCellValue("Journaling", col+"2", text))
	}
	for name, saves := range map[string][]func(t *testing.T, f *excelize.File){
		"both at once": {func(t *testing.T, f *excelize.File) { add(t, f, "Mood", "one"); add(t, f, "Mood", "two") }},
		"one after the other": {func(t *testing.T, f *excelize.File) { add(t, f, "Mood", "one") },
			func(t *testing.T, f *excelize.File) { add(t, f, "Mood", "two") }},
		"the second before the first": {func(t *testing.T, f *excelize.File) { add(t, f, "Mood", "one") }, func(t *testing.T, f *excelize.File) {
			must(t, f.InsertCols("Journaling", "E", 1), f.SetCellValue("Journaling", "E1", "Mood"), f.SetCellValue("Journaling", "E2", "two"))
		}},
		"beside one that has the number": {func(t *testing.T, f *excelize.File) { add(t, f, "Mood (2)", "one") },
			func(t *testing.T, f *excelize.File) {
				add(t, f, "Mood", "")
				add(t, f, "Mood", "two")
				add(t, f, "Mood", "three")
			}},
		"saved again": {func(t *testing.T, f *excelize.File) { add(t, f, "Mood", "one"); add(t, f, "Mood", "two") },
			func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "7") }},
	} {
		t.Run(name, func(t *testing.T) {
			d := fakedisk.New()
			b, _ := three(t, d)
			for _, save := range saves {
				edit(t, d, func(f *excelize.File) { save(t, f) })
				b.look()
				must(t, b.Save())
			}
			want := []string{"one", "two"}
			if name == "beside one that has the number" {
				want = []string{"one", "three", "two"}
			}
			if got := texts(b); !slices.Equal(got, want) {
				t.Errorf("the cells have %q, want %q; %v", got, want, b.Questions())
			}
		})
	}
	dir := t.TempDir()
	csv := filepath.Join(dir, "two.csv")
	must(t, os.WriteFile(csv, []byte("Name,Journaling,Width,Height,Mood,Mood\nOdile Hart,Text,4,2,one,two\n"), 0o644))
	b, err := create(fakedisk.New(), bookPath, settings(t))
	must(t, err)
	_, err = b.Take(context.Background(), []string{csv})
	if got := texts(b); err != nil || !slices.Equal(got, []string{"one", "two"}) {
		t.Errorf("taken in are %q: %v, %q", got, err, b.Columns(Journaling))
	}
}
