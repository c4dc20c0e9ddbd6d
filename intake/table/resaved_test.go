package table

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestWrittenAsResaved: a marked copy is known for one that was worked in also where the other program has left the time of the change as it was, as
// openpyxl 3.0 does, whose properties these are.
func TestWrittenAsResaved(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	const at = "2000-01-01T00:00:00Z"
	if err := f.SetDocProps(&excelize.DocProperties{Description: CopyOf([]string{"a.csv"}), Created: at, Modified: at}); err != nil {
		t.Fatal(err)
	}
	var ours, theirs bytes.Buffer
	if err := f.Write(&ours); err != nil {
		t.Fatal(err)
	}
	from, err := zip.NewReader(bytes.NewReader(ours.Bytes()), int64(ours.Len()))
	if err != nil {
		t.Fatal(err)
	}
	to := zip.NewWriter(&theirs)
	for _, part := range from.File {
		r, err := part.Open()
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		if part.Name == "docProps/core.xml" {
			data = []byte(strings.NewReplacer("<coreProperties xmlns=", "<cp:coreProperties xmlns:cp=", "</coreProperties>", "</cp:coreProperties>").Replace(string(data)))
		}
		w, err := to.Create(part.Name)
		if err == nil {
			_, err = w.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := to.Close(); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		data    []byte
		changed bool
	}{{ours.Bytes(), false}, {theirs.Bytes(), true}} {
		if as, changed := WrittenAs(c.data); as != MarkedCopy || changed != c.changed {
			t.Errorf("known as %d, changed %v, not %v", as, changed, c.changed)
		}
	}
}
