//go:build !js && !386

package samples

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"tuckmark/impose/proof/chromium"
)

func TestMain(m *testing.M) { chromium.Main(m) }

// pictures are those that the README shows of this sample.
var pictures = []string{"desk.png", "guide.png", "sheet.png"}

// mostOfPictures is the most bytes of all of them together.
const mostOfPictures = 600_000

// TestPictures makes the pictures of the README anew where README_PICTURES is set, with a browser and with pdftoppm of Poppler:
//
//	README_PICTURES=1 go test -count=1 -v ./samples -run Pictures
//
// Always it looks whether they are there, whether the README shows each, with words for those who cannot see it, and whether they are small.
func TestPictures(t *testing.T) {
	if os.Getenv("README_PICTURES") != "" {
		makePictures(t)
	}
	readme, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	for _, m := range regexp.MustCompile(`<img[^>]*>|!\[[^]]*\]\([^)]*\)`).FindAllString(string(readme), -1) {
		tag := regexp.MustCompile(`^<img src="samples/([^"]+)" alt="([^"]{20,})"( width="[0-9]+%?")?>$|^!\[([^]]{20,})\]\(samples/([^)]+)\)$`).FindStringSubmatch(m)
		if tag == nil {
			t.Errorf("the README shows %s: not a picture of samples, or without words for it", m)
			continue
		}
		shown = append(shown, tag[1]+tag[5])
	}
	if slices.Sort(shown); !slices.Equal(shown, pictures) {
		t.Errorf("the README shows %q, not %q", shown, pictures)
	}
	files, err := filepath.Glob("*.png")
	if err != nil || !slices.Equal(files, pictures) {
		t.Errorf("there are the pictures %q (%v), not %q", files, err, pictures)
	}
	bytesOf := 0
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		bytesOf += len(data)
		if c, err := png.DecodeConfig(bytes.NewReader(data)); err != nil || c.Width < 600 || c.Width > 2600 || c.Height > 2600 {
			t.Errorf("%s is %d x %d dots: %v", name, c.Width, c.Height, err)
		}
	}
	if bytesOf > mostOfPictures {
		t.Errorf("the pictures have %d bytes, more than %d", bytesOf, mostOfPictures)
	}
}

func makePictures(t *testing.T) {
	dir := t.TempDir()
	data, err := os.ReadFile(workbook)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, workbook), data, 0o644); err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(dir, "tuckmark.exe")
	if out, err := exec.Command("go", "build", "-o", program, "../cmd/tuckmark").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	in := func(name string, args ...string) *exec.Cmd {
		c := exec.Command(name, args...)
		c.Dir = dir
		return c
	}
	if out, err := in(program, "make", workbook).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}

	c := in(program, "desk", "--no-browser", workbook)
	said, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	defer c.Wait() //nolint:errcheck // it is ended below
	defer c.Process.Kill()
	address, err := bufio.NewReader(said).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	chromium.Always(t)
	b := chromium.Open(t, address[:len(address)-1], 1280, 860, "light")
	b.Until(`location.pathname === "/journaling" && document.querySelector("#foot .how")?.textContent === "laid"`)
	b.JS(`[...document.querySelectorAll("#people a")].find((a) => a.textContent.includes("Ottoline")).click()`)
	b.Until(`document.querySelector("#whose").textContent.includes("Ottoline")`)
	b.JS(`document.querySelectorAll(".take")[0].click()`)
	b.Until(`document.querySelector("#fit b").textContent && [...document.images].every((i) => i.loading === "lazy" || i.complete)`)
	b.JS(`new Promise((done) => setTimeout(done, 500))`)
	keep(t, "desk.png", b.Shot())

	for _, p := range []struct {
		name string
		page int
		dots string // to the inch
	}{{"guide.png", guidePage, "110"}, {"sheet.png", sheetPage, "110"}} {
		out, err := in("pdftoppm", "-png", "-r", p.dots, "-f", strconv.Itoa(p.page), "-l", strconv.Itoa(p.page), "-singlefile", "retreat.pdf").Output()
		if err != nil {
			t.Fatal(fmt.Errorf("pdftoppm: %w", err))
		}
		keep(t, p.name, out)
	}
}

// The pages of the sample's PDF that are shown.
const (
	guidePage = 3
	sheetPage = 12
)

// keep writes a picture with 256 colours at most: a third of the bytes, and nothing of it is a photograph.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	full, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	count := map[color.RGBA]int{}
	at := full.Bounds()
	few := image.NewRGBA(at)
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			r, g, b, _ := full.At(x, y).RGBA()
			c := color.RGBA{step(r), step(g), step(b), 255}
			few.SetRGBA(x, y, c)
			count[c]++
		}
	}
	edge := color.RGBA{190, 190, 190, 255} // so that a sheet ends somewhere on a white page
	for x := at.Min.X; x < at.Max.X; x++ {
		few.SetRGBA(x, at.Min.Y, edge)
		few.SetRGBA(x, at.Max.Y-1, edge)
	}
	for y := at.Min.Y; y < at.Max.Y; y++ {
		few.SetRGBA(at.Min.X, y, edge)
		few.SetRGBA(at.Max.X-1, y, edge)
	}
	count[edge] = at.Dx() * at.Dy() // it has a colour of its own
	var colours []color.RGBA
	for c := range count {
		colours = append(colours, c)
	}
	slices.SortFunc(colours, func(a, b color.RGBA) int {
		return cmp.Or(count[b]-count[a], cmp.Compare(a.R, b.R), cmp.Compare(a.G, b.G), cmp.Compare(a.B, b.B))
	})
	palette := make(color.Palette, 0, 256)
	for _, c := range colours[:min(256, len(colours))] {
		palette = append(palette, c)
	}
	out := image.NewPaletted(at, palette)
	draw.Draw(out, at, few, at.Min, draw.Src)
	var file bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&file, out); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, file.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	t.Logf("%s: %d x %d, %d bytes, %d of %d colours", name, at.Dx(), at.Dy(), file.Len(), len(palette), len(colours))
}

// step is one of 52 steps of a colour's part, white among them.
func step(v uint32) uint8 { return uint8((v>>8 + 2) / 5 * 5) }
