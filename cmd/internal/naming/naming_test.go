package naming

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/text/cases"
	"golang.org/x/text/language"
	"golang.org/x/text/unicode/norm"
)

func TestRedoNames(t *testing.T) {
	for report, want := range map[string][2]string{
		"retreat-report.xlsx":          {"retreat-redo.pdf", "retreat-report-redo.xlsx"},
		"retreat-report-redo.xlsx":     {"retreat-redo-2.pdf", "retreat-report-redo-2.xlsx"},
		"retreat-report-redo-2.xlsx":   {"retreat-redo-3.pdf", "retreat-report-redo-3.xlsx"},
		"retreat-report-redo-9.xlsx":   {"retreat-redo-10.pdf", "retreat-report-redo-10.xlsx"},
		"a.b/what I call it.XLSX":      {"a.b/what I call it-redo.pdf", "a.b/what I call it-redo.xlsx"},
		"no-ending":                    {"no-ending-redo.pdf", "no-ending-redo.xlsx"},
		"./x/../retreat-report.xlsx":   {"retreat-redo.pdf", "retreat-report-redo.xlsx"},
		"report-redo-12345678901.xlsx": {"report-redo-12345678901-redo.pdf", "report-redo-12345678901-redo.xlsx"},
	} {
		pdf, next := ForRedo(filepath.FromSlash(report))
		if got := [2]string{filepath.ToSlash(pdf), filepath.ToSlash(next)}; got != want {
			t.Errorf("%s: %q, want %q", report, got, want)
		}
	}
}

// Names that people find: no folder's name is cut short, and none begins with a dot.
func TestBeside(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "summer.2026")
	for _, d := range []string{"jan.2026", "forms", ".late"} {
		if err := os.MkdirAll(filepath.Join(dir, d), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(dir)
	for path, want := range map[string]string{
		"retreat.xlsx": "retreat.pdf", "out/retreat.v2.csv": "out/retreat.v2.pdf", "forms": "forms.pdf", "forms/": "forms.pdf", "jan.2026": "jan.2026.pdf",
		"./jan.2026/": "jan.2026.pdf", "mar.2026": "mar.2026.pdf", ".": "summer.2026.pdf", "./": "summer.2026.pdf", "forms/..": "summer.2026.pdf",
		".late": "late.pdf", ".csv": "csv.pdf", "jan.2026/..": "summer.2026.pdf",
	} {
		if got := filepath.ToSlash(Beside(filepath.FromSlash(path), ".pdf")); got != want {
			t.Errorf("%s: %q, want %q", path, got, want)
		}
	}
	t.Chdir("forms")
	if got := filepath.ToSlash(Beside("..", ".pdf")); got != "../summer.2026.pdf" {
		t.Errorf("..: %q", got)
	}
}

// Names that no file system minds: no separators, no dots in front, nothing that Windows reserves, and not two alike.
func TestSafeNames(t *testing.T) {
	for name, want := range map[string]string{
		"vellum": "vellum", "Clear sticker": "clear-sticker", "../../etc/passwd": "etc-passwd", `C:\x*?"<>|`: "c-x", "  ": "unnamed",
		"Büttenpapier 120 g/m²": "büttenpapier-120-g-m", "": "unnamed",
		"Con": "con_", "AUX": "aux_", "nul.": "nul_", " LPT1 ": "lpt1_", "com¹": "com", "Connie": "connie", "Con Aux": "con-aux", "Jo. ": "jo",
		"Jose\u0301": "jos\u00e9", "\u0301x": "x", "हिन्दी": "हिन्दी",
	} {
		if got := Safe(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
	got := ForStocks("out/job.pdf", []string{"Vellum", "vellum!", "VELLUM", "Card", "étamine"})
	if want := []string{"out/job-vellum.pdf", "out/job-vellum-2.pdf", "out/job-vellum-3.pdf", "out/job-card.pdf", "out/job-étamine.pdf"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// Whatever names people have, their files are others' on any disk: case does not matter there, nor in which form letters are put together.
func TestDistinctNames(t *testing.T) {
	bits := []string{"a", "A", "é", "e\u0301", "É", "ß", "ss", "SS", "ﬁ", "fi", "σ", "ς", "Σ", "ſ", "s", "İ", "i", "ı", "I", "K", "\u212a", "å", "\u212b", " ", ".", "-", "2", "con", "NUL", "\u200d", "한", "\u1112\u1161\u11ab"}
	r := rand.New(rand.NewPCG(17, 5))
	for range 300 {
		var names []string
		for range 12 {
			name := ""
			for range 1 + r.IntN(3) {
				name += bits[r.IntN(len(bits))]
			}
			names = append(names, name)
		}
		seen := map[string]string{"list": "list.txt"}
		for i, file := range Distinct(names, "list") {
			for _, disk := range []string{strings.ToLower(file), strings.ToUpper(file), strings.ToLower(norm.NFD.String(file)), norm.NFC.String(strings.ToUpper(file)),
				cases.Fold().String(file), norm.NFD.String(cases.Fold().String(norm.NFD.String(file))), cases.Upper(language.Und).String(norm.NFD.String(file))} {
				if other, ok := seen[disk]; ok && other != names[i]+"\x00"+file {
					t.Fatalf("%q: %q and %q are one file: %q", names, names[i], other, disk)
				}
				seen[disk] = names[i] + "\x00" + file
			}
			if strings.TrimRight(file, ". ") != file || regexp.MustCompile(`(?i)^(con|nul)(\.|$)`).MatchString(file) || norm.NFC.String(file) != file {
				t.Errorf("%q gives %q", names[i], file)
			}
		}
	}
}

// TestDistinctNamesOfThousands: names that are alike in all that a file's name can have are numbered in moments, and names that only a disk takes
// for one as well.
func TestDistinctNamesOfThousands(t *testing.T) {
	var names []string
	for i := range 6000 {
		names = append(names, fmt.Sprintf("%s%04d", strings.Repeat("b", 62), i))
	}
	for i := range 1 << 12 {
		name := ""
		for k := range 12 {
			name += string([]rune("sſ")[i>>k&1])
		}
		names = append(names, name)
	}
	began := time.Now()
	files := Distinct(names)
	if took := time.Since(began); took > 3*time.Second {
		t.Errorf("%d names took %v", len(names), took)
	}
	seen := map[string]bool{}
	for _, f := range files {
		seen[cases.Fold().String(f)] = true
	}
	if len(seen) != len(names) || files[1] != strings.Repeat("b", 61)+"-2" {
		t.Errorf("%d of %d names are distinct; the second is %q", len(seen), len(names), files[1])
	}
}

func TestTitle(t *testing.T) {
	for path, want := range map[string]string{
		"retreat.pdf":             "retreat",
		"in/crop of may.2026.pdf": "crop of may.2026",
		"a\nb.xlsx":               "a b",
		"plain":                   "plain",
	} {
		if got := Title(path); got != want {
			t.Errorf("%q is called %q, want %q", path, got, want)
		}
	}
}
