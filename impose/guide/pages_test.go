package guide

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

var library = typeset.NewLibrary(nil)

// jobs are the made-up jobs that every page test looks at.
func jobs() map[string]*draft {
	mm := settings()
	mm.Unit = measure.Mm
	mm.Guide = z(210*measure.Millimetre, 297*measure.Millimetre)
	free := settings()
	free.Currency = ""
	for i := range free.Stocks {
		free.Stocks[i].Sheets[0].Price = 0
	}
	out := map[string]*draft{
		"one block":          one(settings()),
		"three stocks":       three(settings()),
		"three stocks in mm": three(mm),
		"without prices":     three(free),
		"60 blocks":          random(settings(), 1, 60, 9, 12),
		"60 blocks in mm":    random(mm, 2, 60, 9, 12),
		"200 blocks":         random(settings(), 3, 200, 20, 5),
	}
	dozen := newDraft(settings(), 3)
	for range 40 {
		dozen.piece("cardstock", letterPaper, inch/8, []measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)}, []measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)})
	}
	dozen.held(150)
	out["many alike, many held"] = dozen
	crowd := newDraft(settings(), 60)
	var shelves [][]measure.Size
	for range 20 {
		shelves = append(shelves, []measure.Size{z(inch, inch/2), z(2*inch, inch/2), z(inch*3/2, inch/2), z(inch, inch/2), z(inch, inch/2)})
	}
	crowd.piece("vellum", letterPaper, 0, shelves...)
	out["100 blocks on one piece"] = crowd
	return out
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

// made are the guides of every made-up job; tests only read them.
var made = sync.OnceValue(func() map[string]guides {
	out := map[string]guides{}
	for name, d := range jobs() {
		in, pages := finish(d)
		out[name] = guides{d, in, pages}
	}
	return out
})

type guides struct {
	*draft
	in    Input
	pages []press.Page
}

// finish numbers a plan behind its guides and makes them.
func finish(d *draft) (Input, []press.Page) {
	in := d.input(library)
	in.Problems.Note(problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 7}, "neither the text nor When carries a date", "", "")
	d.plan.Number(len(Pages(in)) + 1)
	return in, Pages(in)
}

func width(h *hand, t press.Text, text string) measure.Length {
	return h.advance(style{strings.Contains(t.Font.Name, "Bold"), t.Size, black}, text)
}

// No text leaves the page, and none stands in the outer 0.4 in that printers may not reach; none is smaller than 9 pt.
func TestPagesWithinMargins(t *testing.T) {
	for name, m := range made() {
		within(t, name, m.in, m.pages)
	}
}

func within(t *testing.T, name string, in Input, pages []press.Page) {
	t.Helper()
	size, h := in.Settings.Guide, newHand(in)
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
			if r := (measure.Rect{X: min(l.X1, l.X2), Y: min(l.Y1, l.Y2), W: abs(l.X1 - l.X2), H: abs(l.Y1 - l.Y2)}); !inside.Contains(r) {
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
	h := newHand(Input{Fonts: library})
	for name, m := range made() {
		for i, p := range m.pages {
			type box struct {
				measure.Rect
				text string
			}
			var boxes []box
			for _, s := range p.Texts {
				text := ""
				for _, g := range s.Glyphs {
					text += g.Text
				}
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
}

// A plan that is numbered from 1 has as many pages of guides as one that is numbered behind them, or behind anything.
func TestPagesCountIndependentOfNumbers(t *testing.T) {
	for name, d := range jobs() {
		in := d.input(library)
		d.plan.Number(1)
		want := len(Pages(in))
		for _, first := range []int{want + 1, 8500} {
			d.plan.Number(first)
			if got := len(Pages(in)); got != want {
				t.Errorf("%s: %d pages when numbered from 1, %d from %d", name, want, got, first)
			}
		}
	}
}

// Many pages are a burden: no more than one for each kind of piece to cut, but for giants, and one for forty rows to sort.
func TestPagesStayFew(t *testing.T) {
	for name, m := range made() {
		j := newJob(m.in)
		most := 5 + len(m.plan.Held)/16
		for _, g := range j.groups {
			p := g.pieces[0]
			most += 1 + len(p.Cuts)/40 + len(g.pieces)*len(p.Blocks)/100
		}
		most += (m.total+2*len(j.owners))/30 + 1
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

func TestSortingListHasEveryBlock(t *testing.T) {
	for name, m := range made() {
		rows := strings.Join(sectionsOf(m.pages)["Sorting list"], "\n") + "\n"
		for i := range m.plan.Pieces {
			p := &m.plan.Pieces[i]
			for _, b := range p.Blocks {
				want := regexp.MustCompile(fmt.Sprintf(`(?m)^%s .*%s.* %d [A-Z]+$`, regexp.QuoteMeta(b.Code), p.Stock[:4], p.Page))
				if !want.MatchString(rows) {
					t.Errorf("%s: no row for %s on page %d", name, b.Code, p.Page)
				}
			}
		}
		for _, h := range m.plan.Held {
			if !strings.Contains(rows, h.Code+" Held back: ") {
				t.Errorf("%s: %s, held back, is not in the sorting list", name, h.Code)
			}
		}
	}
}

func TestRunSheetSaysWhatToLoad(t *testing.T) {
	_, pages := finish(three(settings()))
	n := len(pages)
	text := strings.Join(sectionsOf(pages)["Run sheet"], "\n")
	for _, want := range []string{
		fmt.Sprintf("These guides, on plain paper 8 1/2 x 11 in: print pages 1-%d.", n),
		"1 Vellum pages " + fmt.Sprintf("%d-%d", n+1, n+4),
		"Before printing, cut 2 sheets 12 x 12 in: left edge of the", "Each gives 2 of 6 x 12 in to print.",
		"Load 4 panels 6 x 12 in: print pages " + fmt.Sprintf("%d-%d", n+1, n+4),
		"Load 3 sheets 8 1/2 x 11 in: print pages " + fmt.Sprintf("%d-%d", n+5, n+7),
		"Load 1 leftover 4 x 7 1/2 in (blue folder): print page " + strconv.Itoa(n+12),
		"Lay out singly to dry for 15 minutes.",
		"Total: 12 pieces to print, from 12 new sheets and 1 leftover; paper for $9.15.",
		"Held back: 3 rows, not in this print",
		"the text is about 12 words too long",
		"Print at 100% (actual size)", "A laser printer can melt stock", "Keep fingers behind the rail",
		"The printer's and the stock maker's directions come before",
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
	for name, m := range made() {
		var named []string
		for _, row := range sectionsOf(m.pages)["Run sheet"] {
			if f := where.FindStringSubmatch(row); f != nil {
				named = append(named, f[1])
			}
		}
		var want []string
		begun := map[string]bool{}
		for i, p := range m.pages {
			for _, row := range read(p) {
				if f := pieceRow.FindStringSubmatch(row); f != nil {
					stock, _, _ := strings.Cut(f[2], ",")
					if !begun[stock] {
						want = append(want, strconv.Itoa(i+1))
					}
					begun[stock] = true
				}
			}
		}
		if !equal(named, want) {
			t.Errorf("%s: the run sheet names pages %q, the stocks begin on %q", name, named, want)
		}
	}
}

// Shares add up to the cost of each stock, whatever the job.
func TestAccountAddsUp(t *testing.T) {
	for seed := range int64(30) {
		s := settings()
		for i := range s.Stocks {
			s.Stocks[i].Sheets[0].Price = 1 + seed*seed*37%997
		}
		d := random(s, seed, 5+int(seed)*7, 1+int(seed)%11, 9)
		b := newJob(d.input(nil)).bill()
		var total, want int64
		for k, u := range d.plan.Stocks {
			var got int64
			for i := range b.owners {
				got += b.cents[i][k]
			}
			if got != u.Cents {
				t.Errorf("seed %d: the shares of %s add up to %d, want %d", seed, u.Stock, got, u.Cents)
			}
			total, want = total+got, want+u.Cents
		}
		if total != want || want == 0 {
			t.Errorf("seed %d: shares add up to %d, want %d", seed, total, want)
		}
	}
}

// Odd jobs have guides too: nothing to print, nobody's block, names in other scripts and names without end.
func TestOddJobs(t *testing.T) {
	empty := newDraft(settings(), 1)
	empty.held(2)
	odd := newDraft(settings(), 3)
	odd.people[0], odd.people[1], odd.people[2] = "", "Ζωή 王小明 🎈", strings.Repeat("Maximiliana-Theodora ", 12)+strings.Repeat("x", 300)
	p := odd.piece("vellum", letterPaper, inch/8, []measure.Size{z(inch, inch), z(2*inch, inch/4), z(inch/4, inch)}, []measure.Size{z(8*inch, inch/8)})
	for i := range p.Blocks {
		p.Blocks[i].Setting.Block.Page = strings.Repeat("many words ", 40)
	}
	p.Stock = "a stock that the settings do not know, with a name that is long enough to be a line of its own"
	odd.settings.Stocks[1].Tray = strings.Repeat("tray ", 60)
	odd.piece("clear sticker", letterPaper, 0, []measure.Size{letterPaper})
	bare := newDraft(settings(), 2)
	for i := range bare.piece("cardstock", letterPaper, 0, []measure.Size{z(inch, inch), z(inch, inch)}).Blocks {
		bare.plan.Pieces[0].Blocks[i].Setting = nil
	}
	for name, d := range map[string]*draft{"empty": empty, "odd": odd, "bare": bare} {
		in := d.input(library)
		in.Title = strings.Repeat("A very long title ", 20)
		in.Files = nil
		d.plan.Number(1)
		n := len(Pages(in))
		d.plan.Number(n + 1)
		pages := Pages(in)
		if len(pages) != n || n == 0 {
			t.Errorf("%s: %d pages, then %d", name, n, len(pages))
		}
		within(t, name, in, pages)
		if err := Report(io.Discard, in); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The pictures show the printed side, but for a stock that is printed on the back.
func TestCuttingGuideOfMirroredStock(t *testing.T) {
	s := settings()
	s.Stocks[1].Mirror = true
	_, pages := finish(three(s))
	n := strings.Count(strings.Join(sectionsOf(pages)["Cutting guide"], "\n"), "Printed mirrored: lay it with the printed side down.")
	if n != 1 { // of three pieces that are cut alike
		t.Errorf("the guide says %d times that a stock is mirrored, want once", n)
	}
}

// The same job gives the same pages, byte for byte.
func TestPagesAreDeterministic(t *testing.T) {
	var pdfs [2]bytes.Buffer
	for i := range pdfs {
		in, _ := finish(three(settings()))
		in.Fonts = typeset.NewLibrary(nil)
		if err := press.Write(&pdfs[i], press.Document{Title: "guides", Sections: []press.Section{{Title: "Guides", Pages: Pages(in)}}}, nil); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(pdfs[0].Bytes(), pdfs[1].Bytes()) {
		t.Error("the same plan gave two different PDFs")
	}
}

// The plan that was done by hand for the format's description.
func TestExamplePlan(t *testing.T) {
	data, err := os.ReadFile("../../../shared/example-plan.json")
	if err != nil {
		t.Skip("the example plan is not beside the project:", err)
	}
	var laid plan.Plan
	if err := json.Unmarshal(data, &laid); err != nil {
		t.Fatal(err)
	}
	s := settings()
	s.Printers[0].Name = "office"
	in := Input{Plan: &laid, Settings: s, Fonts: library, Title: "Ferry weekend"}
	pages := Pages(in)
	laid.Number(len(pages) + 1)
	pages = Pages(in)
	text := sectionsOf(pages)
	compare(t, "example", trim(t, text["Cutting guide"], &laid), in)
	if want := "2 A-B top edge 2 1/2 in measure A + part B"; !slices.Contains(text["Cutting guide"], want) {
		t.Errorf("cut 2 should be measured: %q is not in %q", want, text["Cutting guide"])
	}
	var b bytes.Buffer
	if err := Report(&b, in); err != nil {
		t.Fatal(err)
	}
}

func TestRanges(t *testing.T) {
	tests := []struct {
		pages []int
		want  string
	}{
		{nil, ""}, {[]int{3}, "3"}, {[]int{3, 4, 5, 6, 7, 9}, "3-7, 9"}, {[]int{1, 3, 5}, "1, 3, 5"}, {[]int{8, 9}, "8-9"},
		{[]int{4, 4, 5}, "4-5"},
	}
	for _, test := range tests {
		if got := ranges(test.pages); got != test.want {
			t.Errorf("%v: %q, want %q", test.pages, got, test.want)
		}
	}
}

func TestLetter(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := letter(i); got != want {
			t.Errorf("%d: %s, want %s", i, got, want)
		}
	}
}

func TestNatural(t *testing.T) {
	want := []string{"", "AO-1", "MK-2", "MK-02a", "MK-10", "MK-010a", "Öl-1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortStableFunc(got, natural)
	if !equal(got, want) {
		t.Errorf("sorted %q, want %q", got, want)
	}
}

func BenchmarkPages(b *testing.B) {
	for _, n := range []int{1000, 8000} {
		d := random(settings(), 1, n, 20, 8)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				Pages(d.input(library))
			}
		})
	}
}

func BenchmarkReport(b *testing.B) {
	for _, n := range []int{1000, 8000} {
		d := random(settings(), 1, n, 20, 8)
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if err := Report(io.Discard, d.input(nil)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
