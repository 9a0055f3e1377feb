package desk

import (
	"context"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/fsnotify/fsnotify"
)

// How long the folder must be quiet before a change counts as whole. An editor empties
// a file and writes it, or moves it away and puts another in its place: a file that is
// gone or empty is waited for a little longer. Whoever writes without end is not.
const (
	quiet     = 10 * time.Millisecond
	quietGone = 80 * time.Millisecond
	longest   = 400 * time.Millisecond
)

// afterwards is when the folder is looked at once more after a change, and often
// how often where the system does not say what changes.
const (
	afterwards = 250 * time.Millisecond
	often      = time.Second
)

// mark is how a file was when it was looked at.
type mark struct {
	size     int64
	modified time.Time
	file     os.FileInfo // its identity
}

func (m mark) same(n mark) bool {
	return m.size == n.size && m.modified.Equal(n.modified) && os.SameFile(m.file, n.file)
}

// watcher tells which files of a folder change. Events say soon that something does;
// what counts is how the files are when they are looked at, so that none is lost.
type watcher struct {
	dir    string
	events *fsnotify.Watcher // nil where the system has none
	blind  bool              // not all folders are told of
	marks  map[string]mark   // of each file, by its path in the folder
}

// watch begins to watch a folder. Where the system does not tell of changes, the
// folder is looked at every now and then.
func watch(dir string) (*watcher, error) {
	w := &watcher{dir: dir, marks: map[string]mark{}}
	if events, err := fsnotify.NewWatcher(); err == nil {
		w.events = events
	}
	if _, err := os.ReadDir(dir); err != nil {
		return nil, err
	}
	w.look()
	return w, nil
}

func (w *watcher) close() {
	if w.events != nil {
		_ = w.events.Close()
	}
}

// run gives the changed files to a function, until the context ends. It looks at the
// folder again when the function has returned.
func (w *watcher) run(ctx context.Context, changed func(files []string)) {
	var events chan fsnotify.Event
	var faults chan error
	if w.events != nil {
		events, faults = w.events.Events, w.events.Errors
	}
	again := time.NewTimer(often)
	defer again.Stop()
	for {
		named := map[string]bool{}
		select {
		case <-ctx.Done():
			return
		case e := <-events:
			w.note(e, named)
			if !w.burst(ctx, events, named) {
				return
			}
		case <-faults: // more happened than the system could tell
		case <-again.C:
		}
		// How a file is is known from before it is read: what comes later differs.
		maps.DeleteFunc(named, func(name string, _ bool) bool { return !w.remember(name) })
		if len(named) == 0 {
			for _, name := range w.look() {
				named[name] = true
			}
		}
		next := often
		if w.events != nil && !w.blind {
			next = 10 * often
		}
		if len(named) > 0 {
			changed(slices.Sorted(maps.Keys(named)))
			next = afterwards
		}
		again.Reset(next)
	}
}

// burst takes events until the folder is quiet.
func (w *watcher) burst(ctx context.Context, events <-chan fsnotify.Event, named map[string]bool) bool {
	end := time.After(longest)
	for {
		pause := quiet
		for name := range named {
			if info, err := os.Lstat(filepath.Join(w.dir, filepath.FromSlash(name))); err != nil || info.Size() == 0 {
				pause = quietGone
			}
		}
		select {
		case <-ctx.Done():
			return false
		case e := <-events:
			w.note(e, named)
		case <-time.After(pause):
			return true
		case <-end:
			return true
		}
	}
}

// note takes the files of an event: all those of a folder that appeared or went.
func (w *watcher) note(e fsnotify.Event, named map[string]bool) {
	if e.Op == fsnotify.Chmod || e.Name == "" {
		return
	}
	name, err := filepath.Rel(w.dir, e.Name)
	if err != nil || hidden(name) {
		return
	}
	name = filepath.ToSlash(name)
	if info, err := os.Lstat(e.Name); err == nil && info.IsDir() {
		for _, inner := range w.scan(name, nil) {
			named[inner] = true
		}
		return
	}
	for known := range w.marks {
		if strings.HasPrefix(known, name+"/") {
			named[known] = true
		}
	}
	named[name] = true
}

// remember keeps how a file is, and tells whether there is, or was, one of the name. Two
// changes in one tick of the file system's clock look alike: that it was named is enough.
func (w *watcher) remember(name string) bool {
	info, err := os.Lstat(filepath.Join(w.dir, filepath.FromSlash(name)))
	_, known := w.marks[name]
	if err != nil {
		delete(w.marks, name)
		return known
	}
	if info.IsDir() {
		return false
	}
	w.marks[name] = marked(info)
	return true
}

func marked(info fs.FileInfo) mark { return mark{info.Size(), info.ModTime(), info} }

// look looks at the whole folder and returns the files that are not as they were known.
func (w *watcher) look() (changed []string) {
	now := map[string]mark{}
	w.scan(".", now)
	for name, m := range now {
		if was, known := w.marks[name]; !known || !was.same(m) {
			changed = append(changed, name)
		}
	}
	for name := range w.marks {
		if _, there := now[name]; !there {
			changed = append(changed, name)
		}
	}
	w.marks = now
	return changed
}

// scan returns the files below a folder, watches its folders, and marks the files where
// marks are asked for. Names that begin with a dot are the editor's and the system's;
// links are not followed.
func (w *watcher) scan(from string, marks map[string]mark) (files []string) {
	root := filepath.Join(w.dir, filepath.FromSlash(from))
	_ = filepath.WalkDir(root, func(name string, d fs.DirEntry, err error) error {
		rel, relErr := filepath.Rel(w.dir, name)
		switch {
		case err != nil || relErr != nil:
			return nil // it went in the meantime
		case hidden(rel) && d.IsDir():
			return fs.SkipDir
		case hidden(rel):
		case d.IsDir() && w.events != nil:
			if w.events.Add(name) != nil {
				w.blind = true // the system watches only so many folders
			}
		case !d.IsDir():
			files = append(files, filepath.ToSlash(rel))
			if info, err := d.Info(); err == nil && marks != nil {
				marks[filepath.ToSlash(rel)] = marked(info)
			}
		}
		return nil
	})
	return files
}

// hidden tells whether a path in the folder has a name that begins with a dot.
func hidden(name string) bool {
	for _, part := range strings.Split(filepath.ToSlash(name), "/") {
		if part != "." && strings.HasPrefix(part, ".") {
			return true
		}
	}
	return false
}
