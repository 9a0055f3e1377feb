package render_test

import (
	"strings"
	"testing"

	"benchleaf/render"
)

// An unsaved text stands in the place of the file, be that broken, too large, or none; the same
// limits hold for it, and once it is closed the file counts again.
func TestUnsaved(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "handbook.yaml", "title: T\npublisher: P\nedition: '1'\nlanguages: [en]\n")
	put(t, dir, "en/index.md", "# Start\n")
	put(t, dir, "en/a.md", "\xff<spec:nobody>\n")
	put(t, dir, "models.yaml", "k210: {title: K210\n")
	editing, err := render.Edit(dir)
	if err != nil {
		t.Fatal(err)
	}
	whole := map[string][]byte{"en/a.md": []byte("# A\n"), "models.yaml": []byte("k210: {title: K210}\n")}
	for _, c := range []struct {
		what    string
		unsaved map[string][]byte
		file    string
		want    string // the errors of the file, by their ids
	}{
		{"the files", nil, "en/a.md", "file-encoding"},
		{"the files", nil, "models.yaml", "yaml-syntax"},
		{"mended", whole, "en/a.md", ""},
		{"mended", whole, "models.yaml", ""},
		{"not UTF-8", map[string][]byte{"en/b.md": []byte("\xff")}, "en/b.md", "file-encoding"},
		{"too large", map[string][]byte{"en/b.md": []byte("# B\n" + strings.Repeat("x", 2<<20))}, "en/b.md", "file-size"},
		{"too large over one that is not", map[string][]byte{"en/index.md": []byte(strings.Repeat("x\n", 2<<20))}, "en/index.md", "file-size"},
		{"new", map[string][]byte{"en/b.md": []byte("[A](a.md#none)\n"), "en/a.md": []byte("# A\n")}, "en/b.md", "link-nowhere"},
		{"no page", map[string][]byte{"en/b.svg": []byte("<svg>")}, "en/b.svg", ""},
		{"the files again", nil, "en/a.md", "file-encoding"},
		{"the files again", nil, "en/b.md", ""},
	} {
		got, err := editing.Judge(t.Context(), c.unsaved)
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, r := range got.Remarks {
			if r.Place.File == c.file && r.Severity.String() == "error" {
				ids = append(ids, r.ID)
			}
		}
		if strings.Join(ids, " ") != c.want {
			t.Errorf("%s: %s has %v, want %s", c.what, c.file, ids, c.want)
		}
	}
	if _, err := render.Edit(dir + "/none"); err == nil {
		t.Error("a folder that is not there was opened")
	}
}
