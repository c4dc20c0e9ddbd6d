package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"html/template"
	"os"
	"path/filepath"
)

//go:embed starter/start.sh
var startShell []byte

//go:embed start.cmd
var startWindows []byte

//go:embed first-steps.html
var firstSteps string

var firstStepsPage = template.Must(template.New("first steps").Parse(firstSteps))

// target is what a zip is for.
type target struct{ system, processor, version string }

// names are the systems as people call them, with the starter of each, and the processors.
var (
	names      = map[string]string{"linux": "Linux", "darwin": "macOS", "windows": "Windows"}
	starters   = map[string]string{"linux": "Start tuckmark", "darwin": "Start tuckmark.command", "windows": "Start tuckmark.cmd"}
	processors = map[string]string{
		"linux/amd64": "x86-64 processors (amd64), as most PCs have", "linux/arm64": "64-bit ARM processors (arm64)",
		"darwin/amd64": "Macs with an Intel processor (amd64)", "darwin/arm64": "Macs with an Apple chip (arm64)",
		"windows/amd64": "x64 processors (amd64), as most PCs have", "windows/arm64": "ARM processors (arm64)",
	}
)

// contents are the files of the zip. Started is the program that is double-clicked, where that is no script.
func (t target) contents(root string, program, started, licences []byte) ([]file, error) {
	starter, processor := starters[t.system], processors[t.system+"/"+t.processor]
	if processor == "" {
		return nil, fmt.Errorf("there are no releases for %s/%s", t.system, t.processor)
	}
	if (t.system == "linux") != (started != nil) {
		return nil, errors.New("the starter is a program for Linux, and for Linux alone")
	}
	sample, err := os.ReadFile(filepath.Join(root, "samples", "retreat.xlsx"))
	if err != nil {
		return nil, err
	}
	var page bytes.Buffer
	if err := firstStepsPage.Execute(&page, map[string]string{"System": t.system, "Name": names[t.system], "Starter": starter, "Processor": processor, "Version": t.version}); err != nil {
		return nil, err
	}
	start, name := startShell, "tuckmark"
	switch t.system {
	case "linux":
		start = started
	case "windows":
		start, name = bytes.ReplaceAll(startWindows, []byte("\n"), []byte("\r\n")), "tuckmark.exe"
	}
	return []file{
		{name, program, 0o755},
		{starter, start, 0o755},
		{"First steps.html", page.Bytes(), 0o644},
		{"LICENCES.txt", licences, 0o644},
		{"retreat.xlsx", sample, 0o644},
	}, nil
}
