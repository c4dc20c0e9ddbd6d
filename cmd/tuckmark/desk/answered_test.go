package desk

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"tuckmark/impose/proof/chromium"
)

// cameIn is a desk without paper and printer, with a job that begins with a file, and what its page of the journaling says of the whole job.
func cameIn(t *testing.T, data string) (c *caller, general func() string) {
	t.Helper()
	r := begin(t, quickly(t), Options{limits: unlimited})
	c = enter(t, r)
	c.drop("/start/drop", "crop.csv", []byte(data))
	return c, func() string {
		t.Helper()
		page := c.page("/part/blocks?who=all")
		_, page, _ = strings.Cut(page, `<ul class="bad">`)
		page, _, _ = strings.Cut(page, "</ul>")
		return page
	}
}

// is answers what a column is; "": nothing that is printed.
func (c *caller) is(heading, as string) string {
	c.t.Helper()
	body, _ := json.Marshal(map[string]string{"heading": heading, "as": as}) // texts can always be written
	status, answer := c.post("/heading", string(body))
	if status != 200 {
		c.t.Fatalf("%s is %s: %d %s", heading, as, status, answer)
	}
	return answer
}

// TestAnsweredIsSettled: that a file has no column of the form, and is to be taken in again, is told until an answer has settled it, and again while that is taken back; so it is
// wherever the file came in. What no answer can settle stands.
func TestAnsweredIsSettled(t *testing.T) {
	const none, lost = "here is no column Height", "holds texts and would not be printed"
	type said struct{ heading, as, want string } // want: what is told then; "": none of both
	high := said{"Zyy", "Height", ""}
	for _, c := range []struct {
		data  string
		first string
		then  []said
	}{
		{"Name,Journaling,Width,Zyy\nAnn,We rowed out.,4,2\n", none, []said{high}},
		{"Name,Journaling,Width,Zyy\nAnn,We rowed out.,4,2\n", none, []said{{"Zyy", "", ""}}},
		{"Name,Journaling,Width,Zyy,Mood\nAnn,We rowed out.,4,2,glad\n", none, []said{high, {"Mood", "", ""}}},
		{"Name,Journaling,Width,Zyy,Mood\nAnn,We rowed out.,4,2,glad\n", none, []said{{"Mood", "Title", none}, high}},
		{"Name,Journaling,Xqq,Zyy,Mood\nAnn,We rowed out.,4,2,glad\n", "no column Width and Height", []said{{"Zyy", "Height", "no column Width and Height"}, {"Xqq", "Width", ""}}},
		{"Name,Journaling,Xqq,Mood\nAnn,We rowed out.,4 x 2,glad\n", "no column Width and Height", []said{{"Xqq", "Space", ""}}},
		{"Name,Journaling,Width,Height,Zyy\nAnn,We rowed out.,4,2,and she said that she liked it very much indeed\n", lost, []said{{"Zyy", "", ""}}},
		{"Name,Journaling,Width,Height,Zyy\nAnn,,4,2,and she said that she liked it very much indeed\n", lost, []said{{"Zyy", "Journaling", ""}}},
		{"Name,Journaling,Width\nAnn,We rowed out.,4\n", none, nil},
	} {
		for _, later := range []bool{false, true} {
			t.Run(fmt.Sprint(c.data, later), func(t *testing.T) {
				first := c.data
				if later {
					first = "Name,Journaling,Width,Height\nBob,We came home.,4,2\n"
				}
				by, general := cameIn(t, first)
				if later && c.then != nil { // else it is told where the file was dropped
					if answer := by.drop("/take/drop", "later.csv", []byte(c.data)); !strings.Contains(answer, c.first) || !strings.Contains(answer, `"open":true`) {
						t.Fatalf("the answer is %s", answer)
					}
				} else if later {
					return
				}
				if got := general(); !strings.Contains(got, c.first) {
					t.Fatalf("it begins with %q", got)
				}
				for _, s := range c.then {
					by.is(s.heading, s.as)
					got, ok := "", false
					for end := time.Now().Add(10 * time.Second); !ok && time.Now().Before(end); time.Sleep(20 * time.Millisecond) { // the job is laid anew, and says what it says of itself
						got = general()
						ok = s.want != "" && strings.Contains(got, s.want) || s.want == "" && !strings.Contains(got, "no column") && !strings.Contains(got, lost) && !strings.Contains(got, "row 2")
					}
					if !ok {
						t.Errorf("%s is %q: the page says %q", s.heading, s.as, got)
					}
				}
				if n := len(c.then); n > 0 && c.then[n-1].as != "" && c.then[n-1].want == "" {
					if status, answer := by.post("/undo", "{}"); status != 200 {
						t.Fatal(status, answer)
					}
					if got := general(); !strings.Contains(got, c.first) {
						t.Errorf("the answer is taken back: the page says %q", got)
					}
				}
			})
		}
	}
}

// TestUnitsAnswered: measures whose column nobody knew are held against those of the job once it is said what they are, and what there is to say of units is in the answer and on the page,
// until that is taken back; each once.
func TestUnitsAnswered(t *testing.T) {
	const cm, bare, in = "Name,Journaling,Width (cm),Height (cm)\nCy,We sang.,7,5\n", "Name,Journaling,Width,Height\nBob,We ate.,7,5\n", "Name,Journaling,Width (in),Height (in)\nEve,We left.,7,5\n"
	const asked, askedCm, size, wide = "Name,Journaling,Xqq,Zyy\nAnn,We rowed out.,7,5\n", "Name,Journaling,Xqq (cm),Zyy (cm)\nAnn,We rowed out.,7,5\n", "Name,Journaling,Zyy\nAnn,We rowed out.,7 x 5\n", "Name,Journaling,Width,Zyy\nAnn,We rowed out.,7,5\n"
	const later, there = "a number without a unit is read in in here, though the sheet “Journaling”", "the measures here are in cm, though the sheet “Journaling”"
	for _, c := range []struct {
		files []string
		is    [][2]string
		want  string // with the first answer; "": nothing
	}{
		{[]string{cm, asked}, [][2]string{{"Xqq", "Width"}, {"Zyy", "Height"}}, later},
		{[]string{asked, cm}, [][2]string{{"Xqq", "Width"}, {"Zyy", "Height"}}, later},
		{[]string{cm, size}, [][2]string{{"Zyy", "Space"}}, later},
		{[]string{bare, askedCm}, [][2]string{{"Xqq (cm)", "Width"}, {"Zyy (cm)", "Height"}}, there},
		{[]string{askedCm, bare}, [][2]string{{"Xqq (cm)", "Width"}, {"Zyy (cm)", "Height"}}, there},
		{[]string{cm, wide}, [][2]string{{"Zyy", "Height"}}, ""}, // it was told of its width
		{[]string{bare, asked}, [][2]string{{"Xqq", "Width"}, {"Zyy", "Height"}}, ""},
		{[]string{in, asked}, [][2]string{{"Xqq", "Width"}}, ""},
		{[]string{cm, askedCm}, [][2]string{{"Xqq (cm)", "Width"}}, ""},
		{[]string{cm, asked}, [][2]string{{"Zyy", "Title"}}, ""},
	} {
		t.Run(fmt.Sprint(c.files), func(t *testing.T) {
			by, general := cameIn(t, c.files[0])
			by.drop("/take/drop", "later.csv", []byte(c.files[1]))
			for i, is := range c.is {
				want := c.want
				if i > 0 {
					want = ""
				}
				if answer := by.is(is[0], is[1]); strings.Contains(answer, "without a unit") != (want != "") || !strings.Contains(answer, want) || strings.Contains(answer, "undo the step") {
					t.Errorf("%v: the answer is %s, want %q", is, answer, want)
				}
			}
			got := general()
			if n := strings.Count(strings.ToLower(got), "without a unit"); n != min(1, len(c.want)) || n > 0 && !strings.Contains(got, "the column “"+c.is[0][0]+"”") {
				t.Errorf("the page says %q", got)
			}
			for range c.is {
				by.post("/undo", "{}")
			}
			if got := general(); strings.Contains(strings.ToLower(got), "without a unit") {
				t.Errorf("it is taken back, and the page says %q", got)
			}
		})
	}
}

// TestAnsweredOnPages: what an answer settles goes from the list of what was dropped as well, and what comes with one stands above the part on which it was given, until it is read.
func TestAnsweredOnPages(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	r := begin(t, t.TempDir(), Options{})
	b := enterDesk(t, r, 1280, 900, "light")
	drop(b, [2]string{"crop.csv", "Name,Journaling,Width (cm),Height (cm)\nAnn Lo,We rowed out.,9,5\n"})
	until(t, b, `location.pathname === "/journaling" && `+laidAll)
	drop(b, [2]string{"later.csv", "Name,Journaling,Xqq,Zyy\nBob Ek,We came home.,3,2\n"})
	const listed, stands = `document.getElementById("wrong").textContent.includes("here is no column Width and Height")`, `document.getElementById("blocks").textContent.includes("here is no column Width and Height")`
	until(t, b, listed+` && `+stands+` && document.querySelectorAll("[data-heading]").length === 2`)
	b.JS(`document.querySelector("#take-in [data-close]").click()`)
	answer := func(heading, as string) {
		b.JS(fmt.Sprintf(`{ const q = document.querySelector("[data-heading=%s]"); q.querySelector("select").value = %q; q.querySelector("[data-as]").click(); }`, heading, as))
		until(t, b, `!document.querySelector("[data-heading=`+heading+`]")`)
	}
	answer("Xqq", "Width")
	until(t, b, `document.getElementById("wrong").hidden && `+stands+` && document.getElementById("blocks").textContent.includes("number without a unit is read in in here") && !document.querySelector("[data-clash]")`)
	b.JS(`document.getElementById("undo").click()`)
	until(t, b, `document.querySelectorAll("[data-heading]").length === 2 && !document.getElementById("blocks").textContent.includes("without a unit")`)
	goTo(t, r, b, "/paper")
	until(t, b, `document.querySelectorAll("[data-heading]").length === 2`)
	answer("Xqq", "Width")
	until(t, b, `document.querySelector("[data-clash=answered]").textContent.includes("the column “Xqq”: a number without a unit is read in in here") && !desk.choosing()`)
	b.JS(`document.querySelector("[data-clash=answered] button").click()`)
	until(t, b, `!document.querySelector("[data-clash]")`)
	answer("Zyy", "Height")
	goTo(t, r, b, "/journaling")
	until(t, b, `!document.querySelector("[data-heading]") && !(`+stands+`) && `+laidAll)
}
