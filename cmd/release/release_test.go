package main

import (
	"debug/buildinfo"
	"os"
	"os/exec"
	"path/filepath"
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
