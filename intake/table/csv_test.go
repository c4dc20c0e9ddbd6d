package table

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	textunicode "golang.org/x/text/encoding/unicode"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
)

// known are the headings that these tests have.
func known(heading string) bool {
	return slices.Contains([]string{"name", "owner", "page", "journaling", "text", "width", "height", "space", "font"}, strings.ToLower(heading))
}

// cellsOf reads CSV and gives the cells of its rows, empty ones included.
func cellsOf(t testing.TB, data string) ([][]string, *problem.Problem) {
	t.Helper()
	return cellsAs(t, data, false)
}

// cellsAs is cellsOf of a file, or of what was copied in a spreadsheet.
func cellsAs(t testing.TB, data string, copied bool) ([][]string, *problem.Problem) {
	t.Helper()
	s, why := readCSV("a.csv", []byte(data), known, copied)
	if why != nil {
		return nil, why
	}
	var out [][]string
	for _, r := range s.Rows {
		var cells []string
		for _, c := range r.Cells {
			for len(cells) < c.Col {
				cells = append(cells, "")
			}
			cells = append(cells, c.Text)
		}
		out = append(out, cells)
	}
	return out, nil
}

// The examples and rules are those of RFC 4180 section 2; numbers in the names are its paragraphs. The others are what
// spreadsheet programs and hands make of it.
func TestCSV(t *testing.T) {
	abc := [][]string{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}}
	for name, c := range map[string]struct {
		data string
		want [][]string
	}{
		"1 CRLF":               {"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", abc},
		"2 no last line break": {"aaa,bbb,ccc\r\nzzz,yyy,xxx", abc},
		"4 spaces are kept":    {"a , b,c\r\n", [][]string{{"a ", " b", "c"}}},
		"5 quoted":             {"\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx", abc},
		"6 break in a cell":    {"\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx", [][]string{{"aaa", "b\nbb", "ccc"}, {"zzz", "yyy", "xxx"}}},
		"6 comma in a cell":    {"a,\"1,2\",c\r\n", [][]string{{"a", "1,2", "c"}}},
		"7 doubled quote":      {"\"aaa\",\"b\"\"bb\",\"ccc\"", [][]string{{"aaa", `b"bb`, "ccc"}}},
		"LF":                   {"aaa,bbb,ccc\nzzz,yyy,xxx\n", abc},
		"CR":                   {"aaa,bbb,ccc\rzzz,yyy,xxx\r", abc},
		"semicolons":           {"aaa;bbb;ccc\nzzz;yyy;xxx\n", abc},
		"tabs":                 {"aaa\tbbb\tccc\nzzz\tyyy\txxx\n", abc},
		"bars":                 {"aaa|bbb|ccc\nzzz|yyy|xxx\n", abc},
		"sep=":                 {"sep=;\naaa;bbb;ccc\nzzz;yyy;xxx\n", abc},
		"sep= with CR":         {"sep=;\raaa;bbb;ccc\rzzz;yyy;xxx\r", abc},
		"\"sep=\"":             {"\"sep=|\"\r\naaa|bbb|ccc\r\nzzz|yyy|xxx", abc},
		"BOM":                  {"\xef\xbb\xbfaaa,bbb,ccc\nzzz,yyy,xxx\n", abc},
		"BOM and quote":        {"\xef\xbb\xbf\"aaa\",bbb,ccc\nzzz,yyy,xxx\n", abc},
		"blank rows":           {"\n\naaa,bbb,ccc\n,,\n\nzzz,yyy,xxx\n\n", abc},
		"inch mark":            {`3-1/8" wide,4",b` + "\n", [][]string{{`3-1/8" wide`, `4"`, "b"}}},
		"inch mark in quotes":  {`"4 1/2" x 2",b` + "\n", [][]string{{`4 1/2" x 2`, "b"}}},
		"inch marks, doubled":  {`"4 1/2"" x 2""",b` + "\n", [][]string{{`4 1/2" x 2"`, "b"}}},
		"speech in quotes":     {`"She said "hi" to us",b` + "\n", [][]string{{`She said "hi" to us`, "b"}}},
		"space before quotes":  {`a, "b, c",d` + "\n", [][]string{{"a", "b, c", "d"}}},
		"space after quotes":   {`a,"b" ,c` + "\n", [][]string{{"a", "b", "c"}}},
		"empty quotes":         {`a,"",c` + "\n", [][]string{{"a", "", "c"}}},
		"mixed ends":           {"aaa,bbb,ccc\r\nzzz,yyy,xxx\n\r", abc},
		"comma and semicolon": {"Name;Journaling;Width;Height\nPim;one, two, three;4,5;2\n", [][]string{{"Name", "Journaling",
			"Width", "Height"}, {"Pim", "one, two, three", "4,5", "2"}}},
	} {
		if got, why := cellsOf(t, c.data); why != nil || !reflect.DeepEqual(got, c.want) {
			t.Errorf("%s: got %q, %v, want %q", name, got, why, c.want)
		}
	}
}

// csv-spectrum's cases, whose answers are other people's. One is left out: its JSON contradicts its table.
func TestSpectrum(t *testing.T) {
	files, _ := filepath.Glob("testdata/csv-spectrum/*.csv")
	tried := 0
	for _, file := range files {
		if filepath.Base(file) == "location_coordinates.csv" {
			continue
		}
		tried++
		data, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := os.ReadFile(strings.TrimSuffix(file, "csv") + "json")
		if err != nil {
			t.Fatal(err)
		}
		var want []map[string]string
		if err := json.Unmarshal(answer, &want); err != nil {
			t.Fatal(err)
		}
		got, why := cellsOf(t, string(data))
		if why != nil || len(got) != len(want)+1 {
			t.Errorf("%s: %q, %v", file, got, why)
			continue
		}
		for i, w := range want {
			for col, heading := range got[0] {
				cell := ""
				if col < len(got[i+1]) {
					cell = got[i+1][col]
				}
				if cell != strings.ReplaceAll(w[heading], "\r\n", "\n") {
					t.Errorf("%s, row %d, %s: %q, want %q", file, i+2, heading, cell, w[heading])
				}
			}
			if len(w) != len(got[0]) {
				t.Errorf("%s: headings %q", file, got[0])
			}
		}
	}
	if tried != 11 {
		t.Errorf("%d cases", tried)
	}
}

// A quotation mark that is never closed is an error, however the file goes on: no row is swallowed.
func TestUnclosedQuotes(t *testing.T) {
	for data, row := range map[string]int{
		"owner,text\r\nA,\"never closed\r\nB,fine\r\n": 2,
		"a,b,c\n1,\"open,2\n3,4,5\n6,\"7\",8\n":        2,
		"a,b,c\n1,\"open,2\n3,4,5\n6,7,\"8\n":          2,
		"a,b,c\n1,\"open\n3,4,5\n6,7,8\"\n9,9,9\n":     2,
		"a,b\n\"": 2,
		"Name,Text,Space,Font\nPim,\"four words,4 x 2,Sans\nOdile,two,4 x 2,\"Sans\"\n": 2,
	} {
		if got, why := cellsOf(t, data); why == nil || !strings.Contains(why.What, fmt.Sprintf("row %d ", row)) {
			t.Errorf("%q: %q, %v", data, got, why)
		}
	}
	// Long texts of several lines, with commas in them, are no such case.
	fine := "Name,Text,Space\nPim,\"one, two\nthree, four, five\nsix\",4 x 2\n"
	if got, why := cellsOf(t, fine); why != nil || len(got) != 2 {
		t.Errorf("%q: %q %v", fine, got, why)
	}
}

// One text in all encodings. The bytes come from golang.org/x/text, which has the tables of the Unicode consortium.
func TestEncodings(t *testing.T) {
	const typed = "Name,Journaling\nZoë Müller,“Grandma’s” 50th – naïve… señor, Ça va? À bientôt! Größe\nÉmile,4½ × 2 «déjà vu» £5\n"
	roman := strings.NewReplacer("½", "", "×", "", "½", "").Replace(typed) // which Mac Roman has not
	latin1 := "Name,Journaling\nZoë Müller,naïve señor, Ça va? À bientôt! Größe\n"
	encode := func(s string, e interface{ String(string) (string, error) }) string {
		out, err := e.String(s)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	for name, c := range map[string]struct{ data, want, said string }{
		"UTF-8":            {typed, typed, ""},
		"UTF-8 with BOM":   {"\ufeff" + typed, typed, ""},
		"UTF-16 LE":        {encode(typed, textunicode.UTF16(textunicode.LittleEndian, textunicode.UseBOM).NewEncoder()), typed, ""},
		"UTF-16 BE":        {encode(typed, textunicode.UTF16(textunicode.BigEndian, textunicode.UseBOM).NewEncoder()), typed, ""},
		"UTF-16 LE no BOM": {encode(typed, textunicode.UTF16(textunicode.LittleEndian, textunicode.IgnoreBOM).NewEncoder()), typed, ""},
		"UTF-16 BE no BOM": {encode(typed, textunicode.UTF16(textunicode.BigEndian, textunicode.IgnoreBOM).NewEncoder()), typed, ""},
		"Windows-1252":     {encode(typed, charmap.Windows1252.NewEncoder()), typed, "Windows-1252"},
		"Latin-1":          {encode(latin1, charmap.ISO8859_1.NewEncoder()), latin1, "Windows-1252"},
		"Mac Roman":        {encode(roman, charmap.Macintosh.NewEncoder()), roman, "Mac Roman"},
	} {
		got, said, _, ok := decode([]byte(c.data))
		if !ok || got != c.want || said != c.said {
			t.Errorf("%s: %q %q %v", name, got, said, ok)
		}
		if f, why := sniff([]byte(c.data)); f != formatText {
			t.Errorf("%s is taken for %v, %+v", name, f, why)
		}
	}
	// Single words are hard to judge; these are common.
	for _, word := range []string{"café", "Zoë", "naïve", "Grandma’s", "“quoted”", "fiancée", "jalapeño", "Å", "Ödön", "it’s – well…"} {
		for name, e := range map[string]*charmap.Charmap{"Windows-1252": charmap.Windows1252, "Mac Roman": charmap.Macintosh} {
			data := encode("Name,Journaling\nPim,we saw "+word+" there\n", e.NewEncoder())
			if got, said, _, _ := decode([]byte(data)); said != name && !strings.Contains(got, word) {
				t.Errorf("%s in %s is read as %s: %q", word, name, said, got)
			}
		}
	}
}

// What encoding/csv writes is read back as it was; it shares no code with the reader.
func FuzzCSV(f *testing.F) {
	for _, s := range []string{"a,b\n1,2\n", "\"a\"\"b\";c\r\nd;\"e\nf\"", "sep=;\na;b", "a\tb\rc\td", "\xff\xfea\x00,\x00b\x00",
		"caf\xe9,\"4 1/2\" x 2\"\n", "\"open"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		kind, why := sniff(data)
		if kind != formatText && (why == nil || why.What == "") {
			t.Fatal("refused without a word")
		}
		s, refused := readCSV("a.csv", data, known, false)
		if refused != nil {
			return
		}
		last := 0
		for _, r := range s.Rows {
			if r.N <= last {
				t.Fatalf("row %d after %d", r.N, last)
			}
			last = r.N
			for _, c := range r.Cells {
				if !utf8.ValidString(c.Text) {
					t.Fatalf("%q", c.Text)
				}
			}
		}

		// The other way round: any text is a cell that survives.
		cell := strings.ReplaceAll(strings.ToValidUTF8(string(data), ""), "\r", "\n")
		want, _, _ := cleaned(cell)
		if strings.TrimSpace(want) == "" {
			return
		}
		var b strings.Builder
		w := csv.NewWriter(&b)
		_ = w.WriteAll([][]string{{"Name", "Journaling", "Width", "Height"}, {"Pim", cell, "4", "2"}})
		again, refused := readCSV("a.csv", []byte("\ufeff"+b.String()), known, false)
		if refused != nil {
			if strings.Count(cell, "\n") > 0 || strings.ContainsRune(cell, 0) {
				return // may be judged a swallowed row, or no text
			}
			t.Fatalf("%q is refused: %v", b.String(), *refused)
		}
		if c := again.Rows[len(again.Rows)-1].At(1); len(again.Rows) != 2 || c == nil || c.Text != want {
			t.Fatalf("%q comes back as %+v", want, c)
		}
	})
}

// TestLostQuotationMark takes one quotation mark, or two, out of tables that were drawn at random: no row may go into the text of another
// without a word.
func TestLostQuotationMark(t *testing.T) {
	n := longtests.Cases(200, 5000)
	refusals := 0
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 4180))
		sep := []string{",", ";", "\t"}[r.IntN(3)]
		lines := []string{strings.Join([]string{"name", "journaling", "width", "height"}, sep)}
		for range 2 + r.IntN(5) {
			text := []string{"Plums in Larvik 1987", "Tea, with Bo", "One line\nand another", "Rain; and more", "\"Yes,\" she said"}[r.IntN(5)]
			cells := []string{"Pim", `"` + strings.ReplaceAll(text, `"`, `""`) + `"`, "4", "2"}
			if r.IntN(3) == 0 {
				cells[0] = `"Ann"`
			}
			lines = append(lines, strings.Join(cells, sep))
		}
		data := strings.Join(lines, "\n") + "\n"
		whole, why := cellsOf(t, data)
		if why != nil || len(whole) != len(lines) {
			t.Fatalf("%q: %v", data, why)
		}
		var marks []int
		for k := range data {
			if data[k] == '"' {
				marks = append(marks, k)
			}
		}
		k := marks[r.IntN(len(marks))]
		spoilt := data[:k] + data[k+1:]
		if closing := regexp.MustCompile(`"[,;\t]4[,;\t]2\n(?:"Ann"|Pim)[,;\t]"`).FindStringIndex(data); closing != nil && r.IntN(2) == 0 {
			// the one that closes a text, and the one that opens the next
			spoilt = data[:closing[0]] + data[closing[0]+1:closing[1]-1] + data[closing[1]:]
		}
		if rows, why := cellsOf(t, spoilt); why != nil {
			refusals++
		} else if len(rows) < len(whole) {
			t.Errorf("%q: %d rows of %d", spoilt, len(rows), len(whole))
		}
	}
	if refusals < n/10 {
		t.Errorf("only %d of %d were refused", refusals, n)
	}
}

// TestCopied copies tables that are drawn at random as spreadsheets do: a line for each row, with a tab between two cells, and quotation marks round a cell
// that has a line break, with those in it doubled; all others as they are (common practice, from memory; what LibreOffice Calc copies is so). What is
// read is what stood there, or it is refused where a line break is among what begins with quotation marks; a file of the same is never read with
// fewer rows.
func TestCopied(t *testing.T) {
	n := longtests.Cases(400, 20000)
	texts := []string{"Plums in Larvik", `"We" sat on the quay`, `"Yes," she said`, `"All of it"`, `the "old" pier`, `"`, `"so long`, `4"`, `""`, `"Well, well"`, `"Ready?""Ready!"`, `"One!""Two!""Three!"`, `"a""b"`, "One line\nand another", "\"Two\"\nlines", "a, b, c", ` "spaced"`, "Pim", "1987", ""}
	refusals := 0
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 51))
		broken := false
		rows := [][]string{{"Name", "Journaling", "Width", "Height", "Note"}}
		for range 1 + r.IntN(6) {
			row := []string{"Bo", texts[r.IntN(len(texts))], []string{"4", `4"`, `4 1/2"`}[r.IntN(3)], []string{"2", `2"`}[r.IntN(2)], texts[r.IntN(len(texts))]}
			if r.IntN(3) == 0 {
				row[0] = `"`
			}
			rows = append(rows, row)
		}
		var copied strings.Builder
		want := [][]string{}
		for _, row := range rows {
			for k, text := range row {
				if strings.Contains(text, "\n") {
					broken = true
					text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
				}
				copied.WriteString(text + []string{"\t", "\r\n"}[k/(len(row)-1)])
			}
			for row[len(row)-1] == "" {
				row = row[:len(row)-1]
			}
			want = append(want, row)
		}
		if got, why := cellsAs(t, copied.String(), true); why != nil {
			if refusals++; !broken {
				t.Errorf("%q: %v", copied.String(), why)
			}
		} else if !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, not %q", copied.String(), got, want)
		}
		if got, why := cellsAs(t, copied.String(), false); why == nil && len(got) < len(rows) {
			t.Errorf("%q: of %d rows %d are read of the file", copied.String(), len(rows), len(got))
		}
	}
	if refusals > n/10 {
		t.Errorf("%d of %d were refused", refusals, n)
	}
	// In what is quoted throughout the marks are none of the text; with commas, typed by hand, they are typed or quote, and nobody can say which.
	for data, want := range map[string][][]string{
		"Name\tText\tWidth\nBo\t\"5\"\" strip of film\"\t4\nCy\t\"The \"\"Inn\"\"\"\t3\nDee\t\"Home\"\t4\"\n":       {{"Name", "Text", "Width"}, {"Bo", `5" strip of film`, "4"}, {"Cy", `The "Inn"`, "3"}, {"Dee", `"Home"`, `4"`}}, // with marks doubled though no text has a line break
		"Name\tText\tWidth\nBo\t\"\"\t4\nCy\t\"5\"\"\t3\nDee\t\"\"Inn\"\"\t4\"\n":                                   {{"Name", "Text", "Width"}, {"Bo", `""`, "4"}, {"Cy", `"5""`, "3"}, {"Dee", `""Inn""`, `4"`}},                   // none of these is quoted
		"\"Name\"\t\"Text\"\t\"Width\"\n\"Bo\"\t\"Well, well\"\t\"4\"\n":                                            {{"Name", "Text", "Width"}, {"Bo", "Well, well", "4"}},
		"Name,Text,Width,Height\nBo,one,4,2\n\",two,3,2\n\",three,3,2\n":                                            nil,
		"Name,Text,Width,Height,Page\nBo,\"We\" sat on the quay,4\",2\",3\n":                                        nil,
		"Name,Text,Width,Note\nBo,one,4,\"\nCy,two,3,\"\n":                                                          nil,
		"Name,Text,Width,Height,Where,Page\nAnn,one,4,2,Larvik,\nBo,two,4,2,\",\nCy,three,3,2\",,\nDi,four,3,2,,\n": nil,
		"Name;Text;Width;Height;Note\nBo;two;4;2;\";\nCy;three;3;2\";;\n":                                           nil,
		"Name,Text,Width,Height\nBo,\"one, two\nthree, four\n\",4,2\nCy,\"a \"b, c\" d\",4,2":                       {{"Name", "Text", "Width", "Height"}, {"Bo", "one, two\nthree, four\n", "4", "2"}, {"Cy", `a "b, c" d`, "4", "2"}},
	} {
		if got, why := cellsAs(t, data, true); (why != nil) != (want == nil) || want != nil && !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, %v, not %q", data, got, why, want)
		}
	}
}

// TestQuotedTabs: a text with a tab in it is one cell in a file between tabs that a program has written, whether that quotes every text or, as RFC 4180
// allows, only those that need it; a file where it may as well be two cells is refused.
func TestQuotedTabs(t *testing.T) {
	n := longtests.Cases(400, 20000)
	texts := []string{"Plums on the quay", "Plums\ton the quay", "Plums\ton the quay\nand all", "\tPlums\nand\t\ttea", "\"Plums\"\tshe said", "4\"", "one\ntwo", "", "", "\"", "a\t\"b\""}
	refusals := 0
	for i := range n {
		r := rand.New(rand.NewPCG(uint64(i), 4180))
		throughout, cut := r.IntN(2) == 0, r.IntN(2) == 0
		var file strings.Builder
		var want [][]string
		for k := range 2 + r.IntN(5) {
			row := []string{"Name", "Width", "Journaling", "Note", "Where"}
			if k > 0 {
				row = []string{[]string{"Ann", "Bo"}[r.IntN(2)], []string{"4", "4\""}[r.IntN(2)], texts[r.IntN(len(texts))], texts[r.IntN(len(texts))], texts[r.IntN(len(texts))]}
			}
			if k > 0 && r.IntN(8) == 0 {
				row = append(row, "stray")
			}
			if cut {
				for row[len(row)-1] == "" {
					row = row[:len(row)-1]
				}
			}
			for c, text := range row {
				if throughout || strings.ContainsAny(text, "\t\n\"") {
					text = `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
				}
				row[c] = text
			}
			file.WriteString(strings.Join(row, "\t") + "\n")
			for c, text := range row {
				if inner := strings.TrimSuffix(strings.TrimPrefix(text, `"`), `"`); inner != text {
					row[c] = strings.ReplaceAll(inner, `""`, `"`)
				}
			}
			for row[len(row)-1] == "" {
				row = row[:len(row)-1]
			}
			for c, text := range row {
				row[c] = strings.ReplaceAll(text, "\t", " ")
			}
			want = append(want, row)
		}
		if got, why := cellsAs(t, file.String(), false); why != nil {
			if refusals++; throughout {
				t.Errorf("%q: %v", file.String(), why)
			}
		} else if !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, not %q", file.String(), got, want)
		}
	}
	if refusals > n/3 {
		t.Errorf("%d of %d were refused", refusals, n)
	}
	// Marks that are typed, beside such a text: what is read is what stands there, or the file is refused.
	for data, want := range map[string][][]string{
		"Name\tText\tWidth\tHeight\tPage\nBo\t\"We slept\ton the quay\"\t3\t\"\t2\n\"\tWe ate\t2.5\t2\t3\n":                {{"Name", "Text", "Width", "Height", "Page"}, {"Bo", "We slept on the quay", "3", `"`, "2"}, {`"`, "We ate", "2.5", "2", "3"}},
		"Name\tText\tWidth\tHeight\tPage\tNote\tWhere\nla\t\"\"\"lbzb\"\"\nlbxt\"\t\"\t4 1/2\"\t2\t\t\"\tlgzc\n\tlgzz\"\n": nil,
	} {
		if got, why := cellsAs(t, data, false); (why != nil) != (want == nil) || want != nil && !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, %v, not %q", data, got, why, want)
		}
	}
}

// TestMixedEncodings puts one line in an old encoding among lines in UTF-8: the others keep their letters, and the line is named.
func TestMixedEncodings(t *testing.T) {
	lines := []string{"name,journaling", "Zoë,Café naïve", "Ann,Caf\xe9 with Bo", "Åse,Blåbær", "Pim,plain"}
	s, why := readCSV("a.csv", []byte(strings.Join(lines, "\n")), known, false)
	if why != nil {
		t.Fatal(why)
	}
	for i, want := range []string{"journaling", "Café naïve", "Café with Bo", "Blåbær", "plain"} {
		if got := s.Rows[i].At(1).Text; got != want {
			t.Errorf("line %d: %q", i+1, got)
		}
	}
	if len(s.Problems) != 1 || !strings.HasSuffix(s.Problems[0].What, "read as Windows-1252: 3") {
		t.Errorf("%+v", s.Problems)
	}
}

// Signs that stand alone, or at the beginning of a cell, speak for the encoding that has them there, as spreadsheet programs on Windows write it.
func TestSignsAlone(t *testing.T) {
	for _, text := range []string{
		"name,text\nPim,\"½ a cake, all for us\"\n", "name;text\nPim;½ a cake\n", "name,text\nPim,then … rain … and sun\n",
		"name,text\nPim,“Half” … it’s ½\n", "a\tb\nPim\t¾ × 2\n", "name,text\nÅse,\"½ …\"\n",
	} {
		raw, err := charmap.Windows1252.NewEncoder().String(text)
		if err != nil {
			t.Fatal(err)
		}
		if got, name := decodeSingleByte([]byte(raw)); got != text {
			t.Errorf("%q is read as %s: %q", text, name, got)
		}
	}
	for _, text := range []string{"name,text\nPim,À bientôt, dit-elle\n", "name,text\nPim,Éclairs… à la crème\n", "name,text\nÖrjan,Där är “Åsa”… ö\n", "name,text\nPim,It’s… late\n"} {
		raw, err := charmap.Macintosh.NewEncoder().String(text)
		if err != nil {
			t.Fatal(err)
		}
		if got, name := decodeSingleByte([]byte(raw)); got != text {
			t.Errorf("%q is read as %s: %q", text, name, got)
		}
	}
}

// Where a file in UTF-16 is none any more, since plain rows were added to it or a byte was lost or came in, it is refused; texts in scripts whose signs have such bytes are not.
func TestStrayUTF16(t *testing.T) {
	encode := func(s string, order textunicode.Endianness) string {
		out, err := textunicode.UTF16(order, textunicode.UseBOM).NewEncoder().String(s)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	words := strings.Fields("we swam in the lake and sang all night long before Odile came home; it rained on Monday, 1987")
	row := func(r *rand.Rand) string {
		cells := []string{fmt.Sprint(r.IntN(40)), []string{"Ann", "Bob Berg", "Zoe", "ida"}[r.IntN(4)], "", "4", "1"}
		for range 3 + r.IntN(12) {
			cells[2] += words[r.IntN(len(words))] + " "
		}
		return strings.Join(cells, []string{",", ";", "\t"}[r.IntN(3)]) + []string{"\r\n", "\n"}[r.IntN(2)]
	}
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 23))
		order := []textunicode.Endianness{textunicode.LittleEndian, textunicode.BigEndian}[r.IntN(2)]
		good := encode("Page,Name,Journaling,Width,Height\r\n"+row(r)+row(r), order)
		more := encode(row(r)+row(r), order)[2:]
		at := 2 + r.IntN(len(good)-60)
		for name, data := range map[string]string{"plain rows at the end": good + row(r) + row(r), "a plain row in between": good + row(r) + more, "a byte more": good[:at] + "x" + good[at:],
			"a byte less": good[:at] + good[at+1:], "a byte more, and one less": good[:at] + "x" + good[at:len(good)-1]} {
			if _, why := readCSV("a.csv", []byte(data), known, false); why == nil || !strings.Contains(why.What, "in another encoding than before") {
				t.Errorf("seed %d: %s: %+v %q", seed, name, why, data)
			}
		}
		if _, why := readCSV("a.csv", []byte(good+more), known, false); why != nil {
			t.Errorf("seed %d: %+v", seed, why)
		}
	}
	r := rand.New(rand.NewPCG(1, 1))
	chinese := make([]rune, 100_000)
	for i := range chinese {
		chinese[i] = rune(0x4E00 + r.IntN(0x9FA5-0x4E00))
	}
	for _, text := range []string{string(chinese), strings.Repeat("══════╔═╦╗♥♥♥♥♡♥爱♥♥──一一一一一一", 50), strings.Repeat("あいうえおかきくけこさしすせそたちつてと", 50), strings.Repeat("അആഇഈഉഊഎഏഐഒഓഔ", 50), strings.Repeat("अआइईउऊऋएऐओऔकखगघ", 50),
		strings.Repeat("ⴰⴱⴲⴳⴴⴵⴶⴷⴸⴹ", 50), strings.Repeat("Ольга, 山田太郎, 김철수 ", 50), strings.Repeat("∀∂∃∅∇∈∉∋→⇒⇔", 50)} {
		for _, order := range []textunicode.Endianness{textunicode.LittleEndian, textunicode.BigEndian} {
			if _, _, _, ok := decode([]byte(encode(text, order))); !ok {
				t.Errorf("refused: %.60s", text)
			}
		}
	}
}

// TestWideLineOfMarks: a line of very many cells that begin with a quotation mark is gone through once, and not once more for each.
func TestWideLineOfMarks(t *testing.T) {
	const cells = 16_000
	data := strings.Repeat("c\t", cells-1) + "c\n" + strings.Repeat(strings.Repeat("\"x\t", cells-1)+"\"x\n", 18) // just below 1 MB
	began := intaketest.Processor()
	got, why := cellsAs(t, data, true)
	if took := intaketest.Processor() - began; took > intaketest.Raced*time.Second {
		t.Errorf("it takes %v", took)
	}
	if why != nil || len(got) != 19 || got[18][cells-1] != `"x` {
		t.Errorf("%d rows are read, %v", len(got), why)
	}
}
