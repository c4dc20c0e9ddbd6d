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
// workbook stays as it is, but for the sheet Leftovers, which then lists what is in the folder now, and the outcome of the
// blocks; what the redo laid, cut and cost stands on sheets of its own, Blocks 2, Cuts 2 and Account 2. The job's Paper is
// what the old report listed. The error is ErrReport where the old one is at fault.
func (e *Earlier) Redo(w io.Writer, in Input) (err error) {
	defer func() {
		if r := recover(); r != nil { // a workbook that the library trips over
			err = fmt.Errorf("%w: %v", ErrReport, r)
		}
	}()
	old, err := withoutRows(e.Name(), e.raw)
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
	if !slices.Contains(sheets, "Blocks") || !slices.Contains(sheets, Texts) {
		return ErrReport
	}
	if err := b.keepRows(old); err != nil {
		return err
	}
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

// move puts a sheet back where it was among the others.
func (b *book) move(name string, before []string) {
	if at := slices.Index(before, name); at >= 0 && at+1 < len(before) {
		b.do(b.f.MoveSheet(name, before[at+1]))
	}
}

// keepRows has the old sheets' rows copied, in which the blocks that are printed again are marked so.
func (b *book) keepRows(old *oldRows) error {
	for _, name := range old.Worksheets() {
		if name == leftoversSheet {
			continue
		}
		to := mend{}
		if name == "Blocks" {
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
			codes[k.Block.Code] = true
		}
	}
	to = mend{rows: map[int]bool{}, text: printedAgain}
	code := -1
	whole = old.EachRow("Blocks", func(r table.Row) {
		if code >= 0 {
			to.rows[r.N] = codes[textAt(&r, code)]
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
