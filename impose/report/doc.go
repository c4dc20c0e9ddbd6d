// Package report writes the workbook that says what the guides say, for a person to filter and for the next run to read,
// and reads it back to print some of its blocks again.
//
//	report.go   the sheets; book.go how one is written, long.go one with a row for each block, cut or row of the job
//	texts.go    the sheet that keeps what it takes to print a block again
//	earlier.go  a report of an earlier run, read back
//	own.go      which sheets are the report's own
//	owed.go     what everyone owes by its accounts
//	redo.go     such a report written anew
//	oldrows.go  its rows, copied
//	merged.go   its merged cells, as many as can be kept
//	typed.go    what somebody typed into the sheets of blocks, where no redo reads it; strangers.go, what is of no block
//	notes.go    the sheets of notes, and the names of the sheets that a redo adds
//
// # The workbook
//
// Excelize writes it, and its parts are packed anew in a fixed order with one fixed time; the rows of Blocks, Cuts, Held back, Notes and Texts are made as their
// parts are packed. Texts are written as texts, never as formulas. `Leftovers` is headed as a Paper sheet and holds what is in the folder afterwards: leftovers
// of the plan, leftovers at hand that were not used, and what remains of counted sheets (sheets without end only where the
// stock has counted ones too, because a list of its own replaces the configured one). Measures there are rounded down to a
// ten-thousandth of the unit, never up. `TestReportIsTheNextRunsPaper` reads it through `intake.ReadPaper`.
//
// # Redo
//
// The report's sheet Texts holds every printed block under the form's own headings, with
// the size it was set in as its largest, so that setting it again gives the same lines (`TestTextsReadBack` compares glyph
// by glyph) even where the page's blocks were matched. Its column Mirrored names the stock of what was printed mirrored. So a redo needs the report alone, and a typing error mended in
// Texts is printed mended. The old workbook is added to, never rebuilt: what a person wrote into it stays. Its rows are copied as they stand. Only
// Leftovers is written anew, in place of every sheet that was read as a list of paper, outcomes become "printed again", and Blocks 2, Cuts 2, Account 2 and,
// where there is something to note, Notes 2 are added, or the first number that is free for all four. A sheet with such a name is one of those only if it has some of their headings. Account 2 is that of the whole job: it has a
// column of what everyone owed before, which is read from the accounts that are there (`readOwed`). Leftovers is the
// whole of what is in the folder, so the configured leftovers are not taken for redo and for `--paper`: they are in the
// list as far as they are still there. The workbook's keywords name the settings file of the first run; a redo with
// another one says so.
package report
