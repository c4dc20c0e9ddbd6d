package desk

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/config/longtests"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// cutsOn are the cuts that the desk shows.
func cutsOn(t *testing.T, c *caller) (v cutsView) {
	t.Helper()
	if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
		t.Fatal(err)
	}
	return v
}

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
	get := func() cutsView { return cutsOn(t, c) }
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
	if again := get(); len(again.Pieces) != len(v.Pieces) || again.Pieces[0].Key != v.Pieces[0].Key || fmt.Sprint(again.Pieces[0]) != fmt.Sprint(v.Pieces[0]) {
		t.Error("a change of the job changes the cuts of what was printed")
	}
}

// TestCutsOfTwoPages: what is cut by one page stays done when another, which was opened before, goes on with another piece.
func TestCutsOfTwoPages(t *testing.T) {
	longtests.Only(t)
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer(), limits: unlimited}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	get := func() cutsView { return cutsOn(t, c) }
	v := get()
	one, two := v.Pieces[0].Key, v.Pieces[1].Key
	for _, kept := range []string{fmt.Sprintf(`{"done":{%q:2},"at":%[1]q}`, one), fmt.Sprintf(`{"done":{},"at":%q}`, two), fmt.Sprintf(`{"done":{%q:1},"at":%[1]q}`, two)} {
		if status, said := c.post("/cutting/done", kept); status != 200 {
			t.Fatal(status, said)
		}
	}
	if now := get(); now.Done[one] != 2 || now.Done[two] != 1 || now.At != two {
		t.Errorf("kept is %v, at %q", now.Done, now.At)
	}
	c.post("/cutting/done", fmt.Sprintf(`{"done":{%q:0},"at":%[1]q}`, one))
	if now := get(); now.Done[one] != 0 || now.Done[two] != 1 {
		t.Errorf("after a piece anew kept is %v", now.Done)
	}
}

// TestMostCuts: a page may send how far the cuts of every piece are done, however many there are.
func TestMostCuts(t *testing.T) {
	for _, pieces := range []int{0, 1, 30_000} {
		j := &openJob{}
		p := &plan.Plan{Pieces: make([]*plan.Piece, pieces)}
		j.outputs.opened.Store(&openedPDF{&printjob.Document{Plan: p}, ""})
		in := cutsDone{Done: map[string]int{}, At: strings.Repeat("x", 30)}
		for i := range pieces + mostReprinted - 1 {
			in.Done[fmt.Sprintf("%s P%d-%d %d", strings.Repeat("f", 12), 900_000+i, 10_000, 10_000)] = 100_000
		}
		text, err := json.Marshal(in)
		if err != nil || int64(len(text)) > j.mostCuts() {
			t.Errorf("%d pieces: %d bytes are too large, of %d; %v", pieces, len(text), j.mostCuts(), err)
		}
		if j.mostCuts() > mostDropped {
			t.Errorf("%d pieces: %d bytes do not come through", pieces, j.mostCuts())
		}
	}
}

// TestCutsBeforePrinting: sheets that no printer takes whole are cut first, and the page begins with that, also after the desk was begun anew.
func TestCutsBeforePrinting(t *testing.T) {
	folder := t.TempDir()
	for name, text := range map[string]string{
		"tuckmark.yaml": "effort: 2\nstocks:\n  - name: vellum\n    sheets:\n      - {size: 12 x 12, price: 1.20}\n",
		"j.csv":         "Name,Page,Journaling,Width,Height,Stock\nAnn,1,text one,4,2,vellum\nBob,2,text two,4,2,vellum\n",
	} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	cuts := func(c *caller) []cutPiece {
		t.Helper()
		var v cutsView
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil {
			t.Fatal(err)
		}
		return v.Pieces
	}
	for _, file := range []string{"j.csv", "j-desk.xlsx"} {
		r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited, atOnce: true}, file)
		c := enter(t, r)
		if file == "j.csv" {
			c.made()
		}
		if file != "j.csv" {
			c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Title":"Otherwise"}}`, r.rows(t, c)[0])) // what was made is no longer of the job
			if pieces := cuts(c); len(pieces) == 0 || !strings.Contains(pieces[0].Note, "cuts before printing stand on the run sheet") {
				t.Errorf("%+v", pieces)
			}
			c.press("/undo", "{}")
		}
		pieces := cuts(c)
		for _, p := range pieces {
			if strings.Contains(p.Note, "run sheet") {
				t.Error("it is known, and said not to be")
			}
		}
		if len(pieces) < 2 || pieces[0].Title != "Before printing, 1 sheet of vellum" || len(pieces[0].Steps) == 0 {
			t.Errorf("%s: %+v", file, pieces)
		}
		if err := r.end(); err != nil {
			t.Fatal(err)
		}
	}
}
