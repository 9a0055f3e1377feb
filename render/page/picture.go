package page

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/yuin/goldmark/ast"

	"benchleaf/render/handbook"
	"benchleaf/render/picture"
)

// picture returns what a page must know of an asset; with its size a page does not
// move when the picture comes.
func (r *Renderer) picture(asset string) picture.Info {
	if known, ok := r.pictures.Load(asset); ok {
		return known.(picture.Info)
	}
	var info picture.Info
	if r.readAsset != nil {
		if data, err := r.readAsset(asset); err == nil {
			info, _ = picture.Look(asset, data) // one that cannot be taken stops an edition before
		}
	}
	r.pictures.Store(asset, info)
	return info
}

// shownAt says how wide a photograph is on the page, in CSS pixels: as the sheet
// without its margins, and at most as it is laid out. Browsers that do not know
// min() take the whole screen for it.
const shownAt = "min(100vw - 2rem,%dpx)"

// image writes a picture. A tap opens it large, without script its file alone, where
// the browser lets two fingers make it larger still; a picture without words could not say so, and one in a link leads
// where that leads. Of a photograph a browser that knows WebP chooses a file by its
// screen; others take the one of the author's name.
func (w *writer) image(n *ast.Image) {
	alt := plainText(n, w.text)
	t, ok := w.target(n)
	if !ok || t.Kind != handbook.ToAsset {
		w.out.escaped(alt) // a picture of another host would be a request
		return
	}
	large := alt != "" && !within(n, ast.KindLink)
	if large {
		w.pictured = true
		w.out.WriteString(`<a class="large"`)
		w.out.attribute("href", w.href(t))
		w.out.WriteByte('>')
	}
	info := w.picture(t.Asset)
	if info.Sources != nil {
		w.out.WriteString(`<picture><source type="image/webp"`)
		w.out.attribute("srcset", w.sources(info))
		w.out.attribute("sizes", fmt.Sprintf(shownAt, info.Width))
		w.out.WriteByte('>')
	}
	w.out.WriteString("<img")
	w.out.attribute("src", w.href(t))
	w.out.attribute("alt", alt)
	if len(n.Title) > 0 {
		w.out.attribute("title", string(n.Title))
	}
	if info.Width > 0 {
		w.out.attribute("width", strconv.Itoa(info.Width))
		w.out.attribute("height", strconv.Itoa(info.Height))
	}
	if info.Dark {
		w.out.attribute("class", "dark")
	}
	w.out.WriteString(` loading="lazy">`)
	if info.Sources != nil {
		w.out.WriteString("</picture>")
	}
	if large {
		w.out.WriteString("</a>")
	}
}

// sources are the files of a photograph among which a browser chooses.
func (w *writer) sources(info picture.Info) string {
	var list []string
	for _, s := range info.Sources {
		// In a list of sources a comma ends an address.
		list = append(list, fmt.Sprintf("%s %dw", strings.ReplaceAll(w.rel(s.Path), ",", "%2C"), s.Width))
	}
	return strings.Join(list, ", ")
}
