package account

import (
	"math/bits"
	"slices"
)

// Share shares a total out in proportion to weights so that the shares add up to it exactly: everyone gets the whole
// part of the exact share, and what is left goes, one each, to the largest remainders (Hamilton's method); of equal ones,
// to the earlier. Without any weight nobody gets anything.
func Share(total int64, weights []int64) []int64 {
	shares := make([]int64, len(weights))
	var sum uint64
	for _, w := range weights {
		sum += uint64(w)
	}
	if sum == 0 || total <= 0 {
		return shares
	}
	rest := make([]uint64, len(weights))
	order := make([]int, len(weights))
	left := total
	for i, w := range weights {
		hi, lo := bits.Mul64(uint64(total), uint64(w)) // total x w exceeds 64 bits for large sheets
		q, r := bits.Div64(hi, lo, sum)                // hi < sum because w <= sum
		shares[i], rest[i], order[i] = int64(q), r, i
		left -= int64(q)
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case rest[a] > rest[b]:
			return -1
		case rest[a] < rest[b]:
			return 1
		}
		return 0
	})
	for _, i := range order[:left] {
		shares[i]++
	}
	return shares
}
