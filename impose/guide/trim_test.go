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
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
)

// cutRow is a row of the cutting guide as it is printed. A row of the list under the picture may stand on the same line before it or after.
var cutRow = regexp.MustCompile(`(?:^|\s)(\d+) (the piece|rest|part [A-Z]+|[A-Z]+-[A-Z]+) (left|right|top|bottom) edge (.+ (?:in|mm)) (mark|measure|skip) (.+) \+ (scrap|keep|rest|part [A-Z]+|[A-Z]+-[A-Z]+|[A-Z]+)(?: [A-Z]+ \S+-\d+ .*)?$`)
var pieceRow = regexp.MustCompile(`^Pages? ([0-9, -]+) (.*)$`)

// trim is a person with the cutting guide and a trimmer: it cuts by the printed measures alone, each laid against the
// edge that is named, and says what size each lettered block comes out, by PDF page.
func trim(t *testing.T, rows []string, laid *plan.Plan) map[int]map[string]measure.Size {
	t.Helper()
	type paper struct {
		label string
		size  measure.Size
	}
	byPage := map[int]*plan.Piece{}
	for _, p := range laid.Pieces {
		byPage[p.Page] = p
	}
	out := map[int]map[string]measure.Size{}
	var stack []paper
	var pages []int
	done := func() {
		for _, page := range pages {
			out[page] = map[string]measure.Size{}
			for _, p := range stack {
				out[page][p.label] = p.size
			}
		}
		stack, pages = nil, nil
	}
	for _, row := range rows {
		if m := pieceRow.FindStringSubmatch(row); m != nil {
			numbers := numbersOf(m[1])
			if len(numbers) == 0 || byPage[numbers[0]] == nil {
				continue
			}
			done()
			pages = numbers
			stack = []paper{{"the piece", byPage[pages[0]].Size()}}
			if byPage[pages[0]].Whole.Leaf() {
				stack[0].label = "A"
			}
			continue
		}
		m := cutRow.FindStringSubmatch(row)
		if m == nil {
			continue
		}
		set, err := measure.Parse(m[4], measure.In)
		if err != nil {
			t.Fatalf("the printed measure %q: %v", m[4], err)
		}
		at := len(stack) - 1
		for at >= 0 && stack[at].label != m[2] {
			at--
		}
		if at < 0 {
			t.Fatalf("row %q: there is no such part", row)
		}
		whole := stack[at].size
		stack = slices.Delete(stack, at, at+1)
		if m[5] == "skip" { // nothing comes off
			kept := m[6]
			if m[3] == "right" || m[3] == "bottom" {
				kept = m[7]
			}
			stack = append(stack, paper{kept, whole})
			continue
		}
		near, far := whole, whole
		switch m[3] {
		case "left":
			near.W, far.W = set, whole.W-set
		case "right":
			near.W, far.W = whole.W-set, set
		case "top":
			near.H, far.H = set, whole.H-set
		case "bottom":
			near.H, far.H = whole.H-set, set
		}
		if near.W <= 0 || near.H <= 0 || far.W <= 0 || far.H <= 0 {
			t.Fatalf("row %q cuts nothing off a part of %v", row, whole)
		}
		stack = append(stack, paper{m[7], far}, paper{m[6], near})
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
		worst := compare(t, name, trim(t, sectionsOf(m.pages)["Cutting guide"], m.Plan), m.in)
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
		compare(t, fmt.Sprintf("seed %d", seed), trim(t, sectionsOf(pages)["Cutting guide"], d.Plan), in)
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
		d, in, pages := m.Draft, m.in, m.pages
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
		compare(t, "through PDFium", trim(t, rows, d.Plan), in)
	}
}
