package intake

import (
	"fmt"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/intake/table"
)

// What people write for "the same as above", ditto marks and words, in the columns of names and of single lines, and for nothing.

// above is what stands above a row.
type above struct {
	owner         string         // of the last row that has one
	name, surname string         // as that row has them
	nameless      bool           // a row below that one has none that could be read
	lines         map[int]string // by column, from 0: what stands there last, of a column Unit the last unit
	stated        *table.Cell    // a line within the table that says in what all is measured
	statedIn      int            // its row, as the spreadsheet counts
	unitRow       string         // the last unit that stands by itself below a heading of measures, or one that may be
	unitRowIn     int            // its row
	stock         string         // of the last row of a list of paper that names one
}

// aboveIt is what stands above the row in its table, as far as it was read.
func (e *entry) aboveIt() *above {
	a := e.above[e.sheet]
	if a == nil {
		a = &above{lines: map[int]string{}}
		e.above[e.sheet] = a
	}
	return a
}

// ownAbove is what stands above the row in the columns of its own block: there may be hundreds of others.
func (e *entry) ownAbove() *above {
	a := e.aboveIt()
	out := *a
	out.lines = map[int]string{}
	for _, m := range []meaning{asPage, asTitle, asWho, asWhere, asWhen, asUnit, asWidth, asHeight, asSpace, asTuck, asInset} {
		if col := e.sheet.columnOf(m, e.set); col != nil {
			if line, ok := a.lines[col.Index]; ok {
				out.lines[col.Index] = line
			}
		}
	}
	return &out
}

// ditto reports what people write for "the same as above".
func ditto(text string) bool {
	switch strings.ReplaceAll(strings.Trim(strings.ToLower(text), " -–—_.,()"), `" "`, `""`) {
	case "//", "||", "~", "dito", "s.o", "as before", "wie oben", "siehe oben", `"`, `""`, "''", "”", "“", "″", "〃", "„", "«", "»", "′′", "’’", "↑", "do", "dto", "ditto", "same", "idem", "same as above", "as above", "see above", "as row above", "as the row above", "same again", "same person", "same name", "””", "““", "ibid", "s a", "s.a":
		return true
	}
	return false
}

// names are the row's name and surname, with what they take from above; same reports that. Where nothing stands above they are empty.
func (e *entry) names() (name, surname string, same bool) {
	name, surname = e.oneLine(asName, mostName), e.oneLine(asSurname, mostName)
	if surname != "" && noName(surname) {
		_, col := e.cell(asSurname)
		e.once(col, fmt.Sprintf("%s is taken for no surname", measure.Quote(surname)), "", "if it is one, write it into the column of the name")
		surname = ""
	}
	a := e.aboveIt()
	first, last := ditto(name), ditto(surname)
	switch {
	case a.nameless && (first || last):
		return "", "", true
	case ditto(strings.TrimSpace(name + " " + surname)), first && (last || surname == ""), last && name == "":
		if name != "" {
			return a.owner, "", true
		}
		return "", a.owner, true
	case first && a.name != "":
		return a.name, surname, true
	case last && a.surname != "":
		return name, a.surname, true
	case first || last:
		return "", "", true
	}
	return name, surname, false
}

// saysNothing reports what people write in any cell that has nothing to say.
func saysNothing(text string) bool {
	switch strings.Trim(strings.ToLower(text), " ._()") {
	case "-", "--", "---", "–", "—", "/", "n/a", "n.a", "none", "nil", "nothing", "no title", "no date", "no place", "?":
		return true
	}
	return false
}

// noName reports what people write where a name would stand, and that is none.
func noName(text string) bool {
	switch strings.Trim(strings.ToLower(text), " ._()") {
	case "??", "unknown", "tbd", "tba", "nobody", "no name":
		return true
	}
	return saysNothing(text) || strings.TrimSpace(text) == "NA" // Na is a name
}

// absent reports what people write in a line that has nothing to say. Some of it may be a name, or a text.
func absent(text string) bool {
	if strings.TrimSpace(text) == "" {
		return false
	}
	switch text = strings.Trim(strings.ToLower(text), " .…_()-–—"); strings.ReplaceAll(text, " ", "") {
	case "", "na", "n.a", "n/a", "n-a", "nobody", "noone", "blank", "empty", "notapplicable", "unknown", "x", "no", "??":
		return true
	}
	return saysNothing(text)
}

// typedName is the name and the surname as they stand in the row.
func (e *entry) typedName() string {
	var typed []string
	for _, m := range []meaning{asName, asSurname} {
		if c, _ := e.cell(m); c != nil {
			typed = append(typed, line(c.Text))
		}
	}
	return strings.Join(typed, " ")
}

// isAbove has the rows below take the owner of this one, and its names as they come from names.
func (e *entry) isAbove(owner, name, surname string, same bool) {
	a := e.aboveIt()
	if whole := same && (name == "" || surname == ""); !whole {
		a.name, a.surname = name, surname
	}
	a.owner, a.nameless = owner, false
}

// nobodyAbove has the rows below take nobody for the owner of this one, where something stands there that is no name.
func (e *entry) nobodyAbove() {
	for _, m := range []meaning{asName, asSurname} {
		if c, _ := e.cell(m); c != nil && !blank(c) {
			e.aboveIt().nameless = true
		}
	}
}

// unreadAbove has the rows below take nothing from this one, which cannot be told apart into cells.
func (e *entry) unreadAbove() {
	e.aboveIt().nameless = true
	for i := range e.sheet.Columns {
		e.unread(&e.sheet.Columns[i])
	}
}

// likeAbove reports whether the row may say in a column "the same as above" in place of a line.
func likeAbove(m meaning) bool {
	switch m {
	case asPage, asTitle, asWho, asWhere, asWhen:
		return true
	}
	return false
}

const (
	// unreadLine stands above where a cell could not be read: what says "the same" below it does not mean one further up.
	unreadLine = "\x00"
	// mostTaken is how many bytes rows may take from above in all, where a file that is small would become a job that is not.
	mostTaken = 2 << 20
)

// orAbove is the line of a column that likeAbove reports, or the one above where it says "the same"; ok is false where there is none, or it could not be read.
func (e *entry) orAbove(col *Column, text string) (line string, same, ok bool) {
	a := e.aboveIt()
	if ditto(text) {
		line, ok = a.lines[col.Index]
		return line, true, ok && line != unreadLine
	}
	if text != "" {
		a.lines[col.Index] = text
	}
	return text, false, true
}

// unread has the rows below know that the cell was not read.
func (e *entry) unread(col *Column) {
	if likeAbove(col.as) {
		e.aboveIt().lines[col.Index] = unreadLine
	}
}

// fromAbove reads the line of a column of such, and tells what it takes from above.
func (e *entry) fromAbove(col *Column, text string) string {
	if absent(text) {
		tell := e.noteAside
		if e.again { // typed into a report
			tell = e.note
		}
		tell(col, fmt.Sprintf("%s is taken for nothing", measure.Quote(text)), "", "if it is to be printed, say more")
		e.aboveIt().lines[col.Index] = ""
		return ""
	}
	line, same, ok := e.orAbove(col, text)
	if !same {
		return line
	}
	e.taken += len(line)
	switch says := measure.Quote(text); {
	case line == unreadLine:
		e.fail(col, says+" says “the same”, and what stands above it could not be read", "", "type what is meant, or mend the cell above")
	case !ok:
		e.fail(col, says+" says “the same”, and nothing stands above it", "", "type what is meant")
	case e.taken > mostTaken:
		e.fail(col, fmt.Sprintf("%s says “the same”, and rows take more than %d MB from above", says, mostTaken>>20), "that is more than a job can be", "shorten what is repeated, or part the table over several files and print them one by one")
	default:
		e.takes = true
		is := "nothing"
		if line != "" {
			is = measure.Quote(line)
		}
		e.note(col, fmt.Sprintf("%s is taken for %s, which stands above", says, is), "", "type it if something else is meant")
		return line
	}
	return ""
}
