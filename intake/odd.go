package intake

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// NotRead begins the note of headings that no rule knows, and whose columns are not read.
const NotRead = "not read: "

// reportColumns says what is odd about the headings of a journaling sheet; false means that the sheet cannot be read.
func (s *Sheet) reportColumns(configured measure.Unit) bool {
	at := s.place(&s.Rows[s.Head], nil)
	whole := at
	whole.Row = 0
	var unread []string
	whose := map[meaning]*Column{}
	lost := s.toldRow(whole)
	below := s.contents()
	several := len(s.sets) > 1 || s.twice(asWidth) && s.twice(asHeight) || s.twice(asSpace) // blocks in a row
	for i := range s.Columns {
		c := &s.Columns[i]
		if c.told && c.as != asUnknown {
			if other := whose[c.as]; other != nil && other.set == c.set {
				heading := s.place(&s.Rows[s.Head], c)
				heading.Row = 0 // it concerns all rows
				s.problems.Add(heading, fmt.Sprintf("%s and %s are both told to be %s", measure.Quote(other.Heading), measure.Quote(c.Heading), c.as),
					"a block has one of them", "tell it of one only")
			}
			whose[c.as] = c
		}
		unknown := c.Heading != "" && !c.Double && !c.ignored && c.notRead() && !(s.Desk && (c.Heading == asUnit.String() || s.emptied(c)))
		addressed := ""
		if c.as == asTitle && !c.told && !c.Double {
			addressed = s.addresses(c)
		}
		parted, more := s.ofSeveral(c), []string(nil)
		if c.reads() && below[c.Index] != 0 {
			more = further(c)
		}
		switch {
		case (c.Double || unknown) && below[c.Index]&hasLong != 0, unknown && below[c.Index]&hasWords != 0 && textCounted(c.Heading), unknown && below[c.Index] != 0 && several && anotherText(c.Heading) && (below[c.Index]&hasText != 0 || !asksWhether(c.Heading)), below[c.Index]&hasWords != 0 && (unknown && (corrects(c.Heading) || anotherText(headedBefore(c.Heading))) || pageOrText(c)):
			lost = true
			s.lost(c)
		case s.passedOver(c, below[c.Index]):
			lost = true
			s.lacking(c)
		case unknown && below[c.Index] != 0 && asksToPrint(c.Heading):
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is not read, and may say what is to be printed: %s", measure.Quote(c.Heading), s.firstCells(c)), "", "see to it in these rows: take out what is not wanted, and say how many in a column Copies")
		case c.Double:
			why := "a second one for " + c.as.String()
			if c.apart {
				why = "of another block"
			}
			unread = append(unread, fmt.Sprintf("%s in column %s (%s)", measure.Quote(c.Heading), table.Letters(c.Index), why))
		case unknown:
			unread = append(unread, measure.Quote(c.Heading))
		case c.lengthFirst && (c.as == asSpace || c.as == asWidth):
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the length in the column %s is taken for the height, and comes first", measure.Quote(c.Heading)), "",
				"if it is the width, name it so: Space (w x h)")
		case c.as == asHeight && c.set == 0 && slices.Contains(strings.Fields(plainLetters(c.Heading)), "length") && slices.ContainsFunc(s.Columns[i+1:], func(o Column) bool { return o.as == asWidth && !o.Double }):
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the length in the column %s is taken for the height, and comes first", measure.Quote(c.Heading)), "",
				"if it is the width, name the columns Width and Height")
		case addressed != "":
			s.problems.Add(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s would be printed above the texts, and says how people are addressed: %s", measure.Quote(c.Heading), measure.Quote(addressed)), "",
				fmt.Sprintf("if it is not for the print, say so: --column \"%[1]s=nothing\"; else --column \"%[1]s=Title\"", c.Heading))
			s.problems.OnPage("if it is not for the print, empty its cells in the file, or give it another heading, and take the file in again")
		case withTuck(c):
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for the space that shows, without a tuck", measure.Quote(c.Heading)),
				"the tuck that the stock needs is added to what stands there", "if the tuck is in it already, take it off, or add a column Tuck that says none")
		case c.Guess == "contains" && c.as.ofSomethingElse(c.Heading), c.as.inBracketsOfSomethingElse(c.Heading) && c.ofEmpty.like != 'b' && c.ofEmpty.like != 'r':
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as),
				"one of its words says so, and the others may say that it is something else", "if it is something else, say so: --column \""+c.Heading+"=nothing\"")
			s.problems.OnPage("if it is something else, empty its cells here; or undo the step, give the column another heading in the file, and take the file in again")
		case parted != "":
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("what stands below %s is read as a whole, and for each of its blocks: %s", measure.Quote(c.Heading), parted), "",
				fmt.Sprintf("if each block has one of its own, give each a column, like %s 2", c.as))
		case c.as == asAlign && plainLetters(c.Heading) == "position" && below[c.Index] != 0:
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as), "it says where a text stands in its space", "if it says where the block goes on the page, say so: --column \""+c.Heading+"=nothing\"")
		case c.as == asInset && strings.Contains(plainLetters(c.Heading), "border") && below[c.Index] != 0 && plainLetters(c.Heading) != "blank border":
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as), "it is the blank edge within a block, and no line is printed round it", "if a line is wanted, say so: --column \""+c.Heading+"=nothing\"")
		case strange(c):
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("what stands in brackets in the heading %s is not understood", measure.Quote(c.Heading)), "",
				"if it is a unit, name it there so: "+c.as.String()+" (cm)")
		case len(more) > 0:
			s.noteFurther(c, more)
		case c.Guess == "holds":
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as), "its cells say so",
				"if it is something else, say so: --column \""+c.Heading+"=nothing\"")
			s.problems.OnPage("if it is something else, empty its cells here; or undo the step, give the column another heading in the file, and take the file in again")
		case c.Guess == "near":
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as),
				"no heading is spelled so, and that one is near", "correct the heading if it means something else")
		}
	}
	lost = s.partly(whole, below) || lost
	if len(s.sets) > 1 {
		s.problems.Note(at, fmt.Sprintf("each row is read as up to %d blocks", len(s.sets)), s.setHeadings(), "if that is not meant, give them other headings")
	}
	if names := s.onePersons(); len(names) > 1 {
		s.problems.Note(at, problem.And(names)+" are taken for the names of one person, whose all blocks of the row are", "", "if each is that of the text of its number, put it right before that text, or name the columns Name 1, Name 2")
	}
	if none := s.ofNone(); len(none) > 0 {
		s.problems.Note(at, problem.And(none)+" stands for all blocks of a row", "there is no text of that number", "give it the number of its block, or another heading")
	}
	if len(unread) > 0 {
		if len(unread) > 8 {
			unread = append(unread[:8], "and others, up to column "+table.Letters(s.last()))
		}
		s.problems.Note(at, NotRead+strings.Join(unread, ", "), "no heading of the form means that",
			"rename the column if it matters for the print")
	}
	s.noteNameSaid()
	s.partLegend()
	s.partTables()
	s.findUnit(configured)
	s.noteUnasked(at)
	missing := s.missing()
	if len(missing) == 0 {
		return !lost && !s.mixed
	}
	s.problems.Add(whole, "there is no column "+strings.Join(missing, " and no column "),
		fmt.Sprintf("of the headings in row %d, %s", at.Row, s.taken()), s.howToTell(missing))
	s.problems.OnPage("give the columns in the file the headings of the form, as Name, Journaling, Width, Height, and take the file in again")
	s.problems[len(s.problems)-1].Open = &problem.Open{Lacks: missing}
	return false
}

// toldRow tells where a row that the settings say is one of headings is a row of journaling, which would be lost.
func (s *Sheet) toldRow(at problem.Place) bool {
	i := slices.IndexFunc(s.Columns, func(c Column) bool {
		return c.told && c.ofSpace() && holdsMeasure(table.Cell{Kind: table.Text, Text: c.Heading})
	})
	if i < 0 {
		return false
	}
	s.problems.Add(at, fmt.Sprintf("the row that is told to be headings is one of journaling, and would be lost: row %d has %s for %s", s.Rows[s.Head].N, measure.Quote(s.Columns[i].Heading), s.Columns[i].as), "",
		"type a row of headings above it, as the form has them: Name, Journaling, Width, Height")
	return true
}

// emptied reports a column with nothing in it: at a desk, what it had has been put into another.
func (s *Sheet) emptied(c *Column) bool {
	for _, cell := range s.below(c) {
		if !blank(cell) {
			return false
		}
	}
	return true
}

// noteStockSaid tells of a stock that the sheet's name says, or the file's, where a row names none and is printed on the usual one.
func (s *Sheet) noteStockSaid(settings *config.Settings) {
	if s.stockTold || s.Desk {
		return
	}
	s.stockTold = true
	_, stem := s.fileName()
	for _, of := range []struct{ name, what string }{{s.Name, "the sheet's name"}, {stem, "the file's name"}} {
		stock, sure, ok, _ := findStock(of.name, settings)
		if whole := allIn(strings.Fields(plainLetters(stock.Name)), strings.Fields(plainLetters(of.name))); ok && (sure || whole) { // not "plain"
			if stock.Name != settings.Default {
				s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("blocks that name no stock are printed on %s, and %s says %s", settings.Default, of.what, stock.Name), "",
					fmt.Sprintf("if they are for %s, say so in a column Stock", stock.Name))
			}
			return
		}
	}
}

// addresses is the first cell of a column that holds how people are addressed, and nothing else; "": it holds anything else, or nothing.
func (s *Sheet) addresses(c *Column) (first string) {
	for _, cell := range s.below(c) {
		if blank(cell) {
			continue
		}
		if !slices.Contains(ofAddress, plainLetters(cell.Text)) {
			return ""
		}
		if first == "" {
			first = strings.TrimSpace(cell.Text)
		}
	}
	return first
}

// ofAddress are what people are addressed by, before their names.
var ofAddress = []string{"mr", "mrs", "ms", "miss", "mx", "dr", "prof", "sir", "madam", "rev", "herr", "frau", "mme", "mlle", "m", "sr", "sra", "sig", "dhr", "mevr", "pan", "pani"}
