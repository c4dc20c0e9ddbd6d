package journal

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
)

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func texts(records [][]byte) (out []string) {
	for _, r := range records {
		out = append(out, string(r))
	}
	return out
}

// What was appended is read again in its order, across openings, and on a real disk.
func TestAppendAndRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal")
	var want []string
	for i := range 3 {
		j, records, strange, err := Open(save.System, path)
		must(t, err)
		if got := texts(records); !reflect.DeepEqual(got, want) || strange != nil {
			t.Fatalf("opening %d: %q, want %q", i, got, want)
		}
		for _, r := range []string{"one", "{\"a\":1}\n", string(bytes.Repeat([]byte{0, 255}, 5000))} {
			must(t, j.Append([]byte(r), []byte("and "+r)))
			want = append(want, r, "and "+r)
		}
	}
	j, _, _, err := Open(save.System, path)
	must(t, err)
	must(t, j.Replace([][]byte{[]byte("anew")}))
	must(t, j.Append([]byte("more")))
	if _, records, _, _ := Open(save.System, path); !reflect.DeepEqual(texts(records), []string{"anew", "more"}) {
		t.Fatalf("after Replace: %q", texts(records))
	}
	if j.Append(nil) == nil {
		t.Error("an empty record was taken")
	}
}

// A journal that is cut off anywhere has all records that are whole before that, and takes more behind them.
func TestTornAtEveryByte(t *testing.T) {
	d := fakedisk.New()
	j, _, _, err := Open(d, "d/journal")
	must(t, err)
	var ends []int64
	for i := range 6 {
		must(t, j.Append(bytes.Repeat([]byte{byte('a' + i)}, 1+i*7)))
		ends = append(ends, j.Size())
	}
	data, err := d.Read("d/journal")
	must(t, err)
	for n := range len(data) {
		whole := 0
		for _, e := range ends {
			if e <= int64(n) {
				whole++
			}
		}
		for _, tail := range []string{"", "\x00\x00\x00\x00\x00\x00\x00\x00\x00", "xxxxxxxxxxxxxxxxxxxx"} {
			d := fakedisk.New()
			d.Put("d/journal", append(bytes.Clone(data[:n]), tail...))
			j, records, strange, err := Open(d, "d/journal")
			must(t, err)
			if n >= len(head) && len(records) != whole {
				t.Fatalf("%d bytes: %d records, want %d", n, len(records), whole)
			}
			if n >= len(head) && tail == "" && strange != nil {
				t.Fatalf("%d bytes: a record that was broken off is given to keep", n)
			}
			must(t, j.Append([]byte("next")))
			if _, records, _, _ := Open(d, "d/journal"); len(records) == 0 || string(records[len(records)-1]) != "next" {
				t.Fatalf("%d bytes: what came next is not there", n)
			}
		}
	}
}

// A byte that was changed, of a record or of its frame, ends the journal before its record, and the caller is given all of it to keep.
func TestSpoiltByte(t *testing.T) {
	d := fakedisk.New()
	j, _, _, err := Open(d, "d/journal")
	must(t, err)
	for range 4 {
		must(t, j.Append([]byte("twelve bytes")))
	}
	data, _ := d.Read("d/journal")
	for k := 2 * len(head); k < 2*len(data); k++ {
		i := k / 2
		spoilt := bytes.Clone(data)
		spoilt[i] ^= []byte{0x21, 0x04}[k%2] // a length gets longer, or shorter
		d := fakedisk.New()
		d.Put("d/journal", spoilt)
		_, records, strange, err := Open(d, "d/journal")
		must(t, err)
		if !bytes.Equal(strange, spoilt) {
			t.Fatalf("byte %d: the journal is not given to keep", i)
		}
		if want := (i - len(head)) / (frame + 12); len(records) != want {
			t.Fatalf("byte %d: %d records, want %d", i, len(records), want)
		}
	}
}

// A batch that failed is not read behind a shorter one that came in its place.
func TestFailedBatchIsGone(t *testing.T) {
	d := fakedisk.New()
	j, _, _, err := Open(d, "d/journal")
	must(t, err)
	must(t, j.Append([]byte("first")))
	fail := true
	d.Before = func(_ int, op, _ string) error {
		if fail && op == "sync" {
			return errors.New("no")
		}
		return nil
	}
	if j.Append([]byte("AAAA"), []byte("BBBB"), []byte("CCCC")) == nil {
		t.Fatal("the sync did not fail")
	}
	fail = false
	must(t, j.Append([]byte("aaaa")))
	if _, records, _, _ := Open(d, "d/journal"); !reflect.DeepEqual(texts(records), []string{"first", "aaaa"}) {
		t.Errorf("there are %q", texts(records))
	}
}

// Whenever the machine stops, what Append has returned for is there, and nothing that was never given.
func TestStopsAtEveryStep(t *testing.T) {
	for seed := range uint64(4) {
		for stop := 1; ; stop++ {
			chance := rand.New(rand.NewPCG(seed, uint64(stop)))
			d := fakedisk.New()
			d.StopAt(stop, chance)
			var sure, given []string
			base := 0
			j, _, _, err := Open(d, "d/journal")
			for i := 0; err == nil && i < 6; i++ {
				r := string(bytes.Repeat([]byte{byte('a' + i)}, 9))
				given = append(given, r)
				if i == 3 {
					if err = j.Replace([][]byte{[]byte(r)}); err == nil {
						base = len(given) - 1
					}
				} else {
					err = j.Append([]byte(r))
				}
				if err == nil {
					sure = given[base:]
				}
			}
			after := d.Restart(chance)
			_, records, _, no := Open(after, "d/journal")
			must(t, no)
			got := texts(records)
			fine := false
			for _, list := range [][]string{given[base:], given[max(0, len(given)-1):]} { // the last may have replaced all
				fine = fine || len(got) <= len(list) && reflect.DeepEqual(got, list[:len(got):len(got)]) && (len(got) >= len(sure) || len(got) == 1 && len(given) == 4)
			}
			if !fine && !(len(got) == 0 && len(sure) == 0) {
				t.Fatalf("seed %d, stopped at step %d: there are %q, sure were %q of %q", seed, stop, got, sure, given)
			}
			if err == nil {
				break
			}
		}
	}
}

// FuzzRead: whatever a journal holds, reading it ends, and what is read of it can be written again to the same.
func FuzzRead(f *testing.F) {
	whole, _ := encode([]byte(head), 0, [][]byte{[]byte("one"), []byte("two")})
	for _, seed := range [][]byte{nil, []byte(head), whole, whole[:len(whole)-1], append(bytes.Clone(whole), 255, 255, 255, 255, 0, 0, 0, 0)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		records, end, _, is := parse(data)
		if !is {
			if len(records) > 0 {
				t.Fatal("records of what is no journal")
			}
			return
		}
		again, _ := encode([]byte(head), 0, records)
		if !bytes.Equal(again, data[:end]) {
			t.Fatalf("%q reads as %q", data, records)
		}
		d := fakedisk.New()
		d.Put("d/journal", data)
		j, _, _, err := Open(d, "d/journal")
		must(t, err)
		must(t, j.Append([]byte("next")))
		if _, got, _, _ := Open(d, "d/journal"); !reflect.DeepEqual(texts(got), append(texts(records), "next")) {
			t.Fatalf("%q and one more reads as %q", data, got)
		}
	})
}
