package table

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

type mergedCell struct{ col, row, lastCol, lastRow int }

// merge notes a merged cell.
func (x *sheetReader) merge(ref string) {
	from, to, ok := strings.Cut(ref, ":")
	if !ok || len(x.merged) == mostRows {
		return
	}
	c1, r1, ok1 := parseAddress(from)
	c2, r2, ok2 := parseAddress(to)
	for r := r1; ok1 && ok2 && r <= r2 && c2 > c1 && len(x.sheet.Across) < mostRows; r++ {
		x.sheet.Across = append(x.sheet.Across, Across{Row: r, Col: c1, Last: c2})
	}
	if ok1 && ok2 && r2 > r1 && c2 >= c1 {
		x.merged = append(x.merged, mergedCell{c1, r1, c2, r2})
	}
}

// spread shows the value of a merged cell in the rows that it covers, as a person reads a name merged over three rows, and notes what such a cell hides.
// Only rows that have something of their own are given it: a merged cell makes no new rows. It is false where merged cells lie over each other, which no
// program writes: then they have far more rows together than there are cells.
func (x *sheetReader) spread() bool {
	slices.SortStableFunc(x.sheet.Across, func(a, b Across) int { return cmp.Or(a.Row-b.Row, a.Col-b.Col) })
	if !x.beneathAcross() || !x.fill() {
		return false
	}
	rows := x.sheet.Rows
	// Column by column, so that what is shown in a row comes in its order, and a row is put in order once: it may have 16,384 cells, each of them merged.
	slices.SortStableFunc(x.merged, func(a, b mergedCell) int { return a.col - b.col })
	shown := make([][]Cell, len(rows))
	at := func(i, col int) *Cell {
		if n := len(shown[i]); n > 0 && shown[i][n-1].Col == col {
			return &shown[i][n-1]
		}
		return rows[i].At(col)
	}
	for _, m := range x.merged {
		var from *Cell
		i, ok := x.sheet.rowAt(m.row)
		if ok {
			from = at(i, m.col)
			i++
		}
		for ; i < len(rows) && rows[i].N <= m.lastRow; i++ {
			if x.book.covered++; x.book.covered > 4*x.book.mostCells {
				return false
			}
			if own := at(i, m.col); own != nil {
				x.beneath(own, from, rows[i].N)
			} else if from != nil && x.cells <= x.book.mostCells && x.text <= x.book.mostText {
				value := *from
				value.Covered = true
				x.count(&value)
				shown[i] = append(shown[i], value)
			}
		}
	}
	for i, cells := range shown {
		if len(cells) > 0 {
			rows[i].Cells = append(rows[i].Cells, cells...)
			slices.SortFunc(rows[i].Cells, func(a, b Cell) int { return a.Col - b.Col })
		}
	}
	return true
}

// beneathAcross notes what is hidden by cells that are merged over several columns. It is false where they lie over each other.
func (x *sheetReader) beneathAcross() bool {
	for _, a := range x.sheet.Across {
		i, ok := x.sheet.rowAt(a.Row)
		if !ok {
			continue
		}
		cells := x.sheet.Rows[i].Cells
		from := x.sheet.Rows[i].At(a.Col)
		j, _ := slices.BinarySearchFunc(cells, a.Col+1, func(c Cell, col int) int { return c.Col - col })
		for ; j < len(cells) && cells[j].Col <= a.Last; j++ {
			if x.book.covered++; x.book.covered > 4*x.book.mostCells {
				return false
			}
			x.beneath(&cells[j], from, a.Row)
		}
	}
	return true
}

// beneath notes a cell that holds something else than the merged one that lies over it, which other programs leave there: nobody sees it.
func (x *sheetReader) beneath(own, over *Cell, row int) {
	hides := own.Kind == Uncomputed || strings.TrimSpace(own.ExactText()) != "" && (over == nil || over.ExactText() != own.ExactText())
	if !own.Covered && hides && len(x.sheet.Beneath) < mostAttached {
		x.sheet.Beneath = append(x.sheet.Beneath, Spot{own.Col, row})
	}
}

// rowAt is the index of the row of a number, or where it would stand.
func (s *Sheet) rowAt(n int) (index int, ok bool) {
	return slices.BinarySearchFunc(s.Rows, n, func(r Row, n int) int { return r.N - n })
}

// mostFilled is how many cells formulas may fill without results for them: whoever opens the file in a spreadsheet program and saves it has them.
const mostFilled = 20_000

func overfilled() *problem.Problem {
	return refused(fmt.Sprintf("formulas fill more than %d cells, and their results are not in the file", mostFilled), "the program that wrote the file did not work them out",
		"open the file in your spreadsheet program and save it again, or leave those formulas out")
}

// fill notes the cells of rows that a formula fills, and has no results for. It is false where that are too many.
func (x *sheetReader) fill() bool {
	if len(x.arrays) == 0 {
		return true
	}
	rows := x.sheet.Rows
	filled := make([][]Cell, len(rows))
	for _, ref := range x.arrays {
		from, to, _ := strings.Cut(ref, ":")
		c1, r1, ok1 := parseAddress(from)
		c2, r2, ok2 := parseAddress(to)
		if !ok1 || !ok2 {
			return false
		}
		for i, _ := x.sheet.rowAt(r1); i < len(rows) && rows[i].N <= r2; i++ {
			for col := c1; col <= c2; col++ {
				if x.book.filled++; x.book.filled > mostFilled {
					return false
				}
				if c := (Cell{Col: col, Kind: Uncomputed}); rows[i].At(col) == nil {
					x.count(&c)
					filled[i] = append(filled[i], c)
				}
			}
		}
	}
	for i, cells := range filled {
		if len(cells) == 0 {
			continue
		}
		cells = append(rows[i].Cells, cells...)
		slices.SortFunc(cells, func(a, b Cell) int { return a.Col - b.Col })
		rows[i].Cells = slices.CompactFunc(cells, func(a, b Cell) bool { return a.Col == b.Col }) // formulas may fill the same
	}
	return true
}
