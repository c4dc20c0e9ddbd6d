// Command release packs one system's download: a zip with the program, a starter for a double click, first steps, the sample and the licences of all that
// is inside. .ci/release builds the programs and calls it for each.
//
//	main.go      how it is called; what a program must be to go out
//	contents.go  what is in the zip; the starters and the page are the files starter/start.sh, start.cmd and first-steps.html
//	licences.go  whose work is linked into a program, and the texts of their licences
//	zip.go       the zip: the same bytes for the same contents
package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
)

// most is the most bytes of a zip.
const most = 25_000_000

func main() {
	program := flag.String("program", "", "the program, as it was built for its system")
	starter := flag.String("starter", "", "the program that is double-clicked, for Linux")
	version := flag.String("version", "", "what the release is called")
	root := flag.String("root", ".", "the folder of the sources that it was built from")
	out := flag.String("o", "", "the zip")
	flag.Parse()
	if err := release(*program, *starter, *version, *root, *out); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

// versions are what a release may be called: the name is part of files' names.
var versions = regexp.MustCompile(`^[0-9A-Za-z][0-9A-Za-z.+-]{0,60}$`)

// release packs the program that was built from the sources at the root, and prints the digest and the name of the zip as sha256sum does.
func release(program, starter, version, root, out string) error {
	if !versions.MatchString(version) {
		return fmt.Errorf("a release cannot be called %q: letters, digits, and . + - between them", version)
	}
	data, info, err := built(program, root)
	if err != nil {
		return err
	}
	t := target{system: setting(info, "GOOS"), processor: setting(info, "GOARCH"), version: version}
	var start []byte
	if starter != "" {
		var of *debug.BuildInfo
		if start, of, err = built(starter, root); err != nil {
			return err
		}
		if is := (target{system: setting(of, "GOOS"), processor: setting(of, "GOARCH"), version: version}); is != t {
			return fmt.Errorf("%s is for %s/%s, the program for %s/%s", starter, is.system, is.processor, t.system, t.processor)
		}
	}
	licences, err := licencesOf(info, t, root)
	if err != nil {
		return err
	}
	files, err := t.contents(root, data, start, licences)
	if err != nil {
		return err
	}
	zip, err := pack(files)
	if err != nil {
		return err
	}
	if len(zip) > most {
		return fmt.Errorf("%s has %d bytes, more than %d", out, len(zip), most)
	}
	if err := os.WriteFile(out, zip, 0o644); err != nil {
		return err
	}
	fmt.Printf("%x  %s\n", sha256.Sum256(zip), filepath.Base(out))
	return nil
}

// built reads a program, and how it was built, if it can go out.
func built(program, root string) ([]byte, *debug.BuildInfo, error) {
	data, err := os.ReadFile(program)
	if err != nil {
		return nil, nil, err
	}
	info, err := buildinfo.Read(bytes.NewReader(data))
	if err == nil {
		err = fit(info, data, root)
	}
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", program, err)
	}
	return data, info, nil
}

// fit looks whether a program can go out: it needs nothing of the system that it runs on, and nothing of the machine that it was built on is in it.
func fit(info *debug.BuildInfo, data []byte, root string) error {
	for _, s := range []debug.BuildSetting{{Key: "CGO_ENABLED", Value: "0"}, {Key: "-trimpath", Value: "true"}, {Key: "vcs.revision", Value: ""}} {
		if is := setting(info, s.Key); is != s.Value {
			return fmt.Errorf("it was built with %s=%s, not %q", s.Key, is, s.Value)
		}
	}
	root, err := filepath.Abs(root)
	if err != nil {
		return err
	}
	cache, err := goSays("env", "GOMODCACHE")
	if err != nil {
		return err
	}
	for _, path := range []string{root, string(bytes.TrimSpace(cache))} {
		if path != "" && (bytes.Contains(data, []byte(path)) || bytes.Contains(data, []byte(filepath.ToSlash(path)))) {
			return errors.New("a path of this machine is in it: " + path)
		}
	}
	return nil
}

// setting is one that a program was built with; "" is one that it does not tell.
func setting(info *debug.BuildInfo, key string) string {
	if i := slices.IndexFunc(info.Settings, func(s debug.BuildSetting) bool { return s.Key == key }); i >= 0 {
		return info.Settings[i].Value
	}
	return ""
}
