package page

import (
	"bytes"
	"encoding/xml"
	"image"
	_ "image/jpeg" // for the size of JPEG pictures
	_ "image/png"  // for the size of PNG pictures
	"math"
	"path"
	"strconv"
	"strings"
)

// pictureSize is a picture's size in CSS pixels; zero where it is not known.
type pictureSize struct{ width, height int }

// picture returns the size of an asset, so that a page does not move when the
// picture comes.
func (r *Renderer) picture(asset string) pictureSize {
	if known, ok := r.pictures.Load(asset); ok {
		return known.(pictureSize)
	}
	var size pictureSize
	if r.readAsset != nil {
		if data, err := r.readAsset(asset); err == nil {
			size = sizeOf(asset, data)
		}
	}
	r.pictures.Store(asset, size)
	return size
}

func sizeOf(name string, data []byte) pictureSize {
	if strings.EqualFold(path.Ext(name), ".svg") {
		return sizeOfSVG(data)
	}
	config, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return pictureSize{}
	}
	return pictureSize{config.Width, config.Height}
}

// sizeOfSVG takes the size from the viewBox of the outermost element.
func sizeOfSVG(data []byte) pictureSize {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		t, err := d.Token()
		if err != nil {
			return pictureSize{}
		}
		start, ok := t.(xml.StartElement)
		if !ok {
			continue
		}
		for _, a := range start.Attr {
			if a.Name.Local != "viewBox" {
				continue
			}
			box := strings.FieldsFunc(a.Value, func(r rune) bool { return r == ',' || r <= ' ' })
			if len(box) != 4 {
				return pictureSize{}
			}
			w, errW := strconv.ParseFloat(box[2], 64)
			h, errH := strconv.ParseFloat(box[3], 64)
			if errW != nil || errH != nil || !(w > 0 && h > 0 && w < 1e5 && h < 1e5) {
				return pictureSize{}
			}
			return pictureSize{int(math.Ceil(w)), int(math.Ceil(h))}
		}
		return pictureSize{}
	}
}
