// Package intake turns tables into blocks: it recognises columns by heading and measures as people write them, and says of
// everything it cannot use where it is and what to do. Files become tables in package table; the workbooks for people to fill
// in are written by package form.
//
// In the order of the flow:
//
//   - read.go is the way in, for files of journaling and of paper; one.go the way in for texts given one by one;
//   - headings.go lists the headings, recognise.go tells what one means, unitsaid.go in what unit, unitlines.go what a line says of it, told.go what the settings say of it, or should; columns.go what a
//     sheet is and what its columns are taken for, odd.go what is odd about them; sets.go finds several blocks in one row (counted.go: how their headings count them; together.go: several counts in one heading; lacking.go: what a block may lack), beside.go tables beside each other, by what goneby.go says;
//   - unitopen.go says in what a bare number is, or that it cannot be told; across.go holds the units of several tables against each other, acrossdesk.go those of a desk's workbook and of tables beside it, answered.go those of columns that somebody was asked about;
//   - rows.go takes a row apart, asked.go tells what it asks for, fields.go makes of each field a part of the block, with wishes.go (words to values), spaces.go
//     (measures), text.go and markup.go (paragraphs, and what somebody meant to fill in later), elsewhere.go (a text that is not in the cell), asides.go (what is said to the one who prints), further.go (what headings say beside their field), empties.go (what an empty cell means), same.go (what says the same as above) and codes.go (who is who);
//   - account.go names the cells that no column is read for, versions.go files that are copies of one another, unheaded.go sheets whose rows go on without headings;
//   - attached.go tells of pictures and remarks on the cells;
//   - paper.go reads what lies in the folder, price.go its prices; amend.go reads a row again with what somebody gave for it, settle.go has what was given of cells that blocks share;
//   - block.go is what comes out: Block, Held, Paper, Job; hand.go what of the paper a job can take; again.go writes a
//     block's wishes as the form takes them, typed.go has rows as they were typed; kept.go says where a desk keeps a block on its sheet.
//
// A cell is read once, here: what comes out is typed and checked, and nothing later parses it again.
//
// # Two classes of error
//
// An error whose place has a row holds that row back: it is in Job.Held, and the rest can be printed. One without a row is
// about a whole file - a refused file, a missing column, a quotation mark that is never closed - and cannot be held back. A job
// is never shorter than what came in without a word. A Sheet keeps its own problems, and Read strings them together, so that
// they come in the order of the input whatever the order of the work: paper is read before blocks, because a space is held
// against the sheets at hand.
//
// # Headings
//
// A heading matches by synonym; then without its unit and the words of a question; then by near miss, one letter off, or two in a
// long word; then by one telling word. Plain headings are taken first, so that "Heigth" does not take the place of "Height".
// Job.Columns says what each was taken for, and how.
//
// # Measures
//
// A measure is read as the person saw or typed it, in the unit of the cell, else of its row (a column Unit), else of its heading, else of the sheet (a line above
// the headings such as "all measures in cm", or another measure's heading), else the configured one. What a spreadsheet has
// turned into a date is explained with what may have been typed, and never guessed.
//
// # Codes
//
// A code is the owner's initials and the number of the row among the owner's rows, counting rows held back: mending one row
// changes no other's code. Of two owners with the same initials the later one gets more letters of the last name. Plain
// capitals only, because codes are typed on every keyboard.
package intake
