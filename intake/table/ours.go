package table

import "slices"

// ProblemsSheet is the sheet of a workbook with the cells to mend marked that lists what is wrong. It comes back with the
// mended rows and is none of them.
const ProblemsSheet = "Problems"

// reportSheets are sheets that every report has.
var reportSheets = []string{"Blocks", "Leftovers", "Cuts"}

// Report reports whether the file is a report workbook of ours: by its sheets, for a person may have renamed the file.
func (f *File) Report() bool {
	for _, name := range reportSheets {
		if !slices.ContainsFunc(f.Sheets, func(s *Sheet) bool { return s.Name == name }) {
			return false
		}
	}
	return true
}

// ours are the sheets that this program puts into workbooks for people, which hold nothing of theirs, by what stands in the first
// row. Their names alone would not tell: people have sheets with these names.
var ours = map[string][]string{
	"Help":        {"How to fill in this form"},
	"Lists":       {"Stocks", "less width", "less height", "Fonts", "letter width", "Align", "Turn"},
	ProblemsSheet: {"Whose", "File", "Sheet", "Row", "Cell", "Kind", "What is wrong", "Why", "What to do"},
}

// Ours reports whether the sheet is one of those that this program puts beside the ones to fill in.
func (s *Sheet) Ours() bool {
	first := ours[s.Name]
	if first == nil || len(s.Rows) == 0 || len(s.Rows[0].Cells) != len(first) {
		return false
	}
	for i, c := range s.Rows[0].Cells {
		if c.Text != first[i] {
			return false
		}
	}
	return true
}
