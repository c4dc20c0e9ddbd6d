package intake

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// crowd is a large job: 10,000 rows with something in every column but the note.
func crowd(b *testing.B) (xlsx, table string) {
	b.Helper()
	head := []string{"Name", "Page", "Journaling", "Width", "Height", "Stock", "Font", "Size", "Align", "Ink", "Tuck", "Turn", "Copies", "Title", "Who", "Where", "When"}
	f := excelize.NewFile()
	defer f.Close()
	w, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		b.Fatal(err)
	}
	var text bytes.Buffer
	c := csv.NewWriter(&text)
	for i := range 10_001 {
		row := head
		if i > 0 {
			row = []string{fmt.Sprintf("Odile %c. Hart", 'A'+i%12), fmt.Sprintf("Page %d", i%40), fmt.Sprintf("We walked along the harbour and ate ice cream until the rain came, and then we ran for the boat, number %d.", i),
				"4 1/2", "2.5", "vellum", "Serif", "12", "left", "dark blue", "1/2 in", "yes", "1", "Our day", "Odile, Pim", "Harbour steps", "4 July 2026"}
		}
		cells := make([]any, len(row))
		for k, s := range row {
			cells[k] = s
		}
		if err := w.SetRow(fmt.Sprintf("A%d", i+1), cells); err != nil {
			b.Fatal(err)
		}
		_ = c.Write(row)
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	c.Flush()
	var book bytes.Buffer
	if err := f.Write(&book); err != nil {
		b.Fatal(err)
	}
	return book.String(), text.String()
}

func BenchmarkRead(b *testing.B) {
	xlsx, table := crowd(b)
	paths := intaketest.Write(b, "crowd.xlsx", xlsx, "crowd.csv", table)
	for _, p := range paths {
		b.Run(filepath.Ext(p)[1:], func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if job, problems := Read([]string{p}, intaketest.Home()); len(job.Blocks) != 10_000 || problems.Errors() > 0 {
					b.Fatal(len(job.Blocks), intaketest.Say(problems[:1]))
				}
			}
		})
	}
}
