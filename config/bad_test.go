package config

import "testing"

// badFiles are files as people spoil them, each with all that is said about it: line, what is wrong, what to do.
var badFiles = []struct{ name, file, said string }{
	{"unknown", `units: mm
gapp: 3
type:
  fnt: Sans
font: Sans
smallest: 8
wibble: yes
`, `2: “gapp” is not a setting; did you mean gap?
4: “fnt” is not a setting; did you mean font (below type:)?
5: “font” is not a setting; did you mean font (below type:)?
6: “smallest” is not a setting; did you mean smallest (below type:)?
7: “wibble” is not a setting; leave it out; the documentation lists the settings
`},
	{"values", `units: furlongs
paper: B4
stock: velum
gap: wide
effort: 1.5
load: cheap
currency: a long currency
type: {smallest: 3, largest: 900 pt, leading: 10, align: middle, place: low, hyphenate: maybe, match: pages, ink: navey, font: ""}
mark: {length: 0, weight: 1 in}
trimmer: {longest: -2, holds: x}
`, `1: units: “furlongs” is not a unit for paper; write in, mm or cm
2: paper: “B4” is not one of the choices; write letter or A4
3: stock: there is no stock “velum”; did you mean vellum?
4: gap: “wide” is not a measure; type it like 4 1/2, 4.5, 4.5 in or 114 mm
5: effort: “1.5” is not a whole number; write a number from 0 to 1000000
6: load: “cheap” is not an amount; write an amount like 0.45 or 2
7: currency: this text has 15 characters; shorten it to 8
8: font: this text is empty; write a text, or take the line out
8: smallest: “3” is less than 4 pt; check the number and its unit; a bare number is in points
8: largest: “900 pt” is more than 144 pt; check the number and its unit; a bare number is in points
8: leading: “10” is not between 0.9 and 3; check the number
8: align: “middle” is not one of the choices; write auto, left, centre, right or justified
8: place: “low” is not one of the choices; write top, middle or bottom
8: hyphenate: “maybe” is not one of the choices; write auto, always or never
8: match: “pages” is not one of the choices; write auto, page, owner, job or no
8: ink: “navey” is not a colour; did you mean navy?
9: length: “0” is less than 1/32 in; check the number and its unit; a bare number is in inches
9: weight: “1 in” is more than 4 pt; check the number and its unit; a bare number is in points
10: longest: “-2” is less than 0; check the number and its unit; a bare number is in inches
10: holds: “x” is not a measure; type it like 4 1/2, 4.5, 4.5 in or 114 mm
`},
	{"costs", `costs:
  - ink 3.50
  - ink = much
  - postage = 4 by weight
  - {tape: 1, Tape: 2}
  - tape = 3
  - [glue]
  - a glue that sticks whatever it is put on = 2
`, `2: costs: “ink 3.50” does not say what costs how much; write it as postage = 4.80, or postage = 4.80 by person
3: costs: “much” is not an amount; write an amount like 0.45 or 2
4: costs: “weight” is not one of the choices; write by area, by block or by person
5: “Tape” is given twice; take one of the two out
6: costs: the cost “tape” is given twice; add the two up, or give one of them another name
7: costs: this cannot be a list; write a single value after the colon
8: costs: this text has 40 characters; shorten it to 30
`},
	{"twice", `gap: 1
Gap: 2
type: {font: Sans, font: Serif}
type.font: Sans
stocks:
  - name: vellum
    tuck: 1/2
    tuck: 1/4
  - name: VELLUM
`, `2: “Gap” is given twice; take one of the two out
3: “font” is given twice; take one of the two out
4: “type.font” is given twice; take one of the two out
8: “tuck” is given twice; take one of the two out
9: there are two stocks named “VELLUM”; give one of the two another name
`},
	{"shapes", `units: [mm]
gap: {width: 3}
type: Sans
stocks: vellum
printers:
  - home
  - widest: 4
  - name: [a]
trimmer:
  - longest
fonts: {a: b}
`, `1: units: this cannot be a list; write a single value after the colon
2: gap: this cannot be settings of its own; write a single value after the colon
3: type: this cannot be a single value; write what belongs to it in lines of their own, two spaces further in, each a name, a colon and a value
4: stocks: this cannot be a single value; write each item in a line of its own, two spaces further in, after a hyphen and a space
6: printers: this cannot be a single value; write what belongs to it in lines of their own, two spaces further in, each a name, a colon and a value
7: this printer has no name; give it a line like “- name: my printer”
8: name: this cannot be a list; write a single value after the colon
9: trimmer: this cannot be a list; write what belongs to it in lines of their own, two spaces further in, each a name, a colon and a value
11: fonts: this cannot be settings of its own; write a single value after the colon
`},
	{"lists", `printers:
  - name: a
    widest: 3 in
  - name: b
    shortest: 12 in
    longest: 11 in
  - name: c
    margins: {left: 2, right: 1.5}
  - name: d
    takes: [vellum, kraft]
    widht: 4
    shift: 3
    scale: 2
stocks:
  - name: vellum
    sheets: []
  - name: linen
    sheets:
      - size: 0 x 3
      - count: 4
        price: free
      - {size: 200 x 3, count: -1}
    printers: [dd]
    like: canvas
    colour: #ffeedd
    tuck: 1/2 in topp
    inset: {up: 3}
    drying: a while
    shows-page: a bit
    carrier: {size: 4 x 4, smallest: 5 x 2}
  - name: ""
`, `3: widest: the printer “a” pulls nothing: its narrowest, 3 1/2 in, is more than its widest, 3 in; give both narrowest and widest
6: longest: the printer “b” pulls nothing: its shortest, 12 in, is more than its longest, 11 in; give both shortest and longest
8: margins: the margins of the printer “c” leave nothing of its smallest piece, 3 1/2 x 5 in; check the margins, narrowest and shortest
10: takes: there is no stock “kraft”; there are: vellum, linen, clear sticker, cardstock, plain paper
11: “widht” is not a setting; the settings here are: name, narrowest, widest, shortest, longest, margins, takes, shift, scale, queue, loads
12: shift: this cannot be a single value; write what belongs to it in lines of their own, two spaces further in, each a name, a colon and a value
13: scale: “2” is not between 0.9 and 1.1; check the number
16: sheets: the stock “vellum” has no sheet and no leftover; list its sheets, or take the line out: then it comes on letter sheets
17: no printer takes the stock “linen”; name the stock under takes of a printer, or a printer that takes it under printers of the stock
19: size: “0 x 3” has a side of 0 or less; write the width and the height like 8 1/2 x 11 in
20: this sheet has no size; give it a line like “- size: 8 1/2 x 11 in”
21: price: “free” is not an amount; write an amount like 0.45 or 2
22: size: “200 x 3” is more than 100 in; check the number and its unit; a bare number is in inches
22: count: “-1” is not between 0 and 100000; check the number
23: printers: there is no printer “dd”; did you mean d?
24: like: there is no stock “canvas” before this one; there are: vellum, clear sticker, cardstock, plain paper
25: colour has no value; put the colour in quotes: '#ffeedd'
26: tuck: “1/2 in topp” is not a measure: “in topp” is no unit that is known here; type it like 4 1/2, 4.5, 4.5 in or 114 mm
27: “up” is not a setting; the settings here are: left, top, right, bottom
28: drying: “a while” is not a time; write the minutes as a number: 15
29: shows-page: “a bit” is not one of the choices; write yes or no
30: carrier: the smallest piece is larger than the carrier sheet; check the two sizes
31: this stock has no name; give it a line like “- name: my stock”
`},
	{"untaken", `printers:
  - {name: a, takes: vellum}
stocks:
  - name: kraft
  - name: vellum
    leftovers: [{size: 2 x 3}]
`, `4: no printer takes the stock “kraft”; name the stock under takes of a printer, or a printer that takes it under printers of the stock
5: a sheet of 2 x 3 in of the stock “vellum” is too small for every printer that takes it; it will not be used
`},
	{"a gap too thin to cut", "gap: 1/32 in\n", `1: gap: “1/32 in” is too thin to be cut off; write 0 for none, or 1/16 in and more
`},
	{"empty values", `gap:
type:
units: ~
stocks:
  -
  - name: x
    colour: #fff
`, `1: gap has no value; write a value after the colon, or take the line out
2: type has no value; write a value after the colon, or take the line out
3: units has no value; write a value after the colon, or take the line out
5: stocks has no value; write a value after the colon, or take the line out
7: colour has no value; put the colour in quotes: '#fff'
`},
	{"commas between braces", "type: {largest: text 12, caption 24}\ntrimmer: {by: , holds: 2}\n", `1: caption 24 has no value; if it belongs to the value before it, put that in quotation marks, like "one, two"
2: by has no value; write a value after the colon, or take the line out
`},
	{"tabs", "units: mm\ntype:\n\tfont: Sans\n\tsmallest: 8\n", `3: this line starts with a tab; put spaces in place of the tab
4: this line starts with a tab; put spaces in place of the tab
`},
	{"indent", "stocks:\n  - name: a\n   tuck: 3\n", `3: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"indent of a value", "units: mm\n  gap: 3\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"colon", "units: mm\ngap: auto: 3\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"no colon", "units: mm\ngap 3\npaper: A4\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"no space", "units:mm\n", `1: this is not a list of settings; write one setting a line, a colon and a space after its name, as in “units: mm”
`},
	{"quote", "units: mm\ntype:\n  font: \"Sans\ngap: 3\n", `3: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"bracket", "units: mm\nstocks: [{name: a}\ngap: 3\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"remark", "stocks: [{name: a, colour: #ffeedd}]\n", `1: the file cannot be understood from this line on; put the colour in quotes: '#ffeedd'
`},
	{"sign", "gap: 3\ntype: {font: @home}\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"short-hand", "gap: &g 3\nmark: {length: *g}\n", `1: the short-hands & and * are not understood here; write the setting out, or put quotes round the text
2: the short-hands & and * are not understood here; write the setting out, or put quotes round the text
`},
	{"documents", "gap: 3\n---\ngap: 4\n", `2: a second document starts here; take the line of dashes out
`},
	{"no settings", "vellum\n", `1: this is not a list of settings; write one setting a line, a colon and a space after its name, as in “units: mm”
`},
	{"list", "- units: mm\n", `1: this is not a list of settings; write one setting a line, a colon and a space after its name, as in “units: mm”
`},
	{"no name", "? [a]\n: b\n", `1: there is no name before this colon; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"not utf-8", "units: mm\ncurrency: \xa3\n", `2: a character of this line cannot be read; save it as plain text in UTF-8
`},
	{"utf-16", "\xff\xfeu\x00n\x00", `0: this file is not UTF-8 text; save it as plain text in UTF-8
`},
	{"control", "units: mm\ncurrency: \x01\n", `2: the file cannot be understood from this line on; write one setting a line, a colon and a space after its name, what belongs to it two spaces further in; put quotes round a text that holds a colon or starts with a sign
`},
	{"order", "type: {smallest: 20, largest: 10}\ntrimmer: {longest: 1, holds: 2}\n", `1: largest: the smallest type size, 20 pt, is more than the largest, 10 pt; check type: smallest and largest
2: holds: the trimmer holds no strip narrower than 2 in, and cuts no longer than 1 in; check trimmer: holds and longest
`},
	{"empty scale", "type:\n  scale: []\n", `2: scale: the scale has no sizes; write them like 8 9 10 12 14 18, or any
`},
	{"falling scale", "type:\n  scale: 8 9 12 11\n", `2: scale: the scale falls from 12 pt to 11 pt; write its sizes from the smallest to the largest, each once
`},
	{"no size", "type:\n  scale: [8, large]\n  largest: {text: 12, captions: big}\n", `2: scale: “large” is not a measure; write it in points, like 8 or 10.5
3: “captions” is not a setting; did you mean caption?
`},
	{"largest of what", "type:\n  largest: 12 caption 18\n", `2: largest: “12” does not say for what texts it is; write it like text 12, caption 18
`},
	{"smallest and caption", "type:\n  smallest: 10\n  largest: text 12, caption 9\n", `3: largest: the smallest type size, 10 pt, is more than the largest, 9 pt; check type: smallest and largest
`},
	{"marks", "type:\n  marks: fancy\n", `2: marks: “fancy” is not one of the choices; write auto or as typed
`},
	{"order of one", "type:\n  smallest: 30\n", `2: smallest: the smallest type size, 30 pt, is more than the largest, 12 pt; check type: smallest and largest
`},
}

func TestBadFiles(t *testing.T) {
	for _, c := range badFiles {
		s, problems := Load(Source{File: write(t, t.TempDir(), c.file), Home: t.TempDir()})
		if s != nil {
			t.Errorf("%s: there are settings", c.name)
		}
		if got := said(problems); got != c.said {
			t.Errorf("%s: got:\n%swant:\n%s", c.name, got, c.said)
		}
		plainWords(t, problems)
	}
}
