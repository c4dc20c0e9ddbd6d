package main

import (
	"cmp"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// wishes are the flags that say how a job is to be done; they stand on every command that reads one.
type wishes struct {
	config  string
	paper   string
	set     []string
	answers []string
	keys    map[string]*string

	printing printing // of the commands that print
}

// flags adds them to a command.
func (w *wishes) flags(c *cobra.Command) {
	w.settingFlags(c)
	f := c.Flags()
	f.StringVar(&w.paper, "paper", "", "take what lies in the folder from the Paper or Leftovers sheet of this `workbook`")
	f.StringArrayVar(&w.answers, "answers", nil, "hold back what this `file` of answers to the proof wants changed; may be repeated")
	for _, k := range [][2]string{
		{"gap", "waste between neighbouring blocks: auto or a `measure`"},
		{"effort", "how long to look for a better layout, as a `number` of tries for each block"},
	} {
		w.keys[k[0]] = f.String(k[0], "", k[1])
	}
}

// settingFlags adds those that every command with a configuration has.
func (w *wishes) settingFlags(c *cobra.Command) {
	f := c.Flags()
	f.StringVar(&w.config, "config", "", "read this configuration `file` instead of tuckmark.yaml")
	f.StringArrayVar(&w.set, "set", nil, "set a `key=value` of the configuration, such as type.smallest=8; may be repeated")
	w.keys = map[string]*string{"units": f.String("units", "", "`unit` of bare numbers: in, mm or cm")}
}

// settings resolves the configuration for a job whose first input is named.
func (w *wishes) settings(c *cobra.Command, first string) (*config.Settings, problem.List, error) {
	flags := map[string]string{}
	for k, v := range w.keys {
		if c.Flags().Changed(k) {
			flags[k] = *v
		}
	}
	for _, kv := range w.set {
		k, v, ok := strings.Cut(kv, "=")
		if !ok {
			return nil, nil, usagef("--set takes key=value, not “%s”", kv)
		}
		flags[strings.TrimSpace(k)] = v
	}
	work, err := os.Getwd()
	if err != nil {
		work = ""
	}
	near := first
	if info, err := os.Stat(first); err == nil && !info.IsDir() {
		near = filepath.Dir(first)
	}
	s, list := config.Load(config.Source{File: w.config, Near: near, Work: work, Env: os.Environ(), Flags: flags})
	return s, list, nil
}

// resolve is settings for a command that cannot go on with a wrong configuration: what is wrong is told.
func (w *wishes) resolve(c *cobra.Command, ui *ui, first string) (*config.Settings, problem.List, error) {
	s, problems, err := w.settings(c, first)
	if err != nil {
		return nil, nil, err
	}
	if problems.Errors() > 0 {
		ui.problems(problems, false)
		if slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Disk }) {
			return nil, nil, status(exitFile)
		}
		return nil, nil, status(exitUsage)
	}
	return s, problems, nil
}

// work is a job as far as it is done: each phase adds its part and its problems.
type work struct {
	settings *config.Settings
	files    []string
	fonts    *typeset.Library
	job      *intake.Job // nil where the blocks come from elsewhere than spreadsheets
	paper    []intake.Paper
	blocks   []intake.Block
	set      []typeset.Setting
	answers  answered
	plan     *impose.Plan
	held     []intake.Held
	problems problem.List
}

// prepare reads, sets and arranges. Every phase takes what the one before could use, so that all problems are found in
// one run.
func (w *wishes) prepare(c *cobra.Command, ui *ui, inputs []string) (*work, error) {
	settings, problems, err := w.resolve(c, ui, inputs[0])
	if err != nil {
		return nil, err
	}
	if err := w.printing.mirrored(ui, settings); err != nil {
		return nil, err
	}
	j := &work{settings: settings, files: inputs, problems: problems}
	job, found := intake.Read(inputs, settings)
	j.job = job
	ease(len(job.Blocks))
	j.problems = append(j.problems, found...)
	j.held = append(j.held, job.Held...)
	if w.paper != "" {
		bare(settings)
		other, found := intake.ReadPaper(w.paper, settings)
		j.problems = append(j.problems, found...)
		job.Paper = append(job.Paper, other...)
	}
	if len(job.Blocks) == 0 && found.Errors() == 0 {
		j.problems.Add(problem.Place{File: filepath.Base(inputs[0])}, "there is no journaling to print", "no row has a text",
			"fill in the form: a row for each block, with a name, the journaling and the measured space")
	}
	j.lay(ui, job.Blocks, job.Paper, w.answers)
	return j, nil
}

// lay sets and arranges the blocks, as far as the answers from the proof let them go.
func (j *work) lay(ui *ui, blocks []intake.Block, paper []intake.Paper, answers []string) {
	j.fonts = typeset.NewLibrary(j.settings.Fonts)
	ui.begin("setting")
	set, held, found := typeset.Set(j.fonts, blocks, j.settings, func(done int) { ui.progress(done, len(blocks)) })
	j.problems, j.held = append(j.problems, found...), append(j.held, held...)
	j.paper, j.blocks, j.set = paper, blocks, set
	set = j.judge(answers, set)
	ui.begin("packing")
	plan, held, found := impose.Arrange(set, paper, j.settings, ui.progress)
	ui.end()
	j.problems, j.held = append(j.problems, found...), append(j.held, held...)
	if j.job != nil {
		for i, p := range j.problems {
			j.problems[i].Place = j.job.Locate(p.Place)
		}
	}
	j.inOrder()
	plan.Hold(j.held)
	j.plan = plan
}

// inOrder sorts what the phases found and held into the order of the input, for a reader who goes through the rows. What lies
// in no table that was read, such as a line of the configuration, stands first, in the order in which it was found.
func (j *work) inOrder() {
	read, found := map[problem.Place]int{}, map[problem.Place]int{}
	if j.job != nil {
		for i, p := range j.job.Tables {
			read[p] = i + 1
		}
	}
	table := func(p problem.Place) problem.Place { return problem.Place{File: p.File, Sheet: p.Sheet} }
	see := func(p problem.Place) {
		if t := table(p); found[t] == 0 {
			found[t] = len(found) + 1
		}
	}
	for _, p := range j.problems {
		see(p.Place)
	}
	for _, h := range j.held {
		see(h.Place)
	}
	order := func(a, b problem.Place) int {
		ta, tb := table(a), table(b)
		return cmp.Or(cmp.Compare(read[ta], read[tb]), cmp.Compare(found[ta], found[tb]), cmp.Compare(a.Row, b.Row))
	}
	slices.SortStableFunc(j.problems, func(a, b problem.Problem) int { return order(a.Place, b.Place) })
	slices.SortStableFunc(j.held, func(a, b intake.Held) int { return order(a.Place, b.Place) })
}

// status is the exit status that the job's problems call for.
func (j *work) status() error {
	if slices.ContainsFunc(j.problems, func(p problem.Problem) bool { return p.Disk }) {
		return status(exitFile)
	}
	if j.problems.Errors() > 0 {
		return status(exitInput)
	}
	return nil
}

// whole reports whether every error belongs to a row, so that the rest can be made without it.
func (j *work) whole() bool {
	return !slices.ContainsFunc(j.problems, func(p problem.Problem) bool { return p.Severity == problem.Error && p.Place.Row == 0 })
}
