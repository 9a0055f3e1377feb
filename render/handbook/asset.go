package handbook

import (
	"crypto/sha256"
	"sync"

	"benchleaf/render/picture"
	"benchleaf/render/remark"
)

// Asset is what is known of a file that pages show or lead to. It hangs on the file's
// name and bytes alone.
type Asset struct {
	Digest  [sha256.Size]byte
	Remarks remark.List  // on a picture
	Info    picture.Info // of a picture; nothing where it cannot be taken
}

// assets are those that were asked for, by path.
type assets struct {
	known map[string]*Asset // from before

	mu   sync.Mutex
	seen map[string]func() *Asset
}

// asset reads a file, once.
func (r *resolver) asset(name string) *Asset {
	r.assets.mu.Lock()
	once := r.assets.seen[name]
	if once == nil {
		once = sync.OnceValue(func() *Asset { return r.readAsset(name) })
		if r.assets.seen == nil {
			r.assets.seen = map[string]func() *Asset{}
		}
		r.assets.seen[name] = once
	}
	r.assets.mu.Unlock()
	return once()
}

func (r *resolver) readAsset(name string) *Asset {
	a := &Asset{}
	data, err := r.tree.ReadAsset(name)
	if err != nil {
		a.Remarks.Add(remark.FileUnreadable, remark.Place{File: name}, err)
		return a
	}
	a.Digest = sha256.Sum256(data)
	if known := r.assets.known[name]; known != nil && known.Digest == a.Digest {
		return known
	}
	if !picture.IsPicture(name) {
		return a
	}
	a.Remarks = checkPicture(name, data)
	a.Info, _ = picture.Look(name, data) // a mistake in it has a remark
	return a
}

// Assets are those that pages show or lead to, by path, to be known the next time.
func (d *Draft) Assets() map[string]*Asset {
	list := map[string]*Asset{}
	for _, name := range d.r.book.Assets {
		list[name] = d.r.asset(name)
	}
	return list
}

// Asset is what is known of a file that the page at hand shows or leads to; nil of what is none.
func (d *Draft) Asset(name string) *Asset {
	if !d.r.assetNames[name] {
		return nil
	}
	return d.r.asset(name)
}
