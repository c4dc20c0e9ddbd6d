package intake

import (
	"cmp"
	"fmt"
	"strings"
	"testing"

	"tuckmark/intake/intaketest"
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

// TestRemarksAreTold: a remark that is a title, or in the brackets of a text, or one of many ways to say that there is none.
func TestRemarksAreTold(t *testing.T) {
	told := func(said string) bool { return strings.Contains(said, "reads like a remark") }
	for _, text := range []string{"Same as Ana", "I'll hand-write it", "I’ll write it by hand", "photo only", "Just the title", "blank please", "nothing yet", "None for this page", "no text here please", "(Ana has my text)", "Bea is writing mine", "Will type it at the retreat", "to be sent by Friday", "[see my e-mail]", "(my sister's page)", "Not sure yet", "copy of the first one", "Photo goes here", "in capitals please", "please use the long one", "delete this row", "done", "x", "see below", "placeholder", "wip", "void", "moved to row 5", "continued below", "vellum", "on vellum", "about 40 words", "on my phone", "own handwriting", "2 copies", "print small", "18 pt", "in dark blue", "CORRECTION: Late ferry again", "bold: Lake", "=B2", "12", "in bold", "if it fits", "kein Text", "nicht drucken", "sans texte", "à venir", "sin texto", "geen tekst", "Text folgt"} {
		for _, row := range []string{"Name,Text,Space\nAda Lind,\"" + text + "\",4 x 2 in\n", "Name,Title,Text,Space\nAda Lind,\"" + text + "\",In May we rowed,4 x 2 in\n"} {
			if job, said := readTables(t, nil, "a.csv", row); !told(said) && !strings.Contains(said, "there is no text but") && !strings.Contains(said, "is taken for nothing") || len(job.Blocks)+len(job.Held) != 1 {
				t.Errorf("%s: %v\n%s", row, job.Blocks, said)
			}
		}
	}
	for _, text := range []string{"We rowed out (print 2 please)", "We rowed out [bold please]", "We rowed out. (rest to follow)"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\nAda Lind,\""+text+"\",4 x 2 in\n"); !told(said) {
			t.Errorf("%s:\n%s", text, said)
		}
	}
	for _, text := range []string{"One more, please", "She rang (twice) and ran", "The photographer fell in", "Nothing beats a lake (or two)", "Nobody sent me a card", "She writes the best letters", "Samesies, all of us", "None of us could swim", "Blankets for everyone", "Please come in", "Bring it on!", "Do it again", "Ready or not", "See you later", "In blue and gold", "Print of a paw", "Vellum days", "Moved to Oslo", "(1999)", "Please leave your shoes at the door", "Small: the cake", "Like Grandma's", "We met Bo (left) and Cy (centre).", "Done and dusted at last", "Testing the water", "Void of sense", "1962", "Waiting for you", "Follow me", "To be or not to be", "Nothing to it"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\nAda Lind,\""+text+"\",4 x 2 in\n"); told(said) {
			t.Errorf("%s:\n%s", text, said)
		}
	}
}

// TestNoLineOfText: words of places on a page and of terms, in whatever order, below Where and When.
func TestNoLineOfText(t *testing.T) {
	for column, cells := range map[string][2][]string{
		"Where": {{"LH side", "page 3 bottom", "back of page 3", "pocket 3", "under the left photo", "bottom right-hand corner", "3 (left)", "next to photo 2", "Oslo?", "inside cover", "on the tag", "oben links", "see photo", "same place"}, {"-", "?", "none", "x", "Left Bank", "Back home", "Lake Varn, north side", "Under the pier", "Top of the hill", "The Red Page"}},
		"When":  {{"ASAP please", "not sure yet", "for Friday", "no rush", "when you can", "as soon as possible", "not yet", "before the retreat", "2019?"}, {"Next week, 1987", "Tuesday", "May 3", "3 May 2019", "Forever", "The week of the storm", "When I was ten"}},
	} {
		for i, list := range cells {
			for _, cell := range list {
				if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,"+column+"\nAda Lind,In May,4 x 2 in,\""+cell+"\"\n"); strings.Contains(said, "is printed in the line below the text") != (i == 0) {
					t.Errorf("%s %s:\n%s", column, cell, said)
				}
			}
		}
	}
}

// TestDoubtsAreTold: a sign of doubt behind a stock, a yes, a side or a name is told, and a denial of a stock is none of it.
func TestDoubtsAreTold(t *testing.T) {
	for _, cell := range []string{"vellum?", "vellum / ?", "-vellum", "(vellum)", "~vellum", "vellum*", "vellum …"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Stock\nAda Lind,In May,4 x 2 in,"+cell+"\n"); len(job.Blocks) != 1 || job.Blocks[0].Stock != "vellum" || !strings.Contains(said, "is taken for “vellum”") {
			t.Errorf("%s: %v\n%s", cell, job.Blocks, said)
		}
	}
	for _, cell := range []string{"vellum", "Vellum.", " VELLUM ", "“vellum”", "vellums", "clear sticker", "clear-sticker", "Clear_Sticker!"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,Stock\nAda Lind,In May,4 x 2 in,"+cell+"\n"); strings.Contains(said, "taken for") {
			t.Errorf("%s:\n%s", cell, said)
		}
	}
	for _, cell := range []string{"not vellum", "no vellum please", "please, no vellum!", "anything but not vellum", "vellum, not the clear sticker", "kein vellum", "cardstock without vellum", "anything but vellum", "other than vellum", "rather than vellum", "vellum: no", "vellum - no thanks", "vellum won't do", "do not use vellum", "don't use vellum", "no more vellum", "no need for vellum", "avoid using vellum", "pas de vellum", "not so keen on vellum", "not really vellum", "vellum not wanted", "vellum is not needed", "vellum no more", "w/o vellum", "nix vellum", "no-vellum", "non-vellum", "not-vellum please", "nicht-Vellum", "not-on-vellum", "not too vellum", "nichts auf Vellum"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Stock\nAda Lind,In May,4 x 2 in,\""+cell+"\"\n"); len(job.Blocks) != 0 || !strings.Contains(said, "there is no stock") {
			t.Errorf("%s: %v\n%s", cell, job.Blocks, said)
		}
	}
	for _, cell := range []string{"No. 2 vellum", "non-glossy cardstock", "not too thick cardstock", "nicht zu dicker cardstock", "no-tear vellum", "no preference, vellum", "vellum (matte)", "cardstock, not too thick", "plain paper, no lines"} {
		if job, said := readTables(t, nil, "a.csv", "Name,Text,Space,Stock\nAda Lind,In May,4 x 2 in,\""+cell+"\"\n"); len(job.Blocks) != 1 || !strings.Contains(said, "is taken for") {
			t.Errorf("%s: %v\n%s", cell, job.Blocks, said)
		}
	}
	for column, cell := range map[string]string{"Turn": "yes?", "Align": "left?", "Owner": "Bea Lund?"} {
		name := "Name"
		if column == "Owner" {
			name = "Maker"
		}
		if _, said := readTables(t, nil, "a.csv", name+",Text,Space,"+column+"\nAda Lind,In May,4 x 2 in,"+cell+"\n"); !strings.Contains(said, "no question mark") {
			t.Errorf("%s %s:\n%s", column, cell, said)
		}
	}
	for _, page := range []string{"sticker", "vellum page", "clear", "on vellum", "Cardstock sheet"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,Page\nAda Lind,In May,4 x 2 in,"+page+"\n"); !strings.Contains(said, "like a stock") {
			t.Errorf("%s:\n%s", page, said)
		}
	}
	for _, page := range []string{"3", "Clear Lake", "Lake page"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space,Page\nAda Lind,In May,4 x 2 in,"+page+"\n"); strings.Contains(said, "like a stock") {
			t.Errorf("%s:\n%s", page, said)
		}
	}
}

// TestNamesThatMayBeOne: what is written with a number, an address or first letters beside a name that has none is told.
func TestNamesThatMayBeOne(t *testing.T) {
	for _, pair := range [][2]string{{"Ana Pell", "A. Pell"}, {"Ana Pell", "Ana P."}, {"Ana Pell", "Ms Ana Pell"}, {"Ana Pell", "for Ana Pell"}, {"Ana Pell 2", "Ana Pell"}, {"Ana Pell", "Ana Pell x2"}, {"Mrs Lund", "Lund"}, {"Ana Pell", "Ana Pel"}, {"Ana Pell", "1. Ana Pell"}, {"Ana Pell", "Ana Maria Pell"}} {
		for _, names := range [][2]string{pair, {pair[1], pair[0]}} {
			if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\n"+names[0]+",In May,4 x 2 in\n"+names[1]+",In June,4 x 2 in\n"); !strings.Contains(said, "are kept apart") {
				t.Errorf("%v:\n%s", names, said)
			}
		}
	}
	for _, names := range [][2]string{{"Guest 12", "Guest 13"}, {"Ana Pell", "Bea Pell"}, {"A. Pell", "B. Pell"}, {"Ana P.", "Ana M."}, {"Ana", "A"}} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\n"+names[0]+",In May,4 x 2 in\n"+names[1]+",In June,4 x 2 in\n"); strings.Contains(said, "are kept apart") {
			t.Errorf("%v:\n%s", names, said)
		}
	}
	for name, told := range map[string]string{"Ana Pell x2": "taken for a name as a whole", "Ana Pell (2)": "taken for a name as a whole", "Ana Pell, 3 copies": "taken for a name as a whole", "me": "taken for the name of a person", "Myself!": "taken for the name of a person", "me again": "taken for the name of a person", "me (Ana)": "taken for the name of a person", "Same (Ana Pell)": "taken for the name of a person"} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Space\n\""+name+"\",In May,4 x 2 in\n"); !strings.Contains(said, told) {
			t.Errorf("%s:\n%s", name, said)
		}
	}
}

// TestMuchShorterTexts: among texts of sentences, a word or some without an end are told in whatever language; where short texts are usual, none is.
func TestMuchShorterTexts(t *testing.T) {
	long := "Ada Lind,\"We rowed out before breakfast and came back with nothing but wet feet.\",4 x 2 in\n"
	short := "Bea Lund,Oma heeft hem,4 x 2 in\n"
	for table, told := range map[string]bool{
		strings.Repeat(long, 5) + short:                                            true,
		strings.Repeat(long, 4) + short:                                            false, // too few to know
		strings.Repeat(long, 5) + "Bea Lund,Oma heeft hem.,4 x 2 in\n":             false,
		strings.Repeat(long, 5) + strings.Repeat(short, 5):                         false,
		strings.Repeat(long, 5) + "Bea Lund,Brass · Steel · Useful,4 x 2 in\n":     false,
		strings.Repeat(strings.ReplaceAll(long, ".\"", "\""), 5) + short:           false,
		strings.Repeat(long, 30) + short + "Bea Lund,Sin texto todavía,4 x 2 in\n": true,
	} {
		_, said := readTables(t, nil, "a.csv", "Name,Text,Space\n"+table)
		if strings.Contains(said, "much shorter than the other texts") != told || told && !strings.Contains(said, "“Oma heeft hem” in row") {
			t.Errorf("%s\n%s", table, said)
		}
	}
}

// TestStocksOfLikeNames: a stock whose whole name is nearly what is typed is suggested, and not one whose name is a part of that; and many stocks cost no more
// than their rows, and are not listed at each.
func TestStocksOfLikeNames(t *testing.T) {
	s := intaketest.Home()
	heavy := s.Stocks[0]
	heavy.Name = "vellum heavy"
	s.Stocks = append(s.Stocks, heavy)
	for text, want := range map[string]string{"vellum hevy": "false vellum heavy", "vellum heavyy": "false vellum heavy", "velum heavy": "true vellum heavy", "vellum": "true vellum", "vellum heavy": "true vellum heavy", "white cardstock": "true cardstock", "vellum cloudy": "true vellum"} {
		stock, _, ok, near := findStock(text, s)
		if got := fmt.Sprint(ok, " ", cmp.Or(stock.Name, near)); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
	heavy.Name = "vellum+"
	s.Stocks = append(s.Stocks, heavy)
	if stock, sure, ok, _ := findStock("vellum+", s); !ok || !sure || stock.Name != "vellum+" {
		t.Errorf("vellum+ is %q", stock.Name)
	}
	s.Stocks = s.Stocks[:len(s.Stocks)-1]
	for _, name := range []string{"A4 80g", "A4 160g"} {
		heavy.Name = name
		s.Stocks = append(s.Stocks, heavy)
	}
	if stock, _, ok, _ := findStock("A4 180g", s); ok {
		t.Errorf("A4 180g is %q", stock.Name)
	}
	s.Stocks = s.Stocks[:len(s.Stocks)-2]
	for i := range 300 {
		heavy.Name = fmt.Sprintf("paper number %d", i)
		s.Stocks = append(s.Stocks, heavy)
	}
	b := newBuilder(s)
	for i := range mostSought {
		b.findStock(fmt.Sprintf("unknown %d", i))
	}
	if f := b.findStock("papr numbr 7"); f.ok || f.near != "" {
		t.Errorf("a near stock was looked for after %d: %q", mostSought, f.near)
	}
	if f := b.findStock("paper number 7"); !f.ok || f.stock.Name != "paper number 7" {
		t.Errorf("%v", f)
	}
	if list := (&entry{builder: b}).listOfStocks(); len(list) > 500 || !strings.HasSuffix(list, "and 285 more") {
		t.Error(list)
	}
}

// TestVeryManyAsides: where nearly every cell reads like a doubt, the first thousands are told, and that there are more.
func TestVeryManyAsides(t *testing.T) {
	_, said := readTables(t, nil, "a.csv", "Name,Text,Space\n"+strings.Repeat("Ada?,In May,4 x 2 in\n", mostAsides+50))
	if n := strings.Count(said, "no question mark"); n != mostAsides || strings.Count(said, "are not told any more") != 1 {
		t.Errorf("%d are told", n)
	}
}
