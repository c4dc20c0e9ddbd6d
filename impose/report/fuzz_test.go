package report

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/impose/typeset"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// A report that somebody changed, or that was damaged, is redone as far as it can be read, or refused with what to do; and
// what comes out of a redo can be redone again.
func FuzzRedo(f *testing.F) {
	s := builtInSettings(f)
	blocks := odd(s)[:3]
	in := lay(f, blocks, nil, s)
	var good bytes.Buffer
	if err := Write(&good, in); err != nil {
		f.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(good.Bytes()), int64(good.Len()))
	if err != nil {
		f.Fatal(err)
	}
	var names []string
	for _, p := range z.File {
		r, err := p.Open()
		if err != nil {
			f.Fatal(err)
		}
		raw, err := io.ReadAll(r)
		if err != nil {
			f.Fatal(err)
		}
		if strings.HasSuffix(p.Name, ".xml") || strings.HasSuffix(p.Name, ".rels") {
			f.Add(uint8(len(names)), raw)
			names = append(names, p.Name)
		}
	}
	dir := f.TempDir()
	f.Fuzz(func(t *testing.T, part uint8, raw []byte) {
		changed := intaketest.Repack(t, good.String(), map[string]string{names[int(part)%len(names)]: string(raw)})
		path := filepath.Join(dir, "job-report.xlsx")
		if err := os.WriteFile(path, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
		source, problems := Open(path)
		for _, p := range problems {
			if p.What == "" || p.Hint == "" {
				t.Errorf("%+v", p)
			}
		}
		if source == nil || problems.Errors() > 0 {
			if source == nil && problems.Errors() == 0 {
				t.Error("it is not read, and no word about it")
			}
			return
		}
		back, problems := source.Blocks(source.Codes, s)
		if len(back) < len(source.Codes) && problems.Errors() == 0 {
			t.Errorf("%d of %d blocks, and no word about it", len(back), len(source.Codes))
		}
		_, _ = intake.ReadPaper(path, s)
		_ = source.OtherSettings(s)
		if len(back) > 0 && len(back) < 20 {
			_, _, _ = typeset.Set(t.Context(), plainFonts, back[:1], s, nil)
		}
		var again bytes.Buffer
		if err := source.Redo(&again, in); err != nil {
			if !errors.Is(err, ErrReport) {
				t.Errorf("the fault is the report's, not ours: %v", err)
			}
			return
		}
		next := filepath.Join(dir, "next-report.xlsx")
		if err := os.WriteFile(next, again.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		then, problems := Open(next)
		if then == nil || problems.Errors() > 0 || len(then.Codes) != len(source.Codes) {
			t.Errorf("what comes out of the redo cannot be redone: %v", problems)
		}
	})
}
