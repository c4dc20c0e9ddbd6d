package typeset

import (
	"tuckmark/config"
	"tuckmark/config/measure"
)

// separator stands between who, where and when in a closing line.
const separator = '·'

// closingMost is the largest size of a closing line: it is small print beside large type too.
const closingMost = 12 * measure.Point

// listClosing leaves of the breaks of a closing line those between who, where and when, where the separator goes. Only what is
// wider than the line at the smallest size may be broken within; for the rest the closing line is set as small as it takes.
func (b *body) listClosing(p *rolePart, width int64) {
	all := p.plain
	out := all[:1:1]
	last := &all[len(all)-1]
	widest := int64(0) // of what is not broken within
	from := 0          // the break before the who, where or when that is looked at
	for i := 1; i < len(all); i++ {
		to := &all[i]
		parted := to != last && p.text[to.next] == separator && i+1 < len(all) && to.next+1 == all[i+1].end
		if to != last && !parted {
			continue
		}
		if w := to.width - all[from].width1 + to.before + all[from].after; w > width {
			out = append(out, all[from+1:i]...)
		} else {
			widest = max(widest, w)
		}
		joined := *to
		if parted {
			i++
			after := &all[i]
			joined.next, joined.width1, joined.after, joined.spaces = after.next, after.width1, after.after, after.spaces
			joined.stretch1, joined.shrink1 = after.stretch1, after.shrink1
		}
		from = i
		out = append(out, joined)
	}
	p.plain = out
	b.closing = closingMost
	for b.closing > b.smallest && parts(b.box.W-slack, b.closing) < widest {
		b.closing -= config.TypeStep
	}
}

// closingSize is the size of the closing line when the text has size s.
func (b *body) closingSize(s measure.Length) measure.Length {
	small := min(s*closingShare/100/config.TypeStep*config.TypeStep, b.closing)
	for _, size := range b.scale {
		if size*100 > s*(100-leastDifference) || size > b.closing {
			break
		}
		small = size
	}
	return max(min(s, b.smallest), small)
}
