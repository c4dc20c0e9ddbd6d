package main

import (
	"archive/zip"
	"bytes"
	"io/fs"
	"slices"
	"strings"
	"time"
)

// file is one in the zip.
type file struct {
	name string
	data []byte
	mode fs.FileMode
}

// folder is what the zip unpacks to.
const folder = "tuckmark/"

// day is when all files in a zip say that they were changed, so that the same contents are the same bytes.
var day = time.Date(2000, 1, 1, 12, 0, 0, 0, time.UTC)

// pack is the zip of the files, in the order of their names.
func pack(files []file) ([]byte, error) {
	files = slices.SortedFunc(slices.Values(files), func(a, b file) int { return strings.Compare(a.name, b.name) })
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, f := range files {
		h := &zip.FileHeader{Name: folder + f.name, Method: zip.Deflate, Modified: day}
		h.SetMode(f.mode)
		w, err := z.CreateHeader(h)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(f.data); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
