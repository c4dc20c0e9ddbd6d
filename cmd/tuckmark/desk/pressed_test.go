package desk

import (
	"fmt"
	"testing"

	"github.com/chromedp/cdproto/input"

	"tuckmark/impose/proof/chromium"
)

// click clicks where the middle of an element is at first: a single click is 1, and a double click 1, 2.
func click(b *chromium.Tab, selector string, counts ...int64) {
	at := chromium.Eval[[]float64](b, fmt.Sprintf(`{const e = document.querySelector(%q); e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); [r.x + r.width / 2, r.y + r.height / 2]}`, selector))
	for _, n := range counts {
		for _, kind := range []input.DispatchMouseEventType{input.DispatchMouseEventTypeMousePressed, input.DispatchMouseEventTypeMouseReleased} {
			chromium.Command(b, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: at[0], Y: at[1], Button: input.MouseButtonLeft, ClickCount: n})
		}
	}
}

// enterKey presses the enter key and lets it go, after as many repeats as it is held for.
func enterKey(b *chromium.Tab, repeats int) {
	pressKey(b, input.DispatchKeyEventParams{Key: "Enter", Code: "Enter", Text: "\r", WindowsVirtualKeyCode: 13}, repeats)
}

// spaceBar presses the space bar. What chromedp.KeyEvent sends for it is no press of a keyboard: its character comes by itself, so that the page scrolls
// although the key was taken.
func spaceBar(b *chromium.Tab) {
	pressKey(b, input.DispatchKeyEventParams{Key: " ", Code: "Space", Text: " ", WindowsVirtualKeyCode: 32}, 0)
}

func pressKey(b *chromium.Tab, p input.DispatchKeyEventParams, repeats int) {
	p.Type = input.DispatchKeyEventTypeKeyDown
	for n := range 1 + repeats {
		held := n > 0
		p.AutoRepeat = &held
		chromium.Command(b, input.DispatchKeyEvent, p)
	}
	p.Type, p.Text, p.AutoRepeat = input.DispatchKeyEventTypeKeyUp, "", nil
	chromium.Command(b, input.DispatchKeyEvent, p)
}

// TestCutOnePress: a click that is doubled, or a key that is held, on a button beside the cuts marks one cut as done.
func TestCutOnePress(t *testing.T) {
	t.Parallel()
	_, b := smallPrint(t, "/cutting")
	all := func(n int) string {
		return fmt.Sprintf(`document.getElementById("all-says").textContent.startsWith("%d of ") && document.getElementById("saved").textContent === "saved"`, n)
	}
	until(t, b, `document.getElementById("set").textContent`)
	click(b, "#done", 1, 2, 3)
	until(t, b, all(1))
	b.JS(`document.getElementById("done").focus()`)
	enterKey(b, 5)
	until(t, b, all(2))
}
