package typeset

import (
	"math"
	"testing"
)

// TestLinear: no channel's share of light lies so near to the middle of two millionths that a machine whose powers differ in the last
// digits would round it to another one.
func TestLinear(t *testing.T) {
	for v := range 256 {
		millionths := exactLinear(uint8(v)) * 1e6
		if _, part := math.Modf(millionths); math.Abs(part-0.5) < 1e-6 {
			t.Errorf("%d: %v millionths", v, millionths)
		}
		if l := linear(uint8(v)); v > 0 && l <= linear(uint8(v-1)) || l < 0 || l > 1 {
			t.Errorf("%d: %v", v, l)
		}
	}
}
