package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
)

// TestUnitsAcross: a table that says no unit beside one that says another than the usual one is told; a list of paper beside such journaling is asked about.
func TestUnitsAcross(t *testing.T) {
	const bare, cm, in = "Name,Text,Width,Height\nBob,In May,8,5\n", "Name,Text,Width (cm),Height (cm)\nAnn,In June,8,5\n", "Name,Text,Width (in),Height\nEve,In June,8,5\n"
	for _, c := range []struct {
		files []string
		told  bool
	}{
		{[]string{bare, cm}, true}, {[]string{cm, bare, cm}, true}, {[]string{bare, in}, false}, {[]string{cm, in}, false}, {[]string{bare, bare}, false}, {[]string{cm, cm}, false},
		{[]string{bare, "Name,Text,Width,Height\nAnn,In June,8 cm,5 cm\n"}, true}, {[]string{bare, "Name,Text,Width,Height,Unit\nAnn,In June,8,5,cm\n"}, true}, {[]string{bare, "All sizes in cm\n,,,\nName,Text,Width,Height\nAnn,In June,8,5\n"}, true},
		{[]string{"Name,Text,Width,Height\nBob,In May,8 in,5 in\n", cm}, false},
		{[]string{bare, bare + "Cy,In July,4,3\nDi,In August,80 mm,50 mm\nEd,In March,4,3\n"}, false},
		{[]string{bare, "Stock,Width,Height,Count\nvellum,21 cm,29.7 cm,2\n"}, true}, {[]string{cm, "Stock,Width,Height,Count\nvellum,8.5,11,2\n"}, true},
	} {
		var files []string
		for i, data := range c.files {
			files = append(files, string('a'+rune(i))+".csv", data)
		}
		job, said := readTables(t, nil, files...)
		if got := strings.Contains(said, "a number without a unit is read in in here, though "); got != c.told || len(job.Blocks) == 0 {
			t.Errorf("%q: %d blocks\n%s", c.files, len(job.Blocks), said)
		}
	}
	for heading, open := range map[string]bool{"Width": true, "Width (in)": false, "Width (cm)": false} {
		job, problems := Read(intaketest.Write(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Text", "Width (cm)", "Height (cm)"}, []any{"Ann", "In May", 8, 5})
			intaketest.Put(t, f, "Paper", []any{"Stock", heading, strings.Replace(heading, "Width", "Height", 1), "Count"}, []any{"vellum", 10, 15, 2})
		})), intaketest.Home())
		if said := intaketest.Say(problems); strings.Contains(said, "it cannot be told in what unit “10” is") != open || len(job.Paper) == 1 == open {
			t.Errorf("%s: %v\n%s", heading, job.Paper, said)
		}
	}
	if job, problems := Read(intaketest.Write(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Text", "Width (cm)", "Height (cm)"}, []any{"Ann", "In May", 8, 5})
		intaketest.Put(t, f, "Paper", []any{"Stock", "Size", "Count"}, []any{"vellum", "A4", 2})
	})), intaketest.Home()); len(job.Paper) != 1 || problems.Errors() > 0 {
		t.Errorf("A4: %v\n%s", job.Paper, intaketest.Say(problems))
	}
	// In one column.
	const half = "Name,Text,Space\nAnn,In May,8x5 cm\nBo,In June,8x5\nCy,In July,8x5 cm\n"
	if job, said := readTables(t, nil, "a.csv", half+"Di,In May,8x5\nEd,At noon,8x5\n"); len(job.Blocks) != 5 || !strings.Contains(said, "a number without a unit is read in in here, though others are in cm, as in C2") {
		t.Error(said)
	}
	// A list of its own.
	job, _ := readTables(t, nil, "a.csv", cm)
	for data, want := range map[string]bool{"Stock,Width,Height,Count\nvellum,10,15,2\n": true, "Stock,Width (in),Height (in),Count\nvellum,10,15,2\n": false} {
		list, _ := ReadPaper(intaketest.Write(t, "p.csv", data)[0], intaketest.Home())
		if _, told := job.WithList(list, measure.In); strings.Contains(intaketest.Say(told), "though most of the spaces are in another unit") != want {
			t.Errorf("%q: %s", data, intaketest.Say(told))
		}
	}
	// One per table, however many there are, and soon.
	rows := "Name"
	for i := 1; i <= 99; i++ {
		rows += fmt.Sprintf(",Text %d,Width %d,Height %d", i, i, i)
	}
	rows += "\n"
	for range 100 {
		rows += "Ann" + strings.Repeat(",In May,3,2", 98) + ",In May,3 cm,2 cm\n"
	}
	if _, said := readTables(t, nil, "a.csv", rows); strings.Count(said, "another block of the row is in cm: C2:D101, F2:G101") != 1 {
		t.Error(said)
	}
	// Within a row.
	for data, want := range map[string]string{
		"Name,Text 1,Space 1,Text 2,Space 2\nAnn,In May,8x5 cm,In June,8x5\n":                                "E2",
		"Name,Text 1,Space 1,Text 2,Space 2\nAnn,In May,8x5 cm,In June,8x5 cm\n":                             "",
		"Name,Text 1,Width 1,Height 1,Text 2,Width 2,Height 2,Unit 1\nAnn,In May,8,5,In June,8,5,cm\n":       "F2:G2",
		"Name,Text 1,Width 1 (cm),Height 1 (cm),Text 2,Width 2,Height 2\nAnn,In May,8,5,In June,8,5\n":       "",
		"Name,Text 1,Width 1,Height 1,Text 2,Width 2,Height 2\nAnn,In May,8 cm,5 cm,In June,8,5\n":           "F2:G2",
		"Name,Text 1,Text 2,Width,Height,Unit 1,Unit 2\nAnn,In May,In June,8,5,cm,cm\n":                      "",
		"Name,Text 1,Space 1,Unit 1,Text 2,Space 2,Unit 2\nAnn,In May,8x5,cm,In June,8x5,cm\n":               "",
		"Name,Text 1,Space 1,Text 2,Space 2\nAnn,In May,8x5 in,In June,8x5\nAnn,In July,8x5,In August,8x5\n": "",
	} {
		job, said := readTables(t, nil, "a.csv", data)
		if got := strings.Contains(said, "numbers without a unit are read in in, though another block of the row is in cm: "+want+" |"); got != (want != "") || len(job.Blocks) < 2 || strings.Contains(said, "another block") != got {
			t.Errorf("%q: %d blocks\n%s", data, len(job.Blocks), said)
		}
	}
}
