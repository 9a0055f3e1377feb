package handbook

import (
	"path"
	"strconv"
	"strings"

	"benchleaf/render/picture"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// Picture is a picture block: a picture on which the build puts numbers.
type Picture struct {
	Asset string
	Text  string // for who cannot see it
	Spots []Spot // of the numbers 1, 2, 3
}

// Spot is a place on a picture, in hundredths of its width and height, from the
// upper left.
type Spot struct{ X, Y float64 }

// pictureYAML is the body of a picture block; the file's name stands beside the
// block's.
type pictureYAML struct {
	Text     source.Text   `yaml:"text"`
	Callouts []source.Text `yaml:"callouts,needed"`
}

func (r *pageResolver) pictureBlock(b *source.Block) {
	var y pictureYAML
	body := b.YAML(&r.remarks)
	source.Decode(body, &y, "a picture", &r.remarks)
	if b.Arg == "" {
		r.remarks.Add(remark.KeyMissing, b.Place, "name", "`picture`")
		return
	}
	target, ok := r.pictureAt(b.Arg, b.Arg, b.Place, true)
	if !ok || target.Kind != ToAsset || body.Broken {
		return
	}
	p := &Picture{Asset: target.Asset, Text: y.Text.Value}
	for _, t := range y.Callouts {
		m, ok := spotOf(t.Value)
		if !ok {
			r.remarks.Add(remark.ValueText, t.Place, t.Value, "place of a callout", "31 42, hundredths of the width and the height from the upper left")
		}
		p.Spots = append(p.Spots, m)
	}
	if y.Text.Value == "" {
		r.remarks = append(r.remarks, remark.PictureText.At(b.Place).Instead("Say in `text` what it shows, for who cannot see it."))
	}
	r.page.Blocks[b] = p
}

// spotOf reads a place.
func spotOf(text string) (m Spot, ok bool) {
	x, y, _ := strings.Cut(strings.TrimSpace(text), " ")
	var errX, errY error
	m.X, errX = strconv.ParseFloat(x, 64)
	m.Y, errY = strconv.ParseFloat(strings.TrimSpace(y), 64)
	return m, errX == nil && errY == nil && m.X >= 0 && m.X <= 100 && m.Y >= 0 && m.Y <= 100
}

// pictureAt resolves the name of a picture, which its author wrote in his way; alone
// says that it stands as a block.
func (r *pageResolver) pictureAt(name, written string, at remark.Place, alone bool) (target Target, ok bool) {
	target, outward := r.target(name, at)
	switch {
	case outward:
		r.remarks.Add(remark.LinkOutside, at, written)
	case target.Kind != ToAsset && target.Kind != ToNowhere:
		r.remarks.Add(remark.LinkNowhere, at, written)
	case target.Kind == ToAsset && !contains(pictureEndings, strings.ToLower(path.Ext(target.Asset))):
		r.remarks.Add(remark.AssetKind, at, written)
	default:
		if target.Kind == ToAsset && alone && !picture.IsDrawing(target.Asset) {
			r.shown = append(r.shown, shownPicture{target.Asset, at})
		}
		if target.Kind == ToAsset {
			for _, text := range r.whole.asset(target.Asset).Info.Texts {
				r.page.Drawn = append(r.page.Drawn, Drawn{text, at})
			}
		}
		return target, true
	}
	return target, false
}
