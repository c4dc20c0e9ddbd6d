package guide

import (
	"math/rand/v2"
	"sort"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/typeset"
)

// A text is cut short where plain halving would cut it, whatever is guessed and however wide the room is.
func TestShort(t *testing.T) {
	p := &pageWriter{hand: newHand(typeset.NewLibrary(nil), nil)}
	plain := func(s style, text string, w measure.Length) string {
		runes := []rune(text)
		n := sort.Search(len(runes), func(n int) bool { return p.advance(s, string(runes[:n+1])+"…") > w })
		for ; n > 0; n-- {
			if t := strings.TrimRight(string(runes[:n]), " ,;:.") + "…"; p.advance(s, t) <= w {
				return t
			}
		}
		return ""
	}
	for _, text := range []string{"The ferry was late again, and so we bought plums from a man with a handcart", "AVAVAVAVA fi ffi fl", "x", "12, 13, 14; 15 ... and", "قطار متأخر مرة أخرى", "é́é́é́ ñ"} {
		whole := p.advance(body, text)
		for w := measure.Length(0); w < whole; w += whole/57 + 1 {
			got, want := p.short(body, text, w), plain(body, text, w)
			if joined := strings.HasPrefix(text, "قطار"); joined && got != "" && p.advance(body, got) <= w { // a letter more may be narrower there
				continue
			}
			if got != want {
				t.Errorf("%q in %d of %d: %q instead of %q", text, w, whole, got, want)
			}
		}
		if got := p.short(body, text, whole); got != text {
			t.Errorf("%q has room and is cut to %q", text, got)
		}
	}
}

func TestSearchNear(t *testing.T) {
	for range 2000 {
		n := 1 + rand.IntN(60)
		from, calls := rand.IntN(n+1), 0
		guess := rand.IntN(2*n) - n/2
		got := searchNear(n, guess, func(i int) bool {
			if i < 0 || i >= n {
				t.Fatalf("asked for %d of %d", i, n)
			}
			calls++
			return i >= from
		})
		if got != from || calls > 14 {
			t.Fatalf("%d of %d from a guess of %d: %d after %d calls", from, n, guess, got, calls)
		}
	}
}
