package proof

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Answer is what somebody said of a block: that it is right, or what to change, or the text or the space that was missing.
type Answer struct {
	Code     string
	Print    string // the fingerprint of the row that was looked at, or "" where somebody typed the line without one
	OK       bool
	Change   string // what to change
	All      string // likewise, where Change is the beginning of it; else ""
	Text     string // for the row; only with a fingerprint
	Space    string // likewise
	File     string
	Line     int
	Aside    bool   // the code is named in what is said of another block
	begins   bool   // and its line begins with it, as one that somebody typed by hand
	left     bool   // it has an answer there with others, of which the file has too many
	letter   int    // of those in the file, each below a line of our own
	by       string // who sent it, in a chat
	retracts bool   // it takes back what the same sender has given for the row

	Taken *problem.Place // the row that the text or the space was put into, once it was
	Row   *problem.Place // the row that was looked at, once Give has found it; answers may have changed it since
	doubt bool           // what was wanted of another person's block that says the same
	after *Answer        // the ok to its code that comes after it, which may be another row's
	gone  *Answer        // the ok to its own row that comes after it, where that is not there any more
}

// gives reports an answer that gives a text or a space.
func (a *Answer) gives() bool { return a.Text != "" || a.Space != "" }

// Fingerprint stands for all that a row asks for, in eight hexadecimal digits. What the row leaves to the settings is not in
// it, so that a new configuration alone settles no wish for a change. Rows whose text or space is missing are often alike, so that
// whose they are is in it as well: what somebody gives for theirs must not come to another's.
func Fingerprint(b *intake.Block, s *config.Settings) string {
	if lacks(b) {
		return printOf(b, s, intake.Folded(b.Owner))
	}
	return anybodys(b, s)
}

// lacks reports whether the text or the space of the row is missing.
func lacks(b *intake.Block) bool { return len(b.Text) == 0 || b.Space.W <= 0 || b.Space.H <= 0 }

// anybodys is the fingerprint of a row whosever it is, as all were once.
func anybodys(b *intake.Block, s *config.Settings) string { return printOf(b, s, "") }

func printOf(b *intake.Block, s *config.Settings, owner string) string {
	h := sha256.New()
	put := func(key string, v any) { fmt.Fprintf(h, "%s=%q\n", key, fmt.Sprint(v)) }
	if owner != "" {
		put("owner", owner)
	}
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
	wholes   map[wished]int
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
// the same person's rows. What gives a text or a space was put into its row before; a wish to the row as it was then still counts, an ok does not.
func Tally(list []Answer, blocks []intake.Block, held []intake.Held, s *config.Settings) Outcome {
	var o Outcome
	rows := asked(blocks, held)
	given := map[problem.Place]bool{}
	for i := range list {
		if at := list[i].Taken; at != nil {
			given[*at] = true
		}
	}
	said, stale, outdone, trusted := match(list, rows, s)
	o.tellSettled(trusted)
	type once struct {
		of          key
		wish        string
		line, other int
		file        [2]string
	}
	told := map[once]bool{}
	for _, pair := range outdone {
		wish, other := pair[0], pair[1]
		it := once{wish.key(), wish.Change, wish.Line, other.Line, [2]string{wish.File, other.File}}
		if told[it] { // a line may name a block more than once
			continue
		}
		told[it] = true
		what := fmt.Sprintf("line %d wants a change in %s: %s", wish.Line, wish.Code, wish.quoted())
		if wish.Aside {
			what = fmt.Sprintf("line %d names %s beside another block: %s", wish.Line, wish.Code, wish.quoted())
		}
		switch at := (problem.Place{File: wish.File}); {
		case !other.OK:
			o.note(wish, at, fmt.Sprintf("%s; line %d of %s asks for another in the same row", what, other.Line, other.File), "", "look whether both are wanted")
		case wish.File == other.File && other.Line < wish.Line: // what was ticked in the proof stands
			o.note(wish, at, fmt.Sprintf("%s; the ok in line %d counts", what, other.Line), "", "if that change is wanted, take the line with the ok out")
		default:
			o.note(wish, at, fmt.Sprintf("%s; the ok in line %d comes after it, and counts", what, other.Line), "", "if the change is still wanted, take the line with the ok out")
		}
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
			cause := fmt.Sprintf("%s, line %d, asks for it, and the row is as it was", a.File, a.Line)
			what := fmt.Sprintf("a change is wanted in %s: %s", b.Code, a.quoted())
			hint := "mend the row; if it is to stay as it is, take the line out of the answers"
			if a.Print == "" {
				hint = "mend the row, then take the line out of the answers: it does not say which text it was about"
			}
			if okForm(" " + a.Change) { // it stands behind something else in its line
				what = fmt.Sprintf("the ok for %s is in doubt: it stands behind what is said of something else", b.Code)
				cause = fmt.Sprintf("%s, line %d", a.File, a.Line)
				hint = fmt.Sprintf("if %s is right as it is, write “%s ok” in a line of its own below that one", b.Code, b.Code)
			}
			if a.Aside {
				what = fmt.Sprintf("%s is named in what is wanted of another block: %s", b.Code, a.quoted())
				hint = fmt.Sprintf("if %s is right as it is, write “%s ok” below that line", b.Code, b.Code)
			}
			if a.left {
				what = fmt.Sprintf("%s is named with others where the file names too many so: %s", b.Code, a.quoted())
			}
			if a.doubt {
				what = fmt.Sprintf("a change is wanted in %s, which may be %s by now: %s", a.Code, b.Code, a.quoted())
				cause = fmt.Sprintf("%s, line %d, asks for it; two people with the same initials have this very block, and codes move when rows are put in or taken out", a.File, a.Line)
				hint = fmt.Sprintf("if %s is right as it is, write “%s ok” below that line", b.Code, b.Code)
			}
			all := o.whole(a, what)
			o.Problems = append(o.Problems, problem.Problem{Place: at, What: what, Whole: all, Cause: cause, Hint: hint, Kind: problem.Wish})
			o.Held = append(o.Held, intake.Held{Place: at, Code: b.Code, Owner: b.Owner, Why: what, Whole: all})
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
			wish = ": " + a.quoted()
		}
		if ok := a.gone; ok != nil {
			wish += fmt.Sprintf("; the ok in line %d of %s comes after it", ok.Line, ok.File)
		}
		switch {
		case a.after != nil:
			o.note(a, at, fmt.Sprintf("line %d wants a change in %s%s; the ok in line %d of %s, which comes after it, may be about another row", a.Line, a.Code, wish, a.after.Line, a.after.File),
				"rows were put in or taken out while answers came, and codes move with them", "look whether the row that it is about is as it should be, and take the line out of the answers")
		case b == nil:
			o.note(a, at, fmt.Sprintf("line %d answers for %s, which is not among the blocks%s", a.Line, a.Code, wish),
				"the row is gone, or the answers are those of another job", "check that the answers belong to this job")
		case a.OK:
			o.note(a, at, fmt.Sprintf("%s was changed after it was approved in line %d", a.Code, a.Line), "",
				"let "+b.Owner+" look at it again")
		default:
			o.note(a, at, fmt.Sprintf("%s was changed after line %d asked for it%s", a.Code, a.Line, wish), "",
				"let "+b.Owner+" look at it again")
		}
	}
	return o
}

// match finds for every row the answer that counts, or nil, and lists the answers to rows that are no longer so. An answer
// that a later one to the same code settles is not listed, unless that may be about another row, nor one that gives a text or a space. Outdone are the wishes to a row as it is that a later ok
// settles, or that stand beside another wish, or beside one to what the row was in another proof, each with that. Trusted are
// the wishes that are taken for settled by an ok to their code.
func match(list []Answer, rows []*intake.Block, s *config.Settings) (said, stale []*Answer, outdone [][2]*Answer, trusted []*Answer) {
	said = make([]*Answer, len(rows))
	if len(list) == 0 {
		return said, nil, nil, nil
	}
	where := found(list, rows, s)
	counts := map[string]bool{} // codes with an answer that does
	moves := newMoves(where, list)
	oks := map[string]*oksMoved{}
	var loose []*Answer // that have no row, the last first
	settled, unsure := map[*Answer]bool{}, map[*Answer]*Answer{}
	line := make([]int, len(rows))        // where in the list what is said stands
	for i := len(list) - 1; i >= 0; i-- { // the last counts
		a := &list[i]
		if a.gives() {
			continue
		}
		at, ok := where.at[a.key()]
		if a.Print == "" {
			at, ok = where.byCode[a.Code]
		} else if ok && a.OK { // it is to the row as it is, and of who has it
			ok = where.known[state{at, a.Print}] && letters(a.Code) == letters(rows[at].Code)
		}
		switch {
		case !ok:
			loose = append(loose, a)
			settled[a] = counts[a.Code] && a.OK
			if later := oks[a.Code]; later != nil && !a.OK { // a wish is settled by no other wish
				unsure[a], settled[a] = moves.settles(later)
			}
			continue
		case said[at] == nil || said[at].Aside && !said[at].begins && !a.Aside && (a.Print != "" || !a.OK): // what was ticked in the proof stands, and what is wanted of a block itself, whatever another one is compared with
			if mention := said[at]; mention != nil && !mention.sameWish(a) {
				outdone = append(outdone, [2]*Answer{mention, a})
			}
			said[at], line[at] = a, i
		case !a.OK && (said[at].OK || said[at].Print != "" && said[at].key() != a.key() || !said[at].sameWish(a)):
			outdone = append(outdone, [2]*Answer{a, said[at]})
		}
		counts[a.Code] = true
		if a.OK {
			if oks[a.Code] == nil {
				oks[a.Code] = &oksMoved{known: map[int]bool{}}
			}
			oks[a.Code].add(a, rows[at].Code)
		}
	}
	index := map[*Answer]int{}
	for i := range list {
		index[&list[i]] = i
	}
	listed := map[[3]string]bool{}
	gone := map[key]*Answer{} // the oks that are told
	for _, a := range loose {
		at, this := -1, [3]string{a.Code, a.Print, "ok"}
		if !a.OK {
			this[2] = "change " + a.wish()
		}
		told := listed[this] || !a.OK && listed[[3]string{a.Code, a.Print, "ok"}] && gone[a.key()] == nil // an ok that comes later settles all, unless it is about no row as well
		if !a.OK && a.Print != "" {                                                                       // of rows that were alike one is gone, and it may be that of an ok
			at = where.left(a, func(row int) bool {
				return said[row] == nil || said[row].OK && line[row] < index[a] && !(where.mended(a.Code) && together(said[row], a))
			})
		}
		switch {
		case at >= 0:
			said[at], line[at] = a, index[a]
		case !settled[a] && !told:
			if ok, own := unsure[a], gone[a.key()]; a.OK {
				gone[a.key()] = a
			} else if ok != nil || own != nil {
				with := *a
				with.after, with.gone = ok, own
				a = &with
			}
			stale = append(stale, a)
		case settled[a] && !a.OK && !told:
			trusted = append(trusted, a)
		}
		listed[this] = true
	}
	slices.Reverse(stale)
	slices.Reverse(outdone)
	slices.Reverse(trusted)
	type theirs struct { // rows that are alike, but for an owner's
		key
		owner string
	}
	done := map[theirs]bool{}
	for i, a := range slices.Clone(said) {
		if a == nil || a.OK || a.Aside || a.Print == "" {
			continue
		}
		k := key{kin(a.Code), a.Print}
		of := theirs{k, rows[i].Owner}
		if !where.shared(k, i) || done[of] {
			continue
		}
		done[of] = true
		for _, other := range where.alike[1][k] {
			if said[other] == nil && rows[other].Owner != rows[i].Owner {
				d := *a
				d.doubt = true
				said[other] = &d
			}
		}
	}
	return said, stale, outdone, trusted
}

// together reports whether two answers with the same fingerprint were given to one proof, and so to two rows: they are in one letter, in the order of the rows.
// Of two proofs the codes may have moved, and it is one row.
func together(a, b *Answer) bool {
	_, n := split(a.Code)
	_, m := split(b.Code)
	return a.File == b.File && a.letter == b.letter && letters(a.Code) == letters(b.Code) && n < m
}

// found are the rows that answers go with: those that Give has found, and for answers that came without it those that are there now.
func found(list []Answer, rows []*intake.Block, s *config.Settings) *places {
	where := placesOf(rows, s)
	byPlace := map[problem.Place]int{}
	former := map[state]bool{}
	for i, b := range rows {
		byPlace[b.Place.OfRow()] = i
	}
	for i := range list {
		if a := &list[i]; a.Row != nil {
			if at, ok := byPlace[*a.Row]; ok {
				where.take(a.key(), at)
				if !where.known[state{at, a.Print}] && !former[state{at, a.Print}] {
					former[state{at, a.Print}] = true
					where.near(at, a.Print)
				}
			}
		}
	}
	where.settle(keysOf(list))
	return where
}
