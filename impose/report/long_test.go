package report

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/impose/plan/made"
	"tuckmark/intake/table"
)

// A long sheet reads as the same rows do in a sheet that excelize writes, through excelize and through our own reader, and is as high.
func TestLongSheetsReadAlike(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 4))
	bits := []string{"Larvik", " ", "  ", "\n", "\t", "<b>", "&amp;", "\"", "'", "é", "שלום", "😀", "=1+1", "_x000D_", "_x005f_", "_xD83D_", "_x00", "x_", strings.Repeat("plums and bread ", 20)}
	type row [4]any
	var rows []row
	for range 400 {
		text := func() string {
			var b strings.Builder
			for range r.IntN(4) {
				b.WriteString(bits[r.IntN(len(bits))])
			}
			return b.String()
		}
		one := row{text(), r.IntN(1000) - 500, float64(r.IntN(100000)) / 10000, text()}
		if r.IntN(5) == 0 {
			one[1+r.IntN(2)] = nil
		}
		rows = append(rows, one)
	}
	var columns []column[row]
	for i, f := range []field{{"Code", 9, text}, {"Row", 8, whole}, {"Width", 8, length}, {"Text", 30, text}} {
		columns = append(columns, column[row]{f, func(r row) any { return r[i] }})
	}
	b := newBook(excelize.NewFile(), input(made.Three(made.Settings())))
	b.styles()
	b.sheet("Whole", fields(columns), cells(columns, rows), nil)
	long(b, "Long", columns, rows)
	var file bytes.Buffer
	if err := b.write(&file); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenReader(bytes.NewReader(file.Bytes()))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	path := filepath.Join(t.TempDir(), "book.xlsx")
	if err := os.WriteFile(path, file.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	sheets := map[string]*table.Sheet{}
	for _, s := range table.Read([]string{path}, func(string) bool { return false })[0].Sheets {
		sheets[s.Name] = s
	}
	whole, long := sheets["Whole"], sheets["Long"]
	if whole == nil || long == nil || len(whole.Rows) != len(long.Rows) || len(long.Rows) < len(rows) {
		t.Fatalf("the sheets cannot be read: %v", sheets)
	}
	for i := range whole.Rows {
		if a, b := whole.Rows[i].Cells, long.Rows[i].Cells; !slices.EqualFunc(a, b, func(a, b table.Cell) bool { return a.Col == b.Col && a.Kind == b.Kind && a.Text == b.Text }) {
			t.Errorf("row %d is %+v in a long sheet, and %+v", i+1, b, a)
		}
	}
	for i, one := range rows {
		for k := range one {
			at := table.Address(k, i+2)
			a, _ := f.GetCellValue("Whole", at)
			b, _ := f.GetCellValue("Long", at)
			if text, ok := one[k].(string); ok && !strings.Contains(text, "_x") && b != text || a != b {
				t.Errorf("%s is %q in a long sheet, and %q", at, b, a)
			}
			s, _ := f.GetCellStyle("Whole", at)
			if l, _ := f.GetCellStyle("Long", at); l != s {
				t.Errorf("%s has the style %d in a long sheet, and %d", at, l, s)
			}
		}
		a, _ := f.GetRowHeight("Whole", i+2)
		if b, _ := f.GetRowHeight("Long", i+2); a != b {
			t.Errorf("row %d is %v high in a long sheet, and %v", i+2, b, a)
		}
	}
}

// A report that is no longer wanted ends among the rows of a long sheet, too, and a writer that is full is told.
func TestLongSheetsStop(t *testing.T) {
	in := input(made.Three(made.Settings()))
	rows := 0
	in.Tick = func(n int) { rows = n }
	if err := Write(io.Discard, in); err != nil {
		t.Fatal(err)
	}
	all := rows
	for stop := 0; stop < all-1; stop += all / 9 {
		in.Stop = func() bool { return rows > stop }
		rows = 0
		if err := Write(io.Discard, in); !errors.Is(err, ErrStopped) || rows > stop+1 {
			t.Fatalf("stopped after %d rows of %d, at %d: %v", stop, all, rows, err)
		}
	}
	in.Stop = nil
	if err := Write(full{}, in); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("a full writer: %v", err)
	}
}

// full is a writer that takes nothing.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, io.ErrShortWrite }

// cells are the rows of a sheet, each a cell for each of its columns.
func cells[R any](columns []column[R], rows []R) [][]any {
	out := make([][]any, len(rows))
	for i, r := range rows {
		out[i] = make([]any, len(columns))
		for k, c := range columns {
			out[i][k] = c.of(r)
		}
	}
	return out
}
