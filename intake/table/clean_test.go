package table

import (
	"testing"
)

func TestCleaned(t *testing.T) {
	for in, want := range map[string]string{
		"a\r\nb\rc\vd\u2028e\u0085f": "a\nb\nc\nd\ne\nf", "a\tb": "a b", "a\x00b\x1bc": "abc", "\ufeffa": "a", "Grandma\u0092s \u0093x\u0094": "Grandma’s “x”", "a\u00a0b": "a\u00a0b", "e\u0301": "e\u0301", "a\u200db": "a\u200db",
		"\U000e0001\ufdd0x": "\U000e0001x", "a\x7fb": "ab",
	} {
		if got, _, _ := cleaned(in); got != want {
			t.Errorf("%q is %q, want %q", in, got, want)
		}
	}
	if _, _, lost := cleaned("a\ufffdb"); !lost {
		t.Error("a lost letter is not noticed")
	}
}
