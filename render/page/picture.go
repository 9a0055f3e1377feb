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

// pictureFacts is what a page must know of a picture: its size in CSS pixels,
// zero where it is not known, and whether it has colours of its own for a dark
// page.
type pictureFacts struct {
	width, height int
	dark          bool
}

// picture returns the facts of an asset; with its size a page does not move
// when the picture comes.
func (r *Renderer) picture(asset string) pictureFacts {
	if known, ok := r.pictures.Load(asset); ok {
		return known.(pictureFacts)
	}
	var facts pictureFacts
	if r.readAsset != nil {
		if data, err := r.readAsset(asset); err == nil {
			facts = factsOf(asset, data)
		}
	}
	r.pictures.Store(asset, facts)
	return facts
}

func factsOf(name string, data []byte) pictureFacts {
	if strings.EqualFold(path.Ext(name), ".svg") {
		facts := sizeOfSVG(data)
		facts.dark = bytes.Contains(data, []byte("prefers-color-scheme"))
		return facts
	}
	config, _, err := image.DecodeConfig(bytes.NewReader(data))
	if err != nil {
		return pictureFacts{}
	}
	return pictureFacts{width: config.Width, height: config.Height}
}

// sizeOfSVG takes the size from the viewBox of the outermost element.
func sizeOfSVG(data []byte) pictureFacts {
	d := xml.NewDecoder(bytes.NewReader(data))
	for {
		t, err := d.Token()
		if err != nil {
			return pictureFacts{}
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
				return pictureFacts{}
			}
			w, errW := strconv.ParseFloat(box[2], 64)
			h, errH := strconv.ParseFloat(box[3], 64)
			if errW != nil || errH != nil || !(w > 0 && h > 0 && w < 1e5 && h < 1e5) {
				return pictureFacts{}
			}
			return pictureFacts{width: int(math.Ceil(w)), height: int(math.Ceil(h))}
		}
		return pictureFacts{}
	}
}
