// Package form writes the workbooks that people fill in and send back: the blank form, and the rows of a job with the cells to
// mend marked. Package intake reads both again.
//
//   - form.go writes the form: the sheet for the journaling, the sheet for the paper, the help, the lists of the drop-downs;
//   - live.go has the formulas of its live column, which says how many words fit;
//   - marked.go writes the rows of a job as they were read, with what is wrong at its cell and in a list by person: of
//     46,000 rows with an error each excelize would make 600 MB, so it holds the heading, and rows with formulas;
//   - desk.go writes the workbook that a desk keeps a job in, with many columns of its own only the cells that are filled.
//
// Cells to be typed in are formatted as text, so that nothing in them turns into a date, and rows copied from what others sent
// are written as text, so that nothing in them turns into a formula. The same settings and the same job give the same bytes.
//
// # What is shown
//
// The form shows what everybody needs. The other columns are a collapsed outline, opened with one press. A protected sheet would not let
// people press it in the commonest spreadsheet program, so there the headings are guarded by a rule that refuses what is typed over them;
// the form with all columns shown is protected, without a password, and all its cells but the headings are open. A marked copy looks as
// what came in: columns of the form in which nobody typed are folded away, and the live column goes on counting.
//
// # The live column
//
// Ordinary formulas in hidden columns beside the form, each a single step, so that every spreadsheet program works them out
// and a person can follow them. Width and height are text cells (1/2 stays 1/2) and are taken apart by FIND and MID: VALUE
// reads 4.5 by the language of the program, so it is only given whole digits. The words that fit, at
// the size that the row asks for or at 10 pt, within what the settings allow for long texts and for captions, are
//
//	lines x letters a line / letters a word,    letters a line = width / (size x mean letter width) - what a ragged line loses
//
// with mean widths fitted to settings of the sample texts by this project's own typesetter. It is a rough count: a test holds
// it to within 15% of what the typesetter gets into the spaces of the sample job (testdata/fits.tsv), and another has excelize
// and, where it is installed, LibreOffice work out the same sentences. Excelize reads A1&B1="" otherwise than the others do, so
// the formulas use LEN instead.
package form
