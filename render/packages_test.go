package render_test

import (
	"encoding/json"
	"errors"
	"go/parser"
	"go/token"
	"io"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// mayImport is the import rule: what each package may import of the project.
// Imports point one way: cmd, render, then theme and calc.
var mayImport = map[string]string{
	"calc":               "calc/elementary calc/unit",
	"calc/elementary":    "",
	"calc/formula":       "calc/elementary calc/typo calc/unit calc/wasm",
	"calc/run":           "",
	"calc/typo":          "",
	"calc/unit":          "calc/typo",
	"calc/wasm":          "",
	"calc/wasm/wasmtest": "",
	"cmd/benchleaf":      "calc calc/run calc/unit render render/begin render/compare render/desk render/edition render/field render/handbook render/language render/remark render/sign render/whole",
	"cmd/release":        "",
	"render":             "calc calc/unit render/audit render/begin render/bind render/cache render/compare render/desk render/edition render/handbook render/language render/page render/picture render/remark render/search render/source render/whole theme",
	"render/audit":       "calc/unit render/circuit render/handbook render/procedure render/remark render/source",
	"render/begin":       "calc/unit render/handbook render/remark render/source",
	"render/bind":        "render/csstext render/handbook render/picture",
	"render/cache":       "",
	"render/circuit":     "",
	"render/code":        "render/picture",
	"render/compare":     "calc calc/unit render/edition render/even render/handbook render/jsontext render/remark render/source",
	"render/csstext":     "",
	"render/desk":        "render/code render/remark theme",
	"render/draw":        "",
	"render/edition":     "render/whole",
	"render/even":        "",
	"render/field":       "render/draw render/handbook render/record render/remark render/source render/whole",
	"render/handbook":    "calc calc/formula calc/run calc/unit calc/wasm render/circuit render/code render/picture render/procedure render/remark render/source",
	"render/hosting":     "render/edition", // for tests
	"render/jsontext":    "",
	"render/language":    "calc calc/unit render/handbook render/remark render/source",
	"render/page":        "calc calc/elementary calc/run calc/unit render/circuit render/code render/compare render/csstext render/draw render/handbook render/picture render/remark render/source theme",
	"render/phone":       "", // tests only
	"render/picture":     "",
	"render/procedure":   "",
	"render/search":      "calc/typo calc/unit render/even render/handbook render/jsontext",
	"render/record":      "",
	"render/remark":      "calc/typo",
	"render/schematest":  "", // for tests
	"render/sign":        "",
	"render/source":      "render/remark",
	"render/whole":       "",
	"theme":              "",
}

type listedPackage struct {
	ImportPath, Dir                    string
	Imports                            []string
	GoFiles, TestGoFiles, XTestGoFiles []string
}

func listPackages(t *testing.T) []listedPackage {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Dir,Imports,GoFiles,TestGoFiles,XTestGoFiles", "./...")
	cmd.Dir = ".."
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	var list []listedPackage
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listedPackage
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return list
		} else if err != nil {
			t.Fatal(err)
		}
		list = append(list, p)
	}
}

// TestPackages holds the import rule, and that every package says in a comment
// before its package clause what it is.
func TestPackages(t *testing.T) {
	seen := 0
	for _, p := range listPackages(t) {
		name := strings.TrimPrefix(p.ImportPath, "benchleaf/")
		rule, ok := mayImport[name]
		if !ok {
			t.Errorf("%s is in no import rule", name)
			continue
		}
		seen++
		for _, imported := range p.Imports {
			inner, ours := strings.CutPrefix(imported, "benchleaf/")
			if ours && !slices.Contains(strings.Fields(rule), inner) {
				t.Errorf("%s imports %s, which its rule does not have: %q", name, inner, rule)
			}
		}
		if comments := packageComments(t, p); comments != 1 {
			t.Errorf("%s has %d package comments, want 1", name, comments)
		}
	}
	if seen != len(mayImport) {
		t.Errorf("the rule is for %d packages, there are %d of them", len(mayImport), seen)
	}
}

func packageComments(t *testing.T, p listedPackage) int {
	t.Helper()
	files := p.GoFiles
	if len(files) == 0 {
		files = slices.Concat(p.TestGoFiles, p.XTestGoFiles)
	}
	comments := 0
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), filepath.Join(p.Dir, name), nil, parser.PackageClauseOnly|parser.ParseComments)
		if err != nil {
			t.Fatal(err)
		}
		text := f.Doc.Text()
		if strings.HasPrefix(text, "Package "+f.Name.Name+" ") || f.Name.Name == "main" && strings.HasPrefix(text, "Command ") {
			comments++
		} else if text != "" {
			t.Errorf("%s: the comment before the package clause is %q", name, text)
		}
	}
	return comments
}
