// Package account reads off a plan what guides, report and desk say, as data: how each piece is cut and what the trimmer
// is set to, whose blocks lie where, who pays what, and what is in the folder afterwards. It writes nothing.
//
//	account.go  the plan as people use it: pieces, those that are cut alike, owners, sheets to cut first
//	cutting.go  the cuts of a piece as steps, with the trimmer's settings
//	lines.go    the cuts as the guide tells them: one line for each setting of the fence, for all parts that are alike
//	scissors.go a piece without a trimmer: what is cut out by its outline, and where that has no line
//	places.go   where copies lie, and pages as a print dialogue takes them
//	bill.go     who pays what: the cost of each stock shared by area, other costs as the settings say; share.go largest remainders
//	prices.go   whose price of paper was used
//	rests.go    what the plan leaves: leftovers and scrap
//	folder.go   what is at hand and was not used
//	begins.go   the first words of a block
//
// # Places
//
// A block's place on its piece is a letter, given in the order in which blocks come off the trimmer (leaves of the cut
// tree, near part first). So every part that is cut holds a run of letters ("take A-F, gives A-C + D-F") and can be named
// without drawing it.
//
// # What the trimmer is set to
//
// A trimmer is set to a sixteenth of an inch or a whole millimetre, so parts come out a little wrong, and along a row of
// blocks the errors would add up. `Cutting.set` therefore makes the cuts on paper first: it carries along what every part
// *really* measures after the settings so far, and chooses for each cut the edge (left or right, top or bottom) and the
// graduation that do least harm. Harm is an error on a *tight* part, one in which nothing gives way: a block, or blocks
// side by side without waste between. Waste and leftovers take any error. Ranks, in order: harm above 1/64 in; a part
// against the fence narrower than the trimmer holds; a tight part that takes what the sheet itself is out of true; the right or
// lower edge, which the setting is taken from only for one of these reasons; any harm; any error. A cut that would
// take off no more than 1/32 in of scrap (`plan.Part.Hair`) is printed as `skip` and counted nowhere: no trimmer takes off a hair. Where a block would still be off
// by more than 1/32 in, the piece's settings are read to half a graduation. Measured by `TestCuttingGuideCutsToSize`,
// which cuts by the printed rows alone: blocks come out within 1/32 in, sizes of one system of measures on a rule of the
// other included, and through PDFium as well.
//
//	worked example: 4 1/2 in sheet, a block of 114 mm (4.488 in) and 0.012 in of scrap
//	near edge: 4 7/16 leaves the block 0.051 short; far edge: 1/16 does the same; skip leaves it 0.012 large -> "left 4 1/2 in, skip"
//
// # One setting, one line
//
// A line of the guide stands for cuts one after the other with the same setting, and for all parts that are alike: a grid of 24 tags is cut
// by three lines. A part is always cut after the one that it comes from, so the order of the lines is not that of the tree. Where parts of one
// size are cut otherwise only neighbours go on one line, as "A-C to G-I, 3 alike", so that they can be found by eye. With trimmer.stack, alike parts lie in a stack.
//
// # Alike
//
// Pieces are cut alike when stock, size, order, edge, setting and what comes off are equal (`Cutting.same`). A group has
// one picture and one list, and a line for each page that says which block lies in which place. A job of 1,000 blocks in
// few sizes is a few pages, one of 1,000 different layouts a page for each.
//
// # Money
//
// The price of a stock's new sheets is shared by the area trimmed out of that stock, in whole cents by Hamilton's largest
// remainders, in 128-bit products; so is what the job costs besides (config.Cost), by area, blocks or people. The sum is exact for
// each item and so over all. The test is the United States census of 1790 (60 seats). A run that prints blocks again adds its paper
// to what everyone owed before (Account.Other), and shares no other cost a second time.
package account
