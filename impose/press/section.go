package press

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"sort"
	"strconv"
)

// file collects the objects of a small PDF.
type file struct {
	out     bytes.Buffer
	offsets []int // by object number less one; 0: not yet written
	zip     *zlib.Writer
}

// reserve returns the number of a new object.
func (f *file) reserve() int {
	f.offsets = append(f.offsets, 0)
	return len(f.offsets)
}

func (f *file) object(n int, body string) {
	f.offsets[n-1] = f.out.Len()
	fmt.Fprintf(&f.out, "%d 0 obj\n%s\nendobj\n", n, body)
}

// stream writes data, compressed, with the entries given.
func (f *file) stream(n int, entries string, data []byte) {
	var packed bytes.Buffer
	if f.zip == nil {
		f.zip = zlib.NewWriter(&packed)
	} else {
		f.zip.Reset(&packed)
	}
	f.zip.Write(data) // a bytes.Buffer does not fail
	f.zip.Close()
	f.offsets[n-1] = f.out.Len()
	fmt.Fprintf(&f.out, "%d 0 obj\n<<%s/Filter/FlateDecode/Length %d>>\nstream\n", n, entries, packed.Len())
	f.out.Write(packed.Bytes())
	f.out.WriteString("\nendstream\nendobj\n")
}

const header = "%PDF-1.7\n%\xE2\xE3\xCF\xD3\n" // the second line tells transfer programs that the file is binary

// branch is the most pages in a node of the page tree: looking for a page goes by nodes.
const branch = 32

// writeSection makes one section a PDF of its own. done is called after each page. The pages of a section share its fonts'
// objects; sections share nothing, and canonical makes one of what is equal.
func writeSection(s *Section, fonts *fontSet, programs []*program, done func()) []byte {
	f := &file{}
	f.out.WriteString(header)
	catalog, root := f.reserve(), f.reserve()

	objects := map[int]int{} // font -> object
	c := &content{fonts: fonts}
	var nodes bytes.Buffer
	for i := 0; i < len(s.Pages); i += branch {
		leaf := s.Pages[i:min(i+branch, len(s.Pages))]
		node := f.reserve()
		fmt.Fprintf(&nodes, "%d 0 R ", node)
		var kids bytes.Buffer
		for j := range leaf {
			c.draw(&leaf[j])
			body, page := f.reserve(), f.reserve()
			f.stream(body, "", c.b)
			f.object(page, fmt.Sprintf("<</Type/Page/Parent %d 0 R%s/Resources<<%s>>/Contents %d 0 R>>",
				node, boxes(&leaf[j]), f.resources(c.used, objects), body))
			fmt.Fprintf(&kids, "%d 0 R ", page)
			done()
		}
		f.object(node, fmt.Sprintf("<</Type/Pages/Parent %d 0 R/Count %d/Kids[%s]>>", root, len(leaf), kids.String()))
	}
	f.object(root, fmt.Sprintf("<</Type/Pages/Count %d/Kids[%s]>>", len(s.Pages), nodes.String()))
	f.object(catalog, fmt.Sprintf("<</Type/Catalog/Pages %d 0 R>>", root))
	for _, n := range sorted(objects) {
		f.font(objects[n], programs[n])
	}
	return f.finish(catalog)
}

// boxes are the page's boundaries: the piece that goes through the printer is the whole page and the finished size.
func boxes(p *Page) string {
	w, h := points(p.Size.W), points(p.Size.H)
	return fmt.Sprintf("/MediaBox[0 0 %s %s]/CropBox[0 0 %s %s]/TrimBox[0 0 %s %s]", w, h, w, h, w, h)
}

// resources names the fonts that a page uses.
func (f *file) resources(used map[int]bool, objects map[int]int) string {
	if len(used) == 0 {
		return ""
	}
	b := []byte("/Font<<")
	for _, n := range sorted(used) {
		if objects[n] == 0 {
			objects[n] = f.reserve()
		}
		b = append(b, "/F"...)
		b = strconv.AppendInt(b, int64(n+1), 10)
		b = append(b, ' ')
		b = strconv.AppendInt(b, int64(objects[n]), 10)
		b = append(b, " 0 R"...)
	}
	return string(append(b, ">>"...))
}

// font writes the objects of a composite font (ISO 32000-1, 9.7) as number n.
func (f *file) font(n int, p *program) {
	cid, descriptor, data, unicode := f.reserve(), f.reserve(), f.reserve(), f.reserve()
	kind, key, entries, table := "CIDFontType2", "FontFile2", fmt.Sprintf("/Length1 %d", len(p.data)), "/CIDToGIDMap/Identity"
	if p.cff {
		kind, key, entries, table = "CIDFontType0", "FontFile3", "/Subtype/CIDFontType0C", ""
	} else if p.toGlyph != nil {
		m := f.reserve()
		f.stream(m, "", p.toGlyph)
		table = fmt.Sprintf("/CIDToGIDMap %d 0 R", m)
	}
	f.object(n, fmt.Sprintf("<</Type/Font/Subtype/Type0/BaseFont/%s/Encoding/Identity-H/DescendantFonts[%d 0 R]/ToUnicode %d 0 R>>",
		p.name, cid, unicode))
	f.object(cid, fmt.Sprintf("<</Type/Font/Subtype/%s/BaseFont/%s/CIDSystemInfo<</Registry(Adobe)/Ordering(Identity)/Supplement 0>>/FontDescriptor %d 0 R/DW 0/W%s%s>>",
		kind, p.name, descriptor, p.widths, table))
	f.object(descriptor, fmt.Sprintf("<</Type/FontDescriptor/FontName/%s%s/%s %d 0 R>>", p.name, p.metrics, key, data))
	f.stream(data, entries, p.data)
	f.stream(unicode, "", p.unicode)
}

// finish writes the cross-reference table.
func (f *file) finish(catalog int) []byte {
	at := f.out.Len()
	fmt.Fprintf(&f.out, "xref\n0 %d\n0000000000 65535 f \n", len(f.offsets)+1)
	for _, o := range f.offsets {
		fmt.Fprintf(&f.out, "%010d 00000 n \n", o)
	}
	fmt.Fprintf(&f.out, "trailer\n<</Size %d/Root %d 0 R>>\nstartxref\n%d\n%%%%EOF\n", len(f.offsets)+1, catalog, at)
	return f.out.Bytes()
}

func sorted[V any](m map[int]V) []int {
	keys := make([]int, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Ints(keys)
	return keys
}
