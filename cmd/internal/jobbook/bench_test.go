package jobbook

import (
	"fmt"
	"path/filepath"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// thousand is a book of 1,000 rows of about 60 words on the disk of the machine.
func thousand(b *testing.B) (*Book, string) {
	b.Helper()
	path := filepath.Join(b.TempDir(), "x-desk.xlsx")
	book, err := create(save.System, path, settings(b))
	if err != nil {
		b.Fatal(err)
	}
	text := ""
	for range 10 {
		text += "We rowed out *before* breakfast and came home. "
	}
	var changes []Change
	for i := range 1000 {
		id := NewID()
		changes = append(changes, Change{Kind: Insert, ID: id})
		for column, text := range map[string]string{"Name": fmt.Sprintf("Person %d", i%40), "Page": fmt.Sprint("Page ", i), "Journaling": fmt.Sprint(text, i), "Width": "4", "Height": "2 1/2", "Stock": "vellum"} {
			changes = append(changes, Change{Kind: Set, ID: id, Column: column, Text: text})
		}
	}
	if _, err := book.Do(changes...); err != nil {
		b.Fatal(err)
	}
	if err := book.Save(); err != nil {
		b.Fatal(err)
	}
	return book, path
}

func BenchmarkDo(b *testing.B) {
	book, _ := thousand(b)
	rows := book.Rows(Journaling)
	for i := 0; b.Loop(); i++ {
		if _, err := book.Do(Change{Kind: Set, ID: rows[i%len(rows)].ID, Column: "Page", Text: fmt.Sprint("Page ", i)}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSave(b *testing.B) {
	book, _ := thousand(b)
	id := book.Rows(Journaling)[0].ID
	for i := 0; b.Loop(); i++ {
		if _, err := book.Do(Change{Kind: Set, ID: id, Column: "Page", Text: fmt.Sprint("Page ", i)}); err != nil {
			b.Fatal(err)
		}
		if err := book.Save(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkInput(b *testing.B) {
	book, _ := thousand(b)
	for b.Loop() {
		book.Input()
	}
}

// BenchmarkOpen opens a book that nobody has changed; BenchmarkOpenChanged one that another program has.
func BenchmarkOpen(b *testing.B) {
	book, path := thousand(b)
	for b.Loop() {
		if err := book.Close(); err != nil {
			b.Fatal(err)
		}
		var err error
		if book, _, err = open(save.System, path, book.settings.Load()); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpenChanged(b *testing.B) {
	book, path := thousand(b)
	for b.Loop() {
		if err := book.Close(); err != nil {
			b.Fatal(err)
		}
		book.shown.version.Digest = ""
		data, err := save.System.Read(path)
		if err != nil {
			b.Fatal(err)
		}
		if err := save.Replace(save.System, path, append(data[:len(data):len(data)], 0)); err != nil {
			b.Fatal(err)
		}
		if book, _, err = open(save.System, path, book.settings.Load()); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkOutside looks whether a workbook of 1,000 rows that another program saved holds what the book has not, which BenchmarkOpenChanged includes.
func BenchmarkOutside(b *testing.B) {
	book, path := thousand(b)
	data, err := save.System.Read(path)
	if err != nil {
		b.Fatal(err)
	}
	f, _ := book.parse(data)
	typed := intake.Typed([]*table.File{f}, book.settings.Load(), book.unit)
	r := &reading{file: f, data: data, typed: typed, theirs: readSheets(typed), from: begun{base: book.now}}
	for b.Loop() {
		if left := book.outside(r); len(left) > 0 {
			b.Fatal(left)
		}
	}
}
