package problem

import (
	"fmt"
	"regexp"
)

var particulars = regexp.MustCompile(`“[^”]*”|[0-9]+`)

// Kin is equal for problems that are alike but for what was typed and how much it is: forty thousand fonts that nobody has are one mistake.
func (p *Problem) Kin() string {
	return fmt.Sprintf("%d %d %v %s\x00%s", p.Severity, p.Kind, p.Place.Row > 0, p.Place.Column, particulars.ReplaceAllString(p.What, "#"))
}

// Kinship tells of a list's members, in its order, which to show where n of a kind are enough: Show, or one for the others of a kind, or neither.
type Kinship struct {
	n     int
	count map[string]int // of a kind
	met   map[string]int
}

// NewKinship is a Kinship of what each yields.
func NewKinship(n int, each func(yield func(*Problem) bool)) *Kinship {
	k := &Kinship{n: n, count: map[string]int{}, met: map[string]int{}}
	for p := range each {
		k.count[p.Kin()]++
	}
	return k
}

// Next says of the next member whether it is shown; if it is the first that is not, rest is how many of its kind are not.
func (k *Kinship) Next(p *Problem) (show bool, rest int) {
	kin := p.Kin()
	if k.met[kin]++; k.met[kin] <= k.n || k.count[kin] == k.n+1 {
		return true, 0
	}
	if k.met[kin] == k.n+1 {
		return false, k.count[kin] - k.n
	}
	return false, 0
}

// For says what is wrong for as many as rest of a kind, of which the problem is the first.
func (p *Problem) For(rest int) string {
	return fmt.Sprintf("this and %d more are of the same kind: %s", rest-1, p.What)
}

// Shorten keeps the first n problems of a kind, and in the place of the others has one that says how many they are and where the first of them
// is; all is how to see them all.
func (l List) Shorten(n int, all string) List {
	k := NewKinship(n, func(yield func(*Problem) bool) {
		for i := range l {
			if !yield(&l[i]) {
				return
			}
		}
	})
	var out List
	for i := range l {
		switch show, rest := k.Next(&l[i]); {
		case show:
			out = append(out, l[i])
		case rest > 0:
			out = append(out, Problem{Severity: l[i].Severity, Kind: l[i].Kind, Disk: l[i].Disk, Place: l[i].Place,
				What: l[i].For(rest), Hint: all})
		}
	}
	return out
}
