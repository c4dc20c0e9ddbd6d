package intake

import (
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestOddFractions: what nobody reads off a ruler is asked about, in words that name what it may have been.
func TestOddFractions(t *testing.T) {
	for typed, want := range map[string]string{
		"4 / 2": "may be a size or a fraction", "4 /2": "may be a size or a fraction", "4 1/22": "on no ruler", "4 4/4": "fraction of one or more", "3 9/8": "fraction of one or more",
		"4 1/2": "", "4-1/2": "", "1/3": "", "4 3/16": "", "4 1 / 2": "", "3/2": "",
	} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height\nAda Lind,In May,"+typed+",2\n")
		if want == "" && len(job.Blocks) != 1 || want != "" && (len(job.Held) != 1 || !strings.Contains(said, want)) {
			t.Errorf("%s: %s", typed, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nAda Lind,In May,4 1/22 x 2\n"); len(job.Held) != 1 {
		t.Error(said)
	}
}

// TestOddlyMuch: a fraction of one or more, which may have lost its space, is told wherever it stands.
func TestOddlyMuch(t *testing.T) {
	for typed, want := range map[string]bool{`11/2"`: true, "11/2 in": true, "13/4 inches": true, "21/2 wide": true, "11⁄2": true, "11/2": true, "1/2": false, "1 1/2": false, "4-1/2 in": false, "1/2 in": false, "3.5": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height\nAda Lind,In May,\""+strings.ReplaceAll(typed, `"`, `""`)+"\",2\n")
		if got := strings.Contains(said, "is read as"); got != want {
			t.Errorf("%s: told %t %s", typed, got, said)
		}
	}
	for typed, want := range map[string]bool{"11/2": true, "top 1/2 left 11/2": true, "top 1/2 left 1/4": false, "none": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,Tuck\nAda Lind,In May,4,3,"+typed+"\n")
		if got := strings.Contains(said, "has a fraction of one or more"); got != want {
			t.Errorf("%s: told %t %s", typed, got, said)
		}
	}
	for typed, want := range map[string]bool{"11/2 x 3": true, `11/2"" x 3""`: true, "4 1/2 x 11/4": true, "3 x 15/8 in": true, "4 1/2 x 1 1/4": false, "4 x 1/2": false, "4 1/2 in x 2 3/4 in": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nAda Lind,In May,\""+typed+"\"\n")
		if got := strings.Contains(said, "is read as"); got != want {
			t.Errorf("%s: told %t %s", typed, got, said)
		}
	}
}

// TestOwnUnit: who measures in centimetres reads centimetres.
func TestOwnUnit(t *testing.T) {
	for heading, want := range map[string]measure.Unit{"Width (cm),Height (cm)": measure.Cm, "Width,Height": measure.In} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,"+heading+"\nAda Lind,In May,5,3\nAda Lind,In May,50 mm,30 mm\nAda Lind,In May,90,3\n")
		if len(job.Blocks) != 2 || job.Blocks[0].Unit != want || job.Blocks[1].Unit != measure.Mm {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
		if big := "the space 90 x 3 " + want.String(); !strings.Contains(said, big) {
			t.Errorf("%s\n%s", big, said)
		}
	}
}

// TestUnitInHeadings: a heading says its unit wherever in it that stands, in which ways people write it; what names two units, or only one that is not
// meant, leaves a bare number open, and each such row is held.
func TestUnitInHeadings(t *testing.T) {
	for heading, want := range map[string]string{
		"Width (cm only)": "cm", "Width (in cm, please)": "cm", "Width (cm, e.g. 10.5)": "cm", "Width (cm) of the space": "cm", "How many cm wide?": "cm", "Width_mm": "mm", "Width—mm": "mm",
		"Width (mm, like 114)": "mm", "Width (cm, NOT inches!)": "cm", "Width (inches, not mm or cm)": "in", "Width cm (no inches)": "cm", "Width (cm, to the nearest mm)": "cm", "Width (to nearest mm)": "mm",
		"Width (in)": "in", "Width (in, to nearest 1/8)": "in", "Width (to the nearest 1/8 in)": "in", "Inches wide": "in", "Inches across": "in", "Centimetres wide": "cm", "Width (please fill in)": "", "Width of the space in the album": "", "Width": "",
		"Width (without the border), cm": "cm", "Width, not including the tuck (cm)": "cm", "Width of block no. 2 (cm)": "cm", "Width (not in cm but in mm)": "mm",
		"Width (centimters)": "cm", "Width (milimeters)": "mm", "Width (centemeters)": "cm", "Width (c.m.)": "cm", "Width (㎝)": "cm", "Width (ｃｍ)": "cm", "Width (см)": "cm", "Width [centim.]": "cm", "Width (centi)": "cm",
		"Breite (Zentimeter)": "cm", "Breite in Zentimetern": "cm", "Largeur (centimètres)": "cm", "Ancho (centímetros)": "cm", "Larghezza (centimetri)": "cm", "Width (inchs)": "in", "Width (millim.)": "mm",
		"Width (metric)": "?", "Width (m)": "?", "Width (metres)": "?", "Width (8ths)": "?", "Width (sixteenths)": "?", "Width (half inches)": "?", "Width (quarter in)": "?", "Width (in 1/8)": "?", "Width (in tenths)": "?",
		"Width (in rather than cm)": "?", "Width (in cm)": "cm", "Width <in>": "in", "Width of the space in the album (cm)": "cm",
		"Width (horizontal)": "", "Width (in, to the nearest 16ths)": "in",
		"Width (inches or cm)": "?", "Width (in/cm)": "?", "Width in / cm": "?", "Width (in) or (cm)": "?", "Width (not inches)": "?", "Width cm/inches": "?",
		"Width (cm or in)": "?", "Width cm or in": "?", "Width (cm and in)": "?", "Width (either cm or in)": "?", "Width (cm or in, say which)": "?", "Width in or cm": "?", "Width in in, avoid cm": "?", "How many in wide": "in",
	} {
		said := unitSaid(heading)
		unit, doubtful := said.unit, said.doubtful
		if got := unit; doubtful && want != "?" || !doubtful && got != want {
			t.Errorf("%s: %q %t, want %q", heading, unit, doubtful, want)
		}
		if f, u, _ := recognise(heading); f != asWidth || u != unit {
			t.Errorf("%s is %v in %q", heading, f, u)
		}
	}
	job, said := readTables(t, nil, "a.csv", "Name,Journaling,Width (inches or cm),Height (inches or cm)\nAda Lind,In May,5,3\nAda Lind,In May,50 mm,30 mm\nAda Lind,In May,4 in wide,3 in\n")
	if len(job.Blocks) != 2 || len(job.Held) != 1 || !strings.Contains(said, "it cannot be told in what unit “5” is") {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, nil, "a.csv", "All measures in cm\n\nName,Journaling,Width (in),Height (in),Tuck\nAda Lind,In May,5,3\nAda Lind,In May,5 cm,3 cm\n")
	if len(job.Blocks) != 1 || !strings.Contains(said, "it cannot be told in what unit “5” is") {
		t.Errorf("a line above says cm and the headings in: %v\n%s", job.Blocks, said)
	}
	for _, heading := range []string{"Space in cm (w x h)", "Dimensions in cm (width x height)", "Space (cm) w x h", "Space, cm (width x height)"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Journaling,\""+heading+"\"\nAda Lind,In May,5 x 3\n"); len(job.Blocks) != 1 || job.Blocks[0].Unit != measure.Cm {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	// What is told to be a width is measured in what its heading says, too.
	told := []config.Column{{Heading: "Opening (cm)", As: "Width"}, {Heading: "Centimetres down", As: "Height"}}
	job, said = readTables(t, told, "a.csv", "Name,Journaling,Opening (cm),Centimetres down\nAda Lind,In May,8,5\n")
	if len(job.Blocks) != 1 || job.Blocks[0].Space != (measure.Size{W: 8 * measure.Centimetre, H: 5 * measure.Centimetre}) {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	for _, line := range []string{"Please do not give measures in cm", "No measurements in cm", "Measurements not in cm"} {
		if job, said := readTables(t, nil, "a.csv", line+"\n\nName,Journaling,Width,Height\nAda Lind,In May,5,3\n"); len(job.Blocks) != 1 || job.Blocks[0].Unit != measure.In {
			t.Errorf("%s: %v\n%s", line, job.Blocks, said)
		}
	}
}

// TestUnitOfRow: a column Unit says in what the bare measures of each row are. What is no unit there, or says otherwise than the heading, leaves them open; a column of
// that name without a unit is none.
func TestUnitOfRow(t *testing.T) {
	for data, want := range map[string]string{
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,cm\n":                                                                                   "5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,\nBo Mu,In June,5,2,cm\n":                                                               "5 in x 2 in, 5 cm x 2 cm",
		"Name,Journaling,Space,Units (in/cm)\nAda Lind,In May,50 x 20,mm\nBo Mu,In June,5 x 2,inches\n":                                                 "50 mm x 20 mm, 5 in x 2 in",
		"Name,Journaling,Width,Height,in or cm?\nAda Lind,In May,5,2,in cm\n":                                                                           "5 cm x 2 cm",
		"Name,Journaling,Width,Height,cm or in?\nAda Lind,In May,5,2,cm\nBo Mu,In June,5,2,?\nCy Fox,In July,5 in,2 in,-\n":                             "5 cm x 2 cm, 5 in x 2 in",
		"Name,Journaling,Width,Height,Measured in\nAda Lind,In May,5,2 in,Centimetres\n":                                                                "1.968504 in x 2 in",
		"Name,Journaling,Width (in or cm),Height (in or cm),Unit\nAda Lind,In May,5,2,cm\n":                                                             "5 cm x 2 cm",
		"Name,Journaling,Width (cm),Height (cm),Unit\nAda Lind,In May,5,2,in\nBo Mu,In June,5,2,cm\n":                                                   "5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,ft\nBo Mu,In June,5,2,cm\n":                                                             "5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5 in,2 in,ft\nBo Mu,In June,5,2,cm\n":                                                       "5 in x 2 in, 5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,cm\nBo Mu,In June,5,2,\"\"\"\"\nCy Fox,In July,5,2,ditto\n":                             "5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,cm\nBo Mu,In June,5,2,\nCy Fox,In July,5 in,2 in,\n":                                    "5 cm x 2 cm, 5 in x 2 in",
		"Name,Journaling,Width,Height,Unit,Text 2,Width 2,Height 2,Unit 2\nAda Lind,In May,5,2,cm,More,3,2 in,in\nBo Mu,In June,5,2,,More of it,3,2,\n": "5 cm x 2 cm, 3 in x 2 in, 3 in x 2 in",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,in/cm\nBo Mu,In June,5,2,cm\n":                                                          "5 cm x 2 cm",
		"Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,Cabin 4\nBo Mu,In June,5,2,12\n":                                                        "5 in x 2 in, 5 in x 2 in",
		"Name,Journaling,Text 2,Width,Width 2,Height,Height 2,Unit\nAda Lind,In May,More,5,4,2,3,cm\n":                                                  "5 cm x 2 cm, 4 cm x 3 cm",
		"Name,Journaling,Width,Height,Tuck,Unit\nAda Lind,In May,5,2,top 1,cm\nBo Mu,In June,5,2,none,ft\n":                                             "5 cm x 2 cm",
	} {
		job, said := readTables(t, nil, "a.csv", data)
		var got []string
		for _, b := range job.Blocks {
			if b.Space.H == 2*measure.Inch { // Ada's height, which has its own unit
				b.Unit = measure.In
			}
			got = append(got, b.Space.W.Format(b.Unit)+" x "+b.Space.H.Format(b.Unit))
			if strings.Contains(data, "top 1") && b.Tuck != (measure.Sides{Top: measure.Centimetre}) {
				t.Errorf("%q: the tuck is %v", data, b.Tuck)
			}
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%q: %q, want %q\n%s", data, got, want, said)
		}
		if held := len(job.Held) > 0; held != strings.Contains(said, "it cannot be told in what unit") {
			t.Errorf("%q: %s", data, said)
		}
		in := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)
		for i, r := range in[0].Rows { // at a desk the unit stands beside each measure
			for _, c := range r.Cells {
				last := i == len(in[0].Rows)-1 && strings.HasSuffix(data, ",cm\n")
				_, plain := aUnit(c.Text)
				stays := !plain || strings.Contains(data, "2 in,Centimetres") // TestUnitStray
				if c.Heading == "Unit" && !stays || last && c.Heading == "Width" && !strings.HasSuffix(c.Text, " cm") {
					t.Errorf("%q: row %d is typed %v", data, i, r.Cells)
				}
			}
		}
	}
	for _, column := range []string{"Width (in or cm)", "Tuck (in or cm)", "Inset (in or cm)"} {
		rest := ",Width,Height\nAda Lind,In May,1/2,4 in,2 in\n"
		if strings.HasPrefix(column, "Width") {
			rest = "\nAda Lind,In May,4 x 2\n"
		}
		if job, said := readTables(t, nil, "a.csv", "Name,Journaling,"+column+rest); len(job.Held) != 1 || !strings.Contains(said, "it cannot be told in what unit") {
			t.Errorf("%s: %v %s", column, job.Blocks, said)
		}
	}
	for data, held := range map[string]int{"Width,Height\nAda Lind,In May,5 ?,2\n": 1, "Space\nAda Lind,In May,5 x 2 ?\n": 1, "Width,Height,Tuck\nAda Lind,In May,5,3,1 ?\n": 1, "Width,Height,Inset\nAda Lind,In May,5,3,1/4 ?\n": 1} { // as a desk types it
		if job, said := readTables(t, nil, "a.csv", "Name,Journaling,"+data); len(job.Held) != held || !strings.Contains(said, "it cannot be told in what unit") || strings.Contains(said, "is no ") || strings.Contains(said, "is not a ") {
			t.Errorf("%q: %s", data, said)
		}
	}
	for _, list := range []string{"Stock,Width,Height,Count\n,cm,cm,\nvellum,20,10,3\n", "Stock,Size,Count\nAll measures in cm,,\nvellum,20 x 10,3\n", "Stock,Width,Height,Count\nvellum,20,10,3\nAll measures in cm\n"} {
		if got, problems := ReadPaper(intaketest.Write(t, "paper.csv", list)[0], intaketest.Home()); len(got) > 0 || !strings.Contains(intaketest.Say(problems), "it cannot be told in what unit") {
			t.Errorf("%q: %v %s", list, got, intaketest.Say(problems))
		}
	}
	paper, problems := ReadPaper(intaketest.Write(t, "paper.csv", "Stock,Width,Height,Unit,Count\nvellum,20,10,cm,3\ncardstock,8,5,in,2\n,8,5,in,1\n")[0], intaketest.Home())
	if len(paper) != 3 || paper[0].Size.W != 20*measure.Centimetre || paper[1].Size.W != 8*measure.Inch || !strings.Contains(intaketest.Say(problems), "the row names no stock and is taken for “vellum”") {
		t.Errorf("%v %s", paper, intaketest.Say(problems))
	}
}

// TestUnitWithin: what says a unit within a table, a line, a row of units or headings once more, is not read past: bare numbers below it are asked about.
func TestUnitWithin(t *testing.T) {
	const top, row = "Name,Journaling,Width,Height\n", "Ada Lind,In May,5,3\n"
	for data, want := range map[string]int{ // blocks
		"All measures in cm\n" + top + row + "All measures in inches\n" + top + "Bo Mu,In June,4,3\nCy Fox,In July,4 in,3 in\n":    2,
		"All measures in cm\n" + top + row + "All measures in inches\nBo Mu,In June,4,3\nAll measures in cm\nCy Fox,In July,4,3\n": 2,
		"All measures in cm\n" + top + row + "All measures in cm\n" + top + "Bo Mu,In June,4,3\n":                                  2,
		top + ",,cm,cm\n" + row:            0,
		top + ",,in,in\n" + row:            1,
		top + "Bo Mu,In June,cm,3\n" + row: 1, top + row + "All measures in cm\n": 0, top + row + "All measures in inches\n": 1, top + ",,in cm,(cm only)\n" + row: 0, "Name,Journaling,Width,Height,Tuck\n,,cm,cm,\nAda Lind,In May,5 in,3 in,1\nBo Mu,In June,5 in,3 in,none\n": 1,
		"Name,Page,Journaling,Width,Height\n,All measures in cm\nAda Lind,,In May,5,3\n":                                    0,
		"Name,Journaling,Width,Height,Note,Kind\n,,,,All measures in cm\nAda Lind,In May,5,3\n":                             0,
		"Name,Journaling,Width,Height,Note,Kind\n,,,,,All measures in cm\nAda Lind,In May,5,3\n":                            0,
		"Name,Page,Journaling,Width,Height\nUnits,,,cm,cm\nAda Lind,,In May,5,3\n":                                          0,
		"Name,Page,Journaling,Width,Height\n(first and last),,(max. 60 words),(cm),(cm)\nAda Lind,,In May,5,3\n":            0,
		"Name,Journaling,Width,Height\nUnits,,in,in\nAda Lind,In May,5,3\n":                                                 1,
		"Name,Journaling,Width,Height,Tuck\n,,,,cm\nAda Lind,In May,5 in,3 in,1\n":                                          0,
		"Name,Journaling,Width,Height,Unit\n,,,,cm\nAda Lind,In May,5,3\n":                                                  0,
		"Name,Text 1,Width 1,Height 1,Unit 1,Text 2,Width 2,Height 2\nBo Mu,,,,cm,In June,5 in,3 in\nAda Lind,In May,5,3\n": 1,
		top + row + ",,(cm),(cm)\nBo Mu,In June,4,3\n":                                                                      1,
		"Name,Journaling,Space (w x h)\nAda Lind,In May,5 x 3\n\nName,Journaling,Space (h x w)\nBo Mu,In June,4 x 3\n":      1,
		"Name,Journaling,Space\nAda Lind,In May,5 x 3\n\nName,Journaling,Space (cm or in)\nBo Mu,In June,4 x 3\n":           1,
		"Name,Journaling,Space (w x h)\nAda Lind,In May,5 x 3\n\nName,Journaling,Space (w x h)\nBo Mu,In June,4 x 3\n":      2,
	} {
		job, said := readTables(t, nil, "a.csv", data)
		if len(job.Blocks) != want {
			t.Errorf("%q: %d blocks, %s", data, len(job.Blocks), said)
		}
		asked := 0
		for _, sheet := range Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In) {
			for _, r := range sheet.Rows {
				for _, c := range r.Cells {
					if strings.HasSuffix(c.Text, unitAsked) {
						asked++
					}
				}
			}
		}
		if open := strings.Count(said, "it cannot be told in what unit"); open != asked {
			t.Errorf("%q: %d asked about, at a desk %d", data, open, asked)
		}
	}
}

// TestUnitWithinUnasked: so it is for columns that are only told to be measures at a desk, later, and for headings once more of which few are known.
func TestUnitWithinUnasked(t *testing.T) {
	const top = "Name,Journaling,Hole,Rim\n"
	for data, want := range map[string]string{ // of the last row
		top + ",,cm,cm\nBo Mu,In June,4 x 3,1\n":            "cm ?" + unitOfOthers,
		top + "All measures in cm\nBo Mu,In June,4 x 3,1\n": "cm ?" + unitOfOthers,
		"All measures in cm\n" + top + "Ada Lind,In May,5 x 3,1\nAll measures in inches\n" + top + "Bo Mu,In June,4 x 3,1\n": "in ?" + unitOfOthers,
		top + ",,in,in\nBo Mu,In June,4 x 3,1\n": "", top + "Bo Mu,In June,4 x 3,1\n": "",
	} {
		got, rows := "", Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0].Rows
		for _, c := range rows[len(rows)-1].Cells {
			if c.Heading == "Unit" {
				got = c.Text
			}
		}
		if got != want {
			t.Errorf("%q: the unit is typed %q, not %q", data, got, want)
		}
	}
	for heads, want := range map[[2]string]int{{"Hole (in)", "Hole (cm)"}: 1, {"Hole (w x h)", "Hole (h x w)"}: 1, {"Hole (in)", "Hole (in)"}: 2, {"Hole", "Hole (cm)"}: 1} {
		data := "Name,Journaling," + heads[0] + "\nAda Lind,In May,5 x 3\nName,Journaling," + heads[1] + "\nBo Mu,In June,4 x 3\n"
		job, said := readTables(t, []config.Column{{Heading: heads[0], As: "Space"}}, "a.csv", data)
		if len(job.Blocks) != want {
			t.Errorf("%v: %d blocks, %s", heads, len(job.Blocks), said)
		}
		rows := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0].Rows
		if len(rows) != want {
			t.Errorf("%v: typed as %v", heads, rows)
		}
	}
	swapped := "Name,Journaling,Left to right,Up and down\nAda Lind,In May,5,3\nName,Journaling,Up and down,Left to right\nBo Mu,In June,4,2\n"
	if rows := Typed([]*table.File{table.Parse("a.csv", []byte(swapped), KnownHeading)}, intaketest.Home(), measure.In)[0].Rows; len(rows) != 1 {
		t.Errorf("headings in another order: typed as %v", rows)
	}
	// A column that is told for one block alone is that block's.
	job, said := readTables(t, []config.Column{{Heading: "Banner 1", As: "Title"}}, "a.csv", "Name,Text 1,Width 1,Height 1,Banner 1,Text 2,Width 2,Height 2,Banner 2\nAda Lind,In May,5,3,Sun,In June,4,3,Rain\n")
	if len(job.Blocks) != 2 || job.Blocks[0].Title != "Sun" || job.Blocks[1].Title != "" {
		t.Errorf("%v %s", job.Blocks, said)
	}
}

// TestUnitStray: words below Unit that are no unit, and a unit there other than beside the measures, are told, and stay where the table is taken down.
func TestUnitStray(t *testing.T) {
	for cells, want := range map[string]string{
		"9 cm,5 cm,ask Sue": "the cell below “Unit” says “ask Sue”, which is no unit that is known", "9 cm,5 cm,in": "the cell below “Unit” says “in”, and “Width” is in cm", "9 cm,5 cm,cm": "", "9 cm,5 cm,\"\"\"\"": "", "9 cm,5 cm,-": "", "9,5,cm": "", "9,5,\"cm, but ask Sue\"": "it cannot be told in what unit",
	} {
		data := "Name,Journaling,Width,Height,Unit\nAda Lind,In May,5,2,cm\nBo Mu,In June," + cells + "\n"
		_, said := readTables(t, nil, "a.csv", data)
		if got := strings.Count(said, "the cell below “Unit” says"); want != "" && !strings.Contains(said, want) || got > 1 || got > 0 && want == "" {
			t.Errorf("%s: %s", cells, said)
		}
		in := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)
		if kept := slices.Contains(in[0].Columns, "Unit"); kept != (want != "") {
			t.Errorf("%s: typed as %v", cells, in[0])
		}
	}
	// What somebody types below Unit in a desk's workbook is heeded; what the desk has written there is not.
	s := intaketest.Home()
	for cells, want := range map[[3]string]string{
		{"9", "6", "cm"}: "it cannot be told in what unit", {"9 cm", "6 cm", "cm"}: "", {"9", "6", "in"}: "", {"9", "6", "cm" + unitOfOthers}: "", {"9 cm", "6 cm", "ask Sue"}: "no unit that is known", {"9", "6", "cm ?" + unitOfOthers}: "",
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width (in)", "Height (in)", "Unit", "Id"}, []any{"Cy Fox", "In July", cells[0], cells[1], cells[2], "a1"})
		})
		f := table.Parse("x-desk.xlsx", []byte(data), KnownHeading)
		f.Sheets[0].Desk = true
		_, problems := ReadTables([]*table.File{f}, s)
		if said := intaketest.Say(problems); want != "" && !strings.Contains(said, want) || want == "" && strings.Contains(said, "unit") {
			t.Errorf("%v: %s", cells, said)
		}
	}
}

// TestToldAtADesk: a column of a desk's workbook that the configuration tells of is read by its heading, and by the unit that the desk has written beside it.
func TestToldAtADesk(t *testing.T) {
	for _, c := range []struct{ heading, cell, unit, want string }{
		{"Hole (h x w)", "2 x 4", "", "4 in x 2 in"}, {"Hole", "9 x 5", "cm", ""}, {"Hole", "9 x 5", "cm" + unitOfOthers, ""}, {"Hole", "9 x 5", "cm ?" + unitOfOthers, ""}, {"Hole (cm)", "9 x 5", "", "9 cm x 5 cm"}, {"Hole (cm)", "9 x 5", "in" + unitOfOthers, "9 cm x 5 cm"},
		{"Hole", "9 x 5", "", "9 in x 5 in"}, {"Hole (cm or in)", "9 x 5", "", ""}, {"Hole", "9 x 5", "in", "9 in x 5 in"},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", c.heading, "Unit"}, []any{"Cy Fox", "In July", c.cell, c.unit})
		})
		f := table.Parse("x-desk.xlsx", []byte(data), KnownHeading)
		f.Sheets[0].Desk = true
		s := intaketest.Home()
		s.Columns = []config.Column{{Heading: c.heading, As: "Space"}}
		job, problems := ReadTables([]*table.File{f}, s)
		got := ""
		if len(job.Blocks) == 1 {
			u := measure.In
			if strings.Contains(c.want, "cm") {
				u = measure.Cm
			}
			got = job.Blocks[0].Space.W.Format(u) + " x " + job.Blocks[0].Space.H.Format(u)
		}
		if got != c.want {
			t.Errorf("%+v: %q, %s", c, got, intaketest.Say(problems))
		}
	}
}

// TestUnitOfFormat: what a number's format shows as its unit counts in a tuck and an inset as in a width.
func TestUnitOfFormat(t *testing.T) {
	for format, want := range map[string]bool{`0.0" Zoll"`: true, `0.0" cm"`: false, "0.00": false} {
		for _, heading := range []string{"Tuck", "Inset"} {
			data := intaketest.Saved(t, func(f *excelize.File) {
				intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", heading}, []any{"Ada Lind", "In May", 8, 5, 0.5})
				intaketest.Styled(t, f, "Sheet1", "E2", &excelize.Style{CustomNumFmt: &format})
			})
			if job, said := readTables(t, nil, "a.xlsx", data); len(job.Held) == 1 != want {
				t.Errorf("%s, %s: %s", heading, format, said)
			}
		}
	}
}

// TestUnitElsewhere: where the sheet's name, or the heading of a column that is not read, says a unit and no measure's heading does, a bare number is asked about.
func TestUnitElsewhere(t *testing.T) {
	for _, c := range []struct {
		sheet, width, more string
		held               int
	}{
		{"Measures in cm", "Width", "Note", 1}, {"cm", "Width", "Note", 1}, {"Ann (mm)", "Width", "Note", 1}, {"Day 1 in cm", "Width", "Note", 1}, {"Retreat 2026 in cm", "Width", "Note", 1}, {"Blocks of 5 in", "Width", "Note", 0}, {"Journaling", "Width", "All measures are in cm", 1}, {"Journaling", "Width", "Units: cm", 1},
		{"Measures in cm", "Width (cm)", "Note", 0}, {"Measures in inches", "Width", "Note", 0}, {"Journaling", "Width", "Photo sizes in cm", 0}, {"Journaling", "Width", "Who is in", 0}, {"Hotel rooms we are in", "Width", "Note", 0},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			if err := f.SetSheetName("Sheet1", c.sheet); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, c.sheet, []any{"Name", "Journaling", c.width, strings.Replace(c.width, "Width", "Height", 1), c.more}, []any{"Ada Lind", "In May", 8, 5}, []any{"Ada Lind", "In June", "8 cm", "5 cm"})
		})
		job, said := readTables(t, nil, "a.xlsx", data)
		if len(job.Held) != c.held || len(job.Blocks) != 2-c.held || c.held > 0 && !strings.Contains(said, "it cannot be told in what unit “8” is") {
			t.Errorf("%+v: %d blocks\n%s", c, len(job.Blocks), said)
		}
	}
}

// TestGuessedHeadings: a measure that may be the photo's, or the page's, is read where there is no other, and that is told; so is a column that a block
// can do without and that is found by one word of its heading.
func TestGuessedHeadings(t *testing.T) {
	for heading, told := range map[string]bool{"Photo width": true, "Width of the mat": true, "Width of the space on your page": false, "What is the width of your space?": false, "Width": false} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,"+heading+",Height\nAda Lind,In May,5,3\n")
		if got := strings.Contains(said, "is taken for Width |"); got != told || len(job.Blocks) != 1 {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
	for heading, told := range map[string]bool{"Width (photo)": true, "Width (of the page)": true, "Width (of the space)": false, "Width (w)": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,"+heading+",Height\nAda Lind,In May,5,3\n")
		if got := strings.Contains(said, "is taken for Width |"); got != told {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
	for heading, told := range map[string]bool{"Title (of the photo)": true, "Title (Mr/Mrs)": true, "Date (received)": true, "Who (typed it)": true, "Place (in line)": true, "Paper (paid?)": true, "Copies (of the photo)": true, "Title (optional)": false,
		"When (date)": false, "Who (names)": false, "Where (place or town)": false, "Copies (how many)": false, "Title (if any)": false, "Title": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,"+heading+"\nAda Lind,In May,5,3,\n")
		if got := strings.Contains(said, "“"+heading+"” is taken for "); got != told {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
	for heading, want := range map[string]string{"Photo title": "Title", "Tuck shop": "Tuck", "Ink pad": "Ink", "Photo copies": "Copies", "Title": "", "Title of the block": "", "Colour": ""} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,"+heading+"\nAda Lind,In May,5,3,\n")
		if got := strings.Contains(said, "“"+heading+"” is taken for "+want); got != (want != "") {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
}

// TestUnaskedUnit: a line above that says the unit does so for columns that are known; for others that is told.
func TestUnaskedUnit(t *testing.T) {
	for heading, want := range map[string]bool{"Left to right": true, "Left to right (cm)": false, "Shoe": false} {
		cell := "5"
		if heading == "Shoe" {
			cell = "brown"
		}
		_, said := readTables(t, nil, "a.csv", "All measures in cm\n\nName,Journaling,Width,Height,"+heading+"\nAda Lind,In May,5,3,"+cell+"\n")
		if got := strings.Contains(said, "holds for no column that is not known"); got != want {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
}

// TestStrangeUnit: a word in brackets behind a measure that may be a unit is told.
func TestStrangeUnit(t *testing.T) {
	for heading, want := range map[string]bool{"Width (ells)": true, "Width (lines)": true, "Width (visible)": false, "Width (w)": false, "Width (please)": false, "Width (cm)": false, "Width (of the space)": false, "Width (2)": false} {
		_, said := readTables(t, nil, "a.csv", "Name,Journaling,\""+heading+"\",Height\nAda Lind,In May,5,3 in\n")
		if got := strings.Contains(said, "what stands in brackets in the heading"); got != want {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
}

// TestMeasuredWithTuck: a measure that is said to have the tuck in it is told, for it is added.
func TestMeasuredWithTuck(t *testing.T) {
	for heading, want := range map[string]bool{"Width (with tuck)": true, "Width incl. the border": true, "Width including margin, in": true, "Width plus allowance": true,
		"Width (without tuck)": false, "Width, not including the tuck": false, "Width of the space with the photo": false, "Width": false} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,\""+heading+"\",Height\nAda Lind,In May,5,3\n")
		if got := strings.Contains(said, "is taken for the space that shows, without a tuck"); got != want || len(job.Blocks) != 1 {
			t.Errorf("%s: told %t\n%s", heading, got, said)
		}
	}
}

// TestHeightFirst: a heading, or a line above, that names the height first is read so, but for a cell that names its sides itself; a side in the other
// one's column is asked about.
func TestHeightFirst(t *testing.T) {
	for data, want := range map[string]string{
		"Name,Journaling,Dimensions (height x width)\nAda Lind,In May,5 x 2\n":                            "2 in x 5 in",
		"Name,Journaling,Space (H x W)\nAda Lind,In May,5 x 2\n":                                          "2 in x 5 in",
		"Name,Journaling,Height x Width\nAda Lind,In May,5 x 2\n":                                         "2 in x 5 in",
		"Name,Journaling,Space (tall by wide)\nAda Lind,In May,5 in x 2 in\n":                             "2 in x 5 in",
		"Measures are height x width in cm\n\nName,Journaling,Space\nAda Lind,In May,5 x 2\n":             "2 cm x 5 cm",
		"Name,Journaling,Space (H x W)\nAda Lind,In May,5 W x 2 H\n":                                      "5 in x 2 in",
		"Name,Journaling,Space (W x H)\nAda Lind,In May,5 x 2\n":                                          "5 in x 2 in",
		"Name,Journaling,Space (HxW)\nAda Lind,In May,5 x 2\n":                                            "2 in x 5 in",
		"Name,Journaling,Dimensions (HXW in cm)\nAda Lind,In May,5 x 2\n":                                 "2 cm x 5 cm",
		"Name,Journaling,Space (L x W)\nAda Lind,In May,5 x 2\n":                                          "2 in x 5 in",
		"Name,Journaling,Space (down x across)\nAda Lind,In May,5 x 2\n":                                  "2 in x 5 in",
		"Name,Journaling,Space (vertical x horizontal)\nAda Lind,In May,5 x 2\n":                          "2 in x 5 in",
		"Name,Journaling,Space (Höhe x Breite)\nAda Lind,In May,5 x 2\n":                                  "2 in x 5 in",
		"Name,Journaling,\"Space W x H (width x height)\"\nAda Lind,In May,5 x 2\n":                       "5 in x 2 in",
		"Name,Journaling,Width x Height (W x H)\nAda Lind,In May,5 x 2\n":                                 "5 in x 2 in",
		"Name,Journaling,\"Space (width x height, not height x width)\"\nAda Lind,In May,5 x 2\n":         "5 in x 2 in",
		"Name,Journaling,\"Dimensions (width by height, wide then high)\"\nAda Lind,In May,5 x 2\n":       "5 in x 2 in",
		"Name,Journaling,Space (WxH)\nAda Lind,In May,5 x 2\n":                                            "5 in x 2 in",
		"Name,Journaling,Space (height first)\nAda Lind,In May,5 x 2\n":                                   "2 in x 5 in",
		"Name,Journaling,Size (cm)\nAda Lind,In May,5 x 2\n":                                              "5 cm x 2 cm",
		"Name,Journaling,Size (HxW) cm\nAda Lind,In May,5 x 2\n":                                          "2 cm x 5 cm",
		"Name,Journaling,Size (pt)\nAda Lind,In May,5 x 2\n":                                              "",
		"Name,Journaling,Space (Ht. x Wd.)\nAda Lind,In May,5 x 2\n":                                      "2 in x 5 in",
		"Name,Journaling,Space (up x across)\nAda Lind,In May,5 x 2\n":                                    "2 in x 5 in",
		"Name,Journaling,Space (top to bottom x left to right)\nAda Lind,In May,5 x 2\n":                  "2 in x 5 in",
		"Name,Journaling,Dimensions (H x L)\nAda Lind,In May,5 x 2\n":                                     "2 in x 5 in",
		"Name,Journaling,Dimensions (L x H)\nAda Lind,In May,5 x 2\n":                                     "5 in x 2 in",
		"Name,Journaling,Space (höjd x bredd)\nAda Lind,In May,5 x 2\n":                                   "2 in x 5 in",
		"Name,Journaling,Space (altura x largura)\nAda Lind,In May,5 x 2\n":                               "2 in x 5 in",
		"Name,Journaling,Space (H/B)\nAda Lind,In May,5 x 2\n":                                            "2 in x 5 in",
		"Name,Journaling,\"Space, listed left to right (h x w)\"\nAda Lind,In May,5 x 2\n":                "2 in x 5 in",
		"Name,Journaling,\"Space, numbered from top to bottom (w x h)\"\nAda Lind,In May,5 x 2\n":         "5 in x 2 in",
		"Name,Journaling,\"Space (ht and wd)\"\nAda Lind,In May,5 x 2\n":                                  "2 in x 5 in",
		"Name,Journaling,\"Space (H and B)\"\nAda Lind,In May,5 x 2\n":                                    "2 in x 5 in",
		"Name,Journaling,\"Space (B and H)\"\nAda Lind,In May,5 x 2\n":                                    "5 in x 2 in",
		"Name,Journaling,\"Space (vertically and horizontally)\"\nAda Lind,In May,5 x 2\n":                "2 in x 5 in",
		"Name,Journaling,\"Space (ht × wd)\"\nAda Lind,In May,5 x 2\n":                                    "2 in x 5 in",
		"Name,Journaling,\"Space (hoch/breit)\"\nAda Lind,In May,5 x 2\n":                                 "2 in x 5 in",
		"Name,Journaling,\"Space (height x breadth)\"\nAda Lind,In May,5 x 2\n":                           "2 in x 5 in",
		"Name,Journaling,\"Space (breadth x height)\"\nAda Lind,In May,5 x 2\n":                           "5 in x 2 in",
		"Name,Journaling,\"Space depth by width\"\nAda Lind,In May,5 x 2\n":                               "2 in x 5 in",
		"Name,Journaling,\"Space (width x depth)\"\nAda Lind,In May,5 x 2\n":                              "5 in x 2 in",
		"Name,Journaling,\"Space (top/bottom x left/right)\"\nAda Lind,In May,5 x 2\n":                    "2 in x 5 in",
		"Name,Journaling,\"Space (rows x columns)\"\nAda Lind,In May,5 x 2\n":                             "2 in x 5 in",
		"Name,Journaling,\"Space (broad by deep)\"\nAda Lind,In May,5 x 2\n":                              "5 in x 2 in",
		"Name,Journaling,\"Space (rounded up, width x height)\"\nAda Lind,In May,5 x 2\n":                 "5 in x 2 in",
		"Name,Journaling,\"Space (rounded down, wide by high)\"\nAda Lind,In May,5 x 2\n":                 "5 in x 2 in",
		"Name,Journaling,\"Space (please write down width and height)\"\nAda Lind,In May,5 x 2\n":         "5 in x 2 in",
		"Name,Journaling,\"Space (left up width x height)\"\nAda Lind,In May,5 x 2\n":                     "5 in x 2 in",
		"Name,Journaling,\"Space (tall, wide)\"\nAda Lind,In May,5 x 2\n":                                 "2 in x 5 in",
		"Name,Journaling,\"Space (ht, wd)\"\nAda Lind,In May,5 x 2\n":                                     "2 in x 5 in",
		"Name,Journaling,\"Space (height/width)\"\nAda Lind,In May,5 x 2\n":                               "2 in x 5 in",
		"Name,Journaling,Space (not height first)\nAda Lind,In May,5 x 2\n":                               "5 in x 2 in",
		"Name,Journaling,\"Space of rows and columns, w x h\"\nAda Lind,In May,5 x 2\n":                   "5 in x 2 in",
		"Name,Journaling,Space (B x H)\nAda Lind,In May,5 x 2\n":                                          "5 in x 2 in",
		"Name,Journaling,Space (H x W)\nAda Lind,In May,A6\n":                                             "105 mm x 148 mm",
		"Name,Journaling,Width,Height\nAda Lind,In May,2 high,4 wide\n":                                   "",
		"Name,Journaling,Width (ft),Height (ft)\nAda Lind,In May,2,4\n":                                   "",
		"Name,Journaling,Width (tum),Height (tum)\nAda Lind,In May,2 in,4 in\n":                           "2 in x 4 in",
		"Photo sizes in cm,,,\nName,Journaling,Width,Height\nAda Lind,In May,5,2\n":                       "5 in x 2 in",
		"Name,Journaling,Width (cm),Height (cm)\nAda Lind,In May,5 wide,2 tall\n":                         "5 cm x 2 cm",
		"Name,Journaling,Width of the space (how high it is comes next),Height\nAda Lind,In May,5,2 in\n": "5 in x 2 in",
	} {
		job, said := readTables(t, nil, "a.csv", data)
		got := ""
		if len(job.Blocks) == 1 {
			s, u := job.Blocks[0].Space, job.Blocks[0].Unit
			if strings.Contains(want, "mm") {
				u = measure.Mm
			}
			got = s.W.Format(u) + " x " + s.H.Format(u)
		}
		if got != want {
			t.Errorf("%q: %q, want %q\n%s", data, got, want, said)
		}
	}
}
