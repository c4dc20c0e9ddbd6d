package printjob

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
)

// Part is what is to be printed of a document; nought: all pieces.
type Part struct {
	Stocks []string
	Pages  []int
	Guides bool // the guides, not the pieces
}

// Job is what goes to a queue at once: pages of one size, on one stock.
type Job struct {
	Stock   config.Stock
	Printer config.Printer
	Loading config.Loading
	Queue   *Queue // nil where it is not known
	Pages   []int
	Size    measure.Size
	Colour  bool
	Pieces  []*plan.Piece // none for guides and outlines
	Guides  bool
	Outline bool // the sheet that a piece is to be fixed to
	Rides   bool // the piece is fixed to that sheet
}

// plainPaper is the stock that guides and outlines are printed on, whatever the pieces are.
const plainPaper = "plain paper"

// usually is how many pieces go as one job where neither the configuration nor the stock says; a tray holds that many of most stocks.
const usually = 50

// Jobs are those of the part, stock by stock. What cannot be printed is a problem.
func (d *Document) Jobs(s *config.Settings, part Part) ([]*Job, problem.List) {
	var jobs []*Job
	var problems problem.List
	at := problem.Place{File: d.Name()}
	if part.Guides {
		j, p := d.guides(s)
		if p != nil {
			return nil, problem.List{*p}
		}
		return []*Job{j}, nil
	}
	var stocks []string
	known, pages := map[string]bool{}, map[int]bool{}
	for _, p := range d.Plan.Pieces {
		if !known[p.Stock] {
			known[p.Stock], stocks = true, append(stocks, p.Stock)
		}
		for _, n := range p.Pages() {
			pages[n] = true
		}
	}
	for _, name := range part.Stocks {
		if !slices.Contains(stocks, name) {
			problems.Add(at, fmt.Sprintf("nothing is to be printed on “%s”", printable(name)), "", near(name, stocks))
		}
	}
	for _, n := range part.Pages {
		if !pages[n] {
			problems.Add(at, fmt.Sprintf("page %d is no piece", n), fmt.Sprintf("the pieces are %s", PageWords(sortedPages(pages))), "name one of them, or --guides for the guides")
		}
	}
	missing := map[string]bool{}
	for _, p := range d.Plan.Pieces {
		if len(part.Stocks) > 0 && !slices.Contains(part.Stocks, p.Stock) {
			continue
		}
		if p.Carrier != nil && p.Carrier.Nth > 0 { // it is printed with the one before
			if n := len(jobs) - 1; n >= 0 && jobs[n].Pages[0] == p.Page {
				jobs[n].Pieces = append(jobs[n].Pieces, p)
			}
			continue
		}
		mine := p.Pages()
		if len(part.Pages) > 0 {
			mine = slices.DeleteFunc(mine, func(n int) bool { return !slices.Contains(part.Pages, n) })
		}
		printer, ok := printerOf(s, p.Printer)
		if !ok {
			if !missing[p.Printer] {
				missing[p.Printer] = true
				var names []string
				for _, q := range s.Printers {
					names = append(names, q.Name)
				}
				problems.Add(at, fmt.Sprintf("the configuration has no printer “%s”", printable(p.Printer)), "the PDF was made for it", near(p.Printer, names)+"; use the configuration that the PDF was made with")
			}
			continue
		}
		for _, n := range mine {
			jobs = d.add(jobs, s, printer, p, n)
		}
	}
	for _, j := range jobs {
		for _, n := range j.Pages {
			colour, err := d.finished.Coloured(n)
			j.Colour = j.Colour || colour || err != nil
		}
	}
	return jobs, problems
}

func near(name string, names []string) string {
	if n := config.Near(name, names); n != "" {
		return fmt.Sprintf("did you mean “%s”?", printable(n))
	}
	return "there are: " + printable(strings.Join(names, ", "))
}

func sortedPages(set map[int]bool) []int {
	var out []int
	for n := range set {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

func printerOf(s *config.Settings, name string) (config.Printer, bool) {
	for _, p := range s.Printers {
		if p.Name == name {
			return p, true
		}
	}
	return config.Printer{}, false
}

// stockOf is a stock of the settings, or one of that name that says nothing.
func stockOf(s *config.Settings, name string) config.Stock {
	if t, ok := s.Stock(name); ok {
		return t
	}
	return config.Stock{Name: name}
}

func (d *Document) guides(s *config.Settings) (*Job, *problem.Problem) {
	if d.Guides == 0 {
		return nil, &problem.Problem{Place: problem.Place{File: d.Name()}, What: "this PDF has no guides", Hint: "leave --guides out"}
	}
	stock := stockOf(s, plainPaper)
	printer := s.Printers[0]
	if takers := s.PrintersFor(stock); len(takers) > 0 {
		printer = s.Printers[takers[0]]
	}
	j := &Job{Stock: stock, Printer: printer, Loading: printer.Loading(plainPaper), Guides: true, Size: d.finished.Sizes[0]}
	for n := range d.Guides {
		j.Pages = append(j.Pages, n+1)
		colour, err := d.finished.Coloured(n + 1)
		j.Colour = j.Colour || colour || err != nil
	}
	return j, nil
}

// add puts a page to the last job where it fits there, else makes one of its own.
func (d *Document) add(jobs []*Job, s *config.Settings, printer config.Printer, p *plan.Piece, page int) []*Job {
	j := &Job{Stock: stockOf(s, p.Stock), Printer: printer, Pages: []int{page}, Size: d.finished.Sizes[page-1], Rides: p.Carrier != nil, Pieces: []*plan.Piece{p}}
	if j.Rides && page != p.Page {
		j.Outline, j.Rides, j.Pieces, j.Stock = true, false, nil, stockOf(s, plainPaper)
	}
	j.Loading = printer.Loading(j.Stock.Name)
	if len(jobs) > 0 && p.Carrier == nil {
		last := jobs[len(jobs)-1]
		if !last.Rides && !last.Outline && last.Stock.Name == p.Stock && last.Printer.Name == printer.Name && last.Size == j.Size && len(last.Pages) < last.atOnce() {
			last.Pages, last.Pieces = append(last.Pages, page), append(last.Pieces, p)
			return jobs
		}
	}
	return append(jobs, j)
}

// only is the job with some of its pages.
func (j *Job) only(pages []int) *Job {
	some := *j
	some.Pages, some.Pieces = pages, nil
	for _, p := range j.Pieces {
		if slices.Contains(pages, p.Page) {
			some.Pieces = append(some.Pieces, p)
		}
	}
	return &some
}

// atOnce is how many pieces lie in the tray at once.
func (j *Job) atOnce() int {
	switch {
	case j.Loading.AtOnce > 0:
		return j.Loading.AtOnce
	case strings.Contains(j.Stock.Tray, "one sheet at a time"):
		return 1
	}
	return usually
}

// Attributes are what the queue is asked for: the size of the piece in hundredths of a millimetre, the tray and so on (PWG 5100.7, 6.3;
// RFC 8011, 5.2; print-scaling of PWG 5100.13). What neither the configuration says nor the queue knows is left to the queue.
func (j *Job) Attributes() ipp.Attributes {
	media := ipp.Attributes{ipp.Collect("media-size", ipp.Number("x-dimension", ipp.Integer, hundredths(j.Size.W)), ipp.Number("y-dimension", ipp.Integer, hundredths(j.Size.H)))}
	if j.Loading.Source != "" {
		media = append(media, ipp.Attr("media-source", ipp.Keyword, j.Loading.Source))
	}
	if j.Loading.Type != "" {
		media = append(media, ipp.Attr("media-type", ipp.Keyword, j.Loading.Type))
	}
	out := ipp.Attributes{ipp.Number("copies", ipp.Integer, 1), ipp.Collect("media-col", media...)}
	if j.Loading.Quality > 0 {
		out = append(out, ipp.Number("print-quality", ipp.Enum, int(j.Loading.Quality)))
	}
	if j.Queue != nil && j.Queue.needsCustomSize(j.Size) {
		// CUPS makes whole points of a media-size where the queue has a driver file; by its own option it keeps what is asked for.
		out = append(out, ipp.Attr("PageSize", ipp.Keyword, fmt.Sprintf("Custom.%.2fx%.2fmm", float64(hundredths(j.Size.W))/100, float64(hundredths(j.Size.H))/100)))
	}
	return append(out, ipp.Attr("sides", ipp.Keyword, "one-sided"), ipp.Attr("print-scaling", ipp.Keyword, "none"), ipp.Attr("print-color-mode", ipp.Keyword, j.mode()))
}

func (j *Job) mode() string {
	if j.Colour {
		return "color"
	}
	return "monochrome"
}

// Asks are the attributes in words that a person can compare with a print dialogue.
func (j *Job) Asks() []string {
	said := func(s string) string {
		if s == "" {
			return "the printer's choice"
		}
		return printable(s)
	}
	return []string{
		fmt.Sprintf("paper size %.2f x %.2f mm", float64(hundredths(j.Size.W))/100, float64(hundredths(j.Size.H))/100),
		"tray: " + said(j.Loading.Source), "paper type: " + said(j.Loading.Type), "quality: " + said(j.Loading.Quality.String()),
		"one side", "actual size (no scaling)", map[bool]string{true: "colour", false: "black only"}[j.Colour],
	}
}

// PageWords is, in words for people, "page 4" or "pages 4-7, 9".
func PageWords(pages []int) string {
	return problem.Noun(len(pages), "page") + " " + strings.Join(problem.Ranges(pages, "-"), ", ")
}

// Listed are the values of a flag that takes several: it may be repeated, or they have commas between them, in quotation marks where one has a comma
// itself, or they are cells pasted from a table.
func Listed(values []string) (out []string) {
	for _, v := range values {
		r := csv.NewReader(strings.NewReader(strings.NewReplacer("\r", "\n", "\t", "\n").Replace(v)))
		r.FieldsPerRecord, r.LazyQuotes, r.TrimLeadingSpace = -1, true, true
		rows, _ := r.ReadAll() // what quotation marks do wrong is taken as it is
		for _, row := range rows {
			for _, s := range row {
				if s = strings.TrimSpace(s); s != "" {
					out = append(out, s)
				}
			}
		}
	}
	return out
}
