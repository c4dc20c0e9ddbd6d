package desk

import (
	"encoding/json"
	"fmt"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/impose/proof/chromium"
)

// TestPastedOnce: rows that are pasted are added once, however often the button is pressed meanwhile, and again with no later paste; what could not all be
// taken over stays, to be mended, and what is only to be known is told.
func TestPastedOnce(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	blocks := func(n string) {
		t.Helper()
		until(t, b, `document.getElementById("drop").getAttribute("aria-busy") === null && document.querySelectorAll(".block").length === `+n)
	}
	const text = `document.getElementById("paste-text").value`
	const press = `document.getElementById("paste-form").requestSubmit();`
	b.JS(text + ` = "Name\tJournaling\tWidth\tHeight\nBo Ek\tpasted\t3\t1\n"; ` + press + press)
	blocks("5")
	until(t, b, text+` === ""`)
	b.JS(text + ` += "Name\tJournaling\tWidth\tHeight\nBo Ek\tanother\t3\t1\n"; ` + press)
	blocks("6")
	b.JS(text + ` = "All for Saturday\nName\tJournaling\tWidth\tHeight\nBo Ek\tone more\t3\t1\n"; ` + press) // the rows are added, and it is told what is not
	blocks("7")
	until(t, b, text+` === "" && document.getElementById("take-in").open && document.getElementById("wrong").textContent.includes("cells above the headings were not read: A1")`)
	b.JS(text + ` = "nothing of a table"; ` + press)
	until(t, b, `!document.getElementById("wrong").hidden && `+text+` === "nothing of a table"`)
}

// TestTakenOnce: while a file is being taken over, who leaves the page is asked, the desk is not closed, and the same file is not taken over once more; then it is there once.
func TestTakenOnce(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	holdSends(b)
	asked := func() bool {
		return chromium.Eval[bool](b, `!dispatchEvent(new Event("beforeunload", {cancelable: true}))`)
	}
	choose := `{const d = new DataTransfer(); d.items.add(new File(["Name,Journaling,Width,Height\nBo Ek,dropped,3,1\n"], "bo.csv")); const i = document.getElementById("files"); i.files = d.files; i.dispatchEvent(new Event("change"));}`
	b.JS(choose)
	until(t, b, `held() === 1`)
	if !asked() {
		t.Error("who leaves the page meanwhile is not asked")
	}
	b.JS(choose)
	until(t, b, `document.getElementById("wrong").textContent.includes("still being taken over")`)
	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.getElementById("saved").textContent.includes("still being taken over")`)
	b.JS(`letGo()`)
	until(t, b, `document.querySelectorAll(".block").length === 5 && document.getElementById("drop").getAttribute("aria-busy") === null`)
	if asked() {
		t.Error("who leaves the page after that is asked")
	}
}

// TestCaretStays: whoever types goes on where the hand is, though the desk has put the text in order meanwhile.
func TestCaretStays(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	inHand(t, b, 0)
	quoted := func(text string) string {
		out, _ := json.Marshal(text)
		return string(out)
	}
	for _, c := range []struct{ pasted, want string }{{"x\ty ", "the x y |first words"}, {"\ufeffz ", "the z |first words"}, {"one\u2028two ", ""}} {
		typeInto(b, "Journaling", "the first words")
		b.JS(`desk.flush().then(() => { const e = document.getElementById("f-Journaling"); e.focus(); e.setRangeText(` + quoted(c.pasted) + `, 4, 4, "end"); e.dispatchEvent(new Event("input", {bubbles: true})); })`)
		until(t, b, `document.getElementById("saved").textContent === "saved" && !desk.unsent() && document.getElementById("f-Journaling").value !== "the "+`+quoted(c.pasted)+`+"first words"`)
		got := chromium.Eval[string](b, `(() => { const e = document.getElementById("f-Journaling"); return e.value.slice(0, e.selectionStart) + "|" + e.value.slice(e.selectionEnd); })()`)
		if !strings.HasSuffix(got, "|first words") || c.want != "" && got != c.want {
			t.Errorf("after %q the hand is at %q", c.pasted, got)
		}
	}
}

// TestTooWide: a table with thousands of columns that nobody knows is refused in words wherever it comes in, and begins no job; the desk goes on.
func TestTooWide(t *testing.T) {
	heads, cells := "Name,Journaling,Width,Height", "Ann Lo,words,4,2"
	for i := range 3000 {
		heads, cells = heads+fmt.Sprint(",c", i), cells+",v"
	}
	table := heads + "\n" + cells + "\n"
	text, err := json.Marshal(strings.ReplaceAll(table, ",", "\t"))
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	c := enter(t, begin(t, folder, Options{limits: unlimited}))
	refused := func(what, said string) {
		t.Helper()
		if !strings.Contains(said, "too much stands in columns that the form does not know") || !strings.Contains(said, "3000 such columns") || !strings.Contains(said, "delete the columns") {
			t.Errorf("%s: said is %s", what, said)
		}
	}
	paste := func(way, name string) string {
		_, said := c.post(way, `{`+name+`"text":`+string(text)+`}`)
		return said
	}
	refused("a job of a paste", paste("/start/paste", `"name":"wide",`))
	drop := func(way string) string {
		_, said := c.dropped(way, "wide.csv", []byte(table))
		return said
	}
	refused("a job of a file", drop("/start/drop"))
	if left, err := filepath.Glob(filepath.Join(folder, "*.xlsx")); err != nil || len(left) > 0 {
		t.Errorf("there is a job: %v %v", left, err)
	}
	if status, said := c.post("/start/new", `{"name":"j"}`); status != http.StatusOK {
		t.Fatal(said)
	}
	refused("a paste", paste("/take/paste", ""))
	refused("a file", drop("/take/drop"))
	c.press("/add", `{"cells":{"Name":"Bo Ek","Journaling":"typed after that"}}`)
	c.says("/part/blocks?who=all", "typed after that")
}
