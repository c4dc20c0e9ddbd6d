package save

import (
	"errors"
	"io/fs"

	"tuckmark/config/problem"
)

// Unwritable is the problem of a file that cannot be written.
func Unwritable(path, cause, hint string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: path}, What: "the file cannot be written", Cause: cause, Hint: hint, Disk: true}
}

// onPage gives a problem the hint that it has where nobody names files.
func onPage(p *problem.Problem, hint string) *problem.Problem {
	p.OnPage = hint
	return p
}

// Reason says in plain words what the system objected to.
func Reason(err error) string {
	if why := diskReason(err); why != "" {
		return why
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "this user may not write there"
	case errors.Is(err, fs.ErrNotExist):
		return "the folder does not exist"
	case errors.Is(err, errLink):
		return "a link stands where a folder of our own has to be"
	}
	for _, odd := range []error{errNoFile, errLarge} {
		if errors.Is(err, odd) {
			return "what has that name is " + odd.Error()
		}
	}
	return "the system refused it"
}
