package press

import (
	"fmt"
	"io"
	"math/rand"
	"runtime"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// job is a document of ten blocks of about fifty words a page, in three faces, in three sections. No two blocks have the same
// words, so that compression has the work that it has with people's texts.
func job(t testing.TB, pages int) Document {
	words := strings.Fields("We walked out before breakfast the four of us along the shore where the fog still lay on the water and the " +
		"office boats had not yet left their first moorings nobody said much and that was the best of it for the whole of the week " +
		"had been talk and glue and paper and now there were only gulls")
	faces := []*testFace{sans(t), italic(t), roman(t)}
	rng := rand.New(rand.NewSource(5))
	d := Document{Title: "Bench", Sections: []Section{{Title: "Guides"}, {Title: "Vellum"}, {Title: "Cardstock"}}}
	for i := range pages {
		p := Page{Title: fmt.Sprintf("Sheet %d", i+1), Size: measure.Size{W: 8 * measure.Inch, H: 11 * measure.Inch}}
		for b := range measure.Length(10) {
			y := (b + 1) * measure.Inch
			p.Lines = append(p.Lines, Line{X1: 0, X2: measure.Inch, Y1: y, Y2: y, Weight: 6350})
			for k := range measure.Length(5) {
				var line []string
				for range 10 {
					line = append(line, words[rng.Intn(len(words))])
				}
				l, _ := faces[int(b)%len(faces)].set(strings.Join(line, " "), 10*measure.Point, measure.Inch/2, y+k*12*measure.Point, false)
				p.Texts = append(p.Texts, l)
			}
		}
		s := &d.Sections[i*3/pages]
		s.Pages = append(s.Pages, p)
	}
	return d
}

func BenchmarkWrite(b *testing.B) {
	for _, pages := range []int{10, 100, 1000} {
		b.Run(fmt.Sprint(pages), func(b *testing.B) {
			d := job(b, pages)
			b.ReportAllocs()
			runtime.GC()
			size := counter(0)
			for b.Loop() {
				size = 0
				if err := Write(&size, d, nil); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(size)/float64(pages), "bytes/page")
		})
	}
}

// BenchmarkMerge joins sections that are written already into one file, in an order of its own.
func BenchmarkMerge(b *testing.B) {
	for _, pages := range []int{100, 1000} {
		b.Run(fmt.Sprint(pages), func(b *testing.B) {
			d := job(b, pages)
			fonts, err := gather(&d)
			if err != nil {
				b.Fatal(err)
			}
			programs := make([]*program, len(fonts.faces))
			for i, f := range fonts.faces {
				if programs[i], err = f.subset(); err != nil {
					b.Fatal(err)
				}
			}
			var files [][]byte
			for i := range d.Sections {
				files = append(files, writeSection(&d.Sections[i], fonts, programs, func() {}))
			}
			b.ReportAllocs()
			for b.Loop() {
				all, err := merge(func(i int) []byte { return files[i] }, len(files), &d)
				if err == nil {
					err = canonical(io.Discard, all)
				}
				if err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

type counter int64

func (c *counter) Write(b []byte) (int, error) { *c += counter(len(b)); return len(b), nil }

var _ io.Writer = (*counter)(nil)
