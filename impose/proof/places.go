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

// given is what answers of a key give: a text or a space.
type given struct {
	key
	space bool
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
	owner  map[key]string   // by kin and fingerprint: whose the rows that are alike are, or several
	whose  map[state]key
	at     map[key]int
	byHand map[given]bool         // that stand in the row since somebody typed them there; others do not take their place
	moved  map[int]bool           // rows that go with a key of another code
	owned  map[string]bool        // fingerprints that only one person's rows have
	old    map[string]bool        // fingerprints of rows that lacked something, as proofs had them before they were one person's
	person map[string]string      // by kin; several of the same initials are nobody
	spaces map[spaceIn]givenSpace // as far as they were read
	looked int                    // at rows that are alike, for answers without one
}

// mostLooked is at how many rows that are alike is looked for all answers without one: a thousand of both. Beyond it no more rows are found for them, as where none
// is left, and they are told.
const mostLooked = 3_000_000

// tired counts such a look, and reports whether it is one too many.
func (p *places) tired() bool {
	p.looked++
	return p.looked > mostLooked
}

// look is where among rows the first stands that good allows, or -1, also where that would be a look too many.
func look[R any](p *places, rows []R, good func(R) bool) int {
	if p.looked > mostLooked { // not at each of them once more, only to give each up
		return -1
	}
	return slices.IndexFunc(rows, func(r R) bool { return !p.tired() && good(r) })
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
	p := &places{s: s, spaces: map[spaceIn]givenSpace{}, rows: rows, byCode: map[string]int{}, known: map[state]bool{}, alike: [2]map[key][]int{{}, {}}, owner: map[key]string{}, next: [2]map[key]int{{}, {}},
		whose: map[state]key{}, at: map[key]int{}, byHand: map[given]bool{}, moved: map[int]bool{}, owned: map[string]bool{}, old: map[string]bool{}, person: map[string]string{}}
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
		p.near(i, print)
	}
}

// near has the row among those that are alike by a fingerprint of it.
func (p *places) near(i int, print string) {
	for n, near := range nearness {
		k := key{near(p.rows[i].Code), print}
		p.alike[n][k] = append(p.alike[n][k], i)
	}
	k, owner := key{kin(p.rows[i].Code), print}, p.rows[i].Owner
	if was, known := p.owner[k]; known && was != owner {
		owner = several
	}
	p.owner[k] = owner
}

const several = "\x00" // in place of an owner

// shared reports whether of the rows that are alike by a fingerprint, of people of these initials, any is of somebody else than the row.
func (p *places) shared(k key, row int) bool {
	owner, ok := p.owner[k]
	return ok && owner != p.rows[row].Owner
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

// typed is a row without what answers give and somebody may have typed into it: its number, the text, and which sides of its space.
type typed struct {
	row   int
	text  string
	sides int
}

const (
	width = 1 << iota
	height
)

// emptied are rows without the texts and the spaces in them that answers about people of the same initials give, by kin and fingerprint;
// what was put into them is not taken out.
func (p *places) emptied(list []Answer, put map[cell]int) map[key][]typed {
	type text struct{ kin, text string }
	type space struct {
		kin   string
		unit  measure.Unit
		size  measure.Size
		sides int
	}
	units := map[measure.Unit]bool{}
	for _, b := range p.rows {
		units[b.Unit] = true
	}
	texts, spaces, kins := map[text]bool{}, map[space]bool{}, map[string]bool{}
	for i := range list {
		a := &list[i]
		k := kin(a.Code)
		if a.Text != "" {
			texts[text{k, flat(a.Text)}] = true
		}
		if _, ok := p.at[a.key()]; !ok && a.Print != "" {
			kins[k] = true
		}
		for unit := range units {
			if a.Space == "" {
				continue
			} else if size, err := measure.ParseSize(a.Space, unit); err == nil {
				spaces[space{k, unit, size, width | height}] = true
			} else if side, err := measure.Parse(a.Space, unit); err == nil {
				spaces[space{k, unit, measure.Size{W: side}, width}], spaces[space{k, unit, measure.Size{H: side}, height}] = true, true
			}
		}
	}
	rows := map[key][]typed{}
	for i, b := range p.rows {
		k := kin(b.Code)
		if !kins[k] {
			continue
		}
		_, textPut := put[cell{i, false}]
		_, spacePut := put[cell{i, true}]
		both := spaces[space{k, b.Unit, b.Space, width | height}]
		for n := 1; n < 8; n++ {
			was, t := *b, typed{row: i, sides: n & (width | height)}
			if t.sides&width != 0 {
				was.Space.W = 0
			}
			if t.sides&height != 0 {
				was.Space.H = 0
			}
			if n > t.sides {
				was.Text, t.text = nil, flat(b.Markup())
			}
			lone := space{k, b.Unit, measure.Size{W: b.Space.W - was.Space.W, H: b.Space.H - was.Space.H}, t.sides}
			if n > t.sides && (textPut || t.text == "" || !texts[text{k, t.text}]) || t.sides > 0 && (spacePut || b.Space.W <= 0 || b.Space.H <= 0 || !both && !spaces[lone]) {
				continue // nobody gives it
			}
			own, old := Fingerprint(&was, p.s), anybodys(&was, p.s)
			p.owned[own], p.old[old] = true, true
			rows[key{k, own}], rows[key{k, old}] = append(rows[key{k, own}], t), append(rows[key{k, old}], t)
		}
	}
	return rows
}

// settleTyped finds rows for keys that have none among those into which somebody has typed what answers give, and which are otherwise as they
// were: first those where all that was typed is the key's own.
func (p *places) settleTyped(keys []key, list []Answer, put map[cell]int) (found bool) {
	rows := p.emptied(list, put)
	if len(rows) == 0 {
		return false
	}
	from := map[key][]*Answer{}
	for i := range list {
		if a := &list[i]; a.gives() {
			from[a.key()] = append(from[a.key()], a)
		}
	}
	texts := map[string]string{} // of the answers, as they come into a row
	for i := range list {
		texts[list[i].Text] = flat(list[i].Text)
	}
	gives := func(k key, t typed) bool { // both of what was typed
		text, space := t.text == "", t.sides == 0
		for _, a := range from[k] {
			if p.tired() {
				return false
			}
			text = text || a.Text != "" && texts[a.Text] == t.text
			space = space || a.Space != "" && p.is(a.Space, p.rows[t.row], t.sides)
		}
		return text && space
	}
	for _, own := range []bool{true, false} {
		for _, near := range []func(string) string{func(code string) string { return code }, letters, kin} {
			for _, k := range keys {
				if _, ok := p.at[k]; ok {
					continue
				}
				list := rows[key{kin(k.code), k.print}]
				at := look(p, list, func(t typed) bool {
					return near(p.rows[t.row].Code) == near(k.code) && p.whose[state{t.row, k.print}] == (key{}) && (!own || gives(k, t))
				})
				if at >= 0 {
					p.take(k, list[at].row)
					p.byHand[given{k, false}], p.byHand[given{k, true}] = list[at].text != "", list[at].sides != 0
					found = true
				}
			}
		}
	}
	return found
}

// left is a row that a wish without one may be about, of those that good allows, or -1: rows were alike, and there are fewer now, or two proofs
// showed one row by two codes.
func (p *places) left(a *Answer, good func(row int) bool) int {
	for n, near := range nearness {
		rows := p.alike[n][key{near(a.Code), a.Print}]
		if i := look(p, rows, good); i >= 0 {
			return rows[i]
		}
	}
	return -1
}

// mended reports whether somebody has changed the row of the code, as far as can be told: it is there, and has not come from elsewhere.
func (p *places) mended(code string) bool {
	i, ok := p.byCode[code]
	return ok && !p.moved[i]
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
	return !p.shared(key{kin(k.code), k.print}, i)
}

// flat is a text as it is compared: what white space it has does not matter.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

// stands reports whether the row has by now what the answer gives: of a space both sides, or the one that it lacked before any answer. Bare numbers are in the unit that it was measured in then.
func (a *Answer) stands(b, was *intake.Block) bool {
	if a.Space != "" {
		g := readSpace(a.Space, was.Unit)
		lacksW, lacksH := was.Space.W <= 0 && was.Space.H > 0, was.Space.H <= 0 && was.Space.W > 0
		return b.Space.W > 0 && b.Space.H > 0 && (!lacksH && g.is(b, width) || !lacksW && g.is(b, height))
	}
	return flat(a.Text) == flat(b.Markup())
}

// is reports whether these sides of the row's space are what an answer gives; where it gives both, both count.
func (p *places) is(space string, b *intake.Block, sides int) bool {
	k := spaceIn{space, b.Unit}
	read, known := p.spaces[k]
	if !known {
		read = readSpace(space, b.Unit)
		p.spaces[k] = read
	}
	return read.is(b, sides)
}

// spaceIn is a space as an answer gives it, to a row in a unit.
type spaceIn struct {
	text string
	unit measure.Unit
}

// givenSpace is what that is: a size, or one side.
type givenSpace struct {
	size    measure.Size
	side    measure.Length
	whole   bool
	oneSide bool
}

func readSpace(text string, u measure.Unit) (g givenSpace) {
	if size, err := measure.ParseSize(text, u); err == nil {
		return givenSpace{size: size, whole: true}
	}
	side, err := measure.Parse(text, u)
	return givenSpace{side: side, oneSide: err == nil}
}

func (g givenSpace) is(b *intake.Block, sides int) bool {
	if g.whole {
		return g.size == b.Space
	}
	return g.oneSide && (sides == width && g.side == b.Space.W || sides == height && g.side == b.Space.H)
}
