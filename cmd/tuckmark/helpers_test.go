package main

import (
	"archive/zip"
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/press"
)

// often is how many cases a test draws: a tenth of the usual number in short tests and under the race detector.
func often(usually, many int) int {
	if testing.Short() || raced {
		usually = max(1, usually/10)
	}
	return longtests.Cases(usually, many)
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func put(t testing.TB, path, text string) {
	t.Helper()
	must(t, os.WriteFile(path, []byte(text), 0o644))
}

// tuckmark runs the command in this process.
func tuckmark(t testing.TB, args ...string) (code int, out, err string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, &o, &e)
	return code, o.String(), e.String()
}

// contents are the files of a folder; what is no file is there by its kind.
func contents(t testing.TB, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	must(t, err)
	all := map[string]string{}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			all[e.Name()] = e.Type().String()
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		must(t, err)
		all[e.Name()] = string(data)
	}
	return all
}

// subprocess is the built command, with signals and all.
func subprocess(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	program, err := exec.LookPath("tuckmark") // the test binary under another name
	must(t, err)
	c := exec.Command(program, args...)
	return c
}

// earlier is a small file that an earlier run may have written under a name, and that nobody has changed since.
func earlier(t testing.TB, name string) string {
	t.Helper()
	switch filepath.Ext(name) {
	case ".pdf":
		var pdf bytes.Buffer
		page := press.Page{Size: measure.Size{W: measure.Inch, H: measure.Inch}}
		must(t, press.Write(&pdf, press.Document{Title: "old " + name, Language: "en", Sections: []press.Section{{Title: "old", Pages: []press.Page{page}}}}, nil))
		return pdf.String()
	case ".json":
		return string(save.Sealed([]byte("{\n \"plan\": 1,\n \"pieces\": [],\n \"old\": \"" + name + "\"\n}\n")))
	case ".html":
		return string(save.Sealed([]byte("<!DOCTYPE html>\n<title>Proof: old " + name + "</title>\n")))
	}
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	about := ""
	if strings.HasPrefix(name, "marked") {
		about = "Rows of these files:&#xA;old.csv"
	}
	for _, p := range []part{
		{"xl/workbook.xml", []byte(`<workbook><sheets><sheet name="Blocks"/><sheet name="Leftovers"/><sheet name="Cuts"/></sheets></workbook>`)},
		{"docProps/core.xml", []byte("<coreProperties xmlns=\"http://schemas.openxmlformats.org/package/2006/metadata/core-properties\"><description>" + about + "</description></coreProperties>")},
	} {
		w, err := z.Create(p.name)
		must(t, err)
		_, err = w.Write(p.data)
		must(t, err)
	}
	must(t, z.Close())
	return string(save.Sealed(b.Bytes()))
}
