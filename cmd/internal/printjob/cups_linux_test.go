package printjob

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/cmd/internal/printjob/rig"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// person answers questions: by the first of the rules whose words are in the question, else by Enter.
type person struct {
	t     *testing.T
	rules []rule
	said  bytes.Buffer
	asked int
}

type rule struct {
	words  string
	answer func(question string) string
}

// front is the person's front: it writes down what is told.
func (p *person) front() Front {
	return Front{Tell: p.tell, Ask: func(_ context.Context, q Question) (Answer, error) { return p.ask(q) }}
}

func (p *person) tell(e Event) {
	for _, line := range e.Words() {
		fmt.Fprintln(&p.said, line)
	}
}

func (p *person) ask(q Question) (Answer, error) {
	question := prompt(q)
	p.said.WriteString(question)
	if p.asked++; p.asked > 500 {
		return "", io.EOF
	}
	answer := q.Usual
	for _, r := range p.rules {
		if strings.Contains(question, r.words) {
			if a := r.answer(question); a != "" {
				answer = Answer(a)
			}
			break
		}
	}
	fmt.Fprintln(&p.said, answer)
	return answer, nil
}

// session is one over the rig, of all or part of the sample.
func session(t *testing.T, r *rig.Rig, pdf string, s *config.Settings, part Part, p *person) *Session {
	t.Helper()
	d, bad := Open(pdf)
	if bad != nil {
		t.Fatal(bad)
	}
	jobs, problems := d.Jobs(s, part)
	client, err := ipp.Local(r.Socket)
	if err != nil {
		t.Fatal(err)
	}
	queues, err := Queues(context.Background(), client)
	if err != nil {
		t.Fatal(err)
	}
	if problems = append(problems, Assign(jobs, queues, s.Unit)...); problems.Errors() > 0 {
		t.Fatal(problems)
	}
	return &Session{Document: d, Jobs: jobs, Client: client, Unit: s.Unit, Front: p.front(), Pause: 50 * time.Millisecond, Wait: 5 * time.Second}
}

// printed are the pages of the jobs that the printer received, by the names of the jobs.
func printed(r *rig.Rig) (out []string) {
	for _, got := range r.Received() {
		name := got.Env["IPP_JOB_NAME"]
		name = strings.TrimPrefix(name, "retreat.pdf, ")
		out = append(out, name[:strings.LastIndex(name, " (")])
	}
	return out
}

// TestThroughCUPS sends the sample piece by piece, a jam and a refill in between, and compares what reached the printer with the
// plan: the attributes, and every word to 0.01 pt as PDFium reads it.
func TestThroughCUPS(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	var sending time.Duration // beside the printer's own time
	var loaded time.Time
	r.Hold("media-jam-error") // at the first piece
	refilled := false         // a jam that is told later is news of before
	p := &person{t: t}
	p.rules = []rule{{"it is loaded", func(string) string {
		loaded = time.Now()
		return ""
	}}}
	sess := session(t, r, pdf, s, Part{}, p)
	sess.Front.Tell = func(e Event) {
		switch e := e.(type) {
		case Sent:
			sending += time.Since(loaded)
			m, err := sess.Client.Do(soon(t), "/jobs/", ipp.GetJobAttributes, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(e.Queue)), ipp.Number("job-id", ipp.Integer, e.Job),
				ipp.Attr("requested-attributes", ipp.Keyword, "print-scaling")}, nil, nil)
			if err != nil || m.Group(ipp.JobGroup).Text("print-scaling") != "none" {
				t.Errorf("%v: CUPS has no print-scaling none: %+v %v", e.Pages, m, err)
			}
		case Waiting:
			if strings.Contains(strings.Join(e.Why, ";"), "out of paper") {
				r.Release() // a piece is loaded
				refilled = true
			} else if !refilled {
				r.Hold("media-empty-error") // the jam is out, and the tray is empty
			}
		}
		p.tell(e)
	}
	complete, problems := sess.Run(soon(t))
	if !complete || len(problems) > 0 {
		t.Fatalf("%v\n%s", problems, p.said.String())
	}
	for _, words := range []string{"paper is jammed", "out of paper"} {
		if !strings.Contains(p.said.String(), words) {
			t.Errorf("nothing was said of %q:\n%s", words, p.said.String())
		}
	}
	if t.Logf("%d jobs were sent in %v", len(sess.Jobs), sending); sending > 2*time.Second {
		t.Errorf("%d jobs were sent in %v, more than 2 s", len(sess.Jobs), sending)
	}
	received := r.Received()
	if len(received) != len(sess.Jobs) {
		t.Fatalf("%d jobs were received, %d sent", len(received), len(sess.Jobs))
	}
	whole := readback.Open(t, read(t, pdf))
	wants := map[string][3]string{"vellum": {"rear", "transparency", "draft"}, "clear sticker": {"by-pass-tray", "labels", "high"}, "cardstock": {"main", "cardstock", "normal"}}
	sizes := map[measure.Size]bool{}
	page := job.Plan.Pieces[0].Page
	for i, got := range received {
		j := sess.Jobs[i]
		sizes[j.Size] = true
		want := wants[j.Stock.Name]
		media := got.Env["IPP_MEDIA_COL"]
		size := fmt.Sprintf("media-size={x-dimension=%d y-dimension=%d}", hundredths(j.Size.W), hundredths(j.Size.H))
		for _, w := range []string{size, "media-source=" + want[0], "media-type=" + want[1]} {
			if !strings.Contains(media, w) {
				t.Errorf("%v: %s, want %s", j.Pages, media, w)
			}
		}
		if q, sides, mode := got.Env["IPP_PRINT_QUALITY"], got.Env["IPP_SIDES"], got.Env["IPP_PRINT_COLOR_MODE"]; q != want[2] || sides != "one-sided" || mode != j.mode() {
			t.Errorf("%v: quality %s, sides %s, colour %s", j.Pages, q, sides, mode)
		}
		// CUPS 2.4.2 keeps print-scaling to itself where the queue has a driver file (OpenPrinting/cups 862): then the size says it.
		if scaling := got.Env["IPP_PRINT_SCALING"]; scaling != "none" && scaling != "" {
			t.Errorf("%v: the printer is to scale: %s", j.Pages, scaling)
		}
		if dir := os.Getenv("PRINTED"); dir != "" { // to be looked at
			if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("%02d.pdf", i)), got.PDF, 0o600); err != nil {
				t.Error(err)
			}
		}
		doc := readback.Open(t, got.PDF)
		if doc.Pages() != len(j.Pages) {
			t.Fatalf("%v: %d pages", j.Pages, doc.Pages())
		}
		for k, n := range j.Pages {
			if n != page {
				t.Errorf("page %d is printed, page %d is next", n, page)
			}
			page++
			same(t, whole, n-1, doc, k)
		}
	}
	if len(sizes) < 3 {
		t.Errorf("only %d sizes were tried", len(sizes))
	}
	if page-job.Plan.Pieces[0].Page != job.Plan.Pages() {
		t.Errorf("%d pages were printed of %d", page-job.Plan.Pieces[0].Page, job.Plan.Pages())
	}
	// A second run prints nothing again.
	again := &person{t: t}
	if complete, problems := session(t, r, pdf, s, Part{}, again).Run(soon(t)); !complete || len(problems) > 0 || again.asked > 0 || len(r.Received()) != len(received) {
		t.Errorf("the second run: %v %v, %d jobs\n%s", complete, problems, len(r.Received()), again.said.String())
	}
}

// same compares the words of a page that was received with those of our PDF.
func same(t *testing.T, want *readback.Doc, n int, got *readback.Doc, k int) {
	t.Helper()
	const near = measure.Point / 100
	apart := func(a, b measure.Length) bool { return max(a-b, b-a) > near }
	if a, b := want.Size(n), got.Size(k); apart(a.W, b.W) || apart(a.H, b.H) {
		t.Errorf("page %d is %v, was %v", n+1, b, a)
	}
	// By characters, which are surer than words: where there is no space PDFium may put one in.
	seen := func(all []readback.Char) []readback.Char {
		return slices.DeleteFunc(all, func(c readback.Char) bool { return c.Made || strings.TrimSpace(c.Text) == "" })
	}
	a, b := seen(want.Chars(n)), seen(got.Chars(k))
	if len(a) != len(b) || len(a) == 0 {
		t.Fatalf("page %d has %d characters, had %d", n+1, len(b), len(a))
	}
	for i := range a {
		if x, y := a[i], b[i]; x.Text != y.Text || apart(x.X, y.X) || apart(x.Y, y.Y) || apart(x.Ink.W, y.Ink.W) {
			t.Errorf("page %d: %q at %v, %v; was %q at %v, %v", n+1, y.Text, y.X, y.Y, x.Text, x.X, x.Y)
		}
	}
}

// TestFaults does what happens beside printers: somebody cancels, somebody stops the queue, CUPS goes for good, a piece comes out badly.
func TestFaults(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	first := job.Plan.Pieces[0].Page
	part := Part{Pages: []int{first}}

	t.Run("cancelled elsewhere", func(t *testing.T) {
		r.Hold("media-needed")
		p := &person{t: t, rules: []rule{
			{"all the same", func(string) string { r.Release(); return "o" }},
			{"it is loaded", func(string) string {
				go func() {
					time.Sleep(500 * time.Millisecond)
					if out, err := r.Admin("cancel", "-a", "home"); err != nil {
						t.Error(err, out)
					}
				}()
				return ""
			}},
		}}
		complete, problems := session(t, r, pdf, s, part, p).Run(soon(t))
		if complete || len(problems) > 0 || !strings.Contains(p.said.String(), "somebody cancelled it") || !strings.Contains(p.said.String(), fmt.Sprintf("Not printed yet: page %d", first)) {
			t.Errorf("%v %v\n%s", complete, problems, p.said.String())
		}
		time.Sleep(time.Second) // the printer has what CUPS gave it before, and prints it all the same
	})
	t.Run("stopped queue", func(t *testing.T) {
		if out, err := r.Admin("cupsdisable", "home"); err != nil {
			t.Fatal(err, out)
		}
		before := len(r.Received())
		p := &person{t: t, rules: []rule{{"it is loaded", func(string) string {
			go func() {
				time.Sleep(500 * time.Millisecond)
				if out, err := r.Admin("cupsenable", "home"); err != nil {
					t.Error(err, out)
				}
			}()
			return ""
		}}, {"come out well", func(string) string { return "n" }}}}
		complete, problems := session(t, r, pdf, s, part, p).Run(soon(t))
		said := p.said.String()
		if complete || len(problems) > 0 || !strings.Contains(said, "the queue is stopped") || len(r.Received()) != before+1 {
			t.Errorf("%v %v, %d jobs\n%s", complete, problems, len(r.Received())-before, said)
		}
		if !regexp.MustCompile(`tuckmark redo \S*retreat-report.xlsx --blocks \w+-\d+`).MatchString(said) {
			t.Errorf("no command to redo it:\n%s", said)
		}
	})
	t.Run("CUPS is gone", func(t *testing.T) {
		before := len(r.Received())
		p := &person{t: t, rules: []rule{
			{"send it again", func(string) string { return "q" }},
			{"it is loaded", func(string) string { r.KillCUPS(); return "" }},
		}}
		complete, problems := session(t, r, pdf, s, Part{Pages: []int{first + 1}}, p).Run(soon(t))
		if complete || len(problems) > 0 || !strings.Contains(p.said.String(), "nothing of it was printed") || len(r.Received()) != before {
			t.Errorf("%v %v\n%s", complete, problems, p.said.String())
		}
		r.StartCUPS()
	})
	t.Run("nobody there", func(t *testing.T) {
		p := &person{t: t}
		sess := session(t, r, pdf, s, Part{Pages: []int{first + 1}}, p)
		sess.Front.Ask = nil
		if complete, problems := sess.Run(soon(t)); !complete || len(problems) > 0 {
			t.Errorf("%v %v\n%s", complete, problems, p.said.String())
		}
	})
	t.Run("the queue's own measures", func(t *testing.T) {
		client, err := ipp.Local(r.Socket)
		if err != nil {
			t.Fatal(err)
		}
		queues, err := Queues(context.Background(), client)
		if err != nil || len(queues) != 1 || !queues[0].Default {
			t.Fatal(err, queues)
		}
		folder := t.TempDir()
		file := filepath.Join(folder, "tuckmark.yaml")
		if err := os.WriteFile(file, []byte("printers:\n"+queues[0].YAML()), 0o600); err != nil {
			t.Fatal(err)
		}
		got, problems := config.Load(config.Source{File: file, Near: folder, Work: folder, Home: folder})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		// As rig/home.conf has them, in hundredths of a millimetre.
		if q := got.Printers[0]; hundredths(q.Narrowest) != 8890 || hundredths(q.Widest) != 21590 || hundredths(q.Shortest) != 12700 || hundredths(q.Longest) != 35560 ||
			hundredths(q.Margins.Left) != 318 || hundredths(q.Margins.Bottom) != 1270 || q.Queue != "home" {
			t.Errorf("%+v", q)
		}
	})
}

// TestKilledCUPS kills CUPS at any time while the sample is printed. A person looks into the printer whenever it is asked what came out.
// In the end every page was printed once.
func TestKilledCUPS(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	runs := longtests.Cases(5, 50)
	pdf, s, job := sample(t)
	both := []int{job.Plan.Pieces[0].Page, job.Plan.Pieces[1].Page}
	state := strings.TrimSuffix(pdf, ".pdf") + "-printing.json"
	doubts := 0
	for run := range runs {
		_ = os.Remove(state) // of the run before
		pages := both[run%2:]
		before := len(r.Received())
		out := func(question string) bool { // whether what a question asks about lies in the printer's output
			time.Sleep(300 * time.Millisecond) // it comes to rest first
			for _, name := range printed(r)[before:] {
				if regexp.MustCompile(regexp.QuoteMeta(name) + `\b`).MatchString(question) {
					return true
				}
			}
			return false
		}
		p := &person{t: t, rules: []rule{{"It is not known", func(q string) string {
			doubts++
			if out(q) {
				return "y"
			}
			return "o"
		}}}}
		sess := session(t, r, pdf, s, Part{Pages: pages}, p)
		chance := rand.New(rand.NewSource(int64(run)))
		killed := make(chan struct{})
		go func() {
			defer close(killed)
			time.Sleep(time.Duration(chance.Intn(1500)) * time.Millisecond)
			r.KillCUPS()
			time.Sleep(100 * time.Millisecond)
			r.StartCUPS()
		}()
		for try := range 6 { // left at that: the same command goes on
			complete, _ := sess.Run(soon(t))
			if complete {
				break
			}
			if try == 5 {
				t.Errorf("run %d did not come to its end:\n%s", run, p.said.String())
			}
		}
		<-killed
		time.Sleep(500 * time.Millisecond) // what CUPS might print again by itself
		got := printed(r)[before:]
		slices.Sort(got)
		var want []string
		for _, n := range pages {
			want = append(want, fmt.Sprintf("page %d", n))
		}
		if !slices.Equal(got, want) {
			t.Errorf("run %d: printed %v, want %v\n%s", run, got, want, p.said.String())
		}
	}
	t.Logf("%d runs, %d times in doubt", runs, doubts)
}

// soon is a context that ends before the tests' own limit does, so that a printer that never answers fails one test and not all.
func soon(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	t.Cleanup(cancel)
	return ctx
}
