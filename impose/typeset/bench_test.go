package typeset

import (
	"context"
	"fmt"
	"math/rand"
	"strings"
	"testing"
	"time"

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

// BenchmarkSet sets 1,000 blocks of 60 words. It also reports how many times longer that takes than only shaping each text once,
// timed in turns and by the quickest of each, so that a busy machine does not blur it. Run it with -cpu 1.
func BenchmarkSet(b *testing.B) {
	blocks := sixtyWords(1000)
	f, _ := shared.Face("Serif", false, false)
	s := f.takeShaper()
	shaping, setting := time.Hour, time.Hour
	b.ReportAllocs()
	for b.Loop() {
		b.StopTimer()
		start := time.Now()
		for i := range blocks {
			text := []rune(blocks[i].Text[0][0].Text)
			s.shape(text, 0, len(text), runProps{})
		}
		shaping = min(shaping, time.Since(start))
		b.StartTimer()
		start = time.Now()
		set, _, _ := Set(context.Background(), shared, blocks, settings(), nil)
		setting = min(setting, time.Since(start))
		if len(set) < 990 {
			b.Fatal(len(set), "set")
		}
	}
	b.ReportMetric(float64(setting)/float64(shaping), "x/shaping")
}
