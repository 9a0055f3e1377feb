package picture

import (
	"encoding/base64"
	"encoding/xml"
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
)

// What a drawing is taken for that says nothing of its size.
// Source: CSS 2.2, 10.3.2: 300 px wide, with a ratio of 2 to 1.
const (
	unsaidWidth  = 300
	unsaidHeight = 150
)

// size takes the size of the outermost element from its view box, else from width and
// height, and gives it the one that is missing: a drawing without a view box does
// not grow with its picture.
func (c *cleaner) size(attributes []xml.Attr) []xml.Attr {
	value := func(name string) string {
		for _, a := range attributes {
			if a.Name.Local == name {
				return a.Value
			}
		}
		return ""
	}
	without := func(name string) {
		attributes = slices.DeleteFunc(attributes, func(a xml.Attr) bool { return a.Name.Local == name })
	}
	w, h, ok := viewBox(value("viewBox"))
	if !ok {
		w, h = length(value("width")), length(value("height"))
		if !(w > 0 && h > 0) {
			w, h = unsaidWidth, unsaidHeight
		}
		without("viewBox")
		box := "0 0 " + decimal(w) + " " + decimal(h)
		attributes = append(attributes, xml.Attr{Name: xml.Name{Local: "viewBox"}, Value: box})
	}
	// The page says how large it is laid out.
	without("width")
	without("height")
	c.info.Width, c.info.Height = int(math.Ceil(w)), int(math.Ceil(h))
	return attributes
}

func decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// maxSide bounds what a drawing may say of its size, in CSS pixels.
const maxSide = 1e5

func viewBox(s string) (w, h float64, ok bool) {
	box := strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r <= ' ' })
	if len(box) != 4 {
		return 0, 0, false
	}
	w, errW := strconv.ParseFloat(box[2], 64)
	h, errH := strconv.ParseFloat(box[3], 64)
	return w, h, errW == nil && errH == nil && w > 0 && h > 0 && w < maxSide && h < maxSide
}

// units are lengths in CSS pixels.
// Source: CSS Values and Units Module Level 3, 5.2.
var units = map[string]float64{"": 1, "px": 1, "in": 96, "cm": 96 / 2.54, "mm": 96 / 25.4, "pt": 96.0 / 72, "pc": 16}

// length returns a length in CSS pixels, 0 where it is none by itself.
func length(s string) float64 {
	s = strings.TrimSpace(s)
	number := strings.TrimRight(s, "abcdefghijklmnopqrstuvwxyz%")
	unit, ok := units[s[len(number):]]
	v, err := strconv.ParseFloat(number, 64)
	if !ok || err != nil || !(v > 0) || v*unit >= maxSide {
		return 0
	}
	return v * unit
}

var errEmbedded = errors.New("it is no image in base64")

// embedded writes an image anew that stands in a drawing as a data URL.
func embedded(url string) (string, error) {
	head, body, found := strings.Cut(url, ",")
	kind := strings.TrimSuffix(strings.TrimPrefix(strings.ToLower(head), "data:image/"), ";base64")
	if !found || !strings.HasSuffix(strings.ToLower(head), ";base64") {
		return "", errEmbedded
	}
	data, err := base64.StdEncoding.DecodeString(strings.Join(strings.Fields(body), ""))
	if err != nil {
		return "", err
	}
	p, err := open("."+kind, data)
	if err != nil {
		return "", err
	}
	whole, err := p.decode()
	if err != nil {
		return "", err
	}
	m := p.upright(whole, p.large())
	var clean []byte
	if p.format == "WebP" {
		clean, err = encodeWebP(m, false)
	} else {
		clean, err = p.own(whole, m)
	}
	if err != nil {
		return "", err
	}
	return "data:image/" + kind + ";base64," + base64.StdEncoding.EncodeToString(clean), nil
}
