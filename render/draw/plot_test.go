package draw

import (
	"bytes"
	"compress/gzip"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
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
		X: Axis{"Time after the start", unitOf("s")}, Y: Axis{"Opening of the plate", unitOf("%")},
		Points: curve(0, 240, func(t float64) float64 { return min(100, 250*(1-math.Exp(-t/240))) }),
		Bands:  []Band{{From: 90, To: 150, Upright: true, Label: "expected"}},
		Mark:   &Point{124, 100},
	},
	"voltage-drop": {
		ID: "drop", Title: "Drop against length", Desc: "More than 13.5 m drop more than 0.5 V.",
		X: Axis{"Length of the lead, one way", []AxisUnit{
			{Symbol: "m", System: "metric", Format: decimals},
			{Symbol: "ft", System: "inch", Convert: func(m float64) float64 { return m / 0.3048 }, Format: decimals},
		}},
		Y:      Axis{"Voltage drop", unitOf("V")},
		Points: curve(0, 20, func(l float64) float64 { return 0.037 * l }),
		Bands:  []Band{{From: math.Inf(-1), To: 0.5, Label: "limit: 0.5 V"}},
		Mark:   &Point{6, 0.222},
	},
	"least-voltage": {
		ID: "least", Title: "Time to open against voltage", Desc: "Below 8.5 V it never opens.",
		X: Axis{"Voltage at the heater", unitOf("V")}, Y: Axis{"Time to open", unitOf("s")},
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
		X: Axis{"Cross-section of the conductor of the lead to the heater and back", []AxisUnit{
			{Symbol: "mm²", System: "metric", Format: decimals},
			{Symbol: "AWG", System: "inch", Convert: func(a float64) float64 { return gauge(a) }, Format: decimals},
		}},
		Y:      Axis{"Drop", unitOf("mV")},
		Points: curve(0.02, 6, func(a float64) float64 { return 180 / a }),
		Bands:  []Band{{From: 0, To: 200, Label: "limit: 200 mV"}},
		Mark:   &Point{1.5, 120},
	},
	"nothing": {
		ID: "nothing", Title: "No result", Desc: "Nothing can be computed here.",
		X: Axis{"Speed", unitOf("rpm")}, Y: Axis{"Frequency", unitOf("Hz")},
		Points: curve(0, 3600, func(float64) float64 { return math.NaN() }),
		Mark:   &Point{3000, math.NaN()},
	},
	"constant": {
		ID: "constant", Title: "Always the same", Desc: "12.6 V throughout.",
		X: Axis{"Engine speed", unitOf("rpm")}, Y: Axis{"Voltage", unitOf("V")},
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
		wellFormed(t, got)
		if n := zipped(t, got); n > 2048 {
			t.Errorf("%s: %d bytes compressed", name, n)
		}
	}
	files, _ := filepath.Glob("testdata/*.svg")
	if len(files) != len(pictures) {
		t.Errorf("%d pictures in testdata, of %d", len(files), len(pictures))
	}
}

func wellFormed(t *testing.T, svg string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader([]byte(svg)))
	for {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return
		} else if err != nil {
			t.Fatalf("%v in\n%s", err, svg)
		}
	}
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
