package longsheet

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"

	"tuckmark/intake/table"
)

// Cell is a cell of a row that is made as it is packed.
type Cell struct {
	Col   int // from 0
	Style int // as excelize numbers it
	Value any // a string, []table.Run for rich text, an int, a float64, or nil where only the style stands there
}

// WriteRow adds a row as a worksheet's part has it (ECMA-376 part 1, 18.3.1.73), each text in its cell. At is the row's number, and high its height in
// points, or 0 where it is that of all others. The cells stand by rising column.
func WriteRow(w *bytes.Buffer, at int, high float64, cells []Cell) {
	fmt.Fprintf(w, `<row r="%d"`, at)
	if high > 0 {
		fmt.Fprintf(w, ` ht="%g" customHeight="1"`, high)
	}
	w.WriteByte('>')
	for _, c := range cells {
		fmt.Fprintf(w, `<c r="%s" s="%d"`, table.Address(c.Col, at), c.Style)
		switch v := c.Value.(type) {
		case string:
			if v == "" {
				w.WriteString("/>")
				continue
			}
			w.WriteString(` t="inlineStr"><is><t xml:space="preserve">`)
			xml.EscapeText(w, []byte(table.Escape(v))) // a bytes.Buffer does not fail
			w.WriteString("</t></is></c>")
		case []table.Run:
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
			panic(fmt.Sprintf("longsheet: a cell of %T", v))
		}
	}
	w.WriteString("</row>")
}
