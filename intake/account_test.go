package intake

import (
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	. "tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// grid is a table as somebody might have typed it: rows of cells, "" where there is nothing.
type grid struct {
	name string // of the worksheet
	rows [][]string
	hide bool
}

func (g *grid) set(row, col int, text string) {
	for len(g.rows) <= row {
		g.rows = append(g.rows, nil)
	}
	for len(g.rows[row]) <= col {
		g.rows[row] = append(g.rows[row], "")
	}
	g.rows[row][col] = text
}

// typist draws tables, each word of them another.
type typist struct {
	*rand.Rand
	words int
}

func (d *typist) word() string { d.words++; return fmt.Sprintf("w%dq", d.words) }

func (d *typist) one(of ...string) string { return of[d.IntN(len(of))] }

func (d *typist) value(heading string) string {
	heading, _ = numbered(heading)
	switch heading {
	case "Width", "Height":
		return d.one("4", "2 1/2", "3.5", "1", "x", "")
	case "Space":
		return d.one("4 x 2", "3 x 3 in", "wide", "")
	case "Stock":
		return d.one("", "", "vellum", "cardstock", "no such stock")
	case "Copies", "Count":
		return d.one("", "2", "many")
	case "Price", "Tuck":
		return d.one("", "1", "?")
	case "Name", "Journaling", "Title":
		return d.one("", d.word(), d.word(), d.word(), "Rain with Odile "+d.word()+", May 2026", "[date] "+d.word())
	}
	return d.one("", "", "", d.word())
}

// table puts a table into a grid, from a corner on.
func (d *typist) table(g *grid, row, col int, headings []string, n int) {
	for i, h := range headings {
		g.set(row, col+i, h)
	}
	for r := range n {
		if d.IntN(8) == 0 {
			continue
		}
		for i, h := range headings {
			if v := d.value(h); v != "" {
				g.set(row+1+r, col+i, v)
			}
		}
	}
}

func (d *typist) headings() []string {
	h := []string{"Name", "Journaling", "Width", "Height"}
	if d.IntN(4) == 0 {
		h = []string{"Name", "Journaling", "Space"}
	}
	for _, more := range []string{"Title", "Page", "Stock", "Copies", "Note", "Allergies", "Telephone", "When", "Text", "Tuck"} {
		if d.IntN(4) == 0 {
			h = append(h, more)
		}
	}
	for range d.IntN(4) / 3 * 12 { // more than a message lists
		h = append(h, "Question "+d.word())
	}
	if d.IntN(2) == 0 {
		d.Shuffle(len(h), func(i, j int) { h[i], h[j] = h[j], h[i] })
	}
	return h
}

// blocks are the headings of a table with several blocks in a row: what stands for one of them, for all, or for both.
func (d *typist) blocks() []string {
	h := []string{"Name"}
	sets := 2 + d.IntN(2)
	for n := range sets {
		h = append(h, fmt.Sprintf("Journaling %d", n+1), fmt.Sprintf("Width %d", n+1), fmt.Sprintf("Height %d", n+1))
	}
	for _, more := range []string{"Title", "Where", "Who", "When", "Page", "Stock", "Note", "Journaling", "Width"} {
		if d.IntN(3) == 0 {
			h = append(h, more)
		}
		if d.IntN(2) == 0 && more != "Journaling" && more != "Width" {
			for n := range sets {
				if d.IntN(4) > 0 {
					h = append(h, fmt.Sprintf("%s %d", more, n+1))
				}
			}
		}
	}
	d.Shuffle(len(h), func(i, j int) { h[i], h[j] = h[j], h[i] })
	return h
}

// sheet draws a worksheet: mostly a table of journaling, with whatever else people leave above it, below and beside.
func (d *typist) sheet(name string) *grid {
	g := &grid{name: name, hide: d.IntN(8) == 0}
	row, h := 0, d.headings()
	for range d.IntN(3) {
		switch d.IntN(3) {
		case 0:
			g.set(row, d.IntN(3), "Retreat "+d.word())
		case 1: // a row that lost its place
			for i, x := range h {
				g.set(row, i, d.value(x))
			}
		}
		row++
	}
	if d.IntN(6) == 0 {
		h = []string{"Stock", "Width", "Height", "Count", "Price", "Remark"}
	}
	if d.IntN(10) == 0 {
		h = []string{"Room " + d.word(), "Meal " + d.word()}
	}
	n := 1 + d.IntN(6)
	d.table(g, row, 0, h, n)
	wide := len(h)
	if d.IntN(3) == 0 { // beside
		d.table(g, row+d.IntN(2), wide+1, d.headings(), 1+d.IntN(4))
	}
	row += n + 1 + d.IntN(2)
	for range d.IntN(3) { // below
		again := slices.Clone(h)
		if d.IntN(2) == 0 {
			again = d.headings()
		}
		n := 1 + d.IntN(3)
		d.table(g, row, 0, again, n)
		row += n + 1
	}
	for range d.IntN(4) {
		g.set(d.IntN(row+3), d.IntN(wide+8), d.word())
	}
	return g
}

// TestEveryCellIsAccountedFor reads tables that were drawn at random: what stands in a cell comes out as a part of a block, of a row
// that is held or of paper, or a message names the cell, its row, its column or its sheet.
func TestEveryCellIsAccountedFor(t *testing.T) {
	n := longtests.Cases(200, 5000)
	for i := range n {
		d := &typist{Rand: rand.New(rand.NewPCG(uint64(i), 17))}
		var sheets []*grid
		file, data := "drawn.csv", ""
		if i%4 == 0 {
			g := &grid{}
			d.table(g, 0, 0, d.blocks(), 1+d.IntN(4))
			sheets = append(sheets, g)
			data = g.csv(t, ',')
		} else if i%4 == 2 {
			g := d.sheet("")
			g.hide = false
			sheets = append(sheets, g)
			data = g.csv(t, []rune(",;\t")[d.IntN(3)])
		} else {
			file = "drawn.xlsx"
			names := []string{"Journaling", "Help", "Lists", "Instructions", "Paper", "Problems", "Sheet9", "Leftovers"}
			d.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
			for _, name := range names[:1+d.IntN(3)] {
				sheets = append(sheets, d.sheet(name))
			}
			sheets[0].hide = false // Excel wants one that is seen
			data = Saved(t, func(f *excelize.File) { fillIn(t, f, sheets) })
		}
		job, problems := Read(Write(t, file, data), Home())
		total := 0
		for _, g := range sheets {
			for r, cells := range g.rows {
				for c, text := range cells {
					if strings.TrimSpace(text) == "" {
						continue
					}
					total++
					if !accounted(job, problems, file, g, r+1, c, text) {
						t.Fatalf("drawing %d: nothing is said of %q in %s%s\n%s\n%s", i, text, g.name, table.Address(c, r+1), g.csv(t, ','), Say(problems))
					}
				}
			}
		}
		if total == 0 && i > 0 {
			t.Fatal("nothing was drawn")
		}
	}
}

func (g *grid) csv(t *testing.T, sep rune) string {
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.Comma = sep
	for _, r := range g.rows {
		if len(r) == 0 {
			r = []string{""}
		}
		if err := w.Write(r); err != nil {
			t.Fatal(err)
		}
	}
	w.Flush()
	return b.String()
}

func fillIn(t *testing.T, f *excelize.File, sheets []*grid) {
	for _, g := range sheets {
		if _, err := f.NewSheet(g.name); err != nil {
			t.Fatal(err)
		}
		for r, cells := range g.rows {
			for c, text := range cells {
				if text != "" {
					if err := f.SetCellStr(g.name, table.Address(c, r+1), text); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
	if err := f.DeleteSheet("Sheet1"); err != nil {
		t.Fatal(err)
	}
	for _, g := range sheets {
		if err := f.SetSheetVisible(g.name, !g.hide); err != nil {
			t.Fatal(err)
		}
	}
}

var (
	namedArea   = regexp.MustCompile(`\b([A-Z]{1,3}[0-9]+)(?::([A-Z]{1,3}[0-9]+))?\b`)
	namedColumn = regexp.MustCompile(`\bcolumn ([A-Z]{1,3})\b`)
	upToColumn  = regexp.MustCompile(`\bup to column ([A-Z]{1,3})\b`)
)

// accounted looks for what became of a cell, in what a caller sees.
func accounted(job *Job, problems problem.List, file string, g *grid, row, col int, text string) bool {
	at := problem.Place{File: file, Sheet: g.name, Row: row}
	set := 0 // which of the row's blocks its column is for; 0: for all
	for _, c := range job.Columns {
		if c.File == file && c.Sheet == g.name && c.Index == col {
			set = c.set
		}
	}
	of := func(p problem.Place) bool {
		p = p.OfRow()
		block := p.Block
		p.Block = 0
		return p == at && (block == 0 || set == 0 || block == set)
	}
	for _, h := range job.Held {
		if of(h.Place) {
			return true
		}
	}
	for _, p := range job.Paper {
		if p.Place.OfRow() == at && slices.ContainsFunc(job.Columns, func(c Column) bool {
			return c.File == file && c.Sheet == g.name && c.Index == col && slices.Contains([]string{"Stock", "Width", "Height", "Space", "Count", "Copies", "Price", "Leftover", "Tuck"}, c.As)
		}) {
			return true
		}
	}
	as := "" // what its column is read for
	for _, c := range job.Columns {
		if c.File == file && c.Sheet == g.name && c.Index == col {
			as = c.As
			if line(text) == c.Heading && c.As != "" { // a heading, or one that is repeated
				return true
			}
		}
	}
	for i := range job.Blocks {
		if b := &job.Blocks[i]; of(b.Place) {
			switch as {
			case "":
			case "Name", "Journaling", "Title", "Page", "Who", "Where", "When":
				if strings.Contains(b.Owner+b.Title+b.Page+b.End+flat(b.Text), line(text)) {
					return true
				}
			case "Note": // which is for people
			default:
				return true
			}
		}
	}
	for _, p := range problems {
		switch {
		case p.Place.File != file || p.Place.Sheet != "" && p.Place.Sheet != g.name:
		case p.Place.Row == row && (p.Severity == problem.Error || p.Place.Cell == "" && p.Place.Column == "" && !strings.HasPrefix(p.What, "not read: ") || p.Place.Cell == table.Address(col, row)):
			return true
		case p.Place.Row == 0 && (p.Severity == problem.Error || strings.Contains(p.What, "was not read")):
			return true
		case names(p.What, row, col):
			return true
		case strings.HasPrefix(p.What, "not read: "):
			for _, c := range job.Columns {
				if c.Sheet == g.name && c.Index == col && c.Heading != "" && strings.Contains(p.What, "“"+c.Heading+"”") {
					return true
				}
			}
		}
	}
	return false
}

// names reports whether a text names a cell, an area that it lies in, or its column.
func names(what string, row, col int) bool {
	for _, m := range namedArea.FindAllStringSubmatch(what, -1) {
		if m[2] == "" {
			m[2] = m[1]
		}
		c1, r1 := drawnApart(m[1])
		c2, r2 := drawnApart(m[2])
		if c1 <= col && col <= c2 && r1 <= row && row <= r2 {
			return true
		}
	}
	for _, m := range namedColumn.FindAllStringSubmatch(what, -1) {
		if m[1] == table.Letters(col) {
			return true
		}
	}
	m := upToColumn.FindStringSubmatch(what)
	if m == nil {
		return false
	}
	last, _ := drawnApart(m[1] + "1")
	return col <= last
}

// apart is an address as column, from 0, and row.
func drawnApart(address string) (col, row int) {
	letters := strings.TrimRight(address, "0123456789")
	_, _ = fmt.Sscan(address[len(letters):], &row)
	for col = 0; table.Letters(col) != letters; col++ {
	}
	return col, row
}
