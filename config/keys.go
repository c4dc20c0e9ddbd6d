package config

import (
	"fmt"
	"strings"

	"tuckmark/config/measure"
)

// key is one setting: how it is called, what it takes, what holds without it, what it does, and how it is read. The
// tables of keys are the only list of settings: file, variables, flags, messages and documentation all go by them.
type key[T any] struct {
	name     string
	takes    string
	standard string // as it could be typed
	says     string
	example  string // of a setting of one value: as it could be typed to make a difference
	shape    shape  // nought: a single value
	read     func(r *reader, t *T, v value)
}

// settingKeys are read in this order: units first, because they tell what a bare number means.
var settingKeys = []key[Settings]{
	{name: "units", takes: "in, mm or cm", example: "cm", standard: "in", says: "what a bare number means, and what is printed",
		read: func(r *reader, s *Settings, v value) {
			u, ok := measure.ParseUnit(v.text)
			if !ok || u == measure.Pt {
				r.bad(v, measure.Quote(v.text)+" is not a unit for paper", "", "write in, mm or cm")
				return
			}
			s.Unit, r.unit = u, u
		}},
	{name: "paper", takes: "letter or A4", example: "A4", says: "the sheets of the built-in stocks, and the paper of the guides; without it letter, or A4 where units are mm or cm",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Guide, []string{"letter", "A4"}, map[string]measure.Size{"letter": letter, "us letter": letter, "a4": a4})
		}},
	{name: "stock", takes: "a stock's name", example: "vellum", standard: "cardstock", says: "the stock of a row that names none",
		read: func(r *reader, s *Settings, v value) { s.Default = v.text; r.preferred = v }},
	{name: "gap", takes: "auto, a measure, or both", example: "3 mm", standard: "auto " + usualGap.Format(measure.In), says: "waste between neighbouring blocks; with auto only where it costs neither a sheet nor the largest leftover; 0 for none",
		read: func(r *reader, s *Settings, v value) { r.gap(v, &s.Gap) }},
	{name: "effort", takes: "a whole number", example: "7", standard: "400", says: "how long to look for a better layout: tries for each block",
		read: func(r *reader, s *Settings, v value) { r.whole(v, &s.Effort, 0, 1_000_000) }},
	{name: "language", takes: "auto, a language or none", example: "none", standard: "auto", says: "whose rules break words at the end of a line, as en for English (`--set language=?` is answered with all there are); auto goes by what each text reads like; with a language only its texts are broken, and those that tell of none",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Language, languageCodes, languages)
		}},
	{name: "currency", takes: "a sign", example: "kr", says: "printed before an amount",
		read: func(r *reader, s *Settings, v value) {
			if r.text(v, &s.Currency, 0, 8); strings.TrimSpace(s.Currency) != "" {
				r.signs.Take(s.Currency)
			}
		}},
	{name: "costs", takes: "name = amount, by area, block or person; ...", example: "ink = 3.50; postage = 4.80 by person", shape: takesText | takesList | takesMapping,
		says: "what a job costs besides its paper, such as ink and postage, and how that is shared: by the area of everyone's blocks (that is so where nothing is said), by their number, or in equal parts; blocks that are printed again add nothing to it",
		read: func(r *reader, s *Settings, v value) {
			if r.costs(v, &s.Costs); len(s.Costs) > mostCosts {
				r.bad(v, fmt.Sprintf("there are %d costs, and %d are the most", len(s.Costs), mostCosts), "each is shared by itself, and has a column in the account", "add some of them up")
				s.Costs = s.Costs[:mostCosts]
			}
		}},
	{name: "columns", takes: "heading = column, ...", example: "Left to right = Width; Say what? = Journaling", says: "what a heading means that is not understood, as Left to right = Width; a heading = nothing is not read", shape: takesText | takesList,
		read: func(r *reader, s *Settings, v value) { r.columns(v, &s.Columns) }},
	{name: "advice", takes: "dates, people or none", example: "dates", standard: "dates, people", says: "what to say of texts that may be as they are: which name no date, which name nobody and no place", shape: takesText | takesList,
		read: func(r *reader, s *Settings, v value) { r.advice(v, &s.Advice) }},
	{name: "load", takes: "an amount", example: "0.40", standard: "0.25", says: "what it is worth not to fetch, load and cut a further size of a stock's sheets; counts where all its sheets have a price",
		read: func(r *reader, s *Settings, v value) { r.price(v, &s.Load) }},
	{name: "fonts", takes: "folders", example: "../fonts", says: "more fonts; a folder named fonts beside the job is found without it", shape: takesText | takesList,
		read: func(r *reader, s *Settings, v value) { r.paths(v, &s.Fonts) }},

	{name: "type.font", takes: "a font's name", example: "Sans", standard: "Serif", says: "the font of a text that asks for none",
		read: func(r *reader, s *Settings, v value) { r.text(v, &s.Type.Font, 1, 100) }},
	{name: "type.smallest", takes: "points, or auto", example: "8", standard: "auto", says: "no text is set smaller; auto is 7, or more where a font's small letters would be less than 1.2 mm high",
		read: func(r *reader, s *Settings, v value) {
			r.smallest = v
			if fold(v.text) == "auto" {
				s.Type.Smallest = 0
				return
			}
			r.typeSize(v, &s.Type.Smallest, true)
		}},
	{name: "type.largest", takes: "points, or text and caption with points", example: "20 pt", standard: "text 12, caption 18", shape: takesText | takesMapping,
		says: "no text is set larger, unless its row asks for a size; a text of up to 25 words is a caption; one number is for both",
		read: func(r *reader, s *Settings, v value) { r.largest = v; r.largestSizes(v, &s.Type) }},
	{name: "type.scale", takes: "sizes in points, or any", example: "8 9,5 10 12", standard: "7 8 9 10 11 12 14 16 18 21 24 28 32 36 42 48 60 72 84 96 120 144 168 192 216 240 288", shape: takesText | takesList,
		says: "the sizes that texts are set in, besides the smallest, the largest and one that a row asks for; any is every quarter point",
		read: func(r *reader, s *Settings, v value) { r.scale(v, &s.Type.Scale) }},
	{name: "type.leading", takes: "a factor", example: "1,4", standard: "1.25", says: "distance of the lines, as a factor of the type size; from 12 pt on it falls, at 48 pt by a sixth, for large type is set tighter",
		read: func(r *reader, s *Settings, v value) { r.factor(v, &s.Type.Leading, 0.9, 3) }},
	{name: "type.align", takes: "auto, left, centre, right or justified", example: "center", standard: "auto", says: "where lines stand between left and right; auto: left, and a few words in a large space in its middle",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Type.Align, []string{"auto", "left", "centre", "right", "justified"}, map[string]Align{
				"auto": Left, "left": Left, "centre": Centre, "center": Centre, "centred": Centre, "centered": Centre, "right": Right,
				"justified": Justified, "justify": Justified})
			s.Type.AutoAlign = fold(v.text) == "auto"
		}},
	{name: "type.place", takes: "top, middle or bottom", example: "top", standard: "middle", says: "where a text stands that does not fill its space",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Type.Vertical, []string{"top", "middle", "bottom"}, map[string]Vertical{
				"top": Top, "middle": Middle, "centre": Middle, "center": Middle, "bottom": Bottom})
		}},
	{name: "type.hyphenate", takes: "auto, always or never", example: "never", standard: "auto", says: "whether words may be broken; with auto where that makes the text larger by 5% or more, and in justified lines",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Type.Hyphenate, []string{"auto", "always", "never"}, map[string]Hyphenate{
				"auto": HyphenateAuto, "always": HyphenateAlways, "yes": HyphenateAlways, "true": HyphenateAlways,
				"never": HyphenateNever, "no": HyphenateNever, "false": HyphenateNever})
		}},
	{name: "type.match", takes: "auto, page, owner, job or no", example: "page", standard: "auto", says: "which blocks are set in one size: those of one owner and page, of one owner, or all; auto: of one owner and page, where that costs none of them more than a tenth of its size",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Type.Match, []string{"auto", "page", "owner", "job", "no"}, map[string]Match{"auto": MatchAuto, "page": MatchPage, "yes": MatchPage, "true": MatchPage,
				"owner": MatchOwner, "job": MatchJob, "all": MatchJob, "no": MatchNo, "none": MatchNo, "false": MatchNo})
		}},
	{name: "type.marks", takes: "auto or as typed", example: "as typed", standard: "auto", says: "straight quotation marks, two hyphens, three dots, 1/2 and 20 x 30 cm are set as a typesetter would, by the language of the text, or as typed",
		read: func(r *reader, s *Settings, v value) {
			choice(r, v, &s.Type.AsTyped, []string{"auto", "as typed"}, map[string]bool{"auto": false, "yes": false, "true": false, "as typed": true, "no": true, "none": true, "false": true})
		}},
	{name: "type.ink", takes: "a colour", example: "dark green", standard: "black", says: "the colour of a text that asks for none",
		read: func(r *reader, s *Settings, v value) {
			c := s.Type.Ink
			if r.colour(v, &c); c.LeavesNoInk() {
				r.bad(v, "white ink cannot be printed", "printers have no white ink; the paper stays as it is", "choose another colour")
				return
			}
			s.Type.Ink = c
		}},

	{name: "mark.length", takes: "a measure", example: "5 mm", standard: "1/4 in", says: "length of a cut mark",
		read: func(r *reader, s *Settings, v value) {
			r.length(v, r.unit, &s.Mark.Length, measure.Inch/32, 2*measure.Inch)
		}},
	{name: "mark.weight", takes: "points", example: "0.25", standard: "0.5", says: "weight of a cut mark",
		read: func(r *reader, s *Settings, v value) {
			r.length(v, measure.Pt, &s.Mark.Weight, measure.Point/10, 4*measure.Point)
			s.Mark.Weight += s.Mark.Weight % 2
		}},
	{name: "trimmer.longest", takes: "a measure or none", example: "30 cm", standard: "12 in", says: "longest cut of the trimmer",
		read: func(r *reader, s *Settings, v value) { r.limit(v, &s.Trimmer.Longest) }},
	{name: "trimmer.holds", takes: "a measure or none", example: "none", standard: "1 in", says: "narrowest strip that the trimmer holds while it cuts",
		read: func(r *reader, s *Settings, v value) { r.holds = v; r.limit(v, &s.Trimmer.Holds) }},
	{name: "trimmer.by", takes: "marks, measure or none", example: "measure", standard: "marks",
		says: "how cuts are found: by marks, with an automatic gap where it gives a cut its mark, or by measure, with the fewest cuts; none, or `trimmer: none`, where there is no trimmer: every block is cut out with scissors, along an outline, with an automatic gap of 3/8 in as far as it costs no sheet",
		read: func(r *reader, s *Settings, v value) {
			by := ""
			choice(r, v, &by, []string{"marks", "measure", "none"}, map[string]string{"marks": "marks", "mark": "marks", "measure": "measure", "measures": "measure",
				"none": "none", "no": "none", "scissors": "none"})
			s.Trimmer.Measure, s.Trimmer.Scissors = by == "measure", by == "none"
		}},

	{name: "trimmer.stack", takes: "a whole number", example: "4", standard: "1", says: "how many sheets of a stock the trimmer cuts at once, one on the other; parts that are alike then take one stroke",
		read: func(r *reader, s *Settings, v value) { r.whole(v, &s.Trimmer.Stack, 1, 50) }},

	{name: "printers", takes: "a list", says: "the printers at hand; without it one named home", shape: takesList,
		read: func(r *reader, s *Settings, v value) { r.printers = v }},
	{name: "stocks", takes: "a list", says: "more stocks, and what is different about the built-in ones", shape: takesList,
		read: func(r *reader, s *Settings, v value) { r.stocks = v }},
}

var printerKeys = []key[Printer]{
	{name: "name", takes: "a text", says: "what stocks and messages call it",
		read: func(r *reader, p *Printer, v value) { r.text(v, &p.Name, 1, 40) }},
	{name: "narrowest", takes: "a measure", standard: "3 1/2 in", says: "narrowest piece that it pulls",
		read: func(r *reader, p *Printer, v value) { r.length(v, r.unit, &p.Narrowest, 1, largestSheet) }},
	{name: "widest", takes: "a measure", standard: "8 1/2 in", says: "widest piece that it pulls",
		read: func(r *reader, p *Printer, v value) { r.length(v, r.unit, &p.Widest, 1, largestSheet) }},
	{name: "shortest", takes: "a measure", standard: "5 in", says: "shortest piece that it pulls",
		read: func(r *reader, p *Printer, v value) { r.length(v, r.unit, &p.Shortest, 1, largestSheet) }},
	{name: "longest", takes: "a measure", standard: "14 in", says: "longest piece that it pulls",
		read: func(r *reader, p *Printer, v value) { r.length(v, r.unit, &p.Longest, 1, largestSheet) }},
	{name: "margins", takes: "a measure, or left, top, right, bottom", standard: "1/8 in, bottom 1/2 in", shape: takesText | takesMapping,
		says: "what it cannot print along each edge; bottom is the edge that leaves it last",
		read: func(r *reader, p *Printer, v value) { r.sides(v, &p.Margins, sideNames[:], 6*measure.Inch, true) }},
	{name: "takes", takes: "stocks", says: "the stocks that go to it, before any printer that takes all; without it all", shape: takesText | takesList,
		read: func(r *reader, p *Printer, v value) { r.names(v, &p.Takes) }},
	{name: "shift", takes: "x, y", standard: "0", says: "what to move everything by, to the right and down, as measured on the test page", shape: takesMapping,
		read: func(r *reader, p *Printer, v value) { fields(r, &p.Shift, v, shiftKeys) }},
	{name: "scale", takes: "a factor, or x, y", standard: "1", says: "what to stretch everything by, as measured on the test page", shape: takesText | takesMapping,
		read: func(r *reader, p *Printer, v value) {
			if v.kind == mapping {
				fields(r, &p.Scale, v, scaleKeys)
				return
			}
			r.factor(v, &p.Scale[0], 0.9, 1.1)
			p.Scale[1] = p.Scale[0]
		}},
	{name: "queue", takes: "a text", says: "what the computer calls it, for `tuckmark print`; `tuckmark printers` lists the names; without it the only queue there is",
		read: func(r *reader, p *Printer, v value) { r.text(v, &p.Queue, 1, 127) }},
	{name: "loads", takes: "a list of stock, source, type, quality, at-once", says: "how `tuckmark print` asks for a stock", shape: takesList,
		read: func(r *reader, p *Printer, v value) { r.loads(v, &p.Loads) }},
}

// loadKeys take the standard keywords of the Internet Printing Protocol: media-source and media-type (PWG 5100.7),
// print-quality (RFC 8011, 5.2.13). Which of them a queue has is known when it is asked.
var loadKeys = []key[Loading]{
	{name: "stock", takes: "a stock's name", says: "what is loaded",
		read: func(r *reader, l *Loading, v value) { r.text(v, &l.Stock, 1, 40) }},
	{name: "source", takes: "a tray, such as rear", says: "where it is pulled from; without it the printer's choice",
		read: func(r *reader, l *Loading, v value) { r.text(v, &l.Source, 1, 255) }},
	{name: "type", takes: "a kind of paper, such as transparency", says: "what the printer takes it for; without it the printer's choice",
		read: func(r *reader, l *Loading, v value) { r.text(v, &l.Type, 1, 255) }},
	{name: "quality", takes: "draft, normal or high", says: "how it is printed; without it the printer's choice",
		read: func(r *reader, l *Loading, v value) {
			choice(r, v, &l.Quality, []string{"draft", "normal", "high"}, map[string]Quality{"draft": Draft, "normal": Normal, "high": High, "best": High})
		}},
	{name: "at-once", takes: "a whole number", says: "how many pieces lie in the tray at once; without it one where the stock's tray says “one sheet at a time”, else up to 50",
		read: func(r *reader, l *Loading, v value) { r.whole(v, &l.AtOnce, 1, 1000) }},
}

var shiftKeys = []key[Offset]{
	{name: "x", read: func(r *reader, o *Offset, v value) { r.length(v, r.unit, &o.X, -measure.Inch, measure.Inch) }},
	{name: "y", read: func(r *reader, o *Offset, v value) { r.length(v, r.unit, &o.Y, -measure.Inch, measure.Inch) }},
}

var scaleKeys = []key[[2]float64]{
	{name: "x", read: func(r *reader, s *[2]float64, v value) { r.factor(v, &s[0], 0.9, 1.1) }},
	{name: "y", read: func(r *reader, s *[2]float64, v value) { r.factor(v, &s[1], 0.9, 1.1) }},
}

var stockKeys = []key[Stock]{
	{name: "name", takes: "a text", says: "what rows call it; the name of a built-in one changes that",
		read: func(r *reader, s *Stock, v value) { r.text(v, &s.Name, 1, 40) }},
	{name: "like", takes: "a stock's name", says: "a stock before it, or a built-in one, to take all from that is not said here",
		read: func(r *reader, s *Stock, v value) {}}, // looked at before the fields are read
	{name: "sheets", takes: "a list of size, count, price", says: "the sheets as bought; without it as many as needed of paper", shape: takesList,
		read: func(r *reader, s *Stock, v value) { r.sheets(v, &s.Sheets, sheetKeys, false) }},
	{name: "leftovers", takes: "a list of size, count", says: "pieces at hand, which are used first and cost nothing", shape: takesList,
		read: func(r *reader, s *Stock, v value) { r.sheets(v, &s.Sheets, leftoverKeys, true) }},
	{name: "tuck", takes: "a measure, or left, top, right, bottom", standard: "none", shape: takesText | takesMapping,
		says: "blank edge of a block to hide under a layer of the page; a lone measure is on top",
		read: func(r *reader, s *Stock, v value) { r.sides(v, &s.Tuck, []string{"top"}, 6*measure.Inch, false) }},
	{name: "inset", takes: "a measure, or left, top, right, bottom", standard: "1/8 in", says: "blank border round the text", shape: takesText | takesMapping,
		read: func(r *reader, s *Stock, v value) { r.sides(v, &s.Inset, sideNames[:], 2*measure.Inch, false) }},
	{name: "printers", takes: "printers' names", says: "the printers that take it; without it all that may", shape: takesText | takesList,
		read: func(r *reader, s *Stock, v value) { r.names(v, &s.Printers) }},
	{name: "shows-page", takes: "yes or no", standard: "no", says: "whether the page's colour shows through",
		read: func(r *reader, s *Stock, v value) { r.yes(v, &s.ShowsPage) }},
	{name: "colour", takes: "a colour", standard: "white", says: "of the stock",
		read: func(r *reader, s *Stock, v value) { r.colour(v, &s.Colour) }},
	{name: "carrier", takes: "size, smallest; or no", standard: "no", says: "a sheet that pieces too small to be pulled may be fixed to, and the smallest piece worth it", shape: takesText | takesMapping,
		read: func(r *reader, s *Stock, v value) { r.carrier(v, s) }},
	{name: "tray", takes: "a text", says: "printed on the run sheet",
		read: func(r *reader, s *Stock, v value) { r.text(v, &s.Tray, 0, 100) }},
	{name: "quality", takes: "a text", says: "printed on the run sheet",
		read: func(r *reader, s *Stock, v value) { r.text(v, &s.Quality, 0, 100) }},
	{name: "drying", takes: "minutes", standard: "0", says: "before it may be touched",
		read: func(r *reader, s *Stock, v value) { r.minutes(v, &s.Drying) }},
	{name: "caution", takes: "a text", says: "printed on the run sheet",
		read: func(r *reader, s *Stock, v value) { r.text(v, &s.Caution, 0, 400) }},
}

var sheetKeys = []key[Sheet]{
	{name: "size", takes: "a size", says: "width x height, or letter, A4, 12 x 12",
		read: func(r *reader, s *Sheet, v value) { r.size(v, &s.Size) }},
	{name: "count", takes: "a whole number or unlimited", standard: "unlimited", says: "how many are at hand; of leftovers 1",
		read: func(r *reader, s *Sheet, v value) {
			if fold(v.text) == "unlimited" {
				s.Count = -1
				return
			}
			r.whole(v, &s.Count, 0, 100_000)
		}},
	{name: "price", takes: "an amount", standard: "0", says: "of one sheet",
		read: func(r *reader, s *Sheet, v value) { r.price(v, &s.Price) }},
	{name: "name", takes: "a text", says: "what the run sheet calls it",
		read: func(r *reader, s *Sheet, v value) { r.text(v, &s.Name, 0, 40) }},
}

// leftoverKeys are those of a sheet without the price.
var leftoverKeys = []key[Sheet]{sheetKeys[0], sheetKeys[1], sheetKeys[3]}

var carrierKeys = []key[Carrier]{
	{name: "size", takes: "a size", standard: "paper", says: "of the carrier sheet",
		read: func(r *reader, c *Carrier, v value) { r.size(v, &c.Size) }},
	{name: "smallest", takes: "a size", standard: "1 x 1 in", says: "smallest piece worth fixing",
		read: func(r *reader, c *Carrier, v value) { r.size(v, &c.Smallest) }},
}

func settingNames() []string {
	out := make([]string, len(settingKeys))
	for i, k := range settingKeys {
		out[i] = k.name
	}
	return out
}

// Table is every setting as tables in Markdown, for the documentation.
func Table() string {
	var b strings.Builder
	b.WriteString("| setting | takes | without it | | for example |\n| --- | --- | --- | --- | --- |\n")
	for _, k := range settingKeys {
		row(&b, "", k)
		if b.WriteString(" "); k.example != "" {
			b.WriteString("`" + k.example + "` ")
		}
		b.WriteString("|\n")
	}
	b.WriteString("\n| in the lists of printers and stocks | takes | without it | |\n| --- | --- | --- | --- |\n")
	rows(&b, "printers: ", printerKeys)
	rows(&b, "printers: loads: ", loadKeys)
	rows(&b, "stocks: ", stockKeys)
	rows(&b, "stocks: sheets: ", sheetKeys)
	rows(&b, "stocks: carrier: ", carrierKeys)
	return b.String()
}

func rows[T any](b *strings.Builder, within string, keys []key[T]) {
	for _, k := range keys {
		row(b, within, k)
		b.WriteString("\n")
	}
}

func row[T any](b *strings.Builder, within string, k key[T]) {
	fmt.Fprintf(b, "| `%s%s` | %s | %s | %s |", within, strings.Replace(k.name, ".", ": ", 1), k.takes, k.standard, k.says)
}
