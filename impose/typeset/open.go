package typeset

import (
	"bytes"
	"encoding/binary"
	"fmt"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"

	"tuckmark/impose/typeset/weigh"
)

// A font's file comes from anywhere, and the libraries that read fonts trust it. So each file is looked through before: that every table lies within it, and that
// reading it costs no more than a few times what it holds.

// rescue turns a library's panic over a damaged font into an error.
func rescue(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("%v", r)
	}
}

// loaders are the fonts of a file, of which a collection has several.
func loaders(data []byte) (out []*opentype.Loader, err error) {
	defer rescue(&err)
	if !sound(data) {
		return nil, fmt.Errorf("its tables are not as they should be")
	}
	return opentype.NewLoaders(bytes.NewReader(data))
}

// mostFonts is how many fonts a collection may have. The largest known ones have some fifty.
const mostFonts = 256

// starts are the places in a file where its fonts begin; none where there are too many.
func starts(data []byte) (at []int) {
	if len(data) < 12 || string(data[:4]) != "ttcf" {
		return []int{0}
	}
	n := int(binary.BigEndian.Uint32(data[8:]))
	if n > mostFonts || 12+4*n > len(data) {
		return nil
	}
	for i := range n {
		at = append(at, int(binary.BigEndian.Uint32(data[12+4*i:])))
	}
	return at
}

// records are the entries of a font's directory of tables, 16 bytes each: the tag, a sum, the place and the length. False where they do not
// lie within the file.
func records(data []byte, start int) (out [][]byte, ok bool) {
	if start+12 > len(data) {
		return nil, false
	}
	switch string(data[start : start+4]) {
	case "\x00\x01\x00\x00", "true", "typ1", "OTTO":
	default: // what is packed, or a font of another kind, that the library would take here
		return nil, false
	}
	n, rest := int(binary.BigEndian.Uint16(data[start+4:])), data[start+12:]
	if 16*n > len(rest) {
		return nil, false
	}
	for i := range n {
		out = append(out, rest[16*i:16*i+16])
	}
	return out, true
}

// sound reports whether every table of every font of a file lies within the file, and is there once if it is read: a damaged length would make the reader ask
// for gigabytes. What fonts of a collection say of themselves is read for each, though it may lie at one place.
func sound(data []byte) bool {
	fonts := starts(data)
	read := 0
	for _, start := range fonts {
		list, ok := records(data, start)
		if !ok {
			return false
		}
		tags := map[string]bool{}
		for _, r := range list {
			tag, length := string(r[:4]), uint64(binary.BigEndian.Uint32(r[12:]))
			if uint64(binary.BigEndian.Uint32(r[8:]))+length > uint64(len(data)) || tags[tag] && shaping[tag] {
				return false
			}
			tags[tag] = true
			switch read += len(r); tag {
			case "name", "OS/2", "head", "bhed":
				read += int(length)
			}
			if read > 4*len(data)+1<<16 {
				return false
			}
		}
	}
	return len(fonts) > 0
}

// shaping are the tables that text is shaped and measured by. The library reads no others: those of pictures and of variable fonts change
// nothing that is printed.
var shaping = map[string]bool{"OS/2": true, "cmap": true, "head": true, "maxp": true, "hhea": true, "hmtx": true, "vhea": true, "vmtx": true, "VORG": true, "fvar": true,
	"glyf": true, "loca": true, "CFF ": true, "GDEF": true, "GSUB": true, "GPOS": true, "morx": true, "kerx": true, "kern": true, "ankr": true, "feat": true, "ltag": true}

// reader is a font of a file as the library reads it, where that costs no more than it may.
func reader(data []byte, index int) (*font.Font, error) {
	list, ok := records(data, starts(data)[index])
	if !ok {
		return nil, fmt.Errorf("it has no tables")
	}
	tables := map[string][]byte{}
	for _, r := range list {
		from := binary.BigEndian.Uint32(r[8:])
		tables[string(r[:4])] = data[from : from+binary.BigEndian.Uint32(r[12:])]
	}
	glyphs, long := 0, false
	if maxp := tables["maxp"]; len(maxp) >= 6 {
		glyphs = int(binary.BigEndian.Uint16(maxp[4:]))
	}
	if head := tables["head"]; len(head) >= 52 {
		long = binary.BigEndian.Uint16(head[50:]) == 1
	}
	if hhea := tables["hhea"]; len(hhea) < 36 || len(tables["hmtx"]) < 4*max(int(binary.BigEndian.Uint16(hhea[34:])), 1) {
		return nil, fmt.Errorf("its letters have no widths") // the library would give all of them the same
	}
	_, glyf := tables["glyf"]
	_, loca := tables["loca"]
	kept := 0
	out := view{data: data}
	directory := append(bytes.Clone(data[starts(data)[index]:][:4]), make([]byte, 8)...)
	for _, r := range list {
		tag := string(r[:4])
		if !shaping[tag] || tag == "CFF " && glyf && loca { // the outlines that are printed are in one of them only
			continue
		}
		if !weigh.Table(tag, tables[tag], glyphs, tables["loca"], long) {
			return nil, fmt.Errorf("its table %s names its pieces many times", tag)
		}
		directory = append(directory, r...)
		kept++
	}
	binary.BigEndian.PutUint16(directory[4:], uint16(kept))
	out.Reader = bytes.NewReader(directory)
	ld, err := opentype.NewLoader(out)
	if err != nil {
		return nil, err
	}
	return font.NewFont(ld)
}

// view is a font's file with another directory of tables.
type view struct {
	*bytes.Reader // the directory
	data          []byte
}

func (v view) ReadAt(p []byte, at int64) (int, error) { return bytes.NewReader(v.data).ReadAt(p, at) }
