package draw

import (
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the pictures anew")

// decimals is the way of a caller to write a tick.
func decimals(v, step float64) string { return strconv.FormatFloat(v, 'f', Decimals(step), 64) }

func unitOf(symbol string) []AxisUnit { return []AxisUnit{{Symbol: symbol, Format: decimals}} }

// gauge is the American wire gauge of a cross-section in mm²: ASTM B258, a
// diameter of 0.127 mm · 92^((36 - n) / 39).
func gauge(area float64) float64 {
	return 36 - 39*math.Log(math.Sqrt(4*area/math.Pi)/0.127)/math.Log(92)
}

// curve is a function at 97 places.
func curve(from, to float64, y func(x float64) float64) []Point {
	points := make([]Point, 97)
	for i := range points {
		x := from + (to-from)*float64(i)/96
		points[i] = Point{x, y(x)}
	}
	return points
}

// The figures of these are of no product.
var pictures = map[string]Plot{
	"time-to-open": {
		ID: "opening", Title: "Opening against time", Desc: "The plate opens within 124 s.",
		X: Axis{Label: "Time after the start", Units: unitOf("s")}, Y: Axis{Label: "Opening of the plate", Units: unitOf("%")},
		Points: curve(0, 240, func(t float64) float64 { return min(100, 250*(1-math.Exp(-t/240))) }),
		Bands:  []Band{{From: 90, To: 150, Upright: true, Label: "expected"}},
		Mark:   &Point{124, 100},
	},
	"voltage-drop": {
		ID: "drop", Title: "Drop against length", Desc: "More than 13.5 m drop more than 0.5 V.",
		X: Axis{Label: "Length of the lead, one way", Units: []AxisUnit{
			{Symbol: "m", System: "metric", Format: decimals},
			{Symbol: "ft", System: "inch", Convert: func(m float64) float64 { return m / 0.3048 }, Format: decimals},
		}},
		Y:      Axis{Label: "Voltage drop", Units: unitOf("V")},
		Points: curve(0, 20, func(l float64) float64 { return 0.037 * l }),
		Bands:  []Band{{From: math.Inf(-1), To: 0.5, Label: "limit: 0.5 V"}},
		Mark:   &Point{6, 0.222},
	},
	"least-voltage": {
		ID: "least", Title: "Time to open against voltage", Desc: "Below 8.5 V it never opens.",
		X: Axis{Label: "Voltage at the heater", Units: unitOf("V")}, Y: Axis{Label: "Time to open", Units: unitOf("s")},
		Points: curve(6, 16, func(u float64) float64 {
			if final := u * u / 10 * 5.6; final > 40 {
				return 200 * math.Log(final/(final-40))
			}
			return math.NaN()
		}),
		Bands: []Band{{From: 80, To: 160, Label: "expected"}, {From: 12, To: 14.5, Upright: true, Label: "charging"}},
		Mark:  &Point{12.6, 200 * math.Log(88.9/48.9)},
	},
	"wire": {
		ID: "wire", Title: "Drop against cross-section", Desc: "A pole at no wire at all.",
		X: Axis{Label: "Cross-section of the conductor of the lead to the heater and back", Units: []AxisUnit{
			{Symbol: "mm²", System: "metric", Format: decimals},
			{Symbol: "AWG", System: "inch", Convert: func(a float64) float64 { return gauge(a) }, Format: decimals},
		}},
		Y:      Axis{Label: "Drop", Units: unitOf("mV")},
		Points: curve(0.02, 6, func(a float64) float64 { return 180 / a }),
		Bands:  []Band{{From: 0, To: 200, Label: "limit: 200 mV"}},
		Mark:   &Point{1.5, 120},
	},
	"models": {
		ID: "models", Title: "Spiral against time", Desc: "Three models, each with its limits.",
		X: Axis{Label: "Time after the start", Units: unitOf("s")}, Y: Axis{Label: "Temperature of the spiral", Units: unitOf("°C")},
		Points: curve(0, 240, func(t float64) float64 { return 20 + 107*(1-math.Exp(-t/200)) }),
		Bands: []Band{
			{From: 82, To: 124, Upright: true, Label: "Model A", Models: "a"},
			{From: 108, To: 167, Upright: true, Label: "Model B, with a cover", Models: "b"},
			{From: 79, To: 119, Upright: true, Label: "Model C", Models: "c d"},
			{From: 58, To: math.Inf(1), Label: "open", Models: "a b"},
		},
		Mark: &Point{100, 20 + 107*(1-math.Exp(-0.5))},
	},
	"two-limits": {
		ID: "two", Title: "Drop against current", Desc: "Two models, each with its limit.",
		X: Axis{Label: "Current", Units: unitOf("A")}, Y: Axis{Label: "Drop", Units: unitOf("V")},
		Points: curve(0, 10, func(i float64) float64 { return 0.08 * i }),
		Bands: []Band{
			{From: math.Inf(-1), To: 0.3, Label: "Model A", Models: "a"},
			{From: math.Inf(-1), To: 0.5, Label: "Model B", Models: "b"},
		},
		Mark: &Point{3, 0.24},
	},
	"opening": {
		ID: "plate", Title: "Opening against time, three models", Desc: "The line is over the labels' best places.",
		X: Axis{Label: "Time since the heater came on", Units: unitOf("s")}, Y: Axis{Label: "Choke opening then", Units: unitOf("%")},
		Points: curve(0, 240, func(t float64) float64 { return max(0, min(100, 270*(1-math.Exp(-t/200))-16)) }),
		Bands: []Band{
			{From: 82, To: 124, Upright: true, Label: "Model 150", Models: "a"},
			{From: 108, To: 167, Upright: true, Label: "Model 245", Models: "b"},
			{From: 79, To: 119, Upright: true, Label: "Model 1750", Models: "c"},
		},
		Mark: &Point{60, 270*(1-math.Exp(-0.3)) - 16},
	},
	"narrow": {
		ID: "narrow", Title: "Time to open against voltage, three models", Desc: "The bands are lower than letters.",
		X: Axis{Label: "Voltage at the heater", Units: unitOf("V")}, Y: Axis{Label: "Time until fully open", Units: unitOf("s")},
		Points: curve(9, 15, func(u float64) float64 { return 200 * math.Log(u*u/(u*u-80)) }),
		Bands: []Band{
			{From: 82, To: 124, Label: "Model 150", Models: "a"},
			{From: 108, To: 167, Label: "Model 245", Models: "b"},
			{From: 79, To: 119, Label: "Model 1750", Models: "c"},
		},
		Mark: &Point{13.85, 200 * math.Log(13.85*13.85/(13.85*13.85-80))},
	},
	"nothing": {
		ID: "nothing", Title: "No result", Desc: "Nothing can be computed here.",
		X: Axis{Label: "Speed", Units: unitOf("rpm")}, Y: Axis{Label: "Frequency", Units: unitOf("Hz")},
		Points: curve(0, 3600, func(float64) float64 { return math.NaN() }),
		Mark:   &Point{3000, math.NaN()},
	},
	"constant": {
		ID: "constant", Title: "Always the same", Desc: "12.6 V throughout.",
		X: Axis{Label: "Engine speed", Units: unitOf("rpm")}, Y: Axis{Label: "Voltage", Units: unitOf("V")},
		Points: curve(1800, 3600, func(float64) float64 { return 12.6 }),
		Bands:  []Band{{From: 13.8, To: math.Inf(1), Label: "charging"}},
		Mark:   &Point{1800, 12.6},
	},
}

// TestPictures holds the pictures in testdata, which -update draws anew; look at
// them before you commit them.
func TestPictures(t *testing.T) {
	for name, p := range pictures {
		file := filepath.Join("testdata", name+".svg")
		got := p.SVG() + "\n"
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if want, err := os.ReadFile(file); err != nil || got != string(want) {
			t.Errorf("%s: %v, got\n%s", file, err, got)
		}
		elements(t, got)
		if n := zipped(t, got); n > 2048 {
			t.Errorf("%s: %d bytes compressed", name, n)
		}
	}
	files, _ := filepath.Glob("testdata/*.svg")
	if len(files) != len(pictures) {
		t.Errorf("%d pictures in testdata, of %d", len(files), len(pictures))
	}
}

// element is one of a picture, with the text in it.
type element struct {
	name string
	attr map[string]string
	text string
}

// elements reads a picture, in the order in which its elements begin; all of it
// is well-formed.
func elements(t *testing.T, svg string) (list []element) {
	t.Helper()
	var open []int
	for d := xml.NewDecoder(strings.NewReader(svg)); ; {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return list
		} else if err != nil {
			t.Fatalf("%v in\n%s", err, svg)
		}
		switch token := token.(type) {
		case xml.StartElement:
			e := element{token.Name.Local, map[string]string{}, ""}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			open = append(open, len(list))
			list = append(list, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				list[open[len(open)-1]].text += string(token)
			}
		}
	}
}

// of returns the elements of a name or a class.
func of(list []element, what string) (found []element) {
	for _, e := range list {
		if e.name == what || e.attr["class"] == what {
			found = append(found, e)
		}
	}
	return found
}

// numbers reads the numbers of an attribute.
func numbers(t *testing.T, s string) (list []float64) {
	t.Helper()
	for _, word := range strings.FieldsFunc(strings.TrimPrefix(s, "translate"), func(r rune) bool { return strings.ContainsRune(" MLHVhZ()", r) }) {
		v, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%q in %q is no number", word, s)
		}
		list = append(list, v)
	}
	return list
}

// TestMark holds what the comment of SVG promises a script.
func TestMark(t *testing.T) {
	p := pictures["voltage-drop"]
	list := elements(t, p.SVG())
	box, scale := numbers(t, list[0].attr["data-box"]), numbers(t, list[0].attr["data-range"])
	if want := []float64{0, 20, 0, 0.8}; !slices.Equal(scale, want) {
		t.Fatalf("the range is %v, want %v", scale, want)
	}
	x := box[0] + (p.Mark.X-scale[0])/(scale[1]-scale[0])*box[2]
	y := box[1] + (scale[3]-p.Mark.Y)/(scale[3]-scale[2])*box[3]
	marks := of(list, "plot-mark")
	if len(marks) != 2 {
		t.Fatalf("%d elements are the mark", len(marks))
	}
	for _, m := range marks {
		at := numbers(t, m.attr["transform"])
		if math.Abs(at[0]-x) > 0.06 || math.Abs(at[1]-y) > 0.06 || m.attr["display"] != "" {
			t.Errorf("the mark is at %v, want %v %v", m.attr, x, y)
		}
	}
	line := numbers(t, of(list, "plot-line")[0].attr["d"])
	if want := []float64{box[0], box[1] + box[3]}; !slices.Equal(line[:2], want) {
		t.Errorf("the line begins at %v, want %v", line[:2], want)
	}

	for _, out := range []Point{{21, 0.3}, {-1, 0.3}, {6, math.NaN()}, {math.Inf(1), 0.3}} {
		p.Mark = &out
		for _, m := range of(elements(t, p.SVG()), "plot-mark") {
			if m.attr["display"] != "none" {
				t.Errorf("a mark at %v shows", out)
			}
		}
	}
	p.Mark = nil
	if strings.Contains(p.SVG(), "plot-mark") {
		t.Error("a plot with no mark has one")
	}
}

// TestSpots: each stands where the mark would, and is not seen where that is out
// of the box.
func TestSpots(t *testing.T) {
	p := pictures["voltage-drop"]
	p.Spots = []Point{*p.Mark, {21, 0.3}, {0, 0}}
	list := elements(t, p.SVG())
	box := numbers(t, list[0].attr["data-box"])
	spots, mark := of(list, "plot-spot"), of(list, "plot-mark")[0]
	if len(spots) != 3 || spots[0].attr["transform"] != mark.attr["transform"] || spots[0].attr["display"] != "" || spots[1].attr["display"] != "none" {
		t.Fatalf("%v", spots)
	}
	if at := numbers(t, spots[2].attr["transform"]); !slices.Equal(at, []float64{box[0], box[1] + box[3]}) {
		t.Errorf("the origin is at %v", at)
	}
}

// TestUnits: without script the first unit of each axis shows.
func TestUnits(t *testing.T) {
	var got []string
	for _, e := range of(elements(t, pictures["voltage-drop"].SVG()), "ticks") {
		got = append(got, e.attr["data-axis"]+" "+e.attr["data-system"]+" "+e.attr["display"])
	}
	if want := []string{"x metric ", "x inch none", "y  "}; !slices.Equal(got, want) {
		t.Errorf("ticks: %q, want %q", got, want)
	}
}

// TestModels: a band of some models and its label are told to a script, and so
// is the line of its reach, which bands that overlap have.
func TestModels(t *testing.T) {
	p := Plot{ID: "p", Points: []Point{{0, 0}, {1, 1}},
		Bands: []Band{{From: 0, To: 0.2, Label: "all"}, {From: 0.3, To: 0.4, Label: "some", Models: "a b"}}}
	models := func(class string) (list []string) {
		for _, e := range of(elements(t, p.SVG()), class) {
			list = append(list, e.attr["data-model"])
		}
		return list
	}
	if bands, labels := models("plot-band"), models("plot-label"); !slices.Equal(bands, []string{"", "a b"}) || !slices.Equal(labels, bands) {
		t.Errorf("bands %q, labels %q", bands, labels)
	}
	p.Bands[0].To = 0.35
	if bands := models("plot-band"); !slices.Equal(bands, []string{"", "a b", "", "a b"}) {
		t.Errorf("bands that overlap: %q", bands)
	}
}

// TestTickTexts reads the numbers beside the axes.
func TestTickTexts(t *testing.T) {
	svg := pictures["time-to-open"].SVG()
	var got []string
	for _, e := range of(elements(t, svg), "text") {
		got = append(got, e.text)
	}
	want := strings.Fields("0 50 100 150 200 Time_after_the_start,_s 0 20 40 60 80 100 Opening_of_the_plate,_% expected")
	for i := range want {
		want[i] = strings.ReplaceAll(want[i], "_", " ")
	}
	if !slices.Equal(got, want) {
		t.Errorf("texts: %q, want %q", got, want)
	}
	if got, want := pictures["time-to-open"].Ticks(), []float64{0, 50, 100, 150, 200}; !slices.Equal(got, want) {
		t.Errorf("ticks: %v, want %v", got, want)
	}
}

// TestHostileTexts: whatever a text is, it is text.
func TestHostileTexts(t *testing.T) {
	const hostile = "\"><script>alert(1)</script> ' & ]]> <!-- \x00\x1b\xff\uffff"
	const shown = "\"><script>alert(1)</script> ' & ]]> <!-- \ufffd\ufffd\ufffd\ufffd"
	unit := []AxisUnit{{hostile, hostile, nil, func(v, step float64) string { return hostile }}}
	p := Plot{ID: "id\"'<", X: Axis{Label: hostile, Units: unit}, Y: Axis{Label: hostile, Units: unit}, Points: []Point{{0, 0}, {1, 1}},
		Bands: []Band{{0, 0.5, false, hostile, hostile}, {0, 0.5, true, strings.Repeat(hostile, 30), hostile}, {0, 0.5, true, hostile, hostile}}, Mark: &Point{}, Title: hostile, Desc: hostile}
	list := elements(t, p.SVG())
	for _, name := range []string{"title", "desc"} {
		if e := of(list, name)[0]; e.text != shown || e.attr["id"] != p.ID+"-"+name {
			t.Errorf("%s: %q", name, e)
		}
	}
	for _, e := range list {
		switch e.name {
		case "svg", "title", "desc", "g", "path", "text", "circle":
		default:
			t.Errorf("an element %s", e.name)
		}
		for name := range e.attr {
			if strings.HasPrefix(name, "on") || name == "style" || name == "href" {
				t.Errorf("an attribute %s", name)
			}
		}
	}
	for _, e := range of(list, "ticks") {
		if e.attr["data-system"] != shown {
			t.Errorf("the system is %q", e.attr["data-system"])
		}
	}
}

// FuzzPlot draws any numbers: what comes out is well-formed, every number in it
// finite, and the line in its box.
func FuzzPlot(f *testing.F) {
	seed := func(values ...float64) {
		var data []byte
		for _, v := range values {
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v))
		}
		f.Add(data)
	}
	inf, nan := math.Inf(1), math.NaN()
	seed()
	seed(1, 2, 0, 1, 1, 0, 0, 0, 1, 1, 2, 4)
	seed(nan, inf, -inf, nan, inf, nan, 0, nan, 1, inf, 2, -inf, nan, 5)
	seed(1e308, -1e308, -1e308, 1e308, 1e-320, 1e-320, -1e308, 1e308, 1e308, -1e308, 0, 5e-324)
	seed(1, 1+1e-15, 1e-9, 1e9, 1e300, 1, 1e300, 1e300, -1e300, -1e300)
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) > 8*200 {
			return
		}
		var values []float64
		for ; len(data) >= 8; data = data[8:] {
			values = append(values, math.Float64frombits(binary.LittleEndian.Uint64(data)))
		}
		next := func() (v float64) {
			if len(values) > 0 {
				v, values = values[0], values[1:]
			}
			return v
		}
		a, b := next(), next()
		units := []AxisUnit{{Symbol: "V", Format: decimals}, {Symbol: "W", Convert: func(v float64) float64 { return a*v + b }, Format: decimals}}
		p := Plot{ID: "p", X: Axis{Label: "x", Units: units}, Y: Axis{Label: "y", Units: units}, Mark: &Point{next(), next()},
			Bands: []Band{{From: next(), To: next(), Label: "across"}, {From: next(), To: next(), Upright: true, Label: "upright"}, {From: next(), To: next(), Upright: true, Label: "another"}}}
		for len(values) > 0 {
			p.Points = append(p.Points, Point{next(), next()})
		}
		list := elements(t, p.SVG())
		box := numbers(t, list[0].attr["data-box"])
		for _, e := range list {
			for _, name := range [...]string{"viewBox", "data-range", "d", "transform", "x", "y"} {
				numbers(t, e.attr[name])
			}
			if strings.Contains(e.text, "NaN") || strings.Contains(e.text, "Inf") {
				t.Errorf("a text %q", e.text)
			}
		}
		line := numbers(t, strings.ReplaceAll(of(list, "plot-line")[0].attr["d"], "h0", ""))
		for i := 0; i < len(line); i += 2 {
			if x, y := line[i], line[i+1]; x < box[0]-0.06 || x > box[0]+box[2]+0.06 || y < box[1]-0.06 || y > box[1]+box[3]+0.06 {
				t.Fatalf("%v %v is out of the box %v", x, y, box)
			}
		}
		for _, v := range p.Ticks() {
			if lo, hi := p.xRange(); v < lo || v > hi {
				t.Fatalf("a tick at %v, out of %v to %v", v, lo, hi)
			}
		}
	})
}

func zipped(t *testing.T, s string) int {
	t.Helper()
	var b bytes.Buffer
	w := gzip.NewWriter(&b)
	if _, err := io.WriteString(w, s); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Len()
}
