package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// large writes a CSV of n blocks of about 50 words by n/10 people, over three stocks and the common sizes.
func large(t testing.TB, n int) string {
	t.Helper()
	words := strings.Fields(`the ferry was late again and so we bought plums from a man with a handcart and ate them on the quay while
		Odile sang and nobody counted the seconds until the rain came over the harbour and we ran laughing all the way back up those
		crooked steps to a kitchen that smelled of bread and wet wool and somebody had lit the lamp before we could even ask`)
	r := rand.New(rand.NewPCG(uint64(n), 1961))
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	rows := [][]string{{"Name", "Page", "Journaling", "Width", "Height", "Stock", "Who", "Where", "When"}}
	for i := range n {
		var text []string
		for range 40 + r.IntN(21) {
			text = append(text, words[r.IntN(len(words))])
		}
		rows = append(rows, []string{fmt.Sprintf("Person %d", i*10/n+i%(n/10+1)), fmt.Sprint(1 + i%12), strings.Join(text, " ") + ".",
			[]string{"4", "4", "3 1/2", "5"}[r.IntN(4)], []string{"2", "2 1/2", "3"}[r.IntN(3)],
			[]string{"vellum", "cardstock", "clear sticker"}[r.IntN(3)], "", "Harbour steps", "4 July 2026"})
	}
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "large.csv")
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

// BenchmarkMake is the whole job, CSV to PDF and report. Growth is the exponent by which time grows from the size before:
// 1 is linear.
func BenchmarkMake(b *testing.B) {
	var before time.Duration
	blocks := 0
	for _, n := range []int{100, 1000, 8000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			in := large(b, n)
			out := filepath.Join(b.TempDir(), "large.pdf")
			for b.Loop() {
				if code := run([]string{"make", in, "-o", out}, io.Discard, io.Discard); code != exitDone {
					b.Fatalf("exit status %d", code)
				}
			}
			each := b.Elapsed() / time.Duration(b.N)
			if blocks > 0 {
				b.ReportMetric(math.Log(float64(each)/float64(before))/math.Log(float64(n)/float64(blocks)), "growth")
			}
			b.ReportMetric(float64(each.Microseconds())/float64(n), "µs/block")
			before, blocks = each, n
		})
	}
}
