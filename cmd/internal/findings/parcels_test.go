package findings

import (
	"strings"
	"testing"

	"tuckmark/impose/account"
)

// TestParcels: everybody is told what is in the envelope, copies once, and what is still to be mended; nobody is told of what is not theirs.
func TestParcels(t *testing.T) {
	j := check(t, write(t, "Name,Page,Journaling,Width,Height,Stock,Copies\nAda Lind,3,In May we rowed.,3,1,vellum,6\nAda Lind,4,In June.,,2,,\nBo Ek,5,Rain.,3,1,vellum,\nCy Ho,6,Sun.,,1,,\n,7,Nobody's,3,1,vellum,\n"))
	want := map[string]string{
		"Ada Lind": "Hello Ada Lind,\n\n6 blocks of yours are printed and cut:\n    “In May we rowed.”, page 3, AL-1, 6 times\n\n1 block of yours cannot be printed yet:\n",
		"Bo Ek":    "Hello Bo Ek,\n\n1 block of yours is printed and cut:\n    “Rain.”, page 5, BE-1\n",
		"Cy Ho":    "Hello Cy Ho,\n\n1 block of yours cannot be printed yet:\n",
	}
	got := Parcels(j, account.Of(j.Plan, j.Settings, j.Paper))
	if len(got) != len(want) {
		t.Errorf("%d letters are written, not %d", len(got), len(want))
	}
	for _, l := range got {
		if !strings.HasPrefix(l.Text, want[l.To]) || l.To == "Bo Ek" && l.Text != want[l.To] {
			t.Errorf("to %s:\n%s\nnot\n%s", l.To, l.Text, want[l.To])
		}
	}
}
