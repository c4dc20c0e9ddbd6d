package intake

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// A small table costs little, whatever it has most of: columns that are not known, or stand there again, beside many rows; words that mean nothing, each of its own.
func TestSmallTablesCostLittle(t *testing.T) {
	const head, row = "Name,Journaling,Width,Height", "Pim,b,1,1\n"
	each := func(column, word string, n int) string {
		var b strings.Builder
		b.WriteString(head + "," + column + "\n")
		for k := range n {
			fmt.Fprintf(&b, "Pim,b,1,1,"+word+"\n", k)
		}
		return b.String()
	}
	wide := func(heading string, columns, rows int) string {
		return head + strings.Repeat(","+heading, columns) + "\n" + strings.Repeat(row, rows)
	}
	sets := "Name"
	for k := range 99 {
		sets += fmt.Sprintf(",Journaling %d,Width %d,Height %d", k+1, k+1, k+1)
	}
	titles := "Name"
	for k := range 99 {
		titles += fmt.Sprintf(",Journaling %d,Width %d,Height %d,Title %d", k+1, k+1, k+1, k+1)
	}
	lines := "Name"
	for k := range 99 {
		for _, of := range []string{"Journaling", "Page", "Title", "Who", "Where", "When"} {
			lines += fmt.Sprintf(",%s %d", of, k+1)
		}
	}
	almost := "Name,Journaling,Width,Height"
	for k := range 3_000 {
		almost += fmt.Sprintf(",how wide is the spaec %d", k)
	}
	like, texts := "Name,Width,Height", "Pim,1,1"
	for k := range 99 {
		like += fmt.Sprintf(",Text %d", k+1)
		texts += ",b"
	}
	for k := range 99 {
		for _, of := range []string{"Page", "Stock", "Copies", "Font", "Ink", "Tuck"} {
			like += fmt.Sprintf(",%s %d (same as above)", of, k+1)
		}
	}
	for name, data := range map[string]string{
		"cells that are as the block before":     like + "\n" + strings.Repeat(texts+"\n", 100),
		"headings that are almost known":         almost + "\n" + row,
		"blocks that are held, with lines above": lines + ",Width,Height\nPim" + strings.Repeat(",b", 6*99) + "\n" + strings.Repeat("Pim"+strings.Repeat(",b,,,,,", 99)+"\n", 100),
		"blocks with much to mend":               titles + "\n" + strings.Repeat(strings.Repeat(",,,,x", 99)+"\n", 1_050),
		"columns that are not known":             wide("zq", 12_000, 3_000),
		"headings once more in another unit":     "Name,Journaling,Width,Height,Left\n" + row + strings.Repeat("Name,Journaling,Width,Height,Left in cm\n", 6_000),
		"headings once more in part":             strings.TrimSuffix(wide("zq", 3_000, 1), "\n") + "\n" + strings.Repeat("Name,Journaling,,"+strings.Repeat(",a", 3_000)+"\n", 15),
		"tables beside each other, no sides":     strings.Repeat("Name,Text,,Wid,Hght,,", 300) + "\n" + strings.Repeat(strings.Repeat("P1,w5,,3 in,2 in,,", 300)+"\n", 40),
		"columns of texts":                       wide("Journaling", 12_000, 3_000),
		"columns of names":                       "Name,Journaling" + strings.Repeat(",Name", 12_000) + ",Width,Height\n" + strings.Repeat("Pim,b\n", 4_000),
		"columns of numbered names":              "Name,Journaling 1,Journaling 2,Width,Height" + strings.Repeat(",Name 3,Name A,First name", 4_000) + "\n" + strings.Repeat("Pim,b\n", 1_000),
		"corrections":                            wide("Corrections", 8_000, 2_000),
		"many blocks in a row":                   sets + strings.Repeat(",zq", 2000) + "\n" + strings.Repeat("Pim,b,1,1\n", 200),
		"colours":                                each("Ink", "q%d", 1_500),
		"stocks":                                 each("Stock", "v%d", 1_500),
	} {
		paths := intaketest.Write(t, "a.csv", data)
		began := intaketest.Processor()
		Read(paths, intaketest.Home())
		took := intaketest.Processor() - began
		t.Logf("%-28s %7d bytes %5.2f s", name, len(data), took.Seconds())
		if took > intaketest.Raced*700*time.Millisecond {
			t.Errorf("%s: %v", name, took)
		}
	}
}

// The blocks that a table of several in a row asks for are counted as they are made, and a job has no more of them than a run makes.
func TestBlocksOfRowsAreCounted(t *testing.T) {
	for seed := range uint64(40) {
		d := &typist{Rand: rand.New(rand.NewPCG(seed, 19))}
		g := &grid{}
		d.table(g, 0, 0, d.blocks(), 1+d.IntN(5))
		want := 0
		sh := newSheet(table.New(g.rows), nil)
		sh.classify()
		for i := sh.Head + 1; i < len(sh.Rows); i++ {
			for _, set := range sh.sets {
				if e := (&entry{sheet: sh, row: &sh.Rows[i], set: set}); e.filled() {
					want++
				}
			}
		}
		for more := range 2 {
			had := asked(mostCopies - want + more)
			if told := had.beyond(sh); told != (more > 0 && len(sh.sets) > 0) || told != has(sh.problems, "more than 100,000 blocks") {
				t.Errorf("seed %d: %d blocks and %d more: %v %s", seed, want, more, told, intaketest.Say(sh.problems))
			}
		}
	}
}

// The columns that are read are those that a search through all of them finds.
func TestReadColumnsAreFound(t *testing.T) {
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 5))
		s := &Sheet{}
		for i := range r.IntN(30) {
			s.Columns = append(s.Columns, Column{Index: i, as: meaning(r.IntN(5)), set: r.IntN(4), Double: r.IntN(3) == 0})
		}
		s.findRead()
		for m := range meaning(5) {
			var first *Column
			for i := range s.Columns {
				if c := &s.Columns[i]; first == nil && c.as == m && !c.Double {
					first = c
				}
			}
			if got := s.column(m); got != first {
				t.Fatalf("seed %d: %v, want %v", seed, got, first)
			}
			for set := range 5 {
				var own, all *Column
				for i := range s.Columns {
					switch c := &s.Columns[i]; {
					case c.as != m || c.Double:
					case c.set == set && own == nil:
						own = c
					case c.set == 0 && all == nil:
						all = c
					}
				}
				if own == nil {
					own = all
				}
				if got := s.columnOf(m, set); got != own {
					t.Fatalf("seed %d, block %d: %v, want %v", seed, set, got, own)
				}
			}
		}
	}
}

// A colour that is none has the near name that is meant, whether another was looked for or not; after some hundreds none is looked for.
func TestNearColours(t *testing.T) {
	b := newBuilder(intaketest.Home())
	for k := range mostSought - 1 {
		b.inkOf(fmt.Sprintf("q%d", k))
	}
	for text, want := range map[string]string{"dark bleu ink": "darkblue", "#12345g": "", "red": ""} {
		_, near, _ := config.ParseColour(strings.TrimSuffix(text, " ink"))
		if near != want {
			t.Errorf("%s: near %s", text, near)
		}
	}
	if _, near, ok := b.inkOf("dark bleu ink"); ok || near != "darkblue" {
		t.Errorf("dark bleu ink: %v %s", ok, near)
	}
	if _, near, ok := b.inkOf("dark grean"); ok || near != "" {
		t.Errorf("dark grean: %v %s", ok, near)
	}
	if _, near, _ := b.inkOf("dark bleu ink"); near != "darkblue" {
		t.Errorf("once more: %s", near)
	}
	if _, _, ok := b.inkOf("dark blue"); !ok {
		t.Error("dark blue is not known")
	}
}
