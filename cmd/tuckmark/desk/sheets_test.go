package desk

import (
	"context"
	"errors"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tuckmark/impose"
	"tuckmark/impose/proof/chromium"
	"tuckmark/intake"
)

// spotsMatch are the blocks on drawings: id, piece, number, code.
var spotsMatch = regexp.MustCompile(`data-at="(\d+ \d+ \d+ \d+)" data-hand="(\w+)" data-piece="(\d+)" data-block="(\d+)"><span class="said">([A-Z]+-\d+)`)

// spot is a block on the drawings: where it lies, and what a press sends.
type spot struct{ at, id, piece, block, code string }

// sheetsNow are the blocks on the drawings, by code, and the version of the layout, once it is laid in full.
func (c *caller) sheetsNow(most time.Duration) (map[string]spot, string, string) {
	c.t.Helper()
	for end := time.Now().Add(most); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		text := html.UnescapeString(c.page("/part/sheets"))
		_, version, _ := strings.Cut(text, `data-version="`)
		version, _, _ = strings.Cut(version, `"`)
		if !strings.Contains(version, "-2-") {
			continue
		}
		out := map[string]spot{}
		for _, m := range spotsMatch.FindAllStringSubmatch(text, -1) {
			out[m[5]] = spot{m[1], m[2], m[3], m[4], m[5]}
		}
		return out, version, text
	}
	c.t.Fatal("the sheets are never laid in full")
	return nil, "", ""
}

// sheetsAfter is the same for the layout of a later revision.
func (c *caller) sheetsAfter(version string) (map[string]spot, string, string) {
	c.t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if spots, now, text := c.sheetsNow(20 * time.Second); now != version {
			return spots, now, text
		}
	}
	c.t.Fatal("the sheets are never laid anew")
	return nil, "", ""
}

// crowded is a job that takes a sheet of cardstock more than it would without its smallest block there.
const crowded = "Name,Journaling,Width,Height,Stock,Turn\n" +
	"Ann Lo,We rowed out.,8,4 1/2,cardstock,no\nBo Ek,The lake was ours.,8,4 1/2,cardstock,no\nAnn Lo,Third,4,2,cardstock,no\nBo Ek,Fourth,4,2,plain paper,no\n"

// crowdedFolder is a folder with a table.
func crowdedFolder(t *testing.T, csv string) string {
	t.Helper()
	folder := t.TempDir()
	for name, text := range map[string]string{"crop.csv": csv, "tuckmark.yaml": "effort: 40\n"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// sheetsDesk is a desk on a table.
func sheetsDesk(t *testing.T, csv string, o Options) (*running, *caller) {
	t.Helper()
	o.limits, o.atOnce = unlimited, true
	r := begin(t, crowdedFolder(t, csv), o, "crop.csv")
	return r, enter(t, r)
}

// press posts, and fails the test where that is refused.
func (c *caller) press(path, body string) {
	c.t.Helper()
	if status, said := c.post(path, body); status != 200 {
		c.t.Fatalf("%s %s: %d %s", path, body, status, said)
	}
}

var wayMatch = regexp.MustCompile(`data-way="(\d+)">([^<]*)<`)

// TestAdviceToPress: what would save a sheet is pressed, saves it, and is taken back by one press; what was pressed for sheets of before is refused.
func TestAdviceToPress(t *testing.T) {
	_, c := sheetsDesk(t, crowded, Options{})
	before := c.says("/part/sheets", "data-way", `class="counts">3 new sheets`)
	_, version, _ := c.sheetsNow(time.Second)
	var said []string
	ways := wayMatch.FindAllStringSubmatch(before, -1)
	for _, w := range ways {
		said = append(said, w[2])
	}
	if got, want := strings.Join(said, "; "), "Hold AL-2 back; Make AL-2 3/8 in lower; Put AL-2 on plain paper"; got != want {
		t.Fatalf("it offers %q, not %q", got, want)
	}
	rows := cellsOf(c)
	for i, w := range ways {
		c.says("/part/sheets", "data-way", `class="counts">3 new sheets`)
		_, version, _ = c.sheetsNow(time.Second)
		c.press("/sheets/press", fmt.Sprintf(`{"version":%q,"way":%s}`, version, w[1]))
		text := c.says("/part/sheets", `class="counts">2 new sheets`, []string{"held back for now", "AL-2 is 3/8 in lower.", "AL-2 is on plain paper now."}[i])
		if i == 0 {
			id := text[strings.Index(text, "data-print-again=")+18:]
			c.press("/sheets/hold", fmt.Sprintf(`{"id":%q,"hold":false}`, id[:strings.Index(id, `"`)]))
		} else {
			n := text[strings.Index(text, "data-back=")+11:]
			c.press("/sheets/back", fmt.Sprintf(`{"press":%s}`, n[:strings.Index(n, `"`)]))
		}
	}
	c.says("/part/sheets", "data-way", `class="counts">3 new sheets`)
	if now := cellsOf(c); now != rows {
		t.Errorf("when all is taken back the rows are\n%s\nnot\n%s", now, rows)
	}
	for path, body := range map[string]string{"/sheets/press": fmt.Sprintf(`{"version":%q,"way":0}`, version), "/sheets/back": `{"press":1}`, "/sheets/tried": `{"number":1}`,
		"/sheets/keep": `{"version":"0-2","piece":0,"block":0,"keep":true}`, "/sheets/try": `{"id":"none","cells":{"Stock":"vellum"}}`} {
		if status, said := c.post(path, body); status != 409 {
			t.Errorf("%s %s: %d %s", path, body, status, said)
		}
	}
}

// TestPressOfBefore: what was advised or tried before the job was changed is refused also as long as the sheets are not laid anew.
func TestPressOfBefore(t *testing.T) {
	r := begin(t, crowdedFolder(t, crowded), Options{limits: unlimited}, "crop.csv")
	c := enter(t, r)
	c.says("/part/sheets", "data-way")
	spots, version, _ := c.sheetsNow(20 * time.Second)
	c.press("/sheets/try", fmt.Sprintf(`{"id":%q,"cells":{"Height":"1 1/2"}}`, spots["AL-2"].id))
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Height":"1"}}`, spots["AL-2"].id))
	rows := cellsOf(c)
	for path, body := range map[string]string{"/sheets/tried": `{"number":1,"keep":true}`, "/sheets/press": fmt.Sprintf(`{"version":%q,"way":1}`, version),
		"/sheets/keep": fmt.Sprintf(`{"version":%q,"piece":0,"block":0,"keep":true}`, version)} {
		if status, said := c.post(path, body); status != 409 || cellsOf(c) != rows {
			t.Errorf("%s: %d %s", path, status, said)
		}
	}
	c.press("/sheets/tried", `{"number":1}`)
}

// TestTurnToPress: where turning would save a sheet, one press lets all blocks of the stock be turned. It is taken back by one press also in a desk
// that was started anew.
func TestTurnToPress(t *testing.T) {
	r, c := sheetsDesk(t, "Name,Journaling,Width,Height,Stock,Turn\nAnn Lo,We rowed out.,8,7,cardstock,no\nBo Ek,The lake was ours.,3,7 1/2,cardstock,no\n", Options{})
	text := c.says("/part/sheets", "Let every block be turned", `class="counts">2 new sheets`)
	_, version, _ := c.sheetsNow(time.Second)
	for _, w := range wayMatch.FindAllStringSubmatch(text, -1) {
		if w[2] == "Let every block be turned" {
			c.press("/sheets/press", fmt.Sprintf(`{"version":%q,"way":%s}`, version, w[1]))
		}
	}
	const turned = "Every block on cardstock may be turned."
	c.says("/part/sheets", turned, `class="counts">1 new sheet`)
	c.press("/undo", "{}")
	c.says("/part/sheets", `class="counts">2 new sheets`)
	c.press("/redo", "{}")
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	c = enter(t, begin(t, r.folder, Options{limits: unlimited, atOnce: true}, "crop-desk.xlsx"))
	c.says("/part/sheets", turned, `class="counts">1 new sheet`)
	c.press("/sheets/back", `{"press":1}`)
	if text := c.says("/part/sheets", `class="counts">2 new sheets`); strings.Contains(text, turned) {
		t.Error("what is taken back stands there still")
	}
}

// TestKeepOnSheet: a block that is kept lies where it lay while others change; it stays so in the workbook, for the command too; once it has grown
// that is told, and it is laid all the same; let go, it is as any other.
func TestKeepOnSheet(t *testing.T) {
	r, c := sheetsDesk(t, crowded+"Bo Ek,Fifth,3,2,cardstock,yes\nBo Ek,Sixth,3,1,cardstock,yes\n", Options{})
	spots, version, _ := c.sheetsNow(20 * time.Second)
	was := spots["BE-3"]
	c.press("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":%s,"block":%s,"keep":true}`, version, was.piece, was.block))
	_, version, text := c.sheetsAfter(version)
	if strings.Contains(c.page("/part/questions"), "Kept") {
		t.Error("it is asked what is kept")
	}
	if !strings.Contains(text, "BE-3, kept here") || !strings.Contains(text, "Kept where they lie: BE-3.") {
		t.Error("it is not said that the block is kept")
	}
	for _, cells := range []string{`{"Stock":"vellum","Height":"1 1/2"}`, `{"Stock":"cardstock","Height":"4"}`} {
		c.press("/change", fmt.Sprintf(`{"id":%q,"cells":%s}`, spots["AL-2"].id, cells))
		if spots, version, _ = c.sheetsAfter(version); spots["BE-3"].at != was.at {
			t.Errorf("with %s it lies at %s, and lay at %s", cells, spots["BE-3"].at, was.at)
		}
	}
	// Another on the same sheet.
	other := spots["BE-4"]
	c.press("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":%s,"block":%s,"keep":true}`, version, other.piece, other.block))
	now, version, text := c.sheetsAfter(version)
	if now["BE-3"].at != was.at || now["BE-4"].at != other.at || strings.Contains(text, "cannot be kept") {
		t.Errorf("kept are %v and %v, not %v and %v", now["BE-3"], now["BE-4"], was, other)
	}
	// It grows, and is told; it shrinks again, and lies where it lay.
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Height":"2 1/4"}}`, was.id))
	now, version, text = c.sheetsAfter(version)
	if !strings.Contains(text, "BE-3 cannot be kept where it lay") || now["BE-3"].at == "" {
		t.Errorf("it is not told that it cannot be kept: %s", text[:min(len(text), 2000)])
	}
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Height":"2"}}`, was.id))
	if now, version, _ = c.sheetsAfter(version); now["BE-3"].at != was.at {
		t.Errorf("it lies at %s, and lay at %s", now["BE-3"].at, was.at)
	}
	c.press("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":%s,"block":%s,"keep":false}`, version, now["BE-4"].piece, now["BE-4"].block))
	if _, _, text = c.sheetsAfter(version); !strings.Contains(text, "Kept where they lie: BE-3.") {
		t.Error("the other is not let go")
	}
	c.press("/sheets/hold", fmt.Sprintf(`{"id":%q,"hold":true}`, spots["AL-2"].id))
	c.says("/part/sheets", "is held back for now")
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	s, _ := load(filepath.Join(r.folder, "x"))
	job, found := intake.Read([]string{filepath.Join(r.folder, "crop-desk.xlsx")}, s)
	if len(job.Blocks) != 6 || len(job.Blocks[4].Kept) != 1 || !job.Blocks[2].Hold {
		t.Errorf("the command reads %+v, %v", job.Blocks, found)
	}
	made := impose.New(s, nil)
	ctx := context.Background()
	if err := errors.Join(made.Read(ctx, []string{filepath.Join(r.folder, "crop-desk.xlsx")}, ""), made.Set(ctx), made.Arrange(ctx)); err != nil {
		t.Fatal(err)
	}
	kept := 0
	for _, p := range made.Plan.Pieces {
		for _, leaf := range p.Blocks() {
			if leaf.Block.Kept > 0 {
				kept++
			}
			if leaf.Block.Code == "AL-2" {
				t.Error("the command lays what is held back")
			}
		}
	}
	if faults := made.Check(); kept != 1 || len(faults) > 0 || len(made.Held) != 1 || !made.Held[0].Wish || made.Problems.Errors() > 0 {
		t.Errorf("the command keeps %d, holds %+v; %v, %v", kept, made.Held, faults, made.Problems)
	}
}

// TestLetGoToSaveASheet: where a sheet fewer would do if nothing were kept, that is offered, and taken back by one press.
func TestLetGoToSaveASheet(t *testing.T) {
	_, c := sheetsDesk(t, "Name,Journaling,Width,Height,Stock,Turn\nAnn Lo,We rowed out.,8,4 1/2,cardstock,no\nBo Ek,Second,8,2,cardstock,no\nBo Ek,Third,8,2,cardstock,no\n", Options{})
	spots, version, _ := c.sheetsNow(20 * time.Second)
	code := ""
	for _, b := range []string{"AL-1", "BE-1", "BE-2"} { // the one in the middle
		if at := strings.Fields(spots[b].at); at[1] != "0" && at[1] < "5000" {
			code = b
		}
	}
	if code == "" {
		t.Fatalf("no block lies in the middle: %v", spots)
	}
	c.press("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":%s,"block":%s,"keep":true}`, version, spots[code].piece, spots[code].block))
	for _, b := range []string{"AL-1", "BE-1", "BE-2"} {
		if b != code {
			c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Height":%q}}`, spots[b].id, map[bool]string{true: "6", false: "1"}[b == "AL-1"]))
		}
	}
	text := c.says("/part/sheets", "Let go of what is kept", `class="counts">2 new sheets`)
	_, version, _ = c.sheetsNow(time.Second)
	way := wayMatch.FindStringSubmatch(text)
	c.press("/sheets/press", fmt.Sprintf(`{"version":%q,"way":%s}`, version, way[1]))
	c.says("/part/sheets", "On cardstock nothing is kept in its place any more.", `class="counts">1 new sheet`)
	c.press("/sheets/back", `{"press":1}`)
	c.says("/part/sheets", code+", kept here", `class="counts">2 new sheets`)
}

// TestTry: another stock and space are laid for a look; nothing is changed until it is kept, and that is taken back by one press.
func TestTry(t *testing.T) {
	_, c := sheetsDesk(t, crowded, Options{})
	spots, version, _ := c.sheetsNow(20 * time.Second)
	rows := cellsOf(c)
	id := spots["AL-2"].id
	if text := c.page("/part/hand?id=" + id + "&piece=" + spots["AL-2"].piece + "&block=" + spots["AL-2"].block); !strings.Contains(text, "Keep it here") || !strings.Contains(text, `value="2"`) {
		t.Errorf("the block offers %s", text)
	}
	for _, body := range []string{`{"Stock":"cardstock"}`, `{"Width":"none"}`, `{"Stock":"gold leaf"}`, `{"Journaling":"x"}`} {
		if status, said := c.post("/sheets/try", fmt.Sprintf(`{"id":%q,"cells":%s}`, id, body)); status != 409 {
			t.Errorf("%s: %d %s", body, status, said)
		}
	}
	look := func(body string) string {
		c.press("/sheets/try", fmt.Sprintf(`{"id":%q,"cells":%s}`, id, body))
		text := html.UnescapeString(c.page("/part/sheets"))
		if !strings.Contains(text, "Only tried: AL-2") || !strings.Contains(text, `<th scope="row">New sheets</th><td>3</td><td>2</td>`) {
			t.Fatalf("%s: %s", body, text)
		}
		if cellsOf(c) != rows {
			t.Fatal("what is only tried is written")
		}
		picture := text[strings.Index(text, "/piece/"):]
		if got := c.do("GET", picture[:strings.Index(picture, `"`)], "", nil); got.StatusCode != 200 || got.Header.Get("Cache-Control") == "" {
			t.Errorf("the picture of what is tried: %s", got.Status)
		}
		n := text[strings.Index(text, "data-tried=")+12:]
		return n[:strings.Index(n, `"`)]
	}
	n := look(`{"Height":"1 1/2"}`)
	c.press("/sheets/tried", `{"number":`+n+`}`)
	if text := c.page("/part/sheets"); strings.Contains(text, "Only tried") || !strings.Contains(text, `class="counts">3 new sheets`) {
		t.Error("what was taken back is still looked at")
	}
	n = look(`{"Stock":"plain paper"}`)
	c.press("/sheets/tried", `{"number":`+n+`,"keep":true}`)
	text := c.says("/part/sheets", `class="counts">2 new sheets`, "AL-2 on plain paper.")
	b := text[strings.Index(text, "data-back=")+11:]
	c.press("/sheets/back", fmt.Sprintf(`{"press":%s}`, b[:strings.Index(b, `"`)]))
	_, version, _ = c.sheetsAfter(version)
	c.says("/part/sheets", `class="counts">3 new sheets`)
	if cellsOf(c) != rows {
		t.Error("it is not taken back")
	}
	look(`{"Stock":"plain paper"}`)
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Journaling":"Otherwise"}}`, id))
	c.sheetsAfter(version)
	c.says("/part/sheets", "What you tried no longer holds")
}

// TestNoPlace: where paper is out, and where a block is too large, the rest is laid, what is left and what would help are said, and nothing is lost.
func TestNoPlace(t *testing.T) {
	_, c := sheetsDesk(t, crowded+"Ann Lo,Too large,15,15,cardstock,no\n", Options{})
	c.press("/add", `{"sheet":"paper","after":"","cells":{"Stock":"cardstock","Width":"8 1/2","Height":"11","Count":"1"}}`)
	text := html.UnescapeString(c.says("/part/sheets", "On no sheet", "1 more sheet of cardstock would do for AL-2", "do not suffice", "1 to mend"))
	if !strings.Contains(text, `class="counts">2 new sheets`) || !strings.Contains(text, ">AL-1<") {
		t.Errorf("what can be laid is not: %s", text)
	}
	if strings.Count(c.page("/part/blocks?who=all"), "data-id=") != 5 {
		t.Error("a row is lost")
	}
	at := strings.Index(text, `data-hand="`) + 11
	c.press("/sheets/try", fmt.Sprintf(`{"id":%q,"cells":{"Stock":"plain paper"}}`, text[at:at+10]))
	if text = html.UnescapeString(c.page("/part/sheets")); !strings.Contains(text, `<th scope="row">Blocks without a place</th><td>1</td><td>0</td>`) {
		t.Errorf("it is not said that this helps: %s", text)
	}
}

// TestSheetsWhilePrinting: while something is printed, what is changed is laid, and it is told that it comes with the next PDF.
func TestSheetsWhilePrinting(t *testing.T) {
	_, c := sheetsDesk(t, crowded, Options{printer: (&standIn{}).printer()})
	spots, version, _ := c.sheetsNow(20 * time.Second)
	c.press("/print/make", "{}")
	c.press("/print/start", "{}")
	c.says("/sheets", "What you change now waits.")
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Height":"1"}}`, spots["AL-2"].id))
	c.sheetsAfter(version)
	c.says("/sheets", "What you change now waits.")
	c.says("/part/prints", "The job was changed since")
	if _, said := c.post("/print/make", "{}"); !strings.Contains(said, "later") {
		t.Errorf("the PDF does not wait: %s", said)
	}
	c.press("/print/stop", "{}")
}

// TestSheetsStory: blocks are pressed on the drawing by mouse and by keyboard; kept, tried, held back and taken back; axe finds nothing.
func TestSheetsStory(t *testing.T) {
	chromium.Start(t)
	r := begin(t, crowdedFolder(t, crowded), Options{limits: unlimited, atOnce: true}, "crop.csv")
	b := enterDesk(t, r, 1280, 900, "light")
	goTo(t, r, b, "/sheets")
	until(t, b, laidAll+` && document.querySelectorAll("[data-way]").length === 3`)
	chromium.Axe(t, b, "sheets with advice")
	spot := func(code string) string {
		return fmt.Sprintf(`[...document.querySelectorAll(".spot")].find((e) => e.textContent.startsWith(%q))`, code)
	}
	// The button lies on the block of the drawing, and is a finger wide.
	box := chromium.Eval[[]float64](b, fmt.Sprintf(`((e) => { const r = e.getBoundingClientRect(), d = e.parentElement.querySelector("img").getBoundingClientRect(); return [(r.left - d.left) / d.width, (r.top - d.top) / d.height, r.width / d.width, r.height / d.height, r.width, r.height]; })(%s)`, spot("AL-1")))
	for i, want := range []float64{0, 0, 8 / 8.5, 4.5 / 11} {
		if d := box[i] - want; d > .01 && i > 1 || d < -.01 && i > 1 || box[4] < 24 || box[5] < 24 {
			t.Errorf("the button lies at %v", box)
		}
	}
	// By keyboard: to the next block of the piece, into the dialog, out of it, and where one was.
	b.JS(spot("AL-1") + `.focus()`)
	first := chromium.Eval[string](b, `document.activeElement.textContent`)
	b.Do(chromedp.KeyEvent(kb.ArrowRight))
	second := chromium.Eval[string](b, `document.activeElement.textContent`)
	if second == first || second == "" {
		t.Errorf("the arrow key goes from %s to %s", first, second)
	}
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.getElementById("hand").open && document.getElementById("hand").textContent.includes("Keep it here")`)
	chromium.Axe(t, b, "a block in hand")
	b.Do(chromedp.KeyEvent(kb.Escape))
	until(t, b, `!document.getElementById("hand").open`)
	if at := chromium.Eval[string](b, `document.activeElement.textContent`); at != second {
		t.Errorf("after Escape one is at %q", at)
	}
	// Kept, by a click; seen and said.
	b.JS(spot(second) + `.click()`)
	until(t, b, `document.querySelector("[data-keep-here]")`)
	b.JS(`document.querySelector("[data-keep-here]").click()`)
	until(t, b, fmt.Sprintf(`%s?.textContent.endsWith("kept here") && document.getElementById("told").textContent === "It is kept here."`, spot(second)))
	// Tried, kept, taken back.
	until(t, b, laidAll+` && document.querySelector("[data-way]")`)
	b.JS(spot("AL-2") + `.click()`)
	until(t, b, `document.getElementById("hand-form")`)
	b.JS(`{const s = document.getElementById("hand-Stock"); s.value = "plain paper"; document.querySelector("#hand-form button.main").click();}`)
	until(t, b, `document.querySelector(".tried [data-keep]") && document.activeElement.dataset.tried && document.querySelector(".hot")`)
	chromium.Axe(t, b, "tried")
	if said := chromium.Eval[string](b, `document.getElementById("told").textContent`); !strings.Contains(said, "New sheets: 3, then 2") {
		t.Errorf("readers are told %q", said)
	}
	b.JS(`document.querySelector(".tried [data-keep]").click()`)
	until(t, b, `document.querySelector("[data-back]") && !document.querySelector(".tried") && document.querySelector(".counts").textContent.startsWith("2 new sheets")`)
	b.JS(`document.querySelector("[data-back]").click()`)
	until(t, b, `!document.querySelector("[data-back]") && document.querySelector(".counts").textContent.startsWith("3 new sheets")`)
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}
	if w := chromium.Eval[int64](b, `document.documentElement.scrollWidth`); w > 1280 {
		t.Errorf("the page is %d px wide", w)
	}
}

// TestTriedOverAnother: what somebody else has typed since the dialog of a block was opened is not typed over by what is tried there, and that is told.
func TestTriedOverAnother(t *testing.T) {
	t.Parallel()
	_, b := smallPrint(t, "/sheets")
	until(t, b, laidAll)
	b.JS(`document.querySelector("button.spot").click()`)
	until(t, b, `document.getElementById("hand-form")`)
	b.JS(`desk.send("/change", {sheet: "journaling", id: document.getElementById("hand-form").dataset.id, cells: {Width: "3 1/2"}})`)
	try := `{const f = document.getElementById("hand-form"); f.elements.Width.value = "2 3/4"; f.querySelector("button.main").click();}`
	b.JS(try)
	until(t, b, `document.getElementById("hand-wrong").textContent.includes("else has typed in Width meanwhile: “3 1/2”")`)
	b.JS(`document.querySelector("[data-close]").click()`)
	until(t, b, laidAll)
	b.JS(`document.querySelector("button.spot").click()`)
	until(t, b, `document.getElementById("hand-form")?.elements.Width.value === "3 1/2"`)
	b.JS(try)
	until(t, b, `document.querySelector(".tried [data-keep]")`)
	b.JS(`document.querySelector(".tried [data-keep]").click()`)
	arrives(t, b, "/part/blocks?who=all", "2 3/4")
}

// TestShotsOfSheets writes pictures of the sheets with what can be pressed into DESK_SHOTS: as they are, a block in hand, what is tried, and
// what is held back and finds no paper.
func TestShotsOfSheets(t *testing.T) {
	shot := shots(t, "sheets")
	if shot == nil {
		t.Skip("DESK_SHOTS names no folder for the pictures")
	}
	chromium.Start(t)
	folder := copyOf(t, sample)
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 400\n"), 0o600); err != nil { // as it is without a word; with less there is little to advise
		t.Fatal(err)
	}
	r := begin(t, folder, Options{limits: unlimited}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	goTo(t, r, b, "/sheets")
	until(t, b, laidAll+` && document.querySelector("[data-way]")`)
	b.JS(`document.querySelectorAll(".spot")[4].click()`)
	until(t, b, `document.querySelector("[data-keep-here]")`)
	b.JS(`document.querySelector("[data-keep-here]").click()`)
	until(t, b, laidAll+` && document.querySelector(".kept") && document.querySelector("[data-way]")`)
	shot(b, "advice")
	b.JS(`scrollTo(0, 0); document.querySelectorAll(".spot")[2].click()`)
	until(t, b, `document.getElementById("hand-form")`)
	shot(b, "hand")
	b.JS(`{const s = document.getElementById("hand-Stock"); s.value = "cardstock"; document.querySelector("#hand-form button.main").click();}`)
	until(t, b, `document.querySelector(".tried [data-keep]")`)
	shot(b, "tried")
	b.JS(`document.querySelector(".tried [data-keep]").click()`)
	until(t, b, laidAll+` && document.querySelector("[data-back]") && document.querySelector("[data-way]")`)
	b.JS(`document.querySelector("[data-way]").click()`)
	until(t, b, `document.querySelector("[data-print-again]")`)
	b.JS(`desk.act("/add", {sheet: "paper", after: "", cells: {Stock: "cardstock", Width: "8 1/2", Height: "11", Count: "1"}})`)
	until(t, b, laidAll+` && document.querySelector("#out-h") && document.querySelector("[data-way], [aria-labelledby=out-h] p b")`)
	shot(b, "out")
}
