package main

import (
	"crypto/sha256"
	"debug/buildinfo"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"golang.org/x/tools/go/packages"
)

// TestBill holds the bill of a program, that of this test, against the published schema of CycloneDX 1.6, which
// lies beside the source of the library.
func TestBill(t *testing.T) {
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	info, err := buildinfo.ReadFile(program)
	if err != nil {
		t.Fatal(err)
	}
	info.Settings = append(info.Settings, debug.BuildSetting{Key: "vcs.time", Value: "2026-11-26T10:00:00Z"}, debug.BuildSetting{Key: "vcs.revision", Value: "0123"})
	text, err := billOf(program, "linux/amd64", info)
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	compiler.AssertFormat()
	folder := filepath.Join(said("go", "list", "-m", "-f", "{{.Dir}}", "github.com/CycloneDX/cyclonedx-go"), "schema")
	for file, address := range map[string]string{"bom-1.6.schema.json": "bom-1.6.schema.json", "spdx.schema.json": "spdx.schema.json", "jsf-0.82.schemax.json": "jsf-0.82.schema.json"} {
		f, err := os.Open(filepath.Join(folder, file))
		if err != nil {
			t.Fatal(err)
		}
		schema, err := jsonschema.UnmarshalJSON(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		if err := compiler.AddResource("http://cyclonedx.org/schema/"+address, schema); err != nil {
			t.Fatal(err)
		}
	}
	schema, err := compiler.Compile("http://cyclonedx.org/schema/bom-1.6.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	bill, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
	if err != nil {
		t.Fatal(err)
	}
	if err := schema.Validate(bill); err != nil {
		t.Errorf("%#v\n%s", err, text)
	}
	// It is no schema that takes everything.
	delete(bill.(map[string]any), "bomFormat")
	if schema.Validate(bill) == nil {
		t.Error("a bill without bomFormat is taken")
	}
	for _, d := range info.Deps {
		if !strings.Contains(string(text), `"purl": "pkg:golang/`+strings.ToLower(d.Path)+"@"+d.Version+`"`) {
			t.Errorf("%s is not in the bill", d.Path)
		}
	}
}

// TestLicences: every module of the program, for each system, stands in docs/third-party.md, and its
// source has a licence.
func TestLicences(t *testing.T) {
	t.Chdir(filepath.Join("..", ".."))
	text, err := os.ReadFile(filepath.Join("docs", "third-party.md"))
	if err != nil {
		t.Fatal(err)
	}
	modules := map[string]module{}
	for _, goos := range []string{"linux", "darwin", "windows"} {
		c := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}\t{{.Dir}}{{end}}", "./cmd/benchleaf")
		c.Env = append(os.Environ(), "GOOS="+goos, "CGO_ENABLED=0")
		list, err := c.Output()
		if err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(string(list)) {
			if path, folder, _ := strings.Cut(strings.TrimSpace(line), "\t"); path != "" && path != "benchleaf" {
				modules[path] = module{path: path, source: folder}
			}
		}
	}
	if len(modules) < 20 {
		t.Fatalf("the program has only %d modules", len(modules))
	}
	for path := range modules {
		if short := strings.TrimPrefix(path, "golang.org/"); !strings.Contains(string(text), path) && !strings.Contains(string(text), short+",") && !strings.Contains(string(text), short+" ") {
			t.Errorf("docs/third-party.md does not name %s", path)
		}
	}
	for _, m := range modulesOf(&buildinfo.BuildInfo{GoVersion: "go1"}) {
		modules[m.path] = m
	}
	all, err := licences(modules)
	if err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"Apache License", "David Evans", "The Go Authors", "Brotli Authors", "Google Inc."} {
		if !strings.Contains(string(all), words) {
			t.Errorf("the licences do not have %q", words)
		}
	}
}

// TestElsewhere: the program and its tests are right Go for Windows, too. Only types are looked at, of all
// that it consists of: that takes a tenth of what building does.
func TestElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("the long run looks at it")
	}
	list, err := packages.Load(&packages.Config{Mode: packages.LoadAllSyntax, Tests: true, Dir: filepath.Join("..", ".."), Env: append(os.Environ(), "GOOS=windows", "CGO_ENABLED=0")}, "./...")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 60 {
		t.Errorf("%d packages", len(list))
	}
	for _, p := range list {
		for _, e := range p.Errors {
			t.Error(e)
		}
	}
}

func TestNames(t *testing.T) {
	var names []string
	for _, s := range systems {
		names = append(names, programName(s))
	}
	want := []string{"benchleaf-darwin-amd64", "benchleaf-darwin-arm64", "benchleaf-linux-amd64", "benchleaf-linux-arm64", "benchleaf-windows-amd64.exe", "benchleaf-windows-arm64.exe"}
	if !slices.Equal(names, want) {
		t.Errorf("%q, want %q", names, want)
	}
}

// TestRelease makes a release with a compiler that gives this test's own program for each system: what is
// beside the programs, and what the sums say. .ci/run holds what the real compiler makes in two places together.
func TestRelease(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the compiler is a script of a shell")
	}
	t.Chdir(filepath.Join("..", ".."))
	real, err := exec.LookPath("go")
	if err != nil {
		t.Fatal(err)
	}
	program, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	tools := t.TempDir()
	script := fmt.Sprintf(`#!/bin/sh
if [ "$1" != build ]; then exec '%s' "$@"; fi
[ "$CGO_ENABLED$GOFLAGS$GOAMD64" = 0v1 ] && [ "$2 $4 $6" = "-trimpath -o ./cmd/benchleaf" ] || { echo "$@" >&2; exit 1; }
[ "$GOOS" != plan9 ] || { echo no such system >&2; exit 1; }
cp '%s' "$5"
`, real, program)
	if err := os.WriteFile(filepath.Join(tools, "go"), []byte(script), 0o755); err != nil {
		t.Fatal(err)
	}
	t.Setenv("PATH", tools+string(filepath.ListSeparator)+os.Getenv("PATH"))
	t.Setenv("GOFLAGS", "-mod=mod") // the machine's, which is not the release's

	var said strings.Builder
	out := filepath.Join(t.TempDir(), "release")
	if status := run([]string{out}, &said); status != 0 {
		t.Fatalf("status %d: %s", status, said.String())
	}
	want := []string{"LICENSES.txt", "SHA256SUMS"}
	for _, s := range systems {
		want = append(want, programName(s), programName(s)+".cdx.json")
	}
	entries, err := os.ReadDir(out)
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	if slices.Sort(want); !slices.Equal(names, want) {
		t.Errorf("there are\n%q, want\n%q", names, want)
	}
	text, err := os.ReadFile(filepath.Join(out, "SHA256SUMS"))
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(text), "\n"); n != len(want)-1 {
		t.Errorf("%d sums, want those of all files but their own", n)
	}
	for line := range strings.Lines(string(text)) {
		sum, name, _ := strings.Cut(strings.TrimSuffix(line, "\n"), "  ")
		data, err := os.ReadFile(filepath.Join(out, name))
		if err != nil || fmt.Sprintf("%x", sha256.Sum256(data)) != sum {
			t.Errorf("%s: not its sum (%v)", name, err)
		}
	}

	for _, c := range []struct {
		args   []string
		status int
		says   string
	}{
		{nil, 2, "usage: "},
		{[]string{"-no"}, 2, "not defined"},
		{[]string{out}, 1, "exists"},
		{[]string{"-system", "linux", filepath.Join(t.TempDir(), "a")}, 1, `"linux" is no system`},
		{[]string{"-system", "plan9/amd64", filepath.Join(t.TempDir(), "a")}, 1, "exit status 1"},
	} {
		said.Reset()
		if status := run(c.args, &said); status != c.status || !strings.Contains(said.String(), c.says) {
			t.Errorf("%q: status %d, %s", c.args, status, said.String())
		}
	}
}
