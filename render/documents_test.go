package render_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"benchleaf/calc/formula"
	"benchleaf/render"
)

// TestArchitecture holds docs/architecture.md against the code: every name that
// it sets between backticks is declared somewhere, every file there.
func TestArchitecture(t *testing.T) {
	text, err := os.ReadFile("../docs/architecture.md")
	if err != nil {
		t.Fatal(err)
	}
	var code strings.Builder
	for _, dir := range []string{"../calc", "../cmd", "../render", "../theme"} {
		err := filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
			if err != nil || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
				return err
			}
			data, err := os.ReadFile(name)
			code.Write(data)
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	names := regexp.MustCompile("`([A-Za-z_./-]+)`").FindAllStringSubmatch(string(text), -1)
	if len(names) < 30 {
		t.Fatalf("%d names", len(names))
	}
	declared := map[string]bool{}
	for _, m := range regexp.MustCompile(`(?m)^(?:func (?:\([^)]*\) )?|type |package |\t|var )(\w+)`).FindAllStringSubmatch(code.String(), -1) {
		declared[m[1]] = true
	}
	for _, m := range names {
		name := m[1]
		switch {
		case strings.HasSuffix(name, ".ts") && !strings.Contains(name, "/"):
			name = "theme/script/" + name
			if _, err := os.Stat("../" + name); err != nil {
				name = "theme/worker/" + m[1]
			}
			fallthrough
		case strings.Contains(name, "/"):
			if strings.HasPrefix(name, "assets/") {
				continue // a file of the edition
			}
			if _, err := os.Stat("../" + name); err != nil {
				t.Errorf("`%s`: %v", m[1], err)
			}
			continue
		}
		last := name[strings.LastIndex(name, ".")+1:]
		if !declared[last] && !strings.Contains(code.String(), `"`+last+`"`) {
			t.Errorf("`%s` is declared nowhere", name)
		}
	}
}

// TestWriting holds docs/writing.md: a handbook that is made of its examples has
// no mistake, and the functions that it lists are those that a formula may call.
func TestWriting(t *testing.T) {
	wholePages := []string{"en/procedures/choke-shut.md"} // of the guide's whole pages, in its order
	text, err := os.ReadFile("../docs/writing.md")
	if err != nil {
		t.Fatal(err)
	}
	dir, wholes := t.TempDir(), 0
	for _, m := range regexp.MustCompile("(?ms)^```yaml\n(.*?)^```$").FindAllStringSubmatch(string(text), -1) {
		if name, _, ok := strings.Cut(strings.TrimPrefix(m[1], "# "), "\n"); ok && strings.HasSuffix(name, ".yaml") {
			put(t, dir, name, m[1])
		} else if strings.HasPrefix(m[1], "title:") {
			put(t, dir, "handbook.yaml", m[1])
		}
	}
	// What the examples name and the guide does not define.
	put(t, dir, "specs/named.yaml", `
supply-running: {title: Supply, unit: V, nominal: 12.6}
heater-feed-drop: {title: Drop, unit: V, max: 0.5}
coil-power: {title: Power, unit: W, min: 18, max: 30}
heater-resistance: {title: Coil, unit: Ω, min: 4, max: 6}
`)
	for i, m := range regexp.MustCompile("(?ms)^````markdown\n(.*?)^````$").FindAllStringSubmatch(string(text), -1) {
		put(t, dir, wholePages[i], m[1])
		wholes++
	}
	put(t, dir, "en/index.md", "# Start\n")
	put(t, dir, "es/index.md", "# Inicio\n")
	page, blocks := "# Calculators\n", 0
	for _, m := range regexp.MustCompile("(?ms)^    ```(?:calculator|plot).*?^    ```$").FindAllString(string(text), -1) {
		page += "\n" + regexp.MustCompile("(?m)^    ").ReplaceAllString(m, "") + "\n"
		blocks++
	}
	put(t, dir, "en/calculators.md", page)
	result, err := render.Audit(dir)
	if err != nil {
		t.Fatal(err)
	}
	if blocks < 6 || wholes != len(wholePages) || result.Failed() {
		t.Errorf("%d blocks, %d whole pages\n%s", blocks, wholes, remarksText(result.Remarks))
	}
	for _, r := range result.Remarks {
		if slices.Contains(wholePages, r.Place.File) || strings.HasPrefix(r.Place.File, "circuits/") {
			t.Errorf("%v", r)
		}
	}

	var listed []string
	table := regexp.MustCompile(`(?m)^\| function \|.*\n((?:\|.*\n)*)`).FindSubmatch(text)[1]
	for row := range strings.Lines(string(table)) {
		first, _, _ := strings.Cut(strings.TrimPrefix(row, "|"), "|")
		for _, m := range regexp.MustCompile("`([a-z0-9]+)\\(").FindAllStringSubmatch(first, -1) {
			listed = append(listed, m[1])
		}
	}
	slices.Sort(listed)
	if want := formula.Functions(); !slices.Equal(listed, want) {
		t.Errorf("the guide lists %v, a formula may call %v", listed, want)
	}
}
