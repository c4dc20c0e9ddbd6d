package jobbook

import (
	"bytes"
	"reflect"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
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
