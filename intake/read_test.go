package intake

import (
	"os"
	"path/filepath"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// home is a configuration like the built-in one, so that these tests do not change with it.
func home() *config.Settings {
	letter := measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}
	sheets := []config.Sheet{{Size: letter, Count: -1}}
	white := config.Colour{R: 255, G: 255, B: 255}
	inset := measure.Same(measure.Inch / 8)
	return &config.Settings{
		Stocks: []config.Stock{
			{Name: "vellum", Sheets: sheets, Tuck: measure.Sides{Top: measure.Inch / 2}, Inset: inset, Page: true, Colour: white},
			{Name: "clear sticker", Sheets: sheets, Inset: inset, Page: true, Colour: white},
			{Name: "cardstock", Sheets: sheets, Inset: inset, Colour: white},
			{Name: "plain paper", Sheets: sheets, Inset: inset, Colour: white},
		},
		Default: "vellum",
		Type:    config.Type{Font: "Serif", Smallest: 6 * measure.Point, Largest: 24 * measure.Point, Leading: 1.2},
	}
}

// read reads files given by their contents, in the order given: name, content, name, content, ...
func read(t testing.TB, files ...string) (*Job, problem.List) {
	t.Helper()
	dir := t.TempDir()
	var paths []string
	for i := 0; i < len(files); i += 2 {
		p := filepath.Join(dir, files[i])
		if err := os.MkdirAll(filepath.Dir(p), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(files[i+1]), 0o666); err != nil {
			t.Fatal(err)
		}
		paths = append(paths, p)
	}
	return Read(paths, home())
}

func TestReadCSV(t *testing.T) {
	job, problems := read(t, "a.csv", "Name,Page,Journaling,Width,Height,Stock,Font,Size,Align,Ink,Tuck,Turn,Copies,Title,Who,Where,When,Note\n"+
		"Marie Kowalski,Beach,\"We *ran* into the sea.\nAgain!\",4,2 1/2,vellum,Sans,12,centre middle,dark blue,none,no,2,Our day,\"Odile, Pim\",Harbour steps,4 July 2026,hi\n"+
		"Marie Kowalski,Beach,Second,4 in,50 mm,,,,,,,,,,,Harbour,2026,\n")
	for _, p := range problems {
		t.Errorf("%+v", p)
	}
	if len(job.Blocks) != 2 {
		t.Fatalf("%+v", job)
	}
	b := job.Blocks[0]
	t.Logf("%+v", b)
}
