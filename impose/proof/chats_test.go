package proof

import (
	"strings"
	"testing"
)

// TestAnySender: whatever name stands behind the time of a message, what is said begins there, and no wish is lost in that of another message. An ok behind a name that may be words
// is none, and they stay in what is quoted, but where it is the name of somebody who has rows in the job.
func TestAnySender(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "BO-1": true}
	for before, named := range map[string]bool{
		"12.06.26, 14:06 - Anna 🌸: ": true, "[12.06.26, 14:06:03] anna lo: ": true, "12/06/2026 à 14:03 - anna: ": true, "\u200e[12/06/26, 14:06:03] ~ “Mum” (new): ": false, "2026-06-12 14:06 – אנה: ": true,
		"> 12.06.26, 14:06 - anna: ": true, "14:06:22 From anna to Everyone: ": true, "14:06 From Anna Lo to BEN (direct message): ": true, "14:06 - Anna 🌸: ": true, "[14:06] anna: ": true, "From anna 🌸 to Everyone: ": true,
		"12.06.26, 14:06 - almost: ": false, "12.06.26, 14:06 - is it: ": false, "14:06 - I never said that: ": false,
	} {
		for _, of := range []Of{{}, {Owners: []string{"Anna Lo", "אנה"}}} {
			sure := named && len(of.Owners) > 0
			lead, again := "", "" // what stays of it
			if !sure {
				lead = strings.TrimLeft(before, "> ")
				again = lead + "AN-2 "
			}
			said := func(words string) string { return "AN-2 " + again + words }
			for text, want := range map[string]string{
				"BO-1 larger\n" + before + "please blue title in AN-2\n" + before + "AN-2 date is 5 May": "BO-1 larger|AN-2 " + lead + "please blue title in AN-2|" + said("date is 5 May"),
				before + "I like AN-2 ok":     "AN-2 " + lead + "I like AN-2 ok",
				before + "not: AN-2 ok":       "AN-2 " + lead + "not: AN-2 ok",
				before + "AN-2 please larger": said("please larger"),
			} {
				list, _ := ReadAnswers("a.txt", []byte(text), known, of)
				if got := short(list); got != want {
					t.Errorf("%q: %q, not %q", text, got, want)
				}
			}
			for text, want := range map[string][2]string{
				"BO-1 larger\n" + before + "AN-2: bold\n" + before + "AN-1 to AN-2: bold": {"BO-1 larger|AN-2 bold|AN-1 bold|AN-2 bold",
					"BO-1 larger|AN-2 " + lead + "AN-2: bold|AN-1 " + lead + "AN-1 to AN-2: bold|AN-2 " + lead + "AN-1 to AN-2: bold"},
				before + "AN-2 change: bold, as it is in BO-1": {"BO-1 AN-2 change: bold, as it is in BO-1 (aside)|AN-2 bold, as it is in BO-1",
					"BO-1 " + before + "AN-2 change: bold, as it is in BO-1 (aside)|AN-2 " + lead + "AN-2 change: bold, as it is in BO-1"},
			} {
				list, _ := ReadAnswers("a.txt", []byte(text), known, of)
				if got := short(list); sure && got != want[0] || !sure && got != want[1] {
					t.Errorf("%q: %q, not %q", text, got, want)
				}
			}
			list, _ := ReadAnswers("a.txt", []byte(before+"AN-2 ok"), known, of)
			if len(list) != 1 || list[0].OK != sure || !sure && !strings.Contains(before+"AN-2 ok", list[0].Change) {
				t.Errorf("%q: %s", before, short(list))
			}
		}
	}
	for _, text := range []string{"[14:06] AN-1: larger\n[14:07] AN-2: bold", "14:06 - AN-1: larger\n14:07 - AN-2: bold"} { // a code is nobody's name
		if list, _ := ReadAnswers("a.txt", []byte(text), known); short(list) != "AN-1 larger|AN-2 bold" {
			t.Errorf("%q: %s", text, short(list))
		}
	}
}

// TestOutdoneMentions: a wish that only names a block is told where another answer to the block counts, whatever either is.
func TestOutdoneMentions(t *testing.T) {
	rows := []string{"One", "Two", "Three"}
	for _, text := range []string{
		"MK-1 larger\nplease blue title in MK-2\nand in MK-2 the date is 5 May",
		"MK-1 larger\nplease blue title in MK-2\n\nMK-2 ok",
		"MK-1 larger\nplease blue title in MK-2\n\nMK-2 {Two} ok",
		"MK-2 {Two} ok\nMK-1 larger\nplease blue title in MK-2",
		"MK-2: bold\n\nMK-1 larger\nplease blue title in MK-2",
		"MK-1 larger\nplease blue title in MK-2\n\nMK-2 bold",
		"12.06.26, 14:06 - Marie 🌸: please blue title in MK-2\n12.06.26, 14:07 - Marie 🌸: MK-2 date is 5 May",
	} {
		said, _ := notes(tallied(t, rows, rows, text))
		if !strings.Contains(strings.Join(said, "\n"), "“please blue title in MK-2”") {
			t.Errorf("%q: %q", text, said)
		}
	}
}

// TestGroupChat: what one says of no block goes on with nobody else's answer; it is told by its line, and where it may take back an ok of the same sender, that block is held back.
func TestGroupChat(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "BO-1": true}
	for text, want := range map[string]string{
		"12.06.26, 14:03 - Anna: AN-1 ok\n12.06.26, 14:05 - Ben: BO-1 ok\n12.06.26, 14:07 - Anna: oh sorry, the date in mine is wrong": "AN-1 ok oh sorry, the date in mine is wrong|BO-1 ✓#line 3 says something of no block: “oh sorry, the date in mine is wrong”",
		"14:03 - Anna: AN-1 ok\n14:05 - Ben: BO-1 ok\n\n14:07 - Anna: who has the glue":                                                "AN-1 ✓|BO-1 ✓#line 4 says something of no block: “who has the glue”",
		"14:03 - Anna: AN-1 ok\n14:04 - Anna: AN-2 larger\n14:05 - Ben: BO-1 ok\n14:07 - Anna: the date is wrong":                      "AN-1 ok the date is wrong|AN-2 larger|BO-1 ✓#line 4 says something of no block: “the date is wrong”",
		"14:03 - Anna: AN-1 larger\n14:05 - Ben: the hall is booked\nfor ten":                                                          "AN-1 larger#line 2 says something of no block: “the hall is booked”#not read as answers: line 3 “for ten”",
		"14:03 - Anna: AN-1 larger\n14:05 - Anna: and the date is 5 May":                                                               "AN-1 larger and the date is 5 May",
		"14:03 - Anna: AN-1 ok\n14:05 - Anna: but the date is wrong":                                                                   "AN-1 ok but the date is wrong",
		"AN-1 ok\n14:05 - Ben: the date is wrong":                                                                                      "AN-1 ok 14:05 - Ben: the date is wrong", // who knows who said ok
		"14:03 - Anna: AN-1\n14:05 - Ben: ok":                                                                                          "AN-1 (it does not say what)#line 2 says something of no block: “ok”",
		"14:03 - Anna: AN-1\n14:05 - Anna: ok":                                                                                         "AN-1 ✓",
		"14:03 - Anna: AN-1 ok\n14:05 - Ben: Thanks, Anna!\n14:06 - Anna: but not yet":                                                 "AN-1 ok but not yet#not read as answers: line 2 “14:05 - Ben: Thanks, Anna!”",
	} {
		list, problems := ReadAnswers("a.txt", []byte(text), known)
		got := short(list)
		for _, p := range problems {
			got += "#" + p.What
		}
		if got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
	list, _ := ReadAnswers("a.txt", []byte("14:03 - Anna: AN-1 ok\n14:05 - Ben: BO-1 ok\n14:07 - Anna: the date is wrong"), known)
	if list[0].Line != 3 {
		t.Errorf("line %d", list[0].Line)
	}
	for _, line := range []string{"10:02 – Ben said: row", "14:03 - Anna: row"} { // a line of a text that is given may look like a message
		list, _ := ReadAnswers("a.txt", []byte("14:03 - Anna: AN-1 1234abcd text: We left at\n"+line+" ¶¶"), known)
		if len(list) != 1 || list[0].Text != "We left at "+line {
			t.Errorf("%q: %+v", line, list)
		}
	}
	var long strings.Builder
	for range 100 {
		long.WriteString("14:03 - Anna: AN-1 ok\n14:05 - Ben: who has the glue\n")
	}
	if _, problems := ReadAnswers("a.txt", []byte(long.String()), known); len(problems) > 20 || !strings.Contains(problems[len(problems)-1].What, "not read as answers: line 26") {
		t.Errorf("%d: %v", len(problems), problems[len(problems)-1])
	}
}

// TestOkBehindAWish: an ok in one line behind the wish for another block is in doubt, and is told as that, not as a wish for “ok”.
func TestOkBehindAWish(t *testing.T) {
	rows := []string{"One", "Two", "Three"}
	for _, text := range []string{"MK-1 larger, MK-3 ok", "MK-1 change: leave it as MK-3 ok"} {
		o := tallied(t, rows, rows, text)
		said, held := notes(o)
		if held != "MK-1 MK-3" || o.Approved != 0 || strings.Contains(strings.Join(said, "|"), "wanted in MK-3: “ok”") || !strings.Contains(said[1], "the ok for MK-3 is in doubt") ||
			!strings.Contains(o.Problems[1].Hint, "“MK-3 ok”") {
			t.Errorf("%q: %q held %q", text, said, held)
		}
	}
}

// TestCodesWithoutHyphens: codes are known without their hyphens where an answer begins with several of them, too.
func TestCodesWithoutHyphens(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true, "AN-3": true, "BO-1": true}
	for text, want := range map[string]string{
		"AN1-AN3 ok":          "AN-1 ✓|AN-2 ✓|AN-3 ✓",
		"AN1 to AN3: larger":  "AN-1 larger|AN-2 larger|AN-3 larger",
		"an1, an2 and bo1 ok": "AN-1 ✓|AN-2 ✓|BO-1 ✓",
		"AN1 & AN 2: larger":  "AN-1 larger|AN-2 larger",
		"AN1-AN9 ok":          "", // there is no AN-9
		"ok AN1":              "",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		if got := short(list); got != want {
			t.Errorf("%q: %q, not %q", text, got, want)
		}
	}
}
