package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

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
var usuals = []meaning{asPage, asTitle, asWho, asWhere, asWhen, asStock, asTuck, asInset, asFont, asSize, asAlign, asInk, asPageColour, asTurn, asCopies}

// longestSaying is how long a heading may be that is looked through for what it says, in bytes.
const longestSaying = 160

const blankOr = `\b(?:blank|empty)\W+(?:(?:if|for|when|means|is|it|you|there|the|as|to|only|just)\W+)*`

var (
	// sameAsBlock matches "same as block 2", "if other than the first", "sonst wie 1".
	sameAsBlock = regexp.MustCompile(`(?i)\b(?:as|like|than|from|wie|comme|como|come)\s+(?:(?:in|for|of|on|the|block|text|no\.?|nr\.?|number|#|story|photo|paper|stock|page)\s*)*(\d{1,2}|one|two|three|first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|(?-i:[A-H]))\b`)
	// sameAsBefore matches "same as above", "only if new".
	sameAsBefore = regexp.MustCompile(`(?i)\b(?:as|like|wie|comme|como)\s+(?:(?:in|for|of|on|the|row|block|text|one|line|entry)\s+)*(?:above|previous|preceding|before|last|prior|oben|vorher)\b|` +
		blankOr + `(?:same\W+as\W+)?(?:above|previous|repeat|ditto)\b|\b(?:if|when|where|unless|only)\s+(?:it\s+|it(?:'|’)s\s+|is\s+|they\s+|are\s+)*(?:new|changed|changes|unchanged)\b`)
	// unlessSame matches a heading that says that an empty cell below it means the same as in the first block: not "leave blank for one".
	unlessSame = regexp.MustCompile(`(?i)\bif (?:it(?:'|’)?s |it is |they are |only )?(?:different|differs?|not (?:the )?same)|when it differs|unless (?:the )?same|\b(?:blank|empty)\W+(?:if|is|means)?\W*(?:the )?same\s*[)\]]?\s*$`)
	// saysOfEmpty matches what says anything of empty cells, and forUsual what says that the usual holds; forNone, that there is none of it; forOne, that it is one.
	saysOfEmpty = regexp.MustCompile(`(?i)\b(?:blank|empty|nothing|no entry|defaults?|otherwise|else|ditto|same|above|previous|unless|only|once|new|change[ds]?|unchanged|different|differs|another|other|leer|leere|vide|vacio|vacía|vacío|vuoto|leeg|oben|wenn|sonst|neu|si)\b`)
	forUsual    = regexp.MustCompile(`(?i)` + blankOr + `(?:usual|standard|default|normal|unsure|no matter|don.?t (?:care|mind|know)|(?:not |un)(?:sure|important|known)|any|either)\b|\b(?:other than|not|unless)(?: the)? (?:usual|standard|normal)\b`)
	forNone     = regexp.MustCompile(`(?i)` + blankOr + `(?:none|nothing|not (?:needed|wanted|applicable)|don.?t (?:need|want)|n/?a)\b`)
	forOne      = regexp.MustCompile(`(?i)` + blankOr + `(?:1|one)\b|\bdefault\W+(?:is\W+)?(?:1|one)\b|\b(?:1|one)\W+(?:if|when)\W+(?:it is\W+)?(?:blank|empty)\b`)
)

// ofEmpties takes of each column that is read what its heading says of its empty cells.
func (s *Sheet) ofEmpties() {
	s.emptiesSaid = len(s.Across) > 0 && len(s.sets) > 1
	for i := range s.Columns {
		if c := &s.Columns[i]; c.reads() && c.Guess != "holds" && slices.Contains(usuals, c.as) && len(c.Heading) <= longestSaying {
			c.ofEmpty = s.ofEmptyBelow(c)
			s.emptiesSaid = s.emptiesSaid || c.ofEmpty.like != 0
		}
	}
}

func (s *Sheet) ofEmptyBelow(c *Column) ofEmpty {
	ofBlock := c.set > 0 && c.set != s.sets[0]
	usual := forUsual.MatchString(c.Heading) || c.as == asCopies && forOne.MatchString(c.Heading)
	switch c.as {
	case asTuck, asInset, asTurn, asCopies: // the usual is not none
	default:
		usual = usual || forNone.MatchString(c.Heading)
	}
	switch m := sameAsBlock.FindStringSubmatch(c.Heading); {
	case usual:
		return ofEmpty{}
	case sameAsBefore.MatchString(c.Heading) && ofBlock:
		return ofEmpty{'b', s.sets[slices.Index(s.sets, c.set)-1]}
	case sameAsBefore.MatchString(c.Heading) && c.some == nil:
		return ofEmpty{like: 'r'}
	case m != nil:
		n, _ := countToken(m[1])
		if k := slices.Index(cardinals, strings.ToLower(m[1])); k >= 0 {
			n = k + 1
		}
		if ofBlock && n < c.set && slices.Contains(s.sets, n) {
			return ofEmpty{'b', n}
		}
		return ofEmpty{like: '?'}
	case unlessSame.MatchString(c.Heading) && ofBlock:
		return ofEmpty{'b', s.sets[0]}
	case saysOfEmpty.MatchString(c.Heading), s.saysMore(c):
		return ofEmpty{like: '?'}
	}
	return ofEmpty{}
}

// saysMore reports a heading with words that are not understood, of a field that has a usual value, or of one of several blocks.
func (s *Sheet) saysMore(c *Column) bool {
	switch c.as {
	case asTitle, asWho, asWhere, asWhen, asPage:
		if c.set == 0 {
			return false
		}
	}
	return slices.ContainsFunc(strings.Fields(ifAny.ReplaceAllString(plainLetters(c.Heading), "")), func(w string) bool {
		_, unit := measure.ParseUnit(w)
		n, kind := countToken(w)
		return !(unit || n > 0 && kind != 0 || len(w) == 1 || fillers[w] || plainlySaid[w] || betweenCounts[w] || beforeOne[w] || ofStock[w] || slices.Contains(cardinals, w) || fieldWords[c.as][w])
	})
}

// ifAny matches what says of a field that it may be left out, and ofStock are words that headings say of any field, or name stocks by.
var (
	ifAny   = regexp.MustCompile(`\bif (?:any|none|wanted|needed|known|possible|applicable|required|you (?:like|want|wish|know)(?: one| it| any)?)\b`)
	ofStock = wordsOf("vellum cardstock sticker stickers clear plain or which choose pick select yes no y n many each per total pieces sheets for on in to printed print which this that block text pt points left centre center right top middle bottom justified name names")
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

// insteadOfEmpty is the cell that an empty one means, and its column; nil: there is none, or the usual holds.
func (e *entry) insteadOfEmpty(col *Column) (*table.Cell, *Column) {
	if c, from := e.across(col); c != nil {
		return c, from
	}
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

// across is the cell of another block's column for the same, where it is merged over this column.
func (e *entry) across(col *Column) (*table.Cell, *Column) {
	for _, m := range e.sheet.acrossIn(e.row.N) {
		if m.Col >= col.Index || col.Index > m.Last || col.set == 0 {
			continue
		}
		if k, headed := e.sheet.heading(m.Col); headed && e.sheet.Columns[k].as == col.as && e.sheet.Columns[k].reads() {
			if from := &e.sheet.Columns[k]; e.stands(from) != nil {
				return e.stands(from), from
			}
		}
	}
	return nil, nil
}

// acrossIn are the cells of a row that are merged over several columns.
func (s *Sheet) acrossIn(row int) []table.Across {
	from, _ := slices.BinarySearchFunc(s.Across, row, func(m table.Across, row int) int { return m.Row - row })
	end := from
	for end < len(s.Across) && s.Across[end].Row == row {
		end++
	}
	return s.Across[from:end]
}

// above is the last cell with something in it that stands above a row in a column, below the headings; nil: there is none.
func (s *Sheet) above(col *Column, row int) *table.Cell {
	above, looked := s.cellsAbove[col.Index]
	if !looked {
		above = map[int]*table.Cell{}
		var last *table.Cell
		for i := s.Head + 1; i < len(s.Rows); i++ {
			r := &s.Rows[i]
			if again := s.headsAgain(r); again == otherHeadings {
				break
			} else if again == sameHeadings {
				continue
			}
			if above[r.N] = last; r.At(col.Index) != nil && !blank(r.At(col.Index)) {
				last = r.At(col.Index)
			}
		}
		if s.cellsAbove == nil {
			s.cellsAbove = map[int]map[int]*table.Cell{}
		}
		s.cellsAbove[col.Index] = above
	}
	return above[row]
}

// empties are the empty cells of rows that ask for something, by column, where more is said of them than that the usual holds.
type empties struct {
	instead map[int][]table.Spot // something else was read
	usual   map[int][]table.Spot // the usual was
	across  []table.Spot         // cells merged over several blocks
}

// add adds those of a block.
func (e *empties) add(of *entry) {
	if !of.sheet.emptiesSaid {
		return
	}
	for _, m := range usuals {
		col := of.sheet.columnOf(m, of.set)
		if col == nil || of.stands(col) != nil {
			continue
		}
		if c, from := of.across(col); c != nil {
			if at := (table.Spot{Col: from.Index, Row: of.row.N}); !slices.Contains(e.across[max(0, len(e.across)-len(usuals)):], at) {
				e.across = append(e.across, at)
			}
			continue
		}
		if col.ofEmpty.like == 0 {
			continue
		}
		if e.instead == nil {
			e.instead, e.usual = map[int][]table.Spot{}, map[int][]table.Spot{}
		}
		at := table.Spot{Col: col.Index, Row: of.row.N}
		to := e.usual
		if c, _ := of.insteadOfEmpty(col); c != nil {
			to = e.instead
		} else if col.ofEmpty.like == 'b' {
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
		like := "what stands above them"
		if c.ofEmpty.like == 'b' {
			like = fmt.Sprintf("what block %d of the row has", c.ofEmpty.block)
		}
		note(heading+" are read as "+like, e.instead[c.Index], "the heading says so", "type it there if something else is meant")
		why := "not all that the heading says is understood"
		if c.ofEmpty.like == 'r' {
			why = "nothing stands above them"
		}
		note(heading+" are read as usual", e.usual[c.Index], why, "type there what is meant")
	}
	slices.SortFunc(e.across, func(a, b table.Spot) int { return (a.Row-b.Row)<<16 + a.Col - b.Col })
	note("cells merged over several blocks are read for each of them", e.across, "", "part them if only one is meant")
}
