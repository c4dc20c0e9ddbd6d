// Package jobbook is the one workbook that a job lives in while people work on it at a desk: NAME-desk.xlsx, in the form's shape, which the
// commands read like any other. What is typed is kept as it was typed; what it means is for package intake to say.
//
//   - row.go has what a book holds and the changes that can be made; apply.go makes them and takes them back; difference.go finds those
//     that lead from one state to another;
//   - whose.go tells a book's workbook from somebody's file of such a name;
//   - book.go is the open book: its rows, what a job reads of it, what it tells by itself; history.go goes back and forth among its states;
//   - open.go opens a book, from its journal and from its workbook; storage.go is what the journal holds; saving.go writes the workbook by the clock;
//   - compare.go looks whether another program has changed the workbook; side.go notes what another side had when it was read last, and
//     merge.go brings together what both have done; questions.go asks what only a person can settle, and
//     carried.go has the workbook carry what is asked;
//   - outside.go finds what another program's workbook holds that the desk would not write again; aside.go keeps a copy of such a workbook, and says what it holds;
//   - import.go takes rows in, from files and from what was pasted, made.go keeps apart the columns that have no heading of their own, beyond.go says how much may stand in columns that the form has not got, also in the workbook that another program saved, asread.go holds what came in against what was read of the file,
//     and asked.go knows what hangs on the columns that somebody is asked about.
//
// # What it promises
//
// Do has its changes in the journal, through to the disk, when it returns; the workbook has them within a second. The journal and earlier states
// lie in .NAME-desk beside the workbook. Where somebody takes them away, the book writes them anew at once; where a second desk was quicker, the two bring
// their changes together through the workbook, and what is done at the first is refused until the second has ended. Whenever the process is killed, or the machine stops, the next Open has all that Do returned for. Where the disk
// takes nothing, the book says so at once, goes on in memory, and tries again until it can.
//
// The journal takes at most mostJournal bytes and twice those of the rows; it is written anew when it has more, and while it is, the old one lies beside it.
// Of what was typed on in one cell only the last stays then, and the earliest states go first. Besides, the folder has a copy of each journal that could not be
// read (journal-before, journal-before-2) and of each workbook that was none (strange.xlsx, strange-2.xlsx); equal ones are kept once.
//
// # What is not the desk's
//
// A file whose name ends like a book's is one only if a desk has written it, or a book's journal lies beside it. Another one is read like any file, and never written.
//
// The desk writes its workbook whole, and only what it knows: its rows, with every column that somebody has added. Cells without a heading are a column, too. What else another
// program saved there, a sheet, a comment, a picture, a formula, a text that no cell of a book can hold, is found by looking at all that the file holds, whatever read it. Before
// the workbook is written anew, the one that holds such things is beside it, whole and through to the disk: NAME-desk-yours.xlsx, then -yours-2. One that holds nothing which
// another copy has not makes no more of them. Where no copy can be made, the workbook stays as it is until one can. A question says what was found, until somebody has seen it.
//
// # Rows and their names
//
// A row is known by its id, in a hidden column of the workbook, wherever a spreadsheet program moves it. A copied id is given anew; a row
// that lost its id is known again by its cells. A code is given once (Keep) and stays, also while its row is gone and back.
//
// # Two sides
//
// A workbook that another program has saved says on its sheet of lists which state it was made of. Both sides are compared with that, cell by
// cell. What one side changed is taken; what both changed otherwise, and what the workbook lacks, stays as the desk has it and is asked about. Where
// nothing is asked, the book has all of the other side's state, and says so by that one's mark in its own trail: so another desk, too, knows what came since.
//
// A program that stays open saves again and again with the mark of what it had opened, and has seen nothing of what was done here since. What it had when it
// was read last is noted, and what is otherwise now is what it has done since. Two programs that have the same open cannot be told apart, so where it makes
// a difference which of them saves, it is asked.
package jobbook
