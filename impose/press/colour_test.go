package press

import (
	"bytes"
	"io"
	"slices"
	"strings"
	"testing"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// TestGreyIsGrey: what is grey goes out in DeviceGray, so that a printer mixes it of black alone; what has a colour in
// DeviceRGB. The operators are those of ISO 32000-1, table 74: g and rg for fills and letters, G and RG for lines.
func TestGreyIsGrey(t *testing.T) {
	for _, c := range []struct {
		colour             config.Colour
		fill, line, letter string
	}{
		{config.Colour{R: 128, G: 128, B: 128}, "0.502 g", "0.502 G", "0.502 g"},
		{config.Colour{R: 255, G: 255, B: 255}, "1 g", "1 G", "1 g"},
		{config.Colour{R: 128, G: 128, B: 127}, "0.502 0.502 0.498 rg", "0.502 0.502 0.498 RG", "0.502 0.502 0.498 rg"},
		{config.Colour{R: 51}, "0.2 0 0 rg", "0.2 0 0 RG", "0.2 0 0 rg"},
	} {
		text, _ := sans(t).set("Plums", 12*measure.Point, measure.Inch, measure.Inch, false)
		text.Colour = c.colour
		pages := []Page{
			{Fills: []Fill{{measure.Rect{W: measure.Inch, H: measure.Inch}, c.colour}}},
			{Lines: []Line{{X2: measure.Inch, Weight: measure.Point, Colour: c.colour}}},
			{Texts: []Text{text}},
		}
		for i := range pages {
			pages[i].Size = measure.Size{W: 4 * measure.Inch, H: 3 * measure.Inch}
		}
		pdf := write(t, Document{Sections: []Section{{Pages: pages}}})
		for i, want := range []string{c.fill, c.line, c.letter} {
			if got := colours(t, pdf, i+1); !slices.Equal(got, []string{want}) {
				t.Errorf("%v: page %d sets the colours %q, want %q alone", c.colour, i+1, got, want)
			}
		}
	}
}

// colours are the operations of a page, the first having number 1, that set a colour in whatever space.
func colours(t *testing.T, pdf []byte, page int) (out []string) {
	t.Helper()
	ctx, err := api.ReadValidateAndOptimize(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		t.Fatal(err)
	}
	stream, err := pdfcpu.ExtractPageContent(ctx, page)
	if err != nil {
		t.Fatal(err)
	}
	text, err := io.ReadAll(stream)
	if err != nil {
		t.Fatal(err)
	}
	var operands []string
	for _, token := range strings.Fields(string(text)) {
		switch token {
		case "g", "G", "rg", "RG", "k", "K", "cs", "CS", "sc", "SC", "scn", "SCN":
			out = append(out, strings.Join(append(operands, token), " "))
			operands = nil
		default:
			if strings.Trim(token, "0123456789.-") == "" {
				operands = append(operands, token)
			} else {
				operands = nil
			}
		}
	}
	return out
}
