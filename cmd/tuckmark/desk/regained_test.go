package desk

import (
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestDroppedWhereAJobWas: a job whose workbook was deleted while nobody had it open comes back where a file of its name is dropped, or a job of its name
// begun; nothing takes its place, a file that cannot be read neither.
func TestDroppedWhereAJobWas(t *testing.T) {
	const rows = "Name,Journaling,Width,Height\nAnn,Words typed first.,4,2\n"
	for _, how := range []string{"drop", "drop what is no table", "begin", "paste"} {
		t.Run(how, func(t *testing.T) {
			folder := quickly(t)
			r := begin(t, folder, Options{limits: unlimited})
			enter(t, r).drop("/start/drop", "crop.csv", []byte(rows))
			if err := r.end(); err != nil {
				t.Fatal(err)
			}
			if err := os.Remove(filepath.Join(folder, "crop-desk.xlsx")); err != nil {
				t.Fatal(err)
			}
			r = begin(t, folder, Options{limits: unlimited})
			c := enter(t, r)
			said := ""
			switch how {
			case "drop":
				said = c.drop("/start/drop", "crop.csv", []byte(strings.Replace(rows, "first", "later", 1)))
			case "drop what is no table":
				said = c.drop("/start/drop", "crop.pdf", []byte("%PDF-1.7"))
			case "begin":
				_, said = c.post("/start/new", `{"name":"crop"}`)
			case "paste":
				_, said = c.post("/start/paste", `{"name":"crop","text":"no table"}`)
			}
			if !strings.Contains(said, "nothing was added") {
				t.Errorf("it was said: %s", said)
			}
			if text := c.page("/part/blocks?who=all"); !strings.Contains(text, "Words typed first.") {
				t.Error("what was typed is not there")
			}
		})
	}
}

// TestCopiedFolder: a lock in a copy of a folder whose desk is open does not lead to that desk, which shows the jobs of the other.
func TestCopiedFolder(t *testing.T) {
	folder, backup := quickly(t), filepath.Join(t.TempDir(), "copy")
	r := begin(t, folder, Options{limits: unlimited})
	enter(t, r)
	file := filepath.Join(folder, ".desk", "lock")
	if err := os.CopyFS(backup, os.DirFS(folder)); err != nil {
		t.Fatal(err)
	}
	if _, open := askAgain(file); !open {
		t.Error("its own lock does not lead to the desk")
	}
	if _, open := askAgain(filepath.Join(backup, ".desk", "lock")); open {
		t.Error("the lock of the copy leads to the desk of the other folder")
	}
	moved := filepath.Join(filepath.Dir(backup), "moved")
	if err := os.Rename(folder, moved); err != nil {
		t.Fatal(err)
	}
	if _, open := askAgain(filepath.Join(moved, ".desk", "lock")); !open {
		t.Error("once the folder has moved, its lock does not lead to the desk")
	}
	if err := os.Rename(moved, folder); err != nil {
		t.Fatal(err)
	}
}

// TestCopiedJobOpens: a copy of a job, made with its hidden folder while the desk had the first open, is opened on that desk's start page: the lock in it is the desk's own, and
// leads nowhere.
func TestCopiedJobOpens(t *testing.T) {
	folder := t.TempDir()
	r := begin(t, folder, Options{limits: unlimited})
	c := enter(t, r)
	if status, said := c.post("/start/new", `{"name":"j"}`); status != http.StatusOK {
		t.Fatal(said)
	}
	c.post("/add", `{"cells":{"Name":"Ann Lo","Journaling":"Words typed first."}}`)
	book, err := os.ReadFile(filepath.Join(folder, "j-desk.xlsx"))
	if err := errors.Join(err, os.WriteFile(filepath.Join(folder, "k-desk.xlsx"), book, 0o644), os.CopyFS(filepath.Join(folder, ".k-desk"), os.DirFS(filepath.Join(folder, ".j-desk")))); err != nil {
		t.Fatal(err)
	}
	if status, said := c.post("/start/open", `{"kind":"job","name":"k"}`); status != http.StatusOK || !strings.Contains(said, `"/journaling"`) {
		t.Fatal(status, said)
	}
	c.says("/journaling", fmt.Sprintf("data-job=%q", jobKey(filepath.Join(folder, "k-desk.xlsx"))))
	c.says("/part/blocks?who=all", "Words typed first.")
	if status, said := c.post("/start/open", `{"kind":"job","name":"j"}`); status != http.StatusOK || !strings.Contains(said, `"/journaling"`) {
		t.Error(status, said)
	}
}
