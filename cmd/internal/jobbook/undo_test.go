package jobbook

import (
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
)

// one is a job of one row, Odile Hart/4/2, that is in the workbook.
func one(t *testing.T) (*fakedisk.Disk, *Book, string) {
	t.Helper()
	d := fakedisk.New()
	b, err := create(d, bookPath, settings(t))
	must(t, err)
	id := NewID()
	do(t, b, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"}, Change{Kind: Set, ID: id, Column: "Width", Text: "4"},
		Change{Kind: Set, ID: id, Column: "Height", Text: "2"})
	must(t, b.Save())
	return d, b, id
}

// rowIs fails where the row or the texts of the open questions are others.
func rowIs(t *testing.T, b *Book, when, want string, asked ...string) {
	t.Helper()
	var theirs []string
	for _, q := range b.Questions() {
		theirs = append(theirs, q.Theirs)
	}
	if got := told(b); !slices.Equal(got, []string{want}) || !slices.Equal(theirs, asked) {
		t.Errorf("%s: the row is %q, want %q; asked is %q, want %q", when, got, want, theirs, asked)
	}
}

// What both sides have typed alike is the other's, too: Undo leaves it, and says so, however often the other saves it.
func TestUndoKeepsWhatBothTyped(t *testing.T) {
	d, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"})
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "5") })
	must(t, b.compare())
	steps := b.history.last
	edit(t, d, func(f *excelize.File) {})
	must(t, b.compare())
	if b.history.last != steps {
		t.Error("what was typed alike is noted again")
	}
	if _, more, err := b.Undo(); !more || err == nil || !strings.HasPrefix(err.Error(), "another program has changed this since, which stays: Width of Odile Hart") {
		t.Errorf("Undo says %v, %v", more, err)
	}
	rowIs(t, b, "what both typed", "Odile Hart/5/2")
}

// The same holds where Undo would take away the row that it stands in.
func TestUndoKeepsTheRowThatBothTypedIn(t *testing.T) {
	d, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"})
	must(t, b.Save())
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "4"})
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "4") })
	must(t, b.compare())
	for range 3 {
		if _, more, err := b.Undo(); !more || err == nil {
			t.Errorf("Undo says %v, %v", more, err)
		}
		rowIs(t, b, "a row that both typed in", "Odile Hart/4/2")
	}
}

// An answer that is taken back leaves the question open again, also after a new start; where it is done again, it is settled.
func TestUndoOfAnAnswer(t *testing.T) {
	d, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"})
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "7") })
	must(t, b.compare())
	rowIs(t, b, "asked", "Odile Hart/5/2", "7")
	must(t, b.Answer(b.Questions()[0].ID, Take, ""))
	rowIs(t, b, "taken", "Odile Hart/7/2")
	for range 2 {
		_, _, err := b.Undo()
		must(t, err)
		rowIs(t, b, "taken back", "Odile Hart/5/2", "7")
		must(t, b.Close())
		b, _, err = openBook(t, d)
		must(t, err)
		rowIs(t, b, "after a new start", "Odile Hart/5/2", "7")
		_, _, err = b.Redo()
		must(t, err)
		rowIs(t, b, "taken again", "Odile Hart/7/2")
	}
	_, _, err := b.Undo()
	must(t, err)
	must(t, b.Answer(b.Questions()[0].ID, Keep, ""))
	rowIs(t, b, "kept", "Odile Hart/5/2")
}

// The same of a row that an answer drops.
func TestUndoOfADrop(t *testing.T) {
	d, b, _ := one(t)
	edit(t, d, func(f *excelize.File) { must(t, f.RemoveRow("Journaling", 2)) })
	must(t, b.compare())
	asked := b.Questions()
	if len(asked) != 1 || asked[0].Kind != GoneThere {
		t.Fatal(asked)
	}
	must(t, b.Answer(asked[0].ID, Drop, ""))
	_, _, err := b.Undo()
	must(t, err)
	if again := b.Questions(); len(again) != 1 || again[0].Kind != GoneThere || len(told(b)) != 1 {
		t.Errorf("asked is %v of %q", again, told(b))
	}
}

// What somebody else wrote since a row was looked at keeps it, and something that was done since the states were listed keeps the state.
func TestNothingUnseenIsRemoved(t *testing.T) {
	_, b, id := one(t)
	saw := map[string][]string{"Name": {"Odile Hart"}, "Width": {"", "4"}, "Height": {"2"}}
	listed := b.States()
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "Harbour"})
	if _, others, err := b.Remove(Typed{ID: id, Seen: saw}); err != nil || !maps.Equal(others, map[string]string{"Title": "Harbour"}) {
		t.Errorf("of others there is %q, %v", others, err)
	}
	if _, err := b.Return(listed[len(listed)-1].Revision, listed[0].Revision); !errors.Is(err, ErrSince) {
		t.Error(err)
	}
	rowIs(t, b, "refused", "Odile Hart/4/2")
	saw["Title"], saw["Page"] = []string{"Harbour"}, []string{""}
	if _, others, err := b.Remove(Typed{ID: id, Seen: saw}); others != nil || err != nil || len(told(b)) > 0 {
		t.Errorf("%q, %v, %q", others, err, told(b))
	}
	if _, _, err := b.Remove(Typed{ID: id}); !errors.Is(err, ErrGone) {
		t.Error(err)
	}
	if _, err := b.Return(b.States()[1].Revision, b.States()[0].Revision); err != nil {
		t.Error(err)
	}
	rowIs(t, b, "gone back", "Odile Hart/4/2")
	if _, _, err := b.Remove(Typed{ID: id}); err != nil || len(told(b)) > 0 {
		t.Errorf("%v, %q", err, told(b))
	}
}

// An answer takes nothing away that was typed since its question was read, by whoever answers.
func TestNothingUnseenIsAnsweredAway(t *testing.T) {
	d, b, id := one(t)
	second := NewID()
	do(t, b, Change{Kind: Insert, ID: second}, Change{Kind: Set, ID: second, Column: "Title", Text: "Pier"})
	must(t, b.Save())
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Title", "Quay"); must(t, f.RemoveRow(Journaling.String(), 3)) })
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "Harbour"})
	must(t, b.compare())
	read := b.Questions()
	if len(read) != 2 || read[0].Kind != Conflict || read[1].Kind != GoneThere {
		t.Fatalf("%+v", read)
	}
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "Harbour wall"}, Change{Kind: Set, ID: second, Column: "Page", Text: "7"})
	for i, key := range []string{Take, Drop} {
		if err := b.Answer(read[i].ID, key, read[i].Shown); err == nil {
			t.Errorf("%s is done to what nobody has read", key)
		}
	}
	if rows := b.Rows(Journaling); len(rows) != 2 || rows[0].Cells["Title"] != "Harbour wall" || rows[1].Cells["Page"] != "7" {
		t.Fatal(rows)
	}
	now := b.Questions()
	do(t, b, Change{Kind: Set, ID: id, Column: "Page", Text: "3"}) // which the question about the title does not show
	must(t, b.Answer(now[0].ID, Take, now[0].Shown))
	must(t, b.Answer(now[1].ID, Drop, now[1].Shown))
	if rows := b.Rows(Journaling); len(rows) != 1 || rows[0].Cells["Title"] != "Quay" {
		t.Error(rows)
	}
}

// What stays of a step that is taken back in part is told, cell by cell.
func TestUndoSaysWhatItLeft(t *testing.T) {
	d, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"}, Change{Kind: Set, ID: id, Column: "Height", Text: "3"}, Change{Kind: Set, ID: id, Column: "Title", Text: "Harbour"})
	must(t, b.Save())
	edit(t, d, func(f *excelize.File) { set(t, f, 1, "Width", "7"); set(t, f, 1, "Title", "Quay") })
	must(t, b.compare())
	for len(b.events) > 0 {
		<-b.events
	}
	_, _, err := b.Undo()
	must(t, err)
	rowIs(t, b, "in part", "Odile Hart/7/2")
	said := ""
	for len(b.events) > 0 {
		if e := <-b.events; e.Kind == Noted {
			said = e.Problem.What
		}
	}
	if !strings.HasPrefix(said, "another program has changed this since, which stays: ") || !strings.Contains(said, "Title and Width of ") && !strings.Contains(said, "Width and Title of ") {
		t.Errorf("it says %q", said)
	}
}

// An answer about a column empties no cell in which something was typed since it was asked; one that is taken back and given again does what it did.
func TestAnswersLeaveWhatWasTypedSince(t *testing.T) {
	for _, c := range []struct{ heading, key, want, again string }{{"Own", Apart, "new/the first", "/the first"}, {"", Drop, "new/", "/"}} {
		d, b, id := one(t)
		do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "the first"})
		must(t, b.Save())
		edit(t, d, func(f *excelize.File) {
			at := column(t, f, "Journaling", "Title")
			must(t, f.SetCellStr("Journaling", at+"1", c.heading))
			if c.heading == "" {
				must(t, f.RemoveCol("Journaling", at))
			}
		})
		must(t, b.compare())
		cells := func() string {
			r := b.Rows(Journaling)[0].Cells
			return r["Title"] + "/" + r["Own"]
		}
		answer := func() {
			t.Helper()
			if asked := b.Questions(); len(asked) != 1 || asked[0].Kind != Renamed && asked[0].Kind != ColumnGone {
				t.Fatal(asked)
			}
			must(t, b.Answer(b.Questions()[0].ID, c.key, ""))
		}
		answer()
		_, _, err := b.Undo()
		must(t, err)
		answer()
		if got := cells(); got != c.again {
			t.Errorf("%s given again: %q", c.key, got)
		}
		_, _, err = b.Undo()
		must(t, err)
		do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "new"})
		answer()
		if got := cells(); got != c.want {
			t.Errorf("%s, typed in since: %q, want %q", c.key, got, c.want)
		}
		// Nor where the same is asked once more after that: because an answer was taken back, or because the other program has saved again.
		for _, way := range []string{"kept and taken back", "saved again"} {
			d, b, id := one(t)
			do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "the first"})
			must(t, b.Save())
			theirs := func(more func(f *excelize.File)) {
				edit(t, d, func(f *excelize.File) {
					at := column(t, f, "Journaling", "Title")
					must(t, f.SetCellStr("Journaling", at+"1", "Own"))
					more(f)
					if c.heading == "" {
						must(t, f.RemoveCol("Journaling", at))
					}
				})
			}
			open, err := d.Read(bookPath)
			must(t, err)
			theirs(func(*excelize.File) {})
			must(t, b.compare())
			do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "new"})
			if way == "saved again" {
				d.Put(bookPath, open)
				theirs(func(f *excelize.File) { set(t, f, 1, "Width", "7") })
				must(t, b.compare())
			} else {
				must(t, b.Answer(b.Questions()[0].ID, Keep, ""))
				_, _, err := b.Undo()
				must(t, err)
			}
			for _, q := range b.Questions() {
				if q.Kind == Renamed || q.Kind == ColumnGone {
					must(t, b.Answer(q.ID, c.key, ""))
				}
			}
			if r := b.Rows(Journaling)[0].Cells; r["Title"]+"/"+r["Own"] != c.want {
				t.Errorf("%s, typed in, %s: %q, want %q", c.key, way, r["Title"]+"/"+r["Own"], c.want)
			}
		}
	}
}

// Any answer can be taken back, also one that leaves all as it is: then the same is asked again, with what another program wrote, also after a new start.
// Done again, it is settled.
func TestUndoOfAnyAnswer(t *testing.T) {
	title := func(f *excelize.File) string { return column(t, f, "Journaling", "Title") }
	for name, theirs := range map[string]func(*excelize.File){
		"a cell":          func(f *excelize.File) { set(t, f, 1, "Width", "7") },
		"a row gone":      func(f *excelize.File) { must(t, f.RemoveRow("Journaling", 2)) },
		"a column gone":   func(f *excelize.File) { must(t, f.RemoveCol("Journaling", title(f))) },
		"a column called": func(f *excelize.File) { must(t, f.SetCellStr("Journaling", title(f)+"1", "Own")) },
		"a sheet gone":    func(f *excelize.File) { must(t, f.DeleteSheet("Paper")) },
		"a page left":     nil,
	} {
		for n := range 2 {
			d, b, id := one(t)
			do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "Harbour"}, Change{Kind: Insert, Sheet: Paper, ID: NewID()})
			must(t, b.Save())
			do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "5"})
			if theirs == nil {
				b.AskLeft(Journaling, id, map[string]string{"Title": "Quay"})
			} else {
				edit(t, d, theirs)
				must(t, b.compare())
			}
			asked := b.Questions()
			if len(asked) != 1 {
				t.Fatalf("%s: asked is %+v", name, asked)
			}
			if n == len(asked[0].Choices) {
				continue
			}
			key, before := asked[0].Choices[n].Key, told(b)
			must(t, b.Answer(asked[0].ID, key, ""))
			after := told(b)
			if _, more, err := b.Undo(); !more || err != nil {
				t.Fatalf("%s, %s: Undo says %v, %v", name, key, more, err)
			}
			must(t, b.Close())
			b, _, err := openBook(t, d)
			must(t, err)
			again := b.Questions()
			if len(again) != 1 || again[0].What != asked[0].What || again[0].Theirs != asked[0].Theirs || len(again[0].Choices) != len(asked[0].Choices) || !slices.Equal(told(b), before) {
				t.Errorf("%s, %s, taken back: asked is %+v of %q, want %+v of %q", name, key, again, told(b), asked, before)
			}
			if states := b.States(); !states[0].Answered {
				t.Errorf("%s, %s: the states do not tell: %+v", name, key, states)
			}
			_, _, err = b.Redo()
			must(t, err)
			if again = b.Questions(); len(again) > 0 || !slices.Equal(told(b), after) {
				t.Errorf("%s, %s, done again: asked is %+v of %q", name, key, again, told(b))
			}
		}
	}
}
