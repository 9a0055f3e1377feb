package edition

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// faults is what is wrong with the edition of a folder.
func faults(t *testing.T, dir string) (list []string, files int) {
	t.Helper()
	f, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	files, err = f.Verify(func(f Fault) { list = append(list, f.String()) })
	if err != nil {
		t.Fatal(err)
	}
	return list, files
}

// some is an edition of so many files, and their names.
func some(t *testing.T, n int) (out string, names []string) {
	t.Helper()
	out = filepath.Join(t.TempDir(), "edition")
	files := map[string]string{}
	for i := range n {
		files[fmt.Sprintf("en/%d/page-%d.html", i%7, i)] = fmt.Sprint("text ", i)
	}
	commit(t, out, files)
	for name := range files {
		names = append(names, name)
	}
	slices.Sort(names)
	return out, names
}

// everyFile is every file of a folder.
func everyFile(t *testing.T, dir string) (names []string) {
	t.Helper()
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			path, err = filepath.Rel(dir, path)
			names = append(names, filepath.ToSlash(path))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// TestVerify changes each file of an edition in turn, and takes each away: that
// file is told, and where it is a list, no file besides.
func TestVerify(t *testing.T) {
	out, names := some(t, 60)
	all := everyFile(t, out)
	if list, files := faults(t, out); list != nil || files != len(all) || files <= len(names) {
		t.Fatalf("%d files, want %d; %v", files, len(all), list)
	}
	random := rand.New(rand.NewPCG(7, 8))
	for _, name := range all {
		path := filepath.Join(out, name)
		text, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		put := func(text []byte) {
			if err := os.WriteFile(path, text, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		// The root says which of the others are right: only the signature tells a change in it.
		if name != ManifestName {
			changed := slices.Clone(text)
			changed[random.IntN(len(changed))] ^= byte(1 + random.IntN(255))
			put(changed)
			if list, _ := faults(t, out); !slices.Equal(list, []string{name + ": changed"}) {
				t.Errorf("%s was changed: %q", name, list)
			}
			put(append(text, '\n'))
			if list, _ := faults(t, out); !slices.Equal(list, []string{name + ": changed"}) {
				t.Errorf("%s was made longer: %q", name, list)
			}
		}
		if err := os.Remove(path); err != nil {
			t.Fatal(err)
		}
		if list, _ := faults(t, out); !slices.Equal(list, []string{name + ": missing"}) {
			t.Errorf("%s was taken away: %q", name, list)
		}
		put(text)
	}
	if list, _ := faults(t, out); list != nil {
		t.Errorf("as it was before: %q", list)
	}
}

// TestVerifyTells: what else may be found in an edition's folder.
func TestVerifyTells(t *testing.T) {
	for _, c := range []struct {
		name string
		do   func(dir, page string) error
		want string
	}{
		{"a file too many", func(dir, _ string) error { return os.WriteFile(filepath.Join(dir, "en", "new.html"), nil, 0o644) }, "en/new.html: not of this edition"},
		{"a hidden one", func(dir, _ string) error { return os.WriteFile(filepath.Join(dir, ".x"), nil, 0o644) }, ".x: not of this edition"},
		{"a signature", func(dir, _ string) error { return os.WriteFile(filepath.Join(dir, SignatureName), nil, 0o644) }, ""},
		{"an empty folder", func(dir, _ string) error { return os.Mkdir(filepath.Join(dir, "new"), 0o755) }, ""},
		{"a link to a copy", func(dir, page string) error {
			page = filepath.Join(dir, page)
			copied := filepath.Join(filepath.Dir(dir), "copy")
			if err := os.Rename(page, copied); err != nil {
				return err
			}
			return os.Symlink(copied, page)
		}, "PAGE: changed: it is no plain file"},
		{"a folder in the place of a page", func(dir, page string) error {
			page = filepath.Join(dir, page)
			if err := os.Remove(page); err != nil {
				return err
			}
			return os.Mkdir(page, 0o755)
		}, "PAGE: changed: it is no plain file"},
		{"a file in the place of a folder", func(dir, _ string) error {
			dir = filepath.Join(dir, "manifest")
			if err := os.RemoveAll(dir); err != nil {
				return err
			}
			return os.WriteFile(dir, nil, 0o644)
		}, "manifest/00.json: missing"},
		{"a manifest that is none", func(dir, _ string) error { return os.WriteFile(filepath.Join(dir, ManifestName), []byte("{}"), 0o644) }, "manifest.json: changed"},
		{"a folder in the place of the manifest", func(dir, _ string) error {
			dir = filepath.Join(dir, ManifestName)
			if err := os.Remove(dir); err != nil {
				return err
			}
			return os.Mkdir(dir, 0o755)
		}, "manifest.json: changed"},
	} {
		out, names := some(t, 5)
		if err := c.do(out, names[0]); err != nil {
			t.Fatal(err)
		}
		list, _ := faults(t, out)
		want := strings.Replace(c.want, "PAGE", names[0], 1)
		if (len(list) == 0) != (want == "") || len(list) > 0 && list[0] != want {
			t.Errorf("%s: %q, want %q", c.name, list, want)
		}
	}
}

// TestVerifyHostile: a manifest that names files which cannot be, or lie elsewhere.
func TestVerifyHostile(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(filepath.Dir(dir), "outside"), []byte("secret"), 0o644); err != nil {
		t.Fatal(err)
	}
	digest := Digest([]byte("secret"))
	part := `{"": {`
	for _, name := range []string{"../outside", "/outside", "", ".", "a/../../outside", `a\u0000b`, "manifest/shell.json", strings.Repeat("x", 5000)} {
		part += fmt.Sprintf("%q: %q, ", name, digest)
	}
	part = strings.ReplaceAll(part, `\\u`, `\u`) + `"b": "no digest"}}`
	empty := "{}"
	put := func(name, text string) {
		t.Helper()
		path := filepath.Join(dir, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	put(ShellPart, empty)
	put(PartName(0), part)
	put(ShellPack, empty)
	put(PackName(0), empty)
	put("b", "b")
	put(ManifestName, fmt.Sprintf(`{"format": 2, "shell": {"part": %q, "pack": %q}, "parts": [%q], "packs": [%q]}`,
		Digest([]byte(empty)), Digest([]byte(empty)), Digest([]byte(part)), Digest([]byte(empty))))
	list, _ := faults(t, dir)
	want := []string{": missing", ".: changed: it is no plain file", "../outside: missing", "/outside: missing", "a\x00b: missing", "a/../../outside: missing",
		"b: changed", "manifest/shell.json: changed", strings.Repeat("x", 5000) + ": missing"}
	if !slices.Equal(list, want) {
		t.Errorf("%.2000q\nwant\n%.2000q", list, want)
	}
}
