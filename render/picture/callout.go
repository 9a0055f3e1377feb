package picture

import (
	"bytes"
	"encoding/xml"
	"slices"
	"strconv"
	"strings"
)

// Spot is a place on a picture, in hundredths of its width and height, from the upper left.
type Spot struct{ X, Y float64 }

// callouts tells where a drawing has its numbers: those in elements of the class callout whose place can be read from their
// attributes, or from those of what is in them. What is moved by a transformation is left out.
func callouts(drawing []byte) map[int]Spot {
	if !bytes.Contains(drawing, []byte("callout")) {
		return nil
	}
	spots := map[int]Spot{}
	var left, top, width, height float64
	var stay []bool // of the elements that are open: are their coordinates the drawing's?
	inside, placed, text, at := 0, false, "", Spot{}
	d := xml.NewDecoder(bytes.NewReader(drawing))
	for {
		token, err := d.Token()
		if err != nil {
			return spots
		}
		switch t := token.(type) {
		case xml.StartElement:
			value := func(name string) string {
				for _, a := range t.Attr {
					if a.Name.Local == name {
						return a.Value
					}
				}
				return ""
			}
			if stay == nil {
				box := strings.FieldsFunc(value("viewBox"), func(r rune) bool { return r == ',' || r <= ' ' })
				if len(box) != 4 {
					return nil
				}
				left, _ = strconv.ParseFloat(box[0], 64)
				top, _ = strconv.ParseFloat(box[1], 64)
				width, height, _ = viewBox(value("viewBox"))
				stay = []bool{width > 0 && height > 0}
				continue
			}
			stay = append(stay, stay[len(stay)-1] && value("transform") == "" && !strings.Contains(value("style"), "transform") && t.Name.Local != "svg" && t.Name.Local != "symbol" && t.Name.Local != "defs")
			if inside == 0 && slices.Contains(strings.Fields(value("class")), "callout") {
				inside, placed, text = len(stay), false, ""
			}
			if inside == 0 || placed || !stay[len(stay)-1] {
				continue
			}
			for _, names := range [][2]string{{"cx", "cy"}, {"x", "y"}} {
				x, errX := strconv.ParseFloat(value(names[0]), 64)
				y, errY := strconv.ParseFloat(value(names[1]), 64)
				if errX != nil || errY != nil {
					continue
				}
				if t.Name.Local == "text" || t.Name.Local == "tspan" {
					y -= width / 80 // a figure stands on its place: half of one of 13 in 360, as in the circles of marks
				}
				at, placed = Spot{(x - left) / width * 100, (y - top) / height * 100}, true
			}
		case xml.EndElement:
			if len(stay) == inside {
				n, err := strconv.Atoi(strings.TrimSpace(text))
				if _, twice := spots[n]; err == nil && placed && !twice && at.X >= 0 && at.X <= 100 && at.Y >= 0 && at.Y <= 100 {
					spots[n] = at
				}
				inside = 0
			}
			stay = stay[:len(stay)-1]
		case xml.CharData:
			if inside > 0 {
				text += string(t)
			}
		}
	}
}
