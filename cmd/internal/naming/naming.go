// Package naming says what files are called that no flag names.
package naming

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"tuckmark/config/problem"
)

// Beside is the name of a file that stands beside another: its name without its ending, and what is added. A folder's is all of the
// folder's own, since that has no ending; where it is given as . or the like, so that its name is not said, the file stands in it. No
// name begins with a dot, for many systems would not show it.
func Beside(path, added string) string {
	path = filepath.Clean(path)
	dir, name := filepath.Split(path)
	if name == "." || name == ".." || name == "" {
		dir = path
		name = "journaling"
		if whole, err := filepath.Abs(path); err == nil && filepath.Dir(whole) != whole {
			name = filepath.Base(whole)
		}
		return filepath.Join(dir, strings.TrimLeft(name, ".")+added)
	}
	if info, err := os.Stat(path); err != nil || !info.IsDir() {
		if ext := filepath.Ext(name); strings.ContainsFunc(ext, unicode.IsLetter) { // not that of jan.2026
			name = strings.TrimSuffix(name, ext)
		}
	}
	if name = strings.TrimLeft(name, "."); name == "" {
		name = strings.TrimLeft(filepath.Base(path), ".")
	}
	return dir + name + added
}

// Title is what a job is called after its file: the file's name without its ending, on one line.
func Title(path string) string {
	name := filepath.Base(path)
	return problem.Line(strings.TrimSuffix(name, filepath.Ext(name)))
}

// Free is a name that no file has yet: the one given, or with a number behind it.
func Free(path string) string {
	stem, ext := strings.TrimSuffix(path, filepath.Ext(path)), filepath.Ext(path)
	for n := 2; ; n++ {
		if _, err := os.Lstat(path); err != nil {
			return path
		}
		path = fmt.Sprintf("%s-%d%s", stem, n, ext)
	}
}

// Yours is the nth name, from 1, for a file of ours that somebody has changed, when a later run wants its own: retreat-report-yours.xlsx, then
// retreat-report-yours-2.xlsx. It begins as the file's own, so that a folder lists them together.
func Yours(path string, n int) string {
	ext := filepath.Ext(path)
	number := ""
	if n > 1 {
		number = fmt.Sprintf("-%d", n)
	}
	return strings.TrimSuffix(path, ext) + "-yours" + number + ext
}

var yours = regexp.MustCompile(`^(.+)-yours(?:-[0-9]{1,6})?(\.[^.]*)?$`)

// IsYours reports whether a path is one of those names, and for which file.
func IsYours(path string) (of string, is bool) {
	dir, name := filepath.Split(path)
	m := yours.FindStringSubmatch(name)
	if m == nil {
		return "", false
	}
	return dir + m[1] + m[2], true
}

// OtherOf is a note where the file is not the only one of its kind that might be meant: a later run has given it another name because somebody had
// changed it, or it has such a name itself. nil: there is no other.
func OtherOf(path string) *problem.Problem {
	there := func(path string) bool {
		_, err := os.Lstat(path)
		return err == nil
	}
	base := filepath.Base
	if of, is := IsYours(path); is && there(of) {
		return &problem.Problem{Place: problem.Place{File: base(path)}, Severity: problem.Note, What: "this is not what was made last: somebody changed it, and a later run kept it under this name",
			Hint: "what was made last is " + base(of)}
	}
	last := ""
	for n := 1; there(Yours(path, n)); n++ {
		last = Yours(path, n)
	}
	if last == "" {
		return nil
	}
	return &problem.Problem{Place: problem.Place{File: base(path)}, Severity: problem.Note, What: "what somebody changed in an earlier one is not in it",
		Cause: "the run that made this one kept that one as " + base(last), Hint: "give that one if its texts are wanted"}
}

// RedoStays is what a report that has the name of the next one may be, so that it is not written over: the one before it lists paper that is used up.
const RedoStays = "that of blocks which were printed again already: where they are of this print, go on from that report, which knows what paper is left; where they are of one before it, move that report and its PDF elsewhere"

var redone = regexp.MustCompile(`^(.*)-redo(?:-([0-9]{1,6}))?$`)

// ForRedo are the PDF and the report of a redo: retreat-report.xlsx gives retreat-redo.pdf and retreat-report-redo.xlsx,
// and that one retreat-redo-2.pdf and retreat-report-redo-2.xlsx.
func ForRedo(report string) (pdf, next string) {
	stem := strings.TrimSuffix(filepath.Clean(report), filepath.Ext(report))
	add := "-redo"
	if m := redone.FindStringSubmatch(stem); m != nil {
		n := 1
		if m[2] != "" {
			n, _ = strconv.Atoi(m[2])
		}
		stem, add = m[1], fmt.Sprintf("-redo-%d", n+1)
	}
	return strings.TrimSuffix(stem, "-report") + add + ".pdf", stem + add + ".xlsx"
}

// RedoPDFStays is what a PDF may be that has the name which a redo's gets by itself: the report that goes with it may have any name.
const RedoPDFStays = "that of blocks which were printed again already, and perhaps not printed yet"

// ForStocks are the files of a job that is written stock by stock, beside its PDF: retreat-vellum.pdf.
func ForStocks(pdf string, stocks []string) []string {
	out := Distinct(stocks)
	for i, name := range out {
		out[i] = Beside(pdf, "-"+name+".pdf")
	}
	return out
}

// Distinct are safe names of files for names, none like another or like one of those that others have, also on disks that do not tell large
// letters from small ones, or letters that are put together from those that are one sign.
func Distinct(names []string, others ...string) []string {
	out := make([]string, len(names))
	taken := map[string]bool{}
	for _, o := range others {
		taken[folded(o)] = true
	}
	tried := map[string]int{} // the last number behind a name, by the name folded: thousands may be alike but for what no file's name can have
	for i, s := range names {
		safe := Safe(s)
		name, alike := safe, folded(safe)
		for n := max(2, tried[alike]+1); taken[folded(name)]; n++ {
			name, tried[alike] = fmt.Sprintf("%s-%d", safe, n), n
		}
		taken[folded(name)] = true
		out[i] = name
	}
	return out
}

// folded is what two names have in common that one disk or another takes for one: case folded after capitals (Unicode 15, 3.13), compatible signs alike
// (UAX 15). No disk goes further.
func folded(name string) string {
	return norm.NFKC.String(cases.Fold().String(norm.NFKD.String(strings.ToUpper(name))))
}

// device is what Windows keeps for devices (Microsoft, “Naming Files, Paths, and Namespaces”).
var device = regexp.MustCompile(`^(con|prn|aux|nul|com[0-9]|lpt[0-9])$`)

// Safe is a name as it can stand in a file's name on every system: letters and digits, small, in their composed form, all else as hyphens; and none
// of the names that Windows keeps for devices, whatever ending they have.
func Safe(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFC.String(strings.ToLower(name)) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) && !(unicode.IsMark(r) && b.Len() > 0 && !gap) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(r)
		if b.Len() > 60 {
			break
		}
	}
	if b.Len() == 0 {
		return "unnamed"
	}
	if device.MatchString(b.String()) {
		b.WriteByte('_')
	}
	return b.String()
}
