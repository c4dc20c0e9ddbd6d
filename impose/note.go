package impose

import (
	"bytes"
	"context"
	"fmt"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/draw"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/intake"
)

// ReadNote makes the one block of a job out of fields that were given one by one; it may be as large as the piece in hand, where
// one is named. Places of problems have the heading of the field as their column, and nothing else.
func (j *Job) ReadNote(fields []intake.Field, hand measure.Size) {
	j.hand = hand
	var sizes []measure.Size
	if hand != (measure.Size{}) {
		sizes = append(sizes, hand)
	}
	block, found := intake.ReadOne(fields, j.Settings, sizes...)
	j.Problems = append(j.Problems, found...)
	if found.Errors() == 0 {
		j.Blocks = []intake.Block{block}
	}
}

// ArrangeNote lays the one block at the leading end of a piece in hand: of that size, or, where none is named, of the first leftover or
// sheet of its stock.
func (j *Job) ArrangeNote(hand measure.Size) (*layout.Strip, *problem.Problem) {
	set := &j.Typeset[0]
	if hand == (measure.Size{}) {
		hand = j.Settings.Guide
		stock, _ := j.Settings.Stock(set.Block.Stock)
		for _, s := range intake.AtHand(stock, j.Paper) {
			if s.Count != 0 {
				hand = s.Size
				break
			}
		}
	}
	strip, bad := layout.OnStrip(set, hand, j.Settings)
	if bad != nil {
		return nil, bad
	}
	j.Plan = strip.Plan
	return strip, nil
}

// PreCuts says how a piece in hand that no printer pulls is cut before printing; nothing, where it feeds.
func PreCuts(p *plan.Plan, u measure.Unit) (steps []string) {
	for _, sheet := range p.Sheets {
		steps = append(steps, "To cut first, for no printer pulls "+sheet.Whole.Rect.Size().About(u)+":")
		for q := range sheet.Whole.Cuts {
			axis, from, edge := "across", q.Cut.At-q.Rect.Y, "upper"
			if q.Cut.Axis == plan.Down {
				axis, from, edge = "down", q.Cut.At-q.Rect.X, "left"
			}
			steps = append(steps, fmt.Sprintf("  %d. %s the %s, %s from the %s edge", len(steps), axis, q.Rect.Size().About(u), from.About(u), edge))
		}
	}
	return steps
}

// WriteNote labels the piece and makes the PDF of the one block, without guides, and the plan. A plan that breaks a promise is a BrokenPlan.
func (j *Job) WriteNote(ctx context.Context, title string) (*Files, error) {
	layout.Label(j.Plan, title, j.Fonts, j.Settings)
	if faults := j.Check(); len(faults) > 0 {
		return nil, &BrokenPlan{faults}
	}
	d := draw.Drawer{Library: j.Fonts}
	var pdf bytes.Buffer
	if err := press.Write(&pdf, press.Document{Title: title, Subject: press.NotePage, Language: j.Settings.LanguageTag(), Plan: j.Plan.WriteFile, Sections: d.Draw(j.Plan, j.Settings)}, nil); err != nil {
		return nil, err
	}
	return &Files{PDF: pdf.Bytes()}, ctx.Err()
}
