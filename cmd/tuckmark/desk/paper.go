package desk

import (
	"net/http"
	"strconv"
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
	Machines []machineView
	File     string // that they stand in
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
	W, H, W1, H1                                 int64 // of its picture, in pixels, and of the edge in it; 0: not known
	Found                                        []finding
}

// paperScale is by how much smaller than true size sheets are drawn beside their rows.
const paperScale = 10

// stockUse is a stock, and what of it is taken.
type stockUse struct {
	N      int // of the settings' stocks
	Name   string
	W, H   int64 // of its first sheet's picture, in pixels
	Sheets []string
	Used   string
}

func (j *openJob) paperRows() paperRows {
	c, n := j.layer.settings.Load(), j.layer.latest.Load()
	v := paperRows{Unit: j.book.Unit().Name()}
	for i, t := range c.Stocks {
		v.Stocks = append(v.Stocks, t.Name)
		use := j.stockUse(t, c, n)
		use.N = i
		v.Usual = append(v.Usual, use)
	}
	for _, r := range j.book.Rows(jobbook.Paper) {
		p := paperRow{ID: r.ID, Stock: r.Cells["Stock"], Width: r.Cells["Width"], Height: r.Cells["Height"], Count: r.Cells["Count"], Price: r.Cells["Price"],
			Leftover: r.Cells["Leftover"]}
		if w, err := measure.Parse(p.Width, j.book.Unit()); err == nil {
			if h, err := measure.Parse(p.Height, j.book.Unit()); err == nil && w > 0 && h > 0 && max(w, h) < 100*measure.Inch {
				p.W, p.H = pixels(w)/paperScale, pixels(h)/paperScale
				p.W1, p.H1 = max(p.W-1, 1), max(p.H-1, 1)
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
		paper, c = n.job.Paper, n.job.Settings // which know the sign of its prices
	}
	for _, sheet := range intake.AtHand(t, paper) {
		if !sheet.Leftover && v.W == 0 {
			v.W, v.H = pixels(sheet.Size.W)/paperScale, pixels(sheet.Size.H)/paperScale
		}
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
	v := paperView{frame: s.frame(j, "/paper", "/paper.js"), Rows: j.paperRows(), Machines: machines(j.layer.settings.Load()), File: j.configFile()}
	page(w, "paper", &v)
}

func (s *server) paperPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "paper-rows", j.paperRows())
}

// stockPicture is a sheet of a stock, as blank as it is bought: /stock/NUMBER.svg.
func (s *server) stockPicture(j *openJob, w http.ResponseWriter, r *http.Request) {
	at, err := strconv.Atoi(strings.TrimSuffix(strings.TrimPrefix(r.URL.Path, "/stock/"), ".svg"))
	c := j.layer.settings.Load()
	if err != nil || at < 0 || at >= len(c.Stocks) {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	t := c.Stocks[at]
	var size measure.Size
	if n := j.layer.latest.Load(); n != nil {
		for _, sheet := range intake.AtHand(t, n.job.Paper) {
			if size = sheet.Size; !sheet.Leftover {
				break
			}
		}
	}
	if size.At(0, 0).Empty() {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	picture(w, outlines.Blank(size, measure.Sides{}, t.Colour, t.Name, c), false)
}
