package report

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"tuckmark/intake"
	"tuckmark/intake/table"
)

// Sheets with a row for every block, cut or row of the job are long: sixty short rows that each ask for a thousand copies make 60,000. Excelize would hold a hundred
// bytes and more for each of their cells until the workbook is packed. So it makes such a sheet with its heading only, and its rows are made
// one by one when the part is packed.

// long adds a long sheet.
func long[R any](b *book, name string, columns []column[R], rows []R) {
	fields := fields(columns)
	path := b.headed(name, fields, len(rows))
	b.later[path] = func(w io.Writer) error {
		var line bytes.Buffer
		for i, r := range rows {
			if !b.next() {
				return b.err
			}
			cells := make([]any, len(columns))
			for k, c := range columns {
				cells[k] = c.of(r)
			}
			line.Reset()
			b.rowXML(&line, i+2, fields, cells)
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

// rowXML is a row as a worksheet's part has it (ECMA-376 part 1, 18.3.1.73), each text in its cell.
func (b *book) rowXML(w *bytes.Buffer, at int, fields []field, cells []any) {
	fmt.Fprintf(w, `<row r="%d"`, at)
	if high := heightOf(fields, cells); high > 0 {
		fmt.Fprintf(w, ` ht="%g" customHeight="1"`, high)
	}
	w.WriteByte('>')
	for k, c := range cells {
		fmt.Fprintf(w, `<c r="%s" s="%d"`, table.Address(k, at), b.kind[fields[k].kind])
		switch v := c.(type) {
		case string:
			if v == "" {
				w.WriteString("/>")
				continue
			}
			w.WriteString(` t="inlineStr"><is><t xml:space="preserve">`)
			xml.EscapeText(w, []byte(table.Escape(v))) // a bytes.Buffer does not fail
			w.WriteString("</t></is></c>")
		case []intake.Run:
			w.WriteString(` t="inlineStr"><is>`)
			for _, r := range v {
				w.WriteString("<r>")
				if r.Bold || r.Italic {
					w.WriteString("<rPr>")
					if r.Bold {
						w.WriteString("<b/>")
					}
					if r.Italic {
						w.WriteString("<i/>")
					}
					w.WriteString("</rPr>")
				}
				w.WriteString(`<t xml:space="preserve">`)
				xml.EscapeText(w, []byte(table.Escape(r.Text)))
				w.WriteString("</t></r>")
			}
			w.WriteString("</is></c>")
		case int:
			fmt.Fprintf(w, "><v>%d</v></c>", v)
		case float64:
			w.WriteString("><v>" + strconv.FormatFloat(v, 'f', -1, 64) + "</v></c>")
		case nil:
			w.WriteString("/>")
		default:
			panic(fmt.Sprintf("report: a cell of %T", c))
		}
	}
	w.WriteString("</row>")
}

// heightOf is the height of a row, in points, where it takes more than one line; else 0. It is said in the file because not every program works
// it out on opening.
func heightOf(fields []field, row []any) float64 {
	most := 1
	for i, c := range row {
		s, _ := c.(string)
		if runs, rich := c.([]intake.Run); rich {
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
