package impose

import (
	"context"
	"errors"
	"testing"

	"tuckmark/config"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// sample is the demo retreat, read.
func sample(t *testing.T) *Job {
	t.Helper()
	s, problems := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: map[string]string{"effort": "5"}})
	if problems.Errors() > 0 {
		t.Fatal(problems)
	}
	j := New(s, nil)
	if err := j.Read(t.Context(), []string{"../samples/retreat.csv"}, ""); err != nil || len(j.Blocks) < 50 {
		t.Fatalf("%d blocks, %v", len(j.Blocks), err)
	}
	return j
}

// The steps, one after the other, give the files and tell how far they are.
func TestSteps(t *testing.T) {
	j := sample(t)
	far := map[Stage]int{}
	j.Progress = func(stage Stage, done, of int) { far[stage] = max(far[stage], 100*done/of) }
	again := func(ctx context.Context) error { return j.Read(ctx, []string{"../samples/retreat.csv"}, "") }
	for i, step := range []func(context.Context) error{again, j.Set, j.Arrange, func(ctx context.Context) error { return j.Draw(ctx, "Retreat") }} {
		if err := step(t.Context()); err != nil {
			t.Fatalf("step %d: %v", i, err)
		}
	}
	files, err := j.Write(t.Context(), true)
	if err != nil {
		t.Fatal(err)
	}
	if len(files.PDF) == 0 || len(files.Report) == 0 || files.Guides == 0 || len(files.Stocks) != len(j.Plan.Stocks) {
		t.Errorf("%d bytes of PDF, %d of report, %d guides, %d stocks", len(files.PDF), len(files.Report), files.Guides, len(files.Stocks))
	}
	for _, stage := range []Stage{Reading, Setting, Packing, Drawing, Reporting} {
		if far[stage] != 100 {
			t.Errorf("%v came to %d%%", stage, far[stage])
		}
	}
}

// A job whose context is done stops in each step and says so.
func TestCancelled(t *testing.T) {
	gone, cancel := context.WithCancel(context.Background())
	cancel()
	j := sample(t)
	if err := j.Set(gone); !errors.Is(err, context.Canceled) || len(j.Typeset) > 0 {
		t.Errorf("set: %v, %d blocks", err, len(j.Typeset))
	}
	j = sample(t)
	if err := j.Set(t.Context()); err != nil {
		t.Fatal(err)
	}
	rounds := 0
	ctx, stop := context.WithCancel(context.Background())
	j.Progress = func(Stage, int, int) {
		rounds++
		stop() // while it packs
	}
	if err := j.Arrange(ctx); !errors.Is(err, context.Canceled) || rounds == 0 {
		t.Errorf("arrange: %v after %d rounds", err, rounds)
	}
}

// A plan that breaks a promise is not written, whoever forgets to look.
func TestBrokenIsNotWritten(t *testing.T) {
	j := sample(t)
	for _, step := range []func(context.Context) error{j.Set, j.Arrange, func(ctx context.Context) error { return j.Draw(ctx, "Retreat") }} {
		if err := step(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	j.Checker = func(*plan.Plan, []intake.Block, *config.Settings) []string { return []string{"P1: amiss"} }
	files, err := j.Write(t.Context(), false)
	if broken := (*BrokenPlan)(nil); files != nil || !errors.As(err, &broken) || broken.Faults[0] != "P1: amiss" {
		t.Errorf("%v, %v", files, err)
	}
}
