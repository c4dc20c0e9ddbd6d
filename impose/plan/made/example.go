package made

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// Example is the plan that describes the plan file, worked out by hand, and the settings that it is for: three blocks of two
// owners on one panel of a square sheet. The lower two thirds of one column are kept, what remains of the other is scrap.
func Example() (*plan.Plan, *config.Settings) {
	s := Settings()
	s.Printers[0].Name = "office"

	whole := &plan.Part{Rect: Size(6*inch, 12*inch).At(0, 0)}
	left, right := cutOff(whole, plan.Down, 4*inch, unmarked)
	first, below := cutOff(left, plan.Across, 5*inch/2, unmarked)
	second, kept := cutOff(below, plan.Across, 2*inch, unmarked)
	third, _ := cutOff(right, plan.Across, 9*inch, unmarked)
	kept.Keep = true

	tucked := func(code, owner string, row int, w, h measure.Length, font string) *intake.Block {
		return &intake.Block{Place: problem.Place{File: "ferry-weekend.xlsx", Sheet: "Journaling", Row: row}, Code: code, Owner: owner, Space: Size(w, h),
			Tuck: measure.Sides{Top: inch / 2}, Inset: measure.Same(inch / 8), Stock: "vellum", Font: font, Copies: 1, Turn: true}
	}
	first.Block = lie(tucked("OH-1", "Odile Hart", 4, 4*inch, 2*inch, "Serif"), 45*measure.Point/4, 6, first.Rect, false)
	second.Block = lie(tucked("OH-2", "Odile Hart", 5, 4*inch, 3*inch/2, "Serif"), 21*measure.Point/2, 4, second.Rect, false)
	third.Block = lie(tucked("SB-1", "Simeon Brandt", 9, 9*inch, 3*inch/2, "Typewriter"), 12*measure.Point, 3, third.Rect, true)

	// The marks stand on what is thrown away or is at least no block, a quarter of an inch long and beside their line.
	const weight, half = measure.Point / 2, measure.Point / 4
	whole.Cut.Marks = []plan.Mark{{X1: 4*inch + half, Y1: 45 * inch / 4, X2: 4*inch + half, Y2: 23 * inch / 2, Weight: weight}}
	right.Cut.Marks = []plan.Mark{
		{X1: 4 * inch, Y1: 9*inch + half, X2: 17 * inch / 4, Y2: 9*inch + half, Weight: weight},
		{X1: 45 * inch / 8, Y1: 9*inch + half, X2: 47 * inch / 8, Y2: 9*inch + half, Weight: weight},
	}

	sheet := &plan.Sheet{Stock: "vellum", Number: 1, Whole: &plan.Part{Rect: Size(12*inch, 12*inch).At(0, 0)}}
	panel, spare := cutOff(sheet.Whole, plan.Down, 6*inch, unmarked)
	panel.Panel, spare.Keep = true, true
	return &plan.Plan{
		Pieces: []*plan.Piece{{Page: 3, Stock: "vellum", Printer: "office", Whole: whole,
			Source: plan.Source{Sheet: 1, Panel: panel, Cut: sheet, Rect: panel.Rect}}},
		Sheets: []*plan.Sheet{sheet},
		Stocks: []plan.Use{{Stock: "vellum", NewSheets: 1, Bound: 1, Filled: 0.5, Cents: 120}},
	}, s
}
