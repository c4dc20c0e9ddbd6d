package main

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"codeberg.org/go-fonts/liberation/liberationserifregular"
	"github.com/go-text/typesetting/di"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/language"
	"github.com/go-text/typesetting/shaping"
	"golang.org/x/image/math/fixed"

	"tuckmark/config/longtests"
	"tuckmark/intake/intaketest"
)

// Twenty thousand blocks in one run: work grows with the number of blocks and not faster, memory stays in bounds.
func TestLoad(t *testing.T) {
	if !longtests.Many() {
		t.Skip("set LONG_TESTS=1: it takes minutes")
	}
	var times []time.Duration
	sizes := []int{2500, 5000, 20000}
	for _, n := range sizes {
		in, out := large(t, n), filepath.Join(t.TempDir(), "load.pdf")
		c := subprocess(t, "make", in, "-o", out)
		began := time.Now()
		if said, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%d blocks: %v: %.2000s", n, err, said)
		}
		took := time.Since(began)
		work := c.ProcessState.UserTime() + c.ProcessState.SystemTime() // whatever else the machine does
		times = append(times, work)
		info, err := os.Stat(out)
		must(t, err)
		t.Logf("%d blocks: %v, %v of the processors, %v for each; %d MB of memory; a PDF of %d MB", n, took.Round(time.Millisecond), work.Round(time.Millisecond), work/time.Duration(n), peak(c.ProcessState), info.Size()>>20)
		if mb := peak(c.ProcessState); mb > 300+n/14 {
			t.Errorf("%d blocks take %d MB", n, mb)
		}
	}
	last := len(sizes) - 1
	growth := math.Log(float64(times[last])/float64(times[last-1])) / math.Log(float64(sizes[last])/float64(sizes[last-1]))
	t.Logf("work grows by the power %.2f", growth)
	if growth > 1.3 {
		t.Errorf("four times the blocks take %.1f times as long", float64(times[last])/float64(times[last-1]))
	}
}

// A small file of twenty thousand sizes, no two alike, is checked in seconds.
func TestManySizes(t *testing.T) {
	if !longtests.Many() {
		t.Skip("set LONG_TESTS=1: it takes ten seconds of an idle machine")
	}
	var b strings.Builder
	b.WriteString("Name,Journaling,Width,Height\n")
	for i := range 20_000 {
		fmt.Fprintf(&b, "A,x,%d.%03d,%d.%03d\n", 1+i%2, i%997, 1+i%3, i%991)
	}
	in := filepath.Join(t.TempDir(), "sizes.csv")
	must(t, os.WriteFile(in, []byte(b.String()), 0o644))
	c := subprocess(t, "check", in)
	c.Run() // which finds that the paper does not suffice
	work := c.ProcessState.UserTime() + c.ProcessState.SystemTime()
	t.Logf("%v of the processors, %d MB", work.Round(time.Millisecond), peak(c.ProcessState))
	if work > 20*time.Second || peak(c.ProcessState) > 400 || c.ProcessState.ExitCode() > 1 {
		t.Errorf("%v of the processors, %d MB, exit status %d", work, peak(c.ProcessState), c.ProcessState.ExitCode())
	}
}

// TestManyStocks: many blocks on hundreds of stocks, of each too little paper, or of each in many sizes, are checked in seconds: what a sketch may look at is for all stocks
// together, and for all trials of fewer sizes.
func TestManyStocks(t *testing.T) {
	if !longtests.Many() {
		t.Skip("takes seconds: set LONG_TESTS=1")
	}
	for _, c := range []struct {
		stocks, blocks, copies, sizes int
		within                        time.Duration
		said                          string
	}{{300, 30_000, 1, 1, 10 * time.Second, "more sheets of “s299” are needed"}, {110, 9_000, 1, 12, 6 * time.Second, "9000 blocks ready to print"}, {100, 1000, 99, 0, 3 * time.Second, "1000 blocks ready to print"}} {
		dir := t.TempDir()
		in, r := filepath.Join(dir, "a.csv"), rand.New(rand.NewPCG(42, 1))
		settings, rows := "stocks:\n", "Name,Journaling,Stock,Copies,Width,Height\n"
		for k := range c.stocks {
			var sheets []string
			for n := range c.sizes {
				wide, high, price := 8.5, 11.0, 60
				if n > 0 {
					wide, high, price = 7+float64(r.IntN(100))/100, 9+float64(r.IntN(200))/100, 10+r.IntN(89)
				}
				sheets = append(sheets, fmt.Sprintf("{size: %.3g x %.4g in, count: 2, price: 0.%d}", wide, high, price))
			}
			settings += fmt.Sprintf("  - {name: s%d", k)
			if len(sheets) > 0 {
				settings += fmt.Sprintf(", sheets: [%s]", strings.Join(sheets, ", "))
			}
			settings += "}\n"
		}
		side := func() float64 { return 1 + float64(r.IntN(40)*2/min(1+c.sizes, 3))/10 }
		if c.copies > 1 { // many small ones on a sheet, of many sizes
			side = func() float64 { return 1 + float64(r.IntN(1000))/1000 }
		}
		for k := range c.blocks {
			rows += fmt.Sprintf("A,p,s%d,%d,%.4g,%.4g\n", k%c.stocks, c.copies, side(), side())
		}
		must(t, os.WriteFile(in, []byte(rows), 0o600))
		must(t, os.WriteFile(filepath.Join(dir, "tuckmark.yaml"), []byte(settings), 0o600))
		p := subprocess(t, "check", in)
		said, _ := p.CombinedOutput()
		work := p.ProcessState.UserTime() + p.ProcessState.SystemTime()
		t.Logf("%d stocks: %v of the processors, %d MB", c.stocks, work.Round(time.Millisecond), peak(p.ProcessState))
		if work > intaketest.Raced*c.within || p.ProcessState.ExitCode() > 1 || !strings.Contains(string(said), c.said) {
			t.Errorf("%d stocks: %v of the processors, exit status %d: %.300s", c.stocks, work, p.ProcessState.ExitCode(), said)
		}
	}
}

// TestManyKindsOfSheets: many blocks on many kinds of sheets and leftovers, with a price, by hand or on carriers, are checked in seconds.
func TestManyKindsOfSheets(t *testing.T) {
	for _, c := range []struct {
		name, settings, each string
		blocks, kinds, steps int // a side of a block is half an inch and fewer than steps quarters, or, of more than a hundred, hundredths
		from, to             int // of a sheet, in hundredths of an inch
		often                bool
	}{
		{"priced", "stocks: [{name: s0, sheets: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 2, price: 0.5}", 500, 20, 19, 900, 1300, true},
		{"priced, no trimmer", "trimmer: none\ngap: auto 1/4 in\nstocks: [{name: s0, sheets: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 2, price: 0.5}", 8000, 900, 19, 900, 1300, false},
		{"leftovers", "stocks: [{name: s0, leftovers: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 2}", 10_000, 900, 19, 300, 1400, false},
		{"sheets and leftovers", "gap: 0\nstocks: [{name: s0, sheets: [%[1]s], leftovers: [%[1]s]}]", "{size: %d.%02d x %d.%02d in, count: 50}", 300, 80, 12, 200, 1400, true},
		{"a fixed gap, and too little paper", "gap: 1/2 in\nstocks: [{name: s0, sheets: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 5, price: 0.5}", 2500, 10, 24, 800, 1200, false},
		{"two printers, and too little paper", "gap: 1/2 in\ntrimmer: {longest: 8 in}\nprinters: [{name: p, takes: [s0], narrowest: 3 in, widest: 8.6 in, longest: 17 in}, {name: q, narrowest: 3 in, widest: 13 in, longest: 17 in}]\nstocks: [{name: s0, sheets: [%s]}]",
			"{size: %[1]d.%02[2]d x %[3]d.%02[4]d in, count: 8, price: 1.%02[2]d}", 3000, 400, 650, 700, 1400, true},
		{"leftovers, copies, and too little paper", "stocks: [{name: s0, leftovers: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 8}", 1000, 266, 47, 400, 1200, false},
		{"leftovers on carriers", "stocks: [{name: s0, carrier: {size: letter, smallest: 1 x 1 in}, leftovers: [%s]}]", "{size: %d.%02d x %d.%02d in, count: 900}", 10_000, 900, 4, 100, 400, false},
	} {
		step := 0.25
		if c.steps > 100 {
			step = 0.01
		}
		if !c.often && !longtests.Many() {
			continue
		}
		dir := t.TempDir()
		in, r := filepath.Join(dir, "a.csv"), rand.New(rand.NewPCG(30, 1))
		rows, sheets := "Name,Journaling,Stock,Copies,Width,Height\n", []string{}
		copies := 1
		if strings.Contains(c.name, "copies") {
			copies = 28
		}
		for range c.blocks {
			rows += fmt.Sprintf("A,p,s0,%d,%.2f,%.2f\n", copies, 0.5+step*float64(r.IntN(c.steps)), 0.5+step*float64(r.IntN(c.steps)))
		}
		side := func() int { return c.from + r.IntN(c.to-c.from) }
		for range c.kinds {
			w, h := side(), side()
			sheets = append(sheets, fmt.Sprintf(c.each, w/100, w%100, h/100, h%100))
		}
		must(t, os.WriteFile(in, []byte(rows), 0o600))
		must(t, os.WriteFile(filepath.Join(dir, "tuckmark.yaml"), []byte(fmt.Sprintf(c.settings, strings.Join(sheets, ", "))), 0o600))
		p := subprocess(t, "check", in)
		said, _ := p.CombinedOutput()
		work := p.ProcessState.UserTime() + p.ProcessState.SystemTime()
		t.Logf("%s: %v of the processors, %d MB", c.name, work.Round(time.Millisecond), peak(p.ProcessState))
		if work > intaketest.Raced*10*time.Second || p.ProcessState.ExitCode() > 1 || !strings.Contains(string(said), "held back") {
			t.Errorf("%s: %v of the processors, exit status %d: %.300s", c.name, work, p.ProcessState.ExitCode(), said)
		}
	}
}

// Many runs at once, each into its own place, give the same bytes.
func TestManyRunsAtOnce(t *testing.T) {
	longtests.Only(t)
	runs := often(10, 100)
	in := filepath.Join(root, "samples", "retreat.csv")
	dir := t.TempDir()
	var wait sync.WaitGroup
	for n := range runs {
		out := filepath.Join(dir, fmt.Sprint(n))
		must(t, os.Mkdir(out, 0o755))
		wait.Go(func() {
			c := subprocess(t, "make", in, "-o", filepath.Join(out, "retreat.pdf"), "--plan", filepath.Join(out, "plan.json"), "--set", "effort=20")
			if said, err := c.CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, said)
			}
		})
	}
	wait.Wait()
	first := contents(t, filepath.Join(dir, "0"))
	if len(first) != 3 {
		t.Fatalf("there are %d files", len(first))
	}
	for n := range runs {
		for name, data := range contents(t, filepath.Join(dir, fmt.Sprint(n))) {
			if data != first[name] {
				t.Errorf("run %d: %s is not that of run 0", n, name)
			}
		}
	}
}

// recorded is what the whole job took for a block, in turns of the shaping loop below, when it was last judged well. Both
// are measured in the same run, in processor time, so that neither the machine's speed nor what else it does counts much.
// After a change that is worth more time, or saves much, write the logged ratio here.
const recorded = 6.1

func TestWorkPerBlock(t *testing.T) {
	if raced || os.Getenv("WORK_PER_BLOCK") == "" {
		t.Skip("set WORK_PER_BLOCK=1, without the race detector")
	}
	if intaketest.Processor() == 0 {
		t.Skip("what processor time was spent is not told here")
	}
	const blocks, turns = 1000, 1000
	in, out := large(t, blocks), filepath.Join(t.TempDir(), "ratio.pdf")
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	shape := shapingLoop(t)
	job := func() {
		if code := run([]string{"make", in, "-o", out}, io.Discard, io.Discard); code != exitDone {
			t.Fatalf("exit status %d", code)
		}
	}
	loop := func() {
		for range turns {
			shape()
		}
	}
	spent := func(f func()) time.Duration {
		runtime.GC()
		began := intaketest.Processor()
		f()
		return intaketest.Processor() - began
	}
	job() // fonts and tables are read once
	ratio := math.Inf(1)
	for n := 0; n < 3 || n < 9 && ratio > 1.1*recorded; n++ { // what else the machine does can only spoil a measurement
		whole, turn := spent(job)/blocks, spent(loop)/turns
		ratio = min(ratio, float64(whole)/float64(turn))
		t.Logf("%.2f: %v for a block, %v for a turn of the loop", float64(whole)/float64(turn), whole, turn)
	}
	if ratio > 1.2*recorded {
		t.Errorf("a block takes %.2f turns of the shaping loop, when recorded it took %.2f", ratio, recorded)
	}
}

// shapingLoop shapes a text of 400 words with the library that the job uses, and nothing of ours.
func shapingLoop(t *testing.T) func() {
	t.Helper()
	face, err := font.ParseTTF(bytes.NewReader(liberationserifregular.TTF))
	must(t, err)
	var text []rune
	for range 20 {
		text = append(text, []rune("the ferry was late again and so we bought plums from a man with a handcart and ate them there ")...)
	}
	var shaper shaping.HarfbuzzShaper
	return func() {
		got := shaper.Shape(shaping.Input{Text: text, RunEnd: len(text), Face: face, Size: fixed.I(12), Direction: di.DirectionLTR, Script: language.Latin, Language: "en"})
		if len(got.Glyphs) < len(text)/2 {
			t.Fatal("the loop shapes nothing")
		}
	}
}
