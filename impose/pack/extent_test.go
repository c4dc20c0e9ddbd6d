package pack

import (
	"math/rand"
	"testing"
)

// One rectangle holds another where both comparisons say so, at the ends of the range as well.
func TestExtent(t *testing.T) {
	sides := []int32{0, 1, 2, 3, 1<<15 - 1, 1 << 15, 1<<16 + 1, largestDim - 1, largestDim}
	r := rand.New(rand.NewSource(1))
	for range 20 {
		sides = append(sides, r.Int31n(largestDim))
	}
	for _, w := range sides {
		for _, h := range sides {
			room := extentOf(w, h)
			if a, b := room.sides(); a != w || b != h {
				t.Fatalf("%d x %d comes back as %d x %d", w, h, a, b)
			}
			if room.holds(fitsNowhere) != 0 {
				t.Errorf("%d x %d holds what no room holds", w, h)
			}
			for _, a := range sides {
				for _, b := range sides {
					straight, turned := int32(0), int32(0)
					if a <= w && b <= h {
						straight = 1
					}
					if b <= w && a <= h {
						turned = 1
					}
					fixed, free := box{a, b, false}.pending(0, 0), box{a, b, true}.pending(0, 0)
					if fixed.orientations(room) != straight || free.orientations(room) != straight+turned {
						t.Fatalf("%d x %d in %d x %d: %d and %d ways", a, b, w, h, fixed.orientations(room), free.orientations(room))
					}
				}
			}
		}
	}
}
