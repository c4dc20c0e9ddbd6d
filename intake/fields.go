package intake

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf16"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// build makes the block, or holds the row back.
func (e *entry) build() {
	b := Block{Place: e.place(nil), Type: e.settings.Type, Font: e.settings.Type.Font, Copies: 1, Turn: true}
	if e.overflows() {
		e.unreadAbove()
		e.hold(&b)
		return
	}
	e.cutShort()
	for i := range headings {
		if read := headings[i].read; read != nil {
			read(e, &b)
		}
	}
	if e.spaced && e.stocked {
		e.fits(&b)
	}
	e.beyond(&b)
	e.noteUnit()
	if c, col := e.cell(asNote); c != nil && !c.Covered {
		e.sheet.problems.ToOrganiser(e.place(col), "a note from "+cmp.Or(b.Owner, "somebody")+": "+measure.Quote(line(shows(c))), "it is for you and is not printed", "")
	}
	if len(e.wrong) > 0 || e.takes {
		e.job.above[b.Place] = e.ownAbove()
	}
	if len(e.wrong) > 0 {
		e.failed += len(e.wrong)
		why := e.wrong[0]
		if n := len(e.wrong) - 1; n > 0 {
			why += fmt.Sprintf(" (and %d more)", n)
		}
		e.job.Held = append(e.job.Held, Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: why, Read: &b})
		if e.open && slices.ContainsFunc(e.wordings(&b), func(text string) bool { return text != "" }) {
			e.rows[b.Place.File]++
			e.compare(&b, true)
		}
		return
	}
	e.pageOrStock(&b)
	e.rows[b.Place.File]++
	e.copied += b.Copies
	e.doubts(&b)
	e.job.Blocks = append(e.job.Blocks, b)
}

// sums are words of names that stand before the sums of a table.
var sums = wordsOf("total totals sum sums subtotal average avg count blocks summe gesamt insgesamt somme totale totaal suma")

// besideSums are words that stand beside those.
var besideSums = wordsOf("grand no nr number of in all general the")

// aSum reports a name that may be that of a sum: it has no other words, or one that is no name.
func aSum(name string) bool {
	words := strings.Fields(plainLetters(name))
	other := slices.ContainsFunc(words, func(w string) bool { return !sums[w] && !besideSums[w] && strings.Trim(w, "0123456789") != "" })
	return slices.ContainsFunc(words, func(w string) bool { return sums[w] && !other || w == "total" || w == "totals" || w == "subtotal" })
}

var (
	example = regexp.MustCompile(`(?i)^\W*(example|sample|e\.g\.|eg\b|for example|beispiel|exemple|(?:your|first|full)\W+name\b|(?:jane|john) doe\b|max mustermann)`)

	// aCount is a number, with what is counted: "12", "12 blocks", "two".
	aCount = regexp.MustCompile(`(?i)^\W*(?:[0-9][0-9.,]*|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\W*(?:blocks?|texts?|rows?|pieces?|entries|people|persons|in all|altogether)?\W*$`)
)

// aNumber reports a cell that holds a number, and at most what is counted.
func aNumber(c *table.Cell) bool {
	return c.Kind == table.Number || len(c.Text) < 50 && aCount.MatchString(c.Text)
}

// owner reads the name and gives the block its code.
func (e *entry) owner(b *Block) {
	_, col := e.cell(asName)
	first, last, same := e.names()
	name := strings.TrimSpace(first + " " + last)
	above := e.aboveIt().owner
	if e.aboveIt().nameless {
		above = ""
	}
	if same && name != "" {
		e.note(col, fmt.Sprintf("%s is taken for %s, the name above", measure.Quote(e.typedName()), measure.Quote(name)), "",
			"type the name if somebody else is meant")
	}
	if name == "" || noName(name) {
		e.nobodyAbove()
		if len(e.wrong) == 0 {
			hint := "type whose page it is for"
			if above != "" {
				hint += fmt.Sprintf("; the row above is %s", measure.Quote(above))
			}
			e.fail(col, "the name is missing", "nobody could be given the block back", hint)
		}
		return
	}
	e.quotedMail(col, name)
	e.misread(col, name)
	if aFormula.MatchString(name) {
		e.noteAside(col, fmt.Sprintf("%s is taken for the name of a person", measure.Quote(name)), "it reads like a formula", "type the name")
	} else if !strings.ContainsFunc(name, unicode.IsLetter) {
		e.noteAside(col, fmt.Sprintf("%s is taken for the name of a person", measure.Quote(name)), "there is no letter in it", "type the name, or delete the row if it is none of a block")
	}
	switch c, _ := e.cell(asJournaling); {
	case aSum(name) && (c == nil || aNumber(c)):
		e.fail(col, fmt.Sprintf("the row of %s looks like the sum of a table", measure.Quote(name)), "it has a number for its text", "delete the row, or type whose it is and a text")
	case allPeople.MatchString(name):
		e.note(col, fmt.Sprintf("%s is taken for the name of one person", measure.Quote(name)), "", "if each person gets one, write a row for each, or ask for as many copies")
	case example.MatchString(name):
		e.note(col, fmt.Sprintf("the row of %s looks like an example", measure.Quote(name)), "it is printed like the others", "delete it unless it is meant")
	case oneself.MatchString(name):
		e.noteAside(col, fmt.Sprintf("%s is taken for the name of a person", measure.Quote(name)), "", "type the name of whoever typed it")
	case countOfName.MatchString(name):
		e.noteAside(col, fmt.Sprintf("%s is taken for a name as a whole", measure.Quote(name)), "", "if the number is one of copies, type it in a column Copies")
	}
	e.doubted(col, name)
	w, fresh, variant := e.owners.find(name)
	if variant {
		e.note(col, fmt.Sprintf("%s is taken for %s", measure.Quote(name), measure.Quote(w.name)),
			"the names differ only in letter case, spaces or accents",
			"if they are two people, add a second name to one of them")
	}
	if fresh && !e.again {
		if other, why := e.owners.like(w); other != nil {
			e.note(col, fmt.Sprintf("%s and %s are kept apart", measure.Quote(name), measure.Quote(other.name)), why,
				"if they are one person, write both alike")
		}
	}
	b.Owner, b.Code = w.name, e.code(w)
	e.isAbove(w.name, first, last, same)
}

// page reads for which page the block is.
func (e *entry) page(b *Block) {
	b.Page = e.oneLine(asPage, mostLine)
	if b.Page != "" {
		_, col := e.cell(asPage)
		e.misread(col, b.Page)
	}
	if c, col := e.cell(asPage); c != nil && c.Kind == table.Date {
		if sizes := c.Moment().Sizes(); len(sizes) > 0 {
			e.note(col, fmt.Sprintf("the page became a date: %s", c.Text),
				"spreadsheets make a date of what was typed as "+strings.Join(sizes, " or "),
				"format the cell as text and type it again if it is a number of pages")
		}
	}
}

// quotedMail notes what begins as mail quotes it: it is printed so.
func (e *entry) quotedMail(col *Column, text string) {
	if col != nil && strings.HasPrefix(strings.TrimSpace(text), ">") {
		e.once(col, "what begins with “>” is printed so", "mail puts that sign before what it quotes", "take it off where it is not meant")
	}
}

// text reads the journaling.
func (e *entry) text(b *Block) {
	c, col := e.cell(asJournaling)
	wrong := len(e.wrong)
	switch {
	case c == nil:
		e.noText(col)
	case !e.readable(c, col):
	case len(c.Text) > mostText && (utf8.RuneCountInString(c.Text) > mostText || len(utf16.Encode([]rune(c.Text))) > mostUnits):
		e.fail(col, fmt.Sprintf("the text is %d characters long", utf8.RuneCountInString(c.Text)),
			fmt.Sprintf("no sheet holds more than about %d in letters that can be read", mostText),
			"shorten it, or part it over several blocks")
	default:
		b.Text = paragraphs(c, e.sheet.CSV)
		if len(b.Text) == 0 {
			e.fail(col, "the journaling is missing", "there are only markup signs in the cell", "type the text, or leave the block out")
		} else if !strings.ContainsFunc(flat(b.Text), seen) {
			e.fail(col, "there is no text", "the cell holds nothing that can be seen", "type the text, or leave the block out")
		}
		e.placeholder(col, c.Text)
		e.quotedMail(col, c.Text)
		e.misread(col, c.Text)
		if e.sheet.CSV && strings.Contains(c.Text, `\"`) {
			e.once(col, `\" is printed so`, "a program wrote a quotation mark so that stands within quotation marks, and spreadsheet programs double it", `correct it: "" in the file, or " in a spreadsheet program`)
		}
		if text := line(flat(b.Text)); len(text) < 30 && (ditto(text) || saysNothing(text) || e.set > 0 && strings.HasSuffix(strings.TrimSpace(col.Heading), "?") && answered(text)) { // 2nd text? no
			e.fail(col, "there is no text but "+measure.Quote(text), "the journaling is printed as it is typed", "type or copy the text itself, or leave the block out")
		}
		if what := elsewhere(flat(b.Text)); what != "" {
			e.fail(col, "there is no text but "+what, "only what is typed in the cell can be printed", "type the text itself")
		}
		if len(e.wrong) == wrong {
			e.toOrganiser(col, flat(b.Text))
		}
	}
}

// title reads the heading line.
func (e *entry) title(b *Block) {
	b.Title = e.oneLine(asTitle, mostLine)
	if e.sheet.CSV {
		b.Title = flat([]Paragraph{parseMarkup(b.Title)})
	}
	if c, col := e.cell(asTitle); c != nil {
		e.placeholder(col, c.Text)
		e.misread(col, b.Title)
		e.toOrganiser(col, b.Title)
	}
}

// closing reads who, where and when.
func (e *entry) closing(b *Block) {
	var end []string
	for _, m := range []meaning{asWho, asWhere, asWhen} {
		if w := e.oneLine(m, mostLine); w != "" {
			end = append(end, w)
			b.EndIn = append(b.EndIn, m.String())
			_, col := e.cell(m)
			e.misread(col, w)
			e.noLine(m, col, w)
		}
		if c, col := e.cell(m); c != nil {
			e.placeholder(col, c.Text)
		}
	}
	b.End = strings.Join(end, EndSign)
}

func (e *entry) placeholder(col *Column, text string) {
	if p := placeholder(text); p != "" {
		hint := "fill it in"
		if strings.Trim(p, "xX") == "" {
			hint += "; kisses are written xxx, a number as a number"
		}
		e.fail(col, fmt.Sprintf("%s is still to be filled in", measure.Quote(p)), "it stands where somebody meant to write something later", hint)
	}
}

// measured reads the space.
func (e *entry) measured(b *Block) { e.spaced = e.space(b) }

// stock finds the row's stock, and what it brings: tuck, inset, what shows behind the ink.
func (e *entry) stock(b *Block) {
	c, col := e.cell(asStock)
	name := e.settings.Default
	if c != nil {
		if name = e.oneLine(asStock, mostLine); name == "" {
			return
		}
	} else {
		e.sheet.noteStockSaid(e.settings)
	}
	f := e.findStock(name)
	stock, near := f.stock, f.near
	if !f.ok {
		hint := "the stocks are " + e.listOfStocks()
		if near != "" {
			hint = fmt.Sprintf("did you mean %s? ", measure.Quote(near)) + hint
		}
		e.fail(col, fmt.Sprintf("there is no stock %s", measure.Quote(name)), "", hint)
		return
	}
	if !f.sure {
		e.once(col, fmt.Sprintf("the stock %s is taken for %s", measure.Quote(name), measure.Quote(stock.Name)),
			"no stock is called exactly so, and no other is near", "write "+measure.Quote(stock.Name)+" if that is meant, else another of the stocks")
	}
	b.Stock, b.Tuck, b.Inset, b.Back = stock.Name, stock.Tuck, stock.Inset, stock.Colour
	e.onStock, e.stocked = stock, true
}

// tuck reads the blank paper along the edges that takes the adhesive.
func (e *entry) tuck(b *Block) {
	text, col, ok := e.edges(asTuck, "tuck")
	if !ok {
		return
	}
	if tuck, err := parseTuck(text, e.unit(col), e.onStock.Tuck); err == errSomeUnits {
		e.unitOfEdges(col, text)
	} else if err != nil {
		e.fail(col, fmt.Sprintf("%s is no tuck", measure.Quote(text)), "",
			"type a measure for a tuck on top, like 1/2 in, or name the edges, like top 1/2 left 1/4, or none")
	} else if min(tuck.Left, tuck.Top, tuck.Right, tuck.Bottom) < 0 {
		e.fail(col, "the tuck is less than 0", "", "type it without the minus, or none")
	} else {
		if cause, hint := oddlyMuch(text); hint != "" {
			what := fmt.Sprintf("the tuck %s has a fraction of one or more", measure.Quote(line(text)))
			if minus.MatchString(text) {
				what = fmt.Sprintf("the tuck %s is read as %s", measure.Quote(line(text)), sidesAsTyped(tuck, e.unit(col)))
			}
			e.note(col, what, cause, hint)
		}
		e.oddEdges(b, col, text, tuck, "tuck")
		b.Tuck = tuck
	}
}

// edges is what a cell says of the edges of a block; false: nothing, or what was told to be wrong.
func (e *entry) edges(m meaning, name string) (text string, col *Column, ok bool) {
	c, col := e.cell(m)
	if c == nil || !e.stocked || !e.readable(c, col) || e.unitLeftOpen(c, col) {
		return "", col, false
	}
	if c.Kind == table.Date {
		e.wasMeasure(col, name, c.Moment())
		return "", col, false
	}
	if e.unitUnknown(c, col) {
		return "", col, false
	}
	text = c.ExactText() + c.OtherUnit()
	if named, of := e.sideNotIn(e.unit(col)); of != nil && bare(&table.Cell{Text: text}) && plainLetters(text) != "0" {
		e.note(col, fmt.Sprintf("the %s is read as %s %s, though the space is in %s", name, line(text), e.unit(col), named),
			"the "+name+" has no unit of its own", "type the unit beside it")
	}
	if named := namedUnit(&table.Cell{Text: text}); named != "" && named != e.unit(col).String() {
		for side, of := range e.sides() {
			if bare(side) && of.Unit == "" && e.unit(of).String() != named {
				e.note(of, fmt.Sprintf("%s is read as %s, though the %s is in %s", measure.Quote(line(side.ExactText())), e.unit(of), name, named),
					"the space has no unit of its own", "type the unit beside it")
				break
			}
		}
	}
	return text, col, true
}

// oddEdges tells of a yes that comes to nothing, of edges wider than the space and of fractions of a millimetre.
func (e *entry) oddEdges(b *Block, col *Column, text string, s measure.Sides, name string) {
	if e.again {
		return
	}
	unit := e.unit(col)
	switch yes, _ := parseYes(text); {
	case yes && s == (measure.Sides{}):
		e.once(col, fmt.Sprintf("%s gives no %s to a block on %s", measure.Quote(line(text)), name, b.Stock), fmt.Sprintf("%s usually has none", b.Stock), "type a measure, like 1/2 in, where one is wanted")
	case b.Space.W > 0 && b.Space.H > 0 && (max(s.Left, s.Right) > b.Space.W || max(s.Top, s.Bottom) > b.Space.H):
		e.note(col, fmt.Sprintf("the %s %s is wider than the space, %s", name, measure.Quote(line(text)), b.Space.About(b.Unit)), "", "check the measure and its unit")
	case unit == measure.Mm && strings.ContainsAny(text, "/½¼¾⅛⁄") && bareFraction.MatchString(text):
		e.note(col, fmt.Sprintf("the %s %s is read as %s", name, measure.Quote(line(text)), sidesAsTyped(s, unit)), "fractions are seldom measured in millimetres", "type the unit beside it, like 1/8 in")
	}
}

// bareFraction matches edges without a unit of their own.
var bareFraction = regexp.MustCompile(`^[^"″”]*[\d½¼¾⅛][^\pL"″”]*$`)

// unitOfEdges asks in what the edges are where one has a unit and another has none.
func (e *entry) unitOfEdges(col *Column, text string) {
	e.fail(col, fmt.Sprintf("it cannot be told in what unit %s is", measure.Quote(line(text))), errSomeUnits.Error(), "type the unit at each edge")
}

// inset reads the blank border around the text.
func (e *entry) inset(b *Block) {
	text, col, ok := e.edges(asInset, "inset")
	if !ok {
		return
	}
	if lower := strings.ToLower(text); !sideWord.MatchString(lower) && !someSides.MatchString(lower) { // 1/4 at the edges
		text = strings.TrimSpace(theEdges.ReplaceAllString(text, " "))
	}
	inset, err := parseTuck(text, e.unit(col), e.onStock.Inset)
	if yes, said := parseYes(text); err == nil && (!said || !yes || plainLetters(text) == "1") && !sideWord.MatchString(strings.ToLower(text)) {
		inset = measure.Same(inset.Top) // a lone measure is for all edges
	}
	switch {
	case err == errSomeUnits:
		e.unitOfEdges(col, text)
	case err != nil:
		e.fail(col, fmt.Sprintf("%s is no inset", measure.Quote(text)), "", "type a measure for all edges, like 1/4 in, or name the edges, like left 1/2 right 1/2")
	case min(inset.Left, inset.Top, inset.Right, inset.Bottom) < 0:
		e.fail(col, "the inset is less than 0", "", "type it without the minus, or none")
	default:
		e.oddEdges(b, col, text, inset, "inset")
		b.Inset = inset
	}
}

// listOfStocks names the stocks, or the first of very many.
func (e *entry) listOfStocks() string {
	var names []string
	for i, s := range e.settings.Stocks {
		if more := len(e.settings.Stocks) - i; i == 20 && more > 1 {
			names = append(names, fmt.Sprintf("and %d more", more))
			break
		}
		names = append(names, s.Name)
	}
	return strings.Join(names, ", ")
}

// align reads where the text stands.
func (e *entry) align(b *Block) {
	if c, col := e.cell(asAlign); c != nil && e.readable(c, col) && !parseAlign(c.Text, &b.Type) {
		e.fail(col, fmt.Sprintf("%s does not say where the text is to stand", measure.Quote(c.Text)), "",
			"write left, centre, right or justified, and top, middle or bottom if you like")
	} else if c != nil {
		e.doubted(col, c.Text)
	}
}

// ink reads the colour of the letters.
func (e *entry) ink(b *Block) {
	if c, col := e.cell(asInk); c != nil && e.readable(c, col) {
		if colour, near, ok := e.inkOf(c.Text); !ok {
			hint := "write a plain name, like dark blue, or a number like #204080"
			if near != "" {
				hint = fmt.Sprintf("did you mean %s? ", measure.Quote(near)) + hint
			}
			e.fail(col, fmt.Sprintf("%s is no colour that is known here", measure.Quote(c.Text)), "", hint)
		} else if colour.LeavesNoInk() {
			e.fail(col, "white ink cannot be printed", "printers have no white ink; the paper stays as it is", "choose another colour")
		} else {
			b.Type.Ink = colour
		}
	}
}

// pageColour reads what shows through clear stock.
func (e *entry) pageColour(b *Block) {
	if c, col := e.cell(asPageColour); c != nil && e.readable(c, col) {
		if colour, _, ok := e.inkOf(c.Text); ok {
			if e.stocked && e.onStock.ShowsPage {
				b.Back = colour
			}
		} else {
			e.note(col, fmt.Sprintf("%s is no colour that is known here", measure.Quote(c.Text)),
				"whether the ink can be read on the page is not checked",
				"write a plain name, like dark blue, or a number like #204080")
		}
	}
}

// turn reads whether the block may be turned on the sheet.
func (e *entry) turn(b *Block) {
	e.yes(asTurn, &b.Turn, "write yes where the block may be turned on the sheet to save paper, else no")
}

// yes reads a column that takes yes or no.
func (e *entry) yes(as meaning, to *bool, hint string) {
	if c, col := e.cell(as); c != nil && e.readable(c, col) {
		yes, ok := parseYes(c.Text)
		if *to = yes; !ok {
			e.fail(col, fmt.Sprintf("%s is neither yes nor no", measure.Quote(c.Text)), "", hint)
		} else {
			e.doubted(col, c.Text)
		}
	}
}

// font reads the wished font.
func (e *entry) font(b *Block) {
	if f := e.oneLine(asFont, mostLine); f != "" {
		b.Font = f
	}
}

// inkOf is config.ParseColour for a cell's text, looked up once.
func (b *builder) inkOf(text string) (colour config.Colour, near string, ok bool) {
	i, known := b.inks[text]
	if !known {
		name := ""
		if i.colour, name, i.ok = parseInk(text); !i.ok && b.unknownInks < mostSought {
			b.unknownInks++
			_, i.near, _ = config.ParseColour(name)
		}
		b.inks[text] = i
	}
	return i.colour, i.near, i.ok
}

// size reads the wished type size, which is the largest for this block.
func (e *entry) size(b *Block) {
	c, col := e.cell(asSize)
	if c == nil || !e.readable(c, col) {
		return
	}
	if c.Kind == table.Date {
		e.fail(col, "the size became a date: "+c.Text, "the column is for the size of the letters, in points", "type it like 12 or 10.5")
		return
	}
	text := c.ExactText()
	l, err := measure.Parse(text, measure.Pt)
	const largest = 500 * measure.Point
	least := cmp.Or(b.Type.Smallest, 7*measure.Point)
	switch {
	case err != nil:
		e.fail(col, fmt.Sprintf("%s is no size of letters", measure.Quote(text)),
			"the column is for the largest size that the letters may have, in points",
			"type a number like 12 or 10.5, or leave the cell empty for the largest that fits")
	case l < least:
		e.fail(col, fmt.Sprintf("the size %s is smaller than the smallest that is printed, %s", l.Format(measure.Pt),
			least.Format(measure.Pt)),
			"smaller letters can hardly be read", "leave the cell empty, or have the smallest size changed in the configuration")
	case l > largest:
		e.fail(col, fmt.Sprintf("the size %s is larger than any letter here, %s", l.Format(measure.Pt),
			largest.Format(measure.Pt)), "the column is for the size of the letters, in points", "type a number like 12 or 10.5")
	default:
		b.Type.Wished = l / config.TypeStep * config.TypeStep
	}
}

func (e *entry) copies(b *Block) {
	c, col := e.cell(asCopies)
	if c == nil || !e.readable(c, col) {
		return
	}
	n, ok := countIn(c)
	switch {
	case !ok:
		e.fail(col, fmt.Sprintf("%s is no number of copies", measure.Quote(c.Text)), "",
			"type a whole number, like 2, or leave the cell empty for one")
	case n == 0:
		e.fail(col, "the number of copies is 0", "", "type how many are wanted, or leave the block out")
	case n > 999:
		e.fail(col, fmt.Sprintf("%d copies are more than one job prints", n), "at most 999 can be asked for", "check the number")
	default:
		b.Copies = n
	}
}

// mostCopies is how many blocks a run makes, each counted as often as it is asked for: a few thousand sheets of paper, and what 10 seconds and 400 MB
// suffice for.
const mostCopies = 100_000

// beyond holds back a row for which a run has no more room.
func (e *entry) beyond(b *Block) {
	if e.copied+b.Copies <= mostCopies || len(e.wrong) > 0 {
		return
	}
	_, col := e.cell(asCopies)
	p := problem.Problem{Place: e.place(col), Kind: problem.ForOrganiser, What: "these are too many copies for one run, which makes 100,000 blocks at most",
		Cause: "each copy counts, and the rows before have the room",
		Hint:  "print in parts, with these rows in a file of their own and in another run, or ask for fewer copies"}
	e.wrong = append(e.wrong, p.What)
	e.sheet.problems = append(e.sheet.problems, p)
}

// doubts asks about what may be forgotten or double; nothing of it holds the block back.
func (e *entry) doubts(b *Block) {
	_, col := e.cell(asJournaling)
	text := flat(b.Text)
	all := b.Title + ". " + text
	when, _ := e.cell(asWhen)
	who, _ := e.cell(asWho)
	where, _ := e.cell(asWhere)
	noDate := when == nil && !dated(all) && e.settings.Advice.Dates
	noOne := who == nil && where == nil && !namesSomebody(all) && e.settings.Advice.People
	what := ""
	switch {
	case noDate && noOne:
		what = "the text has no date, and names nobody and no place"
	case noDate:
		what = "the text has no date"
	case noOne:
		what = "the text names nobody and no place"
	}
	if what != "" {
		e.sheet.problems.Advise(e.place(col), what, "", "ask whether that is meant")
	}
	e.compare(b, false)
}
