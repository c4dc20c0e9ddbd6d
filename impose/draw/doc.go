// Package draw makes pages of a plan: its blocks, its marks, the outlines of what is cut out with scissors and of carriers; and pictures of blocks and pieces for screens.
//
//	draw.go      a page for each piece
//	carrier.go   pieces that ride, and the outline to fix them in, with words beside it
//	picture.go   blocks and pieces as SVG, with picture.css and patterns.svg
//	outlines.go  such pictures as files that stand by themselves, with the outlines of their glyphs
//
// # Mirrored stock
//
// A plan always reads right. `config.Stock.Mirror` (set by `--mirror` only) does two things: `margins` swaps the printer's
// left and right margins, so that ink is kept off what will be the printer's margin once the page is turned over, and
// `Drawer` sets `press.Page.Mirror`. In the content stream the mirror comes inside the correction, which belongs to the
// printer. The checker swaps the margins in its own code.
package draw
