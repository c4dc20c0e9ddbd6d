package typeset

import (
	"fmt"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// A text of many letters takes long in a font that compares nearly mostCompared glyphs at each. So the texts of one job have mostWork comparisons together, at some
// 10 ns each, of fonts that compare more than fewCompared: one in fifteen does, most of them of such scripts as Urdu's and Tibetan's. That is 43,000 letters of
// the Urdu font that compares most.
const (
	fewCompared = 2_500
	mostWork    = 500_000_000
)

// laborious are the blocks, of these in their order, for whose texts the fonts of the job would compare too much together, and which font that is.
func (t *textSetter) laborious(blocks []intake.Block, which []int) map[int]*Face {
	if lettersIn(blocks, which) <= mostWork/mostCompared {
		return nil
	}
	more := func(a, b *Face) *Face {
		if b == nil || a.compares >= b.compares {
			return a
		}
		return b
	}
	lent := map[rune]*Face{}
	out, work := map[int]*Face{}, int64(0)
	for _, i := range which {
		if t.stop() {
			return nil
		}
		b := &blocks[i]
		fs, _ := t.family(b.Font)
		if fs == nil {
			continue
		}
		of := more(more(fs[0], fs[bold]), more(fs[italic], fs[bold|italic]))
		most, own := of, int64(0)
		eachText(b, func(text string) {
			for _, r := range text {
				f := of
				if !fs[0].has(r) {
					if _, known := lent[r]; !known {
						lent[r] = t.library.lender([]rune{r}, false, false)
					}
					f = more(of, lent[r])
				}
				if f.compares > fewCompared {
					most, own = more(most, f), own+int64(f.compares)
				}
			}
		})
		if own > 0 && work+own > mostWork {
			out[i] = most
			continue
		}
		work += own
	}
	return out
}

// mostTried are letters of a job, and by how much a text is too long is tried word by word, which takes some ten times as long as to set it: a hundred long texts.
// In a job of more it is reckoned.
const mostTried = 400_000

// lettersIn is how many letters these of the blocks have, or more: it counts bytes.
func lettersIn(blocks []intake.Block, which []int) (letters int) {
	for _, i := range which {
		eachText(&blocks[i], func(text string) { letters += len(text) })
	}
	return letters
}

// eachText hands out the texts of a block.
func eachText(b *intake.Block, do func(string)) {
	do(b.Title)
	do(b.End)
	for _, p := range b.Text {
		for _, r := range p {
			do(r.Text)
		}
	}
}

// tooMuchWork is the problem of such a block.
func tooMuchWork(f *Face) *problem.Problem {
	return &problem.Problem{Place: in("Font"), What: fmt.Sprintf("with the font %s the job's texts take longer than they may", measure.Quote(f.name)),
		Cause: fmt.Sprintf("it has far more ligatures and rules than most, up to %d to be looked through at each letter, and there are too many letters in the rows up to this one", f.compares),
		Hint:  "choose another font for some of the rows, or make the job in parts"}
}
