package intake

import (
	"fmt"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
)

// readTables reads tables with what the settings say of headings.
func readTables(t *testing.T, columns []config.Column, files ...string) (*Job, string) {
	t.Helper()
	s := intaketest.Home()
	s.Columns = columns
	job, problems := Read(intaketest.Write(t, files...), s)
	said := ""
	for _, p := range problems {
		if p.Severity == 0 || !strings.Contains(p.What, "the text ") {
			said += fmt.Sprintf("%s %d%s: %s | %s\n", p.Severity, p.Place.Row, p.Place.Cell, p.What, p.Hint)
		}
	}
	return job, said
}

// TestStatedUnit: in which unit a table is measured: by its headings, and by a line above them that says so, not by any that ends like a unit.
func TestStatedUnit(t *testing.T) {
	s := intaketest.Home()
	for _, c := range []struct{ above, width, height, space string }{
		{"All measures in cm", "Width", "Height", "10 x 5 cm"},
		{"Units: in", "Width", "Height", "10 x 5 in"},
		{"All sizes are in inches.", "Width", "Height", "10 x 5 in"},
		{"Please measure each space and fill it in.", "Width", "Height", "10 x 5 cm"},
		{"Craft weekend of the United Guilds: everybody is in", "Width", "Height", "10 x 5 cm"},
		{"All album pages measure 12 x 12 in", "Width", "Height", "10 x 5 cm"},
		{"Dimensions of the album: 30 x 30 cm", "Width", "Height", "10 x 5 cm"},
		{"Paper sizes in inches", "Width", "Height", "10 x 5 cm"}, {"Album sizes in inches", "Width", "Height", "10 x 5 cm"}, {"Frame measurements: in", "Width", "Height", "10 x 5 cm"},
		{"", "Space to journal in, width", "Height of the space it sits in", "10 x 5 cm"}, {"", "Width of space left in", "Height at the highest point", "10 x 5 cm"}, {"", "Width at widest point", "Height (decimal point)", "10 x 5 cm"},
		{"Measurements in inches, please, not in cm", "Width", "Height", "10 x 5 in"},
		{"", "Width (inches, not cm)", "Height (inches, not in cm)", "10 x 5 in"},
		{"", "Width (in)", "Height, in", "10 x 5 in"},
		{"", "Block width in", "Height of the block (in)?", "10 x 5 in"},
		{"", "How wide is it? Please fill it in", "How high is it? Please fill it in", "10 x 5 cm"},
		{"", "Width (please fill in)", "Height (please fill in)", "10 x 5 cm"},
		{"", "Width of the space it goes in", "Height of the space it goes in", "10 x 5 cm"},
	} {
		s.Unit = measure.Cm
		if c.above == "All measures in cm" {
			s.Unit = measure.In
		}
		rows := fmt.Sprintf("%q,,,\nName,Journaling,%q,%q\nAda Lind,In May,10,5\n", c.above, c.width, c.height)
		job, problems := Read(intaketest.Write(t, "a.csv", rows), s)
		got := "none"
		if len(job.Blocks) == 1 {
			got = job.Blocks[0].Space.Format(job.Blocks[0].Unit)
		} else if len(job.Held) == 1 {
			got = fmt.Sprint(intaketest.Say(problems))
		}
		if got != c.space {
			t.Errorf("%q %q: %s, want %s", c.above, c.width, got, c.space)
		}
	}
}

// TestWebCodes: what a web page or mail left in a text is printed as it stands, and told; what only looks like it is not.
func TestWebCodes(t *testing.T) {
	for text, code := range map[string]string{"Salt &amp; pepper": "&amp;", "it&#39;s": "&#39;", "We rowed<br>home": "<br>", "<p class=\"x\">Home</p>": "<p class=\"x\">", "Ann=E2=80=99s": "=E2=80=99", "We rowed=20\nhome": "=20",
		"caf&eacute;": "&eacute;", "Bo &Ann; home": "", "a < b > c": "", "1+1=20 pins": "", "2=2": "", "<3 you": "", "AT&T;": "", "x=AB": ""} {
		job, said := readTables(t, nil, "a.csv", fmt.Sprintf("Name,Journaling,Width,Height\nAda Lind,\"%s\",5,3\n", strings.ReplaceAll(text, `"`, `""`)))
		if told := strings.Contains(said, "“"+code+"” is a code of web pages or mail"); told != (code != "") || len(job.Blocks) != 1 || flat(job.Blocks[0].Text) != text {
			t.Errorf("%q: %q\n%s", text, flat(job.Blocks[0].Text), said)
		}
	}
}

// TestPartedByAComma: a text that a comma has parted over two columns is told where the cells at the end of its row are left out.
func TestPartedByAComma(t *testing.T) {
	const textFirst, titleFirst = "Name,Width,Height,Journaling,Title,Who", "Name,Width,Height,Title,Journaling,Who"
	for _, c := range []struct {
		head, row string
		told      bool
	}{
		{textFirst, "Ada,4,2,We saw Bob and Cy, Di and Ed", true}, {textFirst, "Ada,4,2,On the 5th of May, 2020 we went to Rome", true}, {textFirst, "Ada,4,2,We saw Bob, then Cy", true}, {titleFirst, "Ada,4,2,We saw Bob, then Cy", true},
		{textFirst, "Ada,4,2,We saw Bob,Gulls", false}, {textFirst, "Ada, 4, 2, We saw Bob, Gulls", false}, {textFirst, "Ada,4,2,We saw Bob., Gulls", false}, {titleFirst, "Ada,4,2,Gulls,We saw Bob", false},
	} {
		_, said := readTables(t, nil, "a.csv", c.head+"\n"+c.row+"\n")
		if got := strings.Contains(said, "may belong to the journaling"); got != c.told {
			t.Errorf("%s: told %t\n%s", c.row, got, said)
		}
	}
}

// TestSets: a row with several texts is that many blocks, each with its own space, whatever a web form calls them.
func TestSets(t *testing.T) {
	for headings, row := range map[string]string{
		"Name,Journaling 1,Width 1,Height 1,Journaling 2,Width 2,Height 2":             "Ada Lind,In May,4,2,In June,3,1",
		"Name,Journaling,Width,Height,Journaling 2,Width 2,Height 2":                   "Ada Lind,In May,4,2,In June,3,1",
		"Name,Journaling,Width,Height,Journaling,Width,Height":                         "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text #1,Space #1,Text #2,Space #2":                                       "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,1. Text,1. Space,2. Text,2. Space":                                       "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text 1,Width,Height,Text 2,Width,Height":                                 "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Space A (w x h),Text B,Space B (w x h)":                           "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text A,Space (w x h),Text B,Space (w x h)":                               "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,First text,First space (w x h),Second text,Second space (w x h)":         "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text (A),Width (A) (in),Height (A),Text (B),Width (B) (in),Height (B)":   "Ada Lind,In May,4,2,In June,3,1",
		"Name,First text,Space,Second text,Space":                                      "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Width,Height,Text A,Width,Height,Text B":                                 "Ada Lind,4,2,In May,3,1,In June",
		"Name,Text,Width,Height,Text2,Width3,Height4":                                  "Ada Lind,In May,4,2,In June,3,1", // as a spreadsheet program heads a table
		"Name,Text 1,Text 1 width,Text 1 height,Text 2,Text 2 width,Text 2 height":     "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Width (in) A,Height A,Text B,Width (in) B,Height B":               "Ada Lind,In May,4,2,In June,3,1",
		"Name,First text,Width,Height,Second text,Width2,Height3":                      "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text 1,Width 1 in,Height 1 in,Text 2,Width 2 in,Height 2 in":             "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Text A width,Text A height,Text B,Text B width,Text B height":     "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Width A in,Height A in,Text B,Width B in,Height B in":             "Ada Lind,In May,4,2,In June,3,1",
		"Name,Text A,Size A,Text B,Size B":                                             "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,First text,First size,Second text,Second size":                           "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text 1,Size 1 (w x h),Text 2,Size 2 (w x h)":                             "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text,Size,Font size,Text2,Size3,Font size4":                              "Ada Lind,In May,4 x 2,9,In June,3 x 1,8",
		"Name,Text 1,Size,Text 2,Size":                                                 "Ada Lind,In May,4 x 2,In June,3 x 1",
		"Name,Text (1),Text (2),Width 1 (in),Height 1 (in),Width 2 (in),Height 2 (in)": "Ada Lind,In May,In June,4,2,3,1",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		got := ""
		for _, b := range job.Blocks {
			got += fmt.Sprintf("%s %d/%d %s %s; ", b.Code, b.Place.Row, b.Place.Block, flat(b.Text), b.Space.Format(measure.In))
		}
		if want := "AL-1 2/1 In May 4 x 2 in; AL-2 2/2 In June 3 x 1 in; "; got != want {
			t.Errorf("%s: %s\n%s", headings, got, said)
		}
	}
	// So does what the number stands behind.
	for _, headings := range []string{"Name,Text,Width,Height,Text of block 2,Width of block 2,Height of block 2,Title of block 2", "Name,Text,Width,Height,Caption for photo 2,Width for photo 2,Height for photo 2,Title for photo 2",
		"Name,Text,Width,Height,Block 2 text,Block 2 width,Block 2 height,Block 2 title", "Name,Text,Width,Height,Text 2 (up to 50 words),Width 2,Height 2,Title 2",
		"Name,Text A,Width A,Height A,Text B,Width B,Height B,Title B", "Name,Text,Width,Height,Second text,Second width,Second height,Second title", "Name,Text a,Width a (in),Height a (in),Text b,Width b (in),Height b (in),Title b:",
		"Name,First text,First width,First height,The 2nd text,2nd width,2nd height,2nd title"} {
		job, said := readTables(t, nil, "a.csv", headings+"\nAda Lind,In May,4,2,In June,3,1,Bread\n")
		if len(job.Blocks) != 2 || job.Blocks[0].Title != "" || job.Blocks[1].Title != "Bread" {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	// The questions of a web form are counted through.
	for headings, row := range map[string]string{
		"1. Name,2. Journaling,3. Width (in),4. Height,5. Journaling,6. Width (in),7. Height": "Ada Lind,In May,4,2,In June,3,1",
		"1. Name,2. Page,3. Text,4. Size,5. Stock,6. Text,7. Size,8. Stock":                   "Ada Lind,7,In May,4 x 2,vellum,In June,3 x 1,vellum",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		if len(job.Blocks) != 2 || job.Blocks[0].Space.Format(measure.In) != "4 x 2 in" || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" || job.Blocks[1].Stock != "vellum" || strings.Contains(said, "read:") {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	for _, headings := range []string{"1. Name,2. Text,3. Width,4. Height,5. Where", "1. Name,2. Text,3. Size (w x h),4. Tea,5. Where"} {
		job, said := readTables(t, nil, "a.csv", headings+"\nAda Lind,In May,"+map[bool]string{true: "4,2", false: "4 x 2,"}[strings.Contains(headings, "Width")]+",Larvik\n")
		if len(job.Blocks) != 1 || job.Blocks[0].Space.Format(measure.In) != "4 x 2 in" || job.Blocks[0].End != "Larvik" {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	for headings, row := range map[string]string{
		"1. Name,2. Text,3. Width,4. Height,5. Name,6. Text,7. Width,8. Height": "Ada Lind,In May,4,2,Bo Berg,In June,3,1",
		"Name,Text,Space,Name_1,Text_2,Space_3":                                 "Ada Lind,In May,4 x 2,Bo Berg,In June,3 x 1",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		if len(job.Blocks) != 2 || job.Blocks[0].Owner != "Ada Lind" || job.Blocks[1].Owner != "Bo Berg" || job.Blocks[1].Space.Format(measure.In) != "3 x 1 in" || strings.Contains(said, "read:") {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	// What a column without a number is taken for is told there as anywhere.
	if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,Text2,Space3,Stockk\nAda Lind,In May,4 x 2,In June,3 x 1,vellum\n"); !strings.Contains(said, "the column “Stockk” is taken for Stock") {
		t.Error(said)
	}
	// A choice is none of the blocks.
	if job, said := readTables(t, nil, "a.csv", "Name,1st choice stock,2nd choice stock,Text 1,Space 1,Text 2,Space 2\nAda Lind,vellum,cardstock,In May,4 x 2,In June,3 x 1\n"); len(job.Blocks) != 2 || job.Blocks[1].Stock != "vellum" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	// However many there are.
	for _, headings := range []string{"First text,Second text,Third text,Fourth text,Fifth text,Sixth text", "1st text,2nd text,3rd text,4th text,5th text,11th text", "Text A,Text B,Text C,Text F,Text G,Text H"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Space,"+headings+"\nAda Lind,4 x 2,In May,In June,In July,Autumn,Winter,Bread\n"); len(job.Blocks) != 6 || flat(job.Blocks[5].Text) != "Bread" {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	// A name is for all of them.
	for _, headings := range []string{"1st name,Last name", "First name,Second name", "First & last name,Tea", "First name (as on badge),Last name", "Name A,Tea", "Name,Tea", "Your first name,Surname"} {
		job, said := readTables(t, nil, "a.csv", headings+",Text 1,Width 1,Height 1,Text 2,Width 2,Height 2\nAda,Lind,In May,4,2,In June,3,1\n")
		if len(job.Blocks) != 2 || !strings.HasPrefix(job.Blocks[1].Owner, "Ada") {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	// Names that stand each with its text are of their blocks.
	for headings, row := range map[string]string{
		"First name,First text,Second name,Second text,Space":               "Ada Lind,In May,Bo Berg,In June,4 x 2",
		"Name A,Text A,Space A,Name B,Text B,Space B":                       "Ada Lind,In May,4 x 2,Bo Berg,In June,4 x 2",
		"Space,First text,First name,Second text,Second name":               "4 x 2,In May,Ada Lind,In June,Bo Berg",
		"First name,First text,Second text,Second name,Space":               "Ada Lind,In May,In June,Bo Berg,4 x 2",
		"1st name,1st surname,1st text,2nd name,2nd surname,2nd text,Space": "Ada,Lind,In May,Bo,Berg,In June,4 x 2",
		"Name (A),Name (B),Text (A),Text (B),Space":                         "Ada Lind,Bo Berg,In May,In June,4 x 2",
		"Name,1st text,Space,Name2,2nd text,Space2":                         "Ada Lind,In May,4 x 2,Bo Berg,In June,4 x 2",
		"Name,Text,Second name,Second text,Width,Height,Second title":       "Ada Lind,In May,Bo Berg,In June,4,2,Bread",
	} {
		job, said := readTables(t, nil, "a.csv", headings+"\n"+row+"\n")
		if len(job.Blocks) != 2 || job.Blocks[0].Owner != "Ada Lind" || job.Blocks[1].Owner != "Bo Berg" || strings.Contains(said, "read:") {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	// What belongs to a block that is not read is on no other.
	for headings, told := range map[string]string{"Name,Text,Width,Height,Diary,Other width,Other height,Other title": "“Other title” in column H (of another block)",
		"Name,Text,Width,Height,Diary,Width bis,Height bis,Title bis": "“Title bis” in column H (of another block)"} {
		job, said := readTables(t, nil, "a.csv", headings+"\nAda Lind,In May,4,2,In June,3,1,Bread\n")
		if len(job.Blocks) != 1 || job.Blocks[0].Title != "" || !strings.Contains(said, told) {
			t.Errorf("%s: %v\n%s", headings, job.Blocks, said)
		}
	}
	if _, said := readTables(t, nil, "a.csv", "Name,Text 1,Width 1,Height 1,Text 2,Width 2,Height 2,Where (3)\nAda Lind,In May,4,2,In June,3,1,Larvik\n"); !strings.Contains(said, "“Where (3)” stands for all blocks of a row") {
		t.Error(said)
	}
	// What is told by a word of its heading goes by its number as well.
	for title, want := range map[string][]string{"Title of block": {"Plums", "Bread"}, "Title": {"Plums", "Bread"}} {
		job, said := readTables(t, nil, "a.csv", fmt.Sprintf("Name,Text 1,Width of space 1,Height of space 1,%[1]s 1,Text 2,Width of space 2,Height of space 2,%[1]s 2\nAda Lind,In May,4,2,Plums,In June,3,1,Bread\n", title))
		if len(job.Blocks) != 2 || job.Blocks[0].Title != want[0] || job.Blocks[1].Title != want[1] {
			t.Errorf("%s: %v\n%s", title, job.Blocks, said)
		}
	}
	// A second set that is empty is no block; one that lacks a measure is held back, and names its own column.
	job, said := readTables(t, nil, "a.csv", "Name,Journaling 1,Width 1,Height 1,Journaling 2,Width 2,Height 2\nAda Lind,In May,4,2,,,\nBo Ek,In May,4,2,In June,3,\nCy Fox,,,,,,\n")
	if len(job.Blocks) != 2 || len(job.Held) != 2 || job.Held[0].Place.Block != 2 || !strings.Contains(said, "error 3G3: the height is missing") {
		t.Errorf("%v %v\n%s", job.Blocks, job.Held, said)
	}
}

// TestSetsLoseNothing: what stands in a row of several blocks and gets onto none of them is told: in a column for all blocks that have their own, and in the
// columns of a block that nothing is asked for.
func TestSetsLoseNothing(t *testing.T) {
	const two = "Name,Text 1,Width 1,Height 1,Text 2,Width 2,Height 2"
	of := func(columns, cells string) string {
		return two + "," + columns + "\nAda Lind,In May,4,2,In June,3,1," + cells + "\n"
	}
	first := func(columns, cells string) string {
		return two + "," + columns + "\nAda Lind,In May,4,2,,,," + cells + "\n"
	}
	for name, c := range map[string]struct{ data, want string }{
		"a long text":             {of("Text", "We rowed out before breakfast and came home with eleven mackerel"), "error 0H1: the column “Text” holds texts and would not be printed: H2 "},
		"a text":                  {of("Text", "In July"), "error 1H1: 1 text in column H would be lost"},
		"a title":                 {of("Title,Title 1,Title 2", "Summer,,"), "not read: “Title” in column H (a second one for Title)"},
		"a place and a stock":     {of("Where 1,Where 2,Where,Stock,Stock 1,Stock 2", ",,Larvik,vellum,,"), "not read: “Where” in column J (a second one for Where), “Stock” in column K (a second one for Stock)"},
		"a width":                 {of("Width", "5"), "not read: “Width” in column H (a second one for Width)"},
		"of blocks 2 and 3":       {strings.NewReplacer("2", "3", "1", "2").Replace(two) + ",Title 2,Title 3,Title\nAda Lind,In May,4,2,In June,3,1,,,Summer\n", "not read: “Title” in column J (a second one for Title)"},
		"a number with no text":   {of("Title 3,Title 1,Title 2", "Autumn,,"), "not read: “Title 3” in column H (a second one for Title)"},
		"for those without":       {of("Title,Title 1", "Summer,"), ""},
		"and there are none":      {first("Title,Title 1", "Summer,"), "cells for all blocks of a row were not read: H2"},
		"a block that is no more": {first("Where 1,Where 2,Who 2,Note 2,Stock 2", ",Larvik,Bo,Please,vellum"), "cells of blocks that ask for nothing were not read: I2:L2"},
		"nor is another":          {two + ",Where 2\nAda Lind,,,,,,,Larvik\n", "cells of blocks that ask for nothing were not read: H2"},
		"and nobody asks":         {two + ",Where 1,Where 2\n,,,,,,,Larvik,Larvik\n", "cells of blocks that ask for nothing were not read: I2"},
		"for all":                 {of("Title,Where", "Summer,Larvik"), ""},
	} {
		job, said := readTables(t, nil, "a.csv", c.data)
		if c.want == "" && strings.Contains(said, "read:") || !strings.Contains(said, c.want) {
			t.Errorf("%s: %v\n%s", name, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", of("Title,Title 1", "Summer,Spring")); len(job.Blocks) != 2 || job.Blocks[0].Title != "Spring" || job.Blocks[1].Title != "Summer" {
		t.Errorf("%+v\n%s", job.Blocks, said)
	}
}

// TestNoTextLost: a column that no rule knows and that holds texts stops the print, until it is said what it is.
func TestNoTextLost(t *testing.T) {
	const table = "Name,Journaling,Space,Stickers,The tale of it\nAda Lind,In May,4 x 2,three,We rowed out before breakfast and came home with eleven mackerel\n"
	_, said := readTables(t, nil, "a.csv", table)
	if !strings.Contains(said, "error 0E1: the column “The tale of it” holds texts and would not be printed: E2 “We rowed") || !strings.Contains(said, "not read: “Stickers”") {
		t.Error(said)
	}
	job, said := readTables(t, []config.Column{{Heading: "the tale of it", As: "nothing"}}, "a.csv", table)
	if len(job.Blocks) != 1 || strings.Contains(said, "error") {
		t.Error(said)
	}
	job, said = readTables(t, nil, "a.csv", "Name,Journaling,Space,Caption\nAda Lind,In May,4 x 2,We rowed out before breakfast and came home with eleven mackerel\n")
	if !strings.Contains(said, "error 0D1: the column “Caption” holds texts") {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestTold: headings that no rule knows are told, and the message for what is missing says how.
func TestTold(t *testing.T) {
	const table = "Who are you,What should we print?,Inches sideways,Inches downwards\nAda Lind,We rowed out before breakfast,4,2\n"
	_, said := readTables(t, nil, "a.csv", table)
	if !strings.Contains(said, `--column "What should we print?=Journaling" --column "Inches sideways=Width"`) {
		t.Error(said)
	}
	columns := []config.Column{{Heading: "what should we print", As: "text"}, {Heading: "Inches sideways", As: "Width"}, {Heading: "Inches downwards", As: "Height"}}
	if job, said := readTables(t, columns, "a.csv", table); len(job.Blocks) != 1 || said != "" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
	_, said = readTables(t, append(columns, config.Column{Heading: "Who are you", As: "Width"}, config.Column{Heading: "Shoes", As: "Note"}, config.Column{Heading: "x", As: "Heigt"}), "a.csv", table)
	for _, want := range []string{"are both told to be Width", "no table has the column “Shoes”", "which is no column | did you mean Height?"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q is not said:\n%s", want, said)
		}
	}
}

// TestDitto: what people write for "the same as above" is the name above, and said; with nothing above it is missing.
func TestDitto(t *testing.T) {
	for _, mark := range []string{`""""`, "”", "same", "do.", "Ditto", "〃", "as above"} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nAda Lind,In May,4 x 2\n"+mark+",In June,4 x 2\n")
		if len(job.Blocks) != 2 || job.Blocks[1].Owner != "Ada Lind" || !strings.Contains(said, "the name above") {
			t.Errorf("%s: %v\n%s", mark, job.Blocks, said)
		}
	}
	if job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nsame,In May,4 x 2\n"); len(job.Held) != 1 || !strings.Contains(said, "the name is missing") {
		t.Error(said)
	}
}

// TestFaultsStay: an error of a formula is one as a text too, which is what is left of it in a copy.
func TestFaultsStay(t *testing.T) {
	for fault := range faults {
		if job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nAda Lind,"+fault+",4 x 2\n"); len(job.Held) != 1 || !strings.Contains(said, fault) {
			t.Errorf("%s: %s", fault, said)
		}
	}
}

// TestVersions: files with mostly the same rows are asked about once, as files; one row that two people share is noted.
func TestVersions(t *testing.T) {
	row := func(name, text string) string { return name + "," + text + ",4 x 2\n" }
	const head = "Name,Journaling,Space\n"
	first := head + row("Ada Lind", "In May") + row("Ada Lind", "In June")
	_, said := readTables(t, nil, "anna (1).csv", first, "anna.csv", first, "anna2.csv", head+row("Ada Lind", "In May")+row("Ada Lind", "In July"), "bo.csv", head+row("Bo Ek", "In May"))
	if want := "error 0: anna (1).csv, anna.csv and anna2.csv seem to be versions of one file: 3 rows are the same"; strings.Count(said, "the same") != 1 || !strings.Contains(said, want) {
		t.Error(said)
	}
	long := head + row("Ada Lind", "In May")
	for _, month := range []string{"June", "July", "August"} {
		long += row("Ada Lind", "In "+month)
	}
	other := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(long, "June", "Spring"), "July", "Autumn"), "August", "Winter")
	if _, said := readTables(t, nil, "a.csv", long, "b.csv", other); !strings.Contains(said, "note 2B2: the same text stands in row 2 of a.csv") || strings.Contains(said, "error") {
		t.Error(said)
	}
}

// TestElsewhere: a text that is only a file's name, a link or "see photo" is asked about; one that mentions them is a text.
func TestElsewhere(t *testing.T) {
	for text, asked := range map[string]bool{"hand.jpg": true, "my story.docx": true, "https://example.org/a": true, "see photo": true, "(see attached)": true, "See my e-mail.": true,
		"See photos of the quay and weep": false, "We looked at www.example.org all day": false, "See Naples": false, "The end.": false, "See you": false} {
		job, said := readTables(t, nil, "a.csv", "Name,Journaling,Space\nAda Lind,"+text+",4 x 2\n")
		if (len(job.Held) == 1) != asked {
			t.Errorf("%s: %s", text, said)
		}
	}
}

// TestTwiceWithoutPage: a text that stands once more for the same person, where one of the two has no page, is told; with another page it is another block.
func TestTwiceWithoutPage(t *testing.T) {
	for data, told := range map[string]bool{"1,Ada Lind,In May we rowed\n,Ada Lind,In May we rowed\n": true, ",Ada Lind,In May we rowed\n1,Ada Lind,In May we rowed\n": true, "1,Ada Lind,In May we rowed\n2,Ada Lind,In May we rowed\n": false, "1,Ada Lind,In May we rowed\n,Bo Mu,In May we rowed\n": false} {
		rows := strings.ReplaceAll(data, "\n", ",4,2\n")
		job, said := readTables(t, nil, "a.csv", "Page,Name,Journaling,Width,Height\n"+rows)
		if len(job.Blocks) != 2 || strings.Contains(said, "the same text stands in row 2") != told {
			t.Errorf("%q: %s", data, said)
		}
	}
}
