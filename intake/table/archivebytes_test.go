package table

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// archived is a part as a program could write it into an archive, field by field.
type archived struct {
	name, local    string // local: the name at the part, where it is another
	data           string
	flags          uint16
	deferred       int    // how long what stands behind the part is: 0, 12, 16, 20, 24
	extra, atTable string // what else is said at the part, and of it in the table
	remark         string
	before         string // bytes before it
	sign           string // in the place of its own
	size           uint32 // said in the table in the place of the true one
	last           bool   // in the table it comes behind the others
}

// archiveOf writes an archive byte by byte (PKWARE's APPNOTE, 4.3); what stands between the parts and the table, and between the table and the end,
// is given.
func archiveOf(parts []archived, between, behind string) []byte {
	var b, table, later bytes.Buffer
	n := binary.LittleEndian
	or := func(s, other string) string {
		if s == "" {
			return other
		}
		return s
	}
	for _, p := range parts {
		b.WriteString(p.before)
		at := uint32(b.Len())
		sum, size := crc32.ChecksumIEEE([]byte(p.data)), uint32(len(p.data))
		flags := p.flags
		if p.deferred > 0 {
			flags |= flagDeferred
		}
		head := func(to *bytes.Buffer, sum, size, said uint32, name, extra string) {
			for _, v := range []uint16{flags, 0, 0, 0} {
				_ = binary.Write(to, n, v)
			}
			_ = binary.Write(to, n, []uint32{sum, said, size})
			_ = binary.Write(to, n, []uint16{uint16(len(name)), uint16(len(extra))})
		}
		b.WriteString(or(p.sign, localSign) + "\x14\x00")
		local := or(p.local, p.name)
		if p.deferred > 0 {
			head(&b, 0, 0, 0, local, p.extra)
		} else {
			head(&b, sum, size, size, local, p.extra)
		}
		b.WriteString(local + p.extra + p.data)
		if p.deferred == 16 || p.deferred == 24 {
			b.WriteString("PK\x07\x08")
		}
		switch {
		case p.deferred >= 20:
			_ = binary.Write(&b, n, sum)
			_ = binary.Write(&b, n, []uint64{uint64(size), uint64(size)})
		case p.deferred > 0:
			_ = binary.Write(&b, n, []uint32{sum, size, size})
		}
		said := size
		if p.size != 0 {
			said = p.size
		}
		record := &table
		if p.last {
			record = &later
		}
		record.WriteString(centralSign + "\x14\x00\x14\x00")
		head(record, sum, said, said, p.name, p.atTable)
		_ = binary.Write(record, n, []uint16{uint16(len(p.remark)), 0, 0})
		_ = binary.Write(record, n, []uint32{0, at})
		record.WriteString(p.name + p.atTable + p.remark)
	}
	table.Write(later.Bytes())
	b.WriteString(between)
	start, length := b.Len(), table.Len()
	b.Write(table.Bytes())
	b.WriteString(behind)
	b.WriteString(endSign)
	_ = binary.Write(&b, n, []uint16{0, 0, uint16(len(parts)), uint16(len(parts))})
	_ = binary.Write(&b, n, []uint32{uint32(length), uint32(start)})
	b.WriteString("\x00\x00")
	return b.Bytes()
}

// end64 is the record and the locator of a long archive; the record says that so many bytes follow, and as many do as are given.
func end64(says int64, rest int, locator string) string {
	b := binary.LittleEndian.AppendUint64([]byte(end64Sign), uint64(says))
	return string(b) + strings.Repeat("\x01", rest) + locator + strings.Repeat("\x02", locator64Len-4)
}

// Each way to write an archive that hides nothing is read, and each that could hide something is refused.
func TestArchiveByByte(t *testing.T) {
	a, b := archived{name: "a.xml", data: "<a/>"}, archived{name: "b.xml", data: "<b>12</b>"}
	with := func(p archived, f func(p *archived)) archived { f(&p); return p }
	hidden := string(archiveOf([]archived{a}, "", ""))
	late := func(length int) []archived {
		return []archived{with(a, func(p *archived) { p.deferred = length }), with(b, func(p *archived) { p.deferred = length })}
	}
	for _, c := range []struct {
		name string
		data []byte
		bad  bool
	}{
		{"plain", archiveOf([]archived{a, b}, "", ""), false},
		{"no part at all", archiveOf(nil, "", ""), true},
		{"a checksum behind, 12 bytes", archiveOf(late(12), "", ""), false},
		{"a checksum behind, 16 bytes", archiveOf(late(16), "", ""), false},
		{"a checksum behind, 20 bytes", archiveOf(late(20), "", ""), false},
		{"a checksum behind, 24 bytes", archiveOf(late(24), "", ""), false},
		{"bytes behind a part that promises no checksum", archiveOf([]archived{a, with(b, func(p *archived) { p.before = "sixteen bytes..." })}, "", ""), true},
		{"twelve bytes before the table that no part promises", archiveOf([]archived{a, b}, "twelve bytes", ""), true},
		{"a checksum, and bytes", archiveOf([]archived{late(16)[0], with(b, func(p *archived) { p.before = "x" })}, "", ""), true},
		{"zeros between the parts and before the table", archiveOf([]archived{a, with(b, func(p *archived) { p.before = "\x00\x00\x00" })}, "\x00\x00", ""), false},
		{"other bytes between the parts", archiveOf([]archived{a, with(b, func(p *archived) { p.before = "\x00x" })}, "", ""), true},
		{"a byte before the table", archiveOf([]archived{a, b}, "x", ""), true},
		{"a byte before the first part", archiveOf([]archived{with(a, func(p *archived) { p.before = "x" }), b}, "", ""), true},
		{"an archive before the first part", archiveOf([]archived{with(a, func(p *archived) { p.before = hidden }), b}, "", ""), true},
		{"an archive in what is said at a part", archiveOf([]archived{with(a, func(p *archived) { p.extra = "x" }), b}, "", ""), false},
		{"more said in the table", archiveOf([]archived{with(a, func(p *archived) { p.atTable = "\x01\x00\x02\x00zz" }), b}, "", ""), false},
		{"remarks in the table", archiveOf([]archived{with(a, func(p *archived) { p.remark = "plums" }), b}, "", ""), false},
		{"bytes behind the table", archiveOf([]archived{a, b}, "", "x"), true},
		{"another name at the part", archiveOf([]archived{with(a, func(p *archived) { p.local = "c.xml" }), b}, "", ""), true},
		{"the same name otherwise written at the part", archiveOf([]archived{with(a, func(p *archived) { p.local = "A.XML" }), b}, "", ""), false},
		{"another sign at a part", archiveOf([]archived{a, with(b, func(p *archived) { p.sign = "PK\x03\x05" })}, "", ""), true},
		{"a part that is longer than the file", archiveOf([]archived{a, with(b, func(p *archived) { p.size = 1 << 30 })}, "", ""), true},
		{"a part that is longer than lengths can be", archiveOf([]archived{with(a, func(p *archived) {
			p.size, p.atTable = 1<<32-1, "\x01\x00\x10\x00\x04\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x80"
		}), b}, "", ""), true},
		{"a table in another order", archiveOf([]archived{with(a, func(p *archived) { p.last = true }), b}, "", ""), false},
		{"a false header before the true one", archiveOf([]archived{a, with(b, func(p *archived) {
			p.before = "PK\x03\x05" + strings.Repeat("\x00", 22) + "\x05\x00\x23\x00b.xml"
		})}, "", ""), true},
		{"a part that goes on into the next", archiveOf([]archived{with(a, func(p *archived) { p.size = 5 }), b}, "", ""), true},
		{"a part that is listed shorter", archiveOf([]archived{a, with(b, func(p *archived) { p.size = 3 })}, "", ""), true},
		{"the end of a long archive", archiveOf([]archived{a, b}, "", end64(44, 44, locator64Sign)), false},
		{"the end of a long archive, with more in it", archiveOf([]archived{a, b}, "", end64(50, 50, locator64Sign)), false},
		{"the end of a long archive, longer than lengths can be", archiveOf([]archived{a, b}, "", end64(1<<63-1, 44, locator64Sign)), true},
		{"the end of a long archive that is too short", archiveOf([]archived{a, b}, "", end64(43, 43, locator64Sign)), true},
		{"the end of a long archive, longer than it says", archiveOf([]archived{a, b}, "", end64(44, 45, locator64Sign)), true},
		{"the end of a long archive, longer than the file", archiveOf([]archived{a, b}, "", end64(1<<62, 44, locator64Sign)), true},
		{"the end of a long archive, its length below zero", archiveOf([]archived{a, b}, "", end64(-44, 44, locator64Sign)), true},
		{"the end of a long archive without its locator", archiveOf([]archived{a, b}, "", end64(44, 44, "PK\x06\x08")), true},
		{"another archive behind the end", append(archiveOf([]archived{a, b}, "", ""), hidden...), true},
		{"a folder", archiveOf([]archived{a, {name: "x/"}, {name: "X/"}}, "", ""), false},
		{"a folder with something in it, twice", archiveOf([]archived{a, {name: "x/", data: "1"}, {name: "X/", data: "1"}}, "", ""), true},
		{"an empty part twice", archiveOf([]archived{a, {name: "x"}, {name: "x"}}, "", ""), true},
		{"two names, one in capitals", archiveOf([]archived{a, with(b, func(p *archived) { p.name = "A.Xml" })}, "", ""), true},
		{"two names, one with percent", archiveOf([]archived{a, with(b, func(p *archived) { p.name = "%61.xml" })}, "", ""), true},
		{"two names, one with a stroke", archiveOf([]archived{with(a, func(p *archived) { p.name = "x/a.xml" }), with(b, func(p *archived) { p.name = "x\\a.xml" })}, "", ""), true},
		{"two names, one with a stroke in percent", archiveOf([]archived{with(a, func(p *archived) { p.name = "x/a.xml" }), with(b, func(p *archived) { p.name = "x%5Ca.xml" })}, "", ""), true},
		{"two names, one with a stroke and a wrong percent", archiveOf([]archived{with(a, func(p *archived) { p.name = "x/%zz.xml" }), with(b, func(p *archived) { p.name = "x\\%zz.xml" })}, "", ""), true},
		{"two names, one the long way", archiveOf([]archived{a, with(b, func(p *archived) { p.name = "x/../a.xml" })}, "", ""), true},
		{"names that differ", archiveOf([]archived{a, with(b, func(p *archived) { p.name = "x/a.xml" })}, "", ""), false},
	} {
		parts, why := partsOf(c.data)
		if c.bad != (why != nil && strings.Contains(why.What, "damaged")) {
			t.Errorf("%s: %v", c.name, why)
		}
		for name, f := range parts {
			if r, err := f.Open(); err != nil {
				t.Errorf("%s: %s: %v", c.name, name, err)
			} else {
				_ = r.Close()
			}
		}
	}
	// A table that is read, inside of a part, and another where a program that reckons from the end looks for it.
	inner := archiveOf([]archived{a, with(b, func(p *archived) { p.size = 103 })}, "", "")
	table := inner[bytes.Index(inner, []byte(centralSign)) : len(inner)-endLen]
	outer := archiveOf([]archived{a, with(b, func(p *archived) { p.data = string(table) + "\x00" })}, "", "")
	if _, why := partsOf(outer); why != nil {
		t.Errorf("a table in a part: %v", why)
	}
	binary.LittleEndian.PutUint32(outer[len(outer)-6:], uint32(bytes.Index(outer, table)))
	if _, why := partsOf(outer); why == nil {
		t.Error("a second table is passed over")
	}
	binary.LittleEndian.PutUint32(outer[len(outer)-6:], uint32(bytes.LastIndex(outer, []byte(centralSign)))-51)
	outer[len(outer)-10]-- // its length
	if _, why := partsOf(outer); why == nil {
		t.Error("a table of another length is passed over")
	}
	// The end of a long archive says where the table is, where the plain end does not.
	plain := archiveOf([]archived{a, b}, "", "")
	for _, off := range []uint64{0, 1} {
		long := archiveOf([]archived{a, b}, "", end64(44, 44, locator64Sign))
		from, end := bytes.Index(long, []byte(centralSign)), bytes.Index(long, []byte(end64Sign))
		binary.LittleEndian.PutUint64(long[end+24:], 2)
		binary.LittleEndian.PutUint64(long[end+32:], 2)
		binary.LittleEndian.PutUint64(long[end+40:], uint64(end-from))
		binary.LittleEndian.PutUint64(long[end+48:], uint64(from)-off)
		locator := bytes.Index(long, []byte(locator64Sign))
		binary.LittleEndian.PutUint32(long[locator+4:], 0)
		binary.LittleEndian.PutUint64(long[locator+8:], uint64(end))
		binary.LittleEndian.PutUint32(long[locator+16:], 1)
		for _, data := range [][]byte{long, plain} {
			copy(data[len(data)-10:], "\xff\xff\xff\xff\xff\xff\xff\xff")
		}
		if _, why := partsOf(long); (why == nil) != (off == 0) {
			t.Errorf("a long archive, its table said %d bytes too early: %v", off, why)
		}
		if _, why := partsOf(plain); why == nil {
			t.Error("a plain end that does not say where the table is")
		}
	}
	_, why := partsOf(archiveOf([]archived{a, with(b, func(p *archived) { p.flags = flagEncrypted })}, "", ""))
	if why == nil || !strings.Contains(why.What, "password") {
		t.Errorf("a part with a password: %v", why)
	}
	var many []archived
	for i := range mostParts + 1 {
		many = append(many, archived{name: fmt.Sprint(i)})
	}
	if _, why := partsOf(archiveOf(many[:mostParts], "", "")); why != nil {
		t.Errorf("as many parts as there may be: %v", why)
	}
	if _, why := partsOf(archiveOf(many, "", "")); why == nil || strings.Contains(why.What, "damaged") {
		t.Errorf("one part more than there may be: %v", why)
	}
	large := strings.Repeat("\x00", mostPart+1)
	for name, bad := range map[string]bool{"xl/styles.xml": true, "xl/worksheets/a.xml": false, "xl/media/a.png": false, "xl/sharedStrings.xml": false} {
		if _, why := partsOf(archiveOf([]archived{{name: name, data: large}}, "", "")); bad != (why != nil) {
			t.Errorf("a large %s: %v", name, why)
		}
		if _, why := partsOf(archiveOf([]archived{{name: name, data: large[:mostPart]}}, "", "")); why != nil {
			t.Errorf("a %s that is just small enough: %v", name, why)
		}
	}
}

// A part that is said to reach into the end of the file is refused, wherever it is said to end.
func TestPartIntoTheEnd(t *testing.T) {
	a := archived{name: "a.xml", data: "<a/>"}
	whole := archiveOf([]archived{a}, "", "")
	for length := 1; localLen+len(a.name)+length <= len(whole)+50; length++ {
		for _, remark := range []string{"", centralSign, localSign, endSign, "\x00\x00\x00"} {
			for _, late := range []int{0, 16} {
				p := a
				p.size, p.deferred = uint32(length), late
				data := archiveOf([]archived{p}, "", "")
				data = append(data, remark...)
				data[len(data)-len(remark)-2] = byte(len(remark))
				if late > 0 && length != len(a.data) && length <= len(a.data)+late { // its checksum tells when it is unpacked
					continue
				}
				if _, why := partsOf(data); (why == nil) != (length == len(a.data) && remark != localSign && remark != endSign) {
					t.Errorf("%d bytes, a remark %q, %d behind: %v", length, remark, late, why)
				}
			}
		}
	}
}

// Names are found whichever way they are written, and a part that no tab reaches is looked at also where it is no sound XML.
func TestTabsAndParts(t *testing.T) {
	parts := partsIn(t, []byte(intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "Plums in Larvik", 4, 2})
	})))
	rename := func(before string) (out []written) {
		for _, p := range parts {
			out = append(out, written{before + p.name, bytes.Replace(p.data, []byte("worksheets/sheet1.xml"), []byte("worksheets/Sheet%31.XML"), 1)})
		}
		return out
	}
	for _, before := range []string{"", "./", "/"} {
		data := zipped(t, rename(before), 0, zip.Deflate)
		if kind, why := archive(data); kind != formatWorkbook || why != nil {
			t.Errorf("names with %q before: %v %v", before, kind, why)
		}
		if sheets, _, why := readWorkbook("a.xlsx", data, new(int)); why != nil || len(sheets[0].Rows) != 2 {
			t.Errorf("names with %q before: %v", before, why)
		}
	}
	data := zipped(t, append(parts, written{"xl/worksheets/sheet9.xml", []byte("<worksheet a=b>&plums;<c/>")}), 0, zip.Deflate)
	if _, _, why := readWorkbook("a.xlsx", data, new(int)); why == nil {
		t.Error("cells in a part that no tab reaches are passed over")
	}
}
