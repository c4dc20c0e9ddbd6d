// Package problem holds what can be wrong with what came in, as values: what, where, why, and what to do about it. It is the
// only type of error with words for people; any other error is a fault of the program or of the machine.
//
// Inner code says what is wrong, why, and what helps, and knows the place as far as it can (a column, or nothing); it
// returns a *Problem as its error or adds to a List. Who called it adds where: the file, the sheet, the row. All problems
// of a run are told, not the first.
package problem
