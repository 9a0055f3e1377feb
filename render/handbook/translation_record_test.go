package handbook

import (
	"os"
	"path/filepath"
	"testing"

	"benchleaf/render/source"
)

// TestWithRecord: the record comes to the end of the front matter, in the place of an older one, and nothing else
// of the file is touched.
func TestWithRecord(t *testing.T) {
	list := []Recorded{{"_title", []string{"bcdfgh"}}, {"test", []string{"jklmnp", "-"}}, {"own", []string{"-", "qrstvw"}}}
	const record = "translated:\n  _title: bcdfgh\n  test: jklmnp -\n  own: \"- qrstvw\"\n"
	for name, c := range map[string]struct{ file, want string }{
		"no front matter":         {"# A\n\nB.\n", "---\n" + record + "---\n# A\n\nB.\n"},
		"an empty one":            {"---\n---\n# A\n", "---\n" + record + "---\n# A\n"},
		"the first record":        {"---\ntitle: A\n---\nB.\n", "---\ntitle: A\n" + record + "---\nB.\n"},
		"an older one":            {"---\ntitle: A\ntranslated:\n  _title: zzzzzz\n  old: zzzzzz zzzzzz\n---\nB.\n", "---\ntitle: A\n" + record + "---\nB.\n"},
		"one before other keys":   {"---\ntranslated:\n  _title: zzzzzz\n\n  old: zzzzzz\ntitle: A # B\n---\nB.\n", "---\ntitle: A # B\n" + record + "---\nB.\n"},
		"one in braces":           {"---\ntranslated: {_title: zzzzzz}\ntitle: A\n---\n", "---\ntitle: A\n" + record + "---\n"},
		"lines of another system": {"---\r\ntitle: A\r\n---\r\nB.\r\n", "---\r\ntitle: A\r\n" + record + "---\r\nB.\r\n"},
		"a byte order mark":       {"\ufeff---\ntitle: A\n---\nB.\n", "\ufeff---\ntitle: A\n" + record + "---\nB.\n"},
		"rules and a listing":     {"---\ntitle: A\n---\n---\n\n    translated:\n      a: b\n\n---\n", "---\ntitle: A\n" + record + "---\n---\n\n    translated:\n      a: b\n\n---\n"},
		"a comment and a text":    {"---\n# for you\npurpose: >-\n  Some\n\n  text.\n---\nB.\n", "---\n# for you\npurpose: >-\n  Some\n\n  text.\n" + record + "---\nB.\n"},
	} {
		p := parsed(t, c.file)
		if got := string(WithRecord(p, list)); got != c.want {
			t.Errorf("%s: got\n%s\nwant\n%s", name, got, c.want)
		}
		if again := string(WithRecord(parsed(t, c.want), list)); again != c.want {
			t.Errorf("%s: recorded twice it is\n%s", name, again)
		}
	}
}

// parsed is a page as it is read from a folder.
func parsed(t *testing.T, file string) *source.Page {
	t.Helper()
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "a.md"), []byte(file), 0o644); err != nil {
		t.Fatal(err)
	}
	tree, remarks, err := source.Read(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { tree.Close() })
	tree.Parse(tree.Pages)
	if len(remarks) > 0 {
		t.Error(remarks)
	}
	return tree.Pages[0]
}

// TestAlikeMarks: a list with other marks and a stress with others are the same text, and so is one whose lines are broken
// elsewhere; what stands in code, in a name or in an address is not touched.
func TestAlikeMarks(t *testing.T) {
	for text, want := range map[string]string{
		"* one\n* two\n  + three":       "- one\n- two\n  - three",
		"1) one\n2) two":                "1. one\n2. two",
		"> * quoted":                    "> - quoted",
		"It is _not_ hot, __never__.":   "It is *not* hot, **never**.",
		"(_so_) and _two words_!":       "(*so*) and *two words*!",
		"_one_ _two_ __three__ `_` _a_": "*one* *two* **three** `_` *a*",
		"`_a_` and `* b`":               "`_a_` and `* b`",
		"see [it](a_b_c.md) and x_y_z":  "see [it](a_b_c.md) and x_y_z",
		"2 * 3 is *six*, and 5 _ 6":     "2 * 3 is *six*, and 5 _ 6",
		"- one\n- **two** and *three*.": "- one\n- **two** and *three*.",
		"\\_no\\_ stress":               "\\_no\\_ stress",
	} {
		if got := alikeMarks(text); got != want {
			t.Errorf("%q is %q, want %q", text, got, want)
		}
	}
}
