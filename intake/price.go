package intake

import (
	"cmp"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/table"
)

// Prices of paper: the amount, its currency, and what a heading says of both.

// priceOf is what a heading of prices says beside that: the currency, and what else than the price of one sheet stands below, "" for none.
func priceOf(heading string) (sign, otherwise string) {
	if several.MatchString(heading) {
		return "", "the price of several sheets"
	}
	for _, w := range strings.FieldsFunc(heading, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]{}/,:;-–_", r) }) {
		switch lower := strings.ToLower(w); {
		case (lower == "p" || lower == "c") && !strings.Contains(heading, "("+w+")"): // per
		case config.InHundredths(w):
			return "", "in " + lower
		case config.IsCurrency(w):
			sign = w
		}
	}
	return sign, ""
}

// several matches a heading of prices that are not those of one sheet.
var several = regexp.MustCompile(`(?i)\b(?:packs?|packets?|packages?|pkts?|pkg?s?|reams?|box|boxes|bags?|pads?|sets?|bundles?|dozens?|doz|total|altogether|packung|paket|paquet)\b|(?:\bper|\bof|\bfor|/|\bx|×)\s*(?:[2-9]|[1-9]\d+)\b|\(\s*(?:[2-9]|[1-9]\d{1,2})\s*(?:sheets?|sh|pcs?|pieces?|blatt|bogen|st|stück|feuilles?|ct|count|for)?\.?\s*\)`)

// besidePrice are words of a heading of prices that leave it that of one sheet.
var besidePrice = wordsOf("price prices cost costs preis prix precio prijs paid we i pay of for per pro par each every ea a an one single the sheet sheets blatt feuille page piece pc paper stock unit retail list new in at about approx ca est estimated " +
	"incl including with vat tax gst net gross euro")

// noteHeading tells of a heading of prices in which something stands that is not known: it may say that they are not those of one sheet.
func (s *Sheet) noteHeading(c *Column) {
	if _, otherwise := priceOf(c.Heading); otherwise != "" {
		return // each price is refused
	}
	for _, w := range strings.FieldsFunc(c.Heading, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.Is(unicode.Sc, r) && !unicode.IsMark(r) }) {
		if !besidePrice[strings.ToLower(w)] && !config.IsCurrency(w) {
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("each price in the column %s is taken for that of one sheet", measure.Quote(c.Heading)), measure.Quote(w)+" in the heading is not understood",
				"if a price is that of several sheets, type what one costs, and call the column Price")
			return
		}
	}
}

// pricedAs is a price as a text, with the currency that the number's format or the heading names, and as the cell shows it where that is the same.
func pricedAs(c *table.Cell, col *Column) string {
	text := c.Text
	price, known := Amount(c)
	if shown, ok := parseAmount(text); c.Kind == table.Number && (!ok || shown != price) {
		text = plainPrice(c.ExactText())
	}
	sign, otherwise := priceOf(col.Heading)
	switch {
	case otherwise != "": // so that it is no price there, too
		return text + " " + strings.TrimPrefix(otherwise, "in ")
	case !known:
		return text
	}
	if typed, strange := config.SignOf(text, c.Currency()); typed != "" || strange {
		return text
	}
	return strings.TrimSpace(text + " " + cmp.Or(c.Currency(), sign))
}

// Amount is the amount of money in a cell, in hundredths, whether it holds a number or a text such as "$3.50".
func Amount(c *table.Cell) (cents int64, ok bool) {
	text := c.Text
	if c.Kind == table.Number {
		text = plainPrice(c.ExactText())
	}
	return parseAmount(text)
}

// plainPrice is a number rounded to hundredths.
func plainPrice(value string) string {
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return value
}
