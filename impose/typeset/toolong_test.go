package typeset

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// TestTooLongRoughly: in a job of very many letters it is reckoned by how much a text is too long, which comes near and takes a part of the time.
func TestTooLongRoughly(t *testing.T) {
	drop := regexp.MustCompile(`(about )?([0-9]+) words too long`)
	said := func(r result) (words int, about bool, text string) {
		text = fmt.Sprint(r.found)
		if m := drop.FindStringSubmatch(text); m != nil {
			words, _ = strconv.Atoi(m[2])
			about = m[1] != ""
		}
		return words, about, text
	}
	exactly, roughly := newTextSetter(onlyBuiltIn(NewLibrary(nil)), "en"), newTextSetter(onlyBuiltIn(NewLibrary(nil)), "en")
	defer exactly.close()
	defer roughly.close()
	roughly.roughly = true
	var slow, fast time.Duration
	for i, text := range []string{strings.Repeat("once more with feeling ", 150), strings.Repeat("שלום לכולם a ", 300), strings.Repeat("w ", 1500)} {
		b := aBlock(4*measure.Inch, 2*measure.Inch, text)
		least := func(of *textSetter) (r result, d time.Duration) { // of several, since others may be at work
			for n := range 4 {
				begin := time.Now()
				r = of.block(&b, settings(), 0)
				if took := time.Since(begin); n == 0 || took < d {
					d = took
				}
			}
			return r, d
		}
		tried, long := least(exactly)
		reckoned, short := least(roughly)
		slow, fast = slow+long, fast+short
		want, about, one := said(tried)
		got, yes, other := said(reckoned)
		if about || !yes || want == 0 || 10*max(got-want, want-got) > want {
			t.Errorf("%d: %d words, about %d\n%s\n%s", i, want, got, one, other)
		}
		b.Space.H = measure.Inch / 3
		_, _, one = said(exactly.block(&b, settings(), 0))
		_, _, other = said(roughly.block(&b, settings(), 0))
		if low := "the space is too low for a line"; !strings.Contains(one, low) || !strings.Contains(other, low) {
			t.Errorf("%d:\n%s\n%s", i, one, other)
		}
	}
	if fast > slow/2 {
		t.Errorf("it takes %v, and %v to try", fast, slow)
	}
	long := aBlock(4*measure.Inch, 2*measure.Inch, strings.Repeat("once more with feeling ", 150))
	more := aBlock(4*measure.Inch, 2*measure.Inch, strings.Repeat("w ", mostTried/2)) // which is not set
	more.Font = "Serof"
	for _, blocks := range [][]intake.Block{{long}, {long, more}} {
		if _, held, found := Set(context.Background(), onlyBuiltIn(NewLibrary(nil)), blocks, settings(), nil); len(held) != len(blocks) || strings.Contains(fmt.Sprint(found), "about ") != (len(blocks) > 1) {
			t.Errorf("%d blocks: %v", len(blocks), found)
		}
	}
}
