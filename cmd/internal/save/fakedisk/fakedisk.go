// Package fakedisk is a disk in memory for tests. It knows what is through to the disk and what is not yet, so that a machine can be
// stopped at any step, and any step can fail.
package fakedisk

import (
	"errors"
	"io/fs"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
)

// Disk is such a disk.
type Disk struct {
	mu         sync.Mutex
	names      map[string]*content // as programs see them
	kept       map[string]*content // names that are through to the disk
	pairs      map[string]bool     // names that were exchanged, and may not be through to the disk: all are, or none
	locks      map[string]*byte    // by path, the one who holds it
	clock      time.Time
	steps      int
	stops      int // the step at which the machine stops; 0: it does not
	torn       *rand.Rand
	NoExchange bool                                  // it cannot exchange files
	Before     func(step int, op, path string) error // what makes a step fail; nil: nothing does
}

// content is what a file holds, and what of it is through to the disk.
type content struct {
	now, kept []byte
	changed   time.Time
}

// ErrStopped is every answer of a machine that has stopped.
var ErrStopped = errors.New("the machine has stopped")

// New is an empty disk. The clock is that of its files.
func New() *Disk {
	return &Disk{names: map[string]*content{}, kept: map[string]*content{}, pairs: map[string]bool{}, locks: map[string]*byte{}, clock: time.Unix(1_800_000_000, 0)}
}

// StopAt lets the machine stop at a step, in the middle of a write where it is one; chance says how much of it is done.
func (d *Disk) StopAt(step int, chance *rand.Rand) { d.stops, d.torn = step, chance }

// Steps is how many steps were made.
func (d *Disk) Steps() int {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.steps
}

// Restart is the disk as the machine finds it after it was stopped: what was through to it, and of the rest what chance has let through.
// Killed, without chance, is a process that was killed while the machine went on: all that it wrote is there.
func (d *Disk) Restart(chance *rand.Rand) *Disk {
	d.mu.Lock()
	defer d.mu.Unlock()
	after := New()
	after.clock = d.clock.Add(time.Minute)
	names := d.names
	if chance != nil {
		names = maps.Clone(d.kept)
		pairs := chance.IntN(2) == 0
		for _, n := range slices.Sorted(maps.Keys(d.names)) {
			if d.pairs[n] && pairs || !d.pairs[n] && chance.IntN(2) == 0 {
				names[n] = d.names[n]
			}
		}
		for _, n := range slices.Sorted(maps.Keys(d.kept)) {
			if d.names[n] == nil && chance.IntN(2) == 0 {
				delete(names, n)
			}
		}
	}
	for n, c := range names {
		data := c.now
		if chance != nil && !slices.Equal(c.now, c.kept) {
			data = c.kept
			switch chance.IntN(3) {
			case 0:
				data = c.now
			case 1: // a part of what was added
				least := min(len(c.kept), len(c.now))
				data = c.now[:least+chance.IntN(len(c.now)-least+1)]
			}
		}
		k := &content{now: slices.Clone(data), kept: slices.Clone(data), changed: c.changed}
		after.names[n], after.kept[n] = k, k
	}
	return after
}

// step counts a step, and says whether it can be made.
func (d *Disk) step(op, path string) error {
	d.steps++
	if d.stops > 0 && d.steps >= d.stops {
		return ErrStopped
	}
	if d.Before != nil {
		return d.Before(d.steps, op, path)
	}
	return nil
}

// Put lets another program write a file, through to the disk.
func (d *Disk) Put(path string, data []byte) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.clock = d.clock.Add(time.Second)
	c := &content{now: slices.Clone(data), kept: slices.Clone(data), changed: d.clock}
	d.names[path], d.kept[path] = c, c
}

// Names are those of all files.
func (d *Disk) Names() []string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return slices.Sorted(maps.Keys(d.names))
}

func (d *Disk) Target(path string) (string, *problem.Problem) { return path, nil }

func (d *Disk) Read(path string) ([]byte, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.stops > 0 && d.steps >= d.stops {
		return nil, ErrStopped
	}
	c := d.names[path]
	if c == nil {
		return nil, &fs.PathError{Op: "open", Path: path, Err: fs.ErrNotExist}
	}
	return slices.Clone(c.now), nil
}

type info struct {
	name    string
	changed time.Time
	size    int64
}

func (i info) Name() string       { return i.name }
func (i info) Size() int64        { return i.size }
func (i info) Mode() fs.FileMode  { return 0o644 }
func (i info) ModTime() time.Time { return i.changed }
func (i info) IsDir() bool        { return false }
func (i info) Sys() any           { return nil }

func (d *Disk) Stat(path string) (fs.FileInfo, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	c := d.names[path]
	if c == nil {
		return nil, &fs.PathError{Op: "stat", Path: path, Err: fs.ErrNotExist}
	}
	return info{filepath.Base(path), c.changed, int64(len(c.now))}, nil
}

func (d *Disk) MakeFolder(path string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.step("mkdir", path)
}

func (d *Disk) Create(path, _ string) (save.Writable, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step("create", path); err != nil {
		return nil, err
	}
	d.clock = d.clock.Add(time.Millisecond)
	c := &content{changed: d.clock}
	d.names[path] = c
	return &file{d, path, c}, nil
}

func (d *Disk) Open(path string) (save.Writable, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step("open", path); err != nil {
		return nil, err
	}
	c := d.names[path]
	if c == nil {
		c = &content{}
		d.names[path] = c
	}
	return &file{d, path, c}, nil
}

func (d *Disk) Rename(from, to string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step("rename", to); err != nil {
		return err
	}
	c := d.names[from]
	if c == nil {
		return &fs.PathError{Op: "rename", Path: from, Err: fs.ErrNotExist}
	}
	d.names[to] = c
	delete(d.names, from)
	return nil
}

func (d *Disk) Exchange(a, b string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.NoExchange {
		return errors.ErrUnsupported
	}
	if err := d.step("exchange", b); err != nil {
		return err
	}
	if d.names[a] == nil || d.names[b] == nil {
		return &fs.PathError{Op: "exchange", Path: b, Err: fs.ErrNotExist}
	}
	d.names[a], d.names[b] = d.names[b], d.names[a]
	d.pairs[a], d.pairs[b] = true, true
	return nil
}

func (d *Disk) Remove(path string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step("remove", path); err != nil {
		return err
	}
	delete(d.names, path)
	return nil
}

func (d *Disk) SyncFolder(path string) error {
	d.mu.Lock()
	defer d.mu.Unlock()
	if err := d.step("syncfolder", path); err != nil {
		return err
	}
	for n := range d.kept {
		if filepath.Dir(n) == filepath.Clean(path) && d.names[n] == nil {
			delete(d.kept, n)
		}
	}
	for n, c := range d.names {
		if filepath.Dir(n) == filepath.Clean(path) {
			d.kept[n] = c
			delete(d.pairs, n)
		}
	}
	return nil
}

// Release takes the file of a lock away, as who deletes its folder does: another process may take the lock.
func (d *Disk) Release(path string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	delete(d.locks, path)
}

func (d *Disk) Lock(path string) (save.Lock, error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if d.locks[path] != nil {
		return save.Lock{}, save.ErrLocked
	}
	mine := new(byte)
	d.locks[path] = mine
	holds := func() bool { return d.locks[path] == mine }
	return save.Lock{
		Unlock: func() {
			d.mu.Lock()
			defer d.mu.Unlock()
			if holds() {
				delete(d.locks, path)
			}
		},
		Holds: func() bool {
			d.mu.Lock()
			defer d.mu.Unlock()
			return holds()
		},
	}, nil
}

// Hold does nothing: the steps of this disk are made by one process.
func (d *Disk) Hold(string) (func(), error) { return func() {}, nil }

type file struct {
	d    *Disk
	path string
	c    *content
}

func (f *file) WriteAt(p []byte, at int64) (int, error) {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	err := f.d.step("write", f.path)
	if err != nil { // a part of it may be there all the same
		n := len(p) / 2
		if f.d.torn != nil && f.d.steps == f.d.stops {
			n = f.d.torn.IntN(len(p) + 1)
		} else if errors.Is(err, ErrStopped) {
			n = 0
		}
		p = p[:n]
	}
	if int(at) < len(f.c.kept) { // what is through to the disk shares its bytes with what programs see, up to its end
		f.c.now = slices.Clone(f.c.now)
	}
	if n := int(at) + len(p); n > len(f.c.now) {
		f.c.now = append(f.c.now, make([]byte, n-len(f.c.now))...)
	}
	copy(f.c.now[at:], p)
	f.d.clock = f.d.clock.Add(time.Millisecond)
	f.c.changed = f.d.clock
	return len(p), err
}

func (f *file) Sync() error {
	f.d.mu.Lock()
	defer f.d.mu.Unlock()
	if err := f.d.step("sync", f.path); err != nil {
		return err
	}
	f.c.kept = slices.Clip(f.c.now)
	return nil
}

func (f *file) Close() error { return nil }
