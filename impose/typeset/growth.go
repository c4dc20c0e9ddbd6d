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
const (
	mostGrowth = 32
	mostAtOnce = 512
)

// swollen is the problem of a font that goes beyond that.
func swollen(name string) *problem.Problem {
	return &problem.Problem{What: fmt.Sprintf("the font %s cannot be used", measure.Quote(name)), Cause: "it is damaged: at one letter it makes more and more of them, or compares more than any sound font does",
		Hint: "copy or download the font again, or choose another one"}
}

// apart cuts runs of faces that might make too many glyphs so that each can be shaped: after a space, or anywhere if there is none.
func apart(runs []run, text []rune) (out []run) {
	if !slices.ContainsFunc(runs, func(r run) bool { return r.face.growing }) {
		return runs
	}
	for _, r := range runs {
		for r.face.growing && r.to-r.from > mostAtOnce {
			cut := r.from + mostAtOnce
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
// feature has its turn, which costs about as much as aTurn comparisons. Where all lookups together come to more than mostCompared, a page of text would take
// minutes, and the font is damaged. (Of 1,992 fonts one of the script Grantha comes to 19,268, and all but three to less than 10,000.)
const (
	mostCompared = 20_000
	aTurn        = 5
)

// reckoned is what a lookup does at a place where it applies: how many lookups it sets off, with itself, how many glyphs it adds, and how many it compares.
type reckoned struct{ calls, adds, compares int }

// growth is how many glyphs one may become by all substitutions of a font, or more. It reports false where one lookup alone goes too far, or all together
// compare too much.
func growth(f *font.Font) (glyphs int, ok bool) {
	substitutions, places := make([][]any, len(f.GSUB.Lookups)), make([][]any, len(f.GPOS.Lookups))
	for i := range substitutions {
		for _, t := range f.GSUB.Lookups[i].Subtables {
			substitutions[i] = append(substitutions[i], t)
		}
	}
	for i := range places {
		for _, t := range f.GPOS.Lookups[i].Subtables {
			places[i] = append(places[i], t)
		}
	}
	of, placing := reckon(substitutions), reckon(places)
	for _, r := range slices.Concat(placing, of) {
		if r.calls > mostCalls || r.adds > mostAdded {
			return 0, false
		}
	}
	compared := 0
	compare := func(r reckoned) { compared = min(compared+r.compares, mostCompared+1) }
	glyphs = 1
	eachUse(&f.GPOS.Layout, placing, compare)
	eachUse(&f.GSUB.Layout, of, func(r reckoned) {
		compare(r)
		glyphs = min(glyphs*(1+r.adds), math.MaxInt32)
	})
	for _, chain := range f.Morx {
		for _, t := range chain.Subtables {
			if _, inserts := t.Data.(font.MorxInsertionSubtable); inserts { // the shaper ends it at 1,024 for each letter
				glyphs = math.MaxInt32
			}
		}
	}
	return glyphs, compared <= mostCompared
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

// reckon reckons all lookups of a table, given their subtables.
func reckon(lookups [][]any) []reckoned {
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
		called := 0 // what is compared by those that it sets off
		for _, t := range lookups[i] {
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
						sum.compares += c.compares
					}
					own.calls, own.adds = max(own.calls, sum.calls), max(own.adds, sum.adds)
					called = max(called, sum.compares)
					compares += 1 + r.glyphs
				}
				longest = max(longest, compares)
			})
			own.compares += 1 + longest
		}
		own.calls++
		own.compares = min(own.compares+called+aTurn, mostCompared+1)
		out[i] = own
		return own
	}
	for i := range lookups {
		visit(i)
	}
	return out
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
