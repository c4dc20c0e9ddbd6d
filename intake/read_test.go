package intake

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// read reads files given by their contents, in the order given: name, content, name, content, ...
func read(t testing.TB, files ...string) (*Job, problem.List) {
	t.Helper()
	return Read(intaketest.Write(t, files...), intaketest.Home())
}

func TestReadCSV(t *testing.T) {
	job, problems := read(t, "a.csv",
		"Name,Page,Journaling,Width,Height,Stock,Font,Size,Align,Ink,Tuck,Turn,Copies,Title,Who,Where,When,Note\n"+
			"Marie Kowalski,Beach,\"We *ran* into the sea.\nAgain!\",4,2 1/2,cardstock,Sans,12,centre middle,dark blue,1/4 in,no,2,Our day,\"Odile, Pim\",Harbour steps,4 July 2026,hi\n"+
			"Marie Kowalski,Beach,Second,4 in,50 mm,,,,,,,,,,,Harbour,2026,\n")
	if intaketest.Say(problems) != "note a.csv 2 R2: a note from Marie Kowalski: “hi”\n" {
		t.Errorf("problems: %s", intaketest.Say(problems))
	}
	inch := measure.Inch
	set := intaketest.Home()
	want := Block{
		Place: problem.Place{File: "a.csv", Row: 2}, Code: "MK-1", Owner: "Marie Kowalski", Page: "Beach", Title: "Our day",
		Text: []Paragraph{{{Text: "We "}, {Text: "ran", Bold: true}, {Text: " into the sea."}}, {{Text: "Again!"}}},
		End:  "Odile, Pim · Harbour steps · 4 July 2026", EndIn: []string{"Who", "Where", "When"}, Space: measure.Size{W: 4 * inch, H: 5 * inch / 2},
		Tuck: measure.Sides{Top: inch / 4}, Inset: measure.Same(inch / 8), Stock: "cardstock", Font: "Sans", Type: set.Type, Copies: 2, Back: set.Stocks[2].Colour,
	}
	want.Type.Wished, want.Type.Align, want.Type.Vertical, want.Type.Ink = 12*measure.Point, config.Centre, config.Middle, config.Colour{B: 0x8b} // darkblue in CSS Color 4
	if len(job.Blocks) != 2 {
		t.Fatalf("%d blocks", len(job.Blocks))
	}
	if !reflect.DeepEqual(job.Blocks[0], want) {
		t.Errorf("block\n%+v\nwant\n%+v", job.Blocks[0], want)
	}
	second := job.Blocks[1]
	if second.Code != "MK-2" || second.Stock != "vellum" || second.Tuck.Top != inch/2 || !second.Turn || second.Copies != 1 || second.Space.H != 50*measure.Millimetre || second.End != "Harbour · 2026" {
		t.Errorf("second: %+v", second)
	}
}

// What is wrong with one row: the problem's cell and sentence, and whether the row is held.
func TestRowProblems(t *testing.T) {
	for _, c := range []struct {
		fields []string
		want   string // as say prints it, after the file; the places of the columns follow rows
		held   bool
	}{
		{[]string{"Name="}, "error 2 A2: the name is missing", true},
		{[]string{"Journaling= "}, "error 2 B2: the journaling is missing", true},
		{[]string{"Width="}, "error 2 C2: the width is missing", true},
		{[]string{"Width=0"}, "error 2 C2: the width is 0", true},
		{[]string{"Height=-2"}, "error 2 D2: the height is less than 0", true},
		{[]string{"Width=four"}, "error 2 C2: “four” is not a measure", true},
		{[]string{"Width=2-Apr"}, "error 2 C2: the width became a date: 2 April", true},
		{[]string{"Width=2 April 2026"}, "error 2 C2: the width became a date: 2 April 2026", true},
		{[]string{"Width=Sept 3"}, "error 2 C2: the width became a date: 3 September", true},
		{[]string{"Width=04/02/2026"}, "error 2 C2: the width became a date: 2 April 2026", true},
		{[]string{"Width=114 mm", "Height=2"}, "note 2 D2: the height is read as 2 in, though the width is in mm", false},
		{[]string{"Width=4 in", "Height=2"}, "", false},
		{[]string{"Width=114 mm", "Height=50 mm", "Tuck=1/2"}, "note 2 E2: the tuck is read as 1/2 in, though the space is in mm", false},
		{[]string{"Width=4½", "Height=50mm"}, "note 2 C2: the width is read as 4 1/2 in, though the height is in mm", false},
		{[]string{"Width=3-1/8\" wide", "Height=2h"}, "", false},
		{[]string{"Width='4 1/2", "Height==\"1/2\""}, "", false},
		{[]string{"Width=4/2"}, "note 2 C2: the width “4/2” is read as 2 in", false},
		{[]string{"Width=3/4"}, "", false},
		{[]string{"Width=(cm)"}, "error 2 C2: “(cm)” is a unit without a measure", true},
		{[]string{"Width=very wide"}, "error 2 C2: “very wide” is not a measure", true},
		{[]string{"Width=12"}, "error 2 C2: the space 12 x 2 in is larger than any sheet of “vellum”", true},
		{[]string{"Width=114"}, "error 2 C2: the space 114 x 2 in is larger than any sheet of “vellum”", true},
		{[]string{"Width=8.5", "Height=10.75"},
			"error 2 C2: with its tuck the block is 8 1/2 x 11 1/4 in, larger than any sheet of “vellum”", true},
		{[]string{"Width=1/8"}, "error 2 C2: nothing of the space is left for the text", true},
		{[]string{"Width=11", "Height=2"}, "", false}, // fits turned
		{[]string{"Width=4 x 2", "Height="}, "", false},
		{[]string{"Stock=brocade"}, "error 2 E2: there is no stock “brocade”", true},
		{[]string{"Stock=paper"}, "error 2 E2: there is no stock “paper”", true},
		{[]string{"Stock=Vellum"}, "", false},
		{[]string{"Stock=Card Stock"}, "", false},
		{[]string{"Stock=CLEAR STICKERS"}, "", false},
		{[]string{"Stock=velum"}, "note 2 E2: the stock “velum” is taken for “vellum”", false},
		{[]string{"Stock=sticker"}, "note 2 E2: the stock “sticker” is taken for “clear sticker”", false},
		{[]string{"Align=sideways"}, "error 2 E2: “sideways” does not say where the text is to stand", true},
		{[]string{"Ink=blurple"}, "error 2 E2: “blurple” is no colour that is known here", true},
		{[]string{"Ink=white"}, "error 2 E2: white ink cannot be printed", true},
		{[]string{"Ink=#fafcfe"}, "error 2 E2: white ink cannot be printed", true},
		{[]string{"Ink=#f9fafc"}, "", false},
		{[]string{"Journaling=\u00ad"}, "error 2 B2: there is no text", true},
		{[]string{"Journaling= \u200e\u00a0\ufe0f"}, "error 2 B2: there is no text", true},
		{[]string{"Journaling=\u00ad", "Title=A title in Larvik, 1987"}, "error 2 B2: there is no text", true},
		{[]string{"Size=4"}, "error 2 E2: the size 4 pt is smaller than the smallest that is printed, 6 pt", true},
		{[]string{"Size=big"}, "error 2 E2: “big” is no size of letters", true},
		{[]string{"Size=900"}, "error 2 E2: the size 900 pt is larger than any letter here, 500 pt", true},
		{[]string{"Tuck=plenty"}, "error 2 E2: “plenty” is no tuck", true},
		{[]string{"Tuck=-1/2"}, "error 2 E2: the tuck is less than 0", true},
		{[]string{"Turn=perhaps"}, "error 2 E2: “perhaps” is neither yes nor no", true},
		{[]string{"Copies=0"}, "error 2 E2: the number of copies is 0", true},
		{[]string{"Copies=1000"}, "error 2 E2: 1000 copies are more than one job prints", true},
		{[]string{"Copies=a few"}, "error 2 E2: “a few” is no number of copies", true},
		{[]string{"Journaling=On [date] we left Odile's house."}, "error 2 B2: “[date]” is still to be filled in", true},
		{[]string{"Where=TBD"}, "error 2 E2: “TBD” is still to be filled in", true},
		{[]string{"Journaling=We ate soup."}, "note 2 B2: the text has no date, and names nobody and no place", false},
		{[]string{"Journaling=We ate soup in Larvik."}, "note 2 B2: the text has no date", false},
		{[]string{"Journaling=We ate soup in 1987."}, "note 2 B2: the text names nobody and no place", false},
		{[]string{"Journaling=We ate soup.", "Who=Odile", "When=1987"}, "", false},
		{[]string{"Journaling=A b\x07ell in Larvik, 1987"}, "note 2 B2: a control character was taken out of the text", false},
		{[]string{"Journaling=A lost letter: \ufffd in Larvik, 1987"}, "error 2 B2: a letter of the text was lost and shows as �", true},
		{[]string{"Journaling=" + strings.Repeat("long ", 20_000)}, "error 2 B2: the text is 100000 characters long", true},
		{[]string{"Title=" + strings.Repeat("long ", 100)}, "error 2 E2: the cell is 499 characters long", true},
		{[]string{"Space=4 x 3"}, "error 2 D2: the height 2 in is not that of the space “4 x 3”", true},
		{[]string{"Space=4 x 2"}, "", false},
		{[]string{"Space=large", "Width=", "Height="}, "error 2 E2: “large” is not a width and a height", true},
		{[]string{"Horoscope=Leo"}, "note 1: not read: “Horoscope”", false},
	} {
		job, problems := read(t, "a.csv", intaketest.Rows(c.fields))
		want := ""
		if c.want != "" {
			severity, rest, _ := strings.Cut(c.want, " ")
			want = severity + " a.csv " + rest + "\n"
		}
		if got := intaketest.Say(problems); got != want {
			t.Errorf("%.60q:\n got %s want %s", c.fields, got, want)
		}
		if len(job.Held) != b2n(c.held) || len(job.Blocks) != 1-b2n(c.held) {
			t.Errorf("%.60q: %d blocks, %d held", c.fields, len(job.Blocks), len(job.Held))
		}
		for _, p := range problems {
			if p.Hint == "" && p.Severity == problem.Error {
				t.Errorf("%.60q: no hint in %+v", c.fields, p)
			}
			for _, text := range []string{p.What, p.Cause, p.Hint} {
				if len(text) > 300 {
					t.Errorf("%.60q: a message of %d bytes", c.fields, len(text))
				}
			}
		}
	}
}

func b2n(b bool) int {
	if b {
		return 1
	}
	return 0
}

// Every problem of a row is said at once, and the reason for holding it back is the first.
func TestAllProblemsAtOnce(t *testing.T) {
	job, problems := read(t, "a.csv", intaketest.Rows([]string{"Name=Pim", "Width=0", "Stock=silk", "Copies=x"}, []string{"Name=Pim"}))
	want := "error a.csv 2 C2: the width is 0\nerror a.csv 2 E2: there is no stock “silk”\nerror a.csv 2 F2: “x” is no number of copies\n"
	if got := intaketest.Say(problems); got != want {
		t.Errorf("got %s", got)
	}
	if len(job.Held) != 1 || job.Held[0].Why != "the width is 0 (and 2 more)" || job.Held[0].Code != "PI-1" || job.Blocks[0].Code != "PI-2" {
		t.Errorf("%+v", job)
	}
}

// Rows that cannot be what somebody meant.
func TestOddRows(t *testing.T) {
	const first = "Name,Journaling,Width,Height,Page,Stock\n"
	for name, c := range map[string]struct{ data, want string }{
		"a comma too many": {first + "Pim,Soup in Larvik, 1987,4,2,,vellum\n",
			"error a.csv 2: the row has 7 cells, and there are 6 headings\n"},
		"a comma too many, and nothing in the last cells": {first + "Ann,\"Tea, in Larvik 1988\",4,2,,vellum\nPim,Soup, in Larvik 1987,4,2,,\n",
			"error a.csv 3: the row has 7 cells, and there are 6 headings\n"},
		"a comma too many, and the last cells left out": {"Name,Width,Height,Journaling,Title\nAnn,4,3,\"Tea, in Larvik 1988\"\nPim,4,2,Soup in Larvik 1987, and it rained\nBo,4,2,Rain in Larvik 1989.,Monday\n",
			"note a.csv 3 E3: “and it rained” may belong to the journaling beside it\n"},
		"a space behind each comma":       {"Name, Width, Height, Journaling, Title\nPim, 4, 2, Soup in Larvik 1987, rain\n", ""},
		"a comma at the end of each line": {first + "Ann,Tea in Larvik 1988,4,2,,vellum,\nPim,Soup in Larvik 1987,4,2,,,\nBo,Rain in Larvik 1989,4,2,,,\n", ""},
		"only a page":                     {first + ",,,,Beach,\n", "note a.csv 2: the row was passed over\n"},
		"only what is usual":              {first + ",,,,,vellum\n", "note a.csv: cells of rows that ask for nothing were not read: F2\n"},
		"a row above": {"Pim,Soup in Larvik 1987,4,2\n" + first,
			"error a.csv 1: the row stands above the headings and looks like journaling\n"},
		"a table below, in another order": {first + "Name,Width,Height,Journaling\nPim,4,2,Soup in Larvik 1987\n",
			"error a.csv 2: other headings stand here, and nothing below them is printed\n"},
		"a table beside": {"Name,Journaling,Width,Height,,Name,Journaling,Width,Height\n,,,,,Pim,Soup in Larvik 1987,4,2\n",
			"note a.csv 1: not read: “Name” in column F (a second one for Name), “Journaling” in column G (a second one for Journaling), " +
				"“Width” in column H (a second one for Width), “Height” in column I (a second one for Height)\n" +
				"error a.csv 1 G1: 1 text in column G would be lost\n" +
				"note a.csv: cells of rows that ask for nothing were not read: F2:I2\n"},
		"a table below, with a heading that is not known": {"Name,Title,Journaling,Width,Height\nAnn,The pier,Plums in Larvik 1987,4,2\n,,,,\nName,Email,Journaling,Width,Height\nPim,pim@x.example,Soup in Larvik 1987,4,2\n",
			"error a.csv 4: other headings stand here, and nothing below them is printed\n"},
		"a table below, with a heading left empty": {"Name,Title,Journaling,Width,Height\nAnn,The pier,Plums in Larvik 1987,4,2\n,,,,\nName,,Journaling,Width,Height\nPim,call him first,Soup in Larvik 1987,4,2\n",
			"error a.csv 4: other headings stand here, and nothing below them is printed\n"},
		"headings again, one left out": {"Name,Title,Journaling,Width,Height\nAnn,The pier,Plums in Larvik 1987,4,2\n,,,,\nName,,Journaling,Width,Height\nPim,,Soup in Larvik 1987,4,2\n", ""},
		"a table below, measured in another unit": {"Name,Journaling,Width (cm),Height (cm)\nPim,Soup in Larvik 1987,10,5\nName,Journaling,Width (mm),Height (mm)\nPim,Soup in Larvik 1987,60,50\n",
			"error a.csv 3: other headings stand here, and nothing below them is printed\n"},
		"a table below, measured in a unit without brackets": {"Name,Journaling,Width,Height\nPim,Soup in Larvik 1987,4,2\nName,Journaling,Width in cm,Height cm:\nPim,Soup in Larvik 1987,6,5\n",
			"error a.csv 3: other headings stand here, and nothing below them is printed\n"},
		"a table above that says less": {"Name,Journaling,Height,Width\nPim,Soup in Larvik 1987,4,2\n" + first + "Pim,Soup in Larvik 1987,4,2,,\n",
			"error a.csv 1: other headings stand here, and nothing between them and row 3 is printed\n"},
		"a table beside, a row higher": {"Name,Journaling,Width,Height,,,,,\nPim,Soup in Larvik 1987,4,2,,Name,Journaling,Width,Height,Page\n",
			"note a.csv 2: not read: “Pim”, “Soup in Larvik 1987”, “4”, “2”\n" +
				"error a.csv 1: other headings stand here, and nothing below them in columns A to D is printed\n"},
		"a legend beside": {"Name,Journaling,Width,Height,Page,,Page,Title\nPim,Soup in Larvik 1987,4,2,3,,1,Lake\n",
			"note a.csv 1: not read: “Page” in column G (a second one for Page)\n" +
				"error a.csv 1 H1: “Title” in column H seems to belong to a table beside this one, and is not read\n"},
		"an empty column in the table": {"Name,Page,,Journaling,Width,Height,Page\nPim,3,,Soup in Larvik 1987,4,2,\n", "note a.csv 1: not read: “Page” in column G (a second one for Page)\n"},
		"a key beside": {"Name,Journaling,Width,Height,,When,Stock,,v,vellum\nPim,Soup in Larvik,4,2,,1987,vellum,,,\n",
			"note a.csv 1: not read: “v”, “vellum” in column J (a second one for Stock)\n" +
				"note a.csv 1 F1: “When” in column F and “Stock” in column G are read with the block in the same row\n"},
		"a list beside, that shares no heading": {"Name,Journaling,Width,Height,,Page,Title\nPim,Soup in Larvik 1987,4,2,,1,Lake\n",
			"note a.csv 1 F1: “Page” in column F and “Title” in column G are read with the block in the same row\n"},
		"how many words":                  {first[:len(first)-1] + ",Words\nPim,Soup in Larvik 1987,4,2,,,4\n", "note a.csv 1: not read: “Words” in column G (a second one for Journaling)\n"},
		"headings again in the same unit": {"Name,Journaling,Width (cm),Height (cm)\nName,Journaling,Width (cm),Height (cm)\nPim,Soup in Larvik 1987,10,5\n", ""},
		"headings again":                  {first + first + "Pim,Soup in Larvik 1987,4,2,,\n", ""},
	} {
		_, problems := read(t, "a.csv", c.data)
		if got := intaketest.Say(problems); got != c.want {
			t.Errorf("%s: %s", name, got)
		}
	}
	data := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2, nil, "aside"}, []any{}, []any{nil, nil, nil, nil, nil, nil, "Total"})
		if err := f.SetCellFormula("Sheet1", "H2", "1/0"); err != nil { // without a result
			t.Fatal(err)
		}
	})
	if _, problems := read(t, "a.xlsx", data); intaketest.Say(problems) != "note a.xlsx/Sheet1: cells without a heading were not read: F2, H2 and G4\n" {
		t.Errorf("stray: %s", intaketest.Say(problems))
	}
	lower := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", []any{nil, nil, nil, nil, nil, "Name", "Journaling", "Width", "Height"},
			[]any{"Width", "Height", "Text", "Name", nil, "Pim", intaketest.Story, 4, 2}, []any{3, 2, "Soup", "Ann"})
	})
	if _, problems := read(t, "a.xlsx", lower); !strings.HasPrefix(intaketest.Say(problems), "error a.xlsx/Sheet1: a table beside the one that is read would be lost; its headings are A2:D2\n") {
		t.Errorf("a table beside, a row lower: %s", intaketest.Say(problems))
	}
}

// TestHeadingsOfForms: a table above or below the one that is read is told by its headings also where they are those of a web form: of several blocks in a row, with
// more columns of its own than known ones, put as questions.
func TestHeadingsOfForms(t *testing.T) {
	ours := "Cy,We ate them,3,2,Home\nEd,We went home,3,2,Away\n"
	for name, form := range map[string]string{
		"several blocks in a row": "Your name,Story 1,Width 1,Height 1,Story 2,Width 2,Height 2\nAnn,We bought plums,4,2,We slept,3,2\n",
		"columns of its own":      "Name,E-mail,Phone,City,Arrives,Journaling,Width,Height\nAnn,a@x,123,Oslo,Mon,We bought plums,4,2\n",
		"questions":               "Name of the owner,A title for it,Width of the space,Height of the space,What text shall stand there\nAnn,Plums,4,2,We bought plums\n",
	} {
		lines := strings.SplitAfter(form, "\n")
		wide := strings.Count(lines[0], ",") + 2
		beside := "" // the table that is read begins beside the first row of the form's
		for i, l := range append([]string{"Name,Journaling,Width,Height,Title,Where,When,Stock\n"}, strings.SplitAfter(ours, "\n")[:2]...) {
			left := ""
			if i == 0 {
				left = strings.TrimSuffix(lines[1], "\n")
			}
			beside += left + strings.Repeat(",", wide-strings.Count(left, ",")) + l
		}
		for where, c := range map[string]struct {
			data, want string
		}{
			"below":              {"Name,Journaling,Width,Height,Title\n" + ours + "\n" + form, "5: other headings stand here, and nothing below them is printed"},
			"above, a row lower": {lines[0] + beside, fmt.Sprintf("1: other headings stand here, and nothing below them in columns A to %s is printed", table.Letters(wide-2))},
		} {
			job, problems := read(t, "a.csv", c.data)
			var errors, texts []string
			for _, p := range problems {
				if p.Severity == problem.Error {
					errors = append(errors, fmt.Sprintf("%d: %s", p.Place.Row, p.What))
				}
			}
			for _, b := range job.Blocks {
				texts = append(texts, b.Owner+": "+b.Text[0][0].Text)
			}
			if len(errors) != 1 || errors[0] != c.want {
				t.Errorf("%s, %s: %q", name, where, errors)
			}
			if want := []string{"Cy: We ate them", "Ed: We went home"}; !slices.Equal(texts, want) {
				t.Errorf("%s, %s: %q", name, where, texts)
			}
		}
	}
}

// TestFormAsText: a form that was filled in and saved as CSV has the steps of its live column behind its headings, and is read all the same; a row that a comma has
// parted is not.
func TestFormAsText(t *testing.T) {
	head := "Name,Journaling,Width,Height,Fits,Stock" + strings.Repeat(",", 22) + "\n" // as wide as the rows
	steps := strings.Repeat(",", FormSteps-5) + "5,0,0,5,1.5"
	for text, want := range map[string]int{"We bought plums": 1, "\"We bought plums, and pears\"": 1, "We bought plums, and pears": 0} {
		job, problems := read(t, "form.csv", head+"Zoë,"+text+",4,2,fits,vellum"+steps+"\n,,,,,"+steps+"\n")
		if len(job.Blocks) != want || has(problems, "cells, and there are 6 headings") != (want == 0) {
			t.Errorf("%s: %d blocks, %s", text, len(job.Blocks), intaketest.Say(problems))
		}
	}
}

// TestAgainInForm: what says a unit within a table, and headings once more, are the same in a form, whatever the steps of its live column are.
func TestAgainInForm(t *testing.T) {
	const steps = ",7,5,0,0,5,1.5"
	for lines, want := range map[string][2]int{ // ready, held
		"All measures in cm,,,,\nAnn,We bought plums,6,4,\n":                                             {0, 2},
		"Cy,We ate them,3,2,\nName,Journaling,Height (cm),Width (cm),\nAnn,We bought plums,6,4,\n,,,,\n": {1, 1},
		"Cy,We ate them,3,2,\nName,Journaling,Width,Height,\nAnn,We bought plums,4,2,\n":                 {2, 0},
		"Cy,We ate them,3,2,\nAnn,We bought plums,4,2,\n":                                                {2, 0},
	} {
		for _, of := range []string{"Fits", "Kind"} { // a form, and any table
			data := "Name,Journaling,Width,Height," + of + strings.Repeat(",", FormSteps+1) + "\n"
			for _, line := range strings.Split(strings.TrimSuffix(lines, "\n"), "\n") {
				if of == "Fits" {
					line += strings.Repeat(",", FormSteps-5) + steps
				}
				data += line + "\n"
			}
			job, problems := read(t, "a.csv", data)
			if got := [2]int{len(job.Blocks), len(job.Held)}; got != want {
				t.Errorf("%s: %q: %d ready, held\n%s", of, lines, got, intaketest.Say(problems))
			}
		}
	}
}

// TestBesideTheSteps: what somebody wrote beside the hidden steps of a form, or among them, is told; the steps are not.
func TestBesideTheSteps(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		row := make([]any, FormSteps+FormStepColumns+2)
		copy(row, []any{"Pim", intaketest.Story, "4 in", 2, "fits: 4 of about 24 words"})
		for k := range FormStepColumns {
			row[FormSteps+k] = 1.5
		}
		row[FormSteps], row[FormSteps+1] = "4 in", "#VALUE!"
		row[FormSteps+3], row[FormSteps+FormStepColumns] = "2 copies of this", "please not on vellum"
		intaketest.Put(t, f, "Sheet1", []any{"Name", "Journaling", "Width", "Height", "Fits"}, row)
	})
	if _, problems := read(t, "a.xlsx", data); intaketest.Say(problems) != "note a.xlsx/Sheet1: cells without a heading were not read: AA2 and AO2\n" {
		t.Errorf("%s", intaketest.Say(problems))
	}
}

// TestTypedOverFits: what somebody typed over what a form says of the room are told; what forms say is not.
func TestTypedOverFits(t *testing.T) {
	row := func(fits string) string { return "Pim,Soup in Larvik 1987,4,2," + fits + "\n" }
	data := "Name,Journaling,Width,Height,Fits\n" + row("check width and height") + row("about 24 words fit at 12 pt") + row("fits: 4 of about 24 words") +
		row("smaller type: about 24 words fit at 12 pt") + row("too long by about 7 words") + row("#NAME?") + row("12") + row("not on vellum please") + row("") + row("#1 of two")
	want := "cells in column E, “Fits”, were not read: E8:E9 and E11"
	if _, problems := read(t, "a.csv", data); !slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.What == want }) {
		t.Errorf("%s", intaketest.Say(problems))
	}
	if _, problems := read(t, "a.csv", "Plums,,,,Who has the scales\n,,,,\nName,Journaling,Width,Height,Fits\n"+row("")); !has(problems, "cells above the headings were not read: A1 and E1") {
		t.Errorf("%s", intaketest.Say(problems)) // above the headings no form has filled in anything
	}
}

// TestFormulaOverFits: of formulas without results in a form's live column those are told that are not the form's own.
func TestFormulaOverFits(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		var rows [][]any
		for _, of := range []string{"Plums", "Apples", "Pears", "Bread"} {
			rows = append(rows, []any{"Pim", of + " at the market of Larvik.", 4, 2})
		}
		intaketest.Put(t, f, "Sheet1", append([][]any{{"Name", "Journaling", "Width", "Height", "Fits"}}, rows...)...)
		all, like := excelize.STCellFormulaTypeShared, "E4:E5"
		for cell, formula := range map[string]string{"E2": `IF(LEN(C2)=0,"",IF(C2<0,"check width and height","fits: 1 of about 2 words"))`, "E3": "1+1", "E4": `IF(C4<0,"check width and height","")`} {
			var of []excelize.FormulaOpts
			if cell == "E4" {
				of = []excelize.FormulaOpts{{Type: &all, Ref: &like}}
			}
			if err := f.SetCellFormula("Sheet1", cell, formula, of...); err != nil {
				t.Fatal(err)
			}
		}
	})
	want := "cells in column E, “Fits”, were not read: E3"
	if _, problems := read(t, "a.xlsx", data); !has(problems, want) {
		t.Errorf("%s", intaketest.Say(problems))
	}
}

// TestHeadingsBesideAbove: of headings that stand beside those of the table and a row higher, what is below them is told to be lost.
func TestHeadingsBesideAbove(t *testing.T) {
	_, problems := read(t, "a.csv", ",,,,,,,Name,Journaling,Width,Height\nName,Journaling,Width,Height,Title,Page,,Di,Rain,3,2\nAnn,Plums,3,2,,1,,Ed,Bread,3,2\n")
	if got := intaketest.Say(problems); !strings.Contains(got, "error a.csv 1: other headings stand here, and nothing below them in columns H to K is printed\n") {
		t.Error(got)
	}
}

// Who is who, and which codes they get.
func TestOwners(t *testing.T) {
	names := []string{"Marie Kowalski", "Max Keller", "Mika Kowal", "marie  kowalski", "Márie Kowalski", "Odile",
		"Kowalski, Marta", "山田太郎", "Ольга", "Mo Ko", "M. K.", "Marie Kowalsky", "Odin"}
	var list [][]string
	for i, n := range names {
		list = append(list, []string{"Name=" + n, fmt.Sprintf("Journaling=Near Larvik 2026, no %d", i)})
	}
	job, problems := read(t, "a.csv", intaketest.Rows(list...))
	var got []string
	for _, b := range job.Blocks {
		got = append(got, b.Code)
	}
	want := "MK-1 MKE-1 MKO-1 MK-2 MK-3 OD-1 MKOW-1 P-1 PA-1 MKA-1 MKB-1 MKOWA-1 ODI-1"
	if strings.Join(got, " ") != want {
		t.Errorf("codes %s\nwant  %s", strings.Join(got, " "), want)
	}
	wantNotes := "note a.csv 5 A5: “marie kowalski” is taken for “Marie Kowalski”\nnote a.csv 6 A6: “Márie Kowalski” is taken for “Marie Kowalski”\nnote a.csv 13 A13: “Marie Kowalsky” and “Marie Kowalski” are kept apart\n"
	if intaketest.Say(problems) != wantNotes {
		t.Errorf("notes:\n%s", intaketest.Say(problems))
	}
}

// Codes are unique whatever the names are.
func TestCodesUnique(t *testing.T) {
	o := newOwners()
	seen := map[string]bool{}
	for i := range 30_000 {
		name := fmt.Sprintf("M%c K%c%d", 'a'+i%26, 'a'+i/26%26, i)
		w, fresh, _ := o.find(name)
		code := w.next()
		if !fresh || seen[code] || strings.Trim(w.letters, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "" {
			t.Fatalf("%s: %s", name, code)
		}
		seen[code] = true
	}
}

func TestTwice(t *testing.T) {
	_, problems := read(t, "a.csv", intaketest.Rows([]string{"Page=1"}, []string{"Page=2"}, []string{"Page=1 "}))
	if got, want := intaketest.Say(problems), "note a.csv 4 B4: the same text stands in row 2\n"; got != want {
		t.Errorf("got %s", got)
	}
}

// Files that are refused as a whole have no row, so that they cannot be held back; those that the disk will not give
// are told apart.
func TestFiles(t *testing.T) {
	dir := t.TempDir()
	paths := intaketest.Write(t, "a/form.csv", intaketest.Rows(nil), "b/form.csv", intaketest.Rows([]string{"Page=Pier", "Journaling=Rain over Larvik in 1987"}), "empty.csv", "", "photo.jpg", "\xff\xd8\xff\xe0 picture",
		"b/notes.txt", "hello")
	paths = append(paths, paths[0], filepath.Join(dir, "none.csv"), dir, "")
	job, problems := Read(paths, intaketest.Home())
	if len(job.Blocks) != 2 || job.Blocks[0].Code != "MK-1" || job.Blocks[1].Code != "MK-2" || !strings.HasSuffix(job.Blocks[0].Place.File, "a/form.csv") {
		t.Errorf("%+v", job.Blocks)
	}
	var got []string
	for _, p := range problems {
		if p.Place.Row == 0 {
			got = append(got, fmt.Sprintf("%s %s %v: %s", p.Severity, filepath.Base(p.Place.File), p.Disk, p.What))
		}
	}
	want := []string{ // the second folder of the two that the test has is the one with files
		"error . true: an input has no name",
		"error " + filepath.Base(dir) + " false: the folder has no workbook and no CSV file in it",
		"error none.csv true: there is no such file or folder",
		"note form.csv false: the file was given twice and is read once",
		"error notes.txt false: no table of journaling was found in it",
		"error empty.csv false: the file is empty",
		"error photo.jpg false: the file is a picture, not a table",
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

func TestFolder(t *testing.T) {
	report := intaketest.Saved(t, func(f *excelize.File) {
		for _, name := range []string{"Blocks", "Leftovers", "Cuts"} {
			intaketest.Put(t, f, name)
		}
	})
	paths := intaketest.Write(t, "in/b.csv", intaketest.Rows([]string{"Name=Bea"}), "in/a.csv", intaketest.Rows([]string{"Name=Ann"}), "in/deep/c.csv",
		intaketest.Rows([]string{"Name=Cleo"}), "in/~$a.xlsx", "lock", "in/photo.png", "x",
		"in/.hidden.csv", "x", "in/old.ods", "PK\x03\x04", "in/retreat-report.xlsx", report, "in/trip-report.csv", intaketest.Rows([]string{"Name=Dan"}), "in/tuckmark.yaml", "unit: mm")
	job, problems := Read([]string{filepath.Dir(paths[0])}, intaketest.Home())
	var names []string
	for _, b := range job.Blocks {
		names = append(names, b.Owner)
	}
	if strings.Join(names, " ") != "Ann Bea Cleo Dan" {
		t.Errorf("read %v", names)
	}
	want := "note in: files of the folder that are not read: “retreat-report.xlsx” (a report of an earlier run), “.hidden.csv”, “photo.png”\nerror old.ods: the workbook is damaged\n"
	if got := intaketest.Say(problems); got != want {
		t.Errorf("got %s", got)
	}
}

// Whoever names the files of a folder in another order has the same job: the same blocks, codes and problems, with the
// places in the order of the input.
func TestSameOrder(t *testing.T) {
	paths := intaketest.Write(t, "in/b.csv", intaketest.Rows([]string{"Width=0"}, []string{"Page=2"}), "in/a.csv", intaketest.Rows([]string{"Page=3"}, []string{"Stock=silk"}),
		"in/deep/c.csv", intaketest.Rows([]string{"Page=4"}))
	want, said := Read([]string{filepath.Dir(paths[0])}, intaketest.Home())
	for _, given := range [][]string{paths, {paths[1], paths[0], paths[2]}, {paths[2], paths[1], paths[0]}} {
		job, problems := Read(given, intaketest.Home())
		if !reflect.DeepEqual(job, want) || !reflect.DeepEqual(problems, said) {
			t.Errorf("%v:\n%+v\n%s", given, job, intaketest.Say(problems))
		}
	}
	if len(want.Blocks) != 3 || want.Blocks[0].Place.File != "a.csv" || want.Blocks[0].Code != "MK-1" || want.Blocks[2].Code != "MK-5" {
		t.Errorf("%+v", want.Blocks)
	}
}

func TestPaperCSV(t *testing.T) {
	paths := intaketest.Write(t, "paper.csv",
		"Stock,Width,Height,Count,Price\nvellum,8.5,11,3,0.75\nVellum,4,7 1/2,1,\ncardstock,A4,,2,\"$1,20\"\nplain paper,8.5,11,,\nsilk,1,1,1,\n", "a.csv", intaketest.Rows(nil))
	job, problems := Read(paths, intaketest.Home())
	letter, a4 := measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}, measure.Size{W: 210 * measure.Millimetre,
		H: 297 * measure.Millimetre}
	want := []Paper{
		{Stock: "vellum", Size: letter, Count: 3, Price: 75, Unsaid: true},
		{Stock: "vellum", Size: measure.Size{W: 4 * measure.Inch, H: 15 * measure.Inch / 2}, Count: 1, Price: -1, Leftover: true, Unsaid: true},
		{Stock: "cardstock", Size: a4, Count: 2, Price: 120, Sign: "$"},
	}
	for i := range job.Paper {
		job.Paper[i].Place = problem.Place{}
	}
	if !reflect.DeepEqual(job.Paper, want) {
		t.Errorf("got %+v", job.Paper)
	}
	if got := intaketest.Say(problems); got != "error paper.csv 6 A6: there is no stock “silk”\n" {
		t.Errorf("problems %s", got)
	}
	only, problems := ReadPaper(paths[0], intaketest.Home())
	if len(only) != 3 || len(problems) != 1 {
		t.Errorf("%+v %s", only, intaketest.Say(problems))
	}
	if _, problems := ReadPaper(paths[1], intaketest.Home()); intaketest.Say(problems) != "error a.csv: there is no list of paper in the file\n" {
		t.Errorf("%s", intaketest.Say(problems))
	}
}

// TestPaperSaysMore: a row of paper without a count is one that the form has beforehand only where it names a stock and says no more of it; all else is told.
func TestPaperSaysMore(t *testing.T) {
	for stock, told := range map[string]bool{"vellum": false, " Vellum ": false, "vellum: none left": true, "vellum (only 1 left!)": true, "1 sheet of vellum": true, "Ida brings vellum too": true, "silk": true} {
		_, problems := Read(intaketest.Write(t, "paper.csv", "Stock,Width,Height,Count\ncardstock,8.5,11,3\n"+stock+",8.5,11,\n", "a.csv", intaketest.Rows(nil)), intaketest.Home())
		if said := intaketest.Say(problems); strings.Contains(said, "cells of the list of paper were not read: A3:C3") != told {
			t.Errorf("%s: %s", stock, said)
		}
	}
}

// TestPaperUnseen: of a list of paper that is given by itself, hidden rows, hidden sheets and sheets that are no such list are told; the report's own are not.
func TestPaperUnseen(t *testing.T) {
	data := intaketest.Saved(t, func(f *excelize.File) {
		for name, rows := range map[string][][]any{
			"Paper":     {{"Stock", "Width", "Height", "Count"}, {"vellum", 8.5, 11, 3}, {"vellum", 4, 7, 1}},
			"Leftovers": {{"Stock", "Width", "Height"}, {"vellum", 5, 7}},
			"Scraps":    {{"Stock", "Width", "Height"}, {"vellum", 4, 6}},
			"Texts":     {{"Name", "Journaling", "Width", "Height"}, {"Pim", intaketest.Story, 4, 2}},
		} {
			if _, err := f.NewSheet(name); err != nil {
				t.Fatal(err)
			}
			intaketest.Put(t, f, name, rows...)
		}
		if err := errors.Join(f.SetRowVisible("Paper", 3, false), f.SetSheetVisible("Leftovers", false)); err != nil {
			t.Fatal(err)
		}
	})
	path := filepath.Join(t.TempDir(), "paper.xlsx")
	if err := os.WriteFile(path, []byte(data), 0o644); err != nil {
		t.Fatal(err)
	}
	paper, problems := ReadPaper(path, intaketest.Home())
	said := strings.Split(strings.TrimSpace(intaketest.Say(problems)), "\n")
	slices.Sort(said)
	want := []string{"note paper.xlsx/Leftovers: the sheet is hidden and was not read", "note paper.xlsx/Paper: hidden rows were read: 3", "note paper.xlsx/Scraps: the sheet is no list of paper and was not read", "note paper.xlsx/Texts: the sheet is no list of paper and was not read"}
	if len(paper) != 2 || !slices.Equal(said, want) {
		t.Errorf("%+v %q", paper, said)
	}
}

// TestPaperNearly: a size that is that of a sheet of the stock but for rounding is that of a sheet, and no leftover.
func TestPaperNearly(t *testing.T) {
	for typed, sheet := range map[string]bool{"8.27,11.69": true, "210 mm,297 mm": true, "11.69,8.27": true, "21 cm,29.7 cm": true, "8.2,11.69": false, "8.3,11.69": false} {
		s := intaketest.Home()
		a4 := measure.Size{W: 210 * measure.Millimetre, H: 297 * measure.Millimetre}
		s.Stocks[0].Sheets = []config.Sheet{{Size: a4, Count: -1, Price: 75}}
		paper, problems := ReadPaper(intaketest.Write(t, "paper.csv", "Stock,Width,Height,Count\n"+s.Stocks[0].Name+","+typed+",3\n")[0], s)
		if len(paper) != 1 || len(problems) > 0 || paper[0].Leftover == sheet || sheet != paper[0].Size.SameEitherWay(a4) {
			t.Errorf("%s: %+v %s", typed, paper, intaketest.Say(problems))
		}
	}
}

// TestMostPaper: as much paper as a job has is read, and of more is told what was not looked at.
func TestMostPaper(t *testing.T) {
	rows := "Stock,Width,Height,Count,Leftover\n" + strings.Repeat("vellum,4,3,1,yes\n", config.MostPaper)
	for more, want := range map[string]string{
		"": "", "\n\n": "", "plain paper,8.5,11,,\n": "error paper.csv: more than 1000 rows of paper are listed, and the rows from 1002 on were not looked at\n",
		"vellum,4,3,1,yes\nvellum,5,3,1,yes\n": "error paper.csv: more than 1000 rows of paper are listed, and the rows from 1002 on were not looked at\n",
	} {
		job, problems := Read(intaketest.Write(t, "paper.csv", rows+more, "a.csv", intaketest.Rows(nil)), intaketest.Home())
		if got := intaketest.Say(problems); len(job.Paper) != config.MostPaper || got != want {
			t.Errorf("%q: %d rows, and %q is said, not %q", more, len(job.Paper), got, want)
		}
	}
}

// Every row that has anything is a block or is held, whatever is wrong with it, and what is held says where it stands and why.
func TestEveryRowIsThere(t *testing.T) {
	rows := []string{
		"Odile Hart,Plums on the quay.,4,2,vellum,1",
		",Plums on the quay.,4,2,vellum,1",
		"Odile Hart,,4,2,vellum,1",
		"Odile Hart,Plums on the quay.,,2,vellum,1",
		"Odile Hart,Plums on the quay.,wide,2,vellum,1",
		"Odile Hart,Plums on the quay.,4,2,velvet,1",
		"Odile Hart,Plums on the quay.,4,2,vellum,many",
		"Odile Hart,Plums on the quay.,40,2,vellum,1",
		"Odile Hart,Plums, on the quay.,4,2,vellum,1,2",
		"Odile Hart,TODO,4,2,vellum,1",
		"Odile Hart,\uFFFD,4,2,vellum,1",
		"Pim Vos,Plums on the quay.,0,0,vellum,0",
	}
	job, problems := Read(intaketest.Write(t, "a.csv", "Name,Journaling,Width,Height,Stock,Copies\n"+strings.Join(rows, "\n")+"\n"), intaketest.Home())
	there := map[int]bool{}
	for _, b := range job.Blocks {
		there[b.Place.Row] = true
	}
	for _, h := range job.Held {
		if there[h.Place.Row] || h.Why == "" || h.Place.File != "a.csv" {
			t.Errorf("%+v", h)
		}
		there[h.Place.Row] = true
	}
	for i, r := range rows {
		if !there[i+2] {
			t.Errorf("%s: neither block nor held", r)
		}
	}
	if len(job.Blocks) == 0 || len(job.Held) < 8 || problems.Errors() < len(job.Held) {
		t.Errorf("%d blocks, %d held, %d errors", len(job.Blocks), len(job.Held), problems.Errors())
	}
}

// TestFolderOfPictures: many pictures beside a file in which somebody may have typed do not keep that from being named.
func TestFolderOfPictures(t *testing.T) {
	files := []string{"in/a.csv", intaketest.Rows([]string{"Name=Ann"}), "in/zoe.txt", "Dear Ann", "in/z.docx", "Dear Ann"}
	for i := range 8 {
		files = append(files, fmt.Sprintf("in/IMG_%d.JPG", i), "x")
	}
	_, problems := Read([]string{filepath.Dir(intaketest.Write(t, files...)[0])}, intaketest.Home())
	want := "note in: files of the folder that are not read: “IMG_0.JPG”, “IMG_1.JPG”, “IMG_2.JPG”, “IMG_3.JPG”, “IMG_4.JPG”, “z.docx”, “zoe.txt”, and others\n"
	if got := intaketest.Say(problems); got != want {
		t.Errorf("got %s", got)
	}
}
