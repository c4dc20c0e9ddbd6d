package press

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

func write(t testing.TB, d Document) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, d, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sheet is a page with a line of text in each of the faces, one of them turned, a mark and a tint.
func sheet(title string, faces ...*testFace) Page {
	p := Page{Title: title, Size: measure.Size{W: 6 * measure.Inch, H: 4 * measure.Inch}}
	for i, f := range faces {
		turned := i%2 == 1
		x, y := measure.Inch, measure.Inch+measure.Length(i)*20*measure.Point
		if turned {
			x, y = 5*measure.Inch, measure.Inch/2
		}
		l, _ := f.set(fmt.Sprintf("First office “café” %d", i), 12*measure.Point, x, y, turned)
		p.Texts = append(p.Texts, l)
	}
	p.Lines = []Line{{X1: 0, Y1: measure.Inch, X2: measure.Inch / 4, Y2: measure.Inch, Weight: 6350}}
	p.Fills = []Fill{{measure.Rect{X: measure.Inch, Y: 3 * measure.Inch, W: measure.Inch, H: measure.Inch / 2}, config.Colour{R: 240, G: 240, B: 250}}}
	return p
}

func small(t testing.TB) Document {
	a, b, c := sans(t), italic(t), roman(t)
	return Document{Title: "A week by the lake", Sections: []Section{
		{"Guides", []Page{sheet("Run sheet", a), sheet("Sorting list", a, c)}},
		{"Vellum", []Page{sheet("Sheet 1", a, b, c)}},
		{"Cardstock", []Page{sheet("Sheet 1", c, b), sheet("", a)}},
	}}
}

func TestSameBytes(t *testing.T) {
	d := small(t)
	first := write(t, d)
	time.Sleep(1100 * time.Millisecond) // a clock that counts in seconds would show
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	for _, cores := range []int{1, 2} {
		runtime.GOMAXPROCS(cores)
		if !bytes.Equal(first, write(t, d)) {
			t.Errorf("other bytes on %d cores, a second later", cores)
		}
	}
	// The same document put together anew, several at once.
	var jobs sync.WaitGroup
	for range 4 {
		jobs.Go(func() {
			if !bytes.Equal(first, write(t, small(t))) {
				t.Error("other bytes for an equal document")
			}
		})
	}
	jobs.Wait()
	d.Title += "!"
	if other := write(t, d); bytes.Equal(id(first), id(other)) {
		t.Error("another document has the same /ID")
	}
}

func id(pdf []byte) []byte { return pdf[bytes.LastIndex(pdf, []byte("/ID[")):] }

// TestGates runs the judges that the file must pass: qpdf, and pdfcpu's strict validation.
func TestGates(t *testing.T) {
	for name, d := range map[string]Document{
		"small":   small(t),
		"hostile": hostile(t),
		"one":     {Sections: []Section{{Pages: []Page{{Size: measure.Size{W: measure.Inch, H: measure.Inch}}}}}},
	} {
		pdf := write(t, d)
		conf := model.NewDefaultConfiguration()
		conf.ValidationMode = model.ValidationStrict
		if err := api.Validate(bytes.NewReader(pdf), conf); err != nil {
			t.Errorf("%s: pdfcpu: %v", name, err)
		}
		if !bytes.HasPrefix(pdf, []byte("%PDF-1.7\n")) {
			t.Errorf("%s: not PDF 1.7", name)
		}
		if qpdf, err := exec.LookPath("qpdf"); err == nil {
			file := filepath.Join(t.TempDir(), "x.pdf")
			if err := os.WriteFile(file, pdf, 0o600); err != nil {
				t.Fatal(err)
			}
			if out, err := exec.Command(qpdf, "--check", file).CombinedOutput(); err != nil {
				t.Errorf("%s: qpdf: %s", name, out)
			}
		}
	}
}

func TestViewerPreferences(t *testing.T) {
	pdf := write(t, small(t))
	v, _, err := api.ViewerPreferences(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		t.Fatal(err)
	}
	if v.PrintScaling == nil || *v.PrintScaling != model.PrintScalingNone {
		t.Error("print scaling is not None")
	}
	if v.PickTrayByPDFSize == nil || !*v.PickTrayByPDFSize {
		t.Error("the tray is not picked by size")
	}
	if v.DisplayDocTitle == nil || !*v.DisplayDocTitle {
		t.Error("the title is not displayed")
	}
	if v.Duplex == nil || *v.Duplex != model.Simplex {
		t.Error("printing is not said to be on one side")
	}
}

// TestMetadata: what the document says of itself is true, in the catalogue, the information dictionary and the XMP packet alike, and
// no date is made up.
func TestMetadata(t *testing.T) {
	d := small(t)
	d.Title, d.Language = "Ärger <& more>", "en-GB"
	pdf := write(t, d)
	all, err := api.ReadAndValidate(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		t.Fatal(err)
	}
	catalog, err := all.Catalog()
	if err != nil {
		t.Fatal(err)
	}
	if lang := catalog["Lang"]; lang != types.StringLiteral("en-GB") {
		t.Errorf("the language is %v", lang)
	}
	info, err := all.DereferenceDict(*all.Info)
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []string{"CreationDate", "ModDate"} {
		if v, there := info[k]; there {
			t.Errorf("%s is %v, and nobody knows it", k, v)
		}
	}
	packet, _, err := all.DereferenceStreamDict(catalog["Metadata"])
	if err != nil || packet == nil {
		t.Fatal("no XMP", err)
	}
	var x struct {
		Title    string `xml:"RDF>Description>title>Alt>li"`
		Language string `xml:"RDF>Description>language>Bag>li"`
		Creator  string `xml:"RDF>Description>CreatorTool"`
		Date     string `xml:"RDF>Description>CreateDate"`
	}
	if err := xml.Unmarshal(packet.Raw, &x); err != nil {
		t.Fatal(err)
	}
	if x.Title != d.Title || x.Language != "en-GB" || x.Creator != "tuckmark" || x.Date != "" {
		t.Errorf("%+v", x)
	}
}

// hostile has titles that break careless writers.
func hostile(t testing.TB) Document {
	f := sans(t)
	long := strings.Repeat("very (long) ", 100)
	return Document{Title: `Ärger \ (un)balanced ) é 日本語 😀 ` + "\x00\n\xff" + long, Sections: []Section{
		{`(`, []Page{sheet(`a)(\`, f), sheet(`a)(\`, f), sheet("日本語 😀", f)}},
		{"(", []Page{sheet("Sheet", f), sheet("Sheet", f), sheet("Sheet (2)", f), sheet("sheet", f)}},
		{"empty", nil},
		{"", []Page{sheet("no section", f)}},
		{"tab\tand\r\nnewline \x01", []Page{sheet(long, f), sheet(long, f), sheet(" ", f)}},
		{"\xff\xfe", []Page{sheet("<<>>", f)}},
	}}
}

func TestBookmarks(t *testing.T) {
	long := strings.Repeat("very (long) ", 100)[:199]
	want := []readback.Bookmark{
		{Title: `(`, Page: 0, Kids: []readback.Bookmark{{Title: `a)(\`, Page: 0}, {Title: `a)(\ (2)`, Page: 1}, {Title: "日本語 😀", Page: 2}}},
		{Title: `( (2)`, Page: 3, Kids: []readback.Bookmark{{Title: "Sheet", Page: 3}, {Title: "Sheet (2)", Page: 4}, {Title: "Sheet (2) (2)", Page: 5}, {Title: "sheet", Page: 6}}},
		{Title: "no section", Page: 7},
		{Title: "tab and newline", Page: 8, Kids: []readback.Bookmark{{Title: long + "…", Page: 8}, {Title: long + "… (2)", Page: 9}}},
		{Title: "<<>>", Page: 11},
	}
	d := readback.Open(t, write(t, hostile(t)))
	if got := d.Bookmarks(); !reflect.DeepEqual(got, want) {
		t.Errorf("bookmarks\n%+v\nwant\n%+v", got, want)
	}
	if got := d.Title(); !strings.HasPrefix(got, `Ärger \ (un)balanced ) é 日本語 😀 very (long)`) || len([]rune(got)) > 500 {
		t.Errorf("title %q", got)
	}
}

// TestManyBookmarks is a long document: readers look for a page by the tree of pages, and some give up on a deep one.
func TestManyBookmarks(t *testing.T) {
	var s Section
	for i := range 1500 {
		s.Pages = append(s.Pages, Page{Title: fmt.Sprintf("Sheet %04d", i), Size: measure.Size{W: measure.Inch, H: measure.Inch}})
	}
	s.Title = "All"
	d := readback.Open(t, write(t, Document{Sections: []Section{s}}))
	marks := d.Bookmarks()
	if len(marks) != 1 || len(marks[0].Kids) != 1500 {
		t.Fatalf("%d sections", len(marks))
	}
	for i, k := range marks[0].Kids {
		if k.Page != i {
			t.Fatalf("%q leads to page %d", k.Title, k.Page)
		}
	}
}

func TestTick(t *testing.T) {
	var got []int
	if err := Write(&bytes.Buffer{}, small(t), func(n int) { got = append(got, n) }); err != nil {
		t.Fatal(err)
	}
	if want := []int{1, 2, 3, 4, 5}; !reflect.DeepEqual(got, want) {
		t.Errorf("ticks %v", got)
	}
}

// TestNothingAtHome: pdfcpu keeps its settings in the user's configuration folder unless told otherwise.
func TestNothingAtHome(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_CONFIG_HOME", filepath.Join(home, ".config"))
	t.Setenv("AppData", home)
	write(t, small(t))
	if left, err := os.ReadDir(home); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

type full struct{}

var errFull = errors.New("no space left")

func (full) Write([]byte) (int, error) { return 0, errFull }

func TestErrors(t *testing.T) {
	f := sans(t)
	one := func(change func(*Page)) Document {
		p := sheet("Sheet 1", f)
		change(&p)
		return Document{Sections: []Section{{"Vellum", []Page{p}}}}
	}
	if err := Write(&bytes.Buffer{}, Document{Sections: []Section{{"Vellum", nil}}}, nil); !errors.Is(err, ErrEmpty) {
		t.Errorf("no pages: %v", err)
	}
	if err := Write(full{}, small(t), nil); !errors.Is(err, errFull) {
		t.Errorf("a writer that fails: %v", err)
	}
	for name, change := range map[string]func(*Page){
		"no size":      func(p *Page) { p.Size.W = 0 },
		"no font":      func(p *Page) { p.Texts[0].Font = nil },
		"no text size": func(p *Page) { p.Texts[0].Size = 0 },
		"no glyph":     func(p *Page) { p.Texts[0].Glyphs[3].ID = 60000 },
	} {
		var b bytes.Buffer
		if err := Write(&b, one(change), nil); err == nil || b.Len() > 0 {
			t.Errorf("%s: error %v, %d bytes", name, err, b.Len())
		}
	}
	var damaged *FontError
	err := Write(&bytes.Buffer{}, one(func(p *Page) { p.Texts[0].Font = &Font{Name: "Broken", Data: f.Data[:900]} }), nil)
	if !errors.As(err, &damaged) || damaged.Font != "Broken" || damaged.Why == "" {
		t.Errorf("a damaged font: %v", err)
	}
}
