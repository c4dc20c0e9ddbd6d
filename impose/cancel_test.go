package impose

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/config/longtests"
)

// laborious are jobs that take long, each in another step.
func laborious(t *testing.T) map[string]string {
	t.Helper()
	dir := t.TempDir()
	words := func(r *rand.Rand, n int, from ...string) string {
		var b strings.Builder
		for b.Len() < n {
			b.WriteString(from[r.IntN(len(from))] + " ")
		}
		return strings.TrimSpace(b.String())
	}
	latin := []string{"plums", "ferry", "Sunday", "Anna", "harvest", "quiet", "a", "we", "stone", "bread", "letters"}
	mixed := append([]string{"שלום", "ספר", "كتاب", "ليل", "12", "3.5"}, latin...)
	made := map[string]string{}
	job := func(name, head string, rows int, row func(r *rand.Rand, i int) string) {
		r := rand.New(rand.NewPCG(6, uint64(rows)))
		var b strings.Builder
		b.WriteString(head + "\n")
		for i := range rows {
			b.WriteString(row(r, i) + "\n")
		}
		made[name] = filepath.Join(dir, strings.ReplaceAll(name, " ", "-")+".csv")
		if err := os.WriteFile(made[name], []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	job("copies", "Name,Journaling,Width,Height,Copies", 20, func(_ *rand.Rand, i int) string {
		return fmt.Sprintf("P%d,Plums in Larvik %d,1,%d,100", i, i, 1+i%3)
	})
	job("rows", "Name,Journaling,Width,Height", 500, func(r *rand.Rand, i int) string {
		return fmt.Sprintf("P%d,%s %d,4,2", i%40, words(r, 500, latin...), i)
	})
	job("long texts", "Name,Journaling,Width,Height", 6, func(r *rand.Rand, i int) string {
		return fmt.Sprintf("P%d,%s,8,%d", i, words(r, 12000, latin...), 9+i%2)
	})
	job("directions", "Name,Journaling,Width,Height", 6, func(r *rand.Rand, i int) string {
		return fmt.Sprintf("P%d,%s,%d,10", i, words(r, 6000, mixed...), 5+i%3)
	})
	job(noFonts, "Name,Journaling,Width,Height,Font", 600, func(_ *rand.Rand, i int) string {
		return fmt.Sprintf("P,Plums in Larvik %d,4,2,Nobody %d", i, i*7919)
	})
	job(farApart, "Name,Journaling,Width,Height", 400, func(r *rand.Rand, i int) string {
		return fmt.Sprintf("P,Plum %d,%.4f,%.4f", i, 0.8+5*r.Float64(), 0.8+5*r.Float64())
	})
	return made
}

// farApart is the job whose blocks lie two inches apart.
const farApart = "far apart"

// noFonts is the job of fonts that nobody has.
const noFonts = "fonts"

// Whatever a job is at when it is no longer wanted, it stops at once. Only what pdfcpu and excelize do in one go (they read, check
// and write whole documents) cannot be broken off; the command ends without waiting for it.
func TestStopsAtOnce(t *testing.T) {
	longtests.Only(t)
	most, moments := 200*time.Millisecond, 2
	if raced { // all of it takes ten times as long
		most, moments = 2*time.Second, 1
	}
	if longtests.Many() {
		moments = 60
	}
	for name, path := range laborious(t) {
		work := func(ctx context.Context) (at string, err error) {
			flags := map[string]string{"effort": "100"}
			if name == farApart {
				flags["gap"] = "2 in"
			}
			s, problems := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: flags})
			j := New(s, problems)
			step := func(name string, do func() error) {
				if err == nil {
					at, err = name, do()
				}
			}
			step("reading", func() error { return j.Read(ctx, []string{path}, "") })
			step("setting", func() error { return j.Set(ctx) })
			step("arranging", func() error { return j.Arrange(ctx) })
			step("drawing", func() error { return j.Draw(ctx, "x") })
			step("writing", func() error { _, err := j.Write(ctx, false); return err })
			if err == nil && len(j.Held) > 0 && name != farApart && name != noFonts {
				t.Errorf("%s: a row is held back: %s", name, j.Held[0].Why)
			}
			return at, err
		}
		began := time.Now()
		if at, err := work(t.Context()); err != nil {
			t.Fatalf("%s: %s: %v", name, at, err)
		}
		whole := time.Since(began)
		r := rand.New(rand.NewPCG(17, uint64(len(name))))
		seen := map[string]int{}
		var worst time.Duration
		for range moments {
			moment := time.Duration(r.Int64N(int64(whole)))
			took, at := time.Duration(0), ""
			for try := range 4 { // the machine may be busy with something else
				ctx, cancel := context.WithCancel(t.Context())
				type end struct {
					at   string
					err  error
					when time.Time
				}
				done := make(chan end)
				go func() {
					at, err := work(ctx)
					done <- end{at, err, time.Now()}
				}()
				time.Sleep(moment)
				cancelled := time.Now()
				cancel()
				e := <-done
				took, at = e.when.Sub(cancelled), e.at
				if e.err == nil || took <= most || at == "writing" {
					break
				}
				t.Logf("%s: %s went on for %v, try %d", name, at, took, try+1)
			}
			seen[at]++
			if at == "writing" {
				continue
			}
			if worst = max(worst, took); took > most {
				t.Errorf("%s: %s goes on for %v when it is no longer wanted", name, at, took)
			}
		}
		t.Logf("%s: takes %v; stopped at %v, at most %v", name, whole.Round(time.Millisecond), seen, worst.Round(time.Millisecond))
	}
}
