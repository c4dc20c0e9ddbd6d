package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"testing"

	"tuckmark/config/longtests"
)

// node is an element of a part, to be moved about.
type node struct {
	name     string
	attrs    []xml.Attr
	children []*node
	text     string // before the children; the parts here have no text between elements that counts
}

func parse(t testing.TB, raw []byte) *node {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(raw))
	top := &node{}
	stack := []*node{top}
	for {
		tok, err := d.RawToken()
		if err == io.EOF {
			return top.children[0]
		}
		if err != nil {
			t.Fatal(err)
		}
		in := stack[len(stack)-1]
		switch e := tok.(type) {
		case xml.StartElement:
			n := &node{name: prefixed(e.Name), attrs: slices.Clone(e.Attr)}
			in.children, stack = append(in.children, n), append(stack, n)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
		case xml.CharData:
			in.text += string(e)
		}
	}
}

func prefixed(n xml.Name) string {
	if n.Space == "" {
		return n.Local
	}
	return n.Space + ":" + n.Local
}

func (n *node) write(b *bytes.Buffer) {
	b.WriteString("<" + n.name)
	for _, a := range n.attrs {
		b.WriteString(" " + prefixed(a.Name) + `="`)
		_ = xml.EscapeText(b, []byte(a.Value))
		b.WriteString(`"`)
	}
	b.WriteString(">")
	_ = xml.EscapeText(b, []byte(n.text))
	for _, c := range n.children {
		c.write(b)
	}
	b.WriteString("</" + n.name + ">")
}

// clone is a copy that shares nothing.
func (n *node) clone() *node {
	c := *n
	c.attrs, c.children = slices.Clone(n.attrs), nil
	for _, k := range n.children {
		c.children = append(c.children, k.clone())
	}
	return &c
}

// all lists an element and those within, each with the one around it.
func (n *node) all(in *node, f func(n, in *node)) {
	f(n, in)
	for _, c := range n.children {
		c.all(n, f)
	}
}

// change does something to the structure of a part and says what; "" where it could not.
func change(r *rand.Rand, top *node) (what string) {
	type pair struct{ n, in *node }
	byName := map[string][]pair{}
	top.all(nil, func(n, in *node) {
		if in != nil {
			byName[n.name] = append(byName[n.name], pair{n, in})
		}
	})
	var names []string
	for name := range byName {
		names = append(names, name)
	}
	slices.Sort(names)
	kind := byName[names[r.IntN(len(names))]] // rare elements as often as frequent ones
	p := kind[r.IntN(len(kind))]
	at := slices.Index(p.in.children, p.n)
	name := p.n.name + " in " + p.in.name
	switch r.IntN(7) {
	case 0:
		p.in.children = slices.Delete(p.in.children, at, at+1)
		return "delete " + name
	case 1:
		p.n.name = string(rune('a'+r.IntN(26))) + p.n.name[1:] + "x"
		return "rename " + name
	case 2:
		if at == 0 {
			return ""
		}
		before := p.in.children[at-1]
		p.in.children = slices.Delete(p.in.children, at, at+1)
		before.children = append(before.children, p.n)
		return "nest " + name + " in the one before"
	case 3:
		p.in.children = slices.Insert(p.in.children, at, p.n.clone())
		return "double " + name
	case 4:
		p.in.children = slices.Replace(p.in.children, at, at+1, p.n.children...)
		p.in.text += p.n.text
		return "unwrap " + name
	case 5:
		if len(p.n.attrs) == 0 {
			return ""
		}
		i := r.IntN(len(p.n.attrs))
		what = "without " + prefixed(p.n.attrs[i].Name) + " of " + name
		p.n.attrs = slices.Delete(p.n.attrs, i, i+1)
		return what
	default:
		o := kind[r.IntN(len(kind))]
		if o == p || len(p.n.attrs) == 0 || len(o.n.attrs) == 0 {
			return ""
		}
		i := r.IntN(len(p.n.attrs))
		j := slices.IndexFunc(o.n.attrs, func(a xml.Attr) bool { return a.Name == p.n.attrs[i].Name })
		if j < 0 || o.n.attrs[j].Value == p.n.attrs[i].Value {
			return ""
		}
		p.n.attrs[i].Value = o.n.attrs[j].Value
		return "another's " + prefixed(p.n.attrs[i].Name) + " for " + name
	}
}

// untold are changes that no reader can tell, by how they are named, and why.
var untold = map[string]string{
	"delete row in sheetData":            "a row that is not there looks like one in which nothing was typed",
	"delete c in row":                    "so does a cell",
	"delete v in c":                      "a number with a style and no value is an empty cell",
	"without t of c in row":              "a number needs no type, and the index of a text is a number",
	"delete t in si":                     "an empty text has none",
	"delete r in si":                     "a text may have as few runs as it likes",
	"double r in si":                     "and as many",
	"delete rPr in r":                    "a run needs no style",
	"delete b in rPr":                    "how a run looks is in no other place",
	"unwrap b in rPr":                    "as if it were deleted",
	"delete i in rPr":                    "as for b",
	"unwrap i in rPr":                    "as for b",
	"delete b in font":                   "how a font looks is in no other place",
	"unwrap b in font":                   "as if it were deleted",
	"another's fontId for xf in cellXfs": "which of the fonts a style has is in no other place",
}

// TestDamagedStructure moves, renames, doubles and takes out elements and attributes of the sample workbook: it is read as before, or refused,
// unless the change is one of those that no reader can tell.
func TestDamagedStructure(t *testing.T) {
	n := longtests.Cases(200, 5000)
	sample, err := os.ReadFile(filepath.Join("..", "..", "samples", "retreat.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	whole, _, why := readWorkbook("a.xlsx", sample, new(int))
	if why != nil {
		t.Fatal(why)
	}
	z, err := zip.NewReader(bytes.NewReader(sample), int64(len(sample)))
	if err != nil {
		t.Fatal(err)
	}
	parts := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if parts[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
	}
	names := []string{"xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/sharedStrings.xml", "xl/styles.xml", "xl/worksheets/sheet1.xml"}
	refusals, silent := 0, map[string]int{}
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 376))
		name := names[r.IntN(len(names))]
		top := parse(t, parts[name])
		what := change(r, top)
		if what == "" {
			continue
		}
		var out, part bytes.Buffer
		top.write(&part)
		w := zip.NewWriter(&out)
		for k, data := range parts {
			f, err := w.Create(k)
			if err != nil {
				t.Fatal(err)
			}
			if k == name {
				data = part.Bytes()
			}
			if _, err := f.Write(data); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		sheets, _, why := readWorkbook("a.xlsx", out.Bytes(), new(int))
		switch {
		case why != nil:
			refusals++
		case reflect.DeepEqual(sheets, whole) || lost(sheets):
		default:
			if _, known := untold[what]; known {
				continue
			}
			silent[fmt.Sprintf("%s: %s", name, what)]++
		}
	}
	for what, n := range silent {
		t.Errorf("%s (%d times): read otherwise, and no word about it", what, n)
	}
	if refusals < n/5 {
		t.Errorf("only %d of %d were refused", refusals, n)
	}
}

// lost reports a cell that is told to have lost its text.
func lost(sheets []*Sheet) bool {
	return slices.ContainsFunc(sheets, func(s *Sheet) bool {
		return slices.ContainsFunc(s.Rows, func(r Row) bool {
			return slices.ContainsFunc(r.Cells, func(c Cell) bool { return c.LostLetter() })
		})
	})
}
