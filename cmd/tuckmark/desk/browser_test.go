package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"tuckmark/impose/proof/chromium"
)

func TestMain(m *testing.M) {
	if files := os.Getenv("DESK_CHILD"); files != "" {
		serveChild(files)
		return
	}
	chromium.Main(m)
}

// enterDesk opens a desk in a tab, and waits until it shows the part.
func enterDesk(t testing.TB, r *running, width, height int64, scheme string) *chromium.Tab {
	t.Helper()
	b := chromium.Open(t, r.address, width, height, scheme)
	until(t, b, `location.pathname !== "/enter"`)
	return b
}

// until waits until a script comes to true.
func until(t testing.TB, b *chromium.Tab, script string) {
	t.Helper()
	b.Until(script)
}

// laidAll is true once the foot says that the sheets are laid.
const laidAll = `document.querySelector("#foot .how")?.textContent === "laid"`

// goTo opens another part of the desk.
func goTo(t testing.TB, r *running, b *chromium.Tab, path string) {
	t.Helper()
	b.Do(chromedp.Navigate("http://" + r.host + path))
	until(t, b, `true`)
}

// TestShots writes pictures of every part into the folder that DESK_SHOTS names, to be looked at.
func TestShots(t *testing.T) {
	folder := os.Getenv("DESK_SHOTS")
	if folder == "" {
		t.Skip("DESK_SHOTS names no folder")
	}
	r := begin(t, copyOf(t, sample), Options{}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`fetch("/add", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({sheet: "paper", after: "", cells: {Stock: "vellum", Width: "4", Height: "7 1/2", Count: "1", Leftover: "yes"}})}).then(() => true)`)
	for _, width := range []int64{390, 1280, 2560} {
		for _, scheme := range []string{"light", "dark"} {
			height := map[int64]int64{390: 844, 1280: 900, 2560: 1440}[width]
			emulate(b, width, height, scheme)
			for _, part := range []string{"start", "journaling", "paper", "sheets"} {
				goTo(t, r, b, "/"+part)
				if part != "start" {
					until(t, b, laidAll)
				}
				if part == "journaling" {
					b.JS(`document.querySelectorAll(".take")[1].click()`)
					until(t, b, `document.querySelector("#fit b").textContent`)
				}
				until(t, b, `[...document.images].every((i) => i.loading === "lazy" || i.complete)`)
				time.Sleep(400 * time.Millisecond)
				if w := chromium.Eval[int64](b, `document.documentElement.scrollWidth`); w > width {
					t.Errorf("%s is %d px wide at %d px", part, w, width)
				}
				for _, at := range []string{"top", "end"} {
					if at == "end" {
						if width != 390 {
							continue
						}
						b.JS(`document.querySelector("#editor")?.scrollIntoView()`)
						time.Sleep(200 * time.Millisecond)
					}
					if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d-%s-%s.png", part, width, scheme, at)), b.Shot(), 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
}

// emulate gives the tab another size and scheme.
func emulate(b *chromium.Tab, width, height int64, scheme string) {
	chromium.Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	b.Do(chromedp.EmulateViewport(width, height))
}
