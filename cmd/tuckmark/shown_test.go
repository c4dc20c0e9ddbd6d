package main

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// However many rows have the same kinds of mistakes, a terminal gets what can be read, every one of them is shown or counted, and how to see all is
// said; the JSON and the marked workbook have all.
func TestManyMistakesAreShort(t *testing.T) {
	dir := t.TempDir()
	for people := range 2 {
		n := max(900, often(900, 9000)) // with fewer nothing is left out
		r := rand.New(rand.NewPCG(17, uint64(people)))
		var b strings.Builder
		b.WriteString("Name,Journaling,Width,Height,Stock,Font,Copies\n")
		for i := range n {
			row := []string{"Jo", "Plums in Larvik 1987.", "4", "2", "vellum", "Sans", "1"}
			if people > 0 {
				row[0] = fmt.Sprintf("Jo %c%c", 'A'+r.IntN(26), 'A'+r.IntN(26))
			}
			k := 2 + i%5
			row[k] = fmt.Sprintf("none %d", i)
			b.WriteString(strings.Join(row, ",") + "\n")
		}
		in, marked := filepath.Join(dir, "in.csv"), filepath.Join(dir, fmt.Sprint(people, ".xlsx"))
		put(t, in, b.String())
		code, out, err := tuckmark(t, "check", in, "-o", marked)
		if code != exitInput || len(out+err) > 100_000 {
			t.Errorf("exit status %d, %d bytes: %.2000s", code, len(out+err), out+err)
		}
		for said, want := range map[string]int{err: n, out: 0} {
			shown := strings.Count(said, "\nerror: ") + strings.Count(said[:min(7, len(said))], "error: ")
			for _, m := range regexp.MustCompile(`(?m)^error: .*this and (\d+) more are of the same kind: .* --json. lists them all`).FindAllStringSubmatch(said, -1) {
				more, _ := strconv.Atoi(m[1])
				shown += more
			}
			if shown != want {
				t.Errorf("%d of %d mistakes are shown or counted", shown, want)
			}
		}
		if !strings.Contains(out, "--letters FOLDER writes all into files") {
			t.Errorf("what is left out of letters is not said: %.500s", out)
		}
		if code, out, err := tuckmark(t, "make", in); code != exitInput || len(out+err) > 30_000 || strings.Count(err, "this and ") != 5 {
			t.Errorf("make: exit status %d, %d bytes", code, len(out+err))
		}
		a, _, _ := checked(t, in)
		errors := 0
		for _, p := range a.Problems {
			if p.Severity == "error" {
				errors++
			}
		}
		if errors != n {
			t.Errorf("the JSON has %d of %d errors", errors, n)
		}
		book, e := excelize.OpenFile(marked)
		must(t, e)
		rows, e := book.GetRows("Problems")
		must(t, e)
		book.Close()
		errors = 0
		for _, r := range rows {
			if len(r) > 5 && r[5] == "error" {
				errors++
			}
		}
		if errors != n {
			t.Errorf("the marked workbook has %d of %d errors: %q", errors, n, rows[:3])
		}
	}
}
