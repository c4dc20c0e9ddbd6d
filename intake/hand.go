package intake

import (
	"tuckmark/config"
	"tuckmark/config/measure"
)

// AtHand is the paper of a stock that a job can take: its leftovers, those that the settings name first, then its sheets. Where
// the rows of Paper sheets list sheets of the stock, these take the place of the settings' own; one without a price has that
// of its size in the settings, or none. A leftover without a count is one.
func AtHand(stock config.Stock, rows []Paper) []config.Sheet {
	var leftovers, listed, own []config.Sheet
	for _, s := range stock.Sheets {
		if s.Leftover {
			leftovers = append(leftovers, s)
		} else {
			own = append(own, s)
		}
	}
	for _, r := range rows {
		if r.Stock != stock.Name {
			continue
		}
		sheet := config.Sheet{Size: r.Size, Count: r.Count, Price: max(0, r.Price), Leftover: r.Leftover}
		if r.Leftover {
			if r.Count < 0 {
				sheet.Count = 1
			}
			leftovers = append(leftovers, sheet)
			continue
		}
		if r.Price < 0 {
			for _, size := range []measure.Size{r.Size.Turn(), r.Size} { // it may be listed the other way round
				for _, o := range own {
					if o.Size == size {
						sheet.Price = o.Price
					}
				}
			}
		}
		listed = append(listed, sheet)
	}
	if len(listed) > 0 {
		own = listed
	}
	return append(leftovers, own...)
}
