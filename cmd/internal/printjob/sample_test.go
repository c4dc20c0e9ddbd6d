package printjob

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"tuckmark/config"
	"tuckmark/impose"
)

// The settings of the tests: a leftover of an odd size is used first, a wide piece and one in hundredths of a millimetre among them.
const settings = `units: mm
paper: letter
printers:
  - name: home
    queue: home
    loads:
      - {stock: vellum, source: rear, type: transparency, quality: draft}
      - {stock: clear sticker, source: by-pass-tray, type: labels, quality: high}
      - {stock: cardstock, source: main, type: cardstock, quality: normal}
stocks:
  - name: vellum
    leftovers: [{size: 101.63 x 190.57 mm}, {size: 200 x 130 mm}]
`

// sample is the retreat, made with those settings, its PDF in a folder of its own.
func sample(t *testing.T) (pdf string, s *config.Settings, job *impose.Job) {
	t.Helper()
	return made(t, settings, "../../../samples/retreat.csv")
}

// made is a job made with settings, its PDF in a folder of its own.
func made(t *testing.T, settings, input string) (pdf string, s *config.Settings, job *impose.Job) {
	t.Helper()
	folder := t.TempDir()
	file := filepath.Join(folder, "tuckmark.yaml")
	if err := os.WriteFile(file, []byte(settings), 0o600); err != nil {
		t.Fatal(err)
	}
	s, problems := config.Load(config.Source{File: file, Near: folder, Work: folder, Home: folder})
	if problems.Errors() > 0 {
		t.Fatal(problems)
	}
	ctx := context.Background()
	job = impose.New(s, nil)
	if err := job.Read(ctx, []string{input}, ""); err != nil {
		t.Fatal(err)
	}
	for _, step := range []func(context.Context) error{job.Set, job.Arrange} {
		if err := step(ctx); err != nil {
			t.Fatal(err)
		}
	}
	if err := job.Draw(ctx, "retreat"); err != nil {
		t.Fatal(err)
	}
	files, err := job.Write(ctx, false)
	if err != nil {
		t.Fatal(err)
	}
	pdf = filepath.Join(folder, "retreat.pdf")
	if err := os.WriteFile(pdf, files.PDF, 0o600); err != nil {
		t.Fatal(err)
	}
	return pdf, s, job
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
