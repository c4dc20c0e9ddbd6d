package typeset

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmroman10italic"
	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goitalic"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// table finds a table in a font file, to patch it.
func table(t testing.TB, data []byte, tag string) []byte {
	t.Helper()
	for i := range int(binary.BigEndian.Uint16(data[4:])) {
		d := data[12+16*i:]
		if string(d[:4]) == tag {
			off, n := binary.BigEndian.Uint32(d[8:]), binary.BigEndian.Uint32(d[12:])
			return data[off : off+n]
		}
	}
	t.Fatalf("no table %s", tag)
	return nil
}

// collection makes a font collection (OpenType specification, "Font Collections") of single fonts.
func collection(fonts ...[]byte) []byte {
	head := make([]byte, 12+4*len(fonts))
	copy(head, "ttcf\x00\x01\x00\x00")
	binary.BigEndian.PutUint32(head[8:], uint32(len(fonts)))
	out := head
	for i, f := range fonts {
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
		base := uint32(len(out))
		binary.BigEndian.PutUint32(out[12+4*i:], base)
		f = bytes.Clone(f)
		for j := range int(binary.BigEndian.Uint16(f[4:])) {
			d := f[12+16*j:]
			binary.BigEndian.PutUint32(d[8:], binary.BigEndian.Uint32(d[8:])+base)
		}
		out = append(out, f...)
	}
	return out
}

// embedding is a font with other embedding bits.
func embedding(t testing.TB, data []byte, bits uint16) []byte {
	data = bytes.Clone(data)
	binary.BigEndian.PutUint16(table(t, data, "OS/2")[8:], bits)
	return data
}

func folder(t testing.TB, files map[string][]byte) string {
	t.Helper()
	dir := t.TempDir()
	for name, data := range files {
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// onlyBuiltIn keeps the machine's fonts out of a test.
func onlyBuiltIn(l *Library) *Library {
	l.machine = l.machine[:0:0]
	if l.machine == nil {
		l.machine = make([]fontPrint, 0)
	}
	return l
}

// TestBuiltIn: plain names in any case, with the members that they have.
func TestBuiltIn(t *testing.T) {
	l := onlyBuiltIn(NewLibrary(nil))
	for _, c := range []struct {
		name         string
		bold, italic bool
		want, post   string
	}{
		{"sans", false, false, "Sans", "LiberationSans"},
		{"SERIF", true, true, "Serif Bold Italic", "LiberationSerif-BoldItalic"},
		{" type  writer ", true, false, "Typewriter Bold", "LiberationMono-Bold"},
		{"Roman", false, true, "Roman Italic", "LMRoman10-Italic"},
		{"Book", false, false, "Book", "STIXTwoText-Regular"},
		{"liberation sans", false, false, "Sans", "LiberationSans"},
		{"serif-bold", false, true, "Serif Bold Italic", "LiberationSerif-BoldItalic"},
		{"Roman Italic", false, false, "Roman Italic", "LMRoman10-Italic"},
		{"dejavu sans", false, true, "DejaVu Sans Italic", "DejaVuSans-Oblique"},
	} {
		f, err := l.Face(c.name, c.bold, c.italic)
		if err != nil {
			t.Error(err)
			continue
		}
		if f.Name() != c.want || f.PostScript() != c.post || f.bold != strings.Contains(c.want, "Bold") || f.italic != strings.Contains(c.want, "Italic") {
			t.Errorf("%q: got %q %q %v %v", c.name, f.Name(), f.PostScript(), f.bold, f.italic)
		}
	}
	for _, n := range l.Names() {
		if !n.Bold || !n.Italic || n.Source != "built in" {
			t.Errorf("%+v", n)
		}
	}
	// hhea of Liberation Serif 2.1.4, read with another program: ascender 1825, descender -443, 2048 units to the em.
	f, _ := l.Face("Serif", false, false)
	if f.Ascent(2048*pt) != 1825*pt || f.Descent(2048*pt) != 443*pt {
		t.Errorf("ascent %v, descent %v", f.Ascent(2048*pt).Points(), f.Descent(2048*pt).Points())
	}
	// Regulation (EU) 1169/2011 asks for an x-height of 1.2 mm: 7.411 pt in Liberation Serif; Liberation Sans has it at 6.438.
	sans, _ := l.Face("Sans", false, false)
	if f.Legible() != pt*15/2 || sans.Legible() != 7*pt {
		t.Errorf("smallest sizes %v and %v", f.Legible().Points(), sans.Legible().Points())
	}
}

// TestFolder: fonts in a folder, by family, full name and file name, as TrueType, OpenType, collection and both web formats.
func TestFolder(t *testing.T) {
	files := map[string][]byte{
		"Go-Regular.ttf": goregular.TTF, "deep/Go-Bold.TTF": gobold.TTF, "Go-Italic.ttf": goitalic.TTF,
		"broken.ttf": goregular.TTF[:900], "empty.otf": {}, "words.ttf": []byte("not a font at all"), "notes.txt": []byte("x"),
		"locked.ttf": rename(embedding(t, goregular.TTF, 0x0002), "Lo"), "print.ttf": rename(embedding(t, goregular.TTF, 0x0004), "Pr"),
	}
	if dir := moduleDir(t, "github.com/tdewolff/font"); dir != "" {
		for _, ext := range []string{"woff", "woff2"} {
			data, err := os.ReadFile(filepath.Join(dir, "resources", "DejaVuSerif."+ext))
			if err == nil {
				files["Web "+ext+"."+ext] = data
			}
		}
	}
	l := onlyBuiltIn(NewLibrary([]string{folder(t, files), folder(t, map[string][]byte{"both.ttc": collection(lmroman10regular.TTF, lmroman10italic.TTF)}), "/nowhere"}))
	for _, c := range []struct {
		name         string
		bold, italic bool
		post         string
	}{
		{"go", false, false, "GoRegular"}, {"Go", true, false, "Go-Bold"}, {"Go", false, true, "Go-Italic"}, {"Go", true, true, "Go-Italic"},
		{"Go Bold", false, false, "Go-Bold"}, {"go_italic", true, false, "Go-Italic"}, {"go-regular", false, false, "GoRegular"}, {"both", false, true, "LMRoman10-Italic"},
		{"web woff", false, false, "DejaVuSerif"}, {"web woff2", false, false, "DejaVuSerif"}, {"print", false, false, "PrRegular"},
	} {
		f, err := l.Face(c.name, c.bold, c.italic)
		if err != nil {
			t.Errorf("%q: %v", c.name, err)
			continue
		}
		if f.PostScript() != c.post {
			t.Errorf("%q: %s, want %s", c.name, f.PostScript(), c.post)
		}
		if _, w := l.Label(f, 10*pt, "Hello"); w <= 0 {
			t.Errorf("%q sets nothing", c.name)
		}
		if string(f.Data()[:4]) == "wOFF" || string(f.Data()[:4]) == "wOF2" {
			t.Errorf("%q: packed data", c.name)
		}
	}
	for name, want := range map[string]string{
		"broken": "damaged", "empty": "damaged", "words": "damaged", "locked": "marked it as not to be embedded", "Goo": "did you mean “Go”?",
		"Sarif": "did you mean “Serif”?", "Zebrafont": "there is no font “Zebrafont”", "": "there is no font",
	} {
		if _, err := l.Face(name, false, false); err == nil || !strings.Contains(inFull(err), want) {
			t.Errorf("%q: %v, want %q", name, err, want)
		}
	}
}

// inFull is what is wrong with a font, why, and what to do about it.
func inFull(err error) string {
	var p *problem.Problem
	if !errors.As(err, &p) {
		return "not in words: " + err.Error()
	}
	return p.What + "; " + p.Cause + "; " + p.Hint
}

// rename changes the names of a Go font, so that it does not join that family.
func rename(data []byte, to string) []byte {
	utf16 := []byte{0, to[0], 0, to[1]}
	return bytes.ReplaceAll(data, []byte{0, 'G', 0, 'o'}, utf16)
}

// TestEmbedding goes through the usage bits of OS/2 fsType (OpenType specification): only "restricted", "bitmaps only" and "no
// subsetting" refuse.
func TestEmbedding(t *testing.T) {
	for bits, want := range map[uint16]string{0: "", 2: "not to be embedded", 4: "", 8: "", 6: "", 0xA: "", 12: "", 0x100: "a part of it", 0x104: "a part of it", 0x200: "pictures"} {
		_, err := parseFace(embedding(t, goregular.TTF, bits), 0, "Go")
		if (err == nil) != (want == "") || err != nil && !strings.Contains(inFull(err), want) {
			t.Errorf("fsType %#x: %v", bits, err)
		}
	}
}

// TestMachine: fonts of the machine by family name. The names are those of Debian packages; where none is installed there is
// nothing to find.
func TestMachine(t *testing.T) {
	l := NewLibrary(nil)
	found := false
	for _, n := range l.Names() {
		if n.Source != sourceMachine {
			continue
		}
		found = true
		if n.Name == "Dancing Script" { // fonts-dancingscript
			if !n.Bold || n.Italic {
				t.Errorf("%+v", n)
			}
			b := aBlock(4*measure.Inch, 2*measure.Inch, "With love from *all*")
			b.Text[0] = append(b.Text[0], intake.Run{Text: " of us", Italic: true})
			b.Font = "dancing SCRIPT"
			set, _, list := Set(context.Background(), l, []intake.Block{b}, settings(), nil)
			if len(set) != 1 || set[0].Face != "Dancing Script" || len(list) != 1 || !strings.Contains(list[0].What, "has no italic") {
				t.Errorf("%v %v", set, list)
			}
			check(t, &set[0])
		}
	}
	if !found {
		t.Skip("this machine has no fonts")
	}
}

// TestSameStyle: members that all claim to be the regular are told apart by their files' names.
func TestSameStyle(t *testing.T) {
	lie := func(data []byte) []byte {
		data = bytes.Clone(data)
		os2 := table(t, data, "OS/2")
		binary.BigEndian.PutUint16(os2[4:], 400)   // usWeightClass
		binary.BigEndian.PutUint16(os2[62:], 0x40) // fsSelection: regular
		binary.BigEndian.PutUint16(table(t, data, "head")[44:], 0)
		return rename(data, "Li")
	}
	l := onlyBuiltIn(NewLibrary([]string{folder(t, map[string][]byte{"Li.ttf": lie(goregular.TTF), "Li Bold.ttf": lie(gobold.TTF), "Li Italic.ttf": lie(goitalic.TTF)})}))
	for post, style := range map[string][2]bool{"GoRegular": {false, false}, "Go-Bold": {true, false}, "Go-Italic": {false, true}} {
		f, err := l.Face("Li", style[0], style[1])
		if err != nil || f.bold != style[0] || f.italic != style[1] || !strings.Contains(f.Name()+f.PostScript(), post[len(post)-4:]) && style != [2]bool{} {
			t.Errorf("%s: %v %v", post, f, err)
		}
	}
}

// TestLender: a letter that the text's face lacks comes from a font in the folder where no built-in face has it.
func TestLender(t *testing.T) {
	defer func(all []string) { stopgaps = all }(stopgaps)
	stopgaps = nil
	dir := folder(t, map[string][]byte{"Go-Regular.ttf": goregular.TTF, "Go-Bold.ttf": gobold.TTF, "bad.ttf": []byte("bad")})
	for _, c := range []struct {
		folders []string
		want    string
	}{{[]string{dir}, "the font Roman lacks the character “Ж” (U+0416); set in Go"}, {nil, "no font at hand has the character “Ж” (U+0416)"}} {
		b := aBlock(3*measure.Inch, measure.Inch, "Ж is a letter")
		b.Font = "Roman"
		_, _, list := Set(context.Background(), onlyBuiltIn(NewLibrary(c.folders)), []intake.Block{b}, settings(), nil)
		if len(list) != 1 || list[0].What != c.want {
			t.Errorf("%v", list)
		}
	}
}

// TestConcurrent: faces and library serve many goroutines (run it with -race).
func TestConcurrent(t *testing.T) {
	l := NewLibrary([]string{folder(t, map[string][]byte{"Go-Regular.ttf": goregular.TTF})})
	var wait sync.WaitGroup
	for i := range 4 * runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			f, err := l.Face([]string{"Serif", "Go", "nobody knows me"}[i%3], false, false)
			if err == nil {
				l.Label(f, 10*pt, "Hello → 東 אב")
				l.Paragraph(f, 10*pt, measure.Inch, texts[0])
			}
		})
	}
	wait.Wait()
}

// A font file of which one table says that it has nearly four gigabytes is refused, and no room is made for them.
func TestDamagedLength(t *testing.T) {
	tables := int(binary.BigEndian.Uint16(goregular.TTF[4:]))
	for i := range tables {
		data := bytes.Clone(goregular.TTF)
		record := data[12+16*i:]
		binary.BigEndian.PutUint32(record[12:], 0xFFFFFFF0-binary.BigEndian.Uint32(record[8:]))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := parseFace(data, 0, "Damaged")
		runtime.ReadMemStats(&after)
		if _, plain := err.(*problem.Problem); !plain {
			t.Errorf("table %s: %v", record[:4], err)
		}
		if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 10 {
			t.Errorf("table %s: %d MB were taken for it", record[:4], mb)
		}
	}
}

// FuzzLoad: whatever the bytes, a font is loaded or refused, and what is loaded can be set.
func FuzzLoad(f *testing.F) {
	for _, data := range [][]byte{goregular.TTF, lmroman10regular.TTF, collection(goregular.TTF), []byte("wOFF"), []byte("OTTO"), nil} {
		f.Add(data, uint16(0), byte(0))
	}
	small := goregular.TTF
	for _, at := range []uint16{5, 20, 300, 2000, 9000, 20000} {
		f.Add(small, at, byte(0xFF))
	}
	f.Add(liberationsansregular.TTF[:60000], uint16(70), byte(1))
	f.Fuzz(func(t *testing.T, data []byte, at uint16, flip byte) {
		if len(data) > 0 {
			data = bytes.Clone(data)
			data[int(at)%len(data)] ^= flip
		}
		plain, err := unpack(data)
		if err != nil {
			return
		}
		face, err := parseFace(plain, 0, "Fuzz")
		if err != nil {
			if _, ok := err.(*problem.Problem); !ok {
				t.Fatalf("not a plain message: %v", err)
			}
			return
		}
		l := NewLibrary(nil)
		onlyBuiltIn(l)
		fam := l.family("Fuzz", "fuzz")
		fam.add(&member{face: face, aspect: aspect(false, false)})
		fam.members[0].once.Do(func() {})
		b := aBlock(3*measure.Inch, 2*measure.Inch, "The quick brown fox — first office fluff, AVAST “1/2”.")
		b.Font = "Fuzz"
		panicOnBug = false
		defer func() { panicOnBug = true }()
		set, held, _ := Set(context.Background(), l, []intake.Block{b}, settings(), nil)
		if len(set)+len(held) != 1 {
			t.Fatal("neither set nor held")
		}
	})
}
