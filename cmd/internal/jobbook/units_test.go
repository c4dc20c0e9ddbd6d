package jobbook

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// TestUnitsTakenIn: what names no unit and comes into a job whose rows are in another than the usual one is told, dropped or pasted, and so is what comes in such a unit beside
// rows that name none; each once, and nothing of a desk's workbook by itself.
func TestUnitsTakenIn(t *testing.T) {
	const bare, cm, in = "Name,Journaling,Width,Height\nBob,On 6 May we ate,7,5\n", "Name,Journaling,Width (cm),Height (cm)\nCy,On 4 May we sang,7,5\n", "Name,Journaling,Width (in),Height (in)\nEve,On 4 May we left,7,5\n"
	const paper, paperCm = "Stock,Width,Height,Count\nvellum,21,29,2\n", "Stock,Width (cm),Height (cm),Count\nvellum,21,29,2\n"
	const size, sizeCm = "Name,Journaling,Size\nBob,On 6 May we ate,7 x 5\n", "Name,Journaling,Size (cm)\nCy,On 4 May we sang,7 x 5\n"
	const open = "Name,Journaling,Width (cm),Height (cm),More words\nCy,On 4 May we sang,7,5,and she said that she liked it very much indeed\n"
	const later, there = "a number without a unit is read in in here, though ", "the measures here are in cm, though "
	for _, c := range []struct {
		before, taken []string
		want          string // "": nothing
	}{
		{[]string{cm}, []string{bare}, later + "the sheet “Journaling”"},
		{[]string{cm}, []string{bare, bare}, later + "the sheet “Journaling”"},
		{[]string{open}, []string{bare}, later + "the sheet “Journaling”"}, // which waits for its answer
		{[]string{cm}, []string{paper}, later + "the sheet “Journaling”"},
		{[]string{paperCm}, []string{bare}, later + "the sheet “Paper”"},
		{[]string{in, paperCm}, []string{bare}, ""},
		{[]string{cm}, []string{cm}, ""}, {[]string{cm}, []string{in}, ""}, {[]string{bare}, []string{bare}, ""}, {[]string{bare}, []string{in}, ""},
		{[]string{bare}, []string{cm}, there + "the sheet “Journaling”"},
		{[]string{size}, []string{cm}, there + "the sheet “Journaling”"}, {[]string{size}, []string{sizeCm}, there + "the sheet “Journaling”"}, {[]string{sizeCm}, []string{size}, later + "the sheet “Journaling”"},
		{[]string{"All in cm\n" + size}, []string{bare}, later + "the sheet “Journaling”"}, {[]string{"All in cm\n" + size}, []string{cm}, ""}, {[]string{strings.Replace(size, "5\n", "5 in\n", 1)}, []string{cm}, ""}, {[]string{strings.Replace(size, "7 x 5", "A5", 1)}, []string{cm}, ""},
		{[]string{bare}, []string{paperCm}, there + "the sheet “Journaling”"},
		{[]string{paper}, []string{cm}, there + "the sheet “Paper”"},
		{[]string{bare, cm, cm}, []string{cm}, ""},             // it was told then
		{[]string{cm}, []string{bare, cm}, later + "“b1.csv”"}, // among themselves
		{[]string{cm}, []string{strings.Replace(bare, "7,5", "7 in,5 in", 1)}, ""}, {[]string{cm}, []string{strings.Replace(bare, "7,5", ",", 1)}, ""},
	} {
		for _, pasted := range []bool{false, true} {
			if pasted && len(c.taken) > 1 {
				continue
			}
			dir, n := t.TempDir(), 0
			files := func(data []string) (out []string) {
				n++
				for i, d := range data {
					out = append(out, filepath.Join(dir, fmt.Sprintf("%c%d.csv", 'a'+n-1, i)))
					must(t, os.WriteFile(out[i], []byte(strings.ReplaceAll(d, "On ", fmt.Sprintf("On day %d%d and ", n, i))), 0o600))
				}
				return out
			}
			b, err := create(fakedisk.New(), bookPath, settings(t))
			must(t, err)
			_, err = b.Take(context.Background(), files(c.before))
			must(t, err)
			said := func(list problem.List) (out []string) {
				for _, p := range list {
					if strings.Contains(p.What, "without a unit") {
						out = append(out, p.What+" | "+p.OnPage)
					}
				}
				return out
			}
			if _, all := intake.ReadTables(b.Input().Tables, settings(t)); len(said(all)) > 0 {
				t.Errorf("%q: by itself it says %q", c.before, said(all))
			}
			var found problem.List
			if pasted {
				_, found = b.Paste(strings.ReplaceAll(c.taken[0], ",", "\t"))
			} else {
				found, err = b.Take(context.Background(), files(c.taken))
				must(t, err)
			}
			got := said(found)
			if c.want == "" && len(got) > 0 || c.want != "" && (len(got) != 1 || !strings.HasPrefix(got[0], c.want) || strings.Contains(got[0], "“Journaling”") && strings.HasPrefix(got[0], later) && !strings.Contains(got[0], "undo")) {
				t.Errorf("%q beside %q (pasted: %v): told %q, want %q", c.taken, c.before, pasted, got, c.want)
			}
		}
	}
}

// TestSizeTakenApart: a size that names no unit is taken apart into sides that name none; what its cell, its heading or a line above says stays said.
func TestSizeTakenApart(t *testing.T) {
	for _, c := range []struct{ data, want string }{
		{"Size\n7 x 5", "7|5"}, {"Size\n6.75 x 4", "6 3/4|4"}, {"Size\n5 high x 7 wide", "7|5"}, {"Size (in)\n7 x 5", "7|5"}, {"Size\n7 x 5 in", "7 in|5 in"}, {"Size\n7 in x 5", "7 in|5 in"},
		{"Size (cm)\n7 x 5", "7 cm|5 cm"}, {"Size\n7 x 5 cm", "7 cm|5 cm"}, {"Size\nA5", "5.826772 in|8.267717 in"}, {"All in cm\nSize\n7 x 5", "7 cm|5 cm"},
	} {
		lines := strings.Split(c.data, "\n")
		for i, before := range []string{"Ann,On 6 May we ate,", "Name,Journaling,"} {
			lines[len(lines)-1-i] = before + lines[len(lines)-1-i]
		}
		b, found, _ := takenFrom(t, "more.csv", []byte(strings.Join(lines, "\n")+"\n"))
		if got := b.Rows(Journaling)[0].Cells; got["Width"]+"|"+got["Height"] != c.want || got["Space"] != "" {
			t.Errorf("%q: taken over as %v, told %v", c.data, got, found)
		}
	}
}
