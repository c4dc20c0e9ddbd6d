package layout

import (
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// TestGapOf: an automatic gap is whole millimetres in a metric job; one that was given by hand stays.
func TestGapOf(t *testing.T) {
	eighth := measure.Inch / 8
	for _, c := range []struct {
		unit measure.Unit
		gap  config.Gap
		want measure.Length
	}{
		{measure.In, config.Gap{Auto: true, Width: eighth}, eighth},
		{measure.Mm, config.Gap{Auto: true, Width: eighth}, 3 * measure.Millimetre},
		{measure.Cm, config.Gap{Auto: true, Width: eighth}, 3 * measure.Millimetre},
		{measure.Mm, config.Gap{Width: eighth}, eighth},
		{measure.Mm, config.Gap{Auto: true}, 0},
	} {
		if got := gapOf(&config.Settings{Unit: c.unit, Gap: c.gap}); got != c.want {
			t.Errorf("%v, %+v: %d, want %d", c.unit, c.gap, got, c.want)
		}
	}
}
