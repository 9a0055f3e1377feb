package source

import (
	"errors"
	"os"
	"path/filepath"
	"runtime"
	"testing"
)

// A page that was let go of is the same when it is read again, or the error says what became of it.
func TestShelve(t *testing.T) {
	text := "# A\n\nText.\n"
	for _, c := range []struct {
		name string
		do   func(file string) error
		want string
	}{
		{"as it was", func(string) error { return nil }, ""},
		{"changed", func(file string) error { return os.WriteFile(file, []byte("# B\n"), 0o644) }, "a.md: files of the handbook change while it is read"},
		{"taken away", os.Remove, "a.md: it could be read, and now it cannot: no such file or directory"},
		{"a folder in its place", func(file string) error { return errors.Join(os.Remove(file), os.Mkdir(file, 0o755)) }, "a.md: it could be read, and now it cannot: it is no regular file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "a.md")
			if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
			tree, _, err := Read(filepath.Dir(file))
			if err != nil {
				t.Fatal(err)
			}
			defer tree.Close()
			p := tree.Pages[0]
			p.LetGo()
			tree.Shelve(p)
			if err := c.do(file); err != nil {
				t.Fatal(err)
			}
			again, err := p.Parsed()
			if c.want == "" {
				if err != nil || again.Doc == nil || string(again.File()) != text {
					t.Errorf("%v, %q", err, again.File())
				}
				return
			}
			var reread *RereadError
			if !errors.As(err, &reread) || reread.Page != "a.md" || runtime.GOOS == "linux" && err.Error() != c.want {
				t.Errorf("%v, want %s", err, c.want)
			}
		})
	}
}
