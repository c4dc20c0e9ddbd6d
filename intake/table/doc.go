// Package table turns files into tables: workbooks and CSV files, of whatever name and origin, into sheets of rows of cells,
// each cell as a person sees it. It knows what cells hold, and not what they mean: which texts are headings, it is told.
//
// In the order of the flow:
//
//   - open.go gathers: folders are searched, a file given twice is read once, and all stand in the order of their names;
//   - sniff.go tells what a file is by its bytes, and why it cannot be read where it cannot;
//   - encoding.go and csv.go read text;
//   - archive.go sees that a workbook's archive is all that is in the file, and that none of its sheets is passed over;
//   - workbook.go opens a workbook and vets it, structure.go holds its parts to the standard's structure, sheetxml.go reads its
//     worksheets, merged.go shows what is merged, numfmt.go reads number formats, numshow.go and dates.go what a number shows by them;
//   - attached.go tells what is attached to cells, or lies over them;
//   - holdings.go lists all that a workbook holds, also what no table has;
//   - clean.go takes out of a text what can be neither seen nor printed;
//   - signed.go marks what this program writes for people, so that what they type into it is known.
//   - table.go is what comes out, the same shape for both kinds; file.go is the door, ours.go knows the workbooks that this
//     program wrote, desk.go the one that a desk keeps a job in, parts.go passes on the rows of one that is too large to be held.
//
// The rule behind all of it: a job is never shorter than what came in without a word. What cannot be read to its end is
// refused as a whole, with a way out, and never read in part.
//
// # Why workbooks are not read through excelize
//
// They are read from the parts of the archive, token by token, because
//
//   - a sheet that is cut short must be refused, and excelize returns the rows before the cut without an error;
//   - a stray cell in the last row must cost what one cell costs;
//   - a measure needs the number as it is stored and the unit of its number format (0" mm"), not the number as it was rounded
//     for the eye: 4.0625 in the format "# ?/?" shows as 4;
//   - a sheet of ten thousand rows must not cost many times its size in memory.
//
// The reader checks that elements are closed by name and stand where the standard has them, that rows and cells rise, that what is
// counted is there, that every sheet, style and text that is named can be found and that every sheet that is there is named.
//
// # Bombs
//
// The sizes in the archive's table of contents are added up before anything is unpacked, with a closer limit for the parts
// that become trees (styles, the workbook, the theme). Rows, cells and columns of a table have limits of their own, and
// elements may stand only so deep. A report of 100,000 blocks is larger than any table of journaling, but its long sheets say again, for people, what
// a later run reads elsewhere: they are passed over, and copied where it is written anew. Tests hold hostile files to a few seconds and a few hundred megabytes.
//
// # Dates that were sizes
//
// A spreadsheet makes a date of 4/2 when it is typed. A cell with a date format is therefore its own kind, and so is the text
// form of a date in CSV (2-Apr): a Moment says what it shows and, as Sizes, which measures may have been typed, the likeliest
// fraction first, an odd numerator over a power of two as on a ruler. It is explained, and never read as a measure.
//
// # Formulas without results
//
// A program that writes a workbook without opening it leaves formulas without results. They stay so (Uncomputed), and with them all cells
// that they fill; their rows are held, with the words what to do: whoever opens the file in a spreadsheet program and saves it has them.
// Working them out was tried, by excelize and by hand: programs, their versions and languages differ in more than can be
// known here, and a wrong guess is a text of somebody's that is gone.
//
// # CSV
//
// RFC 4180, and what programs and hands make of it. The sign between the cells is the one that makes the most of the headings
// that are known. A quotation mark within quotes that is neither doubled nor at the cell's end is taken as typed
// ("4 1/2" x 2" is an inch mark), but not in a cell of several lines, where it may as well open a later cell. A cell of several
// lines in a record that is too short, whose inner lines have as many separators as the table, has swallowed rows. Both are a
// quotation mark that is never closed, which is an error of the whole file. Bytes that are no UTF-8 are Windows-1252 or Mac
// Roman, whichever puts accented letters beside letters and quotes where quotes stand; a note says so.
package table
