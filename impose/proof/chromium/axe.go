package chromium

import (
	"encoding/json"
	"os"
	"testing"
)

// Axe has axe-core look at what a tab shows: each violation that it knows of is an error of the test. AXE_CORE names its axe.min.js; where it does
// not, the test is skipped.
func Axe(t testing.TB, b *Tab, what string) {
	t.Helper()
	b.JS(axeCore(t))
	raw := Eval[string](b, `axe.run().then((r) => JSON.stringify({violations: r.violations, passes: r.passes.length, unsure: r.incomplete.map((i) => i.id + " " + i.nodes.length + " " + i.nodes[0].html.slice(0, 80) + " " + i.nodes[0].failureSummary)}))`)
	var answer struct {
		Violations []struct {
			ID, Help string
			Nodes    []struct {
				HTML           string
				FailureSummary string
			}
		}
		Passes int
		Unsure []string
	}
	if err := json.Unmarshal([]byte(raw), &answer); err != nil {
		t.Fatal(err)
	}
	if answer.Passes < 12 {
		t.Errorf("%s: axe-core looked at little: %d rules passed", what, answer.Passes)
	}
	t.Logf("%s: %d rules passed, unsure: %v", what, answer.Passes, answer.Unsure)
	for _, v := range answer.Violations {
		t.Errorf("%s: %s: %s (%d times), first: %.300s %.300s", what, v.ID, v.Help, len(v.Nodes), v.Nodes[0].HTML, v.Nodes[0].FailureSummary)
	}
}

// axeCore is the script that looks.
func axeCore(t testing.TB) string {
	t.Helper()
	file := os.Getenv("AXE_CORE")
	if file == "" {
		t.Skip("AXE_CORE does not name axe-core's axe.min.js")
	}
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}
