package typeset

import (
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// sixtyWords are blocks of 60 different words or so each, put together from the texts.
func sixtyWords(n int) []intake.Block {
	rnd := rand.New(rand.NewSource(60))
	var words []string
	for _, t := range texts {
		words = append(words, strings.Fields(t)...)
	}
	out := make([]intake.Block, n)
	for i := range out {
		var text []string
		for range 60 {
			text = append(text, words[rnd.Intn(len(words))])
		}
		out[i] = aBlock(4*measure.Inch, measure.Inch*measure.Length(8+rnd.Intn(12))/8, strings.Join(text, " "))
		out[i].Code = fmt.Sprintf("A-%d", i+1)
		out[i].Owner = "Ada"
	}
	return out
}

// BenchmarkShapeOnce is the yardstick for BenchmarkSet: what it takes only to shape each of 1,000 texts once. Run both with
// -cpu 1.
func BenchmarkShapeOnce(b *testing.B) {
	blocks := sixtyWords(1000)
	f, _ := shared.Face("Serif", false, false)
	s := f.take()
	for b.Loop() {
		for i := range blocks {
			text := []rune(blocks[i].Text[0][0].Text)
			s.shape(text, 0, len(text), runProps{})
		}
	}
}

// BenchmarkSet sets 1,000 blocks of 60 words.
func BenchmarkSet(b *testing.B) {
	blocks := sixtyWords(1000)
	b.ReportAllocs()
	for b.Loop() {
		set, _, _ := Set(shared, blocks, settings(), nil)
		if len(set) < 990 {
			b.Fatal(len(set), "set")
		}
	}
}
