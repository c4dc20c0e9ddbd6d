package desk

import (
	"fmt"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// click clicks where the middle of an element is at first: a single click is 1, and a double click 1, 2.
func click(b *chromium.Tab, selector string, counts ...int64) {
	at := chromium.Eval[[]float64](b, fmt.Sprintf(`{const e = document.querySelector(%q); e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); [r.x + r.width / 2, r.y + r.height / 2]}`, selector))
	for _, n := range counts {
		for _, kind := range []input.DispatchMouseEventType{input.DispatchMouseEventTypeMousePressed, input.DispatchMouseEventTypeMouseReleased} {
			chromium.Command(b, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: at[0], Y: at[1], Button: input.MouseButtonLeft, ClickCount: n})
		}
	}
}

// enterKey presses the enter key and lets it go, after as many repeats as it is held for.
func enterKey(b *chromium.Tab, repeats int) {
	pressKey(b, input.DispatchKeyEventParams{Key: "Enter", Code: "Enter", Text: "\r", WindowsVirtualKeyCode: 13}, repeats)
}

// spaceBar presses the space bar. What chromedp.KeyEvent sends for it is no press of a keyboard: its character comes by itself, so that the page scrolls
// although the key was taken.
func spaceBar(b *chromium.Tab) {
	pressKey(b, input.DispatchKeyEventParams{Key: " ", Code: "Space", Text: " ", WindowsVirtualKeyCode: 32}, 0)
}

func pressKey(b *chromium.Tab, p input.DispatchKeyEventParams, repeats int) {
	p.Type = input.DispatchKeyEventTypeKeyDown
	for n := range 1 + repeats {
		held := n > 0
		p.AutoRepeat = &held
		chromium.Command(b, input.DispatchKeyEvent, p)
	}
	p.Type, p.Text, p.AutoRepeat = input.DispatchKeyEventTypeKeyUp, "", nil
	chromium.Command(b, input.DispatchKeyEvent, p)
}

// TestCutOnePress: a click that is doubled, or a key that is held, on a button beside the cuts marks one cut as done; Done stays where it is, however much there
// is to say of a cut. On Reprint it presses one block, on its code or on the drawing.
func TestCutOnePress(t *testing.T) {
	t.Parallel()
	r, b := smallPrint(t, "/cutting")
	all := func(n int) string {
		return fmt.Sprintf(`document.getElementById("all-says").textContent.startsWith("%d of ") && document.getElementById("saved").textContent === "saved"`, n)
	}
	until(t, b, `document.getElementById("set").textContent`)
	click(b, "#done", 1, 2, 3)
	until(t, b, all(1))
	b.JS(`document.getElementById("done").focus()`)
	enterKey(b, 5)
	until(t, b, all(2))
	for _, window := range [][2]int64{{1280, 900}, {390, 844}} {
		b.Do(chromedp.EmulateViewport(window[0], window[1]))
		if off := chromium.Eval[[]string](b, `["", "blocks ".repeat(9), "blocks ".repeat(40)].filter((said) => {
			const done = document.getElementById("done"), was = done.getBoundingClientRect(), gives = document.getElementById("gives");
			gives.textContent = said;
			return document.elementFromPoint(was.x + was.width / 2, was.y + was.height / 2) !== done;
		})`); len(off) > 0 {
			t.Errorf("%d wide: a press where Done was does not meet it where what a cut gives is %q", window[0], off)
		}
	}

	goTo(t, r, b, "/reprint")
	until(t, b, `document.querySelectorAll("#again label").length > 1`)
	for n, where := range []string{"#again label", `#again svg g[data-block]:nth-of-type(2)`} {
		click(b, where, 1, 2)
		if got := chromium.Eval[int](b, `document.querySelectorAll("#again input:checked").length`); got != n+1 {
			t.Errorf("%d blocks are pressed after a double click on %s", got, where)
		}
	}
}

// TestSettleOnePress: a double press on what is settled of the blocks that were made ready of an earlier PDF takes that one off the list, and not the next.
func TestSettleOnePress(t *testing.T) {
	t.Parallel()
	r, b := smallPrint(t, "/reprint")
	codes := blocksOf(t, filepath.Join(r.folder, "j-desk.pdf"))
	for _, code := range codes[:2] {
		b.JS(fmt.Sprintf(`desk.send("/print/again", {codes: [%q]})`, code))
	}
	b.JS(`desk.send("/print/make", {})`)
	goTo(t, r, b, "/reprint")
	until(t, b, `document.querySelectorAll("#before [data-settled]").length === 2`)
	click(b, "[data-settled]", 1, 2)
	until(t, b, `document.querySelectorAll("#before [data-settled]").length === 1 && document.activeElement.id === "main"`)
	click(b, "#before p.row", 1) // where it was
	goTo(t, r, b, "/reprint")
	if got := chromium.Eval[string](b, `[...document.querySelectorAll("#before [data-settled]")].map((e) => e.dataset.settled).join()`); got != "j-desk-redo-2.pdf" {
		t.Errorf("left on the list: %q", got)
	}
}

// TestRemoveOnePress: a second press where a row, a block or a cost has just been removed, with the pointer or with the key, removes no other and adds none.
func TestRemoveOnePress(t *testing.T) {
	t.Parallel()
	r, b := smallPrint(t, "/paper")
	for _, count := range []string{"1", "2", "3"} {
		b.JS(fmt.Sprintf(`desk.send("/add", {sheet: "paper", after: "", cells: {Stock: "vellum", Width: "5", Height: "7", Count: %q}})`, count))
	}
	for _, page := range []struct{ path, ready, rows, remove string }{
		{"/paper", laidAll, "#rows [data-id]", "#rows [data-remove]"},
		{"/journaling?who=all", laidAll, ".block[data-id]", "#remove"},
		{"/share", `true`, "#costs [data-was]", "#costs [data-was] [data-remove]"},
	} {
		if page.path == "/share" {
			for _, name := range []string{"cake", "milk", "salt"} {
				b.JS(fmt.Sprintf(`desk.send("/cost", {name: %q, amount: "3", by: "by person"})`, name))
			}
		}
		goTo(t, r, b, page.path)
		until(t, b, `document.querySelectorAll("`+page.rows+`").length > 1 && `+page.ready)
		b.JS(`document.querySelector(".take")?.click()`)
		until(t, b, `[...document.querySelectorAll("#editor, #now")].every((e) => !e.hidden && e.complete !== false)`) // the picture moves what stands below it
		before := chromium.Eval[int](b, `document.querySelectorAll("`+page.rows+`").length`)
		left := func(n int) string { return fmt.Sprintf(`document.querySelectorAll(%q).length === %d`, page.rows, n) }
		until(t, b, `!desk.lately(document.querySelector("`+page.remove+`"))`)
		b.JS(`desk.moment = 60000; desk.movedAt = new WeakMap(); desk.stood = new WeakMap()`) // however slow the machine is
		click(b, page.remove, 1)
		until(t, b, left(before-1)+` && (document.activeElement.matches("button") || document.activeElement.matches(".take"))`)
		for range 2 {
			click(b, page.remove, 1)
			enterKey(b, 0)
		}
		b.JS(`new Promise((done) => setTimeout(done, 400))`) // what a press did shows by then
		if got := chromium.Eval[int](b, `document.querySelectorAll("`+page.rows+`").length`); got != before-1 {
			t.Errorf("%s: of %d there are %d after one press and what came with it", page.path, before, got)
		}
	}
}

// TestPressWhileLaid: where a part comes anew, as the sheets do while somebody types in another page, a button that stands where it stood takes a press; one
// that stands elsewhere, or in the place of another, takes none for a moment, nor does a dialog that has just been opened.
func TestPressWhileLaid(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	r := begin(t, quickly(t), Options{limits: unlimited}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	goTo(t, r, b, "/sheets")
	until(t, b, laidAll+` && document.querySelectorAll("button.spot").length > 20`)
	got := chromium.Eval[string](b, `(async () => {
		desk.moment = 60000;
		const part = document.body.appendChild(document.createElement("div"));
		part.style = "position:fixed;top:0;left:0;width:300px;height:300px";
		const row = (id, more = "") => "<p data-id=" + id + "><button data-remove " + more + ">Remove</button></p>";
		const all = row("a") + row("b") + row("c");
		const said = [];
		const put = (html) => {
			desk.put(part, html);
			said.push([...part.querySelectorAll("button")].map((e) => e.closest("p").dataset.id + (desk.lately(e) ? " waits" : "")).join(", "));
		};
		part.innerHTML = all;
		put(all);
		put(row("b") + row("c"));
		put(row("b") + row("c")); // once more, as when the job was laid
		put("<p>one moment</p>");
		put(row("b") + row("d") + row("c", "data-version=2"));
		desk.stood = new WeakMap();
		put(row("c") + row("b"));
		part.remove();
		return said.join("; ");
	})()`)
	if want := "a, b, c; b waits, c waits; b waits, c waits; ; b waits, d waits, c; c waits, b waits"; got != want {
		t.Errorf("%s; not %s", got, want)
	}
	b.JS(`document.querySelector("button.spot").click()`)
	until(t, b, `document.getElementById("hand").open`)
	if !chromium.Eval[bool](b, `[...document.querySelectorAll("#hand button")].every((e) => desk.lately(e))`) {
		t.Error("a dialog takes a press that was meant for what it covers")
	}
}

// TestTypedAfterAnswer: who answers a question and goes on to type before it is answered, as on a slow computer, stays in the field.
func TestTypedAfterAnswer(t *testing.T) {
	t.Parallel()
	b := asked(t, 2)
	until(t, b, `document.querySelectorAll("#questions [data-question]").length === 2`)
	b.JS(`document.querySelector(".block:last-child .take").click()`)
	until(t, b, `document.activeElement.id === "f-Journaling"`)
	b.JS(`{const part = desk.part; desk.part = async (...of) => { await new Promise((done) => setTimeout(done, 200)); return part.apply(desk, of); };}`)
	b.JS(`{const e = document.querySelector("#questions [data-key]"); e.focus(); e.click(); document.getElementById("f-Journaling").focus();}`)
	until(t, b, `document.querySelectorAll("#questions [data-question]").length === 1`)
	b.JS(`new Promise((done) => setTimeout(done, 900))`)
	if at := chromium.Eval[string](b, `document.activeElement.id || document.activeElement.outerHTML.slice(0, 200)`); at != "f-Journaling" {
		t.Errorf("the focus goes to %s", at)
	}
}
