package guide

import (
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/press"
)

// The grid of every page.
const (
	margin   = measure.Inch / 2
	hairline = measure.Point / 2
	stroke   = measure.Point
)

// style is how a text looks; line is the height of a line of it, its baseline one type size below the line's top.
type style struct {
	bold   bool
	size   measure.Length
	colour config.Colour
}

func (s style) line() measure.Length { return s.size * 13 / 10 }

var (
	black  = config.Colour{}
	white  = config.Colour{R: 255, G: 255, B: 255}
	grey   = config.Colour{R: 95, G: 95, B: 95}    // small text that may step back
	pale   = config.Colour{R: 216, G: 216, B: 216} // scrap
	tint   = config.Colour{R: 242, G: 242, B: 242} // behind text
	ruling = config.Colour{R: 170, G: 170, B: 170}

	headline = style{true, 24 * measure.Point, black}
	heading  = style{true, 14 * measure.Point, black}
	huge     = style{true, 18 * measure.Point, black}
	large    = style{false, 12 * measure.Point, black}
	strong   = style{true, 12 * measure.Point, black}
	body     = style{false, 10 * measure.Point, black}
	bold     = style{true, 10 * measure.Point, black}
	small    = style{false, 9 * measure.Point, black}
	smallB   = style{true, 9 * measure.Point, black}
	faint    = style{false, 9 * measure.Point, grey}
)

// pageWriter writes a section of the guides from top to bottom.
type pageWriter struct {
	*hand
	size  measure.Size
	name  string // of the section
	pages []press.Page
	y     measure.Length // where the next thing goes
	start measure.Length // where the section begins on its first page, if below another one

	// A page may be parted into columns side by side, which are filled one after the other.
	columns, column int            // how many, nought being one; the one that is written
	top, lowest     measure.Length // where they begin on this page, and where the longest before this one ends
	end             measure.Length // where they end if that is not the bottom of the page; nought: that it is
	high            measure.Length // what is to go into them from the top of this page on, if it is known
}

const (
	between    = measure.Inch / 4 // columns
	wideEnough = 6 * measure.Inch // for two columns of a list
)

// across is how far the column that is written stands from the first.
func (p *pageWriter) across() measure.Length {
	return measure.Length(p.column) * (p.width() + between)
}

func (p *pageWriter) left() measure.Length  { return margin + p.across() }
func (p *pageWriter) right() measure.Length { return p.left() + p.width() }
func (p *pageWriter) width() measure.Length {
	n := measure.Length(max(1, p.columns))
	return (p.size.W - 2*margin - (n-1)*between) / n
}
func (p *pageWriter) page() *press.Page { return &p.pages[len(p.pages)-1] }

// bottom is where this column ends, above the foot of the page.
func (p *pageWriter) bottom() measure.Length {
	bottom := p.size.H - margin - measure.Inch*24/100
	if p.end > 0 {
		return min(p.end, bottom)
	}
	return bottom
}

// part parts the page into columns from here down, and so the pages after it. Those of this page are equally long if it is known how high all
// is that goes into them; the first one takes what does not go even.
func (p *pageWriter) part(columns int, high measure.Length) {
	p.columns, p.column, p.top, p.lowest, p.high = columns, 0, p.y, 0, high
	p.balance()
}

// balance finds where the columns of this page end.
func (p *pageWriter) balance() {
	p.end = 0
	if p.high > 0 {
		p.end = p.top + p.high/measure.Length(p.columns) + 2*body.line()
	}
}

// next goes on in the next column, if there is one.
func (p *pageWriter) next() {
	if p.column+1 < p.columns {
		p.lowest = max(p.lowest, p.y)
		p.column, p.y = p.column+1, p.top
		if p.column+1 == p.columns {
			p.end = 0
		}
	}
}

// unpart ends the columns; what follows stands below them.
func (p *pageWriter) unpart() {
	p.y = max(p.y, p.lowest)
	p.columns, p.column, p.end, p.high = 0, 0, 0, 0
}

// open begins a new page under a heading: the section's name, large on its first page.
func (p *pageWriter) open() {
	title := p.name
	if n := len(p.pages); n > 0 {
		title += " " + strconv.Itoa(n+1)
	}
	if p.high > 0 {
		p.high = max(1, p.high-measure.Length(p.columns)*(p.y-p.top))
	}
	p.pages = append(p.pages, press.Page{Title: title, Size: p.size})
	p.y, p.column, p.lowest, p.end = margin, 0, 0, 0
	if len(p.pages) == 1 && p.start > 0 {
		p.y = p.start
		p.text(p.left(), p.y+huge.size, huge, p.name)
		p.y += huge.line()
	} else if len(p.pages) == 1 {
		p.text(p.left(), p.y+headline.size, headline, p.name)
		p.y += headline.line()
	} else {
		p.text(p.left(), p.y+strong.size, strong, p.name+", continued")
		p.y += strong.line()
	}
	p.y += measure.Inch / 16
	p.rule(margin, p.size.W-margin, p.y, stroke)
	p.y += measure.Inch / 10
	p.top = p.y
	p.balance()
}

// need begins a new column or page unless h still fits in this one. It reports whether it did.
func (p *pageWriter) need(h measure.Length) bool {
	switch {
	case p.y+h <= p.bottom():
		return false
	case p.column+1 < p.columns:
		p.next()
	default:
		p.open()
	}
	return true
}

// space leaves h blank.
func (p *pageWriter) space(h measure.Length) { p.y += h }

// rule draws a line across at y.
func (p *pageWriter) rule(x1, x2, y, weight measure.Length) {
	c := black
	if weight < stroke {
		c = ruling
	}
	p.stroke(x1, y, x2, y, weight, c, 0)
}

func (p *pageWriter) stroke(x1, y1, x2, y2, weight measure.Length, c config.Colour, dash measure.Length) {
	g := p.page()
	g.Lines = append(g.Lines, press.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Weight: weight, Colour: c, Dash: dash})
}

func (p *pageWriter) fill(r measure.Rect, c config.Colour) {
	g := p.page()
	g.Fills = append(g.Fills, press.Fill{Rect: r, Colour: c})
}

// frame draws the four sides of a rectangle.
func (p *pageWriter) frame(r measure.Rect, weight measure.Length, c config.Colour, dash measure.Length) {
	h := weight / 2
	p.stroke(r.X-h, r.Y, r.Right()+h, r.Y, weight, c, dash)
	p.stroke(r.X-h, r.Bottom(), r.Right()+h, r.Bottom(), weight, c, dash)
	p.stroke(r.X, r.Y, r.X, r.Bottom(), weight, c, dash)
	p.stroke(r.Right(), r.Y, r.Right(), r.Bottom(), weight, c, dash)
}

// tick draws a box to tick beside a line of text whose top is at y.
func (p *pageWriter) tick(x, y measure.Length, s style) {
	side := s.size
	p.frame(measure.Rect{X: x, Y: y + (s.size*125/100 - side), W: side, H: side}, 3*measure.Point/4, black, 0)
}

// text draws one line with its baseline at y and returns its width.
func (p *pageWriter) text(x, y measure.Length, s style, text string) measure.Length {
	return p.put(x, y, s, text, false)
}

// put draws a text from x on the baseline y, or running down from y with its baseline at x, and returns its width.
func (p *pageWriter) put(x, y measure.Length, s style, text string, turned bool) measure.Length {
	g, w := p.page(), p.write(s, text)
	for _, t := range w.texts {
		if len(t.Glyphs) == 0 {
			continue
		}
		t.Turned, t.Colour = turned, s.colour
		t.Glyphs = slices.Clone(t.Glyphs)
		for i, gl := range t.Glyphs {
			if turned {
				gl.X, gl.Y = -gl.Y, gl.X
			}
			gl.X, gl.Y = gl.X+x, gl.Y+y
			t.Glyphs[i] = gl
		}
		g.Texts = append(g.Texts, t)
	}
	return w.width
}

// cell draws one line within w, cut short where it is longer.
func (p *pageWriter) cell(x, y, w measure.Length, s style, text string, a align) {
	text = p.short(s, text, w)
	switch a {
	case toRight:
		x += w - p.advance(s, text)
	case toCentre:
		x += (w - p.advance(s, text)) / 2
	}
	p.text(x, y, s, text)
}

type align uint8

const (
	toLeft align = iota
	toRight
	toCentre
)

// short is the text, or as much of it as fits w with an ellipsis.
func (p *pageWriter) short(s style, text string, w measure.Length) string {
	key := shortened{written{s.bold, s.size, text}, w}
	if out, known := p.cut[key]; known {
		return out
	}
	fits, wide := p.roughly(s, text, w)
	if !wide && p.advance(s, text) <= w {
		return text
	}
	out := p.shorten(s, text, w, fits)
	p.cut[key] = out
	return out
}

// roughly is about how many characters of a text fit w with an ellipsis, by the widths of its words, which texts have in common; wide tells
// that the whole is too wide by more than the kerns with its spaces may save.
func (p *pageWriter) roughly(s style, text string, w measure.Length) (fits int, wide bool) {
	x, n, room, found := measure.Length(0), 0, w-p.advance(s, "…"), false
	for word := range strings.SplitSeq(text, " ") {
		written := p.write(s, word)
		if !found && x+written.width > room {
			fits, found = n+written.within(room-x), true
		}
		n += utf8.RuneCountInString(word) + 1
		if x += written.width + p.blank(s); x-p.blank(s) > w+w/8+s.size {
			return fits, true
		}
	}
	if !found {
		fits = n
	}
	return fits, false
}

// shorten cuts a text that is too wide, about so many characters of which fit.
func (p *pageWriter) shorten(s style, text string, w measure.Length, fits int) string {
	runes := []rune(text)
	tried := map[string]writing{} // what is only tried is forgotten
	n := searchNear(len(runes), fits, func(n int) bool {
		t := string(runes[:n+1]) + "…"
		tried[t] = p.set(s, t)
		return tried[t].width > w
	})
	for ; n > 0; n-- { // kerning may still push the last one over
		t := strings.TrimRight(string(runes[:n]), " ,;:.") + "…"
		if out, ok := tried[t]; ok {
			p.in(s).texts[t] = out
		}
		if p.advance(s, t) <= w {
			return t
		}
	}
	return ""
}

// searchNear is sort.Search, in fewer calls where the answer is close to a guess.
func searchNear(n, guess int, f func(int) bool) int {
	low, high := 0, n // false before low, true from high on
	guess = min(max(guess, 0), n-1)
	for step := 1; low <= guess && guess < high; step *= 2 {
		if f(guess) {
			high, guess = guess, guess-step
		} else {
			low, guess = guess+1, guess+step
		}
	}
	return low + sort.Search(high-low, func(i int) bool { return f(low + i) })
}

// unbroken are a text's words, measures kept in one: "4 x 7 1/2 in" is never parted at the end of a line.
func unbroken(text string) []string {
	var out []string
	digit := func(c byte) bool { return c >= '0' && c <= '9' }
	for _, w := range strings.Fields(text) {
		if n := len(out); n > 0 {
			last := out[n-1]
			unit := strings.TrimRight(w, ".,:;)")
			if w == "x" || strings.HasSuffix(last, " x") || (unit == "in" || unit == "mm" || digit(w[0]) && strings.Contains(w, "/")) && digit(last[len(last)-1]) ||
				last == "row" || last == "page" || last == "pages" {
				out[n-1] += " " + w
				continue
			}
		}
		out = append(out, w)
	}
	return out
}

// breakLines breaks a text at its spaces so that no line is wider than w; a word that is wider is broken anywhere.
func (p *pageWriter) breakLines(s style, text string, w measure.Length) []string {
	var out []string
	line, used := "", measure.Length(0)
	blank := p.blank(s)
	for _, word := range unbroken(text) {
		n := p.advance(s, word)
		if line != "" && used+blank+n <= w {
			line, used = line+" "+word, used+blank+n
			continue
		}
		if line != "" {
			out = append(out, line)
		}
		for n > w && utf8.RuneCountInString(word) > 1 {
			cut := 0
			for i := range word {
				if i > 0 && p.advance(s, word[:i]) > w {
					break
				}
				cut = i
			}
			if cut == 0 {
				_, cut = utf8.DecodeRuneInString(word)
			}
			out = append(out, word[:cut])
			word = word[cut:]
			n = p.advance(s, word)
		}
		line, used = word, n
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// opening is a text that must be there whole and as many words of another one as its last line, of those that breakLines makes of it, has room for.
func (p *pageWriter) opening(s style, whole, more string, w measure.Length) string {
	lines := p.breakLines(s, whole, w)
	if len(lines) == 0 {
		return p.begun(s, more, w)
	}
	last := &lines[len(lines)-1]
	if begun := p.begun(s, more, w-p.sum(s, *last)-p.blank(s)); begun == more || utf8.RuneCountInString(begun) >= leastBegins {
		*last = strings.TrimSpace(*last + " " + begun)
	} else {
		*last = strings.TrimSuffix(*last, ":")
	}
	return strings.Join(lines, " ")
}

// begun is as many words of a text as fit w, with an ellipsis where some are left out; of one whose first word is wider, what short makes of it.
// It measures words alone, which texts have in common, as breakLines does.
func (p *pageWriter) begun(s style, text string, w measure.Length) string {
	x, fits, dots := -p.blank(s), 0, p.advance(s, "…")
	for at := 0; at < len(text); {
		end := at + strings.IndexByte(text[at:]+" ", ' ')
		if x += p.blank(s) + p.advance(s, text[at:end]); x+dots <= w {
			fits = end
		}
		if x > w {
			if fits == 0 {
				if w < 2*dots {
					return ""
				}
				return p.short(s, text, w)
			}
			return strings.TrimRight(text[:fits], " ,;:.") + "…"
		}
		at = end + 1
	}
	return text
}

// sum is how wide a text is by its words and spaces.
func (p *pageWriter) sum(s style, text string) measure.Length {
	x := -p.blank(s)
	for word := range strings.SplitSeq(text, " ") {
		x += p.blank(s) + p.advance(s, word)
	}
	return x
}

// para writes a paragraph at x, w wide, on as many pages as it takes.
func (p *pageWriter) para(x, w measure.Length, s style, text string) {
	for _, l := range p.breakLines(s, text, w) {
		p.need(s.line())
		p.text(x, p.y+s.size, s, l)
		p.y += s.line()
	}
}
