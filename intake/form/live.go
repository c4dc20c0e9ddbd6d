package form

import (
	"cmp"
	"fmt"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// fonts are the plain names of type that a form offers, with the mean width of a letter of English prose in
// hundredths of the type size, as the project's own setting of the sample texts gives it (1,449 settings of them at 7
// to 16 pt).
var fonts = []struct {
	name  string
	width float64
}{{"Serif", 0.398}, {"Sans", 0.444}, {"Typewriter", 0.606}, {"Roman", 0.468}, {"Book", 0.428}}

// Of the same settings: what a line loses at its ragged end, in letters, how high the only line of a block is, in type
// sizes, and what a word of prose takes with its space.
const (
	raggedLoss = 1.6
	lineHeight = 1.1
	wordLength = 5.3
	titleLines = 1.4 // what a title and a closing line take, in lines of the text
	endLines   = 1.3
)

// The steps of the live count stand in hidden columns to the right of the form's, so that each formula is one that can be read,
// and that every program works out.
var (
	hWidthText, hWidthSlash, hWidthSpace, hWidth     = step(0), step(1), step(2), step(3) // the measure as plain text, where its / and its space stand, inches
	hHeightText, hHeightSlash, hHeightSpace, hHeight = step(4), step(5), step(6), step(7)
	hPoints, hWords, hWordLength                     = step(8), step(9), step(10)             // type size, words typed, letters a word with its space
	hInkWidth, hInkHeight, hLetter, hFewer           = step(11), step(12), step(13), step(14) // less the inset of the stock, in points; of the font; lines of title and end
	hRoom, hLeast                                    = step(15), step(16)                     // words that fit at the wished size and at the smallest
)

// step names a column of the steps, the first being 0.
func step(n int) string { return table.Letters(max(intake.FormSteps, len(columns)+1) + n) }

// live are the formulas of a row, by column. They use only what every spreadsheet program has, and no function that
// reads numbers by the program's language.
func (f *writer) live(r int) map[string]string {
	s := f.settings
	names := []string{}
	for _, c := range columns {
		names = append(names, "{"+c.Name+"}", fmt.Sprintf("%s%d", table.Letters(f.index(c.Name)), r))
	}
	for _, step := range [][2]string{{"{points}", hPoints}, {"{words}", hWords}, {"{length}", hWordLength}, {"{room}", hRoom}, {"{least}", hLeast},
		{"{w}", hWidth}, {"{h}", hHeight}, {"{inkw}", hInkWidth}, {"{inkh}", hInkHeight}, {"{letter}", hLetter}, {"{fewer}", hFewer}} {
		names = append(names, step[0], fmt.Sprintf("%s%d", step[1], r))
	}
	smallest := fmt.Sprintf("%g", cmp.Or(s.Type.Smallest, 7*measure.Point).Points())
	names = append(names, "{smallest}", smallest, "{flat}", fmt.Sprintf("TRIM(SUBSTITUTE(%s%d,CHAR(10),\" \"))",
		table.Letters(f.index("Journaling")), r))
	line := strings.NewReplacer(names...).Replace // names in a template become cells of the row
	room := func(size string) string {
		return line(fmt.Sprintf("INT(MAX(0,INT(1.0001+{inkh}/(%s*%v)-%.6f-{fewer}))*MAX(0,{inkw}/(%s*{letter})-%v)/{length})",
			size, s.Type.Leading, lineHeight/s.Type.Leading, size, raggedLoss))
	}
	standard, usual := 2, 2
	for i, t := range s.Stocks {
		if t.Name == s.Default {
			standard = i + 2
		}
	}
	for i, t := range fonts {
		if strings.EqualFold(t.name, s.Type.Font) {
			usual = i + 2
		}
	}
	look := func(key, keys, values string, n, usual int) string {
		return line(fmt.Sprintf("IFERROR(INDEX(Lists!$%s$2:$%s$%d,MATCH(TRIM(%s),Lists!$%s$2:$%s$%d,0)),Lists!$%s$%d)", values,
			values, n+1, key, keys, keys, n+1, values, usual))
	}
	out := map[string]string{
		hPoints:     line(`IFERROR(MAX({smallest},VALUE(TRIM(SUBSTITUTE(LOWER({Size}),"pt","")))),{smallest})`),
		hWords:      line(`IF(LEN({flat})=0,0,LEN({flat})-LEN(SUBSTITUTE({flat}," ",""))+1)`),
		hWordLength: line(fmt.Sprintf(`IF({words}<8,%v,(LEN({flat})+1)/{words})`, wordLength)),
		hInkWidth:   line("72*({w}-" + look("{Stock}", "A", "B", len(s.Stocks), standard) + ")"),
		hInkHeight:  line("72*({h}-" + look("{Stock}", "A", "C", len(s.Stocks), standard) + ")"),
		hLetter:     look("{Font}", "D", "E", len(fonts), usual),
		hFewer:      line(fmt.Sprintf(`IF(LEN({Title})>0,%v,0)+IF(LEN({Who})+LEN({Where})+LEN({When})>0,%v,0)`, titleLines, endLines)),
		hRoom:       room(line("{points}")),
		hLeast:      room(smallest),
		table.Letters(f.index("Fits")): line(`IF(OR(LEN({Width})=0,LEN({Height})=0),"",IF(OR(ISERROR({w}),ISERROR({h})),"check width and height",IF({words}=0,"about "&{room}&" words fit",IF({words}<={room},"fits: "&{words}&" of about "&{room}&" words",` +
			`IF({words}<={least},"smaller type: about "&{room}&" words fit at "&{points}&" pt","too long by about "&({words}-{least})&" words")))))`),
	}
	for _, m := range []struct{ typed, text, slash, space, inches string }{{line("{Width}"), hWidthText, hWidthSlash, hWidthSpace,
		hWidth}, {line("{Height}"), hHeightText, hHeightSlash, hHeightSpace, hHeight}} {
		text, slash, space := fmt.Sprintf("%s%d", m.text, r), fmt.Sprintf("%s%d", m.slash, r), fmt.Sprintf("%s%d", m.space, r)
		out[m.text] = plainMeasure(m.typed)
		out[m.slash] = fmt.Sprintf(`IFERROR(FIND("/",%s),0)`, text)
		out[m.space] = fmt.Sprintf(`IFERROR(FIND(" ",%s),0)`, text)
		out[m.inches] = inchesOf(m.typed, text, slash, space, s.Unit)
	}
	return out
}

// plainMeasure is a formula for a measure as plain text: 4 1/2, 4.5, without its unit.
func plainMeasure(cell string) string {
	out := fmt.Sprintf("LOWER(%s&\"\")", cell)
	for _, r := range [][2]string{{"inches", ""}, {"inch", ""}, {"in.", ""}, {"in", ""}, {"mm", ""}, {"cm", ""}, {`""`, ""}, {"”",
		""}, {"″", ""}, {"½", " 1/2"}, {"¼", " 1/4"}, {"¾", " 3/4"}, {"⅛", " 1/8"}, {"⅜", " 3/8"}, {"⅝", " 5/8"},
		{"⅞", " 7/8"}, {"-", " "}, {",", "."}} {
		out = fmt.Sprintf("SUBSTITUTE(%s,\"%s\",\"%s\")", out, r[0], r[1])
	}
	return "TRIM(" + out + ")"
}

// inchesOf is a formula for the measure in a cell, in inches, given the cells with its plain text and the places of the
// slash and the space in that. Whole digits only are turned into numbers, because what 4.5 means to VALUE depends on
// the language of the program.
func inchesOf(typed, text, slash, space string, unit measure.Unit) string {
	line := strings.NewReplacer("{t}", text, "{/}", slash, "{ }", space, "{typed}", typed, "{.}", fmt.Sprintf(`FIND(".",%s&".")`,
		text)).Replace
	fraction := `VALUE("0"&LEFT({t},MAX(0,{ }-1)))+VALUE(MID({t},{ }+1,{/}-{ }-1))/VALUE(MID({t},{/}+1,9))`
	decimal := `VALUE("0"&LEFT({t},{.}-1))+VALUE("0"&MID({t},{.}+1,9))/10^LEN(MID({t},{.}+1,9))`
	factor := map[measure.Unit]string{measure.In: "1", measure.Mm: "1/25.4", measure.Cm: "1/2.54", measure.Pt: "1/72"}
	has := func(s string) string { return fmt.Sprintf(`ISNUMBER(SEARCH("%s",{typed}))`, s) }
	scale := fmt.Sprintf("IF(%s,%s,IF(%s,%s,IF(OR(%s,%s,%s),1,%s)))", has("mm"), factor[measure.Mm], has("cm"),
		factor[measure.Cm], has("in"), has(`""`), has("”"), factor[unit])
	return line(fmt.Sprintf("IF({/}>0,%s,%s)*%s", fraction, decimal, scale))
}
