package report

import (
	"bytes"
	"fmt"
	"io"

	"tuckmark/config/problem"
)

// No report is written with merged cells; somebody may merge some, and a redo keeps them. Excelize compares each with all others as it writes a workbook, and
// begins anew where two lie over each other.

// mostMerged is how many merged cells a report may have that is written anew: where all lie over each other, these take a second or two.
const mostMerged = 1000

// tooMerged is a problem where a report has more merged cells than can be kept.
func (e *Earlier) tooMerged() (list problem.List) {
	old, err := e.oldRows()
	if err != nil {
		return nil // who writes it anew says so
	}
	all, most := 0, ""
	for _, s := range old.Worksheets() {
		if all += old.merged[s]; old.merged[s] > old.merged[most] {
			most = s
		}
	}
	if all > mostMerged {
		list.Add(problem.Place{File: e.Name(), Sheet: most}, fmt.Sprintf("the report has %d merged cells, %d of them in this sheet", all, old.merged[most]),
			fmt.Sprintf("what somebody did to a report is kept when it is written anew, but no more than %d merged cells", mostMerged),
			"take the merged cells apart again in your spreadsheet program (unmerge them), or name the report as it was written")
	}
	return list
}

// mergedCells counts the merged cells of a part that is written tag by tag.
type mergedCells struct {
	io.Writer
	n int
}

func (m *mergedCells) Write(data []byte) (int, error) {
	name := data[bytes.LastIndexByte(data, '<')+1:]
	if end := bytes.IndexAny(name, " \t\r\n/>"); end >= 0 {
		name = name[:end]
	}
	if name = name[bytes.IndexByte(name, ':')+1:]; string(name) == "mergeCell" {
		m.n++
	}
	return m.Writer.Write(data)
}
