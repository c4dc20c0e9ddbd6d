package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Kept is a place at which a copy of a block stays while the rest of its stock is laid anew: the sheet, and the cuts by which the block comes off.
// A desk writes it into the block's row.
type Kept struct {
	Number   int          // of the sheet: blocks that are kept on one sheet have the same
	Leftover bool         // the sheet is one
	Size     measure.Size // of the sheet as it is laid
	Panels   *KeptPart    // how the sheet is cut before printing; a leaf: it is fed whole
	Cuts     []KeptCut    // of the piece, from the whole of it to the block
	Turned   bool
	Printer  string
	Stock    string
}

// KeptPart is a part of a sheet that is cut before printing: cut in two, or a panel.
type KeptPart struct {
	Across    bool
	At        measure.Length // from the left, or the top, of the sheet
	Near, Far *KeptPart      // nil: a panel
	Here      bool           // of a panel: the block lies on it
}

// KeptCut is a cut of a piece, and the part of the two in which the block is.
type KeptCut struct {
	Across bool
	At     measure.Length // from the left, or the top, of the piece
	Far    bool
}

// String is what stands in the cell: "sheet 2 7772400x10058400 * a2743200< d1828800> turned by \"home\" of \"vellum\"". A cut is down or across and where it goes,
// in EMU; the panels come as cut, near part, far part, with * for the block's own and . for the others; < and > say in which part the block is.
func (k Kept) String() string {
	var b strings.Builder
	kind := "sheet"
	if k.Leftover {
		kind = "leftover"
	}
	fmt.Fprintf(&b, "%s %d %dx%d", kind, k.Number, k.Size.W, k.Size.H)
	k.Panels.write(&b)
	for _, c := range k.Cuts {
		side := "<"
		if c.Far {
			side = ">"
		}
		b.WriteString(" " + cutText(c.Across, c.At) + side)
	}
	if k.Turned {
		b.WriteString(" turned")
	}
	b.WriteString(" by " + strconv.Quote(k.Printer) + " of " + strconv.Quote(k.Stock))
	return b.String()
}

func cutText(across bool, at measure.Length) string {
	if across {
		return fmt.Sprintf("a%d", at)
	}
	return fmt.Sprintf("d%d", at)
}

func (p *KeptPart) write(b *strings.Builder) {
	switch {
	case p.Near != nil:
		b.WriteString(" " + cutText(p.Across, p.At))
		p.Near.write(b)
		p.Far.write(b)
	case p.Here:
		b.WriteString(" *")
	default:
		b.WriteString(" .")
	}
}

// KeptText is what stands in the cell of a row whose copies are kept at the places.
func KeptText(places []Kept) string {
	var out []string
	for _, k := range places {
		out = append(out, k.String())
	}
	return strings.Join(out, "; ")
}

// mostKeptCuts is the most cuts of a place: more than any block needs.
const mostKeptCuts = 200

// ParseKept reads what KeptText has written; false: it is something else.
func ParseKept(text string) (places []Kept, ok bool) {
	for text = strings.TrimSpace(text); text != ""; {
		cuts, rest, found := strings.Cut(text, " by ")
		k, ok := parseKept(strings.Fields(cuts))
		if !found || !ok {
			return nil, false
		}
		if k.Printer, rest, ok = unquoted(rest); !ok || !strings.HasPrefix(rest, " of ") {
			return nil, false
		}
		if k.Stock, rest, ok = unquoted(rest[len(" of "):]); !ok {
			return nil, false
		}
		places = append(places, k)
		if text = strings.TrimPrefix(rest, "; "); text != "" && text == rest {
			return nil, false
		}
	}
	return places, true
}

// unquoted is the quoted word that a text begins with, and what follows it.
func unquoted(text string) (word, rest string, ok bool) {
	quoted, err := strconv.QuotedPrefix(text)
	if err != nil {
		return "", "", false
	}
	word, err = strconv.Unquote(quoted)
	return word, text[len(quoted):], err == nil
}

func parseKept(words []string) (k Kept, ok bool) {
	if len(words) < 4 || len(words) > mostKeptCuts || words[0] != "sheet" && words[0] != "leftover" {
		return k, false
	}
	n, err := strconv.Atoi(words[1])
	w, h, _ := strings.Cut(words[2], "x")
	k = Kept{Number: n, Leftover: words[0] == "leftover", Size: measure.Size{W: keptLength(w), H: keptLength(h)}}
	if err != nil || n < 1 || k.Size.W == 0 || k.Size.H == 0 {
		return k, false
	}
	here := 0
	var rest []string
	if k.Panels, rest = parsePanels(words[3:], &here); k.Panels == nil || here != 1 {
		return k, false
	}
	if last := len(rest) - 1; last >= 0 && rest[last] == "turned" {
		k.Turned, rest = true, rest[:last]
	}
	for _, word := range rest {
		c := KeptCut{Far: strings.HasSuffix(word, ">")}
		if !c.Far && !strings.HasSuffix(word, "<") {
			return k, false
		}
		if c.Across, c.At, ok = parseCut(word[:len(word)-1]); !ok {
			return k, false
		}
		k.Cuts = append(k.Cuts, c)
	}
	return k, true
}

// parsePanels reads the parts of a sheet, and counts those that the block is on. Nil: they are something else.
func parsePanels(words []string, here *int) (*KeptPart, []string) {
	if len(words) == 0 {
		return nil, nil
	}
	word, words := words[0], words[1:]
	switch word {
	case "*":
		*here++
		return &KeptPart{Here: true}, words
	case ".":
		return &KeptPart{}, words
	}
	across, at, ok := parseCut(word)
	if !ok {
		return nil, nil
	}
	p := &KeptPart{Across: across, At: at}
	if p.Near, words = parsePanels(words, here); p.Near == nil {
		return nil, nil
	}
	if p.Far, words = parsePanels(words, here); p.Far == nil {
		return nil, nil
	}
	return p, words
}

func parseCut(word string) (across bool, at measure.Length, ok bool) {
	if word == "" || word[0] != 'a' && word[0] != 'd' {
		return false, 0, false
	}
	at = keptLength(word[1:])
	return word[0] == 'a', at, at > 0
}

// keptLength is a length in EMU; 0: it is none, or longer than any paper.
func keptLength(digits string) measure.Length {
	n, err := strconv.ParseInt(digits, 10, 64)
	if err != nil || n < 0 || n > int64(measure.LongestRead) {
		return 0
	}
	return measure.Length(n)
}

// holdBack reads whether the row is held back for now.
func (e *entry) holdBack(b *Block) {
	e.yes(asHold, &b.Hold, "write yes where the block is not to be printed for now, else nothing")
}

// FirstOnHold is the first cell of the table that holds a block back; none: no block is.
func (s *Sheet) FirstOnHold() problem.Place {
	for i := s.Head + 1; i < len(s.Rows) && s.column(asHold) != nil; i++ {
		e := entry{sheet: s, row: &s.Rows[i]}
		if c, col := e.cell(asHold); c != nil {
			if yes, known := parseYes(c.Text); yes || !known {
				return s.place(e.row, col)
			}
		}
	}
	return problem.Place{}
}

// kept reads where the block is to stay. What a person cannot have meant to type is only told: the block is laid as any other.
func (e *entry) kept(b *Block) {
	c, col := e.cell(asKept)
	if c == nil {
		return
	}
	places, ok := ParseKept(c.Text)
	if !ok {
		e.note(col, "where the block was kept cannot be read any more", "the cell was changed by hand", "keep the block again where it lies now")
		return
	}
	slices.SortStableFunc(places, func(x, y Kept) int { return cmp.Compare(x.Number, y.Number) })
	b.Kept = places
}
