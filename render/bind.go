package render

import (
	"bytes"
	"compress/gzip"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"benchleaf/render/bind"
	"benchleaf/render/cache"
	"benchleaf/render/edition"
	"benchleaf/render/handbook"
	"benchleaf/render/page"
	"benchleaf/render/remark"
	"benchleaf/render/search"
	"benchleaf/render/whole"
	"benchleaf/theme"
)

// Binding says what Bind makes a file of, and where.
type Binding struct {
	Dir, Out string
	Language string   // "" for the handbook's first
	Model    string   // its id; "" for all
	Pages    []string // source files, or their names without folder of the language and ending; none: all
	Progress Progress // or nil
}

// Bound tells what Bind did.
type Bound struct {
	Result
	Title        string
	Size, Packed int // of the file in bytes, as it is and after gzip -9

	whole int // pages of the handbook in the language
}

var (
	// ErrUnbound says that a file is no bound handbook, which is never overwritten.
	ErrUnbound = errors.New("it is there and no bound handbook")
	// ErrChoice says that a handbook does not have what is to be bound of it.
	ErrChoice = errors.New("the handbook has none of that name")
)

// Bind makes one HTML file of a handbook in one language. What stops it leaves
// the file that was there before untouched.
func Bind(ctx context.Context, b Binding) (Bound, error) {
	if err := mayReplace(b.Out); err != nil {
		return Bound{}, err
	}
	tree, book, result, err := model(b.Dir)
	if err != nil {
		return Bound{}, err
	}
	defer tree.Close()
	bound := Bound{Result: result}
	if bound.Failed() {
		return bound, nil
	}
	choice, err := choose(book, b)
	if err != nil {
		return bound, err
	}
	look, err := theme.LoadBound()
	if err != nil {
		return bound, err
	}
	narrow := bind.Narrow(book, choice)
	bound.whole = len(bind.Narrow(book, bind.Choice{Language: choice.Language}).Pages)
	renderer, err := page.New(narrow, look, tree.ReadAsset)
	if err != nil {
		return bound, err
	}
	files, plain := &shelf{files: map[string][]byte{}}, &builder{cache: cache.None{}, last: newState(), next: newState()}
	d := &drawing{
		builder: plain, tree: tree, book: narrow, progress: b.Progress, put: files.put,
		renderer: func() (*page.Renderer, error) { return renderer, nil },
	}
	d.count()
	var pages []*judgedPage
	for _, p := range narrow.Pages {
		pages = append(pages, &judgedPage{Page: p})
	}
	if err := d.all(ctx, pages); err != nil {
		return bound, err
	}
	bound.Title = narrow.Title.In(choice.Language)
	style, err := renderer.BoundStyle(choice.Language)
	if err != nil {
		return bound, err
	}
	text, err := bound.bind(narrow, choice, look, style, files.files)
	if err != nil {
		return bound, err
	}
	bound.Size, bound.Packed = len(text), packed(text)
	return bound, whole.Replace(b.Out, text)
}

// bind puts the file together.
func (b *Bound) bind(book *handbook.Handbook, choice bind.Choice, look *theme.Theme, style []byte, files map[string][]byte) ([]byte, error) {
	lang := choice.Language
	words := look.Words(lang)
	script, err := look.Script(theme.BoundScript, lang)
	if err != nil {
		return nil, err
	}
	pages, err := inOrder(book, lang, files)
	if err != nil {
		return nil, err
	}
	b.Pages = len(pages)
	key := "bound.pages"
	if len(book.Pages) < b.whole {
		key = "bound.some"
	}
	title := []string{b.Title, words.Fill("page.edition", "edition", book.Edition), words.Day(book.Date)}
	title = slices.DeleteFunc(title, func(s string) bool { return s == "" })
	about := []string{strings.Join(title, ", ") + ". " + words.Fill(key, "count", strconv.Itoa(b.Pages))}
	if choice.Model != nil {
		about = append(about, words.Fill("bound.model", "model", choice.Model.Title.In(lang)))
	}
	for name := range files {
		if !loaded(name) {
			delete(files, name)
		}
	}
	return (&bind.Book{
		Title: b.Title, About: about, Missing: words.Word("bound.missing"),
		Pages: pages, Files: files, Style: style, Script: script,
	}).HTML()
}

// loaded tells whether a page of the file may load, or show, a file of an
// edition: all but the pages, the style of paper, which is the whole file's, and what
// keeps an edition that came from a host.
func loaded(name string) bool {
	stem := strings.TrimSuffix(path.Base(name), path.Ext(name))
	switch path.Ext(name) {
	case ".js":
		return stem != "worker" && !strings.HasPrefix(stem, string(theme.HeldScript)+"-")
	case ".css":
		paper := string(theme.PrintStyle)
		return stem != paper && !strings.HasPrefix(stem, paper+"-")
	case ".html", ".json":
		return false
	}
	return true
}

// inOrder returns the pages as they are read: in the order in which the finder
// names them, each procedure with its picture and its practice, and last what is of
// use on a screen alone.
func inOrder(book *handbook.Handbook, lang string, files map[string][]byte) ([]bind.Page, error) {
	finder := page.FinderPath(book, lang)
	named, err := bind.Named(finder, files[finder])
	if err != nil {
		return nil, err
	}
	place := func(p *handbook.Page) int {
		if i := slices.Index(named, p.Path); i >= 0 {
			return i
		}
		return len(named)
	}
	list := slices.DeleteFunc(slices.Clone(book.Pages), func(p *handbook.Page) bool { return p.Index })
	slices.SortStableFunc(list, func(a, b *handbook.Page) int { return place(a) - place(b) })
	var pages []bind.Page
	add := func(name string, unprinted bool) {
		if name == "" {
			return
		}
		p := bind.Page{Path: name, HTML: files[name], Unprinted: unprinted}
		if texts := search.TextsPath(name); files[texts] != nil {
			p.Texts = texts
		}
		pages = append(pages, p)
	}
	add(finder, false)
	for _, p := range list {
		add(p.Path, false)
		add(p.FlowPath(), false)
		add(p.PracticePath(), true)
	}
	add(page.JobsPath(book, lang), true)
	add(page.ModelsPath(book, lang), true)
	add(page.SearchPath(book, lang), true) // which lives as soon as it is read, of the words of all others
	return pages, nil
}

// choose looks up what is to be bound.
func choose(book *handbook.Handbook, b Binding) (bind.Choice, error) {
	choice := bind.Choice{Language: b.Language}
	if b.Language == "" {
		choice.Language = book.Languages[0]
	} else if !slices.Contains(book.Languages, b.Language) {
		return choice, unknown("language", b.Language, book.Languages)
	}
	if b.Model != "" {
		var ids []string
		for _, m := range book.Models {
			ids = append(ids, m.ID)
			if m.ID == b.Model {
				choice.Model = m
			}
		}
		if choice.Model == nil {
			return choice, unknown("model", b.Model, ids)
		}
	}
	for _, name := range b.Pages {
		var names []string
		i := slices.IndexFunc(book.Pages, func(p *handbook.Page) bool {
			if p.Lang == choice.Language && !p.Index {
				names = append(names, p.Key)
			}
			return p.Lang == choice.Language && (p.Key == name || p.Source.Path == filepath.ToSlash(name))
		})
		if i < 0 {
			return choice, unknown("page", name, names)
		}
		choice.Pages = append(choice.Pages, book.Pages[i])
	}
	return choice, nil
}

// unknown names what there is, or of much what is nearest.
func unknown(kind, name string, known []string) error {
	mend := "; it has " + strings.Join(known, ", ")
	if len(known) > 6 {
		mend = ""
		if near := remark.Nearest(name, known); near != "" {
			mend = fmt.Sprintf("; did you mean %q?", near)
		}
	}
	return fmt.Errorf("%s %q: %w%s", kind, name, ErrChoice, mend)
}

// shelf keeps files in memory.
type shelf struct {
	mu    sync.Mutex
	files map[string][]byte
}

// put takes a file of an edition.
func (s *shelf) put(f edition.File) error {
	data, err := f.Load()
	s.mu.Lock()
	defer s.mu.Unlock()
	s.files[f.Name] = data
	return err
}

// mayReplace refuses to write over anything but a bound handbook.
func mayReplace(out string) error {
	info, err := os.Stat(out) // before it is opened: a pipe would wait for a writer
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return fmt.Errorf("%s: %w", out, ErrUnbound)
	}
	f, err := os.Open(out)
	if err != nil {
		return err
	}
	defer f.Close()
	head, err := io.ReadAll(io.LimitReader(f, 500))
	if err != nil || !bytes.Contains(head, []byte(bind.Mark)) {
		return fmt.Errorf("%s: %w", out, ErrUnbound)
	}
	return nil
}

// packed is a text's length after gzip -9.
func packed(text []byte) int {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestCompression) // the level is one
	_, _ = z.Write(text)                                  // a buffer takes everything
	_ = z.Close()
	return b.Len()
}
