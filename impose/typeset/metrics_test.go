package typeset

import (
	"bufio"
	"encoding/json"
	"fmt"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/intake"

	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"
	_ "github.com/tdewolff/font" // whose module holds the AFM files
)

// moduleDir is where a module's files lie, or the test is skipped.
func moduleDir(t *testing.T, module string) string {
	t.Helper()
	out, err := exec.Command("go", "list", "-m", "-f", "{{.Dir}}", module).Output()
	dir := strings.TrimSpace(string(out))
	if err != nil || dir == "" {
		t.Skipf("the files of %s are not here: %v", module, err)
	}
	return dir
}

// afm is the widths and kerns of an Adobe font metrics file, by glyph name.
type afm struct {
	code  map[int]string // of StandardEncoding
	width map[string]int
	kern  map[[2]string]int
}

func readAFM(t *testing.T, path string) afm {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Skip(err)
	}
	defer f.Close()
	a := afm{map[int]string{}, map[string]int{}, map[[2]string]int{}}
	for s := bufio.NewScanner(f); s.Scan(); {
		w := strings.Fields(s.Text())
		switch {
		case len(w) > 7 && w[0] == "C":
			n, _ := strconv.Atoi(w[4])
			a.width[w[7]] = n
			if c, _ := strconv.Atoi(w[1]); c >= 0 {
				a.code[c] = w[7]
			}
		case len(w) == 4 && w[0] == "KPX":
			n, _ := strconv.Atoi(w[3])
			a.kern[[2]string{w[1], w[2]}] = n
		}
	}
	return a
}

// TestCoreFonts compares widths and kerned words with Adobe's metrics of the core fonts (in github.com/tdewolff/font), whose
// widths the Liberation faces were drawn to.
func TestCoreFonts(t *testing.T) {
	dir := filepath.Join(moduleDir(t, "github.com/tdewolff/font"), "resources", "pdfcorefonts")
	for _, c := range []struct {
		name, file   string
		bold, italic bool
	}{{"Sans", "Helvetica", false, false}, {"Sans", "Helvetica-Bold", true, false}, {"Serif", "Times-Roman", false, false}, {"Serif", "Times-Italic", false, true}, {"Typewriter", "Courier", false, false}} {
		a := readAFM(t, filepath.Join(dir, c.file+".afm"))
		f, err := shared.Face(c.name, c.bold, c.italic)
		if err != nil {
			t.Fatal(err)
		}
		for code := '!'; code <= '~'; code++ {
			name := a.code[int(code)]
			if code == '\'' || code == '`' { // StandardEncoding has the curly ones there
				continue
			}
			_, w := shared.Label(f, 1000*pt, string(code))
			if got := int((w + pt/2) / pt); got != a.width[name] {
				t.Errorf("%s %s: %d wide, Adobe has %d", c.file, name, got, a.width[name])
			}
		}
		_, apart := shared.Label(f, 1000*pt, "n n")
		_, joined := shared.Label(f, 1000*pt, "nn")
		if got := int((apart - joined + pt/2) / pt); got != a.width["space"] {
			t.Errorf("%s space: %d wide, Adobe has %d", c.file, got, a.width["space"])
		}
		if c.file != "Helvetica" {
			continue // Liberation Serif is kerned otherwise than Times
		}
		want, word := 0, "AVAST"
		for i := range word {
			want += a.width[word[i:i+1]]
			if i > 0 {
				want += a.kern[[2]string{word[i-1 : i], word[i : i+1]}]
			}
		}
		if _, w := shared.Label(f, 1000*pt, word); int((w+pt/2)/pt)-want > 1 || want-int((w+pt/2)/pt) > 1 || want != 3279-150 {
			t.Errorf("%s is %v wide, Adobe has %d", word, w.Points(), want)
		}
	}
}

// TestLigatures: Latin Modern joins f and i. The widths are what hb-shape (HarfBuzz 6.0.0) says with and without ligatures and kerns.
func TestLigatures(t *testing.T) {
	f, err := shared.Face("Roman", false, false)
	if err != nil {
		t.Fatal(err)
	}
	spans, w := shared.Label(f, 1000*pt, "office first fluff")
	if w != 6313*pt {
		t.Errorf("%v wide, want 6313", w.Points())
	}
	var texts []string
	for _, g := range spans[0].Glyphs {
		texts = append(texts, g.Text)
	}
	if got, want := strings.Join(texts, "|"), "o|ffi|c|e| |fi|r|s|t| |fl|u|ff"; got != want {
		t.Errorf("glyphs %s, want %s", got, want)
	}
	s := f.takeShaper()
	b := s.buffer
	b.Clear()
	b.AddRunes([]rune("office first fluff"), 0, -1)
	b.Props.Direction, b.Props.Script = harfbuzz.LeftToRight, language.Latin
	var off []harfbuzz.Feature
	for _, name := range []string{"-kern", "-liga"} {
		ft, _ := harfbuzz.ParseFeature(name)
		off = append(off, ft)
	}
	b.Shape(s.font, off)
	sum := 0
	for _, p := range b.Pos {
		sum += int(p.XAdvance)
	}
	if sum != 6455 {
		t.Errorf("%d wide without ligatures and kerns, want 6455", sum)
	}
}

// TestAgainstHarfBuzz compares the glyphs and advances of lines, as they are set, with those of the hb-shape command, where it is
// installed.
func TestAgainstHarfBuzz(t *testing.T) {
	hb, err := exec.LookPath("hb-shape")
	if err != nil {
		t.Skip("hb-shape is not installed (Debian: libharfbuzz-bin)")
	}
	rnd := rand.New(rand.NewSource(7))
	// The last three, of Debian packages, join letters by context; they are tried where they are installed.
	for i, name := range []string{"Serif", "Sans", "Roman", "Book", "Typewriter", "DejaVu Sans", "Dancing Script", "Courier Prime", "Lato"} {
		f, err := shared.Face(name, false, false)
		if err != nil && i > 5 {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		file := filepath.Join(t.TempDir(), "font")
		if err := os.WriteFile(file, f.Data(), 0o600); err != nil {
			t.Fatal(err)
		}
		var lines []string
		var ours [][]string
		for range 25 / min(slower, 5) {
			b := randomBlock(rnd)
			b.Font, b.Title, b.End = name, "", ""
			for i := range b.Text {
				for j := range b.Text[i] {
					b.Text[i][j].Bold, b.Text[i][j].Italic = false, false
				}
			}
			b.Type.Align, b.Type.AsTyped = 0, true        // hb-shape is given what was typed
			b.Text = []intake.Paragraph{joined(b.Text)}   // so that nothing hangs,
			b.Space.W = min(b.Space.W, 11*measure.Inch/4) // and the lines fill the box
			set, _ := one(b)
			if set == nil {
				continue
			}
			for i := range set.Lines {
				l := &set.Lines[i]
				if len(l.Spans) != 1 {
					continue // a blank line
				}
				lines = append(lines, strings.ReplaceAll(lineText(l), putIn, "-"))
				ours = append(ours, shown(l, set))
			}
		}
		cmd := exec.Command(hb, "--output-format=json", "--no-clusters", "--no-glyph-names", "--language=en", "--script=latn", "--direction=ltr", file)
		cmd.Stdin = strings.NewReader(strings.Join(lines, "\n") + "\n")
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		answers := strings.Split(strings.TrimSpace(string(out)), "\n")
		if len(answers) != len(lines) || len(lines) < 100/slower {
			t.Fatalf("%s: %d lines, %d answers", name, len(lines), len(answers))
		}
		for i, a := range answers {
			var glyphs []struct{ G, Dx, Ax int }
			if err := json.Unmarshal([]byte(a), &glyphs); err != nil {
				t.Fatal(err)
			}
			var want []string
			x := 0
			for _, g := range glyphs {
				want = append(want, fmt.Sprintf("%d@%d", g.G, x+g.Dx))
				x += g.Ax
			}
			if fmt.Sprint(ours[i]) != fmt.Sprint(want) {
				t.Fatalf("%s: %q\nours %v\nhb   %v", name, lines[i], ours[i], want)
			}
		}
		t.Logf("%s: %d lines", name, len(lines))
	}
}

// shown is the glyphs of a left-aligned line with their places in font units. Places are whole EMU, finer than font units at any
// size that is set.
func shown(l *Line, s *Setting) (out []string) {
	sp := &l.Spans[0]
	start := s.Block.Ink().X
	f := sp.Face
	// What hangs over at the left moves the line; the first glyph then stands there, at nought but for its own offset.
	if o := f.takeShaper().overhang(sp.Glyphs[0].ID); o.left < 0 {
		start = sp.Glyphs[0].X
	}
	for _, g := range sp.Glyphs {
		units := (int64(g.X-start)*f.upem*2 + int64(sp.Size)) / (2 * int64(sp.Size))
		out = append(out, fmt.Sprintf("%d@%d", g.ID, units))
	}
	return out
}

// TestContrast checks ratios that are in print for WCAG 2: black on white 21 to 1, and #767676 as the lightest grey that passes on
// white; the other two by its formula for relative luminance.
func TestContrast(t *testing.T) {
	white := rgb(0xFFFFFF)
	for hex, want := range map[int]string{0x000000: "21.000", 0xE3660E: "3.402", 0x9D9D9D: "2.712", 0x767676: "4.542", 0xFFFFFF: "1.000"} {
		if got := fmt.Sprintf("%.3f", contrast(rgb(hex), white)); got != want {
			t.Errorf("#%06X: %s, want %s", hex, got, want)
		}
	}
	if len(noteFaintInk(rgb(0x767676), white)) != 0 {
		t.Error("#767676 on white is readable")
	}
	if len(noteFaintInk(rgb(0x777777), white)) != 1 {
		t.Error("#777777 on white is not")
	}
}
