package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// startView is what the start shows.
type startView struct {
	Folder  string
	Begun   []string // jobs in the folder, by title; a page names them by their number
	Files   []string // spreadsheets in the folder that are no job's
	Scripts []string
	Open    string // title of the job that is open
}

// mostListed is the most files that the start lists.
const mostListed = 200

// list finds the jobs and the spreadsheets of the folder.
func (s *server) list() (begun, files []string) {
	entries, err := os.ReadDir(s.options.Work)
	if err != nil {
		return nil, nil // then there is nothing to list; beginning a job says what is wrong
	}
	for _, e := range entries {
		name := e.Name()
		ext := strings.ToLower(filepath.Ext(name))
		switch {
		case e.IsDir() || strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~$") || len(begun)+len(files) >= mostListed:
		case jobbook.IsBook(filepath.Join(s.options.Work, name)):
			begun = append(begun, name)
		case (ext == ".xlsx" || ext == ".csv") && !strings.HasSuffix(name, "-report.xlsx"):
			files = append(files, name)
		}
	}
	return begun, files
}

func (s *server) startPage(w http.ResponseWriter, _ *http.Request) {
	v := startView{Folder: s.options.Work, Scripts: []string{"/desk.js", "/take.js", "/start.js"}}
	begun, files := s.list()
	for _, b := range begun {
		v.Begun = append(v.Begun, jobTitle(b))
	}
	v.Files = files
	if j := s.current(); j != nil {
		v.Open = jobTitle(j.book.Path())
	}
	page(w, "start", &v)
}

// mostName is how many letters the name of a job may have.
const mostName = 60

// jobName is a name for a job as somebody typed it, made a file's. No path can be in it.
func jobName(typed string) (string, *problem.Problem) {
	name := strings.Join(strings.Fields(typed), " ")
	bad := func(what, hint string) (string, *problem.Problem) {
		return "", &problem.Problem{What: what, Hint: hint}
	}
	switch {
	case name == "":
		return bad("the job needs a name", "type one, such as retreat")
	case utf8.RuneCountInString(name) > mostName:
		return bad("the name is too long", fmt.Sprintf("take one of up to %d letters", mostName))
	case strings.ContainsFunc(name, func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsMark(r) && !unicode.IsDigit(r) && !strings.ContainsRune(" -_.,'’()&+", r)
	}), strings.HasPrefix(name, "."), strings.HasSuffix(name, "."), !utf8.ValidString(name):
		return bad("a file cannot be called "+measure.Quote(name), "take letters, digits and spaces")
	}
	return name, nil
}

// newPath is where a job of that name is begun.
func (s *server) newPath(typed string) (string, *problem.Problem) {
	name, bad := jobName(typed)
	if bad != nil {
		return "", bad
	}
	return filepath.Join(s.options.Work, name+jobbook.Ending), nil
}

func (s *server) startNew(w http.ResponseWriter, r *http.Request) {
	var in struct{ Name string }
	if !read(w, r, &in) {
		return
	}
	s.begin(w, in.Name, nil)
}

// begin begins a job of a name, with what fill puts into it. A job into which nothing could be put is not begun. Where one of that name was begun before
// and only its workbook is gone, that one is opened as it was.
func (s *server) begin(w http.ResponseWriter, name string, fill func(*jobbook.Book) (problem.List, error)) {
	path, bad := s.newPath(name)
	if bad != nil {
		fail(w, http.StatusUnprocessableEntity, bad, nil)
		return
	}
	found, err := s.open(path, func(_ context.Context, c *config.Settings) (*jobbook.Book, problem.List, error) {
		if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
			if b, found := jobbook.Left(path, c); b != nil {
				found.Add(problem.Place{File: filepath.Base(path)}, "a job of this name was begun before, and nothing was added to it", "its workbook was gone, and what was typed is here again",
					"add files or a paste to it on this page, or begin another job under another name")
				return b, found, nil
			}
		}
		b, err := jobbook.New(path, c)
		if err != nil || fill == nil {
			return b, nil, err
		}
		found, err := fill(b)
		if notOnDisk(err) { // the rows are in the job, which tries to keep them and tells of it
			return b, found, nil
		}
		if err == nil && len(b.Rows(jobbook.Journaling))+len(b.Rows(jobbook.Paper)) == 0 {
			err = &Refused{Problems: append(slices.Clone(found), problem.Problem{What: "there is no journaling in it"})}
		}
		if err != nil {
			if b.Close() != nil {
				_ = b.Leave() // else it would write itself anew
			}
			os.Remove(path) // it was made a moment ago and holds nothing
		}
		return b, found, err
	})
	s.opened(w, found, err)
}

// opened tells the page where to go on, or what is wrong.
func (s *server) opened(w http.ResponseWriter, found problem.List, err error) {
	var other *elsewhere
	switch {
	case errors.As(err, &other):
		answer(w, map[string]any{"go": other.address})
	case err != nil:
		fail(w, http.StatusUnprocessableEntity, err, found)
	default:
		answer(w, map[string]any{"go": parts[0].Path, "problems": findingsOf(found)})
	}
}

// startOpen opens a job or takes in a spreadsheet of the folder, by its number in the list.
func (s *server) startOpen(w http.ResponseWriter, r *http.Request) {
	var in struct {
		Kind string // job or file
		Name string // as it is listed
	}
	if !read(w, r, &in) {
		return
	}
	begun, files := s.list()
	var at int
	list := files
	if in.Kind == "job" {
		list = begun
		at = slices.IndexFunc(begun, func(name string) bool { return jobTitle(name) == in.Name })
	} else {
		at = slices.Index(files, in.Name)
	}
	if at < 0 {
		fail(w, http.StatusNotFound, &problem.Problem{What: "the file is no longer there", Hint: "load this page again"}, nil)
		return
	}
	found, err := s.openFiles([]string{filepath.Join(s.options.Work, list[at])})
	s.opened(w, found, err)
}

// startDrop begins a job with files that were dropped.
func (s *server) startDrop(w http.ResponseWriter, r *http.Request) {
	s.dropped(w, r, func(files []string) {
		first := filepath.Base(files[0])
		name := strings.TrimSuffix(first, filepath.Ext(first))
		s.begin(w, name, func(b *jobbook.Book) (problem.List, error) {
			found, err := b.Take(r.Context(), files)
			if errors.Is(err, jobbook.ErrNothing) { // which is told where the job is not begun
				err = nil
			}
			return found, err
		})
	})
}

// startPaste begins a job with a table that was pasted.
func (s *server) startPaste(w http.ResponseWriter, r *http.Request) {
	var in struct{ Name, Text string }
	if !read(w, r, &in) {
		return
	}
	s.begin(w, in.Name, func(b *jobbook.Book) (problem.List, error) { return pasteInto(b, in.Text) })
}

func pasteInto(b *jobbook.Book, text string) (problem.List, error) {
	changes, found := b.Paste(text)
	if len(changes) == 0 {
		return found, refusedBy(&Refused{Problems: append(slices.Clone(found), problem.Problem{What: "there is no journaling in it"})}, nil)
	}
	_, err := b.Do(changes...)
	return found, err
}

// mostFiles is the most files that may be dropped at once.
const mostFiles = 50

// dropped puts files that came with a request into a folder of their own, under their names, and hands on their paths.
func (s *server) dropped(w http.ResponseWriter, r *http.Request, use func(files []string)) {
	form, err := r.MultipartReader()
	if err != nil {
		refuse(w, http.StatusUnsupportedMediaType, errors.New("files are sent as a form"))
		return
	}
	dir, err := os.MkdirTemp("", "tuckmark-drop-*")
	if err != nil {
		fail(w, http.StatusInsufficientStorage, &problem.Problem{What: "the files cannot be kept for a moment", Cause: plainReason(err)}, nil)
		return
	}
	defer os.RemoveAll(dir)
	s.taking.Add(1)
	defer s.taking.Add(-1)
	var files []string
	for {
		in, err := form.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			refuse(w, http.StatusRequestEntityTooLarge, errors.New("the files are too large: 32 MB at most"))
			return
		}
		if err != nil {
			refuse(w, http.StatusBadRequest, errors.New("that cannot be understood"))
			return
		}
		if len(files) >= mostFiles {
			refuse(w, http.StatusRequestEntityTooLarge, fmt.Errorf("these are more than %d files: nothing was taken over; drop them in parts", mostFiles))
			return
		}
		data, err := io.ReadAll(in)
		if errors.As(err, &large) {
			refuse(w, http.StatusRequestEntityTooLarge, errors.New("the files are too large: 32 MB at most"))
			return
		}
		var file string
		if err == nil {
			file, err = writeDropped(dir, in.FileName(), data)
		}
		if err != nil {
			fail(w, http.StatusInsufficientStorage, &problem.Problem{What: "the files cannot be kept for a moment", Cause: plainReason(err)}, nil)
			return
		}
		files = append(files, file)
	}
	if len(files) == 0 {
		fail(w, http.StatusUnprocessableEntity, &problem.Problem{What: "no file came with it"}, nil)
		return
	}
	use(files)
}

// writeDropped writes a file that was dropped into a folder, under its own name as far as that is a plain one and no other has it.
func writeDropped(dir, name string, data []byte) (file string, err error) {
	for n := 0; ; n++ {
		file = filepath.Join(dir, droppedName(name, n))
		f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600) // only the disk knows what names are the same to it
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		_, err = f.Write(data)
		return file, cmp.Or(err, f.Close())
	}
}

// droppedName is the nth name to try for a file that was dropped: its own as far as it is a plain one, and then that with a number. People send a form back under
// the name that it came with, messages say by this name whose file is meant, and it may say in what its measures are.
func droppedName(name string, n int) string {
	ext := filepath.Ext(name)
	stem := cmp.Or(plainStem(strings.TrimSuffix(name, ext)), "dropped")
	if n > 0 {
		stem += fmt.Sprintf(" (file %d of this name)", n+1) // an ending that intake/unitlines.go knows
	}
	if e, bad := jobName(strings.TrimPrefix(ext, ".")); bad == nil {
		return stem + "." + e
	}
	return stem
}

// plainStem is a file's name with blanks for what jobName refuses, and of a longer one its beginning and its end.
func plainStem(name string) string {
	name = strings.Map(func(r rune) rune {
		if _, bad := jobName("a" + string(r) + "a"); bad != nil {
			return ' '
		}
		return r
	}, name)
	all := []rune(strings.Trim(strings.Join(strings.Fields(name), " "), " ."))
	if len(all) > mostName {
		return strings.TrimSpace(string(all[:mostName/2-1])) + " " + strings.TrimSpace(string(all[len(all)-mostName/2:]))
	}
	return string(all)
}

// takeDrop adds the rows of dropped files to the job.
func (s *server) takeDrop(j *openJob, w http.ResponseWriter, r *http.Request) {
	s.dropped(w, r, func(files []string) {
		found, err := j.book.Take(r.Context(), files)
		if errors.Is(err, jobbook.ErrNothing) {
			nothing := problem.Problem{What: err.Error(), Cause: "there is no journaling in it"}
			if len(found) > 0 {
				nothing.Cause = ""
			}
			refusal{Why: sentence(nothing), Problems: findingsOf(found)}.write(w, http.StatusUnprocessableEntity)
			return
		}
		s.taken(j, w, found, err)
	})
}

// takePaste adds the rows of a pasted table to the job.
func (s *server) takePaste(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Text string }
	if !read(w, r, &in) {
		return
	}
	found, err := pasteInto(j.book, in.Text)
	s.taken(j, w, found, err)
}

func (s *server) taken(j *openJob, w http.ResponseWriter, found problem.List, err error) {
	switch {
	case notOnDisk(err): // told as a note: sent once more, the rows would be there twice
		note := *asProblem(err)
		note.Severity, note.Disk = problem.Note, false
		found = append(found, note)
	case err != nil:
		fail(w, http.StatusUnprocessableEntity, err, found)
		return
	}
	j.tell(slices.DeleteFunc(slices.Clone(found), func(p problem.Problem) bool { return p.Open == nil }), "") // what an answer settles stands until it is given
	j.layer.change()
	answer(w, map[string]any{"problems": findingsOf(found)})
}
