package proof

import (
	"cmp"
	"html/template"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// ownerView is a person with their cards: first the rows that something is missing of.
type ownerView struct {
	ID, Name string
	Cards    []*card
	Blocks   int // that are drawn
	Held     int
}

// card is a row: a block as it will look, or what keeps it from being printed, with the boxes to answer in.
type card struct {
	ID, Code, Page, Owner, Print string
	Picture                      template.HTML // nothing where the block could not be set
	Facts                        string
	Lines                        []string // the text, to be read
	Lang                         string
	Notes                        []string
	Held                         []string // why it is held back, and what to do

	OK     bool
	Change string
	Ask    ask
	Text   string // as it was typed, to be changed
	Space  string // likewise
	Side   string // which measure of it is asked for, in whole words
}

// ask is what a card asks for beside a tick or a wish.
type ask struct{ Text, Space bool }

// owners fills in the cards, person by person in the order of their names.
func (v *pageView) owners(in Input, d *drawing) {
	on := map[problem.Place][]string{} // pieces
	for _, p := range in.Plan.Pieces {
		for _, b := range p.Blocks() {
			if names := on[b.Block.Place.OfRow()]; !slices.Contains(names, p.Name()) {
				on[b.Block.Place.OfRow()] = append(names, p.Name())
			}
		}
	}
	set := map[problem.Place]*typeset.Setting{}
	for i := range in.Set {
		set[in.Set[i].Block.Place.OfRow()] = &in.Set[i]
	}
	found := map[problem.Place]problem.List{}
	for _, p := range in.Problems {
		found[p.Place.OfRow()] = append(found[p.Place.OfRow()], p)
	}
	held := map[problem.Place]*intake.Held{}
	for i := range in.Plan.Held {
		held[in.Plan.Held[i].Place.OfRow()] = &in.Plan.Held[i]
	}
	rows := asked(in.Blocks, in.Plan.Held)
	said, _, _, _ := match(in.Answers, rows, in.Settings)
	byOwner := map[string]int{}
	for i, b := range rows {
		key := b.Place.OfRow()
		s, h := set[key], held[key]
		if s == nil && h == nil || b.Owner == "" {
			continue
		}
		at, ok := byOwner[b.Owner]
		if !ok {
			at = len(v.Owners)
			byOwner[b.Owner] = at
			v.Owners = append(v.Owners, ownerView{Name: b.Owner})
		}
		o := &v.Owners[at]
		c := &card{ID: "b" + strconv.Itoa(i), Code: b.Code, Page: b.Page, Owner: b.Owner, Print: Fingerprint(b, in.Settings), Lines: Paragraphs(b),
			Lang: in.Settings.LanguageTag(), Text: b.Markup(), Side: sideAsked(b)}
		if s != nil {
			c.Picture, c.Facts = d.drawBlock(s, c.ID), Facts(s, on[key], b.Unit)
			o.Blocks++
			v.Blocks++
		}
		if h != nil {
			o.Held++
			v.Held++
		}
		c.found(found[key], h, in.Read)
		if b.Space.W > 0 && b.Space.H > 0 {
			c.Space = b.Space.Format(b.Unit)
		}
		if a := said[i]; a != nil && !a.doubt { // else it is another's answer
			c.OK, c.Change = a.OK, a.Change
		}
		if len(c.Notes) > 0 || h != nil {
			v.Noted++
		}
		o.Cards = append(o.Cards, c)
	}
	slices.SortStableFunc(v.Owners, func(a, b ownerView) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	for i := range v.Owners {
		o := &v.Owners[i]
		o.ID = "o" + strconv.Itoa(i)
		slices.SortStableFunc(o.Cards, func(a, b *card) int { return missing(b) - missing(a) })
	}
}

// sideAsked is what a card calls the space that it asks for: both measures, or the one that is missing.
func sideAsked(b *intake.Block) string {
	said := "The space, width x height"
	switch w, h := b.Space.W, b.Space.H; {
	case w <= 0 && h > 0:
		said = "The width (the height is " + h.About(b.Unit) + ")"
	case h <= 0 && w > 0:
		said = "The height (the width is " + w.About(b.Unit) + ")"
	}
	return said + "; a number alone is in " + b.Unit.Name()
}

func missing(c *card) int {
	if c.Picture == "" {
		return 1
	}
	return 0
}

// found says what was found in the row, and by that what is asked for.
func (c *card) found(list problem.List, h *intake.Held, read *intake.Job) {
	for i := range list {
		p := &list[i]
		as := read.As(p.Place)
		if p.Kind == problem.Advice || p.Kind == problem.ForOrganiser && p.Severity == problem.Note {
			continue // it is the organiser's to weigh
		}
		if p.Severity == problem.Note {
			c.Notes = append(c.Notes, p.Sentences(as))
			continue
		}
		c.Held = append(c.Held, p.Sentences(as))
		switch as {
		case "Journaling":
			c.Ask.Text = true
			c.Ask.Space = c.Ask.Space || h != nil && h.Read == nil // what was read, and cannot be set: a larger space would do as well
		case "Width", "Height", "Space":
			c.Ask.Space = true
		}
	}
	if h != nil && len(c.Held) == 0 {
		c.Held = append(c.Held, problem.Capital(h.Why)+".")
	}
}

// general fills in what only the organiser can settle.
func (v *pageView) general(in Input) {
	read := map[problem.Place]bool{} // whose cards show them
	for _, b := range asked(in.Blocks, in.Plan.Held) {
		read[b.Place.OfRow()] = true
	}
	nobodys := map[problem.Place]bool{}
	for _, h := range in.Plan.Held {
		at := h.Place.OfRow()
		nobodys[at] = h.Owner == "" || h.Code == "" || !read[at]
	}
	for i := range in.Problems {
		p := &in.Problems[i]
		if p.Kind == problem.Advice || p.Place.Row > 0 && !nobodys[p.Place.OfRow()] {
			continue
		}
		at := p.Place.String()
		if at != "" {
			at += ": "
		}
		v.General = append(v.General, at+p.Sentences(""))
	}
}
