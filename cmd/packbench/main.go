// Command packbench runs the packer on published instances of two-dimensional bin packing. RECORD.md keeps what came out, and
// what was tried.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"time"

	"tuckmark/config/measure"
	"tuckmark/impose/pack"
)

var began = time.Now()

// recorded is the effort for each item where the command line names none; a job's is the configuration's.
const recorded = 1000

func main() {
	turn := flag.Bool("turn", false, "items may be turned")
	seconds := flag.Float64("seconds", 0, "processor seconds for each instance")
	effort := flag.Int("effort", recorded, "iterations for each item")
	list := flag.Bool("list", false, "a line for each instance")
	cuts := flag.Bool("cuts", false, "the cuts and the different patterns as well")
	flag.Usage = func() {
		fmt.Fprintln(flag.CommandLine.Output(), "usage: packbench [-turn] [-seconds S | -effort N] [-list] [-cuts] [FILE]")
		flag.PrintDefaults()
	}
	flag.Parse()
	if flag.NArg() > 1 {
		flag.Usage()
		os.Exit(2)
	}
	instances := published()
	if flag.NArg() == 1 {
		f, err := os.Open(flag.Arg(0))
		if err != nil {
			fmt.Fprintf(os.Stderr, "packbench: %s cannot be read\n", flag.Arg(0))
			os.Exit(3)
		}
		defer f.Close()
		if instances, err = read(f); err != nil {
			fmt.Fprintf(os.Stderr, "packbench: %s: %v\n", flag.Arg(0), err)
			os.Exit(1)
		}
	}
	work := run(os.Stdout, instances, *turn, *seconds, *effort, *list)
	if *cuts {
		fmt.Println(work)
	}
}

// run packs every instance and prints the totals. It returns what there is to cut.
func run(out io.Writer, instances []instance, turn bool, seconds float64, effort int, list bool) (all work) {
	w := bufio.NewWriter(out)
	defer w.Flush()
	sheets, bound := 0, 0
	for _, in := range instances {
		start := worked()
		j, a := in.pack(turn, seconds, effort)
		if faults := pack.Verify(j, a); len(faults) > 0 || len(a.Unplaced) > 0 {
			fmt.Fprintf(w, "%s: unsound: %v\n", in.name, faults)
		}
		sheets += len(a.Sheets)
		bound += a.Bound
		all.add(len(in.items), a)
		if list {
			fmt.Fprintf(w, "%s sheets %d bound %d seconds %.3f\n", in.name, len(a.Sheets), a.Bound, (worked() - start).Seconds())
			w.Flush()
		}
	}
	fmt.Fprintf(w, "total %d bound %d instances %d seconds %.1f\n", sheets, bound, len(instances), worked().Seconds())
	return all
}

// pack packs the instance. To work for some seconds it makes a short try and a longer one, and then one for what time is
// left, whose effort follows from theirs.
func (in instance) pack(turn bool, seconds float64, effort int) (pack.Job, pack.Answer) {
	if seconds <= 0 {
		j := in.job(turn, effort)
		return j, pack.Pack(j)
	}
	var job pack.Job
	var best pack.Answer
	end := worked() + time.Duration(seconds*float64(time.Second))
	for n, most := range [...]int{100, 400, math.MaxInt32} {
		start := worked()
		if n > 0 {
			most = min(most, effort)
		}
		j := in.job(turn, most)
		j.Stop = func() bool { return worked() > end }
		a := pack.Pack(j)
		if n == 0 || len(a.Sheets) < len(best.Sheets) {
			job, best = j, a
		}
		took, left := worked()-start, end-worked()
		if len(best.Sheets) <= best.Bound || took <= 0 || left <= 0 {
			break
		}
		effort = int(float64(most) * float64(left) / float64(took)) // for what is left
	}
	return job, best
}

// job is the instance as the packer takes it.
func (in instance) job(turn bool, effort int) pack.Job {
	j := pack.Job{Effort: effort}
	for _, s := range in.items {
		j.Items = append(j.Items, pack.Item{Size: s, Turn: turn})
	}
	sheet := measure.Rect{W: in.bin.W, H: in.bin.H}
	j.Sheets = []pack.Sheet{{Size: in.bin, Cost: 1, Count: -1, Divisions: []pack.Division{{Pieces: []pack.Piece{{Rect: sheet}}}}}}
	return j
}
