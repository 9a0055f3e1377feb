package render_test

import (
	"bytes"
	"errors"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"benchleaf/render"
)

const small = "title: Test\npublisher: Example\nedition: \"1\"\nlanguages: [en]\n"

// TestFiles shows the remarks on what no text archive can hold.
func TestFiles(t *testing.T) {
	for _, c := range []struct {
		name string
		make func(t *testing.T, dir string)
		want string
	}{
		{"a loop of symbolic links", func(t *testing.T, dir string) {
			link(t, ".", filepath.Join(dir, "en", "loop"))
			link(t, "nothing.md", filepath.Join(dir, "en", "b.md"))
		}, `
en/b.md: error: a symbolic link is not followed [file-link]
    Put the file itself here.
en/loop: error: a symbolic link is not followed [file-link]
    Put the file itself here.
`},
		{"a page of 50 MB", func(t *testing.T, dir string) {
			put(t, dir, "en/b.md", strings.Repeat("all work and no play\n", 50<<20/21))
		}, `
en/b.md: error: the file has 50.0 MB; at most 2.0 MB can be taken [file-size]
    Divide it: a technician reads a page a step at a time.
`},
		{"bytes that are not UTF-8", func(t *testing.T, dir string) {
			put(t, dir, "en/b.md", "# B\n\nöd \xff\n")
			put(t, dir, "models.yaml", "a1: {title: \xe4}\n")
		}, `
en/b.md:3:4: error: the text is not UTF-8 here [file-encoding]
    Save the file as UTF-8 in the editor.
models.yaml:1:13: error: the text is not UTF-8 here [file-encoding]
    Save the file as UTF-8 in the editor.
`},
		{"the name of a procedure's picture", func(t *testing.T, dir string) {
			put(t, dir, "en/b.md", "---\nsheet: procedure\ntitle: B\nsymptom: It is silent\n---\n\n## Listen\n\n```answers\n- [Silent](end:hand-over)\n```\n")
			put(t, dir, "en/B.flow.md", "# Flow\n")
		}, `
en/b.md: error: en/B.flow.md would have the same name in the edition [file-name]
    Rename one of the two.
`},
		{"names that fall together", func(t *testing.T, dir string) {
			put(t, dir, "en/A.md", "# Big A\n\n[z](../Assets/z.txt) [y](../packs/y.txt) ![b](b.png) ![B](B.png)\n")
			put(t, dir, "Assets/z.txt", "x")
			put(t, dir, "packs/y.txt", "x")
			put(t, dir, "en/b.png", onePixel)
			put(t, dir, "en/B.png", onePixel)
			put(t, dir, "index.md", "# Top\n")
			put(t, dir, "en/index.md", "# Welcome\n")
			put(t, dir, "jobs.md", "# Jobs\n")
			put(t, dir, "search.md", "# Search\n")
		}, `
Assets/z.txt: error: a file of every edition would have the same name in the edition [file-name]
    Rename one of the two.
en/a.md: error: en/A.md would have the same name in the edition [file-name]
    Rename one of the two.
en/b.png: error: en/B.png would have the same name in the edition [file-name]
    Rename one of the two.
index.md: error: en/index.md would have the same name in the edition [file-name]
    Rename one of the two.
jobs.md: error: the jobs page would have the same name in the edition [file-name]
    Rename one of the two.
packs/y.txt: error: a file of every edition would have the same name in the edition [file-name]
    Rename one of the two.
search.md: error: the search page would have the same name in the edition [file-name]
    Rename one of the two.
`},
		{"names that fall together on some systems", func(t *testing.T, dir string) {
			put(t, dir, "en/\u00e9.md", "# E\n\n[z](a.html/z.txt)\n")
			put(t, dir, "en/e\u0301.md", "# E\n")
			put(t, dir, "en/STRASSE.md", "# S\n")
			put(t, dir, "en/straße.md", "# S\n")
			put(t, dir, "en/a.html/z.txt", "x")
			put(t, dir, "en/B.HTML/c.md", "# C\n")
			put(t, dir, "en/b.md", "# B\n")
		}, `
en/a.html/z.txt: error: en/a.md would have the same name in the edition [file-name]
    Rename one of the two.
en/b.md: error: the folder of en/B.HTML/c.md would have the same name in the edition [file-name]
    Rename one of the two.
en/straße.md: error: en/STRASSE.md would have the same name in the edition [file-name]
    Rename one of the two.
en/é.md: error: en/é.md would have the same name in the edition [file-name]
    Rename one of the two.
`},
		{"names that not every system has", func(t *testing.T, dir string) {
			for _, name := range []string{"CON.md", "con .a.md", "COM¹.md", "a\\b.md", "x?y#z%.md", "end .md", "tab\t.md", "lpt1/x.md", "esc\x1b[31m.md", "dm\u202egnp.md", "a\u200bb.md", "c\u2028d.md", strings.Repeat("x", 241) + ".md"} {
				put(t, dir, "en/"+name, "# X\n")
			}
			put(t, dir, "en/ä b'c&d;e+f%20.md", "# X\n\n[itself](%C3%A4%20b'c&d;e+f%2520.md)\n")
		}, `
en/COM¹.md: error: the name cannot be kept on every system: it is the name of a device there [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/CON.md: error: the name cannot be kept on every system: it is the name of a device there [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/a\b.md: error: the name cannot be kept on every system: it holds one of < > : " \ | ? * [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/a�b.md: error: the name cannot be kept on every system: it holds a character that nobody sees [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/con .a.md: error: the name cannot be kept on every system: it is the name of a device there [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/c�d.md: error: the name cannot be kept on every system: it holds a character that nobody sees [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/dm�gnp.md: error: the name cannot be kept on every system: it holds a character that nobody sees [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/end .md: error: the name cannot be kept on every system: it ends in a blank or a full stop [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/esc�[31m.md: error: the name cannot be kept on every system: it holds a control character [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/lpt1/x.md: error: the name cannot be kept on every system: it is the name of a device there [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/tab�.md: error: the name cannot be kept on every system: it holds a control character [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/x?y#z%.md: error: the name cannot be kept on every system: it holds one of < > : " \ | ? * [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
en/` + strings.Repeat("x", 241) + `.md: error: the name cannot be kept on every system: it is too long [name-unfit]
    Rename the file; letters, digits and hyphens go everywhere.
`},
		{"a carriage return at the end of each line", func(t *testing.T, dir string) {
			put(t, dir, "en/b.md", "---\rtitle: Ä\r---\r\r## B\r\rÄ [x](#b)\r\r- [y](#y)\r")
		}, `
en/b.md:9:3: error: ` + "`#y`" + ` leads nowhere [link-nowhere]
    Link to a page by its file, to a heading or step by # and its id.
`},
		{"a pipe", func(t *testing.T, dir string) { pipe(t, filepath.Join(dir, "en", "b.md")) }, `
en/b.md: error: the file cannot be read: it is no regular file [file-unreadable]
    See who may read it, and whether the disk is whole.
`},
		{"a mark at the start, carriage returns", func(t *testing.T, dir string) {
			put(t, dir, "en/b.md", "\ufeff---\r\ntitle: Ä\r\ncolour: x\r\n---\r\n\r\nÄÄ [x](#y)\r\n")
		}, `
en/b.md:3:1: error: ` + "`colour`" + ` is no key of the front matter [key-unknown]
    Keys here: sheet, title, purpose, applicability, revised, check-by, symptom, states, hazards, support-equipment, causes, ends, supersedes, allow, translated.
en/b.md:6:4: error: ` + "`#y`" + ` leads nowhere [link-nowhere]
    Link to a page by its file, to a heading or step by # and its id.
`},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := t.TempDir()
			put(t, dir, "handbook.yaml", small)
			put(t, dir, "en/a.md", "# A\n")
			c.make(t, dir)
			result, err := render.Audit(dir)
			if err != nil {
				t.Fatal(err)
			}
			if got := "\n" + remarksText(result.Remarks); got != c.want {
				t.Errorf("got%s\nwant%s", got, c.want)
			}
		})
	}
}

func link(t *testing.T, to, name string) {
	t.Helper()
	if err := os.Symlink(to, name); err != nil {
		t.Fatal(err)
	}
}

// TestDemo compiles the demo: no remark at all, the same bytes twice, whatever
// the folder and however many workers.
func TestDemo(t *testing.T) {
	first, second := filepath.Join(t.TempDir(), "edition"), filepath.Join(t.TempDir(), "other", "name")
	compileDemo(t, first)
	if testing.Short() {
		return // the race detector has seen all of it
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	compileDemo(t, second)
	a, b := files(t, first), files(t, second)
	if len(a) < 20 || len(a) != len(b) {
		t.Fatalf("%d and %d files", len(a), len(b))
	}
	for name, data := range a {
		if !bytes.Equal(data, b[name]) {
			t.Errorf("%s differs between two builds", name)
		}
	}
}

func compileDemo(t *testing.T, out string) {
	t.Helper()
	result, err := render.Compile(t.Context(), "../content", out, render.Options{})
	if err != nil || len(result.Remarks) > 0 {
		t.Fatalf("%v\n%s", err, remarksText(result.Remarks))
	}
}

// files returns every file below a folder by its path there.
func files(t *testing.T, dir string) map[string][]byte {
	t.Helper()
	found := map[string][]byte{}
	err := filepath.WalkDir(dir, func(name string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, _ := filepath.Rel(dir, name)
		found[filepath.ToSlash(rel)], err = os.ReadFile(name)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// TestLastEditionStays compiles a good handbook, then a broken one into the
// same folder: not a byte changes, and nothing is left beside it.
func TestLastEditionStays(t *testing.T) {
	dir, parent := t.TempDir(), t.TempDir()
	out := filepath.Join(parent, "edition")
	put(t, dir, "handbook.yaml", small)
	put(t, dir, "en/a.md", "# A\n")
	if result, err := render.Compile(t.Context(), dir, out, render.Options{}); err != nil || result.Failed() {
		t.Fatal(err, result)
	}
	before := files(t, parent)
	put(t, dir, "en/a.md", "# A\n\n[x](nowhere.md)\n")
	result, err := render.Compile(t.Context(), dir, out, render.Options{})
	if err != nil || !result.Failed() {
		t.Fatalf("%v, %v: want an error among the remarks", err, result)
	}
	after := files(t, parent)
	if len(before) == 0 || len(after) != len(before) {
		t.Fatalf("%d files before, %d after", len(before), len(after))
	}
	for name, data := range before {
		if !bytes.Equal(after[name], data) {
			t.Errorf("%s changed", name)
		}
	}
}

// TestOutputApart: an edition never goes into its source, nor around it.
func TestOutputApart(t *testing.T) {
	dir := t.TempDir()
	put(t, dir, "book/handbook.yaml", small)
	put(t, dir, "book/en/a.md", "# A\n")
	for _, out := range []string{"book", "book/edition", "."} {
		if _, err := render.Compile(t.Context(), filepath.Join(dir, "book"), filepath.Join(dir, out), render.Options{}); err == nil {
			t.Errorf("output to %s is not refused", out)
		}
	}
	if n := len(files(t, dir)); n != 2 {
		t.Errorf("%d files in the source folder, want 2", n)
	}
}

// TestPlainFolder: pages without any data file compile, with advice only.
func TestPlainFolder(t *testing.T) {
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "edition")
	put(t, dir, "index.md", "# Engines\n\n[First](chapter/first.md)\n")
	put(t, dir, "chapter/first.md", "Text before any heading.\n\n# First\n\n```go\nx := 1\n```\n")
	result, err := render.Compile(t.Context(), dir, out, render.Options{})
	if err != nil || result.Failed() || len(result.Remarks) == 0 {
		t.Fatalf("%v %v", err, result.Remarks)
	}
	got := files(t, out)
	if got["index.html"] == nil || got["chapter/first.html"] == nil {
		t.Errorf("files: %d", len(got))
	}
}

// TestLanguages: the folders of languages lie side by side, and the same path
// below them is the same page; without handbook.yaml the folders tell which
// languages there are.
func TestLanguages(t *testing.T) {
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "edition")
	put(t, dir, "en/start/a.md", "# Engine\n")
	put(t, dir, "es/start/a.md", "# Motor\n")
	put(t, dir, "es/b.md", "# Solo\n")
	result, err := render.Compile(t.Context(), dir, out, render.Options{})
	if err != nil || result.Failed() || result.First != "index.html" {
		t.Fatalf("%v %v", err, result)
	}
	got := files(t, out)
	for name, link := range map[string]string{"en/start/a.html": `href="../../es/start/a.html"`, "es/start/a.html": `href="../../en/start/a.html"`, "es/index.html": `href="b.html"`} {
		if !bytes.Contains(got[name], []byte(link)) {
			t.Errorf("%s has no %s", name, link)
		}
	}
	if bytes.Contains(got["es/b.html"], []byte("../en/b.html")) {
		t.Error("es/b.html links to a page that there is not")
	}
}

// onePixel is a whole PNG picture.
var onePixel = func() string {
	var b strings.Builder
	_ = png.Encode(&b, image.NewGray(image.Rect(0, 0, 1, 1))) // a builder takes everything
	return b.String()
}()

// TestBindOverPipe: a bound file takes the place of no pipe, and does not wait for who writes into one.
func TestBindOverPipe(t *testing.T) {
	dir, out := t.TempDir(), filepath.Join(t.TempDir(), "handbook.html")
	put(t, dir, "handbook.yaml", small)
	put(t, dir, "en/a.md", "# A\n")
	pipe(t, out)
	if _, err := render.Bind(t.Context(), render.Binding{Dir: dir, Out: out}); !errors.Is(err, render.ErrUnbound) {
		t.Errorf("%v, want ErrUnbound", err)
	}
}

// TestApart: an edition takes the place of its whole folder, so that is not the handbook's, nor in it or around it, by whatever name.
func TestApart(t *testing.T) {
	top := t.TempDir()
	book := filepath.Join(top, "book")
	put(t, book, "handbook.yaml", small)
	put(t, book, "en/a.md", "# A\n")
	link(t, "book", filepath.Join(top, "other"))
	link(t, filepath.Join("book", "en"), filepath.Join(top, "pages"))
	for out, apart := range map[string]bool{
		"book": false, "book/edition": false, "book/en": false, ".": false, "other": false, "other/a/b": false, "pages/edition": false,
		"edition": true, "book-edition": true, "a/b": true,
	} {
		result, err := render.Compile(t.Context(), book, filepath.Join(top, filepath.FromSlash(out)), render.Options{})
		if errors.Is(err, render.ErrApart) == apart || err == nil && result.Failed() {
			t.Errorf("%s: %v, want apart %t", out, err, apart)
		}
	}
	if _, err := os.Stat(filepath.Join(book, "en", "a.md")); err != nil {
		t.Error(err)
	}
}
