package proof

import (
	"slices"
	"strings"
	"testing"
)

// TestNumbersBehindACode: numbers that are joined to a code at once mean the same person's blocks; anything else in between leaves them, which is told.
func TestNumbersBehindACode(t *testing.T) {
	each := func(said string, codes ...string) string {
		return strings.Join(codes, " "+said+"|") + " " + said
	}
	for text, want := range map[string]string{
		"AM-1, 2 and 3 ok":              each("✓", "AM-1", "AM-2", "AM-3"),
		"AM-1,2,3 ok":                   each("✓", "AM-1", "AM-2", "AM-3"),
		"AM-1, 2, and 3: OK!":           each("✓", "AM-1", "AM-2", "AM-3"),
		"AM-1 & 2 ok":                   each("✓", "AM-1", "AM-2"),
		"AM-1+2+3 ok":                   each("✓", "AM-1", "AM-2", "AM-3"),
		"am-1 and 03 okay":              each("✓", "AM-1", "AM-3"),
		"14:03 - Anna: AM-1, 2 ok":      each("✓", "AM-1", "AM-2"),
		"am1, 2 and 3 ok":               each("✓", "AM-1", "AM-2", "AM-3"),
		"am 1, 2: larger":               each("larger", "AM-1", "AM-2"),
		"AM-1, 2 and BO-1, 2 ok":        each("✓", "AM-1", "AM-2", "BO-1", "BO-2"),
		"AM-1, 2 and BO-1 larger":       each("larger", "AM-1", "AM-2", "BO-1"),
		"AM-1, 2 and 3 change: bold":    each("bold", "AM-1", "AM-2", "AM-3"),
		"AM-1, 2: larger\nand bold":     each("larger and bold", "AM-1", "AM-2"),
		"AM-1, 2 and 3 not ok":          each("not ok", "AM-1", "AM-2", "AM-3"),
		"not AM-1, 2 ok":                each("not AM-1, 2 ok", "AM-1", "AM-2"),
		"AM-1, 2 ok\nbut not the title": each("ok but not the title", "AM-1", "AM-2"),
		"AM-1, 2 ok; AM-3 bold":         each("✓", "AM-1", "AM-2") + "|AM-3 bold",
		"AM-1 ok, AM-2, 3 ok":           each("✓", "AM-1", "AM-2", "AM-3"),
		"BO-1 larger, AM-1, 2 ok":       "AM-1 BO-1 larger, AM-1, 2 ok (aside)|BO-1 larger, AM-1,|AM-2 ok",
		// A range among them approves nothing, as it does alone.
		"AM-1, 3 to 5 ok": each("AM-1, 3 to 5 ok", "AM-1", "AM-3", "AM-4", "AM-5"),
		"AM-1-3, 5 ok":    each("AM-1-3, 5 ok", "AM-1", "AM-2", "AM-3", "AM-5"),
		// Anything else is no code.
		"AM-1, 2 copies ok":         "AM-1 2 copies ok",
		"AM-1, 2 and 3 in ok":       "AM-1 2 and 3 in ok",
		"AM-1, 12 and 13 May ok":    "AM-1 12 and 13 May ok",
		"AM-1, 2 and 4 x 2 in: ok":  "AM-1 2 and 4 x 2 in: ok",
		"AM-1, 2:30 ok":             "AM-1 2:30 ok",
		"AM-1, 2/3 ok":              "AM-1 2/3 ok",
		"AM-1, 2.5 ok":              "AM-1 2.5 ok",
		"AM-1, 1 ok":                "AM-1 1 ok",
		"AM-1 2 ok":                 "AM-1 2 ok#line 1 says ok behind a number, which may be a block: AM-2 in “AM-1 2 ok”",
		"AM-1, 2 and 9 ok":          "AM-1 2 and 9 ok#line 1 says ok behind numbers, which may be blocks: AM-2 in “AM-1, 2 and 9 ok”",
		"AM-1, also 2 and 3 ok":     "AM-1 also 2 and 3 ok#line 1 says ok behind numbers, which may be blocks: AM-2 and AM-3 in “AM-1, also 2 and 3 ok”",
		"AM-1 ok, 2 and 3 ok":       "AM-1 ok , 2 and 3 ok#line 1 says ok behind numbers, which may be blocks: AM-2 and AM-3 in “AM-1 ok, 2 and 3 ok”",
		"AM-1 larger, 2 and 3: ok.": "AM-1 larger, 2 and 3: ok.#line 1 says ok behind numbers, which may be blocks: AM-2 and AM-3 in “AM-1 larger, 2 and 3: ok.”",
		"AM-1, BO-2 4 x 2 ok":       "AM-1 4 x 2 ok|BO-2 4 x 2 ok",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
	if list, problems := ReadAnswers("a.txt", []byte(strings.Repeat("AM-1, also 2 ok\n\n", 100)), moss); len(list) != 100 || len(problems) > 14 {
		t.Errorf("%d: %v", len(list), problems)
	}
}

// TestRangesWithoutHyphens: a range whose codes have no hyphens is read as one whose codes have them.
func TestRangesWithoutHyphens(t *testing.T) {
	for loose, with := range map[string]string{"am1 to 3 ok": "AM-1 to 3 ok", "AM1 to 3: larger": "AM-1 to 3: larger", "am 1-3: larger": "AM-1-3: larger", "am1 through 3 ok": "AM-1 through 3 ok", "> Am1 up to 3 okay": "AM-1 up to 3 okay"} {
		if got, want := whole(loose), whole(with); got != want || !strings.Contains(got, "AM-2 ") {
			t.Errorf("%q: %s, not %s", loose, got, want)
		}
	}
	for _, text := range []string{"am1 to 9 ok", "am3 to 1 ok", "am9 to 3 ok", "am1 to 3 in wide", "zz1 to 3 ok", "am1, 9 ok", "am1 2 ok", "am1-3-5 ok", "am 4-5 pm", "Am 4, 5 plums"} {
		if got := whole(text); !strings.HasPrefix(got, "#there are no answers") {
			t.Errorf("%q: %s", text, got)
		}
	}
}

// TestTextsStayAsTheyAre: what goes on with a text, or with a wish, is never rewritten, though it looks like codes without their hyphens.
func TestTextsStayAsTheyAre(t *testing.T) {
	for _, line := range []string{"am 2 and 3: the whole town woke", "am 2, 3: the whole town woke", "am 2 and 3 ok with us", "am1 to 3: rain", "am 2 and 3 change trains", "am 2, bo 1 and plums", "am2 larger", "am 2 and 3 need plums", "am3 not ok"} {
		text := "BO-1 1234abcd text: We walked over the water¶\n" + line + " ¶¶\nBO-2 ok"
		list, problems := ReadAnswers("a.txt", []byte(text), moss)
		if len(list) != 2 || list[0].Text != "We walked over the water\n"+line || len(problems) > 0 {
			t.Errorf("%q: %+v %v", line, list, problems)
		}
		if got := whole("BO-1 1234abcd text: We walked over the water¶\n" + line); got != "BO-1 text (whose end is missing): We walked over the water¶ "+line {
			t.Errorf("%q: %s", line, got)
		}
	}
	if got := whole("BO-1 change: as in\nam1, 2 and bo-2 with plums"); !strings.HasSuffix(got, "|BO-1 as in am1, 2 and bo-2 with plums") {
		t.Error(got)
	}
}

// TestNumbersBesideAWish: of numbers that are joined to a code, and that count and measure nothing, a wish is as well, in whatever words; none is approved so.
func TestNumbersBesideAWish(t *testing.T) {
	for text, held := range map[string]string{
		"AM-1, 2 and 3 are too small":      "AM-1 AM-2 AM-3",
		"AM-1 and 2 need the date":         "AM-1 AM-2",
		"please make AM-1 and 2 larger":    "AM-1 AM-2",
		"not ok: AM-1, 2":                  "AM-1 AM-2",
		"AM-1 to 3 larger":                 "AM-1 AM-2 AM-3",
		"AM-1, 2 - larger":                 "AM-1 AM-2",
		"AM-1/2: larger":                   "AM-1 AM-2",
		"AM-1/2/4 larger":                  "AM-1 AM-2 AM-4",
		"To change:\nAM-1, 2 and 3":        "AM-1 AM-2 AM-3",
		"AM-1, 2, 3\nok":                   "AM-1 AM-2 AM-3",
		"AM-1 & 2 needs rows of plums":     "AM-1 AM-2",
		"AM-1 and 2 please":                "AM-1 AM-2",
		"14:08 Anna: AM-1, 2 look odd":     "AM-1 AM-2",
		"AM-1, AM-2, 3 too small; AM-4 ok": "AM-1 AM-2 AM-3 (AM-4)",
		"AM-1, 2 to AM-4 ok":               "AM-1 AM-4",
		"BO-1 ok, AM-1, 2 bold":            "AM-1 AM-2 (BO-1)",
		"AM-1, 2 copies":                   "AM-1",
		"AM-1, 2 in wide":                  "AM-1",
		"AM-1 to 3 in wide":                "AM-1",
		"AM-1, 2 more lines":               "AM-1",
		"AM-1 and 2 small photos":          "AM-1",
		"AM-1, 2 plums":                    "AM-1",
		"AM-1 and 2 x 3 in":                "AM-1",
		"AM-1, 2 o’clock":                  "AM-1",
		"AM-1, 2 May":                      "AM-1",
		"AM-1, 2%":                         "AM-1",
		"AM-1, 3.5 larger":                 "AM-1",
		"AM-1, 2 or 3 larger":              "AM-1",
		"AM-1, 2 and 9 larger":             "AM-1",
		"AM-3 to 1 larger":                 "AM-3",
		"BO-1 1234abcd text: from AM-1 and 2 came\nof AM-3, 4 and plums ¶¶": "AM-1 AM-3",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), moss)
		is := map[string]string{}
		for _, a := range list {
			if is[a.Code] = a.Code; a.OK {
				is[a.Code] = "(" + a.Code + ")"
			}
			if a.gives() {
				delete(is, a.Code)
			}
		}
		var got []string
		for _, code := range []string{"AM-1", "AM-2", "AM-3", "AM-4", "AM-5", "BO-1", "BO-2", "(AM-4)", "(BO-1)"} {
			if code = strings.Trim(code, "()"); is[code] != "" && !slices.Contains(got, is[code]) {
				got = append(got, is[code])
			}
		}
		slices.SortStableFunc(got, func(a, b string) int { return strings.Index(a, "(") - strings.Index(b, "(") })
		if strings.Join(got, " ") != held {
			t.Errorf("%q: %s: %s", text, got, short(list))
		}
	}
	// What was ticked does not stand against it.
	row := []string{"One", "Two", "Three", "Four"}
	if o := tallied(t, row, row, "MK-1 {One} ok\nMK-2 {Two} ok\nMK-3 {Three} ok\n\nMK-1, 2 and 3 are too small"); o.Approved != 0 || len(o.Held) != 3 || !strings.Contains(o.Held[2].Why, "MK-1, 2 and 3 are too small") {
		t.Errorf("%+v", o)
	}
}

// TestWishBehindACodeWithoutHyphen: a code that is written as a word, with what is no plain ok behind it, at the beginning of a line or a message, is held.
func TestWishBehindACodeWithoutHyphen(t *testing.T) {
	for text, want := range map[string]string{
		"am3 not ok":                   "AM-3 not ok",
		"am2 larger":                   "AM-2 larger",
		"> AM3 - larger":               "AM-3 larger",
		"am3, please larger":           "AM-3 please larger",
		"am3. too small":               "AM-3 too small",
		"AM-3 ok\nam3 not ok":          "AM-3 ✓|AM-3 not ok",
		"AM-3 ok\n\nam3 is wrong":      "AM-3 ✓|AM-3 is wrong",
		"AM-1 ok\nam3 larger":          "AM-1 ✓|AM-3 larger",
		"14:08 Anna: am3 larger":       "AM-3 larger",
		"[14:08] Anna: am3 not ok":     "AM-3 not ok",
		"am1, am2 and bo1 larger":      "AM-1 larger|AM-2 larger|BO-1 larger",
		"am1, 2 too small":             "AM-2 AM-1, 2 too small (begins)|AM-1 2 too small",
		"BO-1 larger\nam3 smaller":     "AM-3 AM-3 smaller (begins)|BO-1 larger am3 smaller",
		"am3 ok":                       "AM-3 ✓",
		"am3 ok but larger":            "AM-3 ok but larger",
		"AM-1 ok\n\nam 3 larger":       "AM-1 ✓",
		"AM-1 ok\n\nam9 larger":        "AM-1 ✓",
		"AM-1 ok\n\nam3":               "AM-1 ✓",
		"AM-1 ok\n14:08 Anna: am3 ok":  "AM-1 ok 14:08 Anna: am3 ok",
		"AM-1 ok\n\nwe saw am3 larger": "AM-1 ✓",
		"AM-1 ok\n\nam3rd larger":      "AM-1 ✓",
		"AM-1 ok\n\nam3.5 larger":      "AM-1 ✓",
	} {
		if got := strings.Split(whole(text), "#")[0]; got != want {
			t.Errorf("%q: %s, not %s", text, got, want)
		}
	}
}
