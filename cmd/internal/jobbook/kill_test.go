package jobbook

import (
	"bufio"
	"encoding/json"
	"fmt"
	"hash/fnv"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/longtests"
)

const childFolder = "JOBBOOK_TEST_FOLDER"

func TestMain(m *testing.M) {
	if dir := os.Getenv(childFolder); dir != "" {
		child(dir)
		return
	}
	os.Exit(m.Run())
}

func fingerprint(rows [sheets][]Row) string {
	data, _ := json.Marshal(rows)
	h := fnv.New64a()
	h.Write(data)
	return fmt.Sprintf("%x", h.Sum64())
}

// child works on a book until it is killed. Before each step it prints what that leads to, and "sure" when it is done.
func child(dir string) {
	say := func(format string, args ...any) { fmt.Printf(format+"\n", args...) }
	s, _ := config.Load(config.Source{Work: dir})
	path := filepath.Join(dir, "retreat-desk.xlsx")
	b, _, _, err := Open(path, s)
	if err != nil {
		if b, err = New(path, s); err != nil {
			say("fault %v", err)
			return
		}
	}
	c := chance{rand.New(rand.NewPCG(uint64(time.Now().UnixNano()), 1))}
	m := newModel()
	m.now = rowsOf(b)
	say("next %s", fingerprint(m.now))
	say("sure")
	for i := range 100_000 {
		changes := c.changes(m.now)
		for _, change := range tidied(changes) {
			m.make(change)
		}
		say("next %s", fingerprint(m.now))
		if _, err := b.Do(changes...); err != nil {
			say("fault %v", err)
			return
		}
		say("sure")
		if i%17 == 16 {
			if err := b.Save(); err != nil {
				say("fault %v", err)
				return
			}
		}
	}
}

// A process that is killed at any moment leaves all that Do returned for. 20 times, or 500 with LONG_TESTS=1.
func TestKilled(t *testing.T) {
	longtests.Only(t)
	times := longtests.Cases(20, 500)
	dir := t.TempDir()
	s, _ := config.Load(config.Source{Work: dir})
	path := filepath.Join(dir, "retreat-desk.xlsx")
	steps := 0
	for i := range times {
		p := exec.Command(os.Args[0])
		p.Env = append(os.Environ(), childFolder+"="+dir)
		p.Stderr = os.Stderr
		out, err := p.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := p.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewReader(out)
		first, err := lines.ReadString('\n')
		if err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(rand.IntN(150_000)) * time.Microsecond)
		if err := p.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		rest, err := io.ReadAll(lines)
		if err != nil {
			t.Fatal(err)
		}
		_ = p.Wait() // it was killed
		var sure, next string
		for line := range strings.Lines(first + string(rest)) {
			line, whole := strings.CutSuffix(line, "\n")
			switch word, of, _ := strings.Cut(line, " "); {
			case word == "fault":
				t.Fatalf("kill %d: %s", i, line)
			case whole && word == "next":
				next = of
			case whole && word == "sure":
				sure = next
				steps++
			}
		}
		b, found, err := open(save.System, path, s)
		if err != nil {
			t.Fatalf("kill %d: %v %v", i, err, found)
		}
		if got := fingerprint(rowsOf(b)); got != sure && got != next {
			t.Fatalf("kill %d: what Do returned for is not there", i)
		}
		if q := b.Questions(); len(q) > 0 {
			t.Fatalf("kill %d: it asks %v", i, q)
		}
		if i%2 == 0 {
			err = b.Close()
		} else {
			err = b.Leave()
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	entries, err := os.ReadDir(filepath.Join(dir, ".retreat-desk"))
	if err != nil || len(entries) > 3 {
		t.Errorf("there are %v (%v)", entries, err)
	}
	t.Logf("%d steps", steps)
}
