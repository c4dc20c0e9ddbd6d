package intake

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
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
