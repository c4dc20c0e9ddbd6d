package config

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/adrg/xdg"
	"github.com/spf13/viper"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/config/settled"
)

// Source is where settings may come from. The zero Source gives the built-in ones.
type Source struct {
	File  string            // named on the command line: it must be there, and no other is looked for
	Data  []byte            // what File is to be taken to hold, before it is written; nil: what it holds
	Work  string            // the working folder; the first place to look for tuckmark.yaml
	Near  string            // the folder of the first input; the second place
	Reads []string          // the inputs: a configuration beside one that does not count is told of
	Home  string            // the user's configuration folder, the last place; empty: tuckmark in the system's
	Env   []string          // NAME=value; those that start with TUCKMARK_ count
	Flags map[string]string // values of flags by key: "gap", "type.smallest"

	Columns        []string // what headings mean, "Left to right=Width", for one run; they come before those of the settings
	Mirror         []string // stocks to be printed mirrored, as typed; no setting, since it is asked for one run
	PaperElsewhere bool     // what lies in the folder is listed elsewhere, whole: the leftovers listed here are left out
}

// Load resolves the settings: the built-in values, then the first tuckmark.yaml found, then variables, then flags. All
// that is wrong is in the list; where that holds an error, there are no Settings.
func Load(src Source) (*Settings, problem.List) {
	r := &reader{work: src.Work}
	s := &Settings{}
	v := viper.New()
	for _, k := range settingKeys {
		if k.standard != "" {
			v.SetDefault(k.name, value{label: k.name, text: k.standard})
		}
	}
	file, name := r.find(src)
	s.File = name
	r.merge(v, file)
	r.merge(v, r.once(r.variables(src.Env)))
	for _, given := range r.once(r.flags(src.Flags)) {
		v.Set(given.key, given.value)
	}
	for _, k := range settingKeys {
		if got, ok := v.Get(k.name).(value); ok && r.shaped(got, k.shape) {
			k.read(r, s, got)
		}
	}
	r.resolve(s)
	s.Signs = r.signs
	if s.Currency == "" && len(s.Signs) > 0 {
		s.Currency = s.Signs[0] // as prices were typed
	}
	r.folders(s, src)
	r.checkWhole(s)
	r.told(s, src.Columns)
	r.mirror(s, src.Mirror)
	if src.PaperElsewhere {
		s.dropLeftovers()
	}
	slices.SortStableFunc(r.problems, func(a, b problem.Problem) int { return a.Place.Line - b.Place.Line })
	if r.problems.Errors() > 0 {
		return nil, r.problems
	}
	return s, r.problems
}

// entry is a value with the full key of its setting.
type entry struct {
	key   string
	value value
}

// merge lays entries over what viper holds. The library takes trees of maps; the leaves stay values.
func (r *reader) merge(v *viper.Viper, entries []entry) {
	tree := map[string]any{}
	for _, e := range entries {
		section, name, within := strings.Cut(e.key, ".")
		if !within {
			tree[section] = e.value
			continue
		}
		inner, _ := tree[section].(map[string]any)
		if inner == nil {
			inner = map[string]any{}
			tree[section] = inner
		}
		inner[name] = e.value
	}
	if err := v.MergeConfigMap(tree); err != nil {
		panic(err) // cannot happen: it fails on nothing but its own kinds of map
	}
}

// names are the file names that are looked for in each folder.
var names = [...]string{"tuckmark.yaml", "tuckmark.yml"}

const largestFile = 1 << 16 // some thousand lines

// find gives the entries of the first configuration file there is, and its name.
func (r *reader) find(src Source) ([]entry, string) {
	if src.File != "" {
		data, err := src.Data, error(nil)
		if data == nil {
			data, err = readSmallFile(src.File)
		} else if len(data) > largestFile {
			err = settled.ErrLarge
		}
		if err != nil {
			r.unread(src.File, err)
			return nil, ""
		}
		r.folder = filepath.Dir(src.File)
		return r.document(src.File, data), src.File
	}
	home := src.Home
	if home == "" {
		home = filepath.Join(xdg.ConfigHome, "tuckmark")
	}
	folders := []string{src.Work, src.Near, home}
	for i, folder := range folders {
		if folder == "" || slices.Contains(folders[:i], folder) {
			continue
		}
		if info, err := os.Stat(folder); err != nil || !info.IsDir() { // a home that is not there, or out of reach
			continue
		}
		for _, name := range names {
			path := filepath.Join(folder, name)
			data, err := readSmallFile(path)
			if errors.Is(err, fs.ErrNotExist) {
				continue
			}
			shown := path
			if within, err := filepath.Rel(src.Work, path); err == nil && filepath.IsLocal(within) {
				shown = within
			}
			if err != nil {
				r.unread(shown, err)
				return nil, ""
			}
			r.folder = folder
			r.noteOthers(src, path)
			return r.document(shown, data), path
		}
		// An editor that adds an ending of its own, on a system that does not show endings.
		if stray := filepath.Join(folder, names[0]+".txt"); exists(stray) {
			r.problems.Note(problem.Place{File: stray}, "this file is not read", "its name ends in .txt",
				"rename it to "+names[0]+" if it is meant to count")
		}
	}
	r.noteOthers(src, "")
	return nil, ""
}

// noteOthers tells of configurations beside the inputs that are not read, since another one is, or since only the first input's folder is looked at.
func (r *reader) noteOthers(src Source, read string) {
	why := "only one beside the first input is looked for"
	var counts fs.FileInfo // of what is read
	if read != "" {
		why = "that of " + read + " counts"
		counts, _ = os.Stat(read)
	}
	var seen []string
	for _, in := range append([]string{src.Near}, src.Reads...) {
		if info, err := os.Stat(in); err == nil && !info.IsDir() {
			in = filepath.Dir(in)
		}
		if in == "" || slices.Contains(seen, in) || len(seen) > 20 {
			continue
		}
		seen = append(seen, in)
		for _, name := range names {
			path := filepath.Join(in, name)
			info, err := os.Stat(path)
			if err != nil || info.IsDir() || counts != nil && os.SameFile(info, counts) {
				continue
			}
			r.problems.Note(problem.Place{File: path}, "this configuration is not read", why, "name it with --config if it is to count, or take its inputs by themselves")
		}
	}
}

func exists(path string) bool { _, err := os.Stat(path); return err == nil }

var errFolder = errors.New("a folder")

// readSmallFile reads a file of sensible size.
func readSmallFile(path string) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case info.IsDir():
		return nil, errFolder
	case !info.Mode().IsRegular():
		return nil, fs.ErrInvalid
	}
	return settled.Read(path, largestFile)
}

func (r *reader) unread(path string, err error) {
	p := problem.Problem{Place: problem.Place{File: path}, What: "the configuration file cannot be read", Disk: true,
		Hint: "check the file, or leave it out: everything works without one"}
	switch {
	case errors.Is(err, fs.ErrNotExist):
		p.What, p.Hint = "there is no such configuration file", "check its name and folder"
	case errors.Is(err, fs.ErrPermission):
		p.Cause, p.Hint = "you may not read it", "change its permissions"
	case errors.Is(err, settled.ErrChanged):
		p.Cause, p.Hint = "it was changed while it was read", "wait until the other program has saved it and try again"
	case errors.Is(err, settled.ErrLarge):
		p.Cause = "it is larger than any configuration"
	case errors.Is(err, errFolder):
		p.Cause = "it is a folder"
	case errors.Is(err, fs.ErrInvalid):
		p.Cause = "it is not a plain file"
	}
	r.problems = append(r.problems, p)
}

// document gives the entries of a configuration file, sections opened up.
func (r *reader) document(file string, data []byte) []entry {
	d := document{file: file, problems: &r.problems}
	top, ok := d.read(data)
	if !ok {
		return nil
	}
	var out []entry
	lines := map[string]int{}
	add := func(name string, v value) {
		key, ok := r.known(name, v, settingNames())
		if line := lines[key]; ok && line > 0 { // type: and type.font: both name it
			r.problems.Add(v.at, measure.Quote(key)+" is given twice", fmt.Sprintf("it stands in line %d already", line), "take one of the two out")
		} else if ok {
			lines[key] = v.at.Line
			out = append(out, entry{key, v})
		}
	}
	for _, part := range top.parts {
		switch {
		case part.kind == scalar && fullKey(part.label, part.text) != part.label:
			add(fullKey(part.label, part.text), part)
		case !section(part.label):
			add(part.label, part)
		case r.shaped(part, takesMapping):
			for _, inner := range part.parts {
				add(part.label+"."+inner.label, inner)
			}
		}
	}
	return out
}

// fullKey is the key of what may be said more briefly: trimmer: none says trimmer: by: none.
func fullKey(key, text string) string {
	if key == "trimmer" && fold(text) == "none" {
		return "trimmer.by"
	}
	return key
}

// section reports whether a top-level name holds settings of its own.
func section(name string) bool {
	return slices.ContainsFunc(settingNames(), func(key string) bool { return strings.HasPrefix(key, name+".") })
}

const prefix = "TUCKMARK_"

// variable is the name of the environment variable of a key.
func variable(key string) string {
	return prefix + strings.ToUpper(strings.NewReplacer(".", "_", "-", "_").Replace(key))
}

// variables gives the entries of the environment; of a name that is there twice the last counts, as for a command.
func (r *reader) variables(env []string) []entry {
	given := map[string]string{}
	for _, e := range env {
		if name, text, ok := strings.Cut(e, "="); ok && strings.HasPrefix(name, prefix) {
			given[name] = text
		}
	}
	byName := map[string]string{}
	var all []string
	for _, k := range settingKeys {
		byName[variable(k.name)] = k.name
		all = append(all, variable(k.name))
	}
	var out []entry
	for _, name := range slices.Sorted(maps.Keys(given)) {
		text := strings.TrimSpace(given[name])
		key, known := byName[name]
		if name == variable("trimmer") {
			key = fullKey("trimmer", text)
			known = key != "trimmer" || text == ""
		}
		switch {
		case !known:
			r.problems.Add(problem.Place{}, fmt.Sprintf("the environment variable %s stands for no setting", name), "",
				orElse(Near(name, all), "did you mean %s?", "take it out of the environment"))
		case text != "": // an empty variable is one that was taken back
			out = append(out, entry{key, value{label: name, text: text}})
		}
	}
	return out
}

func (r *reader) flags(flags map[string]string) []entry {
	var out []entry
	for _, key := range slices.Sorted(maps.Keys(flags)) {
		label := key + " (flag)"
		v := value{label: label, text: strings.TrimSpace(flags[key])}
		key = fullKey(key, v.text)
		if !slices.Contains(settingNames(), key) {
			v.label = key
			r.known(key, v, settingNames())
			continue
		}
		out = append(out, entry{key, v})
	}
	return out
}

// once tells of two entries of one source that say the same setting, as trimmer and trimmer.by do.
func (r *reader) once(entries []entry) []entry {
	said := map[string]string{}
	for _, e := range entries {
		if first, ok := said[e.key]; ok {
			r.problems.Add(problem.Place{}, fmt.Sprintf("%s and %s say the same setting", first, e.value.label), "only one of them can count", "leave one of them out")
		}
		said[e.key] = e.value.label
	}
	return entries
}

// orElse is the format filled with found, or other where nothing was found.
func orElse(found, format, other string) string {
	if found == "" {
		return other
	}
	return fmt.Sprintf(format, found)
}

// folders makes the fonts folders absolute and adds the one named fonts beside the job, if there is one.
func (r *reader) folders(s *Settings, src Source) {
	for _, beside := range []string{src.Work, src.Near} {
		path := filepath.Join(beside, "fonts")
		if info, err := os.Stat(path); beside != "" && err == nil && info.IsDir() {
			s.Fonts = append(s.Fonts, path)
		}
	}
	for i, path := range s.Fonts {
		if full, err := filepath.Abs(path); err == nil {
			s.Fonts[i] = full
		}
	}
	var once []string
	for _, path := range s.Fonts {
		if !slices.Contains(once, path) {
			once = append(once, path)
		}
	}
	s.Fonts = once
}

//go:embed builtin.yaml
var builtin []byte

// builtins are the stocks and printers that are there without configuration.
func builtins() (stocks, printers []value) {
	var problems problem.List
	top, _ := (&document{file: "builtin.yaml", problems: &problems}).read(builtin)
	if len(problems) > 0 {
		panic("builtin.yaml: " + problems[0].What) // cannot happen: a test reads it
	}
	for _, part := range top.parts {
		switch part.label {
		case "stocks":
			stocks = part.list
		case "printers":
			printers = part.list
		}
	}
	return stocks, printers
}
