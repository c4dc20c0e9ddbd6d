package layout

import (
	"bytes"
	"fmt"
	"image"
	"slices"
	"strings"
	"testing"
	"unicode"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// The pages of random jobs as PDFium, which shares nothing with this project, reads them: every page as large as its
// piece, every letter typed on its block, all of it within its ink box, ink nowhere else but in the marks and
// the labels, and what a label says is read.
func TestPagesAsPDFiumReadsThem(t *testing.T) {
	longtests.Only(t)
	if !readback.Available {
		t.Skip("PDFium is left out under the race detector")
	}
	jobs := 25
	if testing.Short() {
		jobs = 3
	}
	letters, turned, labels := 0, 0, 0
	for n := range jobs {
		c := newChance(t, uint64(1000+n))
		blocks := c.blocks(10)
		laid, _ := planned(blocks, c.paper, c.settings)
		Label(laid, "random job", fonts(), c.settings)
		for _, fault := range plan.Check(laid, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		var pdf bytes.Buffer
		d := draw.Drawer{}
		if err := press.Write(&pdf, press.Document{Title: "random", Sections: d.Draw(laid, c.settings)}, nil); err != nil {
			t.Fatalf("job %d: %v", n, err)
		}
		doc := readback.Open(t, pdf.Bytes())
		if doc.Pages() != len(laid.Pieces) {
			t.Fatalf("job %d: %d pages for %d pieces", n, doc.Pages(), len(laid.Pieces))
		}
		for i := range laid.Pieces {
			p := laid.Pieces[i]
			a, b := comparePage(t, n, doc, i, p)
			letters, turned, labels = letters+a, turned+b, labels+len(p.Labels)
		}
	}
	if letters < 1000 || turned == 0 || labels == 0 {
		t.Errorf("only %d letters, %d turned blocks and %d labels were compared", letters, turned, labels)
	}
}

// TestLeftoverIsPrintedOnAgain lays a job, cuts its leftovers out of the page as PDFium draws it, and lays the next job on them: nothing
// of the first job is there, neither mark nor label nor letter.
func TestLeftoverIsPrintedOnAgain(t *testing.T) {
	if !readback.Available {
		t.Skip("PDFium is left out under the race detector")
	}
	const dpi = 200
	dot := measure.Inch / dpi
	s := plain(t, nil)
	draws := func(p *plan.Plan, title string) *readback.Doc {
		Label(p, title, fonts(), s)
		var pdf bytes.Buffer
		d := draw.Drawer{}
		if err := press.Write(&pdf, press.Document{Title: title, Sections: d.Draw(p, s)}, nil); err != nil {
			t.Fatal(err)
		}
		return readback.Open(t, pdf.Bytes())
	}
	var blocks []intake.Block
	for i, space := range []measure.Size{{W: 3 * in, H: in}, {W: 3 * in, H: in}, {W: 2 * in, H: 3 * in / 2}} {
		for k, stock := range []string{"vellum", "clear sticker", "cardstock"} {
			b := note(s, fmt.Sprintf("%c-%d", "VSC"[k], i+1), stock, space.W, space.H)
			b.Turn = i == 2
			blocks = append(blocks, b)
		}
	}
	first, _ := arrange(t, s, blocks)
	pages := draws(first, "first")
	var paper []intake.Paper
	ink := 0
	for i, p := range first.Pieces {
		picture := pages.Grey(i, dpi)
		for leaf := range p.Whole.Leaves {
			dark := 0
			for y := int(leaf.Rect.Y/dot) + 1; y < int(leaf.Rect.Bottom()/dot); y++ {
				for x := int(leaf.Rect.X/dot) + 1; x < int(leaf.Rect.Right()/dot); x++ {
					if picture.GrayAt(picture.Rect.Min.X+x, picture.Rect.Min.Y+y).Y < 250 {
						dark++
					}
				}
			}
			switch {
			case !leaf.Keep:
				ink += dark
			case dark > 0:
				t.Errorf("%s of %s: %d dots of ink on the leftover at %v", p.Name(), p.Stock, dark, leaf.Rect)
			default:
				paper = append(paper, intake.Paper{Stock: p.Stock, Size: leaf.Rect.Size(), Count: 1, Leftover: true})
			}
		}
	}
	if ink == 0 || len(paper) < 3 {
		t.Fatalf("%d dots of ink and %d leftovers: this tests nothing", ink, len(paper))
	}
	var next []intake.Block
	for i, p := range paper {
		next = append(next, note(s, fmt.Sprintf("N-%d", i+1), p.Stock, 2*in, in))
	}
	second, held := arrange(t, s, next, paper...)
	if len(held) > 0 || len(second.Pieces) == 0 {
		t.Fatalf("%d pieces, held %+v", len(second.Pieces), held)
	}
	on := draws(second, "second")
	for i, p := range second.Pieces {
		if !p.Source.Leftover {
			t.Errorf("%s does not lie on a leftover of the first job", p.Name())
		}
		comparePage(t, 0, on, i, p)
	}
}

// slack is what PDF's rounding to a thousandth of a point and PDFium's 32-bit floats may move an edge by: 0.05 mm.
const slack = measure.Millimetre / 20

func grow(r measure.Rect, by measure.Length) measure.Rect { return r.Inset(measure.Same(-by)) }

func comparePage(t *testing.T, job int, doc *readback.Doc, page int, p *plan.Piece) (letters, turned int) {
	t.Helper()
	if got := doc.Size(page); !grow(p.Size().At(0, 0), slack).Contains(got.At(0, 0)) {
		t.Errorf("job %d, %s: the page is %v, the piece %v", job, p.Name(), got, p.Size())
	}
	chars := doc.Chars(page)
	for _, at := range p.Blocks() {
		b := at.Block
		if b.Turned {
			turned++
		}
		var read strings.Builder
		for _, c := range chars {
			centre := measure.Rect{X: c.Cell.X + c.Cell.W/2, Y: c.Cell.Y + c.Cell.H/2, W: 1, H: 1}
			if c.Made || !at.Rect.Contains(centre) {
				continue
			}
			read.WriteString(c.Text)
			if strings.TrimSpace(c.Text) == "" {
				continue
			}
			if !grow(b.InkBox, slack).Contains(c.Ink) || !grow(b.InkBox, slack).Contains(c.Cell) {
				t.Errorf("job %d, %s: %q of %s lies at %v, its ink box is %v", job, p.Name(), c.Text, b.Code, c.Ink, b.InkBox)
			}
		}
		got, want := stripped(read.String()), stripped(typed(b.Setting.Block))
		if b.Turned && loneLetter(b.Setting) {
			got, want = sorted(got), sorted(want)
		}
		if got != want {
			t.Errorf("job %d, %s: block %s reads\n%s\nand was typed\n%s", job, p.Name(), b.Code, got, want)
		}
		letters += len(want)
	}
	for _, l := range p.Labels {
		var read strings.Builder
		for _, c := range chars {
			if centre := (measure.Rect{X: c.Cell.X + c.Cell.W/2, Y: c.Cell.Y + c.Cell.H/2, W: 1, H: 1}); !c.Made && grow(l.Rect, measure.Point).Contains(centre) {
				read.WriteString(c.Text)
			}
		}
		if got, want := stripped(read.String()), stripped(l.Text); got != want {
			t.Errorf("job %d, %s: the label reads %q, not %q", job, p.Name(), got, want)
		}
	}
	inkOnlyWhereAllowed(t, job, doc, page, p)
	return letters, turned
}

// loneLetter finds a line of one glyph: in turned text PDFium may take it for a part of the next line, since nothing
// stands between the two (see press.parting). Then its letters are counted, not their order.
func loneLetter(s *typeset.Setting) bool {
	for _, l := range s.Lines {
		if len(l.Spans) == 1 && len(l.Spans[0].Glyphs) == 1 {
			return true
		}
	}
	return false
}

func sorted(s string) string {
	r := []rune(s)
	slices.Sort(r)
	return string(r)
}

// typed is all the letters of a block in reading order.
func typed(b *intake.Block) string {
	var s strings.Builder
	s.WriteString(b.Title)
	for _, p := range b.Text {
		for _, r := range p {
			s.WriteString(r.Text)
		}
	}
	s.WriteString(b.End)
	return s.String()
}

// stripped drops white space, hyphens (PDFium reports each hyphen at the end of a line, typed or put in, as the same sign) and the
// dots between who, where and when, which nobody typed and which are lost where a closing line breaks.
func stripped(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || r == '\u00AD' || r == '-' || r == '·' {
			return -1
		}
		return r
	}, s)
}

// inkOnlyWhereAllowed looks at every dot of the page at 144 to the inch.
func inkOnlyWhereAllowed(t *testing.T, job int, doc *readback.Doc, page int, p *plan.Piece) {
	t.Helper()
	const dpi = 144
	picture := doc.Grey(page, dpi)
	dot := measure.Inch / dpi
	allowed := make([]bool, picture.Rect.Dx()*picture.Rect.Dy())
	allow := func(r measure.Rect) {
		for y := max(0, int(r.Y/dot)-1); y <= min(int(r.Bottom()/dot)+1, picture.Rect.Dy()-1); y++ {
			for x := max(0, int(r.X/dot)-1); x <= min(int(r.Right()/dot)+1, picture.Rect.Dx()-1); x++ {
				allowed[y*picture.Rect.Dx()+x] = true
			}
		}
	}
	for _, at := range p.Blocks() {
		b := at.Block
		allow(b.InkBox)
		if _, any := readback.Ink(picture, dpi, b.InkBox); !any {
			t.Errorf("job %d, %s: block %s is blank", job, p.Name(), b.Code)
		}
	}
	for q := range p.Whole.Cuts {
		for _, m := range q.Cut.Marks {
			allow(m.Ink())
			if _, any := readback.Ink(picture, dpi, grow(m.Ink(), 2*dot)); !any {
				t.Errorf("job %d, %s: the mark at %v is not there", job, p.Name(), m.Ink())
			}
		}
	}
	for leaf := range p.Whole.Leaves {
		for _, m := range leaf.Outline {
			allow(m.Ink())
			if _, any := readback.Ink(picture, dpi, grow(m.Ink(), 2*dot)); !any {
				t.Errorf("job %d, %s: the line at %v is not there", job, p.Name(), m.Ink())
			}
		}
	}
	for _, l := range p.Labels {
		allow(l.Rect)
		if _, any := readback.Ink(picture, dpi, l.Rect); !any {
			t.Errorf("job %d, %s: the label at %v is not there", job, p.Name(), l.Rect)
		}
	}
	for y := range picture.Rect.Dy() {
		for x := range picture.Rect.Dx() {
			if dark(picture, x, y) && !allowed[y*picture.Rect.Dx()+x] {
				t.Errorf("job %d, %s: ink at %v, which is neither in an ink box nor in a mark nor in a label", job, p.Name(), measure.Rect{X: measure.Length(x) * dot, Y: measure.Length(y) * dot})
				return
			}
		}
	}
}

func dark(p *image.Gray, x, y int) bool { return p.GrayAt(p.Rect.Min.X+x, p.Rect.Min.Y+y).Y < 200 }
