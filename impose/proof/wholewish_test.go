package proof

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/impose/press/readback"
	"tuckmark/intake"
)

// TestWishOfManyRows: a long wish for thousands of rows is in memory a few times, not once for each.
func TestWishOfManyRows(t *testing.T) {
	const rows = 3000
	var line strings.Builder
	known := map[string]bool{}
	blocks := make([]intake.Block, rows)
	for i := range blocks {
		code := fmt.Sprintf("AM-%d", i+1)
		known[code], blocks[i].Code, blocks[i].Place.Row = true, code, i+2
		line.WriteString(code + ", ")
	}
	line.WriteString("larger: " + strings.Repeat("wish ", 4000))
	s, _ := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir()})
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	list, _ := ReadAnswers("a.txt", []byte(line.String()), known)
	o := Tally(list, blocks, nil, s)
	runtime.ReadMemStats(&after)
	whole := 0
	for i, h := range o.Held {
		if h.Whole != "" {
			whole++
		}
		if h.Whole != o.Problems[i].Whole || !strings.Contains(h.Why, "(all of it: a.txt, from line 1)") {
			t.Fatalf("%.300s", h.Why)
		}
	}
	if took := after.TotalAlloc - before.TotalAlloc; took > 40<<20 && readback.Available || len(o.Held) != rows || whole != mostLong {
		t.Errorf("%d MB, %d held, all of it in %d", took>>20, len(o.Held), whole)
	}
}

// TestMessagesCost: what is found of the head of a message is not looked for again and again.
func TestMessagesCost(t *testing.T) {
	for _, said := range []string{"BO-1\n", "BO-1 ok\n"} {
		long, short := strings.Repeat("1:08 Ab: "+said, 20_000), strings.Repeat(said, 20_000)
		cost := func(text string) time.Duration {
			least := time.Hour // of several, since others may be at work
			for range 3 {
				from := time.Now()
				ReadAnswers("a.txt", []byte(text), moss)
				least = min(least, time.Since(from))
			}
			return least
		}
		if a, b := cost(short), cost(long); b > 8*a+100*time.Millisecond { // 4 times, and 12 to 33 where each step asked anew
			t.Errorf("%q: %v with heads, %v without", said, b, a)
		}
	}
}

// TestWholeWishes: a wish that is shown in part says where all of it stands, and the report gets all of it.
func TestWholeWishes(t *testing.T) {
	row := []string{"One", "Two"}
	for _, n := range []int{100, 4000} {
		var words []string
		for i := range n {
			words = append(words, fmt.Sprint("w", i))
		}
		wish := strings.Join(words, " ")
		for name, text := range map[string]string{
			"held":            "\nMK-1 {One} change: " + wish,
			"in lines":        "\nMK-1 {One} change: " + strings.ReplaceAll(wish, "0 ", "0\n"),
			"for two":         "\nMK-1, MK-2: " + wish,
			"named beside":    "\nMK-2 larger than MK-1 " + wish,
			"outdone":         "\nMK-1 {One} change: " + wish + "\nMK-1 {One} ok",
			"another beside":  "\nMK-1 {One} change: " + wish + "\nMK-1 {One} change: larger",
			"of no row":       "\nMK-9 12345678 change: " + wish,
			"of another time": "\nMK-1 12345678 change: " + wish,
			"settled":         "\nMK-1 12345678 change: " + wish + "\nMK-1 {One} ok",
		} {
			o := tallied(t, row, row, text)
			found := false
			for _, p := range o.Problems {
				if !strings.Contains(p.What, "w0 w1") {
					continue
				}
				found = true
				if !strings.Contains(p.What, "…” (all of it: a.txt, from line 2)") || !strings.Contains(p.Whole, wish+"”") || strings.Contains(p.Whole, "…") || len(p.What) > 600 {
					t.Errorf("%s, %d: %.400s\n%.300s", name, n, p.What, p.Whole)
				}
			}
			for _, h := range o.Held {
				if strings.Contains(h.Why, "w0") && !strings.Contains(h.Why+h.Whole, wish) {
					t.Errorf("%s, %d: %.300s", name, n, h.Why)
				}
			}
			if !found {
				t.Errorf("%s, %d: %v", name, n, o.Problems)
			}
		}
	}
	// Of more than a cell may hold, what the report gets says so at its end.
	o := tallied(t, row, row, "MK-1 {One} change: "+strings.Repeat("é ", 40_000))
	if len(o.Held) != 1 || len(o.Held[0].Whole) > 32_000 || !strings.HasSuffix(o.Held[0].Whole, "…” (all of it: a.txt, from line 1)") {
		t.Errorf("%d held", len(o.Held))
	}
}
