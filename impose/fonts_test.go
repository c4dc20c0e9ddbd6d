package impose

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose/press"
)

// A font that cannot be printed is found before the print, at the rows that use it: whatever is damaged in one, a job that is said to
// be right can be made, with the rows that were held left out.
func TestDamagedFonts(t *testing.T) {
	cases := 200
	if os.Getenv("LONG_TESTS") != "" {
		cases = 5000
	}
	dir := t.TempDir()
	job, file := filepath.Join(dir, "a.csv"), filepath.Join(dir, "fonts", "F.ttf")
	for _, err := range []error{os.Mkdir(filepath.Dir(file), 0o755), os.WriteFile(job, []byte("Name,Journaling,Width,Height,Font\nPim,Plums in Lärvik 1987 – “fine”,4,2,F\nAnn,Tea with Bo in Oslo 1988,4,2,\nIda,Tea ÄÖÜ,4,2,F\n"), 0o644)} {
		if err != nil {
			t.Fatal(err)
		}
	}
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
