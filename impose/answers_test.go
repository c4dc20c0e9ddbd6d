package impose

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/proof"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// TestManyGiven: thousands of texts that answers give are put into their rows in a time that grows as they do, and what was wrong with each row is gone.
func TestManyGiven(t *testing.T) {
	cost := func(rows int) time.Duration {
		least := time.Hour // of several, since others may be at work
		for range 3 {
			j := sample(t)
			table := "Name,Page,Journaling,Width,Height,Stock\n"
			for i := range rows {
				table += fmt.Sprintf("Anna Marsh,%d,,2,1,cardstock\n", i)
			}
			if err := j.Read(t.Context(), intaketest.Write(t, "a.csv", table), ""); err != nil || len(j.Held) != rows {
				t.Fatalf("%d rows are held, %v", len(j.Held), err)
			}
			var answers strings.Builder
			for i := range j.Held {
				fmt.Fprintf(&answers, "%s %s text: plums ¶¶\n", j.Held[i].Code, proof.Fingerprint(j.Held[i].Read, j.Settings))
			}
			j.Answer("answers.txt", []byte(answers.String()))
			from := time.Now()
			j.fillIn()
			least = min(least, time.Since(from))
			if len(j.Blocks) != rows || len(j.Held) > 0 || j.Problems.Errors() > 0 {
				t.Fatalf("%d blocks, %d held, %d errors", len(j.Blocks), len(j.Held), j.Problems.Errors())
			}
		}
		return least
	}
	if a, b := cost(250), cost(2_000); b > 16*a+100*time.Millisecond { // 8 times, and some 50 where all rows and problems were looked through for each
		t.Errorf("%v for 250, %v for 2,000", a, b)
	}
}

// TestRereadAgain: a row that is read again twice, for its text and for its space, has what was found of both, each once and in its order.
func TestRereadAgain(t *testing.T) {
	j := sample(t)
	row, other := problem.Place{File: "a.csv", Row: 2}, problem.Place{File: "a.csv", Row: 3}
	at := func(p problem.Place, what string, severity problem.Severity) problem.Problem {
		return problem.Problem{Place: p, What: what, Severity: severity}
	}
	note, again := at(row, "a note", problem.Note), at(row, "found again", problem.Note)
	j.Problems = problem.List{at(row, "no text", problem.Error), note, at(other, "no text", problem.Error)}
	b := byRow{job: j}
	b.reread(row, true, problem.List{note, at(row, "no space", problem.Error), again})
	b.reread(row, false, problem.List{note, again})
	for range 100 { // answered again and again
		b.reread(row, true, problem.List{at(row, "no stock", problem.Error)})
		if n := len(b.listed[row]); n > 3 {
			t.Fatalf("%d problems are looked through", n)
		}
	}
	b.reread(row, true, nil)
	b.close()
	var said []string
	for _, p := range j.Problems {
		said = append(said, fmt.Sprint(p.Place.Row, " ", p.What))
	}
	if got := strings.Join(said, ", "); got != "2 a note, 3 no text, 2 found again" {
		t.Error(got)
	}
}

// TestSaidBesideWhatIsGiven: what a cell of a row that was held said, and a remark on it, are told where an answer gives its text or its space.
func TestSaidBesideWhatIsGiven(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Ann", "TBD, print this in red", 4, 2}, []any{"Bea", nil, 4, 2}, []any{"Cara", intaketest.Story, "about 4, two copies", 2}, []any{"Dora", intaketest.Story, nil, 2}, []any{"Eve", "OLD, see Bob", "soon", 2})
		for cell, said := range map[string]string{"B3": "about the dog", "D5": "or three"} {
			if err := f.AddComment("Sheet1", excelize.Comment{Cell: cell, Author: "Bea", Text: said}); err != nil {
				t.Fatal(err)
			}
		}
	})
	j := sample(t)
	if err := j.Read(t.Context(), intaketest.Write(t, "a.xlsx", data), ""); err != nil || len(j.Held) != 5 {
		t.Fatalf("%d rows are held, %v", len(j.Held), err)
	}
	answers := ""
	for i, given := range []string{"text: The red hall. ¶¶", "text: The dog. ¶¶", "space: 4 x 2", "space: 5"} {
		answers += fmt.Sprintf("%s %s %s\n", j.Held[i].Code, proof.Fingerprint(j.Held[i].Read, j.Settings), given)
	}
	eve := j.Held[4].Code + " " + proof.Fingerprint(j.Held[4].Read, j.Settings)
	answers += eve + " space: 4 x 2\n" + eve + " text: The mill. ¶¶\n"
	j.Answer("answers.txt", []byte(answers))
	j.fillIn()
	said := intaketest.Say(j.Problems)
	for _, want := range []string{"what the cell said: “TBD, print this in red”", "a remark on the cell: “about the dog”", "what the cell said: “about 4, two copies”", "a remark on the cell: “or three”", "what the cell said: “OLD, see Bob”", "what the cell said: “soon”"} {
		if strings.Count(said, want) != 1 {
			t.Errorf("%q is not in %s", want, said)
		}
	}
	if len(j.Blocks) != 5 || strings.Contains(said, "said: “2”") {
		t.Errorf("%d blocks: %s", len(j.Blocks), said)
	}
}

// TestEachSpaceIsReadAlone: of several spaces that are given for a row the last is read as it would be without the others: its bare numbers in the row's own unit, one side beside the row's own other.
func TestEachSpaceIsReadAlone(t *testing.T) {
	for _, c := range []struct {
		row   string
		given []string
	}{
		{"Ann,We ate,,", []string{"10 x 5 cm", "4 x 2"}},
		{"Ann,We ate,4,2", []string{"10 x 5 cm", "4 x 2.5"}},
		{"Ann,We ate,,", []string{"10 x 5 cm", "10 x 5"}},
		{"Ann,We ate,,", []string{"10 x 5 cm", "60 x 40 mm", "3 x 2 in", "4 x 2"}},
		{"Ann,We ate,4,", []string{"5 cm", "3"}},
		{"Ann,We ate,4,", []string{"5 cm", "4"}},
		{"Ann,We ate,,2", []string{"5 cm", "5"}},
		{"Ann,We ate,10 cm,5 cm", []string{"4 x 2 in", "10 x 4"}},
	} {
		read := func(given []string) string {
			j := sample(t)
			if err := j.Read(t.Context(), intaketest.Write(t, "a.csv", "Name,Journaling,Width,Height\n"+c.row+"\n"), ""); err != nil {
				t.Fatal(err)
			}
			var b *intake.Block
			if len(j.Blocks) > 0 {
				b = &j.Blocks[0]
			} else {
				b = j.Held[0].Read
			}
			of, answers := b.Code+" "+proof.Fingerprint(b, j.Settings)+" space: ", ""
			for _, space := range given {
				answers += of + space + "\n"
			}
			j.Answer("answers.txt", []byte(answers))
			j.fillIn()
			if len(j.Blocks) != 1 || len(j.refused) > 0 {
				return fmt.Sprint("held: ", j.refused)
			}
			return j.Blocks[0].Space.Format(measure.In) + " or " + j.Blocks[0].Space.Format(j.Blocks[0].Unit)
		}
		if got, want := read(c.given), read(c.given[len(c.given)-1:]); got != want || strings.HasPrefix(got, "held") {
			t.Errorf("%s: of %q the last is read as %s, and alone as %s", c.row, c.given, got, want)
		}
	}
}
