package guide

import (
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// metric reports whether a person who measures in u has a millimetre rule in hand, and not an inch rule.
func metric(u measure.Unit) bool { return u == measure.Mm || u == measure.Cm }

// ruler is the unit that measures are printed in.
func ruler(u measure.Unit) measure.Unit {
	if metric(u) {
		return measure.Mm
	}
	return measure.In
}

// graduation is the finest division of the rule: a trimmer is set to a whole number of it.
func graduation(u measure.Unit) measure.Length {
	if metric(u) {
		return measure.Millimetre
	}
	return measure.Inch / 16
}

// down rounds a length down to the rule, so that what is printed of a leftover is really there.
func down(l measure.Length, u measure.Unit) measure.Length {
	g := graduation(u)
	return l / g * g
}

// size prints a size to the rule, rounded down: "4 x 7 1/2 in".
func size(s measure.Size, u measure.Unit) string {
	return measure.Size{W: down(s.W, u), H: down(s.H, u)}.Format(ruler(u))
}

// exact prints a size as it was asked for: of sheets, which are what it says on the pack.
func exact(s measure.Size, u measure.Unit) string { return s.About(ruler(u)) }

// ranges writes ascending numbers as a print dialogue takes them: "3-7, 9".
func ranges(pages []int) string {
	var b strings.Builder
	for i := 0; i < len(pages); {
		j := i + 1
		for j < len(pages) && pages[j] <= pages[j-1]+1 {
			j++
		}
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(strconv.Itoa(pages[i]))
		if pages[j-1] > pages[i] {
			b.WriteString("-" + strconv.Itoa(pages[j-1]))
		}
		i = j
	}
	return b.String()
}

// widest is a text with every page number as wide as it can get: every number from the word page on, or all where it has
// no such word. Space is reserved for it and not for the text, so that the guides have as many pages before the pieces
// are numbered as after.
func widest(text string) string {
	before, after, found := strings.Cut(text, " page")
	if found {
		return before + " page" + wide(after)
	}
	return wide(text)
}

func wide(text string) string {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if c := text[i]; c < '0' || c > '9' {
			b.WriteByte(c)
		} else if i == 0 || text[i-1] < '0' || text[i-1] > '9' {
			b.WriteString("0000")
		}
	}
	return b.String()
}

// pages is "page 4" or "pages 4-7".
func pages(numbers []int) string {
	if len(numbers) == 1 {
		return "page " + ranges(numbers)
	}
	return "pages " + ranges(numbers)
}

// count is "1 sheet", "3 sheets"; a word that ends in another way says its plural after a bar: "leaf|leaves".
func count(n int, word string) string {
	one, many, other := strings.Cut(word, "|")
	if !other {
		many = one + "s"
	}
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// capital is a name as a heading shows it.
func capital(name string) string {
	r, n := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(r)) + name[n:]
}

// list joins with commas and a last "and".
func list(words []string) string {
	switch n := len(words); n {
	case 0:
		return ""
	case 1:
		return words[0]
	default:
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
}

// letter names a place on a piece: A to Z, then AA, AB, as a spreadsheet names its columns.
func letter(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}

// words is the beginning of what a block says, for a person to recognise it by.
func words(b *intake.Block) string {
	const enough = 80
	var out []string
	n := 0
	add := func(text string) {
		for _, w := range strings.Fields(text) {
			if n < enough {
				out = append(out, w)
				n += utf8.RuneCountInString(w) + 1
			}
		}
	}
	if title := strings.TrimSpace(b.Title); title != "" {
		if r, _ := utf8.DecodeLastRuneInString(title); unicode.IsLetter(r) || unicode.IsDigit(r) {
			title += ":"
		}
		add(title)
	}
	for _, p := range b.Text {
		var line strings.Builder // a word may be parted by runs
		for _, r := range p {
			line.WriteString(r.Text)
		}
		add(line.String())
	}
	return strings.Join(out, " ")
}
