package intake

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/table"
)

// What a person may wish for in a cell, from words to values. Each returns ok=false for words that mean nothing here.

// alignWords are the ways to say where text stands. A lone "middle" is meant both ways.
var alignWords = map[string]func(*config.Type){
	"auto":      func(t *config.Type) { t.Align = config.Left },
	"left":      func(t *config.Type) { t.Align = config.Left },
	"right":     func(t *config.Type) { t.Align = config.Right },
	"centre":    func(t *config.Type) { t.Align = config.Centre },
	"justified": func(t *config.Type) { t.Align = config.Justified },
	"top":       func(t *config.Type) { t.Vertical = config.Top },
	"middle":    func(t *config.Type) { t.Vertical = config.Middle },
	"bottom":    func(t *config.Type) { t.Vertical = config.Bottom },
}

var alignSynonyms = map[string]string{
	"l": "left", "r": "right", "c": "centre", "j": "justified", "center": "centre", "centred": "centre", "centered": "centre", "centers": "centre", "justify": "justified", "full": "justified",
	"block": "justified", "both": "justified", "upper": "top", "above": "top", "lower": "bottom", "below": "bottom", "links": "left", "rechts": "right", "mitte": "centre", "zentriert": "centre",
	"gauche": "left", "droite": "right",
}

// parseAlign reads "left", "Centre middle", "justified, bottom", "flush right".
func parseAlign(text string, t *config.Type) bool {
	said := map[string]bool{}
	words := strings.Fields(plainLetters(text))
	for i, w := range words {
		switch before := strings.Join(words[max(0, i-1):i], ""); { // a ragged edge is the other one
		case before == "ragged" && w == "right":
			w = "left"
		case before == "ragged" && w == "left":
			w = "right"
		case (strings.HasPrefix(before, "vertical") || i+1 < len(words) && words[i+1] == "vertically") && (alignSynonyms[w] == "centre" || w == "centre"):
			w = "middle"
		}
		if s, ok := alignSynonyms[w]; ok && !(w == "both" && slices.ContainsFunc(words, func(o string) bool { return o == "centre" || alignSynonyms[o] == "centre" })) {
			w = s
		} else if ok { // centred both ways
			w = "middle"
		}
		switch _, ok := alignWords[w]; {
		case ok:
			said[w] = true
		case w == "flush" || w == "ragged" || w == "aligned" || w == "align" || w == "and" || w == "text" || w == "in" || w == "the" || w == "at" || w == "vertical" || w == "vertically" || w == "horizontally":
		default:
			return false
		}
	}
	across, down := 0, 0
	for _, w := range []string{"auto", "left", "right", "centre", "justified", "top", "middle", "bottom"} {
		if said[w] {
			alignWords[w](t)
			if w == "top" || w == "middle" || w == "bottom" {
				down++
			} else {
				across++
			}
		}
	}
	if said["middle"] && across == 0 && !slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, "vertical") }) {
		t.Align = config.Centre
	}
	if said["centre"] && said["justified"] { // a justified text whose last line is centred: justified is the nearest
		t.Align, across = config.Justified, across-1
	}
	if across > 0 || said["middle"] {
		t.AutoAlign = said["auto"]
	}
	return across < 2 && down < 2 && across+down > 0
}

// parseYes reads a yes or a no.
func parseYes(text string) (yes, ok bool) {
	switch plainLetters(text) {
	case "yes", "y", "true", "1", "ok", "okay", "x", "allowed", "may", "sure", "fine", "any", "either", "can", "may turn", "can turn", "ja", "oui", "si", "if needed", "if necessary", "does not matter", "doesnt matter", "dont mind", "dont care":
		return true, true
	case "no", "n", "false", "0", "never", "not", "dont", "do not", "dont turn", "do not turn", "no turn", "no turning", "keep upright", "upright", "keep", "fixed", "nein", "non", "none", "not allowed":
		return false, true
	}
	switch strings.TrimSpace(text) {
	case "✓", "✔", "☑", "✅", "👍":
		return true, true
	case "✗", "✘", "☐", "❌", "-", "–":
		return false, true
	}
	return false, false
}

var numberWords = map[string]int{"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
	"nine": 9, "ten": 10, "twelve": 12, "once": 1, "twice": 2}

var (
	wholeNumber = regexp.MustCompile(`^[x×]? *([0-9]+)(?:[.,]0{1,2})? *(?:[x×]|copies|copy|times|pieces|pcs|off|sheets?|pieces?)?$`)
	amount      = regexp.MustCompile(`^[^0-9.,-]{0,4} *(?:(?:0?[.,]([0-9]{2})0+)|([0-9]*)(?:[.,]([0-9]{1,2}))?) *[^0-9.,]{0,14}$`) // 1,000 may be a thousand
)

// parseCount reads "2", "2x", "two", "2 copies".
func parseCount(text string) (int, bool) {
	t := strings.ToLower(line(text))
	if n, ok := numberWords[t]; ok {
		return n, true
	}
	m := wholeNumber.FindStringSubmatch(t)
	if m == nil || len(m[1]) > 6 {
		return 0, false
	}
	n, err := strconv.Atoi(m[1])
	return n, err == nil
}

// countIn is parseCount of a cell: of the number that it holds, unless its format shows more than that beside it which is no count: 2 pairs.
func countIn(c *table.Cell) (int, bool) {
	n, ok := parseCount(c.ExactText())
	if c.Kind == table.Number && strings.ContainsFunc(c.Text, func(r rune) bool { return unicode.IsLetter(r) || strings.ContainsRune("%?", r) }) {
		shown, known := parseCount(c.Text)
		return n, ok && known && shown == n
	}
	return n, ok
}

// parseAmount reads an amount of money in hundredths: "3.50", "$3.50", "3,5 €", "2".
func parseAmount(text string) (int64, bool) {
	m := amount.FindStringSubmatch(line(text))
	if m == nil || m[1]+m[2]+m[3] == "" || len(m[2]) > 7 {
		return 0, false
	}
	n, err := strconv.ParseInt("0"+m[2]+(m[1] + m[3] + "00")[:2], 10, 64)
	return n, err == nil
}

var (
	allSides  = regexp.MustCompile(`\b(?:(?:all|every)(?: of)?(?: the)?(?: 4| four)?|four) (?:sides|edges)\b`)
	namedSide = regexp.MustCompile(`\b(top|bottom|left|right) (?:side|edge)\b`)
	someSides = regexp.MustCompile(`\b(?:all|the|on|at) (?:[0-35-9]|[1-9][0-9]+) (?:sides|edges)\b|(?:^|[ ,;&+])[0-9]+ edges?\b|(?:^|\band )[2-4] sides?\b|\b(?:one|two|three|a|any|either) (?:sides?|edges?)\b`)
	theEdges  = regexp.MustCompile(`(?i)\b(?:(?:at|on|along|from) )?(?:the )?edges?\b`)
	oneSide   = regexp.MustCompile(`\b(?:side|edge)s?\b`)
)

var sideWord = regexp.MustCompile(`\b(top|bottom|left|right|sides|all|each|every|around|above|below|upper|lower)\b`)

// parseTuck reads a tuck: "1/2 in" is on top, "top 1/2 left 1/4" and "1/2 in top, 1/4 left" name edges, "all sides 1/4"
// is all around, "none" is none. given is the stock's own, for "yes".
func parseTuck(text string, unit measure.Unit, given measure.Sides) (s measure.Sides, err error) {
	switch yes, ok := parseYes(text); {
	case plainLetters(text) == "0" || ok && !yes || plainLetters(text) == "without" || plainLetters(text) == "no tuck":
		return measure.Sides{}, nil
	case ok && plainLetters(text) != "1":
		return given, nil
	}
	whole := allSides.ReplaceAllString(strings.ToLower(line(text)), "all ")
	t := namedSide.ReplaceAllString(whole, "$1")
	for _, r := range [][2]string{{"on the ", " "}, {"at the ", " "}, {"on ", " "}, {"at ", " "}, {"tuck", " "}, {"edges", " "},
		{"edge", " "}, {"all sides", "all"}, {"each side", "sides"}, {"every side", "all"}, {"both sides", "sides"},
		{"left and right", "sides"}, {"all around", "all"}, {"all round", "all"}, {"around", "all"}, {"side ", " "}, {":",
			" "}, {"=", " "}} {
		t = strings.ReplaceAll(t, r[0], r[1])
	}
	names := sideWord.FindAllStringIndex(t, -1)
	if someSides.MatchString(whole) || len(names) == 0 && oneSide.MatchString(whole) || len(names) == 1 && strings.Contains(whole, "each side") { // which, it does not say
		return measure.Sides{}, fmt.Errorf("%s is no tuck", measure.Quote(text))
	}
	if len(names) == 0 {
		l, err := measure.Parse(t, unit)
		return measure.Sides{Top: l}, err
	}
	first := strings.TrimSpace(t[:names[0][0]]) == "" // the edge stands before its measure
	edges := map[string]measure.Length{}
	alone, otherwise := false, false // a measure without a unit, and one with another than that would be in
	for i, n := range names {
		from, to := n[1], len(t)
		if first && i+1 < len(names) {
			to = names[i+1][0]
		} else if !first {
			from, to = 0, n[0]
			if i > 0 {
				from = names[i-1][1]
			}
		}
		part := strings.Trim(strings.TrimSpace(t[from:to]), ",;& ")
		part = strings.TrimSpace(strings.TrimSuffix(strings.TrimPrefix(part, "and "), " and"))
		l, err := measure.Parse(part, unit)
		if err != nil {
			return measure.Sides{}, err
		}
		named := namedUnit(&table.Cell{Text: part})
		alone = alone || named == "" && l != 0
		otherwise = otherwise || named != "" && named != unit.String()
		name := t[n[0]:n[1]]
		switch name {
		case "each", "every", "around":
			name = "all"
		case "above", "upper":
			name = "top"
		case "below", "lower":
			name = "bottom"
		}
		if _, twice := edges[name]; twice {
			return measure.Sides{}, fmt.Errorf("%s is no tuck", measure.Quote(text))
		}
		edges[name] = l
	}
	if l, said := edges["all"]; said { // those that are named are others
		s = measure.Same(l)
	}
	if l, said := edges["sides"]; said {
		s.Left, s.Right = l, l
	}
	for name, side := range map[string]*measure.Length{"top": &s.Top, "bottom": &s.Bottom, "left": &s.Left, "right": &s.Right} {
		if l, said := edges[name]; said {
			*side = l
		}
	}
	if !first && strings.Trim(t[names[len(names)-1][1]:], " ,;.") != "" {
		return measure.Sides{}, fmt.Errorf("%s is no tuck", measure.Quote(text))
	}
	if alone && otherwise {
		return measure.Sides{}, errSomeUnits
	}
	return s, nil
}

// errSomeUnits is of edges of which one has its unit and another has none: top 1, left 0.5 cm.
var errSomeUnits = errors.New("one edge has a unit and another has none")

// stockName is a stock with its name in plain letters, which is compared with each cell that names one.
type stockName struct {
	*config.Stock
	key   string
	words []string
}

func namesOfStocks(s *config.Settings) []stockName {
	var all []stockName
	for i := range s.Stocks {
		name := s.Stocks[i].Name
		all = append(all, stockName{&s.Stocks[i], key(name), strings.Fields(plainLetters(name))})
	}
	return all
}

// findStock finds the stock that a person means. sure is false where only a part of the name or a near spelling agrees;
// without ok, near is the one to suggest, or "".
func findStock(text string, s *config.Settings) (stock config.Stock, sure, ok bool, near string) {
	return stockOf(text, namesOfStocks(s), true)
}

// knownStocks are the stocks of the job, their names taken apart once.
func (b *builder) knownStocks() []stockName {
	if b.stockNames == nil {
		b.stockNames = namesOfStocks(b.settings)
	}
	return b.stockNames
}

// findStock is that for a row's cell, looked up once for all that are alike.
func (b *builder) findStock(name string) foundStock {
	f, known := b.stocks[name]
	if !known {
		if f.stock, f.sure, f.ok, f.near = stockOf(name, b.knownStocks(), b.unknownStocks < mostSought); !f.ok {
			b.unknownStocks++
		}
		b.stocks[name] = f
	}
	return f
}

// stockOf is findStock among these; without seek no near spelling is looked for.
func stockOf(text string, all []stockName, seek bool) (stock config.Stock, sure, ok bool, near string) {
	typed := key(text)
	for _, t := range all {
		if strings.EqualFold(strings.TrimSpace(text), t.Name) {
			return *t.Stock, true, true, ""
		}
	}
	for _, t := range all {
		if t.key == typed || t.key == typed+"s" || t.key+"s" == typed {
			return *t.Stock, !oddSigns(text, t.Name), true, ""
		}
	}
	words := strings.Fields(plainLetters(text))
	if denied(text, all) {
		return config.Stock{}, false, false, ""
	}
	// All words of the one are words of the other: "sticker" for "clear sticker", "white cardstock" for "cardstock".
	var found []*config.Stock
	for _, t := range all {
		if allIn(words, t.words) && !(len(words) == 1 && words[0] == "paper") || allIn(t.words, words) {
			found = append(found, t.Stock)
		}
	}
	if !seek {
		if len(found) == 1 {
			return *found[0], false, true, ""
		}
		return config.Stock{}, false, false, ""
	}
	var names []string
	for _, t := range all {
		names = append(names, t.Name)
	}
	near = config.Near(text, names)
	apart := math.MaxInt
	var meant *config.Stock
	if i := slices.IndexFunc(all, func(t stockName) bool { return t.Name == near }); i >= 0 {
		meant, apart = all[i].Stock, config.EditDistance(typed, all[i].key)
	}
	switch {
	case len(found) == 1 && (apart > 2 || meant == found[0]): // else vellum hevy would be vellum, beside a vellum heavy
		return *found[0], false, true, ""
	case len(found) == 0 && apart == 1 && len(typed) > 3 && digitsOf(typed) == digitsOf(key(near)): // A4 180 g is not A4 80 g
		return *meant, false, true, ""
	}
	return config.Stock{}, false, false, near
}

// digitsOf are the digits in a text.
func digitsOf(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, text)
}

// allIn reports whether all of a are in b, but for plurals.
func allIn(a, b []string) bool {
	for _, x := range a {
		ok := false
		for _, y := range b {
			ok = ok || strings.TrimSuffix(x, "s") == strings.TrimSuffix(y, "s")
		}
		if !ok {
			return false
		}
	}
	return len(a) > 0
}

// parseInk is config.KnownColour for what people add to a colour's name, which it returns without that.
func parseInk(text string) (c config.Colour, name string, ok bool) {
	name = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ToLower(line(text))), " ink"))
	if c, ok = config.KnownColour(name); ok {
		return c, name, true
	}
	if hex := strings.TrimPrefix(name, "#"); len(hex) == 6 || len(hex) == 3 {
		c, ok = config.KnownColour("#" + hex)
	}
	return c, name, ok
}
