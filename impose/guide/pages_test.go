package guide

import (
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

const inch = measure.Inch

var library = typeset.NewLibrary(nil)

// jobs are the made-up jobs that every page test looks at.
func jobs() map[string]*made.Draft {
	mm := made.Settings()
	mm.Unit = measure.Mm
	mm.Guide = made.Size(210*measure.Millimetre, 297*measure.Millimetre)
	free := made.Settings()
	free.Currency = ""
	for i := range free.Stocks {
		free.Stocks[i].Sheets[0].Price = 0
	}
	out := map[string]*made.Draft{
		"one block":          made.One(made.Settings()),
		"three stocks":       made.Three(made.Settings()),
		"three stocks in mm": made.Three(mm),
		"without prices":     made.Three(free),
		"60 blocks":          made.Random(made.Settings(), 1, 60, 9, 12),
		"60 blocks in mm":    made.Random(mm, 2, 60, 9, 12),
		"200 blocks":         made.Random(made.Settings(), 3, 200, 20, 5),
	}
	dozen := made.New(made.Settings(), 3)
	for range 40 {
		dozen.Piece("cardstock", made.LetterPaper, inch/8, []measure.Size{made.Size(4*inch, 2*inch), made.Size(4*inch, 2*inch)}, []measure.Size{made.Size(4*inch, 2*inch), made.Size(4*inch, 2*inch)})
	}
	dozen.Hold(150)
	out["many alike, many held"] = dozen
	crowd := made.New(made.Settings(), 60)
	var shelves [][]measure.Size
	for range 20 {
		shelves = append(shelves, []measure.Size{made.Size(inch, inch/2), made.Size(2*inch, inch/2), made.Size(inch*3/2, inch/2), made.Size(inch, inch/2), made.Size(inch, inch/2)})
	}
	crowd.Piece("vellum", made.LetterPaper, 0, shelves...)
	out["100 blocks on one piece"] = crowd
	return out
}

// scattered is five blocks to a row with three copies each, of which two lie in one place and one in another.
func scattered(rows int) *made.Draft {
	d := made.New(made.Settings(), 9)
	var shelves [][]measure.Size
	for range rows {
		shelves = append(shelves, []measure.Size{made.Size(inch, inch/2), made.Size(inch, inch/2), made.Size(inch, inch/2), made.Size(inch, inch/2), made.Size(inch, inch/2)})
	}
	var blocks []*intake.Block
	for n := range 3 {
		at := 0
		for leaf := range d.Piece("vellum", made.LetterPaper, 0, shelves...).Whole.Leaves {
			if leaf.Block == nil {
				continue
			}
			if n == 0 {
				blocks = append(blocks, leaf.Block.Block)
			}
			leaf.Block.Block, leaf.Block.Copy = blocks[(at+n/2*7)%len(blocks)], n+1
			at++
		}
	}
	return d
}

// line is a text of a page and where it begins.
type line struct {
	x, y measure.Length
	text string
}

// read gives a page's rows as a person reads them, top to bottom; what stands on one baseline is one row.
func read(p press.Page) []string {
	var all []line
	for _, t := range p.Texts {
		if t.Turned {
			continue
		}
		l := line{t.Glyphs[0].X, t.Glyphs[0].Y, ""}
		for _, g := range t.Glyphs {
			l.text += g.Text
		}
		all = append(all, l)
	}
	slices.SortStableFunc(all, func(a, b line) int { return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x)) })
	var out []string
	for i, l := range all {
		if i > 0 && all[i-1].y == l.y {
			out[len(out)-1] += " " + l.text
			continue
		}
		out = append(out, l.text)
	}
	return out
}

// inOrder gives a page's rows as they were written: what is told on one line, from left to right, column after column.
func inOrder(p press.Page) (out []string) {
	var last line
	for _, t := range p.Texts {
		l := line{t.Glyphs[0].X, t.Glyphs[0].Y, ""}
		for _, g := range t.Glyphs {
			l.text += g.Text
		}
		if n := len(out); n > 0 && l.y == last.y && l.x > last.x {
			out[n-1] += " " + l.text
		} else {
			out = append(out, l.text)
		}
		last = l
	}
	return out
}

// finished are the guides of every made-up job; tests only read them.
var finished = sync.OnceValue(func() map[string]guides {
	out := map[string]guides{}
	for name, d := range jobs() {
		in, pages := finish(d)
		out[name] = guides{d, in, pages}
	}
	return out
})

type guides struct {
	*made.Draft
	in    Input
	pages []press.Page
}

func input(d *made.Draft) Input {
	return Input{Account: account.Of(d.Plan, d.Settings, nil), Fonts: library, Title: "Ferry weekend", Files: []string{"weekend.xlsx", "late.csv"}}
}

// finish numbers a plan behind its guides and makes them.
func finish(d *made.Draft) (Input, []press.Page) {
	in := input(d)
	in.Problems.Note(problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 7}, "neither the text nor When carries a date", "", "")
	d.Plan.Number(len(Pages(in)) + 1)
	return in, Pages(in)
}

func width(h *hand, t press.Text, text string) measure.Length {
	return h.advance(style{strings.Contains(t.Font.Name, "Bold"), t.Size, black}, text)
}

// No text leaves the page, and none stands in the outer 0.4 in that printers may not reach; none is smaller than 9 pt.
func TestPagesWithinMargins(t *testing.T) {
	for name, m := range finished() {
		within(t, name, m.in, m.pages)
	}
}

func within(t *testing.T, name string, in Input, pages []press.Page) {
	t.Helper()
	size, h := in.Account.Settings.Guide, newHand(in.Fonts, in.Font)
	inside := size.At(0, 0).Inset(measure.Same(inch * 4 / 10))
	for i, p := range pages {
		if p.Size != size {
			t.Errorf("%s, page %d: size %v", name, i+1, p.Size)
		}
		for _, s := range p.Texts {
			text := ""
			for _, g := range s.Glyphs {
				text += g.Text
			}
			w := width(h, s, text)
			x, y := s.Glyphs[0].X, s.Glyphs[0].Y
			box := measure.Rect{X: x, Y: y - s.Size, W: w, H: s.Size * 13 / 10}
			if s.Turned {
				box = measure.Rect{X: x - s.Size*3/10, Y: y, W: s.Size * 13 / 10, H: w}
			}
			if !inside.Contains(box) {
				t.Errorf("%s, page %d: %q at %s, %s is too near to the edge or off the page", name, i+1, text, x.About(measure.In), y.About(measure.In))
			}
			if s.Size < 9*measure.Point {
				t.Errorf("%s, page %d: %q is %.1f pt", name, i+1, text, s.Size.Points())
			}
		}
		for _, l := range p.Lines {
			if r := (measure.Rect{X: min(l.X1, l.X2), Y: min(l.Y1, l.Y2), W: max(l.X1, l.X2) - min(l.X1, l.X2), H: max(l.Y1, l.Y2) - min(l.Y1, l.Y2)}); !inside.Contains(r) {
				t.Errorf("%s, page %d: a line leaves the margins", name, i+1)
			}
		}
		for _, f := range p.Fills {
			if !inside.Contains(f.Rect) {
				t.Errorf("%s, page %d: a tint leaves the margins", name, i+1)
			}
		}
	}
}

// Rows of text do not run into one another.
func TestPagesDoNotOverprint(t *testing.T) {
	for name, m := range finished() {
		overprinted(t, name, m.pages)
	}
}

func overprinted(t *testing.T, name string, pages []press.Page) {
	t.Helper()
	h := newHand(library, nil)
	for i, p := range pages {
		type box struct {
			measure.Rect
			text string
		}
		var boxes []box
		for _, s := range p.Texts {
			text := said(s)
			w := width(h, s, text)
			x, y := s.Glyphs[0].X, s.Glyphs[0].Y
			r := measure.Rect{X: x, Y: y - s.Size*6/10, W: w, H: s.Size * 6 / 10}
			if s.Turned {
				r = measure.Rect{X: x, Y: y, W: s.Size * 6 / 10, H: w}
			}
			boxes = append(boxes, box{r, text})
		}
		slices.SortStableFunc(boxes, func(a, b box) int { return cmp.Compare(a.Y, b.Y) })
		for k, b := range boxes {
			for _, c := range boxes[k+1:] {
				if c.Y >= b.Bottom() {
					break
				}
				if b.Overlaps(c.Rect) {
					t.Errorf("%s, page %d: %q over %q", name, i+1, b.text, c.text)
				}
			}
		}
	}
}

// A plan that is numbered from 1 has as many pages of guides as one that is numbered behind them, or behind anything.
func TestPagesCountIndependentOfNumbers(t *testing.T) {
	longtests.Only(t)
	all := jobs()
	for rows := range 12 {
		all[fmt.Sprintf("copies on two pages and one more, %d rows of them", rows+1)] = scattered(rows + 1)
	}
	for name, d := range all {
		in := input(d)
		d.Plan.Number(1)
		want := len(Pages(in))
		for _, first := range []int{want + 1, 8500} {
			d.Plan.Number(first)
			if got := len(Pages(in)); got != want {
				t.Errorf("%s: %d pages when numbered from 1, %d from %d", name, want, got, first)
			}
		}
	}
}

// Many pages are a burden: no more than one for each kind of piece to cut, but for giants, and one for forty rows to sort.
func TestPagesStayFew(t *testing.T) {
	for name, m := range finished() {
		a := m.in.Account
		most := 5 + len(m.Plan.Held)/16
		for _, g := range a.Groups {
			p := g.Pieces[0]
			most += 1 + len(p.Steps)/40 + len(g.Pieces)*len(p.Spots)/100
		}
		most += (m.Blocks+2*len(a.Owners))/30 + 1
		if len(m.pages) > most {
			t.Errorf("%s: %d pages, want no more than %d", name, len(m.pages), most)
		}
	}
}

// sectionsOf sorts a job's rows by the part of the guides that they are in.
func sectionsOf(pages []press.Page) map[string][]string {
	out := map[string][]string{}
	at := ""
	for _, p := range pages {
		for _, l := range read(p) {
			for _, name := range []string{"Run sheet", "Cutting guide", "Sorting list", "Paper account"} {
				if l == name || l == name+", continued" {
					at = name
				}
			}
			out[at] = append(out[at], l)
		}
	}
	return out
}

// sortingRows are the rows of the sorting list, column after column.
func sortingRows(pages []press.Page) string {
	var rows []string
	in := false
	for _, p := range pages {
		for _, l := range inOrder(p) {
			switch strings.TrimSuffix(l, ", continued") {
			case "Sorting list":
				in = true
			case "Paper account":
				in = false
			}
			if in {
				rows = append(rows, l)
			}
		}
	}
	return strings.Join(rows, "\n") + "\n"
}

// Every block is in the sorting list with its page and place, once, and who is held back is too.
func TestSortingListHasEveryBlock(t *testing.T) {
	for name, m := range finished() {
		rows := sortingRows(m.pages)
		for _, p := range m.Plan.Pieces {
			for i, b := range p.Blocks() {
				want := regexp.MustCompile(fmt.Sprintf(`(?m)^%s %d %s .*%s`, regexp.QuoteMeta(b.Block.Code), p.Page, account.Letter(i), b.Block.Page))
				if n := len(want.FindAllString(rows, -1)); n != 1 {
					t.Errorf("%s: %d rows for %s on page %d", name, n, b.Block.Code, p.Page)
				}
			}
		}
		for _, h := range m.Plan.Held {
			if !strings.Contains(rows, "\n"+h.Code+" Held back: ") {
				t.Errorf("%s: %s, held back, is not in the sorting list", name, h.Code)
			}
		}
	}
}

// An owner's blocks stand together in one column, under the name, where they fit one.
func TestEnvelopesStayWhole(t *testing.T) {
	for name, m := range finished() {
		rows, longest := strings.Split(sortingRows(m.pages), "\n"), 0
		for i := range m.in.Account.Owners {
			o := &m.in.Account.Owners[i]
			longest = max(longest, len(o.Blocks)+2*len(o.Held))
		}
		if longest > 25 {
			continue // an envelope may then be longer than a column
		}
		for _, o := range m.in.Account.Owners {
			at := -1
			for i := range rows[:len(rows)-1] { // a long name takes two lines, and what is inside may stand below it
				if text := rows[i] + " " + rows[i+1] + " "; strings.HasPrefix(text, named(o.Name)+" ") && strings.Contains(text+rows[min(i+2, len(rows)-1)], " block") {
					at = i
				}
			}
			if at < 0 {
				t.Fatalf("%s: no envelope for %q", name, o.Name)
			}
			for _, b := range o.Blocks {
				next := slices.IndexFunc(rows[at+1:], func(r string) bool { return strings.HasPrefix(r, b.Block.Code+" ") })
				between := rows[at+1 : at+1+max(0, next)]
				if next < 0 || slices.ContainsFunc(between, func(r string) bool { return strings.Contains(r, "continued") || strings.HasPrefix(r, "Block Page") }) {
					t.Errorf("%s: %s does not stand with the blocks of %s", name, b.Block.Code, o.Name)
				}
			}
		}
	}
}

// Copies are one line with their pages, wherever they lie.
func TestCopiesAreOneLine(t *testing.T) {
	d := made.New(made.Settings(), 1)
	for range 3 {
		d.Piece("cardstock", made.LetterPaper, 0, []measure.Size{made.Size(2*inch, inch), made.Size(2*inch, inch), made.Size(2*inch, inch)})
	}
	first := d.Plan.Pieces[0].Blocks()[0].Block.Block
	n := 0
	for _, p := range d.Plan.Pieces {
		for i, b := range p.Blocks() {
			if p == d.Plan.Pieces[2] && i == 1 {
				continue // another one lies between them
			}
			n++
			b.Block.Block, b.Block.Copy = first, n
		}
	}
	_, pages := finish(d)
	rows := sortingRows(pages)
	from := d.Plan.Pieces[0].Page
	for _, want := range []string{"\n" + first.Code + " 8 copies. " + first.Page, fmt.Sprintf("\npages %d-%d A-C; page %d A, C\n", from, from+1, from+2)} {
		if !strings.Contains(strings.ReplaceAll(rows, "\u00a0", " "), want) {
			t.Errorf("the sorting list lacks %q:\n%s", want, rows)
		}
	}
	if strings.Count(rows, "\n"+first.Code+" ") != 1 {
		t.Errorf("copies take more than a line:\n%s", rows)
	}
}

func TestRunSheetSaysWhatToLoad(t *testing.T) {
	three := made.Three(made.Settings())
	for _, p := range three.Plan.Pieces {
		if p.Stock == "cardstock" && !p.Source.Leftover {
			p.Source.Name = "maker A, heavy"
		}
	}
	_, pages := finish(three)
	n := len(pages)
	text := strings.Join(sectionsOf(pages)["Run sheet"], "\n")
	for _, want := range []string{
		fmt.Sprintf("These guides, on plain paper 8 1/2 x 11 in: print pages 1-%d.", n),
		"1 Vellum pages " + fmt.Sprintf("%d-%d", n+1, n+4),
		"Before printing, cut 2 sheets 12 x 12 in: left edge of the", "Each gives 2 of 6 x 12 in to print.",
		"Load 4 panels 6 x 12 in: print pages " + fmt.Sprintf("%d-%d", n+1, n+4),
		"Load 3 sheets 8 1/2 x 11 in: print pages " + fmt.Sprintf("%d-%d", n+5, n+7),
		"Load 1 leftover 4 x 7 1/2 in (blue folder): print page " + strconv.Itoa(n+12),
		"8 1/2 x 11 in (maker A, heavy): print page",
		"Lay out singly to dry for 15 minutes.",
		"Total: 12 pieces to print, from 9 new sheets and 1 leftover; paper for $6.45.",
		"Held back: 3 rows, not in this print",
		"the text is about 12 words too long",
		"Print at 100% (actual size)", "A laser printer can melt stock", "Keep fingers behind the rail",
		"The printer's and the stock maker's directions come",
		"weekend.xlsx, Journaling, row 7: neither the text nor When carries a date.",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the run sheet lacks %q:\n%s", want, text)
		}
	}
}

// The run sheet sends a person to the page on which a stock's pieces begin.
func TestRunSheetNamesGuidePages(t *testing.T) {
	where := regexp.MustCompile(`cutting guide, from page (\d+)\.`)
	for name, m := range finished() {
		var named []string
		for _, row := range sectionsOf(m.pages)["Run sheet"] {
			if f := where.FindStringSubmatch(row); f != nil {
				named = append(named, f[1])
			}
		}
		stocks := map[int]string{}
		for _, p := range m.in.Account.Pieces {
			stocks[p.Page] = p.Stock
		}
		var want []string
		begun := map[string]bool{}
		for i, p := range m.pages {
			for _, row := range read(p) {
				f := pieceRow.FindStringSubmatch(row)
				if f == nil {
					continue
				}
				if numbers := numbersOf(f[1]); len(numbers) > 0 && !begun[stocks[numbers[0]]] {
					begun[stocks[numbers[0]]] = true
					want = append(want, strconv.Itoa(i+1))
				}
			}
		}
		if !slices.Equal(named, want) {
			t.Errorf("%s: the run sheet names pages %q, the stocks begin on %q", name, named, want)
		}
	}
}

// Odd jobs have guides too.
func TestOddJobs(t *testing.T) {
	for name, d := range made.Odd() {
		in := input(d)
		in.Title = strings.Repeat("A very long title ", 20)
		in.Files = nil
		d.Plan.Number(1)
		n := len(Pages(in))
		d.Plan.Number(n + 1)
		pages := Pages(in)
		if len(pages) != n || n == 0 {
			t.Errorf("%s: %d pages, then %d", name, n, len(pages))
		}
		within(t, name, in, pages)
	}
}

// The pictures show the printed side, but for a stock that is printed on the back.
func TestCuttingGuideOfMirroredStock(t *testing.T) {
	s := made.Settings()
	s.Stocks[1].Mirror = true
	_, pages := finish(made.Three(s))
	n := strings.Count(strings.Join(sectionsOf(pages)["Cutting guide"], "\n"), "Printed mirrored: lay it with the printed side down.")
	if n != 1 { // of three pieces that are cut alike
		t.Errorf("the guide says %d times that a stock is mirrored, want once", n)
	}
}

// The same job gives the same pages, byte for byte.
func TestPagesAreDeterministic(t *testing.T) {
	var pdfs [2]bytes.Buffer
	for i := range pdfs {
		in, _ := finish(made.Three(made.Settings()))
		in.Fonts = typeset.NewLibrary(nil)
		if err := press.Write(&pdfs[i], press.Document{Title: "guides", Sections: []press.Section{{Title: "Guides", Pages: Pages(in)}}}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(pdfs[0].Bytes(), pdfs[1].Bytes()) {
		t.Error("the same plan gave two different PDFs")
	}
}

// The plan that was done by hand for the description of the plan file.
func TestExamplePlan(t *testing.T) {
	laid, s := made.Example()
	in := Input{Account: account.Of(laid, s, nil), Fonts: library, Title: "Ferry weekend"}
	pages := Pages(in)
	laid.Number(len(pages) + 1)
	pages = Pages(in)
	text := sectionsOf(pages)
	compare(t, "example", trim(t, text["Cutting guide"], in.Account), in)
	if want := "2 A-B top 2 1/2 in measure A + part B"; !slices.Contains(text["Cutting guide"], want) {
		t.Errorf("cut 2 should be measured: %q is not in %q", want, text["Cutting guide"])
	}
}

func BenchmarkPages(b *testing.B) {
	for _, n := range []int{1000, 8000} {
		d := made.Random(made.Settings(), 1, n, 20, 8)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				Pages(input(d))
			}
		})
	}
}

// TestPicturesOfEqualPieces: where pieces are cut alike the one picture of them says of each place how each piece's block begins;
// with more pieces than it can tell apart the list below says it.
func TestPicturesOfEqualPieces(t *testing.T) {
	for _, pieces := range []int{2, mostTold, mostTold + 1} {
		d := made.New(made.Settings(), 3)
		for range pieces {
			d.Piece("cardstock", made.LetterPaper, inch/8, []measure.Size{made.Size(4*inch, 4*inch), made.Size(4*inch, 4*inch)})
		}
		_, pages := finish(d)
		lines := sectionsOf(pages)["Cutting guide"]
		for _, p := range d.Plan.Pieces {
			for _, b := range p.Blocks() {
				words := strings.Fields(account.Begins(b.Block.Block))[0]
				words = string([]rune(words)[:min(len([]rune(words)), leastBegins-1)])
				there := slices.ContainsFunc(lines, func(l string) bool { return strings.Contains(l, words) && !strings.Contains(l, ": "+words) })
				if there != (pieces <= mostTold) {
					t.Errorf("%d pieces: the picture says %q: %v", pieces, words, there)
				}
				listed := b.Block.Code + " " + b.Block.Owner + ": " + words
				if !strings.Contains(strings.ReplaceAll(strings.Join(lines, " "), "\u00a0", " "), listed) {
					t.Errorf("%d pieces: the list does not say %q", pieces, listed)
				}
			}
		}
	}
}

// Rows that are held back take paper up to a thousand; of more, the guides say how many there are and where they stand.
func TestManyHeldBack(t *testing.T) {
	draft := made.Three(made.Settings())
	draft.Plan.Held = nil
	for i := range 2500 {
		draft.Plan.Held = append(draft.Plan.Held, intake.Held{Code: fmt.Sprintf("HB-%d", i+1), Owner: fmt.Sprintf("Person %04d", i%1250), Why: "too long", Place: problem.Place{File: "week.csv", Row: i + 2}})
	}
	_, pages := finish(draft)
	run := strings.Join(sectionsOf(pages)["Run sheet"], "\n")
	if !strings.Contains(run, "HB-1000 ") || strings.Contains(run, "HB-1001 ") || !strings.Contains(run, "And 1500 more: the report's sheet Held back has them all.") {
		t.Error("the run sheet does not list a thousand rows and say how many more there are")
	}
	if n := strings.Count(sortingRows(pages), " Held back: too long"); n != 1000 {
		t.Errorf("the sorting list has %d rows that are held back", n)
	}
	all := ""
	for _, p := range pages {
		all += strings.Join(read(p), "\n")
	}
	if !strings.Contains(all, "And 750 owners of whom nothing is printed") {
		t.Error("the sorting list does not say how many owners it leaves out")
	}
}

// Totals stand on one line, however much a job comes to.
func TestTotalsStandOnOneLine(t *testing.T) {
	s := made.Settings()
	s.Unit = measure.Mm
	_, pages := finish(made.Random(s, 3, 400, 6, 40))
	total := regexp.MustCompile(`^Total [0-9]+ [0-9]{4,}\.[0-9] sq cm `)
	for _, p := range pages {
		for _, row := range read(p) {
			if total.MatchString(row) {
				return
			}
		}
	}
	t.Error("no line has the total of the areas")
}
