package desk

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// TestForeignNotes: whatever another program left in the desk's own notes beside a job, how far its cuts are done and what was pressed, the job opens, and
// takes from them no more than the desk could have written.
func TestForeignNotes(t *testing.T) {
	longtests.Only(t)
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Journaling,Width,Height\nAnn Lo,first,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	notes := filepath.Join(folder, ".j-desk")
	r := begin(t, folder, Options{printer: (&standIn{}).printer(), limits: unlimited, atOnce: true}, "j.csv")
	c := enter(t, r)
	c.press("/print/make", "{}")
	for what, text := range map[string]string{
		"nothing":            "",
		"cut short":          `[{"number":1,"did":"x","made":[{"k":0,"id":"`,
		"no JSON":            "\x00\xff\xfe",
		"null":               "null",
		"another kind":       `{"done":{"k":-3,"":9223372036854775807},"at":"\u0000"}`,
		"numbers too large":  `{"done":{"k":1e300}}`,
		"nothing in it":      `{"done":null}`,
		"deep":               strings.Repeat("[", 100_000),
		"a press of nothing": `[null,{},{"number":1,"did":"x","made":[{}],"back":[{}]}]`,
		"a row that goes":    `[{"number":1,"did":"x","made":[{"k":0,"id":"aaaaaaaaaa","c":"Hold","t":""}],"back":[{"k":2,"id":"ROW"}]}]`,
		"another sheet":      `[{"number":1,"did":"x","made":[{"k":0,"s":9,"id":"aaaaaaaaaa"}],"back":[{"k":0,"s":9,"id":"aaaaaaaaaa"}]}]`,
		"a number too large": `[{"number":9223372036854775807,"did":"x","made":[{"k":0,"id":"a","c":"Hold"}],"back":[{"k":0,"id":"a","c":"Hold"}]}]`,
	} {
		for _, name := range []string{"pressed.json", "cuts.json"} {
			if err := os.WriteFile(filepath.Join(notes, name), []byte(text), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		c.press("/start/open", `{"kind":"job","name":"j"}`)
		if _, _, text := c.sheetsNow(20 * time.Second); strings.Contains(text, "data-back") {
			t.Errorf("%s: it is taken for something that was pressed", what)
		}
		var v cutsView
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil || len(v.Pieces) == 0 || len(v.Done) > 0 {
			t.Errorf("%s: the cuts are %v (%v)", what, v.Done, err)
		}
		c.press("/cutting/done", `{"done":{"`+v.Pieces[0].Key+`":1},"at":""}`)
		if err := json.Unmarshal([]byte(c.page("/part/cuts")), &v); err != nil || v.Done[v.Pieces[0].Key] != 1 {
			t.Errorf("%s: what is cut then is not kept: %v (%v)", what, v.Done, err)
		}
	}
}
