package typeset

import (
	"strings"
	"testing"
	"time"

	"tuckmark/config/measure"
)

// TestStartsInLongWords: a line that starts within a long word is as wide as if all that follows were shaped.
func TestStartsInLongWords(t *testing.T) {
	setter := newTextSetter(onlyBuiltIn(NewLibrary(nil)), "en")
	defer setter.close()
	fs, _ := setter.family("Serif")
	for _, word := range []string{strings.Repeat("VATo", 60), strings.Repeat("ffifflfi", 30), strings.Repeat("AV\u00ad", 80), strings.Repeat("Ty.,“Y", 50)} {
		p := setter.shapeAlone(fs[0], word)
		c := &setter.line.scratch
		c.measure(p)
		unsafe := 0
		for k := 1; k < len(p.text); k++ {
			if c.cut[k]&clusterStart == 0 || c.cut[k]&unsafeCut == 0 {
				continue
			}
			unsafe++
			got, r := setter.startCost(p, k), p.runAt(k)
			s := setter.shaper(r.face)
			s.shape(p.text[k:], 0, len(p.text)-k, r.props)
			if want := s.total() - (c.x[len(p.text)] - c.x[k]) + s.overhangStart(&s.glyphs[0], false); got != want || p.starts[k] != want && len(p.text)-k > 2*drawnClose {
				t.Errorf("%.8s at %d: %d, and %d with all of it", word, k, got, want)
			}
		}
		if unsafe < 20 {
			t.Errorf("%.8s: only %d places where letters are drawn close", word, unsafe)
		}
	}
}

// TestVeryLongWords: a word of thousands of letters, each drawn close to the next and with a hyphen behind it, takes a time that grows as it does.
func TestVeryLongWords(t *testing.T) {
	setter := newTextSetter(onlyBuiltIn(NewLibrary(nil)), "en")
	defer setter.close()
	cost := func(letters int) time.Duration {
		least := time.Hour // of several, since others may be at work
		b := aBlock(8*measure.Inch, 10*measure.Inch, strings.Repeat("V\u00adA\u00ad", letters/2))
		for range 3 {
			from := time.Now()
			setter.block(&b, settings(), 0)
			least = min(least, time.Since(from))
		}
		return least
	}
	if a, b := cost(1_000), cost(8_000); b > 20*a+50*time.Millisecond { // 8 times, and some 60 where all that follows was shaped
		t.Errorf("%v for 1,000 letters, %v for 8,000", a, b)
	}
}
