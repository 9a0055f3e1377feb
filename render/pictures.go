package render

import (
	"runtime"

	"golang.org/x/sync/errgroup"

	"benchleaf/render/picture"
	"benchleaf/render/source"
)

// writeAssets writes the files that pages show or lead to, with a worker a core.
func writeAssets(w sink, tree *source.Tree, names []string) error {
	var workers errgroup.Group
	workers.SetLimit(runtime.GOMAXPROCS(0))
	for _, name := range names {
		workers.Go(func() error { return writeAsset(w, tree, name) })
	}
	return workers.Wait()
}

// writeAsset writes a file that pages show or lead to: as it is, and of a picture
// what an edition has of it.
func writeAsset(w sink, tree *source.Tree, name string) error {
	data, err := tree.ReadAsset(name)
	if err != nil {
		return err
	}
	if !picture.IsPicture(name) {
		return w.Write(name, data)
	}
	files, _, err := picture.Variants(name, data)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := w.Write(f.Path, f.Data); err != nil {
			return err
		}
	}
	return nil
}
