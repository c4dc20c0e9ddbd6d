package intake

import (
	"reflect"
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
)

func TestAtHand(t *testing.T) {
	const inch = measure.Inch
	letter, square, strip := measure.Size{W: 17 * inch / 2, H: 11 * inch}, measure.Size{W: 12 * inch, H: 12 * inch}, measure.Size{W: 4 * inch, H: 6 * inch}
	stock := config.Stock{Name: "vellum", Sheets: []config.Sheet{
		{Size: letter, Count: -1, Price: 75}, {Size: strip, Count: 2, Leftover: true, Name: "blue folder"}, {Size: square, Count: 9, Price: 120}}}
	left, own := stock.Sheets[1], []config.Sheet{stock.Sheets[0], stock.Sheets[2]}
	tests := []struct {
		name string
		rows []Paper
		want []config.Sheet
	}{
		{"the settings' own, leftovers first", nil, []config.Sheet{left, own[0], own[1]}},
		{"rows of another stock say nothing", []Paper{{Stock: "cardstock", Size: letter, Count: 3, Price: 10}}, []config.Sheet{left, own[0], own[1]}},
		{"sheets that are listed take the place of all the settings' sheets, but not of their leftovers",
			[]Paper{{Stock: "vellum", Size: letter, Count: 3, Price: 80}}, []config.Sheet{left, {Size: letter, Count: 3, Price: 80}}},
		{"without a price they have the settings' of that size",
			[]Paper{{Stock: "vellum", Size: square, Count: 3, Price: -1}, {Stock: "vellum", Size: letter, Count: 1, Price: -1}},
			[]config.Sheet{left, {Size: square, Count: 3, Price: 120}, {Size: letter, Count: 1, Price: 75}}},
		{"and cost nothing where these name none", []Paper{{Stock: "vellum", Size: strip, Count: 3, Price: -1}},
			[]config.Sheet{left, {Size: strip, Count: 3}}},
		{"which may be written the other way round", []Paper{{Stock: "vellum", Size: letter.Turn(), Count: 1, Price: -1}}, []config.Sheet{left, {Size: letter.Turn(), Count: 1, Price: 75}}},
		{"free is a price", []Paper{{Stock: "vellum", Size: square, Count: 3, Price: 0}}, []config.Sheet{left, {Size: square, Count: 3}}},
		{"without a count they have no end", []Paper{{Stock: "vellum", Size: square, Count: -1, Price: 5}}, []config.Sheet{left, {Size: square, Count: -1, Price: 5}}},
		{"none is none", []Paper{{Stock: "vellum", Size: square, Count: 0, Price: 5}}, []config.Sheet{left, {Size: square, Price: 5}}},
		{"leftovers that are listed come behind the settings' and before the sheets, which stay",
			[]Paper{{Stock: "vellum", Size: strip, Count: 4, Price: 0, Leftover: true}},
			[]config.Sheet{left, {Size: strip, Count: 4, Leftover: true}, own[0], own[1]}},
		{"a leftover without a count is one, without a price it costs nothing",
			[]Paper{{Stock: "vellum", Size: strip, Count: -1, Price: -1, Leftover: true}},
			[]config.Sheet{left, {Size: strip, Count: 1, Leftover: true}, own[0], own[1]}},
		{"listed sheets before and behind a listed leftover",
			[]Paper{{Stock: "vellum", Size: square, Count: 1, Price: 5}, {Stock: "vellum", Size: strip, Count: 2, Price: -1, Leftover: true}, {Stock: "vellum", Size: letter, Count: 1, Price: 6}},
			[]config.Sheet{left, {Size: strip, Count: 2, Leftover: true}, {Size: square, Count: 1, Price: 5}, {Size: letter, Count: 1, Price: 6}}},
	}
	for _, test := range tests {
		before := slices.Clone(stock.Sheets)
		if got := AtHand(stock, test.rows); !reflect.DeepEqual(got, test.want) {
			t.Errorf("%s:\n got %+v\nwant %+v", test.name, got, test.want)
		}
		if !reflect.DeepEqual(before, stock.Sheets) {
			t.Errorf("%s: the settings are changed", test.name)
		}
	}
	if got := AtHand(config.Stock{Name: "bare"}, nil); len(got) != 0 {
		t.Errorf("a stock without paper has %v", got)
	}
}
