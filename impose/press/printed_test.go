package press

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// forged is a PDF with one of its objects changed, and the table and the digest reckoned anew. Changed is handed each object, from "1 0 obj" to "endobj".
func forged(t *testing.T, pdf []byte, changed func(object string) string) []byte {
	t.Helper()
	table := bytes.LastIndex(pdf, []byte("xref\n0 "))
	var offsets []int
	out := bytes.NewBuffer(bytes.Clone(pdf[:len(header)]))
	hit := false
	for rest, n := pdf[len(header):table], 1; len(rest) > 0; n++ {
		next := bytes.Index(rest, fmt.Appendf(nil, "\nendobj\n%d 0 obj\n", n+1))
		object := rest
		if next >= 0 {
			object = rest[:next+len("\nendobj\n")]
		}
		rest = rest[len(object):]
		offsets = append(offsets, out.Len())
		now := changed(string(object))
		hit = hit || now != string(object)
		out.WriteString(now)
	}
	if !hit {
		t.Fatal("nothing was changed")
	}
	at := out.Len()
	fmt.Fprintf(out, "xref\n0 %d\n0000000000 65535 f \n", len(offsets)+1)
	for _, o := range offsets {
		fmt.Fprintf(out, "%010d 00000 n \n", o)
	}
	sum := sha256.Sum256(out.Bytes())
	out.WriteString(trailer(len(offsets)+1, len(offsets), sum[:idLength], int64(at)))
	return out.Bytes()
}

// TestForgedPDFs: a PDF that somebody has made up is refused, though its digest is right, where it would unpack to many times what it holds, in whichever of its
// streams and by whatever filters, or where its pages have no size that a page can have. One that is as Write writes it is opened.
func TestForgedPDFs(t *testing.T) {
	var written bytes.Buffer
	page := Page{Size: measure.Size{W: 8 * measure.Inch, H: 11 * measure.Inch}, Fills: []Fill{{Rect: measure.Rect{X: measure.Inch, Y: measure.Inch, W: measure.Inch, H: measure.Inch}}}}
	plan := strings.Repeat(`{"plan": 1}`, 200)
	if err := Write(&written, Document{Title: "print", Sections: []Section{{Title: "a", Pages: []Page{page}}}, Plan: func(w io.Writer) error { _, err := io.WriteString(w, plan); return err }}, nil); err != nil {
		t.Fatal(err)
	}
	zipped := func(data []byte) string {
		var out bytes.Buffer
		z := zlib.NewWriter(&out)
		_, _ = z.Write(data)
		_ = z.Close()
		return out.String()
	}
	bomb := zipped(bytes.Repeat([]byte(" "), 80<<20))
	stream := regexp.MustCompile(`(?s)/Length \d+(.*?>>\nstream\n).*(\nendstream\n)`)
	in := func(what, by string) func(string) string { // another stream in the objects that hold a text
		return func(object string) string {
			if !strings.Contains(object, what) {
				return object
			}
			at := stream.FindStringSubmatchIndex(object)
			return object[:at[0]] + "/Length " + strconv.Itoa(len(by)) + object[at[2]:at[3]] + by + object[at[4]:]
		}
	}
	swap := func(from, to string) func(string) string {
		return func(object string) string { return strings.Replace(object, from, to, 1) }
	}
	both := func(a, b func(string) string) func(string) string {
		return func(object string) string { return b(a(object)) }
	}
	for name, c := range map[string]struct {
		change func(string) string
		opens  bool
	}{
		"another plan":                 {in("/Type /EmbeddedFile", zipped([]byte(`{"plan": 1}`))), true},
		"a plan that swells":           {in("/Type /EmbeddedFile", bomb), false},
		"a plan packed twice":          {both(swap("/Filter /FlateDecode", "/Filter [/FlateDecode /FlateDecode]"), in("/Type /EmbeddedFile", zipped([]byte(bomb)))), false},
		"a plan with a predictor":      {swap("/Filter /FlateDecode/Length", "/DecodeParms <</Columns 1000000000/Predictor 15>>/Filter /FlateDecode/Length"), false},
		"another name of the filter":   {both(swap("/Filter /FlateDecode", "/F#69lter /FlateDecode"), in("/Type /EmbeddedFile", bomb)), false},
		"a length that is not its own": {swap("/Length ", "/Length 1"), false},
		"metadata that swell":          {both(swap("<</Length", "<</Filter /FlateDecode/Length"), in("/Type /Metadata", bomb)), false},
		"a page without end":           {swap("/MediaBox [0 0 576 792]", "/MediaBox [0 0 9e99 792]"), false},
		"a page upside down":           {swap("/MediaBox [0 0 576 792]", "/MediaBox [0 0 576 -792]"), false},
		"a stream behind a text":       {swap("<</Filter /FlateDecode/Length", "<</A (>>\nstream\n)/Filter /FlateDecode/Length"), false},
	} {
		pdf := forged(t, written.Bytes(), c.change)
		if !IsUnchanged(pdf) {
			t.Fatalf("%s: the digest is not right", name)
		}
		f, err := Open(pdf)
		if (err == nil) != c.opens {
			t.Errorf("%s: %v", name, err)
		}
		if c.opens && err == nil && string(f.Plan) != `{"plan": 1}` {
			t.Errorf("%s: the plan is %.100s", name, f.Plan)
		}
	}
	// A page whose contents are many is not looked through for its colours.
	f, err := Open(forged(t, written.Bytes(), func(object string) string {
		return regexp.MustCompile(`/Contents (\d+ 0 R)`).ReplaceAllString(object, "/Contents ["+strings.Repeat("$1 ", 1000)+"]")
	}))
	if err == nil {
		_, err = f.Coloured(1)
	}
	if err == nil {
		t.Error("contents of a thousand parts are read")
	}
}
