package report

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
	"tuckmark/config/problem"
)

// ErrReport says that a report of an earlier run cannot be added to.
var ErrReport = errors.New("report: the report cannot be read")

// Redo writes the report anew after some of its blocks were printed again. What a person did to the
// workbook stays as it is, but for the sheet Leftovers, which then lists what is in the folder now, and the outcome of the
// blocks; what the redo laid, cut and cost stands on sheets of its own, Blocks 2, Cuts 2 and Account 2. The job's Paper is
// what the old report listed. The error is ErrReport where the old one is at fault.
func (e *Earlier) Redo(w io.Writer, in Input) (err error) {
	defer func() {
		if r := recover(); r != nil { // a workbook that the library trips over
			err = fmt.Errorf("%w: %v", ErrReport, r)
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(e.raw))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrReport, err)
	}
	b := newBook(f, in)
	defer b.f.Close()
	b.styles()
	sheets := f.GetSheetList()
	if !slices.Contains(sheets, "Blocks") || !slices.Contains(sheets, Texts) {
		return ErrReport
	}
	b.again()
	if slices.Contains(sheets, leftoversSheet) {
		b.do(f.DeleteSheet(leftoversSheet))
	}
	b.leftovers()
	b.move(leftoversSheet, sheets)
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

// How a report's keywords name the settings that it was made with.
const (
	settingsKey = "settings: "
	builtIn     = "built in"
)

// madeWith names the settings that a report was made with.
func madeWith(s *config.Settings) string {
	if s.File == "" {
		return settingsKey + builtIn
	}
	return settingsKey + filepath.Base(s.File)
}

// OtherSettings is a note where the report was made with a configuration file of another name than the settings', or with none
// while they have one: the printers, the stocks and the type may not be those of the first run.
func (e *Earlier) OtherSettings(s *config.Settings) (note *problem.Problem) {
	defer func() {
		if recover() != nil { // a workbook that the library trips over says nothing
			note = nil
		}
	}()
	f, err := excelize.OpenReader(bytes.NewReader(e.raw))
	if err != nil {
		return nil
	}
	defer f.Close()
	props, err := f.GetDocProps()
	if err != nil || !strings.HasPrefix(props.Keywords, settingsKey) || props.Keywords == madeWith(s) {
		return nil
	}
	name := func(keywords string) string {
		if file := strings.TrimPrefix(keywords, settingsKey); file != builtIn {
			return file
		}
		return "the built-in settings"
	}
	return &problem.Problem{Severity: problem.Note, Place: problem.Place{File: e.Name()}, What: "the first run was made with other settings",
		Cause: "then it was " + name(props.Keywords) + ", now it is " + name(madeWith(s)), Hint: "if that is not meant, give the file with --config"}
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
	for _, p := range b.Pieces {
		for _, k := range p.Spots {
			codes[k.Block.Code] = true
		}
	}
	rows, err := b.f.GetRows("Blocks")
	b.do(err)
	code, outcome := -1, -1
	for i, r := range rows {
		if code < 0 || outcome < 0 {
			code, outcome = slices.Index(r, headCode), slices.Index(r, headOutcome)
			continue
		}
		if code >= len(r) || !codes[strings.TrimSpace(r[code])] {
			continue
		}
		cell, err := excelize.CoordinatesToCellName(outcome+1, i+1)
		b.do(err)
		b.do(b.f.SetCellStr("Blocks", cell, printedAgain))
	}
}
