package handbook

import (
	"math"
	"testing"

	"benchleaf/calc"
	"benchleaf/calc/unit"
	"benchleaf/render/remark"
	"benchleaf/render/source"
)

// An example holds to the last digit that is written.
func TestLastPlace(t *testing.T) {
	for text, want := range map[string]float64{
		"20 W": 1, "20.0 W": 0.1, "-0.25 V": 0.01, "−5 °C": 1, ".5": 0.1, "16 AWG": 1, "2/0 AWG": 1,
		"12,000 rpm": 1, "1 200.5 rpm": 0.1, "12,5 V": 0.1, "0,125 V": 0.001,
		"1e3 W": 1000, "1.5e-3 V": 1e-4, "0.00393 1/K": 1e-5, "opens": 1,
	} {
		if got := lastPlace(text); math.Abs(got/want-1) > 1e-12 {
			t.Errorf("%q: %v, want %v", text, got, want)
		}
	}
}

// What a calculator gives is told as far as the example's figure goes.
func TestResultText(t *testing.T) {
	watt, _ := unit.Lookup("W")
	for _, c := range []struct {
		v, places float64
		want      string
	}{
		{28.8, 0.1, "28.8 W"}, {28.8, 1, "28.8 W"}, {28.8, 0.01, "28.80 W"}, {0.0288, 0.0001, "0.0288 W"},
		{1234.5, 1, "1235 W"}, {0, 0.1, "0.00 W"}, {math.NaN(), 0.1, "no result"}, {math.Inf(-1), 0.1, "no result"},
		{28.8, 0, "28.8 W"}, {28.8, 1e-300, "28.8000000000 W"},
	} {
		if got := resultText(watt, c.v, c.places); got != c.want {
			t.Errorf("%v to %v: %q, want %q", c.v, c.places, got, c.want)
		}
	}
}

func aPage() *pageResolver {
	return &pageResolver{whole: &resolver{book: &Handbook{}, complete: map[string]bool{kindMeter: true}}, page: &Page{}}
}

func at(text string) source.Text { return source.Text{Value: text, Place: remark.Place{File: "a.md"}} }

func TestAccuracyText(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       Accuracy
		ok         bool
	}{
		{"0.5 % + 0.02 V", "V", Accuracy{0.005, 0.02}, true},
		{"±0.5%+20 mV", "V", Accuracy{0.005, 0.02}, true},
		{"0.02 V + 0.5 %", "V", Accuracy{0.005, 0.02}, true},
		{"0.1", "V", Accuracy{0, 0.1}, true},
		{"0.5 % + 2 digits of 0.01 V", "V", Accuracy{0.005, 0.02}, true},
		{"±(0.5 % + 2 digits of 10 mV)", "V", Accuracy{0.005, 0.02}, true},
		{"1 % + 3 digits", "mA", Accuracy{0.01, 30}, true}, // of the handbook's meter, which reads to 0.01 A
		{"1 digit", "A", Accuracy{0, 0.01}, true},
		{"2 digits of 0.01 A", "V", Accuracy{}, false},
		{"1 °F", "°C", Accuracy{0, 5.0 / 9}, true}, // a difference, without the offset of the scale
		{"0.5 %", "%", Accuracy{0, 0.5}, true},     // of a share: half a hundredth
		{"no", "V", Accuracy{}, true},
		{"yes", "V", Accuracy{}, true}, // a remark tells that the handbook has none
		{"2 digits", "V", Accuracy{}, false},
		{"0.02 A", "V", Accuracy{}, false},
		{"-1 %", "V", Accuracy{}, false},
		{"101 %", "V", Accuracy{}, false},
		{"NaN %", "V", Accuracy{}, false},
		{"", "V", Accuracy{}, false},
	} {
		r := aPage()
		ampere, _ := unit.Lookup("A")
		r.whole.book.Meters = []Meter{{Unit: ampere, Resolution: 0.01}}
		u, _ := unit.Lookup(c.unit)
		got, _, ok := r.accuracy(at(c.text), u)
		if ok != c.ok || ok && (math.Abs(got.Share-c.want.Share) > 1e-15 || math.Abs(got.Added-c.want.Added) > 1e-15) {
			t.Errorf("%q of %s: %v %v, want %v", c.text, c.unit, got, ok, c.want)
		}
		if told := len(r.remarks) > 0; told != (!c.ok || c.text == "yes") {
			t.Errorf("%q: %v", c.text, r.remarks)
		}
	}
}

func TestRangeEnds(t *testing.T) {
	for _, c := range []struct {
		low, high, unit string
		min, max        float64
		ok              bool
	}{
		{"6", "16", "V", 6, 16, true},
		{"600 mV", "16", "V", 0.6, 16, true},
		{"-40", "185 °F", "°C", -40, 85, true},
		{"0.1", "0.3", "mm", 0.1, 0.3, true}, // without a way to SI and back
		{"0.1 mm", "0.3 mm", "mm", 0.1, 0.3, true},
		{"16", "6", "V", 0, 0, false},
		{"6", "6", "V", 0, 0, false},
		{"6", "16 A", "V", 0, 0, false},
		{"0", "1e16", "V", 0, 0, false},
		{"NaN", "Inf", "V", 0, 0, false},
		{"0x1", "0x2", "V", 0, 0, false},
	} {
		r := aPage()
		u, _ := unit.Lookup(c.unit)
		low, high, ok := r.ends(rangeYAML{at(c.low), at(c.high)}, calc.Quantity{Name: "x", Unit: u})
		if ok != c.ok || math.Abs(low-c.min) > 1e-9 || math.Abs(high-c.max) > 1e-9 || c.unit == "mm" && (low != c.min || high != c.max) {
			t.Errorf("%s to %s: %v %v %v", c.low, c.high, low, high, ok)
		}
		if told := len(r.remarks) > 0; told == ok {
			t.Errorf("%s to %s: %v", c.low, c.high, r.remarks)
		}
	}
}

// The anchors of a page's calculators and plots are no heading's.
func TestReserved(t *testing.T) {
	for id, want := range map[string]bool{
		"plot-1": true, "plot-12-title": true, "plot-the-drop": false, "plot": false, "plot-": false,
		"calculator-voltage-drop": true, "calculators": false,
	} {
		if got := reserved(id); got != want {
			t.Errorf("%q: %v", id, got)
		}
	}
}

// An entry at the very end of a range is taken in another unit too.
func TestPresetAtTheEnd(t *testing.T) {
	celsius, _ := unit.Lookup("°C")
	q := calc.Quantity{Name: "cold", Unit: celsius, Min: -50, Max: -40}
	for text, ok := range map[string]bool{"-40 °C": true, "-40 °F": true, "-39.9 °F": false, "-58 °F": true, "-58.1 °F": false} {
		r := aPage()
		form := newCalculator(&calc.Calculator{}, nil)
		r.preset(form, q, at(text))
		if _, taken := form.Presets["cold"]; taken != ok || taken == (len(r.remarks) > 0) {
			t.Errorf("%s: taken %v, %v", text, taken, r.remarks)
		}
	}
}
