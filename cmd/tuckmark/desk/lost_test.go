package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/impose/proof/chromium"
)

// fourBlocks is a job with a desk on it, in a browser.
func fourBlocks(t *testing.T) (*running, *chromium.Tab) {
	t.Helper()
	chromium.Start(t)
	folder := t.TempDir()
	csv := "Name,Journaling,Width,Height,Stock\nAnn Lo,first,4,2,vellum\nAnn Lo,second,4,2,vellum\nAnn Lo,third,3,1,vellum\nAnn Lo,fourth,3,1,vellum\n"
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte(csv), 0o644); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{}, "j.csv")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, `document.querySelectorAll(".block").length === 4`)
	until(t, b, laidAll)
	return r, b
}

// oneBlock is a job of one block with a desk on it, in a browser; configuration is its tuckmark.yaml, "": it has none.
func oneBlock(t *testing.T, configuration string) (*running, *chromium.Tab) {
	t.Helper()
	chromium.Start(t)
	folder := t.TempDir()
	files := map[string]string{"j.csv": "Name,Journaling,Width,Height,Stock\nAnn Lo,first,4,2,vellum\n"}
	if configuration != "" {
		files["tuckmark.yaml"] = configuration
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	r := begin(t, folder, Options{}, "j.csv")
	return r, enterDesk(t, r, 1280, 900, "light")
}

// inHand takes a block in hand by its number.
func inHand(t *testing.T, b *chromium.Tab, n int) {
	t.Helper()
	b.JS(fmt.Sprintf(`document.querySelectorAll(".take")[%d].click()`, n))
	until(t, b, fmt.Sprintf(`document.querySelectorAll(".take")[%d].getAttribute("aria-pressed") === "true"`, n))
}

// arrives waits until a part of the desk says a text.
func arrives(t *testing.T, b *chromium.Tab, part, text string) {
	t.Helper()
	said := ""
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if said = chromium.Eval[string](b, fmt.Sprintf(`fetch(%q).then((a) => a.text())`, part)); strings.Contains(said, text) {
			return
		}
	}
	t.Fatalf("%q does not arrive; %s is %s", text, part, said)
}

// TestManyPages: a browser opens six connections to an address, and pages of the desk need but one of them to listen. Where others take four, what is
// typed in one of two pages still arrives, and is seen in the other.
func TestManyPages(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	b.JS(`Promise.all([1, 2, 3, 4].map(() => new Promise((done) => { new EventSource("/events").onopen = done; })))`)
	inHand(t, b, 0)
	other := chromium.Open(t, "http://"+r.host+"/journaling", 800, 600, "light")
	typeInto(b, "Journaling", "typed with many pages open")
	until(t, other, `document.querySelector("[data-cells]").dataset.cells.includes("typed with many pages open")`)
}

// TestTypedWhileAway: what could not be sent waits for the desk, also when another block is taken in hand meanwhile.
func TestTypedWhileAway(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	b.JS(`{const real = fetch; window.away = false; window.fetch = (path, o) => (away && o?.method === "POST" ? Promise.reject(new TypeError("cut")) : real(path, o));}`)
	inHand(t, b, 0)
	b.JS(`window.away = true`)
	typeInto(b, "Journaling", "typed while the desk was away")
	until(t, b, `document.getElementById("saved").textContent.includes("not saved")`)
	inHand(t, b, 1)
	typeInto(b, "Journaling", "and into another block")
	b.JS(`document.getElementById("quit").click()`)
	until(t, b, `document.getElementById("saved").textContent.includes("not saved yet")`)
	inHand(t, b, 0)
	if got := chromium.Eval[string](b, `document.getElementById("f-Journaling").value`); got != "typed while the desk was away" {
		t.Errorf("taken in hand again, the block says %q", got)
	}
	b.JS(`window.away = false`)
	arrives(t, b, "/part/blocks?who=all", "typed while the desk was away")
	arrives(t, b, "/part/blocks?who=all", "and into another block")
}

// TestTooLong: what no cell can hold stays in the editor, also while another block is in hand, until it is made shorter.
func TestTooLong(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	inHand(t, b, 0)
	b.JS(`{const e = document.getElementById("f-Journaling"); e.value = "x".repeat(33_000); e.dispatchEvent(new Event("input", {bubbles: true}));}`)
	until(t, b, `document.getElementById("saved").textContent.includes("not saved")`)
	inHand(t, b, 1)
	typeInto(b, "Journaling", "of another block")
	until(t, b, `document.querySelectorAll(".block .said")[1].textContent.includes("of another block")`) // the list came anew
	inHand(t, b, 0)
	if got := chromium.Eval[int](b, `document.getElementById("f-Journaling").value.length`); got != 33_000 {
		t.Errorf("%d letters are there", got)
	}
	typeInto(b, "Journaling", "short enough")
	arrives(t, b, "/part/blocks?who=all", "short enough")
}

// TestOldList: a list that was asked for before a change, and comes after it, puts nothing old into the editor, where it would be typed on.
func TestOldList(t *testing.T) {
	t.Parallel()
	_, b := fourBlocks(t)
	inHand(t, b, 0)
	b.JS(`{
		const real = fetch;
		const held = [];
		let holds = true;
		window.fetch = async (path, o) => {
			const answer = await real(path, o);
			if (path.startsWith("/part/blocks") && holds) {
				await new Promise((done) => { held.push(done); });
			} else if (path === "/change") {
				holds = false;
				setTimeout(() => held.forEach((come) => come()));
			}
			return answer;
		};
		window.lists = () => held.length;
		desk.send("/remove", {id: document.querySelectorAll("[data-id]")[3].dataset.id});
	}`)
	until(t, b, `lists() > 0 && document.getElementById("saved").textContent === "saved"`)
	time.Sleep(300 * time.Millisecond) // until nothing is laid any more
	seen := chromium.Eval[string](b, `(async () => {
		const e = document.getElementById("f-Journaling");
		e.value += " and more";
		e.dispatchEvent(new Event("input", {bubbles: true}));
		e.dispatchEvent(new Event("change", {bubbles: true}));
		for (let i = 0; i < 60; i++) {
			await new Promise((done) => setTimeout(done, 5));
			if (e.value !== "first and more") return e.value;
		}
		return "";
	})()`)
	if seen != "" {
		t.Errorf("the editor goes back to %q", seen)
	}
}

// TestPaperTyped: what stands in a field of the paper when the page goes is kept, though nobody has left the field.
func TestPaperTyped(t *testing.T) {
	r, b := fourBlocks(t)
	goTo(t, r, b, "/paper")
	b.JS(`document.getElementById("add-sheet").click()`)
	until(t, b, `document.activeElement.name === "Width"`)
	b.Do(chromedp.KeyEvent("7"))
	b.Do(chromedp.Reload())
	until(t, b, `document.querySelector("#rows [name=Width]")`)
	arrives(t, b, "/part/paper", `name="Width" value="7"`)
}

// TestPaperByKeys: what is typed after Tab takes the place of what stood in the field, also where the row came anew meanwhile.
func TestPaperByKeys(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	goTo(t, r, b, "/paper")
	b.JS(`document.getElementById("add-leftover").click()`)
	until(t, b, `document.activeElement.name === "Width"`)
	for _, text := range []string{"7", "4", "2"} {
		b.Do(chromedp.KeyEvent(text), chromedp.KeyEvent("\t"))
		until(t, b, `!desk.unsent()`)
		b.JS(`document.querySelector("#rows [data-id]").dataset.old = "yes"; desk.listeners.laid.forEach((f) => f({}))`)
		until(t, b, `document.querySelector("#rows [data-id]") && !document.querySelector("#rows [data-old]")`) // the row came anew
	}
	for name, want := range map[string]string{"Width": "7", "Height": "4", "Count": "2"} {
		if got := chromium.Eval[string](b, fmt.Sprintf(`document.querySelector("#rows [name=%s]").value`, name)); got != want {
			t.Errorf("%s is %q, not %q", name, got, want)
		}
	}
}

// TestFocusStays: whoever goes by keys and has gone to a button of a row of paper, or to a person, stays there when it comes anew.
func TestFocusStays(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	for _, c := range []struct{ path, at, another string }{
		{"/paper", "#rows [data-remove]", `{"sheet":"paper","cells":{"Stock":"vellum","Width":"4","Height":"7"}}`},
		{"/journaling", "#people [data-who]:not([aria-current])", `{"cells":{"Name":"Bo Lo","Journaling":"fifth"}}`},
	} {
		goTo(t, r, b, c.path)
		if c.path == "/paper" {
			b.JS(`document.getElementById("add-sheet").click()`)
			until(t, b, `document.activeElement.name === "Width"`) // the desk leads there, which ends the adding
		}
		until(t, b, fmt.Sprintf(`!desk.unsent?.() && document.querySelector(%q)`, c.at))
		b.JS(fmt.Sprintf(`{const e = document.querySelector(%q); e.focus(); e.dataset.old = "yes"; desk.send("/add", %s)}`, c.at, c.another)) // a list that is as before stays
		until(t, b, fmt.Sprintf(`document.querySelector(%q) && !document.querySelector("[data-old]")`, c.at))
		b.JS(`new Promise((done) => setTimeout(done, 50))`)
		if !chromium.Eval[bool](b, fmt.Sprintf(`document.activeElement === document.querySelector(%q)`, c.at)) {
			t.Errorf("%s: %s has lost the focus to %s", c.path, c.at, chromium.Eval[string](b, `document.activeElement.outerHTML.slice(0, 80)`))
		}
	}
}

// TestJobKey: a job is the same job by whichever name its workbook is opened.
func TestJobKey(t *testing.T) {
	folder := t.TempDir()
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(folder, link); err != nil {
		t.Skip(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Journaling,Width,Height,Stock\nAnn Lo,first,4,2,vellum\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Chdir(folder)
	c := enter(t, begin(t, ".", Options{}, "j.csv"))
	for _, path := range []string{filepath.Join(folder, "j-desk.xlsx"), "j-desk.xlsx", filepath.Join(link, "j-desk.xlsx")} {
		c.says("/journaling", fmt.Sprintf("data-job=%q", jobKey(path)))
	}
	if keys := map[string]bool{jobKey("j-desk.xlsx"): true, jobKey("i-desk.xlsx"): true, jobKey("J-desk.xlsx"): true, jobKey("j  desk.xlsx"): true, jobKey("j desk.xlsx"): true}; len(keys) != 5 {
		t.Error("two jobs are one")
	}
}

// TestOpenUnsaved: a job that cannot be saved does not make room for another one, and is laid on when it was changed and can be saved again.
func TestOpenUnsaved(t *testing.T) {
	folder := t.TempDir()
	c := enter(t, begin(t, folder, Options{}))
	if status, said := c.post("/start/new", `{"name":"j"}`); status != http.StatusOK {
		t.Fatal(said)
	}
	book := filepath.Join(folder, "j-desk.xlsx")
	if err := errors.Join(os.Remove(book), os.Mkdir(book, 0o755)); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/add", `{"cells":{"Name":"Ann Lo","Journaling":"where nothing can be saved"}}`); status != http.StatusOK {
		t.Fatal(said)
	}
	if status, said := c.post("/start/new", `{"name":"other"}`); status == http.StatusOK || !strings.Contains(said, "j-desk.xlsx") {
		t.Errorf("it is closed: %d %s", status, said)
	}
	if err := os.Remove(book); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/add", `{"cells":{"Name":"Ann Lo","Journaling":"where all is well"}}`); status != http.StatusOK {
		t.Fatal(said)
	}
	var now struct {
		Book struct{ Revision int }
		Laid struct{ Revision int }
	}
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end) && (now.Book.Revision < 2 || now.Laid.Revision != now.Book.Revision); time.Sleep(20 * time.Millisecond) {
		if err := json.Unmarshal([]byte(c.page("/now")), &now); err != nil {
			t.Fatal(err)
		}
	}
	if now.Book.Revision < 2 || now.Laid.Revision != now.Book.Revision {
		t.Errorf("of %d only %d is laid", now.Book.Revision, now.Laid.Revision)
	}
}

// TestQuitUnsaved: a desk that cannot save does not end by its button, and says why.
func TestQuitUnsaved(t *testing.T) {
	folder := t.TempDir()
	r := begin(t, folder, Options{})
	c := enter(t, r)
	if status, said := c.post("/start/new", `{"name":"j"}`); status != http.StatusOK {
		t.Fatal(said)
	}
	book := filepath.Join(folder, "j-desk.xlsx")
	if err := os.Remove(book); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(book, 0o755); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/add", `{"cells":{"Name":"Ann Lo","Journaling":"where nothing can be saved"}}`); status != http.StatusOK {
		t.Fatal(said)
	}
	if status, said := c.post("/quit", "{}"); status != http.StatusInsufficientStorage || !strings.Contains(said, "j-desk.xlsx") {
		t.Errorf("it ends: %d %s", status, said)
	}
	if err := os.Remove(book); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/quit", "{}"); status != http.StatusOK {
		t.Errorf("it does not end: %d %s", status, said)
	}
	if err := r.end(); err != nil {
		t.Error(err)
	}
}

// TestEndsAtOnce: connections on which nothing comes, or half of something, do not keep a desk from ending.
func TestEndsAtOnce(t *testing.T) {
	r := begin(t, t.TempDir(), Options{})
	c := enter(t, r)
	for _, said := range []string{"", "GET / HTTP/1.1\r\nHo", "POST /start/new HTTP/1.1\r\nHost: " + r.host + "\r\nOrigin: http://" + r.host + "\r\nContent-Type: application/json\r\nContent-Length: 50\r\nCookie: " + c.cookie.String() + "\r\n\r\n{"} {
		conn, err := net.Dial("tcp", r.host)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		if _, err := conn.Write([]byte(said)); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(50 * time.Millisecond) // until the desk has them
	began := time.Now()
	if err := r.end(); err != nil {
		t.Error(err)
	}
	if took := time.Since(began); took > 2*time.Second {
		t.Errorf("it ends in %v", took)
	}
}

// TestOtherJob: a page of one job does nothing to another that was opened at the desk since, not even to a copy whose rows have the same ids.
func TestOtherJob(t *testing.T) {
	t.Parallel()
	r, b := fourBlocks(t)
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	data, err := os.ReadFile(filepath.Join(r.folder, "j-desk.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(r.folder, "copy-desk.xlsx"), data, 0o644); err != nil {
		t.Fatal(err)
	}
	inHand(t, b, 0)
	open := func(name string) {
		t.Helper()
		if got := chromium.Eval[int](b, fmt.Sprintf(`fetch("/start/open", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({kind: "job", name: %q})}).then((a) => a.status)`, name)); got != http.StatusOK {
			t.Fatal(got)
		}
	}
	open("copy")
	until(t, b, `document.getElementById("saved").textContent.includes("nother job")`)
	typeInto(b, "Journaling", "meant for the first job")
	b.JS(`desk.act("/undo")`)
	until(t, b, `document.getElementById("saved").textContent.includes("not saved")`)
	if text := chromium.Eval[string](b, `fetch("/part/blocks?who=all").then((a) => a.text())`); strings.Contains(text, "meant for") || !strings.Contains(text, "first") {
		t.Errorf("the other job has it: %s", text)
	}
	open("j")
	arrives(t, b, "/part/blocks?who=all", "meant for the first job")
	until(t, b, `document.getElementById("saved").textContent === "saved"`)
	_ = r.end()
	settings, _ := load(filepath.Join(r.folder, "x"))
	for name, want := range map[string]bool{"j": true, "copy": false} {
		book, _, _, err := jobbook.Open(filepath.Join(r.folder, name+jobbook.Ending), settings)
		if err != nil {
			t.Fatal(err)
		}
		has := false
		for _, row := range book.Rows(jobbook.Journaling) {
			has = has || row.Cells["Journaling"] == "meant for the first job"
		}
		if has != want {
			t.Errorf("%s has it: %v", name, has)
		}
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	}
}

// TestTypedAtTheEnd: what is typed and not kept yet when the desk ends stays on its page, which says so; and a page that has such does not quit.
func TestTypedAtTheEnd(t *testing.T) {
	t.Parallel()
	for path, fields := range map[string][]string{"/paper": {"#machines-list input", "#rows [name=Price]"}, "/share": {"#more-amount", "#c0-amount"}} {
		chromium.Start(t)
		folder := t.TempDir()
		for name, text := range map[string]string{"tuckmark.yaml": "costs: {tea: 3 by person}\n", "j.csv": "Name,Journaling,Width,Height\nAnn,Words,4,2\n"} {
			if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "j.csv")
		b := enterDesk(t, r, 1280, 900, "light")
		goTo(t, r, b, path)
		until(t, b, laidAll)
		if path == "/paper" {
			b.JS(`document.getElementById("add-sheet").click()`)
		}
		for _, typed := range fields {
			until(t, b, fmt.Sprintf(`!!document.querySelector(%q)`, typed))
			b.JS(fmt.Sprintf(`{const e = document.querySelector(%q); e.value = "much"; e.dispatchEvent(new Event("input", {bubbles: true}));}`, typed))
			b.JS(`desk.act("/quit"); 0`)
			until(t, b, `document.getElementById("saved").textContent.includes("not saved yet")`)
		}
		if err := r.end(); err != nil {
			t.Fatal(err)
		}
		until(t, b, `document.getElementById("saved").textContent.includes("is not saved")`)
		for _, typed := range fields {
			if got := chromium.Eval[string](b, fmt.Sprintf(`document.querySelector(%q).value`, typed)); got != "much" {
				t.Errorf("%s has %q", typed, got)
			}
		}
	}
}
