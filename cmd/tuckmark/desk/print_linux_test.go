package desk

import (
	"context"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/cmd/internal/printjob/rig"
	"tuckmark/config"
	"tuckmark/config/problem"
)

// TestPrintedByTheDesk: a stock goes through CUPS to a printer in software by the desk's buttons alone, with a jam in between that is told; what came
// out is remembered, and offered as left to print no more.
func TestPrintedByTheDesk(t *testing.T) {
	r := rig.Start(t)
	p := thisPrinter()
	p.prepare = func(ctx context.Context, pdf string, c *config.Settings, part printjob.Part) (*printjob.Session, problem.List) {
		return printjob.Prepare(ctx, printjob.Machine{System: "linux", Server: r.Socket}, pdf, c, part)
	}
	d := begin(t, quickly(t), Options{printer: &p}, "retreat.xlsx")
	c := enter(t, d)
	if status, said := c.post("/print/make", "{}"); status != 200 {
		t.Fatal(status, said)
	}
	c.says("/print", `data-print="cardstock"`)
	r.Hold("media-jam-error")
	if status, said := c.post("/print/start", `{"stock":"cardstock"}`); status != 200 {
		t.Fatal(status, said)
	}
	c.reply("y")
	c.says("/part/session", "paper is jammed", "Sent to “home”")
	if status, _ := c.post("/quit", "{}"); status != 409 {
		t.Errorf("the desk ends while something is in the printer: %d", status)
	}
	r.Release()
	for end := time.Now().Add(time.Minute); ; time.Sleep(50 * time.Millisecond) {
		text := c.page("/part/session")
		if strings.Contains(text, "Printed well: page") {
			break
		}
		if strings.Contains(text, "data-number") {
			c.reply("y")
		}
		if time.Now().After(end) {
			t.Fatal(text)
		}
	}
	if got := len(r.Received()); got == 0 {
		t.Error("the printer has nothing")
	}
	c.says("/print", "Print cardstock once more", "Print vellum<", ">printed<")
	if status, said := c.post("/print/start", `{"stock":"cardstock"}`); status != 409 || !strings.Contains(said, "nothing left to print") {
		t.Errorf("it is printed twice: %d %s", status, said)
	}
}
