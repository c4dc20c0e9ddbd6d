package proof

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
)

// TestNamedOftenInALine: a line that names a block many times names it once, and where it begins so is as before.
func TestNamedOftenInALine(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "AN-3": true, "BO-1": true}
	for text, want := range map[string]int{
		"BO-1 like " + strings.Repeat("AN-1, 2, 3 ", 1000) + "AN-1":  4,
		"BO-1 like " + strings.Repeat("AN-1 AN-2 ", 1000):            3,
		strings.Repeat("AN-1, 2, 3 ", 1000) + "larger":               1004, // of a number the first and the last place
		strings.Repeat("AN-1, 2, 3 ", 1000) + "AN-3 1234abcd larger": 1004, // the fingerprint is the last one's
	} {
		list, problems := ReadAnswers("a.txt", []byte(text), known)
		if len(list) != want {
			t.Errorf("%.30q: %d answers, not %d", text, len(list), want)
		}
		for _, a := range list {
			if a.OK || a.Line != 1 {
				t.Errorf("%.30q: %v", text, a)
			}
		}
		if strings.Contains(fmt.Sprint(problems), "left out") {
			t.Errorf("%.30q: %v", text, problems)
		}
	}
}

// six are six rows of one person.
func six(t *testing.T) Input {
	var all [][]string
	for _, text := range []string{"One", "Two", "Three", "Four", "Five", "Six"} {
		all = append(all, []string{"Ann Lo", text, "4", "2"})
	}
	return job(t, rows(t, "six.csv", "Name,Journaling,Width,Height", all...), nil)
}

// TestCrowd: a file that names more blocks with others, or beside them, than people do says from which line on they are left out, once; none of these is approved by
// what stands above, but by an ok of its own below.
func TestCrowd(t *testing.T) {
	in := six(t)
	known := map[string]bool{}
	var codes, numbers []string
	for i := range in.Blocks {
		known[in.Blocks[i].Code] = true
		codes = append(codes, in.Blocks[i].Code)
		if i > 0 {
			_, n, _ := strings.Cut(codes[i], "-")
			numbers = append(numbers, n)
		}
	}
	joined := codes[0] + ", " + strings.Join(numbers, ", ")
	beside := codes[5] + ": larger than " + strings.Join(codes[:5], " ")
	many, others := mostCrowd/4, mostCrowd/5
	for name, c := range map[string]struct {
		text string
		held int
	}{
		"as many as may be":             {strings.Repeat(joined+" ok\n", many), 0},
		"oks":                           {strings.Repeat(joined+" ok\n", many+2), 4},
		"a wish that is left out":       {strings.Repeat(joined+" ok\n", many) + "\n" + joined + ": larger\n", 6},
		"and an ok of its own below it": {strings.Repeat(joined+" ok\n", many) + "\n" + joined + ": larger\n\n" + codes[0] + " ok\n", 5},
		"a wish, and named beside":      {strings.Repeat(joined+" ok\n", many) + "\n" + codes[3] + " " + Fingerprint(&in.Blocks[3], in.Settings) + " ok\n\n" + joined + ": larger\n\n" + codes[0] + ": as large as " + codes[3] + ", " + codes[3] + "\n", 6},
		"in one line":                   {strings.Repeat(joined+" ok; ", many+1), 4},
		"named beside":                  {strings.Repeat(beside+"\n", others) + "\n" + strings.Join(codes, " ok\n") + " ok\n\n" + beside + "\n", 6},
	} {
		list, problems := ReadAnswers("a.txt", []byte(c.text), known)
		line := many + 1
		if strings.Contains(c.text, "\n\n") {
			line = strings.Count(c.text[:strings.LastIndex(c.text, joined)+1], "\n") + 1
		}
		if name == "in one line" {
			line = 1
		}
		if name == "named beside" {
			line = others + 9
		}
		if n := strings.Count(fmt.Sprint(problems), fmt.Sprintf("are left out from line %d on", line)); n != min(c.held, 1) {
			t.Errorf("%s: told %d times: %v", name, n, problems)
		}
		if got := Tally(list, in.Blocks, nil, in.Settings); len(got.Held) != c.held || got.Approved != 6-c.held {
			t.Errorf("%s: %d held, %d approved: %v", name, len(got.Held), got.Approved, got.Held)
		}
	}
}

// TestNamedAtEveryTurn: of a long line that names blocks at every turn nothing is made anew for each of them.
func TestNamedAtEveryTurn(t *testing.T) {
	in := six(t)
	known := map[string]bool{}
	for i := range in.Blocks {
		known[in.Blocks[i].Code] = true
	}
	a, b := in.Blocks[0].Code, in.Blocks[1].Code
	for name, line := range map[string]string{
		"parts that name another": strings.Repeat(b+": like "+a+" ", 15_000),
		"one that names many":     b + " like " + strings.Repeat("a ", 480) + strings.Repeat(a+",2,3,4,5,6 ", 15_000) + a,
		"one wish of many":        strings.Repeat(a+",2,3,4,5,6 ", 15_000) + "larger " + strings.Repeat("a ", 480),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		list, _ := ReadAnswers("a.txt", []byte(line), known)
		Tally(list, in.Blocks, nil, in.Settings)
		runtime.ReadMemStats(&after)
		if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 150 {
			t.Errorf("%s: %d MB", name, mb)
		}
	}
}
