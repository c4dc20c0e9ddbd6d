package typeset

import (
	"math/rand"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// Ways that would take more lines than there may be are left out before they are at their end, and only those.
func TestFewerWays(t *testing.T) {
	rnd := rand.New(rand.NewSource(17))
	for range 60 {
		b := aBlock(3*measure.Inch, 3*measure.Inch, texts[rnd.Intn(len(texts))])
		b.Font = []string{"Serif", "Typewriter"}[rnd.Intn(2)]
		set := newTextSetter(shared, "en")
		body, _ := set.prepare(&b)
		body.align = []config.Align{config.Left, config.Justified, config.Centre}[rnd.Intn(3)]
		set.list(body, hyphenatorOf("en"), penaltyRagged)
		set.useBreaks(body, hyphenatorOf("en"), penaltyRagged)
		bs, width := body.parts[0].breaks, int64((8+rnd.Intn(25))*em)
		rules := body.rules(width, body.justified(0))
		var all, some optimiser
		all.optimise(bs, width, &rules, 200)
		for most := 1; most < 60; most++ {
			some.optimise(bs, width, &rules, most)
			for lines := 1; lines <= most; lines++ {
				a, s := all.result(lines), some.result(lines)
				if (a < 0) != (s < 0) || a >= 0 && !slices.Equal(all.path(a), some.path(s)) {
					t.Fatalf("%v in %d em, %d of %d lines: %d and %d", b.Text, width/em, lines, most, a, s)
				}
			}
		}
		set.close()
	}
}

// The work for a block has a bound, however many places to break its text has; the texts come out all the same. No text of words comes near.
func TestWorkHasABound(t *testing.T) {
	long := strings.Repeat(strings.Join(texts, " ")+" ", 40)[:19000]
	for _, c := range []struct {
		unit          string
		width, height int
		align         config.Align
		dense         bool
	}{
		{"i ", 11, 5, config.Justified, true}, {"i ", 98, 1, config.Justified, true}, {"i\u00ad", 30, 30, config.Left, false},
		{"i i\u00ad", 30, 30, config.Justified, true}, {long, 8, 10, config.Justified, false}, {long, 98, 1, config.Justified, false},
	} {
		text := strings.ToValidUTF8(strings.Repeat(c.unit, 19000/len(c.unit)), "")
		b := aBlock(measure.Length(c.width)*measure.Inch, measure.Length(c.height)*measure.Inch, text)
		b.Font, b.Type.Align, b.Type.Hyphenate = "Sans", c.align, config.HyphenateAlways
		b.Type.Smallest, b.Type.Largest = 4*pt, 144*pt
		set := newTextSetter(shared, "en")
		r := set.block(&b, settings(), 0)
		if r.held() {
			t.Errorf("%.8q, %d x %d in: %v", c.unit, c.width, c.height, r.found)
		}
		looked, most := set.best.looked, mostLooked/4
		if c.dense {
			most = 2 * mostLooked
		}
		if looked > most {
			t.Errorf("%.8q, %d x %d in: %d lines looked at", c.unit, c.width, c.height, looked)
		}
		set.close()
	}
}
