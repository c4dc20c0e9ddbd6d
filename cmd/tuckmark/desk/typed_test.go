package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// TestTypedOver: a text that comes to the desk overwrites nothing but what its page saw in the cell, or sent there itself.
func TestTypedOver(t *testing.T) {
	r := begin(t, t.TempDir(), Options{limits: unlimited})
	c := enter(t, r)
	c.press("/start/new", `{"name":"j"}`)
	c.press("/add", `{"cells":{"Journaling":"first","Title":"At sea"}}`)
	c.press("/add", `{"sheet":"paper","cells":{"Stock":"vellum","Width":"first"}}`)
	row := r.rows(t, c)[0]
	_, paper, _ := strings.Cut(c.page("/part/paper"), `data-id="`)
	paper, _, _ = strings.Cut(paper, `"`)
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

// TestTwoTexts: where somebody else writes in a cell in which a page has something that is not sent, both texts are seen and the person chooses; what was
// typed in a row that is gone can be copied, and put into a new one. What one page types is never asked about.
func TestTwoTexts(t *testing.T) {
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
	choose(0)
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
