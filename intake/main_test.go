package intake

import (
	"os"
	"testing"
)

// The tests here write each file whole before they read it, hundreds of times. A file that is read while it changes is
// tested with the command.
func TestMain(m *testing.M) {
	settles = 0
	os.Exit(m.Run())
}
