package main

import (
	"path/filepath"
	"slices"
	"testing"

	"tuckmark/impose/press"
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
		pdf, next := redoNames(filepath.FromSlash(report))
		if got := [2]string{filepath.ToSlash(pdf), filepath.ToSlash(next)}; got != want {
			t.Errorf("%s: %q, want %q", report, got, want)
		}
	}
}

// Names that no file system minds: no separators, no dots in front, nothing that Windows reserves, and not two alike.
func TestSafeNames(t *testing.T) {
	for name, want := range map[string]string{
		"vellum": "vellum", "Clear sticker": "clear-sticker", "../../etc/passwd": "etc-passwd", `C:\x*?"<>|`: "c-x", "  ": "unnamed",
		"Büttenpapier 120 g/m²": "büttenpapier-120-g-m", "": "unnamed",
	} {
		if got := safeName(name); got != want {
			t.Errorf("%q: %q, want %q", name, got, want)
		}
	}
	got := apart("out/job.pdf", []press.Section{{Title: "Vellum"}, {Title: "vellum!"}, {Title: "VELLUM"}, {Title: "Card"}})
	if want := []string{"out/job-vellum.pdf", "out/job-vellum-2.pdf", "out/job-vellum-3.pdf", "out/job-card.pdf"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestNearCodes(t *testing.T) {
	codes := []string{"MK-1", "MK-2", "MK-12", "AO-1"}
	for typed, want := range map[string][]string{
		"MK-22": {"MK-2", "MK-12"}, "mk2": {"MK-2", "MK-1", "MK-12"}, "A0-1": {"AO-1"}, "nothing like it": nil,
	} {
		if got := nearCodes(typed, codes); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", typed, got, want)
		}
	}
}
