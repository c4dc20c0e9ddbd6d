package save

import (
	"bytes"
	"os"

	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/proof"
	"tuckmark/intake/table"
)

// A file that is to be written may have the name of one that a person made, or filled in. So what is there is replaced only if an earlier run wrote
// it, which shows in its bytes: whoever writes a set has to say nothing, and can forget nothing. If somebody has changed it since, it is set aside
// under another name.

// made is what a file is that this program makes. A print is of a subject, and "" is one that is not known.
type made struct {
	kind    kind
	subject press.Subject
}

type kind uint8

const (
	somebodys kind = iota
	aPrint
	aProof
	aPlan
	aReport
	aMarkedCopy
	aMendedCopy // a marked copy that somebody has worked in, as it is meant
)

// madeOf tells by its bytes what a file is.
func madeOf(data []byte) made {
	if press.IsOurs(data) {
		return made{kind: aPrint, subject: press.SubjectOf(data)}
	}
	return made{kind: kindOf(data)}
}

// kindOf tells the kinds of files that are no prints.
func kindOf(data []byte) kind {
	switch {
	case proof.IsPage(data):
		return aProof
	case plan.IsFile(data):
		return aPlan
	case !bytes.HasPrefix(data, []byte("PK")):
		return somebodys
	}
	switch as := table.WrittenAs(data); {
	case as == table.Report:
		return aReport
	case as == table.MarkedCopy && !IsUntouched(data):
		return aMendedCopy
	case as == table.MarkedCopy:
		return aMarkedCopy
	}
	return somebodys
}

// there is what stands at a path: its bytes, and none where there is no file, or an empty one, which holds nothing of anybody's.
func there(path string) (old []byte, found bool) {
	info, err := os.Stat(path)
	if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
		return nil, false
	}
	old, _ = ReadPlain(path) // what cannot be read is not known for ours
	return old, true
}

const (
	isThere  = "a file of that name is there, and may be "
	isntOurs = "a file of that name is there that tuckmark did not write"
	isMended = "a marked copy of that name is there, and somebody has worked in it"
)

// mayReplace looks whether what is at a file's place may be replaced, and has to be set aside, when no other run can put anything there any more.
func (f *output) mayReplace() *problem.Problem {
	f.same, f.replaces, f.changed = false, false, false
	if f.Own {
		return nil
	}
	f.seen, _ = os.Stat(f.path)
	old, found := there(f.path)
	if f.same = found && bytes.Equal(old, f.Data); !found || f.same {
		return nil
	}
	if f.Ours == nil || !f.Ours(old) {
		if f.Stays != "" {
			return stays(f.Path, f.Flag, isThere+f.Stays)
		}
		if p := replaces(f.Path, f.Flag, madeOf(old), madeOf(f.Data)); p != nil {
			return p
		}
	}
	f.replaces, f.changed = true, !IsUntouched(old)
	return nil
}

// asSeen reports whether what is at the file's place is what mayReplace has looked at: another program may have saved there since.
func (f *output) asSeen() bool {
	if f.Own {
		return true
	}
	now, err := os.Stat(f.path)
	if err != nil || f.seen == nil {
		return err != nil && f.seen == nil
	}
	return os.SameFile(now, f.seen) && now.ModTime().Equal(f.seen.ModTime()) && now.Size() == f.seen.Size()
}

// replaces looks whether one kind of file may take the place of another.
func replaces(path, flag string, old, new made) *problem.Problem {
	switch {
	case old.kind == aMendedCopy:
		return stays(path, flag, isMended)
	case old.kind == somebodys:
		return stays(path, flag, isntOurs)
	case old.kind == aPrint && new.kind == aPrint && old.subject == "":
		return nil // it comes from before they said what they print
	case old != new:
		return stays(path, flag, "a file of another kind has that name")
	}
	return nil
}

func stays(path, flag, why string) *problem.Problem {
	const away = "move the file away; it can be removed if it is not wanted"
	return onPage(Unwritable(path, why, elsewhere("give another name", flag)+", or "+away), away)
}

// Foreign is the problem of the first path at which a file is that Create would not replace, whatever it is to be; "" is none. A command asks
// before long work, so that nobody waits for what is refused.
func Foreign(paths ...string) *problem.Problem {
	for _, path := range paths {
		if old, found := there(path); found && old != nil { // else it is told that it cannot be written
			kind := madeOf(old)
			if p := replaces(path, "", kind, kind); p != nil {
				return p
			}
		}
	}
	return nil
}
