package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"benchleaf/render/edition"
	"benchleaf/render/remark"
	"benchleaf/render/sign"
	"benchleaf/render/whole"
)

// publicEnding is that of a public key's file, beside the private one's.
const publicEnding = ".pub"

// runSign signs an edition, or makes the key for it.
func runSign(c *call) int {
	key := c.flags.String("key", "", "`file` of the private key to sign with")
	fresh := c.flags.String("new", "", "make a key, and write it into this `file`")
	after := c.flags.String("after", "", "with -new: `file` of the private key whose place the new one takes")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	wrong := ""
	switch {
	case *key == "" && *fresh == "":
		wrong = "which key? Sign with -key FILE; make one with -new FILE"
	case *key != "" && *fresh != "":
		wrong = "-new makes a key, -key signs: one after the other"
	case *after != "" && *fresh == "":
		wrong = "-after goes with -new: a key learns what it follows when it is made"
	case *fresh != "" && len(rest) > 0:
		wrong = fmt.Sprintf("-new makes a key only; sign %q with -key afterwards", rest[0])
	}
	if wrong != "" {
		fmt.Fprintf(c.stderr, "benchleaf sign: %s\n", wrong)
		c.help(c.stderr)
		return statusUsage
	}
	if *fresh != "" {
		return c.makeKey(*fresh, *after)
	}
	return c.signEdition(*key, editionFolder(rest))
}

func editionFolder(arguments []string) string {
	if len(arguments) == 0 {
		return "edition"
	}
	return arguments[0]
}

// makeKey writes a new key and, beside it, its public one. No file is overwritten; a key that is there without its public one gets that.
func (c *call) makeKey(name, after string) int {
	var old *sign.Key
	if after != "" {
		var status int
		if old, status = c.key(after); old == nil {
			return status
		}
	}
	key, err := sign.New(old)
	if err != nil {
		return c.refuse(after, err)
	}
	text, err := key.PEM()
	if err != nil {
		return c.trouble(err)
	}
	// The private key comes first, and is never taken away again, since another process may have seen it: one that has no public
	// key, because the process was killed or the disk was full, gets it by the same command.
	public := name + publicEnding
	if _, err := os.Lstat(public); err == nil {
		return c.notMade(name, fs.ErrExist)
	}
	says := "The key is in %s: keep it to yourself, and a copy of it in another place.\n"
	err = whole.New(name, text, 0o600)
	if there := standing(name); errors.Is(err, fs.ErrExist) && there != nil && there.Follows(old) {
		says, key, err = "The key is in %s already, and stays; its public one was missing.\n", there, nil
	}
	if err != nil {
		return c.notMade(name, err)
	}
	if err := whole.New(public, key.Public().PEM(), 0o644); err != nil {
		return c.notMade(name, err)
	}
	fmt.Fprintf(c.stdout, says, remark.Printable(name))
	fmt.Fprintf(c.stdout, "The public key is in %s: everybody may have it.\n", remark.Printable(public))
	fmt.Fprintf(c.stdout, "Fingerprint %s\n", key.Public().Fingerprint())
	return statusDone
}

// standing is the private key in a file, nil where there is none.
func standing(name string) *sign.Key {
	if info, err := os.Stat(name); err != nil || !info.Mode().IsRegular() {
		return nil
	}
	text, err := os.ReadFile(name)
	if err != nil {
		return nil
	}
	key, _ := sign.ReadKey(text)
	return key
}

// notMade tells why a key was not made, and what to do.
func (c *call) notMade(name string, err error) int {
	missing := func(name string) bool {
		_, err := os.Lstat(name)
		return errors.Is(err, fs.ErrNotExist)
	}
	says, public := "", name+publicEnding
	switch dir := filepath.Dir(name); {
	case errors.Is(err, fs.ErrExist) && missing(name):
		says = fmt.Sprintf("%s is there without its private key; put that beside it as %s, or delete it where nobody has that, or choose another name", public, name)
	case errors.Is(err, fs.ErrExist) && missing(public) && standing(name) != nil:
		says = name + " is there already without its public key; to have that, say -after as when it was made"
	case errors.Is(err, fs.ErrExist):
		says = name + " is there already; a key is never overwritten, choose another name"
	case errors.Is(err, fs.ErrNotExist) && missing(dir):
		says = dir + ": there is no such folder; make it first, or choose another one"
	default:
		return c.trouble(err)
	}
	fmt.Fprintf(c.stderr, "benchleaf sign: %s\n", remark.Printable(says))
	return statusUsage
}

// key reads a private key. Where it cannot, the status says how the command ends.
func (c *call) key(name string) (*sign.Key, int) {
	text, err := os.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		c.refuse(name, errors.New("there is no such key; make one: benchleaf sign -new "+argument(name)))
		return nil, statusUsage
	} else if err != nil {
		return nil, c.trouble(err)
	}
	key, err := sign.ReadKey(text)
	if err != nil {
		return nil, c.refuse(name, err)
	}
	return key, statusDone
}

// refuse tells what is wrong with a file.
func (c *call) refuse(name string, err error) int {
	fmt.Fprintf(c.stderr, "benchleaf %s: %s\n", c.command.name, remark.Printable(name+": "+err.Error()))
	return statusRemarks
}

// signEdition signs an edition that is whole: what was changed since it was made
// is told, not signed.
func (c *call) signEdition(key, dir string) int {
	k, status := c.key(key)
	if k == nil {
		return status
	}
	whole.Clear(dir, whole.Left) // of a signing that was killed
	f, status := c.whole(dir, "%s is not as it was made, and was not signed. Compile it again.\n")
	if f == nil {
		return status
	}
	defer f.Close()
	now := time.Now()
	file, err := k.Sign(f.Text, now)
	if err != nil {
		return c.trouble(err)
	}
	if err := whole.Replace(filepath.Join(dir, edition.SignatureName), file); err != nil {
		return c.trouble(err)
	}
	fmt.Fprintf(c.stdout, "Edition %s of %s is signed as of %s.\n", remark.Printable(f.Manifest.Edition), remark.Printable(f.Manifest.Title), now.UTC().Format(time.RFC3339))
	fmt.Fprintf(c.stdout, "Fingerprint %s\n", k.Public().Fingerprint())
	return statusDone
}
