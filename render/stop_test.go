package render_test

import (
	"context"
	"errors"
	"path/filepath"
	"reflect"
	"testing"

	"benchleaf/render"
)

// TestStopped stops a build at every moment that it tells of: what was there before is
// as it was, and nothing lies beside it. From the moment on that all is packed, a build
// is either stopped or whole.
func TestStopped(t *testing.T) {
	if testing.Short() {
		t.Skip("a build for each moment")
	}
	dir, parent := t.TempDir(), t.TempDir()
	out := filepath.Join(parent, "edition")
	put(t, dir, "handbook.yaml", small)
	put(t, dir, "en/a.md", "# A\n")
	put(t, dir, "en/b.md", "# B\n\n[A](a.md)\n")
	build := func(ctx context.Context, o render.Options) error {
		_, err := render.Compile(ctx, dir, out, o)
		return err
	}
	moments := 0
	if err := build(t.Context(), render.Options{Progress: func(string, int, int) { moments++ }}); err != nil {
		t.Fatal(err)
	}
	before := files(t, parent)
	put(t, dir, "en/a.md", "# Another\n")
	seen := map[string]bool{}
	for stop := range moments {
		ctx, cancel := context.WithCancel(t.Context())
		at, last := 0, ""
		err := build(ctx, render.Options{Progress: func(what string, _, _ int) {
			if at == stop {
				cancel()
				last = what
			}
			at++
		}})
		cancel()
		if !errors.Is(err, context.Canceled) {
			t.Fatalf("stopped at moment %d (%s): %v", stop, last, err)
		}
		if seen[last] = true; !reflect.DeepEqual(files(t, parent), before) {
			t.Fatalf("stopped at moment %d (%s), it changes the folder", stop, last)
		}
	}
	for _, what := range []string{render.Reading, render.Drawing, render.Searching, render.Packing} {
		if !seen[what] {
			t.Errorf("nothing tells of %s", what)
		}
	}
	file := filepath.Join(parent, "handbook.html")
	stopAt := func(what string) error {
		ctx, cancel := context.WithCancel(t.Context())
		defer cancel()
		_, err := render.Bind(ctx, render.Binding{Dir: dir, Out: file, Progress: func(w string, _, _ int) {
			if w == what {
				cancel()
			}
		}})
		return err
	}
	for _, what := range []string{render.Drawing, render.Searching} {
		if err := stopAt(what); !errors.Is(err, context.Canceled) || !reflect.DeepEqual(files(t, parent), before) {
			t.Errorf("the one file, stopped at %s: %v", what, err)
		}
	}
}
