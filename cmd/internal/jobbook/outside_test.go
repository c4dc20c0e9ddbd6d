package jobbook

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/png"
	"io"
	"math/rand/v2"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/intake/table"
)

// addition is something that a person adds to a desk's workbook in another program.
type addition struct {
	name  string
	add   func(t *testing.T, f *excelize.File, token string)
	told  string // that the question says of it; "": the desk takes it, and nothing is asked
	keeps bool   // the workbook has it afterwards
}

// must fails a test.
func must(t *testing.T, errs ...error) {
	t.Helper()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
}

// last is the letter of the column so many behind the last one of a sheet.
func last(t *testing.T, f *excelize.File, sheet string, behind int) string {
	t.Helper()
	rows, err := f.GetRows(sheet)
	must(t, err)
	return table.Letters(len(rows[0]) - 1 + behind)
}

// additions are those that stand outside a desk's own tables, or that it cannot take.
var additions = []addition{
	{"beside the table", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", last(t, f, "Journaling", 1)+"2", token))
	}, "", true},
	{"far beside it, in two rows", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", "AH2", token), f.SetCellValue("Journaling", "AI3", token))
	}, "", true},
	{"beside the paper", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetSheetRow("Paper", "A2", &[]any{"vellum", "8.5", "11", "4"}), f.SetCellValue("Paper", "J2", token))
	}, "", true},
	{"below the table, beside it", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", "AD9", token))
	}, "", true},
	{"a heading that is too long", func(t *testing.T, f *excelize.File, token string) {
		col := last(t, f, "Journaling", 1)
		must(t, f.SetCellValue("Journaling", col+"1", strings.Repeat("what we would like to remember ", 5)+token), f.SetCellValue("Journaling", col+"2", token))
	}, "what stands in Journaling!", true},
	{"a heading alone", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", last(t, f, "Journaling", 1)+"1", token))
	}, "", true},
	{"a text that no cell holds", func(t *testing.T, f *excelize.File, token string) {
		set(t, f, 1, "Journaling", token+strings.Repeat(" *a*", 8000))
	}, "what stands in Journaling!", false},
	{"above the headings", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.InsertRows("Journaling", 1, 1), f.SetCellValue("Journaling", "A1", token))
	}, "what stands in Journaling!A1", false},
	{"on the sheet with the help", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Help", "A70", token))
	}, "what stands in Help!A70", false},
	{"among the lists", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Lists", "A40", token))
	}, "what stands in Lists!A40", false},
	{"below the marks", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Lists", last(t, f, "Lists", 0)+"60", token))
	}, "what stands in Lists!", false},
	{"a sheet", func(t *testing.T, f *excelize.File, token string) {
		_, err := f.NewSheet("Who brings what")
		must(t, err, f.SetCellValue("Who brings what", "B3", "cake: "+token))
	}, "the sheet “Who brings what”", false},
	{"a hidden sheet", func(t *testing.T, f *excelize.File, token string) {
		_, err := f.NewSheet("Mine")
		must(t, err, f.SetSheetRow("Mine", "A1", &[]any{"Name", "Journaling", "Width", "Height"}), f.SetCellValue("Mine", "B2", token), f.SetSheetVisible("Mine", false))
	}, "the sheet “Mine”", false},
	{"a sheet of journaling", func(t *testing.T, f *excelize.File, token string) {
		_, err := f.NewSheet("More")
		must(t, err, f.SetSheetRow("More", "A1", &[]any{"Name", "Journaling", "Width", "Height"}), f.SetSheetRow("More", "A2", &[]any{"Bo", token, "4", "2"}))
	}, "", true},
	{"a comment", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.AddComment("Journaling", excelize.Comment{Cell: "B2", Author: "Dana", Text: token}))
	}, "a comment at Journaling!B2", false},
	{"a formula", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", "A2", "Dana"), f.SetCellFormula("Journaling", "A2", `"`+token+`"&""`))
	}, "the formula in Journaling!A2", false},
	{"a link", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellHyperLink("Journaling", "A2", "https://example.org/"+token, "External"))
	}, "a link at Journaling!A2", false},
	{"a picture", func(t *testing.T, f *excelize.File, token string) {
		var out bytes.Buffer
		must(t, png.Encode(&out, image.NewGray(image.Rect(0, 0, 4, 4))))
		must(t, f.AddPictureFromBytes("Journaling", "C3", &excelize.Picture{Extension: ".png", File: append(out.Bytes(), token...)}))
	}, "a picture at Journaling!C3", false},
	{"a drawing", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.AddShape("Paper", &excelize.Shape{Cell: "C3", Type: "rect", Paragraph: []excelize.RichTextRun{{Text: token}}}))
	}, "a drawing at Paper!C3", false},
	{"a chart", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.AddChart("Paper", "C3", &excelize.Chart{Type: excelize.Col, Series: []excelize.ChartSeries{{Name: token, Values: "Paper!$B$2:$B$3"}}}))
	}, "a chart at Paper!C3", false},
	{"a name", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetDefinedName(&excelize.DefinedName{Name: token, RefersTo: "Journaling!$A$2"}))
	}, "the name “zq", false},
	{"a property", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetDocProps(&excelize.DocProperties{Title: "Journaling to print", Description: token}))
	}, "the document's property “description”", false},
	{"below the pages", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetHeaderFooter("Paper", &excelize.HeaderFooterOptions{OddFooter: "&L" + token + " and more &P of &N"}))
	}, "the text above or below the pages of Paper", false},
	{"where the ids stand", func(t *testing.T, f *excelize.File, token string) {
		must(t, f.SetCellValue("Journaling", column(t, f, "Journaling", "Id")+"30", token))
	}, "what stands in Journaling!", false},
	{"in place of a code", func(t *testing.T, f *excelize.File, token string) {
		set(t, f, 1, "Code", token)
	}, "what stands in Journaling!", false},
	{"in a row of the table", func(t *testing.T, f *excelize.File, token string) {
		set(t, f, 2, "Title", token)
	}, "", true},
}

// repack writes the parts of the workbook anew, each as it is changed, and one more where that has a name.
func repack(t *testing.T, d *fakedisk.Disk, change func(name, text string) (string, string), more, text string) {
	t.Helper()
	data, err := d.Read(bookPath)
	must(t, err)
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	must(t, err)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	add := func(name, text string) {
		p, err := w.Create(name)
		must(t, err)
		_, err = io.WriteString(p, text)
		must(t, err)
	}
	for _, f := range z.File {
		r, err := f.Open()
		must(t, err)
		text, err := io.ReadAll(r)
		must(t, err)
		add(change(f.Name, string(text)))
	}
	if more != "" {
		add(more, text)
	}
	must(t, w.Close())
	d.Put(bookPath, out.Bytes())
}

// A part of the file that nobody knows is in a copy, too.
func TestOutsideParts(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	repack(t, d, func(name, text string) (string, string) { return name, text }, "xl/embeddings/object1.bin", "zqpart")
	b = mergedBy(t, d, b, true)
	if in := held(t, d, b, "zqpart"); fmt.Sprint(in) != "[x-desk-yours.xlsx]" || len(asides(b)) != 1 || !strings.Contains(asides(b)[0].What, "a part of the file that is not known here: xl/embeddings/object1.bin") {
		t.Errorf("it is in %v, asked is %v", in, asides(b))
	}
}

// Comments of the desk's own are known again where another program has put them into a part of another name.
func TestOutsideOwnComments(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	repack(t, d, func(name, text string) (string, string) {
		return strings.Replace(name, "xl/comments1.xml", "xl/comments/comment1.xml", 1), strings.ReplaceAll(text, "../comments1.xml", "../comments/comment1.xml")
	}, "", "")
	if b = mergedBy(t, d, b, true); len(asides(b)) > 0 {
		t.Error(asides(b))
	}
}

// questionText is a text of the state in which a question is carried, which names what is in the copy.
var questionText = regexp.MustCompile(carriedSign + `[^<]*`)

// held are the names of the files on a disk that hold a token, as bytes of an unpacked part outside the questions, and "a question" where one does.
func held(t *testing.T, d *fakedisk.Disk, b *Book, token string) (in []string) {
	t.Helper()
	for _, name := range d.Names() {
		data, err := d.Read(name)
		must(t, err)
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil || !strings.HasSuffix(name, ".xlsx") {
			continue
		}
		for _, f := range z.File {
			r, err := f.Open()
			must(t, err)
			text, err := io.ReadAll(r)
			must(t, err)
			if bytes.Contains(questionText.ReplaceAll(text, nil), []byte(token)) {
				in = append(in, filepath.Base(name))
				break
			}
		}
	}
	for _, q := range b.Questions() {
		if q.Kind != SetAside && strings.Contains(q.Mine+q.Theirs, token) {
			in = append(in, "a question")
		}
	}
	return in
}

// asides are the questions about copies.
func asides(b *Book) (out []Question) {
	for _, q := range b.Questions() {
		if q.Kind == SetAside {
			out = append(out, q)
		}
	}
	return out
}

// Whatever another program adds to the workbook outside the desk's tables is in the book after the desk has written it, or in a copy beside it that a question
// names, whether the desk is open or closed meanwhile. What is told stays until it is answered, also after a new start.
func TestOutside(t *testing.T) {
	longtests.Only(t)
	for i, a := range additions {
		for _, open := range []bool{true, false} {
			d := fakedisk.New()
			b, _ := three(t, d)
			if !open {
				must(t, b.Close())
			}
			token := fmt.Sprintf("zq0%dx", i) // no id has a 0
			edit(t, d, func(f *excelize.File) { a.add(t, f, token) })
			b = mergedBy(t, d, b, open)
			in := strings.Join(held(t, d, b, token), ", ")
			keeps, copied := strings.Contains(in, "x-desk.xlsx"), strings.Contains(in, "x-desk-yours.xlsx")
			if keeps != a.keeps || copied != (a.told != "") {
				t.Errorf("%s, open %v: %s is in %q; asked is %v", a.name, open, token, in, b.Questions())
			}
			asked := asides(b)
			if a.told == "" && len(asked) > 0 || a.told != "" && (len(asked) != 1 || !strings.Contains(asked[0].What, a.told) || asked[0].Column != "x-desk-yours.xlsx") {
				t.Errorf("%s, open %v: asked is %v, it should say %q", a.name, open, asked, a.told)
			}
			if a.told == "" || len(asked) != 1 {
				must(t, b.Close())
				continue
			}
			must(t, b.Close())
			b, _, err := openBook(t, d)
			must(t, err)
			if again := asides(b); len(again) != 1 || again[0].What != asked[0].What {
				t.Errorf("%s: after a new start asked is %v", a.name, again)
			} else {
				must(t, b.Answer(again[0].ID, Keep, ""))
			}
			if again := asides(b); len(again) != 0 {
				t.Errorf("%s: what was seen is asked again: %v", a.name, again)
			}
			must(t, b.Close())
		}
	}
}

// TestSignsOutside: letters that the workbook shows as signs, since another program has set them in such a font, are asked about, with the workbook as it was beside.
func TestSignsOutside(t *testing.T) {
	d, b, _ := one(t)
	must(t, b.Close())
	edit(t, d, func(f *excelize.File) {
		text, err := f.GetCellValue("Journaling", column(t, f, "Journaling", "Journaling")+"2")
		must(t, err)
		must(t, f.SetCellRichText("Journaling", column(t, f, "Journaling", "Journaling")+"2", []excelize.RichTextRun{{Text: text + " "}, {Text: "J", Font: &excelize.Font{Family: "Wingdings"}}}))
	})
	b, _, err := open(d, bookPath, settings(t))
	must(t, err)
	asked := b.Questions()
	if len(asked) != 1 || asked[0].Kind != SetAside || !strings.Contains(asked[0].What, "letters that show as signs in") {
		t.Errorf("asked is %v", asked)
	}
	must(t, b.Close())
}

// What another program strikes through or hides is printed all the same, and that is told once; the desk's own writing has neither.
func TestStruckOut(t *testing.T) {
	for name, change := range map[string]func(f *excelize.File) error{
		"struck": func(f *excelize.File) error {
			style, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Strike: true}})
			return errors.Join(err, f.SetCellStyle("Journaling", "A2", "F2", style))
		},
		"hidden":  func(f *excelize.File) error { return f.SetRowVisible("Journaling", 2, false) },
		"neither": func(f *excelize.File) error { return f.SetCellValue("Journaling", "A2", "Odile Hart") },
	} {
		for _, where := range []string{"open", "closed", "alone"} {
			d, b, _ := one(t)
			running := where == "open"
			if !running {
				must(t, b.Close())
			}
			edit(t, d, func(f *excelize.File) { must(t, change(f)) })
			if where == "alone" { // without its journal, as somebody was sent it
				data, err := d.Read(bookPath)
				must(t, err)
				d = fakedisk.New()
				d.Put(bookPath, data)
			}
			var said []string
			if running {
				for len(b.events) > 0 {
					<-b.events
				}
				must(t, b.compare())
				for len(b.events) > 0 {
					if e := <-b.events; e.Kind == Noted {
						said = append(said, e.Problem.What)
					}
				}
			} else {
				again, found, err := open(d, bookPath, settings(t))
				must(t, err)
				b = again
				for _, p := range found {
					said = append(said, p.What)
				}
			}
			told := slices.ContainsFunc(said, func(what string) bool {
				return strings.HasPrefix(what, "struck through or hidden in the workbook, and here like the others: row 2 (“Odile Hart”")
			})
			if told != (name != "neither") || !told && len(said) > 0 {
				t.Errorf("%s, %s: it says %q", name, where, said)
			}
			asked := func() int { // until somebody has seen it
				n := 0
				for _, q := range b.Questions() {
					if q.Kind == Lost && strings.Contains(q.What, "row 2") && strings.Contains(q.What, "remove here") && q.Choices[0].Says == "seen" {
						n++
					}
				}
				return n
			}
			must(t, b.Save(), b.compare())
			if n := asked(); (n == 1) != told || n > 1 {
				t.Errorf("%s, %s: asked %d times", name, where, n)
			}
			must(t, b.Close())
			again, _, err := open(d, bookPath, settings(t))
			must(t, err)
			if b = again; (asked() == 1) != told {
				t.Errorf("%s, %s: the desk that is opened again asks %d times", name, where, asked())
			}
			for _, q := range b.Questions() {
				must(t, b.Answer(q.ID, Keep, ""))
			}
			if must(t, b.Save(), b.compare()); asked() > 0 {
				t.Errorf("%s, %s: asked again", name, where)
			}
			must(t, b.Close())
		}
	}
}

// mergedBy has a book take over what another program did, at an open desk or at the next start, and write its workbook.
func mergedBy(t *testing.T, d *fakedisk.Disk, b *Book, open bool) *Book {
	t.Helper()
	if open {
		must(t, b.compare())
	} else {
		var err error
		b, _, err = openBook(t, d)
		must(t, err)
	}
	must(t, b.Save())
	return b
}

func openBook(t *testing.T, d *fakedisk.Disk) (*Book, []Question, error) {
	t.Helper()
	b, found, err := open(d, bookPath, settings(t))
	if found.Errors() > 0 {
		t.Fatal(found)
	}
	return b, nil, err
}

// Random additions, several at once, with changes at the desk meanwhile: each is in the book, in a question or in a copy.
// 6 jobs, or 400 with LONG_TESTS=1.
func TestOutsideAtRandom(t *testing.T) {
	seeds := uint64(longtests.Cases(6, 400))
	for seed := range seeds {
		c := chance{rand.New(rand.NewPCG(seed, 23))}
		d := fakedisk.New()
		b, ids := three(t, d)
		var tokens []string
		for round := range 3 {
			open := c.IntN(2) == 0
			if !open {
				must(t, b.Close())
			}
			edit(t, d, func(f *excelize.File) {
				used := map[string]bool{} // a cell has one comment
				for range 1 + c.IntN(4) {
					a := additions[c.IntN(len(additions))]
					if used[a.name] {
						continue
					}
					used[a.name] = true
					token := fmt.Sprintf("zq%dr%dn%dx", seed, round, len(tokens))
					if c.IntN(2) == 0 {
						place := fmt.Sprint(table.Letters(c.IntN(40)), 1+c.IntN(40))
						sheet := c.one("Journaling", "Paper", "Help", "Lists", "Mine too")
						_, err := f.NewSheet("Mine too")
						must(t, err)
						if was, err := f.GetCellValue(sheet, place); err != nil || was != "" {
							continue // one that would write over what was there
						}
						must(t, f.SetCellValue(sheet, place, token))
					} else {
						a.add(t, f, token)
					}
					tokens = append(tokens, token)
					if head, err := f.GetCellValue("Journaling", "A1"); err != nil || head != "Name" {
						break // the others look for the headings in the first row
					}
				}
				tokens = there(t, f, tokens)
			})
			if open && c.IntN(2) == 0 {
				do(t, b, Change{Kind: Set, ID: ids[0], Column: "Title", Text: fmt.Sprint("at the desk ", round)})
				if c.IntN(2) == 0 && round == 2 {
					do(t, b, Change{Kind: Remove, ID: ids[1]})
				}
			}
			b = mergedBy(t, d, b, open)
			for _, token := range tokens {
				if in := held(t, d, b, token); len(in) == 0 {
					t.Fatalf("seed %d, round %d, open %v: %s is nowhere; asked is %v", seed, round, open, token, b.Questions())
				}
			}
		}
		must(t, b.Close())
	}
}

// there are the tokens that a workbook holds: of two additions one may stand over the other.
func there(t *testing.T, f *excelize.File, tokens []string) (out []string) {
	t.Helper()
	buffer, err := f.WriteToBuffer()
	must(t, err)
	z, err := zip.NewReader(bytes.NewReader(buffer.Bytes()), int64(buffer.Len()))
	must(t, err)
	var all bytes.Buffer
	for _, p := range z.File {
		r, err := p.Open()
		must(t, err)
		_, err = io.Copy(&all, r)
		must(t, err)
	}
	for _, token := range tokens {
		if bytes.Contains(all.Bytes(), []byte(token)) {
			out = append(out, token)
		}
	}
	return out
}

// Who keeps a sheet of their own open in another program, and saves it again and again, has one copy; what is new on it makes another.
func TestOutsideAgain(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	mine := func(text string, n int) {
		edit(t, d, func(f *excelize.File) {
			_, err := f.NewSheet("Mine")
			must(t, err, f.SetCellValue("Mine", "A1", text))
			set(t, f, 1, "Page", fmt.Sprint("page ", n))
		})
		b = mergedBy(t, d, b, true)
	}
	for n := range 5 {
		mine("0cake", n)
	}
	if in := held(t, d, b, "0cake"); fmt.Sprint(in) != "[x-desk-yours.xlsx]" || len(asides(b)) != 1 || b.Rows(Journaling)[0].Cells["Page"] != "page 4" {
		t.Errorf("it is in %v, asked is %v", in, asides(b))
	}
	must(t, b.Answer(asides(b)[0].ID, Keep, ""))
	mine("0cake", 5)
	if len(asides(b)) != 0 {
		t.Errorf("what was seen is asked again: %v", asides(b))
	}
	mine("0pie", 6)
	if in := held(t, d, b, "0pie"); fmt.Sprint(in) != "[x-desk-yours-2.xlsx]" || len(asides(b)) != 1 {
		t.Errorf("it is in %v, asked is %v", in, asides(b))
	}
	d.Put("d/x-desk-yours-3.xlsx", []byte("somebody's own"))
	mine("0jam", 7)
	if in, _ := d.Read("d/x-desk-yours-3.xlsx"); string(in) != "somebody's own" || fmt.Sprint(held(t, d, b, "0jam")) != "[x-desk-yours-4.xlsx]" {
		t.Errorf("%q, and it is in %v", in, held(t, d, b, "0jam"))
	}
}

// As long as no copy can be made the workbook stays as the other program has left it, also over a new start, and the desk says why.
func TestOutsideNoRoom(t *testing.T) {
	for _, ends := range []bool{false, true} {
		d := fakedisk.New()
		b, _ := three(t, d)
		edit(t, d, func(f *excelize.File) {
			_, err := f.NewSheet("Mine")
			must(t, err, f.SetCellValue("Mine", "A1", "0cake"))
			set(t, f, 1, "Page", "page 1")
		})
		d.Before = func(_ int, _, path string) error {
			if strings.Contains(path, "yours") {
				return errors.New("no room")
			}
			return nil
		}
		must(t, b.compare())
		if err := b.Save(); err == nil || !strings.Contains(err.Error(), "no copy of it could be made") {
			t.Errorf("the workbook is saved: %v", err)
		}
		if in := held(t, d, b, "0cake"); fmt.Sprint(in) != "[x-desk.xlsx]" || b.Rows(Journaling)[0].Cells["Page"] != "page 1" {
			t.Errorf("it is in %v", in)
		}
		if ends {
			must(t, b.Leave())
		}
		d.Before = nil
		if ends {
			var err error
			b, _, err = openBook(t, d)
			must(t, err)
		}
		must(t, b.Save())
		if in := held(t, d, b, "0cake"); fmt.Sprint(in) != "[x-desk-yours.xlsx]" || len(asides(b)) != 1 || len(b.Rows(Journaling)) != 3 {
			t.Errorf("ended %v: it is in %v, asked is %v", ends, in, b.Questions())
		}
	}
}

// Of more rows than a book holds the first are taken, and what was changed in others is, too.
func TestPossibleChanges(t *testing.T) {
	from := &state{}
	for range MostRows - 2 {
		from.Rows[Journaling] = append(from.Rows[Journaling], Row{ID: NewID(), Cells: map[string]string{}})
	}
	var changes []Change
	for i := range 5 {
		id := NewID()
		changes = append(changes, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: fmt.Sprint("Ann ", i)})
	}
	changes = append(changes, Change{Kind: Set, ID: from.Rows[Journaling][0].ID, Column: "Name", Text: "Bo"})
	some := from.possible(changes)
	after, _, why := from.apply(some)
	if why != nil || len(some) != 5 || len(after.Rows[Journaling]) != MostRows || after.Rows[Journaling][0].Cells["Name"] != "Bo" {
		t.Errorf("%d of the changes are made (%v)", len(some), why)
	}
}

// What people do in the desk's own tables, and what programs do by themselves when they save, makes no copy.
func TestNothingOutside(t *testing.T) {
	longtests.Only(t)
	for name, change := range map[string]func(f *excelize.File){
		"nothing": func(*excelize.File) {},
		"numbers": func(f *excelize.File) {
			set(t, f, 1, "Width", 4.5)
			set(t, f, 2, "Copies", 2)
			set(t, f, 3, "Size", 12.25)
			set(t, f, 3, "Page", 2026)
		},
		"yes and no": func(f *excelize.File) { set(t, f, 1, "Turn", "no") },
		"a date": func(f *excelize.File) {
			set(t, f, 1, "Title", time.Date(2026, 5, 3, 0, 0, 0, 0, time.UTC))
		},
		"paper": func(f *excelize.File) {
			must(t, f.SetSheetRow("Paper", "A2", &[]any{"vellum", 8.5, 11, 4, 0.75}))
		},
		"rows sorted":  func(f *excelize.File) { swap(t, f, 1, 3) },
		"a row copied": func(f *excelize.File) { copyRow(t, f, 1, 6) },
		"a row removed, and one begun": func(f *excelize.File) {
			must(t, f.RemoveRow("Journaling", 3))
			set(t, f, 9, "Name", "Bo")
			set(t, f, 9, "Journaling", "a *plain* text, _typed_ \\ so  ")
		},
		"cells emptied": func(f *excelize.File) { set(t, f, 2, "Journaling", "") },
		"rich text": func(f *excelize.File) {
			must(t, f.SetCellRichText("Journaling", column(t, f, "Journaling", "Journaling")+"2", []excelize.RichTextRun{{Text: "bold", Font: &excelize.Font{Bold: true}}, {Text: " and\nplain"}}))
		},
		"a column of one's own": func(f *excelize.File) {
			col := last(t, f, "Journaling", 1)
			must(t, f.SetCellValue("Journaling", col+"1", "Table number"), f.SetCellValue("Journaling", col+"2", 7))
		},
		"a heading renamed": func(f *excelize.File) {
			must(t, f.SetCellValue("Journaling", column(t, f, "Journaling", "Journaling")+"1", "What we say"))
		},
		"the sheet renamed":      func(f *excelize.File) { must(t, f.SetSheetName("Journaling", "Our texts")) },
		"a column moved away":    func(f *excelize.File) { must(t, f.RemoveCol("Journaling", column(t, f, "Journaling", "Title"))) },
		"the help and the lists": func(f *excelize.File) { must(t, f.DeleteSheet("Help"), f.SetSheetVisible("Lists", true)) },
	} {
		for _, open := range []bool{true, false} {
			d := fakedisk.New()
			b, ids := three(t, d)
			do(t, b, Change{Kind: Set, ID: ids[1], Column: "Title", Text: "a title"})
			must(t, b.Keep(b.Input(), readJob(b)), b.Save())
			if !open {
				must(t, b.Close())
			}
			edit(t, d, change)
			if open { // what the desk has changed since is not what is left out
				do(t, b, Change{Kind: Set, ID: ids[0], Column: "Note", Text: "at the desk"})
				s := *b.settings.Load()
				s.Stocks = s.Stocks[:1]
				b.Use(&s)
			}
			b = mergedBy(t, d, b, open)
			if asked := asides(b); len(asked) > 0 {
				t.Errorf("%s, open %v: %v", name, open, asked[0].Says)
			}
			must(t, b.Close())
		}
	}
}

// TestUse: other settings bring the workbook up to date where it offers something else by them, and not where it does not, as by other costs; what an editor saves
// that had it open before is the desk's own, after however many such changes, and after a new start.
func TestUse(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	must(t, b.Save())
	data := func() []byte {
		t.Helper()
		now, err := d.Read(bookPath)
		must(t, err)
		return now
	}
	other := func(change func(s *config.Settings)) *config.Settings {
		t.Helper()
		s := *b.settings.Load()
		change(&s)
		b.Use(&s)
		must(t, b.Save())
		return &s
	}
	stock := func(name string) func(s *config.Settings) {
		return func(s *config.Settings) {
			s.Stocks = slices.Clone(s.Stocks)
			s.Stocks[0].Name = name
		}
	}
	edited := func() {
		t.Helper()
		edit(t, d, func(f *excelize.File) {
			must(t, f.SetCellValue("Journaling", column(t, f, "Journaling", "Title")+"2", "by an editor"))
		})
		must(t, b.compare(), b.Save())
		if asked := asides(b); len(asked) > 0 {
			t.Errorf("%v", asked[0].Says)
		}
	}
	was := data()
	other(stock("gold paper"))
	if f, err := excelize.OpenReader(bytes.NewReader(data())); err != nil {
		t.Fatal(err)
	} else if name, err := f.GetCellValue("Lists", "A2"); err != nil || name != "gold paper" {
		t.Errorf("the workbook offers %q: %v", name, err)
	}
	now := data()
	for n := range 2 * mostBefore {
		other(func(s *config.Settings) { s.Costs = []config.Cost{{Name: "tea", Cents: int64(n)}} })
	}
	if !bytes.Equal(data(), now) {
		t.Error("other costs have the workbook written anew")
	}
	d.Put(bookPath, was) // which an editor has had open all the time
	edited()
	s := other(stock("silver paper"))
	must(t, b.Close())
	var err error
	b, _, err = open(d, bookPath, s)
	must(t, err)
	edited()
	must(t, b.Close())
}
