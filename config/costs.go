package config

import (
	"regexp"
	"slices"
	"strings"

	"tuckmark/config/measure"
)

// costs reads what a job costs besides its paper: a mapping of names, or texts "ink = 3.50 by area" between semicolons or in a list. A name stays as it
// was typed, and two that differ by letter case alone are one.
func (r *reader) costs(v value, to *[]Cost) {
	switch v.kind {
	case scalar:
		for _, item := range v.parted(strings.Split(v.text, ";")) {
			r.written(item, to)
		}
	case list:
		for _, item := range v.list {
			if r.shaped(item, takesText|takesMapping) {
				r.costs(item, to)
			}
		}
	case mapping:
		for _, item := range v.parts {
			if r.shaped(item, takesText) {
				r.cost(item, item.key, item.text, to)
			}
		}
	}
}

// The most costs and printers that a job has, and kinds of sheets and leftovers in a list of them.
const (
	mostCosts    = 100
	mostPrinters = 300
	MostPaper    = 1000
)

var (
	sharedBy = regexp.MustCompile(`(?i)^(.*?)\s+by\s+(\S+)$`)
	ofEach   = regexp.MustCompile(`(?i)\b(?:each|ea|per|pp|p\.p|every|a person|a head)\b`)
)

// written reads "postage = 4.80 by person".
func (r *reader) written(v value, to *[]Cost) {
	name, amount, ok := strings.Cut(v.text, "=")
	if !ok {
		name = ""
	}
	if strings.TrimSpace(v.text) != "" {
		r.cost(v, name, amount, to)
	}
}

// cost reads what is called so and costs "4.80 by person".
func (r *reader) cost(v value, name, amount string, to *[]Cost) {
	c := Cost{Name: strings.Join(strings.Fields(name), " ")}
	if c.Name == "" {
		r.bad(v, measure.Quote(v.text)+" does not say what costs how much", "", "write it as postage = 4.80, or postage = 4.80 by person")
		return
	}
	one := v
	one.text = strings.TrimSpace(amount)
	if m := sharedBy.FindStringSubmatch(one.text); m != nil {
		by := v
		one.text, by.text = m[1], m[2]
		choice(r, by, &c.By, []string{"by area", "by block", "by person"}, map[string]SharedBy{"area": ByArea, "block": ByBlock, "blocks": ByBlock, "person": ByPerson, "people": ByPerson})
	}
	r.text(value{label: v.label, at: v.at, text: c.Name}, &c.Name, 1, 30)
	if ofEach.MatchString(one.text) {
		r.bad(v, measure.Quote(strings.TrimSpace(amount))+" may be what all pay together or what each pays", "what a cost comes to is shared out", "write what it comes to in all, and by what it is shared, as 57.60 by person")
		return
	}
	r.price(one, &c.Cents)
	if slices.ContainsFunc(*to, func(o Cost) bool { return strings.EqualFold(o.Name, c.Name) }) {
		r.bad(v, "the cost "+measure.Quote(c.Name)+" is given twice", "", "add the two up, or give one of them another name")
		return
	}
	*to = append(*to, c)
}
