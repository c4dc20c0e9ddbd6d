package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// twoRows is a job with a block and a row of paper, by their ids.
func twoRows(t *testing.T) (c *caller, row, paper string) {
	t.Helper()
	r := begin(t, t.TempDir(), Options{limits: unlimited})
	c = enter(t, r)
	c.press("/start/new", `{"name":"j"}`)
	c.press("/add", `{"cells":{"Journaling":"first","Title":"At sea"}}`)
	c.press("/add", `{"sheet":"paper","cells":{"Stock":"vellum","Width":"first"}}`)
	_, paper, _ = strings.Cut(c.page("/part/paper"), `data-id="`)
	paper, _, _ = strings.Cut(paper, `"`)
	return c, r.rows(t, c)[0], paper
}

// TestTypedOver: a text that comes to the desk overwrites nothing but what its page saw in the cell, or sent there itself.
func TestTypedOver(t *testing.T) {
	c, row, paper := twoRows(t)
	for _, at := range []struct{ sheet, id, column, part string }{{"journaling", row, "Journaling", "/part/blocks?who=all"}, {"paper", paper, "Width", "/part/paper"}} {
		for _, step := range []struct {
			what, text string
			seen       []string
			status     int
			has        string // the cell afterwards
		}{
			{"as it was seen", "second", []string{"first"}, 200, "second"},
			{"sent again", "second", []string{"first"}, 200, "second"},
			{"typed on after no answer", "second and more", []string{"first", "second"}, 200, "second and more"},
			{"of a page that saw another", "mine", []string{"first"}, 409, "second and more"},
			{"late, and older", "second", []string{"first"}, 409, "second and more"},
			{"seen as nothing", "mine", []string{}, 409, "second and more"},
			{"chosen", "mine", []string{"second and more"}, 200, "mine"},
			{"seen before it was put in order", "last", []string{"mine\u0007"}, 200, "last"},
		} {
			body, _ := json.Marshal(map[string]any{"sheet": at.sheet, "id": at.id, "cells": map[string]string{at.column: step.text, "Stock": "vellum"}, "seen": map[string][]string{at.column: step.seen}})
			status, said := c.post("/change", string(body))
			if status != step.status {
				t.Errorf("%s, %s: %d %s", at.sheet, step.what, status, said)
			}
			var refused refusal
			if json.Unmarshal([]byte(said), &refused); status == http.StatusConflict && (len(refused.Others) != 1 || refused.Others[at.column] != step.has) {
				t.Errorf("%s, %s: the others are %v", at.sheet, step.what, refused.Others)
			}
			if text := c.page(at.part); !strings.Contains(text, `&#34;`+step.has+`&#34;`) && !strings.Contains(text, `value="`+step.has+`"`) {
				t.Errorf("%s, %s: the cell is not %q", at.sheet, step.what, step.has)
			}
		}
	}
}

// anotherPage does something to a row of the page's job as another page would: by its number, with cells or, without, to remove it.
func anotherPage(b *chromium.Tab, sheet string, n int, cells string) {
	path := "/change"
	if cells == "" {
		path, cells = "/remove", "{}"
	}
	b.JS(fmt.Sprintf(`desk.send(%q, {sheet: %q, id: document.querySelectorAll("main [data-id]")[%d].dataset.id, cells: %s})`, path, sheet, n, cells))
}

// TestTwoTextsLeft: where the page is left before the person has chosen, or has taken what was typed out of a row that is gone, the other pages ask.
func TestTwoTextsLeft(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	for i, c := range []struct{ others, asks string }{{`{Journaling: "theirs"}`, "was typed on a page that was left"}, {"", "a row that is gone"}} {
		holdSends(b)
		inHand(t, b, i)
		mine := fmt.Sprint("mine ", i)
		typeInto(b, "Journaling", mine)
		until(t, b, `held() > 0`)
		other := chromium.Open(t, "http://"+r.host+"/journaling", 800, 600, "light")
		anotherPage(other, "journaling", i, c.others)
		b.JS(`letGo()`)
		until(t, b, `document.querySelectorAll("[data-clash]").length === 1`)
		if c.others != "" {
			typeInto(b, "Title", "and a title")
		}
		goTo(t, r, b, "/print")
		until(t, b, fmt.Sprintf(`document.querySelectorAll("[data-question]").length === %d && document.getElementById("questions").textContent.includes(%q) && document.getElementById("questions").textContent.includes(%q)`, i+1, mine, c.asks))
		goTo(t, r, b, "/journaling")
		until(t, b, fmt.Sprintf(`document.querySelectorAll(".block").length === %d`, 4-i))
		arrives(t, b, "/part/blocks?who=all", "and a title") // beside what waits
	}
}

// TestGoneUnderAnotherName: what was typed in a block that had another name by then, and was removed elsewhere, is put into a new one that stays in hand.
func TestGoneUnderAnotherName(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	b.JS(`document.querySelectorAll("#people [data-who]")[1].click()`)
	until(t, b, `document.querySelectorAll("#people [aria-current]")[0].textContent.startsWith("Ann Lo") && document.querySelectorAll("#blocks .block").length === 4`)
	inHand(t, b, 0)
	typeInto(b, "Name", "Zoe")
	until(t, b, `document.querySelector("[data-elsewhere]")`)
	holdSends(b)
	typeInto(b, "Journaling", "typed by Zoe")
	until(t, b, `held() > 0`)
	other := chromium.Open(t, "http://"+r.host+"/journaling?who=all", 800, 600, "light")
	anotherPage(other, "journaling", 0, "")
	b.JS(`letGo()`)
	until(t, b, `document.querySelectorAll("[data-clash]").length === 1`)
	b.JS(`document.querySelector("[data-clash] button").click()`)
	until(t, b, `!document.querySelector("[data-clash]") && document.activeElement.name === "Journaling" && document.activeElement.value === "typed by Zoe"`)
}

// TestTwoTexts: where somebody else writes in a cell in which a page has something that is not sent, both texts are seen and the person chooses; what was
// typed in a row that is gone can be copied, and put into a new one. What one page types is never asked about.
func TestTwoTexts(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	asks := `document.querySelectorAll("[data-clash]").length`
	saved := `document.getElementById("saved").textContent === "saved"`
	choose := func(n int) {
		t.Helper()
		b.JS(fmt.Sprintf(`document.querySelectorAll("[data-clash] button")[%d].click()`, n))
		until(t, b, asks+` === 0`)
	}
	hold := `{
		const real = fetch, waiting = [];
		window.holds = true;
		window.fetch = async (path, o) => {
			const body = o?.body;
			if (holds && path === "/change" && body.includes("mine")) await new Promise((done) => waiting.push(done));
			return real(path, o);
		};
		window.held = () => waiting.length;
		window.letGo = () => { holds = false; waiting.splice(0).forEach((go) => go()); };
	}`
	b.JS(hold)
	inHand(t, b, 0)
	clash := func(n int, mine, theirs string) {
		t.Helper()
		b.JS(`holds = true`)
		typeInto(b, "Journaling", mine)
		until(t, b, `held() > 0`)
		anotherPage(b, "journaling", n, theirs)
		b.JS(`letGo()`)
		until(t, b, asks+` === 1`)
	}
	for i, want := range []string{"mine 0, and more", "theirs 1"} {
		clash(0, fmt.Sprint("mine ", i), fmt.Sprintf(`{Journaling: "theirs %d"}`, i))
		typeInto(b, "Title", "of the same block") // is kept all the same
		if i == 0 {
			typeInto(b, "Journaling", "mine 0, and more")
		}
		arrives(t, b, "/part/blocks?who=all", "of the same block")
		if text := chromium.Eval[string](b, `document.querySelector("[data-clash] dl").textContent`); !strings.Contains(text, fmt.Sprint("theirs ", i)) || !strings.Contains(text, fmt.Sprint("mine ", i)) {
			t.Errorf("what is asked is %s", text)
		}
		until(t, b, `desk.unsent() && document.getElementById("saved").classList.contains("stop")`)
		choose(i)
		until(t, b, saved)
		arrives(t, b, "/part/blocks?who=all", want)
		if got := chromium.Eval[string](b, `document.getElementById("f-Journaling").value`); got != want {
			t.Errorf("%q is in the editor, not %q", got, want)
		}
	}
	clash(0, "mine, in a row that goes", "")
	b.JS(`document.querySelector("[data-clash] button").click(); desk.tell("laid")`) // the list is asked for once more while the first is under way
	until(t, b, asks+` === 0`)
	arrives(t, b, "/part/blocks?who=all", "mine, in a row that goes")
	until(t, b, saved)

	// An answer that is lost is no other text.
	b.JS(`{const real = fetch; let lost = 0; window.fetch = async (path, o) => { const answer = await real(path, o); if (path === "/change" && lost++ < 2) throw new TypeError("cut"); return answer; };}`)
	for i := range 6 {
		typeInto(b, "Title", strings.Repeat("on ", i+1))
		b.JS(`desk.flush()`)
	}
	until(t, b, saved+` && `+asks+` === 0`)
	arrives(t, b, "/part/blocks?who=all", "on on on on on on")

	goTo(t, r, b, "/paper")
	b.JS(`document.getElementById("add-sheet").click()`)
	until(t, b, `document.activeElement.name === "Width" && `+saved)
	b.JS(hold)
	for i, want := range []string{"mine", "theirs"} {
		b.JS(`holds = true; document.querySelector("#rows [name=Width]").select()`)
		b.Do(chromedp.KeyEvent("mine"), chromedp.KeyEvent("\t"))
		if i > 0 {
			b.JS(`{const f = document.querySelector("#rows [name=Width]"); f.value = "mine again"; f.dispatchEvent(new Event("change", {bubbles: true}));}`)
		}
		until(t, b, `held() > 0`)
		anotherPage(b, "paper", 0, `{Width: "theirs"}`)
		b.JS(`letGo()`)
		until(t, b, asks+` === 1`)
		choose(i)
		until(t, b, saved)
		arrives(t, b, "/part/paper", `name="Width" value="`+want+`"`)
	}
	b.JS(`holds = true; document.querySelector("#rows [name=Price]").select()`)
	b.Do(chromedp.KeyEvent("mine"), chromedp.KeyEvent("\t"))
	until(t, b, `held() > 0`)
	anotherPage(b, "paper", 0, "")
	b.JS(`letGo()`)
	until(t, b, asks+` === 1`)
	choose(0)
	arrives(t, b, "/part/paper", `name="Price" value="mine"`)
}

// TestTypedAndLeft: what a page sent while it was left, and what cannot be taken since somebody else wrote there, the row was removed or the text is longer than any cell,
// is asked about on the pages that come next; what was taken already is not.
func TestTypedAndLeft(t *testing.T) {
	c, row, _ := twoRows(t)
	left := func(text string, seen string, status int) {
		t.Helper()
		body, _ := json.Marshal(map[string]any{"id": row, "cells": map[string]string{"Journaling": text}, "seen": map[string][]string{"Journaling": {seen}}, "left": true})
		if got, said := c.post("/change", string(body)); got != status {
			t.Errorf("%.20q: %d %s", text, got, said)
		}
	}
	asks := func(words ...string) string {
		t.Helper()
		html := c.page("/part/questions")
		for _, w := range words {
			if !strings.Contains(html, w) {
				t.Errorf("%q is not asked:\n%.2000s", w, html)
			}
		}
		if len(words) == 0 && strings.Contains(html, "data-question") {
			t.Errorf("it asks\n%s", html)
		}
		return html
	}
	left("as it was seen", "first", 200)
	left("as it was seen", "first", 200)
	asks()
	left("mine, and left", "first", 409)
	html := asks("typed on a page that was left", "<dt>Typed</dt><dd>mine, and left</dd>", "<dd>as it was seen</dd>", "Take the other")
	at := regexp.MustCompile(`data-question="([^"]+)" data-shown="([^"]*)"`).FindStringSubmatch(html)
	c.press("/answer", fmt.Sprintf(`{"question":%q,"key":"take","shown":%q}`, at[1], at[2]))
	if text := c.page("/part/blocks?who=all"); !strings.Contains(text, "&#34;mine, and left&#34;") {
		t.Error("the text is not taken")
	}
	asks()
	left(strings.Repeat("too long ", 8000), "mine, and left", 409)
	if html := asks("no cell can hold it", "too long too long"); strings.Contains(html, `data-key="take"`) {
		t.Error("it could be taken")
	}
	c.press("/remove", fmt.Sprintf(`{"id":%q}`, row))
	left("of a row that is gone", "mine, and left", 410)
	asks("of a row that is gone", "a row that is gone")
}

// TestRemovesOnlyWhatItSaw: a row in which somebody else wrote since the page saw it is not removed, and an earlier state is not gone back to from a list that
// lacks what was done last.
func TestRemovesOnlyWhatItSaw(t *testing.T) {
	c, row, paper := twoRows(t)
	seen := fmt.Sprintf(`{"id":%q,"seen":{"Journaling":["first","first"],"Title":["At sea","At"]}}`, row)
	seenPaper := fmt.Sprintf(`{"sheet":"paper","id":%q,"seen":{"Stock":["vellum"],"Width":["first"],"Height":[""]}}`, paper)
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Page":"Pier"}}`, row))
	c.press("/change", fmt.Sprintf(`{"sheet":"paper","id":%q,"cells":{"Height":"4"}}`, paper))
	for body, other := range map[string]string{seen: "Pier", seenPaper: `"4"`} {
		if status, said := c.post("/remove", body); status != http.StatusConflict || !strings.Contains(said, other) {
			t.Errorf("%s: %d %s", body, status, said)
		}
	}
	states := regexp.MustCompile(`data-state="([0-9]+)"`).FindAllStringSubmatch(c.page("/part/states"), -1)
	back := fmt.Sprintf(`{"state":%s,"seen":%s}`, states[len(states)-1][1], states[1][1])
	if status, said := c.post("/return", back); status != http.StatusConflict || !strings.Contains(said, "since this list was opened") {
		t.Errorf("%s: %d %s", back, status, said)
	}
	c.press("/remove", strings.Replace(seenPaper, `[""]`, `["4"]`, 1))
	if status, said := c.post("/remove", seenPaper); status != http.StatusGone {
		t.Errorf("%d %s", status, said)
	}
	c.press("/remove", strings.Replace(seen, `"seen":{`, `"seen":{"Page":["Pier"],`, 1))
	if text := c.page("/part/blocks?who=all"); strings.Contains(text, row) {
		t.Errorf("the row is there: %s", text)
	}
}

// TestRemoveButtons: the pages' own buttons remove a row that was typed in just now, but not one that another page wrote in since; the list of earlier states
// brings a row back.
func TestRemoveButtons(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	rows := func(n int) string { return fmt.Sprintf(`document.querySelectorAll("main [data-id]").length === %d`, n) }
	const hold = `{const real = fetch; window.stale = true; window.fetch = async (path, o) => { while (stale && path.startsWith("/part/")) await new Promise((done) => setTimeout(done, 20)); return real(path, o); };}`
	const asked = `document.querySelector("[data-clash]")?.textContent.includes("Somebody else wrote in what you removed")`
	press := func(n int) {
		b.JS(fmt.Sprintf(`document.querySelectorAll("[data-clash] button")[%d].click()`, n))
		until(t, b, `!document.querySelector("[data-clash]")`)
	}
	inHand(t, b, 0)
	b.JS(hold)
	anotherPage(b, "journaling", 0, `{Page: "Pier"}`)
	b.JS(`document.getElementById("remove").click()`)
	until(t, b, asked+` && document.querySelector("[data-clash]").textContent.includes("Pier")`)
	shot := shots(t, "removed")
	if shot != nil {
		shot(b, "asked")
	}
	b.JS(`stale = false`)
	press(1)
	until(t, b, `document.getElementById("f-Page").value === "Pier"`)
	typeInto(b, "Title", "At home")
	b.JS(`document.getElementById("remove").click()`)
	until(t, b, rows(3))

	b.JS(`document.getElementById("states").click()`)
	until(t, b, `document.querySelectorAll("#earlier [data-state]").length > 2`)
	anotherPage(b, "journaling", 0, `{Page: "Quay"}`)
	b.JS(`document.querySelectorAll("#earlier [data-state]")[1].click()`)
	until(t, b, `document.querySelector("#earlier [role=alert]").textContent.includes("omething else was done since this list was opened")`)
	until(t, b, `document.querySelectorAll("#earlier [data-state]")[0].textContent.includes("Quay")`)
	if shot != nil {
		shot(b, "earlier")
	}
	b.JS(`document.querySelectorAll("#earlier [data-state]")[2].click()`)
	until(t, b, rows(4)+` && !document.getElementById("earlier").open`)

	goTo(t, r, b, "/paper")
	b.JS(`document.getElementById("add-sheet").click()`)
	until(t, b, rows(1)+` && document.activeElement.name === "Width"`)
	b.JS(hold)
	anotherPage(b, "paper", 0, `{Height: "4"}`)
	b.JS(`document.querySelector("[data-remove]").click()`)
	until(t, b, asked)
	b.JS(`stale = false`)
	press(1)
	until(t, b, `document.querySelector("#rows [name=Height]").value === "4"`)
	b.JS(hold)
	anotherPage(b, "paper", 0, `{Height: "5"}`)
	b.JS(`document.querySelector("#rows [name=Width]").select()`)
	b.Do(chromedp.KeyEvent("8"))
	b.JS(`document.querySelector("[data-remove]").click()`)
	until(t, b, asked)
	anotherPage(b, "paper", 0, `{Price: "1.50"}`) // and what a third page writes before the answer is asked about as well
	b.JS(`document.querySelectorAll("[data-clash] button")[0].click()`)
	until(t, b, `document.querySelector("[data-clash]")?.textContent.includes("1.50")`)
	b.JS(`stale = false`)
	press(0)
	until(t, b, rows(0))
}

// asked is a tab in which so many questions are asked: of notes that were typed on pages that are left, where others are by then.
func asked(t *testing.T, n int) *chromium.Tab {
	t.Helper()
	chromium.Start(t)
	r := begin(t, quickly(t), Options{}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	goTo(t, r, b, "/journaling?who=all")
	until(t, b, laidAll)
	b.JS(fmt.Sprintf(`Promise.all([...document.querySelectorAll("[data-id]")].slice(0, %d).map((e) => desk.send("/change", {left: true, id: e.dataset.id, cells: {Note: "typed elsewhere"}, seen: {Note: ["another note"]}}).catch(() => 0))).then(() => true)`, n))
	return b
}

// TestOnePressOneAnswer: a double click, or a key that is pressed twice, answers the question that was read, and not the next one, which has taken its place.
func TestOnePressOneAnswer(t *testing.T) {
	t.Parallel()
	b := asked(t, 4)
	const first = `document.querySelector("#questions [data-key]")`
	left := func(n int) string {
		return fmt.Sprintf(`document.querySelectorAll("#questions [data-question]").length === %d`, n)
	}
	until(t, b, left(4)+` && !desk.lately(`+first+`)`)
	at := chromium.Eval[[]float64](b, `((r) => [r.x + r.width / 2, r.y + r.height / 2])(`+first+`.getBoundingClientRect())`)
	b.Do(chromedp.MouseClickXY(at[0], at[1]))
	until(t, b, left(3))
	b.Do(chromedp.MouseClickXY(at[0], at[1], chromedp.ClickCount(2)))
	b.Do(chromedp.MouseClickXY(at[0], at[1]))
	until(t, b, `!desk.lately(`+first+`)`)
	b.JS(first + `.focus()`)
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, left(2)+` && document.activeElement.dataset.question`)
	b.Do(chromedp.KeyEvent("\r"))
	b.Do(chromedp.KeyEvent("\t\r"))
	until(t, b, `!desk.lately(`+first+`)`)
	if n := chromium.Eval[int](b, `document.querySelectorAll("#questions [data-question]").length`); n != 2 {
		t.Errorf("%d questions are left of 4, after two answers", n)
	}
	// What was kept by a slip is asked again.
	b.JS(`document.getElementById("undo").click()`)
	until(t, b, left(3))
}

// TestNameTyped: whoever types a new name, letter by letter, on the page of one person keeps the block in hand, whatever the name is meanwhile; the page goes
// on with the person of that name where nobody else's is left, and the block leaves the others when another is taken.
func TestNameTyped(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	b.JS(`desk.send("/change", {sheet: "journaling", id: document.querySelectorAll("main [data-id]")[3].dataset.id, cells: {Name: "Ann May"}})`)
	arrives(t, b, "/part/people?who=all", "<bdi>Ann May</bdi>")
	for i, c := range []struct {
		of, name string
		left     int // blocks of that person
	}{{"Ann May", "Bartholomew Lind", 0}, {"Ann Lo", "Bo Svensson", 2}} {
		goTo(t, r, b, "/journaling?who=all")
		b.JS(fmt.Sprintf(`[...document.querySelectorAll("[data-who]")].find((e) => e.textContent.startsWith(%q)).click()`, c.of))
		until(t, b, fmt.Sprintf(`document.querySelectorAll("#blocks .block").length === %d`, c.left+1))
		inHand(t, b, 0)
		b.JS(`{const e = document.querySelector("#editor [name=Name]"); e.focus(); e.select();}`)
		for _, letter := range c.name {
			b.Do(chromedp.KeyEvent(string(letter)))
			time.Sleep(120 * time.Millisecond)
		}
		until(t, b, `!desk.unsent() && document.getElementById("saved").textContent === "saved"`)
		arrives(t, b, "/part/people?who=all", "<bdi>"+c.name+"</bdi>")
		until(t, b, fmt.Sprintf(`document.activeElement.name === "Name" && document.activeElement.value === %q && document.querySelectorAll("#blocks .block").length === %d`, c.name, c.left+1))
		if i == 0 {
			until(t, b, fmt.Sprintf(`document.querySelector("#people [aria-current]").textContent.startsWith(%q) && document.getElementById("whose").textContent === %[1]q`, c.name))
			continue
		}
		b.JS(`document.getElementById("add").click()`) // of whom the page shows, and in hand
		until(t, b, fmt.Sprintf(`document.activeElement.name === "Journaling" && document.querySelector("#editor [name=Name]").value === %q && document.getElementById("whose").textContent === %[1]q`, c.of))
		until(t, b, fmt.Sprintf(`document.querySelectorAll("#blocks .block").length === %d`, c.left+1))
		b.JS(`document.querySelector("#blocks .block .take").click()`)
		until(t, b, `!document.querySelector("[data-elsewhere]")`)
	}
}
