package typeset

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"github.com/andybalholm/brotli"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
)

// big32 is numbers as fonts have them.
func big32(numbers ...int) (out []byte) {
	for _, n := range numbers {
		out = binary.BigEndian.AppendUint32(out, uint32(n))
	}
	return out
}

// woff packs a font as a web font (WOFF 1.0) and adds a table that unpacks to more zeroes than it says.
func woff(data []byte, zeroes int) []byte {
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	_, _ = z.Write(make([]byte, zeroes))
	_ = z.Close()
	n := int(binary.BigEndian.Uint16(data[4:]))
	if zeroes > 0 {
		n++
	}
	var head, body []byte
	whole := 12 + 16*n
	add := func(tag string, packed []byte, size, sum int) {
		head = append(append(head, tag...), big32(44+20*n+len(body), len(packed), size, sum)...)
		body = append(append(body, packed...), make([]byte, -len(packed)&3)...)
		whole += (size + 3) &^ 3
	}
	for i := range n {
		if zeroes > 0 && i == n-1 {
			add("zzzz", packed.Bytes(), packed.Len()+4, 0)
			break
		}
		r := data[12+16*i:]
		t := data[binary.BigEndian.Uint32(r[8:]):][:binary.BigEndian.Uint32(r[12:])]
		add(string(r[:4]), t, len(t), int(binary.BigEndian.Uint32(r[4:])))
	}
	return slices.Concat([]byte("wOFF"), data[:4], big32(44+20*n+len(body)), big16(n, 0), big32(whole), make([]byte, 24), head, body)
}

// woff2 is the later format with one table that unpacks to more zeroes than it says.
func woff2(zeroes int) []byte {
	var packed bytes.Buffer
	z := brotli.NewWriterLevel(&packed, 4)
	_, _ = z.Write(make([]byte, zeroes))
	_ = z.Close()
	entry := []byte{0, 100} // a table cmap of a hundred bytes
	return slices.Concat([]byte("wOF2\x00\x01\x00\x00"), big32(48+len(entry)+packed.Len()), big16(1, 0), big32(200, packed.Len()), make([]byte, 24), entry, packed.Bytes())
}

// twice is a font with a second table of a tag, which another reader might take.
func twice(data []byte, tag string) []byte {
	out := withTable(data, "zzzz", []byte{1, 2, 3, 4})
	for i := range int(binary.BigEndian.Uint16(out[4:])) {
		if r := out[12+16*i:]; string(r[:4]) == "zzzz" {
			copy(r, tag)
		}
	}
	return out
}

// Small files that would take gigabytes to read, or minutes, or that two readers would read differently, are told as damaged without taking more than a few times
// their size.
func TestFilesWithoutEnd(t *testing.T) {
	overlapping := slices.Concat(big16(0, 1, 3, 10), big32(12), big16(12, 0), big32(16, 0, 3000), slices.Repeat(big32(0, 0x10FFFF, 1), 3000))
	lookups := slices.Concat(big16(1, 0, 0, 0, 10, 2000), slices.Repeat(big16(2+2*2000), 2000), big16(1, 0, 2000), slices.Repeat(big16(6+2*2000), 2000), big16(1, 0, 0))
	kern := slices.Concat(big32(1<<16, 1<<30), make([]byte, 100))
	packedInside := collection(goregular.TTF)
	copy(packedInside[16:], "wOFF")
	wideLoca := bytes.Clone(goregular.TTF)
	binary.BigEndian.PutUint16(table(t, wideLoca, "head")[50:], 2)
	for name, c := range map[string]struct {
		data []byte
		fine bool
	}{
		"a font":                          {goregular.TTF, true},
		"a web font":                      {woff(goregular.TTF, 0), true},
		"a collection":                    {collection(goregular.TTF, lmroman10regular.TTF), true},
		"a web font that swells":          {woff(goregular.TTF, 30<<20), false},
		"a later web font that swells":    {woff2(30 << 20), false},
		"groups of characters":            {withTable(goregular.TTF, "cmap", overlapping), false},
		"lookups that are one":            {withTable(goregular.TTF, "GSUB", lookups), false},
		"the same with outlines in CFF":   {withTable(lmroman10regular.TTF, "GPOS", lookups), false},
		"subtables that are not there":    {withTable(goregular.TTF, "kern", kern), false},
		"no widths":                       {withTable(goregular.TTF, "hmtx", []byte{1, 2}), false},
		"fewer widths than it says":       {withTable(lmroman10regular.TTF, "hmtx", make([]byte, 40)), false},
		"two tables of one name":          {twice(goregular.TTF, "glyf"), false},
		"a packed font in a collection":   {packedInside, false},
		"places that readers differ on":   {wideLoca, false},
		"a collection of one font":        {slices.Concat([]byte("ttcf"), big32(1<<16, 100000), slices.Repeat(big32(400012), 100000), goregular.TTF), false},
		"pictures, which nobody looks at": {withTable(goregular.TTF, "CBLC", kern), true},
		"outlines that are not printed":   {withTable(goregular.TTF, "CFF ", []byte{1, 0, 4, 4}), true},
	} {
		dir := folder(t, map[string][]byte{"x.ttf": c.data})
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		l := onlyBuiltIn(NewLibrary([]string{dir}))
		l.readFolders()
		m := &member{path: filepath.Join(dir, "x.ttf"), family: &family{name: "X"}}
		m.letters()
		_, err := m.load()
		runtime.ReadMemStats(&after)
		var p *problem.Problem
		if (err == nil) != c.fine || err != nil && (!errors.As(err, &p) || !strings.Contains(p.Cause, "damaged")) {
			t.Errorf("%s: %v", name, err)
		}
		if took := int(after.TotalAlloc - before.TotalAlloc); !c.fine && took > 10*len(c.data)+16<<20 {
			t.Errorf("%s: %d bytes for a file of %d", name, took, len(c.data))
		}
	}
}

// The fonts of this machine are all read.
func TestFontsOfThisMachine(t *testing.T) {
	_, err := os.Stat("/usr/share/fonts")
	if !longtests.Many() || err != nil {
		t.Skip("many files; LONG_TESTS=1 reads them")
	}
	read, refused := 0, 0
	_ = filepath.WalkDir("/usr/share/fonts", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !isFont(path) {
			return nil
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return nil
		}
		read++
		for i, start := range starts(data) {
			if list, ok := records(data, start); !ok || len(list) == 0 {
				t.Errorf("%s, font %d: no tables", path, i)
			} else if _, err := reader(data, i); err != nil {
				refused++
				t.Errorf("%s, font %d: %v", path, i, err)
			}
		}
		return nil
	})
	t.Logf("%d files, %d refused", read, refused)
}
