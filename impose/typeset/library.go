package typeset

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log" //nolint:depguard // the library wants somebody to write to
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/fontscan"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Library finds faces by name: those that come with the program, those in folders, those of the machine. It reads
// folders and machine only when a name or a letter asks for them. Any number of goroutines may use it.
type Library struct {
	folders []string

	mu       sync.Mutex
	families map[string]*family // by folded name
	order    []*family
	inFolder bool               // the folders were read
	machine  []fontPrint        // nil: not scanned yet
	spare    map[string]*member // that lend a letter where the stopgaps do not; nil: none does
}

// fontPrint is what the scan of the machine knows of a font.
type fontPrint = fontscan.Footprint

// family is the faces that share a name.
type family struct {
	name, source string
	folded       bool // the name is not as the font writes it
	members      []*member
}

// member is a face that may not have been read yet.
type member struct {
	family *family
	aspect font.Aspect
	path   string // of its file, or empty
	index  int
	data   []byte

	once sync.Once
	face *Face
	err  error

	described bool
	covers    fontscan.RuneSet // the letters that it says it has, once described
}

// Name is a name that a font may be asked for by. Source says where it comes from: "built in", a file or "this machine".
type Name struct {
	Name, Source string
	Bold, Italic bool // whether it has such members
}

// Sources of a Name that are no file.
const (
	sourceBuiltIn = "built in"
	sourceMachine = "this machine"
)

// NewLibrary makes a library of the built-in faces, the font files in the folders and the fonts of the machine. Where a
// name stands for several, the earlier counts.
func NewLibrary(folders []string) *Library {
	l := &Library{folders: folders, families: map[string]*family{}, spare: map[string]*member{}}
	for _, b := range builtIn {
		f := l.family(b.name, sourceBuiltIn)
		for i, data := range b.faces {
			f.add(&member{data: data, aspect: aspect(i&1 != 0, i&2 != 0)})
		}
		for _, k := range b.known {
			l.families[fold(k)] = f
		}
	}
	return l
}

// fold is a name as names are compared: letter case, spaces, hyphens and low lines do not matter.
func fold(name string) string {
	return joiners.Replace(strings.ToLower(strings.Join(strings.Fields(name), "")))
}

var joiners = strings.NewReplacer("-", "", "_", "")

func aspect(bold, italic bool) font.Aspect {
	a := font.Aspect{Style: font.StyleNormal, Weight: font.WeightNormal, Stretch: font.StretchNormal}
	if bold {
		a.Weight = font.WeightBold
	}
	if italic {
		a.Style = font.StyleItalic
	}
	return a
}

// family is the family of a name, made when it is new. One of another source with the same name stays as it is.
func (l *Library) family(name, source string) *family {
	if f := l.families[fold(name)]; f != nil {
		if f.source == source {
			return f
		}
		return &family{} // shadowed
	}
	f := &family{name: name, source: source}
	l.families[fold(name)] = f
	l.order = append(l.order, f)
	return f
}

func (f *family) add(m *member) {
	m.family = f
	f.members = append(f.members, m)
}

// nameApart tells members apart that say the same of themselves, by the names of their files: there are families whose bold
// claims to be the regular.
func (f *family) nameApart() {
	for _, m := range f.members {
		same := func(o *member) bool { return o != m && o.aspect == m.aspect && o.path != "" && m.path != "" }
		if !slices.ContainsFunc(f.members, same) {
			continue
		}
		for _, o := range f.members {
			if o != m && !same(o) {
				continue
			}
			stem := strings.ToLower(filepath.Base(o.path))
			if strings.Contains(stem, "bold") && o.aspect.Weight < boldFrom {
				o.aspect.Weight = font.WeightBold
			}
			if strings.Contains(stem, "italic") || strings.Contains(stem, "oblique") {
				o.aspect.Style = font.StyleItalic
			}
		}
	}
}

// nearest is the member that comes closest to the style asked for: the slant first, then the weight, then a normal width.
func (f *family) nearest(bold, italic bool) *member {
	want := aspect(bold, italic)
	far := func(m *member) float32 {
		d := max(want.Weight-m.aspect.Weight, m.aspect.Weight-want.Weight)
		if m.aspect.Style != want.Style {
			d += 10000
		}
		return float32(d) + 2000*float32(max(m.aspect.Stretch-1, 1-m.aspect.Stretch))
	}
	return slices.MinFunc(f.members, func(a, b *member) int { return cmp.Compare(far(a), far(b)) })
}

// Face is the face of a name and style; the name may end in a style too (Serif Bold). Where the family lacks the style it is the nearest that it has. Its error is a
// sentence for people: no font has that name (and which is near), or the font's file cannot or must not be used.
func (l *Library) Face(name string, bold, italic bool) (*Face, error) {
	f, err := l.find(name)
	if err != nil {
		plain, b, i := styled(name)
		if f, _ = l.find(plain); f == nil || plain == name {
			return nil, err
		}
		bold, italic = bold || b, italic || i
	}
	return f.nearest(bold, italic).load()
}

// styled splits words of style off the end of a name: Serif Bold Italic is Serif, bold and italic.
func styled(name string) (plain string, bold, italic bool) {
	plain = strings.TrimSpace(name)
	for {
		cut := strings.LastIndexAny(plain, " -_")
		if cut <= 0 {
			return plain, bold, italic
		}
		switch strings.ToLower(plain[cut+1:]) {
		case "bold":
			bold = true
		case "italic", "oblique":
			italic = true
		case "bolditalic", "boldoblique":
			bold, italic = true, true
		case "regular", "roman", "book", "":
		default:
			return plain, bold, italic
		}
		plain = plain[:cut]
	}
}

// Names are all names, the built-in ones first, then those of the folders and of the machine.
func (l *Library) Names() []Name {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.readFolders()
	l.scan()
	out := make([]Name, 0, len(l.order))
	for _, f := range l.order {
		n := Name{Name: f.name, Source: f.source}
		for _, m := range f.members {
			n.Bold = n.Bold || m.aspect.Weight >= boldFrom
			n.Italic = n.Italic || m.aspect.Style == font.StyleItalic
		}
		f.unfold()
		n.Name = f.name
		out = append(out, n)
	}
	return out
}

// find looks in the built-in families, then in the folders, then on the machine.
func (l *Library) find(name string) (*family, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if f := l.known(name); f != nil {
		return f, nil
	}
	all := make([]string, 0, len(l.order))
	for _, f := range l.order {
		all = append(all, f.name)
	}
	hint := "write Sans, Serif, Typewriter, Roman or Book, or the name of a font that the printing computer has (in its fonts folder, or as its own)"
	if near := config.Near(name, all); near != "" {
		l.families[fold(near)].unfold()
		near = l.families[fold(near)].name
		hint = fmt.Sprintf("did you mean %s? Else %s", measure.Quote(near), hint)
	}
	return nil, &problem.Problem{What: fmt.Sprintf("there is no font %s", measure.Quote(name)), Hint: hint}
}

// known is the family of a name, or nil; the lock is held.
func (l *Library) known(name string) *family {
	key := fold(name)
	if f := l.families[key]; f != nil {
		return f
	}
	if l.readFolders(); l.families[key] != nil {
		return l.families[key]
	}
	l.scan()
	f := l.families[key]
	if f != nil {
		f.unfold()
	}
	return f
}

// A face in memory takes about four times the size of its file. One job may use so many bytes of fonts, or so many fonts where these are
// larger.
const (
	mostFontBytes = 64 << 20
	fewFonts      = 3
)

// tooMany are the names, of these in their order, whose fonts are more than one job may use.
func (l *Library) tooMany(names []string) map[string]bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	over, held, used := map[string]bool{}, int64(0), map[*family]bool{}
	for _, name := range names {
		f := l.known(name)
		if f == nil {
			plain, _, _ := styled(name)
			f = l.known(plain)
		}
		if f == nil || used[f] {
			continue
		}
		size := f.size()
		if size > 0 && len(used) >= fewFonts && held+size > mostFontBytes {
			over[name] = true
			continue
		}
		used[f], held = true, held+size
	}
	return over
}

// size is how large the files are of the members that serve for the four styles.
func (f *family) size() (n int64) {
	seen := map[*member]bool{}
	for style := range 4 {
		m := f.nearest(style&1 != 0, style&2 != 0)
		if seen[m] || m.path == "" {
			continue
		}
		seen[m] = true
		if info, err := os.Stat(m.path); err == nil && info.Size() <= largestFont {
			n += info.Size()
		}
	}
	return n
}

// readFolders enters the font files of the folders, by family, full name and file name. A file that cannot be read is
// entered by its file name, so that who asks for it learns why.
func (l *Library) readFolders() {
	if l.inFolder {
		return
	}
	l.inFolder = true
	for _, folder := range l.folders {
		inFolder(folder, l.readFile)
	}
	for _, f := range l.order {
		f.nameApart()
	}
}

// inFolder goes through the font files of a folder and of those in it.
func inFolder(folder string, f func(path string)) {
	_ = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && isFont(path) {
			f(path)
		}
		return nil // a folder that cannot be read has no fonts
	})
}

// FontFile is what is known of a font file in one of the folders without reading it.
type FontFile struct {
	Path    string
	Bytes   int64
	Written int64 // last, in nanoseconds since 1970
}

// FontFiles are those of the folders, in the order in which a library reads them: where they are others, a library made of them before is no longer true.
func FontFiles(folders []string) (out []FontFile) {
	for _, folder := range folders {
		inFolder(folder, func(path string) {
			one := FontFile{Path: path}
			if info, err := os.Stat(path); err == nil { // of what a link leads to
				one.Bytes, one.Written = info.Size(), info.ModTime().UnixNano()
			}
			out = append(out, one)
		})
	}
	return out
}

func isFont(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".ttf", ".otf", ".ttc", ".otc", ".woff", ".woff2":
		return true
	}
	return false
}

// largestFont is the largest font file that is read; the largest known ones, for Chinese, stay below.
const largestFont = 200 << 20

func (l *Library) readFile(path string) {
	stem := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	data, err := readFont(path)
	var found []*member
	if err == nil {
		found = describe(data, path)
	}
	if len(found) == 0 {
		l.family(stem, path).add(&member{path: path, aspect: aspect(false, false)})
		return
	}
	for _, m := range found {
		named, full := m.family.name, m.family.source
		if named == "" {
			named = stem
		}
		l.fromFolder(named, path).add(m)
		for _, other := range []string{full, stem} {
			if plain, _, _ := styled(other); other != "" && l.families[fold(other)] == nil && fold(plain) != fold(named) {
				l.families[fold(other)] = l.families[fold(named)]
			}
		}
	}
}

// fromFolder is a family whose members may lie in several files.
func (l *Library) fromFolder(name, path string) *family {
	if f := l.families[fold(name)]; f != nil && f.source != sourceBuiltIn {
		return f
	}
	return l.family(name, path)
}

func readFont(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() { // a device or a pipe would never end
		return nil, fs.ErrInvalid
	}
	if info.Size() > largestFont {
		return nil, fmt.Errorf("larger than any font")
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	return unpack(data)
}

// describe is what the fonts of a file say of themselves. Their family is provisional: its name is the family's, its source
// the full name of the face.
func describe(data []byte, path string) (out []*member) {
	defer func() {
		if recover() != nil {
			out = nil
		}
	}()
	lds, err := loaders(data)
	if err != nil {
		return nil
	}
	for i, ld := range lds {
		d, _ := font.Describe(ld, nil)
		m := &member{aspect: d.Aspect, path: path, index: i, family: &family{name: strings.TrimSpace(d.Family)}}
		m.aspect.SetDefaults()
		if n := nameTable(ld); n != nil {
			m.family.source = strings.TrimSpace(n.Name(nameFull))
		}
		out = append(out, m)
	}
	return out
}

// scan enters the machine's fonts. What they hold is kept in an index among the user's cached files, so that only the first
// scan takes long. Where there is no folder of the user's own for it, none is kept: in a folder that others write to, a name that
// can be guessed may be a link of theirs to a file of the user's.
func (l *Library) scan() {
	if l.machine != nil {
		return
	}
	l.readFolders() // whose names come first
	l.machine = []fontPrint{}
	dir := indexFolder()
	if dir == "" {
		var err error
		if dir, err = os.MkdirTemp("", "tuckmark-"); err != nil { // its name cannot be guessed, and nobody else may look into it
			return
		}
		defer os.RemoveAll(dir)
	}
	prints, err := systemFonts(dir)
	if err != nil {
		return // a machine without fonts
	}
	slices.SortFunc(prints, func(a, b fontPrint) int {
		return cmp.Or(cmp.Compare(a.Location.File, b.Location.File), cmp.Compare(a.Location.Index, b.Location.Index))
	})
	l.machine = prints
	for _, p := range prints {
		m := &member{path: p.Location.File, index: int(p.Location.Index), aspect: p.Aspect}
		m.aspect.SetDefaults()
		f := l.family(p.Family, sourceMachine)
		f.folded = true
		f.add(m)
	}
	for _, f := range l.order {
		f.nameApart()
	}
}

// indexFolder is the folder among the user's cached files for the index of the machine's fonts, or "" where it is not the user's
// alone: a link, or one that others may write to, or one that holds anything but files.
func indexFolder() string {
	dir, err := os.UserCacheDir()
	if err != nil || !filepath.IsAbs(dir) {
		return ""
	}
	dir = filepath.Join(dir, "tuckmark")
	if os.MkdirAll(dir, 0o700) != nil {
		return ""
	}
	info, err := os.Lstat(dir)
	if err != nil || !info.IsDir() || info.Mode().Perm()&0o022 != 0 && runtime.GOOS != "windows" { // which has other rights
		return ""
	}
	entries, err := os.ReadDir(dir)
	if err != nil || slices.ContainsFunc(entries, func(e fs.DirEntry) bool { return !e.Type().IsRegular() }) {
		return ""
	}
	return dir
}

func systemFonts(dir string) (prints []fontPrint, err error) {
	defer rescue(&err)
	prints, err = fontscan.SystemFonts(log.New(io.Discard, "", 0), dir)
	return slices.Clone(prints), err
}

// unfold gives a family of the machine the name that its font writes; the index of the machine's fonts keeps a folded one.
func (f *family) unfold() {
	if !f.folded {
		return
	}
	f.folded = false
	m := f.members[0]
	if data, err := readFont(m.path); err == nil {
		if d := describe(data, m.path); m.index < len(d) && d[m.index].family.name != "" {
			f.name = d[m.index].family.name
		}
	}
}

func (m *member) load() (*Face, error) {
	m.once.Do(func() {
		data := m.data
		if m.path != "" {
			if data, m.err = readFont(m.path); m.err != nil {
				m.err = &problem.Problem{What: fmt.Sprintf("the font file %s cannot be read", measure.Quote(filepath.Base(m.path))),
					Cause: "it is damaged, is no font, or may not be opened", Hint: "copy the file again, or choose another font"}
				return
			}
		}
		name := m.family.name
		if m.aspect.Weight >= boldFrom {
			name += " Bold"
		}
		if m.aspect.Style == font.StyleItalic {
			name += " Italic"
		}
		m.face, m.err = parseFace(data, m.index, name)
		var p *problem.Problem
		if errors.As(m.err, &p) && m.path != "" {
			p.What = fmt.Sprintf("%s (of the file %s)", p.What, measure.Quote(filepath.Base(m.path)))
		}
		if m.err == nil {
			m.face.bold, m.face.italic = m.aspect.Weight >= boldFrom, m.aspect.Style == font.StyleItalic
			if m.path == "" { // which is whole
				m.face.program = nil
			}
		}
	})
	return m.face, m.err
}

// lender is a face that has a letter with its marks and comes closest to the style, or nil: first of the built-in families,
// then of the folders, then of the machine.
func (l *Library) lender(cluster []rune, bold, italic bool) *Face {
	for _, name := range stopgaps {
		if f, err := l.Face(name, bold, italic); err == nil && f.lends(cluster) {
			return f
		}
	}
	l.mu.Lock()
	m, known := l.spare[string(cluster)]
	if !known {
		if m = l.inFolders(cluster); m == nil {
			l.scan()
			m = l.onMachine(cluster)
		}
		l.spare[string(cluster)] = m
	}
	l.mu.Unlock()
	if m == nil {
		return nil
	}
	if f, err := m.family.nearest(bold, italic).load(); err == nil && f.lends(cluster) {
		return f
	}
	f, _ := m.load() // which has it: that is why it was chosen
	return f
}

// inFolders is the first face of the folders that has the letter.
func (l *Library) inFolders(cluster []rune) *member {
	l.readFolders()
	for _, f := range l.order {
		if f.source == sourceBuiltIn || f.source == sourceMachine {
			continue
		}
		m := f.nearest(false, false)
		if !m.mayHave(cluster) {
			continue
		}
		if face, err := m.load(); err == nil && face.lends(cluster) {
			return m
		}
	}
	return nil
}

// onMachine is the first upright regular face that has the letter and can be used, else the first of any style.
func (l *Library) onMachine(cluster []rune) *member {
	var second *member
	for _, p := range l.machine {
		if !contains(p.Runes, cluster) {
			continue
		}
		f := l.families[fold(p.Family)]
		if f == nil || f.source != sourceMachine {
			continue
		}
		for _, m := range f.members {
			f.unfold()
			if m.path != p.Location.File || m.index != int(p.Location.Index) {
				continue
			}
			face, err := m.load()
			if err != nil || !face.lends(cluster) {
				continue
			}
			if m.aspect.Weight == font.WeightNormal && m.aspect.Style == font.StyleNormal {
				return m
			}
			if second == nil {
				second = m
			}
		}
	}
	return second
}
