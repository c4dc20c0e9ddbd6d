package draw

import (
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// A stock is a section of its own, named with a capital, also where its name begins with a letter of two bytes; two stocks whose
// names differ by nothing but that are two sections.
func TestSections(t *testing.T) {
	letter := measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}
	p := &plan.Plan{}
	for _, stock := range []string{"étamine", "étamine", "Étamine"} {
		p.Pieces = append(p.Pieces, &plan.Piece{Stock: stock, Whole: &plan.Part{Rect: letter.At(0, 0)}})
	}
	sections := new(Drawer).Draw(p, &config.Settings{})
	if len(sections) != 2 || len(sections[0].Pages) != 2 || sections[0].Title != "Étamine" || sections[1].Title != "Étamine" {
		t.Errorf("%+v", sections)
	}
}
