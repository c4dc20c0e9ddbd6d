package impose

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/guide"
	"tuckmark/impose/press"
	"tuckmark/impose/press/subset"
	"tuckmark/impose/typeset"
	"tuckmark/intake/intaketest"
)

// A font that cannot be printed is found before the print, at the rows that use it: whatever is damaged in one, a job that is said to
// be right can be made, with the rows that were held left out.
func TestDamagedFonts(t *testing.T) {
	longtests.Only(t)
	cases := longtests.Cases(200, 5000)
	dir := t.TempDir()
	job, file := filepath.Join(dir, "a.csv"), filepath.Join(dir, "fonts", "F.ttf")
	for _, err := range []error{os.Mkdir(filepath.Dir(file), 0o755), os.WriteFile(job, []byte("Name,Journaling,Width,Height,Font\nPim,Plums in Lärvik 1987 – “fine”,4,2,F\nAnn,Tea with Bo in Oslo 1988,4,2,\nIda,Tea ÄÖÜ,4,2,F\n"), 0o644)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	intaketest.Rest(t, job)
	r := rand.New(rand.NewPCG(9, 17))
	held, whole := 0, 0
	for n := range cases {
		data := slices.Clone([][]byte{goregular.TTF, lmroman10regular.TTF}[n%2])
		for range 1 + r.IntN(6) {
			at := r.IntN(len(data))
			if r.IntN(3) == 0 { // where the tables are told
				at = r.IntN(12 + 16*12)
			}
			for i := at; i < min(len(data), at+1+r.IntN(60)); i++ {
				data[i] = byte(r.IntN(256))
			}
		}
		if r.IntN(8) == 0 {
			data = data[:r.IntN(len(data))]
		}
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		then := time.Now().Add(time.Duration(n)*time.Second - 24*time.Hour) // else each is waited for, to be whole
		if err := os.Chtimes(file, then, then); err != nil {
			t.Fatal(err)
		}
		s, problems := config.Load(config.Source{Work: dir, Home: t.TempDir(), Flags: map[string]string{"effort": "1", "type.hyphenate": "never"}})
		if problems.Errors() > 0 {
			t.Fatal(problems)
		}
		j := New(s, problems)
		ctx := context.Background()
		for _, step := range []func() error{func() error { return j.Read(ctx, []string{job}, "") }, func() error { return j.Set(ctx) },
			func() error { return j.Arrange(ctx) }, func() error { return j.Draw(ctx, "x") }} {
			if err := step(); err != nil {
				t.Fatal(err)
			}
		}
		held += len(j.Held)
		for _, p := range j.Problems {
			if p.Severity == problem.Error && (p.Place.Row == 0 || p.Hint == "" || p.What == "the text could not be set") {
				t.Errorf("case %d: %+v", n, p)
			}
		}
		if _, err := j.Write(ctx, false); err != nil {
			kept := filepath.Join(os.TempDir(), "tuckmark-damaged.ttf")
			_ = os.WriteFile(kept, data, 0o644)
			var font *press.FontError
			t.Fatalf("case %d, kept as %s: %d are held, and yet: %v (%v)", n, kept, len(j.Held), err, errors.As(err, &font))
		}
		if len(j.Held) == 0 {
			whole++
		}
	}
	t.Logf("%d rows were held, %d of %d jobs were whole", held, whole, cases)
	if held < cases/10 || whole < cases/10 {
		t.Error("the fonts are not damaged in all ways")
	}
}

// endless is a font with the letters from U+E800 on and no others, all made of parts within parts: a million of them.
func endless() []byte {
	tables, all := map[string][]byte{}, goregular.TTF
	for i := range int(binary.BigEndian.Uint16(all[4:])) {
		r := all[12+16*i:]
		at := binary.BigEndian.Uint32(r[8:])
		tables[string(r[:4])] = all[at : at+binary.BigEndian.Uint32(r[12:])]
	}
	var glyf, loca []byte
	for g := range int(binary.BigEndian.Uint16(tables["maxp"][4:])) + 1 {
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		switch {
		case g < 7:
			glyf = append(glyf, 0xff, 0xff, 0, 0, 0, 0, 3, 0, 3, 0)
			for i := range 10 {
				glyf = append(glyf, 0, byte(min(9-i, 1)<<5), 0, byte(g+1), 0, 0) // where more follow
			}
		case g == 7: // a triangle
			glyf = append(glyf, 0, 1, 0, 0, 0, 0, 3, 0, 3, 0, 0, 2, 0, 0, 1, 1, 1, 0, 0, 3, 0, 0, 0, 0, 0, 0, 3, 0)
		}
	}
	head := slices.Clone(tables["head"])
	head[51] = 1 // long offsets
	tables["glyf"], tables["loca"], tables["head"] = glyf, loca, head
	tables["cmap"] = []byte{0, 0, 0, 1, 0, 3, 0, 10, 0, 0, 0, 12, 0, 12, 0, 0, 0, 0, 0, 28, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0xe8, 0, 0, 0, 0xe8, 9, 0, 0, 0, 1}
	return subset.Join("\x00\x01\x00\x00", tables)
}

// A letter that only a damaged font has is held back where it is to be printed, stands in nobody's way in a name, and the font is on no page
// to choose from.
func TestEndlessLetters(t *testing.T) {
	dir := t.TempDir()
	job, file := filepath.Join(dir, "a.csv"), filepath.Join(dir, "fonts", "Endless.ttf")
	for _, err := range []error{os.Mkdir(filepath.Dir(file), 0o755), os.WriteFile(file, endless(), 0o644),
		os.WriteFile(job, []byte("Name,Journaling,Width,Height\nPim \ue801,Plums,4,2\nAnn,Tea \ue802,4,2\n"), 0o644)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	s, problems := config.Load(config.Source{Work: dir, Home: t.TempDir(), Flags: map[string]string{"effort": "1"}})
	if problems.Errors() > 0 {
		t.Fatal(problems)
	}
	j, ctx := New(s, problems), context.Background()
	for _, step := range []func() error{func() error { return j.Read(ctx, []string{job}, "") }, func() error { return j.Set(ctx) },
		func() error { return j.Arrange(ctx) }, func() error { return j.Draw(ctx, "x") }, func() error { _, err := j.Write(ctx, false); return err }} {
		if err := step(); err != nil {
			t.Fatal(err)
		}
	}
	if len(j.Held) != 1 || j.Problems.Errors() != 1 {
		t.Errorf("%d rows are held: %v", len(j.Held), j.Problems)
	}
	fonts := typeset.NewLibrary([]string{filepath.Dir(file)})
	pages := guide.Specimen(measure.Size{W: 8 * measure.Inch, H: 11 * measure.Inch}, fonts, fonts.Names())
	if err := press.Write(&bytes.Buffer{}, press.Document{Title: "Fonts", Language: "en", Sections: []press.Section{{Title: "Fonts", Pages: pages}}}, nil); err != nil {
		t.Error(err)
	}
}
