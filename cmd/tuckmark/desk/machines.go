package desk

import (
	"net/http"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// machineView is a printer or the trimmer, with what can be measured of it.
type machineView struct {
	Name   string // of the printer; "" for the trimmer
	Fields []machineField
	Takes  string
}

// machineField is a measure, or, with words to choose from, a choice; each is a word and what it says.
type machineField struct {
	ID, Key, Says, Text string
	Choices             [][2]string
}

// waysToCut are the words that the setting trimmer: by takes, and what they mean.
var waysToCut = [][2]string{{"marks", "a trimmer, by the printed marks"}, {"measure", "a trimmer, by its measure"}, {"none", "scissors"}}

func wayToCut(t config.Trimmer) string {
	switch {
	case t.Scissors:
		return "none"
	case t.Measure:
		return "measure"
	}
	return "marks"
}

// measured are the settings of a printer that a page may change, in the order in which they are shown, by the keys that lead to them.
var measured = []struct {
	key, says string
	of        func(*config.Printer) measure.Length
}{
	{"narrowest", "Narrowest", func(p *config.Printer) measure.Length { return p.Narrowest }},
	{"widest", "Widest", func(p *config.Printer) measure.Length { return p.Widest }},
	{"shortest", "Shortest", func(p *config.Printer) measure.Length { return p.Shortest }},
	{"longest", "Longest", func(p *config.Printer) measure.Length { return p.Longest }},
	{"margins left", "Left margin", func(p *config.Printer) measure.Length { return p.Margins.Left }},
	{"margins right", "Right margin", func(p *config.Printer) measure.Length { return p.Margins.Right }},
	{"margins top", "Top margin", func(p *config.Printer) measure.Length { return p.Margins.Top }},
	{"margins bottom", "Bottom margin", func(p *config.Printer) measure.Length { return p.Margins.Bottom }},
}

// machines are the printers, and last the trimmer.
func machines(c *config.Settings) (out []machineView) {
	for i := range c.Printers {
		p := &c.Printers[i]
		v := machineView{Name: p.Name, Takes: strings.Join(p.Takes, ", ")}
		for k, m := range measured {
			v.Fields = append(v.Fields, machineField{fieldID(i, k), m.key, m.says, m.of(p).Format(c.Unit), nil})
		}
		out = append(out, v)
	}
	n := len(c.Printers)
	trimmer := machineView{Fields: []machineField{{fieldID(n, 0), "by", "Cut with", wayToCut(c.Trimmer), waysToCut}}}
	if !c.Trimmer.Scissors {
		trimmer.Fields = append(trimmer.Fields, machineField{fieldID(n, 1), "longest", "Longest cut", c.Trimmer.Longest.Format(c.Unit), nil},
			machineField{fieldID(n, 2), "holds", "Narrowest strip it holds", c.Trimmer.Holds.Format(c.Unit), nil})
	}
	return append(out, trimmer)
}

func fieldID(machine, field int) string {
	return "m" + string(rune('a'+machine%26)) + string(rune('a'+field))
}

// machinesPart is the fields for the printers and the trimmer.
func (s *server) machinesPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "machines", machines(j.layer.settings.Load()))
}

// setTo is what a measure or choice of a printer or the trimmer is set to; false: there is no such.
func setTo(c *config.Settings, printer, key string) (string, bool) {
	for _, m := range machines(c) {
		for _, f := range m.Fields {
			if m.Name == printer && f.Key == key {
				return f.Text, true
			}
		}
	}
	return "", false
}

// machine changes a measure of a printer or the trimmer in the tuckmark.yaml, and has the job laid by it.
func (s *server) machine(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Printer, Key, Text string
		Seen               []string // what the page had there, or has sent without an answer; nil: nobody saw anything
	}
	if !read(w, r, &in) {
		return
	}
	c := j.layer.settings.Load()
	text := in.Text
	if in.Printer != "" || in.Key != "by" {
		length, err := measure.Parse(in.Text, c.Unit)
		if err != nil || length < 0 {
			fail(w, http.StatusUnprocessableEntity, &problem.Problem{What: measure.Quote(in.Text) + " is no measure", Hint: "write it like 8 1/2 in or 216 mm"}, nil)
			return
		}
		text = length.Format(c.Unit)
	}
	has, known := setTo(c, in.Printer, in.Key)
	saw := func(seen string) bool {
		length, err := measure.Parse(seen, c.Unit) // as it was typed, or as the page was told
		return seen == has || err == nil && length.Format(c.Unit) == has
	}
	if known && has != text && in.Seen != nil && !slices.ContainsFunc(in.Seen, saw) {
		wroteMeanwhile(w, map[string]string{in.Key: has})
		return
	}
	ways := amendments(c, in.Printer, in.Key, text)
	if ways == nil {
		fail(w, http.StatusNotFound, &problem.Problem{What: "there is no such setting", Hint: "load this page again"}, nil)
		return
	}
	if err := j.amend(c, ways...); err != nil {
		fail(w, http.StatusConflict, err, nil)
		return
	}
	answer(w, map[string]string{"text": text})
}

// amendments are the ways to write a measure of a printer, or, where none is named, of the trimmer; nil: there is none of that name.
func amendments(c *config.Settings, printer, key, text string) [][]config.Amendment {
	if printer == "" {
		way := key == "by" && slices.ContainsFunc(waysToCut, func(w [2]string) bool { return w[0] == text })
		if key != "longest" && key != "holds" && !way {
			return nil
		}
		return [][]config.Amendment{{{Keys: []string{"trimmer", key}, Value: text}}}
	}
	known := false
	for _, m := range measured {
		known = known || m.key == key
	}
	for i := range c.Printers {
		if p := &c.Printers[i]; known && p.Name == printer {
			one := config.Amendment{Keys: append([]string{"printers", printer}, strings.Fields(key)...), Value: text}
			return [][]config.Amendment{{one}, {withPrinters(c), one}} // the built-in printer is written out first
		}
	}
	return nil
}

// withPrinters writes the printers that hold into a configuration that names none.
func withPrinters(c *config.Settings) config.Amendment {
	var b strings.Builder
	for i := range c.Printers {
		p := &c.Printers[i]
		b.WriteString("  - name: " + config.Typed(p.Name) + "\n")
		margins := ""
		for _, m := range measured {
			if side, ok := strings.CutPrefix(m.key, "margins "); ok {
				margins += ", " + side + ": " + m.of(p).Format(c.Unit)
				continue
			}
			b.WriteString("    " + m.key + ": " + m.of(p).Format(c.Unit) + "\n")
		}
		b.WriteString("    margins: {" + strings.TrimPrefix(margins, ", ") + "}\n")
	}
	return config.Amendment{Keys: []string{"printers"}, Value: b.String()}
}
