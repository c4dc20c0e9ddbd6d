package jobbook

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/intake"
)

// TestUnitInNewHeading: a unit that another program has written into a heading holds for the bare measures below it, whichever is pressed then, and where the column is answered before.
func TestUnitInNewHeading(t *testing.T) {
	for name, c := range map[string]struct{ was, now, text, want string }{
		"its own name": {"Gap", "Gap (cm)", "7 x 5", "7 x 5 cm"}, "another name": {"Gap", "Hole (cm)", "7 x 5", "7 x 5 cm"}, "one side": {"Gap", "Gap in mm", "70", "70 mm"}, "the desk's": {"Gap", "Gap (in)", "7 x 5", "7 x 5 in"},
		"said": {"Gap", "Gap (cm)", "7 x 5 mm", "7 x 5 mm"}, "in doubt": {"Gap", "Gap (cm or in)", "7 x 5", "7 x 5 ?"}, "none": {"Gap", "Hole", "7 x 5", "7 x 5"}, "no measure": {"Gap", "Gap (cm)", "narrow", "narrow"},
		"there already": {"Gap (cm)", "Hole (cm)", "7 x 5", "7 x 5"}, "of the form": {"Width", "Qqqq (cm)", "7", "7 cm"},
	} {
		for _, key := range []string{"", Keep, Apart} {
			d := fakedisk.New()
			b, err := create(d, bookPath, settings(t))
			must(t, err)
			id := NewID()
			do(t, b, Change{Kind: head, Column: c.was}, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"}, Change{Kind: Set, ID: id, Column: c.was, Text: c.text})
			must(t, b.Save())
			edit(t, d, func(f *excelize.File) {
				heading := c.was
				if c.was == "Width" {
					heading = "Width (in)"
				}
				must(t, f.SetCellStr("Journaling", column(t, f, "Journaling", heading)+"1", c.now))
			})
			must(t, b.compare())
			for _, q := range b.Questions() {
				if q.Kind == Renamed && key != "" {
					must(t, b.Answer(q.ID, key, ""))
				}
			}
			r := b.Rows(Journaling)[0]
			if key == Apart {
				if r.Cells[c.now] != c.text || r.Cells[c.was] != "" {
					t.Errorf("%s, apart: %v", name, r.Cells)
				}
			} else if r.Cells[c.was] != c.want || r.Cells[c.now] != "" {
				t.Errorf("%s, %q: %v", name, key, r.Cells)
			}
		}
	}
}

// TestVersionsByText: a later version is told where nobody has said which column holds the names, on one side, and where of several texts that nobody knows one is the same.
func TestVersionsByText(t *testing.T) {
	const named = "Name,Journaling,Width,Height\nOdo Fenn,Plums in a sack,4,2\nUma Reed,Rain all day,4,2\nZia Moss,Sea grey,4,2\nIvo Hart,Boat red,4,2\n"
	wot, changed := strings.Replace(named, "Name", "Wot", 1), strings.NewReplacer("Plums in a sack", "Pears", "Sea grey", "Sea blue").Replace(named)
	texts := func(remark string) string {
		return "Name,Scribble,Aside,Width,Height\nOdo Fenn,Plums in a sack,to be done by the " + remark + ",4,2\nUma Reed,Rain on all days,to be asked about the " + remark + ",4,2\n"
	}
	others := strings.NewReplacer("Plums in a sack", "Pears", "Rain all day", "Hail", "Sea grey", "Sea blue").Replace(named)
	for i, c := range []struct {
		before, taken string
		told          bool
	}{
		{wot, changed, true}, {changed, wot, true}, {wot, strings.Replace(changed, "Name", "Wot", 1), true}, {texts("week"), texts("month"), true}, {texts("month"), strings.NewReplacer("Plums in a sack", "Pears in the tree", "Rain on all days", "Hail at the sea").Replace(texts("week")), false},
		{wot, others, false}, {others, wot, false},
	} {
		b, _, _ := takenFrom(t, "more.csv", []byte(c.before))
		file := filepath.Join(t.TempDir(), "later.csv")
		must(t, os.WriteFile(file, []byte(c.taken), 0o600))
		found, err := b.Take(context.Background(), []string{file})
		must(t, err)
		n := 0
		for _, p := range found {
			if strings.Contains(p.What, "versions of one file") {
				n++
			}
		}
		if (n == 1) != c.told || n > 1 {
			t.Errorf("case %d: told %v", i, found)
		}
	}
}

// TestAnsweredUnitOfHeading: a heading that names the job's own unit says what the numbers below it are, also once its column is answered.
func TestAnsweredUnitOfHeading(t *testing.T) {
	b, _, _ := takenFrom(t, "a.csv", []byte("Name,Journaling,Gax (in),Gix (in)\nOdo Fenn,Plums,4,3\nUma Reed,Rain,10 cm,8 cm\nVi Orr,Hats,12 cm,8 cm\n"))
	for heading, as := range map[string]string{"Gax (in)": "Width", "Gix (in)": "Height"} {
		var changes []Change
		for _, r := range b.Rows(Journaling) {
			changes = append(changes, Change{ID: r.ID, Column: as, Text: intake.TakenFor(as, heading, r.Cells, b.Unit())}, Change{ID: r.ID, Column: heading})
		}
		changes, found := b.Answered(heading, changes)
		if do(t, b, changes...); len(found) > 0 {
			t.Errorf("%s: %v", heading, found)
		}
	}
	for _, r := range b.Rows(Journaling) {
		if strings.Contains(r.Cells["Width"]+r.Cells["Height"], "?") {
			t.Errorf("%v", r.Cells)
		}
	}
}

// TestAnsweredSpaceBook: a book that does not know what it was made of has the rows whose space was answered, whole and asked about.
func TestAnsweredSpaceBook(t *testing.T) {
	for _, data := range []string{"Name,Journaling,Gap\nOdo Fenn,Plums,7 x 5\nUma Reed,Rain,6 x 4\n", "Name,Journaling,Gap\nOdo Fenn,Plums,7 x 5\nUma Reed,Rain,6 x 4 cm\nZia Moss,Sea,5 x 5 cm\n"} {
		dir := t.TempDir()
		file := filepath.Join(dir, "a.csv")
		must(t, os.WriteFile(file, []byte(data), 0o600))
		b, _, _, err := Import(context.Background(), []string{file}, settings(t))
		must(t, err)
		var changes []Change
		for _, r := range b.Rows(Journaling) {
			changes = append(changes, Change{ID: r.ID, Column: spaceColumn, Text: intake.TakenFor(spaceColumn, "Gap", r.Cells, b.Unit())}, Change{ID: r.ID, Column: "Gap"})
		}
		changes, _ = b.Answered("Gap", changes)
		do(t, b, changes...)
		must(t, b.Close())
		must(t, os.RemoveAll(Folder(filepath.Join(dir, "a-desk.xlsx"))))
		b, _, found, err := Import(context.Background(), []string{file}, settings(t))
		must(t, err)
		must(t, b.Close())
		for _, p := range found {
			if strings.Contains(p.What, "as they stand there") {
				t.Errorf("%q: %v", data, p)
			}
		}
	}
}

// BenchmarkAnswered is an answer about a column of a long job.
func BenchmarkAnswered(b *testing.B) {
	s := settings(b)
	var changes, answer []Change
	for i := range 9000 {
		id := NewID()
		changes = append(changes, Change{Kind: head, Column: "Gap"}, Change{Kind: Insert, ID: id, After: Last}, Change{ID: id, Column: "Name", Text: fmt.Sprint("Ann ", i)},
			Change{ID: id, Column: "Journaling", Text: strings.Repeat("We rowed out. ", 20)}, Change{ID: id, Column: "Gap", Text: "7 x 5"})
		answer = append(answer, Change{Kind: Set, ID: id, Column: spaceColumn, Text: "7 x 5"}, Change{Kind: Set, ID: id, Column: "Gap"})
	}
	book, err := create(fakedisk.New(), bookPath, s, changes...)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		book.Answered("Gap", answer)
	}
}
