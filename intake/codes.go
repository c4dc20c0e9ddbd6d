package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/intake/table"
)

// owner is a person whose blocks are in the job.
type owner struct {
	name    string // as first typed
	letters string // that begin the codes of its blocks
	n       int    // rows so far
	other   map[string]bool
}

// owners tells people apart and gives their blocks codes. A code is the owner's initials and the number of the row
// among the owner's rows; it depends on the order of the input alone, and counts rows that are held back, so that
// mending one changes no other's code.
type owners struct {
	byKey map[string]*owner
	list  []*owner
	taken map[string]bool
	given map[string]bool   // codes that rows of a desk's workbook have already
	began map[string]string // how they begin, by the owner's key
	used  map[string]bool   // of these, by a row so far
	tried map[string]int    // how many ways to lengthen these initials were tried, so that a thousand alike are still quick
}

func newOwners() *owners {
	return &owners{byKey: map[string]*owner{}, taken: map[string]bool{}, given: map[string]bool{}, began: map[string]string{}, used: map[string]bool{}, tried: map[string]int{}}
}

// codeForm is what a code looks like.
var codeForm = regexp.MustCompile(`^([A-Z]{1,8})-[1-9][0-9]{0,5}$`)

// keep sets the codes apart that rows have already, so that no other row is given one of them, and an owner's new ones begin alike.
func (o *owners) keep(s *Sheet) {
	code, name := s.column(asCode), s.column(asName)
	if code == nil || name == nil {
		return
	}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		c := s.Rows[i].At(code.Index)
		if c == nil {
			continue
		}
		m := codeForm.FindStringSubmatch(c.Text)
		if m == nil {
			continue
		}
		o.given[c.Text] = true
		if n := s.Rows[i].At(name.Index); n != nil && !o.taken[m[1]] && o.began[key(line(n.Text))] == "" {
			o.began[key(line(n.Text))] = m[1]
		}
		o.taken[m[1]] = true
	}
}

// code is that of the row: the one that it has already, unless another row has it as well, or its owner's next.
func (e *entry) code(w *owner) string {
	if c, _ := e.cell(asCode); c != nil && e.owners.given[c.Text] {
		delete(e.owners.given, c.Text)
		e.owners.used[c.Text] = true
		return c.Text
	}
	for {
		if code := w.next(); !e.owners.given[code] && !e.owners.used[code] {
			return code
		}
	}
}

// key is what two spellings of one person's name have in common: no letter case, accents, spaces or stops.
func key(name string) string {
	if k := strings.ReplaceAll(plainLetters(name), " ", ""); k != "" {
		return k
	}
	return strings.ToLower(name)
}

// Folded is a name as people are told apart by it.
func Folded(name string) string { return key(name) }

// find is the owner of that name. fresh tells that it is new, variant that it was so far spelled otherwise than now.
func (o *owners) find(name string) (w *owner, fresh, variant bool) {
	k := key(name)
	if w = o.byKey[k]; w == nil {
		w = &owner{name: name, letters: o.began[k], other: map[string]bool{}}
		if w.letters == "" {
			w.letters = o.letters(name)
		}
		o.byKey[k] = w
		o.list = append(o.list, w)
		return w, true, false
	}
	if name != w.name && !w.other[name] {
		w.other[name] = true
		return w, false, true
	}
	return w, false, false
}

// next is the code of the owner's next row.
func (w *owner) next() string {
	w.n++
	return fmt.Sprintf("%s-%d", w.letters, w.n)
}

// letters finds initials that nobody has yet: MK, else MKO, MKOW, ... else MKA, MKB, ...
func (o *owners) letters(name string) string {
	first, more := initials(name)
	for i := range min(len(more), 3) + 1 {
		if try := first + more[:i]; !o.taken[try] {
			o.taken[try] = true
			return try
		}
	}
	for {
		try := first + table.Letters(o.tried[first])
		o.tried[first]++
		if !o.taken[try] {
			o.taken[try] = true
			return try
		}
	}
}

// initials are the first letters of the first and the last name, and the letters after that last one, all in plain
// capitals: codes are typed on every keyboard. A single name gives its first two letters, one without plain letters P,
// for person.
func initials(name string) (first, more string) {
	name, _, _ = strings.Cut(name, "(")
	if last, given, ok := strings.Cut(name, ","); ok { // Kowalski, Marie
		name = given + " " + last
	}
	var parts []string
	for _, w := range strings.Fields(plainLetters(name)) {
		w = strings.Map(func(r rune) rune {
			if r >= 'a' && r <= 'z' {
				return r - 'a' + 'A'
			}
			return -1
		}, w)
		if w != "" {
			parts = append(parts, w)
		}
	}
	switch len(parts) {
	case 0:
		return "P", ""
	case 1:
		w := parts[0]
		return w[:min(2, len(w))], w[min(2, len(w)):]
	}
	last := parts[len(parts)-1]
	return parts[0][:1] + last[:1], last[1:]
}

// like is another owner whose name may be the same person's, and why: it differs by one letter, begins so, has the same words, or one of them by its first
// letter. Only among the first few hundred: who has more people than that cannot be asked about each.
func (o *owners) like(w *owner) (other *owner, why string) {
	if len(o.list) > 300 {
		return nil, ""
	}
	a := key(w.name)
	words := unaddressed(w.name)
	for _, other := range o.list {
		if other == w {
			continue
		}
		others := unaddressed(other.name)
		short, long := words, others
		if len(short) > len(long) {
			short, long = long, short
		}
		switch {
		case max(utf8.RuneCountInString(a), utf8.RuneCountInString(key(other.name))) >= 7 && config.EditDistance(a, key(other.name)) == 1 && digitsOf(a) == "" && digitsOf(key(other.name)) == "": // Guest 12 and Guest 13
			return other, "the names differ by one letter"
		case len(short) > 0 && len(short) < len(long) && slices.Equal(short, long[:len(short)]):
			return other, "one name begins like the other"
		case len(words) > 1 && slices.Equal(slices.Sorted(slices.Values(words)), slices.Sorted(slices.Values(others))), len(words) == 1 && slices.Equal(words, others):
			return other, "the names have the same words"
		case len(short) > 1 && len(long) > len(short) && short[0] == long[0] && short[len(short)-1] == long[len(long)-1]:
			return other, "one name has more words between"
		case shortened(words, others):
			return other, "one name may be the other, shortened"
		}
	}
	return nil, ""
}

// unaddressed are the words of a name without those that people are addressed by, and "for", before it.
func unaddressed(name string) []string {
	words := strings.Fields(plainLetters(name))
	for len(words) > 1 && (words[0] == "for" || digitsOf(words[0]) == words[0] || slices.Contains(ofAddress, words[0])) {
		words = words[1:]
	}
	return words
}

// shortened reports names that have the same words, but for some that have only their first letter in one: A. Pell, Ana P.
func shortened(one, other []string) bool {
	if len(one) != len(other) {
		return false
	}
	whole, first := 0, 0
	for i, w := range one {
		a, b := []rune(w), []rune(other[i])
		switch {
		case w == other[i] && len(a) > 1:
			whole++
		case w != other[i] && (len(a) == 1 || len(b) == 1) && a[0] == b[0] && unicode.IsLetter(a[0]):
			first++
		case w != other[i]:
			return false
		}
	}
	return whole > 0 && first > 0
}
