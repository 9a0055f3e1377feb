package audit

import (
	"testing"

	"benchleaf/calc/unit"
)

// TestUnitWords: what a unit is called in words is a unit.
func TestUnitWords(t *testing.T) {
	for word, symbol := range unitWords {
		if _, ok := unit.Lookup(symbol); !ok {
			t.Errorf("%q is said to be %q, which is no unit", word, symbol)
		}
	}
	for _, text := range []string{"0.5 volts", "0.5 Voltios", "0,5 V"} {
		if list := figuresOf(text); len(list) != 1 || list[0].symbol != "V" {
			t.Errorf("%q: %v", text, list)
		}
	}
}
