package problem

import (
	"fmt"
	"regexp"
)

var particulars = regexp.MustCompile(`“[^”]*”|[0-9]+`)

// likeness is equal for problems that are alike but for what was typed and how much it is: forty thousand fonts that nobody has are one mistake.
func (p *Problem) likeness() string {
	return fmt.Sprintf("%d %d %v %s\x00%s", p.Severity, p.Kind, p.Place.Row > 0, p.Place.Column, p.Gist())
}

// Gist is what a problem says, but for what was typed and how much it is.
func (p *Problem) Gist() string { return particulars.ReplaceAllString(p.What, "#") }

// mostAlike is how many problems that are alike are told one by one: nobody reads 30,000 of them, and they hide what else is wrong.
const mostAlike = 12

// Shorten keeps the first of the members of a list whose problems are alike, and in the place of the others has one that is the first of them with a
// problem that says how many they are and where that one is. A single one is no list: it is told itself. Of is a member's problem, all is how to
// see them all.
func Shorten[T any](list []T, of func(*T) *Problem, all string) (out []T) {
	likeness, count := make([]string, len(list)), map[string]int{}
	for i := range list {
		likeness[i] = of(&list[i]).likeness()
		count[likeness[i]]++
	}
	met := map[string]int{}
	for i, member := range list {
		alike := likeness[i]
		met[alike]++
		if more := count[alike] - mostAlike; more > 1 && met[alike] > mostAlike {
			if met[alike] > mostAlike+1 {
				continue
			}
			p := of(&member)
			p.What, p.Cause, p.Hint = fmt.Sprintf("this and %d more are of the same kind: %s", more-1, p.What), "", all
		}
		out = append(out, member)
	}
	return out
}

// Shorten is the list with the first of problems that are alike, and how many more there are; all is how to see them all.
func (l List) Shorten(all string) List {
	return Shorten(l, func(p *Problem) *Problem { return p }, all)
}
