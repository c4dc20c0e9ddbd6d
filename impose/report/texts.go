package report

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// The report keeps what it takes to print its blocks again - the text, the space, how it was set - so that a redo needs
// neither the spreadsheets, which may have changed since, nor anything but this file. A person may correct a text there
// before it is printed again.

// Texts is the name of the sheet of the report that holds the blocks as they were set, under the headings of the form.
const Texts = "Texts"

// texts writes a row for each block that was printed, and one with only its code and the reason for each that was not.
func (b *book) texts() {
	fields := []field{{"Code", 9, text}, {"Name", 20, text}, {"Page", 14, text}, {"Title", 20, text}, {"Journaling", 60, text}, {"When", 24, text},
		{"Space", 18, text}, {"Stock", 15, text}, {"Tuck", 22, text}, {"Font", 12, text}, {"Size", 8, text}, {"Align", 16, text}, {"Ink", 10, text},
		{"Page colour", 10, text}, {"Turn", 7, text}, {"Held back", 40, text}, {"File", 24, text}, {"Worksheet", 14, text}, {"Row", 7, whole}}
	const journaling = 5 // its column
	var rows [][]any
	rich := map[int][]excelize.RichTextRun{}
	seen := map[string]bool{}
	for i := range b.Owners {
		o := &b.Owners[i]
		for _, s := range o.Blocks {
			k := s.Block.Block
			if seen[k.Code] {
				continue
			}
			seen[k.Code] = true
			plain, runs := typed(k.Text)
			if runs != nil {
				rich[len(rows)+2] = runs
			}
			turn, back := "no", ""
			if k.Turn {
				turn = "yes"
			}
			if stock, _ := b.Settings.Stock(k.Stock); stock.ShowsPage && k.Back != stock.Colour {
				back = k.Back.String()
			}
			rows = append(rows, []any{k.Code, k.Owner, k.Page, k.Title, plain, k.End, k.Space.Format(b.unit), k.Stock, tuck(k.Tuck, b.unit), k.Font,
				strings.TrimSuffix(s.Block.Setting.Size.Format(measure.Pt), " pt"), k.Type.Align.String() + ", " + k.Type.Vertical.String(), k.Type.Ink.String(), back, turn,
				"", k.Place.File, k.Place.Sheet, rowOf(k.Place)})
		}
		for _, h := range o.Held {
			rows = append(rows, b.unprinted(h))
		}
	}
	b.sheet(Texts, fields, rows, nil)
	for at := range len(rows) + 2 { // in order: the workbook's table of texts fills as they come
		runs := rich[at]
		if runs == nil {
			continue
		}
		cell, err := excelize.CoordinatesToCellName(journaling, at)
		b.do(err)
		b.do(b.f.SetCellRichText(Texts, cell, runs))
	}
}

func (b *book) unprinted(h intake.Held) []any {
	r := make([]any, 19)
	r[0], r[1], r[15], r[16], r[17], r[18] = h.Code, h.Owner, h.Why, h.Place.File, h.Place.Sheet, rowOf(h.Place)
	return r
}

// tuck is a tuck as the form takes it.
func tuck(t measure.Sides, u measure.Unit) string {
	if t == (measure.Sides{}) {
		return "none"
	}
	var out []string
	for _, e := range []struct {
		name string
		l    measure.Length
	}{{"top", t.Top}, {"left", t.Left}, {"right", t.Right}, {"bottom", t.Bottom}} {
		if e.l != 0 {
			out = append(out, e.name+" "+e.l.Format(u))
		}
	}
	return strings.Join(out, ", ")
}

// typed is a text as it stands in a cell, and its runs where they differ in style.
func typed(paragraphs []intake.Paragraph) (string, []excelize.RichTextRun) {
	var plain strings.Builder
	var runs []excelize.RichTextRun
	styled := false
	add := func(r intake.Run) {
		plain.WriteString(r.Text)
		styled = styled || r.Bold || r.Italic
		if n := len(runs); n > 0 && (runs[n-1].Font != nil) == (r.Bold || r.Italic) &&
			(runs[n-1].Font == nil || runs[n-1].Font.Bold == r.Bold && runs[n-1].Font.Italic == r.Italic) {
			runs[n-1].Text += r.Text
			return
		}
		run := excelize.RichTextRun{Text: r.Text}
		if r.Bold || r.Italic {
			run.Font = &excelize.Font{Bold: r.Bold, Italic: r.Italic}
		}
		runs = append(runs, run)
	}
	for i, p := range paragraphs {
		if i > 0 {
			plain.WriteByte('\n')
			if len(runs) == 0 {
				runs = append(runs, excelize.RichTextRun{})
			}
			runs[len(runs)-1].Text += "\n"
		}
		for _, r := range p {
			add(r)
		}
	}
	if !styled {
		runs = nil
	}
	return plain.String(), runs
}
