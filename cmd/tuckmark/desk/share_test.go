package desk

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestShare: whose blocks lie where, what each pays and the messages are those of the PDF, also after a change of the job and in a desk started anew;
// where they are not known any more it says so.
func TestShare(t *testing.T) {
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Page,Journaling,Width,Height,Stock\nAnn Lo,4,We rowed out.,4,2,vellum\nAnn Lo,5,Second,2,1,vellum\nBo Ek,6,Third,3,1,vellum\nCy Ho,7,Fourth,3,,vellum\n<b>Di</b>,8,Fifth,2,1,vellum\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(folder, "tuckmark.yaml"), []byte("effort: 2\nstocks:\n  - name: vellum\n    sheets:\n      - size: 8 1/2 x 11 in\n        price: 1.00\ncosts: {ink: 2.50, postage: 3.01 by person}\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop.csv")
	c := enter(t, r)
	if !strings.Contains(c.page("/share"), "Make it first") {
		t.Error("it does not say that nothing is made")
	}
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	want := []string{"The account", "1.00", "ink, 2.50, by area; postage, 3.01, by person", ">6.51<", "Your share of the paper, ink and postage is", "Ann Lo", "AL-1", "We rowed out.", "2 blocks of yours are printed and cut:", "“We rowed out.”, page 4, AL-1", "Hello Bo Ek,", "1 held back", "1 block of yours cannot be printed yet:", "&lt;b&gt;Di&lt;/b&gt;"}
	text := c.says("/share", want...)
	if strings.Contains(text, "<b>Di") {
		t.Error("a name is taken for HTML")
	}
	id := r.rows(t, c)[0]
	if got := c.do("POST", "/change", `{"id":"`+id+`","cells":{"Journaling":"We stayed."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	c.says("/share", want...)
	if got := c.do("POST", "/undo", "{}", nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop-desk.xlsx")
	c = enter(t, r)
	c.says("/share", want...)
	if got := c.do("POST", "/change", `{"id":"`+r.rows(t, c)[0]+`","cells":{"Journaling":"We stayed."}}`, nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{printer: (&standIn{}).printer()}, "crop-desk.xlsx")
	c = enter(t, r)
	c.says("/share", "The job was changed since the PDF was made", "/download/report")
	if got := c.do("POST", "/undo", "{}", nil).StatusCode; got != 200 {
		t.Fatal(got)
	}
	// What is printed once more goes into the account, and into that of its own guides.
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	again := make([]string, 60)
	for i := range again {
		again[i] = "AL-1"
	}
	codes, _ := json.Marshal(map[string][]string{"codes": again})
	if status, said := c.post("/print/again", string(codes)); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/share", "the paper of what was printed again since", ">printing again<", "Your share of the paper, ink, postage and printing again is")
	book, err := excelize.OpenFile(filepath.Join(folder, "crop-desk-report-redo.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if rows, err := book.GetRows("Account 2"); err != nil || !slices.Contains(rows[0], "owed before") || slices.Contains(rows[0], "ink") {
		t.Errorf("the account of what is printed once more: %v %v", rows, err)
	}
	if err := os.Remove(filepath.Join(folder, "crop-desk-report-redo.xlsx")); err != nil {
		t.Fatal(err)
	}
	c.says("/share", "What was printed once more is not in the account.", "The account")
}
