package desk

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestBrowserFile: the browser is opened through a file that only the user can read, and what every user of the machine can see of it, its arguments,
// has no secret; the file is gone once it is not needed.
func TestBrowserFile(t *testing.T) {
	dir := t.TempDir()
	said := filepath.Join(dir, "said")
	script := "#!/bin/sh\necho \"$@\" > " + said + ".part\nmv " + said + ".part " + said + "\n"
	if err := os.WriteFile(filepath.Join(dir, "xdg-open"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+":"+os.Getenv("PATH"))
	near := t.TempDir()
	file, err := openBrowser(near, "http://127.0.0.1:1/enter#secret")
	if err != nil {
		t.Fatal(err)
	}
	if filepath.Dir(filepath.Dir(file)) != near {
		t.Errorf("the file is %s, where a browser in a sandbox may not see it", file)
	}
	defer os.RemoveAll(filepath.Dir(file))
	for _, c := range []struct {
		path string
		mode os.FileMode
	}{{file, 0o600}, {filepath.Dir(file), 0o700}} {
		if info, err := os.Stat(c.path); err != nil || info.Mode().Perm() != c.mode {
			t.Errorf("%s: %v, %v", c.path, info, err)
		}
	}
	if page, err := os.ReadFile(file); err != nil || !strings.Contains(string(page), "url=http://127.0.0.1:1/enter#secret") {
		t.Errorf("the file holds %s, %v", page, err)
	}
	for range 100 {
		if args, err := os.ReadFile(said); err == nil {
			if got := strings.TrimSpace(string(args)); got != file {
				t.Errorf("the browser is called with %q", got)
			}
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Error("the browser is not called")
}

// TestBrowserFindsNothing: where a browser was started and nobody enters, the address is told, and it is good; the file lies beside the lock, and goes with
// the desk.
func TestBrowserFindsNothing(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "xdg-open"), []byte("#!/bin/sh\n"), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", dir+":"+os.Getenv("PATH"))
	for _, enters := range []bool{true, false} {
		folder, said := t.TempDir(), make(chan string, 10)
		says := func() string {
			select {
			case line := <-said:
				return line
			case <-time.After(20 * time.Second):
				t.Fatal("nothing is said")
				return ""
			}
		}
		ctx, stop := context.WithCancel(t.Context())
		defer stop()
		done := make(chan error, 1)
		go func() {
			done <- Run(ctx, Options{Work: folder, Settings: load, Say: func(line string) { said <- line }, readsIn: 200 * time.Millisecond})
		}()
		if line := says(); !strings.HasPrefix(line, "The desk is open in your browser.") {
			t.Fatal(line)
		}
		if files, _ := filepath.Glob(filepath.Join(folder, ".desk", "*", "open.html")); len(files) != 1 {
			t.Errorf("the browser is started on %q", files)
		}
		if enters {
			_, address, told := strings.Cut(says(), "it is good once: ")
			if !told {
				t.Fatal("no address is told")
			}
			r := &running{folder: folder, address: address}
			r.host, _, _ = strings.Cut(strings.TrimPrefix(address, "http://"), "/")
			enter(t, r)
		}
		stop()
		if err := <-done; err != nil {
			t.Error(err)
		}
		if left, _ := filepath.Glob(filepath.Join(folder, ".*")); len(left) > 0 {
			t.Errorf("the desk leaves %q", left)
		}
	}
}

// TestBrowserEntered: the file is removed as soon as somebody has entered; and where no browser can be started, the address is told.
func TestBrowserEntered(t *testing.T) {
	file := filepath.Join(t.TempDir(), "page", "open.html")
	address := ""
	r := begin(t, copyOf(t, sample), Options{Browser: func(a string) (string, error) {
		address = a
		return file, os.MkdirAll(filepath.Dir(file), 0o700)
	}}, "retreat.xlsx")
	r.address = address
	r.host, _, _ = strings.Cut(strings.TrimPrefix(address, "http://"), "/")
	enter(t, r)
	if _, err := os.Stat(filepath.Dir(file)); err == nil {
		t.Error("the file is left")
	}
	r = begin(t, copyOf(t, sample), Options{Browser: func(a string) (string, error) { return "", os.ErrNotExist }}, "retreat.xlsx")
	if !strings.Contains(r.address, "good once: http://127.0.0.1:") {
		t.Errorf("it says %q", r.address)
	}
}
