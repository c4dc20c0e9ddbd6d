// Package measure holds lengths, sizes and rectangles as whole numbers, and reads and prints them the way people write
// measures beside a trimmer.
//
// measure.go has the types, parse.go reads (papernames.go knows the sheets that have names), format.go prints, ruler.go knows the rule in hand;
// stretch.go has what lies along one line.
//
// Every Length is a whole number of English Metric Units, in which fractions of an inch to 1/32, tenths of a millimetre and
// quarter points are exact: geometry needs no float, and the same job comes out the same on every machine. Parse reckons
// in exact fractions and rounds once, so that the 4.4000000000000004 of a spreadsheet is 4.4. Format prints what Parse
// gives back exactly, About what a person reads off a ruler: the nearest mark, and whether the length ends a little under it or over.
//
// A comma before three digits is refused for all units but inches: 1,200 mm may be 1.2 or 1200, and both are paper. In
// inches it can only be a decimal.
package measure
