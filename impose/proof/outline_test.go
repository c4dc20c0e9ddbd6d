package proof

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"testing"

	"github.com/go-text/typesetting/font"
)

func parse(t *testing.T, data []byte) *font.Face {
	t.Helper()
	f, err := font.ParseTTF(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("the font cannot be read: %v", err)
	}
	return f
}

func decode64(t *testing.T, f *webFont) []byte {
	t.Helper()
	text, err := f.data()
	if err != nil {
		t.Fatal(err)
	}
	data, err := base64.StdEncoding.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// outlineOf is a glyph's outline in words.
func outlineOf(f *font.Face, g font.GID) string {
	o, ok := f.GlyphData(g).(font.GlyphOutline)
	if !ok {
		return "none"
	}
	return fmt.Sprint(o.Segments)
}
