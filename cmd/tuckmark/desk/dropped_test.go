package desk

import (
	"bytes"
	"fmt"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"
)

// TestDropped: as many files as may be dropped at once all come in, whatever they are called.
func TestDropped(t *testing.T) {
	names := map[string]func(n int) string{
		"no plain names":     func(n int) string { return fmt.Sprintf("Form #%d.csv", n) },
		"one name":           func(int) string { return "form.csv" },
		"one name, hidden":   func(n int) string { return strings.Repeat(" ", n) + ".csv" },
		"letters":            func(n int) string { return [...]string{"form.csv", "Form.csv", "FORM.CSV"}[n%3] },
		"names like ours":    func(n int) string { return [...]string{"#.csv", fmt.Sprintf("dropped %d.csv", n)}[n%2] },
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
