package table

import (
	"bytes"
	"encoding/xml"
	"strconv"
	"strings"
)

// A part that was damaged may still be sound XML: a row that got into the one before, a cell under another name, a string that is gone so
// that all others move up. Such a workbook must not be read as a shorter or another one. So elements have to stand where the standard has
// them (ECMA-376 part 1, the complex types of 18.2 to 18.8, and part 2 for relationships), and what is counted must be there.

// parentsOf says in which elements others may stand, for the elements that are read; in those that are not named here stands what may.
var parentsOf = map[string]string{
	"sheetData": "worksheet", "row": "sheetData", "c": "row", "v": "c", "f": "c", "is": "c",
	"si": "sst", "rPr": "r", "rPh": "si is", "r": "si is", "t": "si is r rPh",
	"sheets": "workbook", "sheet": "sheets", "workbookPr": "workbook",
	"Relationship": "Relationships",
	"cellXfs":      "styleSheet", "cellStyleXfs": "styleSheet", "fonts": "styleSheet", "numFmts": "styleSheet", "xf": "cellXfs cellStyleXfs",
}

// holds says what may stand in an element, for the elements that are read.
var holds = map[string]string{
	"sheetData": "row", "row": "c extLst", "c": "f v is extLst", "v": "", "f": "", "is": "t r rPh phoneticPr", "t": "",
	"sst": "si extLst", "si": "t r rPh phoneticPr", "r": "rPr t", "rPh": "t",
	"rPr": "b i strike condense extend outline shadow u vertAlign sz color rFont family charset scheme",
	"workbook": "fileVersion fileSharing workbookPr workbookProtection bookViews sheets functionGroups externalReferences definedNames " +
		"calcPr oleSize customWorkbookViews pivotCaches smartTagPr smartTagTypes webPublishing fileRecoveryPr webPublishObjects extLst",
	"sheets": "sheet", "sheet": "", "Relationships": "Relationship", "Relationship": "",
	"styleSheet": "numFmts fonts fills borders cellStyleXfs cellXfs cellStyles dxfs tableStyles colors extLst",
	"numFmts":    "numFmt", "fonts": "font", "cellXfs": "xf", "xf": "alignment protection extLst",
	"font": "b i strike condense extend outline shadow u vertAlign sz color name family charset scheme", "b": "", "i": "",
}

// single are the elements that stand in another at most once.
var single = map[string]bool{"sheetData": true, "v": true, "f": true, "is": true, "t": true, "rPr": true, "sheets": true, "cellXfs": true, "fonts": true,
	"numFmts": true, "workbookPr": true}

// counted are the elements that say how many stand in them, and by which attribute.
var counted = map[string]string{"sst": "uniqueCount", "fonts": "count", "cellXfs": "count", "numFmts": "count"}

// opened is an element that is being read.
type opened struct {
	xml.Name
	children int
	once     map[string]bool // of those that stand in it at most once
	says     string          // how many it says there are
}

// fits reports whether an element may stand where it does, in the innermost of those that are open.
func fits(open []opened, e xml.StartElement) bool {
	name := e.Name.Local
	if len(open) == 0 {
		return true
	}
	in := &open[len(open)-1]
	if e.Name.Space != open[0].Space { // of an extension
		return true
	}
	if parents, known := parentsOf[name]; known && in.Space == open[0].Space && !word(parents, in.Local) && !foreign(open) {
		return false
	}
	if children, known := holds[in.Local]; known && in.Space == open[0].Space && !word(children, name) && !foreign(open) {
		return false
	}
	in.children++
	if single[name] {
		if in.once == nil {
			in.once = map[string]bool{}
		}
		if in.once[name] || name == "t" && in.once["r"] {
			return false
		}
		in.once[name] = true
	}
	if name == "r" && in.Local != "row" {
		if in.once["t"] {
			return false
		}
		if in.once == nil {
			in.once = map[string]bool{}
		}
		in.once["r"] = true
	}
	return true
}

// foreign reports whether an element of an extension is open, which may hold anything.
func foreign(open []opened) bool {
	for _, o := range open {
		if o.Space != open[0].Space || o.Local == "extLst" || o.Local == "dxf" || o.Local == "dxfs" {
			return true
		}
	}
	return false
}

// complete reports whether an element that ends has what it says, and what it must have.
func (o *opened) complete() bool {
	if o.says != "" {
		if n, err := strconv.Atoi(o.says); err != nil || n != o.children {
			return false
		}
	}
	return o.Local != "r" || o.once["t"]
}

func word(list, w string) bool {
	for _, l := range strings.Fields(list) {
		if l == w {
			return true
		}
	}
	return false
}

// sound reports whether a part is sound.
func sound(raw []byte) bool {
	t := newTokens(bytes.NewReader(raw))
	for {
		if tok, ok := t.next(); tok == nil || !ok {
			return ok
		}
	}
}
