package main

import (
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/findings"
	"tuckmark/cmd/internal/host"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/plan"
)

// jobFlags are the flags that say how a job is to be done; they stand on every command that reads one.
type jobFlags struct {
	config  string
	paper   string
	set     []string
	reads   []string // the inputs
	answers []string
	columns []string
	keys    map[string]*string

	printing printing // of the commands that print
	undrawn  bool     // of one that only checks

	guard save.Guard // over what is read; resolve fills it
}

// flags adds them to a command.
func (w *jobFlags) flags(c *cobra.Command) {
	w.settingFlags(c)
	f := c.Flags()
	f.StringVar(&w.paper, "paper", "", "take what lies in the folder from the Paper or Leftovers sheet of this `workbook`")
	f.StringArrayVar(&w.answers, "answers", nil, "hold back what this `file` of answers to the proof wants changed; may be repeated")
	f.StringArrayVar(&w.columns, "column", nil, "say what a heading means, as `\"Left to right=Width\"`; may be repeated")
	for _, k := range [][2]string{
		{"gap", "waste between neighbouring blocks: auto or a `measure`"},
		{"effort", "how long to look for a better layout, as a `number` of tries for each block"},
	} {
		w.keys[k[0]] = f.String(k[0], "", k[1])
	}
}

// settingFlags adds those that every command with a configuration has.
func (w *jobFlags) settingFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&w.config, "config", "", "read this configuration `file` instead of tuckmark.yaml")
	f.StringArrayVar(&w.set, "set", nil, "set a `key=value` of the configuration, such as type.smallest=8; may be repeated")
	w.keys = map[string]*string{"units": f.String("units", "", "`unit` of bare numbers: in, mm or cm")}
}

// settings resolves the configuration for a job whose first input is named.
func (w *jobFlags) settings(c *cobra.Command, first string) (*config.Settings, problem.List, error) {
	flags, said := map[string]string{}, map[string]bool{}
	for k, v := range w.keys {
		if c.Flags().Changed(k) {
			flags[k], said[k] = *v, true
		}
	}
	for _, kv := range w.set {
		k, v, ok := strings.Cut(kv, "=")
		if !ok {
			return nil, nil, usagef("--set takes key=value, not “%s”", kv)
		}
		k = strings.TrimSpace(k)
		if said[strings.ToLower(k)] {
			return nil, nil, usagef("%s is set twice on the command line, and only one of them can count; set it once, with all that it is to have", k)
		}
		flags[k], said[strings.ToLower(k)] = v, true
	}
	work, err := os.Getwd()
	if err != nil {
		work = ""
	}
	near := first
	if info, err := os.Stat(first); err == nil && !info.IsDir() {
		near = filepath.Dir(first)
	}
	s, list := config.Load(config.Source{File: w.config, Near: near, Work: work, Reads: w.reads, Env: os.Environ(), Flags: flags,
		Columns: w.columns, Mirror: w.printing.mirror, PaperElsewhere: w.paper != ""})
	return s, list, nil
}

// resolve is settings for a command that cannot go on with a wrong configuration: what is wrong is told. The guard is over
// what the command reads from then on; what it is to write, as far as that is known before long work, is refused here.
func (w *jobFlags) resolve(c *cobra.Command, ui *ui, reads []string, writes ...string) (*config.Settings, problem.List, error) {
	first := "."
	if len(reads) > 0 {
		first = reads[0]
	}
	w.reads = reads
	s, problems, err := w.settings(c, first)
	if err != nil {
		return nil, nil, err
	}
	w.guard.Protect(reads...)
	w.guard.Protect(w.answers...)
	w.guard.Protect(w.paper, w.config)
	if s != nil {
		w.guard.Protect(s.File)
		w.guard.Protect(s.Fonts...)
	}
	if p := w.guard.Check(writes...); p != nil {
		return nil, nil, refused(p)
	}
	if problems.Errors() > 0 {
		ui.problems(problems, false)
		if slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Disk }) {
			return nil, nil, status(exitFile)
		}
		return nil, nil, status(exitUsage)
	}
	if p := save.Foreign(writes...); p != nil {
		return nil, nil, ui.disk(*p)
	}
	return s, problems, nil
}

// prepare reads the inputs, sets their texts and lays them out; all problems are found in one run.
func (w *jobFlags) prepare(c *cobra.Command, ui *ui, inputs []string, writes ...string) (*impose.Job, error) {
	settings, problems, err := w.resolve(c, ui, inputs, writes...)
	if err != nil {
		return nil, err
	}
	j := w.job(ui, settings, problems)
	if err := j.Read(c.Context(), inputs, w.paper); err != nil {
		return nil, err
	}
	host.LimitMemory(len(j.Blocks))
	for _, f := range w.answers {
		data, p := findings.ReadAnswers(f)
		if p != nil {
			j.Problems = append(j.Problems, *p)
			continue
		}
		j.Answer(filepath.Base(f), data)
	}
	return j, setAndArrange(c, ui, j)
}

// job is a job that shows its progress, and is looked at by the checker.
func (w *jobFlags) job(ui *ui, s *config.Settings, problems problem.List) *impose.Job {
	j := impose.New(s, problems)
	j.Progress = func(stage impose.Stage, done, of int) { ui.progress(stage.String(), done, of) }
	j.Checker, j.Undrawn = checker, w.undrawn
	return j
}

// checker is the plain checker; tests see what happens where it finds something.
var checker = plan.Check

// setAndArrange sets and arranges the blocks of a job.
func setAndArrange(c *cobra.Command, ui *ui, j *impose.Job) error {
	defer ui.end()
	if err := j.Set(c.Context()); err != nil {
		return err
	}
	host.LimitMemory(len(j.Typeset)) // what is held back needs little
	return j.Arrange(c.Context())
}

// statusOf is the exit status that a job's problems call for.
func statusOf(j *impose.Job) error {
	if slices.ContainsFunc(j.Problems, func(p problem.Problem) bool { return p.Disk }) {
		return status(exitFile)
	}
	if j.Problems.Errors() > 0 {
		return status(exitInput)
	}
	return nil
}
