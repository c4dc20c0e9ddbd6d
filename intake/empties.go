package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// What an empty cell means, where its heading says more of it than that the usual holds: Paper 2 (if different), Stock (leave blank if same as above), Copies (leave
// blank for 2). What is understood is done; what is not is told, with the cells.

// ofEmpty is what an empty cell of a column means.
type ofEmpty struct {
	like  byte // 'b': what the block has whose number is in block; 'r': what stands above in the column; '?': the heading says what, and that is not understood; 0: the usual
	block int
}

// usuals are the fields that a block has where its cell is empty, and that it is not asked for by: a text, a title and a measure are each block's own.
var usuals = []meaning{asPage, asWho, asWhere, asWhen, asStock, asTuck, asInset, asFont, asSize, asAlign, asInk, asPageColour, asTurn, asCopies}

var (
	// sameAsBlock matches "same as block 2", "same as the first".
	sameAsBlock = regexp.MustCompile(`(?i)\bsame as (?:(?:in|for|of|the|block|text|no\.?|number|#|story|photo)\s*)*(\d{1,2}|one|first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|(?-i:[A-H]))\b`)
	// sameAsBefore matches "same as above", "only if new".
	sameAsBefore = regexp.MustCompile(`(?i)\bsame as (?:(?:in|for|of|the|row|block|text|one|line|entry)\s+)*(?:above|previous|preceding|before|last|prior)\b|\b(?:blank|empty)\W+(?:(?:if|for|is|means|to|as|the|same)\W+)*(?:above|previous|repeat|ditto)\b|\b(?:if|when|where|unless|only)\s+(?:it\s+|it(?:'|’)s\s+|is\s+|they\s+|are\s+)*(?:new|changed|changes|unchanged)\b`)
	// unlessSame matches a heading that says that an empty cell below it means the same as in the first block: not "leave blank for one".
	unlessSame = regexp.MustCompile(`(?i)\bif (it('|’)?s |it is |they are |only )?(different|differs?|not (the )?same)|when it differs|unless (the )?same|\b(blank|empty)\W+(if|is|means)?\W*(the )?same\s*[)\]]?\s*$`)
	// sayOfEmpty matches what says anything of empty cells, and forUsual what says that the usual holds.
	sayOfEmpty = regexp.MustCompile(`(?i)\b(?:blank|empty|defaults?|otherwise|ditto|same|above|previous|unless|only if|if (?:it )?(?:is )?(?:new|changed))\b`)
	forUsual   = regexp.MustCompile(`(?i)\b(?:blank|empty)\W+(?:(?:if|for|when|means|is|it|you|there|the|as)\W+)*(?:none|no|not|nothing|usual|standard|default|normal|unsure|don|na|n a|any|either)\b`)
	forOne     = regexp.MustCompile(`(?i)\b(?:blank|empty|default)\W+(?:(?:if|for|means|is|to|only|just)\W+)*(?:1|one)\b`)
)

// ofEmpties takes of each column that is read what its heading says of its empty cells.
func (s *Sheet) ofEmpties() {
	for i := range s.Columns {
		if c := &s.Columns[i]; c.reads() && c.Guess != "holds" && slices.Contains(usuals, c.as) && len(c.Heading) <= longestHeading {
			c.ofEmpty = s.sayOfEmpty(c)
			s.saysOfEmpty = s.saysOfEmpty || c.ofEmpty.like != 0
		}
	}
}

func (s *Sheet) sayOfEmpty(c *Column) ofEmpty {
	ofBlock := c.set > 0 && c.set != s.sets[0]
	switch m := sameAsBlock.FindStringSubmatch(c.Heading); {
	case sameAsBefore.MatchString(c.Heading) && ofBlock:
		return ofEmpty{'b', s.sets[slices.Index(s.sets, c.set)-1]}
	case sameAsBefore.MatchString(c.Heading) && c.some == nil:
		return ofEmpty{like: 'r'}
	case m != nil:
		n, kind := countToken(m[1])
		if strings.EqualFold(m[1], "one") {
			n, kind = 1, '1'
		}
		if ofBlock && kind != 0 && n < c.set && slices.Contains(s.sets, n) {
			return ofEmpty{'b', n}
		}
		return ofEmpty{like: '?'}
	case unlessSame.MatchString(c.Heading) && ofBlock:
		return ofEmpty{'b', s.sets[0]}
	case !sayOfEmpty.MatchString(c.Heading), forUsual.MatchString(c.Heading), c.as == asCopies && forOne.MatchString(c.Heading):
		return ofEmpty{}
	}
	return ofEmpty{like: '?'}
}

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
	switch col.ofEmpty.like {
	case 'b':
		of := *e
		of.set = col.ofEmpty.block
		if c, from := of.cell(col.as); c != nil && from != col {
			return c, from
		}
	case 'r':
		return e.sheet.above(col, e.row.N), col
	}
	return nil, nil
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

// empties are the empty cells of rows that ask for something, of columns whose headings say what that means.
type empties struct {
	instead map[int][]table.Spot // by column: something else was read
	usual   map[int][]table.Spot // the usual was
}

// add adds those of a block.
func (e *empties) add(of *entry) {
	if !of.sheet.saysOfEmpty {
		return
	}
	for _, m := range usuals {
		col := of.sheet.columnOf(m, of.set)
		if col == nil || col.ofEmpty.like == 0 || of.stands(col) != nil {
			continue
		}
		if e.instead == nil {
			e.instead, e.usual = map[int][]table.Spot{}, map[int][]table.Spot{}
		}
		at := table.Spot{Col: col.Index, Row: of.row.N}
		to := e.usual
		if c, _ := of.insteadOfEmpty(col); c != nil {
			to = e.instead
		}
		if cells := to[col.Index]; len(cells) == 0 || cells[len(cells)-1] != at { // of a column for all blocks each has it
			to[col.Index] = append(cells, at)
		}
	}
}

func (e *empties) tell(s *Sheet) {
	at := problem.Place{File: s.File, Sheet: s.Name}
	for i := range s.Columns {
		c := &s.Columns[i]
		heading := measure.Quote(c.Heading)
		if cells := e.instead[c.Index]; len(cells) > 0 && c.ofEmpty.like == 'r' {
			s.problems.Note(at, fmt.Sprintf("empty cells below %s are read as what stands above them: %s", heading, areas(cells)), "the heading says so", "type it there if something else is meant")
		} else if len(cells) > 0 {
			s.problems.Note(at, fmt.Sprintf("empty cells below %s are read as what block %s of the row has: %s", heading, strconv.Itoa(c.ofEmpty.block), areas(cells)), "the heading says so", "type it there if something else is meant")
		}
		if cells := e.usual[c.Index]; len(cells) > 0 && c.ofEmpty.like == '?' {
			s.problems.Note(at, fmt.Sprintf("empty cells below %s are read as usual: %s", heading, areas(cells)), "what the heading says of empty cells is not understood", "type there what is meant")
		}
	}
}
