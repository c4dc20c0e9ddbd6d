package proof

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// folder is a job in memory whose rows are handled while its proof is out.
type folder struct {
	*rand.Rand
	rows  []*intake.Block
	words int
}

func (f *folder) word() string { f.words++; return fmt.Sprintf("w%dq", f.words) }

func textOf(s string) []intake.Paragraph {
	if s == "" {
		return nil
	}
	return []intake.Paragraph{{{Text: s}}}
}

// row is of one of three people, of whom two have the same initials, and often like another.
func (f *folder) row() *intake.Block {
	b := &intake.Block{Owner: []string{"Ann Lo", "Abe Lee", "Bob Orr"}[f.IntN(3)], Page: fmt.Sprint(f.IntN(2)), Stock: "cardstock", Copies: 1,
		Space: measure.Size{W: 3 * measure.Inch, H: measure.Inch}}
	switch f.IntN(4) {
	case 0:
	case 1:
		b.Text = textOf("shared")
	default:
		b.Text = textOf(f.word())
	}
	switch f.IntN(4) {
	case 0:
		b.Space.W = 0
	case 1:
		b.Space = measure.Size{}
	}
	return b
}

// coded gives the rows places and codes as intake does: initials, longer ones for the second who has them, and a number.
func coded(rows []*intake.Block) {
	letters, taken, n := map[string]string{}, map[string]bool{}, map[string]int{}
	for i, b := range rows {
		if letters[b.Owner] == "" {
			first, last, _ := strings.Cut(b.Owner, " ")
			l := first[:1] + last[:1]
			if taken[l] {
				l += strings.ToUpper(last[1:2])
			}
			letters[b.Owner], taken[l] = l, true
		}
		n[b.Owner]++
		b.Code = fmt.Sprintf("%s-%d", letters[b.Owner], n[b.Owner])
		b.Place = problem.Place{File: "a.csv", Row: i + 2}
	}
}

// sorted are the rows as a job has them: blocks, and those that lack something.
func sorted(rows []*intake.Block) (blocks []intake.Block, held []intake.Held) {
	for _, b := range rows {
		c := *b
		if lacks(b) {
			held = append(held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Read: &c})
		} else {
			blocks = append(blocks, c)
		}
	}
	return blocks, held
}

func copyOf(rows []*intake.Block) []*intake.Block {
	out := make([]*intake.Block, len(rows))
	for i, b := range rows {
		c := *b
		out[i] = &c
	}
	return out
}

// come gives the answers to the job, and says what they come to: the rows afterwards.
func (f *folder) come(t *testing.T, list []Answer, s Input) (rows []*intake.Block, o Outcome, said problem.List) {
	rows = copyOf(f.rows)
	blocks, held := sorted(rows)
	asked := asked(blocks, held)
	said = Give(list, blocks, held, s.Settings, func(i int, text, space string) (*intake.Block, *problem.Problem) {
		b := rows[asked[i].Place.Row-2]
		if text != "" {
			b.Text = textOf(text)
		}
		if size, err := measure.ParseSize(space, b.Unit); err == nil {
			b.Space = size
		} else if space != "" {
			t.Fatal(space, err)
		}
		c := *b
		return &c, nil
	})
	blocks, held = sorted(rows)
	return rows, Tally(list, blocks, held, s.Settings), said
}

// gaveTo reports whether what the answer gives is in the row.
func gaveTo(a *Answer, b *intake.Block) bool {
	if a.Text != "" {
		return flat(b.Markup()) == a.Text
	}
	size, err := measure.ParseSize(a.Space, b.Unit)
	return err == nil && size == b.Space
}

// answered are answers of everybody to some of the rows, with what was missing of them, as the page writes them.
func (f *folder) answered(s Input) (list []Answer) {
	for _, b := range f.rows {
		a := Answer{Code: b.Code, Print: Fingerprint(b, s.Settings), File: "a.txt"}
		say := func(with func(a *Answer)) {
			with(&a)
			list = append(list, a)
			a.OK, a.Change, a.Text, a.Space = false, "", "", ""
		}
		if f.IntN(6) == 0 {
			continue
		}
		if len(b.Text) == 0 && f.IntN(5) > 0 {
			say(func(a *Answer) { a.Text = f.word() })
		}
		if b.Space.W == 0 && f.IntN(5) > 0 {
			say(func(a *Answer) { a.Space = fmt.Sprintf("4.%02d5 x 1 in", f.IntN(100)) })
		}
		switch f.IntN(3) {
		case 0:
			say(func(a *Answer) { a.Change = f.word() })
		case 1:
			if !lacks(b) {
				say(func(a *Answer) { a.OK = true })
			}
		}
	}
	f.Shuffle(len(list), func(i, k int) { list[i], list[k] = list[k], list[i] })
	for i := range list { // the same file, or several
		list[i].File, list[i].Line = fmt.Sprintf("a%d.txt", 1+i*2/len(list)), i+1
	}
	return list
}

// TestOnceGiven: what is said of a row before and after an answer has filled it in, in files in any order.
func TestOnceGiven(t *testing.T) {
	in := small(t, "One")
	empty := &intake.Block{Owner: "Ann Lo", Stock: "cardstock", Copies: 1, Space: measure.Size{W: measure.Inch, H: measure.Inch}}
	full := *empty
	full.Text = textOf("Lake")
	was, now := Fingerprint(empty, in.Settings), Fingerprint(&full, in.Settings)
	say := func(print string, a Answer) Answer {
		a.Code, a.Print, a.File = "AL-1", print, "a.txt"
		return a
	}
	text, ok, wish, other := Answer{Text: "Lake"}, Answer{OK: true}, Answer{Change: "x"}, Answer{Text: "Sea"}
	for name, c := range map[string]struct {
		list           []Answer
		approved, held int
		text           string
	}{
		"an ok to what was not there":        {[]Answer{say(was, text), say(was, ok)}, 0, 0, "Lake"},
		"an ok to what stands there":         {[]Answer{say(was, text), say(now, ok)}, 1, 0, "Lake"},
		"the ok comes first":                 {[]Answer{say(now, ok), say(was, text)}, 1, 0, "Lake"},
		"another text since":                 {[]Answer{say(was, text), say(now, ok), say(was, other)}, 0, 0, "Sea"},
		"a wish to what was there":           {[]Answer{say(was, wish), say(was, text)}, 0, 1, "Lake"},
		"a wish to what stands there":        {[]Answer{say(now, wish), say(was, text)}, 0, 1, "Lake"},
		"a wish to a text that was replaced": {[]Answer{say(was, text), say(now, wish), say(was, other)}, 0, 1, "Sea"},
		"twice":                              {[]Answer{say(was, text), say(was, wish), say(was, text), say(was, wish)}, 0, 1, "Lake"},
		"a wish that an ok outdoes":          {[]Answer{say(was, text), say(was, wish), say(now, ok)}, 1, 0, "Lake"},
	} {
		b := *empty
		f := &folder{rows: []*intake.Block{&b}}
		coded(f.rows)
		rows, o, _ := f.come(t, c.list, in)
		if o.Approved != c.approved || len(o.Held) != c.held || rows[0].Markup() != c.text {
			t.Errorf("%s: %d approved, %d held, %q", name, o.Approved, len(o.Held), rows[0].Markup())
		}
	}
}

// TestSameText: somebody who has left gave the very text of who has the code by now; it is told all the same.
func TestSameText(t *testing.T) {
	in := small(t, "One")
	f := &folder{rows: []*intake.Block{{Owner: "Abe Lee", Space: measure.Size{W: measure.Inch, H: measure.Inch}}, {Owner: "Ann Lo", Space: measure.Size{W: measure.Inch, H: measure.Inch}}}}
	coded(f.rows)
	var list []Answer
	for i, b := range f.rows {
		list = append(list, Answer{Code: b.Code, Print: Fingerprint(b, in.Settings), Text: "Lake", File: "a.txt", Line: i + 1})
	}
	f.rows = f.rows[1:]
	coded(f.rows)
	if rows, _, said := f.come(t, list, in); rows[0].Markup() != "Lake" || len(said) != 2 || !strings.Contains(said[0].What, "line 1 gives the text of AL-1, which was changed since") {
		t.Errorf("%q: %+v", rows[0].Markup(), said)
	}
}

// TestEveryAnswerHasItsRow: rows are put in, taken out, moved, mended and filled in while the proof is out. Whatever is given stands in a row of
// the one who gave it, or is told not to; a wish holds its row back as long as nobody has changed that, whatever answers put into it.
func TestEveryAnswerHasItsRow(t *testing.T) {
	in := small(t, "One")
	for seed := range uint64(600) {
		f := &folder{Rand: rand.New(rand.NewPCG(seed, 15))}
		for range 1 + f.IntN(7) {
			f.rows = append(f.rows, f.row())
		}
		coded(f.rows)
		list := f.answered(in)
		proof := copyOf(f.rows)
		asked := map[key]*intake.Block{}
		is := map[*intake.Block]*intake.Block{} // which row of the proof a row is
		count := map[string]int{}               // of rows that say the same, whosever they are
		for i, b := range proof {
			asked[key{b.Code, Fingerprint(b, in.Settings)}] = b
			is[f.rows[i]] = b
			count[anybodys(b, in.Settings)]++
		}
		mended := map[*intake.Block]bool{} // rows of the proof
		var done []string
		for range f.IntN(4) {
			at := f.IntN(len(f.rows))
			switch b := f.rows[at]; f.IntN(5) {
			case 0:
				done = append(done, fmt.Sprint("put in before ", at))
				f.rows = slices.Insert(f.rows, at, f.row())
				count[anybodys(f.rows[at], in.Settings)]++
			case 1:
				if len(f.rows) > 1 {
					done = append(done, fmt.Sprint("taken out ", at))
					f.rows = slices.Delete(f.rows, at, at+1)
				}
			case 2:
				done = append(done, "moved")
				f.Shuffle(len(f.rows), func(i, k int) { f.rows[i], f.rows[k] = f.rows[k], f.rows[i] })
			case 3:
				done = append(done, fmt.Sprint("mended ", at))
				b.Page = f.word()
				mended[is[b]] = true
			case 4: // what the answers give is typed in, unless the answers are doubtful
				for i := range list {
					if a := &list[i]; asked[a.key()] == is[b] && is[b] != nil && a.gives() && f.IntN(4) > 0 {
						done = append(done, fmt.Sprint("typed in ", at, " line ", a.Line))
						if a.Text != "" {
							b.Text = textOf(a.Text)
						} else {
							b.Space, _ = measure.ParseSize(a.Space, b.Unit)
						}
					}
				}
			}
		}
		coded(f.rows)
		rows, o, said := f.come(t, list, in)
		fail := func(what string, of ...any) {
			t.Helper()
			t.Errorf("seed %d: %s", seed, fmt.Sprintf(what, of...))
			for i, b := range proof {
				t.Logf("proof %d: %s %s %s %v %v %s", i, b.Owner, b.Code, b.Page, b.Text, b.Space, Fingerprint(b, in.Settings))
			}
			t.Log(done)
			for i, b := range rows {
				t.Logf("now %d: %s %s %s %v %v, of %v", i, b.Owner, b.Code, b.Page, b.Text, b.Space, is[f.rows[i]])
			}
			for _, a := range list {
				t.Logf("%s %d: %s %s ok=%v change=%s text=%s space=%s", a.File, a.Line, a.Code, a.Print, a.OK, a.Change, a.Text, a.Space)
			}
			for _, p := range append(said, o.Problems...) {
				t.Logf("%s: %s", p.Place, p.What)
			}
			t.FailNow()
		}
		told := func(word string) bool {
			return slices.ContainsFunc(append(slices.Clone(said), o.Problems...), func(p problem.Problem) bool {
				return p.Kind != problem.ForOrganiser && strings.Contains(p.What, "“"+word+"”")
			})
		}
		held := map[problem.Place]bool{}
		for _, h := range o.Held {
			held[h.Place] = true
		}
		for i := range list {
			a := &list[i]
			of := asked[a.key()]
			alone := count[anybodys(of, in.Settings)] == 1
			if a.gives() {
				stands := false
				for _, b := range rows {
					here := gaveTo(a, b)
					if here && b.Owner != of.Owner && a.Text != "" {
						fail("what line %d gives is in a row of %s", a.Line, b.Owner)
					}
					stands = stands || here && b.Owner == of.Owner
				}
				if !stands && !told(a.Text+a.Space) {
					fail("what line %d gives is nowhere", a.Line)
				}
			}
			if a.Change != "" && !told(a.Change) {
				fail("what line %d wants is told nowhere", a.Line)
			}
			for k, b := range f.rows {
				switch now := rows[k]; {
				case is[b] != of:
				case a.gives() && !mended[of]:
					given := gaveTo(a, now)
					if alone && !given {
						fail("what line %d gives is not in its row", a.Line)
					}
				case a.Change != "" && alone && !mended[of] && !held[now.Place.OfRow()]:
					fail("what line %d wants does not hold its row back", a.Line)
				case a.Change != "" && alone && mended[of] && held[now.Place.OfRow()]:
					fail("what line %d wants holds a row back that was mended", a.Line)
				case a.OK && alone && !mended[of] && held[now.Place.OfRow()]:
					fail("line %d approves a row that is held back", a.Line)
				}
			}
		}
	}
}

// TestManyAlikeGiven: texts and spaces for thousands of rows that are alike, and have what one of the answers gives, are told as any, within bounds.
func TestManyAlikeGiven(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	cost := func(n int) time.Duration {
		f := &folder{}
		for range n {
			f.rows = append(f.rows, &intake.Block{Owner: "Abe Lee", Space: measure.Size{W: 2 * inch, H: inch}})
		}
		coded(f.rows)
		bare := *f.rows[0]
		bare.Space = measure.Size{}
		var list []Answer
		for i, b := range f.rows {
			list = append(list, Answer{Code: b.Code, Print: Fingerprint(&bare, in.Settings), Space: fmt.Sprintf("%d x 1", 2+i), File: "a.txt", Line: i + 1})
		}
		from := time.Now()
		if _, _, said := f.come(t, list, in); len(said) < n-1 {
			t.Errorf("of %d answers only %d are told", n, len(said))
		}
		return time.Since(from)
	}
	if a, b := min(cost(500), cost(500)), min(cost(2_500), cost(2_500)); b > 12*a+100*time.Millisecond { // 6 times, and 25 where each was compared with all rows
		t.Errorf("%v for 500, %v for 2,500", a, b)
	}
}

// Rows that are all alike, and have all they need, cost little where each is given another space: whose they all are is known.
func TestManyAlikeChanged(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	cost := func(n int) time.Duration {
		var rows []*intake.Block
		for range n {
			rows = append(rows, &intake.Block{Owner: "Abe Lee", Space: measure.Size{W: 2 * inch, H: inch}, Text: textOf("We ate.")})
		}
		coded(rows)
		var list []Answer
		for i, b := range rows {
			list = append(list, Answer{Code: b.Code, Print: Fingerprint(b, in.Settings), Space: "3 x 1", File: "a.txt", Line: i + 1})
		}
		p := placesOf(rows, in.Settings)
		p.settle(keysOf(list))
		from := time.Now()
		for i := range list {
			if !p.sure(list[i].key()) {
				t.Fatalf("%s is not beyond doubt", list[i].Code)
			}
		}
		return time.Since(from)
	}
	if a, b := min(cost(1_000), cost(1_000), cost(1_000)), min(cost(10_000), cost(10_000), cost(10_000)); b > 40*a+50*time.Millisecond { // 10 times, and 100 where each was compared with all rows
		t.Errorf("%v for 1,000, %v for 10,000", a, b)
	}
}

// Texts that are given for codes that nobody has, where rows that are all alike have that text: once it was looked for them often enough, they cost no more
// looks at all of those rows, but are told.
func TestManyGoneAlike(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	cost := func(n int) time.Duration {
		rows := make([]intake.Block, n)
		for i := range rows {
			rows[i] = intake.Block{Owner: "Abe Lee", Code: fmt.Sprint("AL-", i+1), Space: measure.Size{W: 2 * inch, H: inch}}
		}
		print := Fingerprint(&rows[0], in.Settings)
		var list []Answer
		for i := range rows {
			rows[i].Text = textOf("We ate.")
			list = append(list, Answer{Code: fmt.Sprint("AL-", n+i+1), Print: print, Text: "We ate.", File: "a.txt", Line: i + 1})
		}
		from := time.Now()
		said := Give(list, rows, nil, in.Settings, func(int, string, string) (*intake.Block, *problem.Problem) { panic("nothing is put anywhere") })
		took := time.Since(from)
		if taken := slices.DeleteFunc(list, func(a Answer) bool { return a.Taken == nil }); len(taken)+len(said) != n {
			t.Errorf("%d are taken and %d told of %d", len(taken), len(said), n)
		}
		return took
	}
	if a, b := min(cost(2_000), cost(2_000), cost(2_000)), min(cost(10_000), cost(10_000), cost(10_000)); b > 5*a+100*time.Millisecond { // less than 5 times, and 20 where each looks at all rows
		t.Errorf("%v for 2,000, %v for 10,000", a, b)
	}
}

// Of rows that are alike any of another person with the same initials puts a wish in doubt: what is kept of that says what a look through all rows does.
func TestShared(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(64, seed))
		var rows []*intake.Block
		for range 1 + r.IntN(8) {
			rows = append(rows, &intake.Block{Owner: []string{"Abe Lee", "Ann Low", "Bo Berg"}[r.IntN(3)], Space: measure.Size{W: measure.Length(1+r.IntN(2)) * inch, H: inch}, Text: textOf("We ate.")})
		}
		coded(rows)
		p := placesOf(rows, in.Settings)
		for i, b := range rows {
			k := key{kin(b.Code), Fingerprint(b, in.Settings)}
			want := slices.ContainsFunc(p.alike[1][k], func(j int) bool { return rows[j].Owner != b.Owner })
			if got := p.shared(k, i); got != want {
				t.Errorf("seed %d, row %d of %s: shared is %v", seed, i, b.Owner, got)
			}
		}
	}
}

// A line that names one block very often is one wish, and told once.
func TestNamedOften(t *testing.T) {
	in := small(t, "One", "Two")
	code := in.Blocks[0].Code
	list, told := ReadAnswers("a.txt", []byte(strings.Repeat(code+":", 5_000)+" larger\n"), map[string]bool{code: true})
	o := Tally(list, in.Blocks, nil, in.Settings)
	if o.Wanted != 1 || len(o.Problems)+len(told) > 3 {
		t.Errorf("%d wanted, and %d told:\n%v", o.Wanted, len(o.Problems)+len(told), o.Problems[:min(3, len(o.Problems))])
	}
}
