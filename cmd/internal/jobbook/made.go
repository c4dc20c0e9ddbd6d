package jobbook

import (
	"fmt"
	"maps"
	"regexp"
	"slices"

	"tuckmark/config"
	"tuckmark/intake"
)

// A column without a heading of its own gets a name that says where it stood. Files of one name, or whose long names begin and end alike, and whatever is pasted have such
// names in common: what somebody answered of one would hold for the other, and nobody would be asked what that is.

// made are the headings that intake made.
func (has beyond) made() []string {
	return slices.DeleteFunc(slices.Concat(has.heads[:]...), func(h string) bool { return !intake.Made(h) })
}

// nameGiver keeps the made headings of tables apart from others that are there.
type nameGiver struct {
	told func(heading string) bool // the settings say something of it
	had  map[string]bool           // as intake compares them
}

func newNames(s *config.Settings, had []string) *nameGiver {
	n := &nameGiver{told: intake.KnownTo(s), had: map[string]bool{}}
	for _, h := range had {
		n.had[intake.PlainHeading(h)] = true
	}
	return n
}

// apart gives a number to the headings of a table that were made and that are there already.
func (n *nameGiver) apart(t *intake.TypedSheet) {
	names := map[string]string{}
	t.Columns = slices.Clone(t.Columns)
	for i, h := range t.Columns {
		if intake.Made(h) {
			names[h] = n.free(h)
			t.Columns[i] = names[h]
		}
	}
	for i := range t.Rows {
		for k := range t.Rows[i].Cells {
			if c := &t.Rows[i].Cells[k]; names[c.Heading] != "" {
				c.Heading = names[c.Heading]
			}
		}
	}
}

// free is the heading, or the first like it with a number that nothing is said of.
func (n *nameGiver) free(heading string) string {
	name, all := heading, []rune(heading)
	for k := 2; n.had[intake.PlainHeading(name)] || n.told(name); k++ {
		number := fmt.Sprintf(" (%d)", k)
		name = string(all[:min(len(all), mostHead-len(number))]) + number
	}
	n.had[intake.PlainHeading(name)] = true
	return name
}

// numberBehind is what apart puts behind a heading.
var numberBehind = regexp.MustCompile(`( \(\d+\))+$`)

// unnumbered are the cells of a row with the headings that were made as they are in every file of the name, to be compared.
func unnumbered(cells map[string]string) map[string]string {
	var out map[string]string
	for _, h := range slices.Sorted(maps.Keys(cells)) {
		plain := h
		if intake.Made(h) {
			plain = numberBehind.ReplaceAllString(h, "")
		}
		if _, there := cells[plain]; plain == h || there {
			continue
		}
		if out == nil {
			out = maps.Clone(cells)
		}
		if _, there := out[plain]; !there {
			delete(out, h)
			out[plain] = cells[h]
		}
	}
	if out == nil {
		return cells
	}
	return out
}
