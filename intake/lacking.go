package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// What a block of a row may lack, where a row holds several: a measure, stock, page or copies that no column of its own says, and that a column which is not read, or another
// block's, may be meant for. Where that decides what is printed, the print stops; else it is told.

// ofEach are what every block has, be it the usual one, and orUsual what else it may have, be it the usual or nothing.
var (
	ofEach  = []meaning{asSpace, asWidth, asHeight, asStock, asPage, asCopies}
	orUsual = []meaning{asTitle, asTuck, asInset, asFont, asSize, asAlign, asInk, asPageColour, asTurn}
)

// owns reports a block of a row that has a column of its own for a field.
func (s *Sheet) owns(m meaning, set int) bool {
	_, own := s.read[field{m, set}]
	return own
}

// partly tells of columns with something in them that some blocks of a row have for themselves and others have not: whether what stands for all, or nothing, is theirs cannot be
// told. It reports measures, stocks, pages and copies of which that stops the print.
func (s *Sheet) partly(at problem.Place, below map[int]content) (found bool) {
	if len(s.sets) < 2 {
		return false
	}
	for _, m := range slices.Concat(ofEach, orUsual) {
		var with, without []string
		filled := false
		for _, n := range s.sets {
			i, own := s.read[field{m, n}]
			if !own {
				without = append(without, strconv.Itoa(n))
				continue
			}
			with = append(with, strconv.Itoa(n))
			filled = filled || below[s.Columns[i].Index] != 0
		}
		if len(with) == 0 || len(without) == 0 || !filled {
			continue
		}
		i, shared := s.read[field{m, 0}]
		others, have := problem.Noun(len(without), "block|blocks")+" "+problem.And(without), problem.Noun(len(without), "has|have")
		numbered := fmt.Sprintf("like %s %s", m, without[0])
		switch may := slices.Contains(orUsual, m); {
		case !shared && (m == asSpace || m == asWidth || m == asHeight || m == asTitle): // its row is held for the one, and a block need have none of the other
		case !shared && (may || len(with) == 1): // one may be another than the usual
			s.problems.Note(at, fmt.Sprintf("%s %s no column for %s, and %s printed as usual", others, have, m, problem.Noun(len(without), "is|are")), "",
				"if that is not meant, give each block a column for it, "+numbered)
		case may:
			s.problems.Note(at, fmt.Sprintf("%s is taken for %s of %s, which %s no column for it", measure.Quote(s.Columns[i].Heading), m, others, have), "",
				"if it is that of one block only, number it so, "+numbered)
		default:
			found = true
			beside := ""
			if shared {
				beside = " but " + measure.Quote(s.Columns[i].Heading) + ", which names none of them"
			}
			s.problems.Add(at, fmt.Sprintf("of the blocks of a row %s %s a column for %s, and %s %s none%s", problem.And(with), problem.Noun(len(with), "has|have"), m, problem.And(without), have, beside),
				"it cannot be told what is meant for the others", fmt.Sprintf("give each block a column for it, %s; or all of them one without a number", numbered))
			s.problems.OnPage("give each block a column for it in the file, or all of them one without a number, and take the file in again")
		}
	}
	return found
}

var (
	choices     = wordsOf("choice option alternative fallback")
	ofOrganiser = wordsOf("cost costs price left sent done ok paid pay total used ordered status cover checked check ready printed received table room cabin seat") // what the organiser keeps beside
)

// passedOver reports a column that is not read and has something in it, where one of the blocks of a row has to take for that what is another's: its measures, stock, page
// or copies.
func (s *Sheet) passedOver(c *Column, has content) bool {
	ofChoice := func(w string) bool { return choices[strings.TrimSuffix(w, "s")] || c.set == 0 && ofOrganiser[w] } // 2nd choice; Paper cost
	if len(s.sets) < 2 || has == 0 || c.ignored || slices.ContainsFunc(strings.Fields(plainLetters(c.Heading)), ofChoice) {
		return false
	}
	lacks := func(m meaning) bool {
		return slices.ContainsFunc(s.sets, func(n int) bool { return !s.owns(m, n) })
	}
	asks := func(m meaning) bool { return slices.Contains(ofEach, m) || m == asTitle }
	if c.ofSpace() && c.Guess == "contains" && c.as.ofSomethingElse(c.Heading) { // Photo width
		return false
	}
	if c.Double || c.as != asUnknown {
		return c.Double && asks(c.as) && lacks(c.as)
	}
	if m, _, guess := s.recognise(withoutNumber(c.Heading)); guess == "" && asks(m) { // Width B, where figures count the texts
		return lacks(m)
	}
	_, n := s.number(c.Heading)
	return slices.Contains(s.sets, n) && !s.owns(asSpace, n) && !(s.owns(asWidth, n) && s.owns(asHeight, n)) && s.holdsMeasures(c)
}

// lacking is the error of a column that is not read, and that one of the blocks of a row may lack.
func (s *Sheet) lacking(c *Column) {
	why := "each row is several blocks, and no heading of the form means that"
	if c.Double {
		why = fmt.Sprintf("each row is several blocks, and it cannot be told whose %s it is", c.as)
	}
	p := s.place(&s.Rows[s.Head], c)
	p.Row = 0
	s.problems.Add(p, fmt.Sprintf("the column %s may be of one of the blocks, which would not be read: %s", measure.Quote(c.Heading), s.firstCells(c)), why,
		fmt.Sprintf("give it the number of its block, like %s 2; or say that it is not for the print: --column \"%s=nothing\"", cmp.Or(c.as.String(), "Width"), c.Heading))
	s.problems.OnPage("give it the number of its block in the file, like Width 2, or another heading if it is not for the print, and take the file in again")
	s.problems[len(s.problems)-1].Open = &problem.Open{Asks: []string{c.Heading}}
}

// ofSeveral is a cell of a column for several blocks of a row that may say what each of them has, and is read as a whole for all: Page 1 & 2 above Beach and Garden.
func (s *Sheet) ofSeveral(c *Column) string {
	if len(s.sets) < 2 || c.told || c.set > 0 || !c.reads() {
		return ""
	}
	if _, of := s.countsTogether(c.Heading); of == nil {
		return ""
	}
	return s.cellWith(c, mayPart)
}
