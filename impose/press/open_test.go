package press_test

import (
	"bytes"
	"errors"
	"io"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/press"
)

// finished is a document of three pages of odd sizes, the second in colour, with a plan.
func finished(t *testing.T, plan string) ([]byte, []press.Page) {
	t.Helper()
	box := func(w, h measure.Length, c config.Colour) press.Page {
		return press.Page{Size: measure.Size{W: w, H: h}, Fills: []press.Fill{{Rect: measure.Rect{X: measure.Inch, Y: measure.Inch, W: measure.Inch, H: measure.Inch / 2}, Colour: c}}}
	}
	pages := []press.Page{box(8*measure.Inch, 11*measure.Inch, config.Colour{}), box(3657601, 6858003, config.Colour{R: 200}), box(5*measure.Inch, 4*measure.Inch, config.Colour{R: 9, G: 9, B: 9})}
	d := press.Document{Title: "print", Sections: []press.Section{{Title: "a", Pages: pages[:1]}, {Title: "b", Pages: pages[1:]}}}
	if plan != "" {
		d.Plan = func(w io.Writer) error { _, err := io.WriteString(w, plan); return err }
	}
	var first, second bytes.Buffer
	for _, w := range []*bytes.Buffer{&first, &second} {
		if err := press.Write(w, d, nil); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(first.Bytes(), second.Bytes()) {
		t.Error("the same document gives other bytes")
	}
	return first.Bytes(), pages
}

func TestOpen(t *testing.T) {
	pdf, pages := finished(t, `{"plan": 1}`)
	f, err := press.Open(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if string(f.Plan) != `{"plan": 1}` || len(f.Sizes) != 3 {
		t.Fatalf("%q, %d pages", f.Plan, len(f.Sizes))
	}
	for i, p := range pages {
		if apart := max(f.Sizes[i].W-p.Size.W, p.Size.W-f.Sizes[i].W, f.Sizes[i].H-p.Size.H, p.Size.H-f.Sizes[i].H); apart > 1 {
			t.Errorf("page %d is %v, want %v", i+1, f.Sizes[i], p.Size)
		}
		if c, err := f.Coloured(i + 1); err != nil || c != (i == 1) {
			t.Errorf("page %d is coloured: %v %v", i+1, c, err)
		}
	}
	for _, numbers := range [][]int{{2}, {3, 1}} {
		some, err := f.Extract(numbers)
		if err != nil {
			t.Fatal(err)
		}
		again, err := f.Extract(numbers)
		if err != nil || !bytes.Equal(some, again) {
			t.Errorf("%v: other bytes the second time (%v)", numbers, err)
		}
		if _, err := press.Open(some); !errors.Is(err, press.ErrNoPlan) {
			t.Errorf("an extract opens: %v", err)
		}
	}
	if _, err := f.Extract([]int{4}); err == nil {
		t.Error("there is no page 4")
	}
}

// TestIsOursResaved: a PDF of ours is known, and known for changed, in whatever way another program has written its properties.
func TestIsOursResaved(t *testing.T) {
	pdf, _ := finished(t, `{"plan": 1}`)
	const was = "/Creator (\xFE\xFF\x00t\x00u\x00c\x00k\x00m\x00a\x00r\x00k)"
	for _, as := range []string{"/Creator <feff007400750063006b006d00610072006b>", "/Creator<FEFF007400750063006B006D00610072006B>", "/Creator\n(tuckmark)",
		`/Creator(\376\377\000t\000u\000c\000k\000m\000a\000r\000k)`, was + " "} {
		other := bytes.Replace(pdf, []byte(was), []byte(as), 1)
		other = bytes.Replace(other, []byte("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n"), []byte("%PDF-1.4\n%\xBF\xF7\xA2\xFE\n"), 1)
		if _, err := press.Open(other); !press.IsOurs(other) || press.IsUnchanged(other) || !errors.Is(err, press.ErrChanged) {
			t.Errorf("%s: ours %v, unchanged %v, %v", as, press.IsOurs(other), press.IsUnchanged(other), err)
		}
	}
	if !press.IsOurs(pdf) || !press.IsUnchanged(pdf) {
		t.Error("as it was written it is not ours, or changed")
	}
	for _, as := range []string{"", "/Creator", "/Creator ", "/Creator (tuckmarks)", "/Creator (other)", "/Title (tuckmark)"} {
		if other := bytes.Replace(pdf, []byte(was), []byte(as), 1); press.IsOurs(other) {
			t.Errorf("%q: it is ours", as)
		}
	}
}

// TestOpenRefuses: one byte anywhere, or bytes added, and the file is refused; so is one that is not ours.
func TestOpenRefuses(t *testing.T) {
	pdf, _ := finished(t, `{"plan": 1}`)
	for at := len("%PDF-1.7\n%....\n"); at < len(pdf); at += 7 {
		spoilt := bytes.Clone(pdf)
		spoilt[at] ^= 4
		if _, err := press.Open(spoilt); err == nil {
			t.Errorf("byte %d may be another", at)
		}
	}
	plain, _ := finished(t, "")
	for name, c := range map[string]struct {
		pdf  []byte
		want error
	}{
		"added to": {append(bytes.Clone(pdf), "1 0 obj\n<<>>\nendobj\n"...), press.ErrChanged},
		"cut off":  {pdf[:len(pdf)-20], press.ErrChanged},
		"foreign":  {[]byte("%PDF-1.7\n1 0 obj\n<</Creator(other)>>\n"), press.ErrForeign},
		"no PDF":   {[]byte("MZ"), press.ErrForeign},
		"empty":    {nil, press.ErrForeign},
		"no plan":  {plain, press.ErrNoPlan},
	} {
		if _, err := press.Open(c.pdf); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}
