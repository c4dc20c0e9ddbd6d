package config

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// reader turns values into what they mean, and collects what is wrong. Each of its methods leaves its target alone where
// the value is bad.
type reader struct {
	problems  problem.List
	unit      measure.Unit // what a bare number means
	work      string       // folder that a path from a variable or a flag starts at
	folder    string       // folder of the configuration file, for the paths in it
	paper     measure.Size // of built-in sheets
	gapUnsaid bool         // nobody said how wide the gap is

	// As typed: the lists are read when all else is, the others are looked at again once everything is known.
	stocks, printers                              value
	preferred, smallest, largest, holds, gapTyped value
	signs                                         Signs // of the currency, as the settings name it or amounts were typed
}

func (r *reader) bad(v value, what, cause, hint string) {
	if v.label != "" {
		what = v.label + ": " + what
	}
	r.problems.Add(v.at, what, cause, hint)
}

// shape is what a value may look like, as a set.
type shape uint8

const (
	takesText shape = 1 << iota
	takesList
	takesMapping
)

// shaped reports whether a value looks as it should, and says so if not.
func (r *reader) shaped(v value, s shape) bool {
	if s == 0 {
		s = takesText
	}
	if s&(1<<v.kind) != 0 {
		return true
	}
	is := [...]string{"a single value", "a list", "settings of its own"}
	hint := ""
	switch {
	case s&takesText != 0:
		hint = "write a single value after the colon"
	case s&takesList != 0:
		hint = "write each item in a line of its own, two spaces further in, after a hyphen and a space"
	default:
		hint = "write what belongs to it in lines of their own, two spaces further in, each a name, a colon and a value"
	}
	if v.at.File == "" {
		hint = "set it in a tuckmark.yaml instead"
	}
	r.bad(v, "this cannot be "+is[v.kind], "", hint)
	return false
}

// known is the key that a name stands for; an unknown one is reported.
func (r *reader) known(name string, v value, names []string) (string, bool) {
	for _, n := range names {
		if n == name {
			return n, true
		}
	}
	last := func(key string) string { return key[strings.LastIndexByte(key, '.')+1:] }
	hint := "the settings here are: " + strings.Join(names, ", ")
	if len(names) > 15 {
		hint = "leave it out; the documentation lists the settings"
	}
	if near := Near(name, names); near != "" {
		hint = fmt.Sprintf("did you mean %s?", keyInFile(near))
	}
	for _, n := range names { // the right name in the wrong section
		if last(n) == last(name) {
			hint = fmt.Sprintf("did you mean %s?", keyInFile(n))
		}
	}
	r.problems.Add(v.at, fmt.Sprintf("%s is not a setting", measure.Quote(v.label)), "", hint)
	return "", false
}

// keyInFile says how a key is written in a file.
func keyInFile(key string) string {
	if section, name, ok := strings.Cut(key, "."); ok {
		return fmt.Sprintf("%s (below %s:)", name, section)
	}
	return key
}

// fields reads the parts of a mapping by their keys, in the order of the keys.
func fields[T any](r *reader, t *T, v value, keys []key[T]) {
	names := make([]string, len(keys))
	for i, k := range keys {
		names[i] = k.name
	}
	found := map[string]value{}
	for _, part := range v.parts {
		if name, ok := r.known(part.label, part, names); ok {
			found[name] = part
		}
	}
	for _, k := range keys {
		if got, ok := found[k.name]; ok && r.shaped(got, k.shape) {
			k.read(r, t, got)
		}
	}
}

// under is a part of a mapping by its name.
func (v value) under(name string) (value, bool) {
	for _, p := range v.parts {
		if p.label == name {
			return p, true
		}
	}
	return value{}, false
}

// text reads a text of so many characters; line breaks become spaces.
func (r *reader) text(v value, to *string, least, most int) {
	switch n := len([]rune(v.text)); {
	case n == 0 && least > 0:
		r.bad(v, "this text is empty", "", "write a text, or take the line out")
	case n > most:
		r.bad(v, fmt.Sprintf("this text has %d characters", n), "", fmt.Sprintf("shorten it to %d", most))
	case strings.ContainsFunc(v.text, func(c rune) bool { return c < ' ' && c != '\n' || c == 0x7f }):
		r.bad(v, "there is a character in this text that cannot be printed", "", "type it again")
	default:
		*to = strings.Join(strings.Fields(v.text), " ")
	}
}

// names reads one text or a list of them; in a variable or flag, and in a file too, commas may part them.
func (r *reader) names(v value, to *[]string) {
	out := []string{}
	add := func(text string) {
		for _, name := range strings.Split(text, ",") {
			if name = strings.Join(strings.Fields(name), " "); name != "" {
				out = append(out, name)
			}
		}
	}
	if v.kind == scalar {
		add(v.text)
	}
	for _, item := range v.list {
		if !r.shaped(item, takesText) {
			return
		}
		add(item.text)
	}
	*to = out
}

// advice reads which advice is wanted.
func (r *reader) advice(v value, to *Advice) {
	var names []string
	r.names(v, &names)
	*to = Advice{}
	for _, name := range names {
		switch fold(name) {
		case "dates", "date":
			to.Dates = true
		case "people", "places":
			to.People = true
		case "none", "no":
		default:
			r.bad(v, measure.Quote(name)+" is no advice that is known here", "", "write dates, people, both or none")
		}
	}
}

// parted is a list of texts that stood in one, each at the place of that.
func (v value) parted(texts []string) []value {
	var out []value
	for _, text := range texts {
		one := v
		one.text = text
		out = append(out, one)
	}
	return out
}

// columns reads what headings mean, each as heading = column; in one text they stand between semicolons.
func (r *reader) columns(v value, to *[]Column) {
	items := v.list
	if v.kind == scalar {
		items = v.parted(strings.Split(v.text, ";"))
	}
	for _, item := range items {
		if !r.shaped(item, takesText) {
			return
		}
		c, ok := parseColumn(item.text)
		if !ok {
			r.bad(item, measure.Quote(item.text)+" does not say what a heading means", "", "write the heading, = and the column, as Left to right = Width")
			continue
		}
		*to = append(*to, c)
	}
}

// parseColumn reads "Left to right = Width"; the heading may have = in it.
func parseColumn(text string) (Column, bool) {
	at := strings.LastIndexByte(text, '=')
	if at < 0 {
		return Column{}, false
	}
	c := Column{Heading: strings.Join(strings.Fields(text[:at]), " "), As: strings.Join(strings.Fields(text[at+1:]), " ")}
	return c, c.Heading != ""
}

// told puts what one run says of headings before what the settings say.
func (r *reader) told(s *Settings, columns []string) {
	var first []Column
	for _, text := range columns {
		c, ok := parseColumn(text)
		if !ok {
			r.problems.Add(problem.Place{}, "--column "+measure.Quote(text)+" does not say what a heading means", "", `write the heading, = and the column, as --column "Left to right=Width"`)
			continue
		}
		first = append(first, c)
	}
	r.contradicted("--column says", first)
	r.contradicted("columns: says", s.Columns)
	if len(first) > 0 {
		lines := ""
		for _, c := range first {
			lines += "\n  - " + strconv.Quote(c.Heading+" = "+c.As)
		}
		r.problems.Note(problem.Place{}, "--column holds for this run", "", "to have it remembered, write into tuckmark.yaml:\ncolumns:"+lines)
	}
	s.Columns = append(first, s.Columns...)
}

// contradicted tells of headings that are said to mean two things.
func (r *reader) contradicted(who string, columns []Column) {
	for i, c := range columns {
		for _, o := range columns[:i] {
			if strings.EqualFold(c.Heading, o.Heading) && !strings.EqualFold(c.As, o.As) {
				r.problems.Add(problem.Place{}, fmt.Sprintf("%s of %s that it is %s and that it is %s", who, measure.Quote(c.Heading), o.As, c.As), "", "say one of them")
			}
		}
	}
}

// length reads a measure between least and most; a bare number is in unit.
func (r *reader) length(v value, unit measure.Unit, to *measure.Length, least, most measure.Length) {
	l, err := measure.Parse(v.text, unit)
	if err != nil {
		r.unmeasured(v, unit, err)
		return
	}
	if r.between(v, unit, l, least, most) {
		*to = l
	}
}

func (r *reader) unmeasured(v value, unit measure.Unit, err error) {
	hint := "write it like 1/2 in, 0.5 in or 12 mm"
	var e *problem.Problem
	if errors.As(err, &e) {
		hint = e.Hint
	}
	if unit == measure.Pt {
		hint = "write it in points, like 8 or 10.5"
	}
	r.bad(v, err.Error(), "", hint)
}

func (r *reader) between(v value, unit measure.Unit, l, least, most measure.Length) bool {
	what := ""
	switch {
	case l > most:
		what = "more than " + most.Format(unit)
	case l >= least:
		return true
	case least <= 1:
		what = map[bool]string{true: "0", false: "less than 0"}[l == 0]
	default:
		what = "less than " + least.Format(unit)
	}
	r.bad(v, measure.Quote(v.text)+" is "+what, "", "check the number and its unit; a bare number is in "+unit.Name())
	return false
}

// typeSize reads a size in points and brings it to a step, the larger one where up.
func (r *reader) typeSize(v value, to *measure.Length, up bool) {
	l := *to
	r.length(v, measure.Pt, &l, 4*measure.Point, 144*measure.Point)
	if up {
		l += TypeStep - 1
	}
	*to = l / TypeStep * TypeStep
}

func (r *reader) size(v value, to *measure.Size) {
	s, err := measure.ParseSize(v.text, r.unit)
	if err != nil {
		r.unmeasured(v, r.unit, err)
		return
	}
	if side := min(s.W, s.H); side <= 0 {
		r.bad(v, measure.Quote(v.text)+" has a side of 0 or less", "", "write the width and the height like 8 1/2 x 11 in")
		return
	}
	if r.between(v, r.unit, s.W, 1, largestSheet) && r.between(v, r.unit, s.H, 1, largestSheet) {
		*to = s
	}
}

const largestSheet = 100 * measure.Inch

var sideNames = [...]string{"left", "top", "right", "bottom"}

func sides(s *measure.Sides) [4]*measure.Length {
	return [...]*measure.Length{&s.Left, &s.Top, &s.Right, &s.Bottom}
}

var sided = regexp.MustCompile(`(?i)^(.*?\S)\s+(?:on\s+|at\s+)?(?:the\s+)?(left|top|right|bottom)$|^(left|top|right|bottom)\s+(.+)$`)

// sides reads measures for the sides of a rectangle: a mapping of sides, "1/2 in top, 1/4 in left", or a lone measure,
// which goes to the sides in lone. A side that is not named is nought, or stays where keep.
func (r *reader) sides(v value, to *measure.Sides, lone []string, most measure.Length, keep bool) {
	var out measure.Sides
	before := r.problems.Errors()
	set := func(v value, names ...string) {
		for i, to := range sides(&out) {
			for _, name := range names {
				if strings.EqualFold(name, sideNames[i]) {
					r.length(v, r.unit, to, 0, most)
				}
			}
			if r.problems.Errors() > before {
				return
			}
		}
	}
	if v.kind == mapping {
		if keep {
			out = *to
		}
		for _, part := range v.parts {
			before = r.problems.Errors()
			if name, ok := r.known(part.label, part, sideNames[:]); ok && r.shaped(part, takesText) {
				set(part, name)
			}
		}
	} else if !strings.EqualFold(v.text, "none") {
		// A comma parts the sides where every part names one; else it may be a decimal comma.
		texts := strings.Split(v.text, ",")
		for _, text := range texts {
			if !sided.MatchString(strings.TrimSpace(text)) {
				texts = []string{v.text}
				break
			}
		}
		for _, text := range texts {
			one, where := v, lone
			one.text = strings.TrimSpace(text)
			if m := sided.FindStringSubmatch(one.text); m != nil {
				one.text, where = m[1]+m[4], []string{m[2] + m[3]}
			}
			set(one, where...)
		}
	}
	if r.problems.Errors() == before {
		*to = out
	}
}

// choice reads one of some words; a bad one is told all of them.
func choice[T any](r *reader, v value, to *T, words []string, means map[string]T) {
	typed := fold(v.text)
	if t, ok := means[typed]; ok {
		*to = t
		return
	}
	hint := "write " + strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
	r.bad(v, measure.Quote(v.text)+" is not one of the choices", "", hint)
}

func (r *reader) yes(v value, to *bool) {
	choice(r, v, to, []string{"yes", "no"},
		map[string]bool{"yes": true, "true": true, "on": true, "y": true, "1": true, "no": false, "false": false, "off": false, "n": false, "0": false})
}

func (r *reader) whole(v value, to *int, least, most int) {
	n, err := strconv.Atoi(v.text)
	switch {
	case err != nil:
		r.bad(v, measure.Quote(v.text)+" is not a whole number", "", fmt.Sprintf("write a number from %d to %d", least, most))
	case n < least || n > most:
		r.bad(v, fmt.Sprintf("%s is not between %d and %d", measure.Quote(v.text), least, most), "", "check the number")
	default:
		*to = n
	}
}

// factor reads a factor: 1.25, 1,25 or 125%.
func (r *reader) factor(v value, to *float64, least, most float64) {
	text, percent := strings.CutSuffix(strings.ReplaceAll(v.text, ",", "."), "%")
	f, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if percent {
		f /= 100
	}
	switch {
	case err != nil || math.IsNaN(f) || math.IsInf(f, 0):
		r.bad(v, measure.Quote(v.text)+" is not a number", "", "write it like 1.25")
	case f < least || f > most:
		r.bad(v, fmt.Sprintf("%s is not between %v and %v", measure.Quote(v.text), least, most), "", "check the number")
	default:
		*to = f
	}
}

func (r *reader) colour(v value, to *Colour) {
	c, near, ok := ParseColour(v.text)
	if !ok {
		r.bad(v, measure.Quote(v.text)+" is not a colour", "",
			orElse(near, "did you mean %s?", "write a name like dark blue, or '#1f3a5f' in quotes"))
		return
	}
	*to = c
}

var money = regexp.MustCompile(`^(\d{1,7})(?:[.,](\d{1,2}))?$`)

// Cents is an amount as it is typed, with or without a currency sign beside it, in hundredths; false: it is none.
func Cents(text string) (cents int64, ok bool) {
	if InHundredths(text) {
		return 0, false
	}
	text = strings.TrimFunc(text, func(c rune) bool { return (c < '0' || c > '9') && c != '-' })
	m := money.FindStringSubmatch(text)
	if m == nil {
		return 0, false
	}
	whole, _ := strconv.ParseInt(m[1], 10, 64)
	part, _ := strconv.ParseInt((m[2] + "00")[:2], 10, 64)
	return whole*100 + part, true
}

// price reads an amount into hundredths.
func (r *reader) price(v value, to *int64) {
	cents, ok := Cents(v.text)
	usual := ""
	if len(r.signs) > 0 {
		usual = r.signs[0]
	}
	sign, strange := SignOf(v.text, usual)
	if !ok || strange || sign == "" && besideNumber(v.text) != "" {
		r.bad(v, measure.Quote(v.text)+" is not an amount", "", "write an amount like 0.45 or 2")
		return
	}
	*to = cents
	if sign == "" {
		return
	}
	if other := r.signs.Take(sign); other != "" {
		r.problems = append(r.problems, OtherSign(v.at, sign, other))
	}
}

var minutes = regexp.MustCompile(`(?i)^(\d+)\s*(m|min|mins|minutes?|h|hours?)?\.?$`)

// minutes reads a time to wait, up to a week.
func (r *reader) minutes(v value, to *int) {
	m := minutes.FindStringSubmatch(v.text)
	if m == nil {
		r.bad(v, measure.Quote(v.text)+" is not a time", "", "write the minutes as a number: 15")
		return
	}
	const week = 7 * 24 * 60
	n, err := strconv.Atoi(m[1])
	if err == nil && n <= week && strings.HasPrefix(strings.ToLower(m[2]), "h") {
		n *= 60
	}
	if err != nil || n > week { // err: more digits than an int holds
		r.bad(v, measure.Quote(v.text)+" is longer than a week", "", fmt.Sprintf("check the number; at most %d minutes or %d hours can be asked for", week, week/60))
		return
	}
	*to = n
}

// paths reads folders; a relative one starts at the file it is named in, or at the working folder.
func (r *reader) paths(v value, to *[]string) {
	base := r.work
	if v.at.File != "" {
		base = r.folder
	}
	items := v.list
	if v.kind == scalar {
		texts := []string{v.text}
		if v.at.File == "" {
			texts = filepath.SplitList(v.text)
		}
		items = v.parted(texts)
	}
	for _, item := range items {
		if !r.shaped(item, takesText) {
			continue
		}
		path := filepath.FromSlash(item.text)
		if rest, ok := strings.CutPrefix(path, "~"+string(filepath.Separator)); ok {
			if home, err := os.UserHomeDir(); err == nil {
				path = filepath.Join(home, rest)
			}
		}
		if !filepath.IsAbs(path) {
			path = filepath.Join(base, path)
		}
		if info, err := os.Stat(path); err != nil || !info.IsDir() {
			r.bad(item, fmt.Sprintf("there is no folder %s", measure.Quote(item.text)), "it was looked for at "+path,
				"check the path; a relative one starts at the folder of the configuration file")
			continue
		}
		*to = append(*to, path)
	}
}
