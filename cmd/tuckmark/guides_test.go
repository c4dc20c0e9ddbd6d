package main

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"

	"tuckmark/config/longtests"
)

// The guides are few pages, without smaller type.
func TestGuidePages(t *testing.T) {
	trials := filepath.Join("..", "..", "..", "shared", "trials")
	type guided struct {
		path string
		most int
		args []string
	}
	jobs := []guided{{path: filepath.Join(trials, "big-200.csv"), most: 18}}
	if longtests.Many() {
		sample := filepath.Join("..", "..", "samples", "retreat.xlsx")
		jobs = append(jobs, guided{sample, 7, nil}, guided{sample, 7, []string{"--set", "trimmer=none"}}, guided{filepath.Join(trials, "same-200.csv"), 12, nil},
			guided{filepath.Join(trials, "copies-300.csv"), 6, nil}, guided{large(t, 1000), 60, nil})
	}
	for _, job := range jobs {
		if _, err := os.Stat(job.path); err != nil {
			t.Logf("skipped, it is not here: %s", job.path)
			continue
		}
		var out bytes.Buffer
		if code := run(append([]string{"make", job.path, "-o", filepath.Join(t.TempDir(), "job.pdf")}, job.args...), &out, io.Discard); code != exitDone {
			t.Fatalf("%s: exit status %d", job.path, code)
		}
		f := regexp.MustCompile(`the first (\d+) on plain paper`).FindStringSubmatch(out.String())
		if f == nil {
			t.Fatalf("%s: nothing is said of guides in %q", job.path, out.String())
		}
		if n, _ := strconv.Atoi(f[1]); n > job.most {
			t.Errorf("%s: %d pages of guides, want no more than %d", job.path, n, job.most)
		}
	}
}
