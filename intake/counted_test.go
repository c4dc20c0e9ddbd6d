package intake

import (
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// countings are ways in which people count the columns of a row's blocks, each as the heading of the nth, from 0; the plain ones are all understood.
var countings = struct {
	plain, odd []func(field string, n int) string
}{
	plain: []func(string, int) string{
		func(f string, n int) string { return fmt.Sprintf("%s %d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s%d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s (%d)", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s #%d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s no. %d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s (for text %d)", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s for %d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("Text %d %s", n+1, strings.ToLower(f)) },
		func(f string, n int) string { return fmt.Sprintf("Text %d's %s", n+1, strings.ToLower(f)) },
		func(f string, n int) string { return fmt.Sprintf("Text %d: %s", n+1, strings.ToLower(f)) },
		func(f string, n int) string { return fmt.Sprintf("%d. %s", n+1, f) },
		func(f string, n int) string { return fmt.Sprintf("%d %s", n+1, f) },
		func(f string, n int) string { return ordinals[n] + " " + strings.ToLower(f) },
		func(f string, n int) string { return f + " (" + ordinals[n] + ")" },
		func(f string, n int) string { return f + " - " + ordinals[n] },
		func(f string, n int) string { return f + " for the " + ordinals[n] + " block" },
		func(f string, n int) string { return f + " " + cardinals[n] },
		func(f string, n int) string { return ordinals[n] + " one's " + strings.ToLower(f) },
		func(f string, n int) string { return fmt.Sprintf("%s - block %d", f, n+1) },
		func(f string, n int) string { return f + " " + romans[n] },
		func(f string, n int) string { return fmt.Sprintf("%s %d of 3", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s [%d]", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s %d%s", f, n+1, []string{"st", "nd", "rd"}[n]) },
		func(f string, n int) string { return fmt.Sprintf("%s %d (max 9)", f, n+1) },
	},
	odd: []func(string, int) string{
		func(f string, n int) string { return f + " " + string(rune('①'+n)) },
		func(f string, n int) string { return f + " " + string(rune('A'+n)) },
		func(f string, n int) string { return f + " (" + string(rune('a'+n)) + ")" },
		func(f string, n int) string { return fmt.Sprintf("%s / %d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s T%d", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s %d", f, n) },
		func(f string, n int) string { return fmt.Sprintf("%s %d", f, n+3) },
		func(f string, n int) string { return fmt.Sprintf("%s (%d of 2)", f, n+1) },
		func(f string, n int) string { return fmt.Sprintf("%s %d (if different)", f, n+1) },
		func(f string, n int) string { return f },
		func(f string, n int) string { return f + [3]string{"", " 2", " 3"}[n] },
		func(f string, n int) string { return f + [3]string{"", " 1", " 2"}[n] },
		func(f string, n int) string { return f + [3]string{" left", " right", " middle"}[n] },
		func(f string, n int) string { return [3]string{"", "Other ", "Last "}[n] + f },
		func(f string, n int) string { return f + [3]string{" for 1 and 2", " for 3", " for 4"}[n] },
	},
}

// TestCountedAnyhow draws tables of several texts to a row, whose other columns are counted in another way than the texts: each block has its own, or what is not so is told
// by its heading, or stops the print.
func TestCountedAnyhow(t *testing.T) {
	all := append(append([]func(string, int) string{}, countings.plain...), countings.odd...)
	fields := map[string]struct {
		cells [3]string
		of    func(b *Block) string
	}{
		"Stock":  {[3]string{"clear sticker", "cardstock", "plain paper"}, func(b *Block) string { return b.Stock }},
		"Copies": {[3]string{"2", "3", "4"}, func(b *Block) string { return fmt.Sprint(b.Copies) }},
		"Page":   {[3]string{"Beach", "Garden", "Zoo"}, func(b *Block) string { return b.Page }},
		"Title":  {[3]string{"Plums", "Tea", "Figs"}, func(b *Block) string { return b.Title }},
		"Font":   {[3]string{"Serif", "Sans", "Mono"}, func(b *Block) string { return b.Font }},
		"Space":  {[3]string{"4 x 2 in", "3 x 1 in", "2 x 1 in"}, func(b *Block) string { return b.Space.Format(measure.In) }},
	}
	names := []string{"Stock", "Copies", "Page", "Title", "Font", "Space"}
	draws := 400
	if os.Getenv("LONG_TESTS") != "" {
		draws = 10_000
	}
	r, seen := rand.New(rand.NewPCG(16, 1)), map[string]int{}
	for range draws {
		texts, count := all[r.IntN(len(all))], r.IntN(len(all))
		if r.IntN(2) == 0 {
			texts = countings.plain[0]
		}
		name, word, of := names[r.IntN(len(names))], []string{"Text", "Journaling"}[r.IntN(2)], 2+r.IntN(2)
		field, bodies := fields[name], []string{"In May", "In June", "In July"}
		head, row := []string{"Name"}, []string{"Ada Lind"}
		add := func(heading, cell string) { head, row = append(head, heading), append(row, cell) }
		apart := r.IntN(2) == 0
		for n := range of {
			if add(texts(word, n), bodies[n]); !apart {
				add(all[count](name, n), field.cells[n])
			}
		}
		for n := 0; n < of && apart; n++ {
			add(all[count](name, n), field.cells[n])
		}
		if name != "Space" {
			add("Space", "4 x 2 in")
		}
		data := `"` + strings.Join(head, `","`) + "\"\n\"" + strings.Join(row, `","`) + "\"\n"
		job, said := readTables(t, nil, "a.csv", data)
		right, named := 0, strings.Contains(said, "error ")
		for n := range of {
			for i := range job.Blocks {
				if b := &job.Blocks[i]; flat(b.Text) == bodies[n] && field.of(b) == field.cells[n] {
					right++
				}
			}
			named = named || strings.Contains(said, "“"+all[count](name, n)+"”") || strings.Contains(said, " "+name+",")
		}
		switch plainly := count < len(countings.plain) && texts(word, 1) == word+" 2"; {
		case right == of:
			seen["right"]++
		case plainly:
			t.Errorf("%d of %d are right:\n%s%s", right, of, data, said)
		case !named:
			t.Errorf("nothing is said of what is not right (%d of %d are):\n%s%s", right, of, data, said)
		default:
			seen["told"]++
		}
	}
	if seen["right"] < draws/2 || seen["told"] < draws/20 {
		t.Errorf("%v of %d", seen, draws)
	}
}
