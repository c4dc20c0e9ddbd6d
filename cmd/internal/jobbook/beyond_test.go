package jobbook

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"syscall"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// wide is a table with so many columns that nobody knows, each filled in so many rows, with a sign between the cells.
func wide(name string, columns, rows int, sign string) string {
	var b strings.Builder
	b.WriteString(strings.Join([]string{"Name", "Journaling", "Width", "Height"}, sign))
	for i := range columns {
		fmt.Fprint(&b, sign, name, i)
	}
	for r := range rows {
		b.WriteString("\n" + strings.Join([]string{"Ann Lo", fmt.Sprint("words ", rows, " ", r), "4", "2"}, sign))
		for i := range columns {
			fmt.Fprint(&b, sign, "v", i)
		}
	}
	return b.String() + "\n"
}

// isTooWide reports the one problem of a table that has more in columns which nobody knows than a job takes.
func isTooWide(found problem.List) bool {
	return len(found) == 1 && found.Errors() == 1 && strings.HasPrefix(found[0].What, "nothing was taken over: too much stands in columns") && found[0].Cause != "" && found[0].Hint != "" && found[0].Place.File != ""
}

// A table with thousands of columns that nobody knows, or with hundreds in very many rows, is refused before anything is changed, pasted or as a file, also where the columns
// come little by little, or the rows do; what people have is taken with all of its cells.
func TestTooWide(t *testing.T) {
	b, err := create(fakedisk.New(), bookPath, settings(t))
	must(t, err)
	refused := func(what, text string) {
		t.Helper()
		before, rev := rowsOf(b), b.Revision()
		changes, found := b.Paste(text)
		if len(changes) > 0 || !isTooWide(found) {
			t.Fatalf("%s: %d changes, told %v", what, len(changes), found)
		}
		if !reflect.DeepEqual(before, rowsOf(b)) || b.Revision() != rev {
			t.Errorf("%s: something was changed", what)
		}
	}
	taken := func(what, text string) {
		t.Helper()
		changes, found := b.Paste(text)
		if len(changes) == 0 || found.Errors() > 0 {
			t.Fatalf("%s: %d changes, told %v", what, len(changes), found)
		}
		do(t, b, changes...)
	}
	refused("15,000 columns", wide("c", 15_000, 1, "\t"))
	refused("300 columns in 1,000 rows", wide("c", 300, 1000, "\t"))
	taken("600 columns", wide("a", 600, 1, "\t"))
	refused("600 others", wide("b", 600, 1, "\t"))
	taken("the same once more", wide("a", 600, 2, "\t"))
	refused("1,000 columns of one heading, and one more", "Name\tJournaling\tWidth\tHeight"+strings.Repeat("\tMood", mostBeyond+1)+"\nAnn Lo\twords\t4\t2"+strings.Repeat("\tglad", mostBeyond+1)+"\n")
	refused("300 of the same in 1,000 rows", wide("a", 300, 1000, "\t"))
	taken("5,000 rows beside 600 columns", wide("a", 0, 5000, "\t"))
	taken("some rows", wide("a", 0, 100, "\t"))
	rows := b.Rows(Journaling)
	if len(rows) != 5103 || len(rows[0].Cells) != 604 || rows[0].Cells["a599"] != "v599" {
		t.Errorf("there are %d rows, and in the first %d cells", len(rows), len(rows[0].Cells))
	}
	must(t, b.Close())

	dir := t.TempDir()
	file, sane := filepath.Join(dir, "wide.csv"), filepath.Join(t.TempDir(), "sane.csv")
	must(t, os.WriteFile(file, []byte(wide("c", 15_000, 1, ",")), 0o644), os.WriteFile(sane, []byte(wide("c", 200, 50, ",")), 0o644))
	none, _, found, err := Import(t.Context(), []string{file}, settings(t))
	if left, why := os.ReadDir(dir); none != nil || err == nil || !isTooWide(found) || why != nil || len(left) != 1 {
		t.Errorf("a file: %v, told %v; in its folder are %v", err, found, left)
	}
	b, _, found, err = Import(t.Context(), []string{sane}, settings(t))
	if err != nil || found.Errors() > 0 {
		t.Fatal(err, found)
	}
	for i, r := range b.Rows(Journaling) {
		if len(r.Cells) != 204 || r.Cells["c199"] != "v199" {
			t.Errorf("row %d has %d cells", i, len(r.Cells))
		}
	}
	if found, err := b.Take(t.Context(), []string{file}); !errors.Is(err, ErrNothing) || !isTooWide(found) || len(b.Rows(Journaling)) != 50 {
		t.Errorf("a file for a job: %v, told %v", err, found)
	}
	must(t, b.Close())
}

// A job from before that has more goes on.
func TestWideBefore(t *testing.T) {
	d, id := fakedisk.New(), NewID()
	changes := []Change{{Kind: Insert, ID: id}}
	for i := range mostBeyond + 500 {
		changes = append(changes, Change{Kind: head, Column: fmt.Sprint("c", i)}, Change{Kind: Set, ID: id, Column: fmt.Sprint("c", i), Text: "v"})
	}
	b, err := create(d, bookPath, settings(t), changes...)
	must(t, err)
	must(t, b.Close())
	b, found, err := open(d, bookPath, settings(t))
	if err != nil || len(found) > 0 || len(b.Rows(Journaling)[0].Cells) != mostBeyond+500 {
		t.Fatal(err, found)
	}
	do(t, b, Change{Kind: Set, ID: id, Column: "c0", Text: "typed"})
	for _, paste := range []struct {
		what, text string
		taken      bool
	}{
		{"a row", "Name\tJournaling\tWidth\tHeight\nAnn Lo\twords\t4\t2\n", true},
		{"columns that it has", wide("c", mostBeyond+500, 1, "\t"), true},
		{"a column that it has not", wide("d", 1, 1, "\t"), false},
	} {
		changes, found := b.Paste(paste.text)
		if taken := len(changes) > 0 && found.Errors() == 0; taken != paste.taken || !taken && !isTooWide(found) {
			t.Errorf("%s: %d changes, told is %v", paste.what, len(changes), found)
		}
	}
	must(t, b.Close())
}

// Columns whose cells are all gone again do not count, nor do they stop the workbook, however often they come.
func TestWideUndone(t *testing.T) {
	b, err := create(fakedisk.New(), bookPath, settings(t))
	must(t, err)
	for i := range 20 {
		changes, found := b.Paste(wide(fmt.Sprint("c", i, "x"), 900, 1, "\t"))
		if len(changes) == 0 || found.Errors() > 0 {
			t.Fatalf("paste %d: told %v", i, found)
		}
		do(t, b, changes...)
		if i < 19 {
			_, _, err := b.Undo()
			must(t, err)
		}
	}
	must(t, b.Save())
	must(t, b.Close())
}

// A workbook that another program has widened beyond what a job takes is left as it is where there is no journal, and else kept whole beside the one that is written anew; nothing of it is
// taken, and nothing of the job is lost. Once the columns are deleted it is taken.
func TestWidenedElsewhere(t *testing.T) {
	for _, how := range []string{"no journal", "closed", "running", "full disk"} {
		t.Run(how, func(t *testing.T) { widened(t, mostBeyond+1, 1, how) })
	}
	t.Run("rows", func(t *testing.T) { widened(t, 300, 750, "no journal") })
}

func widened(t *testing.T, columns, rows int, how string) {
	d, id, yours := fakedisk.New(), NewID(), naming.Yours(bookPath, 1)
	b, err := create(d, bookPath, settings(t), Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Ann Lo"}, Change{Kind: Set, ID: id, Column: "Journaling", Text: "plums"})
	must(t, err)
	if how == "no journal" || how == "closed" {
		must(t, b.Close())
	}
	first := 0
	edit(t, d, func(f *excelize.File) {
		set(t, f, 1, "Name", "Cy Po")
		all, err := f.GetRows("Journaling")
		must(t, err)
		first = len(all[0])
		for i := range columns {
			for r := range rows + 1 {
				must(t, f.SetCellStr("Journaling", table.Address(first+i, r+1), fmt.Sprint("q", i)))
			}
		}
	})
	data, err := d.Read(bookPath)
	must(t, err)
	mended := func() {
		t.Helper()
		edit(t, d, func(f *excelize.File) {
			for r := range rows + 1 {
				for i := range columns {
					must(t, f.SetCellValue("Journaling", table.Address(first+i, r+1), nil))
				}
			}
		})
		b, _, err := open(d, bookPath, settings(t))
		must(t, err)
		if got := b.Rows(Journaling); len(got) != 1 || got[0].Cells["Name"] != "Cy Po" {
			t.Errorf("mended, it is read as %v", got)
		}
		must(t, b.Close())
	}
	stands := func(path string) bool {
		got, err := d.Read(path)
		return err == nil && bytes.Equal(got, data)
	}
	told := func(p *problem.Problem) bool {
		return p != nil && strings.Contains(p.What, "too much stands in columns that the form does not know") && p.Cause != "" && strings.Contains(p.Hint, "delete the columns")
	}
	switch how {
	case "no journal":
		must(t, d.Remove(filepath.Join(Folder(bookPath), journalName)))
		var why *problem.Problem
		if _, _, err := open(d, bookPath, settings(t)); !errors.As(err, &why) || !told(why) || !stands(bookPath) {
			t.Fatalf("told is %v", err)
		}
		mended()
		return
	case "closed":
		found := problem.List(nil)
		if b, found, err = open(d, bookPath, settings(t)); err != nil || len(found) != 1 || !told(&found[0]) {
			t.Fatal(err, found)
		}
	case "full disk":
		d.Before = func(_ int, op, path string) error {
			if strings.Contains(path, "yours") {
				return syscall.ENOSPC
			}
			return nil
		}
		do(t, b, Change{Kind: Set, ID: id, Column: "Title", Text: "jam"})
		if err := b.Save(); err == nil || !stands(bookPath) {
			t.Fatalf("told is %v, and the workbook is there: %v", err, stands(bookPath))
		}
		d.Before = nil
	default:
		must(t, b.compare())
	}
	must(t, b.Save())
	if got := b.Rows(Journaling); len(got) != 1 || got[0].Cells["Name"] != "Ann Lo" || !stands(yours) || stands(bookPath) {
		t.Errorf("the job has %v, the copy is there: %v", got, stands(yours))
	}
	if asked := b.Questions(); len(asked) != 1 || asked[0].Kind != SetAside || !strings.Contains(asked[0].What, "too much stands in columns") || !strings.Contains(asked[0].What, filepath.Base(yours)) {
		t.Errorf("asked is %v", asked)
	}
	must(t, b.Close())
	if how != "full disk" { // the title was typed since
		d.Put(bookPath, data)
		mended()
	}
}

// A few such columns are taken with as many rows as a job may have; columns without a heading of their own count once for each table that they come from.
func TestFewBeyond(t *testing.T) {
	sheet := func(rows int, columns ...string) intake.TypedSheet {
		cells := make([]intake.Field, len(columns))
		for i, c := range columns {
			cells[i] = intake.Field{Heading: c, Text: "v"}
		}
		s, at := intake.TypedSheet{Name: "s", Columns: columns}, make([]int, len(columns))
		for i := range at {
			at[i] = i
		}
		for range rows {
			s.Rows = append(s.Rows, intake.TypedRow{Place: problem.Place{File: "f"}, Cells: cells, At: at})
		}
		return s
	}
	var few, made []string
	for i := range fewBeyond {
		few = append(few, fmt.Sprint("c", i))
	}
	for i := range mostBeyond {
		made = append(made, fmt.Sprintf("Unknown column %d of f", i))
	}
	if why := (beyond{}).with([]intake.TypedSheet{sheet(MostRows, append(few, "Name", "Space")...)}); why != nil {
		t.Error(why)
	}
	if why := (beyond{}).with([]intake.TypedSheet{sheet(MostRows, append(few, "one more")...)}); why == nil {
		t.Error("one more in as many rows is taken")
	}
	if !intake.Made(made[0]) {
		t.Fatal("it is no such heading: ", made[0])
	}
	if why := (beyond{}).with([]intake.TypedSheet{sheet(1, made...)}); why != nil {
		t.Error(why)
	}
	if why := (beyond{columns: [sheets]map[string]bool{setOf(made)}, rows: [sheets]int{1}}).with([]intake.TypedSheet{sheet(1, made[0])}); why == nil {
		t.Error("one more without a heading is taken")
	}
}

// A column comes with a table once, and not with each of its cells.
func TestColumnsComeOnce(t *testing.T) {
	b, err := create(fakedisk.New(), bookPath, settings(t))
	must(t, err)
	changes, found := b.Paste(wide("c", 30, 20, "\t"))
	heads := 0
	for _, c := range changes {
		if c.Kind == head {
			heads++
		}
	}
	if heads != 30 || len(found) > 0 {
		t.Errorf("30 columns come %d times: %v", heads, found)
	}
	must(t, b.Close())
}
