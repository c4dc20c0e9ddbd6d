package table

import (
	"archive/zip"
	"bytes"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// A sheet says of its buttons, drop-down boxes and embedded objects in which row and column they lie (ECMA-376 part 1, 18.3.1.3, as spreadsheet
// programs write it): those are no rows and cells of the table, and nothing of it is lost or damaged. What hides cells so is not read as a table.
func TestControls(t *testing.T) {
	const anchor = `<anchor moveWithCells="1"><from><xdr:col>7</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>19</xdr:row><xdr:rowOff>0</xdr:rowOff></from>` +
		`<to><xdr:col>8</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>1</xdr:row><xdr:rowOff>0</xdr:rowOff></to></anchor>`
	const choice = `<mc:AlternateContent xmlns:mc="http://schemas.openxmlformats.org/markup-compatibility/2006"><mc:Choice Requires="x14">`
	const wrong = "wrong"
	for name, c := range map[string]struct{ before, after, want string }{
		"a button": {"", choice + `<controls>` + choice + `<control shapeId="1025" r:id="rId9" name="Button 1"><controlPr defaultSize="0" print="0">` + anchor +
			`</controlPr></control></mc:Choice></mc:AlternateContent></controls></mc:Choice></mc:AlternateContent>`, "Plums in Larvik"},
		"an object": {"", `<oleObjects>` + choice + `<oleObject progId="P" shapeId="1" r:id="rId9"><objectPr>` + anchor + `</objectPr></oleObject></mc:Choice>` +
			`</mc:AlternateContent></oleObjects>`, "Plums in Larvik"},
		"an extension with cells":    {"", `<extLst><ext><row r="1"><c r="A1"><v>7</v></c></row></ext></extLst>`, "Plums in Larvik"},
		"an extension before":        {`<x14:row r="90"><x14:c r="A90">12</x14:c></x14:row>`, "", "Plums in Larvik"},
		"letters between the rows":   {"", "", wrong},
		"a row outside of the table": {"", `<row r="9"/>`, wrong},
	} {
		data := []byte(intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "Plums in Larvik", 4, 2})
		}))
		parts := partsIn(t, data)
		for i, p := range parts {
			if p.name == "xl/worksheets/sheet1.xml" {
				d := bytes.Replace(p.data, []byte("<sheetData>"), []byte(c.before+"<sheetData>"), 1)
				d = bytes.Replace(d, []byte("</worksheet>"), []byte(c.after+"</worksheet>"), 1)
				if c.want == wrong && c.after == "" {
					d = bytes.Replace(d, []byte("</row>"), []byte("</row>19"), 1)
				}
				parts[i].data = d
			}
		}
		sheets, _, why := readWorkbook("a.xlsx", zipped(t, parts, 0, zip.Deflate), new(int))
		if c.want == wrong {
			if why == nil {
				t.Errorf("%s: read", name)
			}
			continue
		}
		if why != nil {
			t.Errorf("%s: %v", name, why)
			continue
		}
		if rows := sheets[0].Rows; len(rows) != 2 || len(rows[1].Cells) != 4 || rows[1].Cells[1].Text != c.want {
			t.Errorf("%s: rows %v", name, rows)
		}
	}
}
