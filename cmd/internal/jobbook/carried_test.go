package jobbook

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// conflict is a question about the cell Title of a row.
func conflict(row, mine, theirs string) Question {
	return Question{Kind: Conflict, Row: row, Column: "Title", Mine: mine, Theirs: theirs,
		Choices: []Choice{{Key: Keep}, {Key: Take, Changes: []Change{{Kind: Set, ID: row, Column: "Title", Text: theirs}}}}}
}

// Open questions stand in the workbook, and are there again when that is all that is left of a job, whatever texts they are about.
func TestQuestionsInTheWorkbook(t *testing.T) {
	_, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "mine"})
	asked := []Question{
		conflict(id, "mine", strings.Repeat("é_x000D_ 😀", 3300)), conflict(id, "mine", " a\n\"b\"\\ <&> _x0041__x0042_ "), conflict(NewID(), "of a row that is gone", "theirs"),
		{Kind: GoneThere, Row: id, Choices: []Choice{{Key: Keep}, {Key: Drop, Changes: []Change{{Kind: Remove, ID: id}}}}},
		{Kind: SetAside, Column: "job-desk-yours.xlsx", Says: "the sheet “Mine”", Choices: []Choice{{Key: Keep}}},
	}
	b.ask(asked)
	var out bytes.Buffer
	if err := form.WriteDesk(&out, b.desk(), b.settings.Load()); err != nil {
		t.Fatal(err)
	}
	got, aside := carriedBy(table.Parse("a.xlsx", out.Bytes(), nil))
	if !reflect.DeepEqual(got, asked) || !reflect.DeepEqual(aside, []string{"job-desk-yours.xlsx"}) {
		t.Errorf("%d questions, %q\n%+v", len(got), aside, got)
	}
	if trail := trailOf(table.Parse("a.xlsx", out.Bytes(), nil)); !reflect.DeepEqual(trail, b.history.trail()) {
		t.Errorf("the trail is %q", trail)
	}
	f, err := excelize.OpenReader(bytes.NewReader(out.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	cells, err := f.GetCols("Lists")
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range cells[len(cells)-1] {
		if len(text) > excelize.TotalCellChars {
			t.Errorf("a cell of %d characters", len(text))
		}
	}
}

// What somebody else has written in the place of questions is no question, or one with the choices that its kind has: nothing of it is more than what it says.
func TestForeignQuestions(t *testing.T) {
	id := NewID()
	for text, want := range map[string]int{
		`{"r":"` + id + `","c":"Title","t":"x"}`:                           1,
		`{"r":"` + id + `","c":"Title","t":"x","choices":[{"key":"x"}]}`:   1,
		`{"r":"*","c":"Title","t":"x"}`:                                    0,
		`{"r":"` + id + `","c":"Title","t":"x","s":7}`:                     0,
		`{"r":"` + id + `","c":"","t":"x"}`:                                0,
		`{"k":1,"r":"` + id + `"}.|asked:{"k":2,"r":"` + id + `"}`:         2,
		`{"k":1,"r":"` + id + `.|asked:"}.|asked:{"k":2,"r":"` + id + `"}`: 1, // one that is damaged takes no other with it
		`{"k":1,"r":",|asked:` + id + `"}`:                                 1,
		`{"k":"x","r":"` + id + `"}.|asked:{"k":2,"r":"` + id + `"}`:       1,
		`{"k":4,"r":"` + id + `","c":"Title"}`:                             0,
		`{"k":200,"r":"` + id + `"}`:                                       0,
		`{"k":7,"c":"../../x.xlsx","w":"y"}`:                               0,
		`{"k":7,"c":"x.xlsx","w":"` + strings.Repeat("y", 5000) + `"}`:     1,
		`{"k":1,"r":"` + id + `"}.|asked:{`:                                1,
		`null`:                                                             0, `[]`: 0, `{}`: 0, `"`: 0, ``: 0, strings.Repeat("[", 100_000): 0,
	} {
		asked, _ := carriedBy(&table.File{State: append([]string{"a", "1", "in"}, strings.Split(carriedSign+text+carriedEnd, "|")...)})
		if len(asked) != want {
			t.Errorf("%.100s: %d questions, want %d", text, len(asked), want)
		}
		for _, q := range asked {
			for _, c := range q.Choices {
				for _, change := range c.Changes {
					if change.ID != q.Row || change.Column != q.Column || change.Sheet != q.Sheet {
						t.Errorf("%.100s: %+v", text, q)
					}
				}
			}
			if len(q.Says) > mostSays {
				t.Errorf("%d bytes are said", len(q.Says))
			}
		}
	}
}

// A question about a text that the workbook alone has is asked again where the journal is gone, and a spreadsheet program has saved the workbook besides.
func TestQuestionsWithoutAJournal(t *testing.T) {
	_, b, id := one(t)
	do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "mine"})
	b.ask([]Question{conflict(id, "mine", "theirs")})
	var out bytes.Buffer
	if err := form.WriteDesk(&out, b.desk(), b.settings.Load()); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{"as the desk wrote it": save.Sealed(out.Bytes()), "saved by another program": out.Bytes()} {
		again := blank(fakedisk.New(), bookPath, settings(t))
		if _, _, why := again.openJournal(); why != nil {
			t.Fatal(why)
		}
		f, why := again.parse(data)
		if why != nil {
			t.Fatal(why)
		}
		var found problem.List
		again.first(f, data, &found)
		asked := again.Questions()
		if len(found) > 0 || len(asked) != 1 || asked[0].Mine != "mine" || asked[0].Theirs != "theirs" {
			t.Fatalf("%s: %v, %v", name, asked, found)
		}
		if err := again.Answer(asked[0].ID, Take, ""); err != nil || again.now.Rows[Journaling][0].Cells["Title"] != "theirs" || len(carry(again.questions)) > 0 {
			t.Errorf("%s: %v, %v", name, err, again.now.Rows[Journaling])
		}
	}
}

// What another desk has asked and nobody has answered comes back with its workbook, also where that is put over one of a desk that has a journal, whatever has
// saved it in between. What was answered here is not asked again.
func TestQuestionsComeBack(t *testing.T) {
	for _, saves := range []bool{false, true} {
		d, b, id := one(t)
		elsewhere := d.Restart(nil)
		k, _, err := openBook(t, elsewhere)
		must(t, err)
		do(t, k, Change{Kind: Set, ID: id, Column: "Width", Text: "5"})
		edit(t, elsewhere, func(f *excelize.File) { set(t, f, 1, "Width", "6") })
		k = mergedBy(t, elsewhere, k, true)
		rowIs(t, k, "elsewhere", "Odile Hart/5/2", "6")
		if saves {
			edit(t, elsewhere, func(f *excelize.File) { set(t, f, 1, "Height", "3") })
		}
		data, err := elsewhere.Read(bookPath)
		must(t, err)
		want := "Odile Hart/5/2"
		if saves {
			want = "Odile Hart/5/3"
		}
		for _, when := range []string{"come back", "come again"} {
			d.Put(bookPath, data)
			b = mergedBy(t, d, b, true)
			rowIs(t, b, when, want, "6")
			must(t, b.Leave())
			b, _, err = openBook(t, d)
			must(t, err)
			rowIs(t, b, when+" and opened", want, "6")
		}
		must(t, b.Answer(b.Questions()[0].ID, Keep, ""))
		for _, when := range []string{"answered", "answered, and written whole"} {
			d.Put(bookPath, data)
			b = mergedBy(t, d, b, true)
			rowIs(t, b, when, want)
			must(t, b.rewrite())
			must(t, b.Leave())
			b, _, err = openBook(t, d)
			must(t, err)
		}
	}
}

// Two desks have copies of a job, and one brings its workbook to the other again and again: what it has taken back since, whether by hand, by Undo or by a row
// that it has removed, is a change like any other, however much else was done since on both sides, and with the journals gone from one desk to the other, too.
func TestTakenBackElsewhere(t *testing.T) {
	row := NewID()
	for _, c := range []struct {
		what        string
		does, undos func(t *testing.T, k *Book, id string)
		want        string
		asked       int
	}{
		{"typed back", func(t *testing.T, k *Book, id string) {
			do(t, k, Change{Kind: Set, ID: id, Column: "Width", Text: "7"})
		},
			func(t *testing.T, k *Book, id string) {
				do(t, k, Change{Kind: Set, ID: id, Column: "Width", Text: "4"})
			}, "Odile Hart/4/2", 0},
		{"undone", func(t *testing.T, k *Book, id string) {
			do(t, k, Change{Kind: Set, ID: id, Column: "Width", Text: "7"})
		},
			func(t *testing.T, k *Book, _ string) { _, _, err := k.Undo(); must(t, err) }, "Odile Hart/4/2", 0},
		{"emptied again", func(t *testing.T, k *Book, id string) {
			do(t, k, Change{Kind: Set, ID: id, Column: "Title", Text: "At sea"})
		},
			func(t *testing.T, k *Book, id string) { do(t, k, Change{Kind: Set, ID: id, Column: "Title"}) }, "Odile Hart/4/2", 0},
		{"a row removed again", func(t *testing.T, k *Book, id string) {
			do(t, k, Change{Kind: Insert, ID: row, After: id}, Change{Kind: Set, ID: row, Column: "Name", Text: "Mia Kowal"})
		},
			func(t *testing.T, k *Book, _ string) { do(t, k, Change{Kind: Remove, ID: row}) }, "Odile Hart/4/2 Mia Kowal//", 1},
	} {
		for _, between := range []int{0, allMarks - 20} {
			for _, saved := range []bool{false, true} { // by a spreadsheet program, which changes nothing
				what := fmt.Sprintf("%s, %d steps later, saved elsewhere %v", c.what, between, saved)
				d, b, id := one(t)
				elsewhere := d.Restart(nil)
				k, _, err := openBook(t, elsewhere)
				must(t, err)
				bring := func() {
					must(t, k.Save())
					data, err := elsewhere.Read(bookPath)
					must(t, err)
					d.Put(bookPath, data)
					b = mergedBy(t, d, b, true)
				}
				do(t, b, Change{Kind: Set, ID: id, Column: "Stock", Text: "of this side alone"})
				c.does(t, k, id)
				bring()
				if got := strings.Join(told(b), " "); got == "Odile Hart/4/2" && c.what != "emptied again" {
					t.Fatalf("%s: it was not taken over", what)
				}
				do(t, b, Change{Kind: Set, ID: id, Column: "Stock", Text: "of this side, later"})
				c.undos(t, k, id)
				for i := range between {
					do(t, k, Change{Kind: Set, ID: id, Column: "Page", Text: strconv.Itoa(i)})
				}
				if saved {
					must(t, k.Save())
					edit(t, elsewhere, func(*excelize.File) {})
					data, err := elsewhere.Read(bookPath)
					must(t, err)
					d.Put(bookPath, data)
					b = mergedBy(t, d, b, true)
				} else {
					bring()
				}
				cells := b.now.Rows[Journaling][0].Cells
				if got := strings.Join(told(b), " "); got != c.want || cells["Title"] != "" || len(b.Questions()) != c.asked || cells["Stock"] != "of this side, later" {
					t.Errorf("%s: it is %q %v, asked is %v", what, got, cells, b.Questions())
				}
			}
		}
	}
}

// beside is a second desk with a copy of the job on a disk of its own.
func beside(t *testing.T, d *fakedisk.Disk) (*fakedisk.Disk, *Book) {
	t.Helper()
	elsewhere := d.Restart(nil)
	k, _, err := openBook(t, elsewhere)
	must(t, err)
	return elsewhere, k
}

// brought is a book once the workbook from another disk was put in the place of its own.
func brought(t *testing.T, from, to *fakedisk.Disk, b *Book) *Book {
	t.Helper()
	data, err := from.Read(bookPath)
	must(t, err)
	to.Put(bookPath, data)
	return mergedBy(t, to, b, true)
}

// What a program has saved in the workbook of a desk that was closed came to another desk, too, which has taken it back since: it does not come again with that
// desk's next workbook, in which nobody has done anything to it.
func TestSavedInAnothersWorkbook(t *testing.T) {
	for _, own := range []bool{true, false} { // the program has a state of that desk's own open, or one that both have
		d, b, id := one(t)
		elsewhere, k := beside(t, d)
		bring := func() { b = brought(t, elsewhere, d, b) }
		if own {
			do(t, k, Change{Kind: Set, ID: id, Column: "Page", Text: "1"})
			must(t, k.Save())
		}
		edit(t, elsewhere, func(f *excelize.File) { set(t, f, 1, "Width", "7") })
		bring()
		rowIs(t, b, "brought", "Odile Hart/7/2")
		do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "4"})
		k = mergedBy(t, elsewhere, k, true)
		do(t, k, Change{Kind: Set, ID: id, Column: "Title", Text: "At sea"})
		must(t, k.Save())
		bring()
		rowIs(t, b, "brought again", "Odile Hart/4/2")
	}
}

// ... and what that desk takes back of it later is taken back here, too.
func TestTypedOverInAnothersWorkbook(t *testing.T) {
	d, b, id := one(t)
	elsewhere, k := beside(t, d)
	bring := func() { b = brought(t, elsewhere, d, b) }
	edit(t, elsewhere, func(f *excelize.File) { set(t, f, 1, "Width", "7") })
	bring()
	k = mergedBy(t, elsewhere, k, true)
	bring()
	do(t, k, Change{Kind: Set, ID: id, Column: "Width", Text: "9"})
	must(t, k.Save())
	bring()
	rowIs(t, b, "typed over", "Odile Hart/9/2")
	_, _, err := k.Undo()
	must(t, err)
	must(t, k.Save())
	bring()
	rowIs(t, b, "taken back", "Odile Hart/7/2")
}

// What a desk has taken back does not come again from elsewhere: not through a third desk that has it from the second; not where a program has saved this desk's workbook
// from the state that all began with; and a text that another desk has kept stays there, however often its workbook was brought.
func TestComesNotAgain(t *testing.T) {
	type desk struct {
		d *fakedisk.Disk
		b *Book
	}
	begin := func() (desks []*desk, id string) {
		d, b, id := one(t)
		desks = []*desk{{d, b}}
		for range 2 {
			copied := d.Restart(nil)
			k, _, err := openBook(t, copied)
			must(t, err)
			desks = append(desks, &desk{copied, k})
		}
		return desks, id
	}
	bring := func(from, to *desk) {
		must(t, from.b.Save())
		data, err := from.d.Read(bookPath)
		must(t, err)
		to.d.Put(bookPath, data)
		to.b = mergedBy(t, to.d, to.b, true)
	}
	types := func(k *desk, id, column, text string) {
		do(t, k.b, Change{Kind: Set, ID: id, Column: column, Text: text})
	}
	// Through a third desk.
	k, id := begin()
	types(k[0], id, "Width", "7")
	bring(k[0], k[1])
	types(k[1], id, "Page", "1")
	bring(k[1], k[2])
	types(k[2], id, "Title", "At sea")
	types(k[0], id, "Width", "4")
	bring(k[2], k[0])
	rowIs(t, k[0].b, "through a third", "Odile Hart/4/2")
	// A program has saved here meanwhile.
	k, id = begin()
	edit(t, k[0].d, func(f *excelize.File) { set(t, f, 1, "Page", "1") })
	k[0].b = mergedBy(t, k[0].d, k[0].b, true)
	types(k[1], id, "Width", "7")
	bring(k[1], k[0])
	rowIs(t, k[0].b, "brought", "Odile Hart/7/2")
	types(k[1], id, "Width", "4")
	bring(k[1], k[0])
	rowIs(t, k[0].b, "taken back there", "Odile Hart/4/2")
	// Brought twice.
	k, id = begin()
	types(k[0], id, "Width", "5")
	types(k[1], id, "Width", "6")
	bring(k[0], k[1])
	bring(k[1], k[0])
	for _, q := range k[1].b.Questions() {
		must(t, k[1].b.Answer(q.ID, Keep, ""))
	}
	bring(k[1], k[0])
	bring(k[0], k[1])
	if got := told(k[1].b); got[0] != "Odile Hart/6/2" {
		t.Errorf("what was kept there is %q", got)
	}
}

// Two desks with copies of a job write in columns of their own, take back, and bring each other their workbooks, at random: after each bringing the one has
// all that the other has typed, also where that is what stood there long before, and keeps its own; asked is only about a column in which both write. 8 jobs, or
// 2,000 with LONG_TESTS=1.
func TestTwoDesksAtRandom(t *testing.T) {
	seeds := uint64(longtests.Cases(8, 2000))
	for seed := range seeds {
		c := chance{rand.New(rand.NewPCG(seed, 31))}
		d, b, id := one(t)
		second := NewID()
		do(t, b, Change{Kind: Insert, ID: second, After: id})
		must(t, b.Save())
		disks := []*fakedisk.Disk{d, d.Restart(nil)}
		other, _, err := openBook(t, disks[1])
		must(t, err)
		desks := []*Book{b, other}
		own := [][]string{{"Title", "Page", "Width"}, {"Stock", "Height", "Journaling"}}
		done := []int{len(b.history.done), len(other.history.done)}
		for range 30 {
			who := c.IntN(2)
			switch k := desks[who]; c.IntN(4) {
			case 0:
				must(t, k.Save())
				data, err := disks[who].Read(bookPath)
				must(t, err)
				disks[1-who].Put(bookPath, data)
				open := c.IntN(4) > 0
				if !open {
					must(t, desks[1-who].Leave())
				}
				desks[1-who] = mergedBy(t, disks[1-who], desks[1-who], open)
				for _, row := range []string{id, second} {
					for _, column := range own[who] {
						if mine, theirs := byID(k.now.Rows[Journaling])[row].Cells[column], byID(desks[1-who].now.Rows[Journaling])[row].Cells[column]; mine != theirs {
							t.Fatalf("seed %d: desk %d has %q in %s, and the other %q", seed, who, mine, column, theirs)
						}
					}
				}
				for _, q := range desks[1-who].Questions() {
					if q.Column != "Note" {
						t.Fatalf("seed %d: asked is %v", seed, q)
					}
					if c.IntN(2) == 0 {
						must(t, desks[1-who].Answer(q.ID, c.one(Keep, Take), ""))
						if n := len(desks[1-who].history.done); n > 0 { // an answer can be undone as well, which the other's is not
							done[1-who] = n
						}
					}
				}
			case 1:
				if len(k.history.done) > done[who] { // which leaves the rows
					_, _, err := k.Undo()
					must(t, err)
				}
			case 2:
				do(t, k, Change{Kind: Set, ID: c.one(id, second), Column: "Note", Text: c.one("", "of both", fmt.Sprint(who))})
				done[who] = len(k.history.done)
			default:
				do(t, k, Change{Kind: Set, ID: c.one(id, second), Column: own[who][c.IntN(3)], Text: c.one("", "1", "2")})
			}
		}
	}
}

// A workbook made to ask without end is taken in in little time.
func TestManyQuestionsInTheWorkbook(t *testing.T) {
	d, b, _ := one(t)
	var asked []Question
	for range 20_000 {
		asked = append(asked, conflict(NewID(), "", "x"))
	}
	start := time.Now()
	b.ask(asked)
	b.ask(asked[:10_000])
	b.touch()
	must(t, b.Save())
	data, err := d.Read(bookPath)
	must(t, err)
	other, again, _ := one(t)
	again.name = b.name
	other.Put(bookPath, data)
	must(t, again.compare())
	if n := len(again.Questions()); n != 20_002 { // and the row that each lacks of the other
		t.Errorf("%d questions", n)
	}
	if took := time.Since(start); took > 15*time.Second { // some tenths of a second, and some seconds beside other work; half a minute and more, where every question is compared with every other
		t.Errorf("it took %v", took)
	}
}
