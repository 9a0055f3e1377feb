package language

import (
	"net/url"
	"path/filepath"
	"runtime"
	"strings"
)

// uriOf is the address of a file of the handbook.
func (s *server) uriOf(name string) string {
	s.mu.Lock()
	uri, open := s.uris[name]
	s.mu.Unlock()
	if open {
		return uri // as the client writes it
	}
	file := filepath.ToSlash(filepath.Join(s.dir, filepath.FromSlash(name)))
	if !strings.HasPrefix(file, "/") { // a drive
		file = "/" + file
	}
	return (&url.URL{Scheme: "file", Path: file}).String()
}

// fileOf is the file of an address, "" where it is none.
func fileOf(uri string) string {
	u, err := url.Parse(uri)
	if err != nil || u.Scheme != "file" || u.Path == "" {
		return ""
	}
	file := u.Path
	if runtime.GOOS == "windows" {
		file = strings.TrimPrefix(file, "/")
	}
	return filepath.FromSlash(file)
}

// nameOf is the path of a page or data file within the handbook, "" for what is none.
func (s *server) nameOf(uri string) string {
	file := fileOf(uri)
	if file == "" || s.dir == "" {
		return ""
	}
	name, err := filepath.Rel(s.dir, file)
	if err != nil {
		return ""
	}
	name = filepath.ToSlash(name)
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") { // outside, or hidden
			return ""
		}
	}
	switch strings.ToLower(filepath.Ext(name)) {
	case ".md", ".yaml", ".yml":
		return name
	}
	return ""
}
