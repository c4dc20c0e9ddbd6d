package intake

import (
	"cmp"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// space reads the space: a size in one cell, or width and height.
func (e *entry) space(b *Block) bool {
	c, col := e.cell(asSpace)
	wide, wcol := e.cell(asWidth)
	high, hcol := e.cell(asHeight)
	b.Unit = e.measuredIn(c, col, wide, wcol)
	if c == nil && wide != nil && high == nil && wide.Kind == table.Text {
		if _, err := wcol.size(wide.Text, e.unit(wcol)); err == nil { // 4 x 2 in the Width column
			c, col, wide = wide, wcol, nil
		}
	}
	if c == nil {
		w, okW := e.side(wide, wcol, "width")
		h, okH := e.side(high, hcol, "height")
		b.Space = measure.Size{W: w, H: h}
		if okW && okH {
			e.units(wide, high, wcol, hcol, b.Space)
			e.otherSets(wide, wcol)
			e.otherSets(high, hcol)
		}
		return okW && okH
	}
	if !e.readable(c, col) || e.unitLeftOpen(c, col) {
		return false
	}
	if c.Kind == table.Date {
		e.wasMeasure(col, "space", c.Moment())
		return false
	}
	s, err := col.size(c.Text, e.unit(col))
	if err != nil {
		e.measureError(col, err)
		return false
	}
	if e.oddFraction(col, c.Text) || e.unitUnknown(c, col) {
		return false
	}
	if !e.positive(col, s.W, "width") || !e.positive(col, s.H, "height") {
		return false
	}
	e.oddSize(c, col, s)
	e.otherSets(c, col)
	b.Space = s
	for _, o := range []struct {
		c    *table.Cell
		col  *Column
		l    measure.Length
		name string
	}{{wide, wcol, s.W, "width"}, {high, hcol, s.H, "height"}} {
		if o.c == nil {
			continue
		}
		l, ok := e.side(o.c, o.col, o.name)
		if !ok {
			return false
		}
		if l != o.l {
			e.fail(o.col, fmt.Sprintf("the %s %s is not that of the space %s", o.name, l.Format(b.Unit), measure.Quote(c.Text)),
				"the row gives the space twice, and differently", "delete one of the two")
			return false
		}
	}
	return true
}

// measuredIn is the unit that a person measures in: the one that the cell names, else its column's.
func (e *entry) measuredIn(space *table.Cell, col *Column, wide *table.Cell, wcol *Column) measure.Unit {
	if space == nil {
		space, col = wide, wcol
	}
	if space != nil {
		if u, ok := measure.ParseUnit(namedUnit(space)); ok && u != measure.Pt {
			return u
		}
	}
	if u := e.unit(col); u != measure.Pt {
		return u
	}
	return e.settings.Unit
}

// units points out a row where one side has its unit and the other has none, and is read in another.
func (e *entry) units(wide, high *table.Cell, wcol, hcol *Column, s measure.Size) {
	w, h := namedUnit(wide), namedUnit(high)
	switch {
	case w != "" && h == "" && w != e.unit(hcol).String():
		e.note(hcol, fmt.Sprintf("the height is read as %s, though the width is in %s", s.H.Format(e.unit(hcol)), w),
			"the height has no unit of its own", "type the unit beside both")
	case h != "" && w == "" && h != e.unit(wcol).String():
		e.note(wcol, fmt.Sprintf("the width is read as %s, though the height is in %s", s.W.Format(e.unit(wcol)), h),
			"the width has no unit of its own", "type the unit beside both")
	}
}

// mostMeasure is how long a measure may be, in bytes.
const mostMeasure = 200

// namedUnit is the unit that a cell itself names, or "".
func namedUnit(c *table.Cell) string {
	text := c.ExactText()
	if len(text) > mostMeasure {
		return "" // no measure is so long, and many cells may share a text
	}
	if m := sideSaid.FindStringSubmatch(text); m != nil { // 4 in wide
		text = m[1]
	}
	last := strings.LastIndexFunc(text, unicode.IsNumber) // ½ is one, too
	_, size := utf8.DecodeRuneInString(text[max(0, last):])
	if u, ok := measure.ParseUnit(text[max(0, last)+size:]); ok {
		return u.String()
	}
	return ""
}

// side reads a width or a height.
func (e *entry) side(c *table.Cell, col *Column, name string) (measure.Length, bool) {
	if c == nil {
		e.fail(col, "the "+name+" is missing", "", "measure the space on the page and type its "+name)
		return 0, false
	}
	if !e.readable(c, col) || e.unitLeftOpen(c, col) {
		return 0, false
	}
	l, ok := e.length(c, col, name)
	return l, ok && e.positive(col, l, name)
}

// length reads a measure as a person saw it in the cell.
func (e *entry) length(c *table.Cell, col *Column, name string) (measure.Length, bool) {
	text := c.Text
	switch c.Kind {
	case table.Date:
		e.wasMeasure(col, name, c.Moment())
		return 0, false
	case table.Number:
		text = c.ExactText() + c.OtherUnit()
	default:
		text = bareMeasure(text)
		if m, ok := table.ParseDate(text); ok {
			e.wasMeasure(col, name, m)
			return 0, false
		}
	}
	l, err := measure.Parse(text, e.unit(col))
	if m := sideSaid.FindStringSubmatch(text); err != nil && m != nil { // 4 in wide
		if side := sideWords[strings.ToLower(m[2])]; side != name && (name == "width" || name == "height") {
			e.fail(col, fmt.Sprintf("%s is a %s, and the column %s has the %s", measure.Quote(line(text)), side, measure.Quote(col.Heading), name), "", "type the "+name+" there, and the "+side+" in its own column")
			return 0, false
		}
		if said, bad := measure.Parse(m[1], e.unit(col)); bad == nil {
			l, err = said, nil
		}
	}
	if err != nil {
		bare := strings.Trim(text, " ()[]")
		if _, unit := measure.ParseUnit(bare[:min(len(bare), mostMeasure)]); unit {
			e.fail(col, measure.Quote(line(text))+" is a unit without a measure", "a row of units below the headings is not read, and a bare number takes the unit of its heading",
				fmt.Sprintf("put the unit into the heading, like %s (%s), or beside each measure", col.Heading, bare))
			return 0, false
		}
		e.measureError(col, err)
		return 0, false
	}
	if e.oddFraction(col, text) || e.unitUnknown(c, col) {
		return 0, false
	}
	if cause, hint := oddlyMuch(text); hint != "" {
		e.note(col, fmt.Sprintf("the %s %s is read as %s", name, measure.Quote(text), l.Format(e.unit(col))), cause, hint)
	}
	return l, true
}

// unitUnknown asks in what a bare number is where that is left open.
func (e *entry) unitUnknown(c *table.Cell, col *Column) bool {
	why := e.unitOpen(c, col)
	if why == "" {
		return false
	}
	e.fail(col, fmt.Sprintf("it cannot be told in what unit %s is", measure.Quote(line(c.ExactText()))), why, "type the unit beside the number, or have one unit named, like Width (cm)")
	return true
}

// unitLeftOpen asks in what a number is behind which plainly has put a question mark, or a person.
func (e *entry) unitLeftOpen(c *table.Cell, col *Column) bool {
	text, left := strings.CutSuffix(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(c.ExactText()), sidesSwapped)), unitAsked)
	if !left || len(text) > mostMeasure || !bare(&table.Cell{Text: text}) {
		return false
	}
	e.fail(col, fmt.Sprintf("it cannot be told in what unit %s is", measure.Quote(line(text))), "a question mark stands behind it", "type the unit there instead, like "+line(text)+" cm or "+line(text)+" in")
	return true
}

// oddlyMuch finds a fraction of one or more in a measure or a size, since 11/2 may be 1 1/2, or a sign that may be a minus, and says what to do; "": there is
// none.
func oddlyMuch(text string) (cause, hint string) {
	if m := minus.FindStringSubmatch(text); m != nil {
		return "the sign in it may be a minus", fmt.Sprintf("type it without the sign, like %s %s, or as what is left", m[1], m[2])
	}
	for _, m := range improper.FindAllStringSubmatch(text, -1) {
		over, _ := strconv.Atoi(m[1])
		if of, _ := strconv.Atoi(m[2]); over >= of {
			return "a fraction of one or more is seldom measured; it may be a whole number and a fraction that lost its middle", "type it as it stands on the ruler, like " + m[1] + " 1/2"
		}
	}
	return "", ""
}

// oddSize tells of a size with such a fraction.
func (e *entry) oddSize(c *table.Cell, col *Column, s measure.Size) {
	if cause, hint := oddlyMuch(c.Text); hint != "" {
		e.note(col, fmt.Sprintf("the space %s is read as %s", measure.Quote(line(c.Text)), s.Format(e.unit(col))), cause, hint)
	}
}

// bareMeasure is a measure without an apostrophe or ="...", by which some keep a spreadsheet from making a date of it.
func bareMeasure(text string) string {
	text = strings.TrimPrefix(strings.TrimSpace(text), "'")
	if m := kept.FindStringSubmatch(text); m != nil {
		return m[1]
	}
	return text
}

var (
	kept     = regexp.MustCompile(`^="([^"]*)"$`)
	minus    = regexp.MustCompile(`(\d)(?:\s+[-–—]\s*|[-–—]\s+|\s*−\s*)(\d+/\d+)`)
	improper = regexp.MustCompile(`(?i)(?:^|[^0-9/⁄. ] *)([0-9]+)[/⁄]([0-9]+)`)
)

var (
	sideSaid  = regexp.MustCompile(`(?i)^(.*[^a-z])(wide|w|width|across|high|h|height|tall|down)[ .]*$`)
	sideWords = map[string]string{"wide": "width", "w": "width", "width": "width", "across": "width", "high": "height", "h": "height", "height": "height", "tall": "height", "down": "height"}

	sidesNamed = regexp.MustCompile(`(?i)(?:[^a-z]|^)(?:w|h|wide|high|tall|width|height)(?:[^a-z]|$)`)
	twoNumbers = regexp.MustCompile(`[0-9].*[^0-9].*[0-9]`)
)

// sidesSwapped is behind a size that could not be read and has its height first, where that was written down elsewhere: whoever mends it goes on from there.
const sidesSwapped = " (h x w)"

// size reads a size below a heading that may say that the height comes first. Where the cell names its sides, or a size of paper, that is how they are.
func (c *Column) size(text string, u measure.Unit) (measure.Size, error) {
	text, swapped := strings.CutSuffix(text, sidesSwapped)
	s, err := measure.ParseSize(text, u)
	if err == nil && (swapped || c.swaps(text)) {
		s.W, s.H = s.H, s.W
	}
	return s, err
}

// sideNamed are words of a heading for a side: 'h' for the height, 'w' for the width, 'l' for a length, which is taken for the height.
var sideNamed = map[string]byte{"h": 'h', "height": 'h', "high": 'h', "tall": 'h', "down": 'h', "vertical": 'h', "hohe": 'h', "hauteur": 'h', "alto": 'h', "altezza": 'h', "hoogte": 'h',
	"w": 'w', "width": 'w', "wide": 'w', "across": 'w', "horizontal": 'w', "breite": 'w', "largeur": 'w', "ancho": 'w', "larghezza": 'w', "breedte": 'w', "l": 'l', "length": 'l', "long": 'l'}

// sidesInPairs are words that say a side only beside another one: h x b, ht. x wd., up x across. In H x L the L is a width: largeur, larghezza.
var sidesInPairs = map[string]byte{"ht": 'h', "hgt": 'h', "hght": 'h', "vert": 'h', "vertically": 'h', "up": 'h', "downwards": 'h', "depth": 'h', "deep": 'h', "hoch": 'h', "hoog": 'h', "haut": 'h', "altura": 'h', "høyde": 'h', "højde": 'h', "hojd": 'h', "wysokosc": 'h', "vyska": 'h', "korkeus": 'h',
	"wd": 'w', "wid": 'w', "wdth": 'w', "wt": 'w', "horiz": 'w', "horizontally": 'w', "breadth": 'w', "broad": 'w', "b": 'w', "br": 'w', "breit": 'w', "breed": 'w', "bred": 'w', "bredd": 'w', "bredde": 'w', "larg": 'w', "anchura": 'w', "largura": 'w', "szerokosc": 'w', "sirka": 'w', "leveys": 'w'}

// tabular are words that say a side only with x or by between them: a space may be one of rows and columns.
var tabular = map[string]byte{"rows": 'h', "cols": 'w', "columns": 'w'}

// sidesSaid writes what people say for a side in several words as one.
var sidesSaid = strings.NewReplacer("top to bottom", "height", "up and down", "height", "bottom to top", "height", "top bottom", "height", "top x bottom", "height", "left to right", "width", "side to side", "width", "left right", "width", "left x right", "width")

var (
	between = regexp.MustCompile(`\s*[×*/|]\s*`) // sides

	upright = regexp.MustCompile(`top (?:to |x )?bottom|up and down|bottom to top`)
	level   = regexp.MustCompile(`left (?:to |x )?right|side to side`)
)

// heightFirst reports a heading, or a line above, that names the height before the width, as h x w, and whether it calls it the length. Where it names
// them in pairs, the first pair counts.
func heightFirst(heading string) (first, asLength bool) {
	if len(heading) > longestSaying {
		return false, false
	}
	var words []string
	plain := plainLetters(between.ReplaceAllString(heading, " x "))
	if upright.MatchString(plain) && level.MatchString(plain) {
		plain = sidesSaid.Replace(plain)
	}
	for _, w := range strings.Fields(plain) {
		if len(w) == 3 && w[1] == 'x' { // hxw
			words = append(words, w[:1], "x", w[2:])
		} else {
			words = append(words, w)
		}
	}
	from, to := byte(0), byte(0) // the first that is named, and the first that is not on its side
	for i, w := range words {
		side, k := cmp.Or(sideNamed[w], sidesInPairs[w]), i+1
		if side != 0 && k < len(words) && words[k] == "first" && !(i > 0 && negates(words[i-1])) {
			return side != 'w', side == 'l'
		}
		if k < len(words) {
			paired := func(word string) byte { return cmp.Or(sideNamed[word], sidesInPairs[word]) }
			var known func(word string) byte
			switch next := words[k]; {
			case next == "or":
				known, k = func(word string) byte { return sideNamed[word] }, k+1
			case next == "and" || next == "then":
				known, k = paired, k+1
			case next == "x" || next == "by":
				known, k = func(word string) byte { return cmp.Or(paired(word), tabular[word]) }, k+1
			case len(w) == 1 && len(next) == 1 || sidesInPairs[w] != 0 && sidesInPairs[next] != 0 && w != "up" && next != "up": // h w; ht, wd
				known = paired
			}
			if known != nil && k < len(words) {
				switch one, other := known(w), known(words[k]); {
				case one == 'h' && other == 'l':
					return true, false
				case one != 0 && other != 0 && (other == 'w') != (one == 'w'):
					return one != 'w', one == 'l'
				}
			}
		}
		if side = sideNamed[w]; side == 0 {
			continue
		}
		if from == 0 {
			from = side
		} else if to == 0 && (side == 'w') != (from == 'w') {
			to = side
		}
	}
	return to == 'w', to == 'w' && from == 'l'
}

// swaps reports a text that has the height first because its heading says so.
func (c *Column) swaps(text string) bool {
	return c.heightFirst && (c.as == asSpace || c.as == asWidth) && twoNumbers.MatchString(text) && !sidesNamed.MatchString(text)
}

var (
	apart = regexp.MustCompile(`(\d) +/ *(\d)|(\d) */ +(\d)`)
	mixed = regexp.MustCompile(`(\d+)[ -]+(\d+) */ *(\d+)`)
	under = regexp.MustCompile(`\d+ */ *(\d+)`)
)

// rulers are the parts that rulers divide a unit into, and those of plain arithmetic.
var rulers = map[string]bool{"2": true, "3": true, "4": true, "5": true, "6": true, "8": true, "10": true, "12": true, "16": true, "32": true, "64": true}

// oddFraction asks about a fraction that nobody reads off a ruler: there was something else on the page.
func (e *entry) oddFraction(col *Column, text string) bool {
	const check = "look at the ruler again and type it like 4 1/2 or 4.5"
	if m := mixed.FindStringSubmatch(text); m != nil {
		over, _ := strconv.Atoi(m[2])
		if of, _ := strconv.Atoi(m[3]); over >= of {
			e.fail(col, fmt.Sprintf("%s has a fraction of one or more", measure.Quote(text)), "something of it was mistyped", check)
			return true
		}
	} else if m := apart.FindStringSubmatch(text); m != nil {
		e.fail(col, fmt.Sprintf("%s may be a size or a fraction", measure.Quote(text)), "with spaces about its stroke it may be width and height, or a whole number and a fraction that lost its middle", check)
		return true
	}
	for _, m := range under.FindAllStringSubmatch(text, -1) {
		if !rulers[m[1]] {
			e.fail(col, fmt.Sprintf("%s has a fraction that is on no ruler", measure.Quote(text)), fmt.Sprintf("no ruler divides a unit into %s parts", m[1]), check)
			return true
		}
	}
	return false
}

func (e *entry) measureError(col *Column, err error) {
	hint := ""
	if p := (*problem.Problem)(nil); errors.As(err, &p) {
		hint = p.Hint
	}
	e.fail(col, err.Error(), "", hint)
}

func (e *entry) positive(col *Column, l measure.Length, name string) bool {
	switch {
	case l == 0:
		e.fail(col, "the "+name+" is 0", "nothing fits a space without a "+name, "measure the space on the page again")
	case l < 0:
		e.fail(col, "the "+name+" is less than 0", "a space has no "+name+" below 0", "type it without the minus")
	}
	return l > 0
}

// wasMeasure explains a date where a measure should be: both what it is and what it may have been, and it guesses
// neither.
func (e *entry) wasMeasure(col *Column, name string, m table.Moment) {
	sizes := m.Sizes()
	if len(sizes) == 0 {
		e.fail(col, fmt.Sprintf("the %s is a time of day: %s", name, m), "", "type it like 4 1/2 or 4.5")
		return
	}
	likely := strings.ReplaceAll(sizes[0], "-", " ")
	e.fail(col, fmt.Sprintf("the %s became a date: %s", name, m),
		"spreadsheets make a date of what was typed as "+strings.Join(sizes, " or "),
		fmt.Sprintf("type it with its unit, like %s in or 4 1/2 in, or format the cell as text first", likely))
}

// fits holds back what no sheet of the stock can hold, and what leaves no room for ink.
func (e *entry) fits(b *Block) {
	col := e.sheet.columnOf(asSpace, e.set)
	if col == nil {
		col = e.sheet.columnOf(asWidth, e.set)
	}
	if b.Ink().Empty() {
		e.fail(col, "nothing of the space is left for the text", fmt.Sprintf("the blank border of %s takes all of %s",
			measure.Quote(b.Stock), b.Space.About(b.Unit)), "check the measures and their unit")
		return
	}
	sizes := e.stockSizes[b.Stock]
	if len(sizes) == 0 {
		return
	}
	holds := func(s measure.Size) bool {
		for _, o := range sizes {
			if s.WithinEitherWay(o) {
				return true
			}
		}
		return false
	}
	unit := b.Unit
	hint := "check the measures and their unit, or choose a stock with larger sheets"
	if small := (measure.Size{W: b.Space.W * 10 / 254,
		H: b.Space.H * 10 / 254}); e.unit(col) == measure.In && b.Space.W > 30*measure.Inch && holds(small) {
		hint = "if it is in millimetres, type mm beside the number"
	}
	switch {
	case !holds(b.Space):
		e.fail(col, fmt.Sprintf("the space %s is larger than any sheet of %s", b.Space.About(unit), measure.Quote(b.Stock)),
			"its largest sheet is "+largest(sizes).About(unit), hint)
	case !holds(b.Trim()):
		e.fail(col, fmt.Sprintf("with its tuck the block is %s, larger than any sheet of %s", b.Trim().About(unit),
			measure.Quote(b.Stock)), "its largest sheet is "+largest(sizes).About(unit), "make the tuck smaller, or choose a stock with larger sheets")
	}
}

func largest(sizes []measure.Size) measure.Size {
	best := sizes[0]
	for _, s := range sizes {
		if s.Area() > best.Area() {
			best = s
		}
	}
	return best
}
