package edition

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// withFacts is an edition of one page and its facts.
func withFacts(t *testing.T) string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "edition")
	w := begin(t, out)
	text := []byte(`{"format":1}`)
	err := errors.Join(w.Write("a.html", []byte("a")),
		w.Add(File{Name: "facts/a.html.json", Digest: Digest(text), Size: len(text), Facts: true, Load: loaded(text)}), w.Commit(), w.Close())
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestFacts asks that no phone hears of facts, which are in no part that it reads and in no pack, and
// that who verifies the edition holds them against its manifest.
func TestFacts(t *testing.T) {
	out := withFacts(t)
	m, err := ReadManifest(out)
	if err != nil {
		t.Fatal(err)
	}
	for i := range m.Parts {
		if text, err := os.ReadFile(filepath.Join(out, filepath.FromSlash(PartName(i)))); err != nil || strings.Contains(string(text), "facts") {
			t.Errorf("%s: %s %v", PartName(i), text, err)
		}
	}
	for i := range m.Packs {
		for name := range unpack(t, filepath.Join(out, filepath.FromSlash(PackName(i)))) {
			if strings.HasPrefix(name, "facts") {
				t.Errorf("%s has %s", PackName(i), name)
			}
		}
	}
	f, err := Open(out)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	faults := 0
	if _, err := f.Verify(func(Fault) { faults++ }); err != nil || faults > 0 {
		t.Error(faults, err)
	}
	files, err := f.Facts()
	if err != nil || len(files) != 1 {
		t.Fatal(files, err)
	}
	if text, err := f.Fact("facts/a.html.json", files["facts/a.html.json"]); err != nil || string(text) != `{"format":1}` {
		t.Errorf("%s %v", text, err)
	}
	if err := os.WriteFile(filepath.Join(out, "facts", "a.html.json"), []byte("{}"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := f.Verify(func(fault Fault) {
		if faults++; fault.String() != "facts/a.html.json: changed" {
			t.Error(fault)
		}
	}); err != nil || faults != 1 {
		t.Error(faults, err)
	}
	if _, err := f.Fact("facts/a.html.json", files["facts/a.html.json"]); !errors.Is(err, ErrForeign) {
		t.Error(err)
	}
}
