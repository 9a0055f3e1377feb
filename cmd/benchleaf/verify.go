package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"

	"benchleaf/render/edition"
	"benchleaf/render/remark"
	"benchleaf/render/sign"
)

// runVerify holds an edition against its signature and its manifest.
func runVerify(c *call) int {
	public := c.flags.String("key", "", "`file` of the public key that is trusted")
	rest, status, ok := c.parse(1)
	if !ok {
		return status
	}
	var pin *sign.Pin
	if *public != "" {
		text, err := os.ReadFile(*public)
		if err != nil {
			return c.trouble(err)
		}
		key, err := sign.ReadPublic(text)
		if err != nil {
			return c.refuse(*public, err)
		}
		pin = &sign.Pin{Key: key}
	}
	f, err := openEdition(editionFolder(rest))
	if err != nil {
		return c.trouble(err)
	}
	defer f.Close()
	// Who verifies wants a signature, even if he does not say whose.
	by, err := sign.Trust(f.Text, f.Signature, pin)
	if err == nil && by == nil {
		err = sign.ErrUnsigned
	}
	if err != nil {
		tell(c.stdout, edition.Fault{Name: edition.SignatureName, What: err.Error()})
	}
	files, faults, trouble := verifyFiles(f, c.stdout)
	switch {
	case trouble != nil:
		return c.trouble(trouble)
	case faults > 0:
		fmt.Fprintf(c.stdout, "%s changed, missing or too much.\n", plural(faults, "file"))
		return statusRemarks
	}
	fmt.Fprintf(c.stdout, "%s of edition %s of %s, all as its manifest says.\n", plural(files, "file"), remark.Printable(f.Manifest.Edition), remark.Printable(f.Manifest.Title))
	if err != nil {
		return statusRemarks
	}
	whose := "which is the trusted one"
	switch {
	case pin == nil:
		whose = "whoever has it: name the key that you trust with -key"
	case !bytes.Equal(pin.Key, by.Key):
		whose = "which follows the trusted one"
	}
	fmt.Fprintf(c.stdout, "Signed at %s by the key %s, %s.\n", by.Signed, by.Key.Fingerprint(), whose)
	return statusDone
}

// openEdition opens the folder of an edition.
func openEdition(dir string) (*edition.Folder, error) {
	f, err := edition.Open(dir)
	if errors.Is(err, fs.ErrNotExist) {
		err = fmt.Errorf("%s: %w", dir, edition.ErrNowhere)
	}
	return f, err
}

// whole opens an edition that is as it was made. Of another one it tells what is wrong, and says by refused, which has a
// place for the folder, what is not done with it; f is nil then.
func (c *call) whole(dir, refused string) (f *edition.Folder, status int) {
	f, err := openEdition(dir)
	if err != nil {
		return nil, c.trouble(err)
	}
	switch _, faults, err := verifyFiles(f, c.stderr); {
	case err != nil:
		status = c.trouble(err)
	case faults > 0:
		fmt.Fprintf(c.stderr, refused, remark.Printable(dir))
		status = statusRemarks
	default:
		return f, statusDone
	}
	f.Close()
	return nil, status
}

// verifyFiles tells what is wrong with an edition's files.
func verifyFiles(f *edition.Folder, to io.Writer) (files, faults int, err error) {
	files, err = f.Verify(func(fault edition.Fault) {
		faults++
		tell(to, fault)
	})
	return files, faults, err
}

func tell(to io.Writer, f edition.Fault) {
	fmt.Fprintln(to, remark.Printable(f.String()))
}
