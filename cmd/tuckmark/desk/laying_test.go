package desk

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/jobbook"
)

// TestLaidAtLast: the last that is told of a job is that it is laid, whatever effort there is to give; its amounts carry the sign that was typed with
// the prices of the paper. Each stage says which settings it was laid by.
func TestLaidAtLast(t *testing.T) {
	for _, effort := range []int{0, 1, 100} {
		path := filepath.Join(t.TempDir(), "lake-desk.xlsx")
		s, found := load(path)
		if found.Errors() > 0 {
			t.Fatal(found)
		}
		s.Effort = effort
		book, err := jobbook.New(path, s)
		if err != nil {
			t.Fatal(err)
		}
		row := func(sheet jobbook.Sheet, cells map[string]string) {
			id := jobbook.NewID()
			if _, err := book.Do(append([]jobbook.Change{{Kind: jobbook.Insert, Sheet: sheet, ID: id}}, setAll(sheet, id, cells)...)...); err != nil {
				t.Fatal(err)
			}
		}
		row(jobbook.Journaling, map[string]string{"Name": "Ann Lo", "Journaling": "We rowed out.", "Width": "3 in", "Height": "2 in", "Stock": "vellum"})
		row(jobbook.Paper, map[string]string{"Stock": "vellum", "Width": "8 1/2 in", "Height": "11 in", "Count": "5", "Price": "€2"})
		told := make(chan foot, 10)
		l := newLayer(book, s, "", func(n *laid) {
			if n.by == "" {
				t.Errorf("effort %d: of stage %d it is not known which settings it was laid by", effort, n.stage)
			}
			told <- n.foot()
		})
		ctx, stop := context.WithCancel(context.Background())
		done := make(chan struct{})
		go func() {
			defer close(done)
			l.run(ctx)
		}()
		var last foot
		for last.How != "laid" {
			select {
			case last = <-told:
				continue
			case <-time.After(10 * time.Second):
				t.Errorf("effort %d: the last that is told is %q", effort, last.How)
			}
			break
		}
		if !slices.ContainsFunc(last.Counts, func(c [3]any) bool { return strings.Contains(fmt.Sprint(c[0]), "€") }) {
			t.Errorf("effort %d: the amounts have no sign: %v", effort, last.Counts)
		}
		stop()
		<-done
		if err := book.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
