package page

import (
	"testing"

	"benchleaf/calc/unit"
)

// A pad of figures shows where neither a letter nor a sign is ever typed.
func TestReadingMode(t *testing.T) {
	for symbol, want := range map[string]string{"V": "decimal", "Ω": "decimal", "rpm": "decimal", "mA": "text", "kΩ": "text", "°C": "text", "AWG": "text"} {
		u, ok := unit.Lookup(symbol)
		if got := readingMode(u); !ok || got != want {
			t.Errorf("%s: %s, want %s", symbol, got, want)
		}
	}
}
