package press

import (
	"strconv"

	"tuckmark/config/measure"
)

// appendPoints appends a length in points with four decimals, which is about the size of one EMU (1/12,700 pt). The
// sum is done in whole numbers so that a page says 595.2756 on every machine.
func appendPoints(b []byte, l measure.Length) []byte {
	// 10,000/12,700 = 100/127; half a unit is added away from nought.
	n := int64(l) * 100
	if n < 0 {
		n -= 63
	} else {
		n += 63
	}
	return appendDecimal(b, n/127, 4)
}

// appendDecimal appends n / 10^places without trailing noughts.
func appendDecimal(b []byte, n int64, places int) []byte {
	if n < 0 {
		b = append(b, '-')
		n = -n
	}
	unit := int64(1)
	for range places {
		unit *= 10
	}
	b = strconv.AppendInt(b, n/unit, 10)
	n %= unit
	if n == 0 {
		return b
	}
	b = append(b, '.')
	for n > 0 {
		unit /= 10
		b = append(b, byte('0'+n/unit))
		n %= unit
	}
	return b
}

func points(l measure.Length) string { return string(appendPoints(nil, l)) }

// roundDiv is n/d rounded to the nearest whole number, halves away from nought. d is positive.
func roundDiv(n, d int64) int64 {
	if n < 0 {
		return -((-n + d/2) / d)
	}
	return (n + d/2) / d
}
