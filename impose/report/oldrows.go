package report

import (
	"archive/zip"
	"bufio"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strconv"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/table"
)

// A report that is written anew may have rows for 100,000 blocks. Excelize would hold hundreds of bytes for each of their cells, so it is given the
// workbook without its rows, and these are copied from the old parts into the new ones as the workbook is packed.

// oldRows are the rows of a report's worksheets as they stand in its parts.
type oldRows struct {
	*table.Parts
	slim   []byte         // the workbook without them
	merged map[string]int // cells of each worksheet that are merged ones
}

// oldRows are those of the report; its workbook is looked through once.
func (e *Earlier) oldRows() (old *oldRows, err error) {
	if e.old == nil {
		e.old, err = withoutRows(e.Name(), e.raw)
	}
	return e.old, err
}

// withoutRows takes the rows out of a workbook.
func withoutRows(name string, data []byte) (*oldRows, error) {
	parts, why := table.OpenParts(name, data)
	if why != nil {
		return nil, ErrReport
	}
	sheetOf, merged := map[string]string{}, map[string]int{}
	for _, s := range parts.Worksheets() {
		if f := parts.Of(s); f != nil {
			sheetOf[f.Name] = s
		}
	}
	archive, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("%w: %w", ErrReport, err)
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range archive.File {
		if s, ok := sheetOf[f.Name]; ok {
			merged[s], err = copyFrame(z, f)
		} else {
			err = z.Copy(f)
		}
		if err != nil {
			return nil, fmt.Errorf("%w: %w", ErrReport, err)
		}
	}
	if err := z.Close(); err != nil {
		return nil, fmt.Errorf("report: packing the report: %w", err)
	}
	return &oldRows{parts, out.Bytes(), merged}, nil
}

// mostFrame is what a worksheet may have beside its rows, in bytes: excelize makes a tree of it.
const mostFrame = 4 << 20

// errFrame says that a worksheet's rows cannot be told from what stands around them.
var errFrame = errors.New("a worksheet without rows in their place")

// copyFrame adds a worksheet's part to an archive, without its rows, and counts its merged cells.
func copyFrame(z *zip.Writer, f *zip.File) (merged int, err error) {
	r, err := f.Open()
	if err != nil {
		return 0, err
	}
	defer r.Close()
	part, err := z.Create(f.Name)
	if err != nil {
		return 0, err
	}
	w := &mergedCells{Writer: part}
	m := markup{r: bufio.NewReaderSize(r, 64<<10)}
	if err := m.copyTo(w, beginsRows, mostFrame); err != nil {
		return 0, err
	}
	if !m.isEmpty() { // else there are none
		if err := m.copyTo(io.Discard, endsRows, 0); err != nil {
			return 0, err
		}
		if _, err := w.Write(m.last); err != nil {
			return 0, err
		}
	}
	err = m.copyTo(w, "", mostFrame)
	return w.n, err
}

const (
	beginsRows = "<sheetData"
	endsRows   = "</sheetData>"
)

// markup is XML, read up to one tag after the other.
type markup struct {
	r    *bufio.Reader
	last []byte // up to the end of the last tag, with the text before it
}

// next reads on to the end of a tag; at the end of the document io.EOF is the error.
func (m *markup) next() error {
	m.last = m.last[:0]
	for {
		piece, err := m.r.ReadSlice('>')
		m.last = append(m.last, piece...)
		switch {
		case err == nil:
			return nil
		case err == io.EOF && len(m.last) > 0:
			return nil
		case err != bufio.ErrBufferFull:
			return err
		case len(m.last) > mostFrame: // no cell has so long a text
			return errFrame
		}
	}
}

// isEmpty reports whether the last tag is of an element with nothing in it.
func (m *markup) isEmpty() bool { return bytes.HasSuffix(m.last, []byte("/>")) }

// begins reports whether the last tag begins like a text.
func (m *markup) begins(with string) bool { return bytes.HasPrefix(m.tag(), []byte(with)) }

func (m *markup) tag() []byte { return m.last[max(0, bytes.LastIndexByte(m.last, '<')):] }

// copyTo copies what comes, up to a tag that begins like a text: one that begins an element is copied too, one that ends it is only the last. With
// "" everything is copied. More bytes than the most are an error; 0 is no limit.
func (m *markup) copyTo(w io.Writer, until string, most int) error {
	n := 0
	for {
		err := m.next()
		if err == io.EOF && until == "" {
			return nil
		}
		if err == io.EOF {
			return errFrame
		}
		if err != nil {
			return err
		}
		found := until != "" && m.begins(until)
		if found && until[1] == '/' {
			return nil
		}
		if n += len(m.last); most > 0 && n > most {
			return errFrame
		}
		if _, err := w.Write(m.last); err != nil || found {
			return err
		}
	}
}

// mend is another text for the cells of a column, in some rows.
type mend struct {
	rows map[int]bool
	col  int
	text string
}

// copyRows writes the rows of a worksheet, with the cells mended.
func (o *oldRows) copyRows(w io.Writer, worksheet string, to mend) error {
	r, err := o.Of(worksheet).Open()
	if err != nil {
		return err
	}
	defer r.Close()
	m := markup{r: bufio.NewReaderSize(r, 64<<10)}
	if err := m.copyTo(io.Discard, beginsRows, mostFrame); err != nil || m.isEmpty() {
		return err
	}
	if len(to.rows) == 0 {
		return m.copyTo(w, endsRows, 0)
	}
	row, col, wanted := 0, -1, false
	for {
		if err := m.next(); err == io.EOF {
			return errFrame
		} else if err != nil {
			return err
		}
		switch {
		case m.begins(endsRows):
			return nil
		case m.begins("<row"):
			row++
			if n, err := strconv.Atoi(m.attribute("r")); err == nil {
				row = n
			}
			col, wanted = -1, to.rows[row] && !m.isEmpty()
		case wanted && m.begins("</row"):
			to.write(w, row, "")
			wanted = false
		case wanted && (m.begins("<c ") || m.begins("<c>") || m.begins("<c/")):
			col++
			if c, _, err := excelize.CellNameToCoordinates(m.attribute("r")); err == nil {
				col = c - 1
			}
			if col < to.col {
				break
			}
			wanted = false
			if col > to.col { // there was nothing in it
				to.write(w, row, "")
				break
			}
			to.write(w, row, m.attribute("s"))
			if !m.isEmpty() {
				if err := m.copyTo(io.Discard, "</c>", mostFrame); err != nil {
					return err
				}
			}
			continue
		}
		if _, err := w.Write(m.last); err != nil {
			return err
		}
	}
}

// write writes a mended cell. What cannot be written shows in what comes after it.
func (m mend) write(w io.Writer, row int, style string) {
	if style != "" {
		style = fmt.Sprintf(` s="%s"`, style)
	}
	fmt.Fprintf(w, `<c r="%s"%s t="inlineStr"><is><t>%s</t></is></c>`, table.Address(m.col, row), style, m.text)
}

// attribute is one of the last tag's.
func (m *markup) attribute(name string) string {
	token, err := xml.NewDecoder(bytes.NewReader(m.tag())).RawToken()
	if e, ok := token.(xml.StartElement); err == nil && ok {
		for _, a := range e.Attr {
			if a.Name.Local == name && a.Name.Space == "" {
				return a.Value
			}
		}
	}
	return ""
}
