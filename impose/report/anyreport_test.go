package report

import (
	"cmp"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/xuri/excelize/v2"
	"pgregory.net/rapid"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// TestAnyReport: whatever was printed and held back, the report gives it back: its blocks as they were asked for, its paper, what is
// to be paid, all cuts, and a row for each block and each row that was held back, as another program reads them.
func TestAnyReport(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		d := anyJob(r)
		in := input(d)
		e, problems := Open(reportFile(t, in))
		if len(problems) > 0 {
			r.Fatal(problems)
		}
		held := map[string]string{}
		for _, h := range d.Plan.Held {
			held[h.Code] = h.Why
		}
		if !maps.Equal(e.Held, held) {
			r.Errorf("held back %q, want %q", e.Held, held)
		}
		sameBlocks(r, e, d)
		paper, problems := e.Paper(d.Settings)
		if len(problems) > 0 {
			r.Fatal(problems)
		}
		samePaper(r, paper, d)
		f, err := excelize.OpenFile(e.path)
		if err != nil {
			r.Fatal(err)
		}
		defer f.Close()
		sameSheets(r, f, d)
	})
}

// anyJob is a job of blocks that say anything a block may say.
func anyJob(t *rapid.T) *made.Draft {
	n := func(label string, least, most int) int { return rapid.IntRange(least, most).Draw(t, label) }
	word := rapid.StringOfN(rapid.RuneFrom([]rune("abcé王Ω=*_<&'“1-+,;:")), 1, 8, -1).Filter(func(s string) bool { return !strings.Contains(s, "__") }) // which stands for what is still to be filled in
	words := func() string {
		text := strings.Join(rapid.SliceOfN(word, 1, 4).Draw(t, "words"), " ")
		if !strings.ContainsFunc(text, unicode.IsLetter) { // a dash says nothing, and a quotation mark the same as above: no block has them
			text += " a"
		}
		return text
	}
	s := made.Settings()
	if n("metric", 0, 1) == 1 {
		s.Unit = measure.Mm
	}
	s.Currency = rapid.SampledFrom([]string{"", "$", "kr"}).Draw(t, "currency")
	d := made.Random(s, int64(n("seed", 0, 1<<30)), n("blocks", 1, 12), n("people", 1, 4), n("kinds", 1, 4))
	d.Hold(n("held", 0, 3))
	for i := range d.Plan.Held {
		d.Plan.Held[i].Why = words()
	}
	for _, p := range d.Plan.Pieces {
		for _, part := range p.Blocks() {
			b := part.Block.Block
			b.Unit = s.Unit
			if n("page", 0, 1) == 1 {
				b.Page = words()
			}
			if b.Title = ""; n("title", 0, 2) == 0 {
				b.Title = words()
			}
			b.Text = nil
			for range n("paragraphs", 1, 3) {
				var p intake.Paragraph
				for i := range n("runs", 1, 3) { // neighbours of one style would be one run
					p = append(p, intake.Run{Text: words() + " ", Bold: i%2 == 1, Italic: i%2 == 0 && n("italic", 0, 1) == 1})
				}
				p[len(p)-1].Text = strings.TrimSpace(p[len(p)-1].Text)
				b.Text = append(b.Text, p)
			}
			if n("tuck", 0, 2) == 0 {
				b.Tuck.Top, b.Space.H = b.Space.H/4, b.Space.H-b.Space.H/4
			}
			b.Turn = n("turn", 0, 1) == 1
		}
	}
	return d
}

// sameBlocks reads the blocks as a redo does.
func sameBlocks(t *rapid.T, e *Earlier, d *made.Draft) {
	want := map[string]intake.Block{}
	for _, p := range d.Plan.Pieces {
		for _, part := range p.Blocks() {
			b := *part.Block.Block
			b.Type.Wished = part.Block.Setting.Size
			want[b.Code] = b
		}
	}
	if got := slices.Sorted(slices.Values(e.Codes)); !slices.Equal(got, slices.Sorted(maps.Keys(want))) {
		t.Errorf("codes %q, want %q", got, slices.Sorted(maps.Keys(want)))
	}
	blocks, problems := e.Blocks(e.Codes, d.Settings)
	if len(problems) > 0 || len(blocks) != len(want) {
		t.Fatalf("%d blocks, want %d: %v", len(blocks), len(want), problems)
	}
	for _, b := range blocks {
		if !reflect.DeepEqual(b, want[b.Code]) {
			t.Errorf("%s:\n got %+v\nwant %+v", b.Code, b, want[b.Code])
		}
	}
}

// samePaper compares what lies in the folder, by stock, largest first. The report rounds down, to less than a ten-thousandth of an inch.
func samePaper(t *rapid.T, paper []intake.Paper, d *made.Draft) {
	for _, stock := range d.Settings.Stocks {
		var got []measure.Size
		for _, p := range paper {
			if p.Stock == stock.Name && p.Leftover {
				for range p.Count {
					got = append(got, p.Size)
				}
			}
		}
		want := d.Plan.Kept(stock.Name)
		bySize := func(a, b measure.Size) int {
			return cmp.Or(cmp.Compare(a.W, b.W), cmp.Compare(a.H, b.H))
		}
		slices.SortFunc(got, bySize)
		slices.SortFunc(want, bySize)
		if !slices.EqualFunc(got, want, func(a, b measure.Size) bool {
			w, h := b.W-a.W, b.H-a.H
			return 0 <= w && w <= inch/10000+1 && 0 <= h && h <= inch/10000+1
		}) {
			t.Errorf("%s: leftovers %v, want %v", stock.Name, got, want)
		}
	}
}

// sameSheets reads the sheets as a program does that knows no more than their headings.
func sameSheets(t *rapid.T, f *excelize.File, d *made.Draft) {
	sheet := func(name string) []map[string]string {
		rows, err := f.GetRows(name, excelize.Options{RawCellValue: true})
		if err != nil || len(rows) == 0 {
			t.Fatalf("%s: %v", name, err)
		}
		var out []map[string]string
		for _, r := range rows[1:] {
			row := map[string]string{}
			for i, cell := range r {
				if i < len(rows[0]) {
					row[rows[0][i]] = cell
				}
			}
			out = append(out, row)
		}
		return out
	}
	blocks, cuts, cents := map[string]map[string]string{}, 0, int64(0)
	for _, p := range d.Plan.Pieces {
		cuts += p.Whole.CutCount()
		for _, part := range p.Blocks() {
			b := part.Block
			blocks[b.Code] = map[string]string{"Code": b.Code, "Owner": b.Owner, "Page": b.Page, "Stock": p.Stock, "Outcome": "printed", "PDF page": strconv.Itoa(p.Page), "Copy": "1",
				"Turned": "no", "Font": b.Setting.Face, "Type size (pt)": strconv.FormatFloat(b.Setting.Size.Points(), 'f', -1, 64), "Lines": strconv.Itoa(len(b.Setting.Lines)),
				"File": b.Place.File, "Worksheet": b.Place.Sheet, "Row": strconv.Itoa(b.Place.Row)}
		}
	}
	where := func(p problem.Place) string { return p.File + "|" + p.Sheet + "|" + strconv.Itoa(p.Row) }
	var held []string
	for _, h := range d.Plan.Held {
		held = append(held, h.Code+"|"+h.Owner+"|"+where(h.Place))
	}
	for _, row := range sheet("Blocks") {
		if row["Outcome"] == "held back" {
			at := slices.Index(held, row["Code"]+"|"+row["Owner"]+"|"+row["File"]+"|"+row["Worksheet"]+"|"+row["Row"])
			if at < 0 {
				t.Fatalf("%v was not held back", row)
			}
			held = slices.Delete(held, at, at+1)
			continue
		}
		want := blocks[row["Code"]]
		if want == nil {
			t.Fatalf("%v was not printed, or stands there twice", row)
		}
		for head, text := range want {
			if row[head] != text {
				t.Errorf("%s: %s is %q, want %q", row["Code"], head, row[head], text)
			}
		}
		delete(blocks, row["Code"])
	}
	if len(blocks)+len(held) > 0 {
		t.Errorf("%v and %v are missing", blocks, held)
	}
	told := 0 // a row is so many cuts of so many parts
	for _, row := range sheet("Cuts") {
		if row["Line"] == "skip" {
			continue
		}
		times, _ := strconv.Atoi(row["Times"])
		parts := 1
		if _, alike, ok := strings.Cut(row["Take"], ", "); ok {
			parts, _ = strconv.Atoi(strings.TrimSuffix(alike, " alike"))
		} else if strings.Contains(row["Take"], " and ") {
			parts = 2
		}
		told += times * parts
	}
	if told != cuts {
		t.Errorf("%d cuts, want %d", told, cuts)
	}
	if got := len(sheet("Held back")); got != len(d.Plan.Held) {
		t.Errorf("%d held back, want %d", got, len(d.Plan.Held))
	}
	for _, u := range d.Plan.Stocks {
		cents += u.Cents
	}
	pay, total := "To pay", int64(0)
	if d.Settings.Currency != "" {
		pay += " (" + d.Settings.Currency + ")"
	}
	for _, row := range sheet("Account") {
		amount, err := strconv.ParseFloat(row[pay], 64)
		paid := int64(amount*100 + 0.5)
		if row["Owner"] == "Total" {
			if err != nil || paid != cents || total != cents {
				t.Errorf("%s in all, %d by the rows, want %d cents", row[pay], total, cents)
			}
			return
		}
		if by := ofStocks(row, d.Plan.Stocks); err != nil || by != paid {
			t.Errorf("%s pays %s, %d cents stock by stock", row["Owner"], row[pay], by)
		}
		total += paid
	}
	t.Error("the account has no total")
}

func ofStocks(row map[string]string, stocks []plan.Use) (cents int64) {
	for _, u := range stocks {
		amount, _ := strconv.ParseFloat(row[u.Stock], 64)
		cents += int64(amount*100 + 0.5)
	}
	return cents
}
