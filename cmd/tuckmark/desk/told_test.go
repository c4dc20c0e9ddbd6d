package desk

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// holdSends holds whatever a page sends back until letGo() is called in it; held() says how much waits.
func holdSends(b *chromium.Tab) {
	b.JS(`{
		const real = fetch, waiting = [];
		let holds = true;
		window.fetch = async (path, o) => {
			if (holds && o?.method === "POST" && path !== "/try") await new Promise((done) => waiting.push(done));
			return real(path, o);
		};
		window.held = () => waiting.length;
		window.letGo = () => { holds = false; waiting.forEach((go) => go()); };
	}`)
}

// TestSaidSaved: what the desk tells of the workbook does not say of what a page has not sent yet that it is saved, not of what is typed and not of
// cuts; when it has arrived, it is said.
func TestSaidSaved(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	said := func() string { return chromium.Eval[string](b, `document.getElementById("saved").textContent`) }
	saved := `document.getElementById("saved").textContent === "saved"`
	heard := func(where string) {
		t.Helper()
		until(t, b, `held() > 0`)
		b.JS(`desk.tell("book", {revision: desk.revision, said: "saved", stop: false, questions: 0, job: desk.job()})`)
		if got := said(); got == "saved" {
			t.Errorf("%s: it says %q, and what was done there is not sent", where, got)
		}
		b.JS(`desk.tell("book", {revision: desk.revision, said: "not saved: the disk is full", stop: true, questions: 0, job: desk.job()})`)
		if got := said(); got != "not saved: the disk is full" {
			t.Errorf("%s: what has to be done for the workbook is not said, but %q", where, got)
		}
		b.JS(`desk.tell("book", {revision: desk.revision, said: "saved", stop: false, questions: 0, job: desk.job()}); letGo()`)
		until(t, b, saved)
	}
	until(t, b, saved)
	inHand(t, b, 0)
	holdSends(b)
	typeInto(b, "Journaling", "typed and not sent")
	heard("journaling")
	arrives(t, b, "/part/blocks?who=all", "typed and not sent")

	goTo(t, r, b, "/paper")
	b.JS(`document.getElementById("add-sheet").click()`)
	until(t, b, `document.activeElement.name === "Width" && `+saved)
	holdSends(b)
	b.Do(chromedp.KeyEvent("7"), chromedp.KeyEvent("\t"))
	heard("paper")

	b.JS(`desk.send("/remove", {sheet: "paper", id: document.querySelector("#rows [data-id]").dataset.id})`)
	until(t, b, `!document.querySelector("#rows [data-id]") && `+saved)
	if got := chromium.Eval[int](b, `fetch("/print/make", {method: "POST", headers: {"Content-Type": "application/json"}, body: "{}"}).then((a) => a.status)`); got != 200 {
		t.Fatal(got)
	}
	goTo(t, r, b, "/cutting")
	until(t, b, `document.getElementById("set").textContent && `+saved)
	holdSends(b)
	spaceBar(b)
	spaceBar(b)
	heard("cutting")
	first := cutsShown(t, b)
	if n := first.Done[first.Pieces[0].Key]; n != 2 {
		t.Errorf("%d cuts are kept, not 2", n)
	}

	// A hair is passed over at the trimmer, and is no cut: the page is given a piece that has one between two cuts.
	b.JS(`{
		const box = {x: 0, y: 0, w: 4000, h: 2000};
		const step = (skip) => ({part: box, at: 2000, down: true, far: false, edge: "Left edge", set: "2 in", skip, line: "", why: "", fence: "", other: ""});
		desk.part = async (path) => JSON.stringify(path !== "/part/cuts" ? {of: "what the desk has"} : {pieces: [{key: "k", title: "By hand", leaves: [{...box, kind: "own", says: "AL-1"}], steps: [step(false), step(true), step(false)]}], done: {}, at: ""});
		const again = document.createElement("script");
		again.src = "/cutting.js";
		document.head.append(again);
	}`)
	for i, want := range []string{"Cut 1 of 2; 0 of 2 cuts done in all", "No cut here; 1 of 2 cuts done in all", "Cut 2 of 2; 1 of 2 cuts done in all", "All cut; 2 of 2 cuts done in all"} {
		if i > 0 {
			spaceBar(b)
		}
		until(t, b, fmt.Sprintf(`document.getElementById("title").textContent === "By hand" && document.getElementById("which").textContent + "; " + document.getElementById("all-says").textContent === %q`, want))
	}
}

// TestOnlyQuestionAnswered: the only question of a page goes once it is answered, also where nothing is left to ask.
func TestOnlyQuestionAnswered(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	r := begin(t, t.TempDir(), Options{})
	b := enterDesk(t, r, 1280, 900, "light")
	drop(b, [2]string{"crop.csv", "Name,Journaling,Width,Height,Zyy\nAnn Lo,We rowed out.,4,2,blue\n"})
	until(t, b, `location.pathname === "/journaling" && document.querySelectorAll("[data-heading]").length === 1`)
	until(t, b, laidAll)
	goTo(t, r, b, "/journaling") // a page that has asked for no questions yet
	until(t, b, `document.querySelectorAll("[data-heading]").length === 1 && `+laidAll)
	b.JS(`document.querySelector("[data-heading=Zyy] [data-nothing]").click()`)
	until(t, b, `!document.querySelector("[data-heading]")`)
}
