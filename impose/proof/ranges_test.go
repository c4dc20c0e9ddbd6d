package proof

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"tuckmark/config/longtests"
)

// short are answers, each by its code, what it says and how.
func short(list []Answer) string {
	var got []string
	for _, a := range list {
		s := a.Code + " " + a.Change
		switch {
		case a.OK:
			s += "✓"
		case a.gives():
			s += "given"
		case a.Aside && a.begins:
			s += " (begins)"
		case a.Aside:
			s += " (aside)"
		}
		got = append(got, s)
	}
	return strings.Join(got, "|")
}

// TestRanges: a row between two codes is asked for as they are.
func TestRanges(t *testing.T) {
	known := map[string]bool{"BO-1": true, "BO-3": true}
	for i := range 5 {
		known[fmt.Sprintf("AN-%d", i+1)] = true
	}
	each := func(said string, codes ...string) string {
		for i, c := range codes {
			codes[i] = c + " " + said
		}
		return strings.Join(codes, "|")
	}
	for text, want := range map[string]string{
		"AN-1 to AN-3: all bold":           each("all bold", "AN-1", "AN-2", "AN-3"),
		"AN-1 – AN-3 bold":                 each("bold", "AN-1", "AN-2", "AN-3"),
		"AN-1 - AN-3: bold":                each("bold", "AN-1", "AN-2", "AN-3"),
		"AN-1-AN-3 change: bold":           each("bold", "AN-1", "AN-2", "AN-3"),
		"an-1 up to an-3: bold":            each("bold", "AN-1", "AN-2", "AN-3"),
		"AN-1 … AN-3 bold":                 each("bold", "AN-1", "AN-2", "AN-3"),
		"AN-1-3: larger":                   each("larger", "AN-1", "AN-2", "AN-3"),
		"AN-1–3 larger":                    each("larger", "AN-1", "AN-2", "AN-3"),
		"AN-1 to 3: larger":                each("larger", "AN-1", "AN-2", "AN-3"),
		"AN-1 through 3 larger":            each("larger", "AN-1", "AN-2", "AN-3"),
		"AN-1 through AN-4 ok":             each("✓", "AN-1", "AN-2", "AN-3", "AN-4"),
		"AN-1 to AN-3 and AN-5 ok":         each("✓", "AN-1", "AN-2", "AN-3", "AN-5"),
		"BO-1, AN-1–AN-3: ok":              each("✓", "BO-1", "AN-1", "AN-2", "AN-3"),
		"BO-1 to BO-3 ok":                  each("✓", "BO-1", "BO-3"), // there is no BO-2
		"AN-1 to AN-3 ok; AN-5 change: x":  each("✓", "AN-1", "AN-2", "AN-3") + "|AN-5 x",
		"AN-1 to AN-3 not ok":              each("not ok", "AN-1", "AN-2", "AN-3"),
		"AN-1 to AN-3 ok?":                 each("ok ?", "AN-1", "AN-2", "AN-3"),
		"AN-1 to AN-3 ok\nbut not the end": each("ok but not the end", "AN-1", "AN-2", "AN-3"),
		"not AN-1 to AN-3 ok":              each("not AN-1 to AN-3 ok", "AN-1", "AN-2", "AN-3"),
		"Please set AN-1 to AN-3 bold":     each("Please set AN-1 to AN-3 bold", "AN-1", "AN-2", "AN-3"),
		"AN-1 to AN-3 ok, AN-2 not ok":     each("✓", "AN-1", "AN-2", "AN-3") + "|AN-2 not ok",
		// What may be no range approves nothing.
		"AN-1-3 ok":              each("AN-1-3 ok", "AN-1", "AN-2", "AN-3"),
		"AN-1 to 3 ok":           each("AN-1 to 3 ok", "AN-1", "AN-2", "AN-3"),
		"AN-1 - AN-3 - AN-5 ok":  each("AN-1 - AN-3 - AN-5 ok", "AN-1", "AN-2", "AN-3", "AN-4", "AN-5"),
		"AN-1 to 4 in wide":      "AN-1 to 4 in wide",
		"AN-1 – 3 copies please": "AN-1 3 copies please",
		"AN-1 to AN-9 ok":        "AN-1 to AN-9 ok",
		"AN-3 to AN-1 ok":        "AN-3 to|AN-1 ok",
		"AN-1 to BO-3 ok":        "AN-1 to|BO-3 ok",
		"AN-1-2-3 ok":            "AN-1 2-3 ok",
		// What is named beside.
		"BO-1 change: like AN-1 to AN-3":       each("BO-1 change: like AN-1 to AN-3 (aside)", "AN-1", "AN-2", "AN-3") + "|BO-1 like AN-1 to AN-3",
		"BO-1 please larger\nAN-1 to AN-3 too": each("AN-1 to AN-3 too (begins)", "AN-1", "AN-2", "AN-3") + "|BO-1 please larger AN-1 to AN-3 too",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		got := short(list)
		if got != want {
			t.Errorf("%q: %q, not %q", text, got, want)
		}
	}
}

// TestManyRanges: a long file of ranges costs little, and says where it is no longer read so.
func TestManyRanges(t *testing.T) {
	known := map[string]bool{}
	for i := range 2000 {
		known[fmt.Sprintf("AN-%d", i+1)] = true
	}
	list, problems := ReadAnswers("a.txt", []byte(strings.Repeat("AN-1 to AN-900 ok\n", 1000)), known)
	if len(list) > 30_000 || len(problems) != 1 || !strings.Contains(problems[0].What, "from line 23 on") {
		t.Errorf("%d answers: %v", len(list), problems)
	}
	if list, _ = ReadAnswers("a.txt", []byte("AN-1 to AN-1001: bold\n"), known); len(list) > 2 {
		t.Errorf("%d answers", len(list))
	}
	if list, _ = ReadAnswers("a.txt", []byte("AN-1 to AN-1000: bold\n"), known); len(list) != 1000 {
		t.Errorf("%d answers", len(list))
	}
}

// TestRangesDrawn: ranges among other answers, drawn at random. Each row of a range has the wish, none is approved that the line does not plainly approve.
func TestRangesDrawn(t *testing.T) {
	known := map[string]bool{}
	for i := range 9 {
		known[fmt.Sprintf("AN-%d", i+1)], known[fmt.Sprintf("BO-%d", i+1)] = true, true
	}
	for seed := range uint64(longtests.Cases(2000, 40000)) {
		d := &correspondent{Rand: rand.New(rand.NewPCG(seed, 31))}
		var text []string
		type asked struct {
			line      int
			code, say string
			ok        bool
		}
		var want []asked
		for n := range 1 + d.IntN(4) {
			who, from := d.one("AN", "BO"), 1+d.IntN(8)
			to := from + 1 + d.IntN(9-from)
			last := fmt.Sprintf("%s-%d", who, to)
			join := d.one(" to ", "–", " – ", " - ", "-", " through ", " thru ", " until ", "…", " up to ")
			bare := d.IntN(5) == 0
			if bare {
				last, join = fmt.Sprint(to), d.one("-", "–")
			}
			say, word, ok := "", "", false
			before := d.one("", "", "> ", "10:02 Ann: ", "[12/01/26, 10:02] Ann Lo: ", "- ", "not ", "For ", "Ann: ")
			switch d.IntN(5) {
			case 0:
				say = " " + d.one("ok", "OK!", "okay.")
				ok = !bare && before != "not " && before != "For " && before != "Ann: "
			case 1:
				word = d.word()
				say = d.one(" not ok ", " ok but ", " ok? ", ": no, ") + word
			default:
				word = d.word()
				say = d.one(": ", " change: ") + word
			}
			text = append(text, before+fmt.Sprintf("%s-%d", who, from)+join+last+say, "")
			for k := from; k <= to; k++ {
				want = append(want, asked{2*n + 1, fmt.Sprintf("%s-%d", who, k), word, ok})
			}
		}
		list, _ := ReadAnswers("a.txt", []byte(strings.Join(text, "\n")), known)
		if len(list) != len(want) {
			t.Fatalf("seed %d: %d answers, not %d\n%s\n%s", seed, len(list), len(want), strings.Join(text, "\n"), short(list))
		}
		for i, w := range want {
			if a := list[i]; a.Code != w.code || a.Line != w.line || a.OK != w.ok || !strings.Contains(a.Change, w.say) || a.Aside {
				t.Fatalf("seed %d: %+v, not %+v\n%s", seed, a, w, strings.Join(text, "\n"))
			}
		}
	}
}

// TestChats: a line of a chat or a mail with its time and its writer before the code begins with the code.
func TestChats(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "BO-1": true}
	for _, before := range []string{"[12/01/26, 10:02] Anna: ", "10:02 Anna: ", "12/01/2026, 10:02 - Anna: ", "[10:02, 12/01/2026] Anna Lo: ", "1/12/26, 10:02 AM - Anna van der Lo: ", "[12.01.26, 10:02:33] ~ Anna: ",
		"2026-01-12 10:02 Anna: ", "12/01/2026, 10:02 - +44 7700 900123: ", "> [10:02] Anna: ", "\u200e[12/01/26, 10:02:11] Anna: ", "(10:02) Anna: ", "10.02 Anna Maria Lo: ", "[10:02 a.m.] Anna: ", "<10:02> Anna: ",
		"12 Jan 2026, 10:02 - Anna: ", "Jan 12, 2026 at 10:02 AM - Anna Lo: ", "Mon 12 January 2026 10:02 Anna: ", "Anna (10:02): ", "Anna Lo, 10:02: ", "Anna Lo, [12 Jan 2026 at 10:02:33]: ", "Today at 10:02 Anna: "} {
		for behind, say := range map[string]string{"AN-2 bold please": "bold please", "AN-2: bold please": "bold please", "AN-2 change: bold": "bold"} {
			list, _ := ReadAnswers("a.txt", []byte(before+"AN-1 larger please\n"+before+behind+"\n"+before+"BO-1 ok\n"), known)
			if got, want := short(list), "AN-1 larger please|AN-2 "+say+"|BO-1 ✓"; got != want {
				t.Errorf("%q: %q, not %q", before+behind, got, want)
			}
		}
		for _, behind := range []string{"not AN-2 ok", "AN-2 not ok", "AN-2 ok?", "is AN-2 ok", "AN-2 ok but larger", "AN-1 larger, AN-2 ok"} {
			list, _ := ReadAnswers("a.txt", []byte(before+behind+"\n"), known)
			for _, a := range list {
				if a.OK {
					t.Errorf("%q: %s", before+behind, short(list))
				}
			}
		}
	}
	// A name alone may be any word: it begins a wish, and no ok.
	for _, name := range []string{"Anna: ", "Anna Lo: ", "> Anna van der Lo: ", "~Anna: ", "anna: ", "Anna 🌸: "} {
		for text, want := range map[string]string{
			"AN-1 larger please\n" + name + "AN-2 please larger": "AN-2 " + strings.TrimSpace(name) + " AN-2 please larger (begins)|AN-1 larger please " + strings.TrimLeft(name, "> ") + "AN-2 please larger",
			name + "AN-2 please larger":                          "AN-2 " + strings.TrimLeft(name, "> ") + "AN-2 please larger",
			name + "AN-2 ok":                                     "AN-2 " + strings.TrimLeft(name, "> ") + "AN-2 ok",
			"AN-1 larger please\nas it was said of the rows by everybody here, please: AN-2 ok it": "AN-2 as it was said of the rows by everybody here, please: AN-2 ok it (aside)|AN-1 larger please as it was said of the rows by everybody here, please: AN-2 ok it",
		} {
			list, _ := ReadAnswers("a.txt", []byte(text), known)
			if got := short(list); got != want {
				t.Errorf("%q: %q, not %q", text, got, want)
			}
		}
	}
}

// TestCodesAloneInALine: what stands below a line of nothing but codes is said of each of them, and what goes on with a wish for several goes on with each.
func TestCodesAloneInALine(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "AN-3": true, "BO-1": true}
	for text, want := range map[string]string{
		"AN-1 to AN-3\nlarger":                      "AN-1 larger|AN-2 larger|AN-3 larger",
		"AN-1, AN-2\nlarger\nand bold":              "AN-1 larger and bold|AN-2 larger and bold",
		"AN-1 and AN-3:\nok":                        "AN-1 ✓|AN-3 ✓",
		"AN-1 to AN-3\n> ok":                        "AN-1 ✓|AN-2 ✓|AN-3 ✓",
		"AN-1, AN-2\nok\nbut not the title":         "AN-1 ok but not the title|AN-2 ok but not the title",
		"AN-1, AN-2 ok\nbut not the title\nand end": "AN-1 ok but not the title and end|AN-2 ok but not the title and end",
		"AN-1, AN-2: larger\nand bold":              "AN-1 larger and bold|AN-2 larger and bold",
		"AN-1, AN-2: larger\nas BO-1 is\nand bold":  "BO-1 as BO-1 is (aside)|AN-1 larger as BO-1 is and bold|AN-2 larger as BO-1 is and bold",
		"AN-1 change: x\nAN-2, AN-3\nlarger":        "AN-1 x|AN-2 larger|AN-3 larger",
		"AN-1-3\nok":                                "AN-1 AN-1-3 ok|AN-2 AN-1-3 ok|AN-3 AN-1-3 ok",
		"<s>AN-1, AN-2</s>\nok":                     "AN-1 AN-1, AN-2</s> ok|AN-2 AN-1, AN-2</s> ok",
		"not AN-1, AN-2\nok":                        "AN-1 not AN-1, AN-2 ok|AN-2 not AN-1, AN-2 ok",
		"AN-1, AN-2 12345678\nok":                   "AN-1 ✓|AN-2 ✓",
		"AN-1, AN-2\n12345678 text: We rowed. ¶¶":   "AN-1 text: We rowed. ¶¶|AN-2 text: We rowed. ¶¶",
		"AN-1, AN-2\n\nok":                          "AN-1 (it does not say what)|AN-2 (it does not say what)",
		"14:03 - Anna: AN-1, AN-2\n14:04 - Ben: ok": "AN-1 (it does not say what)|AN-2 (it does not say what)",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		if got := short(list); got != want {
			t.Errorf("%q: %q, not %q", text, got, want)
		}
	}
}
