package proof

import (
	"cmp"
	"fmt"
	"strings"

	"tuckmark/config/problem"
)

// What people want may be long. Enough of it is shown to mend a row by, with the place where the rest stands; the report has all that a cell holds.

// mostShown is how many letters of a wish are shown.
const mostShown = 160

// quoted is what somebody wants, as it is shown: enough of it to mend the row by.
func quoted(wish string) string {
	if r := []rune(wish); len(r) > mostShown {
		wish = string(r[:mostShown-1]) + "…"
	}
	return "“" + wish + "”"
}

// quoted is what somebody wants, as it is shown, and where the rest of it stands.
func (a *Answer) quoted() string {
	shown := quoted(a.Change)
	if a.All != "" || strings.HasSuffix(shown, "…”") {
		shown += a.goesOn()
	}
	return shown
}

func (a *Answer) goesOn() string {
	return fmt.Sprintf(" (all of it: %s, from line %d)", a.File, a.Line)
}

// whole is a sentence that shows a part of what somebody wants, with all of it; "": it shows all.
func (a *Answer) whole(what string) string {
	shown := a.quoted()
	all := "“" + cmp.Or(a.All, a.Change) + "”"
	if shown == all || !strings.Contains(what, shown) {
		return ""
	}
	if len(a.All) > maxWish {
		all += a.goesOn()
	}
	return strings.Replace(what, shown, all, 1)
}

// note tells something of an answer.
func (o *Outcome) note(a *Answer, at problem.Place, what, cause, hint string) {
	o.Problems.Note(at, what, cause, hint)
	o.Problems[len(o.Problems)-1].Whole = o.whole(a, what)
}

// wished is one wish, of however many blocks it is.
type wished struct {
	file, change string
	line         int
}

// whole is a sentence with all of a wish, for the first mostLong blocks that it is of: the others name the file and the line.
func (o *Outcome) whole(a *Answer, what string) string {
	if o.wholes == nil {
		o.wholes = map[wished]int{}
	}
	this := wished{a.File, a.Change, a.Line}
	if o.wholes[this] >= mostLong {
		return ""
	}
	all := a.whole(what)
	if all != "" {
		o.wholes[this]++
	}
	return all
}

// cut is a wish as far as it is kept, and all of it where that is more.
func cut(wish string) (kept, all string) {
	if len(wish) <= maxAnswer {
		return wish, ""
	}
	kept = strings.ToValidUTF8(wish[:maxAnswer], "") + "…"
	if len(wish) > maxWish {
		wish = strings.ToValidUTF8(wish[:maxWish], "") + "…"
	}
	return kept, wish
}

// wish is what is to be changed, as two wishes are compared; "": an ok.
func (a *Answer) wish() string {
	return strings.ToLower(strings.Trim(strings.Join(strings.Fields(a.Change), " "), " .!"))
}

// sameWish compares two: most are the same word for word, and may be long.
func (a *Answer) sameWish(b *Answer) bool { return a.Change == b.Change || a.wish() == b.wish() }
