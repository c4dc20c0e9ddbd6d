package jobbook

import (
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// written are the rows of a state as reading a workbook of it gives them.
func written(s *state) (out [sheets]foreign) {
	for sheet := range sheets {
		out[sheet].there = true
		out[sheet].columns = slices.Concat(Columns(sheet), s.Columns[sheet])
		for _, r := range s.Rows[sheet] {
			row := Row{ID: r.ID, Cells: map[string]string{}}
			for c, text := range r.Cells {
				if text = as(sheet, c, text); text != "" {
					row.Cells[c] = text
				}
			}
			out[sheet].rows = append(out[sheet].rows, row)
		}
	}
	return out
}

// played is a state after some random steps.
func played(c chance, s *state, steps int) *state {
	for range steps {
		if after, _, why := s.apply(c.changes(s.Rows)); why == nil {
			s = after
		}
	}
	return s
}

func shows(sheet Sheet, r *Row, column string) string {
	if r == nil {
		return ""
	}
	return as(sheet, column, r.Cells[column])
}

// Of two sides that both changed the same rows at random, each cell is that of the side that changed it, what both changed is asked about, and no
// row of either is lost without a question. The expectation is written anew here, cell by cell.
func TestTakeOver(t *testing.T) {
	for seed := range uint64(400) {
		c := chance{rand.New(rand.NewPCG(seed, 11))}
		base := played(c, &state{}, 12+c.IntN(20))
		ours, theirs := played(c, base, c.IntN(10)), played(c, base, c.IntN(10))
		after, asked := takeOver(begun{base: base}, ours, written(theirs))
		if c.IntN(2) == 0 { // nobody but one side has done anything
			if same, q := takeOver(begun{base: base}, ours, written(base)); !reflect.DeepEqual(same.Rows, ours.Rows) || len(q) > 0 {
				t.Fatalf("seed %d: nothing was done there, and the rows are\n%v\nwere\n%v\n%v", seed, same.Rows, ours.Rows, q)
			}
		}
		kinds := map[QuestionKind]map[string]bool{}
		for _, q := range asked {
			if kinds[q.Kind] == nil {
				kinds[q.Kind] = map[string]bool{}
			}
			kinds[q.Kind][q.Row+" "+q.Column] = true
		}
		expect := func(k QuestionKind, row, column string) {
			if !kinds[k][row+" "+column] {
				t.Fatalf("seed %d: nothing is asked about %s %s (%d): %v", seed, row, column, k, asked)
			}
		}
		for s := range sheets {
			was, mine, their, got := byID(base.Rows[s]), byID(ours.Rows[s]), byID(theirs.Rows[s]), byID(after.Rows[s])
			if len(got) != len(after.Rows[s]) {
				t.Fatalf("seed %d: an id is there twice", seed)
			}
			for _, list := range []*state{base, ours, theirs} {
				for _, r := range list.Rows[s] {
					b, m, h, g := was[r.ID], mine[r.ID], their[r.ID], got[r.ID]
					changed := func(x *Row) bool {
						return x != nil && slices.ContainsFunc(Columns(s), func(c string) bool { return shows(s, x, c) != shows(s, b, c) })
					}
					stays := true
					switch {
					case m == nil && h == nil, m == nil && b != nil && !changed(h):
						stays = false
					case m == nil && b != nil:
						expect(GoneHere, r.ID, "")
						m = b
					case h == nil && b != nil:
						expect(GoneThere, r.ID, "")
						h = b
					}
					if (g != nil) != stays {
						t.Fatalf("seed %d: the row %s is there: %v; here %v, there %v, before %v", seed, r.ID, g != nil, m != nil, h != nil, b != nil)
					}
					if !stays {
						continue
					}
					for _, column := range append(Columns(s), spaceColumn) {
						bc, mc, hc := shows(s, b, column), shows(s, m, column), shows(s, h, column)
						want := mc
						switch {
						case m == nil || b != nil && mc == bc:
							want = hc
						case h == nil, hc == mc, b != nil && hc == bc:
						default:
							expect(Conflict, r.ID, column)
						}
						if shows(s, g, column) != want {
							t.Fatalf("seed %d: %s of %s is %q, want %q; here %q, there %q, before %q", seed, column, r.ID, shows(s, g, column), want, mc, hc, bc)
						}
					}
				}
			}
		}
		for _, k := range []QuestionKind{Copied, ColumnGone, Renamed, SheetGone} {
			if len(kinds[k]) > 0 {
				t.Fatalf("seed %d: it asks %v", seed, asked)
			}
		}
	}
}

// A workbook of another program that was taken over lacks what the desk had besides. Where the desk ends before it has written its own in the place, by
// a power cut or for want of room, it does so when it is opened again.
func TestWrittenAfterTakingOver(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	opened, err := d.Read(bookPath)
	must(t, err)
	extra := NewID()
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Journaling", Text: "typed at the desk"}, Change{Kind: Insert, ID: extra}, Change{Kind: Set, ID: extra, Column: "Journaling", Text: "added at the desk"})
	must(t, b.Save())
	d.Put(bookPath, opened)
	edit(t, d, func(f *excelize.File) { set(t, f, 2, "Journaling", "typed in another program") })
	must(t, b.compare())
	must(t, b.Leave())
	again, _, err := open(d, bookPath, settings(t))
	must(t, err)
	if again.touched.IsZero() {
		t.Error("nobody knows that the workbook lacks something")
	}
	must(t, again.Save())
	data, err := d.Read(bookPath)
	must(t, err)
	for _, text := range []string{"typed at the desk", "added at the desk", "typed in another program"} {
		f, why := again.parse(data)
		if why != nil {
			t.Fatal(why)
		}
		if read := readSheets(intake.Typed([]*table.File{f}, settings(t), again.unit)); !slices.ContainsFunc(read[Journaling].rows, func(r Row) bool { return r.Cells["Journaling"] == text }) {
			t.Errorf("the workbook lacks %q", text)
		}
	}
}

// An earlier workbook of the desk's own that is put back in the place, as from a backup, is told of: the desk goes on with what it has.
func TestEarlierWorkbookPutBack(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	before, err := d.Read(bookPath)
	must(t, err)
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
	must(t, b.Save())
	for len(b.events) > 0 {
		<-b.events
	}
	d.Put(bookPath, before)
	must(t, b.compare())
	told := ""
	for len(b.events) > 0 {
		if e := <-b.events; e.Problem != nil {
			told += e.Problem.What
		}
	}
	if got := b.Rows(Journaling)[0].Cells["Width"]; got != "9" || len(b.Questions()) > 0 || told != "an earlier state of the workbook was put in its place" {
		t.Errorf("it is %q, told is %q, asked %v", got, told, b.Questions())
	}
}
