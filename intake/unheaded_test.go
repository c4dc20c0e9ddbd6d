package intake

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
)

// A sheet on which somebody goes on without headings is an error, also below a title; other sheets are notes, and so is one whose rows are of something else.
func TestSheetWithoutHeadings(t *testing.T) {
	for _, c := range []struct {
		name string
		head []any
		rows [][]any
		lost bool
	}{
		{"rows", intaketest.Head, [][]any{{"Bo Mu", "Plums at Larvik", 4, 2}, {"Pim", "Soup in May 2026", 3, 2}}, true},
		{"a title", intaketest.Head, [][]any{{"Saturday"}, {}, {"Bo Mu", "Plums at Larvik", 4, "2 in"}, {"Pim", "Soup", "", ""}}, true},
		{"a space in one column", []any{"Name", "Journaling", "Space"}, [][]any{{"Bo Mu", "Plums at Larvik", "4 x 2"}}, true},
		{"several blocks", []any{"Name", "Text 1", "Width 1", "Height 1", "Text 2", "Width 2", "Height 2"}, [][]any{{"Bo Mu", "Plums at Larvik", 4, 2, "", "", ""}}, true},
		{"a budget", intaketest.Head, [][]any{{"Item", "What", "Cost", "Paid"}, {"Tea", "for all of us", 4, "no"}, {"Cups", "twelve", 9, "yes"}}, false},
		{"paper", intaketest.Head, [][]any{{"vellum", "letter", 4, .6}}, false},
		{"a budget with numbers", intaketest.Head, [][]any{{"Item", "What", "Cost", "Count"}, {"Tea", "for all of us", 4, 2}, {"Cups", "twelve of them", 9, 1}}, false},
		{"rooms", intaketest.Head, [][]any{{"Name", "Room", "Nights", "Beds"}, {"pim", "Lake view", 4, 2}}, false},
		{"other headings and a text", intaketest.Head, [][]any{{"Who", "Say", "Across", "Down"}, {"Eva", "Plums and soup and fish and all that we ate", 4, 2}}, true},
		{"numbers", intaketest.Head, [][]any{{1, 2, 3, 4}, {2, 3, 4, 5}}, false},
		{"addresses", intaketest.Head, [][]any{{"Bo Mu", "Quay 4", "Larvik", "12"}, {"Pim", "Quay 7", "Larvik", "3"}}, false},
	} {
		data := intaketest.Saved(t, func(f *excelize.File) {
			first := []any{"Pim", intaketest.Story, 4, 2}
			if len(c.head) == 3 {
				first = []any{"Pim", intaketest.Story, "4 x 2"}
			}
			intaketest.Put(t, f, "Sheet1", c.head, first)
			tab := "Saturday"
			if c.name == "paper" {
				tab = "Paper"
			}
			intaketest.Put(t, f, tab, c.rows...)
		})
		job, problems := read(t, "a.xlsx", data)
		said := intaketest.Say(problems)
		if lost := strings.Contains(said, "error a.xlsx/Saturday: the sheet has rows like those of “Sheet1”, and no headings that are known"); lost != c.lost || !lost && !strings.Contains(said, ": the sheet is not journaling and was not read") || len(job.Blocks) != 1 {
			t.Errorf("%s: %d blocks, %s", c.name, len(job.Blocks), said)
		}
	}
}

// The text of a second block is an error under any heading that names a text, and in a script without spaces, too.
func TestSecondTexts(t *testing.T) {
	for _, c := range []struct {
		heads, text string
		want        string
	}{
		{"Text A,Width A,Height A,Text B,Width B,Height B", "Plums", "note a.csv 1: each row is read as up to 2 blocks"},
		{"A text,A width,A height,B text,B width,B height", "Plums", "note a.csv 1: each row is read as up to 2 blocks"},
		{"First text,Width,Height,Second text,Last text,Tea", "Plums", "error a.csv F1: the column “Last text” holds texts"},
		{"Text A,Width,Height,Text B,Extra text,Tea", "Plums", "error a.csv F1: the column “Extra text” holds texts"},
		{"Text,Width,Height,Text bis,Width bis,Height bis", "Plums", "error a.csv E1: the column “Text bis” holds texts"},
		{"Text,Width,Height,Text for mum,Width,Height", "Plums", "error a.csv E1: the column “Text for mum” holds texts"},
		{"Text,Width,Height,Text for mum,Width,Height", "", "note"},
		{"Text,Width,Height,Corrected text,Tea,Cups", "Plums", "error a.csv E1: the column “Corrected text” holds texts"},
		{"Text,Width,Height,Text (new),Tea,Cups", "Plums", "error a.csv 1 E1: 1 text in column E would be lost"},
		{"Text,Width,Height,Corrections,Tea,Cups", "Plums", "error a.csv E1: the column “Corrections” holds texts"},
		{"Text,Width,Height,Corrections,Tea,Cups", "", "note"},
		{"Text,Width,Height,Updated,Tea,Cups", "at noon", "note"},
		{"Text,Width,Height,Final text?,Tea,Cups", "Yes", "note"},
		{"Text,Width,Height,Text corrected by,Tea,Cups", "Joan", "note"},
		{"Text,Width,Height,Corrections,Tea,Cups", "2", "note"},
		{"Text,Width,Height,Text for page 2,Tea,Cups", "Plums", "error a.csv E1: the column “Text for page 2” holds texts"},
		{"Text,Width,Height,2nd page text,Tea,Cups", "Plums", "error a.csv E1: the column “2nd page text” holds texts"},
		{"Text,Width,Height,Page for the text,Tea,Cups", "12", "note"},
		{"Text,Width,Height,Text colour,Shoe size,Tea", "red", "note"},
		{"Text,Width,Height,Diary,Tea,Cups", "五月四日我们在湖边吃李子晚上一起唱歌星星很亮", "error a.csv E1: the column “Diary” holds texts"},
	} {
		_, problems := Read(intaketest.Write(t, "a.csv", "Name,"+c.heads+"\nPim,Soup at Larvik,4,2,"+c.text+",3,2\n"), intaketest.Home())
		said := intaketest.Say(problems)
		if !strings.Contains(said, c.want) || strings.HasPrefix(c.want, "note") && strings.Contains(said, "error") {
			t.Errorf("%s, %q: %s", c.heads, c.text, said)
		}
	}
}

// A size is the space, and the size of the font is that of the letters.
func TestSizeBesideFontSize(t *testing.T) {
	for _, table := range []string{"Name,Text,Size,Font size\nPim,Soup at Larvik,4 x 2,9\n", "Name,Text,Font size,Size\nPim,Soup at Larvik,9,4 x 2\n", "Name,Text,Size,Size,Font size\nPim,Soup at Larvik,4 x 2,,9\n",
		"Name,Text 1,Size 1,Font size 1,Text 2,Size 2\nPim,Soup at Larvik,4 x 2,9,Tea,3 x 1\n", "Name,Text,Size,Text 2,Size 2,Font size\nPim,Soup at Larvik,4 x 2,Tea,3 x 1,9\n"} {
		job, problems := Read(intaketest.Write(t, "a.csv", table), intaketest.Home())
		if len(job.Blocks) == 0 || job.Blocks[0].Space.Format(measure.In) != "4 x 2 in" || job.Blocks[0].Type.Wished != 9*measure.Point {
			t.Errorf("%s: %+v %s", table, job.Blocks, intaketest.Say(problems))
		}
		if own := strings.Contains(table, "Font size 1"); len(job.Blocks) == 2 && (job.Blocks[1].Type.Wished == 9*measure.Point) == own {
			t.Errorf("%s: the second block is of the size %d", table, job.Blocks[1].Type.Wished)
		}
	}
}

// What a program leaves in the place of a file that it has put away is an error, and what it fetches a file into is named.
func TestFileInTheCloud(t *testing.T) {
	files := intaketest.Write(t, "in/a.csv", intaketest.Rows([]string{"Name=Ann"}), "in/.bob.xlsx.icloud", "x", "in/.part.cyd.csv.tmp", "x", "in/.DS_Store", "x", "in/.hidden.icloud", "x")
	_, problems := Read([]string{filepath.Dir(files[0])}, intaketest.Home())
	want := "error in: the file “bob.xlsx” is not on this computer\nnote in: files of the folder that are not read: “.part.cyd.csv.tmp”\n"
	if got := intaketest.Say(problems); got != want {
		t.Errorf("got %s", got)
	}
}

// A column Title that says how people are addressed is no headline, unless somebody says so.
func TestTitleOfPeople(t *testing.T) {
	const heads = "Title,First name,Last name,Text,Width,Height\n"
	for rows, lost := range map[string]bool{"Mrs,Pim,Mu,Soup,4,2\nDr.,Bo,Mu,Plums,4,2\n,Cy,Mu,Tea,4,2\n": true, "Mr,Pim,Mu,Soup,4,2\nAt sea,Bo,Mu,Plums,4,2\n": false, ",Pim,Mu,Soup,4,2\n": false} {
		job, problems := Read(intaketest.Write(t, "a.csv", heads+rows), intaketest.Home())
		if said := intaketest.Say(problems); strings.Contains(said, "error a.csv 1 A1: the column “Title” would be printed above the texts, and says how people are addressed: “Mrs”") != lost || problems.Errors() > 0 != lost {
			t.Errorf("%s: %d blocks, %s", rows, len(job.Blocks), said)
		}
	}
	s := intaketest.Home()
	s.Columns = []config.Column{{Heading: "Title", As: "Title"}}
	if job, problems := Read(intaketest.Write(t, "a.csv", heads+"Mrs,Pim,Mu,Soup,4,2\n"), s); problems.Errors() > 0 || job.Blocks[0].Title != "Mrs" {
		t.Error(intaketest.Say(problems))
	}
}

// A sheet or a file that is called like a stock is told of where its rows name none and are printed on another one.
func TestStockOfName(t *testing.T) {
	for _, c := range []struct {
		file, heads, row string
		told             string
	}{
		{"vellum.csv", "Name,Text,Width,Height", "Pim,Soup,4,2", "note vellum.csv: blocks that name no stock are printed on cardstock, and the file's name says vellum\n"},
		{"in/Clear stickers.csv", "Name,Text,Width,Height,Stock", "Pim,Soup,4,2,", "and the file's name says clear sticker\n"},
		{"vellum.csv", "Name,Text,Width,Height,Stock", "Pim,Soup,4,2,cardstock", ""},
		{"cardstock.csv", "Name,Text,Width,Height", "Pim,Soup,4,2", ""},
		{"friday.csv", "Name,Text,Width,Height", "Pim,Soup,4,2", ""},
		{"plain.csv", "Name,Text,Width,Height", "Pim,Soup,4,2", ""},
		{"vellum of friday.csv", "Name,Text,Width,Height", "Pim,Soup,4,2", "the file's name says vellum"},
	} {
		s := intaketest.Home()
		s.Default = "cardstock"
		job, problems := Read(intaketest.Write(t, c.file, c.heads+"\n"+c.row+"\n"), s)
		if said := intaketest.Say(problems); !strings.Contains(said, c.told) || (c.told == "") == strings.Contains(said, "name says") || len(job.Blocks) != 1 || job.Blocks[0].Stock != "cardstock" {
			t.Errorf("%s, %s: %s", c.file, c.row, said)
		}
	}
}

// The name that a web form writes of nobody is no name where another column asks for it.
func TestNobodysName(t *testing.T) {
	for names, want := range map[string]string{"anonymous,Pim;anonymous,Bo Mu": "Pim Bo Mu", "Anonymous,Pim;,Bo Mu": "Pim Bo Mu", "Eva,Pim;anonymous,Bo Mu": "Eva anonymous"} {
		rows := strings.ReplaceAll(names, ";", ",Soup,4,2\n")
		job, problems := Read(intaketest.Write(t, "a.csv", "Name,Your name,Text,Width,Height\n"+rows+",Soup at Larvik,4,2\n"), intaketest.Home())
		var got []string
		for _, b := range job.Blocks {
			got = append(got, b.Owner)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: %v %s", names, got, intaketest.Say(problems))
		}
	}
	// Programs number the second of two headings that are the same; the name is that of all blocks all the same.
	for _, heading := range []string{"Name2", "Name1", "Name_1", "Participant name", "Your name"} {
		for _, own := range []string{"anonymous", ""} {
			job, problems := Read(intaketest.Write(t, "a.csv", "Name,"+heading+",Text,Width,Height,Text2,Width2,Height2\n"+own+",Pim,Soup at Larvik,4,2,Tea at Larvik,3,1\n"), intaketest.Home())
			if own == "" && heading == "Participant name" { // which may be somebody else's
				if len(job.Blocks) > 0 {
					t.Errorf("%s: %v %s", heading, job.Blocks, intaketest.Say(problems))
				}
				continue
			}
			if len(job.Blocks) != 2 || job.Blocks[0].Owner != "Pim" || job.Blocks[1].Owner != "Pim" {
				t.Errorf("%q %s: %v %s", own, heading, job.Blocks, intaketest.Say(problems))
			}
		}
	}
}

// One list of paper in several forms that were handed round is counted once for each, and that is told.
func TestSamePaper(t *testing.T) {
	form := func(name string, count int) string {
		return intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{name, intaketest.Story, 4, 2})
			intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count", "Price"}, []any{"vellum", 8.5, 11, count, 0.6})
		})
	}
	for count, told := range map[int]bool{3: true, 2: false} {
		job, problems := Read(intaketest.Write(t, "ann.xlsx", form("Ann", 3), "bo.xlsx", form("Bo", count)), intaketest.Home())
		if said := intaketest.Say(problems); strings.Contains(said, "note bo.xlsx: the paper that it lists is the same as in “ann.xlsx”, and counted once more") != told || len(job.Paper) != 2 {
			t.Errorf("%d: %s", count, said)
		}
	}
}

// So is a sheet with it that was copied.
func TestPaperSheetCopied(t *testing.T) {
	for count, told := range map[int]bool{3: true, 2: false} {
		job, problems := Read(intaketest.Write(t, "a.xlsx", intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Ann", intaketest.Story, 4, 2})
			intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count"}, []any{"vellum", 8.5, 11, 3})
			intaketest.Put(t, f, "Paper (2)", []any{"Stock", "Width", "Height", "Count"}, []any{"vellum", 8.5, 11, count})
		})), intaketest.Home())
		if said := intaketest.Say(problems); strings.Contains(said, "note a.xlsx/Paper (2): the paper that it lists is the same as on the sheet “Paper”, and counted once more") != told || len(job.Paper) != 2 {
			t.Errorf("%d: %s", count, said)
		}
	}
}

// Journaling that stands on one sheet with a list of paper, above it or below it, however it is headed, is an error, though other journaling is there.
func TestJournalingBesidePaper(t *testing.T) {
	const paper = "Stock,Width,Height,Count\nvellum,8.5,11,3\n"
	for _, journaling := range []string{"Name,Text,Space\nPim,Soup at Larvik,4 x 2\n", "Name,First text,First size,Second text,Second size\nPim,Soup at Larvik,4 x 2,Tea,3 x 1\n", "1. Name,2. Text,3. Width,4. Height\nPim,Soup at Larvik,4,2\n",
		"Q1. Name,Q2. Text,Q3. Space\nPim,Soup at Larvik,4 x 2\n", "Name,Text 1,Text 2,Size\nPim,Soup at Larvik,Tea,4 x 2\n", "Name,Text A,Size A,Text B,Size B\nPim,Soup at Larvik,4 x 2,Tea,3 x 1\n"} {
		for _, sheet := range []string{journaling + ",,\n" + paper, paper + ",,\n" + journaling} {
			_, problems := Read(intaketest.Write(t, "a.csv", intaketest.Rows([]string{"Name=Ann"}), "paper.csv", sheet), intaketest.Home())
			if said := intaketest.Say(problems); !strings.Contains(said, "error paper.csv") {
				t.Errorf("%s: %s", sheet, said)
			}
		}
	}
}
