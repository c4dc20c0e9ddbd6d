package desk

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/impose/proof/chromium"
)

// smallPrint is a small job in a tab, with a cost, and its PDF made, which the page where things are printed hears of.
func smallPrint(t *testing.T, path string) (*running, *chromium.Tab) {
	t.Helper()
	chromium.Start(t)
	folder := t.TempDir()
	for name, text := range map[string]string{
		"tuckmark.yaml": "effort: 2\ncosts: {tea: 3 by person}\n",
		"j.csv":         "Name,Journaling,Width,Height,Stock\nAnn Lo,first,4,2,vellum\nBo Ek,second,3,1,vellum\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "j.csv")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	goTo(t, r, b, "/print")
	until(t, b, laidAll)
	b.JS(`desk.send("/print/make", {})`)
	until(t, b, `document.getElementById("prints").textContent.includes("Made of the job as it stands")`)
	goTo(t, r, b, path)
	until(t, b, laidAll)
	return r, b
}

// makeAnew has the PDF made anew by another page, with another text in a cell of the first block.
func makeAnew(t *testing.T, b *chromium.Tab, column, text string) {
	t.Helper()
	b.JS(fmt.Sprintf(`desk.part("/part/blocks?who=all").then((html) => desk.send("/change", {id: html.match(/data-id="([^"]+)"/)[1], cells: {%s: %q}})).then(() => desk.send("/print/make", {}))`, column, text))
}

// TestCutsMadeAnew: a page with cuts takes over those of a PDF that is made anew, whether it is told or comes upon it with the next cut, says so, and counts
// nothing as cut until the person has seen that; other costs change no cuts, and nothing is said.
func TestCutsMadeAnew(t *testing.T) {
	t.Parallel()
	_, b := smallPrint(t, "/cutting")
	const (
		shows   = `document.getElementById("gives").textContent + document.getElementById("set").textContent + document.getElementById("all-says").textContent`
		asked   = `document.querySelector("[data-clash]")?.textContent.includes("made anew since this page was opened")`
		saved   = `document.getElementById("saved").textContent === "saved"`
		press   = `document.getElementById("done").click()`
		cutOnce = `document.getElementById("all-says").textContent.startsWith("1 of ")`
	)
	until(t, b, shows)
	b.JS(press)
	until(t, b, cutOnce+" && "+saved)
	b.JS(`desk.send("/cost", {was: "tea", amount: "4"})`)
	b.JS(press)
	until(t, b, `document.getElementById("all-says").textContent.startsWith("2 of ") && `+saved)
	if chromium.Eval[bool](b, `!!`+asked) {
		t.Error("other costs are said to be other cuts")
	}
	// Another page goes on with the same piece: the next press here is one more cut than there.
	b.JS(`window.elsewhere = (by) => desk.part("/part/cuts").then((text) => {
		const v = JSON.parse(text), key = v.pieces[0].key;
		return desk.send("/cutting/done", {done: {[key]: v.done[key] + by}, at: key, of: v.of});
	})`)
	for _, by := range []int{1, -1} {
		b.JS(fmt.Sprintf(`elsewhere(%d)`, by))
		until(t, b, fmt.Sprintf(`document.getElementById("all-says").textContent.startsWith("%d of ")`, 2+by))
		b.JS(press)
		until(t, b, fmt.Sprintf(`document.getElementById("all-says").textContent.startsWith("%d of ") && %s`, 3+by, saved))
		settles(t, b, "kept", `await desk.part("/part/cuts").then((text) => String(Object.values(JSON.parse(text).done)[0]))`, fmt.Sprint(3+by))
		for range 1 + by {
			b.JS(`document.getElementById("back").click()`)
		}
		until(t, b, `document.getElementById("all-says").textContent.startsWith("2 of ") && `+saved)
	}
	// What is cut while the page asks for the cuts is in none of what it is answered.
	b.JS(`{
		const ask = desk.part;
		desk.part = async (path) => {
			const text = await ask.call(desk, path);
			desk.part = ask;
			await new Promise((done) => { window.arrives = done; });
			setTimeout(() => { document.title = "arrived"; }, 300);
			return text;
		};
		desk.tell("made");
	}`)
	until(t, b, `window.arrives`)
	b.JS(press)
	until(t, b, saved)
	b.JS(`arrives()`)
	until(t, b, `document.title === "arrived"`)
	settles(t, b, "cut while it asks", `document.getElementById("all-says").textContent.slice(0, 5)`, "3 of ")
	b.JS(`document.getElementById("back").click()`)
	until(t, b, `document.getElementById("all-says").textContent.startsWith("2 of ") && `+saved)
	for _, way := range []struct{ what, before, width string }{
		{"told", ``, "5"},
		{"not told", `desk.listeners.made = []`, "6"},
	} {
		b.JS(way.before)
		old := chromium.Eval[string](b, shows)
		makeAnew(t, b, "Width", way.width)
		if way.before != "" {
			b.JS(press) // of the earlier PDF
		}
		until(t, b, asked+" && "+saved)
		b.JS(press)
		if got := chromium.Eval[string](b, shows); got == old || !strings.Contains(got, "0 of ") || !chromium.Eval[bool](b, `document.activeElement.dataset.clash === "made"`) {
			t.Errorf("%s: before it is seen, the page shows %q, after %q", way.what, got, old)
		}
		b.JS(`document.querySelector("[data-clash] button").click()`)
		b.JS(press)
		until(t, b, cutOnce+" && "+saved)
	}
	if said := chromium.Eval[string](b, `desk.send("/cutting/done", {done: {}, at: "", of: "0123456789ab"}).catch((e) => e.status + e.message)`); !strings.HasPrefix(said, "409") || !strings.Contains(said, "made anew") {
		t.Errorf("cuts of another PDF are answered with %s", said)
	}
}

// TestCutsNotKept: while cuts that were marked are not kept, who leaves the page is asked, the desk is not ended from there, and no end says that everything is saved; then they
// are kept after all.
func TestCutsNotKept(t *testing.T) {
	t.Parallel()
	_, b := smallPrint(t, "/cutting")
	asked := `!dispatchEvent(new Event("beforeunload", {cancelable: true}))`
	if chromium.Eval[bool](b, asked) {
		t.Error("who leaves the page before is asked")
	}
	b.JS(`{const real = fetch; window.full = true; window.fetch = async (path, o) => { if (full && path === "/cutting/done") throw new TypeError("cut"); return real(path, o); };}`)
	b.JS(`document.getElementById("done").click()`)
	until(t, b, `document.getElementById("saved").classList.contains("stop")`)
	if !chromium.Eval[bool](b, asked) {
		t.Error("who leaves the page then is not asked")
	}
	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.getElementById("saved").textContent.includes("the cuts that you marked last are not saved yet")`)
	b.JS(`full = false; desk.flush().then(() => true)`)
	until(t, b, `document.getElementById("saved").textContent === "saved" && !(`+asked+`)`)
	b.JS(`full = true`)
	b.JS(`document.getElementById("done").click()`)
	until(t, b, `document.getElementById("saved").classList.contains("stop")`)
	b.JS(`desk.tell("closed", {why: ""})`)
	until(t, b, `document.getElementById("saved").textContent.includes("the cuts that you marked last are not saved. Mark them again")`)
}

// typeOver types a text into a field that a selector names, and leaves the field where that is asked for.
func typeOver(b *chromium.Tab, field, text string, leave bool) {
	b.JS(fmt.Sprintf(`{const f = document.querySelector(%q); f.focus(); f.value = %q; f.dispatchEvent(new Event("input", {bubbles: true})); if (%v) f.dispatchEvent(new Event("change", {bubbles: true}));}`, field, text, leave))
}

// asksOf waits until a page asks which of two texts shall hold, and presses one of the answers.
func asksOf(t *testing.T, b *chromium.Tab, mine, theirs string, press int) {
	t.Helper()
	until(t, b, `document.querySelector("[data-clash]")`)
	if said := chromium.Eval[string](b, `document.querySelector("[data-clash]").textContent`); !strings.Contains(said, "You typed"+mine) || !strings.Contains(said, "The other text"+theirs) {
		t.Errorf("it asks %q, not about %q and %q", said, mine, theirs)
	}
	if !chromium.Eval[bool](b, `!dispatchEvent(new Event("beforeunload", {cancelable: true}))`) {
		t.Errorf("who leaves the page while %q waits is not asked", mine)
	}
	b.JS(fmt.Sprintf(`document.querySelectorAll("[data-clash] button")[%d].click()`, press))
}

// TestMeasureOfTwo: a measure that another page changes is seen in its field; what is typed over it is asked about, whether the page has been told of it or
// not; what one page types is not, however soon one comes after the other.
func TestMeasureOfTwo(t *testing.T) {
	t.Parallel()
	r, b := smallPrint(t, "/paper")
	const field = `#machines-list [data-key=holds]`
	elsewhere := func(key, text string) {
		b.JS(fmt.Sprintf(`desk.send("/machine", {printer: "", key: %q, text: %q})`, key, text))
	}
	shows := func(what, text string) {
		t.Helper()
		settles(t, b, what, `(document.querySelector("`+field+`")?.value || "")`, text)
	}
	holds := func(what, text string) {
		t.Helper()
		until(t, b, `!desk.unsent() && !document.querySelector("[data-clash]") && document.getElementById("saved").textContent === "saved"`)
		shows(what, text)
		if got, err := os.ReadFile(filepath.Join(r.folder, "tuckmark.yaml")); err != nil || !strings.Contains(string(got), "holds: "+text+"\n") {
			t.Errorf("%s: the file says %s, without %q: %v", what, got, text, err)
		}
	}
	elsewhere("holds", "2")
	shows("changed elsewhere", "2 in")
	typeOver(b, field, "3", false)
	elsewhere("holds", "2 1/2")
	until(t, b, `document.querySelector("`+field+`").defaultValue === "2 1/2 in"`)
	shows("typed and not left", "3")
	typeOver(b, field, "3", true)
	asksOf(t, b, "3", "2 1/2 in", 0)
	holds("mine is kept", "3 in")
	b.JS(`window.tells = desk.listeners.made; desk.listeners.made = []`)
	elsewhere("holds", "4")
	typeOver(b, field, "5", true)
	asksOf(t, b, "5", "4 in", 1)
	holds("the other is taken", "4 in")
	typeOver(b, field, "1.5", true)
	typeOver(b, field, "1.75", true)
	typeOver(b, field, "2", true)
	b.JS(`desk.flush().then(() => true)`)
	holds("one soon after the other", "2 in")
	b.JS(`desk.listeners.made = tells`)
	typeOver(b, field, "7", false)
	elsewhere("by", "none")
	until(t, b, `!document.querySelector("`+field+`") && document.querySelector("[data-clash]").textContent.includes("7") && document.querySelector("#machines-list [data-key=by]").value === "none"`)
	b.JS(`document.querySelector("[data-clash] button").click()`)
	elsewhere("by", "marks")
	holds("measured again", "2 in")
}

// TestPaperWaits: while one field of the paper waits for the person to choose, the page says so, also when another has been saved since.
func TestPaperWaits(t *testing.T) {
	t.Parallel()
	r, b := smallPrint(t, "/paper")
	b.JS(`document.getElementById("add-sheet").click()`)
	until(t, b, `document.querySelector("#rows [name=Width]")`)
	other := chromium.Open(t, "http://"+r.host+"/paper", 800, 600, "light")
	until(t, other, `document.querySelector("#rows [name=Width]")`)
	typeOver(b, "#rows [name=Width]", "7", false)
	anotherPage(other, "paper", 0, `{Width: "9"}`)
	typeOver(b, "#rows [name=Width]", "7", true)
	until(t, b, `document.querySelector("[data-clash]")`)
	typeOver(b, "#rows [name=Price]", "0.40", true)
	arrives(t, b, "/part/paper", `name="Price" value="0.40"`)
	waits := `document.getElementById("saved").textContent === "not saved: something that you typed waits above for you to choose"`
	until(t, b, waits)
	b.JS(`document.querySelector("[data-clash] button").click()`)
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	arrives(t, b, "/part/paper", `name="Width" value="7"`)
}

// TestShareOfTwo: costs that another page changes, and a PDF that it makes anew, are seen in the account, the envelopes and the messages; what is typed and not
// kept yet stays, and is asked about where somebody else wrote there since.
func TestShareOfTwo(t *testing.T) {
	t.Parallel()
	_, b := smallPrint(t, "/share")
	const message = `document.querySelector(".envelope textarea").value`
	amount := func(text string) {
		b.JS(fmt.Sprintf(`desk.send("/cost", {was: "tea", amount: %q})`, text))
	}
	b.JS(`document.querySelector(".envelope summary").click()`)
	amount("5")
	until(t, b, `document.getElementById("c0-amount").value === "5.00" && `+message+`.includes("2.50") && document.querySelector(".sums").textContent.includes("5.00") && document.querySelector(".envelope details").open`)
	makeAnew(t, b, "Journaling", "Of the new one")
	until(t, b, `document.getElementById("shared").textContent.includes("Of the new one")`)
	typeOver(b, "#c0-amount", "6", false)
	amount("7")
	until(t, b, message+`.includes("3.50") && document.getElementById("c0-amount").value === "6" && document.activeElement.id === "c0-amount"`)
	typeOver(b, "#c0-amount", "6", true)
	asksOf(t, b, "6", "7.00", 0)
	until(t, b, message+`.includes("3.00") && !desk.unsent()`)
	typeOver(b, "#c0-amount", "much", true)
	until(t, b, `document.querySelector("#costs .at") && document.querySelector("#costs-told [role=status]").textContent === ""`)
	typeOver(b, "#more-name", "ink", false)
	typeOver(b, "#c0-amount", "8", false)
	b.JS(`desk.send("/cost", {name: "glue", amount: "1", by: "by person"})`)
	until(t, b, `document.getElementById("c1-amount") && document.getElementById("more-name").value === "ink" && document.activeElement.closest("li").dataset.was === "tea" && document.activeElement.value === "8"`)
	b.JS(`desk.send("/cost", {was: "tea", remove: true})`)
	until(t, b, `document.querySelector("[data-clash]")?.textContent.includes("8") && document.querySelectorAll("#costs li").length === 1`)
}

// TestShotsOfQuestions writes pictures of what is asked while somebody works into DESK_SHOTS: cuts that were made anew, and a text that two have typed.
func TestShotsOfQuestions(t *testing.T) {
	shot := shots(t, "asked")
	if shot == nil {
		t.Skip("DESK_SHOTS names no folder for the pictures")
	}
	_, b := smallPrint(t, "/cutting")
	until(t, b, `document.getElementById("all-says").textContent`)
	makeAnew(t, b, "Width", "5")
	until(t, b, `document.querySelector("[data-clash]")`)
	shot(b, "cuts")
	_, b = smallPrint(t, "/share")
	b.JS(`{
		const f = document.getElementById("c0-amount");
		f.value = "5";
		desk.send("/cost", {was: "tea", amount: "4"}).then(() => f.dispatchEvent(new Event("change", {bubbles: true})));
	}`)
	until(t, b, `document.querySelector("[data-clash]")`)
	shot(b, "cost")
	r, b := fourBlocks(t)
	book, err := excelize.OpenFile(filepath.Join(r.folder, "j-desk.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	b.JS(`desk.send("/change", {id: document.querySelector(".block").dataset.id, cells: {Journaling: "typed at the desk"}})`)
	until(t, b, `document.querySelector(".block").dataset.cells.includes("typed at the desk")`)
	at, err := book.SearchSheet("Journaling", "first")
	if err != nil || len(at) != 1 {
		t.Fatal(at, err)
	}
	if err := errors.Join(book.SetCellStr("Journaling", at[0], "typed in the workbook"), book.Save()); err != nil {
		t.Fatal(err)
	}
	until(t, b, `document.querySelector("[data-question]")`)
	shot(b, "workbook")
	b.JS(`desk.last("/change", {id: document.querySelectorAll(".block")[1].dataset.id, cells: {Journaling: "typed, and the page was left"}, seen: {Journaling: ["what stood there before"]}, left: true})`)
	until(t, b, `document.querySelectorAll("[data-question]").length === 2`)
	shot(b, "left")
}
