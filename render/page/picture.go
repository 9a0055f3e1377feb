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
	w.large(large, t, func() { w.show(t, w.picture(t.Asset), alt, string(n.Title)) })
}

// pictureBlock writes a picture with numbers on it, which a drawing over it has: so they
// are as sharp on the picture at large and on paper.
func (w *writer) pictureBlock(p *handbook.Picture) {
	t := handbook.Target{Kind: handbook.ToAsset, Asset: p.Asset}
	info := w.picture(p.Asset)
	w.out.WriteString("<p>")
	w.large(p.Text != "", t, func() {
		w.marked = true
		w.out.WriteString(`<span class="marked">`)
		w.show(t, info, p.Text, "")
		w.template("marks", newMarksView(p, info))
		w.out.WriteString("</span>")
	})
	w.out.WriteString("</p>\n")
}

// marksView are numbers in circles. Its units are CSS pixels where the picture is as
// wide as a phone's screen; where it is wider they grow with it, as those that are
// drawn into a drawing.
type marksView struct {
	Width, Height, Radius int
	Spots                 []spotView
}

type spotView struct{ Number, X, Y, Baseline int }

func newMarksView(p *handbook.Picture, info picture.Info) marksView {
	const phone, radius, halfFigure = 360, 11, 5
	v := marksView{Width: info.Width, Height: info.Height, Radius: radius}
	if v.Width > phone {
		v.Width, v.Height = phone, (info.Height*phone+info.Width/2)/info.Width
	}
	// Circles at the border stay whole.
	place := func(hundredths float64, length int) int {
		return max(min(int(hundredths*float64(length)/100+0.5), length-radius-1), radius+1)
	}
	for i, s := range p.Spots {
		y := place(s.Y, v.Height)
		v.Spots = append(v.Spots, spotView{i + 1, place(s.X, v.Width), y, y + halfFigure})
	}
	return v
}

// large makes of a picture a link to its file, which the script opens large.
func (w *writer) large(is bool, t handbook.Target, write func()) {
	if is {
		w.pictured = true
		w.out.WriteString(`<a class="large"`)
		w.out.attribute("href", w.href(t))
		w.out.WriteByte('>')
	}
	write()
	if is {
		w.out.WriteString("</a>")
	}
}

// show writes the picture itself.
func (w *writer) show(t handbook.Target, info picture.Info, alt, title string) {
	if info.Sources != nil {
		w.out.WriteString(`<picture><source type="image/webp"`)
		w.out.attribute("srcset", w.sources(info))
		w.out.attribute("sizes", fmt.Sprintf(shownAt, info.Width))
		w.out.WriteByte('>')
	}
	enclosed := w.enclosed(t.Asset)
	w.out.WriteString("<img")
	if enclosed != "" {
		w.out.WriteString(` src="` + enclosed + `"`)
	} else {
		w.out.attribute("src", w.href(t))
	}
	w.out.attribute("alt", alt)
	if title != "" {
		w.out.attribute("title", title)
	}
	if info.Width > 0 {
		w.out.attribute("width", strconv.Itoa(info.Width))
		w.out.attribute("height", strconv.Itoa(info.Height))
	}
	if info.Dark {
		w.out.attribute("class", "dark")
	}
	if enclosed == "" {
		w.out.WriteString(` loading="lazy"`)
	}
	w.out.WriteByte('>')
	if info.Sources != nil {
		w.out.WriteString("</picture>")
	}
}

const (
	// firstScreen is how much HTML of a text stands before the end of the first screen, at most.
	firstScreen = 2000
	// mostEnclosed bounds the drawings that stand in pages, in bytes; packed they have a third of that.
	mostEnclosed = 8000
)

// enclosed returns the address of a drawing with the drawing in it, where it is the first picture of a page and
// stands on the first screen, else "": what is seen first is there with the first answer of a slow network. A procedure
// begins with its first step; a handbook in one file has all its pictures anyway.
func (w *writer) enclosed(asset string) string {
	first := !w.shown
	w.shown = true
	procedure := w.page != nil && w.page.Procedure != nil
	if !first || procedure || w.out.Len() > firstScreen || !picture.IsDrawing(asset) || w.theme.Bound() || w.readAsset == nil {
		return ""
	}
	data, err := w.readAsset(asset)
	if err != nil {
		return ""
	}
	clean, _, _, err := picture.Clean(data)
	if err != nil || len(clean) > mostEnclosed {
		return ""
	}
	return picture.Enclose(asset, clean)
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
