// Package journal is a file to which records are only ever added. What Append has returned for is on the disk, whatever happens to
// the process or the machine after it; a record that was being written then is not there, and those before it are.
//
// The file begins with a line that says what it is. A record is its length, a check and its bytes; lengths and checks are four bytes,
// the lowest first. The check is CRC-32C (Castagnoli, as in RFC 3720, B.4) over the check of the record before and the bytes of this one, so
// that what an earlier, broken-off attempt left behind a shorter record is never taken for one that follows it.
package journal

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"io/fs"
	"path/filepath"

	"tuckmark/cmd/internal/save"
)

const (
	head        = "tuckmark journal 1\n"
	frame       = 8         // bytes before those of a record
	longest     = 128 << 20 // bytes of a record
	mostOfAFile = 512 << 20
)

// Empty is how many bytes a journal without a record has.
const Empty = int64(len(head))

var castagnoli = crc32.MakeTable(crc32.Castagnoli)

// Journal is an open journal.
type Journal struct {
	disk save.Disk
	path string
	end  int64  // of the records that are on the disk
	last uint32 // check of the last of them
}

// parse takes a journal's bytes apart. End is where the whole records end, last the check of the last of them; whole reports that the bytes have the first
// line of a journal.
func parse(data []byte) (records [][]byte, end int, last uint32, whole bool) {
	if len(data) < len(head) || string(data[:len(head)]) != head {
		return nil, 0, 0, false
	}
	end = len(head)
	for {
		at := data[end:]
		if !fits(at) {
			return records, end, last, true
		}
		n := binary.LittleEndian.Uint32(at)
		body := at[frame : frame+int(n)]
		check := crc32.Update(last, castagnoli, body)
		if check != binary.LittleEndian.Uint32(at[4:]) {
			return records, end, last, true
		}
		records, last = append(records, body), check
		end += frame + int(n)
	}
}

// Open reads the journal at a path, and makes an empty one where there is none. What is at its end and no whole record is written over by what
// comes next. Strange is what stands there where it is no journal, or has more behind its last whole record than a record that was
// broken off: the caller may keep it.
func Open(d save.Disk, path string) (j *Journal, records [][]byte, strange []byte, err error) {
	j = &Journal{disk: d, path: path}
	if info, err := d.Stat(path); err == nil && info.Size() > mostOfAFile {
		return nil, nil, nil, errors.New("the journal is far too large")
	}
	data, err := d.Read(path)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, nil, nil, err
	}
	records, end, last, whole := parse(data)
	j.end, j.last = int64(end), last
	if !whole {
		if len(data) > 0 {
			strange = data
		}
		return j, nil, strange, j.Replace(nil)
	}
	if goesOn(data[end:], last) {
		strange = data
	}
	return j, records, strange, nil
}

// goesOn reports whether there is a whole record somewhere in what is behind the last one: then not its end was broken off, but
// something within was spoilt. Where the first length leads to an end, the record or its check was. Where it does not, that length may be what was spoilt: the
// check beside it is then that of all the rest, or of the record before the next.
func goesOn(rest []byte, last uint32) bool {
	if len(rest) < frame {
		return false
	}
	if fits(rest) {
		return true
	}
	check := binary.LittleEndian.Uint32(rest[4:])
	if crc32.Update(last, castagnoli, rest[frame:]) == check {
		return true
	}
	budget := 16 * len(rest) // bytes to look at: a text hardly ever looks like a length that fits, and what does so again and again is strange
	for at := frame + 1; at+frame < len(rest); at++ {
		next := rest[at:]
		if !fits(next) {
			continue
		}
		n := int(binary.LittleEndian.Uint32(next))
		if budget -= n; budget < 0 {
			return true
		}
		if crc32.Update(check, castagnoli, next[frame:frame+n]) == binary.LittleEndian.Uint32(next[4:]) {
			return true
		}
	}
	return false
}

// fits reports whether what begins with a frame has a record as long as that says.
func fits(data []byte) bool {
	if len(data) < frame {
		return false
	}
	n := binary.LittleEndian.Uint32(data)
	return n > 0 && n <= longest && uint64(len(data)-frame) >= uint64(n)
}

// Size is how many bytes the journal has on the disk.
func (j *Journal) Size() int64 { return j.end }

// ErrGone is that the file is not there any more, or has lost some of its end.
var ErrGone = errors.New("the journal is gone")

// Look looks whether the journal is in its place: ErrGone where it is not.
func (j *Journal) Look() error {
	switch info, err := j.disk.Stat(j.path); {
	case errors.Is(err, fs.ErrNotExist), err == nil && info.Size() < j.end:
		return ErrGone
	default:
		return err
	}
}

// Append adds records, all or none of them. After an error they may be given again, but for ErrGone, after which Replace makes a new journal. The
// file is opened each time: one that stays open would take records also when it has lost its name.
func (j *Journal) Append(records ...[]byte) error {
	for _, r := range records {
		if len(r) == 0 || len(r) > longest {
			return errors.New("no record can be empty, or so long")
		}
	}
	if err := j.Look(); err != nil {
		return err
	}
	f, err := j.disk.Open(j.path)
	if err != nil {
		return err
	}
	out, last := encode(nil, j.last, records)
	_, err = f.WriteAt(out, j.end)
	if err == nil {
		err = f.Sync()
	}
	_ = f.Close() // what counts is through to the disk already
	if err != nil {
		return err
	}
	j.end, j.last = j.end+int64(len(out)), last
	return nil
}

func encode(out []byte, last uint32, records [][]byte) ([]byte, uint32) {
	for _, r := range records {
		last = crc32.Update(last, castagnoli, r)
		out = binary.LittleEndian.AppendUint32(out, uint32(len(r)))
		out = binary.LittleEndian.AppendUint32(out, last)
		out = append(out, r...)
	}
	return out, last
}

// Replace makes the journal one of these records alone. It is the old one or the new one at any time.
func (j *Journal) Replace(records [][]byte) error {
	out, last := encode([]byte(head), 0, records)
	if err := j.disk.MakeFolder(filepath.Dir(j.path)); err != nil {
		return err
	}
	if err := save.Replace(j.disk, j.path, out); err != nil {
		if data, no := j.disk.Read(j.path); no == nil { // it may have taken its place all the same
			_, end, last, _ := parse(data)
			j.end, j.last = int64(end), last
		}
		return err
	}
	j.end, j.last = int64(len(out)), last
	return nil
}
