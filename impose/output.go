package impose

import (
	"bytes"
	"cmp"
	"context"
	"path/filepath"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/draw"
	"tuckmark/impose/guide"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/proof"
	"tuckmark/impose/report"
)

// BrokenPlan is a plan that breaks promises: a fault of this program.
type BrokenPlan struct{ Faults []string }

func (b *BrokenPlan) Error() string {
	return "the plan breaks a promise: " + strings.Join(b.Faults, "; ")
}

// drawn is the pages of a job.
type drawn struct {
	account *account.Account
	guides  []press.Page
	stocks  []press.Section
}

// Files are what a job comes to, ready to be saved.
type Files struct {
	PDF    []byte
	Guides int    // pages of guides that it begins with
	Report []byte // the workbook; nil for a note
	Stocks []StockFile
}

// StockFile is the PDF of one stock by itself.
type StockFile struct {
	Stock string
	PDF   []byte
}

// Draw makes the pages of the guides and of the pieces, and numbers the pieces behind the guides and labels them. Title is the job's.
func (j *Job) Draw(ctx context.Context, title string) error {
	if j.Undrawn {
		panic("impose: drawn without glyphs")
	}
	j.title = title
	j.report(Drawing, 0, j.Plan.Pages())
	drawer := &draw.Drawer{Library: j.Fonts, Stop: stop(ctx)}
	d := &drawn{account: account.Of(j.Plan, j.Settings, j.Paper)}
	if j.earlier != nil {
		d.account.Other = j.earlier.Run()
	}
	d.guides = j.guides(ctx, d.account, drawer)
	if err := ctx.Err(); err != nil {
		return err
	}
	layout.Label(j.Plan, j.name(), j.Fonts, j.Settings)
	d.stocks = drawer.Draw(j.Plan, j.Settings)
	j.drawn = d
	return ctx.Err()
}

// name is what labels call the job: the first file that was read, so that they say the same wherever the output goes.
func (j *Job) name() string {
	if len(j.Files) == 0 {
		return j.title
	}
	name := filepath.Base(j.Files[0])
	return strings.TrimSuffix(name, filepath.Ext(name))
}

// guides are the plain-paper pages. They name the pages behind them.
func (j *Job) guides(ctx context.Context, a *account.Account, drawer *draw.Drawer) []press.Page {
	in := guide.Input{Account: a, Fonts: j.Fonts, Font: drawer.Font, Problems: j.Problems, Title: j.title, Files: baseNames(j.Files), Stop: stop(ctx)}
	if j.earlier != nil {
		in.Added = j.earlier.Added()
	}
	return numbered(j.Plan, j.Settings.Guide, func() []press.Page { return guide.Pages(in) })
}

// numbered numbers the pieces of a plan behind its guides and gives these, on pages of that size. The guides are as many whatever the pieces are called, but for
// numbers of more than four digits, which may take a page more: pieces are then numbered anew behind that many, and where these take a page less, it stays blank.
func numbered(p *plan.Plan, size measure.Size, guides func() []press.Page) []press.Page {
	pages := guides()
	for {
		n := len(pages)
		p.Number(n + 1)
		if pages = guides(); len(pages) > n {
			continue
		}
		for len(pages) < n {
			pages = append(pages, press.Page{Title: "Blank", Size: size})
		}
		return pages
	}
}

// Write makes the files of the job out of what was drawn: the PDF, also one for each stock where these are wanted apart, the report and the plan. A plan that breaks
// a promise is not written: the error is then a BrokenPlan, or report.ErrReport where an earlier report cannot be added to.
func (j *Job) Write(ctx context.Context, apart bool) (*Files, error) {
	if faults := j.Check(); len(faults) > 0 {
		return nil, &BrokenPlan{faults}
	}
	d := j.drawn
	out := &Files{Guides: len(d.guides)}
	doc := press.Document{Title: j.title, Subject: j.subject(), Language: guide.Language, Sections: append([]press.Section{{Title: "Guides", Pages: d.guides}}, d.stocks...), Plan: j.Plan.WriteFile, Stop: stop(ctx)}
	pages := len(d.guides) + j.Plan.Pages()
	var pdf bytes.Buffer
	if err := press.Write(&pdf, doc, func(n int) { j.report(Drawing, n, pages) }); err != nil {
		return nil, cmp.Or(ctx.Err(), err)
	}
	out.PDF = pdf.Bytes()
	if apart {
		for _, s := range d.stocks {
			var one bytes.Buffer
			title := j.title + ": " + s.Title
			if err := press.Write(&one, press.Document{Title: title, Subject: press.OfOneStock(title), Language: j.Settings.LanguageTag(), Sections: []press.Section{s}, Stop: stop(ctx)}, nil); err != nil {
				return nil, cmp.Or(ctx.Err(), err)
			}
			out.Stocks = append(out.Stocks, StockFile{s.Title, one.Bytes()})
		}
	}
	j.drawn, d.stocks = nil, nil
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var err error
	out.Report, err = j.ReportOf(ctx, d.account)
	return out, err
}

// subject is what the job's pages are.
func (j *Job) subject() press.Subject {
	if j.earlier != nil {
		return press.RedoPages
	}
	return press.JobPages
}

// ReportOf is the report of the job once its pages were drawn, by an account: its own, or one in which the job costs something else besides its
// paper. It is report.ErrReport where an earlier report cannot be added to.
func (j *Job) ReportOf(ctx context.Context, a *account.Account) ([]byte, error) {
	in := report.Input{Account: a, Problems: j.Problems, Title: j.title, Stop: stop(ctx)}
	rows := a.Rows()
	in.Tick = func(n int) { j.report(Reporting, min(n, rows), rows) }
	var book bytes.Buffer
	write := func() error { return report.Write(&book, in) }
	if j.earlier != nil {
		write = func() error { return j.earlier.Redo(&book, in) }
	}
	if err := write(); err != nil {
		return nil, cmp.Or(ctx.Err(), err)
	}
	return book.Bytes(), ctx.Err()
}

// Proof makes the page that shows every block, and, where it is wanted, the blocks on plain paper to cut out and try, with the
// number of their pages. Where a person is named, the proof has nobody else's blocks. Pieces are called by their pages in the print.
func (j *Job) Proof(ctx context.Context, title, person string, onPaper bool) (html, pdf []byte, pages int, err error) {
	j.title = title
	drawer := &draw.Drawer{}
	if person == "" && len(j.Plan.Pieces) > 0 { // else no piece is shown
		j.guides(ctx, account.Of(j.Plan, j.Settings, j.Paper), drawer)
	}
	in := proof.Input{Title: title, Plan: j.Plan, Settings: j.Settings, Blocks: j.Blocks, Set: j.Typeset, Problems: j.Problems,
		Read: j.Input, Answers: j.Answers, Fonts: j.Fonts, Font: drawer.Font}
	if person != "" {
		in = in.Of(person)
	}
	var page, paper bytes.Buffer
	if err := proof.Page(&page, in); err != nil {
		return nil, nil, 0, err
	}
	if onPaper && len(in.Set) > 0 {
		section := press.Section{Title: "Blocks on plain paper", Pages: proof.Pages(in)}
		pages = len(section.Pages)
		doc := press.Document{Title: title + ", proof", Subject: press.ProofPages, Language: j.Settings.LanguageTag(), Sections: []press.Section{section}}
		doc.Stop = stop(ctx)
		if err := press.Write(&paper, doc, func(n int) { j.report(Drawing, n, pages) }); err != nil {
			return nil, nil, 0, cmp.Or(ctx.Err(), err)
		}
	}
	return page.Bytes(), paper.Bytes(), pages, ctx.Err()
}

// stop asks whether a context is done.
func stop(ctx context.Context) func() bool { return func() bool { return ctx.Err() != nil } }

// baseNames are what files are called, without the folders that they lie in: a job is the same wherever it stands.
func baseNames(paths []string) []string {
	out := make([]string, len(paths))
	for i, p := range paths {
		if whole, err := filepath.Abs(p); err == nil { // . is a folder with a name
			p = whole
		}
		out[i] = problem.Line(filepath.Base(p))
	}
	return out
}
