package desk

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/network"
	cdppage "github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

// TestAlone: a page whose browser has no shared workers, and one whose worker has died, follow what is done elsewhere and hold no connection for it: where
// others take five of the browser's six, what is typed still arrives. They hear of a desk that ends.
func TestAlone(t *testing.T) {
	t.Parallel()
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

// TestTooMuchPasted: a table that is more than can be taken at once is not sent, and the page says so.
func TestTooMuchPasted(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	r := begin(t, t.TempDir(), Options{})
	b := enterDesk(t, r, 800, 600, "light")
	b.JS(`document.getElementById("paste-text").value = "é".repeat(2 ** 21); document.getElementById("paste-name").value = "much"; document.getElementById("paste-form").requestSubmit();`)
	until(t, b, `document.getElementById("wrong").textContent`)
	if said := chromium.Eval[string](b, `document.getElementById("wrong").textContent`); !strings.Contains(said, "5 MB, and 4 MB at most") {
		t.Errorf("it says %q", said)
	}
}

// TestRefusedToListen: a page that the desk refuses to tell anything says why, and follows again as soon as it does not.
func TestRefusedToListen(t *testing.T) {
	chromium.Start(t)
	r := begin(t, t.TempDir(), Options{})
	c := enter(t, r)
	others, leave := context.WithCancel(t.Context())
	for range mostPages {
		ask, err := http.NewRequestWithContext(others, http.MethodGet, "http://"+r.host+"/events", nil)
		if err != nil {
			t.Fatal(err)
		}
		ask.AddCookie(c.cookie)
		answer, err := http.DefaultClient.Do(ask)
		if err != nil || answer.StatusCode != http.StatusOK {
			t.Fatal(answer, err)
		}
		t.Cleanup(func() { answer.Body.Close() })
	}
	b := chromium.Open(t, "about:blank", 800, 600, "light")
	chromium.Command(b, network.SetCookie, network.SetCookieParams{Name: c.cookie.Name, Value: c.cookie.Value, URL: "http://" + r.host})
	b.Do(chromedp.Navigate("http://" + r.host + "/start"))
	until(t, b, `document.getElementById("saved").textContent.startsWith("Too many pages of the desk are open: close some that you do not need.")`)
	leave()
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
}
