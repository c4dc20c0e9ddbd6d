package press

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"regexp"
	"slices"

	"github.com/pdfcpu/pdfcpu/pkg/api"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"

	"tuckmark/config/measure"
)

// Why a PDF is not opened.
var (
	ErrForeign = errors.New("press: another program wrote this file")
	ErrChanged = errors.New("press: the file was changed after it was written")
	ErrNoPlan  = errors.New("press: the file holds no plan")
)

// Finished is a PDF that Write wrote, whole and unchanged.
type Finished struct {
	Plan  []byte         // its attachment
	Sizes []measure.Size // of its pages
	ID    string         // digest of the whole file, as hexadecimal digits

	all *model.Context
}

// byUs is what properties names as the Creator, as pdfcpu writes it: UTF-16, the high byte first; and in the other ways in which the same string may be
// written by a program that saves the file (ISO 32000-1, 7.3.4).
var byUs = []string{
	"(\xFE\xFF\x00t\x00u\x00c\x00k\x00m\x00a\x00r\x00k)",
	`(\376\377\000t\000u\000c\000k\000m\000a\000r\000k)`,
	"<feff007400750063006b006d00610072006b>",
	"<FEFF007400750063006B006D00610072006B>",
	"(tuckmark)",
}

// IsOurs reports whether Write wrote a PDF, whatever has become of it since, as long as the program that saved it has not hidden its properties in a
// compressed stream.
func IsOurs(pdf []byte) bool {
	if !bytes.HasPrefix(pdf, []byte("%PDF-")) {
		return false
	}
	for rest, found := pdf, true; found; {
		_, rest, found = bytes.Cut(rest, []byte("/Creator"))
		value := bytes.TrimLeft(rest[:min(len(rest), 100)], " \r\n\t")
		if slices.ContainsFunc(byUs, func(s string) bool { return bytes.HasPrefix(value, []byte(s)) }) {
			return true
		}
	}
	return false
}

// SubjectOf is what a PDF that Write wrote prints, of the pages of one stock with the bytes of their title behind it; "" where it does not say, or another program has written its properties in a way of its own.
func SubjectOf(pdf []byte) Subject {
	for _, before := range []string{wide(string(StockPages)), string(StockPages)} {
		if _, rest, found := bytes.Cut(pdf, []byte("/Subject ("+before)); found {
			return StockPages + Subject(inBrackets.Find(rest))
		}
	}
	for _, s := range []Subject{JobPages, RedoPages, NotePage, TestPage, ProofPages, FontPages} {
		if bytes.Contains(pdf, []byte("/Subject ("+wide(string(s))+")")) || bytes.Contains(pdf, []byte("/Subject ("+string(s)+")")) {
			return s
		}
	}
	return ""
}

// inBrackets is a string up to the bracket that ends it: those that it holds stand behind a stroke (ISO 32000-1, 7.3.4.2).
var inBrackets = regexp.MustCompile(`^(?s:[^\\)]|\\.)*`)

// wide is a text of ASCII as pdfcpu writes one.
func wide(s string) string {
	out := []byte("\xFE\xFF")
	for i := range len(s) {
		out = append(out, 0, s[i])
	}
	return string(out)
}

// IsUnchanged reports whether a PDF is, byte for byte, as Write wrote it.
func IsUnchanged(pdf []byte) bool {
	id, _, _ := unchanged(pdf)
	return IsOurs(pdf) && id != nil
}

// unchanged is the /ID of a PDF that is as it was written, and where its table of so many objects is; nil: it is not. The /ID is the digest of all that
// stands before the trailer, so whatever another program changes or adds shows.
func unchanged(pdf []byte) (id []byte, table, objects int) {
	end := bytes.LastIndex(pdf, []byte("trailer\n"))
	table = bytes.LastIndex(pdf[:max(end, 0)], []byte("xref\n0 "))
	if table < 0 {
		return nil, 0, 0
	}
	if _, err := fmt.Sscanf(string(pdf[table:min(table+30, end)]), "xref\n0 %d\n", &objects); err != nil {
		return nil, 0, 0
	}
	sum := sha256.Sum256(pdf[:end])
	if id = sum[:idLength]; string(pdf[end:]) != trailer(objects, objects-1, id, int64(table)) {
		return nil, 0, 0
	}
	return id, table, objects
}

// Open reads a PDF that Write wrote. The error is ErrForeign, ErrChanged or ErrNoPlan where that is the reason.
func Open(pdf []byte) (f *Finished, err error) {
	defer func() {
		if p := recover(); p != nil { // pdfcpu panics where it meets what it does not expect
			f, err = nil, fmt.Errorf("pdfcpu: %v", p)
		}
	}()
	if !IsOurs(pdf) {
		return nil, ErrForeign
	}
	id, table, objects := unchanged(pdf)
	if id == nil || !asPrinted(pdf, table, objects) {
		return nil, ErrChanged
	}
	quiet()
	all, err := api.ReadAndValidate(bytes.NewReader(pdf), model.NewDefaultConfiguration())
	if err != nil {
		return nil, err
	}
	f = &Finished{ID: hex.EncodeToString(id), all: all}
	if f.Plan, err = plan(all); err != nil {
		return nil, err
	}
	sizes, err := all.PageDims()
	if err != nil {
		return nil, err
	}
	for _, s := range sizes {
		if most := float64(measure.LongestRead) / float64(measure.Point); !(s.Width > 0 && s.Width <= most && s.Height > 0 && s.Height <= most) {
			return nil, ErrChanged
		}
		f.Sizes = append(f.Sizes, measure.Size{W: exact(s.Width), H: exact(s.Height)})
	}
	return f, nil
}

// exact is points as a length; what Write prints has decimals enough to be told apart.
func exact(points float64) measure.Length {
	return measure.Length(points*float64(measure.Point) + 0.5)
}

func plan(all *model.Context) ([]byte, error) {
	tree := all.Names["EmbeddedFiles"]
	if tree == nil {
		return nil, ErrNoPlan
	}
	found, ok := tree.Value(attachment)
	if !ok {
		return nil, ErrNoPlan
	}
	spec, err := all.DereferenceDict(found)
	if err != nil || spec == nil {
		return nil, ErrNoPlan
	}
	files, err := all.DereferenceDict(spec["EF"])
	if err != nil || files == nil {
		return nil, ErrNoPlan
	}
	data, _, err := all.DereferenceStreamDict(files["F"])
	if err != nil || data == nil {
		return nil, ErrNoPlan
	}
	if err := data.Decode(); err != nil {
		return nil, err
	}
	return data.Content, nil
}

var coloured = regexp.MustCompile(`(?m)^[0-9.]+ [0-9.]+ [0-9.]+ (rg|RG)$`)

// Coloured reports whether a page, by number from 1, has ink that is not black or grey.
func (f *Finished) Coloured(page int) (bool, error) {
	d, _, _, err := f.all.PageDict(page, false)
	if err != nil {
		return false, err
	}
	if _, one := d["Contents"].(types.IndirectRef); !one && d["Contents"] != nil {
		return false, ErrChanged // Write writes one stream for a page
	}
	ink, err := f.all.PageContent(d, page)
	if errors.Is(err, model.ErrNoContent) {
		return false, nil
	}
	return coloured.Match(ink), err
}

// Extract is a PDF of some of the pages, by number from 1, in that order: their boxes and all that is on them as they are.
func (f *Finished) Extract(pages []int) (pdf []byte, err error) {
	defer func() {
		if p := recover(); p != nil {
			pdf, err = nil, fmt.Errorf("pdfcpu: %v", p)
		}
	}()
	for _, n := range pages {
		if n < 1 || n > len(f.Sizes) {
			return nil, fmt.Errorf("press: there is no page %d", n)
		}
	}
	some, err := pdfcpu.ExtractPages(f.all, pages, false)
	if err != nil {
		return nil, err
	}
	none := model.PrintScalingNone
	some.ViewerPref = &model.ViewerPreferences{PrintScaling: &none}
	some.BindViewerPreferences()
	if err := pdfcpu.PropertiesAdd(some, map[string]string{"Creator": "tuckmark"}); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	if err := canonical(&out, some); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
