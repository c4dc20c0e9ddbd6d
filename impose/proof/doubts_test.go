package proof

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// moss are the rows of a job of two people.
var moss = map[string]bool{"AM-1": true, "AM-2": true, "AM-3": true, "AM-4": true, "AM-5": true, "BO-1": true, "BO-2": true}

// whole is what is read of a text, and what is told of the rest.
func whole(text string, of ...Of) string {
	list, problems := ReadAnswers("a.txt", []byte(text), moss, of...)
	got := short(list)
	for _, p := range problems {
		got += "#" + p.What
	}
	return got
}

// TestNoNameBehindATime: words between a time and a colon are somebody's name only where nothing else can be meant. Else they stay in what is quoted, and approve nothing.
func TestNoNameBehindATime(t *testing.T) {
	of := Of{Owners: []string{"Anna Moss", "Ben Otter"}}
	for text, want := range map[string]string{
		// A code is nobody's name, whether somebody has it or not.
		"AM-1 ok\n[14:06] AM-9: ok":                                                      "AM-1 ✓|AM-9 ✓",
		"AM-1 ok\n[14:06] COVID-19: ok":                                                  "AM-1 ✓|COVID-19 ✓",
		"[12.06.26, 14:05] AM-9 and AM-1 larger: AM-2 ok":                                "AM-1 [12.06.26, 14:05] AM-9 and AM-1 larger:|AM-2 ok",
		"AM-1 change: the text should be:\n9:00 - breakfast: eggs\n12:30 - lunch: plums": "AM-1 the text should be: 9:00 - breakfast: eggs 12:30 - lunch: plums",
		"AM-1 change: the text should be:\n9:00 - Breakfast: eggs":                       "AM-1 the text should be: 9:00 - Breakfast: eggs",
		"AM-1 change: bold\n[14:06] spell Marie with ie: and the date":                   "AM-1 bold [14:06] spell Marie with ie: and the date",
		"AM-1 ok\n[14:06] but spell Marie with ie: thanks":                               "AM-1 ok [14:06] but spell Marie with ie: thanks",
		"14:03 - Anna: AM-1 ok\n[14:06] but spell Marie with ie: thanks":                 "AM-1 ok [14:06] but spell Marie with ie: thanks",
		"[14:03] spell: AM-1 larger\n[14:06] spell: Marie with ie":                       "AM-1 [14:03] spell: AM-1 larger [14:06] spell: Marie with ie",
		"AM-1\n[14:06] too small: ok":                                                    "AM-1 [14:06] too small: ok",
		"AM-1\n14:06 - never: ok":                                                        "AM-1 14:06 - never: ok",
		"AM-1\n12.06.26, 14:05 - Ben: ok":                                                "AM-1 12.06.26, 14:05 - Ben: ok",
		"12.06.2026 14:05 - her first one larger, rest fine: AM-2 ok":                    "AM-2 12.06.2026 14:05 - her first one larger, rest fine: AM-2 ok",
		"[12.06.26, 14:06] Anna wants bigger: AM-2 ok":                                   "AM-2 [12.06.26, 14:06] Anna wants bigger: AM-2 ok",
		"[12.06.26, 14:06] Anna wants bigger: AM-2 blue, BO-1 ok":                        "AM-2 [12.06.26, 14:06] Anna wants bigger: AM-2 blue,|BO-1 [12.06.26, 14:06] Anna wants bigger: AM-2 blue, BO-1 ok",
		"[12.06.26, 14:05] AM1 larger: AM-2 ok":                                          "AM-2 [12.06.26, 14:05] AM1 larger: AM-2 ok",
		"[12.06.26, 14:05] wide as: AM-2 like BO-1":                                      "BO-1 [12.06.26, 14:05] wide as: AM-2 like BO-1 (aside)|AM-2 [12.06.26, 14:05] wide as: AM-2 like BO-1",
		"14:06 - to be changed: AM-2 ok":                                                 "AM-2 14:06 - to be changed: AM-2 ok",
		"14:06 From anna to nobody here: AM-2 ok":                                        "AM-2 14:06 From anna to nobody here: AM-2 ok",
		"14:03 - Anna: AM-1 larger\n9:30 - Lunch: plums":                                 "AM-1 larger#line 2 says something of no block: “9:30 - Lunch: plums”",
		// Who has rows in the job is known.
		"12.06.26, 14:06 - anna: AM-2 ok": "AM-2 ✓",
		"14:06 - anna moss: AM-2 ok":      "AM-2 ✓",
		"14:06 - anna?: AM-2 ok":          "AM-2 14:06 - anna?: AM-2 ok",
		"14:06 - mo: AM-2 ok":             "AM-2 14:06 - mo: AM-2 ok",
	} {
		if got := whole(text, of); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
}

// TestOkBelowACode: an ok below a code is none where it is struck out, where a change was said of it, below a wish that may go on, or under a heading.
func TestOkBelowACode(t *testing.T) {
	for text, want := range map[string]string{
		"AM-1 change: like\nAM-2, AM-3\nokay":                   "AM-1 like|AM-2 AM-2, AM-3 okay|AM-3 AM-2, AM-3 okay",
		"AM-1 change: make it as large as\nAM-2\nok":            "AM-1 make it as large as|AM-2 AM-2 ok",
		"Change:\nAM-1\nAM-2\nok:\nAM-3":                        "AM-1 (it does not say what)|AM-2 ok:|AM-3 (it does not say what)#not read as answers: line 1 “Change:”",
		"To change\n\nAM-1\nAM-2\nok\nAM-3":                     "AM-1 (it does not say what)|AM-2 AM-2 ok|AM-3 (it does not say what)#not read as answers: line 1 “To change”",
		"Too small:\nAM-1\nAM-2\nokay\nAM-3":                    "AM-1 (it does not say what)|AM-2 AM-2 okay|AM-3 (it does not say what)#not read as answers: line 1 “Too small:”",
		"Hello Ben:\nAM-1\nok":                                  "AM-1 ✓#not read as answers: line 1 “Hello Ben:”",
		"On 4 May Ben wrote:\n> AM-1\n> ok":                     "AM-1 ✓#not read as answers: line 1 “On 4 May Ben wrote:”",
		"Okay\nAM-1\nok\n\nAM-2 ok\nAM-3\nok":                   "AM-1 AM-1 ok|AM-2 ✓|AM-3 ✓#not read as answers: line 1 “Okay”",
		"14:03 - Anna: AM-1 ok\n14:04 - Ben: change:\nAM-2\nok": "AM-1 ✓|AM-2 AM-2 ok#line 2 says something of no block: “change:”",
		"AM-1\nok:":              "AM-1 ok:",
		"AM-1\n<s>ok</s>":        "AM-1 AM-1 <s>ok</s>",
		"AM-1\n<del>ok</del>":    "AM-1 AM-1 <del>ok</del>",
		"AM-1\n<b>ok</b>":        "AM-1 ✓",
		"AM-1 change:\nok":       "AM-1 AM-1 change: ok",
		"AM-1, AM-2 change:\nok": "AM-1 AM-1, AM-2 change: ok|AM-2 AM-1, AM-2 change: ok",
		"AM-1 change:\nAM-2\nok": "AM-1 (it does not say what)|AM-2 AM-2 ok",
		"AM-1\nok\nAM-2\nok":     "AM-1 ✓|AM-2 ✓",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
}

// TestWordsInTheTitle: what stands behind our own first line is told, unless it is the title of the job.
func TestWordsInTheTitle(t *testing.T) {
	const line = "please print all of mine twice, and the date is wrong"
	for text, want := range map[string]string{
		"tuckmark answers: " + line + "\nAM-1 ok":   "AM-1 ✓#line 1 has words where the job’s title stands: “tuckmark answers: " + line + "”",
		"tuckmark answers: twice\nAM-1 ok":          "AM-1 ✓#line 1 has words where the job’s title stands: “tuckmark answers: twice”",
		"> *Tuckmark answers: Lake  Week*\nAM-1 ok": "AM-1 ✓",
		"tuckmark answers:\nAM-1 ok":                "AM-1 ✓",
	} {
		if got := whole(text, Of{Titles: []string{"lake week"}}); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
	if got := whole("tuckmark answers: " + line + "\nAM-1 ok"); !strings.Contains(got, line) {
		t.Errorf("without a title: %s", got)
	}
}

// TestBehindACodeNobodyHas: a code that nobody has at the beginning of a line hides none behind it.
func TestBehindACodeNobodyHas(t *testing.T) {
	for text, want := range map[string]string{
		"AM-3 ok\n\nAM-9, AM-3 far too small":   "AM-3 ✓|AM-3 AM-9, AM-3 far too small",
		"AM-9, AM-3 far too small":              "AM-3 AM-9, AM-3 far too small",
		"AM-9, AM-3 ok":                         "AM-3 AM-9, AM-3 ok",
		"AM-9, AM-3, AM-4 larger":               "AM-3 AM-9, AM-3, AM-4 larger|AM-4 AM-9, AM-3, AM-4 larger",
		"AM-1 larger\nAM-9, AM-3 far too small": "AM-3 AM-9, AM-3 far too small (begins)|AM-1 larger AM-9, AM-3 far too small",
		"AM-9 bold\nAM-1 ok":                    "AM-1 ✓#not read as answers: line 1 “AM-9 bold”",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
}

// TestMessageOfSeveralLines: what stands below the first line of a message that says nothing of a block is of that message.
func TestMessageOfSeveralLines(t *testing.T) {
	for text, want := range map[string]string{
		"14:03 - Anna: AM-1 ok\n14:05 - Ben: the hall is booked\nbut not for ten":         "AM-1 ✓#line 2 says something of no block: “the hall is booked”#not read as answers: line 3 “but not for ten”",
		"14:03 - Anna: AM-1 ok\n14:05 - Ben: the hall is booked\n\nbut not for ten":       "AM-1 ✓#line 2 says something of no block: “the hall is booked”#not read as answers: line 4 “but not for ten”",
		"14:02 - Ben: BO-1 ok\n14:03 - Anna: AM-1 ok\n14:05 - Ben: oh\nthe date is wrong": "BO-1 ok the date is wrong|AM-1 ✓#line 3 says something of no block: “oh”#not read as answers: line 4 “the date is wrong”",
		"14:03 - Anna: AM-1 ok\n14:05 - Ben: the hall\n14:06 - Anna: but not yet":         "AM-1 ok but not yet#line 2 says something of no block: “the hall”",
		"14:03 - Anna: AM-1 ok\n14:05 - Anna: This message was deleted":                   "AM-1 ✓#line 2, below the ok of AM-1, is not read as an answer: “14:05 - Anna: This message was deleted”",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
}

// TestLongGroups: lines that go on with a wish for very many blocks cost little, whatever they name.
func TestLongGroups(t *testing.T) {
	text := strings.Repeat("AM-1,", 180_000) + " larger\n" + strings.Repeat("x BO-1\n", 160)
	from := time.Now()
	list, problems := ReadAnswers("a.txt", []byte(text), moss)
	if took := time.Since(from); took > 6*time.Second || len(list) < 180_000 || len(problems) > 20 { // 1 s, and 19 s where the group was gone through for each line
		t.Errorf("%v: %d answers, %d problems", took, len(list), len(problems))
	}
	n := slices.IndexFunc(list, func(a Answer) bool { return !a.Aside })
	if n < 100 || list[0].Code != "BO-1" || list[n].Code != "AM-1" || !strings.HasPrefix(list[n].Change, "larger x BO-1 x BO-1") || list[n+179_999].Change != list[n].Change {
		t.Errorf("%d named beside, then %.80s", n, list[n].Change)
	}
}
