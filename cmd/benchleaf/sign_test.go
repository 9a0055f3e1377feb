package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"benchleaf/render/sign"
)

// said runs the program where try left off. Fingerprints and times, which differ
// from run to run, are cut out of what it says.
func said(t *testing.T, args ...string) (status int, stdout, stderr string) {
	t.Helper()
	var out, errs bytes.Buffer
	status = Run(args, strings.NewReader(""), &out, &errs)
	varying := regexp.MustCompile(`([0-9a-f]{4} ){7}[0-9a-f]{4}|\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ|\d+ files`)
	return status, varying.ReplaceAllString(out.String(), "..."), errs.String()
}

func TestSign(t *testing.T) {
	if status, _, stderr := try(t, good, "compile"); status != 0 {
		t.Fatal(stderr)
	}
	made := func(name string) string {
		return "The key is in " + name + ": keep it to yourself, and a copy of it in another place.\nThe public key is in " + name + ".pub: everybody may have it.\nFingerprint ...\n"
	}
	mended := func(name string) string {
		return "The key is in " + name + " already, and stays; its public one was missing.\nThe public key is in " + name + ".pub: everybody may have it.\nFingerprint ...\n"
	}
	whole := "... of edition 1 of T, all as its manifest says.\n"
	by := whole + "Signed at ... by the key ..., "
	signed := "Edition 1 of T is signed as of ....\nFingerprint ...\n"
	page := filepath.Join("edition", "en", "a.html")
	text, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	write := func(name, text string) func() error {
		return func() error { return os.WriteFile(name, []byte(text), 0o644) }
	}
	remove := func(name string) func() error { return func() error { return os.Remove(name) } }
	nothing := func() error { return nil }
	for _, c := range []struct {
		do             func() error
		args           string
		status         int
		stdout, stderr string
	}{
		{nothing, "verify", 1, "manifest.sig: it is not signed\n" + whole, ""},
		{nothing, "sign -new my.key", 0, made("my.key"), ""},
		{nothing, "sign -new my.key", 2, "", "benchleaf sign: my.key is there already; a key is never overwritten, choose another name\n"},
		{remove("my.key.pub"), "sign -new my.key", 0, mended("my.key"), ""}, // as after a process that was killed
		{nothing, "verify -key my.key.pub", 1, "manifest.sig: it is not signed\n" + whole, ""},
		{write("other", "notes"), "sign -new other", 2, "", "benchleaf sign: other is there already; a key is never overwritten, choose another name\n"},
		{nothing, "sign -new none/my.key", 2, "", "benchleaf sign: none: there is no such folder; make it first, or choose another one\n"},
		{write("left.key.pub", "cut short"), "sign -new left.key", 2, "", "benchleaf sign: left.key.pub is there without its private key; put that beside it as left.key, or delete it where nobody has that, or choose another name\n"},
		{remove("left.key.pub"), "sign -new left.key", 0, made("left.key"), ""},
		{nothing, "sign -new foreign.key", 0, made("foreign.key"), ""},
		{nothing, "sign -key my.key", 0, signed, ""},
		{nothing, "verify", 0, by + "whoever has it: name the key that you trust with -key.\n", ""},
		{nothing, "verify -key foreign.key.pub", 1, "manifest.sig: it is signed by another key\n" + whole, ""},
		{nothing, "verify -key foreign.key", 1, "", "benchleaf verify: foreign.key: it is a private key, which stays where it is; name its public one\n"},
		{nothing, "sign -key foreign.key.pub", 1, "", "benchleaf sign: foreign.key.pub: it is a public key; signing wants the private one\n"},
		{nothing, "sign -new next.key -after my.key", 0, made("next.key"), ""},
		{nothing, "sign -key next.key edition", 0, signed, ""},
		{nothing, "verify -key next.key.pub edition", 0, by + "which is the trusted one.\n", ""},
		{remove("next.key.pub"), "sign -new next.key", 2, "", "benchleaf sign: next.key is there already without its public key; to have that, say -after as when it was made\n"},
		{nothing, "sign -new next.key -after foreign.key", 2, "", "benchleaf sign: next.key is there already without its public key; to have that, say -after as when it was made\n"},
		{nothing, "sign -new foreign.key -after my.key", 2, "", "benchleaf sign: foreign.key is there already; a key is never overwritten, choose another name\n"},
		{nothing, "sign -new next.key -after my.key", 0, mended("next.key"), ""},
		{nothing, "sign -new last.key -after next.key", 0, made("last.key"), ""},
		{nothing, "sign -key last.key", 0, signed, ""},
		{nothing, "verify -key next.key.pub", 0, by + "which follows the trusted one.\n", ""},
		{write(page, string(text)+"<p>more"), "verify -key last.key.pub", 1, "en/a.html: changed\n1 file changed, missing or too much.\n", ""},
		{nothing, "sign -key last.key", 1, "", "en/a.html: changed\nedition is not as it was made, and was not signed. Compile it again.\n"},
		{remove(page), "verify", 1, "en/a.html: missing\n1 file changed, missing or too much.\n", ""},
		{write("edition/en/x\x1b.txt", ""), "verify", 1, "en/a.html: missing\nen/x\uFFFD.txt: not of this edition\n... changed, missing or too much.\n", ""},
		{remove("edition/en/x\x1b.txt"), "compile", 0, "4 pages made. Open edition/index.html\n", ""},
		{nothing, "verify", 1, "manifest.sig: it is not signed\n" + whole, ""}, // that of the last edition went with it
		{write("edition/manifest.sig", "{"), "verify", 1, "manifest.sig: its signature does not hold: it is cut off or no signature file: unexpected end of JSON input\n" + whole, ""},
		{nothing, "sign -key last.key", 0, signed, ""},
		{write("edition/manifest.json", "{}\n"), "verify", 1, "manifest.sig: its signature does not hold\nmanifest.json: changed\n1 file changed, missing or too much.\n", ""},
		{remove("edition/manifest.json"), "verify", 1, "manifest.sig: its signature does not hold\nmanifest.json: missing\n1 file changed, missing or too much.\n", ""},
		{nothing, "verify nowhere", 2, "", "benchleaf verify: nowhere: there is no such edition; make it first: benchleaf compile\n"},
		{nothing, "sign -key last.key nowhere", 2, "", "benchleaf sign: nowhere: there is no such edition; make it first: benchleaf compile\n"},
		{nothing, "sign -key nowhere", 2, "", "benchleaf sign: nowhere: there is no such key; make one: benchleaf sign -new nowhere\n"},
	} {
		if err := c.do(); err != nil {
			t.Fatal(err)
		}
		status, stdout, stderr := said(t, strings.Fields(c.args)...)
		if status != c.status || stdout != c.stdout || stderr != c.stderr {
			t.Errorf("%s: status %d, want %d\n%s%s\nwant\n%s%s", c.args, status, c.status, stdout, stderr, c.stdout, c.stderr)
		}
	}
	if info, err := os.Stat("my.key"); runtime.GOOS != "windows" && (err != nil || info.Mode().Perm() != 0o600) {
		t.Errorf("the private key's file: %v %v, want it for its owner alone", info.Mode(), err)
	}
}

// Several that make a key of one name at once leave one, with its public key beside it: who comes later may have told of it already.
func TestSignAtOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	for try := range 20 {
		name := fmt.Sprint("key", try)
		var told atomic.Int32
		var runs sync.WaitGroup
		for range 8 {
			runs.Go(func() {
				if Run([]string{"sign", "-new", name}, strings.NewReader(""), io.Discard, io.Discard) == statusDone {
					told.Add(1)
				}
			})
		}
		runs.Wait()
		text, err := os.ReadFile(name)
		if err != nil || told.Load() == 0 {
			t.Fatalf("%d have told of a key: %v", told.Load(), err)
		}
		key, err := sign.ReadKey(text)
		if err != nil {
			t.Fatal(err)
		}
		if public, err := os.ReadFile(name + publicEnding); err != nil || !bytes.Equal(public, key.Public().PEM()) {
			t.Errorf("the public key is not that of the private one: %v", err)
		}
	}
}

func TestSignUsage(t *testing.T) {
	for args, want := range map[string]string{
		"sign":                    "which key? Sign with -key FILE; make one with -new FILE",
		"sign -key a -new b":      "-new makes a key, -key signs: one after the other",
		"sign -key a -after b":    "-after goes with -new: a key learns what it follows when it is made",
		"sign -new a edition":     `-new makes a key only; sign "edition" with -key afterwards`,
		"sign -key a edition two": `"two" is one argument too many`,
		"verify edition two":      `"two" is one argument too many`,
	} {
		status, _, stderr := try(t, nil, strings.Fields(args)...)
		command, _, _ := strings.Cut(args, " ")
		if first, _, _ := strings.Cut(stderr, "\n"); status != statusUsage || first != "benchleaf "+command+": "+want {
			t.Errorf("%s: status %d\n%s\nwant\n%s", args, status, stderr, want)
		}
	}
}
