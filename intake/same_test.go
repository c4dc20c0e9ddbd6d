package intake

import (
	"strings"
	"testing"
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
