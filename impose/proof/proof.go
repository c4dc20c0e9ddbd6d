package proof

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Input is what a proof is made from. Plan's pages are numbered as the print's will be.
type Input struct {
	Title    string // of the job
	Plan     *plan.Plan
	Settings *config.Settings
	Blocks   []intake.Block    // that were read
	Set      []typeset.Setting // of them; a block that could not be set has none
	Problems problem.List      // of the whole run
	Read     *intake.Job       // what the spreadsheets held; nil where the blocks come from elsewhere
	Answers  []Answer          // that have come back, if any
	Fonts    *typeset.Library  // for Pages only, as is Font
	Font     func(*typeset.Face) *press.Font

	person string // whose blocks alone it shows, or ""
}

// Of is the input for a proof of one person's blocks, which shows nothing of anybody else's: no other text, no sheet.
func (in Input) Of(person string) Input {
	others := func(owner string) bool { return owner != person }
	mine := map[problem.Place]bool{}
	in.person = person
	p := *in.Plan
	p.Pieces, p.Sheets = nil, nil
	p.Held = slices.DeleteFunc(slices.Clone(p.Held), func(h intake.Held) bool { return others(h.Owner) })
	for _, h := range p.Held {
		mine[h.Place.OfRow()] = true
	}
	in.Plan = &p
	in.Blocks = slices.DeleteFunc(slices.Clone(in.Blocks), func(b intake.Block) bool { return others(b.Owner) })
	in.Set = slices.DeleteFunc(slices.Clone(in.Set), func(s typeset.Setting) bool { return others(s.Block.Owner) })
	for i := range in.Blocks {
		mine[in.Blocks[i].Place.OfRow()] = true
	}
	in.Problems = slices.DeleteFunc(slices.Clone(in.Problems), func(p problem.Problem) bool { return !mine[p.Place.OfRow()] })
	return in
}

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// IsPage reports whether a file is a proof, whoever's.
func IsPage(file []byte) bool {
	head, title, _ := strings.Cut(pageHTML, "<title>")
	title, _, _ = strings.Cut(title, "{{")
	doctype, _, _ := strings.Cut(head, "\n")
	return bytes.HasPrefix(file, []byte(doctype)) && bytes.Contains(file[:min(len(file), 2000)], []byte("<title>"+title))
}

var page = template.Must(template.New("proof").Parse(pageHTML))

// Page writes the proof as one HTML file that asks for nothing else: fonts, pictures and script are in it, and a policy in its head
// forbids the browser to fetch anything. All that came out of a cell is escaped. The error is w's, or a font's that cannot be cut.
func Page(w io.Writer, in Input) error {
	v := pageView{Patterns: template.HTML(draw.Patterns), Title: in.Title, Person: in.person, Paper: paperCSS(in.Settings.Guide)}
	d := newDrawing(in)
	v.stocks(in.Settings)
	v.owners(in, d)
	v.sheets(in, d)
	v.general(in)
	css := strings.Builder{}
	for _, f := range d.fonts.list {
		data, err := f.data()
		if err != nil {
			return fmt.Errorf("proof: font %s: %w", f.face.Name(), err)
		}
		fmt.Fprintf(&css, "@font-face{font-family:%s;src:url(data:font/sfnt;base64,%s)}\n.%s{font-family:%s,serif}\n", f.name, data, f.name, f.name)
	}
	v.CSS = template.CSS(pageCSS + draw.PictureCSS + css.String())
	v.JS = template.JS(pageJS)
	sum := sha256.Sum256([]byte(pageJS))
	v.Policy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'; script-src 'sha256-" +
		base64.StdEncoding.EncodeToString(sum[:]) + "'"
	return page.Execute(w, &v)
}

// pageView is what the page's template shows.
type pageView struct {
	Title, Policy string
	Person        string // the only one whose blocks are shown, or ""
	CSS, Paper    template.CSS
	Patterns      template.HTML
	JS            template.JS
	Stocks        []stockView
	Owners        []ownerView
	Blocks        int // that are drawn
	Held          int // rows
	Noted         int // cards
	Sheets        []sheetView
	Precuts       []string
	General       []string // for the organiser: on no row, or on one of nobody's
}

// Facts are a block's measures in one line.
func Facts(s *typeset.Setting, pieces []string, u measure.Unit) string {
	b := s.Block
	parts := []string{b.Space.About(u) + " space", b.Stock}
	if tuck := b.Tuck.About(u); tuck != "" {
		parts = slices.Insert(parts, 1, "tuck "+tuck)
	}
	parts = append(parts, s.Face+" "+strconv.FormatFloat(s.Size.Points(), 'f', -1, 64)+" pt")
	if b.Copies > 1 {
		parts = append(parts, strconv.Itoa(b.Copies)+" copies")
	}
	if len(pieces) > 0 {
		parts = append(parts, "on "+strings.Join(pieces, ", "))
	}
	return strings.Join(parts, " · ")
}

// Paragraphs is a block's text in its lines and paragraphs.
func Paragraphs(b *intake.Block) []string {
	var out []string
	add := func(s string) {
		if s = strings.TrimSpace(s); s != "" {
			out = append(out, s)
		}
	}
	add(b.Title)
	for _, p := range b.Text {
		var line strings.Builder
		for _, r := range p {
			line.WriteString(r.Text)
		}
		add(line.String())
	}
	add(b.End)
	return out
}

// paperCSS is the paper that the page is printed on: the guides' own.
func paperCSS(s measure.Size) template.CSS {
	return template.CSS("@page{size:" + draw.Millimetres(s.W) + "mm " + draw.Millimetres(s.H) + "mm;margin:12.7mm}")
}
