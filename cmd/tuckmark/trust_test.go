package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/config/settled"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// spoilt has the checker look at plans that were spoilt just before.
func spoilt(t *testing.T, spoil func(*plan.Plan)) {
	t.Cleanup(func() { checker = plan.Check })
	checker = func(p *plan.Plan, blocks []intake.Block, s *config.Settings) []string {
		spoil(p)
		return plan.Check(p, blocks, s)
	}
}

// A plan that breaks a promise is not printed: the message names the piece, and the plan is kept to be looked at.
func TestBrokenPlanIsNotPrinted(t *testing.T) {
	spoilt(t, func(p *plan.Plan) { p.Pieces[len(p.Pieces)-1].Blocks()[0].Rect.X -= 2 })
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	must(t, os.Mkdir(out, 0o755))
	job := filepath.Join(dir, "job.csv")
	put(t, job, "Name,Journaling,Width,Height,Stock,When\nOdile Hart,Plums.,4,2,vellum,4 July 2026\n")
	for name, args := range map[string][]string{
		"make": {"make", job, "-o", filepath.Join(out, "job.pdf")},
		"note": {"note", "--space", "4 x 2", "--stock", "vellum", "Plums.", "-o", filepath.Join(out, "job.pdf")},
	} {
		put(t, filepath.Join(out, "job.pdf"), "")
		code, said, err := tuckmark(t, args...)
		got := contents(t, out)
		if code != exitFile || !regexp.MustCompile(`P\d+: a part should be .*, the cuts give `).MatchString(err) || !strings.Contains(err, "to do: keep "+filepath.Join(out, "job-faulty-plan.json")) || !strings.Contains(said, "Nothing was written but the plan.") {
			t.Errorf("%s: exit status %d, %s%s", name, code, said, err)
		}
		if got["job.pdf"] != "" || !strings.Contains(got["job-faulty-plan.json"], `"pieces"`) || len(got) != 2 {
			t.Errorf("%s: written were %d files", name, len(got))
		}
		must(t, os.Remove(filepath.Join(out, "job-faulty-plan.json")))
	}
}

// Names that cannot be: what is wrong with them is told, and not what a later step makes of them.
func TestOddNames(t *testing.T) {
	dir := t.TempDir()
	job := filepath.Join(dir, "job.csv")
	put(t, job, "Name,Journaling,Width,Height,Stock,When\nOdile Hart,Plums.,4,2,vellum,4 July 2026\n")
	for _, c := range []struct {
		args       []string
		says, todo string
	}{
		{[]string{"make", job, "-o", filepath.Join(dir, strings.Repeat("a", 300)+".pdf"), "--report", filepath.Join(dir, "r.xlsx")}, "the name is too long", "give another name or folder with -o"},
		{[]string{"make", job, "-o", filepath.Join(job, "x.pdf")}, "a file and not a folder", "give another name or folder with --report"},
	} {
		code, out, err := tuckmark(t, c.args...)
		if code != exitFile || !strings.Contains(err, c.says) || !strings.Contains(err, "to do: "+c.todo) || !strings.Contains(out, "Nothing was written") {
			t.Errorf("%q: exit status %d, %s%s", c.args, code, out, err)
		}
	}
}

// What nobody thought of ends with words, an exit status and no file.
func TestPanicIsTold(t *testing.T) {
	spoilt(t, func(*plan.Plan) { panic("nobody thought of this") })
	dir := t.TempDir()
	job := filepath.Join(dir, "job.csv")
	put(t, job, "Name,Journaling,Width,Height,Stock,When\nOdile Hart,Plums.,4,2,vellum,4 July 2026\n")
	code, _, err := tuckmark(t, "make", job)
	if code != exitFile || !strings.Contains(err, "a fault of tuckmark, not yours") || !strings.Contains(err, "nothing was written") || strings.Contains(err, "goroutine") {
		t.Errorf("exit status %d, %s", code, err)
	}
	if got := contents(t, dir); len(got) != 1 {
		t.Errorf("there are %d files", len(got))
	}
}

// Another program saves an input while it is read, again and again: each run is refused, or is of a whole input.
func TestInputChangesWhileRead(t *testing.T) {
	dir := t.TempDir()
	job := filepath.Join(dir, "job.csv")
	row := "Odile Hart,Plums on the quay.,4,2,vellum,4 July 2026\n"
	texts := []string{"Name,Journaling,Width,Height,Stock,When\n" + strings.Repeat(row, 3000), "Name,Journaling,Width,Height,Stock,When\n" + strings.Repeat(row, 2000)}
	put(t, job, texts[0])
	stop, stopped := make(chan bool), make(chan bool)
	go func() {
		defer close(stopped)
		for n := 0; ; n++ {
			select {
			case <-stop:
				return
			default:
				_ = os.WriteFile(job, []byte(texts[n%2]), 0o644)
			}
		}
	}()
	refused := 0
	for range 200 {
		got, problems := intake.Read([]string{job}, mustSettings(t))
		switch n := len(got.Blocks) + len(got.Held); {
		case problems.Errors() > 0:
			for _, p := range problems {
				if strings.Contains(p.What, "changed while it was read") {
					if p.Hint == "" {
						t.Errorf("%+v", p)
					}
					refused++
				}
			}
		case n != 3000 && n != 2000:
			t.Errorf("%d rows, and no word about it", n)
		}
		if refused > 3 {
			break
		}
	}
	close(stop)
	<-stopped
	if refused == 0 {
		t.Error("no run met a change: the test does not test much")
	}
}

// Settings and answers of which the first half stands there are not read as all of them.
func TestHalfSaved(t *testing.T) {
	dir := t.TempDir()
	put(t, filepath.Join(dir, "job.csv"), "Name,Journaling,Width,Height\nOdile Hart,Plums on the quay.,4,2\n")
	for name, args := range map[string][]string{"tuckmark.yaml": {}, "answers.txt": {"--answers", filepath.Join(dir, "answers.txt")}} {
		path := filepath.Join(dir, name)
		put(t, path, "units: in\n")
		ended := make(chan bool)
		stop := make(chan bool)
		go func() { // a program that saves a little at a time
			defer close(ended)
			for {
				select {
				case <-stop:
					return
				case <-time.After(settled.RestTime / 10):
					if f, err := os.OpenFile(path, os.O_WRONLY|os.O_APPEND, 0); err == nil {
						_, _ = f.WriteString("#\n")
						f.Close()
					}
				}
			}
		}()
		code, _, stderr := tuckmark(t, append([]string{"check", filepath.Join(dir, "job.csv")}, args...)...)
		close(stop)
		<-ended
		if !strings.Contains(stderr, "changed while it was read") {
			t.Errorf("%s: exit status %d, %s", name, code, stderr)
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
	}
}

func mustSettings(t *testing.T) *config.Settings {
	t.Helper()
	s, problems := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir()})
	if s == nil {
		t.Fatal(problems)
	}
	return s
}
