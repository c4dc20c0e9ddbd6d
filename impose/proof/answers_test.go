package proof

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/press/readback"
	"tuckmark/intake"
)

// TestReadAnswers: answers as the page writes them, and as mail and people hand them on.
func TestReadAnswers(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"as copied", "tuckmark answers: retreat\nMK-1 0a1b2c3d ok\nMK-2 1f0c99ab change: spell Marie with ie\nend of answers\n",
			"MK-1 0a1b2c3d ok|MK-2 1f0c99ab spell Marie with ie"},
		{"in a reply", "Hi Ann,\r\n\r\n> tuckmark answers: retreat\r\n> MK-1 0a1b2c3d ok\r\n>> * MK-2 1F0C99AB Change:  a\u00A0b\r\n\r\nSee you, MK",
			"MK-1 0a1b2c3d ok|MK-2 1f0c99ab a b"},
		{"broken lines", "MK-2 1f0c99ab change: spell Marie\nwith ie, and\n> the date\n\nnot this\nMK-3 00000000 ok", "MK-2 1f0c99ab spell Marie with ie, and the date|MK-3 00000000 ok"},
		{"typed by hand", "mk-2: OK\nMK-3 change the date\n", "MK-2  ok|MK-3  the date"},
		{"ok, but", "MK-1 0a1b2c3d ok but for the year\nMK-2 0a1b2c3d OK!", "MK-1 0a1b2c3d ok but for the year|MK-2 0a1b2c3d ok"},
		{"no reason", "MK-1 0a1b2c3d change:", "MK-1 0a1b2c3d (it does not say what)"},
		{"ends at its end", "MK-1 0a1b2c3d change: x\nend of answers\nBye", "MK-1 0a1b2c3d x"},
		{"no mark", "MK-1x 0a1b2c3d ok\nok MK-1\nMK- ok\n", ""},
		{"in other words", "MK-1 0a1b2c3d not ok\nMK-2: no, the year\nMK-3 change: it says\nMK-4 twice\nMK-4 okay.\nMK-5: ok not", "MK-1 0a1b2c3d not ok|MK-2  no, the year|MK-3  it says MK-4 twice|MK-4  ok|MK-5  ok not"},
		{"UTF-16", "\xff\xfeM\x00K\x00-\x001\x00 \x00o\x00k\x00\n\x00", "MK-1  ok"},
		{"UTF-8 with its mark", "\ufeffMK-1 ok\n", "MK-1  ok"},
		{"given", "DO-2 5b0c99ab text: We rowed ¶ out. ¶¶\n> DO-4 77aa01f3 Space: 4 x 2 in\nend of answers", "DO-2 5b0c99ab text=We rowed\nout.|DO-4 77aa01f3 space=4 x 2 in"},
		{"a given text in broken lines", "DO-2 5b0c99ab text:\n> We rowed out ¶\n> and back. ¶¶\nBye", "DO-2 5b0c99ab text=We rowed out\nand back."},
		{"a given text cut short", "DO-2 5b0c99ab text: We rowed ¶ out\n\nBye", "DO-2 5b0c99ab text (whose end is missing): We rowed ¶ out"},
		{"given texts in one line", "DO-2 5b0c99ab text: We rowed out. ¶¶ DO-3 77aa01f3 text: And back. ¶¶", "DO-2 5b0c99ab text (with more behind its end): We rowed out. ¶¶ DO-3 77aa01f3 text: And back."},
		{"given without a fingerprint", "DO-2 text: We rowed out. ¶¶", "DO-2  text: We rowed out. ¶¶"},
		{"nothing given", "DO-2 5b0c99ab text: ¶¶\nDO-3 5b0c99ab space:", "DO-2 5b0c99ab (it does not say what)|DO-3 5b0c99ab (it does not say what)"},
		{"Windows-1252", "MK-1 change: caf\xe9 \x96 \x93Larvik\x94\n", "MK-1  café – “Larvik”"},
		{"UTF-8, and a line in Latin-1", "MK-1 change: café\nMK-2 change: caf\xe9\n", "MK-1  café|MK-2  café"},
		{"UTF-16 without its mark", "M\x00K\x00-\x001\x00 \x00o\x00k\x00\n\x00", "MK-1  ok"},
		{"a lost letter", "DO-2 5b0c99ab text: We r\uFFFDwed. ¶¶\nMK-1 change: caf\uFFFD", "DO-2 5b0c99ab text (with lost letters): We r\uFFFDwed.|MK-1  caf\uFFFD"},
		{"each with a colon", "AN-1: the year is 1987\nAN-2: spell Marie with ie", "AN-1  the year is 1987|AN-2  spell Marie with ie"},
		{"as people list them", "2. AN-2 change: x\n[AN-3] change: y\n**AN-4** ok\nAN-5, change z\nAN\u20116 ok\nBlock AN-7 ok\n(AN-8) ok; thanks", "AN-2  x|AN-3  y|AN-4  ok|AN-5  z|AN-6  ok|AN-7  ok|AN-8  ok ; thanks"},
		{"ok, and a line below that takes it back", "MK-1: ok\n  change: the date is\n1987\n\nMK-2 ok\nbut please change the date\nMK-3 ok\nThanks, MK", "MK-1  ok change: the date is 1987|MK-2  ok but please change the date|MK-3  ok"},
		{"no text", "MK-1 ok\n\x00\x00\x01", ""},
	} {
		list, problems := ReadAnswers("a.txt", []byte(c.text), nil)
		var got []string
		for _, a := range list {
			s := a.Code + " " + a.Print + " " + a.Change
			switch {
			case a.OK:
				s += "ok"
			case a.Text != "":
				s += "text=" + a.Text
			case a.Space != "":
				s += "space=" + a.Space
			}
			got = append(got, s)
		}
		if strings.Join(got, "|") != c.want {
			t.Errorf("%s: %q, not %q", c.name, strings.Join(got, "|"), c.want)
		}
		if (len(list) == 0) != (problems.Errors() == 1) {
			t.Errorf("%s: %v", c.name, problems)
		}
	}
}

// TestReadKnown: what is read where the codes of the job are known.
func TestReadKnown(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "BO-1": true}
	for text, want := range map[string]string{
		"AN-2 1f0c99ab text: We rowed. ¶¶\nbut please change the date": "AN-2 given|AN-2 but please change the date",
		"AN-2 1f0c99ab text: We rowed. ¶¶\nThanks, Ann":                "AN-2 given",
		"AN-2 ok\n\nbut the year is 1987":                              "AN-2 ok but the year is 1987",
		"AN-2 ok\n\nSee you on Monday":                                 "AN-2 ok",
		"AN-2 ok\nThanks!\nbut not yet":                                "AN-2 ok but not yet",
		"12:04 AN-2 ok\nAnn> AN-1 ok\n[12:04] Ann: BO-1 ok":            "AN-2 ok|AN-1 ok|BO-1 ok",
		"12:04 AN-2 change: x\n[12:04] Ann: BO-1 change: y":            "AN-2 x|BO-1 y",
		"<p>AN-2 ok</p>\n<s>AN-1 ok</s>":                               "AN-2 ok|AN-1 ok </s>",
		"AN-2\nthe year\nBO-1\nok":                                     "AN-2 the year|BO-1 BO-1 ok",
		"AN-1 ok; AN-2 change: x":                                      "AN-1 ok|AN-2 x",
		"AN-1, AN-2 and BO-1 ok":                                       "AN-1 ok|AN-2 ok|BO-1 ok",
		"AN-1 and AN-2: the year":                                      "AN-1 the year|AN-2 the year",
		"AN-1, AN-2 ok\nbut not the title":                             "AN-1 ok but not the title|AN-2 ok but not the title",
		"AN-1 change: as in AN-2":                                      "AN-2 AN-1 change: as in AN-2 (aside)|AN-1 as in AN-2",
		"AN-1 change: leave it as AN-2 ok":                             "AN-1 leave it as|AN-2 ok",
		"I would like AN-2 changed: x":                                 "AN-2 I would like AN-2 changed: x",
		"not AN-2 ok":                                                  "AN-2 not AN-2 ok",
		"AN-2 ok?\nBO-1 ok :(":                                         "AN-2 ok ?|BO-1 ok :(",
		"AN-02 ok\nan 1: ok":                                           "AN-2 ok|AN-1 ok",
		"BO-1 ok\nCOVID-19 was bad":                                    "BO-1 ok COVID-19 was bad",
		"BO-1 change: .5 in wide":                                      "BO-1 .5 in wide",
		"end of answers, but AN-2 is wrong":                            "AN-2 end of answers, but AN-2 is wrong",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		var got []string
		for _, a := range list {
			s := a.Code + " " + a.Change
			switch {
			case a.OK:
				s += "ok"
			case a.gives():
				s += "given"
			case a.Aside:
				s += " (aside)"
			}
			got = append(got, s)
		}
		if strings.Join(got, "|") != want {
			t.Errorf("%q: %q, not %q", text, strings.Join(got, "|"), want)
		}
		if len(list) == 2 && list[0].gives() && list[1].Print != list[0].Print {
			t.Errorf("%q: what takes a text back is about another row", text)
		}
		if strings.Contains(text, "leave it") && list[1].OK {
			t.Error("an ok behind a wish is taken for one")
		}
	}
}

// What was read by the look of the words, or came with lost letters, is told.
func TestReadAnswersTold(t *testing.T) {
	for text, want := range map[string]string{
		"MK-1 change: café\n":                                "",
		"MK-1 change: caf\xe9\n":                             "the file is in an old encoding, read as Windows-1252",
		"MK-1 change: café\nMK-2 ok\nMK-3 change: caf\xe9\n": "lines of the file are in another encoding than the rest, and were read as Windows-1252: 3",
		"MK-1 ok\nThanks, MK\n":                              "line 2, below the ok of MK-1, is not read as an answer: “Thanks, MK”",
		"MK-1 ok\n\nThanks, MK\n":                            "not read as answers: line 3 “Thanks, MK”",
		"MK-1 ok\nMK-2 change: caf\uFFFD\n":                  "letters of the answer in line 2 were lost before it came here",
	} {
		_, problems := ReadAnswers("a.txt", []byte(text), nil)
		var said []string
		for _, p := range problems {
			said = append(said, p.What)
		}
		if got := strings.Join(said, "|"); got != want || problems.Errors() > 0 {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// TestAnswersCostLittle: a line of codes that nobody has is not read once for each, and a text of many lines not copied for each.
func TestAnswersCostLittle(t *testing.T) {
	const n = 9_000
	from := time.Now()
	list, _ := ReadAnswers("a.txt", []byte(strings.Repeat("|", 50_000)+"x "+strings.Repeat("zz-1 ", 2000)+"\nan-1 ok\n"), map[string]bool{"AN-1": true})
	if took := time.Since(from); took > 2*time.Second || len(list) != 1 || !list[0].OK { // 10 ms, and 6 s where the line's beginning was read again for each
		t.Errorf("%v: %v", took, list)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	list, _ = ReadAnswers("a.txt", []byte("an-1 12345678 text:\n"+strings.Repeat("one\n> two\n", n/2)+"¶¶\n"), map[string]bool{"AN-1": true})
	runtime.ReadMemStats(&after)
	if want := strings.TrimSpace(strings.Repeat("one two ", n/2)); len(list) != 1 || list[0].Text != want {
		t.Errorf("%d answers, the first %.80q", len(list), list[0].Text)
	}
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 40 && readback.Available { // 160 MB where it was copied; under the race detector, what is kept to be used again is thrown away
		t.Errorf("%d MB", mb)
	}
}

func FuzzReadAnswers(f *testing.F) {
	for _, s := range []string{"MK-1 0a1b2c3d ok\nMK-2 change: x\n  y\n\n", "tuckmark answers:\n> A-1 ok", "\xff\xfeA\x00", "A-1 change: \u202E\x00", "A-1 0a1b2c3d text: a ¶ b ¶¶\nA-1 0a1b2c3d space: 4\n x 2", strings.Repeat("A-1 change ", 300),
		"A-1 ok\n[14:06] A-9: ok", "[12.06.26, 14:05] A-9 and A-1 larger: A-2 ok", "14:06 - anna: A-1, A-2\n14:07 - anna: ok\n14:08 - ben: no\nnever"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		ReadAnswers("a.txt", data, map[string]bool{"A-1": true, "A-2": true}, Of{Titles: []string{"x"}, Owners: []string{"Anna"}}) // it ends
		list, problems := ReadAnswers("a.txt", data, nil)
		if (len(list) == 0) != (problems.Errors() == 1) {
			t.Fatalf("%d answers and %d problems", len(list), len(problems))
		}
		for _, a := range list {
			if a.gives() {
				if a.OK || a.Change != "" || a.Print == "" || a.Text != "" && a.Space != "" || len(a.Text) > len(data)+8 || len(a.Space) > maxAnswer {
					t.Fatalf("an answer like no other: %+v", a)
				}
				continue
			}
			if a.OK != (a.Change == "") || !utf8.ValidString(a.Change) || len(a.Change) > 2*maxAnswer || strings.ContainsAny(a.Change, "\n\r\t") {
				t.Fatalf("an answer like no other: %+v", a)
			}
			line := a.Code + " " + a.Print + " change: " + a.Change // what is written again is read again
			if a.OK {
				line = a.Code + " " + a.Print + " ok"
			}
			again, _ := ReadAnswers("a.txt", []byte(line), nil)
			if len(again) != 1 || again[0].Code != a.Code || again[0].Print != a.Print || again[0].OK != a.OK || len(a.Change) <= maxAnswer && again[0].Change != a.Change {
				t.Fatalf("%q is read as %+v", line, again)
			}
		}
	})
}

// small is a job of three rows of one person and one of another.
func small(t *testing.T, texts ...string) Input {
	var all [][]string
	for i, s := range texts {
		name := "Marie Kowalski"
		if i == 3 {
			name = "Jo Bell"
		}
		all = append(all, []string{name, s, "4", "2", "cardstock", "4 July 2026"})
	}
	return job(t, rows(t, "small.csv", "Name,Journaling,Width,Height,Stock,When", all...), nil)
}

// TestTally: what answers come to when rows stay, change, move and go.
func TestTally(t *testing.T) {
	in := small(t, "One", "Two", "Three", "Other")
	var list []Answer
	for i := range in.Blocks {
		b := &in.Blocks[i]
		list = append(list, Answer{Code: b.Code, Print: Fingerprint(b, in.Settings), OK: i != 1, File: "a.txt", Line: i + 1})
	}
	list[1].Change = "write 2"
	for _, c := range []struct {
		name                   string
		texts                  []string
		held                   string
		approved, wanted, open int
		notes                  int
	}{
		{"as they were", []string{"One", "Two", "Three", "Other"}, "MK-2", 3, 1, 0, 0},
		{"mended", []string{"One", "2", "Three", "Other"}, "", 3, 0, 1, 1},
		{"changed after it was approved", []string{"One!", "Two", "Three", "Other"}, "MK-2", 2, 1, 1, 1},
		{"moved by a row above", []string{"Nought", "One", "Two", "Other", "Three"}, "MK-3", 3, 1, 1, 0},
		{"gone", []string{"One"}, "", 1, 0, 0, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			now := small(t, c.texts...)
			o := Tally(list, now.Blocks, nil, now.Settings)
			var held []string
			for _, h := range o.Held {
				held = append(held, h.Code)
			}
			if strings.Join(held, " ") != c.held || o.Approved != c.approved || o.Wanted != c.wanted || o.Open != c.open ||
				len(o.Problems)-o.Problems.Errors() != c.notes || o.Problems.Errors() != len(o.Held) {
				t.Errorf("%+v", o)
			}
			for _, p := range o.Problems {
				if p.Severity == problem.Error && (p.Place.Row == 0 || p.Hint == "" || !strings.Contains(p.What, "write 2")) {
					t.Errorf("%+v", p)
				}
			}
		})
	}
	// The last answer counts, whoever gave it; a wish that it outdoes is told.
	b := &in.Blocks[1]
	if o := Tally(append(list, Answer{Code: b.Code, Print: list[1].Print, OK: true}), in.Blocks, nil, in.Settings); len(o.Held) > 0 || o.Approved != 4 ||
		len(o.Problems) != 1 || o.Problems[0].Severity != problem.Note || !strings.Contains(o.Problems[0].What, "write 2") {
		t.Errorf("after all approved: %+v", o)
	}
	// What is named in a wish for another block is held, unless it was ticked in the proof, or is ok further down.
	aside := Answer{Code: b.Code, Change: "as in " + b.Code, Aside: true}
	for n, said := range map[int][]Answer{0: {{Code: b.Code, Print: list[1].Print, OK: true}, aside}, 1: {{Code: b.Code, OK: true}, aside}, 2: {aside, {Code: b.Code, OK: true}}} {
		if o := Tally(said, in.Blocks, nil, in.Settings); len(o.Held) != n%2 {
			t.Errorf("%d: named beside: %+v", n, o)
		}
	}
	// One without a fingerprint goes by its code, and stays until it is taken out.
	if o := Tally([]Answer{{Code: b.Code, Change: "x"}}, in.Blocks, nil, in.Settings); len(o.Held) != 1 || o.Held[0].Code != b.Code {
		t.Errorf("without a fingerprint: %+v", o)
	}
}

// TestAlikeRows: of rows that say the same one is taken out, or another person's comes in: in doubt a wish holds a block back.
// TestTwoWishes: of two wishes for one block the last counts, and the other is told, also once both are about the block as it was.
func TestTwoWishes(t *testing.T) {
	in := small(t, "One", "Two")
	print := Fingerprint(&in.Blocks[0], in.Settings)
	for _, c := range []struct {
		name          string
		first, second Answer
		told          bool
	}{
		{"of two people", Answer{Print: print, Change: "the year is 1987", File: "ben.txt"}, Answer{Print: print, Change: "call him Bob", File: "cleo.txt"}, true},
		{"without fingerprints", Answer{Change: "the year is 1987", File: "ben.txt"}, Answer{Change: "call him Bob", File: "cleo.txt"}, true},
		{"the first with one", Answer{Print: print, Change: "the year is 1987", File: "ben.txt"}, Answer{Change: "call him Bob", File: "cleo.txt"}, true},
		{"the same twice", Answer{Print: print, Change: "the year is 1987", File: "ben.txt"}, Answer{Print: print, Change: "The year is 1987.", File: "ben.txt"}, false},
	} {
		list := []Answer{c.first, c.second}
		for i := range list {
			list[i].Code, list[i].Line = in.Blocks[0].Code, 2+i
		}
		for name, blocks := range map[string][]intake.Block{"as it was": in.Blocks, "changed": small(t, "One!", "Two").Blocks} {
			if name == "changed" && c.second.Print == "" {
				continue // it is about the block as it is
			}
			said := ""
			for _, p := range Tally(list, blocks, nil, in.Settings).Problems {
				said += p.What + "\n"
			}
			if strings.Contains(said, "1987") != (c.told || name == "changed" || strings.Contains(c.second.Change, "1987")) || !strings.Contains(said, c.second.Change) {
				t.Errorf("%s, %s: %s", c.name, name, said)
			}
			if n := strings.Count(strings.ToLower(said), "the year is 1987"); n > 1 {
				t.Errorf("%s, %s: %d times\n%s", c.name, name, n, said)
			}
		}
	}
}

// TestWishBesideMention: what is wanted of a block itself counts, though another block is compared with it further down; and a wish about the block as it was is told beside a
// later one.
func TestWishBesideMention(t *testing.T) {
	in := small(t, "One", "Two", "Three")
	code := func(i int) string { return in.Blocks[i].Code }
	print := Fingerprint(&in.Blocks[0], in.Settings)
	known := map[string]bool{}
	for i := range in.Blocks {
		known[code(i)] = true
	}
	for _, text := range []string{
		code(0) + " " + print + " ok\nend of answers\n\n" + code(0) + ": the year is 1987\n\n" + code(1) + ": please set like " + code(0) + "\n",
		code(0) + ": the year is 1987\n\n" + code(1) + ": please set like " + code(0) + "\n",
		code(0) + " " + print + " ok\nend of answers\n\n" + code(1) + " please write Marie with ie, and never Mary again\n" + code(0) + " the year is 1987\n",
		code(1) + " please write Marie with ie, and never Mary again\n" + code(0) + " the year is 1987\n\n" + code(0) + ": add a full stop\n",
		code(1) + " please write Marie with ie, and never Mary again\n" + code(0) + " the year is 1987\n\n" + code(0) + " ok\n",
		code(0) + " 12345678 change: the year is 1987\n" + code(0) + " " + print + " change: and a full stop less\n",
		code(0) + " 12345678 change: the year is 1987\n\n" + code(1) + ": please set like " + code(0) + "\n",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		said := ""
		for _, p := range Tally(list, in.Blocks, nil, in.Settings).Problems {
			said += p.What + "\n"
		}
		if !strings.Contains(said, "1987") {
			t.Errorf("%q:\n%s", text, said)
		}
	}
}

func TestAlikeRows(t *testing.T) {
	of := func(names ...string) Input {
		var all [][]string
		for _, n := range names {
			all = append(all, []string{n, "The same", "4", "2"})
		}
		return job(t, rows(t, "alike.csv", "Name,Journaling,Width,Height", all...), nil)
	}
	print := Fingerprint(&of("Ann Lo").Blocks[0], of("Ann Lo").Settings)
	wish := func(code string) Answer { return Answer{Code: code, Print: print, Change: "x", File: "a.txt"} }
	ok := func(code string) Answer { return Answer{Code: code, Print: print, OK: true, File: "a.txt"} }
	byHand := func(code string) Answer { return Answer{Code: code, OK: true, File: "a.txt"} }
	for name, c := range map[string]struct {
		rows []string
		list []Answer
		held string
	}{
		"one was taken out":              {[]string{"Ann Lo", "Ann Lo"}, []Answer{ok("AL-1"), ok("AL-2"), wish("AL-3")}, "AL-1"},
		"an ok to what has moved":        {[]string{"Ann Lo", "Ann Lo"}, []Answer{wish("AL-3"), ok("AL-1"), ok("AL-2")}, ""},
		"another of the same initials":   {[]string{"Abe Lee", "Ann Lo"}, []Answer{wish("AL-1")}, "AL-1 ALO-1"},
		"one who has answered":           {[]string{"Abe Lee", "Ann Lo"}, []Answer{ok("AL-1"), wish("ALO-1")}, "ALO-1"},
		"one who is right as it is":      {[]string{"Abe Lee", "Ann Lo"}, []Answer{wish("AL-1"), byHand("ALO-1")}, "AL-1"},
		"the other has left":             {[]string{"Ann Lo"}, []Answer{wish("ALO-1")}, "AL-1"},
		"who has left approves nothing":  {[]string{"Ann Lo"}, []Answer{ok("ALO-1")}, ""},
		"one with other initials":        {[]string{"Abe Orr", "Ann Lo"}, []Answer{wish("AL-1")}, "AL-1"},
		"another's row, and nobody's ok": {[]string{"Bob Orr"}, []Answer{wish("AL-1")}, ""},
	} {
		in := of(c.rows...)
		o := Tally(c.list, in.Blocks, nil, in.Settings)
		var held []string
		for _, h := range o.Held {
			held = append(held, h.Code)
		}
		if got := strings.Join(held, " "); got != c.held || len(c.list) == 1 && o.Approved > 0 {
			t.Errorf("%s: held %q, not %q: %+v", name, got, c.held, o.Problems)
		}
	}
}

// TestFingerprint: all that a row can ask for changes it; a configuration does not.
func TestFingerprint(t *testing.T) {
	in := small(t, "One")
	b := in.Blocks[0]
	was := Fingerprint(&b, in.Settings)
	for name, change := range map[string]func(*intake.Block){
		"text":   func(b *intake.Block) { b.Text = []intake.Paragraph{{{Text: "One."}}} },
		"bold":   func(b *intake.Block) { b.Text = []intake.Paragraph{{{Text: "One", Bold: true}}} },
		"lines":  func(b *intake.Block) { b.Text = []intake.Paragraph{{{Text: "O"}}, {{Text: "ne"}}} },
		"title":  func(b *intake.Block) { b.Title = "T" },
		"end":    func(b *intake.Block) { b.End = "E" },
		"space":  func(b *intake.Block) { b.Space.W++ },
		"tuck":   func(b *intake.Block) { b.Tuck.Left = measure.Inch },
		"font":   func(b *intake.Block) { b.Font = "Other" },
		"stock":  func(b *intake.Block) { b.Stock = "other" },
		"ink":    func(b *intake.Block) { b.Type.Ink.R ^= 1 },
		"size":   func(b *intake.Block) { b.Type.Wished = 14 * measure.Point },
		"align":  func(b *intake.Block) { b.Type.Align ^= 1 },
		"copies": func(b *intake.Block) { b.Copies++ },
	} {
		c := b
		change(&c)
		if Fingerprint(&c, in.Settings) == was {
			t.Errorf("another %s does not show", name)
		}
	}
	s := *in.Settings
	s.Type.Font, s.Type.Ink.G, s.Type.Largest = "Sans", 99, 30*measure.Point
	c := b
	c.Font, c.Type.Ink, c.Type.Largest = s.Type.Font, s.Type.Ink, s.Type.Largest
	if Fingerprint(&c, &s) != was {
		t.Error("a configuration changes the fingerprint of a row that asks for nothing")
	}
}

// Answers of another job are each named, in their order, and ten thousand take no longer than ten thousand times one.
func TestAnswersOfAnotherJob(t *testing.T) {
	var text strings.Builder
	const n = 20_000
	for i := range n {
		fmt.Fprintf(&text, "XX-%d: ok\n", i)
	}
	list, _ := ReadAnswers("a.txt", []byte(text.String()), nil)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, stale, _, _ := match(list, nil, nil)
	runtime.ReadMemStats(&after)
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 50 {
		t.Errorf("it takes %d MB", mb)
	}
	if len(stale) != n || stale[0].Code != "XX-0" || stale[n-1].Code != fmt.Sprintf("XX-%d", n-1) {
		t.Errorf("%d answers, the first for %s", len(stale), stale[0].Code)
	}
}
