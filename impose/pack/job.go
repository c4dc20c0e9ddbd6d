package pack

import "tuckmark/config/measure"

// Item is one rectangle to place.
type Item struct {
	Size  measure.Size  // trim size
	Turn  bool          // may be placed a quarter turn clockwise
	Blank measure.Sides // border without ink (unturned), which may lie where the printer cannot print
	Group int           // items of one group are kept together where nothing else speaks against it
}

// Piece is a part of a sheet that goes through a printer in one pass.
type Piece struct {
	Rect    measure.Rect  // within its sheet
	Margins measure.Sides // the printer cannot print there
	Printer int           // the caller's name for the printer
}

// Division is one way of cutting a sheet into pieces before printing; its pieces tile the sheet by guillotine cuts. A sheet
// that feeds as it is has the division of one piece. A part that no printer pulls is a Piece with Printer -1.
type Division struct {
	Pieces []Piece
	Cuts   *Node // the pre-cuts; leaves are numbered by Item = index in Pieces; nil with one piece
}

// Sheet is a kind of sheet at hand, or one leftover.
type Sheet struct {
	Size      measure.Size
	Cost      int64      // of one; 0 for a leftover, which is used first
	Count     int        // negative: as many as needed
	Divisions []Division // at least one
}

// Limits are what the trimmer can do and which rectangles are worth keeping.
type Limits struct {
	Longest measure.Length          // longest cut; 0: none
	Hold    measure.Length          // a rectangle still to be cut is no smaller than this either way; 0: none
	Stack   int                     // how many sheets are cut together; below 2: one
	Keep    func(measure.Size) bool // whether a rest of that size still feeds, turned or not, so that it is a leftover
}

// Job is what to pack.
type Job struct {
	Items  []Item
	Sheets []Sheet
	Gap    measure.Length // waste between neighbours
	Auto   bool           // Gap only where it gives a cut its mark, and costs neither a sheet nor the largest leftover
	Limits Limits

	// Cuts are made by their marks, or with Measure by measure: then an automatic gap is none, and there are the fewest cuts that are found.
	Measure  bool
	Unmarked func(tree *Node, on Piece) int // how many cuts of a piece could not be marked; nil: marks do not matter
	Rough    bool                           // only the number of sheets matters, not how they are cut

	Looks  int64 // how much is looked at in all, some hundred millions of which take a second; 0: as much as the effort takes
	Effort int   // rounds of the search for each item, 1,000 of which take 100 items about a second; 0: the greedy answer. Never the clock

	Tick func(done, of int) // told now and then how far the work is; may be nil. It has no say in the answer
	Stop func() bool        // asked now and then; true ends the search early. Only for measurements: it makes the answer depend on the clock
}

// Axis is the direction of a cut.
type Axis uint8

// A Down cut runs from top to bottom at an x, an Across cut from left to right at a y.
const (
	Down Axis = iota
	Across
)

func (a Axis) String() string { return [...]string{"down", "across"}[a] }

// Node is a rectangle of a cut tree: cut in two, or a leaf. Coordinates are the piece's (the sheet's, for pre-cuts).
type Node struct {
	Rect   measure.Rect
	Axis   Axis
	At     measure.Length // where it is cut: an x for Down, a y for Across
	Near   *Node          // left or upper part; nil for a leaf
	Far    *Node
	Item   int  // of a leaf: index in Job.Items, or -1 for a rest
	Turned bool // the item lies a quarter turn clockwise
	Keep   bool // the rest is a leftover; else scrap
}

// LaidSheet is one sheet of the answer. Trees runs parallel to the division's Pieces; nil: the piece stays uncut and unprinted.
type LaidSheet struct {
	Sheet    int // index in Job.Sheets
	Division int // index in its Ways
	Trees    []*Node
}

// Answer is a packing.
type Answer struct {
	Sheets   []LaidSheet
	Unplaced []int // items that found no place, by index: too large for every piece, or no sheet left
	Cost     int64
	Other    Trimming // what the other way to cut would give: by measure, or by marks where Job.Measure; nought: there is no other
	Bound    int      // no packing of the placed items on sheets that cost uses fewer of them; 0: of a rough packing it is not asked
}

// Trimming is the work at the trimmer.
type Trimming struct{ Cuts, Unmarked int }
