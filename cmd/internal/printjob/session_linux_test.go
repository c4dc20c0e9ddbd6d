package printjob

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/cmd/internal/printjob/rig"
	"tuckmark/config/measure"
	"tuckmark/impose/guide"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
	"tuckmark/impose/typeset"
)

// TestStopped: a session that is broken off says what is printed, what is in doubt and what is not, prints nothing that it had not
// let go, and the next one asks about what is in doubt.
func TestStopped(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	first := job.Plan.Pieces[0].Page
	part := Part{Pages: []int{first, first + 1, first + 2}}
	var sum Summary
	run := func(when func(Event) bool, rules ...rule) string {
		ctx, stop := context.WithCancel(soon(t))
		defer stop()
		p := &person{t: t, rules: rules}
		sess := session(t, r, pdf, s, part, p)
		sess.Front.Tell = func(e Event) {
			p.tell(e)
			if last, ok := e.(Summary); ok {
				sum = last
			}
			if when(e) {
				stop()
			}
		}
		if complete, problems := sess.Run(ctx); complete || len(problems) > 0 {
			t.Errorf("%v %v", complete, problems)
		}
		return p.said.String()
	}
	// While the second piece is in the printer.
	sent := 0
	said := run(func(e Event) bool {
		if _, ok := e.(Load); ok && sent == 1 {
			r.Hold("media-jam-error")
		}
		if _, ok := e.(Sent); ok {
			sent++
		}
		return sends(e) && sent == 2
	})
	if !sum.Stopped || !slices.Equal(sum.Well, []int{first}) || len(sum.Doubt) != 1 || !slices.Equal(sum.Doubt[0].Pages, []int{first + 1}) || !slices.Equal(sum.Open, []int{first + 2}) {
		t.Errorf("%+v\n%s", sum, said)
	}
	for _, words := range []string{"Stopped.", fmt.Sprintf("Printed well: page %d.", first), fmt.Sprintf("In doubt: page %d went to “home” as job", first+1), fmt.Sprintf("Not printed yet: page %d.", first+2), "To go on:"} {
		if !strings.Contains(said, words) {
			t.Errorf("%q is not said:\n%s", words, said)
		}
	}
	r.Release()
	time.Sleep(time.Second)
	// Again: CUPS tells how the one in doubt ended, and it is asked about; then while a piece is loaded.
	asked := false
	said = run(func(e Event) bool { load, ok := e.(Load); return ok && load.Pages[0] == first+2 },
		rule{"come out well", func(string) string { asked = true; return "y" }})
	if !asked || !sum.Stopped || len(sum.Doubt) > 0 || !slices.Equal(sum.Open, []int{first + 2}) {
		t.Errorf("asked %v, %+v\n%s", asked, sum, said)
	}
	if got := printed(r); !slices.Equal(got, []string{fmt.Sprintf("page %d", first), fmt.Sprintf("page %d", first+1)}) {
		t.Errorf("printed %v", got)
	}
	if out, err := r.Admin("lpstat", "-o"); err != nil || out != "" {
		t.Errorf("CUPS has jobs left: %s %v", out, err)
	}
}

// TestTwoSessions: of two sessions of one PDF at once the later sends nothing and says so. Where no lock keeps them apart, because the same PDF was put in the
// place of the first, the one that learns last how far the printing is ends; either way each page is printed once, and CUPS is left with nothing.
func TestTwoSessions(t *testing.T) {
	t.Parallel()
	for _, replaced := range []bool{false, true} {
		t.Run(map[bool]string{false: "locked", true: "replaced"}[replaced], func(t *testing.T) {
			t.Parallel()
			r := rig.Start(t)
			pdf, s, job := sample(t)
			first := job.Plan.Pieces[0].Page
			part := Part{Pages: []int{first, first + 1, first + 2}}
			var early, later string
			cameWell := []rule{{"come out well", func(string) string { return string(Yes) }}}
			other := func() {
				p := &person{t: t, rules: cameWell}
				complete, problems := session(t, r, pdf, s, part, p).Run(soon(t))
				later = p.said.String()
				if replaced && (!complete || len(problems) > 0) {
					t.Errorf("the other: %v %v\n%s", complete, problems, later)
				}
				if !replaced && (complete || len(problems) != 1 || !strings.Contains(problems[0].What, "being printed already") || later != "") {
					t.Errorf("the other: %v %v\n%s", complete, problems, later)
				}
			}
			p := &person{t: t, rules: cameWell}
			sess := session(t, r, pdf, s, part, p)
			sent := 0
			sess.Front.Tell = func(e Event) {
				p.tell(e)
				if sends(e) {
					sent++
				}
				if !sends(e) || sent != 1 {
					return
				}
				if replaced {
					again := read(t, pdf)
					if err := errors.Join(os.Remove(pdf), os.WriteFile(pdf, again, 0o600)); err != nil {
						t.Error(err)
					}
				}
				other()
			}
			complete, problems := sess.Run(soon(t))
			early = p.said.String()
			if !replaced && (!complete || len(problems) > 0) {
				t.Errorf("the first: %v %v\n%s", complete, problems, early)
			}
			if replaced && (complete || len(problems) != 1 || !strings.Contains(problems[0].What, "another window has gone on")) {
				t.Errorf("the first: %v %v\n%s", complete, problems, early)
			}
			want := []string{fmt.Sprintf("page %d", first), fmt.Sprintf("page %d", first+1), fmt.Sprintf("page %d", first+2)}
			if got := printed(r); !slices.Equal(got, want) {
				t.Errorf("printed %v\n%s\n%s", got, early, later)
			}
			if out, err := r.Admin("lpstat", "-o"); err != nil || out != "" {
				t.Errorf("CUPS has jobs left: %s %v", out, err)
			}
			if complete, problems := session(t, r, pdf, s, part, &person{t: t}).Run(soon(t)); !complete || len(problems) > 0 || len(r.Received()) != 3 {
				t.Errorf("after both: %v %v, %v", complete, problems, printed(r))
			}
		})
	}
}

// TestQueueStopped: CUPS prints a job from its beginning where its queue was stopped while the job was in the printer. That is said before the queue goes on, and the
// job is asked about, not taken for one that came out once.
func TestQueueStopped(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	r.Hold("media-jam-error")
	asked := 0
	p := &person{t: t, rules: []rule{{"begun more than once", func(string) string { asked++; return string(Yes) }}}}
	sess := session(t, r, pdf, s, Part{Pages: []int{job.Plan.Pieces[0].Page}}, p)
	stopped, told := false, false
	admin := func(command string) {
		if said, err := r.Admin(command, "home"); err != nil {
			t.Errorf("%s: %v %s", command, err, said)
		}
	}
	sess.Front.Tell = func(e Event) {
		p.tell(e)
		switch e := e.(type) {
		case Waiting:
			if !stopped {
				stopped = true
				admin("cupsdisable")
			}
		case Remark:
			if strings.Contains(string(e), "begins anew") {
				told = true
				r.Release()
				admin("cupsenable")
			}
		}
	}
	if complete, problems := sess.Run(soon(t)); !complete || len(problems) > 0 || asked != 1 || !told {
		t.Errorf("%v %v, asked %d times, told %v\n%s", complete, problems, asked, told, p.said.String())
	}
}

// TestBegunAnew: a job that CUPS begins anew by itself, because what carries it to the printer says so or fails, never looks as if it waited. It is not taken for one
// that came out once, whether a look falls between two beginnings or not; an ordinary job is.
func TestBegunAnew(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	for i, c := range []struct {
		policy string
		ends   []string
		alone  bool
		anew   bool
	}{
		{"retry-current-job", nil, false, false},
		{"abort-job", []string{"7"}, false, true},
		{"retry-current-job", []string{"now 1"}, true, true}, // within the same second, before the first look
	} {
		r.Ends(c.policy, c.ends...)
		asked := 0
		p := &person{t: t, rules: []rule{{"begun more than once", func(string) string { asked++; return string(Yes) }}}}
		sess := session(t, r, pdf, s, Part{Pages: []int{job.Plan.Pieces[i].Page}}, p)
		sess.Pause = time.Second / 3
		if c.alone {
			sess.Front.Ask = nil
		}
		complete, problems := sess.Run(soon(t))
		said := p.said.String()
		if complete == (c.anew && c.alone) || len(problems) > 0 || (asked == 1) != (c.anew && !c.alone) || strings.Contains(said, "more than once") != c.anew {
			t.Errorf("%v: %v %v, asked %d times\n%s", c, complete, problems, asked, said)
		}
		if c.alone && (!strings.Contains(said, "In doubt: ") || strings.Contains(said, "Printed well: ")) {
			t.Errorf("%v:\n%s", c, said)
		}
		if _, err := sess.Client.Do(soon(t), "/", ipp.GetSubscriptions, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri("home"))}, nil, nil); !c.alone && !ipp.Is(err, ipp.NotFound) {
			t.Errorf("%v: CUPS has subscriptions left: %v", c, err)
		}
		if remarked := strings.Contains(said, "CUPS has begun this anew"); remarked && !c.anew || !remarked && slices.Contains(c.ends, "7") {
			t.Errorf("%v: remarked %v\n%s", c, remarked, said)
		}
	}
}

// held sends the first piece of the sample to a printer that is jammed, breaks off, and gives the page, the session's options and what is beside the PDF.
func held(t *testing.T, r *rig.Rig) (again func(p *person) *Session, page int, beside string) {
	t.Helper()
	pdf, s, job := sample(t)
	page = job.Plan.Pieces[0].Page
	again = func(p *person) *Session { return session(t, r, pdf, s, Part{Pages: []int{page}}, p) }
	r.Hold("media-jam-error")
	ctx, stop := context.WithCancel(soon(t))
	defer stop()
	p := &person{t: t}
	sess := again(p)
	sess.Front.Tell = func(e Event) {
		if p.tell(e); sends(e) {
			stop()
		}
	}
	if complete, problems := sess.Run(ctx); complete || len(problems) > 0 {
		t.Fatalf("%v %v\n%s", complete, problems, p.said.String())
	}
	return again, page, strings.TrimSuffix(pdf, ".pdf") + "-printing.json"
}

// idle waits until CUPS has nothing under way: what it has taken back it then has from the printer, too.
func idle(t *testing.T, r *rig.Rig) {
	t.Helper()
	for range 100 {
		if out, err := r.Admin("lpstat", "-p", "home"); err == nil && strings.Contains(out, "is idle") {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Error("the queue does not come to rest")
}

// queue stops the queue, so that what is sent waits in CUPS and no printer has any of it, or lets it go on.
func queue(t *testing.T, r *rig.Rig, goesOn bool) {
	t.Helper()
	command := map[bool]string{false: "cupsdisable", true: "cupsenable"}[goesOn]
	if said, err := r.Admin(command, "home"); err != nil {
		t.Errorf("%s: %v %s", command, err, said)
	}
}

// TestTakenBackLater: CUPS is away when a person says that nothing came out. The job, which the printer would print as soon as it can, is told of, and taken back
// before anything else is sent: the page comes out once.
func TestTakenBackLater(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	queue(t, r, false)
	again, page, _ := held(t, r)
	p := &person{t: t}
	p.rules = []rule{{"is not known whether", func(string) string { return string(Nothing) }}, {"Print it?", func(string) string { return string(Skip) }}}
	sess := again(p)
	r.StopCUPS()
	complete, problems := sess.Run(soon(t))
	for _, words := range []string{"A printer that waits for paper may still hold it", "Job 1 is not taken back, and may still come out", "Not taken back: job 1"} {
		if complete || !strings.Contains(p.said.String(), words) {
			t.Errorf("%q is not said: %v %v\n%s", words, complete, problems, p.said.String())
		}
	}
	r.StartCUPS()
	p = &person{t: t, rules: []rule{{"Print it?", func(string) string { r.Release(); queue(t, r, true); idle(t, r); return "" }}}}
	sess = again(p)
	if complete, problems := sess.Run(soon(t)); !complete || len(problems) > 0 || !slices.Equal(printed(r), []string{fmt.Sprintf("page %d", page)}) {
		t.Errorf("%v %v, printed %v\n%s", complete, problems, printed(r), p.said.String())
	}
}

// TestSentByAnotherUser: CUPS hides from a user what another one has sent (RFC 8011, job-privacy; CUPS' JobPrivateValues). That one's job is not taken for one that is
// gone: nothing is sent while it may come out, and it is said who can take it back.
func TestSentByAnotherUser(t *testing.T) {
	t.Parallel()
	for _, anew := range []bool{false, true} { // the PDF is made anew in between
		r := rig.Start(t)
		again, page, beside := held(t, r)
		if anew {
			state := bytes.Replace(read(t, beside), []byte(`"pdf": "`), []byte(`"pdf": "0123456789abcdef`), 1)
			state = regexp.MustCompile(`("pdf": "[0-9a-f]{32})[0-9a-f]*`).ReplaceAll(state, []byte("$1"))
			state = regexp.MustCompile(`,\s*"digest": "[^"]*"`).ReplaceAll(state, nil)
			if err := os.WriteFile(beside, state, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		other := func(p *person) *Session {
			sess := again(p)
			sess.Client = sess.Client.As("somebody else")
			return sess
		}
		p := &person{t: t, rules: []rule{{"is not known whether", func(string) string { return string(Nothing) }}}}
		complete, problems := other(p).Run(soon(t))
		if complete || len(problems) != 1 || !strings.Contains(problems[0].What, "job 1") || !strings.Contains(problems[0].What, "may still come out") || !strings.Contains(problems[0].Cause, "another user") || len(r.Received()) != 0 {
			t.Errorf("anew %v: %v %v, received %v\n%s", anew, complete, problems, printed(r), p.said.String())
		}
		r.Release() // it comes out
		for range 100 {
			if out, err := r.Admin("lpstat", "-o"); err == nil && out == "" {
				break
			}
			time.Sleep(50 * time.Millisecond)
		}
		p = &person{t: t}
		if complete, problems := other(p).Run(soon(t)); !complete || len(problems) > 0 || len(r.Received()) != 2 {
			t.Errorf("anew %v, page %d, afterwards: %v %v, received %v\n%s", anew, page, complete, problems, printed(r), p.said.String())
		}
	}
}

// TestLetGoByHand: a session ended before it let its job go, and somebody has let that go in the computer's list of print jobs. The next session asks about it, as about one
// of its own, and sends nothing twice.
func TestLetGoByHand(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	again, page, beside := held(t, r)
	state := bytes.Replace(read(t, beside), []byte(`"released"`), []byte(`"waiting"`), 1)
	if err := os.WriteFile(beside, regexp.MustCompile(`,\s*"digest": "[^"]*"`).ReplaceAll(state, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Release()
	asked := 0
	p := &person{t: t, rules: []rule{{"come out well", func(string) string { asked++; return string(Yes) }}}}
	if complete, problems := again(p).Run(soon(t)); !complete || len(problems) > 0 || asked != 1 || !slices.Equal(printed(r), []string{fmt.Sprintf("page %d", page)}) {
		t.Errorf("%v %v, asked %d times, printed %v\n%s", complete, problems, asked, printed(r), p.said.String())
	}
}

// TestNumberOfAnother: a CUPS that was set up anew, or that of another computer, has another document under the number of a job. That one is left alone,
// whatever the file beside the PDF says of the job.
func TestNumberOfAnother(t *testing.T) {
	t.Parallel()
	for _, now := range []status{released, waiting} {
		r := rig.Start(t)
		again, _, beside := held(t, r)
		was := withoutSeal(t, read(t, beside))
		other := bytes.Replace(bytes.Replace(was, []byte(`"name": "retreat`), []byte(`"name": "elsewhere`), 1), []byte(`"released"`), []byte(`"`+now+`"`), 1)
		if bytes.Equal(was, other) {
			t.Fatalf("%s", was)
		}
		if err := os.WriteFile(beside, other, 0o600); err != nil {
			t.Fatal(err)
		}
		p := &person{t: t, rules: []rule{{"is not known whether", func(string) string { return string(Yes) }}, {"Print it?", func(string) string { return string(Skip) }}}}
		if _, problems := again(p).Run(soon(t)); len(problems) > 0 {
			t.Errorf("%s: %v", now, problems)
		}
		if out, err := r.Admin("lpstat", "-o"); err != nil || !strings.HasPrefix(out, "home-1 ") {
			t.Errorf("%s: CUPS has %q %v\n%s", now, out, err, p.said.String())
		}
	}
}

// TestEarlierPDF: a page waits in the printer's queue while its PDF is made anew. It is taken back, or comes out first, before a piece is loaded for the new one.
func TestEarlierPDF(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		answer Answer
		want   int // pages that come out
	}{{Yes, 1}, {No, 2}} {
		r := rig.Start(t)
		queue(t, r, false)
		again, _, beside := held(t, r)
		r.Release()
		var state map[string]any
		if err := json.Unmarshal(withoutSeal(t, read(t, beside)), &state); err != nil {
			t.Fatal(err)
		}
		state["pdf"] = oneID
		data, err := json.Marshal(state)
		if err := errors.Join(err, os.WriteFile(beside, data, 0o600)); err != nil {
			t.Fatal(err)
		}
		asked, loaded := 0, -1
		p := &person{t: t, rules: []rule{
			{"of the PDF as it was before", func(string) string {
				if asked++; c.answer == No {
					queue(t, r, true)
				}
				return string(c.answer)
			}},
			{"Print it?", func(string) string {
				queue(t, r, true)
				idle(t, r)
				loaded = len(r.Received())
				return ""
			}},
		}}
		if complete, problems := again(p).Run(soon(t)); !complete || len(problems) > 0 || asked != 1 || loaded != c.want-1 || len(r.Received()) != c.want {
			t.Errorf("%s: %v %v, asked %d times, %d had come when it was loaded, in the end %v\n%s", c.answer, complete, problems, asked, loaded, printed(r), p.said.String())
		}
		if out, err := r.Admin("lpstat", "-o"); err != nil || out != "" {
			t.Errorf("%s: CUPS has jobs left: %s %v", c.answer, out, err)
		}
		if complete, problems := again(&person{t: t}).Run(soon(t)); !complete || len(problems) > 0 || len(r.Received()) != c.want {
			t.Errorf("%s: afterwards: %v %v", c.answer, complete, problems)
		}
	}
}

// TestStillInQueue: what an earlier session let go waits in the queue yet, perhaps of a printer that is gone for good. What has not ended in a short time is asked about:
// it is taken back, and asked about then, since some of it may have come out, or it comes out first. With nobody there it is waited for, and in doubt then.
func TestStillInQueue(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	stopped, goesOn := func() { queue(t, r, false) }, func() { queue(t, r, true) }
	inQueue := func() string {
		out, err := r.Admin("lpstat", "-o")
		if err != nil {
			t.Error(err)
		}
		return out
	}
	comes := func() {
		goesOn()
		for i := 0; i < 200 && inQueue() != ""; i++ {
			time.Sleep(50 * time.Millisecond)
		}
	}
	for i, c := range []struct {
		name       string
		halt, mend func()
		nobody     bool
		asked      func() // while it is asked about
		answer     Answer
		then       Answer // how it came out
		well       bool
		printed    int // pages in the end
	}{
		{"the printer is gone", r.SwitchOff, r.SwitchOn, false, nil, Yes, Nothing, true, 1},
		{"the queue is stopped", stopped, goesOn, false, nil, Yes, Nothing, true, 1},
		{"some of it had come", stopped, goesOn, false, nil, Yes, No, false, 0},
		{"it is let come", stopped, nil, false, goesOn, No, Yes, true, 1},
		{"it came while it was asked about", stopped, nil, false, comes, Yes, Yes, true, 1},
		{"nobody is there", stopped, comes, true, nil, "", "", false, 0},
	} {
		_ = os.Remove(strings.TrimSuffix(pdf, ".pdf") + "-printing.json") // of the case before
		page := job.Plan.Pieces[i%len(job.Plan.Pieces)].Page
		had := len(r.Received())
		again := func(p *person) *Session { return session(t, r, pdf, s, Part{Pages: []int{page}}, p) }
		ctx, stop := context.WithCancel(soon(t))
		p := &person{t: t, rules: []rule{{"Print it?", func(string) string { c.halt(); return "" }}}}
		sess := again(p)
		sess.Front.Tell = func(e Event) {
			if p.tell(e); sends(e) {
				stop()
			}
		}
		if complete, problems := sess.Run(ctx); complete || len(problems) > 0 {
			t.Fatalf("%s: %v %v\n%s", c.name, complete, problems, p.said.String())
		}
		asked, loaded := 0, 0
		p = &person{t: t, rules: []rule{
			{"has not come out yet. Take it back?", func(string) string {
				if asked++; c.asked != nil {
					c.asked()
				}
				return string(c.answer)
			}},
			{"Print it?", func(string) string { loaded++; c.mend(); return "" }},
			{"come out well", func(string) string {
				if loaded > 0 {
					return string(Yes)
				}
				return string(c.then)
			}},
		}}
		sess = again(p)
		if sess.Short = time.Second / 2; c.nobody {
			sess.Front.Ask, sess.Wait = nil, time.Second
		}
		complete, problems := sess.Run(soon(t))
		said := p.said.String()
		if got := printed(r)[had:]; complete != c.well || len(problems) > 0 || (asked == 1) == c.nobody || (loaded == 1) != (c.then == Nothing) || len(got) != c.printed || len(got) > 0 && got[0] != fmt.Sprintf("page %d", page) {
			t.Errorf("%s: %v %v, asked %d times, loaded %d times, printed %v\n%s", c.name, complete, problems, asked, loaded, got, said)
		}
		if left := inQueue(); (left != "") != c.nobody || strings.Contains(said, "In doubt: ") != c.nobody {
			t.Errorf("%s: CUPS has jobs left: %q\n%s", c.name, left, said)
		}
		if loaded == 0 && c.mend != nil {
			c.mend()
		}
	}
	// What comes out by itself in a short time is not asked about before.
	p := &person{t: t}
	again, _, _ := held(t, r)
	r.Release()
	if complete, problems := again(p).Run(soon(t)); !complete || len(problems) > 0 || strings.Contains(p.said.String(), "Take it back?") {
		t.Errorf("%v %v\n%s", complete, problems, p.said.String())
	}
}

// TestMadeAnewMeanwhile: the PDF is made anew while a person loads a piece. Nothing more of the old one is sent, and that is said.
func TestMadeAnewMeanwhile(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	other, _, _ := sample(t)
	data := append(read(t, other), '\n') // of another digest
	first := job.Plan.Pieces[0].Page
	loads := 0
	p := &person{t: t, rules: []rule{{"Print it?", func(string) string {
		if loads++; loads == 2 {
			must := errors.Join(os.Remove(pdf), os.WriteFile(pdf, data, 0o600))
			if must != nil {
				t.Error(must)
			}
		}
		return ""
	}}}}
	complete, problems := session(t, r, pdf, s, Part{Pages: []int{first, first + 1, first + 2}}, p).Run(soon(t))
	if complete || len(problems) != 1 || !strings.Contains(problems[0].What, "made anew") || !slices.Equal(printed(r), []string{fmt.Sprintf("page %d", first)}) {
		t.Errorf("%v %v, printed %v\n%s", complete, problems, printed(r), p.said.String())
	}
}

// sends reports whether an event is a sending.
func sends(e Event) bool { _, sent := e.(Sent); return sent }

// TestRidersThroughCUPS: pieces too small to feed go through the printer on a carrier: the outline on plain paper, then, when somebody has fixed
// the pieces and loaded that sheet again, their page. In the picture of what was received the pieces' ink lies within the outlines.
func TestRidersThroughCUPS(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	input := filepath.Join(t.TempDir(), "riders.csv")
	if err := os.WriteFile(input, []byte("Name,Journaling,Width,Height,Stock,Tuck\nAda Moss,Two herons on the weir.,3,2,vellum,0\nAda Moss,And then it rained.,3,2,vellum,0\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	pdf, s, job := made(t, `printers:
  - name: home
    queue: home
    loads:
      - {stock: vellum, source: rear, type: transparency, quality: draft}
      - {stock: plain paper, source: main, type: stationery, quality: normal}
stocks:
  - name: vellum
    sheets: []
    leftovers: [{size: 3 x 3}, {size: 3 x 3}]
    carrier: {size: letter, smallest: 2 x 2}
`, input)
	if len(job.Plan.Pieces) != 2 || job.Plan.Pages() != 2 {
		t.Fatalf("%d pieces on %d pages", len(job.Plan.Pieces), job.Plan.Pages())
	}
	page := job.Plan.Pieces[0].Page
	p := &person{t: t}
	before := []int{} // jobs received when a piece is loaded
	p.rules = []rule{{"it is loaded", func(string) string { before = append(before, len(r.Received())); return "" }}}
	complete, problems := session(t, r, pdf, s, Part{}, p).Run(soon(t))
	if !complete || len(problems) > 0 || !slices.Equal(before, []int{0, 1}) {
		t.Errorf("%v %v, received before %v\n%s", complete, problems, before, p.said.String())
	}
	for _, words := range []string{fmt.Sprintf("Page %d: load a sheet of plain paper", page-1), fmt.Sprintf("Page %d: fix 2 pieces of vellum inside the outlines that were just printed, and load that sheet again", page)} {
		if !strings.Contains(p.said.String(), words) {
			t.Errorf("%q is not said:\n%s", words, p.said.String())
		}
	}
	got := r.Received()
	if len(got) != 2 {
		t.Fatalf("%d jobs were received", len(got))
	}
	whole := readback.Open(t, read(t, pdf))
	for i, media := range []string{"media-source=main media-top-margin=318 media-type=stationery", "media-source=rear media-top-margin=318 media-type=transparency"} {
		if all := got[i].Env["IPP_MEDIA_COL"]; !strings.Contains(all, media) || !strings.Contains(all, "x-dimension=21590 y-dimension=27940") {
			t.Errorf("job %d: %s", i, all)
		}
		doc := readback.Open(t, got[i].PDF)
		same(t, whole, page-2+i, doc, 0)
		if dir := os.Getenv("PRINTED"); dir != "" { // to be looked at
			if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("rides-%d.pdf", i)), got[i].PDF, 0o600); err != nil {
				t.Error(err)
			}
		}
	}
	const dpi = 100
	outlines, pieces := readback.Open(t, got[0].PDF).Grey(0, dpi), readback.Open(t, got[1].PDF).Grey(0, dpi)
	for _, piece := range job.Plan.Pieces {
		at := piece.Size().At(piece.Carrier.X, piece.Carrier.Y)
		within := at.Inset(measure.Same(measure.Inch / 50))
		if ink, any := readback.Ink(outlines, dpi, within); any {
			t.Errorf("ink at %v, under the piece at %v", ink, at)
		}
		if _, any := readback.Ink(pieces, dpi, within); !any {
			t.Errorf("nothing is printed on the piece at %v", at)
		}
	}
}

// TestCommands: what `tuckmark printers` and `tuckmark print` do behind their flags, against CUPS: the table, a dry run that sends nothing, and the
// test page, printed as pieces are, with nobody there.
func TestCommands(t *testing.T) {
	t.Parallel()
	r := rig.Start(t)
	pdf, s, job := sample(t)
	m := Machine{System: "linux", Server: r.Socket, Open: func(string) error { t.Error("a PDF was opened"); return nil }}
	var said strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&said, format+"\n", args...) }
	if problems := Printers(soon(t), m, measure.In, false, say); len(problems) > 0 {
		t.Error(problems)
	}
	for _, words := range []string{"home, the usual one", "3 1/2 x 5 in to 8 1/2 x 14 in", "bottom 1/2 in", "main, rear, by-pass-tray", "transparency", "draft, normal, high"} {
		if !strings.Contains(said.String(), words) {
			t.Errorf("the table does not say %q:\n%s", words, said.String())
		}
	}
	said.Reset()
	front := Front{Tell: func(e Event) { say("%s", strings.Join(e.Words(), "\n")) }}
	complete, problems := Print(soon(t), m, pdf, s, Options{DryRun: true, Front: front})
	if !complete || problems.Errors() > 0 || strings.Count(said.String(), "To “home”: ") != len(job.Plan.Pieces) || !strings.Contains(said.String(), "Nothing was sent.") {
		t.Errorf("%v %v\n%s", complete, problems, said.String())
	}
	if got := r.Received(); len(got) > 0 {
		t.Errorf("a dry run sent %d jobs", len(got))
	}
	page := guide.TestPage(s.Printers[0], s, typeset.NewLibrary(s.Fonts))
	var test bytes.Buffer
	if err := press.Write(&test, press.Document{Title: "Test page", Language: "en", Plan: guide.TestPlan(s.Printers[0], s).WriteFile, Sections: []press.Section{{Title: "Test page", Pages: []press.Page{page}}}}, nil); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "testpage.pdf")
	if err := os.WriteFile(path, test.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	complete, problems = Print(soon(t), m, path, s, Options{Front: front})
	got := r.Received()
	if !complete || problems.Errors() > 0 || len(got) != 1 {
		t.Fatalf("%v %v, %d jobs\n%s", complete, problems, len(got), said.String())
	}
	same(t, readback.Open(t, test.Bytes()), 0, readback.Open(t, got[0].PDF), 0)
	// What the queue cannot do is told before anything is sent.
	s.Printers[0].Loads[0].Source = "reer"
	complete, problems = Print(soon(t), m, pdf, s, Options{Front: front})
	if complete || problems.Errors() != 1 || !strings.Contains(problems[len(problems)-1].Hint+problems[0].Hint, "did you mean “rear”?") || len(r.Received()) != 1 {
		t.Errorf("%v %v, %d jobs", complete, problems, len(r.Received()))
	}
}
