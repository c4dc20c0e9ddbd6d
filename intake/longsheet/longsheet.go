// Package longsheet writes workbooks with sheets of very many rows. Excelize holds a hundred bytes and more for each cell until a workbook is packed. So it
// is given such a sheet without those rows, and they are made one by one as the sheet's part is packed.
//
//   - longsheet.go keeps what writes the rows of each sheet, and packs the workbook;
//   - row.go writes a row as a part has it.
package longsheet

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/xuri/excelize/v2"
)

// Rows are what writes the last rows of sheets, by the path of the sheet's part in the workbook.
type Rows map[string]func(io.Writer) error

// ErrGone says that there are rows for a sheet that is not in the workbook.
var ErrGone = errors.New("rows whose sheet is gone")

// Epoch stands for the time of writing, so that the same job gives the same bytes; it is the earliest that a zip can hold.
var Epoch = time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)

// Write packs a workbook's parts, the list of contents first and the others by name, all at the same time, and writes into long sheets their
// rows below those that excelize holds. What a function of the rows returns is returned as it is.
func (rows Rows) Write(w io.Writer, f *excelize.File) error {
	plain, err := f.WriteToBuffer()
	if err != nil {
		return fmt.Errorf("writing the workbook: %w", err)
	}
	r, err := zip.NewReader(bytes.NewReader(plain.Bytes()), int64(plain.Len()))
	if err != nil {
		return fmt.Errorf("packing the workbook: %w", err)
	}
	files := slices.Clone(r.File)
	rank := func(f *zip.File) string {
		if f.Name == "[Content_Types].xml" {
			return ""
		}
		return f.Name
	}
	slices.SortFunc(files, func(a, b *zip.File) int { return cmp.Compare(rank(a), rank(b)) })
	z := zip.NewWriter(w)
	late := 0
	for _, f := range files {
		in, err := f.Open()
		if err != nil {
			return fmt.Errorf("packing the workbook: %w", err)
		}
		out, err := z.CreateHeader(&zip.FileHeader{Name: f.Name, Method: zip.Deflate, Modified: Epoch})
		if err == nil {
			more := rows[f.Name]
			if more != nil {
				late++
			}
			err = copyPart(out, in, more)
		}
		in.Close()
		if err != nil {
			return err
		}
	}
	if late != len(rows) {
		return ErrGone
	}
	return z.Close()
}

// copyPart copies a part, with more rows at the end of its data if there are any.
func copyPart(out io.Writer, in io.Reader, more func(io.Writer) error) error {
	if more == nil {
		_, err := io.Copy(out, in)
		return err
	}
	part, err := io.ReadAll(in)
	if err != nil {
		return err
	}
	head, tail, found := bytes.Cut(part, []byte("</sheetData>"))
	end := "</sheetData>"
	if !found { // excelize writes the data of a sheet without any as an empty element
		if head, tail, found = bytes.Cut(part, []byte("<sheetData/>")); !found {
			return errors.New("a sheet without data")
		}
		head = append(slices.Clip(head), "<sheetData>"...)
	}
	if _, err := out.Write(head); err != nil {
		return err
	}
	if err := more(out); err != nil {
		return err
	}
	if _, err := io.WriteString(out, end); err != nil {
		return err
	}
	_, err = out.Write(tail)
	return err
}
