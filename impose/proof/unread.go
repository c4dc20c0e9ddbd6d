package proof

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// unreadLine is a line that is told in its words.
type unreadLine struct {
	number int
	text   string
}

// title reads what stands behind our own first line: a title of the job, or words that are told.
func (r *reading) title(number int, line string) {
	m := titleLine.FindStringSubmatch(line)
	if m == nil {
		return
	}
	plain := func(s string) string {
		return strings.ToLower(strings.TrimFunc(strings.Join(strings.Fields(s), " "), func(c rune) bool { return !letter(c) }))
	}
	said := plain(m[1])
	if said == "" || slices.ContainsFunc(r.titles, func(t string) bool { return plain(t) == said }) || len(r.titles) == 0 && !reservation.MatchString(said) {
		return
	}
	if r.strays++; r.strays > mostStray {
		r.unread = append(r.unread, unreadLine{number, line})
		return
	}
	r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d has words where the job’s title stands: %s", number, quoted(line)), "they are the title of another proof, or somebody wrote them",
		"if they ask for a change, write it behind the block’s code, as in MK-2: change: the date")
}

// lines are lines of a file, as they are told.
func lines(from, to int) string {
	if from == to {
		return fmt.Sprintf("line %d", from)
	}
	return fmt.Sprintf("lines %d to %d", from, to)
}

// mostUnread is how many lines are shown of those that are no answers; of the others it is told where they are.
const mostUnread = 20

// tellUnread tells the lines that are no answers.
func (r *reading) tellUnread() {
	var said []string
	shown := r.unread[:min(len(r.unread), mostUnread)]
	for i := 0; i < len(shown); {
		k, each := i, []string{quoted(shown[i].text)}
		for ; k+1 < len(shown) && shown[k+1].number == shown[k].number+1; k++ {
			each = append(each, quoted(shown[k+1].text))
		}
		said, i = append(said, lines(shown[i].number, shown[k].number)+" "+strings.Join(each, ", ")), k+1
	}
	if more := r.unread[len(shown):]; len(more) > 0 {
		said = append(said, fmt.Sprintf("and %d more, %s", len(more), lines(more[0].number, more[len(more)-1].number)))
	}
	if len(said) > 0 {
		r.problems.Note(problem.Place{File: r.file}, "not read as answers: "+strings.Join(said, ", "), "they say ok or change of no block by its code",
			"read them; write what asks for a change behind the block’s code, as in MK-2: change: the date")
	}
}
