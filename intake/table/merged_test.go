package table

import (
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
)

// What merged cells show in the rows that they cover is what a look through the rows finds, for one merged cell after the other, also where they lie over each other.
func TestMergedCellsShow(t *testing.T) {
	for seed := range uint64(400) {
		r := rand.New(rand.NewPCG(seed, 7))
		const wide, high = 6, 9
		var grid [high][wide]string // by row and column; "" where there is nothing
		x := sheetReader{book: &book{mostCells: mostCells, mostText: mostText}, sheet: &Sheet{}}
		for n := range high {
			row := Row{N: n + 1}
			for col := range wide {
				if r.IntN(3) == 0 {
					grid[n][col] = Address(col, n+1)
					row.Cells = append(row.Cells, Cell{Col: col, Text: grid[n][col]})
				}
			}
			if len(row.Cells) > 0 {
				x.sheet.Rows = append(x.sheet.Rows, row)
			}
		}
		own := grid
		there := func(n int) bool { return own[n] != [wide]string{} }
		for range r.IntN(9) {
			top, col := r.IntN(high-1), r.IntN(wide)
			m := mergedCell{col, top + 1, col, top + 2 + r.IntN(high-top-1)}
			x.merged = append(x.merged, m)
			for n := top + 1; n < m.lastRow && grid[top][col] != ""; n++ {
				if there(n) && grid[n][col] == "" {
					grid[n][col] = grid[top][col]
				}
			}
		}
		if !x.spread() {
			t.Fatalf("seed %d: refused", seed)
		}
		hidden := map[Spot]bool{}
		for _, m := range x.merged {
			for n := m.row; n < m.lastRow; n++ {
				if own[n][m.col] != "" {
					hidden[Spot{m.col, n + 1}] = true
				}
			}
		}
		if told := set(x.sheet.Beneath); !maps.Equal(told, hidden) {
			t.Errorf("seed %d: beneath lie %v, and %v are told", seed, hidden, told)
		}
		for i := range x.sheet.Rows {
			row := &x.sheet.Rows[i]
			if !slices.IsSortedFunc(row.Cells, func(a, b Cell) int { return a.Col - b.Col }) {
				t.Errorf("seed %d: row %d stands in another order: %+v", seed, row.N, row.Cells)
			}
			for col := range wide {
				text := ""
				if c := row.At(col); c != nil {
					if text = c.Text; c.Covered != (own[row.N-1][col] == "") {
						t.Errorf("seed %d: %s is covered: %v", seed, Address(col, row.N), c.Covered)
					}
				}
				if text != grid[row.N-1][col] {
					t.Errorf("seed %d: %s shows %q, not %q", seed, Address(col, row.N), text, grid[row.N-1][col])
				}
			}
		}
	}
}

func set(spots []Spot) map[Spot]bool {
	out := map[Spot]bool{}
	for _, at := range spots {
		out[at] = true
	}
	return out
}

// The rows that merged cells cover are counted over all sheets of a workbook.
func TestMergedCellsAreCountedInAllSheets(t *testing.T) {
	b := &book{mostCells: 10, mostText: mostText}
	for sheet := range 5 {
		x := sheetReader{book: b, sheet: &Sheet{}}
		for n := range 10 {
			x.sheet.Rows = append(x.sheet.Rows, Row{N: n + 1, Cells: []Cell{{Text: "x"}}})
		}
		x.merged = []mergedCell{{0, 1, 0, 10}}
		if got := x.spread(); got != (sheet < 4) {
			t.Errorf("sheet %d: %v", sheet+1, got)
		}
	}
}
