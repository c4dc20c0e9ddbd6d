package desk

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/cmd/internal/printjob"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/proof/chromium"
)

// standIn is a printer that prints nothing: each job is told as loaded, asked for, sent, held up for as long as the test wants, and asked about.
type standIn struct {
	mutex sync.Mutex
	sent  [][]int
	open  chan struct{} // a job in the printer ends when something comes through it
}

func (s *standIn) printer() *printer {
	byHand := printjob.Machine{System: "windows", Open: func(string) error { return nil }}
	return &printer{
		prepare: func(ctx context.Context, pdf string, c *config.Settings, part printjob.Part) (*printjob.Session, problem.List) {
			session, found := printjob.Prepare(ctx, byHand, pdf, c, part)
			if session == nil {
				return nil, found
			}
			session.Client = &ipp.Client{}
			return session, nil
		},
		run: s.run,
	}
}

func (s *standIn) run(ctx context.Context, session *printjob.Session) (bool, problem.List) {
	var sum printjob.Summary
	front := session.Front
	defer func() {
		sum.Stopped = ctx.Err() != nil
		front.Tell(sum)
	}()
	for i, l := range session.Loads() {
		front.Tell(l)
		a, err := front.Ask(ctx, printjob.Question{Kind: printjob.Loaded, Pages: l.Pages, Words: "Print it?", Usual: printjob.Yes,
			Choices: []printjob.Choice{{Answer: printjob.Yes, Words: "it is loaded"}, {Answer: printjob.Quit, Words: "stop"}}})
		if err != nil || a == printjob.Quit {
			return false, nil
		}
		s.mutex.Lock()
		s.sent = append(s.sent, l.Pages)
		s.mutex.Unlock()
		front.Tell(printjob.Sent{Pages: l.Pages, Queue: "home", Job: i + 1})
		front.Tell(printjob.Waiting{Pages: l.Pages, Why: []string{"paper is jammed"}})
		select {
		case <-s.open:
		case <-ctx.Done():
			sum.Doubt = append(sum.Doubt, printjob.Sent{Pages: l.Pages, Queue: "home", Job: i + 1})
			return false, nil
		}
		front.Tell(printjob.Resumed{Pages: l.Pages})
		a, err = front.Ask(ctx, printjob.Question{Kind: printjob.CameOut, Pages: l.Pages, Words: "  Did it come out well?", Usual: printjob.Yes,
			Choices: []printjob.Choice{{Answer: printjob.Yes, Words: "yes"}, {Answer: printjob.No, Words: "no"}}})
		if err != nil {
			return false, nil
		}
		if a == printjob.No {
			sum.Again = append(sum.Again, l.Pages...)
		} else {
			sum.Well = append(sum.Well, l.Pages...)
		}
	}
	return true, nil
}

// quickly is a folder with the sample, laid with little effort.
func quickly(t testing.TB) string {
	t.Helper()
	folder := copyOf(t, sample)
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return folder
}

// madeInBrowser is a desk in a tab, with the sample's PDF made.
func madeInBrowser(t *testing.T) (*running, *chromium.Tab) {
	t.Helper()
	chromium.Start(t)
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	b.JS(`desk.send("/print/make", {}).then(() => { document.title = "made"; }); 0`)
	until(t, b, `document.title === "made"`)
	return r, b
}

// says waits until a part of the desk holds some words.
func (c *caller) says(path string, words ...string) string {
	c.t.Helper()
	text := ""
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		text = c.page(path)
		holds := true
		for _, w := range words {
			holds = holds && strings.Contains(text, w)
		}
		if holds {
			return text
		}
	}
	c.t.Fatalf("%s does not say %q:\n%s", path, words, text)
	return ""
}

// stay keeps a page open until it is left.
func (c *caller) stay() (leave func()) {
	c.t.Helper()
	ctx, end := context.WithCancel(context.Background())
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+c.r.host+"/events", nil)
	if err != nil {
		c.t.Fatal(err)
	}
	r.AddCookie(c.cookie)
	a, err := http.DefaultClient.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	return func() {
		end()
		a.Body.Close()
	}
}

// post sends a change and gives its status and answer.
func (c *caller) post(path, body string) (int, string) {
	c.t.Helper()
	a := c.do(http.MethodPost, path, body, nil)
	var b bytes.Buffer
	b.ReadFrom(a.Body)
	return a.StatusCode, b.String()
}

var numberMatch = regexp.MustCompile(`data-number="(\d+)"`)

// reply answers the question that is asked.
func (c *caller) reply(a string) (int, string) {
	c.t.Helper()
	m := numberMatch.FindStringSubmatch(c.says("/part/session", "data-number"))
	return c.post("/print/answer", fmt.Sprintf(`{"number":%s,"answer":%q}`, m[1], a))
}

// TestMade: the desk writes the files that the command would write, hands them out, and says when the job has changed since; the desk started anew
// knows it, too.
func TestMade(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	folder := quickly(t)
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	if got := c.do("GET", "/download/all", "", nil).StatusCode; got != 404 {
		t.Errorf("before it is made it is handed out: %d", got)
	}
	c.says("/print", "Make the PDF and the report")
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	text := c.says("/part/prints", "Made of the job as it stands", "retreat-desk.pdf", "Print vellum")
	if strings.Contains(text, "Make them anew") {
		t.Error("what is fresh is to be made anew")
	}
	pdf, err := os.ReadFile(filepath.Join(folder, "retreat-desk.pdf"))
	if err != nil {
		t.Fatal(err)
	}
	// As the command makes it of the same workbook.
	waitSaved(t, folder, "retreat-desk.xlsx")
	s, _ := load(filepath.Join(folder, "x"))
	job := impose.New(s, nil)
	ctx := context.Background()
	if err := job.Read(ctx, []string{filepath.Join(folder, "retreat-desk.xlsx")}, ""); err != nil {
		t.Fatal(err)
	}
	if err := job.Set(ctx); err != nil {
		t.Fatal(err)
	}
	if err := job.Arrange(ctx); err != nil {
		t.Fatal(err)
	}
	if err := job.Draw(ctx, "retreat-desk"); err != nil {
		t.Fatal(err)
	}
	want, err := job.Write(ctx, false)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want.PDF, pdf) {
		t.Error("the desk's PDF is not the one that the command makes")
	}
	for path, kind := range map[string]string{"all": "application/pdf", "stock-0": "application/pdf", "report": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"} {
		a := c.do("GET", "/download/"+path, "", nil)
		var b bytes.Buffer
		b.ReadFrom(a.Body)
		if a.StatusCode != 200 || a.Header.Get("Content-Type") != kind || !strings.HasPrefix(a.Header.Get("Content-Disposition"), "attachment") || b.Len() < 1000 {
			t.Errorf("%s: %s, %v, %d bytes", path, a.Status, a.Header, b.Len())
		}
		if path == "all" && !bytes.Equal(b.Bytes(), pdf) {
			t.Error("what is handed out is not what was made")
		}
	}
	for _, path := range []string{"/download/stock-99", "/download/..", "/download/stock-", "/download/lock"} {
		if got := c.do("GET", path, "", nil).StatusCode; got != 404 {
			t.Errorf("%s is answered with %d", path, got)
		}
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat-desk.xlsx")
	c = enter(t, r)
	c.says("/print", "Made of the job as it stands")
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Journaling":"Another text."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	c.says("/print", "The job was changed since", "Make them anew")
	// What somebody has changed of the files is kept, and told where they are named.
	for _, name := range []string{"retreat-desk.pdf", "retreat-desk-report.xlsx"} {
		typed, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		typed = append(typed, "mine"...)
		if err := os.WriteFile(filepath.Join(folder, name), typed, 0o644); err != nil {
			t.Fatal(err)
		}
		if status, said := c.post("/print/make", "{}"); status != 200 {
			t.Fatal(status, said)
		}
		ext := filepath.Ext(name)
		yours := strings.TrimSuffix(name, ext) + "-yours" + ext
		c.says("/part/prints", name+" was changed after it was made, so it is kept: it is now "+yours+".")
		if kept, _ := os.ReadFile(filepath.Join(folder, yours)); !bytes.Equal(kept, typed) {
			t.Errorf("%s is not what was changed", yours)
		}
		if status, said := c.post("/print/make", "{}"); status != 200 || strings.Contains(c.says("/part/prints", "Made of"), "-yours") {
			t.Errorf("made anew where nobody changed anything, it is told again: %d %s", status, said)
		}
	}
}

// waitSaved waits until a file is there and does not change any more.
func waitSaved(t *testing.T, folder, name string) {
	t.Helper()
	whenSettled(t, folder)
	if _, err := os.Stat(filepath.Join(folder, name)); err != nil {
		t.Fatal(err)
	}
}

// TestPrintingGoesOn: a session goes on whether pages are open or not and shows where it stands; the desk does not end while something is in the
// printer, by itself, by the button or for another job; a question is answered once; a PDF that is asked for meanwhile is made afterwards.
func TestPrintingGoesOn(t *testing.T) {
	longtests.Only(t)
	folder := quickly(t)
	st := &standIn{open: make(chan struct{})}
	r := begin(t, folder, Options{printer: st.printer(), idleAfter: 1500 * time.Millisecond}, "retreat.xlsx") // a slow machine takes a while to enter
	c := enter(t, r)
	leave := c.stay()
	defer func() { leave() }()
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	before, _ := os.ReadFile(filepath.Join(folder, "retreat-desk.pdf"))
	for _, body := range []string{`{"stock":"none of them"}`, `{"stock":7}`, `{"pages":[1]}`} {
		if status, said := c.post("/print/start", body); status == 200 {
			t.Errorf("%s is printed: %s", body, said)
		}
	}
	if status, said := c.post("/print/start", `{"stock":"vellum"}`); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/part/session", "Printing vellum", "Print it?", "It is loaded", "first;")
	if status, _ := c.post("/print/start", `{"stock":"vellum"}`); status != 409 {
		t.Errorf("two things are printed at once: %d", status)
	}
	if status, _ := c.reply("no answer of it"); status != 409 {
		t.Errorf("an answer that is none is taken: %d", status)
	}
	m := numberMatch.FindStringSubmatch(c.says("/part/session", "data-number"))[1]
	answers := make(chan int, 8)
	for range 8 { // pressed eight times
		go func() {
			status, _ := c.post("/print/answer", `{"number":`+m+`,"answer":"y"}`)
			answers <- status
		}()
	}
	taken := 0
	for range 8 {
		if <-answers == 200 {
			taken++
		}
	}
	if taken != 1 {
		t.Errorf("a question is answered %d times", taken)
	}
	c.says("/part/session", "paper is jammed", "Sent to “home”")

	// No page is open for longer than the desk waits.
	leave()
	time.Sleep(2500 * time.Millisecond)
	leave = c.stay()
	c.says("/print", "paper is jammed")
	if status, said := c.post("/quit", "{}"); status != 409 || !strings.Contains(said, "being printed") {
		t.Errorf("it ends: %d %s", status, said)
	}
	if status, said := c.post("/start/new", `{"name":"other"}`); status == 200 || !strings.Contains(said, "being printed") {
		t.Errorf("another job is begun: %d %s", status, said)
	}
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Journaling":"Another text."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	c.says("/print", "The job was changed since")
	if status, said := c.post("/print/make", "{}"); status != 200 || !strings.Contains(said, "later") {
		t.Errorf("%d %s", status, said)
	}
	c.says("/part/session", "made anew once the printing is over")
	if now, _ := os.ReadFile(filepath.Join(folder, "retreat-desk.pdf")); !bytes.Equal(now, before) {
		t.Error("the PDF is made anew while it is printed")
	}
	st.open <- struct{}{}
	c.says("/part/session", "Did it come out well?")
	if status, _ := c.post("/print/answer", `{"number":`+m+`,"answer":"y"}`); status != 409 {
		t.Errorf("an answer to an earlier question is taken: %d", status)
	}
	close(st.open)
	for strings.Contains(c.says("/part/session", "section"), "data-number") || strings.Contains(c.page("/part/session"), "Printing vellum") {
		if !strings.Contains(c.page("/part/session"), "data-number") {
			time.Sleep(10 * time.Millisecond)
			continue
		}
		c.reply("y")
	}
	c.says("/part/session", "Printed well: page")
	if now, _ := os.ReadFile(filepath.Join(folder, "retreat-desk.pdf")); bytes.Equal(now, before) {
		t.Error("the PDF is not made anew afterwards")
	}
	c.says("/print", "Made of the job as it stands")
}

// TestPrintingBrokenOff: a session that is stopped, and one that the desk's end stops, says what is in doubt; nothing hangs.
func TestPrintingBrokenOff(t *testing.T) {
	folder := quickly(t)
	st := &standIn{open: make(chan struct{})}
	r := begin(t, folder, Options{printer: st.printer()}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	c.post("/print/start", `{"stock":"vellum"}`)
	c.reply("y")
	c.says("/part/session", "Stop printing")
	c.post("/print/stop", "{}")
	c.says("/part/session", "Stopped.", "In doubt: page")
	c.post("/print/start", `{}`)
	c.reply("y")
	c.says("/part/session", "paper is jammed")
	if err := r.end(); err != nil {
		t.Error(err)
	}
}

// TestByHand: where there is no CUPS it says what to set in the dialogue, and has no button that prints.
func TestByHand(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	p := thisPrinter()
	p.prepare = func(ctx context.Context, pdf string, c *config.Settings, part printjob.Part) (*printjob.Session, problem.List) {
		return printjob.Prepare(ctx, printjob.Machine{System: "windows"}, pdf, c, part)
	}
	r := begin(t, quickly(t), Options{printer: &p}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	text := c.says("/print", "This computer prints without CUPS", "Set in the print dialogue", "actual size (no scaling)", "paper size 215.90 x 279.40 mm")
	if strings.Contains(text, "data-print=") {
		t.Error("it has a button to print")
	}
	if status, said := c.post("/print/start", `{"stock":"vellum"}`); status != 409 {
		t.Errorf("%d %s", status, said)
	}
}

// TestWithoutPlace: where paper runs out the rest is made, what is left is told with the way to what would help, and more paper mends it; where nothing
// can be printed that is said, with why, and nothing is lost.
func TestWithoutPlace(t *testing.T) {
	t.Parallel()
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	waitLaid(t, c)
	add := func(width string) string {
		t.Helper()
		status, said := c.post("/add", `{"sheet":"paper","after":"","cells":{"Stock":"vellum","Width":"`+width+`","Height":"11","Count":"1"}}`)
		if status != 200 {
			t.Fatal(status, said)
		}
		return said
	}
	add("8 1/2")
	text := c.says("/part/prints", "without a place", `href="/sheets"`)
	if strings.Contains(text, "to mend") {
		t.Errorf("what found no place is to be mended in its text: %s", text)
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/print", "Made of the job as it stands", "without a place", "Print vellum")
	c.says("/share", "held back: the sheets of “vellum” do not suffice for this block")
	for range 12 {
		add("8 1/2")
	}
	for end := time.Now().Add(30 * time.Second); strings.Contains(c.page("/part/prints"), "without a place"); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("more paper does not mend it")
		}
	}

	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "large.csv"), []byte("Name,Journaling,Width,Height,Stock\nAnn Lo,We rowed out.,40,40,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c = enter(t, begin(t, folder, Options{printer: (&standIn{}).printer()}, "large.csv"))
	status, said := c.post("/print/make", "{}")
	if status != 409 || !strings.Contains(said, "nothing was made") || !strings.Contains(said, "larger than any sheet") || !strings.Contains(said, "hint") {
		t.Errorf("%d %s", status, said)
	}
	c.says("/print", "Make the PDF and the report", "1 to mend")
}

// TestPrintStory: from the sheets to printed pieces in the browser, by keys alone; the page is left and loaded anew in between.
func TestPrintStory(t *testing.T) {
	t.Parallel()
	chromium.Start(t)
	st := &standIn{open: make(chan struct{})}
	r := begin(t, quickly(t), Options{printer: st.printer()}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	goTo(t, r, b, "/print")
	b.JS(`document.querySelector("[data-make]").focus()`)
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.querySelector("[data-print=vellum]") && !desk.lately(document.querySelector("[data-print=vellum]"))`)
	b.JS(`document.querySelector("[data-print=vellum]").focus()`)
	b.Do(chromedp.KeyEvent("\r"))
	// What is asked has the keyboard, and a second press of the key answers nothing.
	until(t, b, `document.activeElement.className === "ask"`)
	b.Do(chromedp.KeyEvent("\r"))
	b.Do(chromedp.KeyEvent("\t"))
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.activeElement.dataset.answer === "y" && !desk.lately(document.activeElement)`)
	b.Do(chromedp.KeyEvent("\r"))
	until(t, b, `document.getElementById("session").textContent.includes("paper is jammed")`)
	// Whoever goes elsewhere hears of it there, and that changes wait: the PDF is made anew once the printing is over.
	goTo(t, r, b, "/journaling")
	until(t, b, `document.querySelector("#prints-now a.asks")?.textContent.includes("paper is jammed. What you change now waits.")`)
	b.JS(`document.querySelector(".take").click()`)
	typeInto(b, "Journaling", "Another text.")
	until(t, b, laidAll+` && document.getElementById("saved").textContent === "saved"`)
	st.open <- struct{}{}
	until(t, b, `document.querySelector("#prints-now a.asks")?.textContent.includes("asks")`)
	b.JS(`document.querySelector("#prints-now a").click()`)
	until(t, b, `location.pathname === "/print" && document.getElementById("prints").textContent.includes("The job was changed since")`)
	b.JS(`document.querySelector("[data-make]").click()`)
	until(t, b, `document.getElementById("session").textContent.includes("The PDF is made anew once the printing is over.")`)
	until(t, b, `document.getElementById("question")?.textContent === "Did it come out well?"`)
	b.JS(`document.querySelector("[data-answer=n]").click()`)
	close(st.open)
	for chromium.Eval[bool](b, `document.getElementById("session").textContent.includes("Printing vellum")`) {
		b.JS(`document.querySelector("[data-answer=y]")?.click()`)
		time.Sleep(30 * time.Millisecond)
	}
	until(t, b, `document.getElementById("session").textContent.includes("To be done again: page") && document.getElementById("prints").textContent.includes("Made of the job as it stands")`)
	for _, path := range requestsElsewhere(b, r.host) {
		t.Errorf("the page asks for %s", path)
	}
}

// TestPrintLooks: no violation that axe-core knows of where things are printed, cut and shared out, on a phone and on a desk, dark and light.
func TestPrintLooks(t *testing.T) {
	chromium.Start(t)
	if os.Getenv("AXE_CORE") == "" {
		t.Skip("AXE_CORE does not name axe-core's axe.min.js")
	}
	r := begin(t, quickly(t), Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	b := enterDesk(t, r, 1280, 900, "light")
	until(t, b, laidAll)
	goTo(t, r, b, "/print")
	b.JS(`document.querySelector("[data-make]").click()`)
	until(t, b, `document.querySelector("[data-print=vellum]") && !desk.lately(document.querySelector("[data-print=vellum]"))`)
	b.JS(`document.querySelector("[data-print=vellum]").click()`)
	until(t, b, `document.querySelector("[data-answer=y]")`)
	b.JS(`desk.send("/cost", {name: "postage", amount: "4.80", by: "by person"}).then(() => { document.title = "costs"; }); 0`)
	until(t, b, `document.title === "costs"`)
	for _, c := range []struct {
		width  int64
		scheme string
	}{{390, "dark"}, {1280, "light"}} {
		emulate(b, c.width, 900, c.scheme)
		for _, part := range []string{"print", "cutting", "share", "reprint"} {
			goTo(t, r, b, "/"+part)
			until(t, b, laidAll)
			if part == "cutting" {
				until(t, b, `document.getElementById("set").textContent`)
			}
			chromium.Axe(t, b, fmt.Sprintf("%s, %d px, %s", part, c.width, c.scheme))
			if w := chromium.Eval[int64](b, `document.documentElement.scrollWidth`); w > c.width {
				t.Errorf("%s is %d px wide at %d px", part, w, c.width)
			}
		}
	}
}
