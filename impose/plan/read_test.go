package plan_test

import (
	"bytes"
	"errors"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
)

// TestReadFile: what is in the file comes back: every part of every piece at its place, with its marks and blocks.
func TestReadFile(t *testing.T) {
	example, s := made.Example()
	plans := map[string]*plan.Plan{"example": example, "random": made.Random(s, 7, 60, 5, 3).Plan}
	for name, p := range plans {
		var file bytes.Buffer
		if err := p.WriteFile(&file); err != nil {
			t.Fatal(err)
		}
		got, err := plan.ReadFile(file.Bytes())
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(got.Pieces) != len(p.Pieces) || len(got.Pieces) == 0 {
			t.Fatalf("%s: %d pieces, want %d", name, len(got.Pieces), len(p.Pieces))
		}
		for i, want := range p.Pieces {
			samePiece(t, got.Pieces[i], want)
		}
	}
}

func samePiece(t rapid.TB, got, want *plan.Piece) {
	t.Helper()
	if got.Page != want.Page || got.Stock != want.Stock || got.Printer != want.Printer || got.Source.Sheet != want.Source.Sheet || got.Source.Rect != want.Source.Rect ||
		got.Source.Leftover != want.Source.Leftover || (got.Carrier == nil) != (want.Carrier == nil) || got.Carrier != nil && *got.Carrier != *want.Carrier {
		t.Errorf("%+v, want %+v", got, want)
	}
	samePart(t, got.Whole, want.Whole)
}

func samePart(t rapid.TB, got, want *plan.Part) {
	t.Helper()
	if got.Rect != want.Rect || (got.Cut == nil) != (want.Cut == nil) || (got.Block == nil) != (want.Block == nil) || got.Keep != want.Keep || !slices.Equal(got.Outline, want.Outline) {
		t.Fatalf("%+v, want %+v", got, want)
	}
	if b := want.Block; b != nil {
		g := got.Block
		if g.Code != b.Code || g.Owner != b.Owner || g.Place != b.Place || g.Copy != b.Copy || g.Turned != b.Turned || g.InkBox != b.InkBox {
			t.Errorf("%+v, want %+v", g, b)
		}
	}
	if c := want.Cut; c != nil {
		if got.Cut.Axis != c.Axis || got.Cut.At != c.At || !slices.Equal(got.Cut.Marks, c.Marks) {
			t.Errorf("%+v, want %+v", got.Cut, c)
		}
		samePart(t, got.Cut.Near, c.Near)
		samePart(t, got.Cut.Far, c.Far)
	}
}

func TestReadBadFiles(t *testing.T) {
	example, _ := made.Example()
	var file bytes.Buffer
	if err := example.WriteFile(&file); err != nil {
		t.Fatal(err)
	}
	good := file.String()
	for name, c := range map[string]struct {
		text string
		want error
	}{
		"newer":         {strings.Replace(good, `"plan": 1`, `"plan": 2`, 1), plan.ErrNewer},
		"other JSON":    {`{"pieces": []}`, plan.ErrFile},
		"no JSON":       {"plan", plan.ErrFile},
		"no page":       {strings.Replace(good, `"page": `, `"page": -`, 1), plan.ErrFile},
		"unknown part":  {strings.Replace(good, `"of": "`, `"of": "X`, 1), plan.ErrFile},
		"unknown axis":  {strings.Replace(good, `"axis": "`, `"axis": "s`, 1), plan.ErrFile},
		"unknown leaf":  {strings.Replace(good, `"leaf": "`, `"leaf": "X`, 1), plan.ErrFile},
		"cut elsewhere": {strings.Replace(good, `"at": `, `"at": 99999`, 1), plan.ErrFile},
	} {
		if c.text == good {
			t.Fatalf("%s: the example has nothing to spoil", name)
		}
		if _, err := plan.ReadFile([]byte(c.text)); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", name, err, c.want)
		}
	}
}

// TestReadCrowdedFiles: a file that somebody has made up, with lists of far more than a plan of its size has, or with cuts that share their marks, is refused
// before it takes memory or time; one of many pieces, cuts and marks as they are written is read.
func TestReadCrowdedFiles(t *testing.T) {
	const many = 300_000
	list := func(of string, n int) string { return "[" + strings.TrimSuffix(strings.Repeat(of+",", n), ",") + "]" }
	piece := func(fields string) string {
		return `{"plan": 1, "pieces": [{"page": 9, "width": 1000, "height": 1000000, ` + fields + `}]}`
	}
	var cuts, marks strings.Builder
	of := "P9"
	for i := range 3000 {
		fmt.Fprintf(&cuts, `{"n": %d, "of": %q, "axis": "across", "at": %d, "makes": ["a%d", "b%[4]d"], "measure": false, "of what else it says": "in the words of the file, which are many, and many more"},`, i+1, of, 10_000-i, i)
		fmt.Fprintf(&marks, `{"cut": %d, "x1": 1000000, "y1": 1000000, "x2": 1000000, "y2": 1000000, "weight": 1000000},`, i+1)
		of = fmt.Sprintf("a%d", i)
	}
	cutList, markList := "["+strings.TrimSuffix(cuts.String(), ",")+"]", "["+strings.TrimSuffix(marks.String(), ",")+"]"
	good := piece(`"cuts": ` + cutList + `, "marks": ` + markList)
	if p, err := plan.ReadFile([]byte(good)); err != nil || len(p.Pieces) != 1 || len(p.Pieces[0].Whole.Cut.Marks) != 1 {
		t.Fatalf("%v", err)
	}
	for name, c := range map[string]struct{ text, says string }{
		"pieces that say nothing": {`{"plan": 1, "pieces": ` + list("{}", many) + `}`, "lists are longer"},
		"... nor are anything":    {`{"plan": 1, "pieces": ` + list("null", many) + `}`, "lists are longer"},
		"blocks that say nothing": {piece(`"blocks": ` + list("{}", many)), "lists are longer"},
		"marks behind a text":     {piece(`"stock": "\"]}", "marks": ` + list("1", many)), "lists are longer"},
		"pieces spread out":       {`{"plan": 1, "pieces": ` + list("{}"+strings.Repeat(" ", 70), many) + `}`, "a piece without page or size"},
		"a piece many times":      {`{"plan": 1, "pieces": ` + list(`{"page": 9, "width": 1000, "height": 1000`+strings.Repeat(" ", 40)+"}", 1000) + `}`, "two pieces P9"},
		"two cuts of one number":  {strings.Replace(good, `"n": 2,`, `"n": 1,`, 1), "two cuts 1 of P9"},
		"cuts without numbers":    {strings.ReplaceAll(good, `{"n": `, `{"m": `), "two cuts 0 of P9"},
		"a cut that is a number":  {strings.Replace(good, `"cuts": [`, `"cuts": [7,`, 1), "this is no plan file"},
	} {
		var err error
		spent := allocated(func() { _, err = plan.ReadFile([]byte(c.text)) })
		if !errors.Is(err, plan.ErrFile) || !strings.Contains(err.Error(), c.says) || strings.Count(err.Error(), "this is no plan file") > 1 {
			t.Errorf("%s: %v, want %q", name, err, c.says)
		}
		if most := 16 * uint64(len(c.text)); spent > most {
			t.Errorf("%s: %d bytes take %d", name, len(c.text), spent)
		}
	}
}

// allocated is how many bytes a function has asked for.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// FuzzReadFile: no file makes the reader fail other than by an error, and a piece has a size.
func FuzzReadFile(f *testing.F) {
	example, _ := made.Example()
	var file bytes.Buffer
	if err := example.WriteFile(&file); err != nil {
		f.Fatal(err)
	}
	f.Add(file.Bytes())
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := plan.ReadFile(data)
		if err != nil {
			return
		}
		for _, piece := range p.Pieces {
			for part := range piece.Whole.Leaves {
				if part.Rect.Empty() {
					t.Errorf("a part of %v", part.Rect)
				}
			}
		}
	})
}
