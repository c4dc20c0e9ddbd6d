package proof

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// TestOkOfAnotherRow: an ok settles the older wishes to its code only where that was the same row's, as far as the answers show; that it does is told in one note, since they need not show it.
func TestOkOfAnotherRow(t *testing.T) {
	prints := map[string]string{}
	in := small(t, "One", "Two", "Three", "Jo's", "1", "2", "3")
	for i := range in.Blocks {
		prints[in.Blocks[i].Markup()] = Fingerprint(&in.Blocks[i], in.Settings)
	}
	print := func(text string) string { return prints[text] }
	wish := func(n int, text string) Answer {
		return Answer{Code: fmt.Sprint("MK-", n), Print: print(text), Change: "make it bold", File: "a.txt", Line: 3}
	}
	ok := func(n int, text string) Answer {
		return Answer{Code: fmt.Sprint("MK-", n), Print: print(text), OK: true, File: "b.txt", Line: 4}
	}
	byHand := Answer{Code: "MK-2", OK: true, File: "b.txt", Line: 4}
	const settled, doubt = "taken for settled", "may be about another row|was changed after|is not among the blocks|a change is wanted"
	for name, c := range map[string]struct {
		texts []string
		list  []Answer
		told  string // how, if at all
	}{
		"mended, then ok":                             {[]string{"One", "2", "Three"}, []Answer{wish(2, "Two"), ok(2, "2")}, settled},
		"mended, then ok by hand":                     {[]string{"One", "2", "Three"}, []Answer{wish(2, "Two"), byHand}, settled},
		"with answers to the others":                  {[]string{"One", "2", "Three"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(3, "Three"), ok(2, "2")}, settled},
		"others mended as well":                       {[]string{"1", "2", "3"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(3, "Three"), ok(2, "2"), ok(3, "3")}, settled},
		"all moved since":                             {[]string{"Nought", "One", "2"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(2, "2")}, settled},
		"a row above, and the one below was mended":   {[]string{"Nought", "One", "2"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(2, "One")}, doubt},
		"a row above, and its own ok":                 {[]string{"Nought", "One", "2"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(2, "One"), ok(3, "2")}, doubt},
		"a row above, by hand":                        {[]string{"Nought", "One", "2"}, []Answer{ok(1, "One"), wish(2, "Two"), byHand}, doubt},
		"its row is gone":                             {[]string{"One", "Three"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(3, "Three"), ok(2, "Three")}, doubt},
		"the first was taken out, and it was mended":  {[]string{"2", "Three"}, []Answer{wish(2, "Two"), ok(3, "Three"), ok(2, "Three")}, doubt},
		"fewer rows than were asked about":            {[]string{"1", "3"}, []Answer{wish(2, "Two"), ok(3, "Three"), ok(2, "3")}, doubt},
		"an ok to its row before that of another":     {[]string{"Nought", "One", "2"}, []Answer{ok(1, "One"), wish(2, "Two"), ok(2, "Two"), ok(2, "One")}, ""},
		"two wishes, each with an ok of its own row":  {[]string{"1", "2", "Three"}, []Answer{wish(1, "One"), wish(2, "Two"), ok(1, "1"), ok(2, "2")}, settled},
		"its own words now stand in another row that": {[]string{"Two", "2", "Two"}, []Answer{ok(1, "Two"), ok(3, "Two"), wish(2, "Two"), ok(2, "2")}, doubt},
	} {
		now := small(t, c.texts...)
		var told []string
		o := Tally(c.list, now.Blocks, nil, now.Settings)
		for _, p := range o.Problems {
			if strings.Contains(p.What, "make it bold") {
				told = append(told, p.What)
			}
		}
		if c.told == "" && len(told) > 0 || c.told != "" && (len(told) == 0 || !regexp.MustCompile(c.told).MatchString(told[0])) {
			t.Errorf("%s: not told as %q: %v", name, c.told, o.Problems)
		}
	}
}

// TestOkOfAnotherPerson: who comes in above with the same initials has the codes of who had them.
func TestOkOfAnotherPerson(t *testing.T) {
	of := func(rows ...[]string) Input {
		return job(t, rowsOf(t, rows), nil)
	}
	before := of([]string{"Ann Lo", "One"}, []string{"Ann Lo", "Two"})
	after := of([]string{"Abe Lee", "Sea"}, []string{"Abe Lee", "Lake"}, []string{"Ann Lo", "One"}, []string{"Ann Lo", "2"})
	list := []Answer{
		{Code: "AL-2", Print: Fingerprint(&before.Blocks[1], before.Settings), Change: "make it bold", File: "a.txt", Line: 1},
		{Code: "AL-2", Print: Fingerprint(&after.Blocks[1], after.Settings), OK: true, File: "b.txt", Line: 1},
	}
	if o := Tally(list, after.Blocks, nil, after.Settings); o.Approved != 1 || len(o.Problems) != 1 || !strings.Contains(o.Problems[0].What, "make it bold") {
		t.Errorf("%+v", o)
	}
}

func rowsOf(t *testing.T, of [][]string) string {
	var all [][]string
	for _, r := range of {
		all = append(all, []string{r[0], r[1], "4", "2"})
	}
	return rows(t, "alike.csv", "Name,Journaling,Width,Height", all...)
}

// TestOksAfterMoves draws a job that goes round twice while rows are put in, taken out, mended and moved. A wish that no later ok about its own row settles
// is told, whether or not the answers show that rows have moved; where none has moved, what was mended and approved is told in one note of all such wishes, and no more.
func TestOksAfterMoves(t *testing.T) {
	in := small(t, "One")
	told, quiet := 0, 0
	for seed := range uint64(longtests.Cases(1500, 20000)) {
		f := &folder{Rand: rand.New(rand.NewPCG(seed, 41))}
		row := func(owner string) *intake.Block {
			b := f.row()
			b.Owner, b.Text, b.Space.W, b.Space.H = owner, textOf(f.word()), 3, 1
			return b
		}
		people := []string{"Ann Lo", "Bob Orr"}
		for range 2 + f.IntN(6) {
			f.rows = append(f.rows, row(people[f.IntN(2)]))
		}
		of := map[key]*intake.Block{}
		codes := [2]map[*intake.Block]string{{}, {}}
		mended := map[*intake.Block]bool{}
		var list []Answer
		move := f.IntN(2) == 0
		for n := range 2 {
			coded(f.rows)
			for _, b := range f.rows {
				a := Answer{Code: b.Code, Print: Fingerprint(b, in.Settings), File: fmt.Sprintf("p%d.txt", n)}
				of[a.key()], codes[n][b] = b, b.Code
				if n == 0 && f.IntN(2) == 0 {
					a.Change = f.word()
				} else {
					a.OK = true
				}
				if n == 0 || f.IntN(3) > 0 {
					list = append(list, a)
				}
			}
			for range 1 + f.IntN(3) {
				at := f.IntN(len(f.rows))
				switch k := f.IntN(4); {
				case k == 0 && move && n == 0:
					f.rows = slices.Insert(f.rows, at, row(people[f.IntN(2)]))
				case k == 1 && move && n == 0 && len(f.rows) > 1:
					f.rows = slices.Delete(f.rows, at, at+1)
				case k == 2 && move && n == 0:
					f.Shuffle(len(f.rows), func(i, k int) { f.rows[i], f.rows[k] = f.rows[k], f.rows[i] })
				case n == 0:
					f.rows[at].Text, mended[f.rows[at]] = textOf(f.word()), true
				}
			}
			if n == 1 && f.IntN(4) == 0 { // since the second proof, which moves all of a person's alike
				f.rows = slices.Insert(f.rows, 0, row(people[0]))
			}
		}
		coded(f.rows)
		for i := range list {
			list[i].Line = i + 1
		}
		rows, o, _ := f.come(t, list, in)
		for i := range list {
			a := &list[i]
			if a.OK {
				continue
			}
			b := of[a.key()]
			approved, moved := false, false
			for k := i + 1; k < len(list); k++ {
				approved = approved || list[k].OK && of[list[k].key()] == b
			}
			for other, code := range codes[0] { // what the first answers show: rows that were not mended, under another code
				now := codes[1][other]
				moved = moved || other.Owner == b.Owner && !mended[other] && now != "" && now != code
			}
			says := func(p problem.Problem) bool { return strings.Contains(p.What, "“"+a.Change+"”") }
			said := slices.ContainsFunc(o.Problems, says)
			alone := slices.ContainsFunc(o.Problems, func(p problem.Problem) bool { return says(p) && !strings.Contains(p.What, "taken for settled") })
			switch {
			case !approved && !said:
				t.Fatalf("seed %d: line %d, %s, is told nowhere\n%s\n%v", seed, a.Line, a.Change, listed(list, rows), o.Problems)
			case !approved && moved:
				told++
			case approved && !move && alone && mended[b]:
				t.Fatalf("seed %d: line %d, %s, is told\n%s\n%v", seed, a.Line, a.Change, listed(list, rows), o.Problems)
			case approved && !move && mended[b]:
				quiet++
			}
		}
	}
	if told < 100 || quiet < 100 {
		t.Errorf("only %d were told, %d quiet", told, quiet)
	}
}

func listed(list []Answer, rows []*intake.Block) string {
	var s strings.Builder
	for _, b := range rows {
		fmt.Fprintf(&s, "%s %s %s\n", b.Owner, b.Code, b.Markup())
	}
	for _, a := range list {
		fmt.Fprintf(&s, "%d: %s %s ok=%v %s\n", a.Line, a.Code, a.Print, a.OK, a.Change)
	}
	return s.String()
}

// TestCodesThatComeBack: codes move and come back, and of two answers to one row as it is the last counts, whatever codes they name it by.
func TestCodesThatComeBack(t *testing.T) {
	for name, c := range map[string]struct {
		was, now []string
		files    []string
		held     string
	}{
		"a row taken out, another put in": {[]string{"Plums", "Kites"}, []string{"Boats", "Kites"}, []string{"MK-2 {Kites} ok", "MK-1 {Kites} change: spell Kites with y"}, "MK-2"},
		"in one file":                     {[]string{"Plums", "Kites"}, []string{"Boats", "Kites"}, []string{"MK-2 {Kites} ok\n\nMK-1 {Kites} change: spell Kites with y"}, "MK-2"},
		"in one file, each with its head": {[]string{"Kites"}, []string{"Kites", "Boats"}, []string{"tuckmark answers: x\nMK-1 {Kites} ok\nend of answers\ntuckmark answers: x\nMK-2 {Kites} change: spell Kites with y"}, "MK-1"},
		"put in, and taken out":           {[]string{"Kites"}, []string{"Kites", "Boats"}, []string{"MK-1 {Kites} ok", "MK-2 {Kites} change: spell Kites with y"}, "MK-1"},
		"two alike, and one was mended":   {[]string{"Kites", "Kites"}, []string{"Kites", "Kites!"}, []string{"tuckmark answers: x\nMK-1 {Kites} ok\nMK-2 {Kites} change: spell Kites with y"}, ""},
	} {
		o := tallied(t, c.was, c.now, c.files...)
		said, held := notes(o)
		if held != c.held || c.held != "" && (o.Approved != 0 || len(said) != 1) || !strings.Contains(strings.Join(said, ""), "with y") {
			t.Errorf("%s: %d approved, held %q: %q", name, o.Approved, held, said)
		}
	}
}
