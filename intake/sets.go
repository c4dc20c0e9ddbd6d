package intake

import (
	"regexp"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// A web form asks for several blocks in one row: Journaling 1, Width 1, Height 1, Journaling 2, ... A set is the columns of one
// of them; what stands once, as the name, is for all.

// findSets tells which columns belong to which block of a row, where a row holds several: by their numbers, else by order
// where the text and its space stand there several times under the same headings. A column for all blocks that each of them has one of its own for is
// in spare, by its index in Columns: no block reads it.
func (s *Sheet) findSets() (spare map[int]bool) {
	type part struct {
		as      meaning
		unit    string
		n       int
		guessed bool // by a word in it
	}
	if s.countedThrough() {
		if s.repeated(true); len(s.sets) > 0 {
			return nil
		}
	}
	var parts []part
	var texts map[int]bool
	var plain, first map[meaning]bool                // first: that have a column numbered 1
	for _, s.countedBy = range []byte{'A', 'w', 0} { // where none counts several texts, by figures
		if s.countedBy != 0 && !s.countsTexts() {
			continue
		}
		s.namesApart = s.eachWithName()
		oneName := s.oneName()
		parts, texts, plain, first = make([]part, len(s.Columns)), map[int]bool{}, map[meaning]bool{}, map[meaning]bool{}
		for i := range s.Columns {
			c := &s.Columns[i]
			base, n := s.number(c.Heading)
			as, unit, guess := s.recognise(base)
			if w, ok := s.told.of(base); c.told {
				as, unit, guess = c.as, c.Unit, ""
			} else if ok && n > 0 && w.as != asUnknown { // Card 2, where Card is told
				as, guess = w.as, ""
			}
			if n == 0 || guess == "contains" && as == asJournaling || as == asName && oneName { // which is for all, whatever its number
				plain[c.as] = true
				continue
			}
			if parts[i] = (part{as, unit, n, guess == "contains"}); guess == "contains" {
				continue
			}
			first[as] = first[as] || n == 1
			if as == asJournaling {
				texts[n] = true
			}
		}
		if plain[asJournaling] && !first[asJournaling] {
			texts[1] = true
		}
		if s.countedBy == 'A' && !lettersInOrder(texts) {
			texts = nil
		}
		if len(texts) > 1 {
			break
		}
	}
	if len(texts) < 2 {
		s.repeated(false)
		return nil
	}
	for n := range texts {
		s.sets = append(s.sets, n)
	}
	slices.Sort(s.sets)
	for i := range parts { // Title of block 2 is of that text, and Title of page 7 of none
		switch p := &parts[i]; {
		case p.guessed && texts[p.n]:
			first[p.as] = first[p.as] || p.n == 1
		case p.guessed:
			*p = part{}
		}
	}
	has := map[field]bool{}
	blocks := map[meaning]int{} // that have such a column
	own := func(c *Column, set int) {
		if f := (field{c.as, set}); !has[f] {
			has[f] = true
			blocks[c.as]++
		}
		c.set = set
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		if p := parts[i]; p.n > 0 && p.as != asUnknown && texts[p.n] {
			c.as, c.Guess = p.as, ""
			c.setUnit(p.unit)
			own(c, p.n)
		}
	}
	spare = map[int]bool{}
	for i := range s.Columns {
		c := &s.Columns[i]
		base, of := s.countsTogether(c.Heading)
		if of == nil || c.told || c.set > 0 {
			continue
		}
		as, unit, guess := s.recognise(base)
		c.as, c.Guess = as, guess
		c.setUnit(unit)
		if slices.ContainsFunc(s.sets, func(n int) bool { return !slices.Contains(of, n) }) { // else it is for all
			c.some = of
		}
		for _, n := range of {
			switch f := (field{as, n}); {
			case has[f] || !texts[n] || s.cellWith(c, partsBlocks) != "": // one of its own, or none at all, or Page 1/2 above Beach/Garden
				spare[i] = true
			case c.some != nil:
				has[f] = true
				blocks[as]++
			}
		}
	}
	for i := range s.Columns { // Width beside Width 2 is that of the first block, where all others have their own
		c := &s.Columns[i]
		if c.set == 0 && c.some == nil && !spare[i] && blocks[c.as] == len(texts)-1 && !first[c.as] && !has[field{c.as, 1}] && texts[1] && parts[i].n == 0 {
			own(c, 1)
		}
	}
	for _, count := range []func(string) (string, int){lettered, worded} {
		s.setsByOthers(count, texts, own, func(as meaning) bool { return blocks[as] == 0 })
	}
	s.setsInOrder(own, func(i int, as meaning) bool { return !texts[parts[i].n] && blocks[as] == 0 })
	s.setsAlike(texts, own)
	for i := range s.Columns {
		if c := &s.Columns[i]; c.set == 0 && c.some == nil && c.as != asUnknown && blocks[c.as] == len(texts) {
			spare[i] = true
		}
	}
	return spare
}

// partsBlocks matches a cell that says what two blocks have, one after the other: Beach/Garden; mayPart one that may.
var (
	partsBlocks = regexp.MustCompile(`[/|;\n]`)
	mayPart     = regexp.MustCompile(`[,&+–—-]|\s`)
)

// cellWith is the first cell of a column that matches, with where it stands; "": there is none.
func (s *Sheet) cellWith(c *Column, what *regexp.Regexp) string {
	for row, cell := range s.below(c) {
		if cell.Kind == table.Text && what.MatchString(strings.TrimSpace(cell.Text)) {
			return table.Address(c.Index, row) + " " + measure.Quote(line(cell.Text))
		}
	}
	return ""
}

// lettersInOrder reports letters that count texts, A and hardly fewer than the last: not Text W and Text H.
func lettersInOrder(texts map[int]bool) bool {
	last := 0
	for n := range texts {
		last = max(last, n)
	}
	return texts[1] && last <= 2*len(texts)+2
}

// setsByOthers gives to each block its own of the columns that letters or words count, where the texts are counted otherwise: Text 1, Width A, Text 2, Width B. Each block has
// one then, and none is over.
func (s *Sheet) setsByOthers(count func(string) (string, int), texts map[int]bool, own func(c *Column, set int), free func(as meaning) bool) {
	type part struct {
		*Column
		unit string
		n    int
	}
	of := map[meaning][]part{}
	for i := range s.Columns {
		c := &s.Columns[i]
		base, n := count(c.Heading)
		as, unit, guess := s.recognise(base)
		if n > 0 && c.set == 0 && !c.told && guess != "contains" && as != asUnknown && as != asJournaling && as != asName && as != asSurname && free(as) {
			of[as] = append(of[as], part{c, unit, n})
		}
	}
	for m := range meanings {
		met := map[int]bool{}
		for _, p := range of[m] {
			met[p.n] = met[p.n] || texts[p.n]
		}
		if len(of[m]) != len(texts) || len(met) != len(texts) || slices.ContainsFunc(of[m], func(p part) bool { return !met[p.n] }) {
			continue
		}
		for _, p := range of[m] {
			p.as, p.Guess = m, ""
			p.setUnit(p.unit)
			own(p.Column, p.n)
		}
	}
}

// setsInOrder gives to each block its own of the columns that stand as often as there are texts, under no number, or none of a text: Text 1, Width, Height,
// Text 2, Width, Height; 3. Text, 4. Width, 5. Height, 6. Text, 7. Width, 8. Height; Text, Width, Height, Text2, Width3, Height4.
func (s *Sheet) setsInOrder(own func(c *Column, set int), free func(i int, as meaning) bool) {
	type part struct {
		*Column
		says, unit, guess string
	}
	var order []int            // of the blocks, by where their texts stand
	of := map[meaning][]part{} // as the columns stand
	for i := range s.Columns {
		c := &s.Columns[i]
		base, n := s.number(c.Heading)
		as, unit, guess := c.as, c.Unit, c.Guess
		if n > 0 {
			as, unit, guess = s.recognise(base)
		}
		switch {
		case c.as == asJournaling && c.set > 0:
			order = append(order, c.set)
		case c.set == 0 && !c.told && free(i, as) && as != asUnknown && as != asName && as != asSurname && (as != asPage || n == 0):
			of[as] = append(of[as], part{c, plainLetters(unitSaid(base).rest), unit, guess})
		}
	}
	for m := range meanings {
		alike := func(p part) bool { // Its width, for each of them
			return p.says == of[m][0].says && (p.guess == "" || m.measured() && p.guess == of[m][0].guess)
		}
		if len(of[m]) == len(order) && slices.IsSorted(order) && len(order) == len(s.sets) && !slices.ContainsFunc(of[m], func(p part) bool { return !alike(p) }) {
			for k, p := range of[m] {
				p.as, p.Guess = m, p.guess
				p.setUnit(p.unit)
				own(p.Column, order[k])
			}
		}
	}
}

// setsAlike gives to each block its own of the columns that no rule knows, or that are told, and that differ by the blocks' numbers alone: Left to right 1,
// Left to right 2. One without a number beside such is that of the first block.
func (s *Sheet) setsAlike(texts map[int]bool, own func(c *Column, set int)) {
	of := map[string]map[int]bool{}
	each := func(do func(c *Column, base string, n int)) {
		for i := range s.Columns {
			if c := &s.Columns[i]; c.set == 0 && (c.told || c.as == asUnknown) {
				base, n := s.number(c.Heading)
				do(c, plainLetters(unitSaid(base).rest), n)
			}
		}
	}
	each(func(_ *Column, base string, n int) {
		if of[base] == nil {
			of[base] = map[int]bool{}
		}
		of[base][n] = true
	})
	each(func(c *Column, base string, n int) {
		if n == 0 && !of[base][1] {
			n = 1
		}
		switch {
		case base == "" || !texts[n] || len(of[base]) < 2:
		case c.as == asUnknown:
			c.set = n
		default:
			own(c, n)
		}
	})
}

// partOthers finds columns that are guessed by a word and whose other words are those of a column that is not read, as "Second stock" beside
// "Second width": they are of another block, which is not read either.
func (s *Sheet) partOthers() {
	rests := map[string]bool{} // of what a block must have and that is not read
	for i := range s.Columns {
		if c := &s.Columns[i]; c.Double && c.Guess == "contains" {
			switch c.as {
			case asJournaling, asWidth, asHeight, asSpace:
				rests[otherWords(c.Heading)] = true
			}
		}
	}
	if len(rests) == 0 {
		return
	}
	for i := range s.Columns {
		if c := &s.Columns[i]; c.reads() && c.Guess == "contains" && !c.needed() && c.set == 0 && !c.told && rests[otherWords(c.Heading)] {
			c.Double, c.apart = true, true
		}
	}
}

// otherWords are the words of a heading but the one that says what it means.
func otherWords(heading string) string {
	words := strings.Fields(plainLetters(heading))
	for _, k := range keywords {
		if i := slices.Index(words, k.word); i >= 0 {
			return strings.Join(slices.Delete(words, i, i+1), " ")
		}
	}
	return strings.Join(words, " ")
}

// ofNone are the columns whose number is that of no text, where a row holds several: all its blocks read them.
func (s *Sheet) ofNone() (headings []string) {
	if len(s.sets) < 2 {
		return nil
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		_, n := s.number(c.Heading)
		_, letter := lettered(c.Heading)
		other := n > 0 && !slices.Contains(s.sets, n) || n == 0 && c.some == nil && (letter > 0 || saysMore(c.Heading, c.as))
		if other && c.set == 0 && c.reads() && !c.told && slices.Contains(usuals, c.as) && c.as != asName && c.as != asSurname {
			headings = append(headings, measure.Quote(c.Heading))
		}
	}
	return headings
}

// setHeadings lists the headings of the texts of each block.
func (s *Sheet) setHeadings() string {
	var out []string
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == asJournaling && c.set > 0 {
			out = append(out, measure.Quote(c.Heading))
		}
	}
	return "it has the columns " + problem.And(out)
}

// mostSets is how many blocks a row may hold, as many as two digits number.
const mostSets = 99

// repeated finds sets where the same headings stand several times: Journaling, Width, Height, Journaling, Width, Height; through: but for their numbers.
func (s *Sheet) repeated(through bool) {
	type said struct {
		as        meaning
		unit, key string
		counted   bool // without its number
	}
	says := make([]said, len(s.Columns))
	times := map[meaning]int{}
	same := map[meaning]string{}
	alike := map[string]int{} // columns that no rule knows, by heading
	for i := range s.Columns {
		c := &s.Columns[i]
		says[i] = said{c.as, c.Unit, plainLetters(c.Heading), false}
		if base, n := numbered(c.Heading); through && n > 0 && !c.told {
			as, unit, guess := s.recognise(base)
			if guess != "" {
				as = asUnknown
			}
			says[i] = said{as, unit, plainLetters(base), true}
		}
		as, key := says[i].as, says[i].key
		if times[as]++; times[as] > 1 && same[as] != key {
			times[as] = -100 // other words: another column
		}
		same[as] = key
		if as == asUnknown && c.Heading != "" {
			alike[key]++
		}
	}
	if through {
		for i := range s.Columns { // 2. Where
			if c, is := &s.Columns[i], says[i]; is.counted && times[is.as] == 1 && is.as != asUnknown {
				s.mean(c, is.as, is.unit)
			}
		}
	}
	n := times[asJournaling]
	if names := times[asName]; names != 1 && names != 0 && !(through && names == n) {
		return // two tables beside each other
	}
	if n < 2 || n > mostSets || !through && times[asSpace] != n && (times[asWidth] != n || times[asHeight] != n) {
		return
	}
	for k := range n {
		s.sets = append(s.sets, k+1)
	}
	seen, met := map[meaning]int{}, map[string]int{}
	for i := range s.Columns {
		c, is := &s.Columns[i], says[i]
		switch {
		case is.as != asUnknown && times[is.as] == n:
			seen[is.as]++
			if c.set = seen[is.as]; c.as != is.as || c.Guess != "" {
				s.mean(c, is.as, is.unit)
			}
		case is.as == asUnknown && c.as == asUnknown && c.Heading != "" && alike[is.key] == n:
			met[is.key]++
			c.set = met[is.key]
		}
	}
}

// mean has a column mean what its heading says without its number.
func (s *Sheet) mean(c *Column, as meaning, unit string) {
	c.as, c.Guess = as, ""
	c.setUnit(unit)
	if as.measured() {
		base := withoutNumber(c.Heading)
		c.openUnit(unitSaid(base).doubtful)
		c.heightFirst, c.lengthFirst = heightFirst(base)
	}
}

// asked counts the blocks that tables ask for whose rows hold several: a row of such a table is up to 99 of them, and where each is held, several errors each.
type asked int

// beyond adds those of a table, and reports that they are more than a run makes. Then it is told, and the table is not read.
func (a *asked) beyond(s *Sheet) bool {
	if len(s.sets) == 0 {
		return false
	}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		var counted [mostSets + 1]bool
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			k, headed := s.HeadingAt(c.Col)
			if !headed || c.Covered || blank(c) {
				continue
			}
			if col := &s.Columns[k]; col.set > 0 && !col.Double && !counted[col.set] && slices.Contains(asking, col.as) {
				counted[col.set] = true
				*a++
			}
		}
	}
	if *a <= mostCopies {
		return false
	}
	s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, "with this table the rows ask for more than 100,000 blocks", "each row is read as several, and one run makes no more",
		"give fewer rows at a time, or, if several blocks are not meant, give the columns other headings")
	return true
}

// unused tells of cells that no block of its row reads: they stand in the columns of one that asks for nothing, or in a column for all blocks where
// those that ask have their own.
type unused struct{ passed, common []table.Spot }

// add adds those of a row; built are the blocks that it asks for.
func (u *unused) add(s *Sheet, r *table.Row, built []int) {
	for _, c := range s.own(r) {
		k, headed := s.HeadingAt(c.Col)
		if !headed || s.Columns[k].notRead() {
			continue // which is told
		}
		at := table.Spot{Col: c.Col, Row: r.N}
		switch col := &s.Columns[k]; {
		case col.set > 0 && !slices.Contains(built, col.set):
			u.passed = append(u.passed, at)
		case col.set == 0 && !slices.ContainsFunc(built, func(set int) bool { return s.columnOf(col.as, set) == col }):
			u.common = append(u.common, at)
		}
	}
}

func (u *unused) tell(s *Sheet) {
	s.unread("cells of blocks that ask for nothing", u.passed, "the row has other blocks, and these have no text, no title and no space", "fill them in if blocks are meant")
	s.unread("cells for all blocks of a row", u.common, "the blocks that the row asks for have columns of their own for that", "type it in the columns of the blocks")
}
