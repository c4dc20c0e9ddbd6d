package intake

import (
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake/intaketest"
)

// TestLists: tables whose cells are parted as lists are in other languages, with their decimals and digits (the values that CLDR 48.2,
// main/*/numbers.json, has for the symbols list and decimal, over all its locales).
func TestLists(t *testing.T) {
	for _, list := range []string{";", "؛", "⁏", "၊"} {
		for _, number := range []string{"4.5", "4,5", "4٫5", "٤٫٥", "۴٫۵", "४.५", "၄.၅", "４．５"} {
			text := "Name" + list + "Journaling" + list + "Width" + list + "Height\r\nAda Lind" + list + "\"In May" + list + " 2026, at last\"" + list + number + list + "2\r\n"
			job, problems := read(t, "a.csv", text)
			if len(job.Blocks) != 1 || problems.Errors() > 0 || job.Blocks[0].Space != (measure.Size{W: 9 * measure.Inch / 2, H: 2 * measure.Inch}) ||
				job.Blocks[0].Text[0][0].Text != "In May"+list+" 2026, at last" {
				t.Errorf("%q: %+v %s", text, job.Blocks, intaketest.Say(problems))
			}
		}
	}
}

// python is a program that can be asked to write a file, or the test is skipped.
func python(t *testing.T, needs string) string {
	t.Helper()
	for _, path := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(path, "-c", "import "+needs).Run() == nil {
			return path
		}
	}
	t.Skipf("there is no Python with %s here", needs)
	return ""
}

// run runs a script and gives what it says.
func run(t *testing.T, program string, args ...string) string {
	t.Helper()
	said, err := exec.Command(program, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program, err, said)
	}
	return string(said)
}

// TestFormExports: tables as web forms export them - a column of times, questions for headings, every cell in quotation marks or only those that
// need them, lines that end as on either system, with and without the mark of UTF-8 - give the same blocks. An independent writer makes
// them: Python's csv, which follows RFC 4180.
func TestFormExports(t *testing.T) {
	program := python(t, "csv")
	script := `
import csv, sys
rows = [["Timestamp", "Email address", "Your name", "What should be printed? (your journaling)", "How wide is the space? (inches)", "How high is the space? (inches)", "Which paper?"],
  ["2026/05/02 9:14:03 AM GMT+1", "ada@example.org", "Ada Lind", "We said “yes”, then \"no\";\nthen yes, again.", "4 1/2", "2", "vellum"],
  ["2026/05/02 9:20:41 AM GMT+1", "bo@example.org", "Bo Ek", "Zoë's café, mañana\tand after", "3.5", "1 1/2\"", "cardstock"],
  ["2026/05/03 7:01:00 PM GMT+1", "cy@example.org", "Cy Fox", "One line", "4", "2", ""]]
n = 0
for quoting in ["QUOTE_MINIMAL", "QUOTE_ALL", "QUOTE_NONNUMERIC"]:
  for end in ["\r\n", "\n"]:
    for encoding in ["utf-8", "utf-8-sig", "utf-16"]:
      for delimiter in [",", ";", "\t"]:
        name = "%s/%d.csv" % (sys.argv[1], n)
        n += 1
        with open(name, "w", newline="", encoding=encoding) as f:
          csv.writer(f, quoting=getattr(csv, quoting), lineterminator=end, delimiter=delimiter).writerows(rows)
        print(quoting, repr(end), encoding, repr(delimiter))
`
	folder := t.TempDir()
	const want = "Ada Lind|4 1/2 x 2 in|vellum|We said “yes”, then \"no\";\nthen yes, again.\nBo Ek|3 1/2 x 1 1/2 in|cardstock|Zoë's café, mañana and after\nCy Fox|4 x 2 in|vellum|One line\n"
	dialects := strings.Split(strings.TrimSpace(run(t, program, "-c", script, folder)), "\n")
	if len(dialects) != 54 {
		t.Fatalf("%d dialects", len(dialects))
	}
	for n, dialect := range dialects {
		path := filepath.Join(folder, fmt.Sprintf("%d.csv", n))
		intaketest.Rest(t, path)
		job, problems := Read([]string{path}, intaketest.Home())
		got := ""
		for i := range job.Blocks {
			b := &job.Blocks[i]
			got += fmt.Sprintf("%s|%s|%s|%s\n", b.Owner, b.Space.Format(b.Unit), b.Stock, b.Markup())
		}
		if got != want || problems.Errors() > 0 {
			t.Fatalf("%s: %q\n%s", dialect, got, intaketest.Say(problems))
		}
	}
}
