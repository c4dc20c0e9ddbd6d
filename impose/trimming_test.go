package impose

import (
	"testing"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// TestTrimming: what the samples take at the trimmer, either way, on as many sheets and with the same largest leftover; and no strip that
// is too thin to be cut off and too thick to be left.
func TestTrimming(t *testing.T) {
	longtests.Only(t)
	if testing.Short() {
		t.Skip("at full effort")
	}
	kept := map[string]int64{}
	for _, job := range []struct {
		name, config, by string
		cuts, unmarked   int // at most
	}{
		{"sample", "", "marks", 103, 24},
		{"sample", "", "measure", 91, 65},
		{"two printers", "../samples/two-printers.yaml", "marks", 120, 24},
		{"two printers", "../samples/two-printers.yaml", "measure", 100, 65},
	} {
		s, problems := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), File: job.config, Flags: map[string]string{"trimmer.by": job.by}})
		if problems.Errors() > 0 {
			t.Fatal(problems)
		}
		j := New(s, nil)
		if err := j.Read(t.Context(), []string{"../samples/retreat.csv"}, ""); err != nil {
			t.Fatal(err)
		}
		if err := j.Set(t.Context()); err != nil {
			t.Fatal(err)
		}
		if err := j.Arrange(t.Context()); err != nil {
			t.Fatal(err)
		}
		for _, fault := range j.Check() {
			t.Errorf("%s by %s: %s", job.name, job.by, fault)
		}
		got := j.Plan.Trimming()
		t.Logf("%s by %s: %s", job.name, job.by, j.Trimming())
		if got.Cuts > job.cuts || got.Unmarked > job.unmarked {
			t.Errorf("%s by %s: %d cuts, %d without a mark; at most %d and %d", job.name, job.by, got.Cuts, got.Unmarked, job.cuts, job.unmarked)
		}
		var lines plan.Trimming // as the guide tells them
		for _, p := range account.Of(j.Plan, s, nil).Pieces {
			for _, l := range p.Lines {
				if l.Step.FoundBy() != "skip" {
					lines.Cuts += l.Times * len(l.Parts)
				}
			}
			for _, step := range p.Steps {
				if step.FoundBy() == "measure" {
					lines.Unmarked++
				}
			}
		}
		if lines != got {
			t.Errorf("%s by %s: the guide has %s, and %s are told", job.name, job.by, lines, got)
		}
		var largest int64
		for _, p := range j.Plan.Pieces {
			for leaf := range p.Whole.Leaves {
				if thin := min(leaf.Rect.W, leaf.Rect.H); leaf.Rest() && thin > measure.Inch/32 && thin < measure.Inch/16 {
					t.Errorf("%s by %s: page %d has a sliver of %v", job.name, job.by, p.Page, leaf.Rect.Size())
				}
				if leaf.Rest() && leaf.Keep {
					largest = max(largest, leaf.Rect.Size().Area())
				}
			}
		}
		if was, ok := kept[job.name]; ok && was != largest {
			t.Errorf("%s: the largest leftover is %d by measure, %d by marks", job.name, largest, was)
		}
		kept[job.name] = largest
	}
}
