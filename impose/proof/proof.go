package proof

import (
	"cmp"
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
	Answers  []Answer          // that have come back, if any
	Fonts    *typeset.Library  // for Pages only, as is Font
	Font     func(*typeset.Face) *press.Font
}

// Of is the input for a proof of one person's blocks, which shows nothing of anybody else's: no other text, no sheet.
func (in Input) Of(person string) Input {
	others := func(owner string) bool { return owner != person }
	mine := map[problem.Place]bool{}
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

var page = template.Must(template.New("proof").Parse(pageHTML))

// Page writes the proof as one HTML file that asks for nothing else: fonts, pictures and script are in it, and a policy in its head
// forbids the browser to fetch anything. All that came out of a cell is escaped. The error is w's, or a font's that cannot be cut.
func Page(w io.Writer, in Input) error {
	v := pageView{Title: in.Title, Paper: paperCSS(in.Settings.Guide)}
	d := &drawing{in: in}
	v.stocks(in.Settings)
	v.owners(in, d)
	v.sheets(in, d)
	v.held(in)
	css := strings.Builder{}
	for _, f := range d.fonts.list {
		data, err := f.data()
		if err != nil {
			return fmt.Errorf("proof: font %s: %w", f.face.Name(), err)
		}
		fmt.Fprintf(&css, "@font-face{font-family:%s;src:url(data:font/sfnt;base64,%s)}\n.%s{font-family:%s,serif}\n", f.name, data, f.name, f.name)
	}
	v.CSS = template.CSS(pageCSS + css.String())
	v.JS = template.JS(pageJS)
	sum := sha256.Sum256([]byte(pageJS))
	v.Policy = "default-src 'none'; style-src 'unsafe-inline'; font-src data:; base-uri 'none'; form-action 'none'; script-src 'sha256-" +
		base64.StdEncoding.EncodeToString(sum[:]) + "'"
	return page.Execute(w, &v)
}

// pageView is what the page's template shows.
type pageView struct {
	Title, Policy string
	CSS, Paper    template.CSS
	JS            template.JS
	Stocks        []stockView
	Owners        []ownerView
	Blocks        int
	Noted         int // blocks
	Sheets        []sheetView
	Precuts       []string
	Held          []heldView
	General       []noteView // on no row
}

type ownerView struct {
	ID, Name string
	Blocks   []*blockView
	Held     int
}

type blockView struct {
	ID, Code, Page, Owner, Print string
	Picture                      template.HTML
	Width                        string // of the picture, in mm
	Facts                        string
	Lines                        []string // the text, to be read
	Lang                         string
	Notes                        []noteView
	Held                         []string // why it is held back
	OK                           bool
	Change                       string
}

// noteView is something found in the input.
type noteView struct{ Where, What, Cause, Hint string }

type heldView struct {
	Where, Code, Owner, Why string
	OwnerID                 string
	Block                   string // the ID of its picture, if there is one
	Mend                    []noteView
}

// owners fills in the blocks, person by person in the order of their names.
func (v *pageView) owners(in Input, d *drawing) {
	notes := map[problem.Place][]noteView{}
	for _, p := range in.Problems {
		if p.Severity == problem.Note && p.Place.Row > 0 {
			notes[p.Place.OfRow()] = append(notes[p.Place.OfRow()], noteView{cell(p.Place), p.What, p.Cause, p.Hint})
		}
	}
	why := map[problem.Place][]string{}
	for _, h := range in.Plan.Held {
		why[h.Place.OfRow()] = append(why[h.Place.OfRow()], h.Why)
	}
	on := map[problem.Place][]string{} // pieces
	for _, p := range in.Plan.Pieces {
		for _, b := range p.Blocks() {
			if names := on[b.Block.Place.OfRow()]; !slices.Contains(names, p.Name()) {
				on[b.Block.Place.OfRow()] = append(names, p.Name())
			}
		}
	}
	said := map[problem.Place]*Answer{}
	answers, _ := match(in.Answers, in.Blocks, in.Settings)
	for i := range in.Blocks {
		said[in.Blocks[i].Place.OfRow()] = answers[i]
	}
	byOwner := map[string]int{}
	for i := range in.Set {
		s := &in.Set[i]
		b := s.Block
		at, ok := byOwner[b.Owner]
		if !ok {
			at = len(v.Owners)
			byOwner[b.Owner] = at
			v.Owners = append(v.Owners, ownerView{Name: b.Owner})
		}
		key := b.Place.OfRow()
		id := "b" + strconv.Itoa(i)
		bv := &blockView{ID: id, Code: b.Code, Page: b.Page, Owner: b.Owner, Print: Fingerprint(b, in.Settings),
			Picture: d.drawBlock(s, id), Width: millimetres(b.Trim().W), Facts: facts(s, on[key], b.Unit), Lines: paragraphsOf(b),
			Lang: in.Settings.Language, Notes: notes[key], Held: why[key]}
		if a := said[key]; a != nil {
			bv.OK, bv.Change = a.OK, a.Change
		}
		if len(bv.Notes) > 0 || len(bv.Held) > 0 {
			v.Noted++
		}
		v.Owners[at].Blocks = append(v.Owners[at].Blocks, bv)
		v.Blocks++
	}
	for _, h := range in.Plan.Held {
		if _, ok := byOwner[h.Owner]; !ok && h.Owner != "" {
			byOwner[h.Owner] = len(v.Owners)
			v.Owners = append(v.Owners, ownerView{Name: h.Owner})
		}
		if h.Owner != "" {
			v.Owners[byOwner[h.Owner]].Held++
		}
	}
	slices.SortStableFunc(v.Owners, func(a, b ownerView) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	for i := range v.Owners {
		v.Owners[i].ID = "o" + strconv.Itoa(i)
	}
}

// held fills in what is held back, each with what to mend, and what was found on no row.
func (v *pageView) held(in Input) {
	mend, shown := map[problem.Place][]noteView{}, map[problem.Place]bool{}
	for i := range in.Set {
		shown[in.Set[i].Block.Place.OfRow()] = true
	}
	for _, p := range in.Problems {
		n := noteView{cell(p.Place), p.What, p.Cause, p.Hint}
		at := p.Place.OfRow()
		switch {
		case p.Place.Row == 0:
			n.Where = p.Place.String()
			v.General = append(v.General, n)
		case p.Severity == problem.Error || !shown[at]: // notes on a block that is shown stand there
			mend[at] = append(mend[at], n)
		}
	}
	picture, owner := map[string]string{}, map[string]string{}
	for _, o := range v.Owners {
		owner[o.Name] = o.ID
		for _, b := range o.Blocks {
			picture[b.Code] = b.ID
		}
	}
	for _, h := range in.Plan.Held {
		v.Held = append(v.Held, heldView{Where: h.Place.String(), Code: h.Code, Owner: h.Owner, OwnerID: owner[h.Owner], Why: problem.Capital(h.Why), Block: picture[h.Code],
			Mend: mend[h.Place.OfRow()]})
	}
}

// cell is where in its row a problem lies.
func cell(p problem.Place) string { return problem.Place{Column: p.Column, Cell: p.Cell}.String() }

// facts are a block's measures in one line.
func facts(s *typeset.Setting, pieces []string, u measure.Unit) string {
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

// paragraphsOf is a block's text in its lines and paragraphs.
func paragraphsOf(b *intake.Block) []string {
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
	return template.CSS("@page{size:" + millimetres(s.W) + "mm " + millimetres(s.H) + "mm;margin:12.7mm}")
}

// millimetres prints a length for CSS, exactly enough: to a thousandth.
func millimetres(l measure.Length) string { return decimal(int64(l)*1000/int64(measure.Millimetre), 3) }

// decimal prints n in units of 10^-places without needless digits.
func decimal(n int64, places int) string {
	scale := int64(1)
	for range places {
		scale *= 10
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(n/scale, 10)
	if r := n % scale; r != 0 {
		s += "." + strings.TrimRight(fmt.Sprintf("%0*d", places, r), "0")
	}
	return sign + s
}
