package pack

import (
	"fmt"
	"math/rand"
	"testing"

	"tuckmark/config/measure"
)

// retreat is a job of n blocks of common sizes, 2 to 5 in wide, with captions among them, on letter sheets.
func retreat(n int, seed int64) Job {
	r := rand.New(rand.NewSource(seed))
	j := Job{Gap: in / 8, Auto: true, Effort: thorough}
	for i := 0; i < n; i++ {
		w := measure.Length(4+r.Intn(7)) * in / 2
		h := measure.Length(4+r.Intn(13)) * in / 4
		if r.Intn(8) == 0 {
			w, h = 3*in, in/2
		}
		it := Item{Size: measure.Size{W: w, H: h + in/2}, Turn: true, Blank: measure.Same(in / 8), Group: i / 6}
		it.Blank.Top = 5 * in / 8
		j.Items = append(j.Items, it)
	}
	m := measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}
	j.Sheets = []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 50, Count: -1, Divisions: whole(17*in/2, 11*in, m)}}
	j.Limits = Limits{Longest: 12 * in, Hold: in, Keep: feeds}
	return j
}

func BenchmarkPack(b *testing.B) {
	for _, n := range []int{100, 1000, 8000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			j := retreat(n, 1)
			for b.Loop() {
				a := Pack(j)
				b.ReportMetric(float64(len(a.Sheets)), "sheets")
				b.ReportMetric(float64(a.Bound), "bound")
			}
		})
	}
}
