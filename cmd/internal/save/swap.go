package save

import (
	"errors"
	"io/fs"
)

// Between the last look at a file and the step that puts another in its place somebody may save it. So the two files change places, and what came out is looked
// at: where it is not what was read, it goes back. What another program writes without a rename goes on into the same file, wherever that is meanwhile.

// errNotBack is that what another program has saved lies aside, and could not be put back.
var errNotBack = errors.New("what another program saved at the same moment is not back in its place")

// mostTurns is how often what another program saved is put back while that saves on.
const mostTurns = 100

// swap puts a file that was written aside, with the digest put, in the place of one that had the digest read. Where that is another one by now, it is
// errChanged, and what was there is there again.
func swap(d Disk, aside, path string, put, read Digest) error {
	if d.Exchange(aside, path) != nil { // on a disk that cannot, or where nothing is; what is wrong else is told by the renaming
		if err := unchanged(d, path, read); err != nil {
			return err
		}
		return d.Rename(aside, path)
	}
	out := digestAt(d, aside)
	if out == read {
		return d.Remove(aside)
	}
	for range mostTurns {
		if err := d.Exchange(aside, path); err != nil {
			return errors.Join(errNotBack, err)
		}
		there := put
		if put, out = out, digestAt(d, aside); out == there {
			return errChanged
		}
		// what came out was saved since the last turn, and is the later one
	}
	return errNotBack
}

// digestAt is the digest of a file; one that cannot be read has none of those that a file has.
func digestAt(d Disk, path string) Digest {
	data, err := d.Read(path)
	switch {
	case err == nil:
		return DigestOf(data)
	case errors.Is(err, fs.ErrNotExist):
		return ""
	}
	return "unread"
}

// Left is what an Update that was broken off has left aside; nil where there is nothing. It may be half of what it was to write, or what it was to replace, or
// what another program saved at that moment, which the next Update would write over.
func Left(d Disk, path string) []byte {
	path, p := d.Target(path)
	if p != nil {
		return nil
	}
	data, err := d.Read(asideName(path))
	if err != nil {
		return nil
	}
	return data
}

// RemoveLeft removes it.
func RemoveLeft(d Disk, path string) {
	if path, p := d.Target(path); p == nil {
		_ = d.Remove(asideName(path))
	}
}
