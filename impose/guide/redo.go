package guide

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
)

// ErrReport says that a report of an earlier run cannot be added to.
var ErrReport = errors.New("guide: the report cannot be read")

// Redo writes the report of an earlier run anew after some of its blocks were printed again. What a person did to the
// workbook stays as it is, but for the sheet Leftovers, which then lists what is in the folder now, and the outcome of the
// blocks; what the redo laid, cut and cost stands on sheets of its own, Blocks 2, Cuts 2 and Account 2. The job's Paper is
// what the old report listed. The error is ErrReport where the old one is at fault.
func Redo(w io.Writer, old []byte, in Input) (err error) {
	defer func() {
		if r := recover(); r != nil { // a workbook that the library trips over
			err = fmt.Errorf("%w: %v", ErrReport, r)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(old))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrReport, err)
	}
	b := &book{f: f, job: newJob(in)}
	defer b.f.Close()
	b.styles()
	sheets := f.GetSheetList()
	if !slices.Contains(sheets, "Blocks") || !slices.Contains(sheets, Texts) {
		return ErrReport
	}
	b.again()
	if slices.Contains(sheets, "Leftovers") {
		b.do(f.DeleteSheet("Leftovers"))
	}
	b.leftovers()
	b.move("Leftovers", sheets)
	for n := 2; ; n++ {
		if b.add = fmt.Sprintf(" %d", n); !slices.Contains(sheets, "Blocks"+b.add) {
			break
		}
	}
	for _, write := range []func(){b.blocks, b.cuts, b.account} {
		write()
	}
	f.SetActiveSheet(0)
	return b.write(w)
}

// madeWith names the settings that a report was made with.
func madeWith(s *config.Settings) string {
	if s.File == "" {
		return "settings: built in"
	}
	return "settings: " + filepath.Base(s.File)
}

// OtherSettings reports whether a report was made with a configuration file of another name than the settings', or with
// none while they have one; was is the file's name, or "" for none.
func OtherSettings(report []byte, s *config.Settings) (was string, other bool) {
	defer func() {
		if recover() != nil { // a workbook that the library trips over says nothing
			was, other = "", false
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(report))
	if err != nil {
		return "", false
	}
	defer f.Close()
	props, err := f.GetDocProps()
	if err != nil || !strings.HasPrefix(props.Keywords, "settings: ") {
		return "", false
	}
	was = strings.TrimPrefix(props.Keywords, "settings: ")
	if was == "built in" {
		was = ""
	}
	return was, props.Keywords != madeWith(s)
}

// move puts a sheet back where it was among the others.
func (b *book) move(name string, before []string) {
	if at := slices.Index(before, name); at >= 0 && at+1 < len(before) {
		b.do(b.f.MoveSheet(name, before[at+1]))
	}
}

// again marks the rows of the blocks that are printed again.
func (b *book) again() {
	codes := map[string]bool{}
	for i := range b.job.pieces {
		for _, k := range b.job.pieces[i].Blocks {
			codes[k.Code] = true
		}
	}
	rows, err := b.f.GetRows("Blocks")
	b.do(err)
	code, outcome := -1, -1
	for i, r := range rows {
		if code < 0 || outcome < 0 {
			code, outcome = slices.Index(r, "Code"), slices.Index(r, "Outcome")
			continue
		}
		if code >= len(r) || !codes[strings.TrimSpace(r[code])] {
			continue
		}
		cell, err := excelize.CoordinatesToCellName(outcome+1, i+1)
		b.do(err)
		b.do(b.f.SetCellStr("Blocks", cell, "printed again"))
	}
}
