package typeset

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"io"

	"github.com/andybalholm/brotli"
	sfnt "github.com/tdewolff/font"
)

// unpack turns a web font into the TrueType or OpenType font that it was made from; anything else it hands back as it is.
func unpack(data []byte) (out []byte, err error) {
	defer rescue(&err)
	if len(data) < 4 || string(data[:4]) != "wOFF" && string(data[:4]) != "wOF2" {
		return data, nil
	}
	unpacks := asSaid
	if string(data[:4]) == "wOF2" {
		unpacks = asSaid2
	}
	if !unpacks(data) {
		return nil, fmt.Errorf("it holds more than it says")
	}
	return sfnt.ToSFNT(data)
}

// A web font may become mostUnpacked times as large as it is, where two to four times is usual, and has mostTables tables at most: there are not so many kinds.
const (
	mostUnpacked = 8
	mostTables   = 256
)

// asSaid reports whether the tables of a web font (WOFF 1.0, section 5) are as large as its directory says. The library unpacks all that
// is there before it compares.
func asSaid(data []byte) bool {
	if len(data) < 44 {
		return false
	}
	n := int(binary.BigEndian.Uint16(data[12:]))
	if n > mostTables || 44+20*n > len(data) {
		return false
	}
	sum := 0
	for i := range n {
		entry := data[44+20*i:]
		at, packed, size := binary.BigEndian.Uint32(entry[4:]), binary.BigEndian.Uint32(entry[8:]), binary.BigEndian.Uint32(entry[12:])
		if sum += int(size); sum > mostUnpacked*len(data) || uint64(at)+uint64(packed) > uint64(len(data)) {
			return false
		}
		if packed == size {
			continue
		}
		r, err := zlib.NewReader(bytes.NewReader(data[at : at+packed]))
		if err != nil || !holds(r, int(size)) {
			return false
		}
	}
	return true
}

// asSaid2 is the same for the later format (WOFF 2.0, sections 4.1 and 5), which packs all tables as one.
func asSaid2(data []byte) bool {
	if len(data) < 48 {
		return false
	}
	n, packed := int(binary.BigEndian.Uint16(data[12:])), int(binary.BigEndian.Uint32(data[20:]))
	if n > mostTables {
		return false
	}
	sum, rest := 0, data[48:]
	number := func() (v int) {
		for i := 0; i < 5 && len(rest) > 0; i++ {
			b := rest[0]
			rest = rest[1:]
			if v = v<<7 | int(b&0x7F); b&0x80 == 0 {
				break
			}
		}
		return v
	}
	for range n {
		if len(rest) < 5 {
			return false
		}
		flags := rest[0]
		rest = rest[1:]
		tag, version := flags&0x3F, flags>>6
		const other, glyf, loca, hmtx = 63, 10, 11, 3
		known := int(tag)
		if tag == other {
			known = map[string]int{"glyf": glyf, "loca": loca, "hmtx": hmtx}[string(rest[:4])]
			rest = rest[4:]
		}
		size := number()
		if (known == glyf || known == loca) && version == 0 || known == hmtx && version == 1 {
			size = number()
		}
		sum += size
	}
	if sum > mostUnpacked*len(data) || packed > len(rest) {
		return false
	}
	return holds(brotli.NewReader(bytes.NewReader(rest[:packed])), sum)
}

// holds reports whether a stream holds so many bytes; no more than one beyond is read.
func holds(r io.Reader, size int) bool {
	n, err := io.Copy(io.Discard, io.LimitReader(r, int64(size)+1))
	return err == nil && n == int64(size)
}
