package desk

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tuckmark/config/longtests"
	"tuckmark/impose/proof/chromium"
)

// TestCarried: the sample retreat from the drop to the account in the browser: dropped, its paper priced, printed, cut to the last cut, two smeared
// blocks printed once more and cut as well, shared out to the cent.
func TestCarried(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(sample)
	if err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, nil...)
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, `location.pathname === "/start"`)
	b.JS(fmt.Sprintf(`{const d = new DataTransfer(); d.items.add(new File([Uint8Array.from(atob(%q), (c) => c.charCodeAt(0))], "retreat.xlsx"));
		for (const n of ["dragover", "drop"]) dispatchEvent(new DragEvent(n, {dataTransfer: d, cancelable: true, bubbles: true}));}`, base64.StdEncoding.EncodeToString(data)))
	until(t, b, `location.pathname === "/journaling"`)
	until(t, b, laidAll)
	carry(t, r, b, func(name string) {
		if os.Getenv("AXE_CORE") != "" { // it looks over every part as it stands in the story
			chromium.Axe(t, b, name)
		}
	})
}

// carry carries a job that is laid through the browser, from its paper to the account. The function takes pictures.
func carry(t *testing.T, r *running, b *chromium.Tab, shot func(name string)) {
	pricePaper(t, r, b)
	makeAndFetch(t, r, b)
	shot("print")
	cutAll(t, r, b, shot)
	printOnceMore(t, r, b, shot)
	shareOut(t, r, b)
	shot("share")
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}
}

// pricePaper types what a sheet of vellum costs.
func pricePaper(t *testing.T, r *running, b *chromium.Tab) {
	goTo(t, r, b, "/paper")
	until(t, b, `document.getElementById("foot").textContent.includes("laid")`)
	b.Do(chromedp.Click(chromedp.ID("add-sheet")))
	until(t, b, `document.activeElement.closest("#rows")`)
	for _, cell := range [][2]string{{"Stock", "vellum"}, {"Width", "8 1/2"}, {"Height", "11"}, {"Count", "40"}, {"Price", "0.85"}} {
		b.JS(fmt.Sprintf(`{const e = [...document.querySelectorAll("#rows tr[data-id]")].at(-1).querySelector("[name=%s]"); e.focus(); e.value = %q; e.dispatchEvent(new Event("change", {bubbles: true}));}`, cell[0], cell[1]))
		until(t, b, fmt.Sprintf(`[...document.querySelectorAll("#rows tr[data-id]")].at(-1).querySelector("[name=%s]").value === %q && document.getElementById("saved").textContent === "saved"`, cell[0], cell[1]))
	}
	until(t, b, laidAll+` && document.getElementById("foot").textContent.includes("for paper")`)
}

// makeAndFetch makes the PDF and the report and fetches everything that can be fetched.
func makeAndFetch(t *testing.T, r *running, b *chromium.Tab) {
	goTo(t, r, b, "/print")
	b.JS(`document.querySelector("[data-make]").click()`)
	until(t, b, `document.querySelector("#prints").textContent.includes("Made of the job as it stands")`)
	got := chromium.Eval[[][3]string](b, `Promise.all([...document.querySelectorAll("#prints a[download]")].map(async (a) => {
		const answer = await fetch(a.href);
		const data = new Uint8Array(await answer.arrayBuffer());
		return [a.textContent, answer.headers.get("Content-Disposition"), String.fromCharCode(...data.slice(0, 4))]; }))`)
	stocks := chromium.Eval[[]string](b, `[...document.querySelectorAll("#prints section.card h3")].map((e) => e.textContent)`)
	if len(stocks) < 2 || len(got) != len(stocks)+2 {
		t.Errorf("of %d stocks %d files can be fetched", len(stocks), len(got))
	}
	names := map[string]bool{}
	for _, g := range got {
		want := "%PDF"
		if strings.Contains(g[0], "report") {
			want = "PK\x03\x04"
		}
		names[g[1]] = true
		if g[2] != want {
			t.Errorf("%s (%s) begins %q", g[0], g[1], g[2])
		}
	}
	if len(names) != len(got) {
		t.Errorf("%d files have %d names", len(got), len(names))
	}
}

// cutsShown are the cuts as the page has them.
func cutsShown(t *testing.T, b *chromium.Tab) (v cutsView) {
	t.Helper()
	if err := json.Unmarshal([]byte(chromium.Eval[string](b, `fetch("/part/cuts").then((a) => a.text())`)), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// cutAll makes every cut by the space bar, the first piece with a step back, a tap, a page loaded anew and one that is not there when the desk is.
func cutAll(t *testing.T, r *running, b *chromium.Tab, shot func(string)) {
	goTo(t, r, b, "/cutting")
	until(t, b, `document.getElementById("set").textContent`)
	shot("cutting")
	all := cutsShown(t, b)
	where := `(document.getElementById("title").textContent + ": " + document.getElementById("which").textContent)`
	first := all.Pieces[0]
	spaceBar(b)
	until(t, b, where+fmt.Sprintf(` === "%s: Cut 2 of %d"`, first.Title, len(first.Steps)))
	b.Do(chromedp.KeyEvent(kb.ArrowLeft))
	until(t, b, where+fmt.Sprintf(` === "%s: Cut 1 of %d"`, first.Title, len(first.Steps)))
	b.JS(`document.getElementById("hand").click()`)
	until(t, b, where+`.includes("Cut 2 of")`)
	b.Do(chromedp.Click(chromedp.ID("back"))) // by hand: then the space bar goes on all the same
	until(t, b, where+`.includes("Cut 1 of")`)
	spaceBar(b)
	until(t, b, where+`.includes("Cut 2 of")`)
	b.Do(chromedp.KeyEvent("z", chromedp.KeyModifiers(2))) // takes back the cut, and not what was typed
	until(t, b, where+`.includes("Cut 1 of")`)
	spaceBar(b)
	until(t, b, where+`.includes("Cut 2 of") && document.getElementById("saved").textContent === "saved"`)
	b.JS(`window.before = true`)
	b.Do(chromedp.Reload())
	until(t, b, `!window.before && `+where+`.includes("Cut 2 of")`)

	// The rest: at every cut the part that is drawn is as large as the one in hand, and what lies before the blade is what lies against the fence.
	type shown struct {
		Title, Set, Edge string
		Drawn            [2]float64 // of all that is drawn of the part
		Before           []string   // codes between fence and blade
		Blade            float64
	}
	path := chromium.Eval[[]shown](b, `(async () => {
		const at = (id) => document.getElementById(id).textContent;
		const out = [];
		for (let i = 0; i < 5000 && at("line") !== "Everything is cut"; i++) {
			const blade = Number(document.querySelector(".blade")?.getAttribute("x1") || 0);
			const boxes = [...document.querySelectorAll("#drawn .leaf")].map((e) => ["x", "y", "width", "height"].map((k) => Number(e.getAttribute(k))));
			if (blade) out.push({Title: at("title"), Set: at("set"), Edge: at("edge"), Blade: blade,
				Drawn: [Math.max(...boxes.map((b) => b[0] + b[2])), Math.max(...boxes.map((b) => b[1] + b[3]))],
				Before: [...document.querySelectorAll("#drawn rect.own")].filter((e) => Number(e.getAttribute("x")) + Number(e.getAttribute("width")) <= blade + 3).map((e) => e.nextSibling.textContent)});
			document.body.dispatchEvent(new KeyboardEvent("keydown", {key: " ", bubbles: true, cancelable: true}));
		}
		return out; })()`)
	k := 0
	for i, p := range all.Pieces {
		for n, step := range p.Steps {
			if i == 0 && n == 0 {
				continue // it was made before
			}
			if k == len(path) {
				t.Fatalf("after %d cuts no more are shown", k)
			}
			got, want, wide, high := path[k], step.Set, step.Part.W, step.Part.H
			if step.Skip {
				want = "skip"
			}
			if !step.Down {
				wide, high = high, wide
			}
			k++
			if got.Title != p.Title || got.Set != want || got.Edge != step.Edge {
				t.Errorf("%s, cut %d: it shows %s, %s, %s instead of %s, %s", p.Title, n+1, got.Title, got.Edge, got.Set, step.Edge, want)
			}
			if math.Abs(got.Drawn[0]-float64(wide)) > 3 || math.Abs(got.Drawn[1]-float64(high)) > 3 {
				t.Errorf("%s, cut %d: the part in hand is drawn %v large, not %d x %d", p.Title, n+1, got.Drawn, wide, high)
			}
			for _, code := range got.Before {
				if !strings.Contains(step.Fence, code) && !strings.Contains(step.Fence, " more") {
					t.Errorf("%s, cut %d: %s is drawn at the fence, before the blade at %v, and not named there: %s", p.Title, n+1, code, got.Blade, step.Fence)
				}
			}
		}
	}
	if k != len(path) {
		t.Errorf("%d cuts are shown, not %d", len(path), k)
	}
	until(t, b, `document.getElementById("done").hidden && !document.getElementById("on").hidden && document.getElementById("all").value === document.getElementById("all").max`)
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	shot("cut")
	now := cutsShown(t, b)
	for _, p := range now.Pieces {
		if now.Done[p.Key] != len(p.Steps) {
			t.Errorf("of %s %d of %d cuts are kept", p.Title, now.Done[p.Key], len(p.Steps))
		}
	}
}

// printOnceMore presses two blocks where they lie, prints them once more and cuts them: what was cut before is done still.
func printOnceMore(t *testing.T, r *running, b *chromium.Tab, shot func(string)) {
	goTo(t, r, b, "/reprint")
	codes := chromium.Eval[[]string](b, `(() => {
		const blocks = [...document.querySelectorAll("#again svg [data-block]")];
		const two = [blocks[0], blocks.at(-1)];
		for (const e of two) e.dispatchEvent(new MouseEvent("click", {bubbles: true}));
		return two.map((e) => e.querySelector("text").textContent); })()`)
	until(t, b, `document.querySelector("#again button.main").textContent === "Make 2 blocks ready"`)
	if marked := chromium.Eval[int](b, `document.querySelectorAll("#again svg .pressed").length`); marked != 2 {
		t.Errorf("%d blocks look pressed, not 2", marked)
	}
	shot("reprint")
	b.JS(`document.querySelector("#again button.main").click()`)
	until(t, b, `document.getElementById("ready")`)
	if head := chromium.Eval[string](b, `fetch("/download/again").then((a) => a.text()).then((s) => s.slice(0, 4))`); head != "%PDF" {
		t.Errorf("what is printed once more begins %q", head)
	}
	if got, want := blocksOf(t, firstMatch(t, r.folder, "*-redo.pdf")), slices.Sorted(slices.Values(codes)); !slices.Equal(got, want) {
		t.Errorf("%v are printed once more, not %v", got, want)
	}
	if chromium.Eval[bool](b, `!!document.querySelector("[data-redo]")`) { // where this computer can print
		b.JS(`document.querySelector("[data-redo]").click()`)
		until(t, b, `location.pathname === "/print" && document.getElementById("session").textContent.includes("Printing once more")`)
		b.JS(`document.querySelector("[data-answer=q]").click()`)
		until(t, b, `!document.querySelector("[data-answer]")`)
	}
	goTo(t, r, b, "/cutting")
	until(t, b, `document.getElementById("set").textContent`)
	all := cutsShown(t, b)
	open := 0
	for _, p := range all.Pieces {
		more := strings.HasPrefix(p.Title, "Once more: ")
		if !more && all.Done[p.Key] != len(p.Steps) {
			t.Errorf("%s is not done any more", p.Title)
		}
		if more {
			open += len(p.Steps)
		}
	}
	if open < 2 {
		t.Errorf("what is printed once more has %d cuts", open)
	}
	made := chromium.Eval[int](b, `(async () => {
		let n = 0;
		for (; n < 500 && document.getElementById("line").textContent !== "Everything is cut"; n++) document.body.dispatchEvent(new KeyboardEvent("keydown", {key: " ", bubbles: true, cancelable: true}));
		return n; })()`)
	if made < open || made == 500 {
		t.Errorf("after %d presses it is not cut", made)
	}
}

// firstMatch is the one file of a folder that a pattern fits.
func firstMatch(t *testing.T, folder, pattern string) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(folder, pattern))
	if err != nil || len(found) != 1 {
		t.Fatalf("%s fits %v, %v", pattern, found, err)
	}
	return found[0]
}

var centsMatch = regexp.MustCompile(`(\d+)\.(\d\d)`)

// shareOut looks at what goes to whom: every printed block is in one envelope, the account adds up to the cent, and each person's message is ready.
func shareOut(t *testing.T, r *running, b *chromium.Tab) {
	goTo(t, r, b, "/share")
	until(t, b, laidAll+` && document.getElementById("envelopes")`)
	cents := func(text string) (n int64) {
		if m := centsMatch.FindStringSubmatch(text); m != nil {
			n, _ = strconv.ParseInt(m[1]+m[2], 10, 64) // digits, as matched
		}
		return n
	}
	table := chromium.Eval[[][]string](b, `[...document.querySelectorAll(".sums tbody tr")].map((row) => [...row.cells].map((c) => c.textContent))`)
	if len(table) < 3 {
		t.Fatalf("the account has %d rows", len(table))
	}
	total := table[len(table)-1]
	for col := 2; col < len(total); col++ {
		sum := int64(0)
		for _, row := range table[:len(table)-1] {
			sum += cents(row[col])
		}
		if sum != cents(total[col]) {
			t.Errorf("column %d of the account adds up to %d cents, and says %s: %v", col+1, sum, total[col], table)
		}
	}
	for _, row := range table {
		sum := int64(0)
		for _, c := range row[2 : len(row)-1] {
			sum += cents(c)
		}
		if sum != cents(row[len(row)-1]) {
			t.Errorf("the row %v adds up to %d cents", row, sum)
		}
	}
	items := chromium.Eval[[]string](b, `[...document.querySelectorAll(".sums thead th")].map((c) => c.textContent)`)
	paper := cents(total[len(total)-1])
	if again := slices.Index(items, "printing again"); again >= 0 {
		paper -= cents(total[again])
	}
	if foot := cents(chromium.Eval[string](b, `document.getElementById("foot").textContent`)); foot != paper || foot == 0 {
		t.Errorf("the paper of the account comes to %v, the foot says %d cents", table, foot)
	}
	type envelope struct {
		Name, Blocks, Message, Mail string
		Codes                       []string
	}
	list := chromium.Eval[[]envelope](b, `[...document.querySelectorAll(".envelope")].map((e) => ({Name: e.querySelector("h3 bdi").textContent, Blocks: e.querySelector("h3 small").textContent,
		Message: e.querySelector("textarea")?.value || "", Mail: e.querySelector("a[href^='mailto:']")?.getAttribute("href") || "", Codes: [...e.querySelectorAll("tbody td:first-child")].map((c) => c.textContent)}))`)
	printed := blocksOf(t, strings.TrimSuffix(firstMatch(t, r.folder, "*-desk.xlsx"), ".xlsx")+".pdf")
	envelopes := 0
	for _, e := range list {
		var n int
		fmt.Sscan(e.Blocks, &n)
		envelopes += n
		if n > 0 && (!strings.HasPrefix(e.Message, "Hello "+e.Name+",") || !strings.Contains(e.Message, "printed and cut")) {
			t.Errorf("the message to %s is %q", e.Name, e.Message)
		}
		if (e.Mail == "" && len(e.Message) < 500) || len(e.Mail) > mostMail {
			t.Errorf("no mail to %s can be begun: %q", e.Name, e.Mail)
		}
	}
	if envelopes != len(printed) {
		t.Errorf("%d blocks go into envelopes, %d are printed", envelopes, len(printed))
	}
	b.JS(`navigator.clipboard.writeText = async (text) => { document.title = text; }; document.querySelector("[data-copy]").click()`)
	until(t, b, `document.querySelector(".envelope [role=status]").textContent === "Copied."`)
	if copied := chromium.Eval[string](b, `document.title`); !strings.Contains(copied, "Hello ") || !strings.Contains(copied, "printed and cut") {
		t.Errorf("what is copied is %q", copied)
	}
	b.JS(`navigator.clipboard.writeText = async () => { throw new Error("no"); }; document.querySelector("[data-copy]").click()`)
	until(t, b, `document.querySelector(".envelope [role=status]").textContent.includes("Ctrl+C") && document.activeElement.tagName === "TEXTAREA" && document.activeElement.selectionEnd > 10`)
}

// TestFromTwoMetres: what has to be read beside the trimmer is large enough to be read from two metres: letters of 16 minutes of arc at least (ISO 9241-303,
// from memory), on a screen whose pixels are as large as CSS takes them to be (96 to the inch).
func TestFromTwoMetres(t *testing.T) {
	r, b := madeInBrowser(t)
	tall := math.Tan(16.0/60*math.Pi/180) * 2000 / 25.4 * 96
	for _, size := range [][2]int64{{1280, 720}, {1280, 900}, {2560, 1440}} {
		emulate(b, size[0], size[1], "light")
		goTo(t, r, b, "/cutting")
		until(t, b, `document.getElementById("set").textContent`)
		for id, high := range chromium.Eval[map[string]float64](b, `(() => {
			const c = document.createElement("canvas").getContext("2d");
			return Object.fromEntries(["which", "edge", "set", "line"].map((id) => {
				const style = getComputedStyle(document.getElementById(id));
				c.font = style.fontWeight + " " + style.fontSize + " " + style.fontFamily;
				return [id, c.measureText("H").actualBoundingBoxAscent];
			})); })()`) {
			if high < tall {
				t.Errorf("%v: letters of %s are %.1f px high, %.1f are needed", size, id, high, tall)
			}
		}
	}
	// On each screen what goes on can be pressed without scrolling, however long a set.
	for _, size := range [][2]int64{{390, 844}, {1280, 720}, {2560, 1440}} {
		emulate(b, size[0], size[1], "light")
		for _, set := range []string{"9 in", "10 15/16 in", "skip"} {
			b.JS(fmt.Sprintf(`document.getElementById("set").textContent = %q; dispatchEvent(new Event("resize"))`, set))
			fits := chromium.Eval[[]bool](b, `(() => { const d = document.getElementById("done").getBoundingClientRect(), s = document.getElementById("set"); return [d.top >= 0 && d.bottom <= innerHeight && d.height >= 44, s.scrollWidth <= s.clientWidth]; })()`)
			if !fits[0] || !fits[1] {
				t.Errorf("%v, %s: the button is on the screen %v, the set beside the drawing %v", size, set, fits[0], fits[1])
			}
		}
	}
}

// TestCutsKept: how far the cuts are done is known in a desk started anew, and is that of this PDF alone; what stands there that is none is nothing.
func TestCutsKept(t *testing.T) {
	longtests.Only(t)
	folder := quickly(t)
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	get := func() (v cutsView) {
		t.Helper()
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	v := get()
	body, _ := json.Marshal(cutsDone{Done: map[string]int{v.Pieces[1].Key: 2, v.Pieces[2].Key: 999, "another": 4, v.Pieces[3].Key: -1}, At: v.Pieces[1].Key})
	if status, said := c.post("/cutting/done", string(body)); status != 200 {
		t.Fatal(status, said)
	}
	if status, said := c.post("/cutting/done", `{"done":{"x":"many"}}`); status != 400 {
		t.Errorf("%d %s", status, said)
	}
	want := map[string]int{v.Pieces[1].Key: 2, v.Pieces[2].Key: len(v.Pieces[2].Steps)}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat-desk.xlsx")
	c = enter(t, r)
	if got := get(); fmt.Sprint(got.Done) != fmt.Sprint(want) || got.At != v.Pieces[1].Key {
		t.Errorf("the desk started anew knows %v at %s, not %v", got.Done, got.At, want)
	}
	file := filepath.Join(folder, ".retreat-desk", "cuts.json")
	kept, _ := os.ReadFile(file)
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Journaling":"Another text."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	if got := get(); len(got.Done) > 0 || len(kept) == 0 {
		t.Errorf("of another PDF's cuts %v are taken for done", got.Done)
	}
	if err := os.WriteFile(file, []byte("nothing of ours"), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := get(); len(got.Done) > 0 || got.At != "" {
		t.Errorf("what is none of ours is taken for %v", got.cutsDone)
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(file, 0o700); err != nil { // as a disk that refuses it
		t.Fatal(err)
	}
	if status, said := c.post("/cutting/done", string(body)); status != 507 || !strings.Contains(said, "cannot be kept") {
		t.Errorf("%d %s", status, said)
	}
}

// TestStacks: pieces that are cut alike lie on each other as far as the trimmer takes them, and are cut at once; their blocks have letters where they
// are not the same.
func TestStacks(t *testing.T) {
	folder := t.TempDir()
	rows := "Name,Journaling,Width,Height,Stock,Copies\nAnn Lo,A tag for each of them.,8,5,vellum,5\nBo Ek,First,8,5,cardstock,1\nBo Ek,Second,8,5,cardstock,1\nBo Ek,Third,8,5,cardstock,1\nBo Ek,Fourth,8,5,cardstock,1\n"
	if err := os.WriteFile(filepath.Join(folder, "tags.csv"), []byte(rows), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\ntrimmer:\n  stack: 2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer()}, "tags.csv"))
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	var v cutsView
	if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, p := range v.Pieces {
		line := p.Title + ":"
		for _, l := range p.Leaves {
			if l.Kind == "own" {
				line += " " + l.Says
			}
		}
		got = append(got, line)
	}
	if all := strings.Join(got, "\n"); strings.Count(all, "a stack of 2") != 3 || strings.Count(all, ", vellum, a stack of 2: AL-1") != 2 || !strings.Contains(all, ", cardstock, a stack of 2: A B") {
		t.Errorf("they are cut as\n%s", all)
	}
	if !bytes.Contains([]byte(c.page("/part/cuts")), []byte("marks exactly over each other")) {
		t.Error("it does not say how to stack them")
	}
}
