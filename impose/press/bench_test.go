package press

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// job is a document of ten blocks of about fifty words a page, in four faces, in three sections.
func job(t testing.TB, pages int) Document {
	const text = "We walked out before breakfast, the four of us, along the shore where the fog still lay on the water and the office " +
		"boats had not yet left their first moorings; nobody said much, and that was the best of it, for the whole of the week " +
		"had been talk and glue and paper, and now there were only gulls."
	faces := []*testFace{sans(t), italic(t), roman(t), newTestFace(t, "LiberationSans again", sans(t).Data)}
	words := strings.Fields(text)
	lines := make([][]Text, len(faces))
	for i, f := range faces {
		for k := 0; k < len(words); k += 10 {
			l, _ := f.set(strings.Join(words[k:min(k+10, len(words))], " "), 10*measure.Point, 0, 0, false)
			lines[i] = append(lines[i], l)
		}
	}
	d := Document{Title: "Bench", Sections: []Section{{Title: "Guides"}, {Title: "Vellum"}, {Title: "Cardstock"}}}
	for i := range pages {
		p := Page{Title: fmt.Sprintf("Sheet %d", i+1), Size: measure.Size{W: 8 * measure.Inch, H: 11 * measure.Inch}}
		for b := range 10 {
			p.Lines = append(p.Lines, Line{X1: 0, X2: measure.Inch, Y1: measure.Length(b) * measure.Inch, Y2: measure.Length(b) * measure.Inch, Weight: 6350})
			for k, l := range lines[b%len(faces)] {
				l.Glyphs = append([]Glyph(nil), l.Glyphs...)
				for g := range l.Glyphs {
					l.Glyphs[g].X += measure.Inch/2 + measure.Length(i*1237%9000)
					l.Glyphs[g].Y += measure.Length(b+1)*measure.Inch + measure.Length(k)*12*measure.Point
				}
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

type counter int64

func (c *counter) Write(b []byte) (int, error) { *c += counter(len(b)); return len(b), nil }

var _ io.Writer = (*counter)(nil)
