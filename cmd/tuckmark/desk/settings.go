package desk

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"sync/atomic"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/config/settled"
	"tuckmark/impose/typeset"
)

// The configuration is looked at as the workbook is: somebody may type in it while the desk is open, or put a font beside it.
const (
	configLooks = time.Second           // from one look at it to the next
	configRests = 4 * settled.RestTime  // how long another one has been there before it is taken over: half of one may look like the whole of a shorter one
	configWaits = 20 * settled.RestTime // how long a press waits until it rests; then it goes on by what held before
)

// configWatch is what is known of the configuration that is there, beside the one that the job goes by.
type configWatch struct {
	mutex sync.Mutex // held while it is looked at or written
	load  func() (*config.Settings, problem.List)
	tell  func()                          // pages how the job stands by it; takes no lock of ours
	wrong atomic.Pointer[problem.Problem] // why it is not taken over; nil: the job goes by it

	last  configSeen // that was seen, and that the job does not go by
	since time.Time  // when that was seen first
}

// configSeen tells configurations apart.
type configSeen struct {
	file   string // "": there is none
	digest save.Digest
	fonts  string // the files of its fonts
	wrong  string // why there are no settings
}

// configIs is how a configuration that was seen is to the one that the job goes by.
type configIs uint8

const (
	configSame configIs = iota
	configBusy          // another one, or none that can be read, which somebody may still be writing
	configOther
)

// see takes in what was seen.
func (w *configWatch) see(seen, held configSeen, at time.Time) configIs {
	switch {
	case seen == held:
		w.last = configSeen{}
		return configSame
	case seen != w.last:
		w.last, w.since = seen, at
		return configBusy
	case at.Sub(w.since) < configRests:
		return configBusy
	}
	return configOther
}

// watchConfig looks at the configuration again and again, until the context is done.
func (j *openJob) watchConfig(ctx context.Context, each time.Duration) {
	for pause(ctx, each) {
		j.watched.mutex.Lock()
		j.look()
		j.watched.mutex.Unlock()
	}
}

// lookAgain looks at the configuration before something is made or printed by it, and reports whether another one was taken over.
func (j *openJob) lookAgain() bool {
	j.watched.mutex.Lock()
	defer j.watched.mutex.Unlock()
	return j.lookOn()
}

// lookOn looks at the configuration until nobody writes it, and reports whether another one was taken over. The watch's mutex is held.
func (j *openJob) lookOn() bool {
	for end := time.Now().Add(configWaits); ; time.Sleep(settled.RestTime) {
		if is := j.look(); is != configBusy || time.Now().After(end) {
			return is == configOther && j.watched.wrong.Load() == nil
		}
	}
}

// look looks at the configuration, and takes over another one that is whole; what is wrong with it is told, and the job goes on by what held before. The
// watch's mutex is held.
func (j *openJob) look() configIs {
	w := &j.watched
	c, found := w.load()
	var seen configSeen
	var fonts []typeset.FontFile
	var wrong *problem.Problem
	if c == nil {
		wrong = firstError(found)
	} else {
		_, digest, err := readConfig(c.File)
		fonts = typeset.FontFiles(c.Fonts)
		if seen = (configSeen{file: c.File, digest: digest, fonts: fmt.Sprint(fonts)}); err != nil {
			wrong = unreadConfig(c.File, err)
		}
	}
	if wrong != nil {
		seen = configSeen{wrong: sentence(*wrong)}
	}
	is := w.see(seen, configSeen{file: j.layer.settings.Load().File, digest: *j.config.Load(), fonts: fmt.Sprint(*j.layer.files.Load())}, time.Now())
	switch {
	case is == configBusy:
		return is
	case is == configOther && wrong == nil:
		j.use(c, seen.digest, fonts)
	case wrong != nil:
		wrong.What = "what the configuration holds now is not taken over, and the job goes on by what it held before: " + wrong.What
	}
	if was := w.wrong.Swap(wrong); (was == nil) != (wrong == nil) || was != nil && sentence(*was) != sentence(*wrong) {
		w.tell()
		j.renewed()
	}
	return is
}

// wordsOtherConfig says why something is not done.
const wordsOtherConfig = "the configuration or its fonts were changed by another program meanwhile"

func unreadConfig(path string, err error) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the configuration cannot be read", Cause: plainReason(err), Disk: true}
}

// configFile is the configuration that changes are written to.
func (j *openJob) configFile() string {
	return cmp.Or(j.layer.settings.Load().File, filepath.Join(filepath.Dir(j.book.Path()), "tuckmark.yaml"))
}

// amend writes values into the job's tuckmark.yaml, in the first of some ways that can be, unless it would not be good any more, and takes over the
// settings that it comes to. What somebody else has changed since it was read is taken over first, and the person asked to look at it; so is what was
// changed here since the settings held that the ways were found by.
func (j *openJob) amend(by *config.Settings, ways ...[]config.Amendment) error {
	w := &j.watched
	w.mutex.Lock()
	defer w.mutex.Unlock()
	taken := j.lookOn()
	path := j.configFile()
	if p := w.wrong.Load(); p != nil {
		return p
	}
	data, digest, err := readConfig(path)
	if err != nil {
		return unreadConfig(path, err)
	}
	if taken || digest != *j.config.Load() {
		return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: wordsOtherConfig,
			Cause: "the job is laid by what it holds now, and what was changed here is not written", Hint: "load this page again, look at it, and change it once more if that is still wanted"}
	}
	if by != j.layer.settings.Load() {
		return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the configuration was changed elsewhere meanwhile", Hint: "load this page again, look at it, and change it once more if that is still wanted"}
	}
	var out []byte
	for _, way := range ways {
		if out, err = config.Amend(data, way); err == nil {
			break
		}
	}
	if err != nil {
		return err
	}
	if _, p := save.Update(save.System, path, out, digest); p != nil {
		return p
	}
	next, found := w.load()
	if next == nil {
		_, back := save.Update(save.System, path, data, save.DigestOf(out))
		if digest == "" && back == nil {
			os.Remove(path)
		}
		if p := firstError(found); p != nil {
			p.Place = problem.Place{}
			return p
		}
		return errAmended
	}
	j.use(next, save.DigestOf(out), typeset.FontFiles(next.Fonts))
	return nil
}

// use takes over settings, with the digest of the configuration that they were read from and the files of their fonts, and has the job laid by them.
func (j *openJob) use(c *config.Settings, digest save.Digest, fonts []typeset.FontFile) {
	j.config.Store(&digest)
	j.book.Use(c)
	j.layer.use(c, digest, fonts)
	j.layer.change()
	j.watched.tell() // there may be columns that nobody knows now, or no longer
	j.renewed()
}

// settingsOf are the settings of a job, with the digest of the configuration that they were read from, also where somebody saves that meanwhile. unread is why it
// cannot be read.
func (s *server) settingsOf(path string) (c *config.Settings, read save.Digest, found problem.List, unread error) {
	for range configTries {
		before := c
		c, found = s.options.Settings(path)
		if c == nil {
			return nil, "", found, nil
		}
		was := read
		if _, read, unread = readConfig(c.File); before != nil && before.File == c.File && was == read { // the same before and after
			break
		}
	}
	return c, read, found, unread
}

// configTries is how often a configuration is read that somebody saves again and again.
const configTries = 10

// readConfig reads a configuration; one that is not there is empty, and its digest too.
func readConfig(path string) ([]byte, save.Digest, error) {
	data, err := save.ReadPlain(path)
	if path == "" || errors.Is(err, fs.ErrNotExist) {
		return nil, "", nil
	}
	return data, save.DigestOf(data), err
}

var errAmended = errors.New("the configuration would not be good any more")

// Of the files of fonts so much is read to tell them from others, in bytes: all of them where they are no more than a job has, else the beginning of each, which
// lists its tables with a checksum of each (OpenType 1.9, table directory).
const (
	mostOfFonts = 64 << 20
	startOfFont = 4 << 10
)

// fontKeys tell the files of fonts from others of the same names.
func fontKeys(files []typeset.FontFile) []string {
	out := make([]string, len(files))
	left := int64(mostOfFonts)
	for i, f := range files {
		reads := min(f.Bytes, max(left, startOfFont))
		left -= reads
		out[i] = fmt.Sprint(filepath.Base(f.Path), f.Bytes, save.DigestOf(beginningOf(f.Path, reads)))
	}
	return out
}

// beginningOf is how a file begins; nothing, where it is none or cannot be read.
func beginningOf(path string, most int64) []byte {
	if info, err := os.Stat(path); err != nil || !info.Mode().IsRegular() { // a pipe would never end
		return nil
	}
	file, err := os.Open(path)
	if err != nil {
		return nil
	}
	defer file.Close()
	data, _ := io.ReadAll(io.LimitReader(file, most))
	return data
}
