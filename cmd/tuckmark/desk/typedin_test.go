package desk

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
	"golang.org/x/image/font/gofont/gomono"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
)

// besideConfiguration is a small job that is open, with its PDF made, and a function that writes its tuckmark.yaml as an editor does: a price of the paper, what the
// postage was, and whatever else.
func besideConfiguration(t *testing.T, looks time.Duration) (c *caller, write func(price, postage, more string)) {
	t.Helper()
	folder := t.TempDir()
	write = func(price, postage, more string) {
		t.Helper()
		text := "effort: 2\nstocks:\n  - name: vellum\n    sheets:\n      - {size: letter, price: " + price + "}\ncosts:\n  postage: " + postage + " by person # of 2\n" + more
		if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	write("0.60", "4.80", "")
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn,1,text one,4,2,vellum\nBob,2,text two,4,2,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c = enter(t, begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited, atOnce: true, looksEach: looks}, "j.csv"))
	c.made()
	c.owes("2.7")
	return c, write
}

// made has the PDF and the report made.
func (c *caller) made() {
	c.t.Helper()
	if status, said := c.post("/print/make", "{}"); status != 200 {
		c.t.Fatal(status, said)
	}
}

// owes looks into the report for what each of the two pays.
func (c *caller) owes(want string) {
	c.t.Helper()
	book, err := excelize.OpenFile(filepath.Join(c.r.folder, "j-desk-report.xlsx"))
	if err != nil {
		c.t.Fatal(err)
	}
	defer book.Close()
	rows, err := book.GetRows("Account", excelize.Options{RawCellValue: true})
	if err != nil || len(rows) < 3 || rows[1][len(rows[1])-1] != want {
		c.t.Errorf("the report's account is %q, and not %s each: %v", rows, want, err)
	}
}

// told is what the pages are told of the job, and whether something has to be done.
func (c *caller) told(words ...string) {
	c.t.Helper()
	var now struct{ Book bookState }
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if err := json.Unmarshal([]byte(c.page("/now")), &now); err != nil {
			c.t.Fatal(err)
		}
		holds := true
		for _, w := range words {
			holds = holds && strings.Contains(now.Book.Said, w)
		}
		if holds && now.Book.Stop == (words[0] != "saved") {
			return
		}
	}
	c.t.Fatalf("the pages are told %+v, and not %q", now.Book, words)
}

// TestConfigurationTyped: what somebody types in the tuckmark.yaml while the desk is open counts from then on: in what is made, before anything is printed, and on
// pages that nobody touches.
func TestConfigurationTyped(t *testing.T) {
	c, write := besideConfiguration(t, time.Hour) // nothing but the press looks
	write("1.60", "8.00", "")
	c.made()
	c.owes("4.8")
	c.says("/part/shared", "4.80")
	c.says("/part/costs", `value="8.00"`)
	c.says("/part/prints", "Made of the job as it stands")

	write("1.60", "8.00", "printers:\n  - {name: home, widest: 9 in}\n") // measured, while the page with the buttons is open
	if status, said := c.post("/print/start", `{"stock":"vellum"}`); status != 409 || !strings.Contains(said, "changed by another program") {
		t.Errorf("it is printed by what was measured before: %d %s", status, said)
	}
	c.says("/part/prints", "The job was changed since")
	c.says("/part/machines", `value="9 in"`)
	if status, said := c.post("/print/start", `{"stock":"vellum"}`); status != 200 { // it was looked at
		t.Errorf("it is not printed: %d %s", status, said)
	}
	if status, said := c.reply(string(printjob.Quit)); status != 200 {
		t.Error(status, said)
	}
	if err := os.Remove(filepath.Join(c.r.folder, "tuckmark.yaml")); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(10 * time.Second); strings.Contains(c.page("/part/session"), "now-printing") && time.Now().Before(end); {
		time.Sleep(5 * time.Millisecond)
	}
	c.made()
	c.says("/part/shared", "Nothing is to be paid")
}

// TestConfigurationWatched: the same without a press; with what is wrong in it, the job goes on by what held before, pages say so, and nothing is written over.
func TestConfigurationWatched(t *testing.T) {
	longtests.Only(t)
	c, write := besideConfiguration(t, 10*time.Millisecond)
	c.told("saved")
	write("1.60", "8.00", "trimmer: none\n")
	c.says("/part/prints", "The job was changed since")
	c.says("/part/costs", `value="8.00"`)
	c.says("/sheets", "2 blocks to cut out")
	c.made()
	c.owes("4.8")

	file := filepath.Join(c.r.folder, "tuckmark.yaml")
	for _, wrong := range []struct{ more, says string }{{"trimmer: [\n", "cannot be understood"}, {"gap: about so much\n", "about so much"}, {"", ""}} {
		if wrong.more == "" { // no file at all
			if os.Remove(file) != nil || os.Mkdir(file, 0o700) != nil {
				t.Fatal("no folder can be made of it")
			}
			wrong.says = "folder"
		} else {
			write("9.99", "9.99", wrong.more)
		}
		was, _ := os.ReadFile(file)
		c.told("tuckmark.yaml", "is not taken over", "goes on by what it held before", wrong.says)
		if text := html.UnescapeString(c.says("/print", "is not taken over")); !strings.Contains(text, wrong.says) {
			t.Errorf("the page does not say %q: %s", wrong.says, text)
		}
		c.made()
		c.owes("4.8")
		if status, said := c.post("/cost", `{"was":"postage","amount":"7"}`); status != 409 || !strings.Contains(said, "is not taken over") {
			t.Errorf("a cost is answered with %d %s", status, said)
		}
		if now, _ := os.ReadFile(file); string(now) != string(was) {
			t.Errorf("it is written over with %s", now)
		}
	}
	if err := os.Remove(file); err != nil {
		t.Fatal(err)
	}
	write("1.60", "8.00", "trimmer: none\n") // as it was
	c.told("saved")
	if text := c.says("/print", "Made of the job as it stands"); strings.Contains(text, "is not taken over") {
		t.Error("it is still said to be wrong")
	}
	write("0.60", "4.80", "")
	c.says("/part/prints", "The job was changed since")
	c.made()
	c.owes("2.7")
}

// TestConfigurationRests: another configuration is taken over when it has been left alone for a little: half of one may look like the whole of a shorter one.
func TestConfigurationRests(t *testing.T) {
	held, half, all := configSeen{file: "a", digest: "1"}, configSeen{file: "a", digest: "2"}, configSeen{file: "a", digest: "3"}
	bad := configSeen{wrong: "half of it"}
	at := time.Unix(0, 0)
	var w configWatch
	for i, step := range []struct {
		after time.Duration
		seen  configSeen
		is    configIs
	}{
		{0, held, configSame}, {time.Hour, held, configSame},
		{0, half, configBusy}, {configRests / 2, all, configBusy}, {configRests / 2, all, configBusy}, {configRests / 2, all, configOther},
		{0, held, configSame}, {0, all, configBusy}, // and back: it rests anew
		{configRests, bad, configBusy}, {configRests / 2, held, configSame}, {time.Hour, bad, configBusy}, {configRests, bad, configOther},
	} {
		at = at.Add(step.after)
		if got := w.see(step.seen, held, at); got != step.is {
			t.Errorf("step %d: %d, not %d", i, got, step.is)
		}
	}
}

// TestFontPutBeside: a font that is put into the folder of fonts while the desk is open, and one that takes its place, counts from then on.
func TestFontPutBeside(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Page,Journaling,Width,Height,Stock,Font\nAnn,1,text one,4,2,vellum,\nBob,2,text two,4,2,vellum,Quay\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited, atOnce: true, looksEach: time.Hour}, "j.csv"))
	var before []byte
	holds := func(blocks int, font string) {
		t.Helper()
		c.made()
		c.says("/part/prints", "Made of the job as it stands")
		pdf := filepath.Join(folder, "j-desk.pdf")
		if got := blocksOf(t, pdf); len(got) != blocks {
			t.Errorf("it holds %v, and not %d blocks", got, blocks)
		}
		data, err := os.ReadFile(pdf)
		if err != nil || bytes.Equal(data, before) {
			t.Errorf("with the font %s it is as it was before: %v", font, err)
		}
		before = data
	}
	holds(1, "")
	if err := os.Mkdir(filepath.Join(folder, "fonts"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, one := range []struct {
		data []byte
		name string
	}{{goregular.TTF, "GoRegular"}, {gomono.TTF, "GoMono"}} {
		if err := os.WriteFile(filepath.Join(folder, "fonts", "Quay.ttf"), one.data, 0o600); err != nil {
			t.Fatal(err)
		}
		holds(2, one.name)
	}
	same := bytes.Clone(gomono.TTF)
	same[16] ^= 1                                                                                 // the checksum of its first table, as where that has changed
	if err := os.WriteFile(filepath.Join(folder, "fonts", "Quay.ttf"), same, 0o600); err != nil { // of the same size
		t.Fatal(err)
	}
	if status, said := c.post("/print/start", `{"stock":"vellum"}`); status != 409 || !strings.Contains(said, "or its fonts were changed by another program") {
		t.Errorf("it is printed with what was there before: %d %s", status, said)
	}
	c.says("/part/prints", "The job was changed since")
}

// TestConfigurationOfSheets: sheets that were laid by another configuration are others, to the browser that keeps their pictures and to whoever presses on one.
func TestConfigurationOfSheets(t *testing.T) {
	c, write := besideConfiguration(t, 10*time.Millisecond)
	version := func() string {
		t.Helper()
		c.says("/sheets", "/piece/0.")
		_, v, _ := strings.Cut(c.page("/part/sheets"), "/piece/0.")
		v, _, _ = strings.Cut(v, ".svg")
		return v
	}
	keep := func(v string) int {
		status, _ := c.post("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":0,"block":0,"keep":true}`, v))
		return status
	}
	var before string
	for end := time.Now().Add(20 * time.Second); ; time.Sleep(10 * time.Millisecond) { // until the last picture is there
		if before = version(); strings.Contains(before, "-2-") || time.Now().After(end) {
			break
		}
	}
	write("0.60", "4.80", "gap: 1/2 in\n")
	now := before
	for end := time.Now().Add(20 * time.Second); (now == before || !strings.Contains(now, "-2-")) && time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		now = version()
	}
	if a, b, _ := strings.Cut(before, "-2-"); !strings.HasPrefix(now, a+"-2-") || strings.HasSuffix(now, b) {
		t.Errorf("the sheets are %s by one configuration and %s by another", before, now)
	}
	if status := keep(before); status != 409 {
		t.Errorf("a press on the sheets of before is answered with %d", status)
	}
	if status := keep(now); status != 200 {
		t.Errorf("a press on those of now is answered with %d", status)
	}
}

// TestConfigurationAtOpening: a configuration that is saved while a job is opened by it is the one that the job goes by, or is taken over soon.
func TestConfigurationAtOpening(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "tuckmark.yaml")
	write := func(cost string) {
		if err := os.WriteFile(file, []byte("effort: 2\ncosts:\n  postage: "+cost+" by person\n"), 0o600); err != nil {
			t.Error(err)
		}
	}
	write("4.80")
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn,1,text one,4,2,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var reads atomic.Int32
	settings := func(near string) (*config.Settings, problem.List) {
		s, found := load(near)
		if reads.Add(1) == 1 {
			write("11.25")
		}
		return s, found
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited, atOnce: true, looksEach: 10 * time.Millisecond, Settings: settings}, "j.csv"))
	c.says("/part/costs", `value="11.25"`)
}

// TestNotesStay: what another program has struck through in the workbook, which the desk does not keep, is said long enough to be read, and asked until somebody has
// seen it.
func TestNotesStay(t *testing.T) {
	c, _ := besideConfiguration(t, time.Hour)
	c.made()
	book, err := excelize.OpenFile(filepath.Join(c.r.folder, "j-desk.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	style, err := book.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
	if err = errors.Join(err, book.SetCellStyle("Journaling", "A2", "F2", style), book.Save()); err != nil {
		t.Fatal(err)
	}
	c.told("saved", "struck through or hidden in the workbook")
	c.says("/part/questions", "Journaling: Struck through or hidden in the workbook, and here like the others: row 2 (“", "Hold back or remove here", "what is struck through in Journaling!A2", ">Seen<")
}
