package impose

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"tuckmark/config/problem"
	"tuckmark/impose/proof"
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
	if a, b := cost(500), cost(4_000); b > 16*a+100*time.Millisecond { // 8 times, and some 50 where all rows and problems were looked through for each
		t.Errorf("%v for 500, %v for 4,000", a, b)
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
	b.close()
	var said []string
	for _, p := range j.Problems {
		said = append(said, fmt.Sprint(p.Place.Row, " ", p.What))
	}
	if got := strings.Join(said, ", "); got != "2 a note, 3 no text, 2 found again" {
		t.Error(got)
	}
}
