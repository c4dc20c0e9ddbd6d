// Package pack lays rectangles on sheets so that straight edge-to-edge cuts take them apart: guillotine cutting stock with
// several kinds of sheets, with leftovers, and with what a trimmer can hold. It knows measures only: no text, no PDF, no files.
//
// # The files, in the order of the flow
//
//   - job.go: what goes in and what comes out: Job, Answer, and the cut tree (Node) of each piece.
//   - pack.go: Pack reads top to bottom: which items fit anywhere, the search, the cuts by measure and by marks, groups.
//   - rooms.go: what the pieces of many sheets hold, each by itself.
//   - batches.go: above 320 items the job is dealt into batches, whose worst sheets are then packed again together. repeats.go: what is like an earlier batch is not searched for again.
//   - space.go: the job as the search sees it, in small whole numbers.
//   - tree.go, extent.go: a sheet during the search, and "does this fit there" as one subtraction.
//   - search.go: one round of the search: take some items out, put them back.
//   - solve.go: the rounds together: fewer sheets (annealing and exchange in turns), then a larger leftover.
//   - exchange.go, weight.go, shapes.go: sheets that hold few items trade them as mere sets.
//   - fewer.go: the sheets laid again for fewer cuts, by chance.
//   - cuts.go: rows without order become cuts that a trimmer can make.
//   - recut.go, least.go: each piece laid again with the least cuts that its items take; joined.go: no two cuts that undo each other; grid.go: what is alike in rows and columns.
//   - alike.go: more sheets filled alike, where there are several of most sizes.
//   - marks.go: the waste of a piece spent where it gives cuts their marks.
//   - tidy.go: the rows of a piece in the order that is the least to handle; slivers.go: no strip too thin to cut; rejoin.go: parts that were laid by themselves; handling.go: strokes, and settings of the fence.
//   - groups.go: like items change places so that a group lies on fewer pieces.
//   - bound.go: how many sheets there must be whatever one does.
//   - verify.go: a plain reading of what an answer has to be. It shares nothing with all of the above.
//
// # Space
//
// All lengths are divided by their greatest common divisor, and the gap is added to every item and every region, to the right and
// below, so that items may touch. A tree is a whole sheet with a root for each piece of its division, so the pieces share the
// price of the sheet and the division is chosen with the layout. Rows have no order there and at most one rest each; cuts.go gives
// them both.
//
// A region is the piece less what every item must keep clear of (usually only the strip at the foot of a page that a printer cannot
// print); the waste there joins the last column's or row's. Where items differ in their blank borders the search also runs with the
// most that any item needs, and sheets whose cuts come out in the margins are packed again that way.
//
// # Search
//
// Goal-driven ruin and recreate (Gardeyn and Wauters, European Journal of Operational Research 2022). The budget is one below the
// best cost; one to twelve rows or items are taken out by chance, then the item with the fewest places goes first to the place whose
// rests keep the largest sum of squared areas. What counts is only the area that finds no place. Beside the paper:
//
//   - it anneals, from a tenth of a mean item's area down to a fiftieth, where theirs accepts late;
//   - the first item on a new sheet is cut and turned by chance, for no measure of the rests tells which is better;
//   - small jobs blink more: the search overlooks one place in about 50 choices, in 4 with eight items (blinks, as of Christiaens and
//     Vanden Berghe, Transportation Science 54, 2020);
//   - a rest is worth its area squared in one round, and its area times the square of its shorter side in the next, as long as a
//     sheet is to be saved. Neither alone is better.
//
// The question that costs the time is which item fits where. An extent answers it without a branch, and how long the search is not
// blind is counted down instead of drawn each time.
//
// # Exchange
//
// Annealing comes back to the same few thousand sheets. So where sheets hold at most nine items these are also traded as mere sets,
// and whether a set can be cut out of a room is known exactly. Three things make that cheap, each behind the last:
//
//   - what may come in return is drawn from what has about the area of what goes;
//   - a weight is what sixteen pairs of dual feasible functions say of a set, in lanes of four words, so that a few subtractions refuse
//     it. Which pairs is chosen by the first 200 refusals of the exact answer;
//   - the exact answer goes from the top. Every cut has at most half of the items on one side. How far these reach at least is known by
//     shape functions (Otten, Design Automation Conference 1982; Stockmeyer, Information and Control 57, 1983), which are remembered for up
//     to three items, so that only the other side has to be followed; and where a set nearly fills the room, most first halves waste
//     more beside them than there is to waste.
//
// What is out weighs more the longer it is out (breakout local search: Morris, AAAI 1993), so that a small item which fits nowhere
// changes places with a larger one that does. Working out a set counts as rounds, or jobs of ever new sizes would take twice the time.
//
// # Leftover and fewer cuts
//
// A dummy item a little larger than the best leftover so far is added and the search goes on at the same cost; where all find a place, the
// dummy's place is the leftover. Leftovers that are not touched count, so a large one is not cut where a small one does.
//
// # Cuts
//
// A row becomes cuts bottom-up: the order of its parts, waste last or first, and waste across the row kept with each part or taken
// off in one strip. Each cell is made once for each amount of waste that comes along (a negative amount: its own waste is taken off for
// the whole row), so it stays cheap. One function, join, makes every cut and refuses what the trimmer cannot do. A caption of
// 3 x 1/2 in cannot be cut out of a strip of 1/2 in: space.allows keeps the search from making such a strip, and space.separable from
// rows whose last cut nobody can hold.
//
// # Time at the trimmer
//
// n items and m rests on a piece take n + m - 1 cuts. So once sheets and leftover are settled the search goes on for fewer rests, on all
// sheets but the leftover's together: that finds more in a tenth of a second than pieces that trade items by the least number of cuts
// each do in ten. Then each piece gets the least number there is for what lies on it (least.go), for up to seven items by a search that leaves
// nothing out, and pieces with the same sizes get the same pattern. Where sheets are cut in stacks the fewest strokes come before the fewest cuts.
// Of equals the one with fewer settings of the fence stays; in which order the parts of a row come off is chosen for that last. By marks the waste is spent from there; a packing with a gap
// everywhere is tried beside it, if the job is small.
//
// # Bound
//
// Dual feasible functions f0 and u(k) (Fekete and Schepers, Mathematical Programming 91, 2001) and f2 (Carlier, Clautiaux and Moukrim,
// Computers and Operations Research 34, 2007). All are superadditive, which a test tries for every pair, so a smaller sheet, a piece or a
// leftover holds at most f(width) g(height). What leftovers hold is taken off first, and regions in which no item fits hold nothing. Sides
// are even numbers, so that half-integer parameters are among those tried.
//
// How well all this does, and what was tried, stands in cmd/packbench/RECORD.md.
package pack
