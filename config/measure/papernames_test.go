package measure

import "testing"

// TestPaperTable holds every name to its source: ISO 216 for A and B, JIS P 0138 as CSS Paged Media 3 gives it ("page size"), the
// North American sizes as that lists them in inches. Tabloid is ledger held upright and statement half a letter sheet (common practice).
func TestPaperTable(t *testing.T) {
	want := map[string]string{
		"a0": "841 x 1189 mm", "a1": "594 x 841 mm", "a2": "420 x 594 mm", "a3": "297 x 420 mm", "a4": "210 x 297 mm",
		"a5": "148 x 210 mm", "a6": "105 x 148 mm", "a7": "74 x 105 mm", "b4": "250 x 353 mm", "b5": "176 x 250 mm",
		"jisb4": "257 x 364 mm", "jisb5": "182 x 257 mm",
		"letter": "8.5 x 11 in", "legal": "8.5 x 14 in", "ledger": "11 x 17 in", "tabloid": "11 x 17 in",
		"statement": "5.5 x 8.5 in", "halfletter": "5.5 x 8.5 in",
	}
	for name, text := range want {
		if s, err := ParseSize(text, Pt); err != nil || papers[name] != s {
			t.Errorf("%s is %v, want %s (%v)", name, papers[name], text, err)
		}
	}
	for name, s := range papers {
		if _, ok := want[name]; !ok {
			t.Errorf("%s has no source named here", name)
		}
		if s.W > s.H {
			t.Errorf("%s is not upright: %v", name, s)
		}
	}
	// ISO 216: a sheet of A0 is a square metre, and of every A and B the sides are as 1 to the root of 2, all but for the
	// rounding to whole millimetres. With sides w and h that rounding moves h*h - 2*w*w by less than h + 2*w + 1.
	metre := 1000 * Millimetre
	if got, square := papers["a0"].Area(), (Size{metre, metre}).Area(); got < square-square/1000 || got > square+square/1000 {
		t.Errorf("A0 is %d square EMU, a square metre %d", got, square)
	}
	for _, name := range []string{"a0", "a1", "a2", "a3", "a4", "a5", "a6", "a7", "b4", "b5"} {
		w, h := papers[name].W/Millimetre, papers[name].H/Millimetre
		if off := h*h - 2*w*w; off > h+2*w+1 || off < -(h+2*w+1) {
			t.Errorf("%s is %d x %d mm, not as 1 to the root of 2", name, w, h)
		}
	}
}
