// Package impose is the whole job as one value: spreadsheets are read, every text is set, the blocks are laid on their stock,
// the plan is checked, its pages are drawn, and all that a person takes away is written as bytes, which the caller saves.
//
//	job.go      the job and its steps up to the plan
//	short.go    how much paper is lacking
//	again.go    blocks of an earlier run, and what is not as it was then
//	answers.go  what came back from the proof
//	order.go    what was found and held, in the order of the input
//	trimming.go how much there is to cut
//	output.go   pages and files
//	note.go     the same for one block on a piece in hand
//	trial.go    one block by itself, while it is typed
//
// Every step takes what the one before could use, so that one run finds all problems. A front door - the command line, or
// another - holds a Job and says what it found in its own words; nothing here knows of a terminal.
package impose

import (
	"context"
	"path/filepath"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
	"tuckmark/impose/proof"
	"tuckmark/impose/report"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// Stage is a step that may take long.
type Stage uint8

// The stages that tell how far they are.
const (
	Reading Stage = iota
	Setting
	Packing
	Drawing
	Reporting
)

func (s Stage) String() string {
	return [...]string{"reading", "setting", "packing", "drawing", "reporting"}[s]
}

// Job is a job as far as it is done.
type Job struct {
	Settings *config.Settings
	Progress func(stage Stage, done, of int) // told now and then how far a stage is, by one goroutine at a time; may be nil
	Checker  func(*plan.Plan, []intake.Block, *config.Settings) []string
	Undrawn  bool // nothing will be drawn or cut, which saves most of the memory and the thought about cuts

	Files    []string         // that were read, as they were named
	Input    *intake.Job      // what spreadsheets held; nil where the blocks come from elsewhere
	Fonts    *typeset.Library // that texts are set in, from Set on; a front door that sets a job again hands on those that are loaded
	Blocks   []intake.Block
	Paper    []intake.Paper    // rows that list what lies in the folder
	Typeset  []typeset.Setting // blocks that could be set, in the order of the blocks
	Answers  []proof.Answer    // that came back from the proof
	Outcome  proof.Outcome     // what they come to, from Arrange on
	Plan     *plan.Plan
	Held     []intake.Held
	Problems problem.List
	Unlike   problem.List // notes, also among the problems: how a run that is redone in part was made otherwise

	refused problem.List      // answers that cannot be taken
	laid    []typeset.Setting // what was to be laid out
	earlier *report.Earlier   // the run that is redone in part; nil: none
	hand    measure.Size      // the piece that the one block of a note is for; nothing: any
	title   string
	drawn   *drawn
}

// New is a job that is still to be read. Problems are those of the settings.
func New(s *config.Settings, problems problem.List) *Job {
	return &Job{Settings: s, Problems: problems, Checker: plan.Check}
}

// Read reads the files and folders of journaling. Paper is a workbook that lists what lies in the folder, or "".
func (j *Job) Read(ctx context.Context, paths []string, paper string) error {
	j.report(Reading, 0, 1)
	input, found := intake.ReadContext(ctx, paths, j.Settings, func(done, of int) { j.report(Reading, done, of) })
	if err := ctx.Err(); err != nil {
		return err
	}
	return j.take(ctx, paths, paper, input, found)
}

// ReadTables is Read for tables that came by another way than the disk.
func (j *Job) ReadTables(ctx context.Context, tables []*table.File, paper string) error {
	var names []string
	for _, t := range tables {
		names = append(names, t.Path)
	}
	input, found := intake.ReadTables(tables, j.Settings)
	return j.take(ctx, names, paper, input, found)
}

func (j *Job) take(ctx context.Context, paths []string, paper string, input *intake.Job, found problem.List) error {
	j.Files, j.Input = paths, input
	j.Problems = append(j.Problems, found...)
	j.Held = append(j.Held, input.Held...)
	j.Blocks, j.Paper = input.Blocks, input.Paper
	if paper != "" {
		rows, found := intake.ReadPaper(paper, j.Settings)
		found = slices.DeleteFunc(found, func(p problem.Problem) bool { // the file is read for its journaling, too
			return p.Severity == problem.Note && slices.Contains(input.Tables, problem.Place{File: p.Place.File, Sheet: p.Place.Sheet})
		})
		all, twice := input.WithList(rows, j.Settings.Unit)
		j.Paper, j.Problems = all, append(append(j.Problems, found...), twice...)
	}
	j.currency()
	if len(input.Blocks) == 0 && found.Errors() == 0 {
		j.Problems.Add(problem.Place{File: problem.Line(filepath.Base(paths[0]))}, "there is no journaling to print", "no row has a text",
			"fill in the form: a row for each block, with a name, the journaling and the measured space")
	}
	return ctx.Err()
}

// currency has amounts carry the sign that was typed with the prices of the paper, where the settings name none, and tells of other ones.
func (j *Job) currency() {
	told, signs := map[string]bool{}, slices.Clone(j.Settings.Signs)
	for _, p := range j.Paper {
		if p.Sign == "" {
			continue
		}
		if j.Settings.Currency == "" {
			s := *j.Settings
			s.Currency = p.Sign
			j.Settings = &s
		}
		if other := signs.Take(p.Sign); other != "" && !told[p.Sign] {
			told[p.Sign] = true
			j.Problems = append(j.Problems, config.OtherSign(p.Place, p.Sign, other))
		}
	}
}

// sheets are the paper that a stock's blocks can go on: what lies at hand, or the piece that the one block is for.
func (j *Job) sheets(stock config.Stock) []config.Sheet {
	if j.hand != (measure.Size{}) {
		return []config.Sheet{{Size: j.hand, Count: 1, Leftover: true}}
	}
	return intake.AtHand(stock, j.Paper)
}

// Set sets every block as large as its space allows. What answers give of texts and spaces is in their rows then.
func (j *Job) Set(ctx context.Context) error {
	j.report(Setting, 0, len(j.Blocks))
	j.fillIn()
	if j.Fonts == nil {
		j.Fonts = typeset.NewLibrary(j.Settings.Fonts)
	}
	j.Problems = append(j.Problems, layout.GiveWay(j.Blocks, j.sheets, j.Settings)...)
	work := typeset.Set
	if j.Undrawn {
		work = typeset.Measure
	}
	set, held, found := work(ctx, j.Fonts, j.Blocks, j.Settings, func(done int) { j.report(Setting, done, len(j.Blocks)) })
	j.Typeset = set
	j.Problems, j.Held = append(j.Problems, found...), append(j.Held, held...)
	return ctx.Err()
}

// Arrange lays the set blocks out, as far as the answers to the proof let them go.
func (j *Job) Arrange(ctx context.Context) error {
	j.report(Packing, 0, 1)
	j.laid = j.toLay()
	arrange := layout.Arrange
	if j.Undrawn {
		arrange = layout.Sketch
	}
	p, held, found := arrange(ctx, j.laid, j.Paper, j.Settings, func(done, of int) { j.report(Packing, done, of) })
	j.Plan = p
	j.Problems, j.Held = append(j.Problems, found...), append(j.Held, held...)
	if j.Input != nil {
		for i := range j.Problems {
			j.Problems[i].Place = j.Input.Locate(j.Problems[i].Place)
		}
	}
	if j.earlier != nil {
		j.earlier.Hint(j.Problems, layout.MorePaper)
	}
	j.inOrder()
	p.Held = j.Held
	return ctx.Err()
}

// Check says which promises the plan breaks: none, or it is a fault of this program and must not be printed.
func (j *Job) Check() []string { return j.Checker(j.Plan, j.Blocks, j.Settings) }

// Advise looks for what would save a sheet of each stock.
func (j *Job) Advise(ctx context.Context) []layout.Advice {
	return layout.Advise(ctx, j.Plan, j.Typeset, j.Paper, j.Settings)
}

func (j *Job) report(stage Stage, done, of int) {
	if j.Progress != nil {
		j.Progress(stage, done, of)
	}
}
