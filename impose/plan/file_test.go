package plan_test

import (
	"bytes"
	"os"
	"testing"

	"tuckmark/impose/plan/made"
)

// The plan file is a promise to other readers: this is the plan that describes it, as it was written by hand, but for the order of
// its blocks, which is that of reading.
func TestWriteFile(t *testing.T) {
	want, err := os.ReadFile("testdata/example.json")
	if err != nil {
		t.Fatal(err)
	}
	example, _ := made.Example()
	var got bytes.Buffer
	if err := example.WriteFile(&got); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("the example is written\n%s\nand should be\n%s", got.Bytes(), want)
	}
}
