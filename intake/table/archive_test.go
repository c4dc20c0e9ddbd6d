package table

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"io"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/longtests"
	"tuckmark/intake/intaketest"
)

// written is a part of an archive that a test writes.
type written struct {
	name string
	data []byte
}

// partsIn are the parts of an archive in their order.
func partsIn(t testing.TB, data []byte) (out []written) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, written{f.Name, raw})
	}
	return out
}

// zipped is an archive of parts that is to stand behind so many bytes; with method Store or Deflate, sizes behind the parts as the library writes
// them, or before.
func zipped(t testing.TB, parts []written, behind int, method uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	w.SetOffset(int64(behind))
	for _, p := range parts {
		f, err := w.CreateHeader(&zip.FileHeader{Name: p.name, Method: method})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Write(p.data); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// central is where the record of a part stands in the table of contents.
func central(data []byte, name string) int {
	for at := 0; ; at++ {
		i := bytes.Index(data[at:], []byte(centralSign))
		if i < 0 {
			return -1
		}
		if at += i; string(data[at+centralLen:at+centralLen+len(name)]) == name && int(binary.LittleEndian.Uint16(data[at+28:])) == len(name) {
			return at
		}
	}
}

// TestNothingBesideTheParts hides a sheet in a workbook's archive in ways drawn at random: such a workbook is refused. What programs do that hide
// nothing is read.
func TestNothingBesideTheParts(t *testing.T) {
	n := longtests.Cases(200, 5000)
	made := func(name string) []written {
		return partsIn(t, []byte(intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{name, "Plums in Larvik", 4, 2})
		})))
	}
	const sheet = "xl/worksheets/sheet1.xml"
	one, other := made("Pim"), made("Ada")
	hidden := func() []byte {
		for _, p := range other {
			if p.name == sheet {
				return p.data
			}
		}
		return nil
	}()
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 30))
		pick := func(of ...string) string { return of[r.IntN(len(of))] }
		method := []uint16{zip.Store, zip.Deflate}[r.IntN(2)]
		put := func(parts []written, p written) []written {
			at := r.IntN(len(parts) + 1)
			return append(append(append([]written{}, parts[:at]...), p), parts[at:]...)
		}
		change := func(parts []written, name, from, to string) []written {
			out := append([]written{}, parts...)
			for k := range out {
				if out[k].name == name {
					if !bytes.Contains(out[k].data, []byte(from)) {
						t.Fatalf("%s has no %s", name, from)
					}
					out[k].data = bytes.Replace(out[k].data, []byte(from), []byte(to), 1)
				}
			}
			return out
		}
		var data []byte
		what, bad := "", true
		switch r.IntN(9) {
		case 0:
			what = pick("/xl/worksheets/sheet1.xml", "xl\\worksheets\\sheet1.xml", "XL/Worksheets/Sheet1.XML", "./xl/worksheets/sheet1.xml", "xl/./worksheets/sheet1.xml",
				"xl/a/../worksheets/sheet1.xml", "xl/worksheets/sheet%31.xml", "xl%2Fworksheets/sheet1.xml", "xl%5cworksheets%5Csheet1.xml", "//xl//worksheets/sheet1.xml", sheet)
			data = zipped(t, put(one, written{what, hidden}), 0, method)
		case 1:
			what = pick("xl/worksheets/sheet2.xml", "xl/other.bin", "custom/item.xml", "sheet1.xml", "xl/worksheets/sheet1.xml/", "docProps/a.png")
			data = zipped(t, put(one, written{strings.TrimSuffix(what, "/"), hidden}), 0, method)
			if strings.HasSuffix(what, "/") {
				data = zipped(t, put(one, written{"xl/worksheets/sheet1.xml ", hidden}), 0, method)
			}
		case 2:
			what = pick("chartsheet", "dialogsheet", "xlMacrosheet", "theme", "worksheets")
			data = zipped(t, change(one, "xl/_rels/workbook.xml.rels", "relationships/worksheet\"", "relationships/"+what+"\""), 0, method)
		case 3: // another workbook before it, of which a part is listed in the place of its own
			first := zipped(t, one, 0, method)
			second := zipped(t, other, len(first), method)
			name := pick(one[0].name, one[0].name, one[r.IntN(len(one))].name)
			what = "shared " + name
			from, to := central(first, name), central(second, name)
			copy(second[to:to+centralLen], first[from:from+centralLen])
			data = append(first, second...)
		case 4: // a part that is not listed, and a table that is moved behind it
			first := zipped(t, one[:1], 0, method)
			lost := first[:bytes.Index(first, []byte(centralSign))]
			what = "not listed"
			data = append(bytes.Clone(lost), zipped(t, one, len(lost), method)...)
		case 5:
			what = "behind"
			data = append(zipped(t, one, 0, method), zipped(t, other, 0, method)...)
		case 6:
			what, bad = "a folder, parts in another order", false
			parts := put(put(one, written{"xl/worksheets/", nil}), written{"docProps/thumbnail.bin", []byte(pick("", "PK\x03\x04", "<worksheet/>", "<chartsheet><c/></chartsheet>"))})
			r.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
			data = zipped(t, parts, 0, method)
		case 7:
			what, bad = "a remark, an end as mail leaves it", false
			data = append(zipped(t, one, 0, method), pick("\n", "\r\n", "\x00\x00\x00", "")...)
		case 8:
			what, bad = "a worksheet without cells", false
			data = zipped(t, put(one, written{"xl/worksheets/sheet9.xml", []byte(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"/></sheetData></worksheet>`)}), 0, method)
		}
		_, _, why := readWorkbook("a.xlsx", data, new(int))
		if bad && (why == nil || !strings.Contains(why.What, "damaged")) || !bad && why != nil {
			t.Errorf("drawing %d, %s: %v", i, what, why)
		}
	}
}

// Headers that say anything end in a refusal or in parts, never in a panic: some callers have no door that catches one.
func TestHeadersThatLie(t *testing.T) {
	base, err := os.ReadFile("../../samples/retreat.xlsx")
	if err != nil {
		t.Fatal(err)
	}
	whole := zipped(t, partsIn(t, base), 0, zip.Deflate)
	z, err := zip.NewReader(bytes.NewReader(whole), int64(len(whole)))
	if err != nil {
		t.Fatal(err)
	}
	var headers []int
	for _, f := range z.File {
		at, err := f.DataOffset()
		if err != nil {
			t.Fatal(err)
		}
		headers = append(headers, int(at)-localLen-len(f.Name))
	}
	table := bytes.Index(whole, []byte(centralSign))
	r := rand.New(rand.NewPCG(17, 30))
	refused := 0
	for range 5000 {
		data := bytes.Clone(whole)
		at := headers[r.IntN(len(headers))]
		for range 1 + r.IntN(3) {
			data[at+r.IntN(localLen)] = byte(r.IntN(256))
		}
		for range r.IntN(3) {
			data[table+r.IntN(len(data)-table)] = byte(r.IntN(256))
		}
		if _, why := partsOf(data); why != nil {
			refused++
		}
	}
	if refused == 0 || refused == 5000 {
		t.Errorf("%d of 5,000 were refused", refused)
	}
}
