package typeset

import (
	"context"
	"reflect"
	"runtime"
	"strings"
	"testing"

	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// What Measure says is what Set says, without the glyphs.
func TestMeasure(t *testing.T) {
	var blocks []intake.Block
	for i, text := range texts {
		blocks = append(blocks, aBlock(measure.Length(2+i%4)*measure.Inch, 2*measure.Inch, text))
	}
	set, held, found := Set(context.Background(), onlyBuiltIn(NewLibrary(nil)), blocks, settings(), nil)
	bare, held2, found2 := Measure(context.Background(), onlyBuiltIn(NewLibrary(nil)), blocks, settings(), nil)
	glyphs := 0
	for i := range set {
		for k := range set[i].Lines {
			glyphs += len(set[i].Lines[k].Spans)
			set[i].Lines[k].Spans = nil
		}
	}
	if glyphs == 0 || !reflect.DeepEqual(set, bare) || !reflect.DeepEqual(held, held2) || !reflect.DeepEqual(found, found2) {
		t.Errorf("%d and %d blocks, %d and %d held, %v and %v", len(set), len(bare), len(held), len(held2), found, found2)
	}
}

// fontNumber is the name of one of many fonts.
func fontNumber(i int) string { return string([]byte{'A' + byte(i/26), 'A' + byte(i%26)}) }

// manyFonts are fonts by number, each of the given size.
func manyFonts(n, size int) map[string][]byte {
	files := map[string][]byte{}
	for i := range n {
		name := fontNumber(i)
		data := rename(goregular.TTF, name)
		files[name+".ttf"] = append(data, make([]byte, max(0, size-len(data)))...)
	}
	return files
}

// Of many fonts in a folder only those are held whose letters are asked for.
func TestManyFonts(t *testing.T) {
	const n = 200
	l := onlyBuiltIn(NewLibrary([]string{folder(t, manyFonts(n, 0))}))
	if f := l.lender([]rune{0x12000}, false, false); f != nil { // which none has
		t.Fatal(f.Name())
	}
	held, known := 0, 0
	for _, f := range l.order {
		for _, m := range f.members {
			if m.face != nil && m.path != "" {
				held++
			}
			if m.path != "" {
				known++
			}
		}
	}
	if held > 0 || known != n {
		t.Errorf("%d of %d faces are held", held, known)
	}
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	if f := l.lender([]rune{0x2318}, false, false); f == nil {
		t.Fatal("nobody has it")
	}
	runtime.GC()
	runtime.ReadMemStats(&after)
	if mb := (int64(after.HeapAlloc) - int64(before.HeapAlloc)) >> 20; mb > 10 {
		t.Errorf("a letter takes %d MB", mb)
	}
}

// A job has so many fonts as can be held, those of its first rows; the rows of the others say so. A few may be of any size.
func TestTooManyFonts(t *testing.T) {
	longtests.Only(t)
	dir := folder(t, manyFonts(8, 12<<20))
	var blocks []intake.Block
	for i := range 8 {
		b := aBlock(3*measure.Inch, measure.Inch, "Plums in Larvik.")
		b.Font = fontNumber(i)
		blocks = append(blocks, b)
	}
	for range 2 { // the same however the cores take turns
		set, held, found := Set(context.Background(), onlyBuiltIn(NewLibrary([]string{dir})), blocks, settings(), nil)
		if len(set) != 5 || len(held) != 3 || len(found) != 3 || !strings.Contains(found[0].What, "with the font “AF” the job uses more fonts than can be held") || found[0].Hint == "" || found[0].Place.Column != "Font" {
			t.Fatalf("%d set, %v", len(set), found)
		}
	}
	dir = folder(t, manyFonts(4, 80<<20))
	if set, _, found := Set(context.Background(), onlyBuiltIn(NewLibrary([]string{dir})), blocks[:4], settings(), nil); len(set) != 3 {
		t.Errorf("%d of four large fonts, %v", len(set), found)
	}
}
