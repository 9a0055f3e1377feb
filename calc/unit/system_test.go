package unit

import (
	"strings"
	"testing"
)

func TestIn(t *testing.T) {
	for _, c := range []struct{ unit, metric, inch string }{
		{"m", "m", "ft"}, {"mm", "mm", "in"}, {"cm", "cm", "in"}, {"ft", "m", "ft"}, {"in", "mm", "in"}, {"thou", "mm", "thou"},
		{"mm²", "mm²", "AWG"}, {"AWG", "mm²", "AWG"}, {"in²", "cm²", "in²"},
		{"°C", "°C", "°F"}, {"°F", "°C", "°F"}, {"K", "K", "K"}, {"ΔK", "ΔK", "Δ°F"}, {"Δ°C", "Δ°C", "Δ°F"}, {"Δ°F", "Δ°C", "Δ°F"},
		{"kPa", "kPa", "psi"}, {"bar", "bar", "psi"}, {"psi", "kPa", "psi"}, {"inHg", "kPa", "inHg"}, {"inH₂O", "kPa", "inH₂O"}, {"mmHg", "mmHg", "inHg"},
		{"N·m", "N·m", "lbf·ft"}, {"lbf·in", "N·m", "lbf·in"}, {"lbf·ft", "N·m", "lbf·ft"},
		{"L", "L", "qt"}, {"cc", "cc", "in³"}, {"mL", "mL", "in³"}, {"in³", "cc", "in³"}, {"gal", "L", "gal"},
		{"kg", "kg", "lb"}, {"g", "g", "oz"}, {"lb", "kg", "lb"}, {"oz", "g", "oz"},
		{"kW", "kW", "hp"}, {"hp", "kW", "hp"}, {"W", "W", "W"}, {"L/h", "L/h", "gal/h"}, {"deg/K", "deg/K", "deg/°F"},
		{"V", "V", "V"}, {"A", "A", "A"}, {"Ω", "Ω", "Ω"}, {"s", "s", "s"}, {"rpm", "rpm", "rpm"}, {"%", "%", "%"}, {"K/W", "K/W", "K/W"}, {"", "", ""},
		{"W/(m·K)", "W/(m·K)", "W/(m·K)"}, // as composed
	} {
		u := mustLookup(t, c.unit)
		if metric, inch := u.In(Metric).Symbol, u.In(Inch).Symbol; metric != c.metric || inch != c.inch {
			t.Errorf("%s shows as %s and %s, want %s and %s", c.unit, metric, inch, c.metric, c.inch)
		}
		if u.In("") != u {
			t.Errorf("%s shows as %s in no system", c.unit, u.In("").Symbol)
		}
	}
}

// What a system shows is of the unit's kind and among its alternatives, so that
// a reader can switch back, and stays what it is in that system.
func TestInIsAnAlternative(t *testing.T) {
	for symbol := range at {
		u := mustLookup(t, symbol)
		if u.Symbol != symbol {
			t.Errorf("%s is %s", symbol, u.Symbol)
		}
		for _, s := range []System{Metric, Inch} {
			shown, known := u.In(s), false
			for _, a := range u.Alternatives() {
				known = known || a == shown
			}
			if !known || shown.Kind != u.Kind || shown.In(s) != shown {
				t.Errorf("%s in %s is %s, which is then %s", symbol, s, shown.Symbol, shown.In(s).Symbol)
			}
		}
	}
}

func TestAlternatives(t *testing.T) {
	in := map[string]bool{}
	for _, set := range switchable {
		for _, s := range set {
			u := mustLookup(t, s)
			if u.Symbol != s {
				t.Errorf("%s is %s", s, u.Symbol)
			}
			if in[s] {
				t.Errorf("%s may be switched in two sets", s)
			}
			in[s] = true
			if first := mustLookup(t, set[0]); u.Kind != first.Kind {
				t.Errorf("%s and %s measure different kinds", s, first.Symbol)
			}
		}
	}
	for symbol, want := range map[string]string{"mm²": "mm² AWG", "ft": "m ft", "°F": "°C °F K", "kΩ": "Ω mΩ kΩ MΩ", "h": "s ms min h", "kW": "W kW hp", "K/W": "K/W", "%": "%", "rpm": "rpm", "N·cm": "N·cm"} {
		var got []string
		for _, u := range mustLookup(t, symbol).Alternatives() {
			got = append(got, u.Symbol)
		}
		if strings.Join(got, " ") != want {
			t.Errorf("alternatives of %s: %v, want %s", symbol, got, want)
		}
	}
}
