package desk

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/impose/account"
	"tuckmark/impose/proof/chromium"
)

// TestCuts: whoever cuts by the page's data alone, each part that is named being in hand at that moment, has every leaf in the end; what the trimmer is
// set to is what the account says; a job changed since has the cuts of what was printed.
func TestCuts(t *testing.T) {
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	if got := c.do("GET", "/part/cuts", "", nil).StatusCode; got != 404 {
		t.Errorf("cuts of nothing are answered with %d", got)
	}
	if !strings.Contains(c.page("/cutting"), "Make it first") {
		t.Error("it does not say that nothing is made")
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	get := func() (v cutsView) {
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	v := get()
	d, bad := printjob.Open(r.folder + "/retreat-desk.pdf")
	if bad != nil {
		t.Fatal(bad)
	}
	s, _ := load(r.folder + "/x")
	a := account.Of(d.Plan, s, nil)
	near := func(a, b cutBox) bool {
		off := func(x, y int64) bool { return x-y > 2 || y-x > 2 }
		return !off(a.X, b.X) && !off(a.Y, b.Y) && !off(a.W, b.W) && !off(a.H, b.H)
	}
	take := func(hand []cutBox, b cutBox) ([]cutBox, bool) {
		for i := range hand {
			if near(hand[i], b) {
				return append(hand[:i:i], hand[i+1:]...), true
			}
		}
		return hand, false
	}
	if len(v.Pieces) != len(a.Pieces) {
		t.Fatalf("%d pieces are cut, not %d", len(v.Pieces), len(a.Pieces))
	}
	cutsMade := 0
	for i, p := range v.Pieces {
		of := a.Pieces[i]
		hand := []cutBox{boxOf(of.Cutting.Whole.Rect)}
		for k, step := range p.Steps {
			cutsMade++
			var ok bool
			if hand, ok = take(hand, step.Part); !ok {
				t.Fatalf("%s, cut %d: the part is not in hand", p.Title, k+1)
			}
			one, two := step.Part, step.Part
			if step.Down {
				one.W, two.X = step.At-one.X, step.At
				two.W -= one.W
			} else {
				one.H, two.Y = step.At-one.Y, step.At
				two.H -= one.H
			}
			hand = append(hand, one, two)
			if want := of.Steps[k].Set.About(s.Unit.Ruler()); step.Set != want || !strings.HasPrefix(step.Edge, strings.ToUpper(of.Steps[k].Edge()[:1])+of.Steps[k].Edge()[1:]) {
				t.Errorf("%s, cut %d: %q at %s, not %q", p.Title, k+1, step.Set, step.Edge, want)
			}
		}
		for _, l := range p.Leaves {
			var ok bool
			if hand, ok = take(hand, l.cutBox); !ok {
				t.Errorf("%s: %s does not come off", p.Title, l.Says)
			}
		}
		if len(hand) > 0 {
			t.Errorf("%s: %d parts too many come off", p.Title, len(hand))
		}
	}
	if cutsMade < 50 {
		t.Errorf("only %d cuts", cutsMade)
	}
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Width":"1"}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if again := get(); len(again.Pieces) != len(v.Pieces) || again.PDF != v.PDF || fmt.Sprint(again.Pieces[0]) != fmt.Sprint(v.Pieces[0]) {
		t.Error("a change of the job changes the cuts of what was printed")
	}
}

// TestCuttingStory: a piece is cut by the space bar, an arrow goes back, a tap on the drawing goes on; the page loaded anew stands where it stood; the
// part that is drawn has the named edge at the fence.
func TestCuttingStory(t *testing.T) {
	r, b := madeInBrowser(t)
	goTo(t, r, b, "/cutting")
	until(t, b, `document.getElementById("set").textContent`)
	which := func() string { return chromium.Eval[string](b, `document.getElementById("which").textContent`) }
	var all cutsView
	if err := json.Unmarshal([]byte(chromium.Eval[string](b, `fetch("/part/cuts").then((a) => a.text())`)), &all); err != nil {
		t.Fatal(err)
	}
	first := all.Pieces[0]
	for k, step := range first.Steps {
		want := step.Set
		if step.Skip {
			want = "skip"
		}
		until(t, b, fmt.Sprintf(`document.getElementById("which").textContent.includes("cut %d of %d")`, k+1, len(first.Steps)))
		if got := chromium.Eval[string](b, `document.getElementById("set").textContent`); got != want {
			t.Errorf("cut %d is set to %q, not %q", k+1, got, want)
		}
		if !chromium.Eval[bool](b, `[...document.querySelectorAll("#drawn .leaf")].every((e) => getComputedStyle(e).contentVisibility === "visible" && getComputedStyle(e).stroke !== "none")`) {
			t.Errorf("cut %d: a part is not drawn", k+1)
		}
		// All that lies against the fence is drawn between it and the blade.
		blade := chromium.Eval[float64](b, `Number(document.querySelector(".blade").getAttribute("x1"))`)
		for _, name := range chromium.Eval[[]string](b, `[...document.querySelectorAll("#drawn rect.own")].filter((e) => Number(e.getAttribute("x")) + Number(e.getAttribute("width")) <= Number(document.querySelector(".blade").getAttribute("x1")) + 3).map((e) => e.nextSibling.textContent)`) {
			if !strings.Contains(step.Fence, name) {
				t.Errorf("cut %d: %s is drawn at the fence, before the blade at %v, and not named there: %s", k+1, name, blade, step.Fence)
			}
		}
		if k == 1 {
			b.Do(chromedp.KeyEvent(kb.ArrowLeft))
			until(t, b, fmt.Sprintf(`document.getElementById("which").textContent.includes("cut 1 of %d")`, len(first.Steps)))
			b.JS(`document.getElementById("hand").click()`)
			until(t, b, `document.getElementById("which").textContent.includes("cut 2 of")`)
			before := which()
			b.Do(chromedp.Reload())
			until(t, b, `document.getElementById("set")?.textContent`)
			if got := which(); got != before {
				t.Errorf("loaded anew it stands at %q, not %q", got, before)
			}
		}
		b.Do(chromedp.KeyEvent(" "))
	}
	until(t, b, `document.getElementById("set").textContent === "All cut"`)
	b.Do(chromedp.KeyEvent(" "))
	until(t, b, fmt.Sprintf(`document.getElementById("which").textContent.startsWith(%q)`, all.Pieces[1].Title))
	if said := chromium.Eval[string](b, `document.getElementById("piece").options[0].text`); said != first.Title+", done" {
		t.Errorf("the list says %q", said)
	}
}
