package table

import (
	"fmt"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// A formula that was saved without a result stays without one, whatever it is: of each of these some program, version or language shows something else, or they
// lean on one that does. Also a plain one: 1.50 and 007 within a text, a name like ZIP1, what an array fills.
func TestFormulasLeft(t *testing.T) {
	formulas := []string{`IF(D1="","ours","theirs")`, "C1=C1", `"n: "&0.1+0.2`, `"n: "&1/3`, `TEXT(C1,"0.00")`, "D1", "D1*2", "G3&B1", "SUM(C1,D1)", "LEN(B1)", `UPPER("straße")`, "CHAR(228)&B1", "2^3", "1/0", "-2^2",
		"C1:C2", "Sheet1!C1", "A2+1", "(D1)", "+D1", ")", `"a`, `"a"&B1`, "1+3", `"4 1/2"`, "B1", "C1*2", "ROUND(1.005,2)", `"a"&1.50`, `"a"&007`, "ZIP1&B1", "A9999999&B1", "CONCATENATE(B1,C1)", ""}
	data := intaketest.Saved(t, func(f *excelize.File) {
		f.SetSheetRow("Sheet1", "A1", &[]any{"Result", "plum", 2.25})
		for i, formula := range formulas {
			if err := f.SetCellFormula("Sheet1", fmt.Sprint("A", i+2), formula); err != nil {
				t.Fatal(err)
			}
			f.SetCellInt("Sheet1", fmt.Sprint("B", i+2), 1)
		}
	})
	sheet := Read(intaketest.Write(t, "a.xlsx", data), known)[0].Sheets[0]
	if len(sheet.Rows) != 1+len(formulas) {
		t.Fatalf("%d rows", len(sheet.Rows))
	}
	for i, formula := range formulas {
		if c := sheet.Rows[i+1].At(0); formula == "" && c != nil || formula != "" && (c == nil || c.Kind != Uncomputed || c.Text != "") {
			t.Errorf("=%s: %+v", formula, c)
		}
	}
}

// A result that was saved is what counts, of a formula that fills others too.
func TestFormulasWithResults(t *testing.T) {
	sheet := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
		`<row r="2"><c r="A2" t="str"><f t="array" ref="A2:A3">TRANSPOSE(G2:H2)</f><v>Wilma</v></c><c r="B2"><f>A2&amp;" walked"</f></c></row>` +
		`<row r="3"><c r="A3" t="str"><v>Theo</v></c><c r="B3" t="str"><f>A3&amp;" walked"</f><v></v></c></row>` +
		`<row r="4"><c r="C4"><f t="array" ref="D1:ZZ20000">1+1</f><v>2</v></c></row></sheetData></worksheet>`
	f := Read(intaketest.Write(t, "a.xlsx", intaketest.Repack(t, intaketest.Saved(t, func(*excelize.File) {}), map[string]string{"xl/worksheets/sheet1.xml": sheet})), known)[0]
	if len(f.Sheets) != 1 || len(f.Sheets[0].Rows) != 3 {
		t.Fatalf("%+v", f)
	}
	rows := f.Sheets[0].Rows
	if rows[0].At(0).Text != "Wilma" || rows[0].At(1).Kind != Uncomputed || rows[1].At(0).Text != "Theo" || len(rows[1].Cells) != 1 || rows[2].At(2).Text != "2" || len(rows[2].Cells) != 1 {
		t.Errorf("%+v", rows)
	}
}

// Where a merged cell is a formula without a result, it is without one in each of its rows.
func TestFormulasOfMergedCells(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, nil, 2}, []any{nil, intaketest.Story, nil, 2})
		for cell, formula := range map[string]string{"C2": "1+3", "C3": "1+3", "E2": `"vel"&"lum"`} {
			if err := f.SetCellFormula("Sheet1", cell, formula); err != nil {
				t.Fatal(err)
			}
		}
		for _, col := range []string{"A", "E"} {
			if err := f.MergeCell("Sheet1", col+"2", col+"3"); err != nil {
				t.Fatal(err)
			}
		}
	})
	sheet := Read(intaketest.Write(t, "a.xlsx", data), known)[0].Sheets[0]
	for i := 1; i < 3; i++ {
		if r := &sheet.Rows[i]; r.At(0).Text != "Pim" || r.At(2).Kind != Uncomputed || r.At(2).Covered || r.At(4).Kind != Uncomputed || r.At(4).Covered != (i == 2) {
			t.Errorf("row %d: %+v", r.N, r.Cells)
		}
	}
}

// A formula that fills several cells, and has no results, leaves each of them without one, also where several fill the same.
func TestFormulasThatFill(t *testing.T) {
	for _, kind := range []string{"array", "dataTable"} {
		sheet := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
			`<row r="2"><c r="A2" t="inlineStr"><is><t>Pim</t></is></c><c r="B2"><f t="` + kind + `" ref="B2:C3">1+1</f></c><c r="E2"><f t="` + kind + `" ref="E2">1+1</f></c><c r="F2"><f t="array" ref="A2:C9">1+1</f></c></row>` +
			`<row r="3"><c r="A3" t="inlineStr"><is><t>Ada</t></is></c><c r="D3"><v>4</v></c></row></sheetData></worksheet>`
		f := Read(intaketest.Write(t, "a.xlsx", intaketest.Repack(t, intaketest.Saved(t, func(*excelize.File) {}), map[string]string{"xl/worksheets/sheet1.xml": sheet})), known)[0]
		rows, got := f.Sheets[0].Rows, ""
		for i := range rows {
			for _, c := range rows[i].Cells {
				got += fmt.Sprint(Address(c.Col, rows[i].N), " ", c.Kind == Uncomputed, " ", c.Fills(), c.Text, "; ")
			}
		}
		if want := "A2 false Pim; B2 true B2:C3; C2 true ; E2 true ; F2 true A2:C9; A3 false Ada; B3 true ; C3 true ; D3 false 4; "; got != want {
			t.Errorf("%s: %s", kind, got)
		}
	}
}
