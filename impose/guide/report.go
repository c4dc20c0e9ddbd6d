package guide

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
)

// Report writes the workbook that says what the guides say, for a person to filter and for the next run to read: sheets
// Blocks, Cuts, Leftovers (headed as a Paper sheet is), Account, Held back, Notes, and Texts, which a redo prints from. The same input gives the same
// bytes. The error is w's; any other is a mistake of this program.
func Report(w io.Writer, in Input) error {
	j := newJob(in)
	b := &book{f: excelize.NewFile(), job: j}
	defer b.f.Close()
	for _, write := range []func(){b.styles, b.blocks, b.cuts, b.leftovers, b.account, b.held, b.notes, b.texts} {
		write()
	}
	b.do(b.f.DeleteSheet("Sheet1"))
	b.f.SetActiveSheet(0)
	b.do(b.f.SetDocProps(&excelize.DocProperties{Title: in.Title + ": report", Creator: "tuckmark",
		Created: epoch.Format(time.RFC3339), Modified: epoch.Format(time.RFC3339)}))
	return b.write(w)
}

// write writes the workbook out.
func (b *book) write(w io.Writer) error {
	if b.err != nil {
		return b.err
	}
	plain, err := b.f.WriteToBuffer()
	if err != nil {
		return fmt.Errorf("guide: writing the report: %w", err)
	}
	return rezip(w, plain.Bytes())
}

// epoch stands for the time of writing, so that the same job gives the same bytes; it is the earliest that a zip can hold.
var epoch = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// rezip packs a workbook's parts anew, the list of contents first and the others by name, all at the same time.
func rezip(w io.Writer, data []byte) error {
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return fmt.Errorf("guide: packing the report: %w", err)
	}
	files := slices.Clone(r.File)
	rank := func(f *zip.File) string {
		if f.Name == "[Content_Types].xml" {
			return ""
		}
		return f.Name
	}
	slices.SortFunc(files, func(a, b *zip.File) int { return bytes.Compare([]byte(rank(a)), []byte(rank(b))) })
	z := zip.NewWriter(w)
	for _, f := range files {
		in, err := f.Open()
		if err != nil {
			return fmt.Errorf("guide: packing the report: %w", err)
		}
		out, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: epoch})
		if err == nil {
			_, err = io.Copy(out, in)
		}
		in.Close()
		if err != nil {
			return err
		}
	}
	return z.Close()
}

// book is the workbook in the making; the first error stays.
type book struct {
	f    *excelize.File
	job  *job
	err  error
	add  string // to the names of sheets: " 2" in what a redo adds
	head [4]int // style of the heading of each kind of column
	kind [4]int // of its cells
	sum  [4]int // of its cell in a row of totals
}

// What a column holds.
type kind uint8

const (
	text kind = iota
	whole
	length
	amount
)

// field is a column of a sheet.
type field struct {
	head  string
	width float64 // in characters
	kind  kind
}

func (b *book) do(err error) {
	if err != nil && b.err == nil {
		b.err = fmt.Errorf("guide: writing the report: %w", err)
	}
}

func (b *book) styles() {
	style := func(s excelize.Style) int {
		id, err := b.f.NewStyle(&s)
		b.do(err)
		return id
	}
	strong := &excelize.Font{Bold: true, Family: "Calibri", Size: 11} // as the cells, which have the library's standard font
	line := func(side string) []excelize.Border { return []excelize.Border{{Type: side, Style: 1, Color: "808080"}} }
	formats := [...]string{"@", "0", "0.####", "0.00"}
	for k, f := range formats {
		// Texts are set in by a little, so that they do not touch a number to their left.
		across, in := "right", 0
		if kind(k) == text {
			across, in = "left", 1
		}
		b.head[k] = style(excelize.Style{Font: strong, Alignment: &excelize.Alignment{Horizontal: across, Indent: in, Vertical: "center", WrapText: true},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"F2F2F2"}}, Border: line("bottom")})
		cell := excelize.Style{CustomNumFmt: &f, Alignment: &excelize.Alignment{Horizontal: across, Indent: in, Vertical: "top", WrapText: kind(k) == text}}
		b.kind[k] = style(cell)
		cell.Font, cell.Border = strong, line("top")
		b.sum[k] = style(cell)
	}
}

// sheet adds a sheet under a frozen heading, filterable. Texts are written as texts, so that none is taken for a formula.
func (b *book) sheet(name string, fields []field, rows [][]any, totals []any) {
	name += b.add
	_, err := b.f.NewSheet(name)
	b.do(err)
	for i, f := range fields {
		col, err := excelize.ColumnNumberToName(i + 1)
		b.do(err)
		b.do(b.f.SetColWidth(name, col, col, f.width))
	}
	b.row(name, 1, len(fields), func(k int) int { return b.head[fields[k].kind] }, heads(fields))
	b.do(b.f.SetRowHeight(name, 1, 2*rowHeight))
	for i, r := range rows {
		b.row(name, i+2, len(fields), func(k int) int { return b.kind[fields[k].kind] }, r)
		if n := lines(fields, r); n > 1 {
			b.do(b.f.SetRowHeight(name, i+2, min(float64(n)*rowHeight, 409))) // more than 409 is not allowed
		}
	}
	if totals != nil {
		b.row(name, len(rows)+2, len(fields), func(k int) int { return b.sum[fields[k].kind] }, totals)
	}
	last, err := excelize.CoordinatesToCellName(len(fields), max(len(rows)+1, 2))
	b.do(err)
	b.do(b.f.AutoFilter(name, "A1:"+last, nil))
	b.do(b.f.SetSheetDimension(name, "A1:"+last))
	b.do(b.f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	landscape, fit, high := "landscape", 1, 0
	b.do(b.f.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &fit, FitToHeight: &high}))
	fitted := true
	b.do(b.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fitted}))
}

// rowHeight is the height of a line, in points.
const rowHeight = 15

// lines is about how many lines a row takes. It is said in the file because not every program works it out on opening.
func lines(fields []field, row []any) int {
	most := 1
	for i, c := range row {
		s, _ := c.(string)
		n := 0
		for line := range strings.Lines(s) {
			n += 1 + max(0, utf8.RuneCountInString(line)-1)/max(1, int(fields[i].width)-1)
		}
		most = max(most, n)
	}
	return most
}

func heads(fields []field) []any {
	out := make([]any, len(fields))
	for i, f := range fields {
		out[i] = f.head
	}
	return out
}

// row writes cells; an empty text leaves its cell empty.
func (b *book) row(sheet string, at, columns int, style func(int) int, cells []any) {
	if len(cells) != columns {
		panic(fmt.Sprintf("guide: %d cells for the %d columns of %s", len(cells), columns, sheet))
	}
	for i, c := range cells {
		name, err := excelize.CoordinatesToCellName(i+1, at)
		b.do(err)
		switch v := c.(type) {
		case string:
			if v != "" {
				b.do(b.f.SetCellStr(sheet, name, v))
			}
		case int:
			b.do(b.f.SetCellInt(sheet, name, int64(v)))
		case float64:
			b.do(b.f.SetCellFloat(sheet, name, v, -1, 64))
		case nil:
		default:
			panic(fmt.Sprintf("guide: a cell of %T", c))
		}
		b.do(b.f.SetCellStyle(sheet, name, name, style(i)))
	}
}

// number is a length as a number of the rule's unit, rounded down to a ten-thousandth.
func (b *book) number(l measure.Length) float64 {
	one := ruler(b.job.unit).Length()
	n := int64(l)/int64(one)*10000 + int64(l)%int64(one)*10000/int64(one)
	return float64(n) / 10000
}

// in is a heading with the rule's unit.
func (b *book) in(head string) string { return head + " (" + ruler(b.job.unit).String() + ")" }

func cents(n int64) float64 { return float64(n) / 100 }

func (b *book) blocks() {
	fields := []field{{"Code", 9, text}, {"Owner", 20, text}, {"Page", 14, text}, {"First words", 80, text}, {"Stock", 15, text},
		{"Outcome", 11, text}, {"Trimmed to", 17, text}, {"Font", 14, text}, {"Type size (pt)", 9, length},
		{"Lines", 7, whole}, {"PDF page", 8, whole}, {"Place", 7, text}, {"Copy", 7, whole}, {"Turned", 8, text},
		{"File", 24, text}, {"Worksheet", 14, text}, {"Row", 7, whole}}
	var rows [][]any
	for i := range b.job.owners {
		o := &b.job.owners[i]
		for _, s := range o.blocks {
			page, begins, turned := "", "", "no"
			w, h := s.Width, s.Height
			if s.Setting != nil && s.Setting.Block != nil {
				page, begins = s.Setting.Block.Page, words(s.Setting.Block)
			}
			if s.Turned {
				turned = "yes"
				w, h = h, w
			}
			rows = append(rows, []any{s.Code, s.Owner, page, begins, s.piece.Stock, "printed", exact(measure.Size{W: w, H: h}, b.job.unit), s.Font, s.Points,
				s.Lines, s.piece.Page, letter(s.place), s.Copy, turned, s.Place.File, s.Place.Sheet, s.Place.Row})
		}
		for _, h := range o.held {
			rows = append(rows, []any{h.Code, h.Owner, "", "", "", "held back", "", "", nil, nil, nil, "", nil, "", h.Place.File, h.Place.Sheet, rowOf(h.Place)})
		}
	}
	b.sheet("Blocks", fields, rows, nil)
}

func rowOf(at problem.Place) any {
	if at.Row == 0 {
		return nil
	}
	return at.Row
}

func (b *book) cuts() {
	fields := []field{{"Stock", 15, text}, {"PDF page", 8, whole}, {"Before printing", 22, text}, {"Cut", 6, whole}, {"Take", 12, text},
		{"Against the fence", 14, text}, {"Set to", 12, text}, {b.in("Planned"), 11, length}, {"Line", 10, text}, {"Gives", 18, text}}
	var rows [][]any
	add := func(stock string, page any, before string, w *way, s *step) {
		planned := s.at() - s.of.rect.X
		if !s.of.down {
			planned = s.at() - s.of.rect.Y
		}
		if s.far {
			planned = s.of.far.rect.W
			if !s.of.down {
				planned = s.of.far.rect.H
			}
		}
		rows = append(rows, []any{stock, page, before, s.n, w.take(s), s.edge(), s.set.About(ruler(b.job.unit)), b.number(planned), s.line(), s.gives()})
	}
	for i := range b.job.panels {
		c := &b.job.panels[i]
		for k := range c.way.steps {
			add(c.stock, nil, count(c.sheets, "sheet")+" "+exact(c.way.root.rect.Size(), b.job.unit), c.way, &c.way.steps[k])
		}
	}
	for i := range b.job.pieces {
		p := &b.job.pieces[i]
		for k := range p.way.steps {
			add(p.Stock, p.Page, "", p.way, &p.way.steps[k])
		}
	}
	b.sheet("Cuts", fields, rows, nil)
}

// leftovers lists what is in the folder afterwards, as far as it is counted: what this job leaves, then the leftovers and
// the counted sheets that it did not use.
func (b *book) leftovers() {
	fields := []field{{"Stock", 18, text}, {b.in("Width"), 10, length}, {b.in("Height"), 10, length}, {"Count", 8, whole}, {"Price", 9, amount}, {"Leftover", 10, text}}
	var rows [][]any
	for _, r := range b.job.rests(true) {
		rows = append(rows, []any{r.stock, b.number(r.size.W), b.number(r.size.H), r.n, 0.0, "yes"})
	}
	for _, u := range b.job.unused() {
		leftover, count, price := "no", any(u.Count), any(cents(u.Price))
		if u.Leftover {
			leftover = "yes"
		}
		if u.Count < 0 {
			count = nil
		}
		if u.Price < 0 {
			price = nil
		}
		rows = append(rows, []any{u.stock, b.number(u.Size.W), b.number(u.Size.H), count, price, leftover})
	}
	b.sheet("Leftovers", fields, rows, nil)
}

// stocked is paper of a stock.
type stocked struct {
	config.Sheet
	stock string
}

// unused is the paper at hand that the plan does not use. Sheets without end are left out, unless the stock has counted
// ones as well: a list of its paper must then be whole.
func (j *job) unused() []stocked {
	var out []stocked
	used := j.used()
	for _, t := range j.Settings.Stocks {
		var sheets []config.Sheet
		given := false
		for _, p := range j.Paper {
			if p.Stock == t.Name {
				given = given || !p.Leftover
				n := p.Count
				if p.Leftover && n < 0 {
					n = 1
				}
				sheets = append(sheets, config.Sheet{Size: p.Size, Count: n, Price: p.Price, Leftover: p.Leftover})
			}
		}
		for _, s := range t.Sheets {
			if s.Leftover || !given {
				sheets = append(sheets, s)
			}
		}
		counted := slices.ContainsFunc(sheets, func(s config.Sheet) bool { return !s.Leftover && s.Count >= 0 })
		for _, s := range sheets {
			take := func(size measure.Size) {
				k := taken{t.Name, s.Leftover, size}
				n := min(used[k], max(s.Count, 0))
				used[k] -= n
				s.Count -= n
			}
			if s.Count >= 0 {
				take(s.Size)
				if s.Size != s.Size.Turn() {
					take(s.Size.Turn())
				}
			}
			if s.Leftover && s.Count == 0 || !s.Leftover && !counted {
				continue
			}
			out = append(out, stocked{s, t.Name})
		}
	}
	return out
}

// taken is a kind of sheet that the plan uses, and its size as fed.
type taken struct {
	stock    string
	leftover bool
	size     measure.Size
}

// used counts the sheets and leftovers of the plan. A sheet that is cut first has the size of its first cut's rectangle.
func (j *job) used() map[taken]int {
	type sheet struct {
		stock string
		n     int
	}
	whole := map[sheet]measure.Size{}
	for _, c := range j.Plan.Precuts {
		if s := (sheet{c.Stock, c.Sheet}); whole[s] == (measure.Size{}) {
			whole[s] = c.Rect.Size()
		}
	}
	out := map[taken]int{}
	seen := map[sheet]bool{}
	for i := range j.pieces {
		p := &j.pieces[i]
		s := sheet{p.Stock, p.Source.Sheet}
		if seen[s] {
			continue
		}
		seen[s] = true
		size, cut := whole[s]
		if !cut {
			size = p.Size()
		}
		out[taken{p.Stock, p.Source.Kind == impose.FromLeftover, size}]++
	}
	return out
}

func (b *book) account() {
	j := b.job
	bill := j.bill()
	area := "Area (sq in)"
	per := float64(measure.Inch) * float64(measure.Inch)
	if metric(j.unit) {
		area, per = "Area (sq cm)", float64(measure.Centimetre)*float64(measure.Centimetre)
	}
	fields := []field{{"Owner", 26, text}, {"Blocks", 9, whole}, {area, 12, amount}}
	for _, s := range bill.stocks {
		fields = append(fields, field{s, 14, amount})
	}
	pay := "To pay"
	if j.Settings.Currency != "" {
		pay += " (" + j.Settings.Currency + ")"
	}
	fields = append(fields, field{pay, 12, amount})
	var rows [][]any
	totals := make([]int64, len(bill.stocks))
	blocks, areas := 0, int64(0)
	line := func(name string, blocks int, area int64, by []int64) []any {
		r := []any{name, blocks, float64(int64(float64(area)/per*100+0.5)) / 100}
		for _, c := range by {
			r = append(r, cents(c))
		}
		return append(r, cents(sum(by)))
	}
	for i, name := range bill.owners {
		rows = append(rows, line(name, bill.blocks[i], sum(bill.areas[i]), bill.cents[i]))
		for k, c := range bill.cents[i] {
			totals[k] += c
		}
		blocks += bill.blocks[i]
		areas += sum(bill.areas[i])
	}
	b.sheet("Account", fields, rows, line("Total", blocks, areas, totals))
	// What was used, stock by stock, stands below, apart from the rows that a filter hides.
	at := len(rows) + 5
	used := []field{{"Stock", 0, text}, {"New sheets", 0, whole}, {"At least", 0, whole}, {"Leftovers used", 0, whole}, {"Filled (%)", 0, length}, {"Cost", 0, amount}}
	b.row("Account"+b.add, at, len(used), func(k int) int { return b.head[used[k].kind] }, heads(used))
	b.do(b.f.SetRowHeight("Account"+b.add, at, 2*rowHeight))
	for _, u := range j.Plan.Stocks {
		at++
		b.row("Account"+b.add, at, len(used), func(k int) int { return b.kind[used[k].kind] },
			[]any{u.Stock, u.NewSheets, u.Bound, j.leftovers(u.Stock), float64(int64(u.Filled*1000+0.5)) / 10, cents(u.Cents)})
	}
}

func (b *book) held() {
	var rows [][]any
	for _, h := range b.job.Plan.Held {
		rows = append(rows, []any{h.Code, h.Owner, h.Why, h.Place.File, h.Place.Sheet, rowOf(h.Place)})
	}
	b.sheet("Held back", []field{{"Code", 9, text}, {"Owner", 20, text}, {"Why", 70, text}, {"File", 26, text}, {"Worksheet", 16, text}, {"Row", 7, whole}}, rows, nil)
}

func (b *book) notes() {
	var rows [][]any
	for _, n := range b.job.Problems {
		if n.Severity != problem.Note {
			continue
		}
		rows = append(rows, []any{n.What, n.Cause, n.Hint, n.Place.File, n.Place.Sheet, rowOf(n.Place), n.Place.Column})
	}
	b.sheet("Notes", []field{{"What", 60, text}, {"Why", 40, text}, {"What to do", 50, text}, {"File", 26, text}, {"Worksheet", 16, text}, {"Row", 7, whole}, {"Column", 14, text}}, rows, nil)
}
