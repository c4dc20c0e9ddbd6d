package intake

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
)

func TestDump(t *testing.T) {
	files, _ := filepath.Glob("../../shared/intake/*.*")
	for _, f := range files {
		data, _ := os.ReadFile(f)
		k, why := sniff(data)
		fmt.Println("=====", filepath.Base(f), k, why)
		var sheets []*sheet
		var r *refusal
		switch k {
		case workbook:
			sheets, r = readWorkbook(f, data)
		case text:
			var s *sheet
			s, r = readCSV(f, data)
			sheets = append(sheets, s)
		}
		if r != nil {
			fmt.Println("REFUSED", *r)
			continue
		}
		for _, s := range sheets {
			fmt.Println("--", s.name)
			for _, r := range s.rows {
				fmt.Print(r.n, r.hidden, ": ")
				for _, c := range r.cells {
					fmt.Printf("[%d k%d %q b%v", c.col, c.kind, c.text, c.bold)
					if c.more != nil {
						fmt.Printf(" %v %q %q", c.more.runs, c.more.value, c.more.cleaned)
						if c.kind == date {
							fmt.Print(c.more.moment.sizes())
						}
					}
					fmt.Print("] ")
				}
				fmt.Println()
			}
		}
	}
}
