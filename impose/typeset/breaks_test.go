package typeset

import (
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// allowed is a text with | where a line may end.
func allowed(l lang, text string) string {
	rs := []rune(text)
	var c scratch
	c.cut = make([]uint8, len(rs)+1)
	for i := range c.cut {
		c.cut[i] = clusterStart
	}
	c.allow(rs, l, false)
	var b strings.Builder
	for i, r := range rs {
		if i > 0 && c.cut[i]&mayBreak != 0 {
			b.WriteByte('|')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// TestTogether: what a reader would not part stays together. The cases are ours, the rules common practice.
func TestTogether(t *testing.T) {
	for _, want := range []string{
		"on |4 July |2019",
		"on |July 4, |2019",
		"on |8–14 September |2024, |pages 10–12",
		"after |10 km |we |stopped",
		"it |was |20 × 30 cm, |4″ × 6″ |and |2½ × 3, |a |× |b",
		"at |7 p.m. |sharp",
		"Dr. K. Frost |came",
		"Mrs. Dalloway |said",
		"J. R. R. Tolkien",
		"the |bay — |flat |as |glass",
		"the |bay—|flat |as |glass",
		"12 000 |people",
		"No. 7 |and |page 12",
		"mother-|in-|law",
		"and/|or |https://|example.com/|lake/|2019",
		"1/2 |cup, |3:30, |3.5 |stars",
		"She |said: |“Oh!” (twice)",
		"I |saw |10 |ducks |in |May",
		"say |« Eh |bien ! » |and |« tu |viens ? » |or |« oui : |non ; |peut-|être ! »",
		"»Ja« |sagte |er |»nein«, |he |said |« no » .",
		"Uncle Bob |and |Aunt Josephine, |an |uncle |of |mine",
		"東|京|に|行っ|た。",
	} {
		if got := allowed(rootLang, strings.ReplaceAll(want, "|", "")); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
	for l, want := range map[lang]string{langPl: "i w domu, |z nami, |o nas, |a także |i my", langEn: "a |cat |and |I |am"} { // a Polish typesetter leaves no w at the end of a line
		if got := allowed(l, strings.ReplaceAll(want, "|", "")); got != want {
			t.Errorf("got  %s\nwant %s", got, want)
		}
	}
}

// exceptions are the cases of LineBreakTest.txt that the segmenter gets wrong: a tile of the game of mah-jong with a skin
// colour. A case that is mended must be taken out.
var exceptions = map[string]bool{"× 1F02C × 1F3FF ÷": true}

// TestLineBreakTest runs Unicode's own test of UAX #14 (LineBreakTest.txt, as it lies in the module of the segmenter) through our
// breaks. What together adds only takes breaks away.
func TestLineBreakTest(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(moduleDir(t, "github.com/go-text/typesetting"), "segmenter", "test", "LineBreakTest.txt"))
	if err != nil {
		t.Skip(err)
	}
	cases := 0
	for line := range strings.Lines(string(data)) {
		line, _, _ = strings.Cut(line, "#")
		fields := strings.Fields(line)
		if len(fields) == 0 {
			continue
		}
		var text []rune
		var breaks []bool
		for i := 0; i+1 < len(fields); i += 2 {
			r, err := strconv.ParseUint(fields[i+1], 16, 32)
			if err != nil {
				t.Fatal(err)
			}
			text = append(text, rune(r))
			breaks = append(breaks, fields[i] == "÷")
		}
		cases++
		var c scratch
		c.cut = make([]uint8, len(text)+1)
		for i := range c.cut {
			c.cut[i] = clusterStart
		}
		c.allow(text, rootLang, true)
		right := true
		for i := 1; i < len(text); i++ {
			right = right && breaks[i] == (c.cut[i]&mayBreak != 0)
		}
		key := strings.TrimSpace(line)
		if right == exceptions[key] {
			t.Errorf("%s: right %v", key, right)
		}
	}
	if cases < 7000 {
		t.Errorf("only %d cases", cases)
	}
}

// TestLastLines: the last full line of a text has no hyphen, no two lines in a row have one, and the last line is no lonely
// short word, wherever another setting of the same size can avoid it.
func TestLastLines(t *testing.T) {
	ts := newTextSetter(shared, "en")
	defer ts.close()
	tried := [3]int{}
	for _, b := range randomBlocks(400/slower, 6) {
		b.Title, b.End = "", ""
		b.Text = []intake.Paragraph{joined(b.Text)}
		b.Type.Hyphenate = config.HyphenateAlways
		body, found := ts.prepare(&b)
		if found.Errors() > 0 {
			t.Fatal(found)
		}
		set, ok := ts.solve(body, &b, settings(), body.sizes(&b))
		if !ok || body.hyphenator(&b, settings()) == nil {
			continue
		}
		for i, flawed := range []func(bs []breakpoint, path []int) bool{
			func(bs []breakpoint, path []int) bool { return len(path) > 1 && bs[path[len(path)-2]].hyphen },
			func(bs []breakpoint, path []int) bool {
				for i := 1; i < len(path)-1; i++ {
					if bs[path[i-1]].hyphen && bs[path[i]].hyphen {
						return true
					}
				}
				return false
			},
			func(bs []breakpoint, path []int) bool { return len(path) > 1 && bs[path[len(path)-2]].tail },
		} {
			p := &body.parts[0]
			body.narrow = body.linesTooLong(set.Size)
			lines := body.lay(&ts.best, set.Size)
			if lines == nil {
				body.narrow = false
				lines = body.lay(&ts.best, set.Size)
			}
			path := lines[0]
			if !flawed(p.breaks, path) {
				continue
			}
			tried[i]++
			// Flawed: then no setting of this size without all three flaws may exist. Search them all.
			if way := faultless(p.breaks, body.width(0, set.Size), len(path)+body.spareLines(set.Size, len(path)), body.justified(0)); way {
				t.Errorf("%s at %.2f pt: flaw %d, which another setting avoids:\n%s", b.Code, set.Size.Points(), i, said(&set))
			}
		}
	}
	t.Logf("flaws that could not be avoided: %v", tried)
}

func (b *body) spareLines(s measure.Length, lines int) int {
	return int((b.box.H - b.height(s, func(int) int { return lines })) / b.pitch(0, s))
}

// faultless reports whether some setting in at most so many lines has none of the three flaws. It looks at all of them, by
// reachability and without demerits.
func faultless(bs []breakpoint, width int64, most int, shrink bool) bool {
	n := len(bs)
	reach := make([][]bool, most+1) // by lines and by breakpoint
	for i := range reach {
		reach[i] = make([]bool, n)
	}
	reach[0][0] = true
	for lines := range most {
		for a := range n {
			if !reach[lines][a] {
				continue
			}
			for b := a + 1; b < n; b++ {
				w := bs[b].width - bs[a].width1 + bs[b].before + bs[a].after
				loose := shrink && b < n-1 && badness(max(0, width-w), bs[b].stretch-bs[a].stretch1) > tolerance
				if shrink {
					w -= bs[b].shrink - bs[a].shrink1
				}
				if loose || w > width || a > 0 && bs[a].hyphen && (bs[b].hyphen || b == n-1) || b == n-1 && a > 0 && bs[a].tail {
					continue
				}
				reach[lines+1][b] = true
			}
		}
		if reach[lines+1][n-1] {
			return true
		}
	}
	return false
}

// joined is paragraphs made one.
func joined(text []intake.Paragraph) (out intake.Paragraph) {
	for i, p := range text {
		if i > 0 {
			out = append(out, intake.Run{Text: " "})
		}
		out = append(out, p...)
	}
	return out
}
