package account

import (
	"fmt"
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// What is at hand and not used, worked out by hand: the plan takes two square sheets of vellum, each cut into two panels first, three
// letter sheets of clear sticker, four letter sheets of cardstock and a leftover of 4 x 7 1/2 in.
func TestUnused(t *testing.T) {
	square, left := made.Size(12*inch, 12*inch), made.Size(4*inch, 15*inch/2)
	sheet := func(size measure.Size, count int, price int64) config.Sheet {
		return config.Sheet{Size: size, Count: count, Price: price}
	}
	rest := func(size measure.Size, count int) config.Sheet {
		return config.Sheet{Size: size, Count: count, Leftover: true}
	}
	row := func(stock string, size measure.Size, count int, price int64, leftover bool) intake.Paper {
		return intake.Paper{Stock: stock, Size: size, Count: count, Price: price, Leftover: leftover}
	}
	tests := []struct {
		name   string
		sheets map[string][]config.Sheet // of the settings
		paper  []intake.Paper
		want   []string
	}{
		{"sheets without end are no news", nil, nil, nil},
		{"a sheet that is cut into panels is one", map[string][]config.Sheet{"vellum": {sheet(square, 8, 120)}}, nil, []string{"6 vellum 12 x 12 in 120"}},
		{"counted sheets that are all used are listed as none", map[string][]config.Sheet{"vellum": {sheet(square, 2, 120)}}, nil, []string{"0 vellum 12 x 12 in 120"}},
		{"no fewer than none", map[string][]config.Sheet{"vellum": {sheet(square, 1, 120)}}, nil, []string{"0 vellum 12 x 12 in 120"}},
		{"sheets without end beside counted ones", map[string][]config.Sheet{"vellum": {sheet(square, 5, 120), sheet(made.LetterPaper, -1, 70)}}, nil,
			[]string{"3 vellum 12 x 12 in 120", "-1 vellum 8 1/2 x 11 in 70"}},
		{"of another size nothing is taken", map[string][]config.Sheet{"vellum": {sheet(square, -1, 120), sheet(made.LetterPaper, 4, 70)}}, nil,
			[]string{"-1 vellum 12 x 12 in 120", "4 vellum 8 1/2 x 11 in 70"}},
		{"a sheet that was fed the other way round", map[string][]config.Sheet{"cardstock": {sheet(made.LetterPaper.Turn(), 9, 30)}}, nil,
			[]string{"5 cardstock 11 x 8 1/2 in 30"}},
		{"what one row cannot give, the next gives", map[string][]config.Sheet{"cardstock": {sheet(made.LetterPaper, 3, 30), sheet(made.LetterPaper, 3, 25)}}, nil,
			[]string{"0 cardstock 8 1/2 x 11 in 30", "2 cardstock 8 1/2 x 11 in 25"}},
		{"of two lots that which was reckoned with", map[string][]config.Sheet{"cardstock": {sheet(made.LetterPaper, 9, 80), sheet(made.LetterPaper.Turn(), 9, 30)}}, nil,
			[]string{"9 cardstock 8 1/2 x 11 in 80", "5 cardstock 11 x 8 1/2 in 30"}},
		{"also where that has no end", map[string][]config.Sheet{"cardstock": {sheet(made.LetterPaper, 9, 80), sheet(made.LetterPaper, -1, 30)}}, nil,
			[]string{"9 cardstock 8 1/2 x 11 in 80", "-1 cardstock 8 1/2 x 11 in 30"}},
		{"leftovers, one of them used", map[string][]config.Sheet{"cardstock": {rest(left, 3), rest(made.Size(5*inch, 6*inch), 1)}}, nil,
			[]string{"2 cardstock 4 x 7 1/2 in 0 leftover", "1 cardstock 5 x 6 in 0 leftover"}},
		{"a leftover that is used up is gone", map[string][]config.Sheet{"cardstock": {rest(left, 1)}}, nil, nil},
		{"a leftover is no sheet of its size", map[string][]config.Sheet{"cardstock": {sheet(left, 3, 10), rest(left, 2)}}, nil,
			[]string{"1 cardstock 4 x 7 1/2 in 0 leftover", "3 cardstock 4 x 7 1/2 in 10"}},
		{"a leftover of another stock", map[string][]config.Sheet{"vellum": {rest(left, 1)}}, nil, []string{"1 vellum 4 x 7 1/2 in 0 leftover"}},
		{"paper that was listed takes the place of the settings', and has their price", nil, []intake.Paper{row("vellum", square, 7, -1, false)},
			[]string{"5 vellum 12 x 12 in 120"}},
		{"with a price of its own", nil, []intake.Paper{row("vellum", square, 7, 99, false)}, []string{"5 vellum 12 x 12 in 99"}},
		{"listed without a count it has no end", nil, []intake.Paper{row("vellum", square, -1, 99, false)}, nil},
		{"a leftover that was listed, and its price", nil, []intake.Paper{row("cardstock", left, 4, -1, true), row("vellum", left, -1, -1, true)},
			[]string{"1 vellum 4 x 7 1/2 in 0 leftover", "3 cardstock 4 x 7 1/2 in 0 leftover"}},
	}
	for _, test := range tests {
		s := made.Settings()
		d := made.Three(s)
		for _, p := range d.Plan.Pieces {
			if p.Stock == "cardstock" && !p.Source.Leftover {
				p.Source.Price = 30
			}
		}
		for i := range s.Stocks {
			if sheets := test.sheets[s.Stocks[i].Name]; sheets != nil {
				s.Stocks[i].Sheets = sheets
			}
		}
		var got []string
		for _, u := range Of(d.Plan, s, test.paper).Unused() {
			line := fmt.Sprintf("%d %s %s %d", u.Count, u.Stock, u.Size.Format(measure.In), u.Price)
			if u.Leftover {
				line += " leftover"
			}
			got = append(got, line)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s:\n got %q\nwant %q", test.name, got, test.want)
		}
	}
}
