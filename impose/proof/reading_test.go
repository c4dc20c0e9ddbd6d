package proof

import (
	"strings"
	"testing"
)

// TestWordsInBrackets: what stands in angle brackets is an element of a page where HTML has it, and else words, which make an ok no clear one.
func TestWordsInBrackets(t *testing.T) {
	known := map[string]bool{"AN-1": true, "AN-2": true}
	for text, ok := range map[string]bool{
		"AN-1 ok <but the date is wrong>": false, "AN-1 ok <larger please>": false, "AN-1 ok <attached: note.jpg>": false, "AN-1 ok <a larger one>": false,
		"AN-1 ok <b larger>": false, "AN-1 ok </larger>": false, "AN-1 <not> ok": false, "<never> AN-1 ok": false, "<IMG_2041.jpg> AN-1 ok": false,
		"<p class=MsoNormal>AN-1 ok<o:p></o:p></p>": true, "AN-1 ok<br>": true, "AN-1 ok <br/>": true, `<div style="color: red; margin:0"><b>AN-1</b> <span lang='en'>ok</span></div>`: true,
		"<LI>AN-1 ok</LI>": true, `<font size="3">AN-1 ok</font>`: true, "<td><p>AN-1 ok</td>": true,
	} {
		list, _ := ReadAnswers("a.txt", []byte(text), known)
		if len(list) != 1 || list[0].OK != ok {
			t.Errorf("%q: %s", text, short(list))
		}
		if at, _, _ := strings.Cut(text, ">"); !ok && strings.HasPrefix(text, "AN-1 ok") && !strings.Contains(list[0].Change, at[len("AN-1 ok <"):]) {
			t.Errorf("%q: %q", text, list[0].Change)
		}
	}
}

// TestFrames: our own lines above and below answers are no answers; a line that only begins like one is told.
func TestFrames(t *testing.T) {
	known := map[string]bool{"AN-1": true}
	for line, told := range map[string]bool{
		"tuckmark answers: retreat": false, "> Tuckmark answers: not a word, please": true, "tuckmark answers": false, "*tuckmark answers:*": false, "end of answers.": false,
		"Tuckmark answers look great, but the hat one should be larger": true, "tuckmark answers, but the hat one should be larger": true, "end of answers, the hat one should be larger": true,
	} {
		for _, text := range []string{line + "\nAN-1 ok\n", "AN-1 ok\n\n\nbye\n\n" + line + "\n", "AN-1 change: bold\n" + line + "\n"} {
			list, problems := ReadAnswers("a.txt", []byte(text), known)
			said := ""
			for _, a := range list {
				said += a.Change
			}
			for _, p := range problems {
				said += p.What
			}
			if got := strings.Contains(said, strings.TrimLeft(line, "> ")[:12]); got != told {
				t.Errorf("%q: told is %v: %s %v", text, got, short(list), problems)
			}
		}
	}
}
