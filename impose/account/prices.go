package account

import (
	"fmt"
	"slices"

	"tuckmark/config/measure"
)

// Price is what new sheets of a size were reckoned at by the word of a list of paper, and not of the settings.
type Price struct {
	Stock  string
	Size   measure.Size // as listed
	Cents  int64        // of one sheet
	Places []string     // the rows that say so
	Own    int64        // of such a sheet by the settings; 0: they say none
}

// Prices are the prices of the new sheets that are used, as far as a row of a Paper sheet set them, in the order of the pages.
func (a *Account) Prices() (out []Price) {
	for _, p := range a.Pieces {
		size := p.uncut()
		if p.Source.Leftover || slices.ContainsFunc(out, func(q Price) bool {
			return q.Stock == p.Stock && q.Cents == p.Source.Price && q.Size.SameEitherWay(size)
		}) {
			continue
		}
		price := Price{Stock: p.Stock, Cents: p.Source.Price}
		for _, row := range a.Paper {
			if row.Stock == p.Stock && !row.Leftover && row.Price >= 0 && row.Price == p.Source.Price && row.Size.SameEitherWay(size) {
				price.Size = row.Size
				price.Places = append(price.Places, row.Place.String())
			}
		}
		if price.Places == nil {
			continue
		}
		stock, _ := a.Settings.Stock(p.Stock)
		for _, s := range stock.Sheets {
			if !s.Leftover && s.Size.SameEitherWay(size) {
				price.Own = s.Price
			}
		}
		out = append(out, price)
	}
	return out
}

// Said is the price in a sentence.
func (a *Account) Said(p Price) string {
	text := fmt.Sprintf("A sheet of %s, %s, is reckoned at %s, as %s says", p.Stock, p.Size.About(a.Settings.Unit), a.Settings.Amount(p.Cents), p.Places[0])
	if more := len(p.Places) - 1; more > 0 {
		text += fmt.Sprintf(" (and %d more)", more)
	}
	if p.Own > 0 && p.Own != p.Cents {
		text += "; the settings say " + a.Settings.Amount(p.Own)
	}
	return text + "."
}
