package typeset

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// A font's substitutions may make one glyph into many, and each of these into many again, and its contextual lookups call others, or
// themselves. The shaper sets no end to either. What one lookup does is reckoned from above when a font is read (OpenType specification,
// "GSUB" and "GPOS"): where one adds more than mostAdded glyphs at a place of the text, or sets off more than mostCalls lookups there, the font
// is damaged. (Of 1,683 fonts those that are not made as tests add 8 and set off 23 at most.)
const (
	mostAdded = 15
	mostCalls = 256
)

// Where all lookups together might make a letter into more than mostGrowth glyphs, which is so in one font of a hundred, the shaper
// is given no more than mostAtOnce letters: it stops after the lookup that comes to 64 glyphs for each of them, or to 16,384. Where they are
// more than mostGrowth for each indeed, the font is damaged.
//
// A lookup that another sets off may go past all letters up to the end (see ignoring), which is reckoned as pastMost comparisons. Of a font in which such
// lookups compare more than fewCompared, or whose machines may insert glyphs before others, the shaper is given fewAtOnce letters; mostAtOnce of any that has
// machines, which may work on a glyph far behind.
const (
	mostGrowth  = 32
	mostAtOnce  = 512
	fewAtOnce   = 64
	pastMost    = 16
	mostCovered = 1 << 20
)

// swollen is the problem of a font that goes beyond that.
func swollen(name string) *problem.Problem {
	return &problem.Problem{What: fmt.Sprintf("the font %s cannot be used", measure.Quote(name)), Cause: "it is damaged: at one letter it makes more and more of them, or compares more than any sound font does",
		Hint: "copy or download the font again, or choose another one"}
}

// apart cuts runs of faces that might make too many glyphs so that each can be shaped: after a space, or anywhere if there is none.
func apart(runs []run, text []rune) (out []run) {
	if !slices.ContainsFunc(runs, func(r run) bool { return r.face.atOnce > 0 }) {
		return runs
	}
	for _, r := range runs {
		for r.face.atOnce > 0 && r.to-r.from > r.face.atOnce {
			cut := r.from + r.face.atOnce
			for i := cut; i > r.from; i-- {
				if text[i-1] == ' ' {
					cut = i
					break
				}
			}
			first := r
			first.to, r.from = cut, cut
			out = append(out, first)
		}
		out = append(out, r)
	}
	return out
}

// What is compared at one letter, too, has no end: a ligature is looked for through all that begin with that letter, part by part, and every lookup of every
// feature has its turn, which costs about as much as aTurn comparisons, and each subtable that looks at what stands around the letter aContext more. Where all lookups
// together come to more than mostCompared, a page of text would take minutes, and the font is damaged. (Of 2,200 fonts one of the script Grantha comes to 27,928, and
// all but its like to less than 21,000.)
const (
	mostCompared = 40_000
	aTurn        = 5
	aContext     = 10
)

// reckoned is what a lookup does at a place where it applies: how many lookups it sets off, with itself, how many glyphs it adds, and how many it compares; past are
// those of them before which it may have to go past others.
type reckoned struct{ calls, adds, compares, past int }

// growth is how many letters of a font may be shaped at once, or 0 where that does not matter, and how many glyphs are compared at each. It reports false where
// one lookup alone goes too far, or all together compare too much.
func growth(f *font.Font, ld *opentype.Loader) (atOnce, compared int, ok bool) {
	apple, moves, ok := machines(ld)
	substitutions, places := make([]lookup, len(f.GSUB.Lookups)), make([]lookup, len(f.GPOS.Lookups))
	ignoring := ignoring{f.GDEF, mostCovered}
	for i, l := range f.GSUB.Lookups {
		for _, t := range l.Subtables {
			substitutions[i].subtables = append(substitutions[i].subtables, t)
		}
		substitutions[i].past = ignoring.of(l.LookupOptions, substitutions[i].subtables)
	}
	for i, l := range f.GPOS.Lookups {
		for _, t := range l.Subtables {
			places[i].subtables = append(places[i].subtables, t)
		}
		places[i].past = ignoring.of(l.LookupOptions, places[i].subtables)
	}
	of, placing := reckon(substitutions), reckon(places)
	for _, r := range slices.Concat(placing, of) {
		if r.calls > mostCalls || r.adds > mostAdded {
			return 0, 0, false
		}
	}
	past, glyphs, inserts := 0, 1, 1
	compare := func(r reckoned) {
		compared, past = min(compared+r.compares, mostCompared+1), min(past+r.past, mostCompared)
	}
	eachUse(&f.GPOS.Layout, placing, compare)
	eachUse(&f.GSUB.Layout, of, func(r reckoned) {
		compare(r)
		glyphs = min(glyphs*(1+r.adds), math.MaxInt32)
	})
	for _, r := range apple {
		compare(r)
		inserts = min(inserts*(1+r.adds), math.MaxInt32)
	}
	switch {
	case past > fewCompared, inserts > 1:
		atOnce = fewAtOnce
	case glyphs > mostGrowth, moves:
		atOnce = mostAtOnce
	}
	return atOnce, compared, ok && compared <= mostCompared && inserts <= mostGrowth
}

// eachUse hands out what each lookup does that a feature of a table uses: the shaper applies features in several turns, and a lookup in each of its features.
func eachUse(table *font.Layout, lookups []reckoned, do func(reckoned)) {
	type use struct {
		feature opentype.Tag
		lookup  uint16
	}
	used := map[use]bool{}
	apply := func(feature int, of []uint16) {
		if feature >= len(table.Features) {
			return
		}
		for _, n := range of {
			if u := (use{table.Features[feature].Tag, n}); int(n) < len(lookups) && !used[u] {
				used[u] = true
				do(lookups[n])
			}
		}
	}
	for i := range table.Features {
		apply(i, table.Features[i].LookupListIndices)
	}
	for _, v := range table.FeatureVariations {
		for _, s := range v.Substitutions.Substitutions {
			apply(int(s.FeatureIndex), s.AlternateFeature.LookupListIndices)
		}
	}
}

// reckon reckons all lookups of a table.
func reckon(lookups []lookup) []reckoned {
	out := make([]reckoned, len(lookups))
	var visit func(i int) reckoned
	visit = func(i int) reckoned {
		if i >= len(out) { // the shaper falls over it, which is caught
			return reckoned{}
		}
		if out[i].calls > 0 {
			return out[i]
		}
		out[i].calls = mostCalls + 1 // of one that is met again while it is reckoned: it calls itself
		var own reckoned
		var called reckoned // what is compared by those that it sets off
		for _, t := range lookups[i].subtables {
			if m, multiple := t.(tables.MultipleSubs); multiple {
				for _, s := range m.Sequences {
					own.adds = max(own.adds, len(s.SubstituteGlyphIDs)-1)
				}
			}
			longest := 0 // set of rules that begin with one glyph
			eachSet(t, func(rules []rule) {
				compares := 0
				for _, r := range rules {
					var sum reckoned
					for _, r := range r.calls {
						c := visit(int(r.LookupListIndex))
						sum.calls, sum.adds = min(sum.calls+c.calls, mostCalls+1), min(sum.adds+c.adds, mostAdded+1)
						if n := int(r.LookupListIndex); n < len(lookups) && lookups[n].past {
							c.past, c.compares = max(c.past, c.compares), min(c.compares*pastMost, mostCompared+1)
						}
						sum.compares, sum.past = sum.compares+c.compares, sum.past+c.past
					}
					own.calls, own.adds = max(own.calls, sum.calls), max(own.adds, sum.adds)
					called.compares, called.past = max(called.compares, sum.compares), max(called.past, sum.past)
					compares += 1 + r.glyphs
				}
				longest = max(longest, compares)
			})
			own.compares += 1 + longest
			if looksAround(t) {
				own.compares += aContext
			}
		}
		own.calls++
		own.compares, own.past = min(own.compares+called.compares+aTurn, mostCompared+1), min(called.past, mostCompared)
		out[i] = own
		return own
	}
	for i := range lookups {
		visit(i)
	}
	return out
}

// looksAround reports a subtable that looks at what stands beside a glyph.
func looksAround(table any) bool {
	switch table.(type) {
	case tables.ContextualSubs, tables.ContextualPos, tables.ChainedContextualSubs, tables.ChainedContextualPos, tables.ReverseChainSingleSubs,
		tables.PairPos, tables.CursivePos, tables.MarkBasePos, tables.MarkLigPos, tables.MarkMarkPos:
		return true
	}
	return false
}

// rule is a sequence of glyphs that is looked for, beside the first, and the lookups that are called where it is found.
type rule struct {
	glyphs int
	calls  []tables.SequenceLookupRecord
}

// eachSet hands out the rules of a contextual subtable, or the ligatures of one, those together that begin with one glyph: they are gone through until one fits.
func eachSet(table any, do func([]rule)) {
	sets := func(all []tables.SequenceRuleSet) {
		for _, set := range all {
			rules := make([]rule, len(set.SeqRule))
			for i, r := range set.SeqRule {
				rules[i] = rule{len(r.InputSequence), r.SeqLookupRecords}
			}
			do(rules)
		}
	}
	chained := func(all []tables.ChainedSequenceRuleSet) {
		for _, set := range all {
			rules := make([]rule, len(set.ChainedSeqRules))
			for i, r := range set.ChainedSeqRules {
				rules[i] = rule{len(r.BacktrackSequence) + len(r.InputSequence) + len(r.LookaheadSequence), r.SeqLookupRecords}
			}
			do(rules)
		}
	}
	one := func(calls []tables.SequenceLookupRecord, sequences ...[]tables.Coverage) {
		do([]rule{{len(slices.Concat(sequences...)), calls}})
	}
	var data any
	switch t := table.(type) {
	case tables.LigatureSubs:
		for _, set := range t.LigatureSets {
			rules := make([]rule, len(set.Ligatures))
			for i, l := range set.Ligatures {
				rules[i].glyphs = len(l.ComponentGlyphIDs)
			}
			do(rules)
		}
	case tables.ReverseChainSingleSubs:
		one(nil, t.BacktrackCoverages, t.LookaheadCoverages)
	case tables.ContextualSubs:
		data = t.Data
	case tables.ContextualPos:
		data = t.Data
	case tables.ChainedContextualSubs:
		data = t.Data
	case tables.ChainedContextualPos:
		data = t.Data
	}
	switch d := data.(type) {
	case tables.ContextualSubs1:
		sets(d.SeqRuleSet)
	case tables.ContextualSubs2:
		sets(d.ClassSeqRuleSet)
	case tables.ContextualSubs3:
		one(d.SeqLookupRecords, d.Coverages)
	case tables.ContextualPos1:
		sets(d.SeqRuleSet)
	case tables.ContextualPos2:
		sets(d.ClassSeqRuleSet)
	case tables.ContextualPos3:
		one(d.SeqLookupRecords, d.Coverages)
	case tables.ChainedContextualSubs1:
		chained(d.ChainedSeqRuleSet)
	case tables.ChainedContextualSubs2:
		chained(d.ChainedClassSeqRuleSet)
	case tables.ChainedContextualSubs3:
		one(d.SeqLookupRecords, d.BacktrackCoverages, d.InputCoverages, d.LookaheadCoverages)
	case tables.ChainedContextualPos1:
		chained(d.ChainedSeqRuleSet)
	case tables.ChainedContextualPos2:
		chained(d.ChainedClassSeqRuleSet)
	case tables.ChainedContextualPos3:
		one(d.SeqLookupRecords, d.BacktrackCoverages, d.InputCoverages, d.LookaheadCoverages)
	}
}
