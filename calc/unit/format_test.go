package unit

import (
	"math"
	"regexp"
	"strconv"
	"testing"

	"golang.org/x/text/language"
	"golang.org/x/text/message"
	"golang.org/x/text/number"
)

// Every case is what a browser's engine printed for the same bits.
func TestFormatAsECMAScript(t *testing.T) {
	for _, f := range lines(t, "format.txt") {
		v := bits(t, f[0])
		digits, err := strconv.Atoi(f[1])
		if err != nil {
			t.Fatal(err)
		}
		if got := Format(v, digits); got != f[2] {
			t.Errorf("Format(%v, %d) = %s, want %s", v, digits, got, f[2])
		}
	}
}

func TestFormat(t *testing.T) {
	for _, c := range []struct {
		v      float64
		digits int
		want   string
	}{
		{0.12, 3, "0.120"},
		{math.Copysign(0, -1), 1, "0"},
		{2.5, 1, "3"}, {-2.5, 1, "-3"}, {0.125, 2, "0.13"}, // halves away from zero
		{1.005, 3, "1.00"}, // just below the half in binary
		{99.95, 3, "100"}, {9.995, 3, "9.99"}, {1234, 2, "1200"}, {999999999.9, 3, "1000000000"},
		{1e9, 3, "1.00e+9"}, {9.99e-7, 2, "0.0000010"}, {9.9e-7, 2, "9.9e-7"},
		{12, 0, "10"}, {12, -3, "10"}, {0.1, 40, "0.10000000000000001"},
		{math.NaN(), 3, "–"}, {math.Inf(1), 3, "∞"}, {math.Inf(-1), 3, "-∞"},
	} {
		if got := Format(c.v, c.digits); got != c.want {
			t.Errorf("Format(%v, %d) = %q, want %q", c.v, c.digits, got, c.want)
		}
	}
}

func TestFormatIn(t *testing.T) {
	for _, c := range []struct{ lang, want string }{
		{"en", "0.120"}, {"es", "0,120"}, {"es-ES", "0,120"}, {"es-MX", "0.120"}, {"de", "0,120"}, {"", "0.120"}, {"xx", "0.120"},
	} {
		if got := FormatIn(0.12, 3, c.lang); got != c.want {
			t.Errorf("%q: %s, want %s", c.lang, got, c.want)
		}
	}
}

// The decimal signs are those of the Unicode CLDR, as golang.org/x/text holds it.
func TestDecimalSign(t *testing.T) {
	var tags []string
	for lang := range commaLanguages {
		tags = append(tags, lang)
	}
	for region := range pointRegions {
		tags = append(tags, region)
	}
	tags = append(tags, "en", "en-GB", "ja", "zh", "ko", "es-ES", "es-AR", "es-CL", "es-CO", "es-UY", "fr-CA", "pt-BR", "de-AT")
	for _, tag := range tags {
		printed := message.NewPrinter(language.MustParse(tag)).Sprint(number.Decimal(1.5))
		if want := "1" + string(rune(DecimalSign(tag))) + "5"; printed != want {
			t.Errorf("%s: CLDR prints %s, this package %s", tag, printed, want)
		}
	}
}

// Between 1e-6 and 1e9 no exponent shows, and the text is as near to v as so
// many digits allow.
func TestFormatPlainAndNear(t *testing.T) {
	plain := regexp.MustCompile(`^[0-9]+(\.[0-9]+)?$`)
	v := 1e-6
	for v < 1e9 {
		for digits := 1; digits <= 15; digits++ {
			text := Format(v, digits)
			back, err := strconv.ParseFloat(text, 64)
			if !plain.MatchString(text) || err != nil {
				t.Fatalf("Format(%v, %d) = %q", v, digits, text)
			}
			if bound := 0.5 * math.Pow(10, math.Floor(math.Log10(v))-float64(digits-1)); math.Abs(back-v) > bound*(1+1e-9)+1e-16*v {
				t.Errorf("Format(%v, %d) = %s, off by more than %v", v, digits, text, bound)
			}
		}
		v *= 1.37
	}
}
