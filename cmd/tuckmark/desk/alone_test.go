package desk

import (
	"fmt"
	"strings"
	"testing"

	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// TestAlone: a page whose browser has no shared workers, and one whose worker has died, follow what is done elsewhere and hold no connection for it: where
// others take five of the browser's six, what is typed still arrives. They hear of a desk that ends.
func TestAlone(t *testing.T) {
	_, b := fourBlocks(t)
	for i, how := range []string{`delete window.SharedWorker;`, `window.SharedWorker = class { port = {postMessage() {}}; };`} {
		chromium.Command(b, cdppage.AddScriptToEvaluateOnNewDocument, cdppage.AddScriptToEvaluateOnNewDocumentParams{
			Source: how + `{const every = setInterval, after = setTimeout; window.setInterval = (f) => every(f, 20); window.setTimeout = (f, ms, ...a) => after(f, ms === 2000 ? 50 : ms, ...a);}`})
		b.Do(chromedp.Reload())
		until(t, b, laidAll)
		b.JS(`Promise.all([1, 2, 3, 4, 5].map(() => new Promise((done) => { new EventSource("/events").onopen = done; })))`)
		inHand(t, b, 0)
		typeInto(b, "Journaling", fmt.Sprint("typed alone ", i))
		until(t, b, `document.getElementById("saved").textContent === "saved"`)
		arrives(t, b, "/part/blocks?who=all", fmt.Sprint("typed alone ", i))
		b.JS(`fetch("/change", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({id: document.querySelectorAll(".block")[1].dataset.id, cells: {Journaling: "elsewhere ` + fmt.Sprint(i) + `"}})}).then(() => true)`)
		until(t, b, fmt.Sprintf(`document.querySelectorAll(".block")[1].dataset.cells.includes("elsewhere %d")`, i))
	}
	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.getElementById("saved").textContent === "closed"`)
}

// TestTooMuchDropped: files that are more than can be taken at once are not sent, and the page says so.
func TestTooMuchDropped(t *testing.T) {
	chromium.Start(t)
	r := begin(t, t.TempDir(), Options{})
	b := enterDesk(t, r, 800, 600, "light")
	b.JS(`{const d = new DataTransfer(); d.items.add(new File([new Uint8Array(33 * 2 ** 20)], "much.xlsx")); dispatchEvent(new DragEvent("drop", {dataTransfer: d, cancelable: true, bubbles: true}));}`)
	until(t, b, `document.getElementById("wrong").textContent`)
	if said := chromium.Eval[string](b, `document.getElementById("wrong").textContent`); !strings.Contains(said, "34 MB, and 32 MB at most") {
		t.Errorf("it says %q", said)
	}
}
