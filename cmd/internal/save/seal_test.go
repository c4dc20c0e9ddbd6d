package save

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/press"
)

// formats are small files of every format that is written.
func formats(t *testing.T) map[string][]byte {
	t.Helper()
	var book, pdf bytes.Buffer
	z := zip.NewWriter(&book)
	w, err := z.Create("xl/workbook.xml")
	must(t, err)
	_, err = io.WriteString(w, "<workbook/>")
	must(t, err)
	must(t, z.Close())
	must(t, press.Write(&pdf, press.Document{Title: "Plums", Language: "en", Sections: []press.Section{{Title: "Plums", Pages: []press.Page{{Size: measure.Size{W: measure.Inch, H: measure.Inch}}}}}}, nil))
	return map[string][]byte{"workbook": book.Bytes(), "PDF": pdf.Bytes(), "page": []byte("<!doctype html>\n<title>Plums</title>\n</html>\n"),
		"plan": []byte("{\n \"plan\": 1,\n \"pieces\": []\n}\n"), "letter": []byte("Hello Jo,\n\nplums.\n")}
}

// A sealed file is known as it was written; no byte of it can be another, be gone or be there more, without it being seen.
func TestSeal(t *testing.T) {
	for name, data := range formats(t) {
		before := bytes.Clone(data)
		data = append(make([]byte, 0, len(data)+100), data...) // with room behind it, as in a buffer
		sealed := Sealed(data)
		switch {
		case !IsUntouched(sealed):
			t.Errorf("%s: it counts as changed at once", name)
		case !bytes.Equal(data, before):
			t.Errorf("%s: what was given is another", name)
		case !bytes.Equal(sealed, Sealed(before)):
			t.Errorf("%s: it is not the same twice", name)
		case name != "PDF" && IsUntouched(data):
			t.Errorf("%s: without a seal it counts as unchanged", name)
		}
		for i := range sealed {
			for _, other := range [][]byte{sealed[:i], append(bytes.Clone(sealed[:i]), sealed[i+1:]...)} {
				if IsUntouched(other) {
					t.Errorf("%s: byte %d is gone, and it counts as unchanged", name, i)
				}
			}
			sealed[i] ^= 1 << (i % 8)
			if IsUntouched(sealed) {
				t.Errorf("%s: byte %d is another, and it counts as unchanged", name, i)
			}
			sealed[i] ^= 1 << (i % 8)
		}
		for _, more := range []string{"\n", " ", "\x00", "%%EOF\n", string(sealed)} {
			if IsUntouched(append(bytes.Clone(sealed), more...)) {
				t.Errorf("%s: %q stands behind it, and it counts as unchanged", name, more)
			}
		}
	}
	if got := Sealed(nil); len(got) > 0 {
		t.Errorf("an empty file has %q", got)
	}
}

// Readers of the formats find what was there, and the seal where it does no harm.
func TestSealIsRead(t *testing.T) {
	all := formats(t)
	book := Sealed(all["workbook"])
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	must(t, err)
	if len(z.File) != 1 || !strings.HasPrefix(z.Comment, "digest ") || len(z.Comment) != len("digest ")+sealDigits {
		t.Errorf("the archive has %d files and the comment %q", len(z.File), z.Comment)
	}
	var plan map[string]any
	must(t, json.Unmarshal(Sealed(all["plan"]), &plan))
	if len(plan) != 3 || plan["plan"] != 1.0 || len(plan["digest"].(string)) != sealDigits {
		t.Errorf("the plan holds %v", plan)
	}
	if page := string(Sealed(all["page"])); !strings.HasPrefix(page, string(all["page"])+"<!-- digest ") {
		t.Errorf("the page is %q", page)
	}
	if letter := string(Sealed(all["letter"])); !strings.HasPrefix(letter, string(all["letter"])+"\nReference: ") {
		t.Errorf("the letter is %q", letter)
	}
	if pdf := all["PDF"]; !bytes.Equal(Sealed(pdf), pdf) {
		t.Error("a PDF is sealed twice")
	}
}
