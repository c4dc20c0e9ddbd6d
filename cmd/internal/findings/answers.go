package findings

import (
	"errors"
	"fmt"
	"os"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/config/settled"
	"tuckmark/impose"
)

// mostAnswers is how large a file of answers may be: some ten thousand answers, with what mail adds.
const mostAnswers = 8 << 20

// ReadAnswers reads a file of answers to the proof from the disk.
func ReadAnswers(path string) ([]byte, *problem.Problem) {
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
	case !info.Mode().IsRegular():
		return fault("the answers cannot be read", "this is a device or a pipe", "name a file; --answers may be repeated", true)
	case info.Size() > mostAnswers:
		return fault("this is no file of answers", "it is too large for one", "copy the answers from the proof into a text file", false)
	}
	data, err := settled.Read(path, mostAnswers)
	switch {
	case errors.Is(err, settled.ErrChanged):
		return fault("the answers cannot be read", err.Error(), "wait until the other program has saved it and try again", true)
	case err != nil:
		return fault("the answers cannot be read", save.Reason(err), "copy the file to this machine's disk and try again", true)
	}
	return data, nil
}

// Answers are the answers of a job in a sentence, or "" where none were read.
func Answers(j *impose.Job) string {
	if len(j.Answers) == 0 {
		return ""
	}
	o := j.Outcome
	given := ""
	if o.Given > 0 {
		given = fmt.Sprintf("%d given, ", o.Given)
	}
	said := fmt.Sprintf("Answers: %d approved, %s%d to change, %d open.", o.Approved, given, o.Wanted, o.Open)
	if len(o.Silent) > 0 {
		said += " Still to answer: " + problem.And(o.Silent) + "."
	}
	return said
}
