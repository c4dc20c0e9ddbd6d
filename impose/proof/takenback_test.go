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
		given + "\nplease drop us a line, and bring plums":                                         "AM-3 please drop us a line, and bring plums",
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
