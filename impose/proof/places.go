package proof

import (
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// key is what answers name a row of the proof by. All that name one by the same go with the same row.
type key struct{ code, print string }

func (a *Answer) key() key { return key{a.Code, a.Print} }

// keysOf are the keys of answers that have a fingerprint, each once, in their order.
func keysOf(list []Answer) []key {
	var keys []key
	seen := map[key]bool{}
	for i := range list {
		if k := list[i].key(); k.print != "" && !seen[k] {
			seen[k] = true
			keys = append(keys, k)
		}
	}
	return keys
}

// state is a row as it is, or as it was before answers were put into it.
type state struct {
	row   int
	print string
}

// places are where answers find their rows. Rows may be alike, and then a state goes with one key: who was asked for three texts and
// gives three has each in a row of its own.
type places struct {
	s      *config.Settings
	rows   []*intake.Block
	byCode map[string]int
	known  map[state]bool
	alike  [2]map[key][]int // the rows with a fingerprint, by each of nearness in place of the code
	next   [2]map[key]int   // of those, the first that may be free
	whose  map[state]key
	at     map[key]int
	moved  map[int]bool      // rows that go with a key of another code
	owned  map[string]bool   // fingerprints that only one person's rows have
	old    map[string]bool   // fingerprints of rows that lacked something, as proofs had them before they were one person's
	person map[string]string // by kin; several of the same initials are nobody
}

// nearness is what codes have in common that a row may have had one after the other: the person's letters, when a row was put in above;
// only what they begin with, when a person of the same initials came in above, or left.
var nearness = [2]func(code string) string{letters, kin}

func letters(code string) string { l, _, _ := strings.Cut(code, "-"); return l }

func kin(code string) string {
	l := letters(code)
	if strings.HasPrefix(l, "P") {
		return "P" // also who has a name without plain letters
	}
	return l[:min(2, len(l))]
}

func placesOf(rows []*intake.Block, s *config.Settings) *places {
	p := &places{s: s, rows: rows, byCode: map[string]int{}, known: map[state]bool{}, alike: [2]map[key][]int{{}, {}}, next: [2]map[key]int{{}, {}},
		whose: map[state]key{}, at: map[key]int{}, moved: map[int]bool{}, owned: map[string]bool{}, old: map[string]bool{}, person: map[string]string{}}
	for i, b := range rows {
		p.byCode[b.Code] = i
		if was, ok := p.person[kin(b.Code)]; ok && was != b.Owner {
			p.person[kin(b.Code)] = ""
		} else if !ok {
			p.person[kin(b.Code)] = b.Owner
		}
		p.add(i, b)
	}
	return p
}

// add has the row found by what it asks for now, too.
func (p *places) add(i int, b *intake.Block) {
	prints := []string{Fingerprint(b, p.s)}
	if lacks(b) {
		p.owned[prints[0]] = true
		prints = append(prints, anybodys(b, p.s))
		p.old[prints[1]] = true
	}
	for _, print := range prints {
		if p.known[state{i, print}] {
			continue
		}
		p.known[state{i, print}] = true
		for n, near := range nearness {
			k := key{near(b.Code), print}
			p.alike[n][k] = append(p.alike[n][k], i)
		}
	}
}

// take has the row go with the key, which names it by that state of it.
func (p *places) take(k key, i int) {
	p.at[k], p.whose[state{i, k.print}] = i, k
	if p.rows[i].Code != k.code {
		p.moved[i] = true
	}
}

// settle finds rows for keys that have none: first those whose codes are as they were, then the others among the rows that are left. It
// is false where it found none.
func (p *places) settle(keys []key) (found bool) {
	for _, k := range keys {
		if _, ok := p.at[k]; ok {
			continue
		}
		if i, ok := p.byCode[k.code]; ok && p.known[state{i, k.print}] && p.whose[state{i, k.print}] == (key{}) {
			p.take(k, i)
			found = true
		}
	}
	for n, near := range nearness {
		for _, k := range keys {
			if _, ok := p.at[k]; ok {
				continue
			}
			among := key{near(k.code), k.print}
			rows, i := p.alike[n][among], p.next[n][among]
			for i < len(rows) && p.whose[state{rows[i], k.print}] != (key{}) {
				i++
			}
			if p.next[n][among] = i; i < len(rows) {
				p.take(k, rows[i])
				found = true
			}
		}
	}
	return found
}

// before is a row without what somebody may have typed into it.
type before struct{ kin, print, text string } // the text that was typed, or ""

// typed is such a row: its number, and which sides of its space were typed.
type typed struct{ row, sides int }

const (
	width = 1 << iota
	height
)

// emptied are the rows of these kins without their texts, without one or both sides of their spaces, and without both.
func (p *places) emptied(kins map[string]bool) map[before][]typed {
	rows := map[before][]typed{}
	for i, b := range p.rows {
		if !kins[kin(b.Code)] {
			continue
		}
		for n := 1; n < 8; n++ {
			was, text, sides := *b, "", n&(width|height)
			if sides&width != 0 {
				was.Space.W = 0
			}
			if sides&height != 0 {
				was.Space.H = 0
			}
			if n > sides {
				was.Text, text = nil, flat(b.Markup())
			}
			if n > sides && text == "" || sides&width != 0 && b.Space.W <= 0 || sides&height != 0 && b.Space.H <= 0 {
				continue // there is nothing to take out
			}
			own, old := Fingerprint(&was, p.s), anybodys(&was, p.s)
			p.owned[own], p.old[old] = true, true
			for _, print := range []string{own, old} {
				k := before{kin(b.Code), print, text}
				rows[k] = append(rows[k], typed{i, sides})
			}
		}
	}
	return rows
}

// settleTyped finds rows for keys that have none among those into which somebody has typed what the answers give, and which are
// otherwise as they were.
func (p *places) settleTyped(keys []key, list []Answer) (found bool) {
	texts, spaces := map[key]*Answer{}, map[key]*Answer{} // the last of each key
	kins := map[string]bool{}
	for i := range list {
		a := &list[i]
		if _, ok := p.at[a.key()]; ok || !a.gives() {
			continue
		}
		if kins[kin(a.Code)] = true; a.Text != "" {
			texts[a.key()] = a
		} else {
			spaces[a.key()] = a
		}
	}
	rows := p.emptied(kins)
	for _, near := range []func(string) string{func(code string) string { return code }, letters, kin} {
		for _, k := range keys {
			said := []string{""} // the space alone may be typed
			if a := texts[k]; a != nil {
				said = []string{flat(a.Text), ""}
			}
			for _, text := range said {
				list := rows[before{kin(k.code), k.print, text}]
				at := slices.IndexFunc(list, func(t typed) bool {
					return near(p.rows[t.row].Code) == near(k.code) && p.whose[state{t.row, k.print}] == (key{}) &&
						(t.sides == 0 || spaces[k] != nil && spaces[k].is(p.rows[t.row], t.sides))
				})
				if _, ok := p.at[k]; at >= 0 && !ok {
					p.take(k, list[at].row)
					found = true
				}
			}
		}
	}
	return found
}

// left is a row that a wish without one may be about, of those that good allows, or -1: rows were alike, and there are fewer now, but the one of
// the wish's code is none that somebody has mended: it is not there, or has come from elsewhere.
func (p *places) left(a *Answer, good func(row int) bool) int {
	if i, ok := p.byCode[a.Code]; a.OK || a.Print == "" || ok && !p.moved[i] {
		return -1
	}
	rows := p.alike[0][key{letters(a.Code), a.Print}]
	if i := slices.IndexFunc(rows, good); i >= 0 {
		return rows[i]
	}
	return -1
}

// sure reports whether the row of a key is beyond doubt one of the person who gives something for it, and not of another with the same initials.
func (p *places) sure(k key) bool {
	i := p.at[k]
	switch {
	case p.owned[k.print]:
		return true
	case letters(p.rows[i].Code) != letters(k.code):
		return false
	case p.old[k.print]:
		return p.person[kin(k.code)] != ""
	}
	return !slices.ContainsFunc(p.alike[1][key{kin(k.code), k.print}], func(j int) bool { return p.rows[j].Owner != p.rows[i].Owner })
}

// flat is a text as it is compared: what white space it has does not matter.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

// stands reports whether the row has by now what the answer gives.
func (a *Answer) stands(b *intake.Block) bool {
	if a.Space != "" {
		return b.Space.W > 0 && b.Space.H > 0 && (a.is(b, width) || a.is(b, height))
	}
	return flat(a.Text) == flat(b.Markup())
}

// is reports whether these sides of the row's space are what the answer gives; where it gives both, both count.
func (a *Answer) is(b *intake.Block, sides int) bool {
	if size, err := measure.ParseSize(a.Space, b.Unit); err == nil {
		return size == b.Space
	}
	side, err := measure.Parse(a.Space, b.Unit)
	return err == nil && (sides == width && side == b.Space.W || sides == height && side == b.Space.H)
}
