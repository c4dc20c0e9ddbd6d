package proof

import (
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// TestManyOksOfManyRows: thousands of wishes without a row, and oks of one code to thousands of rows, cost little.
func TestManyOksOfManyRows(t *testing.T) {
	in, inch := small(t, "One"), measure.Length(measure.Inch)
	cost := func(n int, print func(i int) string) time.Duration {
		var rows []*intake.Block
		var list []Answer
		for i := range n {
			rows = append(rows, &intake.Block{Owner: "Abe Lee", Space: measure.Size{W: 2 * inch, H: inch}, Text: textOf(fmt.Sprint("w", i)), Stock: "cardstock", Copies: 1})
			list = append(list, Answer{Code: "AL-1", Print: print(i), Change: fmt.Sprint("w", i), File: "a.txt", Line: i + 1})
		}
		coded(rows)
		for i, b := range rows {
			list = append(list, Answer{Code: "AL-1", Print: Fingerprint(b, in.Settings), OK: true, File: "a.txt", Line: n + i + 1})
		}
		blocks, _ := sorted(rows)
		from := time.Now()
		if o := Tally(list, blocks, nil, in.Settings); o.Approved != n {
			t.Errorf("of %d rows %d are approved", n, o.Approved)
		}
		return time.Since(from)
	}
	for name, print := range map[string]func(int) string{"one row": func(int) string { return "deadbeef" }, "as many rows": func(i int) string { return fmt.Sprintf("%08x", i) }} {
		if a, b := min(cost(250, print), cost(250, print), cost(250, print)), min(cost(4_000, print), cost(4_000, print)); b > 40*a+200*time.Millisecond { // 16 times, and 250 where each wish was held against each ok
			t.Errorf("wishes about %s: %v for 250, %v for 4,000", name, a, b)
		}
	}
}

// steadyBefore is steady as it was: each way that rows may have moved is looked at by itself, for each key.
func steadyBefore(m *moves, code string, by int) bool {
	moved := func(k key) bool {
		who, n := split(k.code)
		i, there := m.byCode[fmt.Sprintf("%s-%d", who, n+by)]
		if !there {
			return false
		}
		at, found := m.at[k]
		if !found && len(m.alike[1][key{kin(k.code), k.print}]) == 0 {
			return true
		}
		return found && at == i || m.places.known[state{i, k.print}]
	}
	who := letters(code)
	return !slices.ContainsFunc(m.people[kin(code)], func(other string) bool { return mixed(who, other) }) &&
		!slices.ContainsFunc(m.keys[kin(code)], func(k key) bool { return mixed(who, letters(k.code)) || letters(k.code) == who && !moved(k) })
}

// TestOksAsBefore holds the oks that settle wishes against those that were found one by one, in jobs whose rows move between two proofs.
func TestOksAsBefore(t *testing.T) {
	in := small(t, "One")
	settled, unsure := 0, 0
	for seed := range uint64(longtests.Cases(3_000, 60_000)) {
		f := &folder{Rand: rand.New(rand.NewPCG(seed, 66))}
		people := [][]string{{"Bob Orr"}, {"Bob Orr", "Cy Day"}, {"Bob Orr", "Ann Lo", "Abe Lee"}, {"Pia Po", "Paul Pym", "Bob Orr"}}[f.IntN(4)]
		row := func() *intake.Block {
			b := f.row()
			b.Owner = people[f.IntN(len(people))]
			return b
		}
		for range 1 + f.IntN(12) {
			f.rows = append(f.rows, row())
		}
		var list []Answer
		for range 2 {
			coded(f.rows)
			for _, b := range f.rows {
				if f.IntN(4) == 0 {
					continue
				}
				a := Answer{Code: b.Code, Print: Fingerprint(b, in.Settings), File: "a.txt", Line: len(list) + 1}
				switch f.IntN(5) {
				case 0:
					a.Change = f.word()
				case 1:
					a.Change, a.Print = f.word(), fmt.Sprintf("%08x", f.IntN(3))
				case 2:
					a.Code, a.OK = fmt.Sprintf("%s-%d", letters(b.Code), 1+f.IntN(len(f.rows)+2)), true
				case 3:
					a.Print, a.OK = "", true
				default:
					a.OK = true
				}
				list = append(list, a)
			}
			for range f.IntN(4) {
				switch at := f.IntN(len(f.rows)); f.IntN(4) {
				case 0:
					f.rows = slices.Insert(f.rows, at, row())
				case 1:
					if len(f.rows) > 1 {
						f.rows = slices.Delete(f.rows, at, at+1)
					}
				case 2:
					f.rows[at].Text = textOf(f.word())
				case 3:
					was := *f.rows[at]
					f.rows = slices.Insert(f.rows, at, &was)
				}
			}
		}
		coded(f.rows)
		rows := copyOf(f.rows)
		where := found(list, rows, in.Settings)
		m := newMoves(where, list)
		now, before := map[string]*oksMoved{}, map[string][]okMoved{}
		for range 3 * len(list) {
			a := &list[f.IntN(len(list))]
			if at, ok := where.at[a.key()]; ok && a.OK {
				if now[a.Code] == nil {
					now[a.Code] = &oksMoved{known: map[int]bool{}}
				}
				now[a.Code].add(a, rows[at].Code)
				_, was := split(a.Code)
				_, is := split(rows[at].Code)
				if !slices.ContainsFunc(before[a.Code], func(o okMoved) bool { return o.by == is-was }) {
					before[a.Code] = append(before[a.Code], okMoved{a, is - was})
				}
				continue
			}
			var want *Answer
			steady := false
			for _, ok := range before[a.Code] {
				if !steady {
					steady, want = steadyBefore(m, a.Code, ok.by), ok.Answer
				}
			}
			if later := now[a.Code]; later == nil && want != nil {
				t.Fatalf("seed %d: no oks of %s", seed, a.Code)
			} else if later != nil {
				if ok, is := m.settles(later); ok != want || is != steady {
					t.Fatalf("seed %d: %s is settled: %v by %+v, and was: %v by %+v\n%s", seed, a.Code, is, ok, steady, want, listed(list, rows))
				} else if is {
					settled++
				} else {
					unsure++
				}
			}
		}
		for by := -15; by <= 15; by++ {
			for _, b := range rows {
				if is := m.steady(b.Code, by); is != steadyBefore(m, b.Code, by) {
					t.Fatalf("seed %d: all rows as %s moved by %d: %v\n%s", seed, b.Code, by, is, listed(list, rows))
				}
			}
		}
	}
	if settled < 500 || unsure < 1_000 {
		t.Errorf("only %d wishes are settled, %d not", settled, unsure)
	}
}

// TestFarNumbers: a code of an answer may have any number, which costs no more for that.
func TestFarNumbers(t *testing.T) {
	in := small(t, "One", "Two", "Three")
	b := &in.Blocks[0]
	for _, far := range []string{"2000000000", "99999999999999999999"} {
		list := []Answer{
			{Code: b.Code, Print: "deadbeef", Change: "larger", File: "a.txt", Line: 1},
			{Code: letters(b.Code) + "-" + far, Print: "00000001", Change: "smaller", File: "a.txt", Line: 2},
			{Code: b.Code, Print: Fingerprint(b, in.Settings), OK: true, File: "a.txt", Line: 3},
		}
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		o := Tally(list, in.Blocks, nil, in.Settings)
		runtime.ReadMemStats(&after)
		if taken := after.TotalAlloc - before.TotalAlloc; taken > 10<<20 || o.Approved != 1 || len(o.Problems) != 2 {
			t.Errorf("%s: %d MB, %+v", far, taken>>20, o)
		}
	}
}
