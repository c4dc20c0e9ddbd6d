package intake

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// The same row in two files is a question about the files, where much of a file stands in the other: they are a copy, or two
// versions of one. Printing both would print each block twice, or an old text beside its new one.

// twin is a row that a row of an earlier file has as well.
type twin struct {
	sheet *Sheet
	at    problem.Place
	first problem.Place
}

// met is a row that has a text, which may be held.
type met struct {
	problem.Place
	held bool
}

const (
	sameText  = "it is for the same person and page; both are printed"
	deleteOne = "delete one if one was meant"
)

// wordings are the texts by which a block is compared. Where what stands under headings that are not known will be asked for, they are those of these that are of some words, and the
// longest in any case, if there is no other: one of them may be told to be the text.
func (e *entry) wordings(b *Block) (out []string) {
	if len(b.Text) > 0 || !e.open {
		return []string{flat(b.Text)}
	}
	var longest *table.Cell
	var cells []*table.Cell
	for k := range e.row.Cells {
		c := &e.row.Cells[k]
		h, headed := e.sheet.HeadingAt(c.Col)
		if !headed || c.Covered || c.Kind == table.Uncomputed || len(c.Text) > 4*mostText || !strings.ContainsFunc(c.Text, unicode.IsLetter) {
			continue
		}
		if col := &e.sheet.Columns[h]; col.as == asUnknown && !col.ignored && (col.set == 0 || col.set == e.set) {
			cells = append(cells, c)
			if longest == nil || len(c.Text) > len(longest.Text) {
				longest = c
			}
		}
	}
	for _, c := range cells {
		if c == longest || len(strings.Fields(c.Text)) >= wordsOfText {
			out = append(out, flat(paragraphs(c, e.sheet.CSV || e.sheet.Desk))) // as a desk takes it down: see markup
		}
	}
	return out
}

// wordsOfText is how many words a text has at least by which a block is compared where there are longer ones: less is a place, or a mood.
const wordsOfText = 3

// compare looks whether a row before has the text of a block. Of one that is held only its file is judged.
func (e *entry) compare(b *Block, held bool) {
	told := false
	for _, text := range e.wordings(b) {
		told = e.compareBy(b, held, told, line(strings.ToLower(text))) || told
	}
}

// compareBy compares by one text, and reports whether a row before has it; told is whether one has another.
func (e *entry) compareBy(b *Block, held, told bool, said string) bool {
	_, col := e.cell(asJournaling)
	owner := key(b.Owner)
	of := func(page string) string { return owner + "\x00" + page + "\x00" + said }
	const anyPage = "\x01"
	k, why := of(plainLetters(b.Page)), sameText
	at, twice := e.seen[k]
	if !twice {
		other := of("")
		if b.Page == "" {
			other = of(anyPage)
		}
		at, twice = e.seen[other]
		why = "it is for the same person, and one of the two names no page; both are printed"
	}
	if _, before := e.seen[of(anyPage)]; !before {
		e.seen[of(anyPage)] = met{b.Place, held}
	}
	if e.open && said != "" { // whose it is may be unknown on one side
		anybody, nobody := "\x02"+said, "\x03"+said
		other := nobody
		if owner == "" {
			other = anybody
		}
		if !twice && e.seen[other].File != b.Place.File {
			at, twice = e.seen[other]
		}
		if owner == "" {
			anybody = nobody
		}
		if _, before := e.seen[anybody]; !before {
			e.seen[anybody] = met{Place: b.Place, held: true} // of which only the file is judged
		}
	}
	twice = twice && !e.again
	if twice && told {
		return true
	}
	held = held || at.held
	if twice && at.File != b.Place.File {
		e.alike[[2]string{at.File, b.Place.File}]++ // what that means is judged when all is read
		if !held {
			e.twins = append(e.twins, twin{e.sheet, e.place(col), at.Place})
		}
	} else if !twice {
		e.seen[k] = met{b.Place, held}
	} else if !held {
		where := fmt.Sprintf("row %d", at.Row)
		if at.Sheet != b.Place.Sheet {
			where += " of sheet " + at.Sheet
		}
		e.note(col, "the same text stands in "+where, why, deleteOne)
	}
	return twice
}

// versions asks about files of which at least half the rows stand in another, once for each group of them, and notes what else
// stands twice at its row.
func (b *builder) versions() (asked problem.List) {
	group := map[string]string{} // a file's first version
	root := func(f string) string {
		for group[f] != "" {
			f = group[f]
		}
		return f
	}
	var pairs [][2]string
	for p := range b.alike {
		pairs = append(pairs, p)
	}
	slices.SortFunc(pairs, func(x, y [2]string) int { return slices.Compare(x[:], y[:]) })
	same := map[string]int{}
	for _, p := range pairs {
		if n := b.alike[p]; 2*n >= min(b.rows[p[0]], b.rows[p[1]]) {
			if first, second := root(p[0]), root(p[1]); first != second {
				group[second] = first
				same[first] += same[second]
			}
			same[root(p[0])] += n
		}
	}
	members := map[string][]string{}
	var firsts []string
	for _, t := range b.job.Tables {
		if r := root(t.File); t.Sheet == "" && same[r] > 0 && !slices.Contains(members[r], t.File) {
			if members[r] == nil {
				firsts = append(firsts, r)
			}
			members[r] = append(members[r], t.File)
		}
	}
	for _, r := range firsts {
		asked.Add(problem.Place{File: members[r][len(members[r])-1]}, fmt.Sprintf("%s seem to be versions of one file: %s the same", problem.And(members[r]), problem.Count(same[r], "row is|rows are")),
			"all of them would be printed, some blocks twice and others in an old and a new text", "keep the one that counts, and move the others out of the folder")
	}
	for _, t := range b.twins {
		if root(t.at.File) == root(t.first.File) {
			continue
		}
		where := strings.TrimSpace(fmt.Sprintf("row %d of %s %s", t.first.Row, t.first.File, t.first.Sheet))
		t.sheet.problems.Note(t.at, "the same text stands in "+where, sameText, deleteOne)
	}
	return asked
}
