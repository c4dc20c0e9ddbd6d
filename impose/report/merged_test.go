package report

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// TestManyMergedCells: a report into which somebody has put more merged cells than are kept in reasonable time is refused before anything is laid, with the sheet and what to do;
// fewer of them are kept.
func TestManyMergedCells(t *testing.T) {
	s := builtInSettings(t)
	in := lay(t, odd(s)[:3], nil, s)
	first, err := os.ReadFile(reportFile(t, in))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		cells map[string]int // by sheet
		tag   string
		want  string
	}{
		{map[string]int{Texts: mostMerged - 1, blocksSheet: 1}, "mergeCell", ""},
		{map[string]int{Texts: mostMerged + 1}, "mergeCell", "sheet Texts the report has 1001 merged cells, 1001 of them in this sheet"},
		{map[string]int{Texts: 400, blocksSheet: 601}, "mergeCell\n", "sheet Blocks the report has 1001 merged cells, 601 of them in this sheet"},
		{map[string]int{cutsSheet: mostMerged + 1}, "x:mergeCell", "sheet Cuts the report has 1001 merged cells"},
	} {
		parts := map[string]string{}
		for sheet, n := range c.cells {
			name, part := partOf(t, first, sheet)
			var cells strings.Builder
			for i := range n {
				fmt.Fprintf(&cells, `<%s ref="AA%d:AB%[2]d"/>`, c.tag, 1000+i)
			}
			parts[name] = strings.Replace(part, "</sheetData>", `</sheetData><mergeCells xmlns:x="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`+cells.String()+"</mergeCells>", 1)
		}
		path := t.TempDir() + "/job-report.xlsx"
		if err := os.WriteFile(path, []byte(intaketest.Repack(t, string(first), parts)), 0o600); err != nil {
			t.Fatal(err)
		}
		e, problems := Open(path)
		if e == nil {
			t.Fatal(problems)
		}
		_, problems = e.Blocks(e.Codes[:1], s)
		if said := fmt.Sprint(problems); (problems.Errors() > 0) != (c.want != "") || !strings.Contains(said, c.want) || c.want != "" && !strings.Contains(said, "unmerge") {
			t.Errorf("%v: %v, want %q", c.cells, problems, c.want)
		}
		if c.want != "" {
			continue
		}
		var again bytes.Buffer
		if err := e.Redo(&again, lay(t, odd(s)[:1], nil, s)); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(&again)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		for sheet, n := range c.cells {
			if kept, err := f.GetMergeCells(sheet); err != nil || len(kept) != n {
				t.Errorf("%s: %d merged cells are kept, want %d: %v", sheet, len(kept), n, err)
			}
		}
	}
}
