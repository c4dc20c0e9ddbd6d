package typeset

// levels are the embedding levels of the characters by the Unicode bidirectional algorithm, and the paragraph's own; nil where
// all of the text runs from left to right.
func levels(text []rune) ([]uint8, uint8) { return nil, 0 }
