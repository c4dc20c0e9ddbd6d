package intake

// apart is how many letters have to be added, dropped, replaced or swapped with their neighbour to make b of a (the
// optimal string alignment distance), or a large number where the lengths alone differ by more than two.
func apart(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > len(y)+2 || len(y) > len(x)+2 || len(x) > 100 {
		return 100
	}
	var before, above [103]int
	row := [103]int{}
	for j := range y {
		row[j+1] = j + 1
	}
	for i := range x {
		before, above = above, row
		row[0] = i + 1
		for j := range y {
			d := above[j]
			if x[i] != y[j] {
				d++
			}
			d = min(d, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				d = min(d, before[j-1]+1)
			}
			row[j+1] = d
		}
	}
	return row[len(y)]
}
