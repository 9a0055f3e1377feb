package edition

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// SHA-256 of "abc" begins with ba7816bf 8f01cfea 414140de 5dae2223 (NIST,
// "Secure Hash Standard: SHA-256 examples", one-block message). In base64url the
// first three bytes, 101110 100111 100000 010110, are 46, 39, 32, 22: u n g W; the
// last one, 001000 11, is 8 and 48: I w.
func TestDigest(t *testing.T) {
	if got := Digest([]byte("abc")); got != "ungWv48Bz-pBQUDeXa4iIw" {
		t.Errorf("the digest of abc is %s", got)
	}
	for parts, want := range map[int]int{1: 0, 2: 1, 8: 5, 16: 0xb, 256: 0xba, 512: 0x174} { // ba7 is 1011 1010 0111
		if got := PartOf("abc", parts); got != want {
			t.Errorf("abc is in part %d of %d, want %d", got, parts, want)
		}
	}
}

func TestPartCount(t *testing.T) {
	// Twice the root of 16 is 8, of 17 a little more; 2·sqrt(2000) is 89.4.
	for files, want := range map[int]int{0: 1, 1: 2, 16: 8, 17: 16, 2000: 128, 4096: 128, 4097: 256} {
		if got := partCount(files); got != want {
			t.Errorf("%d files are in %d parts, want %d", files, got, want)
		}
	}
}

// A page is in one part with what is made of it.
func TestFamily(t *testing.T) {
	for name, want := range map[string]string{
		"en/procedures/no-start.html":                  "procedures/no-start",
		"en/procedures/no-start.flow.html":             "procedures/no-start",
		"assets/search/en/procedures/no-start.html.js": "procedures/no-start",
		"assets/search/en-3.js":                        "search/en-3",
		"index.html":                                   "index",
		"pictures/a.b/c":                               "a.b/c",
	} {
		if got := family(name); got != want {
			t.Errorf("%s is of the family %s, want %s", name, got, want)
		}
	}
}

// book is a handbook with three files a page, and segments of an index.
func book(pages int) map[string]string {
	all := map[string]string{}
	for i := range pages {
		page := fmt.Sprintf("en/procedures/engine-does-not-run-%04d", i)
		for _, name := range []string{page + ".html", page + ".flow.html", "assets/search/" + page + ".html.js", fmt.Sprintf("assets/search/en-%d.js", i/25)} {
			all[name] += fmt.Sprintf("<p>%d</p>", i)
		}
	}
	return all
}

// TestOldFormat: an edition whose manifest names all files itself is replaced by
// one of the present format, and keeps the files that have not changed.
func TestOldFormat(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"index.html": "a", "en/b.html": "b"}
	if err := os.MkdirAll(filepath.Join(out, "en"), 0o755); err != nil {
		t.Fatal(err)
	}
	digests := map[string]string{}
	for name, text := range files {
		digests[name] = Digest([]byte(text))
		if err := os.WriteFile(filepath.Join(out, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	text, err := json.Marshal(map[string]any{"format": 1, "title": "T", "edition": "0", "files": digests})
	if err == nil {
		err = os.WriteFile(filepath.Join(out, ManifestName), text, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	before, err := os.Stat(filepath.Join(out, "index.html"))
	if err != nil {
		t.Fatal(err)
	}
	files["en/b.html"] = "changed"
	commit(t, out, files)
	holds(t, out, files)
	if after, err := os.Stat(filepath.Join(out, "index.html")); err != nil || !os.SameFile(before, after) {
		t.Errorf("an unchanged file was written anew (%v)", err)
	}
}

// TestUpdateCost: what a phone takes to know that three pages have changed, with the
// parts of the index that they are in, weighs less than 20,000 bytes, not compressed.
func TestUpdateCost(t *testing.T) {
	t.Parallel()
	sizes := []int{657, 2000}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, pages := range sizes {
		out := filepath.Join(t.TempDir(), "edition")
		files := book(pages)
		shell := map[string]string{"assets/edition.js": "1"}
		for i := range 30 {
			shell[fmt.Sprintf("assets/script-%02d-en.js", i)] = ""
		}
		commitShell(t, out, shell, files)
		before, err := list(out)
		if err != nil {
			t.Fatal(err)
		}
		shell["assets/edition.js"] = "2"
		for _, i := range []int{0, pages / 2, pages - 1} {
			page := fmt.Sprintf("en/procedures/engine-does-not-run-%04d", i)
			for _, name := range []string{page + ".html", page + ".flow.html", "assets/search/" + page + ".html.js", fmt.Sprintf("assets/search/en-%d.js", i/25)} {
				files[name] += "!"
			}
		}
		commitShell(t, out, shell, files)
		after, err := list(out)
		if err != nil {
			t.Fatal(err)
		}
		cost, parts := 0, 0
		for name, digest := range after.files {
			if strings.HasPrefix(name, partFolder) && before.files[name] != digest {
				info, err := os.Stat(filepath.Join(out, name))
				if err != nil {
					t.Fatal(err)
				}
				cost += int(info.Size())
				parts++
			}
		}
		root, err := os.Stat(filepath.Join(out, ManifestName))
		if err != nil {
			t.Fatal(err)
		}
		cost += int(root.Size())
		if parts < 2 || parts > 7 || cost >= 20000 { // three families, three segments, the shell
			t.Errorf("%d parts changed, with the root %d bytes", parts, cost)
		}
		t.Logf("%d files: the root has %d bytes, with %d parts %d", len(files)+len(shell), root.Size(), parts, cost)
	}
}

// TestSpoiltPart: a folder whose parts are not those of its manifest is no edition
// of ours to take away.
func TestSpoiltPart(t *testing.T) {
	for name, spoil := range map[string]func(string) error{
		"gone":    os.Remove,
		"changed": func(file string) error { return os.WriteFile(file, []byte(`{"a.html": "0"}`), 0o644) },
	} {
		out := filepath.Join(t.TempDir(), "edition")
		commit(t, out, map[string]string{"a.html": "a"})
		if err := spoil(filepath.Join(out, PartName(0))); err != nil {
			t.Fatal(err)
		}
		if _, err := Begin(out, Manifest{}); err == nil || !strings.Contains(err.Error(), PartName(0)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestSignature: one of the last edition neither stops the next nor goes with it.
func TestSignature(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"a.html": "a"}
	commit(t, out, files)
	signature := filepath.Join(out, SignatureName)
	if err := os.WriteFile(signature, []byte("of the first"), 0o644); err != nil {
		t.Fatal(err)
	}
	commit(t, out, files)
	holds(t, out, files)
	if _, err := os.Stat(signature); err == nil {
		t.Error("the signature of the last edition stands beside the next one")
	}
}
