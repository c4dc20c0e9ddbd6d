// Package about is what the command says of itself, in its own words:
//
//	about.go       its version
//	help.go        how help and complaints about a call are worded
//	options.go     what no option of any command takes
//	completion.go  scripts by which a shell completes what is typed
package about

import (
	"cmp"
	"runtime"
	"runtime/debug"
)

// release is what a build that is handed out is called; .ci/release sets it (go build -ldflags "-X ...").
var release string

// Version is what was built, and of what: "v1.2.0 (go1.26.8, linux/amd64)". A release has its name; all else is the build's own information: a build
// outside version control says so, and one of files that were changed ends in "+dirty".
func Version() string {
	info, _ := debug.ReadBuildInfo()
	return version(info, release)
}

// version is Version of a build; nil is one that carries no information, and "" no release.
func version(info *debug.BuildInfo, release string) string {
	built := runtime.GOOS + "/" + runtime.GOARCH
	if info == nil {
		return "of an unknown build (" + built + ")"
	}
	is := cmp.Or(release, info.Main.Version)
	if is == "" || is == "(devel)" {
		is = "from a folder of sources"
	}
	return is + " (" + info.GoVersion + ", " + built + ")"
}
