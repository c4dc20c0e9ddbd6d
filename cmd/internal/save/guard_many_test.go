package save

import (
	"fmt"
	"path/filepath"
	"testing"
	"time"
)

// TestManyOutputs: a letter or a page for each of a thousand people is looked at in moments, and two of one name are still seen.
func TestManyOutputs(t *testing.T) {
	dir := t.TempDir()
	var g Guard
	g.Protect(dir)
	var outputs []string
	for i := range 1000 {
		outputs = append(outputs, filepath.Join(dir, fmt.Sprintf("letter-%d.txt", i)))
	}
	began := time.Now()
	if p := g.Check(outputs...); p != nil {
		t.Error(p)
	}
	if p := g.Check(append(outputs, filepath.Join(dir, ".", "letter-999.txt"))...); p == nil {
		t.Error("two outputs of one name are not seen")
	}
	if took := time.Since(began); took > 3*time.Second {
		t.Errorf("it takes %v", took)
	}
}
