package proof

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// notes are what is said of answers, one by one, and what is held.
func notes(o Outcome) (said []string, held string) {
	for _, p := range o.Problems {
		said = append(said, p.What)
	}
	for _, h := range o.Held {
		held += h.Code + " "
	}
	return said, strings.TrimSpace(held)
}

// tallied reads answers to a job as it was, in which {Text} is the fingerprint of the row with that text, and holds them against the job as it is.
func tallied(t *testing.T, was []string, now []string, files ...string) Outcome {
	t.Helper()
	in, before := small(t, now...), small(t, was...)
	var put []string
	for _, in := range []Input{before, in} {
		for i := range in.Blocks {
			put = append(put, "{"+in.Blocks[i].Markup()+"}", Fingerprint(&in.Blocks[i], in.Settings))
		}
	}
	known := map[string]bool{}
	var of Of
	for i := range in.Blocks {
		known[in.Blocks[i].Code] = true
		of.Owners = append(of.Owners, in.Blocks[i].Owner)
	}
	var list []Answer
	for n, text := range files {
		read, _ := ReadAnswers(fmt.Sprintf("%c.txt", 'a'+n), []byte(strings.NewReplacer(put...).Replace(text)), known, of)
		list = append(list, read...)
	}
	return Tally(list, in.Blocks, nil, in.Settings)
}

// TestSettledWishesAreTold: nothing in the answers tells an ok to the row of a wish, mended, from one to another row that has its code by now. So each wish that an
// ok to its code settles is named, all of them in one note.
func TestSettledWishesAreTold(t *testing.T) {
	for name, c := range map[string]struct {
		was, now []string
		files    []string
	}{
		"a row put in, and the other changed": {[]string{"Plums", "Kites"}, []string{"Plums", "Boats", "Kites!"}, []string{"MK-2 {Kites} change: spell Marie with ie", "MK-2 {Boats} ok"}},
		"with an ok that stands in both":      {[]string{"Plums", "Kites"}, []string{"Plums", "Boats", "Kites!"}, []string{"MK-1 {Plums} ok\nMK-2 {Kites} change: spell Marie with ie", "MK-1 {Plums} ok\nMK-2 {Boats} ok"}},
		"a row taken out":                     {[]string{"Plums", "Kites", "Boats"}, []string{"Plums", "Boats"}, []string{"MK-1 {Plums} ok\nMK-2 {Kites} change: spell Marie with ie", "MK-1 {Plums} ok\nMK-2 {Boats} ok"}},
		"an ok by hand":                       {[]string{"Plums", "Kites"}, []string{"Plums", "Boats", "Kites!"}, []string{"MK-2 {Kites} change: spell Marie with ie\n\nMK-2 ok"}},
		"the plain case":                      {[]string{"Plums", "Kites"}, []string{"Plums", "Kites!"}, []string{"MK-2 {Kites} change: spell Marie with ie", "MK-2 {Kites!} ok"}},
	} {
		said, held := notes(tallied(t, c.was, c.now, c.files...))
		if len(said) != 1 || held != "" || !strings.HasPrefix(said[0], "a wish is taken for settled, since an ok to the same code came after it: MK-2 “spell Marie with ie” (line ") || !strings.Contains(said[0], "of a.txt") {
			t.Errorf("%s: %q, held %q", name, said, held)
		}
	}
	// An ok to the very row of the wish settles it without a word.
	if said, _ := notes(tallied(t, []string{"Plums", "Kites"}, []string{"Plums", "Kites!"}, "MK-2 {Kites} change: x\nMK-2 {Kites} ok\nMK-2 {Kites!} ok")); len(said) > 0 {
		t.Errorf("%q", said)
	}
	// All are named, of very many by code and line alone.
	for _, n := range []int{3, mostSettled, mostSettled + 1} {
		var was, now []string
		var wishes, oks strings.Builder
		for i := range n {
			code := fmt.Sprintf("MK-%d", i+1)
			if i == 3 {
				code = "JB-1" // the fourth of small
			} else if i > 3 {
				code = fmt.Sprintf("MK-%d", i)
			}
			was, now = append(was, fmt.Sprint("Row ", i)), append(now, fmt.Sprint("Mended ", i))
			fmt.Fprintf(&wishes, "%s {Row %d} change: wish %d.\n", code, i, i)
			fmt.Fprintf(&oks, "%s {Mended %d} ok\n", code, i)
		}
		said, _ := notes(tallied(t, was, now, wishes.String(), oks.String()))
		if len(said) != 1 || !strings.HasPrefix(said[0], fmt.Sprint(n, " wishes are taken for settled")) {
			t.Fatalf("%d: %q", n, said)
		}
		for i := range n {
			if !strings.Contains(said[0], fmt.Sprintf("(line %d of a.txt)", i+1)) || strings.Contains(said[0], fmt.Sprintf("“wish %d.”", i)) != (n <= mostSettled) {
				t.Errorf("%d: wish %d is not told as it should be: %s", n, i, said[0])
			}
		}
	}
}

// TestWishesAreShown: what is wanted is shown as far as it helps to mend the row, not only how it begins.
func TestWishesAreShown(t *testing.T) {
	wish := "please write Marie with ie in the first line, and in the last one take out the full stop behind the year, which is 1987"
	row := []string{"One"}
	for name, files := range map[string][]string{
		"held":            {"MK-1 {One} change: " + wish},
		"outdone":         {"MK-1 {One} change: " + wish + "\nMK-1 {One} ok"},
		"another beside":  {"MK-1 {One} change: " + wish + "\nMK-1 {One} change: larger"},
		"of no row":       {"MK-9 12345678 change: " + wish},
		"of another time": {"MK-1 12345678 change: " + wish},
		"settled":         {"MK-1 12345678 change: " + wish + "\nMK-1 {One} ok"},
	} {
		if said, _ := notes(tallied(t, row, row, files...)); !strings.Contains(strings.Join(said, "\n"), "“"+wish+"”") {
			t.Errorf("%s: %q", name, said)
		}
	}
	long := strings.Repeat("é", 500)
	if said, _ := notes(tallied(t, row, row, "MK-1 {One} change: "+long)); len(said) != 1 || strings.Contains(said[0], long) || !strings.Contains(said[0], long[:2*159]+"…”") {
		t.Errorf("%q", said)
	}
}

// TestWishBelowWhichAnOkIsGone: where the row of a wish is gone, or was changed, and that of an ok to it as well, both are told.
func TestWishBelowWhichAnOkIsGone(t *testing.T) {
	const ok = "; the ok in line 2 of a.txt comes after it"
	for name, c := range map[string]struct {
		now  []string
		file string
		want []string
	}{
		"changed":             {[]string{"Plums", "Kites!"}, "MK-2 {Kites} change: bold\nMK-2 {Kites} ok", []string{"MK-2 was changed after line 1 asked for it: “bold”" + ok, "MK-2 was changed after it was approved in line 2"}},
		"gone":                {[]string{"Plums"}, "MK-2 {Kites} change: bold\nMK-2 {Kites} ok", []string{"line 1 answers for MK-2, which is not among the blocks: “bold”" + ok, "line 2 answers for MK-2, which is not among the blocks"}},
		"several":             {[]string{"Plums", "Kites!"}, "MK-2 {Kites} change: bold; MK-2 {Kites} change: bold; MK-2 {Kites} change: red\nMK-2 {Kites} ok", []string{"MK-2 was changed after line 1 asked for it: “bold;”" + ok, "MK-2 was changed after line 1 asked for it: “red”" + ok, "MK-2 was changed after it was approved in line 2"}},
		"the wish last":       {[]string{"Plums", "Kites!"}, "MK-2 {Kites} ok\nMK-2 {Kites} change: bold", []string{"MK-2 was changed after it was approved in line 1", "MK-2 was changed after line 2 asked for it: “bold”"}},
		"one of no words":     {[]string{"Plums", "Kites!"}, "MK-2 {Kites} change: bold\nMK-2 {Kites} change: !", []string{"MK-2 was changed after line 1 asked for it: “bold”", "MK-2 was changed after line 2 asked for it: “!”"}},
		"approved again":      {[]string{"Plums", "Kites!"}, "MK-2 {Kites} change: bold\nMK-2 {Kites} ok\nMK-2 {Kites!} ok", nil},
		"approved in between": {[]string{"Plums", "Kites!"}, "MK-2 {Kites} change: bold\nMK-2 {Kites!} ok\nMK-2 {Kites} ok", []string{"a wish is taken for settled, since an ok to the same code came after it: MK-2 “bold” (line 1 of a.txt)", "MK-2 was changed after it was approved in line 3"}},
	} {
		said, held := notes(tallied(t, []string{"Plums", "Kites"}, c.now, c.file))
		if !slices.Equal(said, c.want) || held != "" {
			t.Errorf("%s: %q, not %q; held %q", name, said, c.want, held)
		}
	}
}
