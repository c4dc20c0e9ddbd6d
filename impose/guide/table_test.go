package guide

import (
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// Where a table has to be narrower than its texts, they are broken at their spaces and no measure is parted, as long as there is another way.
func TestFitBreaksAtSpaces(t *testing.T) {
	p := &pageWriter{hand: newHand(library, nil)}
	rows := [][]string{
		{"1", "the piece", "bottom", "10 15/16 in", "2 times", "measure", "scrap + A-J"},
		{"2", "parts G and H", "top", "2 1/4 in", "", "mark", "part G, part H + I-J"},
	}
	for _, most := range []measure.Length{9 * inch / 2, 17 * inch / 4, 15 * inch / 4} {
		cuts := &table{columns: []column{{head: "Cut", style: badgeStyle, badge: true}, {head: "Take", style: small, whole: true}, {head: "Fence", style: small},
			{head: "Set to", style: strong}, {style: smallB}, {head: "Line", style: small}, {head: "Gives", style: small}}}
		cuts.fit(p, rows, most)
		if cuts.w > most {
			t.Errorf("a table of at most %v is %v wide", most, cuts.w)
		}
		if take := cuts.columns[1]; most >= 4*inch && len(p.breakLines(take.style, rows[1][1], take.w)) != 1 {
			t.Errorf("in a table of at most %v what is taken is parted", most)
		}
		for _, row := range rows {
			for i, text := range row[1:] {
				words := unbroken(text)
				for _, line := range p.breakLines(cuts.columns[i+1].style, text, cuts.columns[i+1].w) {
					n := len(unbroken(line))
					if n > len(words) || strings.Join(words[:n], " ") != line {
						t.Errorf("in a table of at most %v %q is broken to %q", most, text, line)
						break
					}
					words = words[n:]
				}
			}
		}
	}
	long := strings.Repeat("wide", 100) // no other way
	one := &table{columns: []column{{style: small}, {style: small}}}
	if one.fit(p, [][]string{{long, "a"}}, 2*inch); one.w > 2*inch {
		t.Errorf("a table of one long word is %v wide", one.w)
	}
}
