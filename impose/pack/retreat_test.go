package pack

import (
	"math/rand"
	"testing"

	"tuckmark/config/longtests"
)

// usual is the effort of a run whose configuration names none.
const usual = 400

// TestRetreats: jobs of common sizes take at most 1.03 times the sheets of the bound, on average; 200 of them with LONG_TESTS=1.
func TestRetreats(t *testing.T) {
	jobs := 5
	if longtests.Many() {
		jobs = 200
	} else if testing.Short() {
		jobs = 1
	}
	sum := 0.0
	for seed := range int64(jobs) {
		j := retreat(20+rand.New(rand.NewSource(seed)).Intn(131), seed)
		j.Effort = usual / slow
		a := packed(t, j)
		if len(a.Unplaced) > 0 {
			t.Errorf("job %d: %d unplaced", seed, len(a.Unplaced))
		}
		sum += float64(len(a.Sheets)) / float64(a.Bound)
	}
	t.Logf("%d retreats: %.4f of the bound", jobs, sum/float64(jobs))
	if sum > 1.03*float64(jobs) {
		t.Errorf("%.3f of the bound", sum/float64(jobs))
	}
}

// TestLargestJob: a job that is split into batches takes at most 2% more sheets than ten times the effort finds.
func TestLargestJob(t *testing.T) {
	longtests.Only(t)
	blocks, effort := 1000, usual/10
	if longtests.Many() {
		blocks, effort = 8000, usual
	} else if testing.Short() {
		blocks = 400
	}
	var sheets [2]int
	for k := range sheets {
		j := retreat(blocks/slow, 1)
		j.Effort = effort
		a := packed(t, j)
		if len(a.Unplaced) > 0 {
			t.Errorf("%d unplaced", len(a.Unplaced))
		}
		sheets[k] = len(a.Sheets)
		effort *= 10
	}
	t.Logf("%d blocks: %d sheets, %d with ten times the effort", blocks, sheets[0], sheets[1])
	if sheets[0]*100 > sheets[1]*102 {
		t.Errorf("%d sheets, %d with ten times the effort", sheets[0], sheets[1])
	}
}
