package compare

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strconv"
	"sync"

	"github.com/klauspost/compress/gzip"

	"benchleaf/render/jsontext"
)

// Pack is the facts as a file.
func (p *Page) Pack() ([]byte, error) {
	k := packers.Get().(*packer)
	defer packers.Put(k)
	k.text = append(p.json(k.text[:0]), '\n')
	return k.pack()
}

// Pack is the facts as a file.
func (b *Book) Pack() ([]byte, error) {
	text, err := json.Marshal(b)
	if err != nil {
		return nil, err
	}
	k := packers.Get().(*packer)
	defer packers.Put(k)
	k.text = append(append(k.text[:0], text...), '\n')
	return k.pack()
}

// Unpack reads what Pack made.
func (p *Page) Unpack(file []byte) error { return unpack(file, p) }

// Unpack reads what Pack made.
func (b *Book) Unpack(file []byte) error { return unpack(file, b) }

// json appends what encoding/json makes of the facts, by hand: there are as many of them as pages. A test holds
// the two together.
func (p *Page) json(b []byte) []byte {
	b = strconv.AppendInt(append(b, `{"format":`...), int64(p.Format), 10)
	b = jsontext.Append(append(b, `,"path":`...), p.Path)
	b = jsontext.Append(append(b, `,"lang":`...), p.Lang)
	b = jsontext.Append(append(b, `,"sheet":`...), p.Sheet)
	b = texts(b, `,"models":`, p.Models)
	b = p.Page.json(append(b, `,"page":`...))
	b = things(b, `,"steps":[`, p.Steps)
	b = things(b, `,"causes":[`, p.Causes)
	b = things(b, `,"ends":[`, p.Ends)
	b = things(b, `,"calculators":[`, p.Forms)
	for i := range p.Blocks {
		x := &p.Blocks[i]
		b = append(b, key(i, `,"blocks":[`)...)
		b = jsontext.Append(append(b, `{"kind":`...), x.Kind)
		if x.In != "" {
			b = jsontext.Append(append(b, `,"in":`...), x.In)
		}
		b = jsontext.Append(append(b, `,"text":`...), x.Text)
		b = append(texts(b, `,"shows":`, x.Shows), '}')
	}
	b = closed(b, ']', len(p.Blocks))
	for i, name := range slices.Sorted(maps.Keys(p.Files)) {
		b = jsontext.Append(append(b, key(i, `,"files":{`)...), name)
		b = jsontext.Append(append(b, ':'), p.Files[name])
	}
	return append(closed(b, '}', len(p.Files)), '}')
}

func (t *Thing) json(b []byte) []byte {
	b = jsontext.Append(append(b, `{"id":`...), t.ID)
	if t.Title != "" {
		b = jsontext.Append(append(b, `,"title":`...), t.Title)
	}
	for i, f := range t.Fields {
		b = append(b, key(i, `,"fields":[`)...)
		b = jsontext.Append(append(b, `{"name":`...), f.Name)
		b = append(texts(b, `,"lines":`, f.Lines), '}')
	}
	return append(texts(closed(b, ']', len(t.Fields)), `,"shows":`, t.Shows), '}')
}

// things appends a list, with what stands before it, if it is not empty.
func things(b []byte, before string, list []Thing) []byte {
	for i := range list {
		b = list[i].json(append(b, key(i, before)...))
	}
	return closed(b, ']', len(list))
}

// texts appends a list, with what stands before it, if it is not empty.
func texts(b []byte, before string, list []string) []byte {
	if len(list) == 0 {
		return b
	}
	return jsontext.AppendList(append(b, before...), list)
}

// key is what stands before the i-th of several: what begins them, or a comma.
func key(i int, begin string) string {
	if i == 0 {
		return begin
	}
	return ","
}

// closed ends n of something, if there were any.
func closed(b []byte, end byte, n int) []byte {
	if n == 0 {
		return b
	}
	return append(b, end)
}

// packer is what facts are packed in, kept for the next ones. No phone takes facts, so that speed counts: a compressor that keeps
// nothing from one write to the next has a table of 16 KB, which stays in the processor's cache, and makes files half a percent larger
// than the first level, whose table of a quarter of a megabyte takes the place there of all else that a page is made with.
type packer struct {
	text []byte
	file bytes.Buffer
	zip  *gzip.Writer
}

var packers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, gzip.StatelessCompression) // the level is one
	return &packer{zip: z}
}}

// pack is its text as a file.
func (k *packer) pack() ([]byte, error) {
	k.file.Reset()
	k.zip.Reset(&k.file)
	_, err := k.zip.Write(k.text)
	err = errors.Join(err, k.zip.Close())
	return bytes.Clone(k.file.Bytes()), err
}

// A file unpacks to no more than so many bytes, and so many for each of its own: real ones to
// ten, at most a megabyte. So an edition takes no more memory than it has on the disk, a
// hundred times over at the worst.
const (
	maxUnpacked = 8 << 20
	maxRatio    = 100
)

func unpack(file []byte, facts any) error {
	z, err := gzip.NewReader(bytes.NewReader(file))
	if err != nil {
		return err
	}
	most := min(maxUnpacked, maxRatio*len(file))
	text, err := io.ReadAll(io.LimitReader(z, int64(most)+1))
	switch {
	case err != nil:
		return err
	case len(text) > most:
		return ErrForm
	}
	return json.Unmarshal(text, facts)
}
