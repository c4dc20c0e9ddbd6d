package guide

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
)

// cutRow is a line of the cutting guide as it is printed. A row of the list under the picture may stand on the same line before it or after.
var cutRow = regexp.MustCompile(`(?:^|\s)(\d+) (the piece|rest|part [A-Z]+|(?:parts )?[A-Z]+(?:-[A-Z]+)?(?: (?:to|and) [A-Z]+(?:-[A-Z]+)?)?)(?:, (\d+) alike)? (left|right|top|bottom) ([0-9][^a-z]* ?(?:in|mm)) (?:(\d+) times )?(mark|measure|skip) `)
var pieceRow = regexp.MustCompile(`^Pages? ([0-9]+[0-9, -]*)(.*)$`)

// bench is what lies on the table while a piece is cut: its parts, in the coordinates of the piece, as they really come out.
type bench struct {
	blocks map[string]measure.Rect // by place
	parts  []measure.Rect
}

// on are the places whose blocks lie on a part, in order.
func (b *bench) on(p measure.Rect) (out []string) {
	for name, r := range b.blocks {
		if x, y := r.X+r.W/2, r.Y+r.H/2; x > p.X && x < p.Right() && y > p.Y && y < p.Bottom() {
			out = append(out, name)
		}
	}
	slices.SortFunc(out, inPlaces)
	return out
}

// find is where the part lies that holds just these places, from one to another.
func (b *bench) find(name string) int {
	first, last, _ := strings.Cut(strings.TrimPrefix(name, "part "), "-")
	rest := -1 // the largest part without blocks
	for i, p := range b.parts {
		on := b.on(p)
		if len(on) == 0 && (rest < 0 || p.Size().Area() > b.parts[rest].Size().Area()) {
			rest = i
		}
		if name == "the piece" && len(b.parts) == 1 || len(on) > 0 && on[0] == first && on[len(on)-1] == cmp.Or(last, first) {
			return i
		}
	}
	if name == "rest" {
		return rest
	}
	return -1
}

// alike are the parts with blocks that are as large as one, which is among them; where a last place is named, none behind that.
func (b *bench) alike(i int, last string) (out []int) {
	near := func(x, y measure.Length) bool { return max(x-y, y-x) <= inch/16 }
	for k, p := range b.parts {
		on := b.on(p)
		if len(on) == 0 || !near(p.W, b.parts[i].W) || !near(p.H, b.parts[i].H) {
			continue
		}
		if last == "" || inPlaces(b.on(b.parts[i])[0], on[0]) <= 0 && inPlaces(on[len(on)-1], last) <= 0 {
			out = append(out, k)
		}
	}
	return out
}

// inPlaces compares places: Z comes before AA.
func inPlaces(x, y string) int { return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)) }

// cut cuts a part and returns the one that was not against the fence.
func (b *bench) cut(i int, edge string, set measure.Length) (int, bool) {
	p := b.parts[i]
	near, far := p, p
	down := edge == "left" || edge == "right"
	whole := p.H
	if down {
		whole = p.W
	}
	at := set
	if edge == "right" || edge == "bottom" {
		at = whole - set
	}
	if at <= 0 || at >= whole {
		return 0, false
	}
	if down {
		near.W, far.X, far.W = at, p.X+at, p.W-at
	} else {
		near.H, far.Y, far.H = at, p.Y+at, p.H-at
	}
	b.parts[i] = near
	b.parts = append(b.parts, far)
	return len(b.parts) - 1, true
}

// trim is a person with the cutting guide and a trimmer: it cuts by the printed settings alone, in the order told, each part laid against
// the fence with the edge that is named, and says what size each lettered block comes out, by PDF page. A part on which more than one block
// is left is not cut apart.
func trim(t *testing.T, rows []string, a *account.Account) map[int]map[string]measure.Size {
	t.Helper()
	byPage := map[int]*account.Piece{}
	for _, p := range a.Pieces {
		byPage[p.Page] = p
	}
	out := map[int]map[string]measure.Size{}
	var on *bench
	var pages []int
	done := func() {
		for _, page := range pages {
			out[page] = map[string]measure.Size{}
			for _, p := range on.parts {
				if places := on.on(p); len(places) == 1 {
					out[page][places[0]] = p.Size()
				}
			}
		}
		pages = nil
	}
	for _, row := range rows {
		if m := pieceRow.FindStringSubmatch(row); m != nil {
			numbers := numbersOf(m[1])
			if len(numbers) == 0 || byPage[numbers[0]] == nil {
				continue
			}
			done()
			pages = numbers
			piece := byPage[pages[0]]
			on = &bench{blocks: map[string]measure.Rect{}, parts: []measure.Rect{piece.Size().At(0, 0)}}
			for _, s := range piece.Spots {
				on.blocks[account.Letter(s.First)] = s.Rect
			}
			continue
		}
		m := cutRow.FindStringSubmatch(row)
		if m == nil {
			continue
		}
		set, err := measure.Parse(m[5], measure.In)
		if err != nil {
			t.Fatalf("the printed measure %q: %v", m[5], err)
		}
		first, end, run := strings.Cut(m[2], " to ")
		first, second, pair := strings.Cut(strings.TrimPrefix(first, "parts "), " and ")
		at := on.find(first)
		parts := []int{at}
		if pair {
			parts = append(parts, on.find(second))
		}
		if slices.Contains(parts, -1) {
			t.Fatalf("row %q: there is no such part", row)
		}
		if m[3] != "" {
			last := ""
			if run {
				last = end[strings.LastIndex(end, "-")+1:]
			}
			if parts = on.alike(at, last); strconv.Itoa(len(parts)) != m[3] {
				t.Fatalf("row %q: %d parts are alike", row, len(parts))
			}
		}
		if m[7] == "skip" { // nothing comes off
			continue
		}
		times, _ := strconv.Atoi(cmp.Or(m[6], "1"))
		for _, at := range parts {
			for range times {
				next, ok := on.cut(at, m[4], set)
				if !ok {
					t.Fatalf("row %q cuts nothing off a part of %v", row, on.parts[at].Size())
				}
				at = next
			}
		}
	}
	done()
	return out
}

func numbersOf(text string) []int {
	var out []int
	for _, part := range strings.Split(strings.TrimSpace(text), ", ") {
		a, b, _ := strings.Cut(part, "-")
		first, err := strconv.Atoi(a)
		if err != nil {
			return nil
		}
		last, err := strconv.Atoi(cmp.Or(b, a))
		if err != nil {
			return nil
		}
		for n := first; n <= last; n++ {
			out = append(out, n)
		}
	}
	return out
}

// compare checks what came off the trimmer against the trim sizes of the plan, by the letters of the sorting list.
func compare(t *testing.T, name string, cut map[int]map[string]measure.Size, in Input) (worst measure.Length) {
	t.Helper()
	n := 0
	for _, o := range in.Account.Owners {
		for _, b := range o.Blocks {
			n++
			code, page, want := b.Block.Code, b.Piece.Page, b.Rect.Size()
			got, ok := cut[page][b.Place()]
			if !ok {
				t.Errorf("%s: %s does not come off the trimmer as %s of page %d", name, code, b.Place(), page)
				continue
			}
			off := max(got.W-want.W, want.W-got.W, got.H-want.H, want.H-got.H)
			worst = max(worst, off)
			if off > inch/32 {
				t.Errorf("%s: %s of page %d is cut %s and should be %s", name, code, page, got.About(measure.In), want.About(measure.In))
			}
		}
	}
	if n == 0 {
		t.Errorf("%s: no block", name)
	}
	return worst
}

// Cutting by the printed measures, rounded as they are, gives blocks within 1/32 in of their trim size: half of the
// sixteenth that a trimmer is set to.
func TestCuttingGuideCutsToSize(t *testing.T) {
	for name, m := range finished() {
		worst := compare(t, name, trim(t, sectionsOf(m.pages)["Cutting guide"], m.in.Account), m.in)
		t.Logf("%s: off by %.4f in at most", name, float64(worst)/float64(inch))
	}
	// Sizes of the other system of measures, with and without gaps.
	for seed := range int64(8) {
		s, other := made.Settings(), made.Settings()
		s.Unit, other.Unit = measure.In, measure.Mm
		if seed%2 == 1 {
			s, other = other, s
		}
		d := made.Random(other, 100+seed, 40, 5, 8)
		d.Settings = s
		in, pages := finish(d)
		compare(t, fmt.Sprintf("seed %d", seed), trim(t, sectionsOf(pages)["Cutting guide"], in.Account), in)
	}
}

// The same as PDFium, which shares nothing with the code that wrote them, reads the pages.
func TestCuttingGuideThroughPDFium(t *testing.T) {
	if !readback.Available {
		t.Skip("PDFium is not available in this build")
	}
	all := []guides{}
	for _, name := range slices.Sorted(maps.Keys(finished())) {
		all = append(all, finished()[name])
	}
	for seed := range int64(4) {
		d := arranged(7+seed, 40)
		in, pages := finish(d)
		all = append(all, guides{d, in, pages})
	}
	for _, m := range all {
		in, pages := m.in, m.pages
		var b bytes.Buffer
		if err := press.Write(&b, press.Document{Title: "guides", Sections: []press.Section{{Title: "Guides", Pages: pages}}}, nil); err != nil {
			t.Fatal(err)
		}
		doc := readback.Open(t, b.Bytes())
		var rows []string
		for i := range doc.Pages() {
			for _, row := range strings.Split(doc.Text(i), "\n") {
				rows = append(rows, strings.TrimSpace(row))
			}
		}
		compare(t, "through PDFium", trim(t, rows, in.Account), in)
	}
}
