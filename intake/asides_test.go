package intake

import (
	"strings"
	"testing"
)

// TestSaidToThePrinter: what people type to the one who prints, in a cell that is printed, is told; texts that only begin so are not.
func TestSaidToThePrinter(t *testing.T) {
	for _, text := range []string{"will send later", "I'll bring it tomorrow", "text to come", "to follow", "same text as page 3", "[same as Ana p. 3]", "see back of sheet", "see page 4", "copy of row 2", "handwritten", "no text", "leave blank", "don't print", "CANCELLED - do not print", "cancelled",
		"Your text here", "Type here", "...", "not needed", "skip", "already printed", "still writing", "ask Jo for the text", "I will email it", "see tab 2"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space\nAda Lind,\""+text+"\",4 x 2 in\n"); !strings.Contains(said, "reads like a remark") || len(job.Blocks) != 1 {
			t.Errorf("%s: %v\n%s", text, job.Blocks, said)
		}
	}
	for _, text := range []string{"We will send you flowers", "Here we are", "Later that day", "See you at the lake", "The same old song", "Skip to my Lou", "Missing you", "Ask me anything", "First page of our book", "Home", "❤", "xxx", "Leave your shoes at the door", "Cancelled trains, happy people"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\nAda Lind,\""+text+"\",4 x 2 in\n"); strings.Contains(said, "reads like a remark") != strings.HasPrefix(text, "Cancelled") {
			t.Errorf("%s:\n%s", text, said)
		}
	}
	for column, cells := range map[string][2][]string{
		"Location": {{"top left", "under the photo", "p. 3", "table 3", "3", "left page"}, {"Oslo", "the left bank", "top of the hill", "page street"}},
		"When":     {{"ASAP", "by Friday", "done", "later"}, {"3 May", "Friday", "byes"}},
	} {
		for i, list := range cells {
			for _, cell := range list {
				if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,"+column+"\nAda Lind,In May,4 x 2 in,"+cell+"\n"); strings.Contains(said, "is printed in the line below the text") != (i == 0) {
					t.Errorf("%s %s:\n%s", column, cell, said)
				}
			}
		}
	}
	for row, told := range map[string]string{
		"Name,Text,Space,Page type\nAda Lind,In May,4 x 2 in,cardstock":    "like a stock",
		"Name,Text,Space,Position\nAda Lind,In May,4 x 2 in,top left":      "“Position” is taken for Align",
		"Name,Text,Space,Border\nAda Lind,In May,4 x 2 in,yes":             "“Border” is taken for Inset",
		"Name,Text,Space\nEveryone,In May,4 x 2 in":                        "name of one person",
		"Name,Text,Space\nAna Pell,In May,4 x 2 in\nAna,In June,4 x 2 in":  "are kept apart",
		"Name,Text,Space\nAna Pell,In May,4 x 2 in\nPell Ana,May,4 x 2 in": "“Pell Ana” and “Ana Pell” are kept apart",
	} {
		if _, said := readTables(t, nil, "a.csv", row+"\n"); !strings.Contains(said, told) {
			t.Errorf("%s:\n%s", row, said)
		}
	}
}
