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

// TestLettersAreFullOfIt: the same right below answers, where no frame ends them.
func TestLettersAreFullOfIt(t *testing.T) {
	for _, line := range []string{"We will send another one on Friday.", "I'll send you a new one of the flat keys", "Could you leave them out for the children?", "Please drop the words by the door", "Never mind that. See you", "Hold that, I am at the door",
		"And forget the last one, the cake is gone", "please remove the space at the end of her name", "Please delete these words: best regards"} {
		if got := whole("AM-3 1234abcd text: We swam. ¶¶\nBO-1 ok\n\nHello Rosa,\n\n" + line); !strings.HasPrefix(got, "AM-3 given|BO-1 ") || !strings.Contains(got, line[:10]) {
			t.Errorf("%q: %s", line, got)
		}
	}
	for _, line := range []string{"forget all oks", "forget the first ok", "I take all my oks back"} {
		if got := whole("14:03 - Anna: AM-1 ok\n14:04 - Anna: AM-2 ok\n14:05 - Anna: " + line); strings.Contains(got, "✓") {
			t.Errorf("%q: %s", line, got)
		}
	}
}

// TestWordsBeforeNumbers: initials that are words name no blocks before numbers.
func TestWordsBeforeNumbers(t *testing.T) {
	known := map[string]bool{"AT-1": true}
	for _, letters := range []string{"NO", "AT", "IF", "SO", "BY", "ALL", "ROW", "NOT", "PG", "MAY"} {
		for n := range 7 {
			known[codeOf(letters, fmt.Sprint(n+1))] = true
		}
	}
	for _, line := range []string{"No 2, 3 and 4 ok", "At 5, 6 ok", "at 5, 6 and 7: ok", "If 2 and 3: ok", "So 1, 2 and 3 ok", "No 3 ok", "by 3 to 5 ok", "by3 we leave", "at 5 - 7: call me", "all 3 ok", "row 2 ok", "not 2 ok", "pg 2 ok", "may 2 ok"} {
		list, problems := ReadAnswers("a.txt", []byte("AT-1 change: larger\n\nHello Rosa,\n\n"+line+"\n\nAnn\n"), known)
		if len(list) != 1 || list[0].OK || !strings.Contains(fmt.Sprint(problems), line) {
			t.Errorf("%q: %v %v", line, list, problems)
		}
	}
	list, problems := ReadAnswers("a.txt", []byte(strings.Repeat("AT-1,2,3,4,5,6,7 too low\n", mostRanged/5)), map[string]bool{"AT-1": true, "AT-2": true, "AT-3": true, "AT-4": true, "AT-5": true, "AT-6": true, "AT-7": true})
	if len(list) > mostRanged/5+mostRanged || !strings.Contains(fmt.Sprint(problems), "numbers behind codes are left out from line") {
		t.Errorf("%d answers", len(list))
	}
	long := "AT-1"
	for n := range mostJoined + 10 {
		known[fmt.Sprintf("AT-%d", n+1)] = true
		if n > 0 {
			long += fmt.Sprintf(", %d", n+1)
		}
	}
	if list, problems := ReadAnswers("a.txt", []byte(long+" ok"), known); len(list) != 1 || list[0].OK || !strings.Contains(fmt.Sprint(problems), "says ok behind numbers") {
		t.Errorf("%d answers, %v", len(list), problems)
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
