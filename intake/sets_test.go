package intake

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestSetsAsTextsAreCounted: what counts the texts of a table counts its other columns: a letter at the end of a heading is no count where figures count the texts, and
// several counts at one heading are for all.
func TestSetsAsTextsAreCounted(t *testing.T) {
	const three = "Ada Lind,In May,4 x 2,In June,3 x 1,In July,2 x 1,"
	for headings, row := range map[string]string{
		`Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,"Paper V, S, C"`:  three + "vellum",
		"Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,Stock: V or C":    three + "vellum",
		"Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,Stock B":          three + "vellum",
		"Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,Stock 1+2+3":      three + "vellum",
		`Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,"Paper 1, 2, 3"`:  three + "vellum",
		"Name,Text 1,Space 1,Text 2,Space 2,Text 3,Space 3,Paper for 1 to 3": three + "vellum",
		"Name,Text A,Space A,Text B,Space B,Text C,Space C,Paper for A-C":    three + "vellum",
		`Name,Text A,Space A,Text B,Space B,Text C,Space C,"Stock A, B & C"`: three + "vellum",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		if len(job.Blocks) != 3 || job.Blocks[0].Stock != "vellum" || job.Blocks[1].Stock != "vellum" || job.Blocks[2].Stock != "vellum" {
			t.Errorf("%s: %d blocks\n%s", headings, len(job.Blocks), said)
		}
	}
	for headings, row := range map[string]string{
		"Name,Text,W,H,Text 2,Block 2 W,Block 2 H":                                                                                        "Ada Lind,In May,4,2,In June,3,1",
		`Name,1. Text,"1. Space, W x H",2. Text,"2. Space, W x H"`:                                                                        "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text 1,1. Space w x h,Text 2,2. Space w x h":                                                                                "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text,W x H,Text 2,Block 2 W x H":                                                                                            "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text 1,Width 1 in inches,Height 1 in inches,Text 2,Width 2 in inches,Height 2":                                              "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Width 1 [in],Height 1 [in],Text 2,Width 2 [in],Height 2 [in]":                                                        "Ada Lind,In May,4,2,In June,3,1",
		`Name,Text 1,"Width 1, in","Height 1, in",Text 2,"Width 2, in","Height 2, in"`:                                                    "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Width 1 - in,Height 1 - in,Text 2,Width_2_in,Height_2_in":                                                            "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Width A in inches,Height A [in],Text B,Width B in inches,Height B [in]":                                              "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Width of text 1 in inches,Height 1,Text 2,Width of text 2 in inches,Height 2":                                        "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,How wide is it?,How high is it?,Text 2,How wide is it?,How high is it?":                                              "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Its width,Its height,Text 2,Its width,Its height":                                                                    "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Space width (A),How high #1,Text 2,Space width (B),How high #2":                                                      "Ada Lind,In May,4,2,In June,3,1",
		"Name,#1 Story,#1 Width x height,#2 Story,#2 Width x height":                                                                      "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,First text,First space [in],Second text,Space of the second text [in]":                                                      "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,First text,Second text,Space [in] of the first,Space of the second [in]":                                                    "Ada Lind,In May,In June,4 x 2,3 x 1",
		"Name,First text,Second text,Width of the first in inches,Height of the first,Width of the second in inches,Height of the second": "Ada Lind,In May,In June,4,2,3,1",
		"Name,Caption,W x H,Caption (B),W x H (B)":                                                                                        "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text 1,Text 2,First space,Second space":                                                                                     "Ada Lind,In May,In June,4 x 2,3 x 1",
		"Name,First text,Second text,First name of helper,Width 1,Height 1,2nd width,Second height":                                       "Ada Lind,In May,In June,Bo,4,2,3,1",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		got := ""
		for _, b := range job.Blocks {
			got += fmt.Sprintf("%s %s %s; ", b.Owner, flat(b.Text), b.Space.Format(measure.In))
		}
		if want := "Ada Lind In May 4 x 2 in; Ada Lind In June 3 x 1 in; "; got != want {
			t.Errorf("%s: %s\n%s", headings, got, said)
		}
	}
	job, said := readTables(t, nil, "a.csv", "Name,Caption (A),Caption (B),Space,Headline,Second headline\nAda Lind,In May,In June,4 x 2,Tea,Plums\n")
	if len(job.Blocks) != 2 || job.Blocks[0].Title != "Tea" || job.Blocks[1].Title != "Plums" {
		t.Errorf("titles: %v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, nil, "a.csv", "Name,Page,Text 1,Space 1,Page,Text 2,Space 2\nAda Lind,Sea,In May,4 x 2,Town,In June,3 x 1\n")
	if len(job.Blocks) != 2 || job.Blocks[0].Page != "Sea" || job.Blocks[1].Page != "Town" {
		t.Errorf("pages: %v\n%s", job.Blocks, said)
	}
	for headings, stocks := range map[string]string{"Paper for 1 and 2,Paper for 3": "vellum,clear sticker", "Paper 1/2,Paper 3": "vellum,clear sticker", "Stock for #1 and #2,Stock 3": "vellum,clear sticker", "Photo 1 and 2 stock,Photo 3 stock": "vellum,clear sticker",
		"Paper for text 1 or text 2,Paper for text 3": "vellum,clear sticker", "Stock (1) and (2),Stock (3)": "vellum,clear sticker", "First and second stock,Third stock": "vellum,clear sticker", "Stock for 3,Stock for 1 to 2": "clear sticker,vellum", "1st & 2nd paper,3rd paper": "vellum,clear sticker",
		"Printed on 1 & 2,Printed on 3": "vellum,clear sticker", "Printed on for 1+2,Printed on for 3": "vellum,clear sticker"} {
		for _, texts := range []string{"Text 1,Text 2,Text 3", "Text A,Text B,Text C", "First text,Second text,Third text"} {
			job, said := readTables(t, nil, "a.csv", "Name,"+texts+",Space,"+headings+"\nAda Lind,In May,In June,In July,4 x 2,"+stocks+"\n")
			if len(job.Blocks) != 3 || job.Blocks[0].Stock != "vellum" || job.Blocks[1].Stock != "vellum" || job.Blocks[2].Stock != "clear sticker" {
				t.Errorf("%s, %s: %d blocks\n%s", texts, headings, len(job.Blocks), said)
			}
		}
	}
	job, said = readTables(t, nil, "a.csv", "Name,Title,Text 1,Text 2,Text 3,Space,Title 3\nAda Lind,Plums,In May,In June,In July,4 x 2,Tea\n")
	if len(job.Blocks) != 3 || job.Blocks[0].Title != "Plums" || job.Blocks[1].Title != "Plums" || job.Blocks[2].Title != "Tea" {
		t.Errorf("a title for the others: %v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, nil, "a.csv", "Name,Page,Text 1,Text 2,Text 3,Space,Page 2/3\nAda Lind,Beach,In May,In June,In July,4 x 2,Sea\n")
	if len(job.Blocks) != 3 || job.Blocks[0].Page != "Beach" || job.Blocks[1].Page != "Sea" || job.Blocks[2].Page != "Sea" {
		t.Errorf("pages of two: %v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, nil, "a.csv", "Name,Text,Space,Paper,2nd text,2nd space,Paper for 2nd\nAda Lind,In May,4 x 2,vellum,In June,3 x 1,clear sticker\n")
	if len(job.Blocks) != 2 || job.Blocks[0].Stock != "vellum" || job.Blocks[1].Stock != "clear sticker" {
		t.Errorf("stocks: %v\n%s", job.Blocks, said)
	}
	const taken = "“First name” and “Second name” are taken for the names of one person"
	if job, said = readTables(t, nil, "a.csv", "First name,Second name,First text,Second text,Space\nAda,Bo,In May,In June,4 x 2\n"); len(job.Blocks) != 2 || !strings.Contains(said, taken) {
		t.Errorf("two names: %v\n%s", job.Blocks, said)
	}
	if _, said = readTables(t, nil, "a.csv", "First name,Second name,Text 1,Text 2,Space\nAda,Bo,In May,In June,4 x 2\n"); strings.Contains(said, taken) {
		t.Error(said)
	}
	job, said = readTables(t, nil, "a.csv", "First name,Second name,Third name,First text,Second text,Third text,Space\nAda,Bo,Cy,In May,In June,In July,4 x 2\n")
	if len(job.Blocks) != 3 || job.Blocks[0].Owner != "Ada" || job.Blocks[1].Owner != "Bo" || job.Blocks[2].Owner != "Cy" {
		t.Errorf("names: %v\n%s", job.Blocks, said)
	}
}

// TestSecondNotRead: where a row holds several blocks and one of them has to take another's measure, stock, page or copies, a column of that which is not read stops
// the print.
func TestSecondNotRead(t *testing.T) {
	for data, stops := range map[string]bool{
		"Name,Text 1,Width 1,Height 1,Text 2,Width below,Height below\nAda Lind,In May,4,2,In June,3,1\n":                 true,
		"Name,Text 1,Text 2,Space,Its space\nAda Lind,In May,In June,4 x 2,3 x 1\n":                                       true,
		"Name,Text 1,Text 2,Space,Stock,Stock below\nAda Lind,In May,In June,4 x 2,vellum,clear sticker\n":                true,
		"Name,Text 1,Text 2,Space,Copies,Copies below\nAda Lind,In May,In June,4 x 2,1,2\n":                               true,
		"Name,Text 1,Text 2,Space,Page,Page below\nAda Lind,In May,In June,4 x 2,Sea,Town\n":                              true,
		"Name,Text 1,Text 2,Text 3,Space,Paper for 1 and 2\nAda Lind,In May,In June,In July,4 x 2,vellum\n":               true,
		"Name,Text 1,Text 2,Text 3,W,H,W B,H B\nAda Lind,In May,In June,In July,4,2,3,1\n":                                true,
		"Name,Stock,Text 1,Text 2,Text 3,Space,Stock 3\nAda Lind,vellum,In May,In June,In July,4 x 2,clear sticker\n":     true,
		"Name,Text 1,Text 2,Text 3,Space,Stock 2\nAda Lind,In May,In June,In July,4 x 2,clear sticker\n":                  false,
		"Name,Text 1,Text 2,Width,Height,Width 2,Top to bottom 2\nAda Lind,In May,In June,4,2,3,1\n":                      true,
		"Name,Text,Text W,Text H,Width,Height\nAda Lind,In May,4,2,6,4\n":                                                 false,
		"Name,Text 2,Text 1,Space,Space\nAda Lind,In June,In May,3 x 1,4 x 2\n":                                           true,
		"Name,Text 1,Text 2,Space,Title,Title below\nAda Lind,In June,In May,3 x 1,Plums,Tea\n":                           true,
		"Name,Text 1,Text 2,Space,Page 1/2\nAda Lind,In May,In June,4 x 2,Beach/Garden\n":                                 true,
		"Name,Text 1,Text 2,Space,Stock,Paper cost,Copies sent\nAda Lind,In May,In June,4 x 2,vellum,3,1\n":               false,
		"Name,Text 1,Text 2,Space,Hole 2\nAda Lind,In May,In June,4 x 2,3 x 1\n":                                          true,
		"Name,Text 1,Text 2,Space,Stock,Stock below\nAda Lind,In May,In June,4 x 2,vellum,\n":                             false,
		"Name,Text 1,Space 1,Text 2,Space 2,Space\nAda Lind,In May,4 x 2,In June,3 x 1,9 x 9\n":                           false,
		"Name,Text 1,Space 1,Text 2,Space 2,Where,Where from\nAda Lind,In May,4 x 2,In June,3 x 1,Larvik,the newspaper\n": false,
		"Name,Text 1,Text 2,Width,Height,Photo width\nAda Lind,In May,In June,4,2,6\n":                                    false,
		"Name,Text 1,Space 1,Text 2,Space 2,Table\nAda Lind,In May,4 x 2,In June,3 x 1,4\n":                               false,
	} {
		job, said := readTables(t, nil, "a.csv", data)
		if strings.Contains(said, "of the blocks") != stops || (len(job.Blocks) == 0) != stops {
			t.Errorf("%q: %d blocks\n%s", data, len(job.Blocks), said)
		}
	}
	if job, said := readTables(t, []config.Column{{Heading: "Stock below", As: "nothing"}}, "a.csv", "Name,Text 1,Text 2,Space,Stock,Stock below\nAda Lind,In May,In June,4 x 2,vellum,clear sticker\n"); len(job.Blocks) != 2 {
		t.Error(said)
	}
}

// TestRowIsNoHeadings: the first row of a table without headings is no row of headings, and whoever says so all the same hears of it.
func TestRowIsNoHeadings(t *testing.T) {
	told := []config.Column{{Heading: "Ann", As: "Name"}, {Heading: "Hello there you", As: "Journaling"}, {Heading: "4", As: "Width"}, {Heading: "2", As: "Height"}, {Heading: "4 x 2", As: "Space"}}
	for _, data := range []string{"Ann,Hello there you,4,2\nBob,Trees and more,3,2\n", "Ann,Hello there you,4 x 2\nBob,Trees and more,3 x 2\n", "Ann,Hello there you,4 x 2\nBob,Trees and more,3 x 2\nCy,Also this one,3 x 2\n"} {
		if _, said := readTables(t, nil, "a.csv", data); strings.Contains(said, "--column") || !strings.Contains(said, "no table of journaling was found") {
			t.Errorf("%q: %s", data, said)
		}
		if job, said := readTables(t, told, "a.csv", data); len(job.Blocks) > 0 || !strings.Contains(said, "the row that is told to be headings is one of journaling") {
			t.Errorf("%q, told: %d blocks\n%s", data, len(job.Blocks), said)
		}
	}
	// What is alike but for its figures is told together.
	if _, said := readTables(t, nil, "a.csv", "Name,1 blurb,2 blurb,Space\nAnn,Hello there you,And so on it goes,4 x 2\n"); !strings.Contains(said, `--column "1 blurb=Journaling" --column "2 blurb=Journaling"`) {
		t.Error(said)
	}
	// Headings that are only odd are told as ever.
	if _, said := readTables(t, nil, "a.csv", "Name,Blurb 1,Left to right,Up\nAnn,Hello there you,4,2\n"); !strings.Contains(said, `--column "Left to right=Width" --column "Up=Height"`) {
		t.Error(said)
	}
}

// TestTextsTold: columns that are told to be the journaling, the space and so on, and that differ by numbers, are those of several blocks; columns that ask whether there is a
// second text, or how many, hold none.
func TestTextsTold(t *testing.T) {
	told := []config.Column{{Heading: "Blurb 1", As: "Journaling"}, {Heading: "Blurb 2", As: "Journaling"}, {Heading: "Hole 1", As: "Space"}, {Heading: "Hole 2", As: "Space"}}
	job, said := readTables(t, told, "a.csv", "Name,Blurb 1,Hole 1,Blurb 2,Hole 2\nAda Lind,In May,4 x 2,In June,3 x 1\n")
	if len(job.Blocks) != 2 || flat(job.Blocks[1].Text) != "In June" || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, told[:2], "a.csv", "Name,Blurb 1,Width 1,Height 1,Blurb 2,Width 2,Height 2\nAda Lind,In May,4,2,In June,3,1\n")
	if len(job.Blocks) != 2 || flat(job.Blocks[1].Text) != "In June" || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	job, said = readTables(t, nil, "a.csv", "Name,Text,Space,2nd text?\nAda Lind,In May,4 x 2,My dog\nBo Mu,In July,4 x 2,no\n")
	if len(job.Blocks) != 3 || len(job.Held) != 1 || !strings.Contains(said, "there is no text but “no”") {
		t.Errorf("%d blocks\n%s", len(job.Blocks), said)
	}
	for question, answers := range map[string][2]string{"Do you have a second text?": {"Yes", "No"}, "How many texts?": {"2", "1"}} {
		job, said := readTables(t, nil, "a.csv", "Name,"+question+",Text 1,Space 1,Text 2,Space 2\nAda Lind,"+answers[0]+",In May,4 x 2,In June,3 x 1\nBo Mu,"+answers[1]+",In July,4 x 2,,\n")
		if len(job.Blocks) != 3 || !strings.Contains(said, "not read: “"+question) {
			t.Errorf("%s: %d blocks\n%s", question, len(job.Blocks), said)
		}
	}
}

// TestSidesToTell: the advice which columns are the width and the height goes by what their headings say, else by their order, and not by how many cells are filled in.
func TestSidesToTell(t *testing.T) {
	for headings, want := range map[string]string{
		"Left to right,Top to bottom": `--column "Left to right=Width" --column "Top to bottom=Height"`, "Top to bottom,Left to right": `--column "Left to right=Width" --column "Top to bottom=Height"`,
		"Ay,Bee": `--column "Ay=Width" --column "Bee=Height"`,
	} {
		for _, rows := range []string{"Ann,In May,4,2\nBo,In June,,3\n", "Ann,In May,4,2\nBo,In June,3,\n"} {
			if _, said := readTables(t, nil, "a.csv", "Name,Text,"+headings+"\n"+rows); !strings.Contains(said, want) {
				t.Errorf("%s: %s", headings, said)
			}
		}
	}
}

// TestPhotoMeasures: of two pairs of measures that no heading names plainly, what may be the photo's is not the space.
func TestPhotoMeasures(t *testing.T) {
	for _, data := range []string{"Name,Text,Photo width,Photo height,Journaling width,Journaling height\nAda Lind,In May,6,5,4,2\n", "Name,Text,Journaling width,Journaling height,Photo width,Photo height\nAda Lind,In May,4,2,6,5\n"} {
		if job, said := readTables(t, nil, "a.csv", data); len(job.Blocks) != 1 || job.Blocks[0].Space.Format(measure.In) != "4 x 2 in" || !strings.Contains(said, "not read: “Photo width”") {
			t.Errorf("%q: %v\n%s", data, job.Blocks, said)
		}
	}
}

// TestPaperOfSomebody: a list of paper says whose it is, and what needs no unit is not asked for one.
func TestPaperOfSomebody(t *testing.T) {
	if job, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height\nAda Lind,In May,4,2\n", "paper.csv", "Name,Stock,Size,Count\nBo,vellum,4 x 7,3\n"); len(job.Paper) != 1 || len(job.Blocks) != 1 {
		t.Errorf("a size: %v\n%s", job.Paper, said)
	}
	for _, own := range []string{"Owner", "Whose", "From", "Name"} {
		job, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height\nAda Lind,In May,4,2\n", "paper.csv", "Stock,Width,Height,Count,"+own+"\nvellum,4,7,3,Bo\n")
		if len(job.Paper) != 1 || job.Paper[0].Count != 3 || len(job.Blocks) != 1 || !strings.Contains(said, "cells of the list of paper were not read: E1:E2") {
			t.Errorf("%s: %v\n%s", own, job.Paper, said)
		}
	}
}

// TestUnlessSame: where a heading says that an empty cell is as that of the first block, it is.
func TestUnlessSame(t *testing.T) {
	const rows = "Ada Lind,In May,In June,4 x 2,vellum,\nBo Mu,In July,In August,4 x 2,vellum,clear sticker\n"
	for heading, same := range map[string]bool{"Paper 2 (leave blank if same as 1)": true, "Paper 2 (if different)": true, "Paper 2 (only if not same)": true, "Paper 2 (blank if same)": true, "Paper 2": false,
		"Paper 2 (leave blank for the usual)": false, "Paper 2 (if other than usual)": false, "Paper 2 (blank if none)": false, "Paper 2 (leave blank if same as 3)": false, "Paper 2 (same as previous)": true} {
		data := "Name,Text 1,Text 2,Space,Paper 1," + heading + "\n" + rows
		job, said := readTables(t, nil, "a.csv", data)
		if want := map[bool]string{true: "vellum", false: intaketest.Home().Default}[same]; len(job.Blocks) != 4 || job.Blocks[0].Stock != "vellum" || job.Blocks[1].Stock != want || job.Blocks[3].Stock != "clear sticker" {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
		typed := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0]
		if stock := slices.ContainsFunc(typed.Rows[1].Cells, func(f Field) bool { return f == Field{"Stock", "vellum"} }); stock != same {
			t.Errorf("%s, typed: %v", heading, typed.Rows[1])
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2 (leave blank if same as 1),Space\nAda Lind,In May,,4 x 2\n"); len(job.Blocks) != 1 {
		t.Errorf("a text: %v\n%s", job.Blocks, said)
	}
}
