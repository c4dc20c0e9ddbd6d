package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose/guide/proof"
	"tuckmark/impose/typeset"
)

// mostAnswers is how large a file of answers may be: some ten thousand answers, with what mail adds.
const mostAnswers = 8 << 20

// answered is what has come back from the proof.
type answered struct {
	list    []proof.Answer
	outcome proof.Outcome
}

// judge reads the files of answers and holds back what is to be changed; it returns what can still be printed.
func (j *work) judge(files []string, set []typeset.Setting) []typeset.Setting {
	for _, f := range files {
		data, p := readAnswers(f)
		if p != nil {
			j.problems = append(j.problems, *p)
			continue
		}
		list, found := proof.ReadAnswers(filepath.Base(f), data)
		j.answers.list = append(j.answers.list, list...)
		j.problems = append(j.problems, found...)
	}
	if len(j.answers.list) == 0 {
		return set
	}
	o := proof.Judge(j.answers.list, j.blocks, j.settings)
	j.answers.outcome = o
	already := map[problem.Place]bool{}
	row := func(p problem.Place) problem.Place { return problem.Place{File: p.File, Sheet: p.Sheet, Row: p.Row} }
	for _, h := range j.held {
		already[row(h.Place)] = true
	}
	wanted := map[problem.Place]bool{}
	for _, h := range o.Held {
		wanted[h.Place] = true
		if !already[h.Place] { // a row is held once
			j.held = append(j.held, h)
		}
	}
	j.problems = append(j.problems, o.Problems...)
	var rest []typeset.Setting
	for _, s := range set {
		if !wanted[row(s.Block.Place)] {
			rest = append(rest, s)
		}
	}
	return rest
}

func readAnswers(path string) ([]byte, *problem.Problem) {
	fault := func(what, cause, hint string, disk bool) ([]byte, *problem.Problem) {
		return nil, &problem.Problem{Place: problem.Place{File: path}, What: what, Cause: cause, Hint: hint, Disk: disk}
	}
	info, err := os.Stat(path)
	switch {
	case err != nil:
		cause := save.Reason(err)
		if os.IsNotExist(err) {
			cause = "there is no such file"
		}
		return fault("the answers cannot be read", cause, "check the name after --answers", true)
	case info.IsDir():
		return fault("the answers cannot be read", "this is a folder", "name the file; --answers may be repeated", true)
	case info.Size() > mostAnswers:
		return fault("this is no file of answers", "it is too large for one", "copy the answers from the proof into a text file", false)
	}
	f, err := os.Open(path)
	if err != nil {
		return fault("the answers cannot be read", save.Reason(err), "check the name after --answers", true)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, mostAnswers))
	if err != nil {
		return fault("the answers cannot be read", save.Reason(err), "copy the file to this machine's disk and try again", true)
	}
	return data, nil
}

// said is the answers in a sentence, or "" where none were read.
func (j *work) said() string {
	if len(j.answers.list) == 0 {
		return ""
	}
	o := j.answers.outcome
	return fmt.Sprintf("Answers: %d approved, %d to change, %d open.", o.Approved, o.Wanted, o.Open)
}
