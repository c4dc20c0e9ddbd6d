package form

import (
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// A copy that a desk kept of its workbook beside it is not read with it: in a folder it is passed over and told, where both are named it is an error, and alone it is
// read like any other.
func TestCopyOfADesk(t *testing.T) {
	s := intaketest.Home()
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		f, err := os.Create(path)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		d := &Desk{State: []string{"aaaaaaaaaa", "1", "in"}, Unit: measure.In, Journaling: DeskSheet{Rows: []DeskRow{{ID: "bbbbbbbbbb", Cells: map[string]string{"Name": "Ann Lo", "Journaling": text, "Width": "4", "Height": "2"}}}}}
		if err := WriteDesk(f, d, s); err != nil {
			t.Fatal(err)
		}
		return path
	}
	job, copied := write("crop-desk.xlsx", "ours"), write("crop-desk-yours-2.xlsx", "theirs")
	write("other-desk-yours.xlsx", "alone")
	for _, c := range []struct {
		inputs []string
		blocks int
		says   string
		errors int
	}{
		{[]string{dir}, 2, "“crop-desk-yours-2.xlsx” is a copy that the desk kept of “crop-desk.xlsx”, and is not read", 0},
		{[]string{job, copied}, 2, "the file is a copy that the desk kept of “crop-desk.xlsx”, and both were given", 1},
		{[]string{copied}, 1, "", 0},
	} {
		j, found := intake.Read(c.inputs, s)
		said := ""
		for _, p := range found {
			said += p.What + "\n"
		}
		if len(j.Blocks) != c.blocks || found.Errors() != c.errors || !strings.Contains(said, c.says) {
			t.Errorf("%v: %d blocks, said is %q", c.inputs, len(j.Blocks), said)
		}
	}
}

// A block that is on hold at the desk is on hold in no copy of its workbook with the cells to mend marked: none is made.
func TestMarkedCopyOfHeldBlocks(t *testing.T) {
	s := intaketest.Home()
	for hold, written := range map[string]bool{"": true, "no": true, "yes": false} {
		var b strings.Builder
		d := &Desk{State: []string{"aaaaaaaaaa", "1", "in"}, Unit: measure.In, Journaling: DeskSheet{Rows: []DeskRow{
			{ID: "bbbbbbbbbb", Cells: map[string]string{"Name": "Ann Lo", "Journaling": "Plums.", "Width": "wide", "Height": "2"}},
			{ID: "cccccccccc", Cells: map[string]string{"Name": "Ann Lo", "Journaling": "Pears.", "Width": "4", "Height": "2", "Hold": hold}}}}}
		if err := WriteDesk(&b, d, s); err != nil {
			t.Fatal(err)
		}
		job, problems := read(t, "crop-desk.xlsx", b.String())
		err := WriteMarked(io.Discard, job, problems, s)
		var p *problem.Problem
		if errors.As(err, &p) == written || !written && (p.Place.Row != 3 || p.Place.Column != "Hold") {
			t.Errorf("hold %q: %+v", hold, p)
		}
	}
}
