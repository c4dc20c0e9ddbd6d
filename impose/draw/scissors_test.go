package draw

import (
	"strings"
	"testing"

	"tuckmark/impose/plan/made"
	"tuckmark/impose/typeset"
)

// TestPictureForScissors: the picture of a piece that is cut with scissors has no cuts and no numbers, which nobody goes by.
func TestPictureForScissors(t *testing.T) {
	for _, scissors := range []bool{false, true} {
		s := made.Settings()
		s.Trimmer.Scissors = scissors
		var b strings.Builder
		(&Picture{Settings: s}).Piece(&b, made.Three(s).Plan.Pieces[0], func(*typeset.Setting) {})
		for _, class := range []string{`class="cut`, `class="number"`} {
			if strings.Contains(b.String(), class) == scissors {
				t.Errorf("scissors %v: %s", scissors, class)
			}
		}
	}
}
