package proof

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"tuckmark/config"
	"tuckmark/impose/draw"
	"tuckmark/impose/layout"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

var library = sync.OnceValue(func() *typeset.Library { return typeset.NewLibrary(nil) })

// job goes the way of the command, from a file to what a proof is made from.
func job(t testing.TB, file string, flags map[string]string) Input {
	t.Helper()
	s, list := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: flags})
	if list.Errors() > 0 {
		t.Fatal(list)
	}
	read, problems := intake.Read([]string{file}, s)
	set, held, found := typeset.Set(context.Background(), library(), read.Blocks, s, nil)
	problems = append(problems, found...)
	laid, notPlaced, found := layout.Arrange(context.Background(), set, read.Paper, s, nil)
	problems = append(problems, found...)
	laid.Held = append(laid.Held, read.Held...)
	laid.Held = append(laid.Held, held...)
	laid.Held = append(laid.Held, notPlaced...)
	laid.Number(5)
	drawer := &draw.Drawer{}
	return Input{Title: strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)), Plan: laid, Settings: s, Blocks: read.Blocks, Set: set,
		Problems: problems, Read: read, Fonts: library(), Font: drawer.Font}
}

// rows writes a CSV with these headings and rows.
func rows(t testing.TB, name, headings string, rows ...[]string) string {
	t.Helper()
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(append([][]string{strings.Split(headings, ",")}, rows...)); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), name)
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

const sample = "../../samples/retreat.xlsx"

// many is a job of n blocks of about 50 words by n/10 people.
func many(t testing.TB, n int) string {
	words := strings.Fields(`the ferry was late again and so we bought plums from a man with a handcart and ate them on the quay while Odile
		sang “softly” and nobody counted the seconds until the rain came over the harbour, laughing all the way back up those crooked
		steps to a kitchen that smelled of bread; wet wool, naïve crème brûlée, 4 July 1962 lit the lamp before we could even ask`)
	r := rand.New(rand.NewPCG(uint64(n), 7))
	var all [][]string
	for i := range n {
		var text []string
		for range 40 + r.IntN(21) {
			text = append(text, words[r.IntN(len(words))])
		}
		text[3], text[7] = "*"+text[3]+"*", "_"+text[7]+"_"
		all = append(all, []string{fmt.Sprintf("Person %d", i/10), fmt.Sprint(1 + i%12), strings.Join(text, " ") + ".",
			[]string{"4", "3 1/2", "5"}[r.IntN(3)], []string{"2", "2 1/2", "3"}[r.IntN(3)],
			[]string{"vellum", "cardstock", "clear sticker"}[r.IntN(3)], []string{"Serif", "Sans", "Typewriter"}[r.IntN(3)], "Harbour steps", "4 July 2026"})
	}
	return rows(t, "many.csv", "Name,Page,Journaling,Width,Height,Stock,Font,Where,When", all...)
}

// pageOf is the proof of a job.
func pageOf(t testing.TB, in Input) string {
	t.Helper()
	var b bytes.Buffer
	if err := Page(&b, in); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// plainPDF is the plain-paper PDF of a job.
func plainPDF(t testing.TB, in Input) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := press.Write(&b, press.Document{Title: in.Title, Sections: []press.Section{{Title: "Blocks", Pages: Pages(in)}}}, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// nasty are texts that look like something else to a browser.
var nasty = []string{
	`</p></article></style></script><script>alert(1)</script><!-- ]]> <![CDATA[ --> & &amp; &lt; "quoted" 'so'`,
	`<svg onload=alert(1)><img src=https://example.invalid/x onerror=alert(1)>`,
	"Donaudampfschifffahrtsgesellschaftskapitänsmützenabzeichenverleihungsurkunde",
	"to the right: \u202Ereversed\u202C and \u2067isolated\u2069, \u200Fmarked",
	"{{.Title}} ${alert(1)} `tick` \\u003cscript\\u003e %3Cscript%3E javascript:alert(1)",
}

// hostile is a job in which every cell that can hold a text holds one of those.
func hostile(t testing.TB) Input {
	var all [][]string
	for i, s := range nasty {
		all = append(all, []string{"<b>Eve</b> & " + fmt.Sprint(i), `"><script>alert(2)</script>`, "<i>Title</i>", s, "6", "5", "4 July 2026", "cardstock"})
	}
	all = append(all, []string{"<u>Mallory", "]]>", "", "</script>", "<x>", "2", "", "<img src=x>"})
	in := job(t, rows(t, "hostile.csv", "Name,Page,Title,Journaling,Width,Height,When,Stock", all...), nil)
	in.Title = `</title><script>alert(3)</script> & "co"`
	return in
}
