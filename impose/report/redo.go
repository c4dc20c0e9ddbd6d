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
	"tuckmark/intake/table"
)

// ErrReport says that a report of an earlier run cannot be added to.
var ErrReport = errors.New("report: the report cannot be read")

// Redo writes the report anew after some of its blocks were printed again. What a person did to the
// workbook stays as it is, but for the sheet Leftovers, which then lists what is in the folder now and stands for all that was read
// as a list of paper, and the outcome of the blocks; what the redo laid, cut and cost stands on sheets of its own, Blocks 2, Cuts 2
// and Account 2, and what it noted on Notes 2. The job's Paper is what the old report listed. The error is ErrReport where the old one is at fault.
func (e *Earlier) Redo(w io.Writer, in Input) (err error) {
	defer func() {
		if r := recover(); r != nil { // a workbook that the library trips over
			err = fmt.Errorf("%w: %v", ErrReport, r)
		}
	}()
	old, err := e.oldRows()
	if err != nil {
		return err
	}
	f, err := excelize.OpenReader(bytes.NewReader(old.slim))
	if err != nil {
		return fmt.Errorf("%w: %w", ErrReport, err)
	}
	b := newBook(f, in)
	defer b.f.Close()
	b.styles()
	sheets := f.GetSheetList()
	if !slices.Contains(sheets, blocksSheet) || !slices.Contains(sheets, Texts) {
		return ErrReport
	}
	if err := b.keepRows(old, e.isPaper); err != nil {
		return err
	}
	at := slices.IndexFunc(sheets, e.isPaper)
	for _, name := range sheets {
		if e.isPaper(name) {
			b.do(f.DeleteSheet(name))
		}
	}
	b.leftovers()
	if after := slices.IndexFunc(sheets[max(at, 0):], func(name string) bool { return !e.isPaper(name) }); at >= 0 && after >= 0 {
		b.do(f.MoveSheet(leftoversSheet, sheets[at+after]))
	}
	b.add = e.free(old.Tabs())
	for _, write := range []func(){b.blocks, b.cuts, b.account, b.newNotes} {
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
func (e *Earlier) OtherSettings(s *config.Settings) *problem.Problem {
	keywords := table.Keywords(e.raw)
	if !strings.HasPrefix(keywords, settingsKey) || keywords == madeWith(s) {
		return nil
	}
	name := func(keywords string) string {
		if file := strings.TrimPrefix(keywords, settingsKey); file != builtIn {
			return file
		}
		return "the built-in settings"
	}
	return &problem.Problem{Severity: problem.Note, Place: problem.Place{File: e.Name()}, What: "the first run was made with other settings",
		Cause: "then it was " + name(keywords) + ", now it is " + name(madeWith(s)), Hint: "if that is not meant, give the file with --config"}
}

// isPaper reports a sheet that was read as a list of paper, whatever it is called now, or that has the name of the list that is written.
// Names of sheets are the same in any letter case.
func (e *Earlier) isPaper(name string) bool {
	return strings.EqualFold(name, leftoversSheet) || slices.Contains(e.paper, name)
}

// keepRows has the rows of the old sheets copied that are not written anew; in them the blocks that are printed again are marked so.
func (b *book) keepRows(old *oldRows, anew func(name string) bool) error {
	for _, name := range old.Worksheets() {
		if anew(name) {
			continue
		}
		to := mend{}
		if name == blocksSheet {
			var whole bool
			if to, whole = b.again(old); !whole {
				return ErrReport
			}
		}
		b.later[old.Of(name).Name] = func(w io.Writer) error {
			if err := old.copyRows(w, name, to); err != nil {
				return fmt.Errorf("%w: %w", ErrReport, err)
			}
			return nil
		}
	}
	return nil
}

// again looks for the rows of the blocks that are printed again; whole is false where the sheet cannot be read to its end.
func (b *book) again(old *oldRows) (to mend, whole bool) {
	codes := map[string]bool{}
	for _, p := range b.Pieces {
		for _, k := range p.Spots {
			codes[strings.ToUpper(k.Block.Code)] = true
		}
	}
	to = mend{rows: map[int]bool{}, text: printedAgain}
	code := -1
	whole = old.EachRow(blocksSheet, func(r table.Row) {
		if code >= 0 {
			to.rows[r.N] = codes[strings.ToUpper(textAt(&r, code))] && isOutcome(textAt(&r, to.col)) // what somebody has typed there stays
			return
		}
		of, outcome := -1, -1
		for _, c := range r.Cells {
			switch c.Text {
			case headCode:
				of = c.Col
			case headOutcome:
				outcome = c.Col
			}
		}
		if of >= 0 && outcome >= 0 {
			code, to.col = of, outcome
		}
	})
	return to, whole
}
