package intake

import (
	"strings"
	"testing"
	"time"

	"tuckmark/intake/intaketest"
)

// shown prints runs with their styles: [b bold], [i italic], [bi both].
func shown(p Paragraph) string {
	var b strings.Builder
	for _, r := range p {
		style := strings.Repeat("b", b2n(r.Bold)) + strings.Repeat("i", b2n(r.Italic))
		if style == "" {
			b.WriteString(r.Text)
		} else {
			b.WriteString("[" + style + " " + r.Text + "]")
		}
	}
	return b.String()
}

func TestMarkup(t *testing.T) {
	for line, want := range map[string]string{
		"plain":                        "plain",
		"*bold*":                       "[b bold]",
		"_italic_ word":                "[i italic] word",
		"a *bold one* and _an it_.":    "a [b bold one] and [i an it].",
		"**bold**":                     "[b bold]",
		"*_both_*":                     "[bi both]",
		"_*both*_ ways":                "[bi both] ways",
		"*bold _and italic_ here*":     "[b bold ][bi and italic][b  here]",
		"(*bold*), “_it_”!":            "([b bold]), “[i it]”!",
		"2*3 and 4*5":                  "2*3 and 4*5",
		"snake_case_name":              "snake_case_name",
		"a 5* hotel, a 4* bar":         "a 5* hotel, a 4* bar",
		"* a list":                     "* a list",
		"a * b * c":                    "a * b * c",
		"*open":                        "*open",
		"close*":                       "close*",
		"***":                          "***",
		"_____":                        "_____",
		"* not bold*":                  "* not bold*",
		"*not bold *":                  "*not bold *",
		`\*as typed\*`:                 "*as typed*",
		`\_as typed\_ *bold*`:          "_as typed_ [b bold]",
		"*été* _Ünal_":                 "[b été] [i Ünal]",
		"*a*b*":                        "[b a*b]",
		"it's *really* _so_ *big*":     "it's [b really] [i so] [b big]",
		"*_*":                          "*_*",
		"file_name and other_name too": "file_name and other_name too",
		"":                             "",
	} {
		if got := shown(parseMarkup(line)); got != want {
			t.Errorf("%q is %q, want %q", line, got, want)
		}
	}
}

// Markup neither loses nor makes letters, whatever it looks like, and takes no longer for being contrived.
func FuzzMarkup(f *testing.F) {
	for _, s := range []string{"*bold* _it_", "**a**", `\*x\*`, "*_a_ b*", "_*a_*", "***", "é*é*é", "*a *a *a"} {
		f.Add(s)
	}
	plain := strings.NewReplacer("*", "", "_", "", `\`, "")
	f.Fuzz(func(t *testing.T, s string) {
		var b strings.Builder
		for _, r := range parseMarkup(s) {
			b.WriteString(r.Text)
		}
		if plain.Replace(b.String()) != plain.Replace(s) {
			t.Fatalf("%q became %q", s, b.String())
		}
		if len(b.String()) > len(s) {
			t.Fatalf("%q grew to %q", s, b.String())
		}
	})
}

func TestMarkupTime(t *testing.T) {
	for _, unit := range []string{"*a ", "_*a ", "*", "**a ", "\\*", "a_ _b "} {
		s := strings.Repeat(unit, 100_000/len(unit)/intaketest.Raced)
		began := time.Now()
		parseMarkup(s)
		if took := time.Since(began); took > intaketest.Raced*2*time.Second {
			t.Errorf("%q repeated takes %v", unit, took)
		}
	}
}

func TestPlaceholders(t *testing.T) {
	for text, want := range map[string]string{
		"on ?? July": "??", "??/??/2026": "??", "In ????": "????", "TBD": "TBD", "the date is tbd.": "tbd", "[date]": "[date]", "in [place] with [Name]": "[place]", "<name>": "<name>", "{your text here}": "{your text here}",
		"[ ]": "[ ]", "[...]": "[...]", "[insert intaketest.Story]": "[insert intaketest.Story]", "turned xx today": "xx", "XX years": "XX", "aged xx.": "xx", "___ years": "___", "Lorem ipsum dolor": "Lorem ipsum", "TODO ask Mum": "TODO",
		"Really??": "", "What?! No??": "", "[laughs]": "", "Love, Mum xxx": "", "xxx": "", "Maxx": "", "2xx": "", "a_b": "", "snake__case": "", "what to do today": "", "I <3 you": "", "5 < 6 > 4": "", "Todor came": "", "we said [sic] so": "",
	} {
		if got := placeholder(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestDated(t *testing.T) {
	for text, want := range map[string]bool{
		"4 July": true, "in july": true, "2026": true, "back in 1987.": true, "4/7": true, "04.07.26": true, "summer of ’98": true, "le 3 août": true, "im März": true, "May Day": true, "in May": true,
		"you may go": false, "room 12": false, "12345": false, "5,000 people": false, "the march home": true, "sat on the deck": false, "": false, "Mars": true, "mars landing": false,
	} {
		if got := dated(text); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
	for text, want := range map[string]bool{
		"We ate soup.": false, "We met Odile.": true, "Rain. Then sun.": false, "I am here and I’m glad": false, "we sat in Larvik": true, "On Monday": true, "It was May": false, "港で雨が降った": true,
	} {
		if got := namesSomebody(text); got != want {
			t.Errorf("%q names somebody: %v", text, got)
		}
	}
}

// TestBackslashQuote: a quotation mark as some programs write it is told.
func TestBackslashQuote(t *testing.T) {
	for data, want := range map[string]bool{`Ann,"She said \"hi\" to me",4,2`: true, `Ann,"She said ""hi"" to me",4,2`: false} {
		if _, said := readTables(t, nil, "a.csv", "Name,Text,Width,Height\n"+data+"\n"); strings.Contains(said, `\" is printed so`) != want {
			t.Errorf("%s: %s", data, said)
		}
	}
}

// TestQuotedMail: names and texts that begin as mail quotes them are told.
func TestQuotedMail(t *testing.T) {
	for data, want := range map[string]bool{"> Name,Text,Width,Height\n> Ann,We went to sea.,4,2\n": true, "Name,Text,Width,Height\nAnn,> We went to sea.,4,2\n": true, "Name,Text,Width,Height\nAnn,2 > 1,4,2\n": false} {
		if job, said := readTables(t, nil, "a.csv", data); len(job.Blocks) != 1 || strings.Contains(said, "what begins with “>” is printed so") != want {
			t.Errorf("%q: %d blocks\n%s", data, len(job.Blocks), said)
		}
	}
}
