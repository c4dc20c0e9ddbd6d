package press

import (
	"bufio"
	"context"
	"crypto/sha256"
	"fmt"
	"hash"
	"io"
	"math"
	"sort"
	"strconv"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// canonical writes what pdfcpu merged in an order of its own: objects numbered as they are met from the catalogue on,
// keys sorted, equal objects once, no dates, an /ID that comes from the content. pdfcpu's own writer follows the order
// of Go maps and the clock.
func canonical(w io.Writer, all *model.Context) error {
	info, err := all.DereferenceDict(*all.Info)
	if err != nil {
		return err
	}
	delete(info, "CreationDate") // none is better than one that is not true
	delete(info, "ModDate")

	n := &numbering{all: all, number: map[int]int{}, same: map[[sha256.Size]byte]int{}}
	n.ref(*all.Root) // object 1
	about := n.ref(*all.Info)
	if n.err != nil {
		return n.err
	}

	out := &printer{w: bufio.NewWriterSize(w, 1<<16), sum: sha256.New()}
	out.text(header)
	offsets := make([]int64, len(n.order))
	for i, obj := range n.order {
		offsets[i] = out.at
		out.object(i+1, obj)
	}
	at := out.at
	out.text(fmt.Sprintf("xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1))
	for _, o := range offsets {
		out.text(fmt.Sprintf("%010d 00000 n \n", o))
	}
	out.text(trailer(len(offsets)+1, about.ObjectNumber.Value(), out.sum.Sum(nil)[:idLength], at))
	if out.err == nil {
		out.err = out.w.Flush()
	}
	return out.err
}

const idLength = 16 // of the bytes of a digest

// trailer ends a file: the catalogue is object 1, info tells of the file, id is the digest of all that stands before, at is where the
// cross-reference table is.
func trailer(size, info int, id []byte, at int64) string {
	return fmt.Sprintf("trailer\n<</Size %d/Root 1 0 R/Info %d 0 R/ID[<%x><%x>]>>\nstartxref\n%d\n%%%%EOF\n", size, info, id, id, at)
}

// numbering gives every object that can be reached a number, depth first by sorted keys.
type numbering struct {
	all    *model.Context
	number map[int]int // pdfcpu's -> ours
	order  []types.Object
	same   map[[sha256.Size]byte]int // content of a finished object below a font -> ours
	err    error
}

// ref numbers the object that r points to, and all below it.
func (n *numbering) ref(r types.IndirectRef) types.IndirectRef {
	old := r.ObjectNumber.Value()
	if new, ok := n.number[old]; ok {
		return *types.NewIndirectRef(new, 0)
	}
	obj := n.fetch(old)
	if obj == nil {
		return r
	}
	new := len(n.order) + 1
	n.number[old] = new
	n.order = append(n.order, nil)
	n.order[new-1] = n.each(obj, n.ref)
	return *types.NewIndirectRef(new, 0)
}

// shared numbers an object below a font, which refers to nothing above itself, after all that it refers to. Each section
// brings its own copy of a font; the equal ones become one.
func (n *numbering) shared(r types.IndirectRef) types.IndirectRef {
	old := r.ObjectNumber.Value()
	if new, ok := n.number[old]; ok {
		return *types.NewIndirectRef(new, 0)
	}
	obj := n.fetch(old)
	if obj == nil {
		return r
	}
	obj = n.each(obj, n.shared)
	p := &printer{w: bufio.NewWriter(io.Discard), sum: sha256.New()}
	p.object(0, obj)
	var key [sha256.Size]byte
	p.sum.Sum(key[:0])
	new, ok := n.same[key]
	if !ok {
		n.order = append(n.order, obj)
		new = len(n.order)
		n.same[key] = new
	}
	n.number[old] = new
	return *types.NewIndirectRef(new, 0)
}

func (n *numbering) fetch(number int) types.Object {
	e := n.all.Table[number]
	if e == nil || e.Free || e.Object == nil {
		n.err = fmt.Errorf("press: object %d is missing from the merged file", number)
		return nil
	}
	if lazy, ok := e.Object.(types.LazyObjectStreamObject); ok {
		obj, err := lazy.DecodedObject(context.Background())
		if err != nil {
			n.err = err
			return nil
		}
		return obj
	}
	return e.Object
}

func isFont(d types.Dict) bool {
	t := d.Type()
	return t != nil && *t == "Font"
}

// each replaces every reference in an object by one to the new number.
func (n *numbering) each(obj types.Object, ref func(types.IndirectRef) types.IndirectRef) types.Object {
	switch obj := obj.(type) {
	case types.IndirectRef:
		if e := n.all.Table[obj.ObjectNumber.Value()]; e != nil {
			if d, ok := e.Object.(types.Dict); ok && isFont(d) {
				return n.shared(obj)
			}
		}
		return ref(obj)
	case *types.IndirectRef:
		return n.each(*obj, ref)
	case types.Dict:
		for _, k := range sortedKeys(obj) {
			obj[k] = n.each(obj[k], ref)
		}
		return obj
	case types.Array:
		for i := range obj {
			obj[i] = n.each(obj[i], ref)
		}
		return obj
	case types.StreamDict:
		n.each(obj.Dict, ref)
		return obj
	case *types.StreamDict:
		return n.each(*obj, ref)
	}
	return obj
}

func sortedKeys(d types.Dict) []string {
	keys := make([]string, 0, len(d))
	for k := range d {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// printer writes objects and keeps the sum and the place of what it wrote.
type printer struct {
	w   *bufio.Writer
	sum hash.Hash
	at  int64
	err error
	b   []byte
}

func (p *printer) bytes(b []byte) {
	if p.err != nil {
		return
	}
	p.sum.Write(b)
	p.at += int64(len(b))
	_, p.err = p.w.Write(b)
}

func (p *printer) text(s string) { p.bytes([]byte(s)) }

func (p *printer) object(number int, obj types.Object) {
	p.b = strconv.AppendInt(p.b[:0], int64(number), 10)
	p.b = append(p.b, " 0 obj\n"...)
	if s, ok := obj.(types.StreamDict); ok {
		s.Dict["Length"] = types.Integer(len(s.Raw))
		p.b = p.value(p.b, s.Dict)
		p.b = append(p.b, "\nstream\n"...)
		p.bytes(p.b)
		p.bytes(s.Raw)
		p.text("\nendstream\nendobj\n")
		return
	}
	p.b = append(p.value(p.b, obj), "\nendobj\n"...)
	p.bytes(p.b)
}

func (p *printer) value(b []byte, obj types.Object) []byte {
	switch obj := obj.(type) {
	case nil:
		return append(b, "null"...)
	case types.Dict:
		b = append(b, "<<"...)
		for _, k := range sortedKeys(obj) {
			b = append(b, types.Name(k).PDFString()...)
			b = append(b, ' ')
			b = p.value(b, obj[k])
		}
		return append(b, ">>"...)
	case types.Array:
		b = append(b, '[')
		for i, v := range obj {
			if i > 0 {
				b = append(b, ' ')
			}
			b = p.value(b, v)
		}
		return append(b, ']')
	case types.Float:
		// pdfcpu prints twelve decimals; what was written here has six at most.
		return append(b, strconv.FormatFloat(math.Round(obj.Value()*1e6)/1e6, 'f', -1, 64)...)
	case types.StringLiteral, types.HexLiteral, types.Name, types.Integer, types.Boolean, types.IndirectRef:
		return append(b, obj.PDFString()...)
	}
	if p.err == nil {
		p.err = fmt.Errorf("press: a %T in the merged file", obj)
	}
	return b
}
