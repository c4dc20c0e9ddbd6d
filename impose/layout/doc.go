// Package layout makes a plan of set blocks: it offers sheets to the packer as the printers can pull them, and turns the
// answer into pieces, cuts and marks.
//
//	arrange.go  stock by stock, from blocks and paper to pieces
//	giveway.go  before texts are set: insets of blocks that reach into what cannot be printed
//	loads.go    fewer sizes of sheets, where that is worth the price
//	kept.go     blocks that stay where they lie while the rest is laid anew
//	feeds.go    sheets as the printers can pull them; panels.go cut before printing, carrier.go riding on a carrier
//	marks.go    hairlines that show where cuts go
//	scissors.go outlines and gaps where there is no trimmer
//	label.go    small print on scrap that says what a piece is
//	refuse.go   what a refusal says, and the nearest way out
//	advice.go   what would save a sheet
//	strip.go    one block on a piece in hand
//
// # Feeds
//
// `feeds.go` offers the packer each sheet as the printers can pull it. A sheet that feeds whole has one division for each
// printer that pulls it. A larger one has those that pre-cuts make: equal columns, columns as wide as a printer allows, columns of
// the blocks' own widths, one wide panel beside narrow ones; rows likewise. Each panel goes to the first printer that
// pulls it; a part that none pulls is an offcut. The packer chooses the division together with the layout. A sheet that feeds
// only the other way round is turned first (`asFed`), so that a plan's coordinates are always those of the piece as fed. Of more than `mostDivisions` printers that
// pull a sheet whole, those with the same margins count as one, the first. How many ways to cut are tried has a bound for the job (`mostTriedPieces`, `mostPulls`).
//
// # Prices
//
// The packer minimises cost. Without prices (or with some missing) a sheet costs its area, so that a small sheet is
// preferred to a large one.
//
// # Whole blocks
//
// When paper runs out the packer leaves items unplaced. A block with one copy unplaced is held with all its copies, and
// the rest is packed again, so that nobody finds half of what was asked for.
//
// # A printer's own stocks
//
// A printer whose `takes` names a stock is there for it. Where others take it too, the stock is laid in two
// rounds: first everything that fits some piece of the own printers, with only these offered (so a sheet that the office
// printer would pull whole comes as 4 in panels), then the rest, and what found no paper, on what is left, with all
// printers. Each round packs for itself, so the bound is the sum of the two: no sheet serves both. What is worth keeping
// (`feed.stillFeeds`) is judged by all printers in both rounds.
//
// # Marks
//
// The line of a cut has two sides. On each side the stretches are found where a hairline lies on scrap, on the
// rectangle that is cut then, and can be printed: no ink on a block, nor on a leftover, which the next job prints on. Each end of
// the cut gets its mark in the stretch nearest to it. The mark's edge lies on the line, its ink on the waste. A cut without such a
// stretch is to be measured, and says so.
//
// # What fits none
//
// `wayOut` tries each way on the same ground as the layout: turned, on a printer that does not take the
// stock, on another stock's sheets, and last the space that would fit for which the block shrinks the least. Every way
// that a message names has been tried; `TestNearestWayOut` takes each at its word. Whether anything holds a block at all is asked of the few pieces that hold most
// (pack.Rooms), worked out once for a stock; what is not known beyond `mostSought` sizes of sheets is not named.
//
// # Advice
//
// What would save a sheet is tried, not reckoned: the stock is laid out again with a small part of the
// effort, without one block (the smallest that suffices is found by halving), with its space lower or
// narrower by as few eighths of an inch as suffice, with turning allowed. `make` says what worked.
//
// # Blocks that stay
//
// A block that is kept where it lies (`intake.Kept`) is no item of the packer. The cuts that free it are made as before; what they leave beside
// it are rooms, each of which the packer fills as if it were a panel, with the margins that the printer leaves there. Then the rooms' trees are put into
// the one of the piece, scrap beside scrap is joined, and marks are found as for any piece. A place that is no longer possible (the sheet is gone, the block
// has grown, no printer pulls the piece) is told, and the block laid as any other.
//
// # Carriers
//
// A piece that no printer pulls, but whose stock has a `carrier`, rides: Piece.Carrier says where it lies.
// It then takes two pages of the PDF, the outline at Page − 1 and its own at Page (`Plan.Number`, `Plan.Pages`); the
// plan's coordinates stay the piece's, `Drawer` moves them. The piece lies in the middle of the carrier (so a mirrored
// page finds it in the same place) and wholly where the carrier can be printed, so it has no margins of its own.
// `feed.stillFeeds` counts what may ride, which is how scraps become leftovers.
//
// Each carrier costs a sheet, tape and patience. So the packer is asked once more with a small price on what rides, and that answer
// is taken where it needs no more new sheets and fewer carriers; then the pieces that ride are put on as few carriers as hold them (`share`, by the packer
// as well). Pieces of one carrier follow each other in the plan and have one page, and the letters of their places go on from one to the next.
//
// # One block, now
//
// No packer: of all printers, ways round and directions of the first cut the one that leaves the most in one part that still feeds.
// One cut through the whole piece, which is cut into panels before where no printer pulls it; what is too much around the block comes off afterwards, in the first order of cuts that the trimmer can
// hold. If the block is too low to be held while its sides are trimmed, the first cut comes as far down as the trimmer
// holds. "After n more it no longer
// feeds" is found by laying the block again and again, not by division. The flags are the form's headings: `intake.One`
// reads them as a row of a CSV file.
package layout
