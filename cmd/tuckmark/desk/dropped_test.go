package desk

import (
	"bytes"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestDropped: as many files as may be dropped at once all come in, whatever they are called.
func TestDropped(t *testing.T) {
	names := map[string]func(n int) string{
		"no plain names":     func(n int) string { return fmt.Sprintf("Form #%d.csv", n) },
		"one name":           func(int) string { return "form.csv" },
		"one name, hidden":   func(n int) string { return strings.Repeat(" ", n) + ".csv" },
		"letters":            func(n int) string { return [...]string{"form.csv", "Form.csv", "FORM.CSV"}[n%3] },
		"names like ours":    func(n int) string { return [...]string{"#.csv", fmt.Sprintf("dropped (%d).csv", n)}[n%2] },
		"no ending, no name": func(int) string { return "#" },
	}
	for what, name := range names {
		t.Run(what, func(t *testing.T) {
			r := begin(t, quickly(t), Options{limits: unlimited})
			c := enter(t, r)
			var body bytes.Buffer
			form := multipart.NewWriter(&body)
			for n := range mostFiles {
				part, err := form.CreateFormFile("file", name(n))
				if err != nil {
					t.Fatal(err)
				}
				fmt.Fprintf(part, "Name,Journaling,Width,Height\nAnn,Text of file %d.,4,2\n", n)
			}
			if err := form.Close(); err != nil {
				t.Fatal(err)
			}
			c.post("/start/new", `{"name":"crop"}`)
			answer := c.do("POST", "/take/drop", body.String(), func(r *http.Request) { r.Header.Set("Content-Type", form.FormDataContentType()) })
			if answer.StatusCode != 200 {
				t.Fatal(answer.Status)
			}
			text := c.page("/part/blocks?who=all")
			for n := range mostFiles {
				if !strings.Contains(text, fmt.Sprintf("Text of file %d.", n)) {
					t.Errorf("%s, the %d. file, has not come in", name(n), n+1)
				}
			}
		})
	}
}

// drop drops a file on the page of a path, and returns the answer.
func (c *caller) drop(path, name string, data []byte) string {
	c.t.Helper()
	status, said := c.dropped(path, name, data)
	if status != 200 {
		c.t.Fatalf("%s: %d: %s", path, status, said)
	}
	return said
}

// dropped is drop, whatever the answer is.
func (c *caller) dropped(path, name string, data []byte) (status int, answered string) {
	c.t.Helper()
	var body, said bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	if err == nil {
		_, err = part.Write(data)
	}
	if err == nil {
		err = form.Close()
	}
	if err != nil {
		c.t.Fatal(err)
	}
	answer := c.do("POST", path, body.String(), func(r *http.Request) { r.Header.Set("Content-Type", form.FormDataContentType()) })
	said.ReadFrom(answer.Body)
	return answer.StatusCode, said.String()
}

// TestLeftOutIsTold: what was given and is not in the job is told in the answer and stands on the page of the journaling, with its place, whichever way a
// job begins: a sheet whose headings are not understood, one that is hidden, cells above the headings. Of columns that are taken over under their own
// headings it is not said that they were not read.
func TestLeftOutIsTold(t *testing.T) {
	book := excelize.NewFile()
	defer book.Close()
	row := func(sheet, at string, cells ...any) {
		t.Helper()
		if _, err := book.NewSheet(sheet); err != nil {
			t.Fatal(err)
		}
		if err := book.SetSheetRow(sheet, at, &cells); err != nil {
			t.Fatal(err)
		}
	}
	row("Sheet1", "B1", "all of it is for SATURDAY")
	for i, sheet := range []string{"Sheet1", "Yan"} {
		row(sheet, "A2", "Name", "Journaling", "Width", "Height", "Mood")
		row(sheet, "A3", fmt.Sprintf("Ann %d", i), "words", 4, 2, "glad")
	}
	if err := book.SetSheetVisible("Yan", false); err != nil {
		t.Fatal(err)
	}
	row("Zoe", "A1", "Who wants it", "What it shall say", "across", "down")
	row("Zoe", "A2", "Zoe", "the words of Zoe", 3, 2)
	var data bytes.Buffer
	if err := book.Write(&data); err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "friends.xlsx"), data.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	const above, hidden, strange = "cells above the headings were not read: B1", "the sheet is hidden and was not read", "the sheet is not journaling and was not read"
	r := begin(t, folder, Options{limits: unlimited}, "friends.xlsx")
	c := enter(t, r)
	for _, by := range []struct {
		way    string
		answer func() string // "": there is none
		page   []string
	}{
		{"tuckmark desk FILE", func() string { return "" }, []string{"friends.xlsx, sheet Sheet1</bdi>: <b>C" + above[1:], "sheet Yan</bdi>: <b>T" + hidden[1:], "sheet Zoe</bdi>: <b>T" + strange[1:]}},
		{"dropped on the start", func() string { return c.drop("/start/drop", "friends3.xlsx", data.Bytes()) }, []string{"friends3.xlsx, sheet Sheet1</bdi>: <b>C" + above[1:], "T" + hidden[1:], "T" + strange[1:]}},
		{"dropped beside the blocks", func() string { return c.drop("/take/drop", "friends4.xlsx", data.Bytes()) }, nil},
		{"pasted on the start", func() string {
			status, answer := c.post("/start/paste", `{"name":"pasted","text":"\tall of it is for SATURDAY\nName\tJournaling\tWidth\tHeight\tMood\nAnn\twords\t4\t2\tglad\n"}`)
			return fmt.Sprint(status, answer, strange, hidden) // a paste has one sheet
		}, []string{"what was pasted</bdi>: <b>C" + above[1:]}},
		{"a file of the folder", func() string {
			if err := os.WriteFile(filepath.Join(folder, "friends2.xlsx"), data.Bytes(), 0o600); err != nil {
				t.Fatal(err)
			}
			_, answer := c.post("/start/open", `{"kind":"file","name":"friends2.xlsx"}`)
			return answer
		}, []string{"friends2.xlsx, sheet Sheet1</bdi>: <b>C" + above[1:], "T" + hidden[1:], "T" + strange[1:]}},
	} {
		answer := by.answer()
		for _, told := range []string{above, hidden, strange} {
			if answer != "" && !strings.Contains(answer, told) {
				t.Errorf("%s: %q is not in the answer %s", by.way, told, answer)
			}
		}
		var list struct{ Problems []finding }
		_ = json.Unmarshal([]byte(answer), &list) // that of the paste is no JSON
		for _, f := range list.Problems {
			if strings.Contains(f.What, "Mood") {
				t.Errorf("%s: of a column that is taken over it says %q", by.way, f.What)
			}
		}
		page := c.page("/part/blocks?who=all")
		for _, told := range by.page {
			if !strings.Contains(page, told) {
				t.Errorf("%s: %q is not on the page:\n%s", by.way, told, page)
			}
		}
	}
}

// TestNothingTaken: where nothing of what was dropped onto a job could be taken over, the answer says so, and there is no step to undo.
func TestNothingTaken(t *testing.T) {
	r := begin(t, quickly(t), Options{limits: unlimited})
	c := enter(t, r)
	c.post("/start/new", `{"name":"crop"}`)
	steps := c.page("/part/states")
	for name, data := range map[string]string{"spoilt.xlsx": "PK\x03\x04 and no more", "list.csv": "Fish,Price\nCod,3\n", "none.csv": "Name,Journaling,Width,Height\n"} {
		if status, said := c.dropped("/take/drop", name, []byte(data)); status != 422 || !strings.Contains(said, `"why":"Nothing was taken over`) {
			t.Errorf("%s: %s", name, said)
		}
		if now := c.page("/part/states"); now != steps {
			t.Errorf("%s: there is a step: %s", name, now)
		}
	}
}
