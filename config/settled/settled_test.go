package settled

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// A program that pauses half-way in what it saves, and what is left alone.
func TestRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.txt")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if _, err = f.WriteString("first half\n"); err != nil {
		t.Fatal(err)
	}
	go func() {
		time.Sleep(RestTime / 5)
		_, _ = f.WriteString("second half\n")
	}()
	if data, err := Read(path, 1000); !errors.Is(err, ErrChanged) {
		t.Errorf("half of it: %q, %v", data, err)
	}
	if data, err := Read(path, 1000); string(data) != "first half\nsecond half\n" {
		t.Errorf("all of it: %q, %v", data, err)
	}
	if _, err := Read(path, 22); !errors.Is(err, ErrLarge) {
		t.Errorf("too large: %v", err)
	}
}
