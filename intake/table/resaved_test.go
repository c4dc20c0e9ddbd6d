package table

import (
	"archive/zip"
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// TestWrittenAsResaved: a marked copy is known also where another program has saved it: the properties are those of openpyxl 3.0.
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
	for _, data := range [][]byte{ours.Bytes(), theirs.Bytes()} {
		if as := WrittenAs(data); as != MarkedCopy {
			t.Errorf("known as %d", as)
		}
	}
}
