package table

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// worked is what comes of formulas that were saved without results, in A2, A3 and so on beside: B texts, C numbers, D nothing, E figures that are a text, F a
// number that is shown otherwise, G and I what a merged cell covers.
func worked(t *testing.T, formulas []string) (out []*Cell) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		f.SetSheetRow("Sheet1", "A1", &[]any{"Result", "plum", 2.25, nil, "00123", 0.5})
		f.SetSheetRow("Sheet1", "B2", &[]any{"two words", 40, nil, "TRUE", nil, "over"})
		f.SetSheetRow("Sheet1", "B3", &[]any{`a "b"`, 7.5, nil, "1e3", 123456789})
		percent := "0%"
		intaketest.Styled(t, f, "Sheet1", "F1", &excelize.Style{CustomNumFmt: &percent})
		if err := f.MergeCell("Sheet1", "G2", "G3"); err != nil {
			t.Fatal(err)
		}
		if err := f.MergeCell("Sheet1", "H4", "I4"); err != nil {
			t.Fatal(err)
		}
		f.SetSheetRow("Sheet1", "H4", &[]any{"across"})
		for i, formula := range formulas {
			if err := f.SetCellFormula("Sheet1", fmt.Sprint("A", i+2), formula); err != nil {
				t.Fatal(err)
			}
		}
	})
	sheet := Read(intaketest.Write(t, "a.xlsx", data), known)[0].Sheets[0]
	for i := range formulas {
		for j := range sheet.Rows {
			if sheet.Rows[j].N == i+2 {
				out = append(out, sheet.Rows[j].At(0))
			}
		}
	}
	if len(out) != len(formulas) {
		t.Fatalf("%d of %d rows", len(out), len(formulas))
	}
	return out
}

// Formulas drawn at random, whose results are known: each is worked out so, or not at all. What they come to is as LibreOffice works them out (tried in 7.4).
func TestFormulasDrawn(t *testing.T) {
	texts, numbers := map[string]string{"B1": "plum", "B2": "two words", "B3": `a "b"`}, map[string]float64{"C1": 2.25, "C2": 40, "C3": 7.5}
	pick := func(r *rand.Rand, list ...string) string { return list[r.IntN(len(list))] }
	var sum func(r *rand.Rand, deep int) (string, float64)
	factor := func(r *rand.Rand, deep int) (string, float64) {
		switch k := r.IntN(5); {
		case k == 0 && deep > 0:
			s, v := sum(r, deep-1)
			return "(" + s + ")", v
		case k == 1 && deep > 0:
			a, v := sum(r, deep-1)
			b, w := sum(r, deep-1)
			return "MAX(" + a + "," + b + ")", max(v, w)
		case k <= 2:
			cell := pick(r, "C1", "C2", "C3")
			return cell, numbers[cell]
		}
		n := 1 + r.IntN(50)
		return strconv.Itoa(n), float64(n)
	}
	sum = func(r *rand.Rand, deep int) (string, float64) {
		total, out := 0.0, ""
		for i := range 1 + r.IntN(3) {
			s, v := factor(r, deep)
			for range r.IntN(3) {
				b, w := factor(r, deep)
				if r.IntN(2) == 0 {
					s, v = s+"*"+b, v*w
				} else if w != 0 {
					s, v = s+"/"+b, v/w
				}
			}
			switch {
			case i == 0 && r.IntN(5) == 0:
				out, total = "-"+s, -v
			case i == 0:
				out, total = s, v
			case r.IntN(2) == 0:
				out, total = out+"+"+s, total+v
			default:
				out, total = out+"-"+s, total-v
			}
		}
		return out, total
	}
	join := func(r *rand.Rand) (string, string) {
		var parts, what []string
		for range 2 + r.IntN(4) {
			switch r.IntN(5) {
			case 0:
				cell := pick(r, "B1", "B2", "B3")
				parts, what = append(parts, cell), append(what, texts[cell])
			case 1:
				cell := pick(r, "C1", "C2", "C3")
				parts, what = append(parts, cell), append(what, strconv.FormatFloat(numbers[cell], 'f', -1, 64))
			case 2:
				n := strconv.Itoa(r.IntN(3000))
				parts, what = append(parts, n), append(what, n)
			case 3:
				parts, what = append(parts, pick(r, "D1", "D9", "J1")), append(what, "")
			default:
				parts, what = append(parts, pick(r, `"x ""y"" z"`, `"x ""y"" z"`)), append(what, `x "y" z`)
			}
		}
		if r.IntN(2) == 0 {
			return "CONCATENATE(" + strings.Join(parts, ",") + ")", strings.Join(what, "")
		}
		return strings.Join(parts, "&"), strings.Join(what, "")
	}
	done := 0
	for seed := range uint64(4) {
		r := rand.New(rand.NewPCG(17, seed))
		var formulas, wantText []string
		var want []float64
		for len(formulas) < 200 {
			s, v := sum(r, 2)
			text := ""
			if r.IntN(2) == 0 {
				if s, text = join(r); strings.TrimSpace(text) == "" {
					continue
				}
			}
			if len(s) <= longestFormula {
				formulas, wantText, want = append(formulas, s), append(wantText, text), append(want, v)
			}
		}
		for i, c := range worked(t, formulas) {
			if c.Kind == Uncomputed {
				continue
			}
			done++
			if wantText[i] != "" {
				if c.Kind != Text || c.Text != strings.TrimSpace(wantText[i]) {
					t.Errorf("seed %d: =%s: %v %q, want %q", seed, formulas[i], c.Kind, c.Text, wantText[i])
				}
			} else if v, err := strconv.ParseFloat(c.ExactText(), 64); err != nil || c.Kind != Number || math.Abs(v-want[i]) > 1e-9*max(1, math.Abs(want[i])) {
				t.Errorf("seed %d: =%s: %v %q, want %v", seed, formulas[i], c.Kind, c.ExactText(), want[i])
			}
		}
	}
	if done < 700 {
		t.Errorf("%d of 800 were worked out", done)
	}
}

// What programs work out differently, or the library in its own way, is not worked out.
func TestFormulasLeft(t *testing.T) {
	formulas := []string{`IF(D1="","ours","theirs")`, `IF(D1<>"",1,2)`, `IF(C1>2,"a","b")`, `AND(D1="",TRUE)`, "C1=C1", `"n: "&0.1+0.2`, `"n: "&1/3`, `"n: "&123456789012`, `"n: "&0.00001`, `"n: "&F3`, `F1&""`,
		`TEXT(C1,"0.00")`, `TRUE&"x"`, "D1", "D1*2", "G3", "G3&B1", "I4&B1", "SUM(C1,D1)", `SUM(C1,"3")`, "LEN(B1)", "LEFT(B1,2)", `UPPER("straße")`, "CHAR(228)&B1", "CHAR(5+5)&B1", "2^3", "1/inf", "0x1p4", "-2^2", "PROPER(B1)", "C1:C2",
		"B1*2", "-B1", "C1&-2", "50%*C2", "1E20", "Sheet1!C1", "A2+1", "1/0", "(D1)", "+D1", ")", `"a`}
	for i, c := range worked(t, formulas) {
		if formulas[i] == "1E20" { // a number alone, as long as it is
			continue
		}
		if c != nil && c.Kind != Uncomputed {
			t.Errorf("=%s: %v %q", formulas[i], c.Kind, c.Text)
		}
	}
	for i, c := range worked(t, []string{`"Line"&CHAR(10)&B1`, `"4 1/2"`, "B1", "C1", "(C1)", "ROUND(C1*2,2)", "SUM(C1,C2)", "2-1-1+0.5", "8/2/2", "ROUND(1.005,2)", "-C1*-2", "E1", `E2&"x"`, "E3&B1", `"007"&""`, "1&2", `("a"&B1)&"b"`}) {
		if want := []string{"Line\nplum", "4 1/2", "plum", "2.25", "2.25", "4.5", "42.25", "0.5", "2", "1.01", "4.5", "00123", "TRUEx", "1e3plum", "007", "12", "aplumb"}[i]; c.Text != want || (c.Kind == Text) != (i < 3 || i > 10) {
			t.Errorf("%d: %v %q, want %q", i, c.Kind, c.Text, want)
		}
	}
}

// A formula without a result sees what other cells show, also where that is the saved result of a formula of their own; it opens no other sheet, however far its cells lie, and
// fills no array.
func TestFormulasSeeWhatIsShown(t *testing.T) {
	sheet := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>` +
		`<row r="2"><c r="A2" t="str"><f t="array" ref="A2:A3">TRANSPOSE(G2:H2)</f><v>Wilma</v></c><c r="B2"><f>A2&amp;" walked"</f></c></row>` +
		`<row r="3"><c r="A3" t="str"><v>Theo</v></c><c r="B3"><f>A3&amp;" walked"</f></c></row>` +
		`<row r="4"><c r="C4"><f t="array" ref="D1:ZZ20000">1+1</f><v>2</v></c></row></sheetData></worksheet>`
	f := Read(intaketest.Write(t, "a.xlsx", intaketest.Repack(t, intaketest.Saved(t, func(*excelize.File) {}), map[string]string{"xl/worksheets/sheet1.xml": sheet})), known)[0]
	if len(f.Sheets) != 1 {
		t.Fatalf("%+v", f)
	}
	for i, want := range []string{"Wilma walked", "Theo walked"} {
		if c := f.Sheets[0].Rows[i+1].At(1); c.Text != want {
			t.Errorf("row %d: %q", i+2, c.Text)
		}
	}
}

// What a merged cell shows in its rows is the result that was worked out, and where there is none, it is without one in each of them.
func TestFormulasOfMergedCells(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2}, []any{"Ada", intaketest.Story, 4, 2})
		for cell, formula := range map[string]string{"E2": `"vel"&"lum"`, "F2": "NOSUCH(1)", "G2": "2+1"} {
			if err := f.SetCellFormula("Sheet1", cell, formula); err != nil {
				t.Fatal(err)
			}
			if err := f.MergeCell("Sheet1", cell, cell[:1]+"3"); err != nil {
				t.Fatal(err)
			}
		}
	})
	sheet := Read(intaketest.Write(t, "a.xlsx", data), known)[0].Sheets[0]
	for i := 1; i < 3; i++ {
		if r := &sheet.Rows[i]; r.At(4).Text != "vellum" || r.At(5).Kind != Uncomputed || r.At(6).Text != "3" {
			t.Errorf("row %d: %+v", r.N, r.Cells)
		}
	}
}

// A formula that fills several cells, and has no results, leaves each of them without one.
func TestFormulasThatFill(t *testing.T) {
	sheet := `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
		`<row r="2"><c r="A2" t="inlineStr"><is><t>Pim</t></is></c><c r="B2"><f t="array" ref="B2:C3">1+1</f></c><c r="E2"><f t="array" ref="E2">1+1</f></c></row>` +
		`<row r="3"><c r="A3" t="inlineStr"><is><t>Ada</t></is></c><c r="D3"><v>4</v></c></row></sheetData></worksheet>`
	f := Read(intaketest.Write(t, "a.xlsx", intaketest.Repack(t, intaketest.Saved(t, func(*excelize.File) {}), map[string]string{"xl/worksheets/sheet1.xml": sheet})), known)[0]
	for i := range f.Sheets[0].Rows {
		r := &f.Sheets[0].Rows[i]
		if r.At(1) == nil || r.At(2) == nil || r.At(1).Kind != Uncomputed || r.At(2).Kind != Uncomputed || r.N == 3 && r.At(3).Text != "4" || r.N == 2 && r.At(4).Text != "2" {
			t.Errorf("row %d: %+v", r.N, r.Cells)
		}
	}
}

func FuzzFormula(f *testing.F) {
	for _, s := range []string{`"a"&B1`, "1+2*(3-C1)/-4", `CONCATENATE("x",1,CHAR(10))`, "ROUND(SUM(1,2),1)", "((", `"`, "1 2", "{1,2}", "A1:B2 C3", "-", "MAX(", "'a'!B1", "1E400*1E400", "#REF!"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, ok := result(s, func(string) (*Cell, bool) { return &Cell{Text: "plum"}, true })
		if ok && (v.empty || math.IsNaN(v.number) || math.IsInf(v.number, 0) || len(v.text) > 4*longestFormula) {
			t.Errorf("%q: %+v", s, v)
		}
	})
}
