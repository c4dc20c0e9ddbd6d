package desk

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"tuckmark/cmd/internal/save"
)

// lock is a file, readable by its user alone, that says which process has a job, or a folder without one, open, and how a second start asks it for a new
// secret.
type lock struct {
	Process int    `json:"process"`
	Host    string `json:"host"`
	Key     string `json:"key"`
	Folder  string `json:"folder"` // that it lies in
}

// copied reports a lock in a copy of the folder that it was made in, where that one is still there and has it: its desk shows the jobs of the other.
func (l lock) copied(file string) bool {
	here, err1 := os.Stat(filepath.Dir(file))
	there, err2 := os.Stat(l.Folder)
	if err1 != nil || err2 != nil || os.SameFile(here, there) {
		return false
	}
	first, err := readLock(filepath.Join(l.Folder, filepath.Base(file)))
	return err == nil && first == l
}

// keyHeader carries the key of a second start.
const keyHeader = "Tuckmark-Key"

// errTaken is a lock whose desk answers.
var errTaken = errors.New("another desk has it open")

// take writes the lock at the path. Where a desk that answers has it already, that one's address with a new secret comes back, with errTaken. What a desk
// left behind that no longer answers is taken over.
func (l lock) take(file string) (address string, err error) {
	data, err := json.Marshal(l)
	if err != nil {
		return "", err
	}
	if err := save.System.MakeFolder(filepath.Dir(file)); err != nil {
		return "", err
	}
	for range 3 {
		f, err := os.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err == nil {
			_, err = f.Write(data)
			return "", errors.Join(err, f.Close())
		}
		if !errors.Is(err, os.ErrExist) {
			return "", err
		}
		if other, err := readLock(file); err == nil && other.Key == l.Key && other.Folder != l.Folder {
			// A copy of a job that this desk had open: it would ask itself, and nobody has the copy.
		} else if address, ok := askAgain(file); ok {
			return address, errTaken
		}
		if err := os.Remove(file); err != nil && !errors.Is(err, os.ErrNotExist) {
			return "", err
		}
	}
	return "", fmt.Errorf("the lock %s cannot be taken", filepath.Base(file))
}

// keep puts the lock into its place again where somebody has taken it away from beside the workbook, so that a second start finds this desk. One that
// another desk has put there stays.
func (l lock) keep(ctx context.Context, file, book string) {
	for pause(ctx, time.Second) {
		if _, err := os.Stat(book); err != nil { // all may have been moved
			continue
		}
		if _, err := os.Stat(file); errors.Is(err, os.ErrNotExist) {
			_, _ = l.take(file) // tried again
		}
	}
}

// release removes the lock, if it is ours still, and the folder where nothing else is in it.
func (l lock) release(file string) {
	if other, err := readLock(file); err == nil && other == l {
		os.Remove(file)
		os.Remove(filepath.Dir(file))
	}
}

// readLock reads a lock. One that is being written is waited for.
func readLock(file string) (l lock, err error) {
	for range 5 {
		var data []byte
		if data, err = save.ReadPlain(file); err != nil {
			return l, err
		}
		if err = json.Unmarshal(data, &l); err == nil {
			return l, nil
		}
		time.Sleep(20 * time.Millisecond)
	}
	return lock{}, err
}

// askAgain asks the desk that a lock names for a new secret.
func askAgain(file string) (address string, ok bool) {
	l, err := readLock(file)
	if err != nil || !loopback(l.Host) || l.copied(file) {
		return "", false
	}
	ctx, stop := context.WithTimeout(context.Background(), 3*time.Second)
	defer stop()
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+l.Host+"/again", bytes.NewReader([]byte("{}")))
	if err != nil {
		return "", false
	}
	r.Header.Set("Origin", "http://"+l.Host)
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set(keyHeader, l.Key)
	client := &http.Client{Transport: &http.Transport{}, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(r)
	if err != nil {
		return "", false
	}
	defer answer.Body.Close()
	var said struct{ Secret string }
	if answer.StatusCode != http.StatusOK || json.NewDecoder(io.LimitReader(answer.Body, 4096)).Decode(&said) != nil {
		return "", false
	}
	return entry(l.Host, said.Secret), true
}
