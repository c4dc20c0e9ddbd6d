package draw

import (
	"bytes"
	"encoding/xml"
	"io"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// TestOutlines: a picture that stands by itself is well-formed XML (read by encoding/xml), asks for nothing, and has each glyph where the setting put it.
func TestOutlines(t *testing.T) {
	s, found := config.Load(config.Source{Home: t.TempDir()})
	if found.Errors() > 0 {
		t.Fatal(found)
	}
	b, found := intake.ReadOne([]intake.Field{{Heading: "Name", Text: "Ann"}, {Heading: "Journaling", Text: "Office *fluff* <b>&amp; _naïve_\nשלום"}, {Heading: "Space", Text: "4 x 2"}, {Heading: "Font", Text: "Sans"}}, s)
	if found.Errors() > 0 {
		t.Fatal(found)
	}
	trial := typeset.Try(typeset.NewLibrary(nil), &b, s)
	if trial.Setting == nil {
		t.Fatal(trial.Problems)
	}
	var o Outlines
	data := o.Block(trial.Setting, s)
	if again := o.Block(trial.Setting, s); !bytes.Equal(data, again) {
		t.Error("the same block is drawn in two ways")
	}
	const dot = measure.Millimetre / 100
	var want [][2]int64 // where glyphs with ink stand, in the pictures' unit
	for _, l := range trial.Setting.Lines {
		for _, span := range l.Spans {
			for _, g := range span.Glyphs {
				if len(span.Face.Outline(g.ID)) > 0 {
					want = append(want, [2]int64{int64(g.X / dot), int64(g.Y / dot)})
				}
			}
		}
	}
	d := xml.NewDecoder(bytes.NewReader(data))
	scale := 0.0
	n := 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		e, ok := token.(xml.StartElement)
		if !ok {
			continue
		}
		value := map[string]string{}
		for _, a := range e.Attr {
			value[a.Name.Local] = a.Value
			if a.Name.Local == "href" && !strings.HasPrefix(a.Value, "#") || strings.HasPrefix(a.Name.Local, "on") {
				t.Errorf("<%s> has %s=%q", e.Name.Local, a.Name.Local, a.Value)
			}
		}
		switch e.Name.Local {
		case "svg", "style", "defs", "pattern", "rect", "path", "circle":
		case "g":
			x, _, _ := strings.Cut(strings.TrimPrefix(value["transform"], "scale("), " ")
			if scale, err = strconv.ParseFloat(x, 64); err != nil {
				t.Fatal(err)
			}
		case "use":
			x, _ := strconv.ParseFloat(value["x"], 64)
			y, _ := strconv.ParseFloat(value["y"], 64)
			if n < len(want) {
				if dx, dy := x*scale-float64(want[n][0]), -y*scale-float64(want[n][1]); dx > 2 || dx < -2 || dy > 2 || dy < -2 {
					t.Errorf("glyph %d stands at %.1f, %.1f, not at %v", n, x*scale, -y*scale, want[n])
				}
			}
			n++
		default:
			t.Errorf("a picture holds <%s>", e.Name.Local)
		}
	}
	if n != len(want) || n < 20 {
		t.Errorf("%d glyphs are drawn of %d", n, len(want))
	}
}
