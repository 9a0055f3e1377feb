package language

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// edit takes a document that is opened, changed or closed. What comes out of its order is
// refused: what is known of the document stays.
func (s *server) edit(method string, params documentParams) error {
	d := params.TextDocument
	known := s.docs[d.URI]
	switch method {
	case "textDocument/didOpen":
		name := s.nameOf(d.URI)
		s.docs[d.URI] = &doc{name: name, version: d.Version, text: []byte(d.Text)}
		if name != "" {
			s.uris[name] = d.URI
		}
	case "textDocument/didClose":
		if known == nil {
			return errors.New("it is not open")
		}
		delete(s.docs, d.URI)
		delete(s.uris, known.name)
	default:
		switch {
		case known == nil:
			return errors.New("it is not open")
		case d.Version <= known.version:
			return fmt.Errorf("version %d comes after version %d", d.Version, known.version)
		}
		for _, c := range params.ContentChanges {
			known.text = s.changedText(known.text, c)
		}
		known.version = d.Version
	}
	s.changed()
	return nil
}

// changedText is a text with a change; the text that it was stays as it is.
func (s *server) changedText(data []byte, c change) []byte {
	if c.Range == nil {
		return []byte(c.Text)
	}
	t := newText(data)
	start, end := t.offset(c.Range.Start, s.encoding), t.offset(c.Range.End, s.encoding)
	return slices.Concat(data[:start], []byte(c.Text), data[max(start, end):])
}

// changed has the handbook judged anew. One that was not there when the session began may have come.
func (s *server) changed() {
	if s.judge == nil && s.open() != nil {
		return // the client was told
	}
	s.revision++
	select {
	case s.wake <- struct{}{}:
	default:
	}
}

// view is the handbook as a question sees it: what was judged last, and the open documents
// as they are now.
type view struct {
	*Judged
	texts    map[string][]byte
	versions map[string]int // of open documents
}

// look waits until the handbook has been judged at all, or where exact is set as it is now, and what is wrong with it was told.
func (s *server) look(ctx context.Context, exact bool) (*view, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	wanted := 0
	if exact {
		wanted = s.revision
	}
	for s.judged == nil || s.published < wanted {
		if s.judge == nil {
			return nil, refuse("there is no handbook")
		}
		news := s.news
		s.mu.Unlock()
		select {
		case <-news:
		case <-ctx.Done():
		}
		s.mu.Lock()
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
	}
	if s.judged.err != nil {
		return nil, s.judged.err
	}
	v := &view{s.judged.Judged, maps.Clone(s.judged.Texts), map[string]int{}}
	for _, d := range s.docs {
		if d.name != "" {
			v.texts[d.name], v.versions[d.name] = d.text, d.version
		}
	}
	return v, nil
}

// seen are the sites of a text.
type seen struct {
	text      []byte
	languages string
	sites     []site
}

// sites are those of a file; they are found once for each text.
func (s *server) sites(v *view, name string) []site {
	data, languages := v.texts[name], strings.Join(v.Book.Languages, " ")
	s.mu.Lock()
	known, ok := s.seen[name]
	s.mu.Unlock()
	if ok && known.languages == languages && bytes.Equal(known.text, data) {
		return known.sites
	}
	known = seen{data, languages, scan(name, data, v.Book.Languages)}
	s.mu.Lock()
	s.seen[name] = known
	s.mu.Unlock()
	return known.sites
}

// every calls f for each site of the handbook, in order.
func (s *server) every(v *view, f func(file string, x site)) {
	for _, name := range slices.Sorted(maps.Keys(v.texts)) {
		for _, x := range s.sites(v, name) {
			f(name, x)
		}
	}
}

// at finds the file and the text of a question, and the site that it points at: the
// narrowest there. site is nil where no name can stand.
func (s *server) at(v *view, params documentParams) (name string, t *text, offset int, found *site) {
	name = s.nameOf(params.TextDocument.URI)
	data, ok := v.texts[name]
	if name == "" || !ok {
		return "", nil, 0, nil
	}
	t = newText(data)
	offset = t.offset(params.Position, s.encoding)
	for _, x := range s.sites(v, name) {
		if x.start <= offset && offset <= x.end && (found == nil || x.end-x.start < found.end-found.start) {
			found = &x
		}
	}
	return name, t, offset, found
}
