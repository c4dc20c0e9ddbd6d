package config

import (
	"bytes"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

var update = flag.Bool("update", false, "write keys.md from the tables of keys")

// write puts a configuration file into a folder and gives its path.
func write(t testing.TB, folder, text string) string {
	t.Helper()
	path := filepath.Join(folder, "tuckmark.yaml")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	if old := time.Now().Add(-time.Minute); os.Chtimes(path, old, old) != nil { // so that no reader waits for it to settle
		t.Fatal("its time cannot be set")
	}
	return path
}

// load demands that a file is without fault.
func load(t *testing.T, text string) *Settings {
	t.Helper()
	s, problems := Load(Source{File: write(t, t.TempDir(), text), Home: t.TempDir()})
	if len(problems) > 0 {
		t.Fatalf("%v\nin:\n%s", problems, text)
	}
	return s
}

// inch is so many thirty-seconds of an inch, written 8.5.
func inch(x float64) measure.Length { return measure.Length(x*32) * measure.Inch / 32 }

// TestNothing: without configuration every stock can go through the printer at hand.
func TestNothing(t *testing.T) {
	s, problems := Load(Source{Home: t.TempDir()})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	var names []string
	for _, stock := range s.Stocks {
		names = append(names, stock.Name)
		for _, sheet := range stock.Sheets {
			if !s.Printers[0].Feeds(sheet.Size) || sheet.Count >= 0 || sheet.Price != 0 || sheet.Leftover {
				t.Errorf("%s: %+v does not serve at no cost", stock.Name, sheet)
			}
		}
		if stock.Inset != measure.Same(inch(.125)) || stock.Colour != white || stock.Tray == "" || stock.Quality == "" || stock.Drying == 0 {
			t.Errorf("%s: %+v", stock.Name, stock)
		}
		if wanted := stock.Name == "vellum" || stock.Name == "clear sticker"; stock.ShowsPage != wanted {
			t.Errorf("%s: the page shows through: %v", stock.Name, stock.ShowsPage)
		}
	}
	// The values of the design; letter is 8.5 x 11 in by CSS Paged Media Module Level 3.
	if want := []string{"vellum", "clear sticker", "cardstock", "plain paper"}; !slices.Equal(names, want) {
		t.Errorf("stocks %q, want %q", names, want)
	}
	if v, _ := s.Stock("vellum"); v.Tuck != (measure.Sides{Top: inch(.5)}) || v.Sheets[0].Size != (measure.Size{W: inch(8.5), H: inch(11)}) {
		t.Errorf("vellum: %+v", v)
	}
	want := Printer{Name: "home", Narrowest: inch(3.5), Widest: inch(8.5), Shortest: inch(5), Longest: inch(14),
		Margins: measure.Sides{Left: inch(.125), Top: inch(.125), Right: inch(.125), Bottom: inch(.5)}, Scale: [2]float64{1, 1}}
	if len(s.Printers) != 1 || !reflect.DeepEqual(s.Printers[0], want) {
		t.Errorf("printers %+v, want %+v", s.Printers, want)
	}
	if s.Trimmer != (Trimmer{Longest: inch(12), Holds: inch(1), Stack: 1}) || s.Gap != (Gap{Auto: true, Width: inch(.125)}) ||
		s.Mark != (Mark{Length: inch(.25), Weight: 6350}) || s.Default != "cardstock" || s.Unit != measure.In || s.File != "" {
		t.Errorf("settings %+v", s)
	}
	if y := s.Type; y.Smallest != 0 || y.Smallest >= y.Largest || y.Largest%TypeStep != 0 || y.Leading != 1.25 {
		t.Errorf("type %+v", y)
	}
}

// TestPaper: one setting, or metric units, bring A4, which is 210 x 297 mm by ISO 216.
func TestPaper(t *testing.T) {
	a4 := measure.Size{W: 210 * measure.Millimetre, H: 297 * measure.Millimetre}
	for text, want := range map[string]measure.Size{
		"paper: A4": a4, "paper: a4": a4, "units: mm": a4, "units: cm": a4, "units: mm\npaper: letter": letter, "units: inches": letter,
	} {
		s := load(t, text)
		for _, stock := range s.Stocks {
			if got := stock.Sheets[0].Size; got != want || !s.Printers[0].Feeds(got) {
				t.Errorf("%q: %s comes on %s", text, stock.Name, got.Format(measure.Mm))
			}
		}
		if s.Guide != want {
			t.Errorf("%q: guides on %s", text, s.Guide.Format(measure.Mm))
		}
	}
}

// TestWays sets every setting in every way it can be set, by the example that its row gives, and expects the same of each.
func TestWays(t *testing.T) {
	fonts := t.TempDir()
	standard, _ := Load(Source{Home: t.TempDir()})
	for _, k := range settingKeys {
		if k.shape == takesList {
			continue // lists are for files
		}
		text := k.example
		if text == "" {
			t.Errorf("%s has no example to try", k.name)
			continue
		}
		if k.name == "fonts" {
			text = fonts // a relative path is another one in a file
		}
		line := k.name + ": " + text
		if section, name, ok := strings.Cut(k.name, "."); ok {
			line = section + ":\n  " + name + ": " + text
		}
		file := load(t, line)
		file.File = ""
		if reflect.DeepEqual(file, standard) {
			t.Errorf("%s: %s makes no difference", k.name, text)
		}
		for way, src := range map[string]Source{
			"variable": {Env: []string{"PATH=x", variable(k.name) + "=" + text}},
			"flag":     {Flags: map[string]string{k.name: text}},
		} {
			src.Home = t.TempDir()
			got, problems := Load(src)
			if len(problems) > 0 || !reflect.DeepEqual(got, file) {
				t.Errorf("%s by %s: %v\n%+v\nby file:\n%+v", k.name, way, problems, got, file)
			}
		}
	}
}

// TestPrecedence: working folder before the input's before the user's; a file before the built-in values, a variable
// before a file, a flag before a variable; each only for what it says.
func TestPrecedence(t *testing.T) {
	work, near, home := t.TempDir(), t.TempDir(), t.TempDir()
	src := Source{Work: work, Near: near, Home: home}
	unread := 0 // configurations beside the input, which is told
	expect := func(file string, effort int, largest measure.Length) {
		t.Helper()
		s, problems := Load(src)
		if len(problems) != unread || problems.Errors() > 0 || unread > 0 && (problems[0].Place.File != filepath.Join(near, "tuckmark.yaml") || problems[0].What != "this configuration is not read") {
			t.Fatal(problems)
		}
		if filepath.Base(filepath.Dir(s.File)) != filepath.Base(file) && s.File != file || s.Effort != effort || s.Type.Caption != largest*measure.Point {
			t.Errorf("file %q, effort %d, largest %v, want %q, %d, %d", s.File, s.Effort, s.Type.Caption.Points(), file, effort, largest)
		}
	}
	expect("", 400, 18)
	write(t, home, "effort: 1\n")
	expect(home, 1, 18)
	write(t, near, "effort: 2\ntype: {largest: 11}\n")
	expect(near, 2, 11)
	write(t, work, "effort: 3\n")
	unread = 1
	expect(work, 3, 18)
	unread = 0
	src.File = filepath.Join(near, "tuckmark.yaml")
	expect(near, 2, 11)
	src.Env = []string{"TUCKMARK_EFFORT=4", "TUCKMARK_EFFORT=5", "TUCKMARK_TYPE_LARGEST="}
	expect(near, 5, 11)
	src.Flags = map[string]string{"effort": "6"}
	expect(near, 6, 11)
	src.Env = append(src.Env, "TUCKMARK_TYPE_LARGEST=13")
	expect(near, 6, 13)
}

func TestLists(t *testing.T) {
	s := load(t, `
units: mm
stocks:
  - name: Vellum                  # a built-in one: only what is said changes
    tuck: 10
    sheets:
      - {size: 12 x 12 in, count: 4, price: 1.2}
      - letter
    leftovers: [{size: 100 x 180, name: from June}, 4 x 7 1/2 in]
  - name: kraft
    like: cardstock
    colour: '#b58b5a'
    tuck: {left: 1/4 in}
    printers: Office
  - name: blue vellum
    like: vellum
    colour: light blue
    carrier: {smallest: 30 x 30}
printers:
  - name: small
    widest: 4 in
    takes: VELLUM, clear sticker, blue vellum
    margins: {bottom: 20}
  - name: office
    margins: 4,5 mm
    shift: {y: -0.5}
    scale: {x: 100.2%}
trimmer: {longest: none}
gap: 0
`)
	var names []string
	for _, stock := range s.Stocks {
		names = append(names, stock.Name)
	}
	if want := []string{"Vellum", "kraft", "blue vellum", "clear sticker", "cardstock", "plain paper"}; !slices.Equal(names, want) {
		t.Errorf("stocks %q, want %q", names, want)
	}
	mm := measure.Millimetre
	sheets := []Sheet{
		{Size: measure.Size{W: inch(12), H: inch(12)}, Count: 4, Price: 120}, {Size: letter, Count: -1},
		{Size: measure.Size{W: 100 * mm, H: 180 * mm}, Count: 1, Leftover: true, Name: "from June"},
		{Size: measure.Size{W: inch(4), H: inch(7.5)}, Count: 1, Leftover: true},
	}
	if v := s.Stocks[0]; !reflect.DeepEqual(v.Sheets, sheets) || v.Tuck != (measure.Sides{Top: 10 * mm}) || !v.ShowsPage || v.Drying != 15 {
		t.Errorf("%+v", v)
	}
	if k := s.Stocks[1]; k.Colour != (Colour{0xb5, 0x8b, 0x5a}) || k.Tuck != (measure.Sides{Left: inch(.25)}) || k.ShowsPage ||
		!slices.Equal(k.Printers, []string{"office"}) || k.Sheets[0].Size != a4 {
		t.Errorf("%+v", k)
	}
	if b := s.Stocks[2]; !reflect.DeepEqual(b.Sheets, sheets) || !b.ShowsPage || *b.Carrier != (Carrier{a4, measure.Size{W: 30 * mm, H: 30 * mm}}) {
		t.Errorf("%+v", b)
	}
	if p := s.Printers[0]; p.Widest != inch(4) || p.Narrowest != inch(3.5) ||
		p.Margins != (measure.Sides{Left: inch(.125), Top: inch(.125), Right: inch(.125), Bottom: 20 * mm}) ||
		!slices.Equal(p.Takes, []string{"Vellum", "clear sticker", "blue vellum"}) {
		t.Errorf("%+v", p)
	}
	if p := s.Printers[1]; len(s.Printers) != 2 || p.Margins != measure.Same(9*mm/2) || p.Shift != (Offset{Y: -mm / 2}) ||
		p.Scale != [2]float64{1.002, 1} {
		t.Errorf("%+v", p)
	}
	if s.Trimmer.Longest != 0 || s.Gap != (Gap{}) || s.Guide != a4 {
		t.Errorf("%+v", s)
	}
}

// TestSides are the ways of giving measures for edges.
func TestSides(t *testing.T) {
	h, q := inch(.5), inch(.25)
	for text, want := range map[string]measure.Sides{
		"1/2":                          {Top: h},
		"0,5":                          {Top: h},
		"1/2 in top":                   {Top: h},
		"left 1/2":                     {Left: h},
		"0,5 in on the left":           {Left: h},
		"1/2 top, 1/4 left":            {Top: h, Left: q},
		"{right: 1/2, bottom: 0.25}":   {Right: h, Bottom: q},
		"none":                         {},
		"0":                            {},
		"{left: 0,top: 1/4 in}":        {Top: q},
		"{Top: 12.7 mm}":               {Top: h},
		`"1/2"`:                        {Top: h},
		`1/2"`:                         {Top: h},
		`½`:                            {Top: h},
		"bottom 1/2 in, 6.35 mm right": {Bottom: h, Right: q},
	} {
		if v, _ := load(t, "stocks: [{name: vellum, tuck: "+quoteFlow(text)+"}]").Stock("vellum"); v.Tuck != want {
			t.Errorf("tuck: %s is %+v, want %+v", text, v.Tuck, want)
		}
	}
}

// quoteFlow keeps commas of a scalar from parting a flow mapping.
func quoteFlow(text string) string {
	if strings.HasPrefix(text, "{") || strings.HasPrefix(text, `"`) {
		return text
	}
	return "'" + text + "'"
}

// TestBounds brings type sizes to steps on the safe side, and hairlines to an even weight.
func TestBounds(t *testing.T) {
	s := load(t, "type: {smallest: 2.6 mm, largest: 17.9}\nmark: {weight: 0.333}\ntrimmer: {holds: 20 mm}\ngap: auto 3 mm")
	if s.Type.Smallest != 30*TypeStep || s.Type.Largest != 71*TypeStep { // 2.6 mm is 7.37 pt
		t.Errorf("smallest %v, largest %v", s.Type.Smallest.Points(), s.Type.Largest.Points())
	}
	if s.Mark.Weight%2 != 0 || s.Mark.Weight < 4229 || s.Mark.Weight > 4230 {
		t.Errorf("weight %d", s.Mark.Weight)
	}
	if s.Gap != (Gap{true, 3 * measure.Millimetre}) {
		t.Errorf("gap %+v", s.Gap)
	}
}

// TestFonts: folders start at the file that names them, and one named fonts is found by itself.
func TestFonts(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"faces", "fonts"} {
		if err := os.Mkdir(filepath.Join(folder, name), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	path := write(t, folder, "fonts: [faces, ./faces]")
	s, problems := Load(Source{File: path, Near: folder, Work: t.TempDir(), Home: t.TempDir()})
	if want := []string{filepath.Join(folder, "faces"), filepath.Join(folder, "fonts")}; len(problems) > 0 || !slices.Equal(s.Fonts, want) {
		t.Errorf("%v: %q, want %q", problems, s.Fonts, want)
	}
	s, problems = Load(Source{Flags: map[string]string{"fonts": "faces"}, Work: folder, Home: t.TempDir()})
	if len(problems) > 0 || len(s.Fonts) != 2 {
		t.Errorf("%v: %+v", problems, s)
	}
}

// TestTable keeps the tables honest: what they say holds without a setting does hold, and keys.md is made of them.
func TestTable(t *testing.T) {
	home, plain := Printer{}, Stock{}
	r := &reader{}
	for _, k := range printerKeys {
		if k.standard != "" && k.shape&takesText != 0 || k.shape == 0 && k.standard != "" {
			text := k.standard
			if k.name == "margins" {
				text = "1/8 left, 1/8 top, 1/8 right, 1/2 bottom" // the table says it for a reader
			}
			k.read(r, &home, value{text: text})
		}
	}
	for _, k := range stockKeys {
		if k.standard != "" {
			k.read(r, &plain, value{text: k.standard})
		}
	}
	s, _ := Load(Source{Home: t.TempDir()})
	home.Name = "home"
	if len(r.problems) > 0 || !reflect.DeepEqual(s.Printers[0], home) {
		t.Errorf("%v: the table says %+v, the built-in printer is %+v", r.problems, home, s.Printers[0])
	}
	bare := load(t, "stocks: [{name: x}]").Stocks[0]
	bare.Name, bare.Sheets = "", nil
	if !reflect.DeepEqual(bare, plain) {
		t.Errorf("the table says %+v, a stock that says nothing is %+v", plain, bare)
	}
	text := "# Settings\n\nWritten by `go test ./config -update` from the tables in keys.go.\n\n" + Table()
	if *update {
		if err := os.WriteFile("keys.md", []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile("keys.md"); err != nil || string(got) != text {
		t.Errorf("keys.md is not what the tables say (%v); write it with -update", err)
	}
}

// TestNear is what people mistype.
func TestNear(t *testing.T) {
	names := settingNames()
	for typed, want := range map[string]string{
		"unit": "units", "papper": "paper", "sotck": "stock", "Type.Smalest": "type.smallest", "type_font": "type.font", "fnots": "fonts",
		"printer": "printers", "zebra": "", "x": "", "": "", strings.Repeat("units", 40): "",
	} {
		if got := Near(typed, names); got != want {
			t.Errorf("%q is near %q, want %q", typed, got, want)
		}
	}
}

// TestColour: values from CSS Color Module Level 3, 4.3 (from memory).
func TestColour(t *testing.T) {
	for typed, want := range map[string]string{"navy": "#000080", "Dark Green": "#006400", "#639": "#663399", "#A52a2A": "#a52a2a", "grey": "#808080"} {
		if got, _, ok := ParseColour(typed); !ok || got.String() != want {
			t.Errorf("%s is %s, want %s", typed, got, want)
		}
	}
	for typed, want := range map[string]string{"#12": "", "navey": "navy", "#gggggg": "", "": "", "lihgt blue": "lightblue", "#ffffff0": ""} {
		if _, near, ok := ParseColour(typed); ok || near != want {
			t.Errorf("%q: %v, near %q, want %q", typed, ok, near, want)
		}
	}
}

// said is a list as the tables of bad files give it: line, what, hint.
func said(list problem.List) string {
	var b strings.Builder
	for _, p := range list {
		fmt.Fprintf(&b, "%d: %s; %s\n", p.Place.Line, p.What, p.Hint)
	}
	return b.String()
}

// plainWords demands that a message is ours and complete.
func plainWords(t *testing.T, list problem.List) {
	t.Helper()
	for _, p := range list {
		for _, raw := range []string{"yaml", "viper", "strconv", "panic", "cannot unmarshal", "%!", "\n"} {
			if strings.Contains(p.What+p.Cause, raw) {
				t.Errorf("%q is no sentence of ours: %q", p.What+p.Cause, raw)
			}
		}
		if p.What == "" || p.Hint == "" && p.Severity == problem.Error {
			t.Errorf("%+v says too little", p)
		}
	}
}

// FuzzFile: whatever is in the file, there are settings or a reason why not, in our words.
func FuzzFile(f *testing.F) {
	for _, c := range badFiles {
		f.Add([]byte(c.file))
	}
	f.Add(builtin)
	f.Add([]byte("type: {font: Sans}\nfonts: [a, b]\n? [a]\n: {b: *c}\n"))
	f.Add([]byte("\xff\xfea\x00"))
	f.Add(bytes.Repeat([]byte("["), 500))
	folder := f.TempDir()
	f.Fuzz(func(t *testing.T, data []byte) {
		path := write(t, folder, string(data))
		s, problems := Load(Source{File: path, Home: folder})
		if (s == nil) != (problems.Errors() > 0) {
			t.Fatalf("settings %v with problems %v", s, problems)
		}
		plainWords(t, problems)
		if s == nil {
			return
		}
		for _, p := range s.Printers {
			if p.Narrowest > p.Widest || p.Shortest > p.Longest || p.Name == "" || p.Scale[0] <= 0 || p.Scale[1] <= 0 {
				t.Fatalf("printer %+v", p)
			}
		}
		names := map[string]bool{}
		for _, k := range s.Stocks {
			if len(k.Sheets) == 0 || k.Name == "" || names[fold(k.Name)] {
				t.Fatalf("stock %+v", k)
			}
			names[fold(k.Name)] = true
			for _, sheet := range k.Sheets {
				if sheet.Size.W <= 0 || sheet.Size.H <= 0 || sheet.Price < 0 {
					t.Fatalf("sheet %+v of %s", sheet, k.Name)
				}
			}
		}
		if !names[fold(s.Default)] || s.Type.Smallest > s.Type.Largest || s.Type.Smallest%TypeStep != 0 || s.Mark.Weight%2 != 0 {
			t.Fatalf("settings %+v", s)
		}
	})
}

// TestBadVariables names the variable and the flag, and the right ones where they are near.
func TestBadVariables(t *testing.T) {
	_, problems := Load(Source{Home: t.TempDir(),
		Env:   []string{"TUCKMARK_TRIMMER=none", "TUCKMARK_TRIMMER_BY=marks", "TUCKMARK_GAPP=1", "TUCKMARK_EFFORT=lots", "TUCKMARK_STOCKS=vellum", "tuckmark_gap=x", "TUCKMARK_WHATEVER_ELSE="},
		Flags: map[string]string{"type.smallest": "tiny", "papper": "A4", "trimmer": "none", "trimmer.by": "measure"}})
	want := `0: the environment variable TUCKMARK_GAPP stands for no setting; did you mean TUCKMARK_GAP?
0: the environment variable TUCKMARK_WHATEVER_ELSE stands for no setting; take it out of the environment
0: TUCKMARK_TRIMMER and TUCKMARK_TRIMMER_BY say the same setting; leave one of them out
0: “papper” is not a setting; did you mean paper?
0: trimmer (flag) and trimmer.by (flag) say the same setting; leave one of them out
0: TUCKMARK_EFFORT: “lots” is not a whole number; write a number from 0 to 1000000
0: type.smallest (flag): “tiny” is not a measure; write it in points, like 8 or 10.5
0: TUCKMARK_STOCKS: this cannot be a single value; set it in a tuckmark.yaml instead
`
	if got := said(problems); got != want {
		t.Errorf("got:\n%swant:\n%s", got, want)
	}
	plainWords(t, problems)
}

// TestUnread: a file that was named has to be there and be a file.
func TestUnread(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large.yaml")
	if err := os.WriteFile(large, bytes.Repeat([]byte("#\n"), 1<<16), 0o644); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		filepath.Join(folder, "none.yaml"): "there is no such configuration file", folder: "it is a folder", large: "larger than any",
	} {
		_, problems := Load(Source{File: path, Home: folder})
		if len(problems) != 1 || !problems[0].Disk || problems[0].Place.File != path || !strings.Contains(problems[0].What+problems[0].Cause, want) {
			t.Errorf("%s: %+v, want %q", path, problems, want)
		}
		plainWords(t, problems)
	}
	// The name that some editors give to a text file.
	write(t, folder, "gap: 0")
	if err := os.Rename(filepath.Join(folder, "tuckmark.yaml"), filepath.Join(folder, "tuckmark.yaml.txt")); err != nil {
		t.Fatal(err)
	}
	if s, problems := Load(Source{Work: folder, Near: folder, Home: t.TempDir()}); len(problems) != 1 || problems.Errors() != 0 || !s.Gap.Auto {
		t.Errorf("%v", problems)
	}
}

// TestJSON: a file in JSON may write a character beyond the first 65,536 as a pair of escapes, as RFC 8259, section 7, has it (its own example
// is the G clef). Half a pair is none, and neither is what only looks like one.
func TestJSON(t *testing.T) {
	for text, want := range map[string]string{
		`{"type": {"font": "\uD834\uDD1E"}}`:                    "\U0001D11E",
		`{"type": {"font": "a\ud83d\ude00\ud83d\ude00\u00e9"}}`: "a😀😀é",
		`{"type": {"font": "a\\\\ud83d\\ude00"}}`:               `a\\ud83d\ude00`,
	} {
		if s := load(t, text); s.Type.Font != want {
			t.Errorf("%s: %q, want %q", text, s.Type.Font, want)
		}
	}
	if s := load(t, "\ufeff{\"type\": {\"font\": \"\\ud83d\\ude00\"}}"); s.Type.Font != "😀" {
		t.Errorf("behind a byte order mark: %q", s.Type.Font)
	}
	for _, bad := range []string{`\ud83d`, `\q`, `\u12`} {
		text := "{\n \"units\": \"in\",\n \"type\": {\"font\": \"a" + bad + "\"}\n}\n"
		if _, problems := Load(Source{File: write(t, t.TempDir(), text), Home: t.TempDir()}); problems.Errors() == 0 || problems[0].Place.Line != 3 {
			t.Errorf("%s: %v", text, problems)
		}
	}
	for _, text := range []string{`{"type": {"font": "\ud83d"}}`, `{"type": {"font": "\ud83d\u0041"}}`, `{"type": {"font": "\ude00\ud83d"}}`} {
		if _, problems := Load(Source{File: write(t, t.TempDir(), text), Home: t.TempDir()}); problems.Errors() == 0 || problems[0].Place.Line != 1 {
			t.Errorf("%s: %v", text, problems)
		}
	}
}

// TestSame: the same settings twice, however the maps of the environment and the flags are walked.
func TestSame(t *testing.T) {
	src := Source{Home: t.TempDir(), Flags: map[string]string{}}
	for _, k := range settingKeys {
		src.Flags[k.name+"x"] = "?"
		src.Env = append(src.Env, variable(k.name)+"=?")
	}
	_, first := Load(src)
	for range 20 {
		src.Flags = maps.Clone(src.Flags)
		if _, again := Load(src); !reflect.DeepEqual(first, again) {
			t.Fatalf("%v\n%v", first, again)
		}
	}
}

// TestTypeSizes: the ways to write the largest sizes and the scale.
func TestTypeSizes(t *testing.T) {
	const pt = measure.Point
	for text, want := range map[string][2]measure.Length{
		"text 11, caption 24": {11 * pt, 24 * pt}, "caption 24 pt; texts 11 pt": {11 * pt, 24 * pt}, "17,5": {35 * pt / 2, 35 * pt / 2},
		"caption 21": {12 * pt, 21 * pt}, "{text: 10.5, caption: 16}": {21 * pt / 2, 16 * pt}, "text 11 and caption 20": {11 * pt, 20 * pt},
	} {
		s := load(t, "type:\n  largest: "+text)
		if got := [2]measure.Length{s.Type.Largest, s.Type.Caption}; got != want {
			t.Errorf("%s: %v and %v pt", text, got[0].Points(), got[1].Points())
		}
	}
	for text, want := range map[string][]measure.Length{"any": nil, "8 9,5 12": {8 * pt, 19 * pt / 2, 12 * pt}, "[8, 10.5]": {8 * pt, 21 * pt / 2}, "8, 9, 10 pt": {8 * pt, 9 * pt, 10 * pt}} {
		if s := load(t, "type:\n  scale: "+text); !reflect.DeepEqual(s.Type.Scale, want) {
			t.Errorf("scale %s: %v", text, s.Type.Scale)
		}
	}
	s, _ := Load(Source{Home: t.TempDir()})
	for words, want := range map[int]measure.Length{1: 18 * pt, 25: 18 * pt, 26: 12 * pt} {
		if got := s.Type.LargestFor(words); got != want {
			t.Errorf("%d words: at most %v pt", words, got.Points())
		}
	}
}

// TestScissors: that there is no trimmer can be said in every way; then none of its limits holds, and the gap is wide unless another was asked for.
func TestScissors(t *testing.T) {
	for name, src := range map[string]Source{
		"short":    {File: write(t, t.TempDir(), "trimmer: none")},
		"long":     {File: write(t, t.TempDir(), "trimmer: {by: none, longest: 10, holds: 2, stack: 4}")},
		"variable": {Env: []string{"TUCKMARK_TRIMMER=none"}},
		"flag":     {Flags: map[string]string{"trimmer": "None"}},
		"long one": {Flags: map[string]string{"trimmer.by": "scissors"}},
	} {
		src.Home = t.TempDir()
		s, problems := Load(src)
		if len(problems) > 0 || s.Trimmer != (Trimmer{Stack: 1, Scissors: true}) || s.Gap != (Gap{true, 3 * measure.Inch / 8}) {
			t.Errorf("%s: %v %+v", name, problems, s)
		}
	}
	if s := load(t, "trimmer: none\nunits: mm"); s.Gap != (Gap{true, 10 * measure.Millimetre}) {
		t.Errorf("a metric gap is %+v", s.Gap)
	}
	for text, want := range map[string]Gap{"gap: 1/4": {false, measure.Inch / 4}, "gap: auto": {true, 3 * measure.Inch / 8}, "gap: auto 1/8": {true, measure.Inch / 8}, "gap: 0": {}, "gap: 1/32": {false, measure.Inch / 32}} {
		if s := load(t, "trimmer: none\n"+text); s.Gap != want {
			t.Errorf("%s: %+v", text, s.Gap)
		}
	}
	if s := load(t, "gap: auto"); s.Gap != (Gap{true, measure.Inch / 8}) {
		t.Errorf("gap: auto is %+v", s.Gap)
	}
	if _, problems := Load(Source{File: write(t, t.TempDir(), "trimmer: guillotine"), Home: t.TempDir()}); problems.Errors() != 1 {
		t.Errorf("a trimmer that is a word: %v", problems)
	}
}

// TestExamplesOfTheReadme: what the README shows to be written in a configuration can be written there so.
func TestExamplesOfTheReadme(t *testing.T) {
	text, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	examples := 0
	for _, m := range regexp.MustCompile("(?s)```yaml\n(.*?)```|`([a-z]+: [^`\n]*)`").FindAllStringSubmatch(string(text), -1) {
		written := m[1]
		switch name, _, _ := strings.Cut(m[2], ":"); {
		case name == "carrier": // of a stock
			written = "stocks:\n  - name: vellum\n    " + m[2] + "\n"
		case slices.ContainsFunc(settingKeys, func(k key[Settings]) bool { return k.name == name || strings.HasPrefix(k.name, name+".") }):
			written = m[2] + "\n"
		case m[1] == "":
			continue // of something else
		}
		examples++
		load(t, written)
	}
	if examples < 6 {
		t.Errorf("%d examples were found", examples)
	}
}
