package table

import (
	"archive/zip"
	"bytes"
	"strings"
	"unicode/utf16"

	"tuckmark/config/problem"
)

// format is what a file is, by its content.
type format uint8

const (
	formatOther format = iota // nothing that can be read here
	formatWorkbook
	formatText
)

// refused is why a file cannot be read, and the way out; who knows the file adds where.
func refused(what, cause, hint string) *problem.Problem {
	return &problem.Problem{What: what, Cause: cause, Hint: hint}
}

const saveAs = "open it in your spreadsheet program, choose Save as and the type Excel workbook (.xlsx) or CSV"

// magics are files known by how they begin. The bytes are those of their own specifications, as the usual lists have
// them.
var magics = []struct {
	prefix string
	what   string
}{
	{"\x89PNG\r\n\x1a\n", "picture"}, {"\xff\xd8\xff", "picture"}, {"GIF8", "picture"}, {"II*\x00",
		"picture"}, {"MM\x00*", "picture"},
	{"%PDF", "PDF document"}, {"{\\rtf", "text document (RTF)"}, {"\x1f\x8b", "compressed archive"}, {"7z\xbc\xaf", "compressed archive"},
	{"Rar!", "compressed archive"}, {"\x7fELF", "program"}, {"OggS", "sound or film"}, {"ID3",
		"sound or film"}, {"\x1aE\xdf\xa3", "sound or film"},
}

// sniff recognises a file by its content, of which it must have all. With formatOther it says why the file cannot be
// read.
func sniff(data []byte) (format, *problem.Problem) {
	switch {
	case len(bytes.TrimSpace(bytes.TrimPrefix(data, []byte("\xef\xbb\xbf")))) == 0:
		return formatOther, refused("the file is empty", "there is not one letter in it",
			"check that it was saved or copied completely, and ask for it again")
	case bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")):
		return formatOther, oldOffice(data)
	case bytes.HasPrefix(data, []byte("PK\x03\x04")), bytes.HasPrefix(data, []byte("PK\x05\x06")):
		return archive(data)
	case len(data) > 12 && string(data[4:8]) == "ftyp":
		what := "sound or film"
		if brand := string(data[8:12]); strings.HasPrefix(brand, "hei") || strings.HasPrefix(brand, "mif") || brand == "avif" {
			what = "picture"
		}
		return formatOther, notTable(what)
	case len(data) > 12 && string(data[:4]) == "RIFF" && string(data[8:12]) == "WEBP":
		return formatOther, notTable("picture")
	}
	for _, m := range magics {
		if bytes.HasPrefix(data, []byte(m.prefix)) {
			return formatOther, notTable(m.what)
		}
	}
	start := strings.ToLower(string(bytes.TrimSpace(bytes.TrimPrefix(data[:min(len(data), 512)], []byte("\xef\xbb\xbf")))))
	switch {
	case strings.HasPrefix(start, "<!doctype html"), strings.HasPrefix(start, "<html"), strings.HasPrefix(start, "<table"):
		return formatOther, refused("the file is a web page, whatever its name says",
			"some web forms export a page and call it a spreadsheet", saveAs)
	case strings.HasPrefix(start, "<?xml"):
		return formatOther, refused("the file is an XML document, not a workbook", "", saveAs)
	}
	if !utf16Like(data) && isBinary(data) {
		return formatOther, refused("the file is neither a workbook nor text", "it may be damaged, or a kind of file that has no table in it",
			"ask for an Excel workbook (.xlsx) or a CSV file")
	}
	return formatText, nil
}

func notTable(what string) *problem.Problem {
	return refused("the file is a "+what+", not a table", "journaling is read from the cells of a workbook or a CSV file",
		"have the texts typed into the form")
}

// oldOffice tells apart what comes in the compound file format (MS-CFB): its directory names its streams in UTF-16.
func oldOffice(data []byte) *problem.Problem {
	has := func(name string) bool {
		var b []byte
		for _, u := range utf16.Encode([]rune(name)) {
			b = append(b, byte(u), byte(u>>8))
		}
		return bytes.Contains(data, b)
	}
	switch {
	case has("EncryptedPackage"):
		return refused("the workbook is protected by a password", "what is in it cannot be read without the password",
			"open it, take the password off (File, Info, Protect workbook) and save it again")
	case has("WordDocument"):
		return refused("the file is a text document in the old Word format", "", "have the texts typed into the form")
	case has("Workbook"), has("Book"):
		return refused("the workbook is in the old Excel format (.xls)", "that format is not read here", saveAs)
	}
	return refused("the file is a document in an old office format", "", saveAs)
}

// archive tells apart the kinds of document that are zip archives inside.
func archive(data []byte) (format, *problem.Problem) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return formatOther, damaged()
	}
	names := map[string]bool{}
	for _, f := range z.File {
		names[partName(f.Name)] = true
	}
	under := func(prefix string) bool {
		for n := range names {
			if strings.HasPrefix(n, prefix) {
				return true
			}
		}
		return false
	}
	switch {
	case names["xl/workbook.bin"]:
		return formatOther, refused("the workbook is in the binary Excel format (.xlsb)", "that format is not read here", saveAs)
	case names["xl/workbook.xml"], under("xl/"):
		return formatWorkbook, nil
	case names["content.xml"] && names["mimetype"]:
		return formatOther, refused("the file is an OpenDocument file (.ods or the like)", "that format is not read here", saveAs)
	case under("index/") && (under("metadata/") || under("preview")):
		return formatOther, refused("the file is a Numbers or Pages document", "that format is not read here",
			"in Numbers choose File, Export to, Excel or CSV")
	case under("word/"):
		return formatOther, refused("the file is a text document (.docx), not a table",
			"journaling is read from the cells of a workbook or a CSV file", "have the texts typed into the form")
	case under("ppt/"):
		return formatOther, refused("the file is a presentation, not a table",
			"journaling is read from the cells of a workbook or a CSV file", "have the texts typed into the form")
	case names["[content_types].xml"]:
		return formatOther, damaged()
	}
	return formatOther, refused("the file is a zip archive", "files inside an archive are not read", "unpack it and give the folder")
}

// isBinary reports bytes that no text has.
func isBinary(data []byte) bool {
	odd := 0
	for _, b := range data[:min(len(data), 4096)] {
		if b == 0 {
			return true
		}
		if b < ' ' && !strings.ContainsRune("\t\n\v\f\r\x1b\x1a", rune(b)) {
			odd++
		}
	}
	return odd > 16+len(data)/20
}
