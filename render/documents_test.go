package render_test

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
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

// TestDocumentedTests: each test and benchmark that a page names with -run or -bench is there.
func TestDocumentedTests(t *testing.T) {
	var tests strings.Builder
	err := filepath.WalkDir("..", func(name string, d os.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(name, "_test.go") {
			return err
		}
		data, err := os.ReadFile(name)
		tests.Write(data)
		return err
	})
	pages, globErr := filepath.Glob("../docs/*.md")
	if err != nil || globErr != nil {
		t.Fatal(err, globErr)
	}
	seen := 0
	for _, page := range append(pages, "../README.md", "../DEVELOPERS.md") {
		text, err := os.ReadFile(page)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`-(run|bench) '?([A-Z][A-Za-z|]*)`).FindAllStringSubmatch(string(text), -1) {
			for name := range strings.SplitSeq(m[2], "|") {
				if name == "XXX" || name == "NONE" {
					continue // no test at all
				}
				seen++
				begins := map[string]string{"run": `func \w*`, "bench": `func Benchmark\w*`}[m[1]]
				if !regexp.MustCompile(begins + name).MatchString(tests.String()) {
					t.Errorf("%s: there is no %s", page, name)
				}
			}
		}
	}
	if seen < 8 {
		t.Errorf("%d names", seen)
	}
}

// TestDocumentedLinks: each link of a page to a file or to a heading leads there.
func TestDocumentedLinks(t *testing.T) {
	pages, err := filepath.Glob("../docs/*.md")
	if err != nil {
		t.Fatal(err)
	}
	link, mark := regexp.MustCompile(`\]\(([^)\s]*)\)`), regexp.MustCompile(`[^\p{L}\p{N} _-]`)
	headings := map[string]map[string]bool{}
	anchors := func(page string) map[string]bool {
		if headings[page] == nil {
			headings[page] = map[string]bool{}
			text := string(mustRead(t, page))
			for _, m := range regexp.MustCompile(`(?m)^#+ (.*)$`).FindAllStringSubmatch(text, -1) {
				headings[page][strings.ReplaceAll(mark.ReplaceAllString(strings.ToLower(m[1]), ""), " ", "-")] = true
			}
			for _, m := range regexp.MustCompile(`<a id="([^"]*)">`).FindAllStringSubmatch(text, -1) {
				headings[page][m[1]] = true
			}
		}
		return headings[page]
	}
	// What stands in a listing, or as code, is an example of another page.
	listing := regexp.MustCompile("(?ms)^````.*?^````$|^```.*?^```$|^    [^\n]*$|`[^`\n]*`")
	for _, page := range append(pages, "../README.md", "../DEVELOPERS.md", "../SECURITY.md", "../CHANGELOG.md") {
		text := listing.ReplaceAllString(string(mustRead(t, page)), "")
		for _, m := range link.FindAllStringSubmatch(text, -1) {
			file, anchor, _ := strings.Cut(m[1], "#")
			to := filepath.Join(filepath.Dir(page), file)
			if file == "" {
				to = page
			} else if strings.HasPrefix(file, "https:") {
				continue
			}
			if _, err := os.Stat(to); err != nil {
				t.Errorf("%s: %v", page, err)
			} else if anchor != "" && !anchors(to)[anchor] {
				t.Errorf("%s: %s has no heading #%s", page, to, anchor)
			}
		}
	}
}
