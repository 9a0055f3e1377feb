package edition

import (
	"bytes"
	"io"
	"path"
	"strings"

	"github.com/andybalholm/brotli"
	"github.com/klauspost/compress/gzip"
)

// A host that compresses each answer does so anew for each phone, and less than it
// could: a published folder has every text compressed once.

// coding is a way in which hosts send a file compressed (RFC 9110, 8.4), with the
// ending by which they find it beside the file.
type coding struct {
	ending string
	write  func(io.Writer) io.WriteCloser
	read   func(io.Reader) (io.Reader, error)
}

var codings = []coding{
	{
		".br",
		// The best level takes a hundred times as long as this one, for a tenth of the bytes.
		func(w io.Writer) io.WriteCloser { return brotli.NewWriterLevel(w, 6) },
		func(r io.Reader) (io.Reader, error) { return brotli.NewReader(r), nil },
	},
	{
		".gz",
		func(w io.Writer) io.WriteCloser {
			z, _ := gzip.NewWriterLevel(w, gzip.BestCompression) // fails on other levels only
			return z
		},
		func(r io.Reader) (io.Reader, error) { return gzip.NewReader(r) },
	},
}

// leastCompressed is how many bytes a file has at least that is worth a second one: an
// answer of fewer goes in one packet either way.
const leastCompressed = 1000

// shrinks tells whether a file is sent compressed.
func shrinks(name string, size int) bool { return isText(path.Ext(name)) && size >= leastCompressed }

// isText tells whether files with an ending are text.
func isText(ending string) bool {
	switch ending {
	case ".html", ".css", ".js", ".json", ".svg", ".txt", ".csv", ".md", ".xml", ".webmanifest":
		return true
	}
	return false
}

// uncoded is the name of the file that a compressed one is of, and in which coding; nil
// for one whose name is not that of a compressed one.
func uncoded(name string) (plain string, in *coding) {
	for i, c := range codings {
		if plain, ok := strings.CutSuffix(name, c.ending); ok {
			return plain, &codings[i]
		}
	}
	return name, nil
}

// compress returns data in a coding.
func (c coding) compress(data []byte) ([]byte, error) {
	var b bytes.Buffer
	z := c.write(&b)
	if _, err := z.Write(data); err != nil {
		return nil, err
	}
	err := z.Close()
	return b.Bytes(), err
}

// holds tells whether a compressed text is one of data.
func (c coding) holds(compressed, data []byte) bool {
	r, err := c.read(bytes.NewReader(compressed))
	if err != nil {
		return false
	}
	plain, err := io.ReadAll(io.LimitReader(r, int64(len(data))+1))
	return err == nil && bytes.Equal(plain, data)
}
