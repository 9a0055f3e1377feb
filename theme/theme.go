// Package theme holds what a technician sees: templates, styles, scripts and
// the words of the page, all embedded.
//
// In: nothing but its own files. Out: parsed templates, the words of each
// language, one style sheet, and one script a language, bundled and minified.
// It may import nothing of the project.
package theme

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"sync"
)

//go:embed templates/*.html style/*.css script/*.ts messages
var files embed.FS

// Theme is the whole theme, ready for use by several goroutines.
type Theme struct {
	Templates *template.Template

	words map[string]*Words
	style func() ([]byte, error)

	mu      sync.Mutex
	scripts map[string]*bundle
}

// bundle is a language's script, made when it is first asked for.
type bundle struct {
	once sync.Once
	js   []byte
	err  error
}

// Load parses templates and words. The style sheet and the scripts are bundled
// when they are first asked for.
func Load() (*Theme, error) {
	templates, err := template.New("theme").ParseFS(files, "templates/*.html")
	if err != nil {
		return nil, fmt.Errorf("theme: %w", err)
	}
	words, err := loadWords(files)
	if err != nil {
		return nil, err
	}
	return &Theme{
		Templates: templates,
		words:     words,
		style:     sync.OnceValues(bundleStyle),
		scripts:   map[string]*bundle{},
	}, nil
}

// Style returns the style sheet of every page.
func (t *Theme) Style() ([]byte, error) { return t.style() }

// Script returns the script of the pages in a language: an immediately called
// function for a classic script element.
func (t *Theme) Script(lang string) ([]byte, error) {
	words := t.Words(lang)
	t.mu.Lock()
	b := t.scripts[words.Lang]
	if b == nil {
		b = &bundle{}
		t.scripts[words.Lang] = b
	}
	t.mu.Unlock()
	b.once.Do(func() { b.js, b.err = bundleScript(words) })
	return b.js, b.err
}

// sub is a folder of the embedded files.
func sub(dir string) fs.FS {
	f, err := fs.Sub(files, dir)
	if err != nil {
		panic(err) // dir is one of the folders named above
	}
	return f
}
