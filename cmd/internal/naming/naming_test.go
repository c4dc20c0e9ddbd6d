package naming

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
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
