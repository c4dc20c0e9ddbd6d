package layout

import (
	"context"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// A letter sheet of the built-in printer has room for 8 1/2 x 10 5/8 in of blocks with an inset of 1/8 in: the trailing
// 1/2 in cannot be printed, and the inset may lie there.
func TestAdvice(t *testing.T) {
	s := plain(t, map[string]string{"gap": "0"})
	block := func(code string, w, h int) intake.Block { // in eighths of an inch
		return note(s, code, "cardstock", measure.Length(w)*in/8, measure.Length(h)*in/8)
	}
	advise := func(blocks ...intake.Block) (Advice, int) {
		t.Helper()
		set, _, _ := typeset.Set(context.Background(), fonts(), blocks, s, nil)
		laid, _, _ := Arrange(context.Background(), set, nil, s, nil)
		list := Advise(context.Background(), laid, set, nil, s)
		if len(list) > 1 {
			t.Fatalf("%+v", list)
		}
		if len(list) == 0 {
			return Advice{}, laid.Stocks[0].NewSheets
		}
		return list[0], laid.Stocks[0].NewSheets
	}

	// Two blocks are an eighth of an inch too high together: the smaller forces the second sheet, and an eighth would do.
	a, sheets := advise(block("OH-1", 64, 40), block("OH-2", 64, 46))
	if sheets != 2 || a.Without != "OH-1" || a.Lower != in/8 || a.Narrower != 0 || a.Turning {
		t.Errorf("%d sheets, %+v", sheets, a)
	}

	// A block that must not be turned fits beside the other only turned.
	fixed := block("OH-4", 40, 26)
	fixed.Turn = false
	a, sheets = advise(block("OH-3", 42, 85), fixed)
	if sheets != 2 || !a.Turning {
		t.Errorf("%d sheets, %+v", sheets, a)
	}

	// Three full sheets, and an inch that has no room on them.
	many := block("OH-5", 32, 40)
	many.Copies = 4
	a, sheets = advise(many, block("OH-6", 64, 80), block("OH-7", 64, 80), block("OH-8", 8, 8))
	if sheets != 4 || a.Without != "OH-8" {
		t.Errorf("%d sheets, %+v", sheets, a)
	}

	// Four blocks of 2 x 3/4 in are cut from a strip that is 3/4 in high: a trimmer that holds an inch does not cut it.
	pockets := func() *config.Settings {
		s := plain(t, map[string]string{"gap": "0"})
		s.Printers = []config.Printer{pocket()}
		for i := range s.Stocks {
			s.Stocks[i].Printers, s.Stocks[i].Sheets = nil, []config.Sheet{{Size: measure.Size{W: 4 * in, H: 6 * in}, Count: -1}}
		}
		return s
	}
	was := s
	s = pockets()
	cards, small := block("OH-11", 32, 20), block("OH-12", 16, 6)
	cards.Copies, small.Copies, small.Turn, cards.Turn = 2, 2, false, false
	a, sheets = advise(cards, small)
	if sheets != 2 || a.Holds != 3*in/4 {
		t.Errorf("%d sheets, %+v", sheets, a)
	}
	// The only block is not one to do without.
	only := block("OH-13", 24, 28)
	only.Copies = 2
	if a, sheets = advise(only); sheets != 2 || a.Without != "" {
		t.Errorf("%d sheets, %+v", sheets, a)
	}
	s = was

	// A gap by hand that there is no room for on one sheet.
	s = plain(t, map[string]string{"gap": "1"})
	if a, sheets = advise(block("OH-14", 64, 40), block("OH-15", 64, 40)); sheets != 2 || !a.Gap {
		t.Errorf("%d sheets, %+v", sheets, a)
	}
	s = was

	// One sheet that cannot be saved.
	if a, sheets = advise(block("OH-9", 32, 16), block("OH-10", 32, 16)); sheets != 1 || a != (Advice{}) {
		t.Errorf("%d sheets, %+v", sheets, a)
	}
}
