package intake

import (
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// What an empty cell means, where its heading says more of it than that the usual holds: Paper 2 (if different), Stock (leave blank if same as above), Copies (leave
// blank for 2). What is understood is done; what is not is told, with the cells. So are cells that are merged over several blocks of a row.

// ofEmpty is what an empty cell of a column means.
type ofEmpty struct {
	like  byte // 'b': what the block has whose number is in block; 'r': what stands above in the column; '?': the heading says more than is understood; 0: the usual
	block int
}

// usuals are the fields that a block may do without: where the cell of a text or of a measure is empty, that is told of the block.
var usuals = []meaning{asName, asSurname, asPage, asTitle, asWho, asWhere, asWhen, asStock, asTuck, asInset, asFont, asSize, asAlign, asInk, asPageColour, asTurn, asCopies}

const (
	blankOr = `\b(?:blank|empty)\W+(?:(?:if|for|when|means|is|it|you|there|the|as|to|only|just)\W+)*`
	tail    = `\s*(?:row|one|line|block|text|entry|cell)?\s*(?:$|[)\],;/.–-]|\b(?:if|when|for|leave)\b)` // no more is said of it
)

var (
	// sameAsBlock matches "same as block 2", "if other than the first", "sonst wie 1".
	sameAsBlock = regexp.MustCompile(`(?i)\b(?:as|like|than|from|wie|comme|como|come)\s+(?:(?:in|for|of|on|the|block|text|no\.?|nr\.?|number|#|story|photo|paper|stock|page)\s*)*(\d{1,2}|one|two|three|first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|(?-i:[A-H]))\b`)
	// sameAsBefore matches "same as above", "only if new"; notSame that it is not so.
	sameAsBefore = regexp.MustCompile(`(?i)\b(?:as|like|wie|comme|como)\s+(?:(?:in|for|of|on|the|row|block|text|one|line|entry)\s+)*(?:above|previous|preceding|before|last|prior|oben|vorher)\b` + tail + `|` +
		blankOr + `(?:same\W+as\W+)?(?:above|previous|repeat|ditto)\b` + tail + `|\b(?:if|when|where|unless|only)\s+(?:it\s+|it(?:'|’)s\s+|is\s+|they\s+|are\s+)*(?:new|changed|changes|unchanged)\b` + tail)
	notSame = regexp.MustCompile(`(?i)(?:\bnot|n.t|\bnever)\s+(?:\w+\s+){0,2}(?:as|like)\s+(?:the\s+)?(?:above|previous|before|last)`)
	// unlessSame matches a heading that says that an empty cell below it means the same as in the first block: not "leave blank for one".
	unlessSame = regexp.MustCompile(`(?i)\bif (?:it(?:'|’)?s |it is |they are |only )?(?:different|differs?|not (?:the )?same)|when it differs|unless (?:the )?same|\b(?:blank|empty)\W+(?:if|is|means|for)?\W*(?:the )?same\s*[)\]]?\s*$`)
	// saysOfEmpty matches what says anything of empty cells, and forUsual what says that the usual holds; forNone, that there is none of it; forOne, that it is one.
	saysOfEmpty = regexp.MustCompile(`(?i)\b(?:blank|empty|nothing|no entry|defaults?|otherwise|else|d?ditt?o|same|above|below|previous|unless|only (?:if|when|once|at|for|the)|once|new|change[ds]?|unchanged|different|differs|another|other|given|missing|means|left out|leave out|omit(?:ted)?|if not|until|under|follows?|first (?:row|text|line|entry|block|of)|down|repeats?|carry|carries|continues?|applies|` +
		`leer|leere|vide|vacio|vacía|vacío|vuoto|leeg|oben|wenn|falls|sonst|neue?r?s?|nur|gilt|weiter|andere?r?s?|abweichend|si|fois|autre|altro|otra?)\b|=`)
	forUsual = regexp.MustCompile(`(?i)` + blankOr + `(?:usual|standard|default|normal|unsure|no matter|don.?t (?:care|mind|know)|(?:not |un)(?:sure|important|known)|any|either)\b|\b(?:other than|not|unless)(?: the)? (?:usual|standard|normal)\b`)
	forNone  = regexp.MustCompile(`(?i)` + blankOr + `(?:none|nothing|not (?:needed|wanted|applicable)|don.?t (?:need|want)|n/?a)\b`)
	forOne   = regexp.MustCompile(`(?i)` + blankOr + `(?:1|one)\b|\bdefault\W+(?:is\W+)?(?:1|one)\b|\b(?:1|one)\W+(?:if|when)\W+(?:it is\W+)?(?:blank|empty)\b|\b(?:only )?if (?:(?:not|more than|other than) (?:1|one)|more|several)\b`)
	asides   = regexp.MustCompile(`[(\[{]([^)\]}]*)|[,:;]\s(.*)|\s[–—-]\s(.*)|\s((?:only )?(?:if|when|unless)\s.*)`)
)

// ofEmpties takes of each column that is read what its heading says of its empty cells.
func (s *Sheet) ofEmpties() {
	firstBefore := map[meaning]bool{}
	for i := range s.Columns {
		if c := &s.Columns[i]; c.reads() && c.Guess != "holds" && slices.Contains(usuals, c.as) && len(c.Heading) <= longestSaying {
			c.ofEmpty = s.ofEmptyBelow(c, firstBefore)
			s.emptiesSaid = s.emptiesSaid || c.ofEmpty.like != 0
		}
	}
}

// ofEmptyBelow is what an empty cell of a column means; firstBefore are the fields of which the first block says that it is what stands above: then that of the others is, too.
func (s *Sheet) ofEmptyBelow(c *Column, firstBefore map[meaning]bool) ofEmpty {
	ofBlock := c.set > 0 && c.set != s.sets[0]
	before := sameAsBefore.MatchString(c.Heading) && !notSame.MatchString(c.Heading)
	if c.set > 0 && !ofBlock && before {
		firstBefore[c.as] = true
	}
	switch m := sameAsBlock.FindStringSubmatch(c.Heading); {
	case saysUsual(c):
		return ofEmpty{}
	case before && ofBlock && !firstBefore[c.as]:
		return ofEmpty{'b', s.sets[slices.Index(s.sets, c.set)-1]}
	case before && c.some == nil:
		return ofEmpty{like: 'r'}
	case m != nil:
		n, _ := anyCount(m[1])
		if ofBlock && n < c.set && slices.Contains(s.sets, n) {
			return ofEmpty{'b', n}
		}
		return ofEmpty{like: '?'}
	case unlessSame.MatchString(c.Heading) && ofBlock:
		return ofEmpty{'b', s.sets[0]}
	case saysOfEmpty.MatchString(c.Heading):
		return ofEmpty{like: '?'}
	case c.set == 0:
		if slices.Contains([]meaning{asName, asSurname, asTitle, asWho, asWhere, asWhen}, c.as) {
			return ofEmpty{} // they say what is to be typed
		}
		for _, m := range asides.FindAllStringSubmatch(c.Heading, -1) {
			if said := strings.TrimSpace(strings.Join(m[1:], " ")); saysMore(said, c.as) || saysValue(said, c.as) {
				return ofEmpty{like: '?'}
			}
		}
		return ofEmpty{}
	case saysMore(c.Heading, c.as):
		return ofEmpty{like: '?'}
	}
	return ofEmpty{}
}

// saysUsual reports a heading that says that an empty cell means the usual, and does not say which that is.
func saysUsual(c *Column) bool {
	rules := []*regexp.Regexp{forUsual}
	switch c.as {
	case asCopies:
		rules = append(rules, forOne)
	case asTuck, asInset, asTurn: // the usual is not none
	default:
		rules = append(rules, forNone)
	}
	for _, rule := range rules {
		for _, m := range asides.FindAllStringSubmatch(c.Heading, -1) {
			if said := strings.Join(m[1:], " "); rule.MatchString(said) {
				rest := strings.Fields(plainLetters(rule.ReplaceAllString(said, "")))
				return !slices.ContainsFunc(rest, func(w string) bool { return stockNames[w] || !leaving[w] && !fillers[w] && !fieldWords[c.as][w] })
			}
		}
	}
	return false
}

// saysValue reports what a cell might say, which may be meant for those that are empty: Copies (2), Align (centre).
func saysValue(said string, as meaning) bool {
	switch as {
	case asCopies, asSize, asTuck, asInset:
		return said != "1" && strings.ContainsFunc(said, unicode.IsDigit)
	case asAlign:
		return parseAlign(said, &config.Type{})
	case asTurn:
		_, yes := parseYes(said)
		return yes
	case asFont:
		return said != "" && !strings.ContainsAny(said, " ,/")
	}
	return false
}

// saysMore reports words of a heading that are not understood.
func saysMore(heading string, as meaning) bool {
	plain := ifAny.ReplaceAllString(plainLetters(heading), "")
	return slices.ContainsFunc(tokens.FindAllString(plain, -1), func(w string) bool {
		_, unit := measure.ParseUnit(w)
		n, _ := anyCount(strings.ToUpper(w)) // plain letters are small
		return !(unit || n > 0 || len(w) == 1 || fillers[w] || plainlySaid[w] || betweenCounts[w] || beforeOne[w] || behindOne[w] || anyField[w] || stockNames[w] || fieldWords[as][w])
	})
}

// ifAny matches what says of a field that it may be left out; leaving are words that say of a cell that it is left, stockNames such as name stocks, and anyField what headings say of any field, or name inks and fonts by.
var (
	ifAny      = regexp.MustCompile(`\bif (?:any|none|wanted|needed|known|possible|applicable|required|you (?:like|want|wish|know)(?: one| it| any)?)\b`)
	leaving    = wordsOf("leave left please or if it you for to can may cell this 1")
	stockNames = wordsOf("vellum cardstock sticker stickers clear plain")
	anyField   = wordsOf("or which choose choice pick select wanted preferred preference favourite favorite yes no y n many much each per person total pieces sheets on to printed print this that " +
		"pt points left centre center right top middle bottom justified name names list see samples brand black blue red green grey gray white serif sans more than several number line lines max need make if")
)

// fieldWords are the words of the headings that a field goes by.
var fieldWords = map[meaning]map[string]bool{}

// stands is what the row has in a column itself.
func (e *entry) stands(col *Column) *table.Cell {
	if col == nil {
		return nil
	}
	if c := e.row.At(col.Index); c != nil && !blank(c) {
		return c
	}
	return nil
}

// saidEmpty are the columns of a block below which the row has nothing, and whose headings say more of that than that the usual holds.
func (e *entry) saidEmpty() iter.Seq[*Column] {
	return func(yield func(*Column) bool) {
		if !e.sheet.emptiesSaid {
			return
		}
		for _, m := range usuals {
			if col := e.sheet.columnOf(m, e.set); col != nil && col.ofEmpty.like != 0 && e.stands(col) == nil && !yield(col) {
				return
			}
		}
	}
}

// insteadOfEmpty is the cell that an empty one means, and its column; nil: there is none, or the usual holds.
func (e *entry) insteadOfEmpty(col *Column) (*table.Cell, *Column) {
	switch col.ofEmpty.like {
	case 'b':
		return e.inBlock(col)
	case 'r':
		return e.sheet.above(col, e.row.N), col
	}
	return nil, nil
}

// instead is a cell and its column.
type instead struct {
	cell *table.Cell
	col  *Column
}

// inBlock is what the block of the row has that a column's heading names. It may be that of another block in its turn, so what was found of a row is kept while that is read.
func (e *entry) inBlock(col *Column) (*table.Cell, *Column) {
	s := e.sheet
	if s.insteadIn != e.row {
		s.insteadIn, s.instead = e.row, map[int]instead{}
	}
	found, looked := s.instead[col.Index]
	if !looked {
		of := *e
		of.set = col.ofEmpty.block
		if c, from := of.cell(col.as); c != nil && from != col {
			found = instead{c, from}
		}
		s.instead[col.Index] = found
	}
	return found.cell, found.col
}

// spreadAcross shows in each of the columns of several blocks of a row what is merged over them, as what is merged over rows is shown in each.
func (s *Sheet) spreadAcross() {
	s.overBlocks = nil
	if len(s.sets) < 2 || len(s.Across) == 0 {
		return
	}
	index := map[int]int{}
	for i := range s.Rows {
		index[s.Rows[i].N] = i
	}
	for _, m := range s.Across {
		at, ok := index[m.Row]
		k, headed := s.HeadingAt(m.Col)
		if !ok || at <= s.Head || !headed {
			continue
		}
		from, cell := &s.Columns[k], s.Rows[at].At(m.Col)
		if cell == nil || blank(cell) || from.set == 0 || !from.reads() || from.as == asJournaling {
			continue
		}
		over := false
		for k++; k < len(s.Columns) && s.Columns[k].Index <= m.Last; k++ {
			to := &s.Columns[k]
			if to.as != from.as || to.set == 0 || !to.reads() {
				continue
			}
			is := s.Rows[at].At(to.Index)
			if over = over || is == nil || blank(is) || is.Covered; is == nil || blank(is) {
				shown := *cell
				shown.Col, shown.Covered = to.Index, true
				s.Rows[at].Cells = slices.Clone(s.Rows[at].Cells)
				put(&s.Rows[at], shown)
			}
		}
		if over {
			s.overBlocks = append(s.overBlocks, table.Spot{Col: m.Col, Row: m.Row})
		}
	}
}

// above is the last cell with something in it that stands above a row in a column whose empty cells mean that, below the headings; nil: there is none.
func (s *Sheet) above(col *Column, row int) *table.Cell {
	if s.cellsAbove == nil { // for all such columns at once: there may be hundreds
		s.cellsAbove = map[table.Spot]*table.Cell{}
		last := map[int]*table.Cell{}
		for i := s.Head + 1; i < len(s.Rows); i++ {
			r := &s.Rows[i]
			again := s.headsAgain(r)
			if again == otherHeadings {
				break
			}
			for k := 0; k < len(s.Columns) && again == noHeadings; k++ {
				c := &s.Columns[k]
				if c.ofEmpty.like != 'r' {
					continue
				}
				if is := r.At(c.Index); is != nil && !blank(is) {
					last[c.Index] = is
				} else if last[c.Index] != nil {
					s.cellsAbove[table.Spot{Col: c.Index, Row: r.N}] = last[c.Index]
				}
			}
		}
	}
	return s.cellsAbove[table.Spot{Col: col.Index, Row: row}]
}

// empties are the empty cells of rows that ask for something, by column, where more is said of them than that the usual holds.
type empties struct {
	instead map[int][]table.Spot // something else was read
	usual   map[int][]table.Spot // the usual was
}

// add adds those of a block.
func (e *empties) add(of *entry) {
	for col := range of.saidEmpty() {
		if e.instead == nil {
			e.instead, e.usual = map[int][]table.Spot{}, map[int][]table.Spot{}
		}
		at := table.Spot{Col: col.Index, Row: of.row.N}
		to := e.usual
		if c, _ := of.insteadOfEmpty(col); c != nil {
			to = e.instead
		} else if col.ofEmpty.like == 'b' && of.sheet.columnOf(col.as, col.ofEmpty.block) != nil {
			continue // it has as little as the other block
		}
		if cells := to[col.Index]; len(cells) == 0 || cells[len(cells)-1] != at { // of a column for all blocks each has it
			to[col.Index] = append(cells, at)
		}
	}
}

func (e *empties) tell(s *Sheet) {
	note := func(what string, cells []table.Spot, cause, hint string) {
		if len(cells) > 0 {
			s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, what+": "+areas(cells), cause, hint)
		}
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		heading := "empty cells below " + measure.Quote(c.Heading)
		like, why := "what stands above them", "not all that the heading says is understood"
		switch c.ofEmpty.like {
		case 'b':
			like = fmt.Sprintf("what block %d of the row has", c.ofEmpty.block)
			why = fmt.Sprintf("block %d has no column for it", c.ofEmpty.block)
		case 'r':
			why = "nothing stands above them"
		}
		note(heading+" are read as "+like, e.instead[c.Index], "the heading says so", "type it there if something else is meant")
		note(heading+" are read as usual", e.usual[c.Index], why, "type there what is meant")
	}
	note("cells merged over several blocks are read for each of them", s.overBlocks, "", "part them if only one is meant")
}
