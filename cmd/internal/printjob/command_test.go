package printjob

import (
	"context"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// TestByDialogue: where a computer prints by its dialogue only, what to set there is said, piece by piece, and the PDF is opened for it.
func TestByDialogue(t *testing.T) {
	pdf, s, job := sample(t)
	var said []string
	var opened []string
	front := Front{Tell: func(e Event) { said = append(said, e.Words()...) }}
	var broken error
	m := Machine{System: "windows", Open: func(path string) error { opened = append(opened, path); return broken }}
	print := func(o Options) (bool, string) {
		said, opened, o.Front = nil, nil, front
		complete, problems := Print(context.Background(), m, pdf, s, o)
		var words []string
		for _, p := range problems {
			words = append(words, p.What+" "+p.Hint)
		}
		return complete, strings.Join(append(said, words...), "\n")
	}
	complete, words := print(Options{})
	if !complete || !slices.Equal(opened, []string{pdf}) || !filepath.IsAbs(pdf) {
		t.Errorf("complete %v, opened %q", complete, opened)
	}
	for _, want := range []string{
		"In the print dialogue of retreat.pdf", "page 11, 1 piece of vellum", "paper size 101.63 x 190.57 mm; tray: rear; paper type: transparency; quality: draft; one side; actual size (no scaling); colour",
		"this computer prints without CUPS",
	} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not said:\n%s", want, words)
		}
	}
	if got := strings.Count(words, "paper size"); got != len(job.Plan.Pieces) {
		t.Errorf("%d jobs of %d pieces are told", got, len(job.Plan.Pieces))
	}
	if complete, _ := print(Options{DryRun: true}); !complete || len(opened) > 0 {
		t.Errorf("a dry run opens %q", opened)
	}
	broken = errors.New("no program")
	if complete, words := print(Options{Part: Part{Stocks: []string{"cardstock"}}}); complete || !strings.Contains(words, "cannot be opened for you") || strings.Contains(words, "vellum") {
		t.Errorf("%v\n%s", complete, words)
	}
	if problems := Printers(context.Background(), m, measure.In, false, func(string, ...any) {}); len(problems) != 1 || problems.Errors() > 0 || !strings.Contains(problems[0].What, "without CUPS") {
		t.Errorf("%v", problems)
	}
}
