package made_test

import (
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// What is made by hand keeps the promises of a plan, so that a test which fails does not fail because of it. Only the trimmer is
// not asked: shelves are cut from strips that it could not hold.
func TestMadePlansAreSound(t *testing.T) {
	metric := made.Settings()
	metric.Unit = measure.Mm
	example, office := made.Example()
	for name, d := range map[string]*made.Draft{
		"one": made.One(made.Settings()), "three": made.Three(made.Settings()), "random": made.Random(made.Settings(), 1, 60, 9, 12),
		"random, metric": made.Random(metric, 2, 60, 9, 12), "example": {Plan: example, Settings: office},
	} {
		s := *d.Settings
		s.Trimmer = config.Trimmer{}
		var blocks []intake.Block
		for _, p := range d.Plan.Pieces {
			for _, b := range p.Blocks() {
				blocks = append(blocks, *b.Block.Block)
			}
		}
		if len(blocks) == 0 {
			t.Errorf("%s: no blocks", name)
		}
		for _, fault := range plan.Check(d.Plan, blocks, &s) {
			t.Errorf("%s: %s", name, fault)
		}
	}
}
