package render_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"benchleaf/render/remark"
)

// TestLimits holds docs/limits.md against the code: each number against the constant that the row
// names, each remark against those that there are, and, where texts of strangers are read, each such constant
// against the rows.
func TestLimits(t *testing.T) {
	text, err := os.ReadFile("../docs/limits.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := regexp.MustCompile("(?m)^\\| [^|]+ \\| ([0-9][^|]*) \\| `([^`]+)` `([^`]+)` \\|(.*)$").FindAllStringSubmatch(string(text), -1)
	if len(rows) < 35 {
		t.Fatalf("%d rows", len(rows))
	}
	known := map[string]bool{}
	for _, k := range remark.All() {
		known[k.ID] = true
	}
	stated := map[string]bool{}
	for _, row := range rows {
		most, file, name := row[1], row[2], row[3]
		stated[file+" "+name] = true
		if got := limits(t, "../"+file)[name]; got != number(t, most) {
			t.Errorf("%s %s is %d, not %s", file, name, got, most)
		}
		for _, id := range regexp.MustCompile(`remarks\.md#([a-z-]+)`).FindAllStringSubmatch(row[4], -1) {
			if !known[id[1]] {
				t.Errorf("there is no remark %s", id[1])
			}
		}
	}
	for _, dir := range []string{"render/source", "render/record", "render/edition", "render/sign", "render/picture"} {
		files, err := filepath.Glob("../" + dir + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		for _, file := range files {
			file = filepath.ToSlash(file)
			for name := range limits(t, file) {
				if regexp.MustCompile("^[mM]ax[A-Z]").MatchString(name) && !stated[strings.TrimPrefix(file, "../")+" "+name] && !apartFromLimits[name] {
					t.Errorf("%s %s is not in docs/limits.md", file, name)
				}
			}
		}
	}
}

// apartFromLimits are constants that bound no text of a stranger.
var apartFromLimits = map[string]bool{"maxSide": true} // what a drawing may say of its size; it costs nothing

// number reads a number as the tables have it.
func number(t *testing.T, text string) int64 {
	t.Helper()
	figure, unit, _ := strings.Cut(strings.TrimSpace(text), " ")
	n, err := strconv.ParseInt(strings.ReplaceAll(figure, ",", ""), 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return n << map[string]int{"": 0, "KB": 10, "MB": 20}[unit]
}

// limits are the constants of a file that are whole numbers.
func limits(t *testing.T, file string) map[string]int64 {
	t.Helper()
	parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]int64{}
	ast.Inspect(parsed, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || len(spec.Values) != len(spec.Names) {
			return true
		}
		for i, name := range spec.Names {
			v, err := types.Eval(token.NewFileSet(), nil, token.NoPos, types.ExprString(spec.Values[i]))
			if err == nil && v.Value != nil {
				if n, err := strconv.ParseInt(v.Value.ExactString(), 10, 64); err == nil {
					found[name.Name] = n
				}
			}
		}
		return true
	})
	return found
}
