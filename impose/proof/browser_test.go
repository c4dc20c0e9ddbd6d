package proof

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/press/readback"
	"tuckmark/impose/proof/chromium"
	"tuckmark/intake"
)

// The tests of this file look at the page in Chromium, where one is installed.

func TestMain(m *testing.M) { chromium.Main(m) }

// tab is the page in the browser.
type tab struct {
	*chromium.Tab
	t *testing.T
}

func open(t *testing.T, page string, width int64, scheme string, before ...chromedp.Action[chromedp.Void]) *tab {
	t.Helper()
	chromium.Start(t)
	file := filepath.Join(t.TempDir(), "proof.html")
	if err := os.WriteFile(file, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	return &tab{chromium.Open(t, "file://"+file, width, 900, scheme, before...), t}
}

// eval is what a script comes to, when its promise is kept.
func eval[T any](b *tab, script string) T { b.t.Helper(); return chromium.Eval[T](b.Tab, script) }

// print is the page as a PDF, as the browser prints it.
func (b *tab) print() []byte {
	b.t.Helper()
	pdf, err := chromedp.Run(b.Context, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize(), chromedp.PDFPrintBackground()))
	if err != nil {
		b.t.Fatalf("Chromium: %v", err)
	}
	return pdf
}

// TestSilence: the page asks for nothing, and no text of it runs, however hostile; each text is there as typed.
func TestSilence(t *testing.T) {
	chromium.Always(t)
	chromium.Start(t)
	in := hostile(t)
	if len(in.Set) < len(nasty) {
		t.Fatalf("%d blocks of %d can be set: %v", len(in.Set), len(nasty), in.Problems)
	}
	b := open(t, pageOf(t, in), 360, "light")
	b.JS(`document.querySelector("#copy").click()`)
	b.Do(chromedp.Sleep(200 * time.Millisecond))
	requests, dialogs := b.Requests()
	for _, u := range requests {
		if !strings.HasPrefix(u, "data:font/") && !(strings.HasPrefix(u, "file://") && strings.HasSuffix(u, "/proof.html")) {
			t.Errorf("the page asks for %s", u)
		}
	}
	if dialogs > 0 {
		t.Error("a text of the page ran")
	}
	if n := eval[int](b, `document.scripts.length`); n != 1 {
		t.Errorf("%d scripts", n)
	}
	if got := eval[string](b, `document.title`); got != "Proof: "+in.Title {
		t.Errorf("the title is %q", got)
	}
	said := eval[[]string](b, `[...document.querySelectorAll(".said")].map((e) => e.textContent)`)
	for i := range in.Set {
		want := strings.Join(Paragraphs(in.Set[i].Block), "")
		found := false
		for _, s := range said {
			found = found || s == want
		}
		if !found {
			t.Errorf("no block reads %q", want)
		}
	}
	if w := eval[int](b, `document.documentElement.scrollWidth`); w > 360 {
		t.Errorf("at 360 px the page is %d px wide", w)
	}
}

// TestPicture: the print of the page, as PDFium reads it, has every glyph where the setting has it, at its size, and the block's edge
// as large as its trim size, within the 0.2 mm that the eye allows.
func TestPicture(t *testing.T) {
	const text = "Office *fluff* AVAST To “quoted” naïve _jigsaw_ half-hidden; 4 July 1962"
	for _, c := range []struct{ font, text string }{
		{"Serif", text}, {"Sans", text}, {"Typewriter", text}, {"Book", text}, {"Roman", text},
		{"Sans", "שלום לכולם 123 abc"}, {"DejaVu Sans", "سلام e\u0301a\u0323\u0302"},
	} {
		t.Run(c.font+" "+c.text[:4], func(t *testing.T) {
			chromium.Start(t)
			in := job(t, rows(t, "one.csv", "Name,Journaling,Width,Height,Stock,Font,Tuck", []string{"Ann", c.text, "114.3 mm", "2", "cardstock", c.font, "1/4"}), nil)
			if len(in.Set) != 1 {
				t.Skipf("cannot be set: %v", in.Problems)
			}
			s := &in.Set[0]
			b := open(t, pageOf(t, in), 1280, "light")
			// All but the block is made invisible and keeps its room.
			b.JS(`{const s = document.createElement("style");
				s.textContent = "*{visibility:hidden!important}.block,.block g,.block text,.block .edge{visibility:visible!important;color:#000}#sheets{display:none}";
				document.head.append(s);}`)
			doc := readback.Open(t, b.print())
			if size := doc.Size(0); near(size.W, in.Settings.Guide.W) > measure.Millimetre/5 || near(size.H, in.Settings.Guide.H) > measure.Millimetre/5 {
				t.Errorf("the paper is %s", size.About(measure.Mm))
			}
			const dpi = 600
			edge, ok := readback.Ink(doc.Grey(0, dpi), dpi, doc.Size(0).At(0, 0))
			trim := s.Block.Trim()
			if !ok || near(edge.W, trim.W) > measure.Millimetre/5 || near(edge.H, trim.H) > measure.Millimetre/5 {
				t.Fatalf("the block is %s in print, not %s", edge.Size().About(measure.Mm), trim.About(measure.Mm))
			}
			// By place: PDFium tells the characters of a line that runs from right to left in another order.
			var want, got [][2]measure.Length
			for _, l := range s.Lines {
				for _, span := range l.Spans {
					for _, g := range span.Glyphs {
						if g.Text == "" || strings.TrimSpace(g.Text) != "" {
							want = append(want, [2]measure.Length{g.X, g.Y})
						}
					}
				}
			}
			for _, ch := range doc.Chars(0) {
				if !ch.Made {
					got = append(got, [2]measure.Length{ch.X - edge.X, ch.Y - edge.Y})
				}
			}
			if len(got) != len(want) {
				t.Fatalf("%d glyphs in print, %d in the setting", len(got), len(want))
			}
			byPlace := func(a, b [2]measure.Length) int {
				if near(a[1], b[1]) > measure.Millimetre {
					return cmp.Compare(a[1], b[1])
				}
				return cmp.Compare(a[0], b[0])
			}
			slices.SortFunc(want, byPlace)
			slices.SortFunc(got, byPlace)
			for i, g := range want {
				if near(got[i][0], g[0]) > measure.Millimetre/10 || near(got[i][1], g[1]) > measure.Millimetre/10 {
					t.Fatalf("glyph %d is at %s, %s, not at %s, %s", i, got[i][0].About(measure.Mm), got[i][1].About(measure.Mm), g[0].About(measure.Mm), g[1].About(measure.Mm))
				}
			}
			sameInk(t, in, doc, edge)
		})
	}
}

// sameInk compares how dark the ink box is in the browser's print and in ours, by PDFium: the same outlines in the same places give
// the same shade, and where they lie the same box.
func sameInk(t *testing.T, in Input, browser *readback.Doc, edge measure.Rect) {
	t.Helper()
	const dpi = 600
	s := &in.Set[0]
	page := Pages(in)[0]
	ours := readback.Open(t, plainPDF(t, in))
	box := s.Block.Ink()
	at := measure.Rect{X: page.Lines[0].X1, Y: page.Lines[0].Y1, W: s.Block.Trim().W, H: s.Block.Trim().H}
	shade := func(d *readback.Doc, r measure.Rect) (dark float64, ink measure.Rect) {
		g := d.Grey(0, dpi)
		dot := func(l measure.Length) int { return int(int64(l) * dpi / int64(measure.Inch)) }
		x0, y0, x1, y1 := math.MaxInt, math.MaxInt, 0, 0
		for y := dot(r.Y); y < dot(r.Bottom()); y++ {
			for x := dot(r.X); x < dot(r.Right()); x++ {
				v := g.GrayAt(x, y).Y
				if v < 128 { // the texture is fainter
					dark++
					x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
				}
			}
		}
		of := func(n int) measure.Length { return measure.Length(n) * measure.Inch / dpi }
		return dark, measure.Rect{X: of(x0) - r.X, Y: of(y0) - r.Y, W: of(x1 - x0), H: of(y1 - y0)}
	}
	a, inkA := shade(ours, box.Move(at.X, at.Y))
	b, inkB := shade(browser, box.Move(edge.X, edge.Y))
	const dots = 4 * measure.Inch / dpi
	if a == 0 || math.Abs(a-b)/a > 0.02 || near(inkA.X, inkB.X) > dots || near(inkA.Y, inkB.Y) > dots || near(inkA.W, inkB.W) > dots || near(inkA.H, inkB.H) > dots {
		t.Errorf("the picture is not the print: %.0f and %.0f dark dots, ink in %v and %v", b, a, inkB, inkA)
	}
}

func near(a, b measure.Length) measure.Length { return max(a-b, b-a) }

// TestChoose: owner, search and notes choose blocks; a link shows its block whatever was chosen.
func TestChoose(t *testing.T) {
	chromium.Start(t)
	in := job(t, sample, nil)
	b := open(t, pageOf(t, in), 1280, "light")
	shown := func() int {
		return eval[int](b, `[...document.querySelectorAll("article")].filter((e) => e.checkVisibility()).length`)
	}
	if n := shown(); n != len(in.Set) {
		t.Errorf("%d blocks are shown, not %d", n, len(in.Set))
	}
	set := func(id, property, value, event string) {
		b.JS(fmt.Sprintf(`{const e = document.getElementById(%q); e[%q] = %s; e.dispatchEvent(new Event(%q));}`, id, property, value, event))
		b.Do(chromedp.Sleep(250 * time.Millisecond))
	}
	first := in.Set[0].Block
	mine := 0
	for i := range in.Set {
		if in.Set[i].Block.Owner == first.Owner {
			mine++
		}
	}
	set("owner", "value", `[...document.querySelectorAll("#owner option")].find((o) => o.textContent.startsWith("`+first.Owner+`")).value`, "change")
	if n := shown(); n != mine {
		t.Errorf("%s has %d blocks, %d are shown", first.Owner, mine, n)
	}
	set("owner", "value", `""`, "change")
	set("find", "value", `"  ferry  HENS "`, "input")
	none := shown()
	set("find", "value", `"avo"`, "input") // found as Avó
	if n := shown(); n == 0 || none != 0 {
		t.Errorf("%d blocks with Avó, %d with what no block has", n, none)
	}
	b.JS(`location.hash = "#b0"`)
	b.Do(chromedp.Sleep(200 * time.Millisecond))
	if n := shown(); n != len(in.Set) {
		t.Errorf("after a link %d blocks are shown", n)
	}
	b = open(t, pageOf(t, job(t, "../../samples/broken.csv", nil)), 1280, "light")
	set("noted", "checked", "true", "change")
	noted := eval[int](b, `document.querySelectorAll("article[data-noted]").length`)
	if n := shown(); n != noted || n == 0 || n == eval[int](b, `document.querySelectorAll("article").length`) {
		t.Errorf("%d blocks with notes, %d are shown", noted, n)
	}
}

// TestAnswersReturn: what is ticked and typed comes back through the text on the clipboard, and holds back what it must.
func TestAnswersReturn(t *testing.T) {
	chromium.Always(t)
	chromium.Start(t)
	in := job(t, sample, nil)
	b := open(t, pageOf(t, in), 360, "light")
	b.JS(`{
		const e = [...document.querySelectorAll("article")].slice(0, 3);
		const change = e[1].querySelector("textarea");
		e[0].querySelector("input").click();
		change.value = "  Marie\nwith ie, <b>please</b>  ";
		change.dispatchEvent(new Event("input"));
		e[2].querySelector("input").click(); e[2].querySelector("input").click(); }`)
	b.Do(chromedp.Click(chromedp.ID("copy")), chromedp.Sleep(300*time.Millisecond))
	text := b.answers()
	if said := eval[string](b, `document.getElementById("tally").textContent`); !strings.HasPrefix(said, "Copied") {
		t.Errorf("after copying the page says %q", said)
	}
	codes := eval[[]string](b, `[...document.querySelectorAll("article")].slice(0, 2).map((e) => e.dataset.code)`)
	list, problems := ReadAnswers("answers.txt", []byte(text), nil)
	if len(problems) > 0 || len(list) != 2 || list[0].Code != codes[0] || !list[0].OK || list[1].Code != codes[1] || list[1].OK ||
		list[1].Change != "Marie / with ie, <b>please</b>" {
		t.Fatalf("the answers %q are read as %+v, %v", text, list, problems)
	}
	o := Tally(list, in.Blocks, nil, in.Settings)
	if o.Approved != 1 || o.Wanted != 1 || len(o.Held) != 1 || o.Held[0].Code != codes[1] || o.Open != len(in.Blocks)-2 {
		t.Errorf("they come to %+v", o)
	}
	in.Answers = list
	b.JS(`localStorage.clear()`)             // files share one store here
	b = open(t, pageOf(t, in), 360, "light") // the next round shows what was said
	if got := eval[string](b, `document.querySelectorAll("article")[1].querySelector("textarea").value`); got != list[1].Change {
		t.Errorf("the next proof shows %q", got)
	}
	if !eval[bool](b, `document.querySelector("article input").checked`) {
		t.Error("the next proof forgot what was approved")
	}
}

// answers is the text to be sent, once it was copied.
func (b *tab) answers() string {
	b.t.Helper()
	return eval[string](b, `document.getElementById("answers").value`)
}

// TestMissingReturns: what is typed into the boxes of held blocks comes back through the text to be sent, and is put into its rows.
func TestMissingReturns(t *testing.T) {
	chromium.Start(t)
	in := job(t, rows(t, "held.csv", "Name,Journaling,Width,Height", []string{"Ann Lo", "", "4", "2"}, []string{"Ann Lo", "In May", "", "2"},
		[]string{"Ann Lo", "In June", "about", ""}, []string{"Bo Ek", "In July", "4", "2"}), nil)
	b := open(t, pageOf(t, in), 390, "light")
	b.JS(`localStorage.clear(); for (const [id, value] of [["b1t", "We rowed  out,\n\nand ¶ back."], ["b2s", "3 1/2"], ["b3s", "4 x 2"], ["b3c", "on vellum"]]) {
		const e = document.getElementById(id); e.value = value; e.dispatchEvent(new Event("input")); }`)
	b.Do(chromedp.Click(chromedp.ID("copy")), chromedp.Sleep(300*time.Millisecond))
	list, problems := ReadAnswers("a.txt", []byte(b.answers()), nil)
	var got []string
	said := Give(list, in.Blocks, in.Plan.Held, in.Settings, func(row int, text, space string) (*intake.Block, *problem.Problem) {
		got = append(got, fmt.Sprintf("%d %q %q", row, text, space))
		again, wrong := in.Read.Amend(asked(in.Blocks, in.Plan.Held)[row], text, space, in.Settings)
		if wrong != nil || again.Block == nil {
			t.Fatalf("%v %+v", wrong, again)
		}
		got = append(got, again.Block.Code+" "+again.Block.Space.Format(measure.In)+" "+again.Block.Markup())
		return again.Block, nil
	})
	const want = "1 \"We rowed out,\\n\\nand back.\" \"\"|AL-1 4 x 2 in We rowed out,\n\nand back.|2 \"\" \"3 1/2\"|AL-2 3 1/2 x 2 in In May|3 \"\" \"4 x 2\"|AL-3 4 x 2 in In June"
	if len(problems) > 0 || len(list) != 4 || strings.Join(got, "|") != want || len(said) != 3 || said.Errors() > 0 {
		t.Errorf("%q is read as %+v, %v and comes to\n%s\n%v", b.answers(), list, problems, strings.Join(got, "|"), said)
	}
	if n := eval[string](b, `document.getElementById("tally").textContent`); !strings.HasPrefix(n, "Copied") {
		t.Errorf("%q", n)
	}
	b.JS(`{const e = document.getElementById("owner"); e.value = e.options[2].value; e.dispatchEvent(new Event("change"));}`)
	if n := eval[string](b, `document.getElementById("count").textContent`); n != "1 block drawn" { // Bo Ek's
		t.Errorf("%q", n)
	}
}

// TestKeyboard: the tab key leads through everything that can be done, in the order of the page, and each shows that it is there.
func TestKeyboard(t *testing.T) {
	chromium.Start(t)
	in := small(t, "One", "Two")
	b := open(t, pageOf(t, in), 360, "light")
	var seen []string
	for range 11 {
		b.Do(chromedp.KeyEvent("\t"))
		at := eval[[]string](b, `((e) => [e.id || e.getAttribute("href") || e.tagName, getComputedStyle(e).outlineStyle])(document.activeElement)`)
		if at[1] == "none" {
			t.Errorf("%s does not show that it is chosen", at[0])
		}
		if at[0] == "b1k" {
			b.Do(chromedp.KeyEvent(" "))
		}
		seen = append(seen, at[0])
	}
	const want = "#blocks #blocks #sheets owner find noted b0k b0c b1k b1c copy"
	if got := strings.Join(seen, " "); !strings.HasPrefix(got, want) {
		t.Errorf("the tab key leads to %s, not to %s", got, want)
	}
	if !eval[bool](b, `document.getElementById("b1k").checked`) {
		t.Error("the space key does not tick")
	}
}

// TestWithoutScripts: everything is there to be seen, and nothing that would do nothing.
func TestWithoutScripts(t *testing.T) {
	chromium.Start(t)
	in := job(t, "../../samples/broken.csv", nil)
	b := open(t, pageOf(t, in), 360, "light", chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	got := eval[[]int](b, `[[...document.querySelectorAll("article, #general li")].filter((e) => !e.checkVisibility()).length,
		[...document.querySelectorAll("input, select, textarea, button")].filter((e) => e.checkVisibility()).length]`)
	if got[0] != 0 || got[1] != 0 {
		t.Errorf("without scripts %d parts are hidden and %d controls are shown", got[0], got[1])
	}
}

// TestAxe: no violation that axe-core knows of, at phone and desk width, light and dark. AXE_CORE names its axe.min.js.
func TestAxe(t *testing.T) {
	chromium.Start(t)
	clean, broken := pageOf(t, job(t, sample, nil)), pageOf(t, job(t, "../../samples/broken.csv", nil))
	for _, c := range []struct {
		page   string
		width  int64
		scheme string
	}{{clean, 360, "dark"}, {clean, 1280, "light"}, {broken, 360, "light"}, {broken, 1280, "dark"}} {
		b := open(t, c.page, c.width, c.scheme)
		b.JS(`document.querySelector("#copy").click()`)
		chromium.Axe(t, b.Tab, fmt.Sprintf("%d px, %s", c.width, c.scheme))
	}
}

// TestThousand: 1,000 blocks open and scroll. Times are noisy on a shared machine: the limits are for what is plainly wrong.
func TestThousand(t *testing.T) {
	chromium.Start(t)
	in := job(t, many(t, 1000), map[string]string{"effort": "0"})
	page := pageOf(t, in)
	b := open(t, page, 360, "light")
	ready := eval[float64](b, `performance.getEntriesByType("navigation")[0].loadEventEnd`)
	worst := eval[float64](b, `(async () => {
		let worst = 0;
		for (let i = 0; i < 60; i++) {
			const from = performance.now();
			scrollBy(0, 800);
			await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
			worst = Math.max(worst, performance.now() - from);
		}
		return worst; })()`)
	find := eval[float64](b, `(async () => {
		const e = document.getElementById("find");
		e.value = "plums quay"; e.dispatchEvent(new Event("input"));
		await new Promise((done) => setTimeout(done, 125));
		const from = performance.now();
		await new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
		return performance.now() - from; })()`)
	t.Logf("%d blocks, %d bytes: loaded in %.0f ms, the longest step of scrolling %.0f ms, search %.0f ms", len(in.Set), len(page), ready, worst, find)
	if ready > 10_000 || worst > 2_000 {
		t.Errorf("loaded in %.0f ms, the longest step of scrolling %.0f ms", ready, worst)
	}
	if w := eval[int](b, `document.documentElement.scrollWidth`); w > 360 {
		t.Errorf("at 360 px the page is %d px wide", w)
	}
}

// TestShots writes screenshots into the folder that PROOF_SHOTS names, to be looked at.
func TestShots(t *testing.T) {
	folder := os.Getenv("PROOF_SHOTS")
	if folder == "" {
		t.Skip("PROOF_SHOTS names no folder")
	}
	pages := map[string]string{"sample": pageOf(t, job(t, sample, nil)), "broken": pageOf(t, job(t, "../../samples/broken.csv", nil)), "hostile": pageOf(t, hostile(t)),
		"many": pageOf(t, job(t, many(t, 1000), map[string]string{"effort": "0"}))}
	for name, page := range pages {
		for _, width := range []int64{390, 1280, 2560} {
			for _, scheme := range []string{"light", "dark"} {
				b := open(t, page, width, scheme)
				for _, part := range []string{"", "general", "sheets"} {
					if !eval[bool](b, fmt.Sprintf(`{const e = document.getElementById(%q); if (e) e.scrollIntoView(); scrollY === 0 || !!e}`, part)) {
						continue
					}
					b.Do(chromedp.Sleep(200 * time.Millisecond))
					png := b.Shot()
					if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d-%s-%s.png", name, width, scheme, part)), png, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		if name == "many" {
			continue
		}
		b := open(t, page, 1280, "light")
		if err := os.WriteFile(filepath.Join(folder, name+".pdf"), b.print(), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
