package report

import (
	"bytes"
	"io"
	"strings"
	"unicode/utf8"

	"tuckmark/intake/longsheet"
	"tuckmark/intake/table"
)

// Sheets with a row for every block, cut or row of the job are long: sixty short rows that each ask for a thousand copies make 60,000. So excelize makes
// such a sheet with its heading only (see package longsheet).

// long adds a long sheet.
func long[R any](b *book, name string, columns []column[R], rows []R) {
	fields := fields(columns)
	path := b.headed(name, fields, len(rows))
	b.later[path] = func(w io.Writer) error {
		var line bytes.Buffer
		cells := make([]longsheet.Cell, len(columns))
		values := make([]any, len(columns))
		for i, r := range rows {
			if !b.next() {
				return b.err
			}
			for k, c := range columns {
				values[k] = c.of(r)
				cells[k] = longsheet.Cell{Col: k, Style: b.kind[c.kind], Value: values[k]}
			}
			line.Reset()
			longsheet.WriteRow(&line, i+2, heightOf(fields, values), cells)
			if _, err := w.Write(line.Bytes()); err != nil {
				return err
			}
		}
		return nil
	}
}

// longSheet is long for rows whose cells are made already.
func (b *book) longSheet(name string, fields []field, rows [][]any) {
	columns := make([]column[[]any], len(fields))
	for k, f := range fields {
		columns[k] = column[[]any]{f, func(r []any) any { return r[k] }}
	}
	long(b, name, columns, rows)
}

// heightOf is the height of a row, in points, where it takes more than one line; else 0. It is said in the file because not every program works
// it out on opening.
func heightOf(fields []field, row []any) float64 {
	most := 1
	for i, c := range row {
		if fields[i].width == hidden {
			continue
		}
		s, _ := c.(string)
		if runs, rich := c.([]table.Run); rich {
			var all strings.Builder
			for _, r := range runs {
				all.WriteString(r.Text)
			}
			s = all.String()
		}
		n := 0
		for line := range strings.Lines(s) {
			n += 1 + max(0, utf8.RuneCountInString(line)-1)/max(1, int(fields[i].width)-1)
		}
		most = max(most, n)
	}
	if most == 1 {
		return 0
	}
	return min(float64(most)*rowHeight, 409) // more is not allowed
}
