package intake

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestUnitOfLine: a line above the headings that says in what all is measured holds, whatever manners stand behind; any other line that names a unit, above, within or
// below the table, leaves open what a bare number is in, and so does a unit right above the heading of a measure.
func TestUnitOfLine(t *testing.T) {
	const top, row, more = "Name,Journaling,Width,Height\n", "Ada Lind,In May,9,6\n", "Bo Mu,In June,9,6\n"
	for line, said := range map[string]string{
		"All measures in cm": "holds", "Sizes in cm please": "holds", "All measures in cm (not inches)": "holds", "Everything in cm": "holds", "All sizes in cm, not in inches. Thanks!": "holds",
		"Please give sizes in centimetres only": "holds", "Units: cm, please": "holds",
		"cm": "open", "(cm)": "open", "NB: cm": "open", "Day 1 (cm)": "open", "From here on in cm": "open", "Width and height in cm": "open", "Size in cm (W x H)": "open", "Group 2 (sizes in cm)": "open",
		"Please use cm!": "open", "The hall measured it in cm": "holds",
		"Day 1 (in)": "", "Width and height in inches": "", "Printed for 9 cm frames": "", "Ribbon of 5 cm": "", "Photo sizes in cm": "", "Not in cm": "", "No cm please": "", "All of us are in": "", "He said “cheese”": "", "Please fill in": "",
		"cm or inches": "open", "Sizes: in or cm": "open", "Units: in, cm": "open", "Please add the unit, in or cm": "open", "Write cm if you measure in cm": "open", "Did you measure in cm?": "open", "Don't measure in cm": "", "Last year all was in cm": "open",
		"Retreat 2026\nAll sizes in cm\nSend to Joan": "open", "Space on the page in cm": "open", "A crop of the cm stick": "", "Please do not give measures in cm": "", "Not all in cm": "",
		"Pages in cm": "open", "All sizes on this sheet in cm": "open", "This sheet is in cm": "open", "Measure the space on your page in cm": "open", "Card sizes in cm": "open", "Width and height of the space on the page, in cm": "open",
		"cm, no inches": "open", "No inches please, cm only": "open",
	} {
		quoted := `"` + strings.ReplaceAll(line, `"`, `""`) + `"`
		job, told := readTables(t, nil, "a.csv", quoted+"\n"+top+row+more)
		got := ""
		switch open := strings.Count(told, "it cannot be told in what unit"); {
		case open > 0 && len(job.Held) == 2:
			got = "open"
		case len(job.Blocks) == 2 && job.Blocks[0].Unit == measure.Cm:
			got = "holds"
		case len(job.Blocks) != 2:
			got = "else"
		}
		if got != said {
			t.Errorf("%s: above it is %q, not %q\n%s", line, got, said, told)
		}
		if said == "holds" {
			said = "open"
		}
		for _, data := range []string{top + row + quoted + "\n" + more, top + row + "," + quoted + "\n" + more} {
			job, told = readTables(t, nil, "a.csv", data)
			below := 0
			for _, h := range job.Held {
				if h.Owner == "Bo Mu" {
					below++
				}
			}
			asked := 0 // at a desk
			for _, r := range Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0].Rows {
				for _, c := range r.Cells {
					if strings.HasSuffix(c.Text, unitAsked) {
						asked++
					}
				}
			}
			if open := strings.Count(told, "it cannot be told in what unit"); open != asked {
				t.Errorf("%q: %d asked about, at a desk %d", data, open, asked)
			}
			if (below == 1) != (said == "open") || (strings.Count(told, "it cannot be told in what unit") > 0) != (said == "open") {
				t.Errorf("%q: %d held below, want %q\n%s", data, below, said, told)
			}
		}
	}
	for _, data := range []string{",,cm,cm\n" + top + row, ",,(cm),\n" + top + row, ",,\"Photo, cm\",\n" + top + row, ",,Photo (cm),\n" + top + row, ",\"Photo 1, cm\",,\n" + top + row, ",Photo 1 (cm),,,Photo 2 (cm),,\nName,Text 1,Width 1,Height 1,Text 2,Width 2,Height 2\nAda Lind,In May,9,6,In June,3,1\n", "Measures in,cm\n" + top + row} {
		if job, told := readTables(t, nil, "a.csv", data); len(job.Blocks) != 0 || !strings.Contains(told, "it cannot be told in what unit “9” is") {
			t.Errorf("%q: %d blocks\n%s", data, len(job.Blocks), told)
		}
	}
}

// TestUnitOfFileName: so it is where the file's name has it, as programs name a table that was saved from a workbook.
func TestUnitOfFileName(t *testing.T) {
	for name, open := range map[string]bool{"Retreat - Sizes in cm.csv": true, "retreat_cm.csv": true, "All in cm.csv": true, "Retreat - Sizes in inches.csv": false, "Paper in cm.csv": false, "retreat 12 cm.csv": false, "crop in.csv": false, "cmm.csv": false, "Joan CM.csv": false, "Joan CM (2).csv": false, "Joan CM (file 2 of this name).csv": false, "Sizes in cm (2).csv": true, "Retreat in (cm).csv": true, "sizes in or cm.csv": true} {
		job, told := readTables(t, nil, name, "Name,Journaling,Width,Height\nAda Lind,In May,9,6\n")
		if asked := strings.Contains(told, "it cannot be told in what unit “9” is"); asked != open || len(job.Blocks) == 1 == open {
			t.Errorf("%s: %d blocks\n%s", name, len(job.Blocks), told)
		}
		if job, told = readTables(t, nil, name, "Name,Journaling,Width (in),Height (in)\nAda Lind,In May,9,6\n"); len(job.Blocks) != 1 {
			t.Errorf("%s, headings with a unit: %s", name, told)
		}
	}
}

// TestUnitUnread: units in a column without a heading, or with one that no rule knows, leave bare numbers open, and so do most of the others where they are in one unit.
func TestUnitUnread(t *testing.T) {
	const top, row, cm, in = "Name,Journaling,Width,Height\n", "Bo Mu,In June,9,6\n", "Ada Lind,In May,9 cm,6 cm\n", "Ada Lind,In April,4 in,2 in\n"
	for data, open := range map[string]int{
		"Name,Journaling,Width,,Height\nAda Lind,In May,9,cm,6\nBo Mu,In June,9,cm,6\n":      2,
		"Name,Journaling,Width,Height,Einh.\nAda Lind,In May,9,6,cm\nBo Mu,In June,9,6,\n":   1,
		"Name,Journaling,Width,Height,M\nAda Lind,In May,9,6,inches\nBo Mu,In June,9,6,in\n": 0,
		"Name,Journaling,Width,Height,RSVP\nAda Lind,In May,9,6,in\nBo Mu,In June,9,6,out\n": 0,
		top + cm + cm + row: 1, top + cm + row + cm: 1, top + cm + row: 0, top + cm + cm + row + row: 0, top + cm + cm + in + row: 0, top + in + in + row: 0, top + cm + cm + in: 0,
		"Name,Journaling,Space\nAda Lind,In May,9 x 6 cm\nAda Lind,In July,9 x 6 cm\n" + "Bo Mu,In June,9 x 6\n": 1,
		"Name,Text 1,Width 1,Height 1,E 1,Text 2,Width 2,Height 2,E 2\nAda Lind,In May,9,6,cm,In June,4,2,in\n":  2,
		"Name,Journaling,Width,Height,,\nAda Lind,In May,9,6,,All sizes in cm\nBo Mu,In June,9,6,,\n":            2, "Name,Journaling,Width,cm,Height,cm\nAda Lind,In May,9,,6,\n": 1, "Name,Journaling,Width,Height,inches,cm\nAda Lind,In May,9,6,,x\n": 1,
		"Name,Journaling,Width,Height,cm please\nAda Lind,In May,9,6,\n": 1, "Name,Journaling,Width,Height,NB: cm\nAda Lind,In May,9,6,\n": 1, "Name,Journaling,Width,Height,in cm please\nAda Lind,In May,9,6,\n": 1, "Name,Journaling,Width,Height,Ribbon cm\nAda Lind,In May,9,6,\n": 0,
		"Name,Journaling,Width,Height,Typed by\nAda Lind,In May,9,6,CM\nBo Mu,In June,9,6,JK\n": 0, "Name,Journaling,Width,Height,Typed by\nAda Lind,In May,9,6,CM\nBo Mu,In June,9,6,CM\n": 0, "Name,Journaling,Width (in),Height (in),Country\nAda Lind,In May,9,6,PT\n": 0,
		"Name,Journaling,Width,Height\nA,In May,9 cm,6 cm\nB,In May,90 mm,60 mm\nC,In May,9,6\n":                                  1,
		"Name,Text 1,Width 1,Height 1,Which unit 1,Text 2,Width 2,Height 2,Which unit 2\nAda Lind,In May,9,6,cm,In June,4,2,in\n": 2,
		"Name (sizes in cm),Journaling,Width,Height\n" + row:                                                                      1, "Name,Journaling,Width,Height,Note (sizes are in cm!)\nAda Lind,In May,9,6,\n": 1, "Name,Journaling,Width,Height,Tuck (cm)\nAda Lind,In May,9,6,1\n": 1,
		"Name,Journaling,Width,Height,Tuck (in)\nAda Lind,In May,9,6,1\n": 0, "Name,Journaling,Width,Height,Ribbon (cm)\nAda Lind,In May,9,6,1\n": 0, "Name,Journaling,Width,Height,Text size (mm)\nAda Lind,In May,9,6,\n": 0,
		"Name,Journaling,Width (in),Height (in)\n" + cm + cm + row:                                                         0,
		"Name,Journaling,Width,Height,Tuck\nAda Lind,In May,9 cm,6 cm,1\nAda Lind,In July,9 cm,6 cm,1\nBo,In June,9,6,1\n": 1,
	} {
		job, told := readTables(t, nil, "a.csv", data)
		if len(job.Held) != open || strings.Contains(told, "it cannot be told in what unit") != (open > 0) {
			t.Errorf("%q: %d held, want %d\n%s", data, len(job.Held), open, told)
		}
	}
}

// TestUnitOfPaperList: what a list of paper says of its own measures is said of no other paper.
func TestUnitOfPaperList(t *testing.T) {
	const rows = "Stock,Width,Height,Count\nvellum,20,10,3\n"
	for name, data := range map[string]string{"My paper (cm).csv": rows, "Paper sizes in cm.csv": rows, "Paper in cm.csv": rows, "list.csv": "Paper sizes in cm\n" + rows} {
		if got, problems := ReadPaper(intaketest.Write(t, name, data)[0], intaketest.Home()); len(got) > 0 && got[0].Size.W != 20*measure.Centimetre || len(got) == 0 && !strings.Contains(intaketest.Say(problems), "it cannot be told in what unit") {
			t.Errorf("%s: %v %s", name, got, intaketest.Say(problems))
		}
	}
}

// TestInchesWhereCentimetres: lines that say inches are heeded where a number alone is in centimetres.
func TestInchesWhereCentimetres(t *testing.T) {
	for _, line := range []string{"Day 2: sizes in inches", "From here on in inches", "Day 2 (in inches)", "Width and height in inches", "Day 2 (inches)"} {
		s := intaketest.Home()
		s.Unit = measure.Cm
		job, problems := Read(intaketest.Write(t, "a.csv", "Name,Journaling,Width,Height\nAda Lind,In May,9,6\n"+line+"\nBo Mu,In June,4,3\n"), s)
		if len(job.Blocks) != 1 || !strings.Contains(intaketest.Say(problems), "it cannot be told in what unit “4” is") {
			t.Errorf("%s: %d blocks, %s", line, len(job.Blocks), intaketest.Say(problems))
		}
	}
}

// TestTuckInAnotherUnit: a bare space beside a tuck or an inset with another unit is told.
func TestTuckInAnotherUnit(t *testing.T) {
	for data, told := range map[string]bool{"Tuck\nAda Lind,In May,9,6,1 cm\n": true, "Inset\nAda Lind,In May,9,6,2 mm\n": true, "Tuck\nAda Lind,In May,9,6,1/2 in\n": false, "Tuck\nAda Lind,In May,9 in,6 in,1 cm\n": false} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,"+data)
		if strings.Contains(said, "“9” is read as in, though the ") != told || len(job.Blocks) != 1 {
			t.Errorf("%q: %s", data, said)
		}
	}
}
