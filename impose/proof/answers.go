package proof

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Answer is what somebody said of a block: that it is right, or what to change, or the text or the space that was missing.
type Answer struct {
	Code   string
	Print  string // the fingerprint of the row that was looked at, or "" where somebody typed the line without one
	OK     bool
	Change string // what to change
	Text   string // for the row; only with a fingerprint
	Space  string // likewise
	File   string
	Line   int
	Aside  bool // the code is named in what is said of another block

	Taken *problem.Place // the row that the text or the space was put into, once it was
}

// gives reports an answer that gives a text or a space.
func (a *Answer) gives() bool { return a.Text != "" || a.Space != "" }

// Fingerprint stands for all that a row asks for, in eight hexadecimal digits. What the row leaves to the settings is not in
// it, so that a new configuration alone settles no wish for a change.
func Fingerprint(b *intake.Block, s *config.Settings) string {
	h := sha256.New()
	put := func(key string, v any) { fmt.Fprintf(h, "%s=%q\n", key, fmt.Sprint(v)) }
	put("title", b.Title)
	for _, p := range b.Text {
		for _, r := range p {
			fmt.Fprintf(h, "%q %v %v ", r.Text, r.Bold, r.Italic)
		}
		put("end of", "paragraph")
	}
	put("end", b.End)
	put("page", b.Page)
	put("space", b.Space)
	put("copies", b.Copies)
	put("turn", b.Turn)
	differs := func(key string, v, usual any) {
		if v != usual {
			put(key, v)
		}
	}
	stock, _ := s.Stock(b.Stock)
	differs("stock", b.Stock, s.Default)
	differs("tuck", b.Tuck, stock.Tuck)
	differs("font", b.Font, s.Type.Font)
	differs("largest", cmp.Or(b.Type.Wished, s.Type.Caption), s.Type.Caption)
	differs("align", b.Type.Align, s.Type.Align)
	differs("vertical", b.Type.Vertical, s.Type.Vertical)
	differs("ink", b.Type.Ink, s.Type.Ink)
	for _, wish := range intake.AddedWishes(b, s) { // so that a fingerprint on its way stays what it is
		put(wish[0], wish[1])
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// Outcome is what answers come to for the rows of a job.
type Outcome struct {
	Held     []intake.Held // blocks with a wish for a change whose rows are as they were
	Problems problem.List  // an error for each of these; notes on answers that no longer fit
	Approved int           // rows
	Given    int           // that got a text or a space from an answer, and no other answer since
	Wanted   int
	Open     int      // without an answer to the row as it is now
	Silent   []string // who has rows without an answer, in the order of the job
}

// asked are the rows that a proof asks about: blocks, and what was read of those that are held.
func asked(blocks []intake.Block, held []intake.Held) []*intake.Block {
	var out []*intake.Block
	for i := range blocks {
		out = append(out, &blocks[i])
	}
	for _, h := range held {
		if h.Read != nil && h.Code != "" {
			out = append(out, h.Read)
		}
	}
	return out
}

// Tally holds answers against blocks, and against rows that are held. Of several answers to the same row the last counts. An answer
// goes with its row: by code and fingerprint, and where the code has moved, since a row was put in above, by the fingerprint among
// the same person's rows. What gives a text or a space was put into its row before.
func Tally(list []Answer, blocks []intake.Block, held []intake.Held, s *config.Settings) Outcome {
	var o Outcome
	rows := asked(blocks, held)
	given := map[problem.Place]bool{}
	for i := range list {
		if at := list[i].Taken; at != nil {
			given[*at] = true
		}
	}
	said, stale, outdone := match(list, rows, s)
	for _, pair := range outdone {
		wish, ok := pair[0], pair[1]
		o.Problems.Note(problem.Place{File: wish.File}, fmt.Sprintf("line %d wants a change in %s: %s; the ok in line %d comes after it, and counts", wish.Line, wish.Code, measure.Quote(wish.Change), ok.Line), "",
			"if the change is still wanted, take the line with the ok out")
	}
	for i, b := range rows {
		a := said[i]
		at := b.Place.OfRow()
		switch {
		case a == nil && given[at]:
			o.Given++
		case a == nil || a.OK && i >= len(blocks): // what cannot be printed cannot be approved
			o.Open++
			if !slices.Contains(o.Silent, b.Owner) {
				o.Silent = append(o.Silent, b.Owner)
			}
		case a.OK:
			o.Approved++
		default:
			o.Wanted++
			what := fmt.Sprintf("a change is wanted in %s: %s", b.Code, measure.Quote(a.Change))
			hint := "mend the row; if it is to stay as it is, take the line out of the answers"
			if a.Print == "" {
				hint = "mend the row, then take the line out of the answers: it does not say which text it was about"
			}
			if a.Aside {
				what = fmt.Sprintf("%s is named in what is wanted of another block: %s", b.Code, measure.Quote(a.Change))
				hint = fmt.Sprintf("if %s is right as it is, write “%s ok” below that line", b.Code, b.Code)
			}
			o.Problems = append(o.Problems, problem.Problem{Place: at, What: what, Cause: fmt.Sprintf("%s, line %d, asks for it, and the row is as it was", a.File, a.Line),
				Hint: hint, Kind: problem.Wish})
			o.Held = append(o.Held, intake.Held{Place: at, Code: b.Code, Owner: b.Owner, Why: what})
		}
	}
	codes := map[string]*intake.Block{}
	for _, b := range rows {
		codes[b.Code] = b
	}
	for _, a := range stale {
		b := codes[a.Code]
		at := problem.Place{File: a.File}
		wish := ""
		if !a.OK {
			wish = ": " + measure.Quote(a.Change)
		}
		switch {
		case b == nil:
			o.Problems.Note(at, fmt.Sprintf("line %d answers for %s, which is not among the blocks%s", a.Line, a.Code, wish),
				"the row is gone, or the answers are those of another job", "check that the answers belong to this job")
		case a.OK:
			o.Problems.Note(at, fmt.Sprintf("%s was changed after it was approved in line %d", a.Code, a.Line), "",
				"let "+b.Owner+" look at it again")
		default:
			o.Problems.Note(at, fmt.Sprintf("%s was changed after line %d asked for it: %s", a.Code, a.Line, measure.Quote(a.Change)), "",
				"let "+b.Owner+" look at it again")
		}
	}
	return o
}

// match finds for every row the answer that counts, or nil, and lists the answers to rows that are no longer so. An answer
// that a later one to the same code settles is not listed, nor one that gives a text or a space. Outdone are the wishes to a row as it is that a later ok
// settles, each with that.
func match(list []Answer, rows []*intake.Block, s *config.Settings) (said, stale []*Answer, outdone [][2]*Answer) {
	said = make([]*Answer, len(rows))
	if len(list) == 0 {
		return said, nil, nil
	}
	where := placesOf(rows, s)
	settled := map[string]bool{} // codes
	var loose []*Answer
	for i := len(list) - 1; i >= 0; i-- { // the last counts
		a := &list[i]
		if a.gives() {
			continue
		}
		at, ok := where.exact[codeAndPrint{a.Code, a.Print}]
		if a.Print == "" {
			at, ok = where.byCode[a.Code]
		}
		switch {
		case !ok:
			loose = append(loose, a)
		case said[at] == nil || said[at].Aside && a.Print != "": // what was ticked in the proof stands, whatever another block is compared with
			said[at] = a
			settled[a.Code] = true
		case said[at].OK && !a.OK && !a.Aside:
			outdone = append(outdone, [2]*Answer{a, said[at]})
		}
	}
	for _, a := range loose {
		found := false
		for _, at := range where.moved[codeAndPrint{letters(a.Code), a.Print}] {
			if found = said[at] == nil || said[at].Code == a.Code; found {
				if said[at] == nil {
					said[at] = a
				}
				break
			}
		}
		if !found && !settled[a.Code] {
			stale = append(stale, a)
			settled[a.Code] = true
		}
	}
	slices.Reverse(stale)
	slices.Reverse(outdone)
	return said, stale, outdone
}

// codeAndPrint is what answers are found by.
type codeAndPrint struct{ code, print string }

// places are where rows are found.
type places struct {
	exact  map[codeAndPrint]int
	byCode map[string]int
	moved  map[codeAndPrint][]int // by the letters of the code
}

func letters(code string) string { l, _, _ := strings.Cut(code, "-"); return l }

func placesOf(rows []*intake.Block, s *config.Settings) *places {
	p := &places{map[codeAndPrint]int{}, map[string]int{}, map[codeAndPrint][]int{}}
	for i, b := range rows {
		p.byCode[b.Code] = i
		p.add(i, b, s)
	}
	return p
}

// add has the row found by what it asks for now.
func (p *places) add(i int, b *intake.Block, s *config.Settings) {
	f := Fingerprint(b, s)
	p.exact[codeAndPrint{b.Code, f}] = i
	k := codeAndPrint{letters(b.Code), f}
	p.moved[k] = append(p.moved[k], i)
}
