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

// TestShots writes pictures of every part of the sample, carried from the drop to the account, into the folder that DESK_SHOTS names, to be looked at.
func TestShots(t *testing.T) {
	shot := shots(t, "sample")
	if shot == nil {
		t.Skip("DESK_SHOTS names no folder")
	}
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer(), limits: unlimited}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`fetch("/add", {method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({sheet: "paper", after: "", cells: {Stock: "vellum", Width: "4", Height: "7 1/2", Count: "1", Leftover: "yes"}})}).then(() => true)`)
	goTo(t, r, b, "/start")
	shot(b, "start")
	goTo(t, r, b, "/journaling")
	until(t, b, laidAll)
	b.JS(`document.querySelectorAll(".take")[1].click()`)
	until(t, b, `document.querySelector("#fit b").textContent`)
	shot(b, "journaling")
	for _, part := range []string{"paper", "sheets"} {
		goTo(t, r, b, "/"+part)
		until(t, b, laidAll)
		shot(b, part)
	}
	carry(t, r, b, func(name string) { shot(b, name) })
}

// shots takes pictures of a page at three widths, light and dark, from the top and, on a phone, from the end; their names begin with the job's. It is nil
// where DESK_SHOTS names no folder.
func shots(t *testing.T, job string) func(b *chromium.Tab, name string) {
	folder := os.Getenv("DESK_SHOTS")
	if folder == "" {
		return nil
	}
	chromium.Always(t)
	return func(b *chromium.Tab, name string) {
		t.Helper()
		for _, size := range [][2]int64{{390, 844}, {1280, 900}, {2560, 1440}} {
			for _, scheme := range []string{"light", "dark"} {
				emulate(b, size[0], size[1], scheme)
				until(t, b, `[...document.images].every((i) => i.loading === "lazy" || i.complete)`)
				time.Sleep(400 * time.Millisecond)
				if w := chromium.Eval[int64](b, `document.documentElement.scrollWidth`); w > size[0] {
					t.Errorf("%s is %d px wide at %d px", name, w, size[0])
				}
				for _, at := range []string{"", "-end"} {
					if at != "" {
						if size[0] != 390 {
							continue
						}
						b.JS(`(document.querySelector("#editor") || document.getElementById("main").lastElementChild).scrollIntoView()`)
						time.Sleep(200 * time.Millisecond)
					}
					if err := os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%s-%d-%s%s.png", job, name, size[0], scheme, at)), b.Shot(), 0o644); err != nil {
						t.Fatal(err)
					}
				}
				b.JS(`scrollTo(0, 0)`)
			}
		}
		emulate(b, 1280, 900, "light")
	}
}

// emulate gives the tab another size and scheme.
func emulate(b *chromium.Tab, width, height int64, scheme string) {
	chromium.Command(b, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
	b.Do(chromedp.EmulateViewport(width, height))
}
