package main

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/intake/intaketest"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// The sample workbook with bytes changed, in the file and in the XML inside it: 5,000 of them with LONG_TESTS=1. Each is
// refused with what to do, or read with nothing lost that is not told; none takes long or much.

type answerJSON struct {
	Problems []struct{ Severity, What, Hint, File string }
	Blocks   int
	Held     int
}

func checked(t *testing.T, path string) (answerJSON, int, string) {
	t.Helper()
	code, out, err := tuckmark(t, "check", "--json", "--effort", "1", path) // how well it is packed does not matter
	var a answerJSON
	if e := json.Unmarshal([]byte(out), &a); e != nil {
		t.Fatalf("the answer is no JSON: %v\n%s%s", e, out, err)
	}
	return a, code, err
}

func TestMutatedWorkbook(t *testing.T) {
	sample, err := os.ReadFile(filepath.Join(root, "samples", "retreat.xlsx"))
	must(t, err)
	parts := unzip(t, sample)
	path := filepath.Join(t.TempDir(), "mutated.xlsx")
	must(t, os.WriteFile(path, sample, 0o644))
	whole, _, _ := checked(t, path)
	why := map[string]int{}
	if whole.Blocks < 20 {
		t.Fatalf("the sample has %d blocks", whole.Blocks)
	}
	r := rand.New(rand.NewPCG(5000, 8))
	refused, complained, same := 0, 0, 0
	worst, most := time.Duration(0), uint64(0)
	for n := range often(200, 5000) {
		var data []byte
		what := "bytes"
		if n%3 == 0 {
			data = mutate(r, sample)
		} else {
			what, data = mutateXML(t, r, parts)
		}
		must(t, os.WriteFile(path, data, 0o644))
		intaketest.Rest(t, path)
		began, before := time.Now(), allocated()
		a, code, said := checked(t, path)
		took, took2 := time.Since(began), allocated()-before
		worst, most = max(worst, took), max(most, took2)
		fail := func(format string, args ...any) {
			t.Helper()
			kept := filepath.Join(os.TempDir(), fmt.Sprintf("tuckmark-mutated-%d.xlsx", n))
			_ = os.WriteFile(kept, data, 0o644)
			t.Errorf("case %d (%s), kept as %s: %s", n, what, kept, fmt.Sprintf(format, args...))
		}
		if strings.Contains(said, "should not happen") || strings.Contains(said, "panic") {
			fail("%s", said)
		}
		if took > 10*time.Second {
			fail("it took %v", took)
		}
		for _, p := range a.Problems {
			if p.Severity == "error" && p.Hint == "" || libraryText.MatchString(p.What) {
				fail("a problem that does not help: %+v", p)
			}
		}
		switch {
		case a.Blocks == 0 && a.Held == 0:
			refused++
			why[a.Problems[0].What]++
			if code == exitDone {
				fail("nothing was read, and no word about it")
			}
		case code != exitDone || len(a.Problems) != len(whole.Problems):
			complained++
		default:
			same++
			if a.Blocks+a.Held != whole.Blocks+whole.Held {
				fail("%d blocks and %d held, not %d and %d, and no word about it", a.Blocks, a.Held, whole.Blocks, whole.Held)
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	t.Logf("%v\n%d refused, %d with other problems, %d with the same; at most %v and %d MB allocated in one, %d MB held by the process", why, refused, complained, same, worst, most>>20, m.Sys>>20)
	if m.Sys > 300<<20 && !raced {
		t.Errorf("the process holds %d MB", m.Sys>>20)
	}
	if refused == 0 || same == 0 {
		t.Error("the cases are not of all kinds")
	}
}

func allocated() uint64 {
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.TotalAlloc
}

// libraryText is what the errors of libraries look like.
var libraryText = regexp.MustCompile(`(?i)zip:|xml:|EOF|strconv|runtime error|invalid character|\bnil\b|goroutine|excelize`)

type part struct {
	name string
	data []byte
}

func unzip(t *testing.T, data []byte) []part {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	must(t, err)
	var out []part
	for _, f := range z.File {
		in, err := f.Open()
		must(t, err)
		text, err := io.ReadAll(in)
		must(t, err)
		in.Close()
		out = append(out, part{f.Name, text})
	}
	return out
}

// mutate changes, removes, doubles or swaps some bytes.
func mutate(r *rand.Rand, data []byte) []byte {
	out := slices.Clone(data)
	for range 1 + r.IntN(4) {
		if len(out) < 2 {
			break
		}
		at := r.IntN(len(out))
		n := min(1+r.IntN(40), len(out)-at)
		switch r.IntN(5) {
		case 0:
			out[at] = byte(r.IntN(256))
		case 1:
			out = slices.Delete(out, at, at+n)
		case 2:
			out = slices.Insert(out, at, slices.Clone(out[at:at+n])...)
		case 3:
			out = out[:at]
		case 4:
			other := r.IntN(len(out) - n + 1)
			copy(out[other:other+n], slices.Clone(out[at:at+n]))
		}
	}
	return out
}

// The tokens that are changed: tags and all, or only what stands in them and between them.
var xmlToken, xmlValue = regexp.MustCompile(`<[^>]*>|"[^"]*"|[0-9]+`), regexp.MustCompile(`[A-Z]*[0-9]+`)

var oddValues = []string{"0", "1", "-1", "7", "999", "99999999999999999999", "1048577", "XFE1", "A0", "A1", "s", "inlineStr", "str", "e", "b", "NaN", "1e400", "&#10;", "&#0;", "true"}

// oddTokens are put in the place of tags, values and numbers.
var oddTokens = []string{"", "0", "-1", "99999999999999999999", "1048577", "XFE1", "A0", `""`, `"NaN"`, "<", "</row>", "<c>", "<v>1e400</v>", "<row/>", "<si><t>x</t></si>", "&#0;", "&lt;", "&nope;",
	`<!DOCTYPE a [<!ENTITY b "bbbb">]>`, "\x00", "\xff\xfe", "<!--", "]]>", "<f>1+1</f>", `<mergeCell ref="A1:XFD1048576"/>`}

// mutateXML changes tags, attribute values and numbers of one part inside the workbook, and packs it anew.
func mutateXML(t *testing.T, r *rand.Rand, parts []part) (what string, data []byte) {
	t.Helper()
	at := r.IntN(len(parts))
	if cells := slices.IndexFunc(parts, func(p part) bool {
		return strings.Contains(p.name, []string{"sheet1.xml", "sharedStrings", "styles"}[r.IntN(3)])
	}); cells >= 0 && r.IntN(2) == 0 {
		at = cells
	}
	changed := slices.Clone(parts)
	what = parts[at].name
	text := string(parts[at].data)
	token, odd := xmlToken, oddTokens
	if r.IntN(3) > 0 {
		token, odd = xmlValue, oddValues
	}
	for range 1 + r.IntN(3) {
		found := token.FindAllStringIndex(text, -1)
		if len(found) == 0 {
			break
		}
		a, b := found[r.IntN(len(found))], found[r.IntN(len(found))]
		switch r.IntN(3) {
		case 0:
			text = text[:a[0]] + odd[r.IntN(len(odd))] + text[a[1]:]
		case 1:
			text = text[:a[0]] + text[b[0]:b[1]] + text[a[1]:]
		case 2:
			text = text[:a[0]] + text[a[1]:]
		}
	}
	changed[at].data = []byte(text)
	if r.IntN(30) == 0 {
		changed = slices.Delete(changed, at, at+1)
	}
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, p := range changed {
		f, err := w.Create(p.name)
		must(t, err)
		_, err = f.Write(p.data)
		must(t, err)
	}
	must(t, w.Close())
	return what, b.Bytes()
}

// hostile is what somebody may type to get more than ink out of a cell.
var hostile = []string{
	`=HYPERLINK("http://example.invalid/","click")`, `=cmd|' /C calc'!A0`, `+1+1`, `-2+3`, `@SUM(A1:A9)`, "\t=1+1",
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `</script><script>alert(1)</script>`, `javascript:alert(1)`, `{{.}}`, `<!--`, `]]>`,
	`) Tj ET Q /JS (app.alert(1)) BT (`, `(((`, `\`, `endstream endobj`, `>> /OpenAction << /S /JavaScript`, `%%EOF`,
	`../../../etc/passwd`, `/etc/passwd`, `C:\Windows\win.ini`, `file:///etc/passwd`, `$(touch pwned)`, "`touch pwned`", `%n%s%d`, `&amp;&lt;`,
}

// Cells are text and nothing else: no formula in the report, no markup in the proof, no operator in the PDF, no file anywhere
// but where it was asked for.
func TestCellsAreOnlyText(t *testing.T) {
	dir := t.TempDir()
	in := filepath.Join(dir, "in")
	must(t, os.MkdirAll(in, 0o755))
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"Name", "Page", "Title", "Journaling", "Width", "Height", "Stock", "Who", "Where", "When", "Note"}}
	for i, h := range hostile {
		rows = append(rows, []string{fmt.Sprintf("%s %d", h, i), h, h, "It says: " + h, "5", "3", "vellum", h, h, "4 July 2026", h})
	}
	must(t, w.WriteAll(rows))
	path := filepath.Join(in, "hostile.csv")
	must(t, os.WriteFile(path, b.Bytes(), 0o644))
	out := filepath.Join(dir, "out")
	must(t, os.Mkdir(out, 0o755))
	pdf, report, proof, marked := filepath.Join(out, "h.pdf"), filepath.Join(out, "h-report.xlsx"), filepath.Join(out, "h.html"), filepath.Join(out, "m.xlsx")
	code, said, err := tuckmark(t, "make", path, "--hold-back", "-o", pdf)
	if code != exitDone && code != exitInput || strings.Contains(said, "Nothing was written") {
		t.Fatalf("exit status %d: %s%s", code, said, err)
	}
	if code, _, err := tuckmark(t, "proof", path, "-o", proof); code != exitDone && code != exitInput {
		t.Fatal(err)
	}
	if code, _, err := tuckmark(t, "check", path, "-o", marked); code != exitDone && code != exitInput {
		t.Fatal(err)
	}
	var made []string
	must(t, filepath.WalkDir(dir, func(p string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			made = append(made, filepath.Base(p))
		}
		return err
	}))
	if slices.Sort(made); !slices.Equal(made, []string{"h-report.xlsx", "h.html", "h.pdf", "hostile.csv", "m.xlsx"}) {
		t.Errorf("there are %v", made)
	}

	for _, book := range []string{report, marked} {
		data, err := os.ReadFile(book)
		must(t, err)
		found := false
		for _, p := range unzip(t, data) {
			if strings.Contains(p.name, "external") || strings.Contains(p.name, "vba") {
				t.Errorf("%s has a part %s", filepath.Base(book), p.name)
			}
			for _, f := range regexp.MustCompile(`<f>[^<]*</f>|<hyperlink[^>]*>|TargetMode="External"`).FindAllString(string(p.data), -1) {
				for _, h := range append(slices.Clone(hostile), "HYPERLINK", "cmd", "External", "<hyperlink") {
					if strings.Contains(f, h) && len(h) > 3 {
						t.Errorf("%s, %s: %s", filepath.Base(book), p.name, f)
					}
				}
			}
			found = found || bytes.Contains(p.data, []byte("=HYPERLINK("))
		}
		if !found {
			t.Errorf("%s does not have the text that looks like a formula", filepath.Base(book))
		}
	}

	page, e := os.ReadFile(proof)
	must(t, e)
	for _, bad := range []string{"<script>alert", "<img src=x", "onerror=alert(1)>", "<!--\"", `href="javascript`, `href="file`} {
		if bytes.Contains(page, []byte(bad)) {
			t.Errorf("the proof has %s", bad)
		}
	}
	if !bytes.Contains(page, []byte("alert(1)")) {
		t.Error("the proof does not show the text that looks like markup")
	}

	// The PDF has no action: pdfcpu, which the writer does not use for text, walks all its objects.
	data, e := os.ReadFile(pdf)
	must(t, e)
	doc, e := api.ReadAndValidate(bytes.NewReader(data), model.NewDefaultConfiguration())
	must(t, e)
	pages, files := 0, 0
	for n, entry := range doc.Table {
		if entry == nil || entry.Object == nil {
			continue
		}
		text := entry.Object.PDFString()
		if regexp.MustCompile(`/(JS|JavaScript|Launch|URI|OpenAction|AA)\b`).MatchString(text) {
			t.Errorf("object %d: %.200s", n, text)
		}
		if regexp.MustCompile(`/EmbeddedFile\b`).MatchString(text) { // the plan, which is data
			if files++; files > 1 || !strings.Contains(text, "/Subtype/application#2fjson") {
				t.Errorf("object %d: %.200s", n, text)
			}
		}
		// A page's content is operators of drawing and codes of glyphs; no text from a cell stands in it as it was typed.
		if stream, ok := entry.Object.(types.StreamDict); ok && stream.Type() == nil && stream.Decode() == nil && bytes.Contains(stream.Content, []byte("\nET\n")) {
			pages++
			rest := regexp.MustCompile(`<[0-9A-Fa-f]*>`).ReplaceAllString(string(stream.Content), " 0 ")
			for _, word := range strings.FieldsFunc(rest, func(r rune) bool { return strings.ContainsRune(" \n[]", r) }) {
				if !drawing.MatchString(word) {
					t.Errorf("object %d has %q in its content", n, word)
				}
			}
		}
	}
	if pages == 0 {
		t.Error("no page's content was seen")
	}
}

// drawing is what may stand in the content of a page.
var drawing = regexp.MustCompile(`^(-?[0-9]*\.?[0-9]+|[qQwdmlSfWn]|re|cm|rg|RG|[gGhc]|BT|ET|Tf|Tm|TJ|BDC|EMC|/F[0-9]+|/Span<</ActualText|>>BDC)$`)

// What came out of a cell, or a file's name, does not steer the terminal.
func TestCellsDoNotSteerTheTerminal(t *testing.T) {
	const escape = "\x1b]0;pwned\x07\x1b[2J\u009b31m"
	dir := t.TempDir()
	path := filepath.Join(dir, "week "+strings.ReplaceAll(escape, "/", "")+".csv")
	put(t, path, "Name,Journaling,Width,Height,Stock,Font,When\nOdile"+escape+",Plums.,wide"+escape+",2,vell"+escape+"um,"+escape+",4 July 2026\n")
	for _, args := range [][]string{{"check", dir}, {"make", path}, {"note", "--space", "4 x 2", "--stock", "nothing" + escape, "Plums."}} {
		code, out, err := tuckmark(t, args...)
		if code == exitDone || strings.ContainsAny(out+err, "\x1b\x07\u009b") {
			t.Errorf("%q: exit status %d, %q%q", args, code, out, err)
		}
	}
}

// The name of a font is never the name of a file, and what a configuration names is only read.
func TestNamesAreNotPaths(t *testing.T) {
	dir := t.TempDir()
	shared := filepath.Join(dir, "shared")
	must(t, os.Mkdir(shared, 0o755))
	secret := filepath.Join(dir, "Secret.ttf")
	font, err := os.ReadFile(someFont(t))
	must(t, err)
	must(t, os.WriteFile(secret, font, 0o644))
	for _, name := range []string{secret, "../Secret.ttf", "..\\Secret.ttf", "file://" + secret, "Secret", "$HOME", "~"} {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		must(t, w.WriteAll([][]string{{"Name", "Journaling", "Width", "Height", "Font", "When"}, {"Odile", "Plums.", "4", "2", name, "4 July 2026"}}))
		job := filepath.Join(shared, "job.csv")
		must(t, os.WriteFile(job, b.Bytes(), 0o644))
		if code, _, said := tuckmark(t, "check", job); code != exitInput && !strings.Contains(said, "no font") {
			t.Errorf("font %q: exit status %d, %s", name, code, said)
		}
	}
	// A configuration that lies with the forms can name stocks that look like paths; the files made are where they were asked for.
	must(t, os.WriteFile(filepath.Join(shared, "tuckmark.yaml"), []byte("stocks:\n  - name: ../../outside\n    sheets: [{size: 8 1/2 x 11}]\n  - name: vellum\n    sheets: [{size: 8 1/2 x 11}]\n"), 0o644))
	must(t, os.WriteFile(filepath.Join(shared, "job.csv"), []byte("Name,Journaling,Width,Height,Stock,When\nOdile,Plums.,4,2,../../outside,4 July 2026\n../../up,Plums.,4,2,vellum,4 July 2026\n"), 0o644))
	if code, said, e := tuckmark(t, "make", filepath.Join(shared, "job.csv"), "--split", "--hold-back", "-o", filepath.Join(shared, "job.pdf")); strings.Contains(said, "Nothing was written") {
		t.Errorf("exit status %d: %s%s", code, said, e)
	}
	inside, outside := contents(t, shared), contents(t, dir)
	if len(outside) != 2 || inside["job-outside.pdf"] == "" {
		t.Errorf("outside are %d files, inside %d", len(outside), len(inside))
	}
	for _, key := range []string{"output", "report", "plan", "command", "run", "exec", "hook", "include"} {
		must(t, os.WriteFile(filepath.Join(shared, "tuckmark.yaml"), []byte(key+": /tmp/anywhere\n"), 0o644))
		if code, _, said := tuckmark(t, "make", filepath.Join(shared, "job.csv")); code != exitUsage || !strings.Contains(said, key) {
			t.Errorf("a configuration with %s: exit status %d, %s", key, code, said)
		}
	}
}

func someFont(t *testing.T) string {
	t.Helper()
	for _, p := range []string{"/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf"} {
		if _, err := os.Stat(p); err == nil {
			return p
		}
	}
	found := ""
	_ = filepath.WalkDir("/usr/share/fonts", func(p string, d os.DirEntry, err error) error {
		if err == nil && strings.HasSuffix(p, ".ttf") {
			found = p
			return filepath.SkipAll
		}
		return nil
	})
	if found == "" {
		t.Skip("there is no font file at hand")
	}
	return found
}
