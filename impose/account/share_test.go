package account

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// The census of the United States of 1790, 60 seats by Hamilton's largest remainders, as tabulated on electowiki
// ("Hamilton method").
func TestShareCensus(t *testing.T) {
	people := []int64{630560, 475327, 432879, 353523, 331589, 278514, 236841, 206236, 179570, 141822, 85533, 70835, 68705, 68446, 55540}
	seats := []int64{11, 8, 7, 6, 6, 5, 4, 3, 3, 2, 1, 1, 1, 1, 1}
	if got := Share(60, people); !slices.Equal(got, seats) {
		t.Errorf("got %d, want %d", got, seats)
	}
}

func TestShare(t *testing.T) {
	tests := []struct {
		name    string
		total   int64
		weights []int64
		want    []int64
	}{
		{"equal parts, the odd cents to the first", 100, []int64{1, 1, 1}, []int64{34, 33, 33}},
		{"nobody has any weight", 100, []int64{0, 0}, []int64{0, 0}},
		{"nothing to share", 0, []int64{3, 4}, []int64{0, 0}},
		{"one without weight", 7, []int64{0, 5}, []int64{0, 7}},
		{"nobody", 7, nil, []int64{}},
	}
	for _, test := range tests {
		if got := Share(test.total, test.weights); !slices.Equal(got, test.want) {
			t.Errorf("%s: got %d, want %d", test.name, got, test.want)
		}
	}
}

// Shares add up, and each is the whole number below its exact share or the one above (the quota rule, which defines the
// method), also for areas whose product with the total exceeds 64 bits.
func TestShareQuota(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		total := rapid.Int64Range(1, 1e7).Draw(t, "total")
		weights := rapid.SliceOfN(rapid.Int64Range(0, 1e16), 1, 60).Draw(t, "weights")
		weights[0]++
		shares := Share(total, weights)
		if Sum(shares) != total {
			t.Fatalf("shares add up to %d, want %d", Sum(shares), total)
		}
		for i, s := range shares {
			exact := float64(total) * float64(weights[i]) / float64(Sum(weights))
			if float64(s) < exact-1.0001 || float64(s) > exact+1.0001 {
				t.Fatalf("share %d is %d, its quota %f", i, s, exact)
			}
		}
	})
}
