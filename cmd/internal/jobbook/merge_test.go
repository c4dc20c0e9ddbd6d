package jobbook

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/longtests"
)

const bookPath = "d/x-desk.xlsx"

// three is a book of three rows on a disk, and their ids.
func three(t *testing.T, d *fakedisk.Disk) (b *Book, ids []string) {
	t.Helper()
	b, err := create(d, bookPath, settings(t))
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range []string{"Odile Hart", "Mia Kowal", "Sunil Rao"} {
		id := NewID()
		ids = append(ids, id)
		do(t, b, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: name}, Change{Kind: Set, ID: id, Column: "Journaling", Text: fmt.Sprintf("Text %d, *bold* and plain", i)},
			Change{Kind: Set, ID: id, Column: "Width", Text: "4"}, Change{Kind: Set, ID: id, Column: "Height", Text: "2"})
	}
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	return b, ids
}

func do(t *testing.T, b *Book, changes ...Change) {
	t.Helper()
	if _, err := b.Do(changes...); err != nil {
		t.Fatal(err)
	}
}

// edit changes a workbook as another program does.
func edit(t *testing.T, d *fakedisk.Disk, change func(f *excelize.File)) {
	t.Helper()
	data, err := d.Read(bookPath)
	if err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	change(f)
	var out bytes.Buffer
	if err := f.Write(&out); err != nil {
		t.Fatal(err)
	}
	d.Put(bookPath, out.Bytes())
}

// column is the letter of a heading on a sheet.
func column(t *testing.T, f *excelize.File, sheet, heading string) string {
	t.Helper()
	rows, err := f.GetRows(sheet)
	if err != nil {
		t.Fatal(err)
	}
	for i, h := range rows[0] {
		if h == heading || strings.HasPrefix(h, heading+" (") {
			name, _ := excelize.ColumnNumberToName(i + 1)
			return name
		}
	}
	t.Fatalf("no column %s on %s", heading, sheet)
	return ""
}

// set types into a cell of the journaling, row 1 being the first below the headings.
func set(t *testing.T, f *excelize.File, row int, heading string, text any) {
	t.Helper()
	if err := f.SetCellValue("Journaling", fmt.Sprint(column(t, f, "Journaling", heading), row+1), text); err != nil {
		t.Fatal(err)
	}
}

// copyRow copies a row of the journaling to another place, all cells of it.
func copyRow(t *testing.T, f *excelize.File, from, to int) {
	t.Helper()
	if err := f.DuplicateRowTo("Journaling", from+1, to+1); err != nil {
		t.Fatal(err)
	}
}

// backup copies the whole sheet.
func backup(t *testing.T, f *excelize.File) {
	t.Helper()
	to, err := f.NewSheet("Backup")
	must(t, err)
	from, err := f.GetSheetIndex("Journaling")
	must(t, errors.Join(err, f.CopySheet(from, to)))
}

func swap(t *testing.T, f *excelize.File, a, b int) {
	t.Helper()
	rows, err := f.GetRows("Journaling")
	if err != nil {
		t.Fatal(err)
	}
	n := len(rows[0])
	cells := func(i int) []string {
		out := slices.Clone(rows[i])
		return append(out, make([]string, n-len(out))...)
	}
	x, y := cells(a), cells(b)
	if err := f.SetSheetRow("Journaling", fmt.Sprint("A", a+1), &y); err != nil {
		t.Fatal(err)
	}
	if err := f.SetSheetRow("Journaling", fmt.Sprint("A", b+1), &x); err != nil {
		t.Fatal(err)
	}
}

// told are the rows of the journaling as "name/text/width", in their order.
func told(b *Book) (out []string) {
	for _, r := range b.Rows(Journaling) {
		out = append(out, strings.Join([]string{r.Cells["Name"], r.Cells["Width"], r.Cells["Height"]}, "/"))
	}
	return out
}

// What another program does to the workbook and what is done at the desk meanwhile are brought together by the rows' ids, cell by cell.
func TestForeignChanges(t *testing.T) {
	longtests.Only(t)
	for _, c := range []struct {
		name   string
		desk   func(t *testing.T, b *Book, ids []string) // after the workbook was saved
		other  func(t *testing.T, f *excelize.File)      // to the workbook as it was saved
		want   []string                                  // name/width/height
		asked  []QuestionKind                            // in their order
		answer string                                    // to all of them
		then   []string
	}{
		{name: "a cell", other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "5") },
			want: []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}},
		{name: "a number", other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", 4.5) },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4.5/2", "Sunil Rao/4/2"}},
		{name: "two cells of a row, one each",
			desk: func(t *testing.T, b *Book, ids []string) {
				do(t, b, Change{Kind: Set, ID: ids[1], Column: "Height", Text: "3"})
			},
			other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "5") },
			want:  []string{"Odile Hart/4/2", "Mia Kowal/5/3", "Sunil Rao/4/2"}},
		{name: "the same cell to the same",
			desk: func(t *testing.T, b *Book, ids []string) {
				do(t, b, Change{Kind: Set, ID: ids[1], Column: "Width", Text: "5"})
			},
			other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "5") },
			want:  []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}},
		{name: "the same cell to two, the other is taken",
			desk: func(t *testing.T, b *Book, ids []string) {
				do(t, b, Change{Kind: Set, ID: ids[1], Column: "Width", Text: "5"})
			},
			other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "6") },
			want:  []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}, asked: []QuestionKind{Conflict},
			answer: Take, then: []string{"Odile Hart/4/2", "Mia Kowal/6/2", "Sunil Rao/4/2"}},
		{name: "a cell emptied", other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "") },
			want: []string{"Odile Hart/4/2", "Mia Kowal//2", "Sunil Rao/4/2"}},
		{name: "sorted",
			desk: func(t *testing.T, b *Book, ids []string) {
				do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "5"})
			},
			other: func(t *testing.T, f *excelize.File) { swap(t, f, 1, 3) },
			want:  []string{"Sunil Rao/4/2", "Mia Kowal/4/2", "Odile Hart/5/2"}},
		{name: "sorted, and a row more at the desk",
			desk: func(t *testing.T, b *Book, ids []string) {
				id := NewID()
				do(t, b, Change{Kind: Insert, ID: id, After: ids[0]}, Change{Kind: Set, ID: id, Column: "Name", Text: "New"})
			},
			other: func(t *testing.T, f *excelize.File) { swap(t, f, 1, 3) },
			want:  []string{"Sunil Rao/4/2", "Mia Kowal/4/2", "Odile Hart/4/2", "New//"}},
		{name: "a row typed below", other: func(t *testing.T, f *excelize.File) { set(t, f, 4, "Name", "New"); set(t, f, 4, "Width", "1/2") },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2", "New/1/2/"}},
		{name: "a row on each side",
			desk: func(t *testing.T, b *Book, ids []string) {
				id := NewID()
				do(t, b, Change{Kind: Insert, ID: id, After: First}, Change{Kind: Set, ID: id, Column: "Name", Text: "Here"})
			},
			other: func(t *testing.T, f *excelize.File) { set(t, f, 4, "Name", "There") },
			want:  []string{"Here//", "Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2", "There//"}},
		{name: "a row gone there, dropped", other: func(t *testing.T, f *excelize.File) { _ = f.RemoveRow("Journaling", 3) },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}, asked: []QuestionKind{GoneThere},
			answer: Drop, then: []string{"Odile Hart/4/2", "Sunil Rao/4/2"}},
		{name: "a row gone there, kept", other: func(t *testing.T, f *excelize.File) { _ = f.RemoveRow("Journaling", 3) },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}, asked: []QuestionKind{GoneThere},
			answer: Keep, then: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "a row gone here", desk: func(t *testing.T, b *Book, ids []string) { do(t, b, Change{Kind: Remove, ID: ids[1]}) },
			other: func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "5") },
			want:  []string{"Odile Hart/5/2", "Sunil Rao/4/2"}},
		{name: "a row gone here and changed there", desk: func(t *testing.T, b *Book, ids []string) { do(t, b, Change{Kind: Remove, ID: ids[1]}) },
			other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "5") },
			want:  []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}, asked: []QuestionKind{GoneHere},
			answer: Drop, then: []string{"Odile Hart/4/2", "Sunil Rao/4/2"}},
		{name: "a row copied as it is", other: func(t *testing.T, f *excelize.File) { copyRow(t, f, 1, 4) },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2", "Odile Hart/4/2"}, asked: []QuestionKind{Copied},
			answer: Drop, then: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "a sheet copied as a backup, and rows changed in the first", other: func(t *testing.T, f *excelize.File) { backup(t, f); set(t, f, 1, "Width", "7") },
			want:  []string{"Odile Hart/7/2", "Mia Kowal/4/2", "Sunil Rao/4/2", "Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"},
			asked: []QuestionKind{Copied, Copied, Copied}, answer: Drop, then: []string{"Odile Hart/7/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "the backup before it", other: func(t *testing.T, f *excelize.File) {
			backup(t, f)
			must(t, f.MoveSheet("Backup", "Journaling"))
			set(t, f, 1, "Width", "7")
		},
			want:  []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2", "Odile Hart/7/2", "Mia Kowal/4/2", "Sunil Rao/4/2"},
			asked: []QuestionKind{Copied, Copied, Copied}, answer: Drop, then: []string{"Odile Hart/7/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "a row copied above and changed", other: func(t *testing.T, f *excelize.File) { copyRow(t, f, 3, 1); set(t, f, 1, "Width", "7") },
			want: []string{"Sunil Rao/7/2", "Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "a heading renamed to a word that is known", other: func(t *testing.T, f *excelize.File) { set(t, f, 0, "Width", "Breite") },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "a heading renamed", other: func(t *testing.T, f *excelize.File) { set(t, f, 2, "Width", "5"); set(t, f, 0, "Width", "Qqqq") },
			want: []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}, asked: []QuestionKind{Renamed},
			answer: Apart, then: []string{"Odile Hart//2", "Mia Kowal//2", "Sunil Rao//2"}},
		{name: "a column removed", other: func(t *testing.T, f *excelize.File) {
			_ = f.RemoveCol("Journaling", column(t, f, "Journaling", "Height"))
		},
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}, asked: []QuestionKind{ColumnGone},
			answer: Drop, then: []string{"Odile Hart/4/", "Mia Kowal/4/", "Sunil Rao/4/"}},
		{name: "the ids removed", other: func(t *testing.T, f *excelize.File) {
			_ = f.RemoveCol("Journaling", column(t, f, "Journaling", "Id"))
			set(t, f, 2, "Width", "5")
		}, want: []string{"Odile Hart/4/2", "Mia Kowal/5/2", "Sunil Rao/4/2"}},
		{name: "the sheet removed", other: func(t *testing.T, f *excelize.File) { _ = f.DeleteSheet("Journaling") },
			want: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}, asked: []QuestionKind{SheetGone}, answer: Keep,
			then: []string{"Odile Hart/4/2", "Mia Kowal/4/2", "Sunil Rao/4/2"}},
		{name: "measured in another unit", other: func(t *testing.T, f *excelize.File) { set(t, f, 0, "Width", "Width (mm)") },
			want: []string{"Odile Hart/4 mm/2", "Mia Kowal/4 mm/2", "Sunil Rao/4 mm/2"}},
	} {
		for _, running := range []bool{true, false} {
			t.Run(fmt.Sprintf("%s, running %v", c.name, running), func(t *testing.T) {
				d := fakedisk.New()
				b, ids := three(t, d)
				if c.desk != nil {
					c.desk(t, b, ids)
				}
				edit(t, d, func(f *excelize.File) { c.other(t, f) })
				if running {
					if err := b.Save(); err != nil {
						t.Fatal(err)
					}
					b.look()
				} else {
					if err := b.Leave(); err != nil {
						t.Fatal(err)
					}
					var err error
					if b, _, err = open(d, bookPath, settings(t)); err != nil {
						t.Fatal(err)
					}
				}
				if got := told(b); !slices.Equal(got, c.want) {
					t.Errorf("the rows are\n%q, want\n%q", got, c.want)
				}
				if i := find(b.now.Rows[0], ids[2]); i < 0 || b.now.Rows[0][i].Cells["Width"] != "4" && c.name != "measured in another unit" {
					t.Errorf("the last row, which nobody changed, is no longer known: %v", b.now.Rows[0])
				}
				var kinds []QuestionKind
				for _, q := range b.Questions() {
					kinds = append(kinds, q.Kind)
					if q.What == "" || len(q.Choices) == 0 || slices.ContainsFunc(q.Choices, func(c Choice) bool { return c.Says == "" }) {
						t.Errorf("a question without words: %+v", q)
					}
				}
				if !slices.Equal(kinds, c.asked) {
					t.Errorf("asked is %v, want %v", b.Questions(), c.asked)
				}
				ask := func() {
					for _, q := range b.Questions() {
						if err := b.Answer(q.ID, c.answer, ""); err != nil {
							t.Error(err)
						}
					}
				}
				ask()
				if err := b.Close(); err != nil {
					t.Fatal(err)
				}
				b, found, err := open(d, bookPath, settings(t))
				if err != nil || len(found) > 0 || len(b.Questions()) > 0 {
					t.Fatal(err, found, b.Questions())
				}
				want := c.then
				if want == nil {
					want = c.want
				}
				if got := told(b); !slices.Equal(got, want) {
					t.Errorf("later the rows are\n%q, want\n%q", got, want)
				}
				for _, r := range b.Rows(Journaling) {
					if !isID(r.ID) {
						t.Errorf("%q is no id", r.ID)
					}
				}
			})
		}
	}
}

// A program that saves what it had opened long before takes nothing back that was done at the desk since: the workbook says which state it
// was made of.
func TestSavedFromAnOldState(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	old, err := d.Read(bookPath)
	if err != nil {
		t.Fatal(err)
	}
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	do(t, b, Change{Kind: Set, ID: ids[1], Column: "Width", Text: "8"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	d.Put(bookPath, old)
	edit(t, d, func(f *excelize.File) { set(t, f, 3, "Width", "7") })
	b.look()
	if got, want := told(b), []string{"Odile Hart/9/2", "Mia Kowal/8/2", "Sunil Rao/7/2"}; !slices.Equal(got, want) || len(b.Questions()) > 0 {
		t.Errorf("the rows are %q, want %q; %v", got, want, b.Questions())
	}
}

// A row that another program put in is the same when it saves again what it has open, where it has no id yet: what was done to it at the desk meanwhile stays, also
// that it was removed; what the program has changed in it since is taken over, or asked about.
func TestSavedAgainWithARowOfItsOwn(t *testing.T) {
	texts := func(b *Book) (out []string) {
		for _, r := range b.now.Rows[Journaling][3:] {
			out = append(out, r.Cells["Name"]+": "+r.Cells["Journaling"])
		}
		return out
	}
	for name, c := range map[string]struct {
		desk  func(ids []string) []Change          // what is done to the two rows at the desk
		again func(t *testing.T, f *excelize.File) // what the program does before it saves again
		want  []string
		asked []QuestionKind
	}{
		"nothing": {func(ids []string) []Change { return nil }, func(t *testing.T, f *excelize.File) {}, []string{"Lou: pears", "Moe: plums"}, nil},
		"mended and removed": {func(ids []string) []Change {
			return []Change{{Kind: Set, ID: ids[0], Column: "Journaling", Text: "ripe pears"}, {Kind: Remove, ID: ids[1]}}
		}, func(t *testing.T, f *excelize.File) { set(t, f, 1, "Title", "A title") }, []string{"Lou: ripe pears"}, nil},
		"mended in all": {func(ids []string) []Change {
			return []Change{{Kind: Set, ID: ids[0], Column: "Journaling", Text: "ripe pears"}, {Kind: Set, ID: ids[0], Column: "Name", Text: "Louise"}}
		}, func(t *testing.T, f *excelize.File) {}, []string{"Louise: ripe pears", "Moe: plums"}, nil},
		"changed there": {func(ids []string) []Change { return []Change{{Kind: Set, ID: ids[1], Column: "Width", Text: "5"}} },
			func(t *testing.T, f *excelize.File) { set(t, f, 5, "Name", "Mona") }, []string{"Lou: pears", "Mona: plums"}, nil},
		"changed on both sides": {func(ids []string) []Change { return []Change{{Kind: Set, ID: ids[1], Column: "Name", Text: "Mo"}} },
			func(t *testing.T, f *excelize.File) { set(t, f, 5, "Name", "Mona") }, []string{"Lou: pears", "Mo: plums"}, []QuestionKind{Conflict}},
		"removed and changed there": {func(ids []string) []Change { return []Change{{Kind: Remove, ID: ids[1]}} },
			func(t *testing.T, f *excelize.File) { set(t, f, 5, "Name", "Mona") }, []string{"Lou: pears", "Mona: plums"}, []QuestionKind{GoneHere}},
		"sorted": {func(ids []string) []Change {
			return []Change{{Kind: Set, ID: ids[0], Column: "Journaling", Text: "ripe pears"}}
		},
			func(t *testing.T, f *excelize.File) {
				for i, row := range [][]string{{"Moe", "plums"}, {"Lou", "pears"}} {
					set(t, f, 4+i, "Name", row[0])
					set(t, f, 4+i, "Journaling", row[1])
				}
			}, []string{"Lou: ripe pears", "Moe: plums"}, nil},
	} {
		d := fakedisk.New()
		b, _ := three(t, d)
		opened, err := d.Read(bookPath) // and open in the other program from here on
		must(t, err)
		put := func(f *excelize.File) {
			for i, row := range [][]string{{"Lou", "pears"}, {"Moe", "plums"}} {
				set(t, f, 4+i, "Name", row[0])
				set(t, f, 4+i, "Journaling", row[1])
				set(t, f, 4+i, "Width", "4")
			}
		}
		edit(t, d, put)
		must(t, b.compare())
		must(t, b.Save())
		var ids []string
		for _, r := range b.now.Rows[Journaling][3:] {
			ids = append(ids, r.ID)
		}
		if changes := c.desk(ids); changes != nil {
			do(t, b, changes...)
		}
		must(t, b.Save())
		d.Put(bookPath, opened)
		edit(t, d, func(f *excelize.File) { put(f); c.again(t, f) })
		must(t, b.compare())
		var asked []QuestionKind
		for _, q := range b.Questions() {
			asked = append(asked, q.Kind)
		}
		if got := texts(b); !slices.Equal(got, c.want) || !slices.Equal(asked, c.asked) {
			t.Errorf("%s: the rows are %q, want %q; asked is %+v, want %v", name, got, c.want, b.Questions(), c.asked)
		}
	}
}

// A program that has the workbook open saves, takes back what it did, and saves again: it bears the mark of what it had opened both times, and what it took
// back is asked about. What it left as it was is not.
func TestSavedAndTakenBack(t *testing.T) {
	for name, c := range map[string]struct {
		first, then func(t *testing.T, f *excelize.File)
		want        []QuestionKind
		theirs      string // of the question
	}{
		"a text put back":      {func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "9") }, func(t *testing.T, f *excelize.File) {}, []QuestionKind{Conflict}, "4"},
		"a cell emptied again": {func(t *testing.T, f *excelize.File) { set(t, f, 1, "Title", "A title") }, func(t *testing.T, f *excelize.File) {}, []QuestionKind{Conflict}, ""},
		"a row removed again":  {func(t *testing.T, f *excelize.File) { set(t, f, 4, "Journaling", "thought better of") }, func(t *testing.T, f *excelize.File) {}, []QuestionKind{GoneThere}, ""},
		"a row mended": {func(t *testing.T, f *excelize.File) { set(t, f, 4, "Journaling", "a tipo") }, func(t *testing.T, f *excelize.File) { set(t, f, 4, "Journaling", "a typo, mended") },
			[]QuestionKind{GoneThere}, ""},
		"more of the same": {func(t *testing.T, f *excelize.File) { set(t, f, 4, "Journaling", "a row"); set(t, f, 1, "Width", "9") }, func(t *testing.T, f *excelize.File) {
			set(t, f, 4, "Journaling", "a row")
			set(t, f, 1, "Width", "9")
			set(t, f, 2, "Title", "A title")
		}, nil, ""},
	} {
		d := fakedisk.New()
		b, _ := three(t, d)
		opened, err := d.Read(bookPath)
		must(t, err)
		edit(t, d, func(f *excelize.File) { c.first(t, f) })
		must(t, b.compare())
		must(t, b.Save())
		if q := b.Questions(); len(q) > 0 {
			t.Errorf("%s: after the first saving %v is asked", name, q)
		}
		d.Put(bookPath, opened)
		edit(t, d, func(f *excelize.File) { set(t, f, 3, "Title", "Another"); c.then(t, f) })
		must(t, b.compare())
		var asked []QuestionKind
		for _, q := range b.Questions() {
			if asked = append(asked, q.Kind); q.Theirs != c.theirs {
				t.Errorf("%s: it asks about %q", name, q.Theirs)
			}
		}
		if !slices.Equal(asked, c.want) {
			t.Errorf("%s: %v is asked, want %v: %v", name, asked, c.want, b.Questions())
		}
	}
}

// Two programs stay open. What the second has typed in a row that the first has put in stays when the first saves again, which has never seen it; what the first
// has typed further in that row is asked about only where the second has, too.
func TestRowOfOneChangedByAnother(t *testing.T) {
	for _, c := range []struct {
		column, text, want string // of the second program, and what it comes to
	}{{"Title", "of the second", "of the second"}, {"Width", "5", "5"}, {"Width", "", ""}} {
		d := fakedisk.New()
		b, _ := three(t, d)
		opened, err := d.Read(bookPath)
		must(t, err)
		first := func(title string) {
			d.Put(bookPath, opened)
			edit(t, d, func(f *excelize.File) {
				set(t, f, 4, "Name", "Lou Finch")
				set(t, f, 4, "Journaling", "text of Lou")
				set(t, f, 4, "Width", "4")
				set(t, f, 2, "Title", title)
			})
			must(t, b.compare())
			must(t, b.Save())
		}
		first("")
		edit(t, d, func(f *excelize.File) { set(t, f, 4, c.column, c.text) })
		must(t, b.compare())
		must(t, b.Save())
		for _, title := range []string{"elsewhere", "elsewhere"} {
			first(title)
			if rows := b.Rows(Journaling); len(rows) != 4 || rows[3].Cells[c.column] != c.want || rows[3].Cells["Journaling"] != "text of Lou" || len(b.Questions()) > 0 {
				t.Errorf("%s %q: %v, asked %v", c.column, c.text, rows, b.Questions())
			}
		}
	}
}

// A row that a program has copied, with the id that it bears, is one row more, and is asked about once, however often that program saves.
func TestCopiedOnce(t *testing.T) {
	for _, changed := range []bool{true, false} {
		d := fakedisk.New()
		b, _ := three(t, d)
		opened, err := d.Read(bookPath)
		must(t, err)
		asked := 0
		for n := range 3 {
			d.Put(bookPath, opened)
			edit(t, d, func(f *excelize.File) {
				must(t, f.DuplicateRowTo("Journaling", 3, 5))
				if changed {
					set(t, f, 4, "Journaling", "A text of its own")
				}
				set(t, f, 3, "Title", fmt.Sprint(n))
			})
			must(t, b.compare())
			must(t, b.Save())
			for _, q := range b.Questions() {
				if q.Column == "" { // the title was typed twice by the same program
					asked++
					must(t, b.Answer(q.ID, Keep, ""))
				}
			}
			if rows := b.Rows(Journaling); len(rows) != 4 || changed != (rows[3].Cells["Journaling"] == "A text of its own") {
				t.Fatalf("changed %v, saved %d times: %d rows", changed, n+1, len(rows))
			}
		}
		if changed && asked != 0 || !changed && asked != 1 {
			t.Errorf("changed %v: asked %d times", changed, asked)
		}
	}
}

// A program types over a text, saves, removes that row, saves, and puts the row back as it was at first: the text that it took back is not kept in silence.
func TestPutBackAsAtFirst(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	opened, err := d.Read(bookPath)
	must(t, err)
	for _, does := range []func(f *excelize.File){
		func(f *excelize.File) { set(t, f, 2, "Journaling", "A wrong text") },
		func(f *excelize.File) { must(t, f.RemoveRow("Journaling", 3)) },
		func(*excelize.File) {},
	} {
		d.Put(bookPath, opened)
		edit(t, d, does)
		must(t, b.compare())
		must(t, b.Save())
	}
	asked := slices.ContainsFunc(b.Questions(), func(q Question) bool {
		return q.Kind == Conflict && q.Column == "Journaling" && q.Mine == "A wrong text"
	})
	if len(b.Rows(Journaling)) != 3 || !asked {
		t.Errorf("%d rows, asked %v", len(b.Rows(Journaling)), b.Questions())
	}
}

// Two programs have one state open and save by turns. What the first has typed, and what it has put in, and the desk has taken back since, does not come again in
// silence because the second has saved in between.
func TestByTurns(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	opened, err := d.Read(bookPath)
	must(t, err)
	saves := func(does func(f *excelize.File)) {
		t.Helper()
		d.Put(bookPath, opened)
		edit(t, d, does)
		must(t, b.compare())
		must(t, b.Save())
	}
	first := func(f *excelize.File) {
		set(t, f, 1, "Width", "9")
		for column, text := range map[string]string{"Name": "Lou", "Journaling": "Snow.", "Width": "3", "Height": "2"} {
			set(t, f, 4, column, text)
		}
	}
	was := b.Rows(Journaling)[0].Cells["Width"]
	saves(first)
	if rows := b.Rows(Journaling); len(rows) != 4 || rows[0].Cells["Width"] != "9" {
		t.Fatalf("not taken over: %v", rows)
	}
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: was}, Change{Kind: Remove, ID: b.Rows(Journaling)[3].ID})
	for turn := range 2 {
		saves(func(f *excelize.File) { set(t, f, 2, "Title", "By the second") })
		saves(func(f *excelize.File) { first(f); set(t, f, 3, "Page", "By the first") })
		about := func(kind QuestionKind, column string) bool {
			return slices.ContainsFunc(b.Questions(), func(q Question) bool { return q.Kind == kind && q.Column == column })
		}
		if rows := b.Rows(Journaling); rows[0].Cells["Width"] != was || len(rows) != 4 || !about(Conflict, "Width") || !about(GoneHere, "") {
			t.Errorf("turn %d: %v, asked %v", turn, rows, b.Questions())
		}
	}
}

// A program that stays open saves, somebody at the desk goes on with what it saved, and the program puts back what it had opened and saves again: that is asked
// about, whether the desk has typed on, or an answer has taken the program's text or dropped the row that it had removed.
func TestPutBackAgain(t *testing.T) {
	for name, c := range map[string]struct {
		before func(t *testing.T, b *Book, ids []string) // at the desk, once the program has opened the workbook
		first  func(t *testing.T, f *excelize.File)
		desk   func(t *testing.T, b *Book, ids []string)
		want   []QuestionKind
		rows   int
	}{
		"typed on": {nil, func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "9") },
			func(t *testing.T, b *Book, ids []string) {
				do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9 1/2"})
			}, []QuestionKind{Conflict}, 3},
		"its text was taken": {func(t *testing.T, b *Book, ids []string) {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "5"})
		},
			func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "9") },
			func(t *testing.T, b *Book, _ []string) { must(t, b.Answer(b.Questions()[0].ID, Take, "")) }, []QuestionKind{Conflict}, 3},
		"the desk's was kept": {func(t *testing.T, b *Book, ids []string) {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "5"})
		},
			func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "9") },
			func(t *testing.T, b *Book, _ []string) { must(t, b.Answer(b.Questions()[0].ID, Keep, "")) }, []QuestionKind{Conflict}, 3},
		"the desk's was kept, and the program says the same again": {func(t *testing.T, b *Book, ids []string) {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "5"})
		}, nil, func(t *testing.T, b *Book, _ []string) { must(t, b.Answer(b.Questions()[0].ID, Keep, "")) }, nil, 3},
		"its row was kept, and it lacks it again": {nil, nil, func(t *testing.T, b *Book, _ []string) { must(t, b.Answer(b.Questions()[0].ID, Keep, "")) }, nil, 3},
		"its text was set back": {nil, nil, func(t *testing.T, b *Book, ids []string) {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "4"})
		}, nil, 3},
		"its text was made another": {nil, nil, func(t *testing.T, b *Book, ids []string) {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "8"})
		}, nil, 3},
		"its row was dropped": {nil, func(t *testing.T, f *excelize.File) { must(t, f.RemoveRow("Journaling", 3)) },
			func(t *testing.T, b *Book, _ []string) { must(t, b.Answer(b.Questions()[0].ID, Drop, "")) }, []QuestionKind{GoneHere}, 3},
		"the desk has removed a row": {nil, func(t *testing.T, f *excelize.File) {},
			func(t *testing.T, b *Book, ids []string) { do(t, b, Change{Kind: Remove, ID: ids[1]}) }, nil, 2},
		"its row is put back, and nobody has answered": {nil, func(t *testing.T, f *excelize.File) { must(t, f.RemoveRow("Journaling", 3)) }, nil, []QuestionKind{GoneThere}, 3}, // by this program or another one
	} {
		d := fakedisk.New()
		b, ids := three(t, d)
		opened, err := d.Read(bookPath)
		must(t, err)
		if c.before != nil {
			c.before(t, b, ids)
			must(t, b.Save())
		}
		again := func(*testing.T, *excelize.File) {}
		if c.first == nil { // it leaves alone what it saved
			c.first = func(t *testing.T, f *excelize.File) { set(t, f, 1, "Width", "9") }
			if name == "its row was kept, and it lacks it again" {
				c.first = func(t *testing.T, f *excelize.File) { must(t, f.RemoveRow("Journaling", 3)) }
			}
			again = c.first
		}
		for _, saves := range []func(t *testing.T, f *excelize.File){c.first, again} {
			d.Put(bookPath, opened)
			edit(t, d, func(f *excelize.File) { set(t, f, 3, "Title", NewID()); saves(t, f) })
			must(t, b.compare())
			must(t, b.Save())
			if c.desk != nil {
				c.desk(t, b, ids)
				must(t, b.Save())
			}
			c.desk = nil
		}
		var asked []QuestionKind
		for _, q := range b.Questions() {
			if q.Column != "Title" { // typed twice by the same program
				asked = append(asked, q.Kind)
			}
		}
		if width := b.Rows(Journaling)[0].Cells["Width"]; name == "its text was set back" && width != "4" || name == "its text was made another" && width != "8" {
			t.Errorf("%s: it is %q", name, width)
		}
		if !slices.Equal(asked, c.want) || len(b.Rows(Journaling)) != c.rows {
			t.Errorf("%s: %v is asked, want %v; %d rows: %v", name, asked, c.want, len(b.Rows(Journaling)), b.Questions())
		}
	}
}

// A row that was typed at the desk is not the one of another program that has the same caption: that program has never seen it.
func TestOneCaptionTwice(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	id := NewID()
	do(t, b, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Ann"}, Change{Kind: Set, ID: id, Column: "Journaling", Text: "By the sea"})
	edit(t, d, func(f *excelize.File) { set(t, f, 4, "Name", "Bob"); set(t, f, 4, "Journaling", "By the sea") })
	must(t, b.compare())
	var names []string
	for _, r := range b.Rows(Journaling)[3:] {
		names = append(names, r.Cells["Name"])
	}
	slices.Sort(names)
	if !slices.Equal(names, []string{"Ann", "Bob"}) || len(b.Questions()) > 0 {
		t.Errorf("%v, asked %v", names, b.Questions())
	}
}

// A row that a desk has removed, and that a workbook brings back of which nobody knows what it was made of, is asked about.
func TestRemovedRowOfAnUnknownState(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	old, err := d.Read(bookPath)
	must(t, err)
	do(t, b, Change{Kind: Remove, ID: ids[1]})
	must(t, b.Close())
	for _, n := range d.Names() {
		if n != bookPath { // the job is carried on from its workbook alone
			must(t, d.Remove(n))
		}
	}
	b, _, err = open(d, bookPath, settings(t))
	must(t, err)
	d.Put(bookPath, old)
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "7") })
	must(t, b.compare())
	if q := b.Questions(); !slices.ContainsFunc(q, func(q Question) bool { return q.Kind == GoneHere && q.Row == ids[1] }) {
		t.Errorf("%d rows, %+v", len(b.now.Rows[Journaling]), q)
	}
}

// What a job began with is no step, and is not taken back; nor is a row in which another program has written since.
func TestUndoKeepsRowsOfOthers(t *testing.T) {
	d := fakedisk.New()
	first := NewID()
	b, err := create(d, bookPath, settings(t), Change{Kind: Insert, ID: first}, Change{Kind: Set, ID: first, Column: "Name", Text: "Odile Hart"})
	if err != nil {
		t.Fatal(err)
	}
	if _, more, err := b.Undo(); more || err != nil || len(b.Rows(Journaling)) != 1 {
		t.Errorf("what the job began with was taken back: %v %v", more, err)
	}
	id := NewID()
	do(t, b, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Mia Kowal"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	edit(t, d, func(f *excelize.File) { set(t, f, 2, "Width", "7") })
	b.look()
	if _, more, err := b.Undo(); !more || err == nil {
		t.Errorf("the row was taken back: %v %v", more, err)
	}
	if got, want := told(b), []string{"Odile Hart//", "Mia Kowal/7/"}; !slices.Equal(got, want) {
		t.Errorf("the rows are %q, want %q", got, want)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
}

// What another program wrote between Undo and Redo stays, also over a restart: the cell is not set again, the row does not go again.
func TestRedoKeepsWhatOthersDid(t *testing.T) {
	for name, c := range map[string]struct {
		change Change
		edit   string // the heading under which another program types
		want   string // of the first row, after Redo
		says   bool
	}{
		"the same cell":            {Change{Kind: Set, Column: "Width", Text: "5"}, "Width", "Odile Hart/9/2", true},
		"another cell":             {Change{Kind: Set, Column: "Width", Text: "5"}, "Height", "Odile Hart/5/9", false},
		"the row that was removed": {Change{Kind: Remove}, "Width", "Odile Hart/9/2", true},
	} {
		for _, restart := range []bool{false, true} {
			d := fakedisk.New()
			b, ids := three(t, d)
			c.change.ID = ids[0]
			do(t, b, c.change)
			if _, _, err := b.Undo(); err != nil {
				t.Fatal(err)
			}
			if err := b.Save(); err != nil {
				t.Fatal(err)
			}
			edit(t, d, func(f *excelize.File) { set(t, f, 1, c.edit, "9") })
			if restart {
				d = d.Restart(nil)
				var err error
				if b, _, err = open(d, bookPath, settings(t)); err != nil {
					t.Fatal(err)
				}
			} else {
				b.look()
			}
			_, more, err := b.Redo()
			if got := told(b)[0]; !more || (err != nil) != c.says || got != c.want {
				t.Errorf("%s, restart %v: the row is %q, want %q; %v %v", name, restart, got, c.want, more, err)
			}
		}
	}
}

// A row that was removed here and is back, since another program has changed it: Undo says that it cannot be taken back, and leaves what was done before.
func TestUndoOfARowThatIsBack(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	do(t, b, Change{Kind: Set, ID: ids[1], Column: "Width", Text: "8"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "9") })
	do(t, b, Change{Kind: Remove, ID: ids[0]})
	b.look()
	if _, more, err := b.Undo(); !more || err == nil {
		t.Errorf("it does not say so: %v %v", more, err)
	}
	if got, want := told(b), []string{"Odile Hart/9/2", "Mia Kowal/8/2", "Sunil Rao/4/2"}; !slices.Equal(got, want) {
		t.Errorf("the rows are %q, want %q", got, want)
	}
}

// Every text that lost a cell to what the desk has is asked about until somebody settles it; a question shows what stands in the cell now, and is none
// while that is the other text.
func TestTwoConflictsInOneCell(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	for i, there := range []string{"first there", "second there"} {
		edit(t, d, func(f *excelize.File) { set(t, f, 1, "Name", there) })
		do(t, b, Change{Kind: Set, ID: ids[0], Column: "Name", Text: fmt.Sprint("here ", i)})
		b.look()
		if err := b.Save(); err != nil {
			t.Fatal(err)
		}
	}
	asked := func() (out []string) {
		for _, q := range b.Questions() {
			out = append(out, q.Mine+"/"+q.Theirs)
		}
		return out
	}
	if got, want := asked(), []string{"here 1/first there", "here 1/second there"}; !slices.Equal(got, want) {
		t.Fatalf("asked are %q, want %q", got, want)
	}
	if _, _, err := b.Undo(); err != nil {
		t.Fatal(err)
	}
	if got, want := asked(), []string{"here 0/first there", "here 0/second there"}; !slices.Equal(got, want) {
		t.Errorf("after Undo %q are asked, want %q", got, want)
	}
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Name", Text: "first there"})
	if got, want := asked(), []string{"first there/second there"}; !slices.Equal(got, want) {
		t.Errorf("with the first text typed %q are asked, want %q", got, want)
	}
}

// A cell that another program has changed since is not put back by taking back the desk's own change of it; what else that step did is.
func TestUndoKeepsWhatOthersDid(t *testing.T) {
	d := fakedisk.New()
	id := NewID()
	b, err := create(d, bookPath, settings(t), Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"}, Change{Kind: Set, ID: id, Column: "Width", Text: "4"})
	if err != nil {
		t.Fatal(err)
	}
	do(t, b, Change{Kind: Set, ID: id, Column: "Height", Text: "2"})
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"}, Change{Kind: Set, ID: id, Column: "Name", Text: "Mia\r\nKowal"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Height", "9"); set(t, f, 1, "Width", "7") })
	b.look()
	for _, c := range []struct {
		step func() (Revision, bool, error)
		want string
		says bool
	}{
		{b.Undo, "Odile Hart/7/9", false},
		{b.Redo, "Mia\nKowal/7/9", false},
		{b.Undo, "Odile Hart/7/9", false},
		{b.Undo, "Odile Hart/7/9", true},
	} {
		_, more, err := c.step()
		if got := told(b); !more || (err != nil) != c.says || !slices.Equal(got, []string{c.want}) {
			t.Errorf("the row is %q, want %q; %v %v", got, c.want, more, err)
		}
	}
	if _, more, err := b.Undo(); more || err != nil {
		t.Errorf("there is more to take back: %v", err)
	}
}

// A workbook whose rows have lost their ids, and all their texts with that, is read in little time.
func TestManyRowsWithoutIDs(t *testing.T) {
	_, b, _ := one(t)
	var changes []Change
	for i := range 2000 {
		id := NewID()
		changes = append(changes, Change{Kind: Insert, ID: id})
		for _, c := range []string{"Name", "Page", "Journaling", "Title", "Who", "Where"} {
			changes = append(changes, Change{Kind: Set, ID: id, Column: c, Text: fmt.Sprintf("%s %d", c, i)})
		}
	}
	do(t, b, changes...)
	theirs := b.now.asRead()
	for i := range theirs[Journaling].rows {
		r := &theirs[Journaling].rows[i]
		r.ID = ""
		for c := range r.Cells {
			r.Cells[c] += " otherwise"
		}
	}
	start := time.Now()
	after, asked := takeOver(begun{base: b.now}, b.now, theirs)
	if took := time.Since(start); took > 2*time.Second { // a tenth of a second; many, where every row is compared with every other
		t.Errorf("it took %v", took)
	}
	if rows, n := len(after.Rows[Journaling]), len(asked); rows != 4002 || n != 2001 {
		t.Errorf("%d rows, %d questions", rows, n)
	}
}

// The answer that a column which was given another name is another one leaves each text in its row, also where the other program has copied a row with its id.
func TestApartWithACopiedRow(t *testing.T) {
	d, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "the first"})
	must(t, b.Save())
	edit(t, d, func(f *excelize.File) {
		copyRow(t, f, 1, 2)
		set(t, f, 2, "Title", "the copy")
		must(t, f.SetCellStr("Journaling", column(t, f, "Journaling", "Title")+"1", "Own"))
	})
	must(t, b.compare())
	for _, q := range b.Questions() {
		if q.Kind == Renamed {
			must(t, b.Answer(q.ID, Apart, ""))
		}
	}
	var got []string
	for _, r := range b.Rows(Journaling) {
		got = append(got, r.Cells["Title"]+"/"+r.Cells["Own"])
	}
	if !slices.Equal(got, []string{"/the first", "/the copy"}) {
		t.Errorf("the cells are %q", got)
	}
}

// A workbook that has lost the mark of its state may be older than what the desk wrote last: what it has otherwise is asked about, and takes the place of nothing.
func TestMarkLost(t *testing.T) {
	for name, lose := range map[string]func(f *excelize.File) error{
		"the sheet is deleted":        func(f *excelize.File) error { return f.DeleteSheet("Lists") },
		"its first column is deleted": func(f *excelize.File) error { return f.RemoveCol("Lists", "A") },
		"its state is emptied": func(f *excelize.File) error {
			rows, err := f.GetRows("Lists")
			for i := 2; i < len(rows) && err == nil; i++ {
				at, _ := excelize.CoordinatesToCellName(len(rows[0]), i+1)
				err = f.SetCellValue("Lists", at, nil)
			}
			return err
		},
	} {
		d := fakedisk.New()
		b, ids := three(t, d)
		older, err := d.Read(bookPath)
		must(t, err)
		do(t, b, Change{Kind: Set, ID: ids[0], Column: "Journaling", Text: "typed since"}, Change{Kind: Set, ID: ids[1], Column: "Title", Text: "a title since"})
		must(t, b.Save())
		d.Put(bookPath, older)
		edit(t, d, func(f *excelize.File) { must(t, lose(f)) })
		must(t, b.compare())
		var has []string
		for _, r := range b.now.Rows[Journaling] {
			for _, text := range r.Cells {
				has = append(has, text)
			}
		}
		for _, want := range []string{"typed since", "a title since"} {
			if !slices.Contains(has, want) {
				t.Errorf("%s: %q is not in the book, which has %q", name, want, has)
			}
		}
	}
}
