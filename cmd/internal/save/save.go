// Package save puts files on the disk for a front door, and keeps what is there safe while it does.
//
// In the order in which a set of files goes through it: guard.go refuses what would overwrite an input, ours.go what would replace a file of
// somebody's; seal.go tells whether a file of ours was changed since; save.go writes the files aside and renames them to their places, and yours.go
// gives what was changed another name; folders.go keeps other runs away meanwhile; aside.go has the folders aside, and clears away what was begun; reason.go
// and disk_*.go say in plain words what the system objected to. plain.go reads what is no pipe and no device, update.go writes a file of our own again, swap.go and exchange_*.go put it
// where it belongs without losing what another program saves at that moment, system.go is the file system
// for those that are written again and again, lock_*.go and folders.go hold locks.
//
// What it promises:
//
//   - No input is overwritten, whether a command has asked the guard before its work or not, and no two files become one.
//   - Nothing of somebody's is replaced: what stands at a file's place is known by its bytes for what an earlier run wrote.
//   - Nothing that somebody has changed is lost: a file of an earlier run that is not as it was written gets another name beside its place.
//   - All or none. Each file is written to the end, and through to the disk, before the first takes its place. If one cannot
//     take its place, those before it are put back as they were. A link stays a link, and a file keeps its permissions.
//   - The print last. The files take their places in the order in which they are given, so that a new print has everything that
//     belongs to it even if the run is killed between two: give last what people print.
//   - Aside is a folder beside the place, since only within one disk is a rename one step, which a file in the folder for
//     temporary files would not have; and a folder, since one name to remove and to know again is enough for the whole set.
//   - Nothing is left behind. What a set that fails has begun is cleared away at once, and Stop does so for a run that is
//     interrupted; what a killed run left, the next run into the same folder sweeps away when it is an hour old.
//
// Between processes each folder is locked by the system while a set takes its places there, so that the files of one run stay together:
// a print never stands beside the report of another run. The lock goes with the process, and leaves nothing in the folder.
//
// One lock is for all sets of the process. A set holds it while it makes a file or a folder aside, and while its files take
// their places; Stop takes it and keeps it. So no set is broken off half way, and none begins after Stop.
package save

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// File is something to write: where, what, and the flag that names it. One without a path is not wanted.
type File struct {
	Flag, Path string
	Data       []byte

	// Own says that the file stands in a folder of this program's, or is known to be its own, and is replaced whatever it holds. Of the others what
	// an earlier run wrote of the same kind is replaced, and nothing else.
	Own bool
	// Stays is what a file that is there may be, such as “a form that somebody filled in”, so that it is not replaced unless it holds the
	// same. Ours, if there is one, knows by its bytes what an earlier run wrote, which is replaced all the same.
	Stays string
	Ours  func(old []byte) bool
}

// Create writes files as a set, all or none, in this order, each but a program's own with a seal. What the guard refuses is a problem that is none of
// the disk.
func Create(files []File, g Guard) (Outcome, *problem.Problem) {
	var paths []string
	for _, f := range files {
		paths = append(paths, f.Path)
	}
	if p := g.Check(paths...); p != nil {
		return Outcome{}, p
	}
	var out outputs
	defer out.discard()
	for _, f := range files {
		if f.Path == "" {
			continue
		}
		if !f.Own {
			f.Data = Sealed(f.Data)
		}
		if p := out.write(f); p != nil {
			return Outcome{}, p
		}
	}
	return out.commit()
}

// outputs are files in the making. Each is written aside, into a folder of its own beside its place, and all are renamed
// to their places when all are complete: whatever happens before, what was there stays as it was. They take their places in
// the order of writing, and if one cannot, those before it are put back; so what people print is written last, and
// a new print has everything that belongs to it even if the run was killed between two.
type outputs struct {
	files []*output
	rooms map[string]string // the folder aside, by the folder beside it
}

type output struct {
	File         // as it is wanted
	path  string // where it has to be put
	aside string
	old   string // a second name of what was at its place while the set is renamed; "": nothing was

	same     bool // what is at its place has the same bytes
	replaces bool // an earlier run's file is at its place
	changed  bool // and somebody has changed it, so that its second name is to stay

	seen   fs.FileInfo   // what was at its place when that was decided
	placed []fs.FileInfo // the output in its place, and what was kept
}

// write makes one file of the set. The error is a problem that a person can mend.
func (o *outputs) write(wanted File) *problem.Problem {
	flag := wanted.Flag
	path := wanted.Path
	if !wanted.Own || !isLink(path) { // a link that somebody put in the place of our own file is replaced; where it leads is none of ours
		var p *problem.Problem
		if path, p = target(path, flag); p != nil {
			return p
		}
	}
	room, err := o.folderAside(filepath.Dir(path))
	if err != nil {
		return onPage(Unwritable(path, Reason(err), elsewhere("choose another folder", flag)), "look whether the folder is there and can be written to")
	}
	f := &output{File: wanted, path: path, aside: filepath.Join(room, fmt.Sprint(len(o.files), "-new"))}
	o.files = append(o.files, f)
	file, err := begin(f.aside, path)
	if err == nil {
		err = writeThrough(file, wanted.Data)
	}
	if err != nil {
		return onPage(Unwritable(path, Reason(err), "make room on the disk or "+elsewhere("choose another folder", flag)), "make room on the disk")
	}
	return nil
}

func isLink(path string) bool {
	info, err := os.Lstat(path)
	return err == nil && info.Mode()&fs.ModeSymlink != 0
}

// elsewhere is what to do, with the flag that does it, if there is one.
func elsewhere(what, flag string) string {
	if flag == "" {
		return what
	}
	return what + " with " + flag
}

// target is where a file that is to be called path has to be put: where a link leads, if that is one. What is there and is
// no file that may be replaced is a problem.
func target(path, flag string) (string, *problem.Problem) {
	other := elsewhere("give another name", flag)
	const away = "move what has that name to another folder, or rename it"
	if isLink(path) {
		real, err := filepath.EvalSymlinks(path)
		if err != nil {
			return "", onPage(Unwritable(path, "a link of that name leads to nothing", other), away)
		}
		path = real
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist): // nothing there; a folder that is not there is told when the file is made
		return path, nil
	case err != nil: // a name that is too long, a folder that is none
		return "", Unwritable(path, Reason(err), elsewhere("give another name or folder", flag))
	case info.IsDir():
		return "", onPage(Unwritable(path, "a folder of that name is there", other), away)
	case !info.Mode().IsRegular():
		return "", onPage(Unwritable(path, "what has that name is no file but a device or a pipe", other), away)
	case info.Mode().Perm()&0o222 == 0:
		return "", onPage(Unwritable(path, "the file there is protected against writing", other+", or lift the protection"), "lift the protection, or "+away)
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return "", onPage(Unwritable(path, Reason(err), "close the file in other programs, or "+other), "close the file in other programs, or "+away)
	}
	f.Close()
	return path, nil
}

// commit renames all files to their places, or none, while no other run does so in the same folders.
func (o *outputs) commit() (Outcome, *problem.Problem) {
	unlock, p := o.lockFolders()
	if p != nil {
		return Outcome{}, p
	}
	defer unlock()
	pending.Lock()
	defer pending.Unlock()
	for _, f := range o.files {
		if p := f.mayReplace(); p != nil {
			return Outcome{}, p
		}
	}
	var done Outcome
	for i, f := range o.files {
		if p := o.place(i); p != nil {
			return Outcome{}, o.back(i, p)
		}
		if f.same {
			done.Same = append(done.Same, f.Path)
		}
		if f.replaces {
			done.Replaced = append(done.Replaced, f.Path)
		}
		if f.changed {
			done.Yours = append(done.Yours, Yours{f.path, f.old})
		}
	}
	pending.written = true
	o.clear()
	return done, nil
}

// place renames the ith file of the set to its place. If it cannot, what was there is as it was.
func (o *outputs) place(i int) *problem.Problem {
	f := o.files[i]
	if there, err := os.Stat(f.path); err == nil && slices.ContainsFunc(o.files[:i], func(placed *output) bool { return placed.is(there) }) {
		return twoOutputs(f.path)
	}
	if !f.asSeen() {
		if p := f.mayReplace(); p != nil {
			return p
		}
	}
	if f.changed {
		if err := o.keep(f); err != nil {
			return cannotKeep(f, err)
		}
	} else if err := f.setAside(); err != nil {
		return onPage(Unwritable(f.path, "what is there cannot be kept safe meanwhile: "+Reason(err), "make room on the disk or "+elsewhere("choose another folder", f.Flag)), "make room on the disk")
	}
	if err := os.Rename(f.aside, f.path); err != nil {
		if f.changed {
			os.Remove(f.old) // which is at its place still
		}
		return onPage(Unwritable(f.path, Reason(err), "close the file in other programs, or "+elsewhere("give another name", f.Flag)), "close the file in other programs, or move it away")
	}
	for _, path := range []string{f.path, f.old} {
		if info, err := os.Stat(path); err == nil && (path == f.path || f.changed) {
			f.placed = append(f.placed, info)
		}
	}
	return nil
}

// IsThere reports the problem of a file that stays.
func IsThere(p *problem.Problem) bool { return p != nil && strings.HasPrefix(p.Cause, isThere) }

// is reports whether this output, which is in its place already, or what was kept of the file that was there, is the file that stands at another's:
// names that look different may lead to one place, where a folder is mounted twice, or the disk does not tell large letters from small ones.
func (f *output) is(there fs.FileInfo) bool {
	return slices.ContainsFunc(f.placed, func(own fs.FileInfo) bool { return os.SameFile(own, there) })
}

// setAside gives what is at a file's place a second name: a link, or a copy on a disk without links.
func (f *output) setAside() error {
	if _, err := os.Lstat(f.path); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	f.old = f.oldAside()
	if link(f.path, f.old) == nil {
		return nil
	}
	return f.copyOld()
}

// oldAside is the second name that goes when the set is in its places.
func (f *output) oldAside() string { return strings.TrimSuffix(f.aside, "new") + "old" }

// copyOld copies what is at a file's place aside.
func (f *output) copyOld() error {
	data, err := ReadPlain(f.path)
	if err != nil {
		return err
	}
	f.old = f.oldAside()
	old, err := create(f.old, f.path)
	if err != nil {
		return err
	}
	return writeThrough(old, data)
}

// HalfWritten is told where even putting back failed.
const HalfWritten = "only some of the files could be written"

// back puts the first n files back as they were.
func (o *outputs) back(n int, p *problem.Problem) *problem.Problem {
	for _, f := range o.files[:n] {
		var err error
		if f.old == "" {
			err = os.Remove(f.path)
		} else {
			err = os.Rename(f.old, f.path)
		}
		if err != nil {
			p.What, p.Cause = HalfWritten, p.Cause+"; "+f.path+" is new already and cannot be put back"
		}
	}
	return p
}

// discard removes what was written aside and did not get to its place.
func (o *outputs) discard() {
	pending.Lock()
	defer pending.Unlock()
	o.clear()
}

func (o *outputs) clear() {
	for _, r := range o.rooms {
		os.RemoveAll(r)
		delete(pending.rooms, r)
	}
	o.files, o.rooms = nil, nil
}
