package audit

import (
	"slices"
	"testing"
)

// Figures of a text are held against its system of units; sums, codes of characters and colours are none.
func TestQuantities(t *testing.T) {
	for text, want := range map[string][]string{
		"200F, 200 F, 200 f, -40F, 93 °C, 200°F, 0.5 in.": {"°F", "°F", "°F", "°F", "°C", "°F", "in"},
		"12 V, +5V, 30ft, 4 ft":                           {"V", "V", "ft", "ft"},
		"7474971f and 863937f2, 74690f1":                  nil,
		"%3F %2f U+003F U+210F #00F 0024F":                nil,
		"12.6 V, 100% F":                                  {"V", "%"},
	} {
		var got []string
		for _, q := range quantities(text) {
			got = append(got, q.unit.Symbol)
		}
		if !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}
