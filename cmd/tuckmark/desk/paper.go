package desk

import (
	"net/http"
	"strings"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// paperView is what lies in the folder, and what it goes through.
type paperView struct {
	frame
	Rows     paperRows
	Printers []machineView
	Trimmer  machineView
	File     string // that they stand in; "": they are the built-in ones
}

type paperRows struct {
	Stocks []string
	Unit   string
	List   []paperRow
	Usual  []stockUse // of each stock: what the job takes where no row lists it
}

type paperRow struct {
	ID                                           string
	Stock, Width, Height, Count, Price, Leftover string
	W, H                                         int64 // of its picture, in pixels; 0: not known
	Found                                        []finding
}

// stockUse is a stock, and what of it is taken.
type stockUse struct {
	Name, Texture, Colour string
	Sheets                []string
	Used                  string
}

// machineView is a printer or the trimmer.
type machineView struct {
	Name  string
	Facts [][2]string
}

func (j *openJob) paperRows() paperRows {
	c, n := j.layer.settings.Load(), j.layer.latest.Load()
	v := paperRows{Unit: j.book.Unit().Name()}
	for _, t := range c.Stocks {
		v.Stocks = append(v.Stocks, t.Name)
		v.Usual = append(v.Usual, j.stockUse(t, c, n))
	}
	for _, r := range j.book.Rows(jobbook.Paper) {
		p := paperRow{ID: r.ID, Stock: r.Cells["Stock"], Width: r.Cells["Width"], Height: r.Cells["Height"], Count: r.Cells["Count"], Price: r.Cells["Price"],
			Leftover: r.Cells["Leftover"]}
		if w, err := measure.Parse(p.Width, j.book.Unit()); err == nil {
			if h, err := measure.Parse(p.Height, j.book.Unit()); err == nil && w > 0 && h > 0 && max(w, h) < 100*measure.Inch {
				p.W, p.H = pixels(w)/12, pixels(h)/12
			}
		}
		if n != nil {
			p.Found = findingsOf(n.paper[r.ID])
		}
		v.List = append(v.List, p)
	}
	return v
}

// stockUse says what there is of a stock, and what the layout takes of it.
func (j *openJob) stockUse(t config.Stock, c *config.Settings, n *laid) stockUse {
	v := stockUse{Name: t.Name}
	var paper []intake.Paper
	if n != nil {
		paper = n.job.Paper
	}
	for _, sheet := range intake.AtHand(t, paper) {
		said := sheet.Size.About(c.Unit)
		switch {
		case sheet.Count >= 0:
			said = problem.Count(sheet.Count, "sheet") + " of " + said
		default:
			said += ", as many as needed"
		}
		if sheet.Leftover {
			said += " (leftover)"
		} else if sheet.Price > 0 {
			said += ", " + c.Amount(sheet.Price) + " each"
		}
		v.Sheets = append(v.Sheets, said)
	}
	if n == nil || n.job.Plan == nil {
		return v
	}
	for _, u := range n.job.Plan.Stocks {
		if u.Stock == t.Name {
			v.Used = problem.Count(u.NewSheets, "new sheet")
			if u.Cents > 0 {
				v.Used += ", " + c.Amount(u.Cents)
			}
		}
	}
	return v
}

func (s *server) paperPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	c := j.layer.settings.Load()
	v := paperView{frame: s.frame(j, "/paper", "/paper.js"), Rows: j.paperRows(), File: c.File}
	for _, p := range c.Printers {
		v.Printers = append(v.Printers, printerView(p, c))
	}
	v.Trimmer = machineView{Name: "Trimmer", Facts: [][2]string{{"Longest cut", c.Trimmer.Longest.Format(c.Unit)}, {"Narrowest it holds", c.Trimmer.Holds.Format(c.Unit)}}}
	page(w, "paper", &v)
}

func printerView(p config.Printer, c *config.Settings) machineView {
	span := func(a, b measure.Length) string { return a.Format(c.Unit) + " to " + b.Format(c.Unit) }
	m := p.Margins
	v := machineView{Name: p.Name, Facts: [][2]string{{"Width it pulls", span(p.Narrowest, p.Widest)}, {"Length it pulls", span(p.Shortest, p.Longest)},
		{"Cannot print", m.Left.Format(c.Unit) + " left, " + m.Right.Format(c.Unit) + " right, " + m.Top.Format(c.Unit) + " top, " + m.Bottom.Format(c.Unit) + " bottom"}}}
	if len(p.Takes) > 0 {
		v.Facts = append(v.Facts, [2]string{"Takes", strings.Join(p.Takes, ", ")})
	}
	return v
}

func (s *server) paperPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "paper-rows", j.paperRows())
}
