package proof

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// Codes move when rows are put in or taken out, so that an ok to a code may be about another row than an older wish to it. Which rows have moved shows by the answers whose
// fingerprints are found under another code than they name; where nothing has, a row with another fingerprint than the wish's is taken for the wish's row, mended. It may still be another,
// since nobody need have answered for those that moved: so the wishes that are settled so are named, all in one note.

// moves are how rows have moved since answers named them.
type moves struct {
	*places
	keys   map[string][]key    // of answers with a fingerprint, by kin
	people map[string][]string // letters of codes that rows have, by kin
	known  map[move]bool       // what steady has found
}

// move is by how many rows those of a person have moved.
type move struct {
	who string // letters
	by  int
}

// okMoved is an ok, and by how many rows its own has moved since.
type okMoved struct {
	*Answer
	by int
}

func newMoves(where *places, list []Answer) *moves {
	m := &moves{places: where, keys: map[string][]key{}, people: map[string][]string{}, known: map[move]bool{}}
	for _, k := range keysOf(list) {
		m.keys[kin(k.code)] = append(m.keys[kin(k.code)], k)
	}
	seen := map[string]bool{}
	for _, b := range where.rows {
		if who := letters(b.Code); !seen[who] {
			seen[who] = true
			m.people[kin(who)] = append(m.people[kin(who)], who)
		}
	}
	return m
}

// withOk adds an ok whose row has that code by now, where there is none yet that has moved as far: the older one says as much.
func withOk(oks []okMoved, a *Answer, now string) []okMoved {
	_, was := split(a.Code)
	_, is := split(now)
	if slices.ContainsFunc(oks, func(o okMoved) bool { return o.by == is-was }) {
		return oks
	}
	return append(oks, okMoved{a, is - was})
}

// steady reports whether all rows of who has a code have moved by that many, as far as answers show, and nobody else has or had codes that begin so: else a code that was named in
// one proof may have been another row's in the next.
func (m *moves) steady(code string, by int) bool {
	who := letters(code)
	is, known := m.known[move{who, by}]
	if !known {
		is = !slices.ContainsFunc(m.people[kin(code)], func(other string) bool { return mixed(who, other) }) &&
			!slices.ContainsFunc(m.keys[kin(code)], func(k key) bool { return mixed(who, letters(k.code)) || letters(k.code) == who && !m.moved(k, by) })
		m.known[move{who, by}] = is
	}
	return is
}

// mixed reports letters of two people who may have had each other's, since their initials are the same.
func mixed(a, b string) bool {
	a2, b2 := a[:min(2, len(a))], b[:min(2, len(b))]
	return a != b && (strings.HasPrefix(a2, b2) || strings.HasPrefix(b2, a2))
}

// moved reports whether the row of a key may have moved by that many. One that is not found was mended, or is gone where there is no row of its code.
func (m *moves) moved(k key, by int) bool {
	who, n := split(k.code)
	i, there := m.byCode[fmt.Sprintf("%s-%d", who, n+by)]
	if !there {
		return false
	}
	at, found := m.at[k]
	if !found && len(m.alike[1][key{kin(k.code), k.print}]) == 0 {
		return true
	}
	return found && at == i || m.places.known[state{i, k.print}]
}

// mostSettled is how many wishes that are taken for settled are told in their words.
const mostSettled = 50

// tellSettled names the wishes that are taken for settled, each of them: a reader knows which row it was about.
func (o *Outcome) tellSettled(wishes []*Answer) {
	if len(wishes) == 0 {
		return
	}
	what := "a wish is taken for settled, since an ok to the same code came after it: "
	if n := len(wishes); n > 1 {
		what = fmt.Sprintf("%d wishes are taken for settled, since an ok to the same code came after them: ", n)
	}
	var each, all []string
	for _, a := range wishes {
		words := ""
		if len(wishes) <= mostSettled {
			words = " " + a.quoted()
		}
		said := fmt.Sprintf("%s%s (line %d of %s)", a.Code, words, a.Line, a.File)
		each, all = append(each, said), append(all, cmp.Or(a.whole(said), said))
	}
	o.Problems.Note(problem.Place{File: wishes[0].File}, what+strings.Join(each, ", "), "codes move when rows are put in or taken out, so that an ok may be about another row than the wish",
		"look whether each is done in the row that it was about")
	if !slices.Equal(each, all) {
		o.Problems[len(o.Problems)-1].Whole = what + strings.Join(all, ", ")
	}
}
