package phone

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"benchleaf/render/edition"
	"benchleaf/render/sign"
)

// unnamed stands in the small edition where others have their name.
const unnamed = "EDITION-WITHOUT-NAME"

var smallOnce = sync.OnceValues(func() (*demo, error) {
	source := filepath.Join(scratch, "small-source")
	for file, text := range map[string]string{
		"handbook.yaml": "{title: Book, publisher: Example Engines, edition: " + unnamed + ", languages: [en]}\n",
		"models.yaml":   "", "parts.yaml": "", "specs/a.yaml": "",
		"en/a.md": "# Page of edition " + unnamed + "\n",
	} {
		file = filepath.Join(source, file)
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			return nil, err
		}
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			return nil, err
		}
	}
	return compile(source, "small")
})

// editionOf is an edition of a small handbook, signed by a key at some hour of a
// day, or by nobody.
func editionOf(t *testing.T, name string, by *sign.Key, hour int) string {
	t.Helper()
	small, err := smallOnce()
	if err != nil {
		t.Fatal(err)
	}
	out := next(t, small.dir, name, func(_ string, data []byte) []byte { return bytes.ReplaceAll(data, []byte(unnamed), []byte(name)) })
	if by != nil {
		signEdition(t, out, by, hour)
	}
	return out
}

func signEdition(t *testing.T, dir string, by *sign.Key, hour int) {
	t.Helper()
	manifest, err := os.ReadFile(filepath.Join(dir, edition.ManifestName))
	if err != nil {
		t.Fatal(err)
	}
	file := signedBy(t, by, manifest, time.Date(2026, 11, 2, hour, 0, 0, 0, time.UTC))
	if err := os.WriteFile(filepath.Join(dir, edition.SignatureName), file, 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestInstallTrusts: a phone that has a signed edition finds editions on the host
// that it must not take, says so, and stays with what it has; it follows a key to
// the next one.
func TestInstallTrusts(t *testing.T) {
	t.Parallel()
	first, foreign := madeKey(t, nil), madeKey(t, nil)
	next := madeKey(t, first)
	h := serve(t, editionOf(t, "1", first, 9), "")
	b := open(t, h.address)
	page := h.address + "en/a.html"
	finds := func(edition, text string) {
		t.Helper()
		h.set(func() { h.dir = edition })
		b.tells(`{do: "check"}`)
		b.says(text)
	}
	shows := func(edition string) {
		t.Helper()
		b.goTo(page)
		b.wait(fmt.Sprintf(`document.querySelector("h1").textContent === "Page of edition %s"`, edition))
	}
	b.goTo(page)
	b.says("Edition 1, all ")
	b.says("Signed with the key " + first.Public().Fingerprint())

	cut := editionOf(t, "5", first, 13)
	sig := filepath.Join(cut, edition.SignatureName)
	text, err := os.ReadFile(sig)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(sig, text[:len(text)/2], 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ edition, says string }{
		{editionOf(t, "2", nil, 0), "The host's edition 2 is not signed by the one who signed this phone's, which stays."},
		{editionOf(t, "3", foreign, 12), "The host's edition 3 is not signed by the one who signed this phone's, which stays."},
		{editionOf(t, "4", first, 8), "The host's edition 4 was signed before this phone's, which stays."},
		{cut, "The host's edition 5 is not what was signed: this phone's stays."},
	} {
		finds(c.edition, c.says)
		shows("1")
		b.says(c.says) // a page that is opened later is told too
	}

	finds(editionOf(t, "6", next, 10), "The new edition 6 is on this phone.")
	shows("1")
	b.says("The new edition 6 is on this phone.")
	b.tap(`[...document.querySelectorAll(".foot button")].find((k) => k.textContent === "Show it")`)
	b.wait(`document.querySelector("h1")?.textContent === "Page of edition 6"`)
	b.says("Signed with the key " + next.Public().Fingerprint())
	finds(editionOf(t, "7", first, 11), "The host's edition 7 is not signed by the one who signed this phone's, which stays.")
	shows("6")

	// Another phone has an edition before it is signed: the key counts from then on.
	late := editionOf(t, "8", nil, 0)
	h.set(func() { h.dir = late })
	b = open(t, h.address)
	b.goTo(page)
	b.says("Edition 8, all ")
	signEdition(t, late, first, 12)
	finds(late, "Signed with the key "+first.Public().Fingerprint())
	finds(editionOf(t, "9", nil, 0), "The host's edition 9 is not signed by the one who signed this phone's, which stays.")
}

// TestInstallLacks: hosts answer in several ways for a signature that is not there, some with something else. Where nothing is
// pinned the edition is one that nobody signed; a phone with a key says that it is not signed, and stays with its own.
func TestInstallLacks(t *testing.T) {
	t.Parallel()
	unsigned := editionOf(t, "2", nil, 0)
	for name, lacks := range map[string]func(w http.ResponseWriter){
		"400":   func(w http.ResponseWriter) { w.WriteHeader(http.StatusBadRequest) },
		"403":   func(w http.ResponseWriter) { w.WriteHeader(http.StatusForbidden) },
		"empty": func(w http.ResponseWriter) { w.Header().Set("Content-Type", "text/plain") },
		"text":  func(w http.ResponseWriter) { _, _ = io.WriteString(w, "not found") },
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			h := serve(t, unsigned, "")
			h.set(func() { h.lacks = lacks })
			b := open(t, h.address)
			b.goTo(h.address)
			b.says("Edition 2, all ")

			signed := editionOf(t, "1", madeKey(t, nil), 9)
			h.set(func() { h.dir = signed })
			b = open(t, h.address)
			b.goTo(h.address)
			b.says("Edition 1, all ")
			h.set(func() { h.dir = unsigned })
			b.tells(`{do: "check"}`)
			b.says("The host's edition 2 is not signed by the one who signed this phone's, which stays.")
		})
	}
}
