package report

import (
	"cmp"
	"errors"
	"io"
	"math"
	"slices"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/intake"
	"tuckmark/intake/longsheet"
	"tuckmark/intake/table"
)

// Input is what a report is made from.
type Input struct {
	Account  *account.Account
	Problems problem.List   // of the whole run; its notes are listed
	Title    string         // of the job
	Tick     func(rows int) // told how many rows are written; may be nil
	Stop     func() bool    // asked now and then; once it says yes, the report is no longer wanted; may be nil
}

// ErrStopped says that the report was no longer wanted.
var ErrStopped = errors.New("report: stopped")

// Write writes the workbook that says what the guides say, for a person to filter and for the next run to read: sheets
// Blocks, Cuts, Leftovers (headed as a Paper sheet is), Account, Held back, Notes, and Texts, which a redo prints from. The
// same input gives the same bytes. The error is w's; any other is a mistake of this program.
func Write(w io.Writer, in Input) error {
	b := newBook(excelize.NewFile(), in)
	defer b.f.Close()
	for _, write := range []func(){b.styles, b.blocks, b.cuts, b.leftovers, b.account, b.held, b.allNotes, b.texts} {
		if write(); b.err != nil {
			return b.err
		}
	}
	b.do(b.f.DeleteSheet("Sheet1"))
	b.f.SetActiveSheet(0)
	b.do(b.f.SetDocProps(&excelize.DocProperties{Title: in.Title + ": report", Creator: "tuckmark", Keywords: madeWith(b.Settings),
		Created: longsheet.Epoch.Format(time.RFC3339), Modified: longsheet.Epoch.Format(time.RFC3339)}))
	return b.write(w)
}

func newBook(f *excelize.File, in Input) *book {
	return &book{f: f, Account: in.Account, problems: in.Problems, stop: in.Stop, tick: in.Tick, unit: in.Account.Settings.Unit, later: longsheet.Rows{}}
}

// outcome is a row of the sheet Blocks: a block in its spot, or a row that was held back.
type outcome struct {
	*account.Spot
	held *intake.Held
}

const (
	headOutcome  = "Outcome"
	printed      = "printed"
	printedAgain = "printed again"
	heldBack     = "held back"
)

// blockColumns are the columns of the sheet Blocks.
func (b *book) blockColumns() []column[outcome] {
	// either is what a block says of itself, and what a held row says.
	either := func(head string, width float64, kind kind, block, held func(outcome) any) column[outcome] {
		return column[outcome]{field{head, width, kind}, func(o outcome) any {
			switch {
			case o.Spot != nil:
				return block(o)
			case held != nil:
				return held(o)
			}
			return nil
		}}
	}
	return sums([]column[outcome]{
		either(headCode, 9, text, func(o outcome) any { return o.Block.Code }, func(o outcome) any { return o.held.Code }),
		either("Owner", 20, text, func(o outcome) any { return o.Block.Owner }, func(o outcome) any { return o.held.Owner }),
		either("Page", 14, text, func(o outcome) any { return o.Block.Page }, nil),
		either("First words", 80, text, func(o outcome) any { return account.Begins(o.Block.Block) }, nil),
		either("Stock", 15, text, func(o outcome) any { return o.Piece.Stock }, nil),
		either(headOutcome, 11, text, func(outcome) any { return printed }, func(outcome) any { return heldBack }),
		either("Trimmed to", 17, text, func(o outcome) any {
			size := o.Rect.Size()
			if o.Block.Turned {
				size = size.Turn()
			}
			return size.Format(b.unit.Ruler())
		}, nil),
		either("Font", 14, text, func(o outcome) any { return o.Block.Setting.Face }, nil),
		either("Type size (pt)", 9, length, func(o outcome) any { return o.Block.Setting.Size.Points() }, nil),
		either("Lines", 7, whole, func(o outcome) any { return len(o.Block.Setting.Lines) }, nil),
		either("PDF page", 8, whole, func(o outcome) any { return o.Piece.Page }, nil),
		either("Place", 7, text, func(o outcome) any { return o.Place() }, nil),
		either("Copy", 7, whole, func(o outcome) any { return o.Block.Copy }, nil),
		either("Turned", 8, text, func(o outcome) any {
			if o.Block.Turned {
				return "yes"
			}
			return "no"
		}, nil),
		either(headFile, 24, text, func(o outcome) any { return o.Block.Block.Place.File }, func(o outcome) any { return o.held.Place.File }),
		either(headSheet, 14, text, func(o outcome) any { return o.Block.Block.Place.Sheet }, func(o outcome) any { return o.held.Place.Sheet }),
		either(headRow, 7, whole, func(o outcome) any { return o.Block.Block.Place.Row }, func(o outcome) any { return rowOf(o.held.Place) }),
	})
}

func (b *book) blocks() {
	var rows []outcome
	for i := range b.Owners {
		for k := range b.Owners[i].Blocks {
			rows = append(rows, outcome{Spot: &b.Owners[i].Blocks[k]})
		}
		for k := range b.Owners[i].Held {
			rows = append(rows, outcome{held: &b.Owners[i].Held[k]})
		}
	}
	long(b, blocksSheet, b.blockColumns(), rows)
}

func rowOf(at problem.Place) any {
	if at.Row == 0 {
		return nil
	}
	return at.Row
}

// cut is a row of the sheet Cuts.
type cut struct {
	stock  string
	page   int    // 0: of a sheet that is cut before printing
	before string // what is cut before printing
	*account.Cutting
	*account.Line
	out *account.Part // without a trimmer: what is cut out, in the place of a line
	nth int           // of those on its piece
}

// cutColumns are the columns of the sheet Cuts.
func (b *book) cutColumns() []column[cut] {
	// either is what is said of a cut on a trimmer, and what of a part that is cut out with scissors.
	either := func(on, out func(cut) any) func(cut) any {
		return func(c cut) any {
			switch {
			case c.out == nil:
				return on(c)
			case out == nil:
				return nil
			}
			return out(c)
		}
	}
	return []column[cut]{
		{field{"Stock", 15, text}, func(c cut) any { return c.stock }},
		{field{"PDF page", 8, whole}, func(c cut) any {
			if c.page == 0 {
				return nil
			}
			return c.page
		}},
		{field{"Before printing", 22, text}, func(c cut) any { return c.before }},
		{field{"Cut", 6, whole}, either(func(c cut) any { return c.N }, func(c cut) any { return c.nth })},
		{field{"Take", 12, text}, either(func(c cut) any { return c.Cutting.Take(c.Line) }, func(c cut) any { return c.out.Describe() })},
		{field{"Against the fence", 14, text}, either(func(c cut) any { return c.Step.Edge() }, nil)},
		{field{"Set to", 12, text}, either(func(c cut) any { return c.Step.Set.Format(b.unit.Ruler()) }, func(c cut) any { return c.out.Rect.Size().Format(b.unit.Ruler()) })},
		{field{b.in("Planned"), 11, length}, either(func(c cut) any { return b.inUnit(c.Step.Planned()) }, nil)},
		{field{"Times", 7, whole}, either(func(c cut) any { return c.Times }, func(cut) any { return 1 })},
		{field{"Line", 10, text}, either(func(c cut) any { return c.Step.FoundBy() }, func(c cut) any { return cmp.Or(c.Told(c.out, b.unit), "outline") })},
		{field{"Gives", 18, text}, either(func(c cut) any { return c.Gives() }, func(c cut) any { return c.out.Describe() })},
	}
}

func (b *book) cuts() {
	var rows []cut
	add := func(stock string, page int, before string, c *account.Cutting) {
		for i := range c.Lines {
			rows = append(rows, cut{stock: stock, page: page, before: before, Cutting: c, Line: &c.Lines[i]})
		}
		if c.Outlined {
			for i, q := range c.Out() {
				rows = append(rows, cut{stock: stock, page: page, before: before, Cutting: c, out: q, nth: i + 1})
			}
		}
	}
	for i := range b.Panels {
		c := &b.Panels[i]
		kind := "sheet"
		if c.Leftover {
			kind = "leftover"
		}
		add(c.Stock, 0, problem.Count(c.Sheets, kind)+" "+c.Whole.Rect.Size().Format(b.unit.Ruler()), c.Cutting)
	}
	for _, p := range b.Pieces {
		add(p.Stock, p.Page, "", p.Cutting)
	}
	long(b, cutsSheet, b.cutColumns(), rows)
}

// leftovers lists what is in the folder afterwards, as far as it is counted: what this job leaves, then the leftovers and
// the counted sheets that it did not use.
func (b *book) leftovers() {
	fields := []field{{"Stock", 18, text}, {b.in("Width"), 10, length}, {b.in("Height"), 10, length}, {"Count", 8, whole}, {"Price", 9, amount}, {"Leftover", 10, text}}
	var rows [][]any
	for _, r := range b.Rests(true) {
		rows = append(rows, []any{r.Stock, b.inUnit(r.Size.W), b.inUnit(r.Size.H), r.Count, 0.0, "yes"})
	}
	for _, u := range b.Unused() {
		leftover, count := "no", any(u.Count)
		if u.Leftover {
			leftover = "yes"
		}
		if u.Count < 0 {
			count = nil
		}
		rows = append(rows, []any{u.Stock, b.inUnit(u.Size.W), b.inUnit(u.Size.H), count, cents(u.Price), leftover})
	}
	rows = slices.DeleteFunc(rows, func(r []any) bool { return r[1] == 0.0 || r[2] == 0.0 }) // what is so small is no paper, and no list of paper may have it
	b.sheet(leftoversSheet, fields, rows, nil)
}

// itemHead is the heading of what is shared out: its name, but where the next run would take that for the column of owners or of sums.
func itemHead(name string) string {
	if isOwnerHead(name) || isPayHead(name) {
		return "Cost: " + name
	}
	return name
}

func (b *book) account() {
	bill := b.Bill()
	area, side := headArea+" (sq in)", measure.Inch
	if b.unit.Metric() {
		area, side = headArea+" (sq cm)", measure.Centimetre
	}
	fields := []field{{headOwner, 26, text}, {headBlocks, 9, whole}, {area, 12, amount}}
	for _, item := range bill.Items {
		fields = append(fields, field{itemHead(item.Name), 14, amount})
	}
	pay := headPay
	if b.Settings.Currency != "" {
		pay += " (" + b.Settings.Currency + ")"
	}
	fields = append(fields, field{pay, 12, amount})
	var rows [][]any
	blocks := 0
	line := func(name string, blocks int, area int64, by []int64) []any {
		r := []any{name, blocks, math.Round(account.AreaIn(area, side)*100) / 100}
		for _, c := range by {
			r = append(r, cents(c))
		}
		return append(r, cents(account.Sum(by)))
	}
	for i, name := range bill.Owners {
		rows = append(rows, line(name, bill.Blocks[i], bill.Areas[i], bill.Cents[i]))
		blocks += bill.Blocks[i]
	}
	b.sheet(accountSheet, fields, rows, line(totalRow, blocks, account.Sum(bill.Areas), bill.Totals()))
	// What was used, stock by stock, stands below, apart from the rows that a filter hides.
	at := len(rows) + 5
	sheet := accountSheet + b.add
	used := []field{{headStock, 0, text}, {headUsed, 0, whole}, {"At least", 0, whole}, {"Leftovers used", 0, whole}, {"Filled (%)", 0, length}, {"Cost", 0, amount}}
	b.row(sheet, at, len(used), func(k int) int { return b.head[used[k].kind] }, heads(used))
	b.do(b.f.SetRowHeight(sheet, at, 2*rowHeight))
	for _, u := range b.Plan.Stocks {
		at++
		b.row(sheet, at, len(used), func(k int) int { return b.kind[used[k].kind] },
			[]any{u.Stock, u.NewSheets, u.Bound, b.LeftoversUsed(u.Stock), float64(int64(u.Filled*1000+0.5)) / 10, cents(u.Cents)})
	}
	// How it was shared, and whose prices it goes by: sentences, which run on over the cells beside them.
	said := []string{b.How()}
	for _, p := range b.Prices() {
		said = append(said, b.Said(p))
	}
	for i, text := range said {
		b.do(b.f.SetCellStr(sheet, table.Address(0, at+2+i), table.Escape(text)))
	}
	b.reaches(sheet, max(len(fields), len(used)), at+1+len(said))
}

// The sheets that a redo adds to, and what the account is read again by.
const (
	blocksSheet  = "Blocks"
	cutsSheet    = "Cuts"
	accountSheet = "Account"
	heldSheet    = "Held back"
	headOwner    = "Owner"
	headBlocks   = "Blocks"
	headArea     = "Area" // with its unit
	headPay      = "To pay"
	totalRow     = "Total"
	headStock    = "Stock" // with the next, of the table below the account
	headUsed     = "New sheets"
)

func (b *book) held() {
	var rows [][]any
	for _, h := range b.Plan.Held {
		rows = append(rows, []any{h.Code, h.Owner, allOf(h.Whole, h.Why), h.Place.File, h.Place.Sheet, rowOf(h.Place)})
	}
	b.longSheet(heldSheet, []field{{headCode, 9, text}, {"Owner", 20, text}, {"Why", 70, text}, {headFile, 26, text}, {headSheet, 16, text}, {headRow, 7, whole}}, rows)
}
