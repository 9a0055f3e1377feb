package edition

import (
	"bytes"
	"compress/gzip"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/andybalholm/brotli"
)

// long is a text that hosts send compressed.
func long(text string) string { return strings.Repeat(text+" and ", 400) }

// published compiles files into an edition and publishes it.
func published(t *testing.T, out, to string, files map[string]string) Published {
	t.Helper()
	commit(t, out, files)
	p, err := Publish(out, to)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func content(t *testing.T, dir, name string) []byte {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestPublish: a published folder has each file by its name and by its digest, texts in
// both codings besides, and nothing else.
func TestPublish(t *testing.T) {
	dir := t.TempDir()
	out, to := filepath.Join(dir, "edition"), filepath.Join(dir, "host")
	files := map[string]string{"index.html": long("a"), "en/b.html": long("b"), "short.txt": "x", "icons/i.png": long("png"), "facts.json.gz": long("facts")}
	got := published(t, out, to, files)
	l, err := list(out)
	if err != nil {
		t.Fatal(err)
	}
	l.files[ManifestName] = Digest(content(t, out, ManifestName))
	if want := (Published{Files: len(l.files), Compressed: 4}); got != want {
		t.Errorf("it says %+v, want %+v", got, want)
	}
	want := map[string]bool{}
	for name, digest := range l.files {
		plain := content(t, out, name)
		for _, name := range []string{name, DigestFolder + digest} {
			want[name] = true
			if !bytes.Equal(content(t, to, name), plain) {
				t.Errorf("%s is not the edition's", name)
			}
			if !strings.HasSuffix(files[name], " and ") || !strings.HasSuffix(name, ".html") {
				continue
			}
			unzipped, err := gzip.NewReader(bytes.NewReader(content(t, to, name+".gz")))
			if err != nil {
				t.Fatal(err)
			}
			for ending, r := range map[string]io.Reader{".gz": unzipped, ".br": brotli.NewReader(bytes.NewReader(content(t, to, name+".br")))} {
				if text, err := io.ReadAll(r); err != nil || !bytes.Equal(text, plain) {
					t.Errorf("%s%s holds something else (%v)", name, ending, err)
				}
				if !bytes.Equal(content(t, to, DigestFolder+digest+ending), content(t, to, name+ending)) {
					t.Errorf("%s%s is another by its digest", name, ending)
				}
				want[name+ending], want[DigestFolder+digest+ending] = true, true
			}
		}
	}
	for _, name := range everyFile(t, to) {
		if !want[name] {
			t.Errorf("%s is too much", name)
		}
	}
	if list, _ := faults(t, to); list != nil {
		t.Errorf("a published folder is not whole: %v", list)
	}
}

// TestPublishNext: a file that has not changed stays the very file, with the time by which
// hosts tell that it has not; of the edition before all is there by its digest, of the
// one before that nothing; the edition before comes back.
func TestPublishNext(t *testing.T) {
	dir := t.TempDir()
	out, to := filepath.Join(dir, "edition"), filepath.Join(dir, "host")
	one, two, three := long("one"), long("two"), long("three")
	published(t, out, to, map[string]string{"a.html": one, "same.html": long("same")})
	first := content(t, to, ManifestName)
	stat := func(name string) os.FileInfo {
		t.Helper()
		info, err := os.Stat(filepath.Join(to, filepath.FromSlash(name)))
		if err != nil {
			t.Fatal(err)
		}
		return info
	}
	endings := []string{"", ".gz", ".br"}
	before := map[string]os.FileInfo{}
	for _, ending := range endings {
		before[ending] = stat("same.html" + ending)
	}
	has := func(text string, want bool) {
		t.Helper()
		for _, ending := range endings {
			_, err := os.Stat(filepath.Join(to, DigestFolder, Digest([]byte(text))+ending))
			if (err == nil) != want {
				t.Errorf("%.5q%s by its digest: %v", text, ending, err)
			}
		}
	}
	if p := published(t, out, to, map[string]string{"a.html": two, "same.html": long("same")}); p.Kept == 0 {
		t.Errorf("it says %+v", p)
	}
	has(one, true)
	if !bytes.Equal(content(t, to, DigestFolder+Digest(first)), first) {
		t.Error("the manifest before is lost")
	}
	// The same edition once more takes nothing away.
	published(t, out, to, map[string]string{"a.html": two, "same.html": long("same")})
	has(one, true)
	published(t, out, to, map[string]string{"a.html": three})
	has(one, false)
	has(two, true)
	has(long("same"), true)
	for _, ending := range endings {
		if !os.SameFile(before[ending], stat(DigestFolder+Digest([]byte(long("same")))+ending)) {
			t.Errorf("same.html%s was written anew", ending)
		}
	}
	published(t, out, to, map[string]string{"a.html": two, "same.html": long("same")})
	if string(content(t, to, "a.html")) != two || !os.SameFile(before[""], stat("same.html")) {
		t.Error("the edition before did not come back as it was")
	}
	has(three, true)
	if list, _ := faults(t, to); list != nil {
		t.Errorf("a published folder is not whole: %v", list)
	}
}

// TestPublishRefuses what is no edition, or would be lost; the folder stays as it was.
func TestPublishRefuses(t *testing.T) {
	files := map[string]string{"a.html": long("a"), "b.txt": long("b")}
	for _, c := range []struct {
		name string
		do   func(out, to string) error
		want error
	}{
		{"a changed page", func(out, _ string) error { return os.WriteFile(filepath.Join(out, "a.html"), []byte("x"), 0o644) }, ErrForeign},
		{"no edition", func(out, _ string) error { return os.RemoveAll(out) }, os.ErrNotExist},
		{"a file of somebody in the folder", func(_, to string) error { return os.WriteFile(filepath.Join(to, "mine.txt"), nil, 0o644) }, ErrForeign},
		{"a folder of somebody", func(_, to string) error { return os.Remove(filepath.Join(to, ManifestName)) }, ErrForeign},
	} {
		dir := t.TempDir()
		out, to := filepath.Join(dir, "edition"), filepath.Join(dir, "host")
		published(t, out, to, files)
		commit(t, out, map[string]string{"a.html": long("next")})
		if err := c.do(out, to); err != nil {
			t.Fatal(err)
		}
		before := everyFile(t, to)
		if _, err := Publish(out, to); !errors.Is(err, c.want) {
			t.Errorf("%s: %v, want %v", c.name, err, c.want)
		}
		if after := everyFile(t, to); strings.Join(after, " ") != strings.Join(before, " ") || string(content(t, to, "a.html")) != long("a") {
			t.Errorf("%s: the folder has changed: %v", c.name, after)
		}
		if entries, err := os.ReadDir(dir); err != nil || len(entries) > 2 {
			t.Errorf("%s: left over: %v %v", c.name, entries, err)
		}
	}
	dir := t.TempDir()
	commit(t, filepath.Join(dir, "edition"), map[string]string{"b.txt": long("b"), "b.txt.gz": "own"})
	if _, err := Publish(filepath.Join(dir, "edition"), filepath.Join(dir, "host")); err == nil || !strings.Contains(err.Error(), "hosts take b.txt.gz for b.txt compressed") {
		t.Errorf("a file with the name of a compressed one: %v", err)
	}
}

// An edition is not published into itself, by whatever name, and stays as it was.
func TestPublishWithin(t *testing.T) {
	dir := t.TempDir()
	out := filepath.Join(dir, "edition")
	commit(t, out, map[string]string{"index.html": long("a"), "en/b.html": long("b")})
	before := everyFile(t, out)
	names := []string{out, out + "/", filepath.Join(out, "en"), filepath.Join(out, "new", "host"), filepath.Join(dir, "host", "..", "edition")}
	if link := filepath.Join(dir, "link"); os.Symlink(out, link) == nil {
		names = append(names, link, filepath.Join(link, "new"))
	}
	for _, to := range names {
		if _, err := Publish(out, to); !errors.Is(err, ErrWithin) {
			t.Errorf("into %s: %v, want %v", to, err, ErrWithin)
		}
		if after := everyFile(t, out); strings.Join(after, " ") != strings.Join(before, " ") {
			t.Errorf("into %s: the edition has %q, want %q", to, after, before)
		}
	}
	// A folder that only begins like it is another one.
	if _, err := Publish(out, out+"-host"); err != nil {
		t.Error(err)
	}
}

// TestPublishMends: a compressed file that somebody changed is told, and made anew.
func TestPublishMends(t *testing.T) {
	dir := t.TempDir()
	out, to := filepath.Join(dir, "edition"), filepath.Join(dir, "host")
	files := map[string]string{"a.html": long("a")}
	published(t, out, to, files)
	digest := DigestFolder + Digest([]byte(files["a.html"]))
	good := content(t, to, "a.html.br")
	other, err := codings[0].compress([]byte(long("other")))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, text string }{
		{"a.html.br", string(other)}, {"a.html.gz", "no gzip"}, {digest, "other"},
	} {
		path := filepath.Join(to, filepath.FromSlash(c.name))
		// As an editor saves, not through the link to the other name.
		if err := errors.Join(os.Remove(path), os.WriteFile(path, []byte(c.text), 0o644)); err != nil {
			t.Fatal(err)
		}
		if list, _ := faults(t, to); len(list) != 1 || list[0] != c.name+": changed" {
			t.Errorf("%s was changed: %q", c.name, list)
		}
		published(t, out, to, files)
		if list, _ := faults(t, to); list != nil {
			t.Errorf("%s was not mended: %q", c.name, list)
		}
	}
	if !bytes.Equal(content(t, to, "a.html.br"), good) {
		t.Error("compressed anew it is another")
	}
	if err := os.WriteFile(filepath.Join(to, DigestFolder, "x.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if list, _ := faults(t, to); len(list) != 1 {
		t.Errorf("a file among the digests that is not named by its own: %q", list)
	}
}
