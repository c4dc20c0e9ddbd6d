package report

import (
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// The report keeps what it takes to print its blocks again - the text, the space, how it was set - so that a redo needs
// neither the spreadsheets, which may have changed since, nor anything but this file. A person may correct a text there
// before it is printed again.

// Texts is the name of the sheet of the report that holds the blocks as they were set, under the headings of the form, Notes that of what the first run noted.
const (
	Texts = "Texts"
	Notes = "Notes"

	leftoversSheet = "Leftovers"
)

// The columns of a row of the report beside those of the form; redo reads them by the same names.
const (
	headCode  = "Code"
	headHeld  = "Held back"
	headFile  = "File"
	headSheet = "Worksheet"
	headRow   = "Row"

	headMirrored = "Mirrored"
)

// textRow is a row of the sheet Texts: a block that was printed, or a row that was held back.
type textRow struct {
	block *intake.Block // as it was set, or nil
	held  intake.Held
}

func (r *textRow) code() string {
	if r.block == nil {
		return r.held.Code
	}
	return r.block.Code
}

func (r *textRow) place() problem.Place {
	if r.block == nil {
		return r.held.Place
	}
	return r.block.Place
}

// textColumns are the columns of the sheet Texts: the block's code, what the form asks for, and where the row came from.
func (b *book) textColumns() (out []column[*textRow]) {
	out = append(out, column[*textRow]{field{headCode, 9, text}, func(r *textRow) any { return r.code() }})
	for _, h := range intake.Headings() {
		if h.Wide == 0 {
			continue
		}
		out = append(out, column[*textRow]{field{h.Name, h.Wide, text}, func(r *textRow) any {
			switch {
			case r.block != nil && h.Name == textHeading && styled(r.block.Text) != nil:
				return styled(r.block.Text)
			case r.block != nil:
				return h.Repeat(r.block, b.Settings)
			case h.Name == nameHeading:
				return r.held.Owner
			}
			return ""
		}})
	}
	return append(out, column[*textRow]{field{headMirrored, 12, text}, b.mirrored},
		column[*textRow]{field{headHeld, 40, text}, func(r *textRow) any { return allOf(r.held.Whole, r.held.Why) }},
		column[*textRow]{field{headFile, 24, text}, func(r *textRow) any { return r.place().File }},
		column[*textRow]{field{headSheet, 14, text}, func(r *textRow) any { return r.place().Sheet }},
		column[*textRow]{field{headRow, 7, whole}, func(r *textRow) any { return rowOf(r.place()) }})
}

// mirrored is the stock of a block that was printed mirrored, else nothing: where the block is given another stock, that is not mirrored.
func (b *book) mirrored(r *textRow) any {
	if r.block != nil {
		if stock, _ := b.Settings.Stock(r.block.Stock); stock.Mirror {
			return stock.Name
		}
	}
	return ""
}

const (
	nameHeading = "Name"
	textHeading = "Journaling"
)

// texts writes a row for each block that was printed, and one with only its code and the reason for each that was not.
func (b *book) texts() {
	var rows []*textRow
	seen := map[string]bool{}
	for i := range b.Owners {
		o := &b.Owners[i]
		for _, s := range o.Blocks {
			if k := s.Block.Block; !seen[k.Code] {
				seen[k.Code] = true
				printed := *k
				printed.Type.Wished = s.Block.Setting.Size // set again in the same size
				rows = append(rows, &textRow{block: &printed})
			}
		}
		for _, h := range o.Held {
			rows = append(rows, &textRow{held: h})
		}
	}
	long(b, Texts, b.textColumns(), rows)
}

// styled are the runs of a text where they differ in style, else none.
func styled(paragraphs []intake.Paragraph) (runs []table.Run) {
	rich := false
	for _, r := range intake.Join(paragraphs) {
		runs = append(runs, table.Run(r))
		rich = rich || r.Bold || r.Italic
	}
	if !rich {
		return nil
	}
	return runs
}
