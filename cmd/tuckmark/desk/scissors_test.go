package desk

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"tuckmark/impose/proof/chromium"
)

// TestScissors: that there is no trimmer is read from the tuckmark.yaml, however it is written there, shown among the machines, and can be chosen and
// taken back there; every block is then cut out by itself on the screen beside the table, also of a PDF that was made before it was taken back.
func TestScissors(t *testing.T) {
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn Lo,4,We rowed out.,3,2,vellum\nAnn Lo,5,Second,2,1,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, "tuckmark.yaml")
	if err := os.WriteFile(file, []byte("effort: 2\ntrimmer: none # lent out\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop.csv")
	c := enter(t, r)
	if text := c.says("/paper", `<option value="none" selected>scissors</option>`); strings.Contains(text, "Narrowest strip") {
		t.Error("a trimmer that is not there can be measured")
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/sheets", "2 blocks to cut out")
	cutOut := func() {
		t.Helper()
		var v cutsView
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, p := range v.Pieces {
			for _, s := range p.Steps {
				if s.Out == nil || s.Out.W == 0 {
					t.Fatalf("%+v is no block to cut out", s)
				}
				said += s.Edge + " " + s.Set + " " + s.Line + "; "
			}
		}
		if !strings.Contains(said, "AL-1 3 x 2 1/2 in Along its outline; ") || !strings.Contains(said, "keep ") {
			t.Errorf("what is cut out is %q", said)
		}
	}
	cutOut()
	c.says("/cutting", "Close the scissors")
	// A page that was loaded while there was a trimmer does not bring it back.
	if got := c.do("POST", "/machine", `{"printer":"","key":"longest","text":"12 in"}`, nil); got.StatusCode == 200 {
		t.Error("a trimmer that is not there is given its longest cut")
	}
	if s, found := load(filepath.Join(folder, "x")); found.Errors() > 0 || !s.Trimmer.Scissors {
		t.Errorf("the trimmer is %+v, %v", s.Trimmer, found)
	}
	for _, set := range []struct {
		way    string
		status int
	}{{"guillotine", 404}, {"measure", 200}, {"none", 200}, {"marks", 200}} {
		body, _ := json.Marshal(map[string]string{"printer": "", "key": "by", "text": set.way})
		if got := c.do("POST", "/machine", string(body), nil); got.StatusCode != set.status {
			t.Errorf("%s is answered with %s", set.way, got.Status)
		}
		if s, found := load(filepath.Join(folder, "x")); set.status == 200 && (found.Errors() > 0 || wayToCut(s.Trimmer) != set.way) {
			t.Errorf("%s: the trimmer is %+v, %v", set.way, s.Trimmer, found)
		}
	}
	if now, _ := os.ReadFile(file); !strings.HasPrefix(string(now), "effort: 2\n") || !strings.Contains(string(now), "# lent out") {
		t.Errorf("the configuration holds %s", now)
	}
	c.says("/paper", "Narrowest strip")
	cutOut() // as it was printed
	c.says("/cutting", "Close the scissors")
}

// TestCutOut: with scissors the screen shows the piece as it is in hand: what is cut out next stands out, and what was cut out before is gone.
func TestCutOut(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\ntrimmer: none\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`desk.send("/print/make", {}).then(() => { document.title = "made"; }); 0`)
	until(t, b, `document.title === "made"`)
	goTo(t, r, b, "/cutting")
	until(t, b, `document.getElementById("set").textContent`)
	steps := cutsShown(t, b).Pieces[0].Steps
	type shown struct {
		Edge  string
		Drawn []string // what is still on the piece
		Line  float64  // how wide the line is around what is cut out, in pixels
		Said  string
	}
	got := chromium.Eval[[]shown](b, `(async () => {
		const out = [];
		while (document.getElementById("which").textContent.startsWith("Cut out")) {
			out.push({Edge: document.getElementById("edge").textContent, Drawn: [...document.querySelectorAll("#drawn text")].map((e) => e.textContent),
				Line: parseFloat(getComputedStyle(document.querySelector("#drawn .blade")).strokeWidth), Said: document.querySelector(".tell").innerText});
			document.body.dispatchEvent(new KeyboardEvent("keydown", {key: " ", bubbles: true, cancelable: true}));
		}
		return out; })()`)
	if len(got) != len(steps) || len(steps) < 2 {
		t.Fatalf("%d are cut out on the screen, not %d", len(got), len(steps))
	}
	for i, g := range got {
		if g.Edge != steps[i].Edge || len(g.Drawn) != len(steps)-i || !slices.Contains(g.Drawn, g.Edge) || g.Line < 4 || strings.Contains(g.Said, "fence") || strings.Contains(g.Said, "trimmer") {
			t.Errorf("cut %d of %s: %+v", i+1, steps[i].Edge, g)
		}
	}
	if shot := shots(t, "scissors"); shot != nil {
		b.Do(chromedp.KeyEvent(kb.ArrowLeft))
		b.Do(chromedp.KeyEvent(kb.ArrowLeft))
		until(t, b, `document.getElementById("which").textContent.startsWith("Cut out")`)
		shot(b, "cutting")
	}
}
