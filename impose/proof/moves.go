package proof

import (
	"cmp"
	"fmt"
	"math/big"
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
	found  map[string]*moved   // by letters
}

// moved is by how many rows those of a person may have moved.
type moved struct {
	any bool     // nothing shows
	by  *big.Int // else a bit for each way
	of  int      // the number of which stands for none
}

// okMoved is an ok, and by how many rows its own has moved since.
type okMoved struct {
	*Answer
	by int
}

// oksMoved are oks of one code, the last first: of those that have moved as far the last in the list says as much.
type oksMoved struct {
	list   []okMoved
	known  map[int]bool // by how many rows
	looked int          // at how many of them
	steady *Answer      // the first of these by which all have moved
}

func newMoves(where *places, list []Answer) *moves {
	m := &moves{places: where, keys: map[string][]key{}, people: map[string][]string{}, found: map[string]*moved{}}
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

// add has an ok among them whose row has that code by now.
func (l *oksMoved) add(a *Answer, now string) {
	_, was := split(a.Code)
	_, is := split(now)
	if by := is - was; !l.known[by] {
		l.known[by] = true
		l.list = append(l.list, okMoved{a, by})
	}
}

// settles finds the ok that settles a wish of its code, or else the one whose row is in doubt. Each is looked at once, however many wishes there are.
func (m *moves) settles(l *oksMoved) (ok *Answer, steady bool) {
	for ; l.steady == nil && l.looked < len(l.list); l.looked++ {
		if ok := l.list[l.looked]; m.steady(ok.Code, ok.by) {
			l.steady = ok.Answer
		}
	}
	return cmp.Or(l.steady, l.list[len(l.list)-1].Answer), l.steady != nil
}

// steady reports whether all rows of who has a code have moved by that many, as far as answers show, and nobody else has or had codes that begin so: else a code that was named in
// one proof may have been another row's in the next.
func (m *moves) steady(code string, by int) bool {
	who := letters(code)
	is, known := m.found[who]
	if !known {
		is = m.movedOf(who)
		m.found[who] = is
	}
	return is.any || by+is.of >= 0 && is.by.Bit(by+is.of) == 1
}

// movedOf is by how many rows those of a person may have moved: for each key there must be a row then that it may be. One whose row is not found was mended, or is gone where there
// is no row of its code. All ways are looked at in one, as bits, since there may be thousands of them, and of keys.
func (m *moves) movedOf(who string) *moved {
	out := &moved{by: new(big.Int)}
	if slices.ContainsFunc(m.people[kin(who)], func(other string) bool { return mixed(who, other) }) {
		return out
	}
	var keys []key
	for _, k := range m.keys[kin(who)] {
		if l := letters(k.code); mixed(who, l) {
			return out
		} else if l == who {
			keys = append(keys, k)
		}
	}
	if out.any = len(keys) == 0; out.any {
		return out
	}
	slices.SortFunc(keys, func(a, b key) int { return cmp.Or(cmp.Compare(a.print, b.print), cmp.Compare(a.code, b.code)) })
	set := func(bits *big.Int, rows ...int) *big.Int { // those of the person, by their numbers
		for _, i := range rows {
			if l, n := split(m.rows[i].Code); l == who && n >= 0 && m.byCode[m.rows[i].Code] == i {
				bits.SetBit(bits, n, 1)
			}
		}
		return bits
	}
	all, alike, own, shifted := new(big.Int), new(big.Int), new(big.Int), new(big.Int)
	for i := range m.rows {
		set(all, i)
	}
	_, out.of = split(keys[0].code)
	out.by.Set(all)
	for i, k := range keys {
		among := m.alike[1][key{kin(who), k.print}]
		if i == 0 || keys[i-1].print != k.print {
			alike.SetInt64(0)
			for _, row := range among {
				if m.known[state{row, k.print}] {
					set(alike, row)
				}
			}
		}
		may := alike
		if at, found := m.at[k]; found {
			may = set(own.Set(alike), at)
		} else if len(among) == 0 {
			may = all
		}
		_, n := split(k.code)
		switch by := n - out.of; {
		case by > all.BitLen() || -by > all.BitLen(): // no way leads from both codes to rows
			shifted.SetInt64(0)
		case by >= 0:
			shifted.Rsh(may, uint(by))
		default:
			shifted.Lsh(may, uint(-by))
		}
		if out.by.And(out.by, shifted); out.by.Sign() == 0 {
			break
		}
	}
	return out
}

// mixed reports letters of two people who may have had each other's, since their initials are the same.
func mixed(a, b string) bool {
	a2, b2 := a[:min(2, len(a))], b[:min(2, len(b))]
	return a != b && (strings.HasPrefix(a2, b2) || strings.HasPrefix(b2, a2))
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
