package typeset

import (
	"math/rand"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/text/unicode/bidi"
)

// TestBidiDirections compares with golang.org/x/text's implementation of UAX #9, which tells the direction of each character but
// not its level, on 20,000 random texts without brackets, which that package does not pair (rule N0). It has no brackets: that package does not pair them (rule N0).
func TestBidiDirections(t *testing.T) {
	alphabet := []rune("abcאבגدذر123٤٥٦ .,:+-$%“!ֿ́")
	rnd := rand.New(rand.NewSource(9))
	for n := range 20000 / slower {
		text := make([]rune, 1+rnd.Intn(14))
		for i := range text {
			text[i] = alphabet[rnd.Intn(len(alphabet))]
		}
		var p bidi.Paragraph
		if _, err := p.SetString(string(text)); err != nil {
			t.Fatal(err)
		}
		o, err := p.Order()
		if err != nil {
			t.Fatal(err)
		}
		want := make([]byte, 0, len(text))
		for i := range o.NumRuns() {
			r := o.Run(i)
			want = append(want, strings.Repeat([]string{"L", "R"}[r.Direction()], len([]rune(r.String())))...)
		}
		got := make([]byte, len(text))
		lv, base := levels(text)
		for i := range text {
			got[i] = 'L'
			if lv != nil && lv[i]&1 == 1 {
				got[i] = 'R'
			}
		}
		// Spaces at the end run with the paragraph (L1); ours are dropped before that.
		last := len(strings.TrimRight(string(text), " "))
		last = len([]rune(string(text)[:last]))
		if string(got[:last]) != string(want[:last]) {
			t.Fatalf("text %d %q (base %d)\nours %s\nwant %s", n, string(text), base, got, want)
		}
	}
}

// TestBidiLevels holds levels against examples of UAX #9: numbers after Hebrew letters stand at level 2 in both kinds of
// paragraph (section 3.3.6), English in a Hebrew one too. The brackets are worked out by hand from rule N0.
func TestBidiLevels(t *testing.T) {
	for text, want := range map[string]string{
		"car אבג 123 end": "000011112220000",
		"אבג 123 car":     "11112221222",
		"אבג car 1 12 דה": "111122222222111",
		"plain text, 12":  "",
		"car (אב) bus":    "000001100000",
		"אב (car) גד":     "11112221111",
		"אב car(s) גד":    "111222222111",
		"car (bus אב) גד": "000000000110011",
		"car (אב":         "0000011",
		"3 (אב) 4":        "21111112",
	} {
		lv, _ := levels([]rune(text))
		got := ""
		for _, l := range lv {
			got += strconv.Itoa(int(l))
		}
		if got != want {
			t.Errorf("%q\ngot  %s\nwant %s", text, got, want)
		}
	}
}
