package intake

import (
	"runtime"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// A text that a thousand cells share is typed once: such a workbook has 4 KB.
func TestSharedTextsAreTypedOnce(t *testing.T) {
	head := table.Row{N: 1}
	for i, h := range []string{"Name", "Journaling", "Width", "Height"} {
		head.Cells = append(head.Cells, table.Typed(i, h, nil))
	}
	s := &table.Sheet{File: "a.xlsx", Name: "Journaling", Rows: []table.Row{head}}
	plain, rich := table.Typed(1, strings.Repeat("plum ", 50_000), nil), table.Typed(1, strings.Repeat("plum ", 50_000), []table.Run{{Text: strings.Repeat("plum ", 50_000), Bold: true}})
	for i := range 400 {
		text := plain
		if i%2 == 1 {
			text = rich
		}
		s.Rows = append(s.Rows, table.Row{N: i + 2, Cells: []table.Cell{table.Typed(0, "Odile", nil), text, table.Typed(2, "4", nil), table.Typed(3, "2", nil)}})
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	sheets := Typed([]*table.File{{Name: "a.xlsx", Sheets: []*table.Sheet{s}}}, intaketest.Home(), measure.In)
	runtime.ReadMemStats(&after)
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 30 {
		t.Errorf("it takes %d MB", mb)
	}
	if len(sheets) != 1 || len(sheets[0].Rows) != 400 {
		t.Fatalf("%d sheets", len(sheets))
	}
	for i, r := range sheets[0].Rows {
		if bold := strings.HasPrefix(r.Cells[1].Text, "*plum"); bold != (i%2 == 1) {
			t.Fatalf("row %d: %.40q", i, r.Cells[1].Text)
		}
	}
}
