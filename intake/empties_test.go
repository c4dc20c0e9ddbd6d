package intake

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestWhatEmptyCellsMean: an empty cell means what its heading says, and where that is not understood, the cells are named.
func TestWhatEmptyCellsMean(t *testing.T) {
	usual := intaketest.Home().Default
	for heading, want := range map[string]string{
		"Stock (leave blank if same as above)":     "clear sticker, read as what stands above them: D3",
		"Stock (same as row above if empty)":       "clear sticker, read as what stands above them: D3",
		"Paper, blank = same as previous":          "clear sticker, read as what stands above them: D3",
		"Stock (only if new)":                      "clear sticker, read as what stands above them: D3",
		"Stock (if it changes)":                    "clear sticker, read as what stands above them: D3",
		"Stock (default vellum)":                   usual + ", read as usual: D3",
		"Stock (leave blank for vellum)":           usual + ", read as usual: D3",
		"Stock (leave blank if the same as Bea's)": usual + ", read as usual: D3",
		"Stock (leave blank for the usual)":        usual + ", ",
		"Stock (optional)":                         usual + ", ",
		"Stock (if different)":                     usual + ", read as usual: D3",
		"Stock (leave blank if no change)":         usual + ", read as usual: D3",
		"Stock (leer = wie oben)":                  "clear sticker, read as what stands above them: D3",
		"Stock (nur wenn anders)":                  usual + ", read as usual: D3",
		"Paper (we use vellum if you don't say)":   usual + ", read as usual: D3",
		"Stock (if other than the usual)":          usual + ", ",
		"Stock (vellum, cardstock or sticker)":     usual + ", ",
		"Which paper would you like?":              usual + ", ",
		"Stock (leave blank for standard vellum)":  usual + ", read as usual: D3",
		"Stock (blank = usual, vellum)":            usual + ", read as usual: D3",
		"Stock (not as above if blank)":            usual + ", read as usual: D3",
		"Stock (blank is not the same as above)":   usual + ", read as usual: D3",
		"Stock (if only new sheets)":               usual + ", read as usual: D3",
		"Stock (one only)":                         usual + ", ",
		"Preferred paper":                          usual + ", ",
		"Paper (see list)":                         usual + ", ",
		"1st choice of paper":                      usual + ", ",
		"Stock":                                    usual + ", ",
	} {
		data := "Name,Text,Space,\"" + heading + "\"\nAda Lind,In May,4 x 2,clear sticker\nBo Mu,In June,4 x 2,\n"
		job, said := readTables(t, nil, "a.csv", data)
		stock, note, _ := strings.Cut(want, ", ")
		if len(job.Blocks) != 2 || job.Blocks[1].Stock != stock || note != "" && !strings.Contains(said, note) || note == "" && strings.Contains(said, "empty cells") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
		typed := Typed([]*table.File{table.Parse("a.csv", []byte(data), KnownHeading)}, intaketest.Home(), measure.In)[0]
		if got := fmt.Sprint(typed.Rows[1].Cells); strings.Contains(got, "{Stock clear sticker}") != (stock == "clear sticker") {
			t.Errorf("%s, typed: %s", heading, got)
		}
	}
	const three = "Name,Text 1,Text 2,Text 3,Space,Stock 1,Stock 2,"
	for heading, want := range map[string]string{
		"Stock 3 (same as previous)":                            "cardstock, read as what block 2 of the row has: H2",
		"Stock 3 (same as previous / leave blank if same as 2)": "cardstock, read as what block 2 of the row has: H2",
		"Stock 3 (leave blank if same as the second)":           "cardstock, read as what block 2 of the row has: H2",
		"Stock 3 (blank if same as text 1)":                     "clear sticker, read as what block 1 of the row has: H2",
		"Stock 3 (if different)":                                "clear sticker, read as what block 1 of the row has: H2",
		"Stock 3 (leave blank if same as 4)":                    usual + ", read as usual: H2",
		"Stock 3 (if different from 2)":                         "cardstock, read as what block 2 of the row has: H2",
		"Stock 3, if not as 1":                                  "clear sticker, read as what block 1 of the row has: H2",
		"Stock 3 (else as 1)":                                   "clear sticker, read as what block 1 of the row has: H2",
		"Stock 3 (leer = wie 1)":                                "clear sticker, read as what block 1 of the row has: H2",
		"Stock 3 (leave blank if no change)":                    usual + ", read as usual: H2",
		"Stock 3 (if another)":                                  usual + ", read as usual: H2",
		"Stock 3 (si différent)":                                usual + ", read as usual: H2",
		"Stock 3 (standard: paper 1)":                           usual + ", read as usual: H2",
		"Stock 3 (blank: plain)":                                usual + ", read as usual: H2",
		"Stock 3":                                               usual + ", ",
	} {
		job, said := readTables(t, nil, "a.csv", three+"\""+heading+"\"\nAda Lind,In May,In June,In July,4 x 2,clear sticker,cardstock,\n")
		stock, note, _ := strings.Cut(want, ", ")
		if len(job.Blocks) != 3 || job.Blocks[2].Stock != stock || !strings.Contains(said, note) || note == "" && strings.Contains(said, "empty cells") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	for headings, want := range map[string]string{
		"Title 1,Title 2 (leave blank if same as 1)":   "Plums | Plums",
		"Title 1,Title 2 (same as previous)":           "Plums | Plums",
		"Copies 1,Copies 2 (usually 2)":                "read as usual: F2",
		"Page 1,Page 2 (once per page)":                "read as usual: F2",
		"When 1,When 2 (if not as 1)":                  "read as what block 1 of the row has: F2",
		"Tuck 1,Tuck 2 (leave blank for none)":         "read as usual: F2",
		"Copies 1,Copies 2 (leave blank for none)":     "read as usual: F2",
		"Paper 1 (same for 2),Note":                    "block 2 has no column for Stock, and is printed as usual",
		`"Paper 1, if 2 is different write both",Note`: "block 2 has no column for Stock, and is printed as usual",
		"Paper (text 2 only),Note":                     "block 1 has no column for Stock, and is printed as usual",
	} {
		first := map[bool]string{true: "vellum", false: "1"}[strings.HasPrefix(strings.Trim(headings, `"`), "Pap") || strings.HasPrefix(headings, "Stock")]
		if strings.HasPrefix(headings, "Title") {
			first = "Plums"
		}
		job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,"+headings+"\nAda Lind,In May,In June,4 x 2 in,"+first+",\n")
		if len(job.Blocks) == 2 {
			said += job.Blocks[0].Title + " | " + job.Blocks[1].Title
		}
		if len(job.Blocks) != 2 || !strings.Contains(said, want) {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	for headings, want := range map[string]string{
		"Copies (2)": "read as usual: D3", "Tuck (1/4 in)": "read as usual: D3", "Font (Sans)": "read as usual: D3",
		"Copies (blank means one for each guest)": "read as usual: D3", "Page (fill down)": "read as usual: D3", "Seite (nur beim ersten Eintrag)": "read as usual: D3", "Page (une fois)": "read as usual: D3",
		"When (3 May if not given)": "read as usual: D3", "Datum (falls abweichend)": "read as usual: D3", "Title (My day if missing)": "read as usual: D3", "Page (as in the last album)": "read as usual: D3", "Copies (as last year: 2)": "read as usual: D3",
		"Page (leave blank if not new)": "read as usual: D3", "Page (new pages only)": "read as usual: D3", "Seite (nur wenn neu)": "read as usual: D3", "Font (leave blank if no change)": "read as usual: D3",
		"Where (above or below the photo)": "is taken for Where", "Copies (previous order)": "is taken for Copies", "Tuck (leave blank for none)": "read as usual: D3",
	} {
		first := map[bool]string{true: "Serif", false: "1"}[strings.HasPrefix(headings, "Font")]
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,"+headings+"\nAda Lind,In May,4 x 2 in,"+first+"\nBo Mu,In June,4 x 2 in,\n"); len(job.Blocks) != 2 || !strings.Contains(said, want) {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	for _, heading := range []string{"Copies if more than one", "Copies (only if several)", "Copies (if not 1)", "How many (blank = 1)", "Turn (yes/no)", "Align (left, centre, right)", "Font (serif or sans)", "Font size (pt)", "Tuck (in)", "Copies (1)"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,\""+heading+"\"\nAda Lind,In May,4 x 2 in,\n"); len(job.Blocks) != 1 || strings.Contains(said, "empty cells") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Stock (leave blank if same as above)\nAda Lind,In May,4 x 2 in,\nBo Mu,In June,4 x 2 in,vellum\n"); len(job.Blocks) != 2 || !strings.Contains(said, "read as usual: D2") {
		t.Errorf("the first row: %v\n%s", job.Blocks, said)
	}
	for _, heading := range []string{"Unit (cm if nothing is written)", "Unit (cm if empty)", "Unit (blank = cm)", "Unit (default cm)"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height,"+heading+"\nAda Lind,In May,10,5,\nBo Mu,In June,10,5,in\n"); len(job.Held) != 1 || job.Held[0].Place.Row != 2 {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	// The surname as the heading says, where names are in two columns; and in the first column of such, what stands above.
	if job, said := readTables(t, nil, "a.csv", "First name,Surname (leave blank if same as above),Text,Space\nAda,Lind,In May,4 x 2 in\nBo,,In June,4 x 2 in\n"); len(job.Blocks) != 2 || job.Blocks[1].Owner != "Bo Lind" {
		t.Errorf("a surname: %v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,Stock 1 (same as above if blank),Stock 2 (same as above if blank)\nAda Lind,In May,In June,4 x 2 in,cardstock,clear sticker\nBo Mu,In May,In June,4 x 2 in,,\n"); len(job.Blocks) != 4 || job.Blocks[2].Stock != "cardstock" || job.Blocks[3].Stock != "clear sticker" {
		t.Errorf("stocks as in the row above: %v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,Title 2 if not as 1\nAda Lind,In May,In June,4 x 2 in,Plums\n"); len(job.Blocks) != 2 || job.Blocks[0].Title != "" || job.Blocks[1].Title != "Plums" {
		t.Errorf("a title: %v\n%s", job.Blocks, said)
	}
	// A row with nothing of its own is none, whatever stands above it, and what is above starts below the headings.
	job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Page (leave blank if same as above),Copies (leave blank if same as above)\nAda Lind,In May,4 x 2,,2\n,,,,\nBo Mu,In June,4 x 2,Beach,\nBo Mu,In July,4 x 2,,1\n")
	if len(job.Blocks) != 3 || job.Blocks[0].Page != "" || job.Blocks[2].Page != "Beach" || job.Blocks[1].Copies != 2 || job.Blocks[2].Copies != 1 || strings.Contains(said, "passed over") {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestMergedOverBlocks: a cell that is merged over the columns of several blocks says the same of each.
func TestMergedOverBlocks(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Text 1", "Text 2", "Space", "Stock 1", "Stock 2", "Page 1", "Page 2", "Copies 1", "Copies 2", "Note"},
			[]any{"Ada Lind", "In May", "In June", "4 x 2 in", "clear sticker", "", "Beach", "", "3", "", ""},
			[]any{"Cy Tam", "In March", "In April", "4 x 2 in", "clear sticker", "", "Town", "", "2", "", ""},
			[]any{"Di Ros", "In January", "In February", "4 x 2 in", "", "", "Town", "", "2", "", ""},
			[]any{"Bo Mu", "In July", "In August", "4 x 2 in", "clear sticker", "", "Town", "", "2", "", "Please call"})
		for _, cells := range [][2]string{{"E2", "F2"}, {"G2", "H2"}, {"I2", "J2"}, {"E3", "F4"}} {
			if err := f.MergeCell("Sheet1", cells[0], cells[1]); err != nil {
				t.Fatal(err)
			}
		}
	})
	job, said := readTables(t, nil, "a.xlsx", data)
	if len(job.Blocks) != 8 || !strings.Contains(said, "cells merged over several blocks are read for each of them: E2:E4, G2 and I2") {
		t.Fatalf("%v\n%s", job.Blocks, said)
	}
	if b := job.Blocks[1]; b.Stock != "clear sticker" || b.Page != "Beach" || b.Copies != 3 {
		t.Errorf("%+v", b)
	}
	for _, b := range job.Blocks[2:6] {
		if b.Stock != "clear sticker" {
			t.Errorf("%+v", b)
		}
	}
	if b := job.Blocks[7]; b.Stock != intaketest.Home().Default || b.Page != "" || b.Copies != 1 {
		t.Errorf("%+v", b)
	}
}

// TestLaidAside: a sheet whose name says that it may not be of this print is read, and told.
func TestLaidAside(t *testing.T) {
	for name, told := range map[string]bool{"Do not print": true, "Printed already": true, "Texts (old)": true, "Copy of Texts": true, "Waiting list": true, "Draft": true, "Ignore": true, "On hold": true, "Not used": true, "Next time": true, "nicht drucken": true, "Saturday": false, "Texts": false, "Old Mill weekend": true, "Golden": false} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", []any{"Name", "Text", "Space"}, []any{"Ada Lind", "In May", "4 x 2 in"})
			if err := f.SetSheetName("Sheet1", name); err != nil {
				t.Fatal(err)
			}
		})
		if job, said := readTables(t, nil, "a.xlsx", data); len(job.Blocks) != 1 || strings.Contains(said, "may be laid aside") != told {
			t.Errorf("%s: %v\n%s", name, job.Blocks, said)
		}
	}
}

// TestCountsInLetters: where letters count the texts, a letter wherever it stands in a heading says whose the column is; and what all blocks have, or all but one, is told.
func TestCountsInLetters(t *testing.T) {
	for _, heading := range []string{"Stock (text B)", "Stock for text B only", "Stock of text B please", "Stock for the B text", "Stock (B only)", "B stock", "B: stock", "For B: stock", "Stock block B only", "Stock - block B"} {
		for _, texts := range []string{"Text A,Text B", "Journaling (A),Journaling (B)"} {
			job, said := readTables(t, nil, "a.csv", "Name,"+texts+",Space,"+heading+"\nAda Lind,In May,In June,4 x 2 in,clear sticker\n")
			if len(job.Blocks) != 2 || job.Blocks[0].Stock != intaketest.Home().Default || job.Blocks[1].Stock != "clear sticker" || !strings.Contains(said, "block 1 has no column for Stock") {
				t.Errorf("%s, %s: %v\n%s", heading, texts, job.Blocks, said)
			}
		}
	}
	for heading, told := range map[string]string{"Stock (not 3)": "stands for all blocks", "Stock for all but 3": "stands for all blocks", "Stock except 2": "stands for all blocks", "Stock (all three)": "", "Stock for all 3": ""} {
		job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Text 3,Space,"+heading+"\nAda Lind,In May,In June,In July,4 x 2 in,clear sticker\n")
		if len(job.Blocks) != 3 || job.Blocks[0].Stock != "clear sticker" || job.Blocks[2].Stock != "clear sticker" || !strings.Contains(said, told) {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
}

// TestCountsOfOtherThings: a number before what is no text of its own counts no block, and one behind a text stops the print only above words.
func TestCountsOfOtherThings(t *testing.T) {
	for heading, cell := range map[string]string{"Two words": "6", "3 words": "5", "Three words": "a b c", "One entry": "yes", "Entry 1": "3", "1 entry": "2"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space,"+heading+"\nAda Lind,In May,4 x 2 in,"+cell+"\n"); len(job.Blocks) != 1 || !strings.Contains(said, "not read") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Journaling 1 of 3,Journaling 2 of 3,Journaling 3 of 3,Space\nAda Lind,In May,In June,In July,4 x 2 in\n"); len(job.Blocks) != 3 {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,1 Text,1 Width,1 Height,2 Text,2 Width,2 Height\nAda Lind,In May,4,2,In June,3,1\n"); len(job.Blocks) != 2 || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Caption (1st),Caption (2nd),Space,How many - block 1,How many - block 2,#1 When,#2 When\nAda Lind,In May,In June,4 x 2 in,3,2,May,June\n"); len(job.Blocks) != 2 || job.Blocks[0].Copies != 3 || job.Blocks[1].Copies != 2 || job.Blocks[1].End != "June" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text,Text.1,Space\nAda Lind,In May we rowed,In June we sang,4 x 2 in\n"); len(job.Blocks) == 1 {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text1,Text2,Space,Stock1,Stock2,Copies1,Copies2\nAda Lind,In May,In June,4 x 2 in,vellum,,2,\n"); len(job.Blocks) != 2 || strings.Contains(said, "empty cells") {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestNumbersByTheWay: a number that a heading says by the way counts no block.
func TestNumbersByTheWay(t *testing.T) {
	for headings, want := range map[string]string{
		"Name,First text,Second text,Space,How many copies of the first? (leave blank for 1),How many copies of the second? (leave blank for 1)": "3 2",
		`Name,Text 1,Text 2,Space,"Copies 1, leave blank for 2","Copies 2, leave blank for 1"`:                                                   "3 2",
		"Name,Text 1,Text 2,Space,Copies 1 (max 2),Copies 2 (up to 9)":                                                                           "3 2",
		"Name,Text 1,Text 2,Space,Copies 1 (e.g. 2),Copies 2 (e.g. 1)":                                                                           "3 2",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\nAda Lind,In May,In June,4 x 2,3,2\n")
		if got := ""; len(job.Blocks) != 2 || fmt.Sprint(got, job.Blocks[0].Copies, " ", job.Blocks[1].Copies) != want {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	for headings, row := range map[string]string{
		"Name,Text 1,Text 2,Space,Paper 1 (and 2 if same)":                                   "Ada Lind,In May,In June,4 x 2 in,clear sticker",
		`Name,Text 1 - max 50 words,Text 2 - max 50 words,"Size 1, e.g. 4 x 2",Size 2,Paper`: "Ada Lind,In May,In June,4 x 2 in,4 x 2 in,clear sticker",
		"Name,Text (A),Size (w x h) (A),Text (B),Size (w x h) (B),Paper":                     "Ada Lind,In May,4 x 2 in,In June,4 x 2 in,clear sticker",
	} {
		if job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n"); len(job.Blocks) != 2 || job.Blocks[0].Stock != "clear sticker" || job.Blocks[1].Stock != "clear sticker" || job.Blocks[1].Space != job.Blocks[0].Space {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text (A),Size (w x h) (A),Text (B),Size (w x h) (B)\nAda Lind,In May,4 x 2 in,In June,\n"); len(job.Blocks) != 1 || len(job.Held) != 1 {
		t.Errorf("a size that is missing: %v\n%s", job.Blocks, said)
	}
	job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Size 1,Size 2 (optional)\nAda Lind,In May,In June,4 x 2 in,3 x 1 in\n")
	if len(job.Blocks) != 2 || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestHeadingsOfSeveral: a column for several blocks of a row says of each the same, or it is told, or stops the print.
func TestHeadingsOfSeveral(t *testing.T) {
	const rows = "\nAda Lind,In May,In June,4 x 2,"
	for heading, cell := range map[string]string{"Page 1 / Page 2": "Beach / Garden", "First page / second page": "Beach/Garden", "Page 1 and page 2": "Beach;Garden", "Page 1/2": "Beach | Garden"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,"+heading+rows+cell+"\n"); len(job.Blocks) != 0 || !strings.Contains(said, "may be of one of the blocks") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	for heading, cell := range map[string]string{"Page 1 & 2": "Beach and Pool", "Page 1/2": `"Beach, Garden"`, "Page 1 or 2": "7-8", "Page for 1 and 2": "9 to 10", "Page 1 + Page 2": "Beach & Garden"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,"+heading+rows+cell+"\n"); len(job.Blocks) != 2 || job.Blocks[0].Page != strings.Trim(cell, `"`) || !strings.Contains(said, "is read as a whole, and for each of its blocks: E2") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Text 1,Text 2,Space,Page 1 / Page 2"+rows+"Beach\n"); len(job.Blocks) != 2 || job.Blocks[0].Page != "Beach" || job.Blocks[1].Page != "Beach" || strings.Contains(said, "as a whole") {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestListOfStock: what is on hand of each stock is a list of paper, whatever its tab is called.
func TestListOfStock(t *testing.T) {
	for _, name := range []string{"mats-to-cut.csv", "paper-to-buy.csv", "used.csv"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space\nAda Lind,In May,4 x 2 in\n", name, "Stock,Size,Qty\nvellum,8.5 x 11,2\n"); len(job.Paper) != 0 || !strings.Contains(said, "no table of journaling was found") {
			t.Errorf("%s: %v\n%s", name, job.Paper, said)
		}
	}
	for stock, count := range map[string]int{"Stock (vellum if blank)": 2, "Stock (if not vellum)": 2, "Stock": 0} {
		job, said := readTables(t, nil, "paper.csv", stock+",Size,Qty\ncardstock,8.5 x 11,1\n,8.5 x 11,5\n")
		if len(job.Paper) != 2 || strings.Contains(said, "names no stock") != (count > 0) && stock != "Stock" {
			t.Errorf("%s: %v\n%s", stock, job.Paper, said)
		}
	}
	if found, said := ReadPaper(intaketest.Write(t, "stash.csv", "Stock,Size,Qty\nvellum,8.5 x 11,2\n")[0], intaketest.Home()); len(found) != 1 || found[0].Count != 2 {
		t.Errorf("named as the list of paper: %v\n%s", found, intaketest.Say(said))
	}
	for _, quantity := range []string{"Qty", "Quantity", "Count"} {
		job, said := readTables(t, nil, "stock.csv", "Stock,Size,"+quantity+"\nvellum,8.5 x 11,2\n")
		if len(job.Paper) != 1 || job.Paper[0].Count != 2 || job.Paper[0].Stock != "vellum" {
			t.Errorf("%s: %v\n%s", quantity, job.Paper, said)
		}
	}
}
