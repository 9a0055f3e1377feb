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
	for _, m := range names {
		name := m[1]
		switch {
		case strings.HasSuffix(name, ".ts"):
			name = "theme/script/" + name
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
		declared := regexp.MustCompile(`(?m)(^func (\([^)]*\) )?|^type |^package |^\t|^var )` + regexp.QuoteMeta(last) + `\b`)
		if !declared.MatchString(code.String()) && !strings.Contains(code.String(), `"`+last+`"`) {
			t.Errorf("`%s` is declared nowhere", name)
		}
	}
}
