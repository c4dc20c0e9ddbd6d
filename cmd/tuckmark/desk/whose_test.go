package desk

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// ownBook puts a workbook of somebody's into a folder, which has the name of a job's.
func ownBook(t *testing.T, folder, name string) (stays func()) {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	path := filepath.Join(folder, name)
	err := errors.Join(f.SetSheetRow("Sheet1", "A1", &[]any{"Guest", "Text for the card", "Width", "Height"}), f.SetSheetRow("Sheet1", "A2", &[]any{"Ann Lo", "words of mine", 3, 2}), f.SaveAs(path))
	data, unread := os.ReadFile(path)
	if err = errors.Join(err, unread); err != nil {
		t.Fatal(err)
	}
	return func() {
		t.Helper()
		if now, err := os.ReadFile(path); err != nil || !bytes.Equal(now, data) {
			t.Errorf("%s was written: %v", name, err)
		}
	}
}

// TestSomebodysDesk: a workbook of somebody's that is called front-desk.xlsx is offered as a spreadsheet and not as a job, and is only read.
func TestSomebodysDesk(t *testing.T) {
	folder := quickly(t)
	stays := ownBook(t, folder, "front-desk.xlsx")
	r := begin(t, folder, Options{limits: unlimited})
	c := enter(t, r)
	if page := c.page("/start"); strings.Contains(page, `data-open="job"`) || !strings.Contains(page, `data-open="file" data-name="front-desk.xlsx"`) {
		t.Errorf("it is listed otherwise: %s", page)
	}
	if status, said := c.post("/start/new", `{"name":"front"}`); status == http.StatusOK || !strings.Contains(said, "there is a file of that name") {
		t.Errorf("a job of the name: %d %s", status, said)
	}
	for range 2 {
		if status, said := c.post("/start/open", `{"kind":"file","name":"front-desk.xlsx"}`); status != http.StatusOK {
			t.Fatal(said)
		}
		c.press("/add", `{"cells":{"Name":"Bo Ek","Journaling":"typed at the desk"}}`)
		if text := c.page("/part/blocks?who=all"); !strings.Contains(text, "words of mine") {
			t.Error("it is not read")
		}
	}
	if page := c.page("/start"); !strings.Contains(page, `data-open="job" data-name="front-desk"`) || !strings.Contains(page, `data-open="file" data-name="front-desk.xlsx"`) {
		t.Errorf("the job of it is not offered: %s", page)
	}
	if err := r.end(); err != nil {
		t.Error(err)
	}
	stays()
}

// TestSomebodysBeside: a desk on a file beside which somebody's own workbook has the name of its job does not begin, and leaves nothing.
func TestSomebodysBeside(t *testing.T) {
	folder := copyOf(t, sample)
	stays := ownBook(t, folder, "retreat-desk.xlsx")
	ctx, end := context.WithCancel(t.Context())
	defer end()
	o := Options{NoBrowser: true, Work: folder, Settings: load, Files: []string{filepath.Join(folder, "retreat.xlsx")}, Say: func(string) { end() }}
	err := Run(ctx, o)
	var refused *Refused
	if !errors.As(err, &refused) || refused.Problems[0].Place.File != "retreat-desk.xlsx" || !strings.Contains(refused.Problems[0].Hint, "rename the file") {
		t.Errorf("it begins: %v", err)
	}
	stays()
	if left, err := os.ReadDir(folder); err != nil || len(left) != 2 {
		t.Errorf("in the folder are %v: %v", left, err)
	}
}
