package proof

import (
	"fmt"
	"strings"
	"testing"
)

// TestSenderThatIsAWish: what stands where a sender does and reads like a wish stays in what is quoted, and approves nothing, but where somebody who has rows is called so.
func TestSenderThatIsAWish(t *testing.T) {
	of := Of{Owners: []string{"Anna Moss", "Ben Otter", "Hope Little", "Rusty Brown"}}
	for _, words := range []string{"Bigger", "Smaller", "Bold", "Red", "Twice", "Never", "Nope", "Too Small", "Not This One", "Larger Please", "Make It Bigger", "Date", "Wrong Date", "Title Bold", "Anna Bigger", "Two", "No",
		"Brown", "Blue Title", "More", "Without", "Typo", "Enlarge", "Shrink Please", "Rotate", "Redo", "Stop", "Reprint", "Wrong", "Falsch", "Größer", "Kleiner Bitte", "Plus Grand", "Plus Petit", "Más Grande"} {
		for _, before := range []string{"14:08 " + words + ": ", "[14:08] " + words + ": ", "12.06.26, 14:08 - " + words + ": ", words + " 14:08: ", words + " (14:08): ", "> 14:08 " + words + ": ", "* 14:08 " + words + ": ",
			"14:07 Anna: 14:08 " + words + ": ", strings.ReplaceAll(words, " ", "")[:min(11, len(strings.ReplaceAll(words, " ", "")))] + "> "} {
			if before[len(before)-2] == '>' && strings.Contains(words, " ") {
				continue // who is quoted has one word
			}
			for text, codes := range map[string]string{before + "AM-4 ok": "AM-4", before + "AM-3, AM-4: ok": "AM-3 AM-4", before + "AM-4\nok": "AM-4", "AM-4\n" + before + "ok": "AM-4", before + "AM-1 to AM-3 ok": "AM-1 AM-2 AM-3"} {
				list, problems := ReadAnswers("a.txt", []byte(text), moss, of)
				said, got := fmt.Sprint(problems), ""
				for _, a := range list {
					got += " " + a.Code
					if said += a.Change; a.OK {
						t.Errorf("%q: %s", text, short(list))
					}
				}
				if strings.TrimSpace(got) != codes || !strings.Contains(said, words) {
					t.Errorf("%q: %s", text, short(list))
				}
			}
		}
	}
	for _, name := range []string{"Anna", "Ben Otter", "Hope Little", "Hope", "Rusty Brown", "Kim Brown", "Ida Short", "Noa", "Redmond", "+44 7700 900123"} {
		for _, before := range []string{"14:08 " + name + ": ", "12.06.26, 14:08 - " + name + ": ", name + " (14:08): ", "<p style=\"color:red\">14:08 " + name + ": "} {
			if list, _ := ReadAnswers("a.txt", []byte(before+"AM-4 ok"), moss, of); short(list) != "AM-4 ✓" {
				t.Errorf("%q: %s", before, short(list))
			}
		}
	}
	if list, _ := ReadAnswers("a.txt", []byte("14:08 No: AM-4 ok"), moss, Of{Owners: []string{"No name yet"}}); list[0].OK {
		t.Error("a refusal is taken for somebody without a name")
	}
}

// TestSendersAreTold: a sender of one word whom nobody in the job is called, and who sends nothing else, is told: it may have been a wish.
func TestSendersAreTold(t *testing.T) {
	of := Of{Owners: []string{"Anna Moss", "Ben Otter"}}
	told := func(text string, of Of) (said string) {
		_, problems := ReadAnswers("a.txt", []byte(text), moss, of)
		for _, p := range problems {
			said += "#" + p.What
		}
		return said
	}
	for text, want := range map[string]string{
		"14:08 Violet: AM-4 ok": "#taken for the sender of a message: line 1 “14:08 Violet:”",
		"14:08 Violet: AM-4 bold\n14:09 Kim: AM-3 ok\n14:10 Anna: AM-1 ok":    "#taken for the sender of a message: line 1 “14:08 Violet:”, line 2 “14:09 Kim:”",
		"14:08 Violet: AM-4 ok\n14:09 Anna: AM-1 ok\n14:10 Violet: AM-3 ok":   "#taken for the sender of a message: line 1 “14:08 Violet:”, line 3 “14:10 Violet:”",
		"14:08 Violet: AM-4 ok\n14:09 Violet: AM-2 ok\n14:10 Violet: AM-3 ok": "",
		"14:08 Violet: AM-4 ok\n14:10 Violet: AM-3 larger":                    "",
		"14:08 Violet: AM-4 ok\n14:10 Violet: thanks":                         "#line 2, below the ok of AM-4, is not read as an answer: “14:10 Violet: thanks”",
		"14:08 Anna: AM-4 ok\n14:09 Anna M.: AM-1 ok":                         "",
		"14:08 Kim Otterson: AM-4 ok":                                         "",
		"14:08 +44 7700 900123: AM-4 ok":                                      "",
		"14:08 Bigger: AM-4 ok":                                               "",
		"14:08 Violet: AM-4 1234abcd text: We ate. ¶¶":                        "#taken for the sender of a message: line 1 “14:08 Violet:”",
		"14:08 Violet: AM-4 1234abcd space: 4 x 2 in":                         "#taken for the sender of a message: line 1 “14:08 Violet:”",
		"14:08 Anna: AM-4 1234abcd text: We ate. ¶¶":                          "",
	} {
		if got := told(text, of); got != want {
			t.Errorf("%q: %q, not %q", text, got, want)
		}
		if got := told(text, Of{}); strings.Contains(got, "taken for") {
			t.Errorf("%q, with nobody known: %q", text, got)
		}
	}
	var many strings.Builder
	for i := range 1000 {
		fmt.Fprintf(&many, "14:08 Kim%c%c: AM-4 ok\n", 'a'+i%26, 'a'+i/26%26)
	}
	if got := told(many.String(), of); len(got) > 1200 || !strings.Contains(got, "more, lines ") {
		t.Errorf("%d letters: %s", len(got), got)
	}
}

// TestWishOfAStranger: a wish of somebody whom nobody in the job is called is shown with what was taken for a name.
func TestWishOfAStranger(t *testing.T) {
	of := Of{Owners: []string{"Anna Moss", "Ben Otter"}}
	for text, want := range map[string]string{
		"14:08 Violet: AM-4 bold":                      "AM-4 14:08 Violet: AM-4 bold",
		"14:08 Violet: AM-4 1234abcd change: bold":     "AM-4 14:08 Violet: AM-4 1234abcd change: bold",
		"14:08 Violet: AM-3, AM-4 bold; AM-1 ok":       "AM-3 14:08 Violet: AM-3, AM-4 bold; |AM-4 14:08 Violet: AM-3, AM-4 bold; |AM-1 ✓",
		"14:08 Violet: AM-4 bold\nand red":             "AM-4 14:08 Violet: AM-4 bold and red",
		"14:08 Violet: AM-4\nok":                       "AM-4 ✓",
		"14:08 Anna: AM-4 bold":                        "AM-4 bold",
		"14:08 Violet: AM-4 1234abcd text: We ate. ¶¶": "AM-4 given",
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), moss, of)
		if got := short(list); got != strings.ReplaceAll(want, "; |", ";|") || strings.Contains(text, "1234abcd") && list[0].Print != "1234abcd" {
			t.Errorf("%q: %s, not %s", text, got, want)
		}
	}
	if list, _ := ReadAnswers("a.txt", []byte("14:08 Violet: AM-4 bold"), moss); short(list) != "AM-4 bold" {
		t.Error(short(list))
	}
}
