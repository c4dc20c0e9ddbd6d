package intake

import (
	"fmt"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestSameAsAbove: what says the same as above, in whichever of the columns of names and of single lines, is what stands above, and that is told; where
// nothing does, the row is held. What says nothing is nothing. No such word is printed.
func TestSameAsAbove(t *testing.T) {
	const plain = "Name,Surname,Journaling,Width,Height,Title,Where,When\nAda,Lind,In May,5,3,Gulls,The quay,June\n"
	for row, want := range map[string]string{
		"ditto,,In June,5,3,,,":                                 "Ada Lind||",
		"\"\"\"\",\"\"\"\",In June,5,3,,,":                      "Ada Lind||",
		"do,do,In June,5,3,,,":                                  "Ada Lind||",
		",ditto,In June,5,3,,,":                                 "Ada Lind||",
		"Bo,ditto,In June,5,3,,,":                               "Bo Lind||",
		"ditto,Fox,In June,5,3,,,":                              "Ada Fox||",
		"Bo,,In June,5,3,ditto,\"\"\"\",same":                   "Bo|Gulls|The quay · June",
		"Bo,,In June,5,3,n/a,-,none":                            "Bo||",
		"Bo,,In June,5,3,-,The quay,No date":                    "Bo||The quay",
		"Bo,,In June,5,3,NA,n / a,…":                            "Bo||",
		"Bo,,In June,5,3,unknown,(blank),nobody":                "Bo||",
		"Na,,In June,5,3,,x,No":                                 "Na||",
		"Bo,,In June,5,3,as row above,\"\"\" \"\"\",same again": "Bo|Gulls|The quay · June",
		"Bo,-,In June,5,3,,,":                                   "Bo||",
		"Bo,n/a,In June,5,3,,,":                                 "Bo||",
		"same person,,In June,5,3,,,":                           "Ada Lind||",
		"””,,In June,5,3,,,":                                    "Ada Lind||",
		"unknown,,In June,5,3,,,":                               "held: the name is missing",
		"NA,,In June,5,3,,,":                                    "held: the name is missing",
		"TBD,-,In June,5,3,,,":                                  "held: the name is missing",
		"Total,,12,5,3,,,":                                      "held: the row of “Total” looks like the sum of a table",
		"Total,,12 blocks,5,3,,,":                               "held: the row of “Total” looks like the sum of a table",
		"TOTAL (12),,two,5,3,,,":                                "held: the row of “TOTAL (12)” looks like the sum of a table",
		"Ada total,,12,5,3,,,":                                  "held: the row of “Ada total” looks like the sum of a table",
		"No. of blocks,,12,5,3,,,":                              "held: the row of “No. of blocks” looks like the sum of a table",
		"Tina Sum,,12,5,3,,,":                                   "Tina Sum||",
		"The Blocks family,,Seven,5,3,,,":                       "The Blocks family||",
		"Max,,12,5,3,,,":                                        "Max||",
		"Total,,In all we swam twelve times,5,3,,,":             "Total||",
		"-,,In June,5,3,,,":                                     "held: the name is missing",
		"Bo,,ditto,5,3,,,":                                      "held: there is no text but “ditto”",
		"Bo,,x,5,3,,,":                                          "Bo||",
		"Bo,,Unknown,5,3,,,":                                    "Bo||",
		"Bo,,-,5,3,,,":                                          "held: there is no text but “-”",
		"Bo,,Same here as on the quay,5,3,,,":                   "Bo||",
		"Bo,,None of us swam,5,3,Nothing new,,":                 "Bo|Nothing new|",
	} {
		job, said := readTables(t, nil, "a.csv", plain+row+"\n")
		got := ""
		if len(job.Blocks) == 2 {
			b := job.Blocks[1]
			got = b.Owner + "|" + b.Title + "|" + b.End
		} else if len(job.Held) == 1 {
			got = "held: " + job.Held[0].Why
		}
		if got != want {
			t.Errorf("%s: %q, want %q\n%s", row, got, want, said)
		}
	}
	// What the first row takes from above is told to be missing, whatever it is.
	job, said := readTables(t, nil, "a.csv", "Name,Journaling,Width,Height,Where\nditto,In May,5,3,\nAda,In June,5,3,ditto\n")
	if len(job.Held) != 2 || !strings.Contains(said, "the name is missing") || !strings.Contains(said, "nothing stands above it") {
		t.Errorf("%v\n%s", job.Held, said)
	}
}

// What says "the same" below a cell that could not be read, or says nothing, takes nothing from further up: the row is held, or has nothing there. So it is in what is written
// of the table for a desk, too.
func TestSameAsUnread(t *testing.T) {
	const first = "Name,Journaling,Width,Height,Title,Where\nAda,In May,5,3,Gulls,The quay\n"
	long := strings.Repeat("long ", 80)
	for rows, want := range map[string]string{
		"Bo,In June,5,3," + long + ",\nBo,In July,5,3,ditto,\n":           "held: “ditto” says “the same”, and what stands above it could not be read",
		"Bo,In June,5,3,#N/A,\nBo,In July,5,3,ditto,\n":                   "held: “ditto” says “the same”, and what stands above it could not be read",
		"Bo,In June,5,3,,\nBo,In July,5,3,ditto,\n":                       "Bo|Gulls|",
		"Bo,In June,5,3,none,-\nBo,In July,5,3,ditto,ditto\n":             "Bo||",
		"#N/A,In June,5,3,,\nditto,In July,5,3,,\n":                       "held: the name is missing",
		",In June,5,3,,\nditto,In July,5,3,,\n":                           "Ada||", // a name that is left out is the one above for many
		"-,In June,5,3,,\nditto,In July,5,3,,\n":                          "held: the name is missing",
		strings.Repeat("B", 90) + ",In June,5,3,,\nditto,In July,5,3,,\n": "held: the name is missing",
		",In June,5,3,,\nBo,In July,5,3,,\nditto,In August,5,3,,\n":       "Bo||",
		"Bo,In June, and hot,5,3,,\nditto,In July,5,3,,\n":                "held: the name is missing",
		"Bo,In June, and hot,5,3,,\nBo,In July,5,3,ditto,\n":              "held: “ditto” says “the same”, and what stands above it could not be read",
	} {
		check := func(name, want string, job *Job, said string) {
			got := ""
			if last := len(job.Blocks) - 1; len(job.Held) == 0 || last >= 0 && job.Blocks[last].Place.Row > job.Held[len(job.Held)-1].Place.Row {
				got = job.Blocks[last].Owner + "|" + job.Blocks[last].Title + "|" + job.Blocks[last].End
			} else {
				got = "held: " + job.Held[len(job.Held)-1].Why
			}
			if !strings.HasPrefix(got, want) {
				t.Errorf("%s, %s: %q, want %q\n%s", name, rows, got, want, said)
			}
		}
		job, said := readTables(t, nil, "a.csv", first+rows)
		check("the table", want, job, said)
		if strings.Contains(rows, "hot") { // as a workbook it is no row of so many cells
			continue
		}
		typed := Typed(table.Read(intaketest.Write(t, "a.csv", first+rows), KnownHeading), intaketest.Home(), measure.In)
		var again strings.Builder
		again.WriteString("Name,Journaling,Width,Height,Title,Where\n")
		for _, row := range typed[0].Rows {
			for i, column := range []string{"Name", "Journaling", "Width", "Height", "Title", "Where"} {
				text := ""
				for _, f := range row.Cells {
					if f.Heading == column {
						text = f.Text
					}
				}
				again.WriteString(map[bool]string{true: ","}[i > 0] + text)
			}
			again.WriteString("\n")
		}
		job, said = readTables(t, nil, "b.csv", again.String())
		if strings.HasPrefix(want, "held:") { // as the row above is, or because of it
			want = "held:"
		}
		check("what is typed of it", want, job, said)
	}
}

// What rows may take from above has a limit: a file of less than a megabyte would become a job of thirty, and each row would be set with all that.
func TestMostTaken(t *testing.T) {
	var rows strings.Builder
	rows.WriteString("Name,Journaling,Width,Height,Title,Who,Where,When\n")
	for i := range 3_000 {
		line := strings.Repeat(",do", 4)
		if i == 0 {
			line = strings.Repeat(","+strings.Repeat("x", 299), 4)
		}
		fmt.Fprintf(&rows, "Al,w%d,5,3%s\n", i, line)
	}
	job, said := readTables(t, nil, "a.csv", rows.String())
	if n := len(job.Blocks); n < 1_700 || n > 1_800 || len(job.Held) != 3_000-n || !strings.Contains(said, "rows take more than 2 MB from above") {
		t.Errorf("%d blocks, %d held", n, len(job.Held))
	}
}
