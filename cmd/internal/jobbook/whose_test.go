package jobbook

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/problem"
)

// typedElsewhere is a workbook that somebody has made in a spreadsheet program; more adds to it.
func typedElsewhere(t *testing.T, text string, more ...func(f *excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range [][]any{{"Name", "Journaling", "Width", "Height"}, {"Ann Lo", text, 4, 2}} {
		must(t, f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row))
	}
	for _, m := range more {
		m(f)
	}
	var out bytes.Buffer
	must(t, f.Write(&out))
	return out.Bytes()
}

// lists gives a workbook a sheet with the name of the desk's own, and with what stands in its first row.
func lists(t *testing.T, heads ...any) func(*excelize.File) {
	return func(f *excelize.File) {
		_, err := f.NewSheet("Lists")
		must(t, err)
		must(t, f.SetSheetRow("Lists", "A1", &heads))
	}
}

// A file of somebody's whose name ends like that of a job's workbook is read like any other when it is given, and is not written when the job of another file would have
// its name: that is refused with what can be done.
func TestSomebodysOwnFile(t *testing.T) {
	const csv = "Name,Journaling,Width,Height\nAnn Lo,words of mine,4,2\n"
	for _, c := range []struct {
		name string
		data []byte
		rows int // of the job when it is given by its name; 0: it is refused
	}{
		{"a table", typedElsewhere(t, "words of mine"), 1},
		{"with lists", typedElsewhere(t, "words of mine", lists(t, "Colours", "Desk")), 1},
		{"with our lists", typedElsewhere(t, "words of mine", lists(t, "Stocks", "less width", "less height", "Fonts", "letter width", "Align", "Turn")), 1},
		{"text", []byte(csv), 1},
		{"no journaling", []byte("x,y\n1,mine\n"), 0},
		{"damaged", []byte("PK\x03\x04 and no more"), 0},
		{"empty", nil, 0},
		{"another kind", []byte("%PDF-1.7 mine"), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			own, other := filepath.Join(dir, "retreat-desk.xlsx"), filepath.Join(dir, "retreat.csv")
			must(t, os.WriteFile(own, c.data, 0o644), os.WriteFile(other, []byte(strings.Replace(csv, "mine", "others", 1)), 0o644))
			stays := func(when string) {
				t.Helper()
				if now, err := os.ReadFile(own); err != nil || !bytes.Equal(now, c.data) {
					t.Fatalf("%s it was written: %v", when, err)
				}
			}
			for range 2 {
				b, _, found, err := Import(t.Context(), []string{other}, settings(t))
				if b != nil {
					_ = b.Close()
				}
				stays("for the file beside it")
				var p *problem.Problem
				if !errors.As(err, &p) || p.Place.File != "retreat-desk.xlsx" || p.Hint == "" {
					t.Fatalf("the job of the other file: %v %v", err, found)
				}
			}
			for n := range 2 {
				b, _, found, err := Import(t.Context(), []string{own}, settings(t))
				stays("given by its name")
				if c.rows == 0 {
					if err == nil {
						t.Fatal("it was taken for a job")
					}
					continue
				}
				must(t, err)
				rows := b.Rows(Journaling)
				if told := slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.Cause, "retreat-desk-desk.xlsx") }); told != (n == 0) {
					t.Errorf("time %d: told is %v", n, found)
				}
				if filepath.Base(b.Path()) != "retreat-desk-desk.xlsx" || len(rows) != c.rows || rows[0].Cells["Journaling"] != "words of mine" || found.Errors() > 0 {
					t.Errorf("time %d: the job %s has %v: %v", n, b.Path(), rows, found)
				}
				do(t, b, Change{Kind: Set, ID: rows[0].ID, Column: "Title", Text: "typed"})
				must(t, b.Close())
				stays("by the job that it was taken into")
			}
			if c.rows == 0 {
				return
			}
			must(t, os.WriteFile(own, []byte(csv+"Bo Ek,a row more,4,2\n"), 0o644))
			b, _, found, err := Import(t.Context(), []string{own}, settings(t))
			must(t, err)
			if !slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.Contains(p.What, "is not in the job") }) {
				t.Errorf("what it holds since is not told: %v", found)
			}
			must(t, b.Close())
		})
	}
}

// What has the name and is no file, or a link to somebody's, stays as well.
func TestSomebodysOwnPlace(t *testing.T) {
	data := typedElsewhere(t, "words of mine")
	for _, kind := range []string{"folder", "link to accounts.xlsx", "link to front-desk.xlsx"} {
		dir := t.TempDir()
		path, file, job := filepath.Join(dir, "retreat-desk.xlsx"), filepath.Join(dir, "in", strings.TrimPrefix(kind, "link to ")), "retreat-desk-desk.xlsx"
		if kind == "folder" {
			file, job = filepath.Join(path, "mine.xlsx"), "retreat-desk.xlsx-desk.xlsx"
		}
		must(t, os.Mkdir(filepath.Dir(file), 0o755), os.WriteFile(filepath.Join(dir, "retreat.csv"), []byte("Name,Journaling,Width,Height\nAnn,others,4,2\n"), 0o644), os.WriteFile(file, data, 0o644))
		if kind != "folder" && os.Symlink(file, path) != nil {
			t.Skip("no links here")
		}
		_, _, _, refused := Import(t.Context(), []string{filepath.Join(dir, "retreat.csv")}, settings(t))
		b, _, found, err := Import(t.Context(), []string{path}, settings(t))
		if err != nil {
			t.Errorf("%s: it is not read: %v %v", kind, err, found)
			continue
		}
		if rows := b.Rows(Journaling); filepath.Base(b.Path()) != job || len(rows) != 1 {
			t.Errorf("%s: the job is %s: %v", kind, b.Path(), rows)
		}
		must(t, b.Close())
		if now, err := os.ReadFile(file); refused == nil || err != nil || !bytes.Equal(now, data) {
			t.Errorf("%s: refused: %v; it was written: %v", kind, refused, err)
		}
	}
}

// A link that somebody puts in the place of a job's workbook, to a table of another name, gives way to the workbook as one to any other file does.
func TestLinkToATable(t *testing.T) {
	dir := t.TempDir()
	path, elsewhere := filepath.Join(dir, "x-desk.xlsx"), filepath.Join(dir, "accounts.xlsx")
	data := typedElsewhere(t, "words of mine")
	b, err := create(save.System, path, settings(t))
	must(t, err)
	must(t, b.Close())
	must(t, os.Remove(path), os.WriteFile(elsewhere, data, 0o644))
	if err := os.Symlink(elsewhere, path); err != nil {
		t.Skip("no links here: ", err)
	}
	b, found, err := open(save.System, path, settings(t))
	if err != nil || len(found) != 1 || found.Errors() > 0 {
		t.Fatal(err, found)
	}
	must(t, b.Close())
	info, err := os.Lstat(path)
	if now, why := os.ReadFile(elsewhere); err != nil || why != nil || !bytes.Equal(now, data) || !info.Mode().IsRegular() {
		t.Errorf("it was written: %v; in the workbook's place is %v: %v", why, info, err)
	}
}

// A job's workbook that was copied, renamed or saved by another program is the job's also without its journal, and one that says no longer whose it is as long as the
// journal lies beside it. Without it is somebody's.
func TestStillTheDesks(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "a-desk.xlsx")
	id := NewID()
	b, err := create(save.System, path, settings(t), Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"}, Change{Kind: Set, ID: id, Column: "Journaling", Text: "We rowed"})
	must(t, err)
	must(t, b.Close())
	saved := func(change func(f *excelize.File)) []byte {
		f, err := excelize.OpenFile(path)
		must(t, err)
		defer f.Close()
		change(f)
		var out bytes.Buffer
		must(t, f.Write(&out))
		return out.Bytes()
	}
	moved := saved(func(f *excelize.File) { must(t, f.SetCellValue("Journaling", "A40", "Zoe")) })
	bare := saved(func(f *excelize.File) { must(t, f.DeleteSheet("Lists")) })
	original, err := os.ReadFile(path)
	must(t, err)
	for i, data := range [][]byte{original, moved} {
		other := filepath.Join(t.TempDir(), "other-desk.xlsx")
		must(t, os.WriteFile(other, data, 0o644))
		b, _, found, err := Import(t.Context(), []string{other}, settings(t))
		if err != nil || b.Path() != other || len(b.Rows(Journaling)) != 1+i || b.Rows(Journaling)[0].ID != id {
			t.Fatalf("copy %d: %v %v", i, err, found)
		}
		must(t, b.Close())
	}
	for _, known := range []bool{true, false} {
		must(t, os.WriteFile(path, bare, 0o644))
		if !known {
			must(t, os.RemoveAll(Folder(path)))
		}
		b, _, found, err := Import(t.Context(), []string{path}, settings(t))
		must(t, err)
		if base := filepath.Base(b.Path()); (base == "a-desk.xlsx") != known || len(b.Rows(Journaling)) != 1 {
			t.Errorf("with its journal %v: the job is %s, %v: %v", known, base, b.Rows(Journaling), found)
		}
		must(t, b.Close())
		if now, err := os.ReadFile(path); !known && (err != nil || !bytes.Equal(now, bare)) {
			t.Errorf("it was written: %v", err)
		}
	}
}

// comes is a disk on which somebody saves a file at the workbook's place once the desk writes it aside, having seen that nothing was there; or on which that fails.
type comes struct {
	*fakedisk.Disk
	data  []byte
	fails error
}

func (d *comes) Create(path, replaces string) (save.Writable, error) {
	if replaces == bookPath && d.fails != nil {
		return nil, d.fails
	}
	if replaces == bookPath && d.data != nil {
		d.Put(bookPath, d.data)
	}
	return d.Disk.Create(path, replaces)
}

// What somebody saves under the name of a job that is just begun stays as it is, and the job is not begun; so does what has come before a job that could not be written
// is opened again, or while it is open.
func TestComesMeanwhile(t *testing.T) {
	own := typedElsewhere(t, "words of mine")
	id := NewID()
	rows := []Change{{Kind: Insert, ID: id}, {Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"}, {Kind: Set, ID: id, Column: "Journaling", Text: "We rowed"}}
	stays := func(d *fakedisk.Disk, when string) {
		t.Helper()
		if now, err := d.Read(bookPath); err != nil || !bytes.Equal(now, own) {
			t.Fatalf("%s it was written: %v", when, err)
		}
	}
	for _, plain := range []bool{true, false} {
		d := fakedisk.New()
		d.NoExchange = plain
		b, err := create(&comes{Disk: d, data: own}, bookPath, settings(t), rows...)
		if b != nil {
			must(t, b.Close())
		}
		stays(d, "as the job was begun")
		if err == nil {
			t.Error("a job was begun in its place")
		}
		if b, found, err := open(d, bookPath, settings(t)); err == nil {
			t.Errorf("it is opened as a job: %v %v", b.Rows(Journaling), found)
		}
		stays(d, "opened as a job")
		must(t, d.Remove(bookPath))
		b, err = create(d, bookPath, settings(t), rows...)
		must(t, err)
		must(t, b.Close())
	}
	d := fakedisk.New()
	if _, err := create(&comes{Disk: d, fails: errors.New("no room")}, bookPath, settings(t), rows...); err == nil {
		t.Fatal("the workbook was written")
	}
	d.Put(bookPath, own)
	if _, _, err := open(d, bookPath, settings(t)); err == nil {
		t.Error("it was opened as the job that could not be written")
	}
	stays(d, "beside the journal of a job that could not be written")
	must(t, d.Remove(bookPath))
	b, _, err := open(d, bookPath, settings(t))
	must(t, err)
	d.Put(bookPath, own)
	if err := b.Save(); err == nil {
		t.Error("the job was saved in its place")
	}
	stays(d, "while the job is open")
	must(t, d.Remove(bookPath))
	must(t, b.Close())
	b, _, err = open(d, bookPath, settings(t))
	if err != nil || len(b.Rows(Journaling)) != 1 {
		t.Fatal("the rows are gone: ", err)
	}
	must(t, b.Close())
}
