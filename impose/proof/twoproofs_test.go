package proof

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// TestTwoProofs: a second proof goes round, with the answers to the first or without them, while rows are handled; the files of answers come in any order.
func TestTwoProofs(t *testing.T) {
	in := small(t, "One")
	for seed := range uint64(1300) {
		f := &folder{Rand: rand.New(rand.NewPCG(seed, 16))}
		for range 1 + f.IntN(6) {
			f.rows = append(f.rows, f.row())
		}
		var log []string
		mended := map[*intake.Block]int{}
		change := func(list []Answer, asked map[key]*intake.Block) {
			for range f.IntN(3) {
				at := f.IntN(len(f.rows))
				switch b := f.rows[at]; f.IntN(5) {
				case 0:
					log = append(log, fmt.Sprint("put in before ", at))
					f.rows = slices.Insert(f.rows, at, f.row())
				case 1:
					if len(f.rows) > 1 {
						log = append(log, fmt.Sprint("taken out ", at))
						f.rows = slices.Delete(f.rows, at, at+1)
					}
				case 2:
					log = append(log, "moved")
					f.Shuffle(len(f.rows), func(i, k int) { f.rows[i], f.rows[k] = f.rows[k], f.rows[i] })
				case 3:
					log = append(log, fmt.Sprint("mended ", at))
					b.Page = f.word()
					mended[b]++
				case 4:
					for i := range list {
						if a := &list[i]; asked[a.key()] == b && a.gives() && f.IntN(3) > 0 {
							log = append(log, fmt.Sprint("typed in ", at, " line ", a.Line))
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
		}
		asked := map[key]*intake.Block{}               // f.rows' pointers
		version := map[key]int{}                       // how often mended by then
		content := map[string]map[*intake.Block]bool{} // who ever said this
		note := func(shown, of *intake.Block) {
			c := anybodys(shown, in.Settings)
			if content[c] == nil {
				content[c] = map[*intake.Block]bool{}
			}
			content[c][of] = true
		}
		var list []Answer
		bad := false
		var lists [2][]Answer
		for n := range 2 {
			shown := f.rows
			coded(f.rows)
			if n == 1 && f.IntN(3) > 0 {
				shown, _, _ = f.come(t, slices.Clone(lists[0]), in)
			}
			shown = copyOf(shown)
			keep := f.rows
			f.rows = shown
			lists[n] = f.answered(in)
			f.rows = keep
			for i, b := range shown {
				k := key{b.Code, Fingerprint(b, in.Settings)}
				if was := asked[k]; was != nil && (was != f.rows[i] || version[k] != mended[was]) {
					bad = true
				}
				asked[k], version[k] = f.rows[i], mended[f.rows[i]]
				note(b, f.rows[i])
				log = append(log, fmt.Sprintf("proof %d: %s %s %s %v %v %s", n, b.Owner, b.Code, b.Page, b.Text, b.Space, k.print))
			}
			for i := range lists[n] {
				lists[n][i].File, lists[n][i].Line = fmt.Sprintf("p%d.txt", n), i+1
			}
			change(append(slices.Clone(lists[0]), lists[1]...), asked)
		}
		if bad {
			continue
		}
		for _, b := range f.rows {
			note(b, b)
		}
		list = append(slices.Clone(lists[0]), lists[1]...)
		if f.IntN(2) == 0 {
			list = append(slices.Clone(lists[1]), lists[0]...)
		}
		for i := range list {
			list[i].Line = i + 1
		}
		rows, o, said := f.come(t, list, in)
		fail := func(what string, of ...any) {
			t.Helper()
			t.Errorf("seed %d: %s", seed, fmt.Sprintf(what, of...))
			for _, l := range log {
				t.Log(l)
			}
			for i, b := range rows {
				t.Logf("now %d: %s %s %s %v %v", i, b.Owner, b.Code, b.Page, b.Text, b.Space)
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
			others, sameCode := false, false
			for k := range list {
				if o := &list[k]; o != a && !o.gives() {
					others = others || asked[o.key()] == of
					sameCode = sameCode || o.Code == a.Code
				}
			}
			alone := true // never like another
			for _, who := range content {
				alone = alone && (!who[of] || len(who) == 1)
			}
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
			if a.Change != "" && !told(a.Change) && !others && !sameCode {
				fail("what line %d wants is told nowhere", a.Line)
			}
			for k, b := range f.rows {
				now := rows[k]
				if b == of && a.Change != "" && alone && !others && mended[of] == version[a.key()] && !held[now.Place.OfRow()] {
					fail("what line %d wants does not hold its row back", a.Line)
				}
				if b == of && a.Change != "" && alone && !others && mended[of] != version[a.key()] && held[now.Place.OfRow()] {
					fail("what line %d wants holds a row back that was mended", a.Line)
				}
			}
		}
	}
}
