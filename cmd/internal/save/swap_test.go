package save_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
)

// saver is a disk on which another program saves before each of some exchanges.
type saver struct {
	*fakedisk.Disk
	saves  []string // what it saves; "": nothing
	broken int      // the exchange that fails, from 1
	n      int
}

func (d *saver) Exchange(a, b string) error {
	if d.n++; d.n <= len(d.saves) && d.saves[d.n-1] != "" {
		d.Put(b, []byte(d.saves[d.n-1]))
	}
	if d.n == d.broken {
		return errors.New("broken")
	}
	return d.Disk.Exchange(a, b)
}

// What another program saves at the very moment of an Update stays in its place, the latest of several; where it cannot be put back it lies aside.
func TestUpdateInAnothersSave(t *testing.T) {
	const path = "d/own"
	for _, c := range []struct {
		saves   []string
		broken  int
		cannot  bool // the disk exchanges nothing
		there   string
		left    string
		changed bool
	}{
		{there: "new"},
		{cannot: true, there: "new"},
		{broken: 1, there: "new"},
		{saves: []string{"old"}, there: "new"},
		{saves: []string{"theirs"}, there: "theirs", changed: true},
		{saves: []string{"theirs"}, broken: 1, there: "theirs", changed: true},
		{saves: []string{"theirs"}, broken: 2, there: "new", left: "theirs"},
		{saves: []string{"theirs", "later"}, there: "later", changed: true},
		{saves: []string{"theirs", "later", "last"}, there: "last", changed: true},
		{saves: []string{"theirs", "", "last"}, there: "theirs", changed: true},
	} {
		t.Run(fmt.Sprint(c.saves, c.broken, c.cannot), func(t *testing.T) {
			d := &saver{Disk: fakedisk.New(), saves: c.saves, broken: c.broken}
			d.NoExchange = c.cannot
			d.Put(path, []byte("old"))
			info, p := save.Update(d, path, []byte("new"), save.DigestOf([]byte("old")))
			if save.IsChanged(p) != c.changed || (p == nil) != (info != nil) || (p == nil) != (c.there == "new" && c.left == "") {
				t.Errorf("%v, %v", info, p)
			}
			if got, err := d.Read(path); err != nil || string(got) != c.there {
				t.Errorf("there is %q, want %q: %v", got, c.there, err)
			}
			if got := save.Left(d, path); string(got) != c.left {
				t.Errorf("aside is %q, want %q", got, c.left)
			}
			save.RemoveLeft(d, path)
			if names := d.Names(); !slices.Equal(names, []string{path}) {
				t.Errorf("there are %q", names)
			}
		})
	}
}
