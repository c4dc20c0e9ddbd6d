package measure

// Length is a length in English Metric Units (ECMA-376 part 1, 20.1.2.1): whole numbers in which inch fractions to
// 1/32, tenths of a millimetre and quarter points are exact, so that no geometry needs a float.
type Length int64

// The units that are exact in a Length.
const (
	Inch       Length = 914400
	Centimetre Length = 360000
	Millimetre Length = 36000
	Point      Length = 12700
)

// Points is the length in typographic points (1/72 in), for the places that must hand a float to a library.
func (l Length) Points() float64 { return float64(l) / float64(Point) }

// Size is a width and a height.
type Size struct {
	W Length `json:"width"`
	H Length `json:"height"`
}

// Turn is the size after a quarter turn.
func (s Size) Turn() Size { return Size{s.H, s.W} }

// Area is the size's area in square EMU. A sheet of 100 x 100 in stays far below the largest int64.
func (s Size) Area() int64 { return int64(s.W) * int64(s.H) }

// Within reports whether a rectangle of size s fits one of size o without turning.
func (s Size) Within(o Size) bool { return s.W <= o.W && s.H <= o.H }

// SameEitherWay reports whether two sizes are the same, as they stand or after a quarter turn of one.
func (s Size) SameEitherWay(o Size) bool { return s == o || s.Turn() == o }

// WithinEitherWay reports whether a rectangle of size s fits one of size o, as it stands or after a quarter turn.
func (s Size) WithinEitherWay(o Size) bool { return s.Within(o) || s.Turn().Within(o) }

// Sides holds a length for each edge of a rectangle: a tuck, an inset, a printer's margins.
type Sides struct{ Left, Top, Right, Bottom Length }

// Same is the same length on all four sides.
func Same(l Length) Sides { return Sides{l, l, l, l} }

// Plus adds side by side.
func (s Sides) Plus(o Sides) Sides {
	return Sides{s.Left + o.Left, s.Top + o.Top, s.Right + o.Right, s.Bottom + o.Bottom}
}

// Turn is the sides after a quarter turn clockwise: what was on top is on the right.
func (s Sides) Turn() Sides { return Sides{Left: s.Bottom, Top: s.Left, Right: s.Top, Bottom: s.Right} }

// Rect is a rectangle; the origin of its coordinates is top-left, x to the right, y down.
type Rect struct {
	X Length `json:"x"`
	Y Length `json:"y"`
	W Length `json:"width"`
	H Length `json:"height"`
}

// At is the rectangle of size s with its top-left corner at x, y.
func (s Size) At(x, y Length) Rect { return Rect{x, y, s.W, s.H} }

// Size is the rectangle's width and height.
func (r Rect) Size() Size { return Size{r.W, r.H} }

// Right is the x of the right edge.
func (r Rect) Right() Length { return r.X + r.W }

// Bottom is the y of the lower edge.
func (r Rect) Bottom() Length { return r.Y + r.H }

// Empty reports whether the rectangle has no area.
func (r Rect) Empty() bool { return r.W <= 0 || r.H <= 0 }

// Inset is the rectangle less s on its sides; it may come out empty.
func (r Rect) Inset(s Sides) Rect {
	return Rect{r.X + s.Left, r.Y + s.Top, r.W - s.Left - s.Right, r.H - s.Top - s.Bottom}
}

// Move is the rectangle moved by x, y.
func (r Rect) Move(x, y Length) Rect { return Rect{r.X + x, r.Y + y, r.W, r.H} }

// Contains reports whether o lies wholly in r, edges included.
func (r Rect) Contains(o Rect) bool {
	return o.X >= r.X && o.Y >= r.Y && o.Right() <= r.Right() && o.Bottom() <= r.Bottom()
}

// Overlaps reports whether the two share area (touching edges do not count).
func (r Rect) Overlaps(o Rect) bool {
	return r.X < o.Right() && o.X < r.Right() && r.Y < o.Bottom() && o.Y < r.Bottom()
}

// Unit is a unit that a person measures in.
type Unit uint8

// The units that a bare number may stand for.
const (
	In Unit = iota
	Mm
	Cm
	Pt
)

// Length is one of the unit.
func (u Unit) Length() Length { return [...]Length{Inch, Millimetre, Centimetre, Point}[u] }

func (u Unit) String() string { return [...]string{"in", "mm", "cm", "pt"}[u] }

// Name is the unit's name in words: "inches".
func (u Unit) Name() string {
	return [...]string{"inches", "millimetres", "centimetres", "points"}[u]
}
