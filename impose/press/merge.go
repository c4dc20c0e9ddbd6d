package press

import (
	"bytes"
	"compress/zlib"
	"fmt"
	"io"
	"strings"
	"sync"
	"unicode"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/filter"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// quiet keeps pdfcpu from writing its settings into the user's home.
var quiet = sync.OnceFunc(api.DisableConfigDir)

// merge joins the sections' files in one pass of pdfcpu, and adds what concerns the document as a whole.
func merge(files func(i int) []byte, n int, d *Document) (all *model.Context, err error) {
	defer func() {
		switch p := recover(); p {
		case nil:
		case ErrStopped:
			all, err = nil, ErrStopped
		default: // pdfcpu panics where it meets what it does not expect
			all, err = nil, fmt.Errorf("pdfcpu: %v", p)
		}
	}()
	quiet()
	conf := model.NewDefaultConfiguration()
	conf.Cmd = model.MERGECREATE
	conf.CreateBookmarks = false // ours, not one for each file

	for i := range n {
		one, err := api.ReadAndValidate(bytes.NewReader(files(i)), conf)
		if err != nil {
			return nil, err
		}
		if d.Stop() {
			return nil, ErrStopped
		}
		if all == nil {
			all = one
			all.EnsureVersionForWriting()
			continue
		}
		if err := pdfcpu.MergeXRefTables(fmt.Sprint(i), one, all, false, false); err != nil {
			return nil, err
		}
	}
	if marks := bookmarks(d); len(marks) > 0 {
		if err := pdfcpu.AddBookmarks(all, marks, true); err != nil {
			return nil, err
		}
		if err := direct(all, marks); err != nil {
			return nil, err
		}
	}
	// Blocks must come out at their true size: no fitting to the paper, and the tray by the size of the piece. And on one side: with
	// two, one piece's blocks would lie on the back of another.
	none, yes, title, simplex := model.PrintScalingNone, true, d.Title != "", model.Simplex
	all.ViewerPref = &model.ViewerPreferences{PrintScaling: &none, PickTrayByPDFSize: &yes, DisplayDocTitle: &title, Duplex: &simplex}
	all.BindViewerPreferences()
	if err := pdfcpu.PropertiesAdd(all, properties(d)); err != nil {
		return nil, err
	}
	if err := describe(all, d); err != nil {
		return nil, err
	}
	return all, attach(all, d.Plan)
}

// attachment is what the plan is called in the PDF.
const attachment = "plan.json"

// attach puts the plan into the document as an embedded file (ISO 32000-1, 7.11.4), without the clock that pdfcpu's own way
// would write. It is packed as it is written: a large job's plan is ten times as large as its PDF.
func attach(all *model.Context, plan func(io.Writer) error) error {
	if plan == nil {
		return nil
	}
	var packed bytes.Buffer
	zip := zlib.NewWriter(&packed)
	size := tally{w: zip}
	if err := plan(&size); err != nil {
		return err
	}
	zip.Close() // a bytes.Buffer does not fail
	data := types.StreamDict{Raw: packed.Bytes(), Dict: types.Dict{"Type": types.Name("EmbeddedFile"), "Subtype": types.Name("application/json"),
		"Filter": types.Name(filter.Flate), "Params": types.Dict{"Size": types.Integer(size.n)}}}
	file, err := all.IndRefForNewObject(data)
	if err != nil {
		return err
	}
	name := types.StringLiteral(attachment)
	spec, err := all.IndRefForNewObject(types.Dict{"Type": types.Name("Filespec"), "F": name, "UF": name,
		"EF": types.Dict{"F": *file, "UF": *file}, "Desc": types.StringLiteral("what lies where, for tuckmark print")})
	if err != nil {
		return err
	}
	catalog, err := all.Catalog()
	if err != nil {
		return err
	}
	catalog["Names"] = types.Dict{"EmbeddedFiles": types.Dict{"Names": types.Array{name, *spec}}} // the sections bring none
	return nil
}

// tally counts the bytes that pass through it.
type tally struct {
	w io.Writer
	n int
}

func (c *tally) Write(p []byte) (int, error) {
	n, err := c.w.Write(p)
	c.n += n
	return n, err
}

// direct lets the bookmarks point at their pages themselves. pdfcpu has them point by name, through a tree of names that
// grows one level with every other title; PDFium gives up 32 levels down, and the bookmarks of a long document lead nowhere.
func direct(all *model.Context, marks []pdfcpu.Bookmark) error {
	catalog, err := all.Catalog()
	if err != nil {
		return err
	}
	var walk func(parent types.Object, marks []pdfcpu.Bookmark) error
	walk = func(parent types.Object, marks []pdfcpu.Bookmark) error {
		above, err := all.DereferenceDict(parent)
		if err != nil {
			return err
		}
		next := above["First"]
		for _, m := range marks {
			item, err := all.DereferenceDict(next)
			if err != nil {
				return err
			}
			at, ok := all.Names["Dests"].Value(m.Title)
			if !ok || item == nil {
				return fmt.Errorf("no page for the bookmark %q", m.Title)
			}
			if item["Dest"], err = all.DereferenceArray(at); err != nil {
				return err
			}
			if err := walk(next, m.Kids); err != nil {
				return err
			}
			next = item["Next"]
		}
		return nil
	}
	if err := walk(catalog["Outlines"], marks); err != nil {
		return err
	}
	delete(all.Names, "Dests")
	delete(catalog, "Names") // the sections bring none of their own
	return nil
}

// creator is the program that the document says it comes from.
const creator = "tuckmark"

func properties(d *Document) map[string]string {
	p := map[string]string{"Creator": creator}
	if t := clean(d.Title, longestProperty); t != "" {
		p["Title"] = t
	}
	if d.Subject != "" {
		p["Subject"] = string(d.Subject)
	}
	return p
}

// bookmarks are the sections with their pages below them. Titles are keys in pdfcpu, so each is made unique.
func bookmarks(d *Document) []pdfcpu.Bookmark {
	var marks []pdfcpu.Bookmark
	names := titles{}
	page := 1
	for _, s := range d.Sections {
		if len(s.Pages) == 0 {
			continue
		}
		var kids []pdfcpu.Bookmark
		first := page
		section := clean(s.Title, longestTitle)
		if section != "" {
			section = names.unique(section)
		}
		for _, p := range s.Pages {
			if t := clean(p.Title, longestTitle); t != "" {
				kids = append(kids, pdfcpu.Bookmark{Title: names.unique(t), PageFrom: page})
			}
			page++
		}
		if section == "" {
			marks = append(marks, kids...)
			continue
		}
		marks = append(marks, pdfcpu.Bookmark{Title: section, PageFrom: first, Kids: kids})
	}
	return marks
}

const (
	longestTitle    = 200 // of a bookmark
	longestProperty = 500
)

// clean makes a title one line of valid text, of at most n characters.
func clean(s string, n int) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == unicode.ReplacementChar {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, " "))
	r := []rune(strings.Join(strings.Fields(s), " "))
	if len(r) > n {
		return strings.TrimSpace(string(r[:n-1])) + "…"
	}
	return string(r)
}

// titles remembers those in use.
type titles map[string]int

// unique returns the title, with a number behind it if it was in use.
func (t titles) unique(title string) string {
	name := title
	for t[name] > 0 {
		t[title]++
		name = fmt.Sprintf("%s (%d)", title, t[title])
	}
	t[name] = 1
	return name
}
