package guide

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/press"
)

// said is what a text of a page says.
func said(t press.Text) (text string) {
	for _, g := range t.Glyphs {
		text += g.Text
	}
	return text
}

// standing is a person who reads the cutting guide at the trimmer.
func standing(t *testing.T, name string, a *account.Account, pages []press.Page) {
	t.Helper()
	cutting := map[int]string{} // what each page says, without spaces, in the order in which it was written
	bare := func(text string) string { return strings.Join(strings.Fields(text), "") }
	turned, sizes := map[string]bool{}, map[string]measure.Length{}
	in := false
	for i, p := range pages {
		rows := read(p)
		for _, r := range rows {
			switch strings.TrimSuffix(r, ", continued") {
			case "Cutting guide":
				in = true
			case "Sorting list":
				in = false
			}
		}
		numbers := map[string]int{}
		for _, s := range p.Texts {
			text := said(s)
			cutting[i] += bare(text)
			if s.Colour == white {
				numbers[text]++
			}
			if s.Turned {
				turned[text] = true
			} else if old, ok := sizes[text]; !ok || s.Size > old {
				sizes[text] = s.Size
			}
		}
		// Each cut that is listed on a page stands in a picture of that page.
		listed := map[string]int{}
		for _, r := range rows {
			if m := cutRow.FindStringSubmatch(r); m != nil && in {
				listed[m[1]]++
			}
		}
		for n, rows := range listed {
			if numbers[n] < 2*rows {
				t.Errorf("%s, page %d: %d rows of cut %s, but its number stands there %d times, rows and pictures together", name, i+1, rows, n, numbers[n])
			}
		}
	}
	for _, g := range a.Groups {
		for i := range g.Pieces[0].Lines {
			l := &g.Pieces[0].Lines[i]
			set := l.Step.Set.About(a.Settings.Unit.Ruler())
			want := bare(fmt.Sprint(l.N, " ", g.Pieces[0].Take(l), l.Step.Side(), set, l.Often(), l.Step.FoundBy(), l.Gives()))
			there := false
			for _, text := range cutting {
				there = there || strings.Contains(text, want)
			}
			if !there {
				t.Errorf("%s: no page says whole %q", name, want)
			}
			if sizes[set] < 12*measure.Point {
				t.Errorf("%s: the setting %s is %.1f pt", name, set, sizes[set].Points())
			}
		}
	}
	for _, p := range a.Pieces {
		for _, s := range p.Spots {
			if label := account.Letter(s.First) + " " + s.Block.Code; turned[label] && !s.Block.Turned {
				t.Errorf("%s: the label %q runs down, its block does not", name, label)
			}
		}
	}
}

// What is read at the trimmer is whole, large enough and beside its picture, in made-up jobs and in random ones.
func TestReadStanding(t *testing.T) {
	for name, m := range finished() {
		standing(t, name, m.in.Account, m.pages)
	}
	seeds := int64(longtests.Cases(2, 60))
	for seed := range seeds {
		d := arranged(20+seed, 25+int(seed)%3*40)
		in, pages := finish(d)
		name := "arranged, seed " + strconv.FormatInt(20+seed, 10)
		standing(t, name, in.Account, pages)
		within(t, name, in, pages)
		overprinted(t, name, pages)
	}
}

// The words of the guide are explained once, and only those that it uses.
func TestWordsExplainedOnce(t *testing.T) {
	for name, m := range finished() {
		var words []string
		for _, p := range m.pages {
			for _, s := range p.Texts {
				words = append(words, said(s))
			}
		}
		j := &job{Input: m.in, Account: m.in.Account}
		skips := false
		for _, g := range m.in.Account.Groups {
			skips = skips || slices.ContainsFunc(g.Pieces[0].Lines, func(l account.Line) bool { return l.Step.Skip })
		}
		terms := j.terms()
		for _, term := range terms {
			first, _, _ := strings.Cut(term.means, " ")
			n := 0
			for i, w := range words {
				if w == term.word && i+1 < len(words) && strings.HasPrefix(words[i+1], first) {
					n++
				}
			}
			if n != 1 {
				t.Errorf("%s: %q is explained %d times", name, term.word, n)
			}
		}
		if got := slices.ContainsFunc(terms, func(t term) bool { return t.word == "Skip" }); got != skips {
			t.Errorf("%s: skipping is explained: %v, wanted %v", name, got, skips)
		}
	}
}

// How a block begins is told whole, or ends in dots, and is enough to know it by.
func TestBeginnings(t *testing.T) {
	p := &pageWriter{hand: newHand(library, nil)}
	for _, text := range []string{"The great pumpkin weigh-in: Theo carried it", "Fifteen.", "Donaudampfschifffahrtsgesellschaft", "It went for the priest", ""} {
		for w := inch / 8; w < 3*inch; w += inch / 16 {
			for most := range 4 {
				var l label
				l.addBegins(p, text, w, most)
				got := strings.Join(l.lines, " ")
				whole := strings.HasSuffix(got, "…") && strings.HasPrefix(text, strings.TrimSuffix(got, "…")) && len([]rune(l.lines[len(l.lines)-1])) >= leastBegins
				if len(l.lines) > min(most, mostBegins) || got != "" && got != text && !whole {
					t.Errorf("%q in %d lines of %d: %q", text, most, w, l.lines)
				}
			}
		}
	}
}
