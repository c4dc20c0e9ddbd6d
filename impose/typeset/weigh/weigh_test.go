package weigh

import (
	"encoding/binary"
	"maps"
	"runtime"
	"slices"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/stix/stix2textregular"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype/tables"
)

// w16 and w32 are numbers as fonts have them.
func w16(numbers ...int) (out []byte) {
	for _, n := range numbers {
		out = binary.BigEndian.AppendUint16(out, uint16(n))
	}
	return out
}

func w32(numbers ...int) (out []byte) {
	for _, n := range numbers {
		out = binary.BigEndian.AppendUint32(out, uint32(n))
	}
	return out
}

// named is n offsets to the piece that follows them, after their number; before is what stands between the base of the offsets and that number.
func named(before []byte, n int, piece []byte) []byte {
	at := len(before) + 2 + 2*n
	return slices.Concat(before, w16(n), slices.Repeat(w16(at), n), piece)
}

// lookups is GSUB or GPOS with lookups of a kind that all are one, with subtables that all are one.
func lookups(kind, n, subtables int, subtable []byte) []byte {
	return slices.Concat(w16(1, 0, 0, 0, 10), named(nil, n, named(w16(kind, 0), subtables, subtable)))
}

// long is a coverage, or a list, of n items.
func long(n int) []byte     { return slices.Concat(w16(1, n), make([]byte, 2*n)) }
func numbers(n int) []byte  { return slices.Concat(w16(n), make([]byte, 2*n)) }
func longest(n int) []byte  { return long(min(10*n, 20000)) }
func devices(n int) []byte  { return slices.Concat(w16(0, min(8*n, 60000), 1), make([]byte, n)) }
func anchors(n int) []byte  { return slices.Concat(w16(3, 0, 0, 10, 10), devices(n)) }
func repeated(n int) []byte { return named(nil, n, numbers(n)) }

// states is a state machine of Apple's with one class table, which ends where its entries begin; entries have own bytes more.
func states(head []byte, classes, entries []byte) []byte {
	at := 16 + len(head)
	return slices.Concat(w32(4, at, at+len(classes), at+len(classes)+8), head, classes, make([]byte, 8), entries)
}

// Every way in which a table may name one of its pieces many times: with a few it is as fonts have it, with thousands it costs too much.
var ways = map[string]struct {
	tag  string
	make func(n int) []byte
}{
	"cmap: records of one table": {"cmap", func(n int) []byte {
		groups := slices.Concat(w16(12, 0), w32(16, 0, n))
		for i := range n {
			groups = append(groups, w32(2*i, 2*i, 1)...)
		}
		return slices.Concat(w16(0, n), slices.Repeat(slices.Concat(w16(3, 10), w32(4+8*n)), n), groups)
	}},
	"cmap: groups over each other": {"cmap", func(n int) []byte {
		return slices.Concat(w16(0, 1, 3, 10), w32(12), w16(12, 0), w32(16, 0, n-1), slices.Repeat(w32(0, 0x10FFFF, 1), n-1))
	}},
	"cmap: a group that ends before it begins": {"cmap", func(n int) []byte {
		return slices.Concat(w16(0, 1, 3, 10), w32(12), w16(13, 0), w32(16, 0, 1), w32(n, 2, 1))
	}},
	"cmap: segments over each other": {"cmap", func(n int) []byte {
		lists := append(slices.Repeat(w16(2*n), n), make([]byte, 0x20000)...)
		return slices.Concat(w16(0, 1, 3, 1), w32(12), w16(4, 0, 0, 2*n, 0, 0, 0), slices.Repeat(w16(0xFFFD), n), w16(0), make([]byte, 4*n), lists)
	}},
	"cmap: maps of bytes": {"cmap", func(n int) []byte {
		return slices.Concat(w16(0, n), slices.Repeat(slices.Concat(w16(1, 0), w32(4+8*n)), n), make([]byte, 262))
	}},
	"cmap: variants of characters": {"cmap", func(n int) []byte {
		return slices.Concat(w16(0, 1, 0, 5), w32(12), w16(14), w32(0, n), slices.Repeat(slices.Concat([]byte{0, 0, 1}, w32(10+11*n, 0)), n), w32(n), make([]byte, 4*n))
	}},
	"cmap: other variants of characters": {"cmap", func(n int) []byte {
		return slices.Concat(w16(0, 1, 0, 5), w32(12), w16(14), w32(0, n), slices.Repeat(slices.Concat([]byte{0, 0, 1}, w32(0, 10+11*n)), n), w32(n), make([]byte, 5*n))
	}},
	"GSUB: lookups that are one":   {"GSUB", func(n int) []byte { return lookups(1, n, 1, slices.Concat(w16(2, 6, 0), longest(n))) }},
	"GSUB: subtables that are one": {"GSUB", func(n int) []byte { return lookups(1, 1, n, slices.Concat(w16(2, 6, 0), longest(n))) }},
	"GSUB: subtables that are their lookup": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 0, 0, 0, 10), w16(1, 4, 1, 6+2*n, n), make([]byte, 2*n), longest(n))
	}},
	"GSUB: extensions": {"GSUB", func(n int) []byte {
		return lookups(7, n, 1, slices.Concat(w16(1, 1), w32(8), w16(2, 6, 0), longest(n)))
	}},
	"GSUB: several for one": {"GSUB", func(n int) []byte { return lookups(2, 1, 1, named(w16(1, 0), n, numbers(n))) }},
	"GSUB: one of several":  {"GSUB", func(n int) []byte { return lookups(3, 1, 1, named(w16(1, 0), n, numbers(n))) }},
	"GSUB: ligatures":       {"GSUB", func(n int) []byte { return lookups(4, 1, 1, named(w16(1, 0), n, named(nil, n, w16(1, 2, 3)))) }},
	"GSUB: parts of ligatures": {"GSUB", func(n int) []byte {
		return lookups(4, 1, 1, named(w16(1, 0), 1, named(nil, n, append(w16(1, n), numbers(n)...))))
	}},
	"GSUB: ligatures of no glyph": {"GSUB", func(n int) []byte { return lookups(4, 1, 1, named(w16(1, 0), 1, named(nil, n, make([]byte, 1<<17+8)))) }},
	"GSUB: contexts of glyphs":    {"GSUB", func(n int) []byte { return lookups(5, 1, 1, named(w16(1, 0), n, named(nil, n, w16(1, 0)))) }},
	"GSUB: contexts of classes":   {"GSUB", func(n int) []byte { return lookups(5, 1, 1, named(w16(2, 0, 0), n, named(nil, n, w16(1, 0)))) }},
	"GSUB: what contexts call": {"GSUB", func(n int) []byte {
		return lookups(5, 1, 1, named(w16(1, 0), 1, named(nil, n, append(w16(1, n), make([]byte, 4*n)...))))
	}},
	"GSUB: contexts of lists": {"GSUB", func(n int) []byte {
		return lookups(5, 1, 1, slices.Concat(w16(3, n, 0), slices.Repeat(w16(6+2*n), n), longest(n)))
	}},
	"GSUB: chains of glyphs": {"GSUB", func(n int) []byte { return lookups(6, 1, 1, named(w16(1, 0), n, named(nil, n, w16(0, 1, 0, 0)))) }},
	"GSUB: chains of classes": {"GSUB", func(n int) []byte {
		return lookups(6, 1, 1, named(w16(2, 0, 0, 0, 0), n, named(nil, n, w16(0, 1, 0, 0))))
	}},
	"GSUB: what is before a chain": {"GSUB", func(n int) []byte {
		return lookups(6, 1, 1, named(w16(1, 0), 1, named(nil, n, append(numbers(n), w16(1, 0, 0)...))))
	}},
	"GSUB: chains of lists": {"GSUB", func(n int) []byte {
		return lookups(6, 1, 1, slices.Concat(w16(3, 0, n), slices.Repeat(w16(10+2*n), n), w16(0, 0), longest(n)))
	}},
	"GSUB: what is after a chain": {"GSUB", func(n int) []byte {
		return lookups(6, 1, 1, slices.Concat(w16(3, 0, 0, n), slices.Repeat(w16(10+2*n), n), w16(0), longest(n)))
	}},
	"GSUB: the other way round": {"GSUB", func(n int) []byte {
		return lookups(8, 1, 1, slices.Concat(w16(1, 0, n), slices.Repeat(w16(10+2*n), n), w16(0, 0), longest(n)))
	}},
	"GSUB: scripts": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 0, 10, 0, 0), w16(n), slices.Repeat(w16(0, 0, 2+6*n), n), w16(4, 0, 0, 0xFFFF, n), make([]byte, 2*n))
	}},
	"GSUB: languages": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 0, 10, 0, 0), w16(1, 0, 0, 8), w16(0, n), slices.Repeat(w16(0, 0, 4+6*n), n), w16(0, 0xFFFF, n), make([]byte, 2*n))
	}},
	"GSUB: features": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 0, 0, 10, 0), w16(n), slices.Repeat(w16(0, 0, 2+6*n), n), w16(0, n), make([]byte, 2*n))
	}},
	"GSUB: features that vary": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 1, 0, 0, 0), w32(14), w16(1, 0), w32(n), slices.Repeat(w32(0, 8+8*n), n), w16(1, 0, 1, 0), w32(12), w16(0, n), make([]byte, 2*n))
	}},
	"GSUB: when features vary": {"GSUB", func(n int) []byte {
		return slices.Concat(w16(1, 1, 0, 0, 0), w32(14), w16(1, 0), w32(n), slices.Repeat(w32(8+8*n, 0), n), w16(n), slices.Repeat(w32(2+4*n), n), w16(1, 0, 0, 0))
	}},
	"GPOS: lookups that are one": {"GPOS", func(n int) []byte { return lookups(1, n, 1, slices.Concat(w16(1, 6, 0), longest(n))) }},
	"GPOS: extensions": {"GPOS", func(n int) []byte {
		return lookups(9, n, 1, slices.Concat(w16(1, 1), w32(8), w16(1, 6, 0), longest(n)))
	}},
	"GPOS: devices of one": {"GPOS", func(n int) []byte { return lookups(1, 1, n, slices.Concat(w16(1, 0, 0x10, 8), devices(n))) }},
	"GPOS: devices": {"GPOS", func(n int) []byte {
		return lookups(1, 1, 1, slices.Concat(w16(2, 0, 0x10, n), slices.Repeat(w16(8+2*n), n), devices(n)))
	}},
	"GPOS: classes of pairs": {"GPOS", func(n int) []byte {
		return lookups(2, 1, n, slices.Concat(w16(2, 0, 0, 0, 16, 16, 1, 1), w16(1, 0, 10*n), make([]byte, 20*n)))
	}},
	"GPOS: places to join": {"GPOS", func(n int) []byte {
		return lookups(3, 1, 1, slices.Concat(w16(1, 0, n), slices.Repeat(w16(6+4*n, 6+4*n), n), anchors(n)))
	}},
	"GPOS: marks": {"GPOS", func(n int) []byte {
		return lookups(4, 1, 1, slices.Concat(w16(1, 0, 0, 1, 12, 0), w16(n), slices.Repeat(w16(0, 2+4*n), n), anchors(n)))
	}},
	"GPOS: places on ligatures": {"GPOS", func(n int) []byte {
		return lookups(5, 1, 1, slices.Concat(w16(1, 0, 0, 1, 0, 12), repeated(n)))
	}},
	"GPOS: places of no size": {"GPOS", func(n int) []byte {
		return lookups(5, 1, 1, slices.Concat(w16(1, 0, 0, 0, 0, 12), named(nil, n, w16(min(20*n, 60000)))))
	}},
	"GPOS: contexts": {"GPOS", func(n int) []byte { return lookups(7, 1, 1, named(w16(1, 0), n, named(nil, n, w16(1, 0)))) }},
	"GPOS: chains":   {"GPOS", func(n int) []byte { return lookups(8, 1, 1, named(w16(1, 0), n, named(nil, n, w16(0, 1, 0, 0)))) }},
	"GDEF: points":   {"GDEF", func(n int) []byte { return slices.Concat(w16(1, 0, 0, 12, 0, 0), named(w16(0), n, numbers(n))) }},
	"GDEF: carets": {"GDEF", func(n int) []byte {
		return slices.Concat(w16(1, 0, 0, 0, 12, 0), named(w16(0), n, named(nil, n, w16(1, 5))))
	}},
	"GDEF: devices": {"GDEF", func(n int) []byte {
		return slices.Concat(w16(1, 0, 0, 0, 12, 0), named(w16(0), 1, named(nil, n, append(w16(3, 5, 6), devices(n)...))))
	}},
	"GDEF: sets of marks": {"GDEF", func(n int) []byte {
		return slices.Concat(w16(1, 2, 0, 0, 0, 0, 14), w16(1, n), slices.Repeat(w32(4+4*n), n), longest(n))
	}},
	"GDEF: how it varies": {"GDEF", func(n int) []byte {
		return slices.Concat(w16(1, 3, 0, 0, 0, 0, 0), w32(18), w16(1), w32(0), w16(n), slices.Repeat(w32(8+4*n), n), w16(n, 0, 1, 0), make([]byte, n))
	}},
	"morx: a subtable of no length": {"morx", func(n int) []byte {
		return slices.Concat(w16(2, 0), w32(1, 0, 0, 0, n*n), w32(0, 4, 0), w16(8, 0, 20*n), make([]byte, 40*n))
	}},
	"morx: what contexts put": {"morx", func(n int) []byte {
		machine := states(w32(36), w16(8, 0, 0), slices.Concat(w16(0, 0, n-1, 0xFFFF)))
		machine = append(machine[:16], append(w32(len(machine)), machine[20:]...)...)
		body := slices.Concat(machine, slices.Repeat(w32(4*n), n), w16(8, 0, 10*n), make([]byte, 20*n))
		return slices.Concat(w16(2, 0), w32(1, 0, 0, 0, 1), w32(12+len(body), 1, 0), body)
	}},
	"morx: runs of glyphs": {"morx", func(n int) []byte {
		body := slices.Concat(w16(4, 6, n, 0, 0, 0), slices.Repeat(w16(10*n, 0, 12+6*n), n), make([]byte, 20*n+2))
		return slices.Concat(w16(2, 0), w32(1, 0, 0, 0, 1), w32(12+len(body), 4, 0), body)
	}},
	"kerx: a subtable of no length": {"kerx", func(n int) []byte {
		return slices.Concat(w16(2, 0), w32(n*n), w32(0, 0, 0), w32(10*n, 0, 0, 0), make([]byte, 60*n))
	}},
	"kern: subtables that are not there": {"kern", func(n int) []byte { return slices.Concat(w32(1<<16, n*n), make([]byte, 100)) }},
	"kern: a subtable of no length": {"kern", func(n int) []byte {
		return slices.Concat(w16(0, n), w16(0, 0, 1), w16(min(10*n, 60000), 0, 0, 0), make([]byte, 60*n))
	}},
	"kern: pairs of one list": {"kern", func(n int) []byte {
		head := slices.Concat(w16(0, 14, 1), w16(min(10*n, 60000), 0, 0, 0))
		return slices.Concat(w16(0, n), slices.Repeat(head, n), make([]byte, 60*n))
	}},
	"ankr: runs of glyphs": {"ankr", func(n int) []byte {
		return slices.Concat(w16(0, 0), w32(12, 0), w16(4, 6, n, 0, 0, 0), slices.Repeat(w16(10*n, 0, 12+6*n), n), make([]byte, 20*n+2))
	}},
	"feat: settings": {"feat", func(n int) []byte {
		return slices.Concat(w16(1, 0, n, 0), w32(0), slices.Repeat(slices.Concat(w16(1, n), w32(12+12*n), w16(0, 0)), n), make([]byte, 4*n))
	}},
}

// TestNamedManyTimes: with two of each it passes, with thousands it does not, and telling so takes no memory to speak of.
func TestNamedManyTimes(t *testing.T) {
	for name, way := range ways {
		if !Table(way.tag, way.make(2), 100, nil, false) {
			t.Errorf("%s: two of them are refused", name)
		}
		data := way.make(3000)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		ok := Table(way.tag, data, 100, nil, false)
		runtime.ReadMemStats(&after)
		if took := int(after.TotalAlloc - before.TotalAlloc); ok || took > len(data)+1<<16 {
			t.Errorf("%s: passes: %v, %d bytes to tell it", name, ok, took)
		}
	}
}

// A glyph's points may all be said to be as the first; real outlines pass.
func TestPoints(t *testing.T) {
	points := func(n int) []byte { // of one contour, at one place
		return slices.Concat(w16(1, 0, 0, 0, 0, n-1, 0), slices.Repeat([]byte{0x39, 255}, (n+255)/256), make([]byte, 4))
	}
	for n, fine := range map[int]bool{4: true, 300: true, 60000: false} {
		var glyf, loca []byte
		for range 20 {
			loca = append(loca, w32(len(glyf))...)
			glyf = append(glyf, points(n)...)
		}
		loca = append(loca, w32(len(glyf))...)
		if Table("glyf", glyf, 20, loca, true) != fine {
			t.Errorf("%d points in %d bytes", n, len(points(n)))
		}
	}
}

// ofFont is the tables of a font.
func ofFont(data []byte) map[string][]byte {
	out := map[string][]byte{}
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		r := data[12+16*i:]
		from := binary.BigEndian.Uint32(r[8:])
		out[string(r[:4])] = data[from : from+binary.BigEndian.Uint32(r[12:])]
	}
	return out
}

// Fonts as people have them stay far below the limits: with a sixth of the room they pass.
func TestRealFonts(t *testing.T) {
	for name, data := range map[string][]byte{"DejaVu Sans": dejavusans.TTF, "Liberation Sans": liberationsansregular.TTF, "STIX Two": stix2textregular.TTF} {
		all := ofFont(data)
		glyphs := int(binary.BigEndian.Uint16(all["maxp"][4:]))
		for tag, table := range all {
			w := &scale{data: table, left: most(len(table)) / 6}
			if !w.bears(tag, glyphs, all["loca"], binary.BigEndian.Uint16(all["head"][50:]) == 1) {
				t.Errorf("%s: the table %s", name, tag)
			}
		}
	}
}

// FuzzTable: a table that passes is read by the library with memory for a few hundred times what it holds at most: what is kept of
// two bytes takes some sixty.
func FuzzTable(f *testing.F) {
	tags := []string{"cmap", "GSUB", "GPOS", "GDEF", "morx", "kerx", "kern", "ankr", "feat"}
	for i, tag := range tags {
		for _, name := range slices.Sorted(maps.Keys(ways)) {
			if way := ways[name]; way.tag == tag {
				f.Add(byte(i), way.make(3), uint16(0), uint16(0))
				f.Add(byte(i), way.make(60), uint16(0), uint16(0))
			}
		}
		for _, data := range [][]byte{dejavusans.TTF, liberationsansregular.TTF} {
			if table := ofFont(data)[tag]; table != nil && len(table) < 20000 {
				f.Add(byte(i), table, uint16(10), uint16(10))
			}
		}
	}
	f.Fuzz(func(t *testing.T, which byte, data []byte, at, value uint16) {
		tag := tags[int(which)%len(tags)]
		if int(at)+2 <= len(data) {
			data = slices.Clone(data)
			binary.BigEndian.PutUint16(data[at:], value)
		}
		const glyphs = 100
		if !Table(tag, data, glyphs, nil, false) {
			return
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		read(tag, data, glyphs)
		runtime.ReadMemStats(&after)
		if took := int(after.TotalAlloc - before.TotalAlloc); took > 600*len(data)+16<<20 {
			t.Errorf("%s: %d bytes for a table of %d", tag, took, len(data))
		}
	})
}

// read has the library read a table.
func read(tag string, data []byte, glyphs int) {
	defer func() { _ = recover() }()
	switch tag {
	case "cmap":
		if t, _, err := tables.ParseCmap(data); err == nil {
			_, _, _ = font.ProcessCmap(t, tables.FPNone)
		}
	case "GSUB":
		t, _, err := tables.ParseLayout(data)
		if err != nil {
			return
		}
		for _, l := range t.LookupList.Lookups {
			all, _ := l.AsGSUBLookups()
			for _, s := range all {
				if e, ok := s.(tables.ExtensionSubs); ok {
					_, _ = e.Resolve()
				}
			}
		}
	case "GPOS":
		t, _, err := tables.ParseLayout(data)
		if err != nil {
			return
		}
		for _, l := range t.LookupList.Lookups {
			all, _ := l.AsGPOSLookups()
			for _, s := range all {
				if e, ok := s.(tables.ExtensionPos); ok {
					_, _ = e.Resolve()
				}
			}
		}
	case "GDEF":
		_, _, _ = tables.ParseGDEF(data)
	case "morx":
		_, _, _ = tables.ParseMorx(data, glyphs)
	case "kerx":
		_, _, _ = tables.ParseKerx(data, glyphs)
	case "kern":
		_, _, _ = tables.ParseKern(data)
	case "ankr":
		_, _, _ = tables.ParseAnkr(data, glyphs)
	case "feat":
		_, _, _ = tables.ParseFeat(data)
	}
}
