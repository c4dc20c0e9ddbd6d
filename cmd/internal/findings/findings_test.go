package findings

import (
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/impose"
)

// check checks a table with the built-in settings.
func check(t *testing.T, path string) *impose.Job {
	t.Helper()
	s, problems := config.Load(config.Source{Home: t.TempDir()})
	j := impose.New(s, problems)
	for _, err := range []error{j.Read(context.Background(), []string{path}, ""), j.Set(context.Background()), j.Arrange(context.Background())} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return j
}

func write(t *testing.T, table string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "a.csv")
	if err := os.WriteFile(path, []byte(table), 0o666); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestOrder: what stops the print stands first, the quickest to mend before what has to be measured or written anew; the same
// fault of one person's rows is one line.
func TestOrder(t *testing.T) {
	j := check(t, write(t, "Name,Journaling,Width,Height,Stock\nAda Lind,TBD,4,2,\nAda Lind,In May,,2,\nAda Lind,In June,,2,\nBo Ek,In May,,2,\nBo Ek,In May,4,2,birch\n,In May,4,2,\nBo Ek,In May,4,2,velum\n"))
	f := Of(j)
	want := []string{"row 7, column Name", "row 6, column Stock (E6), Bo Ek", "rows 3 and 4, column Width", "row 5, column Width (C5), Bo Ek", "row 2, column Journaling (B2), Ada Lind"}
	if len(f.Stops) != len(want) || len(f.Doubts) != 1 || f.Texts == 0 {
		t.Fatalf("%q\n%q", f.Stops, f.Doubts)
	}
	for i, w := range want {
		if !strings.HasPrefix(f.Stops[i], w) {
			t.Errorf("%q, want %q", f.Stops[i], w)
		}
	}
	letters := Letters(j)
	if len(letters) != 2 || letters[0].Blocks != 3 || strings.Contains(letters[0].Text+letters[1].Text, "row ") || strings.Contains(letters[0].Text, "birch") {
		t.Errorf("%+v", letters)
	}
	if own := ForOrganiser(context.Background(), j); len(own) != 1 || !strings.Contains(own[0], "the name is missing") {
		t.Errorf("%q", own)
	}
}

// TestLettersArePlain: what turns letters round, or steers a terminal, does not come from a name into a letter or the list of them.
func TestLettersArePlain(t *testing.T) {
	letters := Letters(check(t, write(t, "Name,Journaling,Width,Height\nAda\u202eLind\u009b,In May,,2\n")))
	if len(letters) != 1 || !strings.Contains(letters[0].Text, "Hello Ada\uFFFDLind") {
		t.Fatalf("%+v", letters)
	}
	if all := letters[0].Text + List(letters) + letters[0].File; strings.ContainsAny(all, "\u202e\u009b") || !IsOurs([]byte(letters[0].Text)) || !IsOurs([]byte(List(letters))) {
		t.Errorf("%q", all)
	}
}

// TestCrop: on a job of twelve people with the mistakes that people make at most 25 lines stand before the first thing that does
// not stop the print, and every row that is held back is in a letter or among the organiser's own.
func TestCrop(t *testing.T) {
	path := filepath.Join("../../../../shared/trials/crop.xlsx")
	if _, err := os.Stat(path); err != nil {
		t.Skip("needs the folder ../shared")
	}
	j := check(t, path)
	f := Of(j)
	if n := len(f.Stops); n > 25 || n == 0 {
		t.Errorf("%d lines before the first that does not stop the print", n)
	}
	blocks := 0
	for _, l := range Letters(j) {
		blocks += l.Blocks
	}
	for _, h := range j.Held {
		if h.Owner == "" {
			blocks++
		}
	}
	if blocks != len(j.Held) || len(ForOrganiser(context.Background(), j)) == 0 {
		t.Errorf("%d of %d rows held back are told to somebody", blocks, len(j.Held))
	}
}

// TestPaperIsTheOrganisers: that the paper does not suffice is told to the organiser, once, and to no one whose block it is.
func TestPaperIsTheOrganisers(t *testing.T) {
	s, problems := config.Load(config.Source{Home: t.TempDir()})
	for i := range s.Stocks {
		s.Stocks[i].Sheets[0].Count = 1
	}
	j := impose.New(s, problems)
	table := "Name,Journaling,Width,Height,Stock\n"
	for _, who := range []string{"Ada Lind", "Bo Ek", "Cy Fox", "Di Gray"} {
		table += who + ",In May,7,4,cardstock\n"
	}
	ctx := context.Background()
	for _, err := range []error{j.Read(ctx, []string{write(t, table)}, ""), j.Set(ctx), j.Arrange(ctx)} {
		if err != nil {
			t.Fatal(err)
		}
	}
	if own := ForOrganiser(context.Background(), j); len(Letters(j)) != 0 || len(own) != 1 || !strings.Contains(own[0], "1 more sheet of “cardstock” is needed, or hold back ") {
		t.Errorf("%q %+v", own, Letters(j))
	}
}

// TestCentimetres: who measures in centimetres reads centimetres in all that is said of their blocks, while the job is in inches.
func TestCentimetres(t *testing.T) {
	long := strings.Repeat("We rowed out before breakfast. ", 30)
	table := "Name,Journaling,Width (cm),Height (cm),Tuck,Inset,Stock\n"
	for _, row := range []string{long + ",4,2,,,", "In May,40,30,,,cardstock", "In May,21.4,27.7,,,vellum", "In May,2,1,,2,", "In May,,5,,,", "In May,0,5,,,", "In May,10,5,50,,", "In May,10 / 5,5,,,", "In May,21.59,27.94,,,cardstock",
		"Donaudampfschifffahrtsgesellschaft,1,1,,,", "In May,27,20,none,,cardstock", "In May,10,0.3,,,"} {
		table += "Ada Lind," + row + "\n"
	}
	j := check(t, write(t, table))
	inches := regexp.MustCompile(`\d in\b`)
	n := 0
	for _, p := range j.Problems {
		if p.Place.Row > 0 {
			n++
			said := strings.ReplaceAll(p.Sentences(""), "4.5 in or 114 mm", "") // how measures may be typed
			if inches.MatchString(said) {
				t.Errorf("row %d: %s", p.Place.Row, said)
			}
		}
	}
	if n < 10 || len(Letters(j)) != 1 {
		t.Errorf("%d problems", n)
	}
}
