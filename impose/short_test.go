package impose

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config"
)

// How many sheets are lacking is counted by hand here: blocks of 4 x 4 in lie four to a letter sheet. A large job, of which only what
// found no place is laid again, comes to the same, and so does one that is not drawn. Of very many blocks it is reckoned.
func TestShortages(t *testing.T) {
	const sheets = 10
	for _, blocks := range []int{sheets*4 - 1, sheets * 4, sheets*4 + 1, sheets*4 + 8, mostLaidAgain, mostLaidAgain + 1, 5 * mostCopiesLaid} {
		dir := t.TempDir()
		yaml := filepath.Join(dir, "tuckmark.yaml")
		write := func(name, text string) {
			if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		write(yaml, fmt.Sprintf("stocks:\n  - name: vellum\n    tuck: none\n    sheets: [{size: letter, count: %d}]\n", sheets))
		in := filepath.Join(dir, "in.csv")
		rows, each := blocks, 1
		if blocks > mostCopiesLaid { // few rows, each asked for often
			rows, each = blocks/20, 20
		}
		write(in, "Name,Journaling,Width,Height,Stock,Copies\n"+strings.Repeat(fmt.Sprintf("Ada,Plums on the quay,4,4,vellum,%d\n", each), rows))
		s, problems := config.Load(config.Source{Work: dir, Home: dir, Flags: map[string]string{"effort": "5"}})
		if problems.Errors() > 0 {
			t.Fatal(problems)
		}
		j := New(s, nil)
		j.Undrawn = true
		if err := j.Read(t.Context(), []string{in}, ""); err != nil {
			t.Fatal(err)
		}
		if err := j.Set(t.Context()); err != nil {
			t.Fatal(err)
		}
		if err := j.Arrange(t.Context()); err != nil {
			t.Fatal(err)
		}
		short := j.Shortages(t.Context())
		lacking := (blocks+3)/4 - sheets
		switch {
		case each > 1: // two rows have room; what the others lack is reckoned, and said to be about so much
			if len(short) != 1 || short[0].Words() != "about 6300 more sheets" || len(short[0].Codes) != rows-2 {
				t.Errorf("%d blocks: want about %d sheets: %s, %d codes", blocks, lacking, short[0].Words(), len(short[0].Codes))
			}
		case lacking <= 0 && len(short) > 0:
			t.Errorf("%d blocks: %v is lacking", blocks, short)
		case lacking > 0 && (len(short) != 1 || short[0].Stock != "vellum" || short[0].Sheets != lacking || len(short[0].Codes) != blocks-sheets*4):
			t.Errorf("%d blocks: want %d sheets: %.200s", blocks, lacking, fmt.Sprint(short))
		}
	}
}
