package findings

import (
	"bytes"
	"context"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/intake/intaketest"
)

// people draws tables as a group of people might fill them in, with the mistakes that they make. Each row has a word of its own.
type people struct {
	*rand.Rand
	n int
}

func (d *people) one(of ...string) string { return of[d.IntN(len(of))] }

// seldom is mostly the first, and sometimes one of the others.
func (d *people) seldom(usual string, odd ...string) string {
	if d.IntN(4) > 0 {
		return usual
	}
	return d.one(odd...)
}

func (d *people) measure() string {
	return d.seldom(d.one("4", "2", "3.5", "1 1/2", "11 cm", "90 mm", "2½"), "", "about 4", "4'", "4 / 2", "4 1/22", "4 4/4", "three", "0", "-2", "2-Apr", "45", "4\"", "2 in. or so", "4x2", "#REF!", "?", "½", "4,5", "2 April", "=1+1", "٤")
}

func (d *people) text(word string) string {
	usual := "We rowed out before breakfast and came home with eleven mackerel, " + word + "."
	return d.seldom(usual, "", "TBD "+word, "On [date] we "+word, word+".jpg", "https://example.org/"+word, "see photo", "#REF!", "  ", "\u200b", strings.Repeat(usual+" ", 40), "*"+word+"* and _more_",
		"?? "+word, "雪の朝 "+word, "a\nb\n"+word, "=HYPERLINK(\""+word+"\")", "\""+word, word+"\"", "\ufffd "+word, "x")
}

// row is a row by the headings of the form.
func (d *people) row() map[string]string {
	d.n++
	word := fmt.Sprintf("w%dq", d.n)
	return map[string]string{
		"Name":       d.seldom(d.one("Ada Lind", "Bo Ek", "Cy Fox", "Dee O'Hara"), "", "\"", "do.", "ada lind", "Ada  Lind", "Bo Ekk", "??", strings.Repeat("long ", 30), "../../etc", "Lind, Ada"),
		"Page":       d.one("", "3", "Harbour", "1/2", "12.3"),
		"Journaling": d.text(word), "Width": d.measure(), "Height": d.measure(),
		"Stock": d.seldom(d.one("", "vellum", "cardstock"), "velum", "transparency", "the nice vellum please", "Clear Sticker", "?"),
		"Font":  d.seldom("", "Sans", "Handwriting", "Comic", "serif"), "Size": d.seldom("", "12", "big", "200", "0", "10 pt"),
		"Align": d.seldom("", "center", "wherever", "left top"), "Ink": d.seldom("", "dark blue", "invisible", "#12", "white"), "Tuck": d.seldom("", "none", "1/2", "5", "maybe"),
		"Turn": d.seldom("", "no", "perhaps"), "Copies": d.seldom("", "2", "many", "-1", "1000000"), "Note": d.seldom("", "twice please"),
	}
}

// table is a table of such rows, and which of them ask for something.
func (d *people) table() (cells [][]string, asks []bool) {
	heads := []string{"Name", "Journaling", "Width", "Height", "Stock"}
	for _, more := range []string{"Page", "Font", "Size", "Align", "Ink", "Tuck", "Turn", "Copies", "Note"} {
		if d.IntN(3) == 0 {
			heads = append(heads, more)
		}
	}
	d.Shuffle(len(heads), func(i, j int) { heads[i], heads[j] = heads[j], heads[i] })
	typed := map[string]string{"Name": d.one("Name", "Your name", "Who are you?"), "Journaling": d.one("Journaling", "Jornaling", "Your text"), "Width": d.one("Width", "Width (cm)", "How wide? (inches)", "Widht"),
		"Height": d.one("Height", "Heigth", "How high is it? (in)")}
	var head []string
	for _, h := range heads {
		if t := typed[h]; t != "" {
			h = t
		}
		head = append(head, h)
	}
	cells = append(cells, head)
	for range 3 + d.IntN(10) {
		if d.IntN(12) == 0 {
			cells, asks = append(cells, make([]string, len(heads))), append(asks, false)
			continue
		}
		row, line, any := d.row(), []string(nil), false
		for _, h := range heads {
			line = append(line, row[h])
			if strings.Trim(row[h], " \u200b") != "" {
				any = true
			}
		}
		cells, asks = append(cells, line), append(asks, any)
	}
	return cells, asks
}

// saved writes the table as a file of one of the kinds, and says by which name it goes.
func saved(t *testing.T, d *people, cells [][]string) string {
	t.Helper()
	var b bytes.Buffer
	name := "a.csv"
	if d.IntN(3) == 0 {
		name = "a.xlsx"
		f := excelize.NewFile()
		for r, line := range cells {
			for c, text := range line {
				at, _ := excelize.CoordinatesToCellName(c+1, r+1)
				if text != "" {
					if err := f.SetCellStr("Sheet1", at, text); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		if err := f.Write(&b); err != nil {
			t.Fatal(err)
		}
		f.Close()
	} else {
		w := csv.NewWriter(&b)
		w.Comma = []rune{',', ';', '\t'}[d.IntN(3)]
		for _, line := range cells {
			if len(line) == 1 && line[0] == "" {
				line = []string{" "}
			}
			if err := w.Write(line); err != nil {
				t.Fatal(err)
			}
		}
		w.Flush()
	}
	return intaketest.Write(t, name, b.String())[0]
}

// TestMistakes: in random jobs of such rows each that asks for something is printed, or held with a reason that its owner or the organiser is
// told, or named in a note; nothing is lost and nothing is both. LONG_TESTS=1 draws 2,000 jobs, the tests as they are 200.
func TestMistakes(t *testing.T) {
	jobs := longtests.Cases(200, 2000)
	printed, held, refused := 0, 0, 0
	for seed := range jobs {
		d := &people{Rand: rand.New(rand.NewPCG(uint64(seed), 18))}
		cells, asks := d.table()
		s, list := config.Load(config.Source{Home: t.TempDir(), Flags: map[string]string{"effort": "0"}})
		j := impose.New(s, list)
		j.Undrawn = seed%4 > 0 && !longtests.Asked() // as check does, for most: it takes a third of the time
		ctx := context.Background()
		for _, err := range []error{j.Read(ctx, []string{saved(t, d, cells)}, ""), j.Set(ctx), j.Arrange(ctx)} {
			if err != nil {
				t.Fatal(err)
			}
		}
		outcome := map[int][]string{}
		laid := map[int]bool{}
		for _, p := range j.Plan.Pieces {
			for _, b := range p.Blocks() {
				if n := b.Block.Place.Row; !laid[n] { // once for all its copies
					laid[n] = true
					outcome[n] = append(outcome[n], "printed")
					printed++
				}
			}
		}
		for _, h := range j.Held {
			outcome[h.Place.Row] = append(outcome[h.Place.Row], "held: "+h.Why)
			held++
		}
		noted := map[int]bool{}
		for _, p := range j.Problems {
			noted[p.Place.Row] = true
			if p.Severity == problem.Error && p.Place.Row > 0 && !slices.ContainsFunc(outcome[p.Place.Row], func(o string) bool { return strings.HasPrefix(o, "held") }) {
				t.Errorf("seed %d: the error %+v holds no row", seed, p)
			}
		}
		if !j.CanHoldBack() {
			refused++
			if len(Of(j).Stops) == 0 {
				t.Errorf("seed %d: it is refused without a word", seed)
			}
			continue
		}
		for i, asked := range asks {
			n := i + 2
			switch o := outcome[n]; {
			case len(o) > 1, asked && len(o) == 0 && !noted[n]:
				t.Errorf("seed %d, row %d: %q comes to %q", seed, n, cells[i+1], o)
			}
		}
		told := strings.Join(ForOrganiser(ctx, j), "\n")
		theirs := map[string]string{}
		for _, l := range Letters(j) {
			theirs[l.To] = l.Text
		}
		for _, h := range j.Held {
			row := regexp.MustCompile(fmt.Sprintf(`\brows? .*\b%d\b`, h.Place.Row))
			if mine := theirs[h.Owner]; h.Code != "" && strings.Contains(mine, h.Code) || row.MatchString(told) || h.Code != "" && strings.Contains(told, h.Code) {
				continue
			}
			t.Errorf("seed %d: nobody is told of row %d, %s: %s", seed, h.Place.Row, h.Code, h.Why)
		}
		if seed > 20 && t.Failed() {
			break
		}
	}
	t.Logf("%d jobs: %d rows printed, %d held, %d jobs refused", jobs, printed, held, refused)
	if printed < jobs/2 || held < jobs || refused > jobs/3 {
		t.Error("the jobs are not those that were meant")
	}
}
