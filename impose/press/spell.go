package press

import "golang.org/x/text/unicode/norm"

// noLetters is what a glyph stands for that has no letter left to stand for: a word joiner. With no entry at all, readers
// show the glyph's code as if it were a letter.
const noLetters = "\u2060"

// sign is what a code stands for: a glyph for a text. width is how far the pen moves by it, in 1/1000 em, where that is
// not the glyph's own advance.
type sign struct {
	glyph uint16
	text  string
	width int64 // 0: the glyph's own
}

// spell calls show for the glyphs of a text in their order, each with the sign it is shown as, and whole before each
// cluster of several glyphs with the text of all, and after it with none.
//
// Nearly every glyph stands for its own text. A cluster of several glyphs - a letter that the font has no accented form of -
// deals its letters out to its glyphs, so that a base and its accent read back as typed; readers that honour a text given
// for the cluster as a whole need not find their way from the base to the accent above it and back.
func spell(t *Text, show func(i int, s sign) error, whole func(text string)) error {
	g := t.Glyphs
	for i := 0; i < len(g); {
		end := i + 1
		for end < len(g) && g[end].Text == "" {
			end++
		}
		if end == i+1 && g[i].Text != "" {
			if err := show(i, sign{glyph: g[i].ID, text: g[i].Text}); err != nil {
				return err
			}
			i = end
			continue
		}
		letters := dealLetters(g[i].Text, end-i)
		if g[i].Text != "" {
			whole(g[i].Text)
		}
		for k, text := range letters {
			s := sign{glyph: g[i+k].ID, text: text}
			if k > 0 {
				s.width = ahead(t, i+k)
			}
			if err := show(i+k, s); err != nil {
				return err
			}
		}
		if g[i].Text != "" {
			whole("")
		}
		i = end
	}
	return nil
}

// dealLetters gives the letters of a cluster to its n glyphs.
func dealLetters(text string, n int) []string {
	runes := []rune(text)
	if len(runes) < n {
		if parts := []rune(norm.NFD.String(text)); len(parts) == n {
			runes = parts
		}
	}
	letters := make([]string, n)
	for k := range letters {
		switch {
		case k >= len(runes):
			letters[k] = noLetters
		case k == n-1:
			letters[k] = string(runes[k:])
		default:
			letters[k] = string(runes[k])
		}
	}
	return letters
}

// ahead is the distance from a later glyph of a cluster to the next glyph, in 1/1000 em. An accent has no advance of its own
// and sits back over its letter: by its advance the pen would have to jump ahead to the next letter, and readers take such
// a jump for a space. So an accent is given the distance as its width.
func ahead(t *Text, i int) int64 {
	if i+1 == len(t.Glyphs) {
		return 0
	}
	a, b := &t.Glyphs[i], &t.Glyphs[i+1]
	off := b.X - a.X
	if t.Turned {
		off = b.Y - a.Y
	}
	return min(max(roundDiv(int64(off)*1000, int64(t.Size)), 0), 2000)
}
