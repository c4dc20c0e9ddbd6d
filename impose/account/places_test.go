package account

import "testing"

func TestRanges(t *testing.T) {
	tests := []struct {
		pages []int
		want  string
	}{
		{nil, ""}, {[]int{3}, "3"}, {[]int{3, 4, 5, 6, 7, 9}, "3-7, 9"}, {[]int{1, 3, 5}, "1, 3, 5"}, {[]int{8, 9}, "8-9"},
		{[]int{4, 4, 5}, "4-5"},
	}
	for _, test := range tests {
		if got := Ranges(test.pages); got != test.want {
			t.Errorf("%v: %q, want %q", test.pages, got, test.want)
		}
	}
}
