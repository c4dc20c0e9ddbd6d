package form

import (
	"cmp"
	"fmt"
	"strings"

	"tuckmark/config"
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

// The steps of the live count stand in hidden columns beside the table, so that each formula is one that can be read, and that every
// program works out. Here they are in their order.
const (
	sWidthText  = iota // the measure as plain text,
	sWidthSlash        // where its / and
	sWidthSpace        // its space stand,
	sWidth             // inches
	sHeightText        // likewise
	sHeightSlash
	sHeightSpace
	sHeight
	sPoints     // type size: the one that is wished for, or one that people like to read
	sWords      // typed
	sWordLength // letters a word with its space
	sInkWidth   // less the inset of the stock, in points
	sInkHeight
	sLetter // of the font
	sFewer  // lines that title and end take
	sRoom   // words that fit at that size
	sLeast  // and at the smallest
	steps
)

var _ = [1]struct{}{}[steps-intake.FormStepColumns] // they are as many as are known where forms are read

// pleasant is the size at which a text is said to fit: one that people like to read (common practice for running text), not the smallest
// that can be read.
const pleasant = 10 * measure.Point

// widest is more than any space measures, in inches: what is wider is a date, or has the wrong unit.
const widest = 48

// counter writes the live column of a table.
type counter struct {
	*writer
	columns map[string]int  // of the table, from 0, by what they are
	units   [2]measure.Unit // of its widths and heights
	from    int             // the column of the first step
}

// counter is that of the form.
func (f *writer) counter() *counter {
	c := &counter{writer: f, columns: map[string]int{}, units: [2]measure.Unit{f.settings.Unit, f.settings.Unit}, from: max(intake.FormSteps, len(columns)+1)}
	for i, h := range columns {
		c.columns[h.Name] = i
	}
	return c
}

// step is the column of a step.
func (c *counter) step(n int) string { return table.Letters(c.from + n) }

// rows fills the live column of the rows from one to another, and hides the steps to it.
func (c *counter) rows(sheet string, from, to int) {
	for r := from; r <= to; r++ {
		for col, formula := range c.formulas(r) {
			c.do(c.file.SetCellFormula(sheet, fmt.Sprintf("%s%d", col, r), formula))
		}
	}
	c.do(c.file.SetColVisible(sheet, c.step(0)+":"+c.step(steps-1), false))
	fits := table.Letters(c.columns["Fits"])
	c.colours(sheet, fmt.Sprintf("%s%d:%s%d", fits, from, fits, to))
}

// formulas are those of a row, by column. They use only what every spreadsheet program has, and no function that
// reads numbers by the program's language.
func (c *counter) formulas(r int) map[string]string {
	s := c.settings
	names := []string{}
	for _, h := range columns {
		at := `""` // a table without the column has nothing there
		if i, ok := c.columns[h.Name]; ok {
			at = table.Address(i, r)
		}
		names = append(names, "{"+h.Name+"}", at)
	}
	for _, s := range []struct {
		name string
		step int
	}{{"{points}", sPoints}, {"{words}", sWords}, {"{length}", sWordLength}, {"{room}", sRoom}, {"{least}", sLeast},
		{"{w}", sWidth}, {"{h}", sHeight}, {"{inkw}", sInkWidth}, {"{inkh}", sInkHeight}, {"{letter}", sLetter}, {"{fewer}", sFewer}} {
		names = append(names, s.name, fmt.Sprintf("%s%d", c.step(s.step), r))
	}
	points := func(l measure.Length) string { return fmt.Sprintf("%g", l.Points()) }
	low := cmp.Or(s.Type.Smallest, 7*measure.Point)
	usual := func(largest measure.Length) string { // without a wish
		return points(max(low, min(pleasant, cmp.Or(largest, pleasant))))
	}
	names = append(names, "{smallest}", points(low), "{flat}", fmt.Sprintf("TRIM(SUBSTITUTE(%s,CHAR(10),\" \"))", table.Address(c.columns["Journaling"], r)))
	names = append(names, "{usual}", fmt.Sprintf("IF(%s%d>%d,%s,%s)", c.step(sWords), r, config.LongText, usual(s.Type.Largest), usual(cmp.Or(s.Type.Caption, s.Type.Largest))))
	line := strings.NewReplacer(names...).Replace // names in a template become cells of the row
	room := func(size string) string {
		return line(fmt.Sprintf("INT(MAX(0,INT(1.0001+{inkh}/(%s*%v)-%.6f-{fewer}))*MAX(0,{inkw}/(%s*{letter})-%v)/{length})",
			size, s.Type.Leading, lineHeight/s.Type.Leading, size, raggedLoss))
	}
	standard, typical := 2, 2
	for i, t := range s.Stocks {
		if t.Name == s.Default {
			standard = i + 2
		}
	}
	for i, t := range fonts {
		if strings.EqualFold(t.name, s.Type.Font) {
			typical = i + 2
		}
	}
	look := func(key, keys, values string, n, usual int) string {
		return line(fmt.Sprintf("IFERROR(INDEX(Lists!$%s$2:$%s$%d,MATCH(TRIM(%s),Lists!$%s$2:$%s$%d,0)),Lists!$%s$%d)", values,
			values, n+1, key, keys, keys, n+1, values, usual))
	}
	out := map[string]string{
		c.step(sPoints):     line(`IFERROR(MAX({smallest},VALUE(TRIM(SUBSTITUTE(LOWER({Size}),"pt","")))),{usual})`),
		c.step(sWords):      line(`IF(LEN({flat})=0,0,LEN({flat})-LEN(SUBSTITUTE({flat}," ",""))+1)`),
		c.step(sWordLength): line(fmt.Sprintf(`IF({words}<8,%v,(LEN({flat})+1)/{words})`, wordLength)),
		c.step(sInkWidth):   line("72*({w}-" + look("{Stock}", "A", "B", len(s.Stocks), standard) + ")"),
		c.step(sInkHeight):  line("72*({h}-" + look("{Stock}", "A", "C", len(s.Stocks), standard) + ")"),
		c.step(sLetter):     look("{Font}", "D", "E", len(fonts), typical),
		c.step(sFewer):      line(fmt.Sprintf(`IF(LEN({Title})>0,%v,0)+IF(LEN({Who})+LEN({Where})+LEN({When})>0,%v,0)`, titleLines, endLines)),
		c.step(sRoom):       room(line("{points}")),
		c.step(sLeast):      room(line("{smallest}")),
		table.Letters(c.columns["Fits"]): line(fmt.Sprintf(`IF(OR(LEN({Width})=0,LEN({Height})=0),"",IF(OR(ISERROR({w}),ISERROR({h})),"check width and height",`+
			`IF(OR(LEFT({Width},1)="-",LEFT({Height},1)="-",{w}<=0,{h}<=0,{w}>%d,{h}>%d),"check width and height",IF({words}=0,"about "&{room}&" words fit at "&{points}&" pt",IF({words}<={room},"fits: "&{words}&" of about "&{room}&" words",`+
			`IF({words}<={least},"smaller type: about "&{room}&" words fit at "&{points}&" pt","too long by about "&({words}-{least})&" words"))))))`, widest, widest)),
	}
	for i, m := range []struct {
		typed                      string
		text, slash, space, inches int
	}{{line("{Width}"), sWidthText, sWidthSlash, sWidthSpace, sWidth}, {line("{Height}"), sHeightText, sHeightSlash, sHeightSpace, sHeight}} {
		text, slash, space := fmt.Sprintf("%s%d", c.step(m.text), r), fmt.Sprintf("%s%d", c.step(m.slash), r), fmt.Sprintf("%s%d", c.step(m.space), r)
		out[c.step(m.text)] = plainMeasure(m.typed)
		out[c.step(m.slash)] = fmt.Sprintf(`IFERROR(FIND("/",%s),0)`, text)
		out[c.step(m.space)] = fmt.Sprintf(`IFERROR(FIND(" ",%s),0)`, text)
		out[c.step(m.inches)] = inchesOf(m.typed, text, slash, space, c.units[i])
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
