package desk

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	finished "tuckmark/impose/press"
	"tuckmark/impose/report"
)

// blocksOf are the codes of the blocks of a PDF.
func blocksOf(t *testing.T, path string) (out []string) {
	t.Helper()
	d, bad := printjob.Open(path)
	if bad != nil {
		t.Fatal(bad)
	}
	for _, p := range d.Plan.Pieces {
		for _, b := range p.Blocks() {
			out = append(out, b.Block.Code)
		}
	}
	slices.Sort(out)
	return out
}

// TestReprint: blocks that are pressed are made ready by themselves, on what is left, once and once more, and printed; what was made before stays as it
// is; a job made anew begins anew, beside what is not printed yet of the earlier one.
func TestReprint(t *testing.T) {
	t.Parallel()
	folder := quickly(t)
	to := (&standIn{}).printer()
	var asked atomic.Int32
	prepare := to.prepare
	to.prepare = func(ctx context.Context, pdf string, s *config.Settings, part printjob.Part) (*printjob.Session, problem.List) {
		asked.Add(1)
		return prepare(ctx, pdf, s, part)
	}
	r := begin(t, folder, Options{printer: to}, "retreat.xlsx")
	c := enter(t, r)
	if status, said := c.post("/print/start", `{"redo":"retreat-desk-redo.pdf"}`); status != 409 {
		t.Errorf("%d %s", status, said)
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	pdf := filepath.Join(folder, "retreat-desk.pdf")
	before, _ := os.ReadFile(pdf)
	codes := blocksOf(t, pdf)
	if !strings.Contains(c.page("/reprint"), `value="`+codes[0]+`"`) {
		t.Error("a block cannot be pressed")
	}
	for _, body := range []string{`{"codes":[]}`, `{"codes":["QQ-99"]}`, `{"codes":"x"}`, `{"blocks":[]}`} {
		if status, said := c.post("/print/again", body); status == 200 {
			t.Errorf("%s: %s", body, said)
		}
	}
	for i, name := range []string{"retreat-desk-redo.pdf", "retreat-desk-redo-2.pdf"} {
		want := codes[i : i+2]
		if status, said := c.post("/print/again", fmt.Sprintf(`{"codes":[%q,%q]}`, want[0], want[1])); status != 200 {
			t.Fatal(status, said)
		}
		if got := blocksOf(t, filepath.Join(folder, name)); !slices.Equal(got, want) {
			t.Errorf("%s holds %v, not %v", name, got, want)
		}
		before := asked.Load()
		c.says("/reprint", name, "data-redo")
		c.says("/reprint", name, "data-redo")
		if n := asked.Load() - before; n != 1 {
			t.Errorf("when the page of %s is loaded twice the printers are asked for %d times", name, n)
		}
	}
	if now, _ := os.ReadFile(pdf); !bytes.Equal(now, before) {
		t.Error("the job's own PDF was changed")
	}
	c.says("/print", "Made of the job as it stands")
	if got := c.do("GET", "/download/again", "", nil); got.StatusCode != 200 || !strings.Contains(got.Header.Get("Content-Disposition"), "redo-2") {
		t.Errorf("%s %v", got.Status, got.Header)
	}
	if status, said := c.post("/print/start", `{"redo":"retreat-desk-redo-2.pdf"}`); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/part/session", "Printing once more", "Print it?")
	if status, _ := c.post("/print/again", fmt.Sprintf(`{"codes":[%q]}`, codes[0])); status != 409 {
		t.Errorf("while something prints it is made: %d", status)
	}
	c.reply("q")
	for strings.Contains(c.page("/part/session"), "Printing once more") {
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	if strings.Contains(c.page("/reprint"), "Ready to be printed") {
		t.Error("what was made ready of an earlier PDF is offered as of this one")
	}
}

// TestReadyUntilPrinted: whatever was made ready to be printed once more is offered, and named where the job is printed, until it is printed or gone, also when the job
// is made anew; by a desk that was started anew, too.
func TestReadyUntilPrinted(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "few.csv"), []byte("Name,Journaling,Width,Height\nAnn,one,4,2\nBob,two,4,2\nCy,three,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	to := (&standIn{}).printer()
	r := begin(t, folder, Options{printer: to}, "few.csv")
	c := enter(t, r)
	c.press("/print/make", "{}")
	codes := blocksOf(t, filepath.Join(folder, "few-desk.pdf"))
	name := func(i int) string {
		return []string{"few-desk-redo.pdf", "few-desk-redo-2.pdf", "few-desk-redo-3.pdf"}[i]
	}
	offered := func(when string, want ...int) {
		t.Helper()
		page, prints := c.page("/reprint"), c.page("/part/prints")
		for i := range 3 {
			wants := slices.Contains(want, i)
			if strings.Contains(page, `data-redo="`+name(i)+`"`) != wants || strings.Contains(prints, ">"+name(i)+"<") != wants {
				t.Errorf("%s: that %s is offered: wanted %v\n%s\n%s", when, name(i), wants, page, prints)
			}
			if wants && !strings.Contains(page, "<b>"+codes[i]+"</b> in <bdi>"+name(i)) {
				t.Errorf("%s: it is not said that %s is in %s", when, codes[i], name(i))
			}
			if got := c.do("GET", "/download/ready-"+name(i), "", nil); wants && (got.StatusCode != 200 || !strings.Contains(got.Header.Get("Content-Disposition"), name(i))) {
				t.Errorf("%s: %s is handed out: %s", when, name(i), got.Status)
			}
		}
	}
	printed := func(i int, how string) { // as a session notes it
		t.Helper()
		path := filepath.Join(folder, name(i))
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		of, err := finished.Open(data)
		if err != nil {
			t.Fatal(err)
		}
		var pages []string
		for n := range of.Sizes {
			pages = append(pages, fmt.Sprint(n+1))
		}
		state := fmt.Sprintf(`{"printing":1,"pdf":%q,"jobs":[{"pages":[%s],"queue":"home","job":1,"name":"x","status":%q}]}`, of.ID, strings.Join(pages, ","), how)
		if err := os.WriteFile(strings.TrimSuffix(path, ".pdf")+"-printing.json", []byte(state), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for i := range 2 {
		c.press("/print/again", fmt.Sprintf(`{"codes":[%q]}`, codes[i]))
	}
	offered("two were made ready", 0, 1)
	r.end()
	r = begin(t, folder, Options{printer: to}, "few.csv")
	c = enter(t, r)
	offered("the desk was started anew", 0, 1)
	c.press("/print/start", `{"redo":"few-desk-redo.pdf"}`) // not the last
	c.says("/part/session", "Printing once more", "Print it?")
	c.reply("q")
	for strings.Contains(c.page("/part/session"), "Printing once more") {
	}
	printed(0, "released")
	offered("the first is in doubt", 0, 1)
	printed(0, "done")
	offered("the first is printed", 1)
	c.press("/print/again", fmt.Sprintf(`{"codes":[%q]}`, codes[2]))
	offered("a third was made ready", 1, 2)
	printed(2, "done")
	offered("the last is printed", 1)
	c.says("/reprint", "Printed once more", "/download/again-report")
	if err := os.Remove(filepath.Join(folder, name(1))); err != nil {
		t.Fatal(err)
	}
	offered("the second is gone")
	if status, said := c.post("/print/start", `{"redo":"few-desk-redo-2.pdf"}`); status != 409 {
		t.Errorf("%d %s", status, said)
	}
	printed(2, "waiting")
	offered("the last is not printed after all", 2)
	c.press("/print/make", "{}")
	offered("the job is made anew", 2)
}

// TestReprintKeepsWhatOthersMade: a report of blocks that a command printed once more, or that somebody has corrected, is not written over, since it
// alone knows what paper is left; one that the desk made for an earlier print is, as the print is.
func TestReprintKeepsWhatOthersMade(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	folder := quickly(t)
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	c.press("/print/make", "{}")
	again := fmt.Sprintf(`{"codes":[%q]}`, blocksOf(t, filepath.Join(folder, "retreat-desk.pdf"))[0])
	path := filepath.Join(folder, "retreat-desk-report-redo.xlsx")
	theirs, err := os.ReadFile(filepath.Join(folder, "retreat-desk-report.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	refused := func() {
		t.Helper()
		if err := os.WriteFile(path, theirs, 0o644); err != nil {
			t.Fatal(err)
		}
		status, said := c.post("/print/again", again)
		if status != 409 || !strings.Contains(said, "which knows what paper is left") {
			t.Errorf("%d %s", status, said)
		}
		if now, _ := os.ReadFile(path); !bytes.Equal(now, theirs) {
			t.Error("the report was written over")
		}
	}
	refused()
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		c.press("/print/again", again)
		c.press("/print/make", "{}")
		c.press("/print/settled", `{"redo":"retreat-desk-redo.pdf"}`) // so that its name is taken anew
	}
	refused()
	if found, _ := filepath.Glob(filepath.Join(folder, "*-yours*")); len(found) > 0 {
		t.Errorf("what nobody changed is kept: %v", found)
	}
}

// TestReprintOldPage: a page that shows the blocks of a PDF that was made anew since makes nothing ready by them: the code that was pressed may be another
// block's now, or the same one's with other words.
func TestReprintOldPage(t *testing.T) {
	t.Parallel()
	c, _ := besideConfiguration(t, time.Hour)
	again := func() (int, string) {
		_, of, _ := strings.Cut(c.page("/reprint"), `data-of="`)
		of, _, _ = strings.Cut(of, `"`)
		return len(of), fmt.Sprintf(`{"codes":[%q],"of":%q}`, blocksOf(t, filepath.Join(c.r.folder, "j-desk.pdf"))[0], of)
	}
	n, old := again()
	c.press("/print/make", "{}") // the same job gives the same PDF
	c.press("/print/again", old)
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Journaling":"Other words."}}`, c.r.rows(t, c)[0]))
	c.press("/print/again", old) // it is not made yet
	c.press("/print/make", "{}")
	if status, said := c.post("/print/again", old); status != 409 || !strings.Contains(said, "made anew since this page was opened") {
		t.Errorf("%d characters tell the PDF: %d %s", n, status, said)
	}
	if found, _ := filepath.Glob(filepath.Join(c.r.folder, "*-redo*")); len(found) > 4 {
		t.Errorf("there is %v", found)
	}
	_, now := again()
	c.press("/print/again", now)
}

// TestReprintUnlike: where blocks come out otherwise than the first time it is said where they are ready, at those alone, until they are printed; also by a desk that
// was started anew.
func TestReprintUnlike(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "few.csv"), []byte("Name,Journaling,Width,Height\nAnn,some words that go on for a line or two,4,2\nBob,two,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "few.csv")
	c := enter(t, r)
	c.press("/print/make", "{}")
	codes := blocksOf(t, filepath.Join(folder, "few-desk.pdf"))
	again := fmt.Sprintf(`{"codes":[%q]}`, codes[0])
	c.press("/print/again", again)
	smaller, other := ", the first time it was 18 pt: its text or the settings have changed.", "The first run was made with other settings. Then it was the built-in settings, now it is tuckmark.yaml."
	told := func(when string, times int) {
		t.Helper()
		page := c.page("/reprint")
		for _, words := range []string{smaller, other} {
			if n := strings.Count(page, words); n != times {
				t.Errorf("%s: “%s” is said %d times, not %d", when, words, n, times)
			}
		}
	}
	told("nothing was changed", 0)
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\nstocks: [{name: cardstock, inset: 13/16 in}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c.press("/print/again", again)
	told("the inset was changed", 1)
	c.press("/print/again", again)
	told("once more", 2)
	r.end()
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "few.csv")
	c = enter(t, r)
	told("the desk was started anew", 2)
	if err := os.Remove(filepath.Join(folder, "few-desk-redo-2.pdf")); err != nil {
		t.Fatal(err)
	}
	told("one is gone", 1)
	c.press("/print/make", "{}")
	told("the job is made anew", 1) // and that one is offered still
}

// TestNotesOfAReprint: what somebody has written into the report where nothing is read stands, when blocks are printed once more, on the sheet that the run sheet
// of that print goes by.
func TestNotesOfAReprint(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "few.csv"), []byte("Name,Journaling,Width,Height\nAnn,one,4,2\nBob,two,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer()}, "few.csv"))
	c.press("/print/make", "{}")
	report, err := excelize.OpenFile(filepath.Join(folder, "few-desk-report.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	_, err = report.NewSheet("Ann wants")
	if err := errors.Join(err, report.SetCellStr("Ann wants", "A1", "all in blue"), report.Save(), report.Close()); err != nil {
		t.Fatal(err)
	}
	c.press("/print/again", fmt.Sprintf(`{"codes":[%q]}`, blocksOf(t, filepath.Join(folder, "few-desk.pdf"))[0]))
	again, err := excelize.OpenFile(filepath.Join(folder, "few-desk-report-redo.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer again.Close()
	if rows, err := again.GetRows("Notes 2"); err != nil || len(rows) != 2 || rows[1][0] != "the sheet is not read" || rows[1][4] != "Ann wants" {
		t.Errorf("%q: %v", rows, err)
	}
}

// TestReprintOutlivesMaking: what was made ready to be printed once more, and is not printed yet, is still named with its blocks, offered, and not replaced, when the
// job is made anew, also by a desk that was started anew, until it is printed or somebody says that it is settled; and that a leftover may be used up already is told.
func TestReprintOutlivesMaking(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "a.csv"), []byte("Name,Journaling,Width,Height\nMara Quill,We walked,4,3\nOdo Fenn,Rain,3,3\nZia Moss,Sea words,4,3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	to := (&standIn{}).printer()
	r := begin(t, folder, Options{printer: to}, "a.csv")
	c := enter(t, r)
	anew := func(note string) {
		t.Helper()
		c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Note":%q}}`, r.rows(t, c)[0], note))
		c.press("/print/make", "{}")
	}
	held := func(name string) []byte {
		t.Helper()
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	c.press("/print/make", "{}")
	c.press("/print/again", `{"codes":["MQ-1"]}`)
	taken := "Blocks that were printed once more before the PDF was made anew may have used it"
	if strings.Contains(c.page("/reprint"), taken) {
		t.Error("a leftover of this print is said to be used up")
	}
	pdf, report := held("a-desk-redo.pdf"), held("a-desk-report-redo.xlsx")
	named := func(page string) {
		t.Helper()
		c.says(page, "<b>MQ-1</b> in <bdi>a-desk-redo.pdf</bdi>")
	}
	named("/print")
	anew("thanks")
	named("/print")
	named("/reprint")
	c.says("/reprint", `data-redo="a-desk-redo.pdf"`, "of an earlier PDF")
	c.press("/print/again", `{"codes":["ZM-1"]}`)
	if got := blocksOf(t, filepath.Join(folder, "a-desk-redo-2.pdf")); !slices.Equal(got, []string{"ZM-1"}) {
		t.Errorf("the next holds %v", got)
	}
	if !bytes.Equal(held("a-desk-redo.pdf"), pdf) || !bytes.Equal(held("a-desk-report-redo.xlsx"), report) {
		t.Error("what is not printed yet was replaced")
	}
	c.says("/reprint", `data-redo="a-desk-redo.pdf"`, `data-redo="a-desk-redo-2.pdf"`, taken)
	c.says("/share", "What was printed once more before the PDF was made anew is not in this account")
	anew("thanks to all") // and once more
	r.end()
	r = begin(t, folder, Options{printer: to}, "a.csv")
	c = enter(t, r)
	named("/print")
	c.says("/print", "<b>ZM-1</b> in <bdi>a-desk-redo-2.pdf</bdi>")
	c.says("/reprint", `data-redo="a-desk-redo.pdf"`, `data-redo="a-desk-redo-2.pdf"`, `data-settled="a-desk-redo.pdf"`)
	c.press("/print/start", `{"redo":"a-desk-redo.pdf"}`)
	c.says("/part/session", "Printing once more", "Print it?")
	if status, said := c.post("/print/settled", `{"redo":"a-desk-redo.pdf"}`); status != 409 {
		t.Errorf("while something prints: %d %s", status, said)
	}
	c.reply("q")
	for strings.Contains(c.page("/part/session"), "Printing once more") {
	}
	for _, name := range []string{"a-desk.pdf", "a-desk-redo-3.pdf", ""} {
		if status, said := c.post("/print/settled", fmt.Sprintf(`{"redo":%q}`, name)); status != 409 {
			t.Errorf("%q is settled: %d %s", name, status, said)
		}
	}
	c.press("/print/settled", `{"redo":"a-desk-redo.pdf"}`)
	for _, page := range []string{"/print", "/reprint"} {
		if said := c.page(page); strings.Contains(said, "a-desk-redo.pdf") || !strings.Contains(said, "a-desk-redo-2.pdf") {
			t.Errorf("%s after one was settled: %s", page, said)
		}
	}
	if !bytes.Equal(held("a-desk-redo.pdf"), pdf) {
		t.Error("what is settled is gone from the folder")
	}
	c.press("/print/again", `{"codes":["OF-1"]}`) // the name is free again
	c.says("/reprint", "<b>OF-1</b> in <bdi>a-desk-redo.pdf</bdi>", "<b>ZM-1</b> in <bdi>a-desk-redo-2.pdf</bdi>")
	c.press("/print/again", `{"codes":["MQ-1"]}`) // goes on from that one, and steps over what waits
	c.says("/reprint", "<b>OF-1</b> in <bdi>a-desk-redo.pdf</bdi>", "<b>ZM-1</b> in <bdi>a-desk-redo-2.pdf</bdi>", "<b>MQ-1</b> in <bdi>a-desk-redo-3.pdf</bdi>")
}

// TestReprintOfAnothersPDF: where the PDF and its report were made anew outside the desk, blocks are printed once more as they are in these, and what waits is of an
// earlier one.
func TestReprintOfAnothersPDF(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "a.csv"), []byte("Name,Journaling,Width,Height\nMara Quill,We walked,4,3\nOdo Fenn,Rain,3,3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "a.csv")
	c := enter(t, r)
	c.press("/print/make", "{}")
	c.press("/print/again", `{"codes":["OF-1"]}`)
	note := filepath.Join(folder, ".a-desk", "made.json")
	before, err := os.ReadFile(note)
	if err != nil {
		t.Fatal(err)
	}
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Journaling":"New pier words"}}`, r.rows(t, c)[0]))
	c.press("/print/make", "{}")
	if err := os.WriteFile(note, before, 0o600); err != nil { // as if a command had made it, which knows nothing of the note
		t.Fatal(err)
	}
	c.says("/reprint", "of an earlier PDF", "<b>OF-1</b> in <bdi>a-desk-redo.pdf</bdi>")
	c.press("/print/again", `{"codes":["MQ-1"]}`)
	c.says("/reprint", "<b>OF-1</b> in <bdi>a-desk-redo.pdf</bdi>", "<b>MQ-1</b> in <bdi>a-desk-redo-2.pdf</bdi>")
	earlier, found := report.Open(filepath.Join(folder, "a-desk-report-redo-2.xlsx"))
	if earlier == nil {
		t.Fatal(found)
	}
	settings, _ := config.Load(config.Source{Home: t.TempDir()})
	blocks, found := earlier.Blocks([]string{"MQ-1"}, settings)
	if len(blocks) != 1 || blocks[0].Text[0][0].Text != "New pier words" {
		t.Errorf("what is printed once more is %v %v", blocks, found)
	}
}

// TestNotesInAnEarlierReprint: a report of blocks printed once more that somebody has written into does not stand in the way of the next print's: it is kept
// under another name, and told.
func TestNotesInAnEarlierReprint(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "few.csv"), []byte("Name,Journaling,Width,Height\nAnn,one,4,2\nBob,two,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "few.csv")
	c := enter(t, r)
	c.press("/print/make", "{}")
	again := fmt.Sprintf(`{"codes":[%q]}`, blocksOf(t, filepath.Join(folder, "few-desk.pdf"))[0])
	c.press("/print/again", again)
	path := filepath.Join(folder, "few-desk-report-redo.xlsx")
	typed := func(words string) {
		t.Helper()
		report, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if err := errors.Join(report.SetCellStr(report.GetSheetList()[0], "Z40", words), report.Save(), report.Close()); err != nil {
			t.Fatal(err)
		}
	}
	typed("smeared twice")
	theirs, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Note":"thanks"}}`, r.rows(t, c)[0]))
	c.press("/print/make", "{}")
	c.press("/print/settled", `{"redo":"few-desk-redo.pdf"}`)
	c.press("/print/again", again)
	if kept, _ := os.ReadFile(filepath.Join(folder, "few-desk-report-redo-yours.xlsx")); !bytes.Equal(kept, theirs) {
		t.Error("what somebody wrote is not kept")
	}
	c.says("/reprint", "few-desk-report-redo-yours.xlsx")
}
