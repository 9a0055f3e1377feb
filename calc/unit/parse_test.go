package unit

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text, field, lang string
		want              float64 // in SI
		used              string
	}{
		{"2.4 A", "A", "en", 2.4, "A"},
		{"2.4", "A", "en", 2.4, "A"},
		{" 2.4A ", "A", "en", 2.4, "A"},
		{"2,4 A", "A", "es", 2.4, "A"},
		{"2.4 A", "A", "es", 2.4, "A"}, // cannot be a grouped thousand
		{"0.500 A", "A", "es", 0.5, "A"},
		{"2,4 A", "A", "en", 2.4, "A"}, // a keypad of another region
		{"2,4", "A", "es-MX", 2.4, "A"},
		{",500", "V", "en", 0.5, "V"},
		{"0,500", "V", "en", 0.5, "V"},
		{"1234,567", "V", "en", 1234.567, "V"},
		{"1,500 rpm", "rpm", "en", 25, "rpm"},
		{"1 500 rpm", "rpm", "en", 25, "rpm"},
		{"1 500", "rpm", "es", 25, "rpm"},
		{"1\u202f500 rpm", "rpm", "es", 25, "rpm"},
		{"1.234.567,5 mm", "mm", "es", 1234.5675, "mm"},
		{"1,234,567.5 mm", "mm", "en", 1234.5675, "mm"},
		{"1.234,5 mm", "mm", "es", 1.2345, "mm"},
		{"-40 °F", "°C", "en", 233.15, "°F"},
		{"−40 °C", "°C", "en", 233.15, "°C"},
		{"- 40", "°C", "en", 233.15, "°C"},
		{"+5", "V", "en", 5, "V"},
		{".5 V", "V", "en", 0.5, "V"},
		{"5. V", "V", "en", 5, "V"},
		{"1e-3 V", "V", "en", 0.001, "V"},
		{"1E3V", "V", "en", 1000, "V"},
		{"70 degF", "°C", "en", 294.26111111111111, "°F"},
		{"12 mohm", "Ω", "en", 0.012, "mΩ"},
		{"5 %", "%", "en", 0.05, "%"},
		{"10 °C", "ΔK", "en", 10, "Δ°C"},
		{"18 °F", "ΔK", "en", 10, "Δ°F"},
		{"10 K", "Δ°C", "en", 10, "ΔK"},
		{"10 K", "°C", "en", 10, "K"},
		{"16 AWG", "mm²", "en", 1.3087e-6, "AWG"},
		{"16awg", "mm²", "en", 1.3087e-6, "AWG"},
		{"AWG 16", "mm²", "en", 1.3087e-6, "AWG"},
		{"16", "AWG", "en", 1.3087e-6, "AWG"},
		{"4/0 AWG", "mm²", "en", 107.22e-6, "AWG"},
		{"4/0", "mm²", "en", 107.22e-6, "AWG"},
		{"0000 AWG", "mm²", "en", 107.22e-6, "AWG"},
		{"1.5 mm2", "AWG", "en", 1.5e-6, "mm²"},
		{"1,5 mm²", "AWG", "es", 1.5e-6, "mm²"},
		{"0", "mm²", "en", 0, "mm²"},
		{"0.00393 1/K", "1/K", "en", 0.00393, "1/K"},
		{"١٬٧٥٠ rpm", "rpm", "ar", 29.166666666666668, "rpm"}, // and what parts thousands
		{"۱٬۷۵۰٫۵ rpm", "rpm", "es", 29.175, "rpm"},
		{"٩٫٣", "V", "ar", 9.3, "V"}, // Arabic-Indic figures and the Arabic decimal separator
		{"٩٫٣ V", "V", "en", 9.3, "V"},
		{"٩٫٣ V", "V", "es", 9.3, "V"},
		{"٩٫٣٠٠ V", "V", "es", 9.3, "V"}, // it groups nothing
		{"٩،٣", "V", "ar", 9.3, "V"},
		{"٩.٣", "V", "ar", 9.3, "V"},
		{"۹٫۳", "V", "fa", 9.3, "V"},     // Extended Arabic-Indic figures
		{"９.４ Ω", "Ω", "en", 9.4, "Ω"},   // wide figures
		{"9.40k", "Ω", "en", 9400, "kΩ"}, // as a meter shows it
		{"2.2M", "Ω", "en", 2.2e6, "MΩ"},
		{"9.4", "kΩ", "en", 9400, "kΩ"},
		{"940 m", "kΩ", "en", 0.94, "mΩ"},
		{"−٤٠ °C", "°C", "ar", 233.15, "°C"},
		{"١٦ AWG", "mm²", "ar", 1.3087e-6, "AWG"},
		{"1 500 1/m", "1/m", "es", 1500, "1/m"},
		{"1 100 W", "W", "es", 1100, "W"},
		{"5 N·cm", "N·m", "en", 0.05, "N·cm"},
		{"2 N·m", "N·cm", "en", 2, "N·m"}, // both ways
		{"3 kN·m", "J", "en", 3000, "kN·m"},
		{"2 1/s", "rpm", "en", 2, "1/s"},
		{"4.7 nF", "µF", "en", 4.7e-9, "nF"},
		{"0.3 %/K", "1/K", "en", 0.003, "%/K"},
		{"25 W/(m·K)", "W/(m·K)", "en", 25, "W/(m·K)"},
		{"12 kWh", "J", "en", 43.2e6, "kW·h"},
		{"120 in-lb", "N·m", "en", 13.5582, "lbf·in"},
		{"20 ft lbs", "N·m", "en", 27.1164, "lbf·ft"},
		{"10 kg·cm", "N·m", "en", 0.980665, "kgf·cm"},
		{"16 ozf·in", "lbf·in", "en", 0.112985, "ozf·in"}, // 1 lbf·in
		{"2 PS", "kW", "en", 1470.9975, "PS"},
		{"1,5 CV", "kW", "es", 1103.248, "PS"},
		{"760 torr", "kPa", "en", 101325, "Torr"},
		{"250 kcmil", "mm²", "en", 126.677e-6, "kcmil"}, // 250 * 0.5067075 mm²
		{"32 AH", "A·h", "en", 115200, "A·h"},
		{"32 A h", "A·h", "en", 115200, "A·h"},
		{"1500 U/min", "rpm", "en", 25, "rpm"},
		{"25 rps", "rpm", "en", 25, "rps"},
		{"2 rev", "deg", "en", 12.56637, "rev"}, // 4π
		{"100 cfm", "L/min", "en", 0.04719474, "ft³/min"},
		{"50 ppm", "%", "en", 5e-5, "ppm"},
		{"2 days", "h", "en", 172800, "d"},
		{"70 °f", "°C", "en", 294.26111111111111, "°F"},
		{"10 °c", "ΔK", "en", 10, "Δ°C"},
		{"14 ga", "mm²", "en", 2.0809e-6, "AWG"},
		{"14ga", "mm²", "en", 2.0809e-6, "AWG"},
		{"14 Ga.", "mm²", "en", 2.0809e-6, "AWG"},
		{"14 gauge", "mm²", "en", 2.0809e-6, "AWG"},
		{"#14", "mm²", "en", 2.0809e-6, "AWG"},
		{"#14 AWG", "mm²", "en", 2.0809e-6, "AWG"},
		{"2/0 ga", "AWG", "en", 67.431e-6, "AWG"},
	} {
		si, used, err := Parse(c.text, mustLookup(t, c.field), c.lang)
		if err != nil || used.Symbol != c.used || math.Abs(si-c.want) > 1e-4*math.Abs(c.want) {
			t.Errorf("Parse(%q, %s, %s) = %v, %q, %v, want %v, %q", c.text, c.field, c.lang, si, used.Symbol, err, c.want, c.used)
		}
	}
}

func TestParseErrors(t *testing.T) {
	for _, c := range []struct {
		text, field, lang string
		reason            Reason
		message           string
	}{
		{"", "V", "en", NotANumber, `"" is not a number`},
		{"V", "V", "en", NotANumber, `"V" is not a number`},
		{"-", "V", "en", NotANumber, `"-" is not a number`},
		{".", "V", "en", NotANumber, `"." is not a number`},
		{"1.2.3 A", "A", "en", NotANumber, `"1.2.3 A" is not a number`},
		{"12,34,567", "V", "en", NotANumber, `"12,34,567" is not a number`},
		{"1,234 567", "V", "en", NotANumber, `"1,234 567" is not a number`},
		{"16 2 A", "A", "en", NotANumber, `"16 2 A" is not a number`},
		{"NaN", "V", "en", NotANumber, `"NaN" is not a number`},
		{"inf", "V", "en", NotANumber, `"inf" is not a number`},
		{"0x10", "V", "en", UnknownUnit, `unknown unit "x10"`},
		{"1_000", "V", "en", UnknownUnit, `unknown unit "_000"`},
		{"1.500", "rpm", "es", Ambiguous, `"1.500" may be read in two ways: leave the thousands ungrouped`},
		{"1e999", "V", "en", TooLarge, `"1e999" is too large`},
		{"1e308 kPa", "kPa", "en", TooLarge, `"1e308 kPa" is too large`},
		{"2 vlts", "V", "en", UnknownUnit, `unknown unit "vlts"; did you mean "V"?`},
		{"2 furlong", "m", "en", UnknownUnit, `unknown unit "furlong"`},
		{"2 A", "V", "en", WrongKind, `A is a unit of current; a voltage is wanted, such as V`},
		{"60 Hz", "rpm", "en", WrongKind, `Hz is a unit of frequency; a rotational frequency is wanted, such as rpm`},
		{"10 ΔK", "°C", "en", WrongKind, `ΔK is a unit of temperature difference; a temperature is wanted, such as °C`},
		{"16 AWG", "V", "en", WrongKind, `AWG is a unit of area; a voltage is wanted, such as V`},
		{"41 AWG", "mm²", "en", NoSize, `"41 AWG" is no size of the wire gauge, 4/0 to 40`},
		{"5/0 AWG", "mm²", "en", NoSize, `"5/0 AWG" is no size of the wire gauge, 4/0 to 40`},
		{"AWG", "mm²", "en", NoSize, `"AWG" is no size of the wire gauge, 4/0 to 40`},
		{"1e1", "AWG", "en", NoSize, `"1e1" is no size of the wire gauge, 4/0 to 40`},
		{"5.", "AWG", "en", NoSize, `"5." is no size of the wire gauge, 4/0 to 40`},
		{"16.0", "AWG", "en", NoSize, `"16.0" is no size of the wire gauge, 4/0 to 40`},
		{"-3", "AWG", "en", NoSize, `"-3" is no size of the wire gauge, 4/0 to 40`},
		{"+16", "AWG", "en", NoSize, `"+16" is no size of the wire gauge, 4/0 to 40`},
		{"-3 AWG", "mm²", "en", NoSize, `"-3 AWG" is no size of the wire gauge, 4/0 to 40`},
		{"1e1 AWG", "mm²", "en", NoSize, `"1e1 AWG" is no size of the wire gauge, 4/0 to 40`},
		{"1e", "V", "en", UnknownUnit, `unknown unit "e"`}, // an empty exponent,
		{"1e+ A", "A", "en", UnknownUnit, `unknown unit "e+ A"`},
		{"2 rad/s", "rpm", "en", WrongKind, `rad/s is a unit of rad·s⁻¹; a rotational frequency is wanted, such as rpm`},
		{"2 N·m", "J", "en", WrongKind, `N·m is a unit of torque; an energy is wanted, such as J`},
		{"2 W/m·K", "W/(m·K)", "en", UnknownUnit, `unknown unit "W/m·K"; did you mean "W/(m·K)"?`},
		{"41 ga", "mm²", "en", NoSize, `"41 ga" is no size of the wire gauge, 4/0 to 40`},
		{"#", "mm²", "en", NoSize, `"#" is no size of the wire gauge, 4/0 to 40`},
		{"#14", "V", "en", WrongKind, `AWG is a unit of area; a voltage is wanted, such as V`},
		{"±75", "V", "en", NotANumber, `"±75" is not a number`},
		{"30 psig", "kPa", "en", UnknownUnit, `unknown unit "psig"`},
		{"30 psia", "kPa", "en", UnknownUnit, `unknown unit "psia"`},
		{"2 rev/s", "rad/s", "en", WrongKind, `rps is a unit of rotational frequency; a rad·s⁻¹ is wanted, such as rad/s`},
		{"15.5", "AWG", "en", NoSize, `"15.5" is no size of the wire gauge, 4/0 to 40`},
	} {
		si, used, err := Parse(c.text, mustLookup(t, c.field), c.lang)
		var e *Error
		if !errors.As(err, &e) {
			t.Errorf("Parse(%q, %s, %s) = %v %s, want an error", c.text, c.field, c.lang, si, used.Symbol)
		} else if e.Reason != c.reason || e.Error() != c.message || e.Want.Symbol != c.field {
			t.Errorf("Parse(%q, %s, %s): reason %d, %s\nwant reason %d, %s", c.text, c.field, c.lang, e.Reason, e, c.reason, c.message)
		}
	}
}

// What is printed can be typed in again, in every language and unit.
func TestParseReadsFormat(t *testing.T) {
	var units []Unit
	for _, r := range table {
		if !r.IsGauge() {
			units = append(units, r.Unit)
		}
	}
	for _, composed := range []string{"W/(m·K)", "kg·m²", "1/s", "nF", "kN·m", "V/°F", "in⁻⁴"} {
		units = append(units, mustLookup(t, composed))
	}
	random := rand.New(rand.NewPCG(5, 13))
	for _, lang := range []string{"en", "es", "es-MX", "de"} {
		for _, u := range units {
			values := []float64{0, 1, -0.0123456, 1250.75, 1.5, 123456.789, 2.5e-9, -7e12}
			for range 20 {
				values = append(values, (random.Float64()-0.5)*math.Pow(10, float64(random.IntN(20)-8)))
			}
			for _, v := range values {
				text := FormatIn(v, 9, lang) + " " + u.Symbol
				si, used, err := Parse(text, u, lang)
				if want := u.ToSI(v); err != nil || used != u || math.Abs(si-want) > 1e-8*math.Abs(u.Factor)*(math.Abs(v)+u.Offset) {
					t.Errorf("%s: Parse(%q) = %v, %v, want %v", lang, text, si, err, want)
				}
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"2.4 A", "1.234,5", "16 AWG", "4/0", "−40 °F", "1e-6", "1 500 rpm", "AWG", "1.500", "٣", "\xff"} {
		f.Add(s, "es")
		f.Add(s, "en")
	}
	f.Fuzz(func(t *testing.T, text, lang string) {
		for _, symbol := range []string{"", "mm²", "AWG", "°C", "ΔK", "kPa"} {
			field := mustLookup(t, symbol)
			si, used, err := Parse(text, field, lang)
			var e *Error
			switch {
			case err == nil && (math.IsNaN(si) || math.IsInf(si, 0)):
				t.Errorf("Parse(%q, %s) = %v", text, symbol, si)
			case err == nil && used.Kind != field.Kind:
				t.Errorf("Parse(%q, %s) used %s", text, symbol, used.Symbol)
			case err != nil && (!errors.As(err, &e) || e.Error() == ""):
				t.Errorf("Parse(%q, %s): %v", text, symbol, err)
			}
		}
	})
}
