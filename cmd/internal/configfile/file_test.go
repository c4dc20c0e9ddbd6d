package configfile

import (
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

const written = `# The retreat's own settings.
units: in      # as everybody measures

trimmer:
  longest: 12 in
  # the small one holds little
  holds: 1/2 in

printers:
  # at the window
  - name: home
    widest: 8 1/2 in   # measured
    margins: {left: 1/8 in, bottom: '1/2 in'}

  - name: large
    widest: 13 in

stocks:
  - name: vellum
    sheets:
      - size: 12 x 12 in
        price: 0.75
        count: 4
type.font: Serif
`

// in is a folder with a file, and the file opened.
func in(t *testing.T, text string) *File {
	t.Helper()
	dir := t.TempDir()
	if text != "" {
		if err := os.WriteFile(filepath.Join(dir, "tuckmark.yaml"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	f, err := Open(dir, config.Source{Work: t.TempDir(), Home: t.TempDir()})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func content(t *testing.T, f *File) string {
	t.Helper()
	data, err := os.ReadFile(f.Path())
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

// A setting is changed in its line, and no other line is.
func TestOneLine(t *testing.T) {
	for _, c := range []struct{ path, text, old, new string }{
		{"units", "mm", "units: in      # as", "units: mm      # as"},
		{"trimmer/longest", "300 mm", "  longest: 12 in\n", "  longest: 300 mm\n"},
		{"printers/home/widest", `8.25 in`, "widest: 8 1/2 in   # measured", "widest: 8.25 in   # measured"},
		{"printers/home/margins/bottom", "1/4 in", "bottom: '1/2 in'}", "bottom: 1/4 in}"},
		{"printers/HOME/longest", "20 in", "    margins: {left: 1/8 in, bottom: '1/2 in'}\n", "    margins: {left: 1/8 in, bottom: '1/2 in'}\n    longest: 20 in\n"},
		{"printers/large/longest", "20 in", "    widest: 13 in\n", "    widest: 13 in\n    longest: 20 in\n"},
		{"stocks/vellum/sheets/12 x 12 in/price", "0.80", "price: 0.75", "price: 0.80"},
		{"stocks/vellum/sheets/12 x 12 in/count", "", "        count: 4\n", ""},
		{"stocks/vellum/caution", "lay it flat: it curls", "        count: 4\n", "        count: 4\n    caution: 'lay it flat: it curls'\n"},
		{"trimmer/holds", "", "  holds: 1/2 in\n", ""},
		{"type/font", "Sans", "type.font: Serif", "type.font: Sans"},
		{"effort", "50", "type.font: Serif\n", "type.font: Serif\neffort: 50\n"},
		{"stocks/vellum/colour", "#fafafa", "        count: 4\n", "        count: 4\n    colour: '#fafafa'\n"},
	} {
		f := in(t, written)
		path := Path(strings.Split(c.path, "/"))
		s, found, err := f.Set(Change{path, c.text})
		if err != nil || s == nil {
			t.Errorf("%s: %v %v", c.path, err, found)
			continue
		}
		want := strings.Replace(written, c.old, c.new, 1)
		if got := content(t, f); got != want || want == written {
			t.Errorf("%s: the file is\n%s\nwant\n%s", c.path, got, want)
		}
		if got, _ := f.Value(path); got != c.text {
			t.Errorf("%s reads as %q", c.path, got)
		}
	}
}

// What takes more than a line keeps remarks and order, too.
func TestMoreThanALine(t *testing.T) {
	f := in(t, written)
	s, found, err := f.Set(Change{Path{"printers", "attic", "widest"}, "9 in"}, Change{Path{"stocks", "vellum", "sheets", "6 x 6 in", "count"}, "3"},
		Change{Path{"stocks", "foil", "like"}, "cardstock"}, Change{Path{"mark", "length"}, "1/8 in"})
	if err != nil {
		t.Fatal(err, found)
	}
	if len(s.Printers) != 3 || s.Printers[2].Name != "attic" || s.Printers[2].Widest != 9*measure.Inch || s.Mark.Length != measure.Inch/8 {
		t.Errorf("%+v", s.Printers)
	}
	if v, ok := s.Stock("vellum"); !ok || len(v.Sheets) != 2 || v.Sheets[1].Count != 3 {
		t.Errorf("%+v", v)
	}
	if _, ok := s.Stock("foil"); !ok {
		t.Error("there is no foil")
	}
	got := content(t, f)
	at := 0
	for _, part := range []string{"# The retreat's own settings.", "units: in", "# as everybody measures", "trimmer:", "longest", "# the small one holds little", "holds", "# at the window", "home", "# measured", "large", "attic", "vellum", "12 x 12", "6 x 6", "foil", "type.font", "mark:"} {
		i := strings.Index(got[at:], part)
		if i < 0 {
			t.Fatalf("%q is not in its place in\n%s", part, got)
		}
		at += i
	}
	// and out again
	if _, _, err := f.Set(Change{Path{"printers", "attic"}, ""}, Change{Path{"stocks", "foil"}, ""}, Change{Path{"mark"}, ""}); err != nil {
		t.Fatal(err)
	}
	if got := content(t, f); strings.Contains(got, "attic") || strings.Contains(got, "foil") || strings.Contains(got, "mark:") || !strings.Contains(got, "# measured") {
		t.Errorf("the file is\n%s", got)
	}
}

// A file that is not there is made; one in the user's own folder is where it begins.
func TestMade(t *testing.T) {
	f := in(t, "")
	if _, found, err := f.Set(Change{Path{"trimmer", "longest"}, "300 mm"}); err != nil {
		t.Fatal(err, found)
	}
	if got := content(t, f); got != "trimmer:\n  longest: 300 mm\n" {
		t.Errorf("%q", got)
	}
	home, dir := t.TempDir(), t.TempDir()
	if err := os.WriteFile(filepath.Join(home, "tuckmark.yaml"), []byte("# mine\nunits: mm\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	f, err := Open(dir, config.Source{Work: t.TempDir(), Home: home})
	if err != nil {
		t.Fatal(err)
	}
	if _, found, err := f.Set(Change{Path{"effort"}, "20"}); err != nil {
		t.Fatal(err, found)
	}
	if got := content(t, f); got != "# mine\nunits: mm\neffort: 20\n" || filepath.Dir(f.Path()) != dir {
		t.Errorf("%s holds %q", f.Path(), got)
	}
}

// What the settings refuse is not written, and is said in their words, with the line.
func TestRefused(t *testing.T) {
	for _, c := range []Change{{Path{"trimmer", "longest"}, "wide"}, {Path{"printers", "home", "widest"}, "-3 in"}, {Path{"stocks", "vellum", "sheets", "12 x 12 in", "price"}, "dear"}, {Path{"effert"}, "3"},
		{Path{"trimmer", "longest"}, "1\nunits: mm"}, {Path{""}, "1"}, {nil, "1"}, {Path{"units", "x"}, "1"}, {Path{"stocks", "vellum", "like"}, "nothing"}} {
		f := in(t, written)
		_, found, err := f.Set(c)
		var p *problem.Problem
		if !errors.As(err, &p) || p.What == "the settings are refused" && found.Errors() == 0 {
			t.Errorf("%v: %v %v", c, err, found)
		}
		if content(t, f) != written {
			t.Errorf("%v was written", c)
		}
	}
}

// What somebody else changes meanwhile stays; the same setting changed by both is asked about, once.
func TestForeign(t *testing.T) {
	f := in(t, written)
	other := strings.Replace(written, "widest: 13 in", "widest: 13.5 in # new", 1)
	if err := os.WriteFile(f.Path(), []byte(other), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, _, err := f.Set(Change{Path{"effort"}, "50"}); err != nil {
		t.Fatal(err)
	}
	if got := content(t, f); got != other+"effort: 50\n" {
		t.Errorf("the file is\n%s", got)
	}
	if err := os.WriteFile(f.Path(), []byte(strings.Replace(other, "longest: 12 in", "longest: 15 in", 1)), 0o644); err != nil {
		t.Fatal(err)
	}
	c := Change{Path{"trimmer", "longest"}, "14 in"}
	var foreign *Foreign
	if _, _, err := f.Set(c); !errors.As(err, &foreign) || foreign.Theirs != "15 in" {
		t.Fatalf("%v", err)
	}
	if got, _ := f.Value(c.Path); got != "15 in" {
		t.Errorf("it reads as %q", got)
	}
	if _, _, err := f.Set(c); err != nil {
		t.Fatal(err)
	}
	if got := content(t, f); !strings.Contains(got, "longest: 14 in") {
		t.Errorf("the file is\n%s", got)
	}
	if changed, err := f.Reload(); changed || err != nil {
		t.Error(changed, err)
	}
}

// Random changes to random settings: the file reads as if they had been made to its tree, and its remarks stay.
func TestAnyChanges(t *testing.T) {
	c := rand.New(rand.NewPCG(3, 4))
	paths := [][]string{{"units"}, {"trimmer", "longest"}, {"trimmer", "holds"}, {"printers", "home", "widest"}, {"printers", "home", "margins", "top"}, {"printers", "large", "name"}, {"printers", "new", "widest"}, {"stocks", "vellum", "sheets", "12 x 12 in", "price"},
		{"stocks", "vellum", "tray"}, {"type", "font"}, {"type", "smallest"}, {"printers", "large"}, {"stocks", "vellum", "sheets", "a4", "count"}, {"gap"}}
	values := []string{"", "12 in", "1/8 in", "0.50", `it's "so": yes`, "#663399", "no", "null", "a4", "- x", "5", "ünï ©"}
	for range 300 {
		data := []byte(written)
		for range 6 {
			change1 := Change{paths[c.IntN(len(paths))], values[c.IntN(len(values))]}
			want, err := parse(data)
			if err != nil {
				t.Fatal(err)
			}
			changed := change(want, change1.Path, change1.Text)
			out, err := put(data, change1)
			if err != nil {
				t.Fatal(err)
			}
			got, err := parse(out)
			if err != nil || !same(got, want) {
				t.Fatalf("%v made of\n%s\nthis:\n%s", change1, data, out)
			}
			if !changed && string(out) != string(data) {
				t.Fatalf("%v changes nothing, and made\n%s", change1, out)
			}
			data = out
		}
		if !strings.Contains(string(data), "# The retreat's own settings.") {
			t.Fatalf("the first remark is gone:\n%s", data)
		}
	}
}

// FuzzSet: whatever the file holds and whatever is set, the file is what it was or reads as it was set.
func FuzzSet(f *testing.F) {
	f.Add(written, "trimmer/longest", "3 in")
	f.Add("", "gap", "1/8 in")
	f.Add("a: [1, 2", "gap", "0")
	f.Add("printers: {name: x}", "printers/x/widest", "1")
	f.Add("a: &a 1\nb: *a", "a", "2")
	f.Fuzz(func(t *testing.T, text, path, value string) {
		c := Change{strings.Split(path, "/"), value}
		out, err := put([]byte(text), c)
		if err != nil {
			return
		}
		if got, ok := valueIn(out, c.Path); value != "" && ok && got != value {
			t.Fatalf("%v of %q made %q, which reads as %q", c, text, out, got)
		}
	})
}
