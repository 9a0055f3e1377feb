package field

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestReportColours holds the report's colours against the theme's, of which the theme's own test asks 7:1 for all
// text on the sheet. What is written in a record has the colour of what is outside limits.
func TestReportColours(t *testing.T) {
	want, err := os.ReadFile(filepath.Join("..", "..", "theme", "style", "colour.css"))
	if err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile("report.css")
	if err != nil {
		t.Fatal(err)
	}
	theme, report := colours(string(want)), colours(string(got))
	if len(report) < 14 {
		t.Errorf("the report has %d colours, want seven in each of two schemes", len(report))
	}
	for name, colour := range report {
		if of := strings.Replace(name, "written", "outside", 1); colour != theme[of] {
			t.Errorf("%s is %s, in the theme %s", name, colour, theme[of])
		}
	}
}

// colours are those of a style sheet, by scheme and name.
func colours(css string) map[string]string {
	list := map[string]string{}
	light, dark, _ := strings.Cut(css, "@media (prefers-color-scheme: dark)")
	dark, _, _ = strings.Cut(dark, "@media")
	for scheme, text := range map[string]string{"light": light, "dark": dark} {
		for _, c := range regexp.MustCompile(`--([\w-]+): (#\w+);`).FindAllStringSubmatch(text, -1) {
			list[scheme+" "+c[1]] = c[2]
		}
	}
	return list
}
