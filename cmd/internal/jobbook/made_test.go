package jobbook

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config"
	"tuckmark/intake"
)

// TestMadeHeadings: columns without a heading that would have one name are told apart, so that each is asked about: what comes later from what the book has, from what was
// answered already, and from another table that came with it.
func TestMadeHeadings(t *testing.T) {
	const heads = "Name,Journaling,Width,Height,\n"
	const ann, bob, cy = heads + "Ann,one,3,2,paid already\n", heads + "Bob,two,3,2,make four of these\n", heads + "Cy,three,3,2,4\n"
	made := func(b *Book) (out []string) {
		for _, r := range b.Rows(Journaling) {
			for _, h := range b.Columns(Journaling) {
				if text := r.Cells[h]; intake.Made(h) && text != "" {
					out = append(out, h+": "+text)
				}
			}
		}
		return out
	}
	write := func(dir, name, data string) string {
		file := filepath.Join(t.TempDir(), dir, name)
		must(t, os.MkdirAll(filepath.Dir(file), 0o700), os.WriteFile(file, []byte(data), 0o600))
		return file
	}
	take := func(b *Book, files ...string) {
		_, err := b.Take(context.Background(), files)
		must(t, err)
	}
	equal := func(what string, b *Book, want ...string) {
		if got := made(b); !slices.Equal(got, want) {
			t.Errorf("%s: the cells are\n%s\nwant\n%s", what, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
	}
	begin := func(s *config.Settings) *Book {
		b, err := create(fakedisk.New(), bookPath, s)
		must(t, err)
		return b
	}
	const of = "Unknown column E of Book1.csv"
	b := begin(settings(t))
	take(b, write("ann", "Book1.csv", ann))
	equal("the first", b, of+": paid already")
	take(b, write("bob", "Book1.csv", bob))
	take(b, write("cy", "Book1.csv", cy))
	equal("three", b, of+": paid already", of+" (2): make four of these", of+" (3): 4")

	b = begin(settings(t)) // at once, with names that are the same when they are cut short, or when they are compared
	take(b, write("x", "Scrapbook retreat April 2026 (Responses).csv", ann), write("y", "Scrapbook retreat May 2026 (Responses).csv", bob), write("z", "scrapbook-retreat April 2026 (Responses).csv", cy))
	const long, small = "Unknown column E of Scrapbook re...esponses).csv", "Unknown column E of scrapbook-re...esponses).csv"
	equal("long names", b, long+": paid already", long+" (2): make four of these", small+" (3): 4")

	s := settings(t)
	s.Columns = append(s.Columns, config.Column{Heading: of, As: "nothing"}, config.Column{Heading: "Unknown column E of what was pasted", As: "nothing"})
	b = begin(s)
	take(b, write("ann", "Book1.csv", ann))
	equal("answered", b, of+" (2): paid already")
	changes, _ := b.Paste(strings.ReplaceAll(bob, ",", "\t"))
	do(t, b, changes...)
	changes, _ = b.Paste(strings.ReplaceAll(cy, ",", "\t"))
	do(t, b, changes...)
	if got := made(b); len(got) != 3 || strings.TrimSuffix(got[1], ": make four of these") == strings.TrimSuffix(got[2], ": 4") {
		t.Errorf("pasted: %q", got)
	}

	// A heading that somebody typed is one column wherever it stands.
	b = begin(settings(t))
	for _, data := range []string{ann, bob} {
		take(b, write("x", "Book1.csv", strings.Replace(data, "Height,", "Height,Mood", 1)))
	}
	if columns := b.Columns(Journaling); !slices.Contains(columns, "Mood") || slices.Contains(columns, "Mood (2)") {
		t.Errorf("the columns are %q", columns)
	}
}

// TestMadeHeadingsNotLacking: rows in columns that were told apart are those of their files all the same.
func TestMadeHeadingsNotLacking(t *testing.T) {
	b, err := create(fakedisk.New(), bookPath, settings(t))
	must(t, err)
	var files []string
	for _, row := range []string{"Ann,one,3,2,paid already\n", "Bob,two,3,2,make four of these\n"} {
		file := filepath.Join(t.TempDir(), "Book1.csv")
		must(t, os.WriteFile(file, []byte("Name,Journaling,Width,Height,\n"+row), 0o600))
		files = append(files, file)
		_, err := b.Take(context.Background(), []string{file})
		must(t, err)
	}
	for _, file := range files {
		if found := b.lacking([]string{file}); len(found) > 0 {
			t.Errorf("%s: %v", file, found)
		}
	}
	if found := unnumbered(map[string]string{"Unknown column E of a": "1", "Unknown column E of a (2)": "2", "Unknown column F of a (2) (3)": "3", "Mood (2)": "4"}); len(found) != 4 || found["Unknown column E of a"] != "1" || found["Unknown column E of a (2)"] != "2" ||
		found["Unknown column F of a"] != "3" || found["Mood (2)"] != "4" {
		t.Errorf("%q", found)
	}
}
