package desk

import (
	"fmt"
	"testing"

	"tuckmark/impose/proof/chromium"
)

// TestUndoneAtOnce: what is taken back before the job was laid with it leaves the page as well, whichever window takes it back, whether a list is on its
// way meanwhile, and whether another block was taken in hand since.
func TestUndoneAtOnce(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	const typed = `const e = document.getElementById("f-Journaling"); e.value = "undone"; e.dispatchEvent(new Event("input", {bubbles: true}));`
	b.JS(`{
		const real = fetch, held = [];
		window.holds = false;
		window.fetch = async (path, o) => {
			const answer = await real(path, o);
			if (holds && path.startsWith("/part/blocks")) await new Promise((done) => { held.push(done); });
			return answer;
		};
		window.held = () => held.length;
		window.letGo = () => { holds = false; held.splice(0).forEach((go) => go()); };
	}`)
	for _, by := range []struct{ who, undo string }{
		{"a press at once", typed + `document.getElementById("undo").click();`},
		{"another window", typed + `await desk.flush(); await desk.send("/undo", {});`},
		{"a press with another block in hand", typed + `document.querySelectorAll(".take")[1].click(); document.getElementById("undo").click();`},
		{"a press while a list is on its way", `holds = true; desk.tell("laid"); while (!held()) await new Promise((done) => setTimeout(done, 5));` + typed + `letGo(); await new Promise((done) => setTimeout(done, 30)); document.getElementById("undo").click();`},
	} {
		inHand(t, b, 0)
		b.JS(`(async () => {` + by.undo + `; while (desk.unsent()) await new Promise((done) => setTimeout(done, 5)); })()`)
		until(t, b, `document.getElementById("saved").textContent === "saved"`)
		inHand(t, b, 0)
		fields := `[document.getElementById("f-Journaling").value, document.querySelector("[data-cells]").dataset.cells].join(" ")`
		settles(t, b, by.who, fields, `first {"Height":"2","Journaling":"first","Name":"Ann Lo","Stock":"vellum","Width":"4"}`)
	}
}

// settles waits until a script comes to a text, and says what it came to else.
func settles(t *testing.T, b *chromium.Tab, what, script, want string) {
	t.Helper()
	got := chromium.Eval[string](b, fmt.Sprintf(`(async () => {
		let got = "";
		for (let i = 0; i < 200; i++) {
			got = %s;
			if (got === %q) break;
			await new Promise((done) => setTimeout(done, 25));
		}
		return got;
	})()`, script, want))
	if got != want {
		t.Errorf("%s: it is %q, not %q", what, got, want)
	}
}

// TestRemovedAndBack: what was typed in a row that was removed elsewhere is asked about as it stands, an answer is about nothing that was typed since, and a
// row that comes back takes it; in a new block it stands with all that the row had.
func TestRemovedAndBack(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	// Each of some requests can be held until it is let go.
	b.JS(`{
		const real = fetch, waiting = [];
		window.holds = "";
		window.fetch = async (path, o) => {
			if (path === window.cut) throw new TypeError("cut");
			while (holds && path.startsWith(holds)) await new Promise((done) => waiting.push(done));
			return real(path, o);
		};
		window.held = () => waiting.length;
		window.hold = (what) => { holds = what; waiting.splice(0).forEach((go) => go()); };
		window.type = (text) => { const e = document.getElementById("f-Journaling"); e.value = text; e.dispatchEvent(new Event("input", {bubbles: true})); };
		window.press = (says) => [...document.querySelectorAll("[data-clash] button")].find((e) => e.textContent === says).click();
		window.till = async (f) => { for (let i = 0; i < 400; i++) { if (f()) return true; await new Promise((done) => setTimeout(done, 20)); } throw new Error([what, "in vain", f, asks(), document.getElementById("saved").textContent, blocks()].join("; ")); };
		window.what = "";
		window.asks = () => document.querySelector("[data-clash]")?.textContent || "";
		window.post = (path, what) => { const o = {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify(what)}; return real(path, o); };
		window.blocks = () => [...document.querySelectorAll(".block")].map((e) => JSON.parse(e.dataset.cells).Journaling);
		window.settled = () => till(() => !asks() && !desk.unsent() && document.getElementById("saved").textContent === "saved");
		// asked is a question about a text in a row that is removed while the page has its list of before.
		window.asked = async (id) => {
			hold("/change");
			type("mine");
			await till(held);
			await post("/remove", {id});
			hold("/part/blocks");
			await till(asks);
		};
	}`)
	for _, c := range []struct{ what, do, want string }{
		{"the row comes back", `await asked(id); await post("/undo", {}); hold("");`, "mine"},
		{"typed on before it is back", `await asked(id); await post("/undo", {}); type("mine and more"); await till(() => asks().includes("mine and more")); hold("");`, "mine and more"},
		{"let go while the page does not know that it is back", `await asked(id); await post("/undo", {}); press("Let it go"); hold("");`, "first"},
		{"let go, and typed since", `await asked(id); await post("/undo", {}); press("Let it go"); type("since"); hold("");`, "since"},
		{"put into a new block while it comes back", `await asked(id); await post("/undo", {}); press("Put it into a new block"); hold("");`, "mine"},
		{"it comes back with another text", `await asked(id); await post("/undo", {}); await post("/change", {id, cells: {Journaling: "theirs"}}); hold(""); await till(() => asks().includes("theirs")); press("Keep mine");`, "mine"},
		{"the other text is taken back", `hold("/change"); type("mine"); await till(held); await post("/change", {id, cells: {Journaling: "theirs"}}); hold(""); await till(() => asks().includes("theirs")); await post("/undo", {});`, "mine"},
		{"the other text, which is another by now", `hold("/change"); type("mine"); await till(held); await post("/change", {id, cells: {Journaling: "theirs"}}); hold(""); await till(() => asks().includes("theirs")); hold("/part/blocks"); await post("/change", {id, cells: {Journaling: "newer"}}); press("Take the other"); hold("");`, "newer"},
	} {
		b.JS(fmt.Sprintf(`what = %q`, c.what))
		b.JS(`(async () => {
			const id = document.querySelector(".block").dataset.id;
			await post("/change", {id, cells: {Journaling: "first"}});
			await till(() => blocks()[0] === "first");
			document.querySelector(".take").click();
			await till(() => document.getElementById("f-Journaling").value === "first" && document.querySelector(".take").getAttribute("aria-pressed") === "true");
			` + c.do + `
			await settled();
			return true;
		})()`)
		settles(t, b, c.what, `blocks().join()`, c.want+",second,third,fourth")
		settles(t, b, c.what+", in the editor", `(document.querySelector("#editor").hidden ? blocks()[0] : document.getElementById("f-Journaling").value)`, c.want)
	}
	// The list has lost the row already when the question comes.
	b.JS(`(async () => {
		const id = document.querySelector(".block").dataset.id;
		document.querySelector(".take").click();
		window.cut = "/change";
		type("mine");
		await till(() => document.getElementById("saved").textContent.includes("not saved"));
		await post("/remove", {id});
		await till(() => blocks().length === 3);
		window.cut = "";
		await till(asks);
		press("Put it into a new block");
		await till(() => blocks().length === 4);
		await settled();
		return true;
	})()`)
	settles(t, b, "a new block", `document.querySelectorAll(".block")[3].dataset.cells`, `{"Height":"2","Journaling":"mine","Name":"Ann Lo","Stock":"vellum","Width":"4"}`)
}

// TestPaperRemovedElsewhere: what was typed in a row of paper that was removed elsewhere is asked about until it stands in a new row, also where the desk does
// not answer when that is pressed.
func TestPaperRemovedElsewhere(t *testing.T) {
	t.Parallel()
	r, b := oneBlock(t, "")
	goTo(t, r, b, "/paper")
	b.JS(`{
		const real = fetch;
		window.cut = "";
		window.fetch = (path, o) => (path === cut ? Promise.reject(new TypeError("cut")) : real(path, o));
		window.width = () => document.querySelector("#rows [name=Width]");
		window.asks = () => document.querySelector("[data-clash]")?.textContent || "";
		window.press = () => document.querySelector("[data-clash] button").click();
		document.getElementById("add-leftover").click();
	}`)
	until(t, b, `width() && document.activeElement === width()`)
	b.JS(`cut = "/change"; width().value = "7 3/8"; width().dispatchEvent(new Event("change", {bubbles: true}))`)
	until(t, b, `document.getElementById("saved").textContent.includes("does not answer")`)
	b.JS(`desk.send("/remove", {sheet: "paper", id: width().closest("[data-id]").dataset.id}).then(() => { cut = "/add"; })`)
	until(t, b, `asks().includes("7 3/8") && !width()`)
	b.JS(`document.getElementById("saved").textContent = ""; press()`)
	until(t, b, `document.getElementById("saved").textContent.includes("does not answer") && asks().includes("7 3/8")`)
	b.JS(`cut = ""; press()`)
	until(t, b, `!asks() && width()`)
	settles(t, b, "the new row", `width().value`, "7 3/8")
}
