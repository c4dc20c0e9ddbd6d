// Package intaketest has what the tests of intake and of the folders in it share: settings that do not change with the
// built-in ones, files and workbooks made on the spot, and problems as lines.
package intaketest

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Home is a configuration like the built-in one.
func Home() *config.Settings {
	letter := measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}
	sheets := []config.Sheet{{Size: letter, Count: -1}}
	white := config.Colour{R: 255, G: 255, B: 255}
	inset := measure.Same(measure.Inch / 8)
	return &config.Settings{
		Stocks: []config.Stock{
			{Name: "vellum", Sheets: sheets, Tuck: measure.Sides{Top: measure.Inch / 2}, Inset: inset, ShowsPage: true, Colour: white},
			{Name: "clear sticker", Sheets: sheets, Inset: inset, ShowsPage: true, Colour: white},
			{Name: "cardstock", Sheets: sheets, Inset: inset, Colour: config.Colour{R: 250, G: 245, B: 230}},
			{Name: "plain paper", Sheets: sheets, Inset: inset, Colour: white},
		},
		Default: "vellum",
		Advice:  config.Advice{Dates: true, People: true},
		Type:    config.Type{Font: "Serif", Smallest: 6 * measure.Point, Largest: 24 * measure.Point, Leading: 1.2},
	}
}

// Write writes files into a fresh folder and returns their paths: name, content, name, content, ... They have rested. A file that is read
// while it changes is tested with the command.
func Write(t testing.TB, files ...string) (paths []string) {
	t.Helper()
	dir := t.TempDir()
	for i := 0; i < len(files); i += 2 {
		p := filepath.Join(dir, files[i])
		if err := os.MkdirAll(filepath.Dir(p), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(p, []byte(files[i+1]), 0o666); err != nil {
			t.Fatal(err)
		}
		Rest(t, p)
		paths = append(paths, p)
	}
	return paths
}

// Rest makes a file an hour old, so that whoever reads it does not wait until it has settled.
func Rest(t testing.TB, path string) {
	t.Helper()
	then := time.Now().Add(-time.Hour)
	if err := os.Chtimes(path, then, then); err != nil {
		t.Fatal(err)
	}
}

// Rows makes CSV of rows, each a list of Heading=value; a value may be given for fewer columns than another row has.
// Name, Journaling, Width and Height are filled in where a row does not say.
func Rows(list ...[]string) string {
	headings := []string{"Name", "Journaling", "Width", "Height"}
	table := make([]map[string]string, len(list))
	for i, r := range list {
		table[i] = map[string]string{"Name": "Marie Kowalski", "Journaling": "Rain at the harbour with Odile, May 2026.",
			"Width": "4", "Height": "2"}
		for _, f := range r {
			h, v, _ := strings.Cut(f, "=")
			if !slices.Contains(headings, h) {
				headings = append(headings, h)
			}
			table[i][h] = v
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	_ = w.Write(headings)
	for _, r := range table {
		var out []string
		for _, h := range headings {
			out = append(out, r[h])
		}
		_ = w.Write(out)
	}
	w.Flush()
	return b.String()
}

// Say prints problems as lines, for comparing.
func Say(list problem.List) string {
	var b strings.Builder
	for _, p := range list {
		fmt.Fprintf(&b, "%s %s", p.Severity, p.Place.File)
		if p.Place.Sheet != "" {
			fmt.Fprintf(&b, "/%s", p.Place.Sheet)
		}
		if p.Place.Row > 0 {
			fmt.Fprintf(&b, " %d", p.Place.Row)
		}
		if p.Place.Cell != "" {
			fmt.Fprintf(&b, " %s", p.Place.Cell)
		}
		fmt.Fprintf(&b, ": %s\n", p.What)
	}
	return b.String()
}

// Head is the headings that a table needs at least.
var Head = []any{"Name", "Journaling", "Width", "Height"}

// Story is a text that nothing is wrong with.
const Story = "Rain at the harbour with Odile, May 2026."

// Saved makes a workbook with excelize, from one with an empty Sheet1, and returns its bytes.
func Saved(t testing.TB, fill func(f *excelize.File)) string {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	fill(f)
	return Bytes(t, f)
}

// Bytes are the bytes of a workbook.
func Bytes(t testing.TB, f *excelize.File) string {
	t.Helper()
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Put fills a sheet from its first row on.
func Put(t testing.TB, f *excelize.File, sheet string, rows ...[]any) {
	t.Helper()
	if i, err := f.GetSheetIndex(sheet); err != nil || i < 0 {
		if _, err := f.NewSheet(sheet); err != nil {
			t.Fatal(err)
		}
	}
	for i, r := range rows {
		if err := f.SetSheetRow(sheet, fmt.Sprintf("A%d", i+1), &r); err != nil {
			t.Fatal(err)
		}
	}
}

// Styled gives a cell a style.
func Styled(t testing.TB, f *excelize.File, sheet, cell string, s *excelize.Style) {
	t.Helper()
	id, err := f.NewStyle(s)
	if err != nil {
		t.Fatal(err)
	}
	if err := f.SetCellStyle(sheet, cell, cell, id); err != nil {
		t.Fatal(err)
	}
}

// Repack replaces parts of a zip archive, and adds those that it has not.
func Repack(t testing.TB, data string, parts map[string]string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		part, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if s, ok := parts[f.Name]; ok {
			_, _ = io.WriteString(part, s)
			continue
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.Copy(part, r)
	}
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		if slices.ContainsFunc(z.File, func(f *zip.File) bool { return f.Name == name }) {
			continue
		}
		part, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		_, _ = io.WriteString(part, parts[name])
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.String()
}
