package table

import "slices"

// ProblemsSheet is the sheet of a workbook with the cells to mend marked that lists what is wrong. It comes back with the
// mended rows and is none of them.
const ProblemsSheet = "Problems"

// Report reports whether the file is a report workbook of ours: by its sheets, for a person may have renamed the file.
func (f *File) Report() bool {
	for _, name := range []string{"Blocks", "Leftovers", "Cuts"} {
		if !slices.ContainsFunc(f.Sheets, func(s *Sheet) bool { return s.Name == name }) {
			return false
		}
	}
	return true
}
