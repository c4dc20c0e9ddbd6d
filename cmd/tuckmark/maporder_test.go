package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// TestMapOrder: nothing is gathered or written in the order of a map, which differs from run to run. A loop over a map may put
// things into other maps, count, and look for something; where it appends or writes, the same function must sort what comes of it.
// maps.Keys and its like may stand only in slices.Sorted and its like.
func TestMapOrder(t *testing.T) {
	house := &house{fset: token.NewFileSet(), files: map[string][]*ast.File{}, done: map[string]*types.Package{}, types: map[ast.Expr]types.TypeAndValue{}}
	must(t, filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(house.fset, file, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		folder := path.Dir(filepath.ToSlash(rel))
		house.files["tuckmark/"+folder] = append(house.files["tuckmark/"+folder], f)
		return nil
	}))
	loops := 0
	for _, name := range house.names() {
		if slices.Contains(forTests, strings.TrimPrefix(name, "tuckmark/")) {
			continue
		}
		if _, err := house.Import(name); err != nil {
			t.Fatal(err)
		}
		for _, f := range house.files[name] {
			for _, d := range f.Decls {
				if fn, ok := d.(*ast.FuncDecl); ok && fn.Body != nil {
					n, unsorted := house.loops(fn)
					loops += n
					for _, at := range unsorted {
						t.Errorf("%v: in the order of a map", house.fset.Position(at))
					}
				}
			}
		}
	}
	if loops < 10 { // there are some, or this test sees none
		t.Errorf("%d loops over maps were found", loops)
	}
}

// house is the project's packages with the types of their expressions, as far as these do not come from elsewhere: a map of ours
// is seen to be one, whatever it holds.
type house struct {
	fset  *token.FileSet
	files map[string][]*ast.File
	done  map[string]*types.Package
	types map[ast.Expr]types.TypeAndValue
}

func (h *house) names() []string {
	var out []string
	for name := range h.files {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// Import is a package of ours with its types, and of any other an empty one.
func (h *house) Import(name string) (*types.Package, error) {
	if p := h.done[name]; p != nil {
		return p, nil
	}
	files := h.files[name]
	if len(files) == 0 {
		p := types.NewPackage(name, path.Base(name))
		p.MarkComplete()
		h.done[name] = p
		return p, nil
	}
	conf := types.Config{Importer: h, Error: func(error) {}, FakeImportC: true} // what others' packages hold is not known, and complained of
	p, _ := conf.Check(name, h.fset, files, &types.Info{Types: h.types})
	if p == nil {
		return nil, fmt.Errorf("%s has no types", name)
	}
	h.done[name] = p
	return p, nil
}

// loops are the loops over maps of a function, and the places of those of whose order something remains.
func (h *house) loops(fn *ast.FuncDecl) (n int, unsorted []token.Pos) {
	var gathers []token.Pos
	sorts := token.NoPos // the last place where something is sorted
	ast.Inspect(fn.Body, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.RangeStmt:
			if tv, ok := h.types[node.X]; ok && tv.Type != nil {
				if _, isMap := tv.Type.Underlying().(*types.Map); isMap {
					n++
					if gathersInOrder(node.Body) {
						gathers = append(gathers, node.Pos())
					}
				}
			}
		case *ast.CallExpr:
			if name := called(node); strings.HasPrefix(name, "slices.Sort") || strings.HasPrefix(name, "sort.") {
				sorts = node.Pos()
				return false // what stands in it is sorted
			} else if name == "maps.Keys" || name == "maps.Values" || name == "maps.All" {
				unsorted = append(unsorted, node.Pos())
			}
		}
		return true
	})
	for _, at := range gathers {
		if sorts < at {
			unsorted = append(unsorted, at)
		}
	}
	return n, unsorted
}

// gathersInOrder reports whether a loop leaves something behind in its order: it appends, joins texts, writes or yields.
func gathersInOrder(body *ast.BlockStmt) (yes bool) {
	ast.Inspect(body, func(node ast.Node) bool {
		switch node := node.(type) {
		case *ast.CallExpr:
			name := called(node)
			last := name[strings.LastIndexByte(name, '.')+1:]
			if name == "append" || name == "yield" || strings.HasPrefix(last, "Write") || strings.HasPrefix(last, "Fprint") || last == "Add" || last == "Note" {
				yes = true
			}
		case *ast.AssignStmt:
			if lit, ok := node.Rhs[0].(*ast.BasicLit); node.Tok == token.ADD_ASSIGN && ok && lit.Kind == token.STRING {
				yes = true
			}
		}
		return !yes
	})
	return yes
}

// called is the name of what a call calls, as far as it has one: "append", "slices.Sort", "b.WriteString".
func called(c *ast.CallExpr) string {
	switch f := c.Fun.(type) {
	case *ast.Ident:
		return f.Name
	case *ast.SelectorExpr:
		if x, ok := f.X.(*ast.Ident); ok {
			return x.Name + "." + f.Sel.Name
		}
		return "." + f.Sel.Name
	case *ast.IndexExpr: // of a type parameter
		return called(&ast.CallExpr{Fun: f.X})
	}
	return ""
}
