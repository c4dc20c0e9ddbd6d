package desk

import (
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestInTheWay: what stands where the desk writes is refused in words for somebody at a page, who names no files: none of a command's options, and what can be done with
// what stands there.
func TestInTheWay(t *testing.T) {
	t.Parallel()
	folder := quickly(t)
	if err := os.WriteFile(filepath.Join(folder, "a.csv"), []byte("Name,Journaling,Width,Height\nAnn,one,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	configuration := filepath.Join(folder, "tuckmark.yaml")
	if err := os.WriteFile(configuration, []byte("effort: 2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	c := enter(t, begin(t, folder, Options{printer: (&standIn{}).printer()}, "a.csv"))
	in := filepath.Join(folder, "a-desk-report.xlsx")
	for what, put := range map[string]func() error{
		"an input":       func() error { return os.Link(configuration, in) },
		"somebody's":     func() error { return os.WriteFile(in, []byte("my own list"), 0o600) },
		"a folder":       func() error { return os.Mkdir(in, 0o700) },
		"a link to none": func() error { return os.Symlink(filepath.Join(folder, "none", "none"), in) },
		"protected":      func() error { return os.WriteFile(in, []byte("my own list"), 0o400) },
	} {
		if err := put(); err != nil {
			t.Skip(err) // a system without it
		}
		status, said := c.post("/print/make", "{}")
		_, hint, _ := strings.Cut(said, "To do: ")
		if status != 409 || !strings.Contains(hint, "move") || strings.Contains(said, " -") || strings.Contains(hint, "give another name") {
			t.Errorf("%s: %d %s", what, status, said)
		}
		if err := os.Remove(in); err != nil {
			t.Fatal(err)
		}
	}
	c.press("/print/make", "{}")
	if err := os.WriteFile(filepath.Join(folder, "a-desk-report-redo.xlsx"), []byte("my own list"), 0o600); err != nil {
		t.Fatal(err)
	}
	status, said := c.post("/print/again", fmt.Sprintf(`{"codes":[%q]}`, blocksOf(t, filepath.Join(folder, "a-desk.pdf"))[0]))
	if status != 409 || strings.Contains(said, "go on from that report") || !strings.Contains(said, "To do: move") {
		t.Errorf("a report of others: %d %s", status, said)
	}
	if err := os.WriteFile(filepath.Join(folder, "a-desk-printing.json"), []byte("{"), 0o600); err != nil {
		t.Fatal(err)
	}
	if said := c.says("/print", "It cannot be read how far the printing is"); strings.Contains(said, "--page") {
		t.Error("a command's option is named")
	}
}

// TestSlowBodies: who has not entered, and sends what the desk has asked for slower than any browser, does not hold one of its connections for long.
func TestSlowBodies(t *testing.T) {
	t.Parallel()
	r := begin(t, quickly(t), Options{limits: func(g *guard) { unlimited(g); g.strangers = 300 * time.Millisecond }})
	for _, path := range []string{"/enter", "/change", "/nowhere"} {
		conn, err := net.Dial("tcp", r.host)
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close()
		fmt.Fprintf(conn, "POST %s HTTP/1.1\r\nHost: %s\r\nOrigin: http://%s\r\nContent-Type: application/json\r\nContent-Length: 100\r\n\r\n{", path, r.host, r.host)
		conn.SetReadDeadline(time.Now().Add(15 * time.Second))
		buf := make([]byte, 4096)
		for err == nil {
			_, err = conn.Read(buf)
		}
		if os.IsTimeout(err) {
			t.Errorf("%s: the connection is held", path)
		}
	}
}
