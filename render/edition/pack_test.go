package edition

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// unpack reads a pack by the form that is told of it.
func unpack(t *testing.T, file string) map[string]string {
	t.Helper()
	files, _ := unpackInOrder(t, file)
	return files
}

func unzip(t *testing.T, file string) []byte {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	z, err := gzip.NewReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	z.Multistream(false)
	text, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func unpackInOrder(t *testing.T, file string) (files map[string]string, names []string) {
	t.Helper()
	files = map[string]string{}
	heads := []string{""}
	for r := bufio.NewReader(bytes.NewReader(unzip(t, file))); ; {
		line, err := r.ReadString('\n')
		if err == io.EOF && line == "" {
			return files, names
		}
		if err != nil {
			t.Fatal(err)
		}
		var length, head int
		numbers, name, _ := strings.Cut(strings.TrimSuffix(line, "\n"), " ")
		if _, err := fmt.Sscanf(numbers, "%d+%d", &length, &head); length == 0 && numbers != "0" {
			t.Fatal(err)
		}
		text := make([]byte, length)
		if _, err := io.ReadFull(r, text); err != nil {
			t.Fatal(err)
		}
		if name == "" {
			heads = append(heads, string(text))
			continue
		}
		files[name] = heads[head] + string(text)
		names = append(names, name)
	}
}

// TestPackOrder: the files of a family stand together, families whose pages begin alike follow each other, and files
// without a family come last. What pages begin with stands once.
func TestPackOrder(t *testing.T) {
	files := map[string]string{"assets/search/en-0.js": "segment"}
	for name, style := range map[string]string{"a": "one", "b": "two", "c": "one", "d": "two"} {
		files["en/"+name+".html"] = style + "</style>\n" + name
		files["assets/search/en/"+name+".html.js"] = "texts"
	}
	out := filepath.Join(t.TempDir(), "out")
	commitShell(t, out, nil, files)
	packs, err := filepath.Glob(filepath.Join(out, "packs", "0*.gz"))
	if err != nil || len(packs) != 1 {
		t.Fatal(packs, err)
	}
	unpacked, names := unpackInOrder(t, packs[0])
	for name, text := range files {
		if unpacked[name] != text {
			t.Errorf("%s is %q, not %q", name, unpacked[name], text)
		}
	}
	if text := unzip(t, packs[0]); bytes.Count(text, headEnd) != 2 {
		t.Errorf("beginnings stand more than once: %q", text)
	}
	names = slices.DeleteFunc(names, func(name string) bool { return strings.HasPrefix(name, "manifest/") })
	if len(names) != len(files) || names[len(names)-1] != "assets/search/en-0.js" {
		t.Fatalf("the files are %v", names)
	}
	var styles []string
	for i := 0; i < len(names)-1; i += 2 {
		if page := names[i+1]; names[i] != "assets/search/"+page+".js" {
			t.Errorf("%s stands before %s", names[i], page)
		} else {
			styles = append(styles, files[page][:3])
		}
	}
	if got := strings.Join(styles, " "); got != "one one two two" {
		t.Errorf("the pages' styles are %s", got)
	}
}

// noise does not compress.
func noise(size int) string {
	random := rand.New(rand.NewPCG(7, 8))
	data := make([]byte, size)
	for i := range data {
		data[i] = byte(random.Uint32())
	}
	return string(data)
}

// commitShell commits files of the shell and others, in an order by chance.
func commitShell(t *testing.T, out string, shell, files map[string]string) {
	t.Helper()
	w := begin(t, out)
	type file struct {
		name, text string
		write      func(string, []byte) error
	}
	var all []file
	for name, text := range shell {
		all = append(all, file{name, text, w.WriteShell})
	}
	for name, text := range files {
		all = append(all, file{name, text, w.Write})
	}
	rand.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	for _, f := range all {
		if err := f.write(f.name, []byte(f.text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := errors.Join(w.Commit(), w.Close()); err != nil {
		t.Fatal(err)
	}
}

// TestPacks: each file is in one pack, beside the part that names it, but for one
// that is large by itself; and a pack is not much larger than it may be.
func TestPacks(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	shell := map[string]string{"index.html": "<p>", "assets/page-en.js": "p()"}
	files := book(100)
	for i := range 20 {
		files[fmt.Sprintf("pictures/%d and more.png", i)] = noise(60_000 + i)
	}
	files["pictures/film.mp4"] = noise(packSize + 1)
	commitShell(t, out, shell, files)
	m, err := ReadManifest(out)
	if err != nil {
		t.Fatal(err)
	}
	got := unpack(t, filepath.Join(out, ShellPack))
	part := got[ShellPart]
	delete(got, ShellPart)
	if Digest([]byte(part)) != m.Shell.Part || !maps.Equal(got, shell) {
		t.Errorf("the shell's pack has %d files and the part %q", len(got), part)
	}
	got = map[string]string{}
	run := len(m.Parts) / len(m.Packs)
	for i := range m.Packs {
		for name, text := range unpack(t, filepath.Join(out, PackName(i))) {
			number := PartOf(name, len(m.Parts))
			if !reserved(name) {
				got[name] = text
			} else if _, err := fmt.Sscanf(name, partFolder+"%x.json", &number); err != nil || Digest([]byte(text)) != m.Parts[number] {
				t.Errorf("pack %d has %s (%v)", i, name, err)
			}
			if number < i*run || number >= (i+1)*run {
				t.Errorf("%s of part %d is in pack %d", name, number, i)
			}
		}
		if info, err := os.Stat(filepath.Join(out, PackName(i))); err != nil || info.Size() > 2*packSize {
			t.Errorf("pack %d: %v %v", i, info.Size(), err)
		}
	}
	delete(files, "pictures/film.mp4")
	if len(m.Packs) < 4 || !maps.Equal(got, files) {
		t.Errorf("%d packs have %d files, want %d", len(m.Packs), len(got), len(files))
	}
}

// TestSameBytes: the order in which files are written, and whether they were
// there before, changes nothing.
func TestSameBytes(t *testing.T) {
	dir := t.TempDir()
	shell, files := map[string]string{"index.html": "<p>"}, book(30)
	changed := maps.Clone(files)
	changed[slices.Min(slices.Collect(maps.Keys(changed)))] += "!"
	one, two := filepath.Join(dir, "one", "edition"), filepath.Join(dir, "two", "edition")
	commitShell(t, one, shell, changed)
	commitShell(t, one, shell, files)
	commitShell(t, two, shell, files)
	l, err := list(one)
	if err != nil {
		t.Fatal(err)
	}
	for name := range l.files {
		a, err := os.ReadFile(filepath.Join(one, name))
		b, other := os.ReadFile(filepath.Join(two, name))
		if err != nil || other != nil || !bytes.Equal(a, b) {
			t.Errorf("%s differs (%v, %v)", name, err, other)
		}
	}
}

// TestPackOfOlderForm: a pack of the last edition that was made in another way is made anew, though its files are the same.
func TestPackOfOlderForm(t *testing.T) {
	out, now := filepath.Join(t.TempDir(), "edition"), packForm
	packForm = "1"
	defer func() { packForm = now }()
	commitShell(t, out, nil, book(3))
	packForm = now
	commitShell(t, out, nil, book(3))
	w := begin(t, out)
	defer w.Close()
	for _, name := range []string{ShellPack, PackName(0)} {
		if !w.formed(name) {
			t.Errorf("%s is as it was", name)
		}
	}
}

// TestSpoiltPack: a pack of the last edition that somebody changed is made anew.
func TestSpoiltPack(t *testing.T) {
	out := filepath.Join(t.TempDir(), "edition")
	files := map[string]string{"a.html": "a"}
	commit(t, out, files)
	if err := os.WriteFile(filepath.Join(out, PackName(0)), []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	commit(t, out, files)
	holds(t, out, files)
}
