package unit

import (
	"math"
	"testing"
)

func TestLastPlace(t *testing.T) {
	for _, c := range []struct {
		text, lang string
		want       float64
	}{
		{"2.40 A", "en", 0.01}, {"0.05", "en", 0.01}, {".5", "en", 0.1}, {"-12.6 V", "en", 0.1}, {"− 0,125 mm", "es", 0.001},
		{"1,820", "en", 0}, {"1,820.5", "en", 0.1}, {"1.820,5", "es", 0.1}, {"12,5", "en", 0.1}, {"16 AWG", "en", 0},
		{"2", "en", 0}, {"5.", "en", 0}, {"1.5e-3", "en", 1e-4}, {"1.5e3", "en", 100}, {"1/0", "en", 0}, {"", "en", 0}, {"abc", "en", 0},
		{"1 234.5 kPa", "en", 0.1}, {"1.5E+2", "en", 10},
	} {
		if got := LastPlace(c.text, c.lang); got != c.want {
			t.Errorf("LastPlace(%q, %s) = %v, want %v", c.text, c.lang, got, c.want)
		}
	}
}

func TestResultDigits(t *testing.T) {
	for _, c := range []struct {
		v, spread float64
		most      int
		want      int
	}{
		{12.6, 0.05, 4, 3},       // read to a tenth
		{12.55, 0.005, 4, 4},     // read to a hundredth
		{0.05898, 0.00012, 4, 3}, // 2.40 A, two tenths of a per cent: 0.0590
		{1402, 0, 4, 4},          // whole numbers
		{1402, 0, 6, 6},
		{1234.5, 5, 4, 3},      // 1230
		{0.001, 5, 4, 2},       // less than what is open
		{3, math.Inf(1), 4, 2}, // anything goes
		{0, 0.5, 4, 4}, {math.NaN(), 0.5, 4, 4}, {math.Inf(1), 0.5, 4, 4}, {-12.6, 0.05, 4, 3},
	} {
		if got := ResultDigits(c.v, c.spread, c.most); got != c.want {
			t.Errorf("ResultDigits(%v, %v, %d) = %d, want %d", c.v, c.spread, c.most, got, c.want)
		}
	}
}
