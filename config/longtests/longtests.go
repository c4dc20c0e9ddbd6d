// Package longtests tells tests how much to do, by the variable LONG_TESTS. Without it `go test ./...` takes some three minutes on two cores.
// LONG_TESTS=once runs as well what takes longer: browsers, printing systems, spreadsheet programs, hundreds of runs that are killed; .ci/run does
// so. LONG_TESTS=1 draws many more cases besides, which takes hours.
//
// longtests.go is all of it.
package longtests

import (
	"os"
	"testing"
)

// Asked reports whether long tests are asked for.
func Asked() bool { return os.Getenv("LONG_TESTS") != "" }

// Only skips a test that takes long where no long tests are asked for.
func Only(t testing.TB) {
	t.Helper()
	if _, benchmark := t.(*testing.B); !benchmark && !Asked() {
		t.Skip("it takes long: LONG_TESTS=once runs it")
	}
}

// Many reports whether as much is asked for as can be done.
func Many() bool { return os.Getenv("LONG_TESTS") == "1" }

// Cases is how many cases a test draws: the usual number, or that with LONG_TESTS=1.
func Cases(usual, many int) int {
	if Many() {
		return many
	}
	return usual
}
