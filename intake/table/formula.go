package table

import (
	"math"
	"math/big"
	"regexp"
	"slices"
	"strconv"

	"github.com/xuri/efp"
)

// A program that writes a workbook without opening it leaves formulas without results. A person who opens the file sees
// them all the same, so the plain ones are worked out here, from what cells show: arithmetic of numbers, and texts and plain numbers put together. All that
// programs, or their versions and languages, work out differently is left: what compares (an empty cell with ""), arithmetic within a text (0.1+0.2), what cuts,
// counts or writes out. So are formulas that look at others without a result, so that no chain of them can grow without bound.

const (
	longestFormula = 300
	mostParsed     = 2 << 20  // bytes of formulas that are looked at, of all sheets
	mostRead       = 1 << 15  // bytes that a formula may read from cells
	mostWorkedOut  = 8 << 20  // bytes of all results
	mostLooks      = 50 << 20 // merged cells that are looked through
)

// spent is what the formulas of a workbook have taken so far.
type spent struct{ parsed, worked, looks int }

var (
	formulaCell  = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})$`)
	typedNumeral = regexp.MustCompile(`^[0-9]*\.?[0-9]+([eE][-+]?[0-9]+)?$`) // else a name: inf
	joinedNumber = regexp.MustCompile(`^-?[0-9]{1,6}(\.[0-9]{1,4})?$`)       // what each program puts into a text as it stands
)

// operand is a value within a formula.
type operand struct {
	text    string
	joins   bool // text is what each program shows of it within a text
	number  float64
	numeric bool
	empty   bool // a cell without anything in it
}

// formula is one that is being worked out.
type formula struct {
	tokens []efp.Token
	at     func(cell string) (c *Cell, ok bool) // what stands in a cell that it may look at; nil where that is nothing
}

// takenApart are the tokens of a formula. A test sees what happens where the library meets one that it cannot.
var takenApart = func(text string) []efp.Token {
	p := efp.ExcelParser()
	return p.Parse(text)
}

// result works a formula out; ok: programs agree on what it comes to.
func result(text string, at func(cell string) (c *Cell, ok bool)) (v operand, ok bool) {
	defer func() {
		if recover() != nil {
			ok = false
		}
	}()
	if text == "" || len(text) > longestFormula {
		return operand{}, false
	}
	f := formula{at: at}
	for _, t := range takenApart(text) {
		if t.TType == efp.TokenTypeSubexpression || t.TType == efp.TokenTypeFunction || t.TType == efp.TokenTypeOperand || t.TType == efp.TokenTypeArgument ||
			t.TType == efp.TokenTypeOperatorPrefix || t.TType == efp.TokenTypeOperatorInfix {
			f.tokens = append(f.tokens, t)
			continue
		}
		return operand{}, false
	}
	v, ok = f.joined()
	return v, ok && len(f.tokens) == 0 && !v.empty && !math.IsInf(v.number, 0) && !math.IsNaN(v.number)
}

// next takes a token of such a kind, if it comes next.
func (f *formula) next(kind, sub string, values ...string) (t efp.Token, ok bool) {
	if len(f.tokens) == 0 || f.tokens[0].TType != kind || sub != "" && f.tokens[0].TSubType != sub || len(values) > 0 && !slices.Contains(values, f.tokens[0].TValue) {
		return t, false
	}
	t, f.tokens = f.tokens[0], f.tokens[1:]
	return t, true
}

// joined is a sum, or values that & joins.
func (f *formula) joined() (v operand, ok bool) {
	v, ok = f.sum()
	for ok {
		if _, more := f.next(efp.TokenTypeOperatorInfix, efp.TokenSubTypeConcatenation); !more {
			return v, true
		}
		var w operand
		if w, ok = f.sum(); ok {
			v, ok = join(v, w)
		}
	}
	return v, false
}

// join puts values together to a text.
func join(all ...operand) (v operand, ok bool) {
	v.joins = true
	for _, w := range all {
		if !w.joins {
			return v, false
		}
		v.text += w.text
	}
	return v, true
}

func (f *formula) sum() (operand, bool)     { return f.chain((*formula).product, "+", "-") }
func (f *formula) product() (operand, bool) { return f.chain((*formula).signed, "*", "/") }

// chain works out operations of one rank, from the left.
func (f *formula) chain(each func(*formula) (operand, bool), operators ...string) (v operand, ok bool) {
	v, ok = each(f)
	for ok {
		op, more := f.next(efp.TokenTypeOperatorInfix, efp.TokenSubTypeMath, operators...)
		if !more {
			return v, true
		}
		w, fine := each(f)
		if !fine || !v.numeric || !w.numeric || op.TValue == "/" && w.number == 0 {
			return v, false
		}
		n := v.number
		switch op.TValue {
		case "+":
			n += w.number
		case "-":
			n -= w.number
		case "*":
			n *= w.number
		case "/":
			n /= w.number
		}
		v = operand{number: n, numeric: true}
	}
	return v, false
}

func (f *formula) signed() (v operand, ok bool) {
	if _, minus := f.next(efp.TokenTypeOperatorPrefix, "", "-"); minus {
		v, ok = f.signed()
		return operand{number: -v.number, numeric: true}, ok && v.numeric
	}
	return f.value()
}

// value is a number, a text, a cell, a function, or what stands in parentheses.
func (f *formula) value() (v operand, ok bool) {
	if t, is := f.next(efp.TokenTypeOperand, ""); is {
		return f.operand(t)
	}
	if _, is := f.next(efp.TokenTypeSubexpression, efp.TokenSubTypeStart); is {
		v, ok = f.joined()
		_, end := f.next(efp.TokenTypeSubexpression, efp.TokenSubTypeStop)
		return v, ok && end
	}
	t, is := f.next(efp.TokenTypeFunction, efp.TokenSubTypeStart)
	if !is {
		return v, false
	}
	var args []operand
	for {
		v, ok := f.joined()
		if args = append(args, v); !ok {
			return v, false
		}
		if _, more := f.next(efp.TokenTypeArgument, ""); !more {
			break
		}
	}
	if _, end := f.next(efp.TokenTypeFunction, efp.TokenSubTypeStop); !end {
		return v, false
	}
	return called(t.TValue, args)
}

// called is what a function comes to.
func called(name string, args []operand) (v operand, ok bool) {
	switch {
	case name == "CONCATENATE":
		return join(args...)
	case name == "CHAR" && len(args) == 1 && args[0].text == "10": // of a new line alone
		return operand{text: "\n", joins: true}, true
	case slices.ContainsFunc(args, func(a operand) bool { return !a.numeric }):
		return v, false
	}
	v = operand{number: args[0].number, numeric: true}
	switch name {
	case "SUM", "MAX", "MIN":
		for _, a := range args[1:] {
			switch name {
			case "SUM":
				v.number += a.number
			case "MAX":
				v.number = max(v.number, a.number)
			case "MIN":
				v.number = min(v.number, a.number)
			}
		}
		return v, true
	case "ROUND":
		if len(args) != 2 || !slices.Contains([]float64{0, 1, 2, 3, 4}, args[1].number) {
			return v, false
		}
		exact, is := new(big.Rat).SetString(strconv.FormatFloat(v.number, 'g', 15, 64)) // the digits that a spreadsheet keeps
		if !is {
			return v, false
		}
		v.number, _ = strconv.ParseFloat(exact.FloatString(int(args[1].number)), 64)
		return v, true
	}
	return v, false
}

// operand is a number, a text or what a single cell of the formula's own sheet shows.
func (f *formula) operand(t efp.Token) (v operand, ok bool) {
	switch t.TSubType {
	case efp.TokenSubTypeText:
		return operand{text: t.TValue, joins: true}, true
	case efp.TokenSubTypeNumber:
		n, err := strconv.ParseFloat(t.TValue, 64)
		return operand{text: t.TValue, joins: joinedNumber.MatchString(t.TValue), number: n, numeric: true}, err == nil && typedNumeral.MatchString(t.TValue)
	case efp.TokenSubTypeRange: // or a name, or the cell of another sheet
		m := formulaCell.FindStringSubmatch(t.TValue)
		if m == nil {
			return v, false
		}
		c, ok := f.at(m[1] + m[2])
		switch {
		case !ok:
			return v, false
		case c == nil:
			return operand{joins: true, empty: true}, true
		case c.Kind == Text:
			unseen, _ := c.Unseen()
			return operand{text: c.Text, joins: true}, !unseen
		case c.Kind == Number:
			n, err := strconv.ParseFloat(c.ExactText(), 64)
			return operand{text: c.Text, joins: c.Text == c.ExactText() && joinedNumber.MatchString(c.Text), number: n, numeric: true}, err == nil
		}
	}
	return v, false
}

// compute fills in the results of formulas that were saved without, where that is safe; the others stay Uncomputed.
func (x *sheetReader) compute() {
	if len(x.pending) == 0 {
		return
	}
	waiting := map[string]bool{}
	for _, p := range x.pending {
		waiting[Address(p.col, x.sheet.Rows[p.row].N)] = true
	}
	so := &x.book.spent
	for _, p := range x.pending {
		c := x.sheet.Rows[p.row].At(p.col)
		if so.parsed += len(c.more.formula); so.parsed > mostParsed || so.worked > mostWorkedOut {
			return
		}
		read := 0
		v, ok := result(c.more.formula, func(cell string) (*Cell, bool) {
			col, row, _ := parseAddress(cell)
			var from *Cell
			if i, ok := x.sheet.rowAt(row); ok {
				if from = x.sheet.Rows[i].At(col); from != nil {
					read += len(from.Text)
				}
			}
			return from, !waiting[cell] && !x.isBeneath(col, row) && read <= mostRead && so.looks <= mostLooks
		})
		if !ok {
			continue
		}
		so.worked += len(v.text)
		look := x.book.formatOf(c.more.style)
		if c.Kind, c.more = Text, nil; v.numeric {
			x.setNumber(c, false, strconv.FormatFloat(v.number, 'g', 15, 64), look)
		} else {
			c.clean(v.text)
		}
	}
}

// isBeneath reports a cell that a merged one lies over: some take it for empty, and some for what the merged one shows.
func (x *sheetReader) isBeneath(col, row int) bool {
	x.book.spent.looks += len(x.merged) + len(x.sheet.Across)
	return slices.ContainsFunc(x.merged, func(m mergedCell) bool {
		return m.col <= col && col <= m.lastCol && m.row <= row && row <= m.lastRow && (m.col != col || m.row != row)
	}) || slices.ContainsFunc(x.sheet.Across, func(a Across) bool { return a.Row == row && a.Col < col && col <= a.Last })
}
