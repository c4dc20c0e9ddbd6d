package plan_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// TestAnyPlan: whatever the plan, its file holds what the file promises, and no more. A reader that knows no other code than JSON makes
// the cuts by the names of the parts, and every leaf, mark, label and word must come out as it is in the plan. ReadFile finds the same.
func TestAnyPlan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlan(t)
		var file bytes.Buffer
		if err := p.WriteFile(&file); err != nil {
			t.Fatal(err)
		}
		var top object
		d := json.NewDecoder(bytes.NewReader(file.Bytes()))
		d.UseNumber()
		if err := d.Decode(&top); err != nil {
			t.Fatal(err)
		}
		r := &stranger{t}
		r.has(top, "plan", "pieces", "precuts", "stocks", "held")
		r.same(top, "plan", 1)
		r.pieces(r.list(top, "pieces"), p)
		r.precuts(r.list(top, "precuts"), p.Sheets)
		for i, o := range r.each(top, "stocks", len(p.Stocks)) {
			u := p.Stocks[i]
			r.has(o, "stock", "newSheets", "bound", "filled", "cost")
			r.same(o, "stock", u.Stock, "newSheets", u.NewSheets, "bound", u.Bound, "filled", u.Filled, "cost", fmt.Sprintf("%d.%02d", u.Cents/100, u.Cents%100))
		}
		for i, o := range r.each(top, "held", len(p.Held)) {
			h := p.Held[i]
			r.has(o, "place", "code", "why")
			r.same(o, "code", h.Code, "why", h.Why)
			r.place(o, h.Place)
		}
		read, err := plan.ReadFile(file.Bytes())
		if err != nil || len(read.Pieces) != len(p.Pieces) {
			t.Fatalf("%v: %d pieces of %d", err, len(read.Pieces), len(p.Pieces))
		}
		for i, want := range p.Pieces {
			samePiece(t, read.Pieces[i], want)
		}
	})
}

// anyPlan is a plan that need not be sound: the file is to say what the plan says.
func anyPlan(t *rapid.T) *plan.Plan {
	n := func(label string, least, most int) int { return rapid.IntRange(least, most).Draw(t, label) }
	text := func() string { return rapid.StringN(0, 8, -1).Draw(t, "text") }
	side := func() measure.Length { return measure.Length(n("side", 4, 40_000_000)) }
	rect := func() measure.Rect { return measure.Rect{X: side(), Y: side(), W: side(), H: side()} }
	place := func() problem.Place { return problem.Place{File: text(), Sheet: text(), Row: n("row", 0, 9)} }
	var cut func(p *plan.Part, deep int, leaf func(*plan.Part))
	cut = func(p *plan.Part, deep int, leaf func(*plan.Part)) {
		axis := plan.Axis(n("axis", 0, 1))
		from, long := p.Rect.X, p.Rect.W
		if axis == plan.Across {
			from, long = p.Rect.Y, p.Rect.H
		}
		if deep == 0 || long < 2 || n("uncut", 0, 3) == 0 {
			leaf(p)
			return
		}
		at := measure.Length(n("at", 1, int(long)-1))
		c := &plan.Cut{Axis: axis, At: from + at, Near: &plan.Part{Rect: p.Rect}, Far: &plan.Part{Rect: p.Rect}}
		if axis == plan.Down {
			c.Near.Rect.W, c.Far.Rect.X, c.Far.Rect.W = at, c.At, long-at
		} else {
			c.Near.Rect.H, c.Far.Rect.Y, c.Far.Rect.H = at, c.At, long-at
		}
		for range n("marks", 0, 2) {
			c.Marks = append(c.Marks, plan.Mark{X1: side(), Y1: side(), X2: side(), Y2: side(), Weight: side()})
		}
		p.Cut = c
		cut(c.Near, deep-1, leaf)
		cut(c.Far, deep-1, leaf)
	}
	outline := func(whole *plan.Part) { // of whatever is left whole
		for leaf := range whole.Leaves {
			for range n("lines", 0, 2) {
				leaf.Outline = append(leaf.Outline, plan.Mark{X1: side(), Y1: side(), X2: side(), Y2: side(), Weight: side()})
			}
		}
	}
	out := &plan.Plan{}
	piece := func(from plan.Source) {
		p := &plan.Piece{Page: len(out.Pieces) + n("page", 1, 3)*100, Stock: text(), Printer: text(), Source: from, Whole: &plan.Part{Rect: from.Rect.Size().At(0, 0)}}
		if n("rides", 0, 2) == 0 {
			p.Carrier = &plan.Carrier{Size: rect().Size(), X: side(), Y: side(), Nth: n("nth", 0, 2)}
		}
		for range n("labels", 0, 2) {
			p.Labels = append(p.Labels, plan.Label{Text: text(), Rect: rect()})
		}
		cut(p.Whole, 4, func(q *plan.Part) {
			switch n("leaf", 0, 2) {
			case 0:
				q.Keep = true
			case 1:
				set := &typeset.Setting{Face: text(), Size: measure.Point / 4 * measure.Length(n("quarters", 16, 400)), Lines: make([]typeset.Line, n("lines", 0, 3))}
				q.Block = &plan.Block{Block: &intake.Block{Code: text(), Owner: text(), Place: place()}, Setting: set, Copy: n("copy", 1, 3), Turned: n("turned", 0, 1) == 1, InkBox: rect()}
			}
		})
		outline(p.Whole)
		out.Pieces = append(out.Pieces, p)
	}
	for range n("whole sheets", 0, 2) {
		piece(plan.Source{Sheet: n("sheet", 1, 9), Leftover: n("leftover", 0, 1) == 1, Rect: rect()})
	}
	for range n("cut sheets", 0, 2) {
		s := &plan.Sheet{Stock: text(), Number: len(out.Sheets) + 1, Whole: &plan.Part{Rect: rect().Size().At(0, 0)}}
		out.Sheets = append(out.Sheets, s)
		cut(s.Whole, 2, func(q *plan.Part) {
			if q.Panel = n("panel", 0, 1) == 1; q.Panel {
				piece(plan.Source{Sheet: s.Number, Panel: q, Cut: s, Rect: q.Rect})
			}
		})
	}
	for range n("stocks", 0, 2) {
		out.Stocks = append(out.Stocks, plan.Use{Stock: text(), NewSheets: n("new", 0, 99), Bound: n("bound", 0, 99), Filled: float64(n("filled", 0, 1000)) / 1000, Cents: int64(n("cents", 0, 99_999))})
	}
	for range n("held", 0, 2) {
		out.Held = append(out.Held, intake.Held{Place: place(), Code: text(), Why: text()})
	}
	return out
}

type object = map[string]any

// stranger reads a plan file by what is promised of it.
type stranger struct{ t *rapid.T }

// has demands these names in an object and no others.
func (r *stranger) has(o object, names ...string) {
	if got := slices.Sorted(maps.Keys(o)); !slices.Equal(got, slices.Sorted(slices.Values(names))) {
		r.t.Fatalf("%q, want %q", got, names)
	}
}

// same compares members with values: name, value, name, value, ...
func (r *stranger) same(o object, pairs ...any) {
	for i := 0; i < len(pairs); i += 2 {
		got := o[pairs[i].(string)]
		if number, ok := got.(json.Number); ok {
			got = number.String()
		}
		want := pairs[i+1]
		switch v := want.(type) {
		case measure.Length:
			want = strconv.FormatInt(int64(v), 10)
		case int:
			want = strconv.Itoa(v)
		case float64:
			want = strconv.FormatFloat(v, 'f', -1, 64)
		}
		if got != want {
			r.t.Fatalf("%s is %v, want %v", pairs[i], got, want)
		}
	}
}

func (r *stranger) rect(o object, want measure.Rect) {
	r.same(o, "x", want.X, "y", want.Y, "width", want.W, "height", want.H)
}

func (r *stranger) place(o object, want problem.Place) {
	at, _ := o["place"].(object)
	r.has(at, "file", "sheet", "row")
	r.same(at, "file", want.File, "sheet", want.Sheet, "row", want.Row)
}

func (r *stranger) list(o object, name string) (out []object) {
	all, ok := o[name].([]any)
	if !ok {
		r.t.Fatalf("%s is %v, not a list", name, o[name])
	}
	for _, v := range all {
		out = append(out, v.(object))
	}
	return out
}

// each is a list of so many objects.
func (r *stranger) each(o object, name string, n int) []object {
	out := r.list(o, name)
	if len(out) != n {
		r.t.Fatalf("%d %s, want %d", len(out), name, n)
	}
	return out
}

// parts are what cuts have made so far, by name.
type parts map[string]measure.Rect

// cut makes one cut.
func (r *stranger) cut(of parts, o object) {
	name := o["of"].(string)
	whole, ok := of[name]
	makes := o["makes"].([]any)
	at64, err := o["at"].(json.Number).Int64()
	if at := measure.Length(at64); !ok || err != nil || len(makes) != 2 {
		r.t.Fatalf("%v cuts no part", o)
	} else if near, far := whole, whole; o["axis"] == "down" {
		near.W, far.X, far.W = at-whole.X, at, whole.Right()-at
		of[makes[0].(string)], of[makes[1].(string)] = near, far
	} else {
		r.same(o, "axis", "across")
		near.H, far.Y, far.H = at-whole.Y, at, whole.Bottom()-at
		of[makes[0].(string)], of[makes[1].(string)] = near, far
	}
	if makes[0] != name+".1" || makes[1] != name+".2" {
		r.t.Fatalf("%s comes apart into %v", name, makes)
	}
	delete(of, name)
}

func (r *stranger) pieces(list []object, p *plan.Plan) {
	if len(list) != len(p.Pieces) {
		r.t.Fatalf("%d pieces, want %d", len(list), len(p.Pieces))
	}
	for i, o := range list {
		want := p.Pieces[i]
		names := []string{"page", "stock", "printer", "width", "height", "source", "blocks", "cuts", "marks", "labels", "leftovers"}
		if c := want.Carrier; c != nil {
			names = append(names, "carrier")
			at, _ := o["carrier"].(object)
			if r.has(at, append([]string{"width", "height", "x", "y"}, []string{"nth"}[:min(c.Nth, 1)]...)...); c.Nth > 0 {
				r.same(at, "nth", c.Nth)
			}
			r.rect(at, c.Size.At(c.X, c.Y))
		}
		lines := 0
		for leaf := range want.Whole.Leaves {
			lines += len(leaf.Outline)
		}
		if lines > 0 {
			names = append(names, "outlines")
		}
		r.has(o, names...)
		size := want.Size()
		r.same(o, "page", want.Page, "stock", want.Stock, "printer", want.Printer, "width", size.W, "height", size.H)
		kind := "sheet"
		if want.Source.Leftover {
			kind = "leftover"
		} else if want.Source.Panel != nil {
			kind = "panel"
		}
		from, _ := o["source"].(object)
		r.has(from, "kind", "sheet", "x", "y", "width", "height")
		r.same(from, "kind", kind, "sheet", want.Source.Sheet)
		r.rect(from, want.Source.Rect)
		for i, l := range r.each(o, "labels", len(want.Labels)) {
			r.has(l, "text", "x", "y", "width", "height")
			r.same(l, "text", want.Labels[i].Text)
			r.rect(l, want.Labels[i].Rect)
		}
		r.cutUp(o, want)
	}
}

// cutUp makes the cuts of a piece and looks what each of the parts is.
func (r *stranger) cutUp(o object, want *plan.Piece) {
	name := "P" + strconv.Itoa(want.Page)
	if c := want.Carrier; c != nil && c.Nth > 0 { // the second piece on a page, the third, ...
		name += "-" + strconv.Itoa(c.Nth+1)
	}
	of := parts{name: want.Whole.Rect}
	marks := r.list(o, "marks")
	n := 0
	all := 0
	for range want.Whole.Cuts {
		all++
	}
	cuts := r.each(o, "cuts", all)
	for q := range want.Whole.Cuts {
		c := cuts[n]
		n++
		names := []string{"n", "of", "axis", "at", "makes", "measure"}
		if q.Hair() != nil {
			names = append(names, "skip")
		}
		r.has(c, names...)
		r.same(c, "n", n, "at", q.Cut.At, "measure", len(q.Cut.Marks) == 0)
		if of[c["of"].(string)] != q.Rect {
			r.t.Fatalf("cut %d is of %v, want %v", n, of[c["of"].(string)], q.Rect)
		}
		r.cut(of, c)
		for _, m := range q.Cut.Marks {
			if len(marks) == 0 {
				r.t.Fatal("a mark is missing")
			}
			r.has(marks[0], "cut", "x1", "y1", "x2", "y2", "weight")
			r.same(marks[0], "cut", n, "x1", m.X1, "y1", m.Y1, "x2", m.X2, "y2", m.Y2, "weight", m.Weight)
			marks = marks[1:]
		}
	}
	if len(marks) > 0 {
		r.t.Fatalf("%d marks too many", len(marks))
	}
	blocks, rests := r.list(o, "blocks"), r.list(o, "leftovers")
	var lines []object
	if _, any := o["outlines"]; any {
		lines = r.list(o, "outlines")
	}
	for leaf := range want.Whole.Leaves {
		for _, m := range leaf.Outline {
			if len(lines) == 0 || of[lines[0]["leaf"].(string)] != leaf.Rect {
				r.t.Fatal("a line of an outline is missing")
			}
			r.has(lines[0], "leaf", "x1", "y1", "x2", "y2", "weight")
			r.same(lines[0], "x1", m.X1, "y1", m.Y1, "x2", m.X2, "y2", m.Y2, "weight", m.Weight)
			lines = lines[1:]
		}
		found := func(o object, name string) bool {
			rect, known := of[o[name].(string)]
			return known && rect == leaf.Rect
		}
		b := leaf.Block
		if b == nil {
			at := slices.IndexFunc(rests, func(o object) bool { return found(o, "name") })
			if at < 0 {
				r.t.Fatalf("%v is no leftover", leaf.Rect)
			}
			r.has(rests[at], "name", "x", "y", "width", "height", "keep")
			r.same(rests[at], "keep", leaf.Keep)
			r.rect(rests[at], leaf.Rect)
			delete(of, rests[at]["name"].(string))
			continue
		}
		at := slices.IndexFunc(blocks, func(o object) bool { return found(o, "leaf") })
		if at < 0 {
			r.t.Fatalf("%v is no block", leaf.Rect)
		}
		got := blocks[at]
		r.has(got, "code", "owner", "place", "copy", "x", "y", "width", "height", "turned", "ink", "font", "points", "lines", "leaf")
		r.same(got, "code", b.Code, "owner", b.Owner, "copy", b.Copy, "turned", b.Turned, "font", b.Setting.Face, "points", b.Setting.Size.Points(), "lines", len(b.Setting.Lines))
		r.rect(got, leaf.Rect)
		r.place(got, b.Place)
		ink, _ := got["ink"].(object)
		r.has(ink, "x", "y", "width", "height")
		r.rect(ink, b.InkBox)
		delete(of, got["leaf"].(string))
	}
	if len(of) > 0 {
		r.t.Fatalf("%v is left over and not named", of)
	}
}

func (r *stranger) precuts(list []object, sheets []*plan.Sheet) {
	for _, s := range sheets {
		of := parts{"S" + strconv.Itoa(s.Number): s.Whole.Rect}
		n := 0
		for q := range s.Whole.Cuts {
			if len(list) == 0 {
				r.t.Fatal("a cut before printing is missing")
			}
			c := list[0]
			list = list[1:]
			n++
			names := []string{"stock", "sheet", "n", "of", "axis", "at", "makes"}
			if q.Hair() != nil {
				names = append(names, "skip")
			}
			r.has(c, names...)
			r.same(c, "stock", s.Stock, "sheet", s.Number, "n", n, "at", q.Cut.At)
			if of[c["of"].(string)] != q.Rect {
				r.t.Fatalf("cut %d of sheet %d is of %v, want %v", n, s.Number, of[c["of"].(string)], q.Rect)
			}
			r.cut(of, c)
		}
		for leaf := range s.Whole.Leaves {
			name := s.PartName(leaf)
			if of[name] != leaf.Rect {
				r.t.Fatalf("%s is %v, want %v", name, of[name], leaf.Rect)
			}
		}
	}
	if len(list) > 0 {
		r.t.Fatalf("%d cuts before printing too many", len(list))
	}
}
