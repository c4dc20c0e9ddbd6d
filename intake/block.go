package intake

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Run is a stretch of text in one style. It holds no line break.
type Run struct {
	Text         string
	Bold, Italic bool
}

// Paragraph is one line or paragraph as typed; an empty one is a blank line.
type Paragraph []Run

// Block is one row that can be printed: every wish of it resolved against the settings, every measure checked, and of its text
// all that can be told without a font: it has something to see, no letter of it was lost on the way, no control character is
// left in it, its ink leaves a trace and its ink box is not empty. Later phases do not ask again.
type Block struct {
	Place  problem.Place // file, sheet and row
	Code   string        // short and unique in the job: "MK-2"
	Owner  string
	Page   string // the scrapbook page, as typed; may be empty
	Title  string // a heading line, or ""
	Text   []Paragraph
	End    string   // the closing line of who, where and when with EndSign between them, or ""
	EndIn  []string // the form's columns that its parts are typed in
	Space  measure.Size
	Unit   measure.Unit // that its owner measures in, for all that is said to them
	Tuck   measure.Sides
	Inset  measure.Sides
	Stock  string        // exact name of a stock of the settings
	Font   string        // as typed or configured; typeset resolves it
	Type   config.Type   // Wished is the size that the row asks for
	Copies int           // at least 1
	Turn   bool          // may be turned a quarter on the sheet
	Hold   bool          // it is held back for now
	Kept   []Kept        // where copies of it stay while the rest is laid anew, by the number of the sheet
	Back   config.Colour // what shows behind the ink: the page's colour on clear stock, else the stock's
}

// EndSign stands between the parts of a closing line.
const EndSign = " · "

// Trim is what the trimmer must cut out: the space plus the tuck.
func (b *Block) Trim() measure.Size {
	return measure.Size{W: b.Space.W + b.Tuck.Left + b.Tuck.Right, H: b.Space.H + b.Tuck.Top + b.Tuck.Bottom}
}

// Ink is the ink box within the trim size, origin at its top-left corner.
func (b *Block) Ink() measure.Rect { return b.Trim().At(0, 0).Inset(b.Tuck.Plus(b.Inset)) }

// Held is a row that is not printed, and why, in one sentence.
type Held struct {
	Place problem.Place
	Code  string
	Owner string
	Why   string
	Whole string // Why with all that somebody wants, where Why shows a part of it; else ""
	Wish  bool   // somebody wants it so: there is nothing to mend
	Read  *Block // the row as far as it could be read; nil where the block was whole and is among the job's
}

// Job is all that was read.
type Job struct {
	Blocks []Block // in the order of files, sheets and rows
	Held   []Held  // rows with an error, in the same order
	Paper  []Paper // rows of Paper sheets
	// Columns tells what every column of a table was taken for, in the order of the input.
	Columns []Column

	// Tables are the places of all that was read, each file and then its worksheets, in the order of the input.
	Tables []problem.Place
	// Sheets are the tables of journaling, PaperSheets the lists of paper, and Unread the tables of journaling whose headings are at fault, so that
	// none of their rows is in Blocks or Held: for who writes them down again.
	Sheets, PaperSheets, Unread []*Sheet
	// CopiesOf are the files that those read are copies of, with the cells to mend marked.
	CopiesOf []string
	// Compared is how many rows of each file Versions goes by.
	Compared map[string]int
	// Versions says which of the files seem to be versions of one.
	Versions problem.List
	// Units says where tables and a desk's sheets seem to be in several units.
	Units problem.List

	people map[problem.Place]string       // whose row a place is, once it was asked for
	meant  map[problem.Place]string       // what the form calls the columns, by file, sheet and heading, or by file, sheet and that name
	above  map[problem.Place]*above       // what stands above the rows that are held or that take something from there, for who reads them again
	own    map[problem.Place][]table.Cell // what blocks were given below columns that others of their rows read, too
	again  *builder                       // of the row that was read again last
}

// Locate fills in the cell of a place that names only the form's heading for its column ("Journaling"), and the heading
// as it was typed. Places that name no row and column of the job come back as they are.
func (j *Job) Locate(p problem.Place) problem.Place {
	if p.Row == 0 || p.Cell != "" {
		return p
	}
	for i := range j.Columns {
		if c := &j.Columns[i]; c.File == p.File && c.Sheet == p.Sheet && c.As == p.Column && c.As != "" && (c.set == 0 || p.Block == 0 || c.set == p.Block) {
			p.Column, p.Cell = c.Heading, table.Address(c.Index, p.Row)
			return p
		}
	}
	return p
}

// As is what the form calls the column of a place, or "" where it is not known: the column's heading may be any.
func (j *Job) As(p problem.Place) string {
	if j == nil {
		return "" // of a job that was not read from tables
	}
	if p.Column == "" {
		return ""
	}
	return j.meant[problem.Place{File: p.File, Sheet: p.Sheet, Column: p.Column}]
}

// columns takes the columns of a table; of several that are called alike the first holds.
func (j *Job) columns(of []Column) {
	j.Columns = append(j.Columns, of...)
	if j.meant == nil {
		j.meant = map[problem.Place]string{}
	}
	for i := range of {
		c := &of[i]
		for _, name := range []string{c.Heading, c.As} {
			at := problem.Place{File: c.File, Sheet: c.Sheet, Column: name}
			if _, there := j.meant[at]; !there && name != "" {
				j.meant[at] = c.As
			}
		}
	}
}

// Person is whose row a place is in, or "" where nobody's name is known.
func (j *Job) Person(p problem.Place) string {
	if j.people == nil {
		j.people = make(map[problem.Place]string, len(j.Blocks)+len(j.Held))
		for i := range j.Blocks {
			j.people[j.Blocks[i].Place] = j.Blocks[i].Owner
		}
		for _, h := range j.Held {
			j.people[h.Place] = h.Owner
		}
	}
	return j.people[p.OfRow()]
}

// Paper is a row of a Paper sheet: sheets or a leftover that lie in the folder. Count is negative and Price is negative
// where the row does not say.
type Paper struct {
	Place    problem.Place
	Stock    string
	Size     measure.Size
	Count    int
	Price    int64
	Sign     string // of the currency, as the price was typed
	Leftover bool
	Unsaid   bool // nothing in its table says in what its measures are
}
