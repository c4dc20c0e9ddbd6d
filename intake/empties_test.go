package intake

import (
	"fmt"
	"strings"
	"testing"

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
		"Stock (if different)":                     usual + ", ",
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
		"Stock 3 (blank: plain)":                                usual + ", read as usual: H2",
		"Stock 3":                                               usual + ", ",
	} {
		job, said := readTables(t, nil, "a.csv", three+heading+"\nAda Lind,In May,In June,In July,4 x 2,clear sticker,cardstock,\n")
		stock, note, _ := strings.Cut(want, ", ")
		if len(job.Blocks) != 3 || job.Blocks[2].Stock != stock || !strings.Contains(said, note) || note == "" && strings.Contains(said, "empty cells") {
			t.Errorf("%s: %v\n%s", heading, job.Blocks, said)
		}
	}
	// A row with nothing of its own is none, whatever stands above it, and what is above starts below the headings.
	job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Page (leave blank if same as above),Copies (leave blank if same as above)\nAda Lind,In May,4 x 2,,2\n,,,,\nBo Mu,In June,4 x 2,Beach,\nBo Mu,In July,4 x 2,,1\n")
	if len(job.Blocks) != 3 || job.Blocks[0].Page != "" || job.Blocks[2].Page != "Beach" || job.Blocks[1].Copies != 2 || job.Blocks[2].Copies != 1 || strings.Contains(said, "passed over") {
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
	for heading, cell := range map[string]string{"Page 1 & 2": "Beach and Pool", "Page 1/2": `"Beach, Garden"`, "Page 1 + Page 2": "Beach & Garden"} {
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
	for _, quantity := range []string{"Qty", "Quantity", "Count"} {
		job, said := readTables(t, nil, "stock.csv", "Stock,Size,"+quantity+"\nvellum,8.5 x 11,2\n")
		if len(job.Paper) != 1 || job.Paper[0].Count != 2 || job.Paper[0].Stock != "vellum" {
			t.Errorf("%s: %v\n%s", quantity, job.Paper, said)
		}
	}
}
