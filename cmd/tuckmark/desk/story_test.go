package desk

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"tuckmark/config/longtests"
	"tuckmark/impose/proof/chromium"
	"tuckmark/intake"
)

// typeInto puts a text into a field as typing does: in the end, letter by letter for the last few.
func typeInto(b *chromium.Tab, name, text string) {
	quoted, _ := json.Marshal(text)
	b.JS(fmt.Sprintf(`{const e = document.getElementById("editor").elements[%q]; e.focus(); e.value = ""; e.dispatchEvent(new Event("input", {bubbles: true})); for (const c of %s) { e.value += c; e.dispatchEvent(new Event("input", {bubbles: true})); }}`, name, quoted))
}

// drop drops files onto the page, by name and content.
func drop(b *chromium.Tab, files ...[2]string) {
	list, _ := json.Marshal(files)
	b.JS(fmt.Sprintf(`{const d = new DataTransfer(); for (const [name, text] of %s) d.items.add(new File([text], name));
		dispatchEvent(new DragEvent("dragover", {dataTransfer: d, cancelable: true, bubbles: true})); dispatchEvent(new DragEvent("drop", {dataTransfer: d, cancelable: true, bubbles: true}));}`, list))
}

// TestStory: from an empty folder to mended journaling: a file is dropped, what is wrong with it is mended where it stands, taken back, done again; the
// page loaded anew, and the desk started anew, show the same; and the command reads what the desk wrote.
func TestStory(t *testing.T) {
	t.Parallel()
	chromium.Always(t)
	chromium.Start(t)
	folder := t.TempDir()
	r := begin(t, folder, Options{})
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, `location.pathname === "/start"`)
	drop(b, [2]string{"notes.txt", "nothing of a table"})
	until(t, b, `!document.getElementById("wrong").hidden && document.getElementById("wrong").textContent.includes("notes.txt")`)
	drop(b, [2]string{"crop.csv", "Name,Journaling,Width,Height,Stock\nAnn Lo,\"We rowed out before anybody was awake, and the lake was ours.\",4,,vellum\nAnn Lo,Second,2,1,vellum\nBo Ek,Third,3,1,cardstock\n"})
	until(t, b, `location.pathname === "/journaling"`)
	until(t, b, laidAll)
	until(t, b, `document.querySelector("#people .mend")?.textContent === "1 to mend"`)

	// The height is missing: it is said at the field, and mended there.
	b.JS(`document.querySelector(".take").click()`)
	until(t, b, `document.querySelector("[name=Height]").getAttribute("aria-invalid") === "true"`)
	before := chromium.Eval[string](b, `document.getElementById(document.querySelector("[name=Height]").getAttribute("aria-describedby")).textContent`)
	if !strings.Contains(before, "eight") {
		t.Errorf("at the field stands %q", before)
	}
	typeInto(b, "Height", "2 1/2")
	until(t, b, `document.getElementById("fit").textContent.match(/holds about|much more/)`)
	until(t, b, `document.querySelector("[data-id] img")?.naturalWidth > 100`)
	until(t, b, laidAll)
	until(t, b, `document.getElementById("saved").textContent === "saved" && !document.querySelector("#people .mend")`)
	if n := chromium.Eval[int](b, `[...document.querySelectorAll(".block")].length`); n != 2 {
		t.Errorf("%d blocks are shown of Ann Lo, not 2", n)
	}

	// Undo and redo, by key.
	b.JS(`document.querySelector(".take").focus()`)
	b.Do(chromedp.KeyEvent("z", chromedp.KeyModifiers(2)))
	until(t, b, `document.querySelector("[name=Height]").value !== "2 1/2"`)
	until(t, b, `document.querySelector("#people .mend")`)
	b.Do(chromedp.Click(chromedp.ID("redo")))
	until(t, b, `document.querySelector("[name=Height]").value === "2 1/2"`)
	until(t, b, `!document.querySelector("#people .mend")`)

	// Too long: how much, and how high it would have to be.
	typeInto(b, "Journaling", strings.Repeat("We rowed out before anybody was awake and the lake was ours. ", 40))
	until(t, b, `document.getElementById("fit").textContent.match(/^\d+ words too long, or make it \d.* in high\.$/)`)
	typeInto(b, "Journaling", "We *rowed* out.")
	until(t, b, `document.querySelector("[name=Journaling]").value === "We *rowed* out." && document.getElementById("fit").textContent.match(/holds about|much more/)`)

	// A block more, a copy, one removed.
	b.JS(`document.getElementById("add").click()`)
	until(t, b, `document.querySelectorAll(".block").length === 3 && document.querySelector("[name=Name]").value === "Ann Lo" && document.querySelector("[name=Journaling]").value === ""`)
	typeInto(b, "Journaling", "Fourth")
	typeInto(b, "Width", "2")
	typeInto(b, "Height", "1")
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	b.JS(`document.getElementById("copy").click()`)
	until(t, b, `document.querySelectorAll(".block").length === 4`)
	b.JS(`document.getElementById("remove").click()`)
	until(t, b, `document.querySelectorAll(".block").length === 3`)
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	until(t, b, laidAll)

	shown := func(b *chromium.Tab) string {
		return chromium.Eval[string](b, `[...document.querySelectorAll(".block")].map((e) => e.dataset.cells).join("\n")`)
	}
	b.JS(`document.querySelector("[data-who=all]").click()`)
	until(t, b, `document.querySelectorAll(".block").length === 4`)
	want := shown(b)
	b.Do(chromedp.Reload())
	until(t, b, `document.querySelectorAll(".block").length === 4`)
	if got := shown(b); got != want {
		t.Errorf("after loading the page anew it shows\n%s\nnot\n%s", got, want)
	}
	texts := chromium.Eval[string](b, `[...document.querySelectorAll(".block .said")].map((e) => e.textContent.trim()).join("|")`)
	if texts != "We rowed out.|Fourth|Second|Third" {
		t.Errorf("readers are told %q", texts)
	}
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}

	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.querySelector("main").textContent.includes("closed")`)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	s, _ := load(filepath.Join(folder, "x"))
	job, found := intake.Read([]string{filepath.Join(folder, "crop-desk.xlsx")}, s)
	if found.Errors() > 0 || len(job.Blocks) != 4 || job.Blocks[0].Markup() != "We *rowed* out." {
		t.Errorf("the command reads %d blocks: %v", len(job.Blocks), found)
	}
	again := begin(t, folder, Options{}, "crop-desk.xlsx")
	b = enterDesk(t, again, 1280, 900, "light")
	b.JS(`document.querySelector("[data-who=all]").click()`)
	until(t, b, `document.querySelectorAll(".block").length === 4`)
	if got := shown(b); got != want {
		t.Errorf("the desk started anew shows\n%s\nnot\n%s", got, want)
	}
}

// requestsElsewhere are the requests that went to anybody but the desk.
func requestsElsewhere(b *chromium.Tab, host string) (out []string) {
	all, _ := b.Requests()
	for _, a := range all {
		if !strings.HasPrefix(a, "http://"+host+"/") {
			out = append(out, a)
		}
	}
	return out
}

// TestQuitAtOnce: who presses Quit before the page listens is told all the same that the desk is closed.
func TestQuitAtOnce(t *testing.T) {
	chromium.Start(t)
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	chromium.Command(b, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{
		Source: `addEventListener("DOMContentLoaded", () => document.getElementById("quit").click())`})
	b.Do(chromedp.Navigate("http://" + r.host + "/paper"))
	until(t, b, `document.querySelector("main").textContent.includes("closed")`)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
}

// TestHostileTexts: whatever is typed or dropped is shown as text and runs nothing.
func TestHostileTexts(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	folder := t.TempDir()
	r := begin(t, folder, Options{})
	b := enterDesk(t, r, 1280, 900, "light")
	nasty := []string{`<script>alert(1)</script>`, `<img src=x onerror=alert(1)>`, `"><svg onload=alert(1)>`, `'-alert(1)-'`, `{{.}} ${alert(1)} javascript:alert(1)`, `</textarea><script>alert(1)</script>`}
	csv := "Name,Page,Journaling,Width,Height,Font,Title\n"
	for _, n := range nasty {
		q := strings.ReplaceAll(n, `"`, `""`)
		csv += fmt.Sprintf("\"%s\",\"%s\",\"%s\",4,3,Serif,\"%s\"\n", q, q, q, q)
	}
	drop(b, [2]string{"nasty.csv", csv})
	until(t, b, `location.pathname === "/journaling"`)
	until(t, b, laidAll)
	b.JS(`document.querySelector("[data-who=all]").click()`)
	until(t, b, fmt.Sprintf(`document.querySelectorAll(".block").length === %d`, len(nasty)))
	for i := range nasty {
		b.JS(fmt.Sprintf(`document.querySelectorAll(".take")[%d].click()`, i))
		want, _ := json.Marshal(nasty[i])
		until(t, b, fmt.Sprintf(`document.querySelector("[name=Title]").value === %s`, want))
	}
	time.Sleep(300 * time.Millisecond)
	if _, dialogs := b.Requests(); dialogs > 0 {
		t.Errorf("%d scripts of texts have run", dialogs)
	}
	if n := chromium.Eval[int](b, `document.querySelectorAll("#blocks script, #blocks svg, #people script, #people img").length`); n > 0 {
		t.Errorf("%d elements of texts stand in the page", n)
	}
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}
}

// TestPaperStory: a leftover is listed in the browser, the layout takes it, and the command finds it in the workbook.
func TestPaperStory(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	folder := quickly(t)
	r := begin(t, folder, Options{}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	goTo(t, r, b, "/paper")
	until(t, b, laidAll)
	b.Do(chromedp.Click(chromedp.ID("add-leftover")))
	until(t, b, `document.activeElement.name === "Width"`)
	set := func(name, text string) {
		b.JS(fmt.Sprintf(`{const e = document.querySelector("#rows [name=%s]"); e.focus(); e.value = %q; e.dispatchEvent(new Event("change", {bubbles: true}));}`, name, text))
		until(t, b, fmt.Sprintf(`document.querySelector("#rows [name=%s]").value === %q`, name, text))
	}
	set("Width", "4")
	set("Height", "nonsense")
	until(t, b, `document.querySelector("#rows .mend")`)
	set("Height", "7 1/2")
	until(t, b, `!document.querySelector("#rows .mend") && document.querySelector("#rows .stocks").textContent.includes("4 x 7 1/2 in (leftover)")`)
	until(t, b, laidAll)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	s, _ := load(filepath.Join(folder, "x"))
	job, found := intake.Read([]string{filepath.Join(folder, "retreat-desk.xlsx")}, s)
	if found.Errors() > 0 || len(job.Paper) != 1 || !job.Paper[0].Leftover || job.Paper[0].Size.About(s.Unit) != "4 x 7 1/2 in" {
		t.Errorf("the command reads the paper %+v: %v", job.Paper, found)
	}
}

// TestKeyboard: the tab key leads to everything that can be done, each shows that it is there, and a block is taken in hand and typed into without a mouse.
func TestKeyboard(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	reached := map[string]bool{}
	for range 60 {
		b.Do(chromedp.KeyEvent("\t"))
		at := chromium.Eval[[]string](b, `((e) => [e.id || e.getAttribute("href") || e.className, getComputedStyle(e).outlineStyle])(document.activeElement)`)
		reached[at[0]] = true
		if at[1] == "none" && at[0] != "" {
			t.Errorf("%s does not show that it is chosen", at[0])
		}
		if at[0] == "take" {
			break
		}
	}
	for _, want := range []string{"#main", "/paper", "undo", "redo", "states", "quit", "/journaling?who=all", "add", "take"} {
		if !reached[want] {
			t.Errorf("the tab key does not lead to %s; it leads to %v", want, reached)
		}
	}
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.activeElement.name === "Journaling"`)
	b.Do(chromedp.KeyEvent("Typed. "))
	until(t, b, `document.querySelector("[name=Journaling]").value.includes("Typed.")`)
	until(t, b, `document.getElementById("saved").textContent === "saved"`)

	// At twice and four times the size, nothing lies over what the tab key leads to (WCAG 2.2, 2.4.11).
	for _, size := range [][2]int64{{640, 450}, {320, 225}} {
		emulate(b, size[0], size[1], "light")
		goTo(t, r, b, "/journaling?who=all")
		until(t, b, laidAll)
		b.JS(`(document.activeElement.blur(), scrollTo(0, 0), true)`)
		for range 40 {
			b.Do(chromedp.KeyEvent("\t"))
			const seen = `((e) => { const r = e.getBoundingClientRect(), at = document.elementFromPoint((Math.max(r.x, 0) + Math.min(r.right, innerWidth)) / 2, (Math.max(r.y, 0) + Math.min(r.bottom, innerHeight)) / 2); return e === document.body || at && (e.contains(at) || at.contains(e)) })(document.activeElement)`
			until(t, b, seen)
		}
	}
}

// TestAxe: no violation that axe-core knows of, on every part, on a phone and on a desk, dark and light. AXE_CORE names its axe.min.js.
func TestAxe(t *testing.T) {
	chromium.Start(t)
	folder := copyOf(t, sample, "../../../samples/broken.csv")
	r := begin(t, folder, Options{}, "broken.csv")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`fetch("/add", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({sheet: "paper", after: "", cells: {Stock: "vellum", Width: "4", Height: "7 1/2", Count: "1", Leftover: "yes"}})}).then(() => true)`)
	for _, c := range []struct {
		width  int64
		scheme string
	}{{360, "dark"}, {1280, "light"}} {
		emulate(b, c.width, 900, c.scheme)
		for _, part := range []string{"start", "journaling?who=all", "paper", "sheets"} {
			goTo(t, r, b, "/"+part)
			if part != "start" {
				until(t, b, laidAll)
			}
			if strings.HasPrefix(part, "journaling") {
				b.JS(`document.querySelector(".take").click()`)
				until(t, b, `document.querySelector("#fit b").textContent`)
			}
			chromium.Axe(t, b, fmt.Sprintf("%s, %d px, %s", part, c.width, c.scheme))
			if w := chromium.Eval[int64](b, `document.documentElement.scrollWidth`); w > c.width {
				t.Errorf("%s is %d px wide at %d px", part, w, c.width)
			}
		}
	}
}

// child starts a desk in a process of its own, which can be killed.
func child(t testing.TB, folder string, files ...string) (r *running, kill func()) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Dir, c.Env = folder, append(os.Environ(), "DESK_CHILD="+strings.Join(files, "\n"))
	out, err := c.StdoutPipe()
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	kill = sync.OnceFunc(func() {
		c.Process.Kill()
		c.Wait()
	})
	t.Cleanup(kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("the desk does not start: %v", err)
	}
	r = &running{folder: folder, address: strings.TrimSpace(line), pid: c.Process.Pid}
	r.host, _, _ = strings.Cut(strings.TrimPrefix(r.address, "http://"), "/")
	return r, kill
}

// serveChild is the desk in that process.
func serveChild(files string) {
	work, err := os.Getwd()
	if err != nil {
		panic(err)
	}
	err = Run(context.Background(), Options{Files: strings.Split(files, "\n"), NoBrowser: true, Work: work, Settings: load, Say: func(line string) { fmt.Println(line) }})
	if err != nil {
		panic(err)
	}
}

// TestKilled: what was done a second before a desk was killed is there when it is started anew, with every row as it was and under the same id; and the
// lock that was left is no hindrance.
func TestKilled(t *testing.T) {
	folder := copyOf(t, sample)
	r, kill := child(t, folder, "retreat.xlsx")
	c := enter(t, r)
	id := r.rows(t, c)[0]
	for _, text := range []string{"First.", "Kept."} {
		if got := c.do("POST", "/change", `{"id":"`+id+`","cells":{"Journaling":"`+text+`"}}`, nil).StatusCode; got != 200 {
			t.Fatal(got)
		}
	}
	before := cellsOf(c)
	kill()
	again, _ := child(t, folder, "retreat.xlsx")
	c = enter(t, again)
	if got := cellsOf(c); got != before || !strings.Contains(got, "Kept.") {
		t.Errorf("after the kill stands\n%s\nnot\n%s", got, before)
	}
	if got := c.do("POST", "/undo", "{}", nil).StatusCode; got != 200 || !strings.Contains(cellsOf(c), "First.") {
		t.Error("what was done before the kill cannot be taken back")
	}
}

var cellsMatch = regexp.MustCompile(`data-id="\w+" data-cells="[^"]*"`)

// cellsOf are the rows as the page has them.
func cellsOf(c *caller) string {
	return strings.Join(cellsMatch.FindAllString(c.page("/part/blocks?who=all"), -1), "\n")
}

// TestCrop: a crop's spreadsheet with all that people do to one is dropped on the desk, mended in the browser field by field as the desk says, the desk
// killed and found again in the middle, until nothing is left to mend and every sheet is laid; then it is carried on to the account.
func TestCrop(t *testing.T) {
	if !longtests.Many() {
		t.Skip("it takes a minute: LONG_TESTS=1")
	}
	const crop = "../../../../shared/trials/crop.xlsx"
	data, err := os.ReadFile(crop)
	if err != nil {
		t.Skip("the crop is not at hand: ../shared/trials/crop.xlsx")
	}
	chromium.Start(t)
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "crop.xlsx"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	shot := func(*chromium.Tab, string) {}
	if s := shots(t, "crop"); s != nil {
		shot = s
	}
	everybody := func(r *running) *chromium.Tab {
		b := enterDesk(t, r, 1280, 900, "light")
		until(t, b, laidAll)
		b.JS(`document.querySelector("[data-who=all]").click()`)
		until(t, b, `document.querySelector("[data-who=all]").getAttribute("aria-current") === "true"`)
		return b
	}
	r, kill := child(t, folder, "crop.xlsx")
	b := everybody(r)
	mend := `document.querySelectorAll(".block:has(.found .mend)").length`
	begun := chromium.Eval[int](b, mend)
	if begun < 10 {
		t.Fatalf("only %d blocks are to be mended", begun)
	}
	shot(b, "begun")
	mended := 0
	for left := begun; left > 0 && mended < 60; mended++ {
		if mended == begun/2 {
			time.Sleep(1100 * time.Millisecond)
			before := shownCells(b)
			kill()
			r, kill = child(t, folder, "crop.xlsx")
			b = everybody(r)
			if got := shownCells(b); got != before {
				t.Fatalf("after the kill stands\n%s\nnot\n%s", got, before)
			}
		}
		id := chromium.Eval[string](b, `document.querySelector(".block:has(.found .mend)").dataset.id`)
		b.JS(fmt.Sprintf(`document.querySelector("[data-id='%s'] .take").click()`, id))
		until(t, b, `document.querySelector("#fit b").textContent && document.querySelector("#editor .at.mend")`)
		if mended == 3 {
			shot(b, "mending")
		}
		said := chromium.Eval[[][2]string](b, `[...document.querySelectorAll("#editor .at.mend")].map((e) => [e.closest(".field, fieldset").querySelector("[name]").name, e.textContent])`)
		t.Logf("%s: %v", id, said)
		for _, s := range said {
			name, text := s[0], ""
			switch now := chromium.Eval[string](b, fmt.Sprintf(`document.getElementById("editor").elements[%q].value || ""`, name)); name {
			case "Name":
				text = "Fran Dubois"
			case "Width":
				text = "4 1/2"
			case "Height":
				text = "3 1/2"
			case "Stock":
				text = "vellum"
			case "Font", "Size":
			case "Journaling":
				if strings.Contains(s[1], "too long") || strings.Contains(s[1], "too low") {
					name, text = "Height", "4"
					break
				}
				text = strings.NewReplacer("[date]", "1 May", "TBD", "noon", "#REF!", "The whole table sang.").Replace(now)
				if text == "" {
					text = "All of us, and the dog."
				}
			default:
				t.Fatalf("nobody knows how to mend %v", s)
			}
			if strings.Contains(s[1], "larger than any sheet") {
				typeInto(b, "Height", "3")
			}
			if name == "Stock" {
				b.JS(fmt.Sprintf(`document.querySelector("input[name=Stock][value=%s]").click()`, text))
			} else {
				typeInto(b, name, text)
			}
		}
		b.JS(`desk.flush()`)
		for again := 0; again < 300 && chromium.Eval[bool](b, fmt.Sprintf(`!!document.querySelector("[data-id='%s'] .found .mend")`, id)); again++ {
			time.Sleep(50 * time.Millisecond)
		}
		left = chromium.Eval[int](b, mend)
	}
	until(t, b, laidAll+` && !document.querySelector("#foot .mend") && document.getElementById("saved").textContent === "saved"`)
	shot(b, "ready")
	goTo(t, r, b, "/sheets")
	until(t, b, laidAll)
	shot(b, "sheets")
	b = chromium.Open(t, "http://"+r.host+"/paper", 1280, 900, "light") // a tab is open for two minutes at most
	until(t, b, laidAll)
	carry(t, r, b, func(name string) { shot(b, name) })
	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.querySelector("main").textContent.includes("closed")`)
	s, _ := load(filepath.Join(folder, "x"))
	job, found := intake.Read([]string{filepath.Join(folder, "crop-desk.xlsx")}, s)
	if found.Errors() > 0 || len(job.Blocks) < 45 {
		t.Errorf("the command reads %d blocks: %v", len(job.Blocks), found)
	}
	if now, err := os.ReadFile(filepath.Join(folder, "crop.xlsx")); err != nil || string(now) != string(data) {
		t.Error("the file that was given was written")
	}
}

// shownCells are the rows as the browser shows them.
func shownCells(b *chromium.Tab) string {
	return chromium.Eval[string](b, `[...document.querySelectorAll(".block")].map((e) => e.dataset.id + e.dataset.cells).join("\n")`)
}

// TestMachines: measures of printers and the trimmer are written into the tuckmark.yaml with its remarks kept, the job is laid by them, and what another
// program has changed meanwhile is not written over.
func TestMachines(t *testing.T) {
	folder := copyOf(t, sample)
	r := begin(t, folder, Options{}, "retreat.xlsx")
	c := enter(t, r)
	file := filepath.Join(folder, "tuckmark.yaml")
	for _, set := range []struct {
		printer, key, text string
		status             int
	}{{"", "longest", "15 in", 200}, {"home", "widest", "9 in", 200}, {"home", "margins bottom", "3/4", 200}, {"home", "widest", "about nine", 422}, {"none", "widest", "9", 404}, {"home", "name", "9", 404}, {"home", "widest", "1 in", 409}} {
		body, _ := json.Marshal(map[string]string{"printer": set.printer, "key": set.key, "text": set.text})
		if got := c.do("POST", "/machine", string(body), nil); got.StatusCode != set.status {
			t.Errorf("%v is answered with %s", set, got.Status)
		}
	}
	s, found := load(filepath.Join(folder, "x"))
	if found.Errors() > 0 || s.File != file || s.Trimmer.Longest.Format(s.Unit) != "15 in" || len(s.Printers) != 1 || s.Printers[0].Widest.Format(s.Unit) != "9 in" || s.Printers[0].Margins.Bottom.Format(s.Unit) != "3/4 in" {
		t.Errorf("the settings are %+v, %v", s, found)
	}
	data, _ := os.ReadFile(file)
	theirs := strings.Replace(string(data), "15 in", "18 in", 1) + "# of somebody else\n"
	if err := os.WriteFile(file, []byte(theirs), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := c.do("POST", "/machine", `{"printer":"","key":"holds","text":"2 in"}`, nil); got.StatusCode != 409 {
		t.Errorf("what another program changed is written over: %s", got.Status)
	}
	if now, _ := os.ReadFile(file); string(now) != theirs {
		t.Errorf("it holds %s", now)
	}
	if got := c.do("POST", "/machine", `{"printer":"","key":"holds","text":"2 in"}`, nil); got.StatusCode != 200 { // it was looked at
		t.Errorf("what is still wanted is answered with %s", got.Status)
	}
	s, found = load(filepath.Join(folder, "x"))
	if now, _ := os.ReadFile(file); found.Errors() > 0 || s.Trimmer.Longest.Format(s.Unit) != "18 in" || s.Trimmer.Holds.Format(s.Unit) != "2 in" || !strings.Contains(string(now), "# of somebody else\n") {
		t.Errorf("both changes come to %+v, %v:\n%s", s.Trimmer, found, now)
	}
}

// TestConfigurationOfBook: what another program has said in the configuration of a column holds for rows that are pasted afterwards.
func TestConfigurationOfBook(t *testing.T) {
	folder := copyOf(t, sample)
	c := enter(t, begin(t, folder, Options{}, "retreat.xlsx"))
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("columns:\n  - Qxx = width\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/machine", `{"printer":"","key":"holds","text":"2 in"}`); status != 409 {
		t.Fatal(status, said)
	}
	if status, said := c.post("/take/paste", `{"text":"Name\tJournaling\tQxx\tHeight\nUmi Lo\tWe rowed out.\t4 7/8\t2\n"}`); status != 200 {
		t.Fatal(status, said)
	}
	if page := html.UnescapeString(c.page("/part/blocks?who=all")); !strings.Contains(page, `"Width":"4 7/8"`) || strings.Contains(page, `"Qxx"`) {
		t.Error("the column is not taken for the width")
	}
}

// TestHeadings: a column whose heading no rule knows is asked about once, with its first cells; said to be the width, it is; said to be nothing, that is
// remembered beside the job.
func TestHeadings(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	folder := t.TempDir()
	r := begin(t, folder, Options{})
	b := enterDesk(t, r, 1280, 900, "light")
	drop(b, [2]string{"crop.csv", "Name,Journaling,Qxx,Height,Zyy\nAnn Lo,We rowed out.,4,2,blue\nBo Ek,Third,3 1/2,1,\n"})
	until(t, b, `document.querySelectorAll("[data-heading]").length === 2`)
	if said := chromium.Eval[string](b, `document.querySelector("[data-heading=Qxx] p").textContent`); said != "What is in the column Qxx? It begins “4”, “3 1/2”." {
		t.Errorf("it asks %q", said)
	}
	// All that is said there is kept: "saved" may take the place of it at any time.
	b.JS(`{const at = document.getElementById("saved"); window.said = []; new MutationObserver(() => said.push(at.textContent)).observe(at, {childList: true, characterData: true, subtree: true});}`)
	b.JS(`document.querySelector("[data-heading=Qxx] [data-as]").click()`) // nothing is chosen, and nothing is what the list shows first
	until(t, b, `said.some((s) => s.includes("choose in the list")) && document.activeElement === document.querySelector("[data-heading=Qxx] select")`)
	b.JS(`document.querySelector("[data-heading=Zyy] select").value = "Height"`)
	b.JS(`{const q = document.querySelector("[data-heading=Qxx]"); q.querySelector("select").value = "Width"; q.querySelector("[data-as]").click();}`)
	until(t, b, `document.querySelectorAll("[data-heading]").length === 1`)
	until(t, b, `document.querySelector("[data-heading=Zyy] select").value === "Height"`) // what was chosen there stays
	b.JS(`document.querySelector("[data-heading=Zyy] [data-nothing]").click()`)
	until(t, b, `!document.querySelector("[data-heading]")`)
	until(t, b, laidAll+` && !document.querySelector("#people .mend")`)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{}, "crop-desk.xlsx")
	page := enter(t, r).page("/journaling?who=all")
	if strings.Contains(page, "data-heading=") || !strings.Contains(page, "3 1/2") {
		t.Error("it asks again")
	}
}
