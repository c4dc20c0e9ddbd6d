package jobbook

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// model is a book as anybody would write it who need not keep anything: rows in a list, and a copy of them for each revision.
type model struct {
	now    [sheets][]Row
	states map[Revision][sheets][]Row
	done   [][sheets][]Row // what was before each step that can be taken back
	taken  [][sheets][]Row // what was after each step that can be done again
}

func newModel() *model {
	return &model{states: map[Revision][sheets][]Row{1: {}}}
}

// copyRows copies the rows; what is in their cells is not changed afterwards.
func copyRows(from [sheets][]Row) (to [sheets][]Row) {
	for s := range from {
		to[s] = slices.Clone(from[s])
	}
	return to
}

func (m *model) step(r Revision) {
	m.states[r] = copyRows(m.now)
	delete(m.states, r-200)
}

func (m *model) make(c Change) {
	rows := m.now[c.Sheet]
	at := slices.IndexFunc(rows, func(r Row) bool { return r.ID == c.ID })
	switch c.Kind {
	case Set:
		rows[at] = rows[at].clone()
		if c.Text == "" {
			delete(rows[at].Cells, c.Column)
		} else {
			rows[at].Cells[c.Column] = c.Text
		}
		return
	case Remove:
		m.now[c.Sheet] = slices.Concat(rows[:at], rows[at+1:])
		return
	}
	row := Row{ID: c.ID, Cells: map[string]string{}}
	if c.Kind == Move {
		row = rows[at]
		rows = slices.Concat(rows[:at], rows[at+1:])
	}
	to := len(rows)
	if c.After == First {
		to = 0
	} else if c.After != Last {
		to = 1 + slices.IndexFunc(rows, func(r Row) bool { return r.ID == c.After })
	}
	m.now[c.Sheet] = slices.Concat(rows[:to], []Row{row}, rows[to:])
}

// chance draws what people type.
type chance struct{ *rand.Rand }

func (c chance) one(of ...string) string { return of[c.IntN(len(of))] }

func (c chance) text() string {
	var b strings.Builder
	for range 1 + c.IntN(6) {
		b.WriteString(c.one("We rowed out before breakfast", " *bold* ", "_it_", "*_both_*", "un\u2060*believ*\u2060able", `\*kept\*`, "2*3*4", "snake_case_name", "\n", "\n\n", "  set in", "\t", "=1+1", "+A1", "@SUM(A1)", "-3",
			"'quoted'", `"Hello," she said`, "4/2", "1/2", "12 May 2026", "0012", "1e9", "TRUE", "#REF!", "שלום עולם", "مرحبا", "日本語", "👩‍👩‍👧‍👦", "é", "e\u0301", "\u00a0", "<b>&amp;</b>", "_x000D_", "_x0041_", "]]>", "\u200b", "ﬁ",
			"**two**", "*", "_", "\\", "\\_", "* *", "a*b *c* d", "\U0001F600", "…—–", "[sic]", "{x}", "\u2028", "\x07", "\r\n"))
	}
	return b.String()
}

func (c chance) cell(column string) string {
	if c.IntN(8) == 0 {
		return ""
	}
	switch column {
	case "Name":
		return c.one("Odile Hart", "Mia Kowal", "Mikael Kay", "odile hart", "M", "李雷", `"`, c.text())
	case "Width", "Height":
		return c.one("4", "4 1/2", "3,5", "2½ in", "70 mm", "x", "1/2", "6")
	case "Journaling":
		return c.text()
	case spaceColumn:
		return c.one("4 x 2", "3 x 3 in", "large")
	case "Stock":
		return c.one("vellum", "cardstock", "clear sticker", "none such")
	case "Size", "Copies", "Count":
		return c.one("12", "2", "1", "many")
	case "Price":
		return c.one("0.75", "1", "free")
	case "Align":
		return c.one("left", "centre middle", "justified", "up")
	case "Turn":
		return c.one("yes", "no")
	case "Ink":
		return c.one("dark blue", "#204080", "white")
	}
	if c.IntN(3) > 0 {
		return ""
	}
	return c.text()
}

// changes draws one step that can be done to rows.
func (c chance) changes(rows [sheets][]Row) []Change {
	s := Sheet(0)
	if c.IntN(5) == 0 {
		s = Paper
	}
	after := func(not string) string {
		if k := c.IntN(len(rows[s]) + 2); k < len(rows[s]) && rows[s][k].ID != not {
			return rows[s][k].ID
		} else if k == len(rows[s]) {
			return First
		}
		return Last
	}
	n := len(rows[s])
	kind := c.IntN(10)
	if n == 0 || kind == 0 && n < 40 {
		id := NewID()
		out := []Change{{Kind: Insert, Sheet: s, ID: id, After: after("")}}
		for _, column := range Columns(s) {
			if text := c.cell(column); text != "" {
				out = append(out, Change{Kind: Set, Sheet: s, ID: id, Column: column, Text: text})
			}
		}
		return out
	}
	id := rows[s][c.IntN(n)].ID
	switch {
	case kind == 1:
		return []Change{{Kind: Move, Sheet: s, ID: id, After: after(id)}}
	case kind == 2 && n > 3:
		return []Change{{Kind: Remove, Sheet: s, ID: id}}
	}
	column := append(Columns(s), spaceColumn)[c.IntN(len(Columns(s))+1)]
	if c.IntN(3) == 0 {
		column = Columns(s)[c.IntN(5)]
	}
	return []Change{{Kind: Set, Sheet: s, ID: id, Column: column, Text: c.cell(column)}}
}

// tidied are changes as the book takes them.
func tidied(changes []Change) []Change {
	out := slices.Clone(changes)
	for i := range out {
		out[i].Text = tidy(out[i].Column, out[i].Text)
	}
	return out
}

// rowsOf are a book's rows, without their codes.
func rowsOf(b *Book) (out [sheets][]Row) {
	for s := range sheets {
		for _, r := range b.Rows(s) {
			r.Code = ""
			out[s] = append(out[s], r)
		}
	}
	return out
}

// blocks are what a job reads.
type blocks struct {
	Blocks []intake.Block
	Held   []intake.Held
	Paper  []intake.Paper
	Found  any
}

func read(tables []*table.File, s *config.Settings) blocks {
	j, found := intake.ReadTables(tables, s)
	return blocks{j.Blocks, j.Held, j.Paper, found}
}

// unlike says where what was read from the workbook is not what was read without it.
func unlike(saved, straight blocks) string {
	a, _ := json.MarshalIndent(saved, "", " ")
	b, _ := json.MarshalIndent(straight, "", " ")
	i := 0
	for i < min(len(a), len(b)) && a[i] == b[i] {
		i++
	}
	return fmt.Sprintf("the workbook reads as …%q…, the rows as …%q…", a[max(0, i-300):min(len(a), i+100)], b[max(0, i-300):min(len(b), i+100)])
}

// Whatever is done to a book, and however often it is killed: it has what it said it has, its workbook reads to the same blocks as its rows
// do, and each of its states can be returned to. 200 steps, or 100,000 with LONG_TESTS=1.
func TestRandomChanges(t *testing.T) {
	steps, seed := 200, uint64(1)
	if longtests.Many() {
		steps, seed = 100_000, uint64(time.Now().UnixNano())
	}
	t.Logf("seed %d", seed)
	c := chance{rand.New(rand.NewPCG(seed, 2))}
	s := settings(t)
	d := fakedisk.New()
	const path = "dir/retreat-desk.xlsx"
	b, err := create(d, path, s)
	if err != nil {
		t.Fatal(err)
	}
	m := newModel()
	var found any
	for i := range steps {
		what := c.IntN(100)
		if i > 3000 && what >= 86 && c.IntN(20) > 0 { // to play the journal again takes as long as it is
			what = 0
		}
		switch {
		case what < 70:
			changes := c.changes(m.now)
			r, err := b.Do(changes...)
			if err != nil {
				t.Fatalf("step %d: %v: %v", i, changes, err)
			}
			m.done, m.taken = append(m.done, copyRows(m.now)), nil
			for _, change := range tidied(changes) {
				m.make(change)
			}
			m.step(r)
		case what < 78:
			r, more, err := b.Undo()
			if err != nil || more != (len(m.done) > 0) {
				t.Fatalf("step %d: undo: %v %v", i, more, err)
			}
			if n := len(m.done); n > 0 {
				m.taken = append(m.taken, m.now)
				m.now, m.done = copyRows(m.done[n-1]), m.done[:n-1]
				m.step(r)
			}
		case what < 84:
			r, more, err := b.Redo()
			if err != nil || more != (len(m.taken) > 0) {
				t.Fatalf("step %d: redo: %v %v", i, more, err)
			}
			if n := len(m.taken); n > 0 {
				m.done = append(m.done, m.now)
				m.now, m.taken = copyRows(m.taken[n-1]), m.taken[:n-1]
				m.step(r)
			}
		case what < 86:
			states := b.States()
			to := states[c.IntN(min(len(states), 100))].Revision
			r, err := b.Return(to, 0)
			if err != nil {
				t.Fatalf("step %d: return: %v", i, err)
			}
			if !reflect.DeepEqual(m.states[to], m.now) {
				m.done, m.taken = append(m.done, m.now), nil
				m.now = copyRows(m.states[to])
				m.step(r)
			}
		case what < 90:
			if err := b.Save(); err != nil {
				t.Fatal(err)
			}
		case what < 94:
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			if b, found, err = open(d, path, s); err != nil {
				t.Fatalf("step %d: open: %v", i, err)
			}
		case what < 97: // the process is killed
			d = d.Restart(nil)
			if b, found, err = open(d, path, s); err != nil {
				t.Fatalf("step %d: open after a kill: %v", i, err)
			}
		default: // the machine stops
			d = d.Restart(c.Rand)
			if b, found, err = open(d, path, s); err != nil {
				t.Fatalf("step %d: open after the machine stopped: %v", i, err)
			}
		}
		if got := rowsOf(b); !reflect.DeepEqual(got, m.now) {
			t.Fatalf("step %d: the rows are\n%v\nwant\n%v\n%v", i, got, m.now, found)
		}
		if i%20 == 19 && i < 3000 || i%100 == 99 || i == steps-1 {
			if err := b.Save(); err != nil {
				t.Fatal(err)
			}
			data, err := d.Read(path)
			if err != nil {
				t.Fatal(err)
			}
			f := table.Parse(filepath.Base(path), data, intake.KnownHeading)
			if saved, straight := read([]*table.File{f}, s), read(b.Input().Tables, s); !reflect.DeepEqual(saved, straight) {
				t.Fatalf("step %d: %s", i, unlike(saved, straight))
			}
		}
		if qs := b.Questions(); len(qs) > 0 {
			t.Fatalf("step %d: it asks %v", i, qs)
		}
	}
	if len(d.Names()) > 6 {
		t.Errorf("there are %v", d.Names())
	}
}

// The longest text that a cell holds is written and read whole, plain and rich.
func TestLongestText(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	plain := strings.Repeat("😀", (MostText-1)/2) + "x"
	rich := "*" + strings.Repeat("é ", MostText/2-1) + "é*" // without the signs, one less
	for i, text := range []string{plain, rich} {
		do(t, b, Change{Kind: Set, ID: ids[i], Column: "Journaling", Text: text}, Change{Kind: Set, ID: ids[i], Column: "Note", Text: plain})
	}
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	data, err := d.Read(bookPath)
	if err != nil {
		t.Fatal(err)
	}
	s := b.settings.Load()
	f := table.Parse(filepath.Base(bookPath), data, intake.KnownHeading)
	if saved, straight := read([]*table.File{f}, s), read(b.Input().Tables, s); !reflect.DeepEqual(saved, straight) {
		t.Fatal(unlike(saved, straight))
	}
	if err := d.Remove("d/.x-desk/journal"); err != nil {
		t.Fatal(err)
	}
	if b, _, err = open(d.Restart(nil), bookPath, s); err != nil || b.Rows(Journaling)[0].Cells["Journaling"] != plain || b.Rows(Journaling)[1].Cells["Journaling"] != rich || b.Rows(Journaling)[1].Cells["Note"] != plain {
		t.Errorf("the texts are not whole: %v", err)
	}
	if _, err := b.Do(Change{Kind: Set, ID: ids[0], Column: "Note", Text: plain + "y"}); err == nil {
		t.Error("a text was taken that no cell holds")
	}
}
