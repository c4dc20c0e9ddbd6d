package intake

import (
	"archive/zip"
	"cmp"
	"fmt"
	"io"
	"math/rand"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// A measure is read as the person saw or typed it, whatever the cell's number format makes of it.
func TestMeasureCells(t *testing.T) {
	inch, mm := measure.Inch, measure.Millimetre
	for _, c := range []struct {
		value  any
		format string
		want   measure.Length // 0: the problem
		what   string
	}{
		{4.5, "# ?/?", 9 * inch / 2, ""},
		{4.0625, "# ?/?", 65 * inch / 16, ""}, // shown as 4
		{4.5, "??/??", 9 * inch / 2, ""},      // shown as 9/2
		{2.375, "# ?/8", 19 * inch / 8, ""},
		{90, `0" mm"`, 90 * mm, ""},
		{9.5, `0.0 "cm"`, 95 * mm, ""},
		{4.5, `0.00\"`, 9 * inch / 2, ""},
		{4.5, `0.0#"″"`, 9 * inch / 2, ""},
		{4.4000000000000004, "0.00", 44 * inch / 10, ""},
		{4, "General", 4 * inch, ""},
		{"4 1/2", "@", 9 * inch / 2, ""},
		{"1/2", "@", inch / 2, ""},
		{-4.5, "0.00;(0.00)", 0, "the width is less than 0"},
		{1, `0" ft"`, 0, "“1 ft” is not a measure: “ft” is no unit that is known here"},
		{12, `0.0 "dm"`, 0, "“12 dm” is not a measure: “dm” is no unit that is known here"},
		{3, `0"½"`, 7 * inch / 2, ""},
		{0.5, "0%", 0, "“50%” is not a measure: “%” is no unit that is known here"},
		{46114, "d-mmm", 0, "the width became a date: 2 April"},
		{46114, "m/d/yyyy", 0, "the width became a date: 2 April 2026"},
		{46114, "[$-409]d-mmm;@", 0, "the width became a date: 2 April"},
		{42370, "mmm-yy", 0, "the width became a date: January 2016"},
		{0.5208333, "h:mm AM/PM", 0, "the width is a time of day: 12:30 PM"},
		{true, "General", 0, "“yes” is not a measure"},
		{10, `General" cm"`, 100 * mm, ""},
		{10, `"cm "0`, 0, "“10 (cm)” is not a measure: “(cm)” is no unit that is known here"},
		{120, `[>=100]0" mm";0" in"`, 120 * mm, ""},
		{4, `[>=100]0" mm";0" in"`, 4 * inch, ""},
		{4, `[<3]0" cm";[<9]0" in";0" mm"`, 4 * inch, ""},
		{4, `[>9]0" mm"`, 0, "it cannot be told what the cell shows"},
		{4, ";;;", 0, "it cannot be told what the cell shows"},
		{4.5, "0.00E+00", 9 * inch / 2, ""},
		{4.5, "0.##", 9 * inch / 2, ""},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, c.value, 2})
			intaketest.Styled(t, f, "Sheet1", "C2", &excelize.Style{CustomNumFmt: &c.format})
		})
		job, problems := read(t, "a.xlsx", data)
		if c.want == 0 {
			if got := intaketest.Say(problems); got != "error a.xlsx/Sheet1 2 C2: "+c.what+"\n" {
				t.Errorf("%v as %s: %s", c.value, c.format, got)
			}
			continue
		}
		if problems.Errors() > 0 || len(job.Blocks) != 1 || job.Blocks[0].Space.W != c.want {
			t.Errorf("%v as %s: %s %+v", c.value, c.format, intaketest.Say(problems), job.Blocks)
		}
	}
}

// What cannot be told from a cell is held, and not printed otherwise than it is shown; where it is no text, nobody minds.
func TestUnseenCells(t *testing.T) {
	for _, c := range []struct {
		value  any
		format string
	}{
		{4.0625, "# ?/?"}, {true, "General"}, {false, "General"}, {7, ";;;"}, {-7, "0;"}, {12.5, "0.00E+00"}, {12.5, "#,##0.00 [$€-407]"}, {7, "[DBNum1]0"}, {4, "0.##"}, {-4, "[>=100]0;0.0"},
		{"Soup", `"Dear "@`}, {"Soup", ";;;"}, {"Soup", `0;0;0;"see below"`}, {"Soup", `0;@" cm"`},
		{5, "[>9]0"}, {1.5, "[h]:mm"}, {0.5, "mm:ss"}, {46114, "m"}, {-2, "d mmm"}, {1234567890123456.0, "General"},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", c.value, 4, 2})
			intaketest.Styled(t, f, "Sheet1", "B2", &excelize.Style{CustomNumFmt: &c.format})
		})
		job, problems := read(t, "a.xlsx", data)
		if len(job.Blocks) != 0 || !strings.Contains(intaketest.Say(problems), "error a.xlsx/Sheet1 2 B2: it cannot be told what the cell shows") {
			t.Errorf("%v as %s: %s %+v", c.value, c.format, intaketest.Say(problems), job.Blocks)
		}
		// nor does it become a text that is printed where the row is written anew, for a marked copy or the desk
		if typed := Typed(table.Read(intaketest.Write(t, "a.xlsx", data), KnownHeading), intaketest.Home(), measure.In); len(typed) != 1 || !slices.Contains(typed[0].Rows[0].Cells, Field{"Journaling", "#N/A"}) {
			t.Errorf("%v as %s: typed %+v", c.value, c.format, typed)
		}
	}
}

// A formula without a result is not left out where its row is written anew: the block would be printed without a title, or once instead of thrice.
func TestUncomputedStays(t *testing.T) {
	for _, heading := range []string{"Title", "Copies", "Stock"} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", heading}, []any{"Pim", intaketest.Story, 4, 2})
			if err := f.SetCellFormula("Sheet1", "E2", `WEBSERVICE("x")`); err != nil {
				t.Fatal(err)
			}
		})
		if typed := Typed(table.Read(intaketest.Write(t, "a.xlsx", data), KnownHeading), intaketest.Home(), measure.In); len(typed) != 1 || !slices.Contains(typed[0].Rows[0].Cells, Field{heading, "#N/A"}) {
			t.Errorf("%s: typed %+v", heading, typed)
		}
	}
}

// Where a cell that is not printed is told, and it is a formula without a result, that can be seen, with the cell: it may say what is to be printed.
func TestUncomputedIsTold(t *testing.T) {
	for heading, want := range map[string]string{
		"Print?": "the column “Print?” is not read, and may say what is to be printed: E2 “#N/A”", "Note": "a note from Pim: “#N/A”",
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", heading}, []any{"Pim", intaketest.Story, 4, 2})
			if err := f.SetCellFormula("Sheet1", "E2", `IF(C2>3,"no","yes")`); err != nil {
				t.Fatal(err)
			}
		})
		if _, problems := read(t, "a.xlsx", data); !has(problems, want) {
			t.Errorf("%s: %s", heading, intaketest.Say(problems))
		}
	}
}

// A text that a spreadsheet has taken for a number is set as it is shown there: what was typed as 3 1/2 or 007 is stored as 3.5 and 7.
func TestNumbersAsTexts(t *testing.T) {
	for _, c := range []struct {
		value        float64
		format, want string
	}{
		{3.5, "# ?/?", "3 1/2"}, {0.75, "# ?/?", "3/4"}, {4, "# ?/?", "4"}, {4.0625, "# ??/??", "4 1/16"}, {1.3333333333, "# ?/?", "1 1/3"},
		{2.375, "# ?/8", "2 3/8"}, {2.5, "# ??/16", "2 8/16"}, {2.3, "# ??/100", "2 30/100"}, {3.9999999999, "# ?/?", "4"}, {4.5, "??/??", "9/2"}, {-1.5, "# ?/?", "-1 1/2"}, {3.5, `# ?/?" cups"`, "3 1/2 cups"},
		{7, "000", "007"}, {7.25, "000.0", "007.3"}, {1234, "000", "1234"}, {-7, "00", "-07"},
		{2.5, "0", "3"}, {0.125, "0.00", "0.13"}, {-2.5, "0", "-3"}, {1.005, "0.00", "1.01"},
		{4, "0.00", "4.00"}, {12.5, "$#,##0.00", "$12.50"}, {0.25, "0%", "25%"}, {4, `0" plums"`, "4 plums"}, {1999, "#,##0", "1,999"},
		{5551234, "000-0000", "555-1234"}, {3, "0;(0)", "3"}, {-3, "0;(0)", "(3)"}, {2500000, `0.0,,"M"`, "2.5M"}, {0.30000000000000004, "General", "0.3"}, {0.5, "h.mm", "12:00"},
		{46114, "dddd, d mmmm yyyy", "Thursday 2 April 2026"}, {46114, "d", "2"}, {0.52101, "h:mm:ss", "12:30:15"},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", c.value, 4, 2})
			intaketest.Styled(t, f, "Sheet1", "B2", &excelize.Style{CustomNumFmt: &c.format})
		})
		job, problems := read(t, "a.xlsx", data)
		if problems.Errors() > 0 || len(job.Blocks) != 1 || len(job.Blocks[0].Text) != 1 || job.Blocks[0].Text[0][0].Text != c.want {
			t.Errorf("%v as %s: %s %+v, want %s", c.value, c.format, intaketest.Say(problems), job.Blocks, c.want)
		}
	}
}

// The message for a date names both readings. Typed 1/2, 3/4, 5/8, 1/16 and 4/2 become dates in a spreadsheet (tried in
// one).
func TestDateReadings(t *testing.T) {
	for typed, want := range map[float64]string{
		46114: "4/2 or 2/4", 46024: "1/2 or 2/1", 46085: "3/4 or 4/3", 46150: "5/8 or 8/5", 46038: "1/16 or 16/1", 46057: "2/4 or 4/2", 46145: "5/3 or 3/5",
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, typed, 2})
			intaketest.Styled(t, f, "Sheet1", "C2", &excelize.Style{NumFmt: 16})
		})
		_, problems := read(t, "a.xlsx", data)
		if len(problems) != 1 || !strings.Contains(problems[0].Cause, want) {
			t.Errorf("%v: %+v, want %s", typed, problems, want)
		}
	}
}

// A date stays a date where one belongs.
func TestWhenCells(t *testing.T) {
	for format, want := range map[string]string{"d mmmm yyyy": "2 April 2026", "m/d/yy": "2 April 2026", "d-mmm": "2 April",
		"mmm-yy": "April 2026", "yyyy": "2026", "0": "46114"} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", append(append([]any{}, intaketest.Head...), "When"), []any{"Pim", intaketest.Story, 4, 2, 46114})
			intaketest.Styled(t, f, "Sheet1", "E2", &excelize.Style{CustomNumFmt: &format})
		})
		job, problems := read(t, "a.xlsx", data)
		if len(problems) > 0 || job.Blocks[0].End != want {
			t.Errorf("%s: %s %+v", format, intaketest.Say(problems), job.Blocks)
		}
	}
}

// A page number that became a date is still a page, and is asked about.
func TestPageDate(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", append(append([]any{}, intaketest.Head...), "Page"), []any{"Pim", intaketest.Story, 4, 2, 46024})
		intaketest.Styled(t, f, "Sheet1", "E2", &excelize.Style{NumFmt: 16})
	})
	job, problems := read(t, "a.xlsx", data)
	if got := intaketest.Say(problems); got != "note a.xlsx/Sheet1 2 E2: the page became a date: 2 January\n" || len(job.Blocks) != 1 || job.Blocks[0].Page != "2 January" {
		t.Errorf("%s %+v", got, job.Blocks)
	}
}

func TestRichText(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "", 4, 2}, []any{"Pim", "all of it, Larvik 2026 *as typed*", 4, 2})
		if err := f.SetCellRichText("Sheet1", "B2", []excelize.RichTextRun{
			{Text: "Our "}, {Text: "first", Font: &excelize.Font{Bold: true}}, {Text: " day\nat "}, {Text: "Larvik\n\n",
				Font: &excelize.Font{Italic: true}}, {Text: " 2026 ", Font: &excelize.Font{Bold: true, Italic: true}},
		}); err != nil {
			t.Fatal(err)
		}
		intaketest.Styled(t, f, "Sheet1", "B3", &excelize.Style{Font: &excelize.Font{Bold: true}})
	})
	job, problems := read(t, "a.xlsx", data)
	if len(problems) > 0 {
		t.Fatal(intaketest.Say(problems))
	}
	want := []Paragraph{{{Text: "Our "}, {Text: "first", Bold: true}, {Text: " day"}}, {{Text: "at "}, {Text: "Larvik",
		Italic: true}}, nil, {{Text: "2026", Bold: true, Italic: true}}}
	if got := job.Blocks[0].Text; !reflect.DeepEqual(got, want) {
		t.Errorf("runs %+v", got)
	}
	if got := job.Blocks[1].Text; !reflect.DeepEqual(got, []Paragraph{{{Text: "all of it, Larvik 2026 *as typed*", Bold: true}}}) {
		t.Errorf("bold cell %+v", got)
	}
}

// What somebody has struck through, and digits above or below the line, are not printed so: that is told.
func TestDrawnOtherwise(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "", 4, 2}, []any{"Pim", "Gone, Larvik 2026", 4, 2}, []any{"Pim", "", 4, 2})
		for cell, runs := range map[string][]excelize.RichTextRun{
			"B2": {{Text: "At Larvik "}, {Text: "1987 ", Font: &excelize.Font{Strike: true}}, {Text: "1988"}},
			"B4": {{Text: "10 m", Font: &excelize.Font{Bold: true}}, {Text: "2", Font: &excelize.Font{VertAlign: "superscript"}}, {Text: " at Larvik on the 4"}, {Text: "th", Font: &excelize.Font{VertAlign: "superscript"}}, {Text: " of July 2026"}},
		} {
			if err := f.SetCellRichText("Sheet1", cell, runs); err != nil {
				t.Fatal(err)
			}
		}
		intaketest.Styled(t, f, "Sheet1", "B3", &excelize.Style{Font: &excelize.Font{Strike: true}})
	})
	job, problems := read(t, "a.xlsx", data)
	want := "note a.xlsx/Sheet1 2 B2: “1987” is struck through in the cell\nnote a.xlsx/Sheet1 3 B3: “Gone, Larvik 2026” is struck through in the cell\n" +
		"note a.xlsx/Sheet1 4 B4: “2” is raised or lowered in the cell\n"
	if got := intaketest.Say(problems); got != want || len(job.Blocks) != 3 {
		t.Errorf("%s%+v", got, job.Blocks)
	}
}

// What shows as a sign because of its font is printed as a letter, and that is told; a font without letters is known by its set of characters, too.
func TestFontOfSigns(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", "", 4, 2}, []any{"Pim", "C, Larvik 2026", 4, 2}, []any{"Pim", "Soup, Larvik 2026", 4, 2}, []any{"Pim", "", 4, 2})
		charset := 2
		for cell, signs := range map[string]*excelize.Font{"B2": {Family: "Wingdings"}, "B5": {Family: "Somebody's Stars", Charset: &charset}} {
			if err := f.SetCellRichText("Sheet1", cell, []excelize.RichTextRun{{Text: "Soup at Larvik in 2026 "}, {Text: "J", Font: signs}, {Text: " and fish " + cell, Font: &excelize.Font{Family: "Carlito"}}}); err != nil {
				t.Fatal(err)
			}
		}
		intaketest.Styled(t, f, "Sheet1", "B3", &excelize.Style{Font: &excelize.Font{Family: "Webdings"}})
		intaketest.Styled(t, f, "Sheet1", "B4", &excelize.Style{Font: &excelize.Font{Family: "Liberation Serif"}})
		intaketest.Styled(t, f, "Sheet1", "C4", &excelize.Style{Font: &excelize.Font{Family: "Symbol"}})
	})
	job, problems := read(t, "a.xlsx", data)
	says := " is in a font whose letters show as signs\n"
	if got, want := intaketest.Say(problems), "note a.xlsx/Sheet1 2 B2: “J”"+says+"note a.xlsx/Sheet1 3 B3: “C, Larvik 2026”"+says+"note a.xlsx/Sheet1 5 B5: “J”"+says; got != want || len(job.Blocks) != 4 {
		t.Errorf("%s%+v", got, job.Blocks)
	}
}

// What somebody typed into a text box is told; it is in no cell.
func TestTextBox(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		if err := f.AddShape("Sheet1", &excelize.Shape{Cell: "B4", Type: "rect", Paragraph: []excelize.RichTextRun{{Text: "Soup in "}, {Text: "Larvik"}}}); err != nil {
			t.Fatal(err)
		}
	})
	if _, problems := read(t, "a.xlsx", data); intaketest.Say(problems) != "note a.xlsx/Sheet1: a text box at B4 was not read: “Soup in Larvik”\n" {
		t.Error(intaketest.Say(problems))
	}
}

// Strokes of a pen, lines and shapes over a row, which may strike it out, are told as pictures are: once, and a text box by its text.
func TestDrawnOverCells(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		if err := f.AddShape("Sheet1", &excelize.Shape{Cell: "B2", Type: "rect"}); err != nil {
			t.Fatal(err)
		}
	})
	for drawn, want := range map[string]string{
		`<mc:AlternateContent xmlns:mc="m"><mc:Choice Requires="xdr14"><xdr14:contentPart xmlns:xdr14="x"/></mc:Choice><mc:Fallback><xdr:pic/></mc:Fallback></mc:AlternateContent>`: "pictures were not read: B2",
		`<xdr:cxnSp><xdr:spPr/></xdr:cxnSp>`:                                              "pictures were not read: B2",
		`<xdr:sp><xdr:spPr/></xdr:sp>`:                                                    "pictures were not read: B2",
		`<xdr:grpSp><xdr:cxnSp/><xdr:sp/></xdr:grpSp>`:                                    "pictures were not read: B2",
		`<xdr:sp><xdr:txBody><a:p><a:r><a:t>Soup</a:t></a:r></a:p></xdr:txBody></xdr:sp>`: "a text box at B2 was not read: “Soup”",
	} {
		data := intaketest.Repack(t, data, map[string]string{"xl/drawings/drawing1.xml": `<xdr:wsDr xmlns:xdr="d" xmlns:a="a"><xdr:twoCellAnchor><xdr:from><xdr:col>1</xdr:col><xdr:row>1</xdr:row></xdr:from><xdr:to><xdr:col>4</xdr:col><xdr:row>1</xdr:row></xdr:to>` +
			drawn + `<xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>`})
		if _, problems := read(t, "a.xlsx", data); intaketest.Say(problems) != "note a.xlsx/Sheet1: "+want+"\n" {
			t.Errorf("%s: %s", drawn, intaketest.Say(problems))
		}
	}
}

// What lies on a sheet or is printed around it, and is not read, is told; what a program puts there by itself is not.
func TestBesideCells(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		if err := f.AddChart("Sheet1", "H3", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Values: "Sheet1!$C$2:$C$2"}}}); err != nil {
			t.Fatal(err)
		}
		if err := f.SetHeaderFooter("Sheet1", &excelize.HeaderFooterOptions{OddHeader: "&C&\"Arial,Bold\"Soup in Larvik", OddFooter: "&L&A&RPage &P of &N"}); err != nil {
			t.Fatal(err)
		}
	})
	const relation = `<Relationship Id="rId%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/%s" Target="../%s"/>`
	for kind, want := range map[string]string{
		"package":         "note a.xlsx/Sheet1: 1 document of another program on the sheet, not read\n",
		"threadedComment": "note a.xlsx/Sheet1: pictures or remarks on the sheet could not be read\n",
	} {
		data := intaketest.Repack(t, data, map[string]string{"xl/worksheets/_rels/sheet1.xml.rels": `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
			fmt.Sprintf(relation, 1, "drawing", "drawings/drawing1.xml") + fmt.Sprintf(relation, 9, kind, "some/part") + `</Relationships>`})
		_, problems := read(t, "a.xlsx", data)
		want = "note a.xlsx/Sheet1: pictures were not read: H3\nnote a.xlsx/Sheet1: what stands above or below the pages of the sheet was not read: “Soup in Larvik”\n" + want
		if got := intaketest.Say(problems); got != want {
			t.Errorf("%s: %s", kind, got)
		}
	}
}

// A column that nobody sees, and that is read, is told; one that says nothing is not.
func TestHiddenColumns(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", "Title", "Copies", "Page", "Shoe size"}, []any{"Pim", intaketest.Story, 4, 2, "Soup", 3, nil, 40})
		for _, c := range []string{"E:F", "G", "H"} {
			if err := f.SetColVisible("Sheet1", c, false); err != nil {
				t.Fatal(err)
			}
		}
	})
	_, problems := read(t, "a.xlsx", data)
	if got := intaketest.Say(problems); !strings.Contains(got, "note a.xlsx/Sheet1: hidden columns were read: “Title” in column E and “Copies” in column F\n") {
		t.Error(got)
	}
}

// What lies beneath a merged cell is read as it was, and told: LibreOffice keeps it where it is asked to, when it merges.
func TestHiddenBeneath(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"B2", "B3", "note a.xlsx/Sheet1: cells were read over which a merged one lies: B3\n"},
		{"C2", "D2", "note a.xlsx/Sheet1: cells were read over which a merged one lies: D2\n"},
		{"E2", "E3", "note a.xlsx/Sheet1: cells were read over which a merged one lies: E3\n"}, // nothing is to be seen
		{"A2", "A3", ""}, // which say the same
		{"B2", "E3", "note a.xlsx/Sheet1: cells were read over which a merged one lies: C2:D2 and B3:E3\n"},
	} {
		var rows strings.Builder // a library that merges empties what is beneath
		for r, row := range [][]string{{"Name", "Journaling", "Width", "Height", "Title"}, {"Pim", intaketest.Story, "4", "2"}, {"Pim", "At the lake with Odile, June 2026.", "4", "3", "Lake"}} {
			fmt.Fprintf(&rows, `<row r="%d">`, r+1)
			for col, text := range row {
				fmt.Fprintf(&rows, `<c r="%s" t="inlineStr"><is><t>%s</t></is></c>`, table.Address(col, r+1), text)
			}
			rows.WriteString("</row>")
		}
		data := intaketest.Repack(t, intaketest.Saved(t, func(*excelize.File) {}), map[string]string{"xl/worksheets/sheet1.xml": `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
			rows.String() + `</sheetData><mergeCells count="1"><mergeCell ref="` + c.from + ":" + c.to + `"/></mergeCells></worksheet>`})
		job, problems := read(t, "a.xlsx", data)
		if said := intaketest.Say(problems); said != c.want || len(job.Blocks) != 2 || job.Blocks[1].Title != "Lake" {
			t.Errorf("%s to %s: %s %+v", c.from, c.to, said, job.Blocks)
		}
	}
}

// A sheet as people make it: a title, a line with the unit, blank rows, merged names, hidden rows, a second table
// below.
func TestMessySheet(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Retreat at the harbour"}, []any{}, []any{"All measures in cm"}, []any{},
			[]any{"your name", "Jornaling", "WIDTH", "Height (in)", "Remarks", "Shoe size"},
			[]any{"Pim", intaketest.Story + " 1", 10, 2}, []any{nil, intaketest.Story + " 2", 11, 2}, []any{}, []any{nil, intaketest.Story + " 3", 12, 2},
			[]any{"your name", "Jornaling", "WIDTH", "Height (in)", "Remarks"}, []any{"Odile", intaketest.Story, 4, 2})
		if err := f.MergeCell("Sheet1", "A6", "A9"); err != nil {
			t.Fatal(err)
		}
		if err := f.SetRowVisible("Sheet1", 7, false); err != nil {
			t.Fatal(err)
		}
		intaketest.Put(t, f, "Budget", []any{"Item", "Cost"}, []any{"Tea", 4})
		intaketest.Put(t, f, "Help", []any{"How to measure"})
		intaketest.Put(t, f, "Empty")
		intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count", "Price"}, []any{"vellum", 8.5, 11, 3, 0.6})
		intaketest.Put(t, f, "Old", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		if err := f.SetSheetVisible("Old", false); err != nil {
			t.Fatal(err)
		}
	})
	job, problems := read(t, "a.xlsx", data)
	want := `note a.xlsx/Sheet1 5 B5: the column “Jornaling” is taken for Journaling
note a.xlsx/Sheet1 5: not read: “Shoe size”
note a.xlsx/Sheet1: cells above the headings were not read: A1
note a.xlsx/Sheet1: hidden rows were read: 7
note a.xlsx/Budget: the sheet is not journaling and was not read
note a.xlsx/Help: the sheet is not journaling and was not read
note a.xlsx/Old: the sheet is hidden and was not read
`
	if got := intaketest.Say(problems); got != want {
		t.Errorf("got\n%s", got)
	}
	var got []string
	for _, b := range job.Blocks {
		got = append(got, fmt.Sprintf("%s %d %s", b.Code, b.Place.Row, b.Space.Format(measure.Cm)))
	}
	if s := strings.Join(got, "; "); s != "PI-1 6 10 x 5.08 cm; PI-2 7 11 x 5.08 cm; PI-3 9 12 x 5.08 cm; OD-1 11 4 x 5.08 cm" {
		t.Errorf("blocks %s", s)
	}
	if len(job.Paper) != 1 || job.Paper[0].Count != 3 || job.Paper[0].Price != 60 || job.Paper[0].Leftover {
		t.Errorf("paper %+v", job.Paper)
	}
}

// A formula that was saved without a result holds its row, with the words what to do, also where its result seems plain.
func TestFormulas(t *testing.T) {
	deep := `CONCATENATE(` + strings.Repeat(`REPT("x",30000),`, 20) + `"x")`
	for _, formula := range []string{"2+2.5", "ROUND(F2*2,2)", `"4 1/2"`, "1/0", "[1]Other!A1", deep, "G2+1", "SUM(F1:F9)"} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", append(append([]any{}, intaketest.Head...), "", "x", "y"), []any{"Pim", intaketest.Story, nil, 2, nil, 2.25})
			for cell, formula := range map[string]string{"C2": formula, "G2": "1+1"} {
				if err := f.SetCellFormula("Sheet1", cell, formula); err != nil {
					t.Fatal(err)
				}
			}
		})
		job, problems := read(t, "a.xlsx", data)
		got := ""
		for _, l := range strings.SplitAfter(intaketest.Say(problems), "\n") {
			if strings.HasPrefix(l, "error") {
				got += l
			}
		}
		if got != "error a.xlsx/Sheet1 2 C2: the cell holds a formula without a result\n" || len(job.Blocks) != 0 || len(job.Held) != 1 {
			t.Errorf("%.40s: %s %+v", formula, got, job.Blocks)
		}
	}
}

// What a formula without a result fills has none either: each of its rows is held, and those of which nothing else stands in the file are named with the first.
func TestFormulasThatFillRows(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, nil, 2}, []any{"Ada", intaketest.Story, nil, 2})
		array, cells := excelize.STCellFormulaTypeArray, "C2:C9"
		if err := f.SetCellFormula("Sheet1", "C2", "G2:G9", excelize.FormulaOpts{Type: &array, Ref: &cells}); err != nil {
			t.Fatal(err)
		}
	})
	job, problems := read(t, "a.xlsx", data)
	if said := intaketest.Say(problems); len(job.Blocks) != 0 || len(job.Held) != 2 || !strings.Contains(said, "2 C2: the cell holds") || !strings.Contains(said, "3 C3: the cell holds") {
		t.Errorf("%s%+v", said, job.Blocks)
	}
	if !slices.ContainsFunc(problems, func(p problem.Problem) bool { return strings.HasSuffix(p.Cause, "; it fills C2:C9") }) {
		t.Errorf("%+v", problems)
	}
}

// Changes to the XML of a good workbook: what other programs write, and what damage looks like.
func TestSheetXML(t *testing.T) {
	good := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
	})
	sheet := func(rows string) map[string]string {
		return map[string]string{"xl/worksheets/sheet1.xml": `<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` +
			`<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c><c r="B1" t="str"><v>Journaling</v></c><c r="C1" t="inlineStr"><is><t>Space</t></is></c></row>` + rows}
	}
	const end = `</sheetData></worksheet>`
	cells := func(space string) string {
		return `<row r="2"><c r="A2" t="str"><v>Pim</v></c><c r="B2" t="str"><v>` + intaketest.Story + `</v></c>` + space + `</row>` + end
	}
	for name, c := range map[string]struct {
		parts map[string]string
		want  string
	}{
		"inline strings": {sheet(cells(`<c r="C2" t="inlineStr"><is><t>4 x 2</t></is></c>`)), ""},
		"no addresses":   {sheet(`<row><c t="str"><v>Pim</v></c><c t="str"><v>` + intaketest.Story + `</v></c><c t="str"><v>4 x 2</v></c></row>` + end), ""},
		"escapes":        {sheet(cells(`<c r="C2" t="str"><v>4 _x0078_ 2_x000D_</v></c>`)), ""},
		"reading":        {sheet(cells(`<c r="C2" t="inlineStr"><is><t>4 x 2</t><rPh sb="0" eb="1"><t>four</t></rPh></is></c>`)), ""},
		"iso date": {sheet(cells(`<c r="C2" t="d"><v>2026-04-02T00:00:00</v></c>`)),
			"error a.xlsx/Sheet1 2 C2: the space became a date: 2 April 2026"},
		"lost string": {sheet(cells(`<c r="C2" t="s"><v>99999</v></c>`)),
			"error a.xlsx/Sheet1 2 C2: a letter of the text was lost and shows as �"},
		"error value":     {sheet(cells(`<c r="C2" t="e"><v>#REF!</v></c>`)), "error a.xlsx/Sheet1 2 C2: the cell shows the error #REF!"},
		"cut in a cell":   {sheet(`<row r="2"><c r="A2" t="str"><v>Pi`), "error a.xlsx: the workbook is damaged"},
		"cut after a row": {sheet(`<row r="2"></row>`), "error a.xlsx: the workbook is damaged"},
		"no sheet data":   {map[string]string{"xl/worksheets/sheet1.xml": ""}, "error a.xlsx: the workbook is damaged"},
		"rows twice": {sheet(`<row r="9"><c r="A9"><v>1</v></c></row><row r="2"><c r="A2"><v>1</v></c></row>` + end),
			"error a.xlsx: the workbook is damaged"},
		"beyond the edge": {sheet(`<row r="2"><c r="ZZZ2"><v>1</v></c></row>` + end), "error a.xlsx: the workbook is damaged"},
		"no sheets":       {map[string]string{"xl/workbook.xml": `<workbook/>`}, "error a.xlsx: the workbook is damaged"},
		"broken styles":   {map[string]string{"xl/styles.xml": `<styleSheet><cellXfs><xf fontId="77" fillId="9" borderId="8" applyFont="1" applyFill="1"/></cellXfs></styleSheet>`}, "error a.xlsx: the workbook is damaged"},
		"no rels":         {map[string]string{"xl/_rels/workbook.xml.rels": "<"}, "error a.xlsx: the workbook is damaged"},
	} {
		job, problems := read(t, "a.xlsx", intaketest.Repack(t, good, c.parts))
		got := strings.TrimSuffix(intaketest.Say(problems), "\n")
		if got != c.want {
			t.Errorf("%s: got %s, want %s", name, got, c.want)
		}
		if c.want == "" && (len(job.Blocks) != 1 || job.Blocks[0].Space != (measure.Size{W: 4 * measure.Inch, H: 2 * measure.Inch})) {
			t.Errorf("%s: %+v", name, job.Blocks)
		}
	}
}

// Hostile workbooks are refused, quickly and in little memory; the limits are the ones that the whole command promises.
func TestHostileWorkbooks(t *testing.T) {
	good := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
	})
	const start = `<worksheet><sheetData>`
	million := func(row string, n int) string {
		var b strings.Builder
		b.WriteString(start)
		for i := range n {
			fmt.Fprintf(&b, row, i+1)
		}
		b.WriteString(`</sheetData></worksheet>`)
		return b.String()
	}
	for name, c := range map[string]struct {
		part, xml string
		want      string
	}{
		"a million rows": {"xl/worksheets/sheet1.xml", million(`<row r="%d"><c><v>1</v></c></row>`, 1_000_000/intaketest.Raced),
			"error a.xlsx: the table has more than 50000 rows, or far too many cells\n"},
		"half a million cells": {"xl/worksheets/sheet1.xml", million(`<row r="%d">`+strings.Repeat(`<c><v>1</v></c>`, 11)+`</row>`, 45_000),
			"error a.xlsx: the workbook unpacks to far more than a table of journaling needs\n"},
		"a long row": {"xl/worksheets/sheet1.xml", start + `<row r="1">` + strings.Repeat(`<c><v>1</v></c>`,
			20_000) + `</row></sheetData></worksheet>`, "error a.xlsx: the workbook is damaged\n"},
		"a 200 MB sheet": {"xl/worksheets/sheet1.xml", start + strings.Repeat(" ", 200<<20),
			"error a.xlsx: the workbook unpacks to far more than a table of journaling needs\n"},
		"nothing but tags": {"xl/worksheets/sheet1.xml", start + strings.Repeat("<a/>", 5<<20/intaketest.Raced),
			"error a.xlsx: the workbook is damaged\n"},
		"deep tags": {"xl/worksheets/sheet1.xml", start + strings.Repeat("<a>", 5<<20/intaketest.Raced),
			"error a.xlsx: the workbook is damaged\n"},
		"many styles": {"xl/styles.xml", `<styleSheet><cellXfs>` + strings.Repeat("<xf/>",
			2<<20) + `</cellXfs></styleSheet>`, "error a.xlsx: the workbook unpacks to far more than a table of journaling needs\n"},
		"an entity": {"xl/worksheets/sheet1.xml",
			`<!DOCTYPE a [<!ENTITY b "bbbbbbbb">]>` + start + `<row><c t="str"><v>&b;</v></c></row></sheetData></worksheet>`,
			"error a.xlsx: the workbook is damaged\n"},
	} {
		data := intaketest.Repack(t, good, map[string]string{c.part: c.xml})
		c.xml = ""
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		began := intaketest.Processor()
		_, problems := read(t, "a.xlsx", data)
		took := intaketest.Processor() - began
		runtime.ReadMemStats(&after)
		if got := intaketest.Say(problems); got != c.want {
			t.Errorf("%s: got %s", name, got)
		}
		// Live memory cannot exceed what was taken from the system.
		if grown := int64(after.HeapSys-before.HeapSys) >> 20; took > intaketest.Raced*5*time.Second || grown > 300 {
			t.Errorf("%s: %v, %d MB more", name, took, grown)
		}
	}
}

// A workbook damaged by chance, in its bytes or in the XML of a part, gives all of its rows or says that something is
// wrong: never a shorter job without a word.
func TestDamage(t *testing.T) {
	good := intaketest.Saved(t, func(f *excelize.File) {
		list := [][]any{append(append([]any{}, intaketest.Head...), "Stock", "When")}
		for i := range 12 {
			list = append(list, []any{"Pim", fmt.Sprintf("%s %d", intaketest.Story, i), 4.5, "2 1/2", "cardstock", 46114 + i})
		}
		intaketest.Put(t, f, "Sheet1", list...)
	})
	z, err := zip.NewReader(strings.NewReader(good), int64(len(good)))
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	parts := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		raw, _ := io.ReadAll(r)
		names, parts[f.Name] = append(names, f.Name), string(raw)
	}
	rnd := rand.New(rand.NewSource(5))
	for i := range 600 / intaketest.Raced {
		name := names[rnd.Intn(len(names))]
		switch i % 4 {
		case 0:
			name = "xl/worksheets/sheet1.xml"
		case 1:
			name = ""
		}
		whole := good
		if name != "" {
			whole = parts[name]
		}
		at := rnd.Intn(len(whole) - 1)
		var spoilt string
		switch rnd.Intn(4) {
		case 0:
			spoilt = whole[:at] + whole[min(len(whole), at+1+rnd.Intn(3)):]
		case 1:
			spoilt = whole[:at] + string(rune(rnd.Intn(128))) + whole[at+1:]
		case 2:
			spoilt = whole[:at] + whole[min(len(whole), at+rnd.Intn(400)):]
		case 3:
			spoilt = whole[:at]
		}
		if name != "" {
			spoilt = intaketest.Repack(t, good, map[string]string{name: spoilt})
		}
		if job, problems := read(t, "a.xlsx", spoilt); len(job.Blocks) != 12 && len(problems) == 0 {
			t.Errorf("case %d, %s at %d: %d blocks and not a word", i, name, at, len(job.Blocks))
		}
	}
}

// The measures of a table that was typed by hand, as they stand in text: those that a person meant as a measure are one.
func TestTypedMeasures(t *testing.T) {
	for text, want := range map[string]string{"4 1/2": "4 1/2 in", "3-1/8": "3 1/8 in", "9,5": "9 1/2 in", "9.5 cm": "95 mm",
		`3-1/8"`: "3 1/8 in", "4½": "4 1/2 in", "0 3/4": "3/4 in", "2 3/8": "2 3/8 in", "13/16": "13/16 in"} {
		got, err := measure.Parse(text, measure.In)
		if w, _ := measure.Parse(want, measure.In); err != nil || got != w {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
}

// A heading of blanks is none, nor is one that is a formula without a result: what stands below is told.
func TestHeadingsOfNothing(t *testing.T) {
	const long = "We rowed out to the island before breakfast, and nobody had thought of the bread."
	for _, heading := range []string{" ", "\u00a0", "\u3000", "\u2060", " \n ", "=", "=NOSUCH(1)"} {
		for _, text := range []string{long, "clear sticker"} {
			data := intaketest.Saved(t, func(f *excelize.File) {
				intaketest.Put(t, f, "Sheet1", append(slices.Clone(intaketest.Head), nil), []any{"Pim", intaketest.Story, 4, 2, text})
				if formula, is := strings.CutPrefix(heading, "="); is {
					if err := f.SetCellFormula("Sheet1", "E1", cmp.Or(formula, `LEFT("Stock",5)`)); err != nil {
						t.Fatal(err)
					}
				} else if err := f.SetCellStr("Sheet1", "E1", heading); err != nil {
					t.Fatal(err)
				}
			})
			_, problems := read(t, "a.xlsx", data)
			said := intaketest.Say(problems)
			want := []string{"note a.xlsx/Sheet1: cells without a heading were not read: E2\n"}
			if text == long {
				want = []string{"error a.xlsx/Sheet1 2 E2: a text stands where there is no heading: "}
			}
			if heading[0] == '=' {
				want = append(want, "error a.xlsx/Sheet1 1 E1: the heading in E1 is a formula without a result\n")
			}
			for _, w := range want {
				if !strings.Contains(said, w) {
					t.Errorf("%q above %.20s: %q lacks %q", heading, text, said, w)
				}
			}
		}
	}
}
