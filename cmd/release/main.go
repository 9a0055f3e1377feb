// Command release builds benchleaf for every system that it is released for, the same bytes
// from the same commit with the same Go wherever it is built, with a list of what each program
// consists of, the licences, and the sums of all files.
//
//	go run ./cmd/release [-system OS/ARCH] OUT
package main

import (
	"bytes"
	"crypto/sha256"
	"debug/buildinfo"
	"errors"
	"flag"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// systems are what benchleaf is released for.
var systems = []string{"darwin/amd64", "darwin/arm64", "linux/amd64", "linux/arm64", "windows/amd64", "windows/arm64"}

func main() { os.Exit(run(os.Args[1:], os.Stderr)) }

// run runs the command and returns its exit status.
func run(args []string, stderr io.Writer) int {
	flags := flag.NewFlagSet("release", flag.ContinueOnError)
	flags.SetOutput(stderr)
	system := flags.String("system", "", "build for one system only, such as linux/amd64")
	if flags.Parse(args) != nil || flags.NArg() != 1 {
		fmt.Fprintln(stderr, "usage: go run ./cmd/release [-system OS/ARCH] OUT")
		return 2
	}
	list := systems
	if *system != "" {
		list = []string{*system}
	}
	if err := release(flags.Arg(0), list); err != nil {
		fmt.Fprintln(stderr, "release:", err)
		return 1
	}
	return 0
}

// release makes the files of a release in a folder that must not be there yet.
func release(out string, systems []string) error {
	if err := os.Mkdir(out, 0o755); err != nil {
		return err
	}
	all := map[string]module{}
	for _, system := range systems {
		program, err := build(out, system)
		if err != nil {
			return err
		}
		info, err := buildinfo.ReadFile(program)
		if err != nil {
			return err
		}
		bill, err := billOf(program, system, info)
		if err != nil {
			return err
		}
		if err := os.WriteFile(program+".cdx.json", bill, 0o644); err != nil {
			return err
		}
		for _, m := range modulesOf(info) {
			all[m.path] = m
		}
	}
	text, err := licences(all)
	if err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(out, "LICENSES.txt"), text, 0o644); err != nil {
		return err
	}
	return sums(out)
}

// programName is the name of the program's file for a system.
func programName(system string) string {
	name := "benchleaf-" + strings.ReplaceAll(system, "/", "-")
	if strings.HasPrefix(system, "windows/") {
		name += ".exe"
	}
	return name
}

// build builds the program for a system. Nothing of the machine is in it: no path, no C library,
// no setting of whoever builds. Of the checkout it has the commit and its time.
func build(out, system string) (program string, err error) {
	program = filepath.Join(out, programName(system))
	goos, goarch, ok := strings.Cut(system, "/")
	if !ok {
		return "", fmt.Errorf("%q is no system, such as linux/amd64", system)
	}
	c := exec.Command("go", "build", "-trimpath", "-buildvcs=true", "-o", program, "./cmd/benchleaf")
	c.Env = append(os.Environ(), "GOOS="+goos, "GOARCH="+goarch, "CGO_ENABLED=0", "GOFLAGS=", "GOEXPERIMENT=", "GOAMD64=v1", "GOARM64=v8.0")
	c.Stderr = os.Stderr
	return program, c.Run()
}

// licences is the text of every licence of what the programs consist of, as each module has it.
func licences(modules map[string]module) ([]byte, error) {
	var b bytes.Buffer
	own, err := os.ReadFile("LICENSE")
	if err != nil {
		return nil, err
	}
	fmt.Fprintf(&b, "benchleaf\n\n%s", own)
	for _, path := range slices.Sorted(maps.Keys(modules)) {
		texts, err := modules[path].licences()
		if err != nil {
			return nil, err
		}
		fmt.Fprintf(&b, "\n%s\n%s %s\n\n%s", strings.Repeat("-", 80), path, modules[path].version, texts)
	}
	return b.Bytes(), nil
}

// sums writes SHA256SUMS, as sha256sum -c reads it.
func sums(out string) error {
	entries, err := os.ReadDir(out)
	if err != nil {
		return err
	}
	var text strings.Builder
	for _, e := range entries {
		data, err := os.ReadFile(filepath.Join(out, e.Name()))
		if err != nil {
			return err
		}
		fmt.Fprintf(&text, "%x  %s\n", sha256.Sum256(data), e.Name())
	}
	return os.WriteFile(filepath.Join(out, "SHA256SUMS"), []byte(text.String()), 0o644)
}

// licences reads a module's licences out of its source.
func (m module) licences() (text []byte, err error) {
	if filepath.Ext(m.source) == ".ts" {
		text, err := os.ReadFile(m.source)
		_, text, _ = bytes.Cut(text, []byte("/*!"))
		text, _, ok := bytes.Cut(text, []byte("*/"))
		if err == nil && !ok {
			err = errors.New(m.path + " has no licence")
		}
		return text, err
	}
	entries, err := os.ReadDir(m.source)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", m.path, err)
	}
	for _, e := range entries {
		if name := strings.ToUpper(e.Name()); e.IsDir() || !slices.ContainsFunc([]string{"LICENSE", "LICENCE", "COPYING", "NOTICE", "PATENTS"}, func(s string) bool { return strings.HasPrefix(name, s) }) {
			continue
		}
		one, err := os.ReadFile(filepath.Join(m.source, e.Name()))
		if err != nil {
			return nil, err
		}
		text = append(append(text, bytes.TrimRight(one, "\n")...), "\n\n"...)
	}
	if len(text) == 0 {
		err = errors.New(m.path + " has no licence")
	}
	return text, err
}
