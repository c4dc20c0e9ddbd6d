package table

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/binary"
	"encoding/xml"
	"math"
	"net/url"
	"path"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// What an archive's structures begin with, and how long they are without names and what else they say (PKWARE's APPNOTE, 4.3).
const (
	localSign, localLen         = "PK\x03\x04", 30
	centralSign, centralLen     = "PK\x01\x02", 46
	endSign, endLen             = "PK\x05\x06", 22
	end64Sign, locator64Sign    = "PK\x06\x06", "PK\x06\x07"
	end64Len, locator64Len      = 56, 20
	end64Rest                   = 12   // what stands before what its length counts
	flagEncrypted, flagDeferred = 1, 8 // sizes and checksum of a part stand behind it
)

// alone reports whether an archive is all that is in a file, each byte of it once: parts that its table of contents lists, one behind the
// other, then the table, then its end. What another program would find elsewhere in the file would be left unread.
func alone(data []byte, z *zip.Reader) bool {
	type span struct {
		*zip.File
		at int64 // of what is in it
	}
	var files []span
	for _, f := range z.File {
		at, err := f.DataOffset()
		if err != nil || at > int64(len(data)) {
			return false
		}
		files = append(files, span{f, at})
	}
	slices.SortStableFunc(files, func(a, b span) int { return cmp.Compare(a.at, b.at) })
	short := func(at int64) int64 { return int64(binary.LittleEndian.Uint16(data[at:])) }
	begins := func(at int64, sign string, length int64) bool {
		return at+max(length, int64(len(sign))) <= int64(len(data)) && string(data[at:at+int64(len(sign))]) == sign
	}
	at := int64(0)
	for i, f := range files {
		if !begins(at, localSign, localLen) || at+localLen+short(at+26)+short(at+28) != f.at ||
			partName(string(data[at+localLen:at+localLen+short(at+26)])) != partName(f.Name) {
			return false
		}
		if f.CompressedSize64 > uint64(int64(len(data))-f.at) { // what a long archive says may be below zero where lengths are
			return false
		}
		at = f.at + int64(f.CompressedSize64)
		next := centralSign
		if i+1 < len(files) {
			next = localSign
		}
		if f.Flags&flagDeferred != 0 {
			for _, length := range []int64{12, 16, 20, 24} { // with and without its own sign, and with long sizes
				if begins(at+length, next, 0) {
					at += length
					break
				}
			}
		}
		for at < int64(len(data)) && data[at] == 0 { // some programs begin parts at round numbers
			at++
		}
	}
	start := at
	for range files {
		if !begins(at, centralSign, centralLen) {
			return false
		}
		at += centralLen + short(at+28) + short(at+30) + short(at+32)
	}
	end, long := at, int64(0)
	if begins(at, end64Sign, end64Len) {
		rest := binary.LittleEndian.Uint64(data[at+4:])
		if rest < end64Len-end64Rest || rest > uint64(len(data)) {
			return false
		}
		long = at
		if at += end64Rest + int64(rest); !begins(at, locator64Sign, locator64Len) {
			return false
		}
		at += locator64Len
	}
	if len(files) == 0 || !begins(at, endSign, endLen) {
		return false
	}
	said := func(place, place64 int64, is int64) bool {
		n := uint64(binary.LittleEndian.Uint32(data[at+place:]))
		if n == math.MaxUint32 && long > 0 {
			n = binary.LittleEndian.Uint64(data[long+place64:])
		}
		return n == uint64(is)
	}
	// The table is the one that was read, and not a second beside it. A remark may follow, and what mail adds.
	return said(12, 40, end-start) && said(16, 48, start) &&
		!bytes.Contains(data[at:], []byte(localSign)) && !bytes.Contains(data[at+endLen:], []byte(endSign))
}

// partName is the one name of a part: without the case of letters (ECMA-376 part 2, 6.2.2.3), with plain strokes, and with nothing that stands for
// something else.
func partName(name string) string {
	name = strings.ReplaceAll(name, "\\", "/")
	if plain, err := url.PathUnescape(name); err == nil {
		name = strings.ReplaceAll(plain, "\\", "/")
	}
	return strings.ToLower(strings.TrimPrefix(path.Clean("/"+name), "/"))
}

// partsOf looks at the archive's table of contents before anything is unpacked. It gives the parts by their names.
func partsOf(data []byte) (map[string]*zip.File, *problem.Problem) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, damaged()
	}
	if len(z.File) > mostParts {
		return nil, huge()
	}
	if !alone(data, z) {
		return nil, damaged()
	}
	parts := map[string]*zip.File{}
	for _, f := range z.File {
		if f.FileInfo().IsDir() && f.UncompressedSize64 == 0 { // a folder, which some programs list
			continue
		}
		name := partName(f.Name)
		if parts[name] != nil {
			return nil, damaged()
		}
		parts[name] = f
		large := strings.HasPrefix(name, "xl/worksheets/") || strings.HasPrefix(name, "xl/media/") || strings.HasPrefix(name,
			"xl/sharedstrings")
		if !large && f.UncompressedSize64 > mostPart {
			return nil, huge()
		}
		if f.Flags&flagEncrypted != 0 {
			return nil, refused("the workbook is protected by a password", "what is in it cannot be read without the password",
				"take the password off and save it again")
		}
	}
	return parts, nil
}

// allReached reports whether each part that is a worksheet and has cells is one of those that tabs lead to.
func (b *book) allReached(tabs []sheetPart) bool {
	reached := map[string]bool{}
	for _, t := range tabs {
		reached[partName(t.path)] = true
	}
	for name, f := range b.archive {
		if !reached[name] && hasCells(f) {
			return false
		}
	}
	return true
}

// hasCells reports whether a part is a worksheet with at least one cell.
func hasCells(f *zip.File) bool {
	r, err := f.Open()
	if err != nil {
		return false
	}
	defer r.Close()
	d := xml.NewDecoder(r)
	d.Strict = false
	for root := ""; ; {
		tok, err := d.RawToken()
		if err != nil {
			return false
		}
		if e, ok := tok.(xml.StartElement); ok {
			if root == "" {
				root = e.Name.Local
			}
			if root != "worksheet" {
				return false
			}
			if e.Name.Local == "c" {
				return true
			}
		}
	}
}
