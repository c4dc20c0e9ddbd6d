package press

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"regexp"
	"strconv"
)

// A PDF that bears the right digest is still not known to be ours: anybody can reckon one. pdfcpu trusts what it reads, and unpacks it as often as the file
// says. So the file is looked through before: that its objects stand where the table says and as the printer in canonical.go writes them, and that its streams are
// not packed more than a few dozen times, all together.

// streamBegins is where pdfcpu takes a dictionary for that of a stream.
var streamBegins = regexp.MustCompile(`>>\s*stream`)

// asPrinted reports whether the objects of a file, from its table of n of them at a place on, are as printer writes them and unpack to no more than they may.
func asPrinted(pdf []byte, table, n int) bool {
	const entry = 20 // bytes
	rows := bytes.TrimPrefix(pdf[table:], fmt.Appendf(nil, "xref\n0 %d\n0000000000 65535 f \n", n))
	if n < 2 || len(rows) < entry*(n-1) || len(rows) == len(pdf)-table {
		return false
	}
	place := func(i int) int { // of the ith object, from 1; the table stands behind the last
		if i == n {
			return table
		}
		row := rows[entry*(i-1):][:entry]
		at, err := strconv.Atoi(string(row[:10]))
		if err != nil || string(row[10:]) != " 00000 n \n" {
			return -1
		}
		return at
	}
	left := int64(48*len(pdf) + 16<<20)
	for i := 1; i < n; i++ {
		from, to := place(i), place(i+1)
		if from < 0 || to < from || to > table || i == 1 && from != len(header) {
			return false
		}
		object, begins := bytes.CutPrefix(pdf[from:to], fmt.Appendf(nil, "%d 0 obj\n", i))
		object, ends := bytes.CutSuffix(object, []byte("\nendobj\n"))
		if !begins || !ends {
			return false
		}
		if at := streamBegins.FindIndex(object); at != nil {
			left -= unpacked(object[:at[0]+2], object[at[0]+2:], left)
		}
		if left < 0 {
			return false
		}
	}
	return true
}

// unpacked is how many bytes a stream holds, as far as it may hold that many; more than most where it is not written as printer writes it.
func unpacked(dict, stream []byte, most int64) int64 {
	packed, begins := bytes.CutPrefix(stream, []byte("\nstream\n"))
	packed, ends := bytes.CutSuffix(packed, []byte("\nendstream"))
	length := fmt.Appendf(nil, "/Length %d", len(packed))
	switch {
	case !begins || !ends, bytes.ContainsAny(dict, "(%\r\n"), bytes.Count(dict, []byte("/Length ")) != 1, !bytes.Contains(dict, append(length, '/')) && !bytes.Contains(dict, append(length, '>')):
		return most + 1
	case bytes.Contains(bytes.Replace(dict, []byte("/application#2fjson"), nil, 1), []byte("#")): // another way to write a name
		return most + 1
	case !bytes.Contains(dict, []byte("/Filter")) && !bytes.Contains(dict, []byte("/DecodeParms")):
		return int64(len(packed))
	case !bytes.HasPrefix(dict, append([]byte("<</Filter /FlateDecode"), length...)) || bytes.Count(dict, []byte("/Filter")) != 1 || bytes.Contains(dict, []byte("/DecodeParms")):
		return most + 1
	}
	r, err := zlib.NewReader(bytes.NewReader(packed))
	if err != nil {
		return most + 1
	}
	held, err := io.Copy(io.Discard, io.LimitReader(r, most+1))
	if err != nil {
		return most + 1
	}
	return held
}
