package proof

import (
	"bytes"
	"encoding/xml"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/go-text/typesetting/font"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/press/readback"
	"tuckmark/impose/typeset"
)

func TestSameBytes(t *testing.T) {
	file, quick := many(t, 20), map[string]string{"effort": "0"}
	if a, b := pageOf(t, job(t, file, quick)), pageOf(t, job(t, file, quick)); a != b {
		t.Error("the same job gives another page")
	}
	if a, b := plainPDF(t, job(t, file, quick)), plainPDF(t, job(t, file, quick)); !bytes.Equal(a, b) {
		t.Error("the same job gives other plain pages")
	}
}

// TestSize: a proof goes by mail, so that 100 blocks must stay below 1.5 MB.
func TestSize(t *testing.T) {
	n := len(pageOf(t, job(t, many(t, 100), map[string]string{"effort": "0"})))
	t.Logf("100 blocks: %d bytes", n)
	if n > 1_500_000 {
		t.Errorf("100 blocks take %d bytes", n)
	}
}

// TestEscape: nothing from a cell becomes a tag. The page's own tags are known, and none has a handler.
func TestEscape(t *testing.T) {
	page := pageOf(t, hostile(t))
	for _, never := range []string{"<script>alert", "<img", "<i>", "<b>Eve", "<u>", "onload=alert(1)>", "<![CDATA["} {
		if strings.Contains(page, never) {
			t.Errorf("the page holds %q", never)
		}
	}
	if n := strings.Count(page, "<script"); n != 1 {
		t.Errorf("%d scripts", n)
	}
	if m := regexp.MustCompile(`<[a-z][^>]*\son[a-z]+=`).FindString(page); m != "" {
		t.Errorf("a handler: %q", m)
	}
	// The pictures by an XML reader of its own kind: encoding/xml.
	for _, picture := range regexp.MustCompile(`(?s)<svg.*?</svg>`).FindAllString(page, -1) {
		d := xml.NewDecoder(strings.NewReader(picture))
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("a picture is no XML: %v\n%.300s", err, picture)
			}
			if e, ok := token.(xml.StartElement); ok && !slices.Contains([]string{"svg", "g", "rect", "text", "path", "use", "circle", "defs", "pattern"}, e.Name.Local) {
				t.Errorf("a picture holds <%s>", e.Name.Local)
			}
		}
	}
}

// TestGlyphs: each code of a page's picture leads, by the font embedded for it, to the glyph that the setting chose. The font is
// read by go-text, which had no part in cutting it.
func TestGlyphs(t *testing.T) {
	in := job(t, many(t, 12), map[string]string{"effort": "0"})
	for _, name := range []string{"Serif", "Sans", "Typewriter"} {
		if _, err := in.Fonts.Face(name, false, false); err != nil {
			t.Fatal(err)
		}
	}
	d := newDrawing(in)
	for i := range in.Set {
		d.drawBlock(&in.Set[i], "b")
	}
	for _, f := range d.fonts.list {
		whole := parse(t, f.face.Data())
		cut := parse(t, decode64(t, f))
		if cut.Upem() != whole.Upem() {
			t.Errorf("%s: %d units, not %d", f.face.Name(), cut.Upem(), whole.Upem())
		}
		for s, code := range f.code {
			g, ok := cut.NominalGlyph(code)
			if !ok {
				t.Errorf("%s: no glyph for %U", f.face.Name(), code)
				continue
			}
			if a, b := outlineOf(cut, g), outlineOf(whole, font.GID(s.glyph)); a != b {
				t.Errorf("%s: %U is drawn otherwise than glyph %d", f.face.Name(), code, s.glyph)
			}
		}
	}
}

// TestPlain: which glyphs get their character as their code.
func TestPlain(t *testing.T) {
	for text, want := range map[string]rune{
		"a": 'a', "é": 'é', "ß": 'ß', "Ж": 'Ж', "“": '“', "&": '&', "\u00AD": '-',
		"fi": 0, "": 0, " ": 0, "\u0301": 0, "ש": 0, "ع": 0, "\u202E": 0, "\u00A0": 0, "\U0001F600": 0, "\uE000": 0, "\n": 0,
	} {
		if got := soleCharacter(text); got != want {
			t.Errorf("%q: %U, not %U", text, got, want)
		}
	}
}

// TestManyGlyphs: a face with more glyphs than there are private codes goes on in another web font.
func TestManyGlyphs(t *testing.T) {
	var fs fonts
	face, err := library().Face("Serif", false, false)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[*webFont]map[rune]bool{}
	for id := range uint16(10000) {
		f, r := fs.code(face, typeset.Glyph{ID: id, Text: "x"})
		if seen[f] == nil {
			seen[f] = map[rune]bool{}
		}
		if seen[f][r] || r != 'x' && (r < firstPrivate || r > lastPrivate) {
			t.Fatalf("glyph %d has the code %U", id, r)
		}
		seen[f][r] = true
	}
	if len(fs.list) != 2 {
		t.Errorf("%d web fonts", len(fs.list))
	}
}

// TestEverybody: every block that is set is on the page and on plain paper once, with its text; every held row is listed.
func TestEverybody(t *testing.T) {
	in := job(t, sample, map[string]string{"effort": "0"})
	page := pageOf(t, in)
	doc := readback.Open(t, plainPDF(t, in))
	var paper strings.Builder
	for i := range doc.Pages() {
		paper.WriteString(doc.Text(i) + "\n")
	}
	for i := range in.Set {
		b := in.Set[i].Block
		if n := strings.Count(page, `data-code="`+b.Code+`"`); n != 1 {
			t.Errorf("%s is on the page %d times", b.Code, n)
		}
		if n := len(regexp.MustCompile(`(?m)(^|[^A-Z])`+b.Code+`[^0-9]`).FindAllString(paper.String(), -1)); n != 1 {
			t.Errorf("%s is on plain paper %d times", b.Code, n)
		}
	}
	broken := job(t, "../../samples/broken.csv", nil)
	page = pageOf(t, broken)
	if len(broken.Plan.Held) == 0 {
		t.Fatal("nothing is held back")
	}
	for _, h := range broken.Plan.Held {
		if n := strings.Count(page, `data-code="`+h.Code+`"`); h.Code != "" && n != 1 {
			t.Errorf("%s, which is held back, is on the page %d times", h.Code, n)
		}
	}
}

// TestTrueSize: on plain paper, PDFium sees the outline of a block as large as its trim size, within the hairline's half and a dot.
func TestTrueSize(t *testing.T) {
	in := job(t, rows(t, "one.csv", "Name,Journaling,Width,Height,Stock", []string{"Ann", "Hello there", "114.3 mm", "2", "cardstock"}), nil)
	doc := readback.Open(t, plainPDF(t, in))
	const dpi = 600
	size := doc.Size(0)
	ink, ok := readback.Ink(doc.Grey(0, dpi), dpi, measure.Rect{Y: paperMargin + labelHeight - measure.Point, W: size.W, H: size.H / 2})
	want := measure.Size{W: 1143 * measure.Millimetre / 10, H: 2 * measure.Inch}
	near := func(a, b measure.Length) bool { return max(a-b, b-a) <= hairline+2*measure.Inch/dpi }
	if !ok || !near(ink.W, want.W) || !near(ink.H, want.H) {
		t.Errorf("the outline is %s, not %s", ink.Size().About(measure.Mm), want.About(measure.Mm))
	}
	tall := job(t, rows(t, "tall.csv", "Name,Journaling,Width,Height,Stock", []string{"Ann", "Hello there", "4", "9 1/2", "cardstock"},
		[]string{"Bob", "Wide one", "9 1/2", "3", "cardstock"}), nil)
	for _, p := range Pages(tall) {
		for _, l := range p.Lines {
			if x, y := max(l.X1, l.X2), max(l.Y1, l.Y2); min(l.X1, l.X2) < paperMargin || x > p.Size.W-paperMargin || y > p.Size.H-paperMargin {
				t.Errorf("a line beyond the margins of its page: %v", l)
			}
		}
	}
}

// TestContrast: every colour that text has stands out from every ground that it lies on by 4.5 to 1, in light and in dark (WCAG 2.2,
// success criterion 1.4.3, with its formulas for contrast and relative luminance). Blocks are pictures of print and not asked.
func TestContrast(t *testing.T) {
	found := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(pageCSS, -1)
	if len(found) != 3 { // light, dark, print
		t.Fatalf("%d palettes", len(found))
	}
	for i, m := range found {
		palette := map[string]float64{}
		for _, c := range regexp.MustCompile(`--([a-z]+):#([0-9a-f]+)`).FindAllStringSubmatch(m[1], -1) {
			hex := c[2]
			if len(hex) == 3 {
				hex = hex[:1] + hex[:1] + hex[1:2] + hex[1:2] + hex[2:] + hex[2:]
			}
			n, err := strconv.ParseUint(hex, 16, 32)
			if err != nil {
				t.Fatal(err)
			}
			channel := func(v uint64) float64 {
				c := float64(v&255) / 255
				if c <= 0.04045 {
					return c / 12.92
				}
				return math.Pow((c+0.055)/1.055, 2.4)
			}
			palette[c[1]] = 0.2126*channel(n>>16) + 0.7152*channel(n>>8) + 0.0722*channel(n)
		}
		contrast := func(a, b string) {
			x, y := palette[a], palette[b]
			if x == 0 && y == 0 {
				t.Errorf("palette %d lacks %s and %s", i, a, b)
			}
			if r := (max(x, y) + 0.05) / (min(x, y) + 0.05); r < 4.5 {
				t.Errorf("palette %d: %s on %s has a contrast of %.2f", i, a, b, r)
			}
		}
		for _, ground := range []string{"paper", "card", "bar"} {
			for _, text := range []string{"text", "quiet", "accent", "warn"} {
				contrast(text, ground)
			}
		}
		contrast("paper", "accent") // the button
	}
}

// A piece has as many cuts as are made: a strip no wider than a hair stays on.
func TestCutsOf(t *testing.T) {
	const in = measure.Inch
	whole := func(strip measure.Length, marked bool) *plan.Part {
		cut := &plan.Cut{Axis: plan.Down, At: 4 * in, Near: &plan.Part{Rect: measure.Rect{W: 4 * in, H: 2 * in}, Block: &plan.Block{}}, Far: &plan.Part{Rect: measure.Rect{X: 4 * in, W: strip, H: 2 * in}}}
		if marked {
			cut.Marks = make([]plan.Mark, 1)
		}
		return &plan.Part{Rect: measure.Rect{W: 4*in + strip, H: 2 * in}, Cut: cut}
	}
	for _, c := range []struct {
		strip  measure.Length
		marked bool
		want   string
	}{{in, true, "1 cut"}, {in, false, "1 cut, 1 to be measured"}, {measure.Hair, false, "0 cuts"}} {
		if got := cutsOf(whole(c.strip, c.marked)); got != c.want {
			t.Errorf("a strip of %d, marked %v: %s, not %s", c.strip, c.marked, got, c.want)
		}
	}
}
