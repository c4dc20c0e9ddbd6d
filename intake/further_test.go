package intake

import (
	"errors"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// TestHeadingsSayMore: what a heading says beside which field it is of is told by its words, whatever they are; what says no more is not.
func TestHeadingsSayMore(t *testing.T) {
	for heading, word := range map[string]string{
		"Journaling (vellum)": "vellum", "Journaling on vellum": "vellum", "Journaling: vellum": "vellum", "Journaling - cardstock": "cardstock", "Text (2 copies)": "copies", "Text (do not print)": "not", "Text (page 3)": "page 3",
		"Text (blue)": "blue", "Text (Ana)": "ana", "Story (will be printed on clear sticker)": "sticker", "Name (roommate)": "roommate", "Title (in red)": "red"} {
		for _, row := range []string{"Name,%,Width,Height\nAda Lind,In May,4,2\n", "%,Text,Width,Height\nAda Lind,In May,4,2\n", "Name,%,Text,Width,Height\nAda Lind,A May,In May,4,2\n"} {
			if strings.HasPrefix(row, "Name,%,W") == strings.HasPrefix(heading, "Name") || strings.HasPrefix(row, "%") != strings.HasPrefix(heading, "Name") || strings.HasPrefix(row, "Name,%,T") != strings.HasPrefix(heading, "Title") {
				if !strings.HasPrefix(row, "Name,%,W") || strings.HasPrefix(heading, "Title") {
					continue
				}
			}
			if _, said := readTables(t, nil, "a.csv", strings.Replace(row, "%", heading, 1)); !strings.Contains(said, heading) || !strings.Contains(said, word) {
				t.Errorf("%s:\n%s", heading, said)
			}
		}
	}
	for heading, cell := range map[string]string{"Tuck (left)": "1/2", "Tuck (bottom)": "1/2", "Tuck (all sides)": "1/4", "Overlap (bottom)": "1/2", "Tuck (1/8)": "2", "Inset (left)": "1/4", "Margin (sides)": "1/4", "Font (title)": "Sans", "Font size (title)": "12",
		"Align (vertical)": "centre", "Color (paper)": "blue", "Copies (of 2nd text)": "2", "Size (T-shirt)": "12"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height,"+heading+"\nAda Lind,In May,4,2,"+cell+"\n"); !strings.Contains(said, "“"+heading+"”") {
			t.Errorf("%s:\n%s", heading, said)
		}
	}
	for _, heading := range []string{"Space (height first)", "Space (height, then width)", "Space (H first)", "Size (height before width)"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,\""+heading+"\"\nAda Lind,In May,2 x 4\n"); !strings.Contains(said, "“"+heading+"”") {
			t.Errorf("%s:\n%s", heading, said)
		}
	}
	for _, heading := range []string{"Width (boxes)", "Width in boxes", "Width in lines", "Width + 1/8", "Width (minus 1/8)", "Width/2", "2x width", "Cut width", "Overall width", "Gross width"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,"+heading+",Height\nAda Lind,In May,4,2\n"); !strings.Contains(said, "“"+heading+"”") {
			t.Errorf("%s:\n%s", heading, said)
		}
	}
	two := "Name,Text 1 (vellum),Width 1,Height 1,Text 2 (cardstock),Width 2,Height 2\nAda Lind,In May,4,2,In June,3,3\n"
	if _, said := readTables(t, nil, "a.csv", two); !strings.Contains(said, "“vellum”") || !strings.Contains(said, "“cardstock”") {
		t.Error(said)
	}
	for _, row := range []string{"Your name (first and last),\"Your text, as it should read\",How wide is the space? (in),How high is it? (in)", "Name *,Journaling (please type here),Width (w),Height (h)", "Name (as on your badge),Text (what should be printed?),\"Width, in inches\",\"Height, in inches\"",
		"Full name (required),\"Story (who, where, when)\",Width of space (left to right),Height of space (top to bottom)", "Name,Text for the photo page,Width (measured),Height (measured)", "1. Name,2. Text,3. Width (cm),4. Height (cm)", "Name / Nom,Text / Texte,Width / Largeur,Height / Hauteur",
		"Dein Name,Final journaling,Width available,Height available", "Cropper name,Journaling (no more than 500 characters),Width of journal box,Height of journal box", "Name or initials,Paste your journaling here,Window width,Window height", "Album owner,Typed journaling,Its width (in),Its height (in)"} {
		if _, said := readTables(t, nil, "a.csv", row+"\nAda Lind,In May,4,2\n"); strings.Contains(said, "says more than") {
			t.Errorf("%s:\n%s", row, said)
		}
	}
}

// TestOddCells: what is read otherwise than it looks is told.
func TestOddCells(t *testing.T) {
	for _, c := range []struct{ table, told string }{
		{"Name,Text,Width,Height,Tuck?\nAda Lind,In May,4,2,yes\n", "gives no tuck to a block on cardstock"},
		{"Name,Text,Width,Height,Tuck\nAda Lind,In May,4,2,5\n", "wider than the space"},
		{"Name,Text,Width (mm),Height (mm),Inset (mm)\nAda Lind,In May,90,50,1/8\n", "is read as"},
		{"Name,Text,Width,Height\nAda Lind,In May,4 - 1/8,2\n", "type it without the sign"},
		{"Name,Text,Width,Height\nAda Lind,In May,4,2 −1/8\n", "type it without the sign"},
		{"Name,Text,Width,Height\nAda Lind,In May,4,2\n1,2,3,4\n", "“1” is taken for the name of a person"},
		{"Name,Text,Width,Height\nAda Lind,In May,4,2\nMax,5,5,3\n", "“5” is printed as it stands"},
		{"Name,Text,Width,Height,Print?\nAda Lind,In May,4,2,no\n", "“Print?” is not read, and may say what is to be printed: E2 “no”"},
		{"Name,Text,Width,Height,Cancelled\nAda Lind,In May,4,2,x\n", "“Cancelled” is not read, and may say"},
		{"Name,Text,Width,Height\nAda Lind,The CafÃ© at noon,4,2\n", "“Ã©” are printed so"},
		{"Name,Text,Width,Height\nAda Lind,Itâ€™s noon,4,2\n", "are printed so"},
		{"Name,Text,Width,Height\nRenÃ©e Roy,In May,4,2\n", "are printed so"},
		{"Name,Text,Width,Height,Where\nAda Lind,In May,4,2,MÃ¼nchen\n", "are printed so"},
		{"Name,Text,Width,Height,Page\nAda Lind,In May,4,2,Caf√©\n", "are printed so"},
		{"Name,Text,Width,Height\nAda Lind,It‚Äôs noon in M√ºnchen,4,2\n", "are printed so"},
		{"Name,Text,Width,Height\nAda Lind,caf├® and â‚¬5 and wÅ‚asny,4,2\n", "are printed so"},
		{"Name,Text,Width,Height\nAda Lind,ÐŸÑ€Ð¸Ð²ÐµÑ‚,4,2\n", "are printed so"},
		{"Name,Text,Width,Height\nAda Lind,In May,4- 1/2,2\n", "type it without the sign"},
		{"Name,Text,Length,Width\nAda Lind,In May,4,2\n", "comes first"},
		{"Name,Text,Space\nAda Lind,\"=\"\"In July at the mill\"\"\",4 x 2\n", "printed as it stands"},
		{"Name,Text,Space\nAda Lind,\"=HYPERLINK(\"\"a\"\";\"\"In May at the mill, and all that we saw on our way back from it, until it was dark\"\")\",4 x 2\n", "printed as it stands"},
		{"Name,Text,Width,Height,Delete\nAda Lind,In May,4,2,x\n", "may say what is to be printed"},
	} {
		s := strings.Replace(c.table, "Tuck?\nAda Lind,In May,4,2,yes", "Tuck?,Stock\nAda Lind,In May,4,2,yes,cardstock", 1)
		if _, said := readTables(t, nil, "a.csv", s); !strings.Contains(said, c.told) {
			t.Errorf("%s:\n%s", s, said)
		}
	}
	for _, s := range []string{"Name,Text,Width,Height\nAda Lind,In May,4-1/8,2 1/8\n", "Name,Text,Width,Height,What should we print?\nAda Lind,In May,4,2,\n", "Name,Text,Width,Height,Tuck\nAda Lind,In May,4,2,none\n", "Name,Text,Width,Height\nAda Lind,Âge tendre et Ãgua,4,2\n", "Name,Text,Width,Height\nAda Lind,”MANHû e “IRMÖ… IRMÖ,4,2\n", "Name,Text,Width,Length\nAda Lind,In May,4,2\n"} {
		if _, said := readTables(t, nil, "a.csv", s); strings.Contains(said, "may be a minus") || strings.Contains(said, "may say") || strings.Contains(said, "gives no") || strings.Contains(said, "printed so") || strings.Contains(said, "comes first") {
			t.Errorf("%s:\n%s", s, said)
		}
	}
	job, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height,Align\nAda Lind,In May,4,2,centre vertically\n")
	if len(job.Blocks) != 1 || job.Blocks[0].Type.Vertical.String() != "middle" || job.Blocks[0].Type.Align.String() == "centre" {
		t.Errorf("%v\n%s", job.Blocks, said)
	}
}

// TestCountsAsShown: a count is the number of its cell, but for a format that shows it as something else.
func TestCountsAsShown(t *testing.T) {
	for format, read := range map[string]bool{"0": true, "#,##0.00": true, "0\" copies\"": true, "\"x \"0": true, "0\"x\"": true, "0\" pairs\"": false, "\"2 x \"0": false, "0\" each for Ida and Bo\"": false, "0%": false, "0\"?\"": false} {
		f := excelize.NewFile()
		defer f.Close()
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			t.Fatal(err)
		}
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Text", "Width", "Height", "Copies"}, []any{"Ada Lind", "In May 1987 at the mill.", 4, 2, 3})
		if _, err = f.NewSheet("Paper"); err != nil {
			t.Fatal(err)
		}
		intaketest.Put(t, f, "Paper", []any{"Stock", "Width", "Height", "Count"}, []any{"vellum", 8.5, 11, 3})
		if err := errors.Join(f.SetCellStyle("Sheet1", "E2", "E2", style), f.SetCellStyle("Paper", "D2", "D2", style)); err != nil {
			t.Fatal(err)
		}
		job, problems := Read(intaketest.Write(t, "a.xlsx", intaketest.Bytes(t, f)), intaketest.Home())
		said := intaketest.Say(problems)
		if asked := strings.Contains(said, "is no number of copies") && strings.Contains(said, "is no number of sheets"); asked == read || read && (job.Blocks[0].Copies != 3 || job.Paper[0].Count != 3) {
			t.Errorf("%s: %+v %s", format, job.Paper, said)
		}
	}
}

// TestSheetNamesSay: what the name of a worksheet says of its blocks, and no column does, is told.
func TestSheetNamesSay(t *testing.T) {
	for name, told := range map[string]bool{"2 copies": true, "Page 3": true, "Red": true, "White ink": true, "Twice": true, "Two of each": true, "Copies 2": true, "In blue": true, "Pages 3-4": true, "P3": true, "p. 3": true, "No tuck": true, "Texts": false, "Ana": false, "Page texts": false, "Sheet1": false} {
		s := &Sheet{Sheet: &table.Sheet{Name: name, Rows: []table.Row{{N: 1}}}}
		s.noteNameSaid()
		if (len(s.problems) == 1) != told || told && !strings.Contains(s.problems[0].What, name) {
			t.Errorf("%s: %v", name, s.problems)
		}
	}
}
