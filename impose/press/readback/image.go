package readback

import (
	"image"
	"math"

	"github.com/klippa-app/go-pdfium/requests"

	"tuckmark/config/measure"
)

// Grey renders a page at a number of dots per inch, in shades of grey with smoothed edges.
func (d *Doc) Grey(page, dpi int) *image.Gray {
	d.t.Helper()
	defer d.lock()()
	r, err := engine.pdfium.RenderPageInDPI(&requests.RenderPageInDPI{
		Page: d.page(page), DPI: dpi, ImageFormat: requests.RenderImageFormatGrayscale})
	d.check(err)
	defer r.Cleanup()
	shared := r.Result.RenderedImage.(*image.Gray)
	kept := *shared
	kept.Pix = append([]uint8(nil), shared.Pix...) // the engine takes its memory back
	return &kept
}

// Colour renders a page in colour.
func (d *Doc) Colour(page, dpi int) *image.RGBA {
	d.t.Helper()
	defer d.lock()()
	r, err := engine.pdfium.RenderPageInDPI(&requests.RenderPageInDPI{Page: d.page(page), DPI: dpi})
	d.check(err)
	defer r.Cleanup()
	shared := r.Result.RenderedImage.(*image.RGBA)
	kept := *shared
	kept.Pix = append([]uint8(nil), shared.Pix...)
	return &kept
}

// Ink is the smallest rectangle that holds all ink of a picture within a part of the page; false: there is none. Edges are
// true to a dot. The picture is one of Grey's with its dots per inch; a dot counts that lies wholly in the part.
func Ink(picture *image.Gray, dpi int, within measure.Rect) (measure.Rect, bool) {
	dot := func(l measure.Length) float64 { return float64(l) * float64(dpi) / float64(measure.Inch) }
	at := func(dots int) measure.Length {
		return measure.Length(math.Round(float64(dots) * float64(measure.Inch) / float64(dpi)))
	}
	part := image.Rect(int(math.Ceil(dot(within.X)-1e-6)), int(math.Ceil(dot(within.Y)-1e-6)),
		int(math.Floor(dot(within.Right())+1e-6)), int(math.Floor(dot(within.Bottom())+1e-6))).Intersect(picture.Rect)
	found := image.Rectangle{}
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			if picture.GrayAt(x, y).Y < paper {
				found = found.Union(image.Rect(x, y, x+1, y+1))
			}
		}
	}
	if found.Empty() {
		return measure.Rect{}, false
	}
	x, y := at(found.Min.X), at(found.Min.Y)
	return measure.Rect{X: x, Y: y, W: at(found.Max.X) - x, H: at(found.Max.Y) - y}, true
}

// paper is the shade from which a dot counts as blank: the faintest smoothing of an edge is no ink.
const paper = 250
