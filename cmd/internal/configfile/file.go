// Package configfile changes single settings in a tuckmark.yaml that people write, too: what else stands in it, its remarks and its
// order stay, and the settings' own checks have the last word before it is written.
//
//   - file.go reads the file, changes settings and writes it, unless somebody else has changed the same;
//   - tree.go finds a setting in the YAML and puts another value there;
//   - lines.go does the same to the lines of the file, so that those that do not change stay as they are typed.
package configfile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Path leads to a setting: keys of config/keys.md, and for a list the name of the item, or, where its items have none, the item's size:
// "trimmer", "longest"; "printers", "home", "margins", "bottom"; "stocks", "vellum", "sheets", "12 x 12", "price".
type Path []string

func (p Path) String() string { return strings.Join(p, ": ") }

// Change gives a setting another value, as it would be typed. Empty takes it out; what is not there yet is put there.
type Change struct {
	Path Path
	Text string
}

// File is a configuration file. Its methods may be called by several goroutines.
type File struct {
	mu   sync.Mutex
	disk save.Disk
	path string
	src  config.Source
	data []byte // as it was read
	read save.Digest
}

// Open opens the file that a job in a folder reads its settings from: the one that src leads to if it is in the working folder or in the
// job's, else tuckmark.yaml in the job's, which begins with what was found elsewhere. It is made when something is changed.
func Open(folder string, src config.Source) (*File, error) { return open(save.System, folder, src) }

func open(d save.Disk, folder string, src config.Source) (*File, error) {
	src.Near = folder
	f := &File{disk: d, src: src, path: src.File}
	if f.path == "" {
		s, _ := config.Load(src)
		f.path = filepath.Join(folder, "tuckmark.yaml")
		if s != nil && s.File != "" {
			switch filepath.Dir(s.File) {
			case filepath.Clean(src.Work), filepath.Clean(folder):
				f.path = s.File
			default:
				data, err := d.Read(s.File)
				if err != nil {
					return nil, unread(s.File, err)
				}
				f.data = data
			}
		} else if s == nil {
			f.path = f.there(src.Work, folder)
		}
	}
	switch data, err := d.Read(f.path); {
	case err == nil:
		f.data, f.read = data, save.DigestOf(data)
	case !errors.Is(err, fs.ErrNotExist):
		return nil, unread(f.path, err)
	}
	return f, nil
}

// there is the file in one of the folders, where that is not right; else where it would be made.
func (f *File) there(folders ...string) string {
	path := ""
	for _, folder := range folders {
		for _, name := range []string{"tuckmark.yaml", "tuckmark.yml"} {
			path = filepath.Join(folder, name)
			if _, err := f.disk.Stat(path); err == nil {
				return path
			}
		}
	}
	return filepath.Join(folders[len(folders)-1], "tuckmark.yaml")
}

func unread(path string, err error) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the configuration file cannot be read", Cause: save.Reason(err), Hint: "close it in other programs, or change its permissions", Disk: true}
}

// Path is where the file is, or will be.
func (f *File) Path() string { return f.path }

// Value is what stands in the file for a setting, as it is typed; ok is false where nothing does, or no single value.
func (f *File) Value(path Path) (text string, ok bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return valueIn(f.data, path)
}

func valueIn(data []byte, path Path) (text string, ok bool) {
	root, err := parse(data)
	if err != nil {
		return "", false
	}
	n := lookUp(root, path)
	if n == nil || n.Kind != yaml.ScalarNode {
		return "", false
	}
	return n.Value, true
}

// Foreign is a setting that somebody else has changed since it was read here.
type Foreign struct {
	Path         Path
	Mine, Theirs string
}

func (f *Foreign) Error() string {
	return fmt.Sprintf("%s was changed by another program: %s there, %s here", f.Path, measure.Quote(f.Theirs), measure.Quote(f.Mine))
}

// Set changes settings, all or none, and writes the file. What others have changed in it meanwhile stays. The settings are those that hold
// then; found says what is wrong where they are refused, and what is to be noted else. The error is a *Foreign where another program
// has changed one of the same settings to something else: set it once more to have it all the same. Else it is a *problem.Problem.
func (f *File) Set(changes ...Change) (s *config.Settings, found problem.List, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	now, read, err := f.look()
	if err != nil {
		return nil, nil, err
	}
	if read != f.read {
		for _, c := range changes {
			was, _ := valueIn(f.data, c.Path)
			if theirs, _ := valueIn(now, c.Path); theirs != was && theirs != c.Text {
				f.data, f.read = now, read
				return nil, nil, &Foreign{c.Path, c.Text, theirs}
			}
		}
		f.data, f.read = now, read
	}
	data := f.data
	for _, c := range changes {
		if data, err = put(data, c); err != nil {
			return nil, nil, err
		}
	}
	src := f.src
	src.File, src.Data = f.path, data
	if data == nil {
		src.Data = []byte{}
	}
	if s, found = config.Load(src); s == nil {
		return nil, found, &problem.Problem{Place: problem.Place{File: filepath.Base(f.path)}, What: "the settings are refused", Hint: "see what is wrong with each"}
	}
	if bytes.Equal(data, now) {
		return s, found, nil
	}
	if why := save.Update(f.disk, f.path, data, f.read); why != nil {
		return nil, found, why
	}
	f.data, f.read = data, save.DigestOf(data)
	return s, found, nil
}

// Reload reads the file again, and says whether another program has changed it.
func (f *File) Reload() (changed bool, err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	data, read, err := f.look()
	if err != nil || read == f.read {
		return false, err
	}
	f.data, f.read = data, read
	return true, nil
}

// look reads the file as it is. One that is not there yet holds what it is to begin with.
func (f *File) look() ([]byte, save.Digest, error) {
	data, err := f.disk.Read(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist) && f.read == "":
		return f.data, "", nil
	case errors.Is(err, fs.ErrNotExist): // somebody took it away: what was in it is put back with the next change
		return f.data, "", nil
	case err != nil:
		return nil, "", unread(f.path, err)
	}
	return data, save.DigestOf(data), nil
}

// put gives a setting another value in the bytes of a file.
func put(data []byte, c Change) ([]byte, error) {
	if len(c.Path) == 0 || slices.Contains(c.Path, "") || strings.ContainsAny(strings.Join(c.Path, "")+c.Text, "\n\r\x00") {
		return nil, &problem.Problem{What: "that is no setting", Hint: "the settings are listed in config/keys.md"}
	}
	root, err := parse(data)
	if err != nil {
		return nil, err
	}
	want, err := parse(data) // another tree, to be changed
	if err != nil {
		return nil, err
	}
	if want == nil {
		want = &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	}
	changed := change(want, c.Path, c.Text)
	if !changed {
		return data, nil
	}
	if lines, ok := editLines(data, root, c); ok {
		if got, err := parse(lines); err == nil && same(got, want) {
			return lines, nil
		}
	}
	var out bytes.Buffer
	e := yaml.NewEncoder(&out)
	e.SetIndent(2)
	if len(want.Content) == 0 {
		return out.Bytes(), nil
	}
	if err := errors.Join(e.Encode(want), e.Close()); err != nil {
		return nil, &problem.Problem{What: "the setting cannot be written", Cause: err.Error(), Hint: "change it in the file by hand"}
	}
	return out.Bytes(), nil
}

// parse reads a file as a tree; nil where nothing stands in it. The library may panic on what it does not expect.
func parse(data []byte) (root *yaml.Node, err error) {
	bad := &problem.Problem{What: "the configuration file cannot be understood", Hint: "mend it by hand, or move it away"}
	defer func() {
		if recover() != nil {
			root, err = nil, bad
		}
	}()
	var doc yaml.Node
	if yaml.Unmarshal(data, &doc) != nil {
		return nil, bad
	}
	if doc.Kind == 0 || len(doc.Content) == 0 {
		return nil, nil
	}
	if doc.Content[0].Kind != yaml.MappingNode {
		return nil, bad
	}
	return doc.Content[0], nil
}
