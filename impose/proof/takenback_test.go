package proof

import (
	"fmt"
	"strings"
	"testing"
)

// TestTextTakenBack: what takes a text back that was given, in whatever words, asks for a change in its row.
func TestTextTakenBack(t *testing.T) {
	const given = "AM-3 1234abcd text: We swam. ¶¶\n"
	for text, want := range map[string]string{
		given + "AM-3 forget the text":                                                             "AM-3 forget the text",
		given + "forget the text":                                                                  "AM-3 forget the text",
		given + "\nforget the text":                                                                "AM-3 forget the text",
		given + "\nplease ignore it":                                                               "AM-3 please ignore it",
		given + "BO-1 ok\n\nforget the text":                                                       "BO-1 ✓|AM-3 forget the text",
		given + "AM-4 5678abcd text: And ate. ¶¶\nforget these":                                    "AM-3 forget these|AM-4 forget these",
		given + "BO-1 ok\nforget the text":                                                         "BO-1 ok forget the text|AM-3 forget the text",
		"AM-3\n1234abcd text:\nWe swam. ¶¶\nBO-1 ok\nforget it":                                    "BO-1 ok forget it|AM-3 forget it",
		given + "\nit rained":                                                                      "",
		given + "BO-1 ok\n\nwhat a weekend":                                                        "BO-1 ✓",
		"14:03 - Anna: " + given + "14:04 - Ben: BO-1 ok\n14:05 - Anna: forget the text":           "AM-3 forget the text|BO-1 ✓",
		"14:03 - Anna: " + given + "14:04 - Ben: BO-1 ok\n14:05 - Anna: please wait with the text": "AM-3 please wait with the text|BO-1 ✓",
		"14:03 - Anna: " + given + "14:03 - Anna: AM-4 5678abcd text: And ate. ¶¶\n14:04 - Ben: BO-1 ok\n14:05 - Anna: forget these": "AM-3 forget these|AM-4 forget these|BO-1 ✓",
		"14:03 - Anna: " + given + "14:03 - Anna: AM-1 ok\n14:04 - Anna: forget the text":                                            "AM-1 ok forget the text|AM-3 forget the text",
		"14:03 - Anna: " + given + "14:04 - Ben: BO-1 ok\n14:05 - Anna: hm\nforget the text":                                         "AM-3 forget the text|BO-1 ✓",
		"14:03 - Anna: " + given + "14:04 - Ben: forget the plums":                                                                   "",
	} {
		list, problems := ReadAnswers("a.txt", []byte(text), moss)
		got := map[string]string{}
		var order []string
		for _, a := range list {
			if a.gives() {
				continue
			}
			s := a.Code + " " + a.Change
			if a.OK {
				s = a.Code + " ✓"
			}
			if a.Code == "AM-3" && a.Print != "1234abcd" && !strings.Contains(text, "AM-3 forget") {
				t.Errorf("%q: about another row: %+v", text, a)
			}
			got[s] = s
			order = append(order, s)
		}
		for _, w := range strings.Split(want, "|") {
			if w != "" && got[w] == "" || len(order) != len(strings.FieldsFunc(want, func(c rune) bool { return c == '|' })) {
				t.Errorf("%q: %q, not %q", text, order, want)
			}
		}
		if last := text[strings.LastIndex(text, "\n")+1:]; want == "" && !strings.Contains(fmt.Sprint(problems), strings.TrimPrefix(last, "14:04 - Ben: ")) {
			t.Errorf("%q: %v", text, problems)
		}
	}
	_, problems := ReadAnswers("a.txt", []byte("14:03 - Anna: "+given+"14:04 - Ben: BO-1 ok\n14:05 - Anna: hm, the text"), moss)
	if len(problems) != 1 || problems[0].Cause != "the same sender gives a text in line 1" {
		t.Errorf("%v", problems)
	}
}

// TestOrdinaryMailTakesNothingBack: lines of any letter that only look as if they took a text back hold nothing, nor does what somebody else says, or what stands below the letter's end.
func TestOrdinaryMailTakesNothingBack(t *testing.T) {
	const given = "tuckmark answers: lake\nAM-3 1234abcd text: We swam. ¶¶\nend of answers\n\n"
	for _, line := range []string{"Don't forget to bring scissors on Friday!", "If you are not the intended recipient of this mail, please delete it", "If this came in error, please ignore it.", "Sent from my phone. Delete | Reply | Forward", "To unsubscribe click remove.",
		"See you Friday, I will drop the prints off at noon.", "Subject: drop in on Friday?", "Please ignore my earlier mail. Anna", "please drop us a line, and bring plums", "I never forget the words of a song", "do not ignore it", "please delete it", "forget the text"} {
		for _, text := range []string{given + line, given + "From: Anna\n\n" + line, "14:03 - Anna: AM-3 1234abcd text: We swam. ¶¶\n14:04 - Ben: BO-1 ok\n14:05 - Kim: " + line} {
			if got := whole(text); strings.Count(strings.Split(got, "#")[0], "AM-3") != 1 || !strings.Contains(got, line[:10]) {
				t.Errorf("%q: %s", text, got)
			}
		}
	}
	for _, line := range []string{"no worries!", "only two days to go", "don't forget the cake", "please print it big", "I will drop it off", "never mind!", "hold that thought", "forget it not", "forget the text of the song that we sang in the boat, since nobody knew how it went but for Kim, who did"} {
		text := "14:03 - Anna: AM-3 1234abcd text: We swam. ¶¶\n14:04 - Ben: BO-1 ok\n14:05 - Anna: " + line
		if got := whole(text); !strings.HasPrefix(got, "AM-3 given|BO-1 ✓#line 3 says something of no block: “") {
			t.Errorf("%q: %s", text, got)
		}
	}
}

// TestPlainlyTakenBack: what takes back a text or an ok in plain words does, in the same letter or of the same sender; a better text below settles it.
func TestPlainlyTakenBack(t *testing.T) {
	for _, line := range []string{"never mind the text", "scratch that", "undo", "please hold the text", "use the old one", "I will send a new one", "keep it empty", "Sorry, cancel the text", "I take it back", "please leave it blank", "you can forget the text I sent", "I want to withdraw my text", "Love, Anna. PS forget the text", "forget the one for am3"} {
		chat := "14:03 - Anna: AM-3 1234abcd text: We swam. ¶¶\n14:04 - Ben: BO-1 ok\n14:05 - Anna: " + line
		mail := "AM-3 1234abcd text: We swam. ¶¶\nBO-1 change: larger\n\n" + line
		for _, text := range []string{chat, mail} {
			list, _ := ReadAnswers("a.txt", []byte(text), moss)
			if got := short(list); !strings.HasPrefix(got, "AM-3 "+line+"|AM-3 given|BO-1 ") || list[0].Print != "1234abcd" || list[1].Text != "We swam." {
				t.Errorf("%q: %s", text, got)
			}
			for _, better := range []string{"AM-3 1234abcd text: We ate. ¶¶", "14:06 - Ben: AM-3 1234abcd text: We ate. ¶¶"} {
				if text == chat && better[0] == 'A' {
					better = "14:06 - Anna: " + better
				}
				settled := !strings.Contains(better, "Ben")
				if got := whole(text + "\n\n" + better); strings.HasPrefix(got, "AM-3 "+line) == settled || settled != strings.Contains(got, "takes back what was given for AM-3: “"+line+"”") {
					t.Errorf("%q, then %q: %s", text, better, got)
				}
			}
		}
	}
	for text, want := range map[string]string{
		"[14:08] Anna: AM-2 ok\n[14:09] Ben: BO-1 ok\n[14:10] Anna: forget that": "AM-2 ok forget that|BO-1 ✓",
		"[14:08] Anna: AM-2 ok\n[14:09] Ben: BO-1 ok\n[14:10] Kim: forget that":  "AM-2 ✓|BO-1 ✓",
		"[14:08] Anna: AM-2 ok\n[14:10] Anna: forget that":                       "AM-2 ok forget that",
		"AM-2 ok\n\nforget my ok":                                                              "AM-2 ok forget my ok",
		"AM-2 ok\n\nI take it back":                                                            "AM-2 ok I take it back",
		"AM-1 ok\nAM-2 ok\n\nCancel that.":                                                     "AM-1 ✓|AM-2 ok Cancel that.",
		"AM-2 ok\n\nforget the text":                                                           "AM-2 ✓",
		"AM-2 ok\nend of answers\n\nforget it":                                                 "AM-2 ✓",
		"AM-2 ok\nBO-1 larger\n\nforget my ok":                                                 "AM-2 ok forget my ok|BO-1 larger",
		"AM-3 1234abcd text: We swam. ¶¶\nBO-1 ok, forget the text I gave":                     "AM-3 BO-1 ok, forget the text I gave|AM-3 given|BO-1 ok , forget the text I gave",
		"AM-3 1234abcd text: We swam. ¶¶\nforget it\nAM-3 1234abcd text: We ate. ¶¶":           "AM-3 given|AM-3 given",
		"AM-3 1234abcd text: We swam. ¶¶\nforget it\nbut bold\nAM-3 1234abcd text: We ate. ¶¶": "AM-3 given|AM-3 forget it but bold|AM-3 given",
	} {
		if got := strings.Split(whole(text), "#")[0]; got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
}
