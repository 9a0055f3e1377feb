package compare_test

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"benchleaf/render/compare"
	"benchleaf/render/edition"
)

// forged is an edition of which somebody wrote the facts: files by name, all with their right digests.
func forged(t *testing.T, files map[string][]byte) string {
	t.Helper()
	dir := written(t, book(t, old))
	put := func(name string, data []byte) {
		t.Helper()
		target := filepath.Join(dir, filepath.FromSlash(name))
		if err := errors.Join(os.MkdirAll(filepath.Dir(target), 0o755), os.WriteFile(target, data, 0o644)); err != nil {
			t.Fatal(err)
		}
	}
	var list map[string]map[string]string
	var manifest map[string]any
	for name, into := range map[string]any{edition.FactsPart: &list, edition.ManifestName: &manifest} {
		text, err := os.ReadFile(filepath.Join(dir, filepath.FromSlash(name)))
		if err == nil {
			err = json.Unmarshal(text, into)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	for name, data := range files {
		folder, file := path.Split(name)
		if list[folder] == nil {
			list[folder] = map[string]string{}
		}
		list[folder][file] = edition.Digest(data)
		if !strings.Contains(name, "..") {
			put(name, data)
		}
	}
	text, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	put(edition.FactsPart, text)
	manifest["facts"] = edition.Digest(text)
	if text, err = json.Marshal(manifest); err != nil {
		t.Fatal(err)
	}
	put(edition.ManifestName, text)
	return dir
}

func zipped(t *testing.T, text string) []byte {
	t.Helper()
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, err := io.WriteString(z, text)
	if err = errors.Join(err, z.Close()); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestForged asks for a refusal of facts that no edition has, though their digests are right, and of
// what lies outside of the folder.
func TestForged(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside it")
	}
	page := compare.PageFile("en/a.html")
	for name, files := range map[string]map[string][]byte{
		"no gzip":            {page: []byte(`{"format":2,"path":"en/a.html"}`)},
		"no JSON":            {page: zipped(t, "a")},
		"another path":       {page: zipped(t, `{"format":2,"path":"en/b.html"}`)},
		"a later form":       {page: zipped(t, `{"format":3,"path":"en/a.html"}`)},
		"a list":             {page: zipped(t, `[]`)},
		"a bomb":             {page: zipped(t, `{"format":2,"path":"en/a.html","lang":"`+strings.Repeat("a", 20<<20)+`"}`)},
		"half":               {page: zipped(t, `{"format":2,"path":"en/a.html"}`)[:20]},
		"outside":            {"facts/../../outside.json.gz": zipped(t, `{"format":2,"path":"../../outside"}`)},
		"an absolute path":   {"/etc/passwd": []byte("root")},
		"elsewhere":          {"en/a.html.json.gz": zipped(t, `{"format":2,"path":"en/a.html"}`)},
		"data of no edition": {compare.BookFile: zipped(t, `{"format":0}`)},
	} {
		t.Run(name, func(t *testing.T) {
			dir := forged(t, files)
			outside := zipped(t, `{"format":2,"path":"../../outside"}`)
			if err := os.WriteFile(filepath.Join(filepath.Dir(dir), "outside.json.gz"), outside, 0o644); err != nil {
				t.Fatal(err)
			}
			if e, err := compare.Open(dir); !errors.Is(err, edition.ErrForeign) && !errors.Is(err, compare.ErrForm) || e != nil {
				t.Errorf("%v, %v", e, err)
			}
		})
	}
	t.Run("a link", func(t *testing.T) {
		dir := forged(t, map[string][]byte{page: zipped(t, `{"format":2,"path":"en/a.html"}`)})
		target := filepath.Join(dir, filepath.FromSlash(page))
		if err := errors.Join(os.Rename(target, target+"2"), os.Symlink(target+"2", target)); err != nil {
			t.Skip(err)
		}
		if _, err := compare.Open(dir); !errors.Is(err, edition.ErrForeign) {
			t.Error(err)
		}
	})
}

// TestStrange compares editions whose facts are spoilt at random, and what JSON can leave out or have
// twice: nothing falls over.
func TestStrange(t *testing.T) {
	if testing.Short() {
		t.Skip("nothing runs beside it")
	}
	h := book(t, new)
	sound := facts(t, h)
	try := func(files map[string][]byte) bool {
		e, err := compare.Open(forged(t, files))
		if err != nil {
			return false
		}
		for _, c := range []*compare.Comparison{compare.Compare(e, sound), compare.Compare(sound, e), compare.Compare(e, e).Of("a1")} {
			if err := errors.Join(c.WriteText(io.Discard), c.WriteJSON(io.Discard)); err != nil {
				t.Fatal(err)
			}
		}
		since := compare.NewSince(e, h, nil)
		for _, p := range h.Pages {
			since.Of(p)
		}
		return true
	}
	for _, text := range []string{
		`{"format":2}`,
		`{"format":2,"specs":[{},{"id":"a","models":{"a1":null}},{"id":"a"}],"parts":[{"id":"p"},{"id":"p"}],"models":[{"id":"a1"},{"id":"a1"}]}`,
		`{"format":2,"data":{"nothing":[{}],"state":null,"hazard":[{"titles":null,"fields":[{"name":"a","lines":null}]}]}}`,
	} {
		if !try(map[string][]byte{compare.BookFile: zipped(t, text)}) {
			t.Errorf("%s was refused", text)
		}
	}
	for _, text := range []string{
		`{"format":2,"path":"en/idle.html"}`,
		`{"format":2,"path":"en/idle.html","steps":[{},{"id":"look"},{"id":"look"}],"blocks":[{},{"kind":"step"},{"kind":"heading","in":"look"}],"files":{"file:a":"b"}}`,
	} {
		if !try(map[string][]byte{compare.PageFile("en/idle.html"): zipped(t, text)}) {
			t.Errorf("%s was refused", text)
		}
	}
	dir := written(t, book(t, old))
	file, err := os.Open(filepath.Join(dir, filepath.FromSlash(compare.PageFile("en/idle.html"))))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	z, err := gzip.NewReader(file)
	if err != nil {
		t.Fatal(err)
	}
	whole, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(7, 11))
	taken := 0
	for range 100 {
		text := bytes.Clone(whole)
		for range 1 + random.IntN(3) {
			at := random.IntN(len(text))
			text[at] = "\"{}[]:,0ax"[random.IntN(10)]
		}
		if try(map[string][]byte{compare.PageFile("en/idle.html"): zipped(t, string(text))}) {
			taken++
		}
	}
	if taken < 10 {
		t.Errorf("only %d of 100 were read", taken)
	}
}
