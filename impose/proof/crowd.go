package proof

import (
	"fmt"

	"tuckmark/config/problem"
)

// mostCrowd is how many blocks a file may name by numbers alone, or beside others: "AN-1, 2 and 3 ok", "AN-1: larger than BO-2". More are no letters of people, and each would be kept and told.
const mostCrowd = 100_000

// crowded counts a block that is named so, and reports whether it is one too many. That is told once.
func (r *reading) crowded(number int) bool {
	if r.crowd++; r.crowd == mostCrowd+1 {
		r.over = map[string]int{}
		r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("blocks that are named with others or beside them are left out from line %d on, but for the last time that each is", number), "the file names too many so",
			"take out what stands there more than once, or write a line for each block, with its code")
	}
	return r.crowd > mostCrowd
}

// mention keeps what names a block beside others, and says where. Of those that are too many the last of each block is kept, so that none is approved by what stands above.
func (r *reading) mention(m mention) int {
	if r.crowded(m.Line) {
		return r.leave(m)
	}
	r.mentions = append(r.mentions, m)
	return len(r.mentions) - 1
}

func (r *reading) leave(m mention) int {
	at, known := r.over[m.Code]
	switch {
	case !known:
		at = len(r.mentions)
		r.over[m.Code], r.mentions = at, append(r.mentions, m)
	case m.left || !r.mentions[at].left: // what is said of a block itself stays, whatever another one is compared with below it
		r.mentions[at] = m
	}
	return at
}

// bounded are the codes that have one answer, of each that is meant by numbers its first and its last place: what comes of an answer stands in the order of these. One too many in the file is left out, and held.
func (r *reading) bounded(codes []string, said string, number int) (out []string) {
	numbers := r.numbers
	r.numbers = nil
	if len(codes) < 2 { // as most have
		return codes
	}
	met, last := map[string]bool{}, map[string]int{}
	for i, code := range codes {
		last[code] = i
	}
	for i, code := range codes {
		numbered := i < len(numbers) && numbers[i]
		switch again := numbered && met[code] && i < last[code]; {
		case again:
		case !numbered || i == len(codes)-1 || !r.crowded(number):
			out = append(out, code)
		case r.known[code]:
			change, all := r.cutOnce(lead.ReplaceAllString(said, ""))
			r.leave(mention{Answer{Code: code, Change: change, All: all, File: r.file, Line: number, Aside: true, begins: true, left: true}, len(r.list)})
		}
		met[code] = true
	}
	return out
}

// cutOnce is a wish as far as it is kept, and all of it: a line that names blocks at every turn is cut once.
func (r *reading) cutOnce(said string) (kept, all string) {
	if r.uncut[0] != said {
		kept, all = cut(said)
		r.uncut = [3]string{said, kept, all}
	}
	return r.uncut[1], r.uncut[2]
}
