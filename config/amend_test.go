package config

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestAmend: a value is written where it belongs, and every other character stays as it was.
func TestAmend(t *testing.T) {
	for _, c := range []struct{ name, before, keys, value, after string }{
		{"a new file", "", "trimmer longest", "15 in", "trimmer:\n  longest: 15 in\n"},
		{"remarks alone", "# mine\n", "trimmer longest", "15 in", "# mine\ntrimmer:\n  longest: 15 in\n"},
		{"no line end", "units: in", "trimmer longest", "15 in", "units: in\ntrimmer:\n  longest: 15 in\n"},
		{"in place", "trimmer:\n  longest: 12 in   # the old one\n\n# more\nunits: in\n", "trimmer longest", "15 in", "trimmer:\n  longest: 15 in   # the old one\n\n# more\nunits: in\n"},
		{"in quotes", "trimmer:\n  longest: \"12 in\" # x\n", "trimmer longest", "15 in", "trimmer:\n  longest: 15 in # x\n"},
		{"on one line", "trimmer: {longest: 12 in, holds: 1}\n", "trimmer longest", "15 in", "trimmer: {longest: 15 in, holds: 1}\n"},
		{"the last on one line", "trimmer: {longest: 12 in, holds: 1 } # x\n", "trimmer holds", "2", "trimmer: {longest: 12 in, holds: 2 } # x\n"},
		{"a key more", "trimmer:\n  # of Ann\n  longest: 12 in\n", "trimmer holds", "2", "trimmer:\n  # of Ann\n  holds: 2\n  longest: 12 in\n"},
		{"a key more on one line", "trimmer: {longest: 12 in}\n", "trimmer holds", "2", "trimmer: {holds: 2, longest: 12 in}\n"},
		{"by name", "printers:\n  - name: small # strips\n    widest: 4\n  - name: office\n    widest: 8 1/2\n", "printers office widest", "9 in", "printers:\n  - name: small # strips\n    widest: 4\n  - name: office\n    widest: 9 in\n"},
		{"by name, a key more", "printers:\n  - name: small # strips\n    widest: 4\n", "printers small longest", "9 in", "printers:\n  - longest: 9 in\n    name: small # strips\n    widest: 4\n"},
		{"a whole mapping", "printers:\n  - name: small\n    margins: {left: 1/8, top: 1/8} # x\n", "printers small margins", "{left: 1/4}", "printers:\n  - name: small\n    margins: {left: 1/4} # x\n"},
		{"Windows' line ends", "trimmer:\r\n  longest: 12 in\r\n", "trimmer longest", "15 in", "trimmer:\r\n  longest: 15 in\r\n"},
		{"trimmer: none", "trimmer: none # lent out\n", "trimmer by", "marks", "trimmer: {by: marks} # lent out\n"},
		{"trimmer: None", "units: in\ntrimmer: \"None\"\n", "trimmer by", "measure", "units: in\ntrimmer: {by: measure}\n"},
		{"an empty mapping", "costs: {}\n", "costs ink", "3.50", "costs: {ink: 3.50}\n"},
		{"a key that reads as something else", "costs:\n  ink: 1\n", "costs 2nd:class", "4.80", "costs:\n  \"2nd:class\": 4.80\n  ink: 1\n"},
		{"a key of capitals", "Trimmer:\n  LONGEST: 12 in # x\n", "trimmer longest", "15 in", "Trimmer:\n  LONGEST: 15 in # x\n"},
		{"a name of capitals", "printers: [{Name: Small, widest: 4}]\n", "printers small widest", "5", "printers: [{Name: Small, widest: 5}]\n"},
		{"a cost of capitals", "costs:\n  Ink: 3.50\n  glue: 1\n", "costs ink", "4", "costs:\n  Ink: 4\n  glue: 1\n"},
		{"a cost of capitals now", "costs:\n  \" Ink\": 3.50\n  glue: 1\n", "costs INK", "4", "costs:\n  \" Ink\": 4\n  glue: 1\n"},
		{"letters of two bytes before", "# é\nprinters: [{name: é, widest: 4}]\n", "printers é widest", "5", "# é\nprinters: [{name: é, widest: 5}]\n"},
	} {
		got, err := Amend([]byte(c.before), []Amendment{{Keys: strings.Fields(c.keys), Value: c.value}})
		if err != nil || string(got) != c.after {
			t.Errorf("%s: %v\n%q\nnot\n%q", c.name, err, got, c.after)
		}
	}
	for _, c := range []struct{ name, before, keys, key, after string }{
		{"a key renamed", "costs:\n  tea: 1\n  ink: 3.50 # two\n", "costs ink", "Ink, black", "costs:\n  tea: 1\n  \"Ink, black\": 4 # two\n"},
		{"a key with a comma", "costs:\n  ink: 1\n  tea, black: 3.50 # r\n", "costs tea,_black", "TEA", "costs:\n  ink: 1\n  TEA: 4 # r\n"},
		{"the letters of a key", "costs: {\"ink\": 3.50, tea: 1}\n", "costs INK", "Ink", "costs: {Ink: 4, tea: 1}\n"},
		{"a key of two bytes", "costs:\n  é: 3.50\n  tea: 1\n", "costs É", "e", "costs:\n  e: 4\n  tea: 1\n"},
	} {
		keys := strings.Fields(c.keys)
		keys[1] = strings.ReplaceAll(keys[1], "_", " ")
		got, err := Amend([]byte(c.before), []Amendment{{Keys: keys, Value: "4", Key: c.key}})
		if err != nil || string(got) != c.after {
			t.Errorf("%s: %v\n%q\nnot\n%q", c.name, err, got, c.after)
		}
	}
	for _, c := range []struct{ name, before, after string }{
		{"the first", "units: in\n", "units: in\ncolumns:\n  - \"A = B\"\n"},
		{"one more", "columns:\n  # told\n  - X = Width\n", "columns:\n  # told\n  - \"A = B\"\n  - X = Width\n"},
		{"one more at the margin", "columns:\n- X = Width\n", "columns:\n- \"A = B\"\n- X = Width\n"},
		{"on one line", "columns: [X = Width]\n", "columns: [\"A = B\", X = Width]\n"},
		{"in an empty list", "columns: []\n", "columns: [\"A = B\"]\n"},
	} {
		got, err := Amend([]byte(c.before), []Amendment{{Keys: []string{"columns"}, Value: Typed("A = B"), Add: true}})
		if err != nil || string(got) != c.after {
			t.Errorf("%s: %v\n%q\nnot\n%q", c.name, err, got, c.after)
		}
	}
	for _, c := range []struct{ before, keys string }{{"trimmer: &a\n  longest: 1\nx: *a\n", "x longest extra"}, {"trimmer: 5\n", "trimmer longest"}, {"trimmer: 5\n", "trimmer by"}, {"trimmer: none\n", "trimmer longest"}, {"a: [\n", "trimmer longest"}, {"trimmer:\n  longest: >-\n    12\n    in\n", "trimmer longest"},
		{"printers:\n  - name: a\n", "printers b widest"}, {"units: in\n", "printers b widest"}, {"", "printers b widest"}} {
		if got, err := Amend([]byte(c.before), []Amendment{{Keys: strings.Fields(c.keys), Value: "1"}}); err == nil {
			t.Errorf("%q: %s became %q", c.before, c.keys, got)
		}
	}
}

// TestAmendRemoves: what is taken out goes with its line or its comma, and every other character stays as it was.
func TestAmendRemoves(t *testing.T) {
	for _, c := range []struct{ name, before, keys, after string }{
		{"a line", "costs:\n  # of Ann\n  ink: 3.50 # two\n  glue: 1\nunits: in\n", "costs ink", "costs:\n  # of Ann\n  glue: 1\nunits: in\n"},
		{"the last line", "costs:\n  ink: 3.50\n  \"a, b\": 1 by block", "costs a,_b", "costs:\n  ink: 3.50\n"},
		{"the only line", "costs:\n  ink: 3.50 # two\nunits: in\n", "costs ink", "costs:\n  {} # two\nunits: in\n"},
		{"a line of capitals", "costs:\n  Ink: 3.50 # two\n  \"Ink  2\": 2\n  glue: 1\n", "costs ink_2", "costs:\n  Ink: 3.50 # two\n  glue: 1\n"},
		{"the only line of capitals", "costs:\n  Postage: 4.80\n", "costs postage", "costs:\n  {}\n"},
		{"the first on one line", "costs: {ink: 3.50, glue: 1 } # x\n", "costs ink", "costs: {glue: 1 } # x\n"},
		{"the last on one line", "costs: {ink: 3.50 , glue: \"1\" } # x\n", "costs glue", "costs: {ink: 3.50  } # x\n"},
		{"the only one on one line", "costs: {ink: 3.50}\n", "costs ink", "costs: {}\n"},
	} {
		keys := strings.Fields(c.keys)
		keys[1] = strings.ReplaceAll(keys[1], "_", " ")
		got, err := Amend([]byte(c.before), []Amendment{{Keys: keys, Remove: true}})
		if err != nil || string(got) != c.after {
			t.Errorf("%s: %v\n%q\nnot\n%q", c.name, err, got, c.after)
		}
	}
	for _, c := range []struct{ before, keys string }{{"costs:\n  glue: 1\n", "costs ink"}, {"", "costs ink"}, {"costs:\n  ink: >-\n    3\n  glue: 1\n", "costs ink"}, {"costs: [ink = 1]\n", "costs ink"}} {
		if got, err := Amend([]byte(c.before), []Amendment{{Keys: strings.Fields(c.keys), Remove: true}}); err == nil {
			t.Errorf("%q: without %s it became %q", c.before, c.keys, got)
		}
	}
}

// TestAmendReads: what is written is read again as the setting, in the sample's configuration with all its remarks.
func TestAmendReads(t *testing.T) {
	data, err := os.ReadFile("../samples/two-printers.yaml")
	if err != nil {
		t.Fatal(err)
	}
	got, err := Amend(data, []Amendment{{Keys: []string{"printers", "small", "widest"}, Value: "4 1/4 in"}, {Keys: []string{"printers", "office", "margins", "bottom"}, Value: "3/4 in"},
		{Keys: []string{"trimmer", "longest"}, Value: "15 in"}, {Keys: []string{"columns"}, Value: Typed(`Inches "across" = Width`), Add: true}})
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "tuckmark.yaml")
	if err := os.WriteFile(file, got, 0o600); err != nil {
		t.Fatal(err)
	}
	s, found := Load(Source{File: file})
	if found.Errors() > 0 {
		t.Fatalf("%v\n%s", found, got)
	}
	if s.Printers[0].Widest.Format(s.Unit) != "4 1/4 in" || s.Printers[1].Margins.Bottom.Format(s.Unit) != "3/4 in" || s.Trimmer.Longest.Format(s.Unit) != "15 in" || len(s.Columns) != 1 || s.Columns[0].Heading != `Inches "across"` {
		t.Errorf("%+v %+v %+v", s.Printers, s.Trimmer, s.Columns)
	}
	if strings.Count(string(got), "#") != strings.Count(string(data), "#") {
		t.Error("a remark is lost")
	}
}

// FuzzAmend: a file that can be amended can be read, and has the value; nothing panics.
func FuzzAmend(f *testing.F) {
	for _, s := range []string{"", "trimmer:\n  longest: 12 in # x\n", "trimmer: {longest: 1}", "trimmer:\n", "- a\n", "trimmer: 'a'\n", "trimmer: \"a\\\n b\"\n", "? trimmer\n: {longest: 1}\n"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := Amend([]byte(text), []Amendment{{Keys: []string{"trimmer", "longest"}, Value: "15 in"}})
		if err != nil {
			return
		}
		again, err := Amend(got, []Amendment{{Keys: []string{"trimmer", "longest"}, Value: "15 in"}})
		if err != nil || string(again) != string(got) {
			t.Errorf("%q became %q, and then %q, %v", text, got, again, err)
		}
	})
}
