package printjob

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
)

func TestPageWords(t *testing.T) {
	for want, pages := range map[string][]int{"page 4": {4}, "pages 4-7": {4, 5, 6, 7}, "pages 4, 6": {4, 6}, "pages 1-2, 9, 11-12": {1, 2, 9, 11, 12}} {
		if got := PageWords(pages); got != want {
			t.Errorf("%v: %q, want %q", pages, got, want)
		}
	}
}

// The widths and heights of letter, A4 and 4 x 7.5 in in hundredths of a millimetre, as in PWG 5101.1 and by 25.4 mm to the inch.
func TestHundredths(t *testing.T) {
	for want, l := range map[int]measure.Length{21590: 17 * measure.Inch / 2, 27940: 11 * measure.Inch, 21000: 210 * measure.Millimetre, 10160: 4 * measure.Inch, 19050: 15 * measure.Inch / 2,
		10163: 10163 * measure.Millimetre / 100, 1: measure.Millimetre / 100, 2: measure.Millimetre/100 + measure.Millimetre/200} {
		if got := hundredths(l); got != want {
			t.Errorf("%v: %d, want %d", l, got, want)
		}
	}
}

// TestJobs: all pieces in their order, or a part of them.
func TestJobs(t *testing.T) {
	pdf, s, job := sample(t)
	d, bad := Open(pdf)
	if bad != nil {
		t.Fatal(bad)
	}
	count := func(part Part) (jobs int, pages []int) {
		all, problems := d.Jobs(s, part)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		for _, j := range all {
			pages = append(pages, j.Pages...)
			for _, n := range j.Pages {
				if d.finished.Sizes[n-1] != j.Size {
					t.Errorf("page %d is not of its job's size", n)
				}
			}
		}
		return len(all), pages
	}
	jobs, pages := count(Part{})
	if first := job.Plan.Pieces[0].Page; d.Guides != first-1 || len(pages) != len(job.Plan.Pieces) || pages[0] != first || !slices.IsSorted(pages) || jobs != len(pages) {
		t.Errorf("%d guides, %d jobs, pages %v", d.Guides, jobs, pages)
	}
	if jobs, pages := count(Part{Guides: true}); jobs != 1 || len(pages) != d.Guides {
		t.Errorf("guides: %d jobs, pages %v", jobs, pages)
	}
	if _, pages := count(Part{Stocks: []string{"cardstock"}}); len(pages) == 0 || len(pages) >= len(job.Plan.Pieces) {
		t.Errorf("cardstock: %v", pages)
	}
}

// TestTogether: pieces of one size and stock go together, but one by one where the tray takes one at a time, and as many as at-once
// says; a riding piece and its outline go by themselves.
func TestTogether(t *testing.T) {
	small, large := measure.Size{W: 4 * measure.Inch, H: 6 * measure.Inch}, measure.Size{W: 8 * measure.Inch, H: 10 * measure.Inch}
	d := &Document{finished: &press.Finished{Sizes: []measure.Size{small, small, large, large, large, large, large, large}}}
	pieces := []*plan.Piece{{Page: 1, Stock: "card"}, {Page: 2, Stock: "card"}, {Page: 3, Stock: "card"}, {Page: 4, Stock: "card"}, {Page: 5, Stock: "film"}, {Page: 6, Stock: "film"},
		{Page: 8, Stock: "film", Carrier: &plan.Carrier{Size: large}}}
	for name, c := range map[string]struct {
		tray string
		load config.Loading
		want string
	}{
		"a stack":           {"main tray", config.Loading{}, "pages 1-2; pages 3-4; pages 5-6; page 7; page 8"},
		"one at a time":     {"rear tray, one sheet at a time", config.Loading{}, "page 1; page 2; page 3; page 4; page 5; page 6; page 7; page 8"},
		"as configured":     {"rear tray, one sheet at a time", config.Loading{Stock: "card", AtOnce: 2}, "pages 1-2; pages 3-4; page 5; page 6; page 7; page 8"},
		"one as configured": {"main tray", config.Loading{Stock: "film", AtOnce: 1}, "pages 1-2; pages 3-4; page 5; page 6; page 7; page 8"},
	} {
		s := &config.Settings{Stocks: []config.Stock{{Name: "card", Tray: c.tray}, {Name: "film", Tray: c.tray}}}
		var jobs []*Job
		for _, p := range pieces {
			for _, n := range p.Pages() {
				jobs = d.add(jobs, s, config.Printer{Loads: []config.Loading{c.load}}, p, n)
			}
		}
		var got []string
		for _, j := range jobs {
			got = append(got, PageWords(j.Pages))
			if j.Outline != (j.Pages[0] == 7) || j.Rides != (j.Pages[0] == 8) || j.Outline && j.Stock.Name != plainPaper {
				t.Errorf("%s: %+v", name, j)
			}
		}
		if all := strings.Join(got, "; "); all != c.want {
			t.Errorf("%s: %s, want %s", name, all, c.want)
		}
	}
}

// TestAssign: what a queue cannot do is told before anything is sent, with near names.
func TestAssign(t *testing.T) {
	queue := func() Queue {
		return Queue{Name: "Home_Inkjet", Accepting: true, Sizes: []SizeRange{{[2]int{8890, 21590}, [2]int{12700, 35560}}}, Sources: []string{"main", "rear"},
			Types: []string{"stationery", "transparency"}, Qualities: []int{4, 5}, Scalings: []string{"none"}, Margins: [4]int{318, 318, 318, 1270}}
	}
	printer := config.Printer{Name: "home", Queue: "Home_Inkjet", Margins: measure.Sides{Left: measure.Inch / 8, Top: measure.Inch / 8, Right: measure.Inch / 8, Bottom: measure.Inch / 2}}
	noCommand := func(problems problem.List) {
		t.Helper()
		for _, p := range problems {
			if hint := cmp.Or(p.OnPage, p.Hint); strings.Contains(hint, "`") {
				t.Errorf("a page says %q", hint)
			}
		}
	}
	for name, c := range map[string]struct {
		change func(j *Job, q *Queue)
		want   string // what, cause and hint hold it
		note   bool
	}{
		"good":            {func(*Job, *Queue) {}, "", false},
		"only one queue":  {func(j *Job, _ *Queue) { j.Printer.Queue = "" }, "", false},
		"no such queue":   {func(j *Job, _ *Queue) { j.Printer.Queue = "HomeInkjett" }, "did you mean “Home_Inkjet”?", false},
		"rejecting":       {func(_ *Job, q *Queue) { q.Accepting = false }, "takes no jobs", false},
		"too narrow":      {func(j *Job, _ *Queue) { j.Size.W = 3 * measure.Inch }, "pulls no piece of 3 x 6 in (page 7)", false},
		"too long":        {func(j *Job, _ *Queue) { j.Size.H = 15 * measure.Inch }, "3 1/2 x 5 in to 8 1/2 x 14 in", false},
		"no such tray":    {func(j *Job, _ *Queue) { j.Loading.Source = "reer" }, "did you mean “rear”?", false},
		"no such type":    {func(j *Job, _ *Queue) { j.Loading.Type = "vellum" }, "there are: stationery, transparency", false},
		"no such quality": {func(j *Job, _ *Queue) { j.Loading.Quality = config.Draft }, "there are: normal, high", false},
		"larger margin":   {func(_ *Job, q *Queue) { q.Margins[1] = 600 }, "blank on the top", true},
		"scales":          {func(_ *Job, q *Queue) { q.Scalings = []string{"fit"} }, "actual size", true},
	} {
		j := &Job{Printer: printer, Pages: []int{7}, Size: measure.Size{W: 4 * measure.Inch, H: 6 * measure.Inch}, Loading: config.Loading{Source: "rear", Type: "transparency", Quality: config.Normal}}
		q := queue()
		c.change(j, &q)
		problems := Assign([]*Job{j, j}, []Queue{q}, measure.In)
		if c.want == "" {
			if len(problems) > 0 || j.Queue == nil {
				t.Errorf("%s: %v", name, problems)
			}
			continue
		}
		if len(problems) != 1 || (problems[0].Severity == problem.Note) != c.note || !strings.Contains(problems[0].What+problems[0].Cause+problems[0].Hint, c.want) {
			t.Errorf("%s: %v", name, problems)
		}
		noCommand(problems)
	}
	if got := Assign([]*Job{{Printer: config.Printer{Name: "home"}}}, []Queue{{Name: "a"}, {Name: "b"}}, measure.In); len(got) != 1 || !strings.Contains(got[0].What, "which queue") {
		t.Errorf("two queues: %v", got)
	}
	if got := Assign([]*Job{{Printer: config.Printer{Name: "home"}}}, nil, measure.In); len(got) != 1 || !strings.Contains(got[0].What, "no printer set up") {
		t.Errorf("no queue: %v", got)
	} else {
		noCommand(got)
	}
}

// TestReasons: keywords with their endings of severity are said plainly, those of every job not at all, unknown ones as they are.
func TestReasons(t *testing.T) {
	got := newReasons([]string{"job-printing", "media-jam-error", "media-jam", "cover-open-report", "fancy-new-thing-warning", "offline-report\x1b[2J"})
	want := []string{Reason("media-jam"), "a cover is open: close it", "fancy new thing", "it is off or not connected: switch it on"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if r := Reason("x\x1b[2J"); strings.Contains(r, "\x1b") {
		t.Errorf("%q", r)
	}
}
