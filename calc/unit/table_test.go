package unit

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"
)

// published holds one SI value for every unit. Those with seven digits, and
// the exact ones of the inch system, are read from NIST SP 811 (2008),
// Appendix B.8 and B.9, as printed there; the others follow from the prefixes
// and from table 8 of the BIPM's brochure, The International System of Units,
// 9th ed. (min, h, degree, litre).
var published = map[string]string{
	"": "1", "%": "0.01", "ppm": "0.000 001", "deg": "1.745 329 E-02", "rad": "1", "rev": "6.283 185 E+00",

	"V": "1", "kV": "1000", "mV": "0.001", "µV": "0.000 001", "V/K": "1", "mV/K": "0.001",
	"A": "1", "mA": "0.001", "µA": "0.000 001", "A·h": "3.6 E+03", "mA·h": "3.6",
	"Ω": "1", "MΩ": "1 000 000", "kΩ": "1000", "mΩ": "0.001", "µΩ": "0.000 001",
	"Ω·m": "1", "µΩ·m": "0.000 001", "Ω·mm²/m": "0.000 001", // 1 mm² is 1e-6 m²
	"farad": "1", "µF": "0.000 001", "H": "1", "mH": "0.001",

	"W": "1", "kW": "1000", "mW": "0.001", "hp": "7.456 999 E+02",
	"PS": "735.49875", "V·A": "1", "kV·A": "1000", // 75 * 9.80665, exact
	"J": "1", "kJ": "1000", "W·h": "3.6 E+03", "kW·h": "3.6 E+06",

	"km": "1000", "m": "1", "cm": "0.01", "mm": "0.001", "µm": "0.000 001", "ft": "3.048 E-01", "yd": "9.144 E-01", "in": "2.54 E-02", "thou": "2.54 E-05",
	"1/m": "1",
	"m²":  "1", "mm²": "0.000 001", "cm²": "0.0001", "in²": "6.4516 E-04", "cmil": "5.067 075 E-10", "kcmil": "5.067 075 E-07",
	"m³": "1", "L": "1.0 E-03", "mL": "0.000 001", "cc": "0.000 001", "in³": "1.638 706 E-05", "gal": "3.785 412 E-03", "qt": "9.463 529 E-04",
	"L/min": "1.666 667 E-05", "L/h": "2.777 778 E-07", // 1e-3/60 and 1e-3/3600
	"gal/min": "6.309 020 E-05", "gal/h": "1.051 503 E-06", "ft³/min": "4.719 474 E-04",
	"kg": "1", "g": "0.001", "mg": "0.000 001", "lb": "4.535 924 E-01", "oz": "2.834 952 E-02",
	"kg/h": "2.777 778 E-04", "g/s": "0.001",
	"kg/m³": "1", "g/cm³": "1.0 E+03", "kg/L": "1000", "lb/ft³": "1.601 846 E+01",

	"s": "1", "ms": "0.001", "min": "6.0 E+01", "h": "3.6 E+03", "d": "8.64 E+04", "Hz": "1", "kHz": "1000",
	"rpm": "1.666 667 E-02", // 1.047 198 E-01 rad/s over 2π
	"rps": "1",
	"m/s": "1", "km/h": "2.777 778 E-01", "mph": "4.4704 E-01",

	"K": "1", "°C": "1", "ΔK": "1", "Δ°C": "1", "°F": "5.555 556 E-01", "Δ°F": "5.555 556 E-01",
	"1/K": "1", "1/°F": "1.8", "deg/K": "1.745 329 E-02", "K/W": "1", "W/K": "1", "J/K": "1",

	"N": "1", "lbf": "4.448 222 E+00", "kgf": "9.806 65 E+00", "ozf": "2.780 139 E-01", "N·m": "1", "lbf·in": "1.129 848 E-01", "lbf·ft": "1.355 818 E+00",
	"ozf·in": "7.061 552 E-03", "kgf·m": "9.806 65 E+00", "kgf·cm": "0.0980665",
	"Pa": "1", "hPa": "100", "kPa": "1000", "MPa": "1 000 000", "GPa": "1 000 000 000", "bar": "1.0 E+05", "mbar": "1.0 E+02",
	"atm": "1.013 25 E+05", "Torr": "1.333 224 E+02",
	"psi": "6.894 757 E+03", "inHg": "3.386 389 E+03", "mmHg": "1.333 224 E+02", "inH₂O": "2.490 889 E+02",
}

// asPublished reports whether a factor is the printed one: to its last digit
// where seven are printed, else exactly.
func asPublished(factor float64, printed string) bool {
	text := strings.ReplaceAll(printed, " ", "")
	want, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return false
	}
	if mantissa, _, _ := strings.Cut(text, "E"); len(mantissa) == len("1.129848") && strings.Contains(text, "E") {
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(factor, 'e', 6, 64), 64)
		return rounded == want
	}
	return factor == want
}

func TestFactorsArePublished(t *testing.T) {
	for _, r := range table {
		printed, ok := published[r.Symbol]
		if !ok && !r.IsGauge() {
			t.Errorf("%s: no published value", r.Symbol)
		}
		if ok && !asPublished(r.Factor, printed) {
			t.Errorf("%s: factor %v, published %s", r.Symbol, r.Factor, printed)
		}
	}
	for symbol := range published {
		if u := mustLookup(t, symbol); u.Symbol != symbol {
			t.Errorf("%s is %s in the table", symbol, u.Symbol)
		}
	}
}

// The scales meet where NIST SP 811, B.8, has them: t/°C = (t/°F - 32)/1.8 and
// T/K = t/°C + 273.15.
func TestTemperatureScales(t *testing.T) {
	celsius, fahrenheit, kelvin := mustLookup(t, "°C"), mustLookup(t, "°F"), mustLookup(t, "K")
	for f, c := range map[float64]float64{-459.67: -273.15, -40: -40, 0: -160 / 9.0, 32: 0, 77: 25, 212: 100} {
		si := fahrenheit.ToSI(f)
		if got := celsius.FromSI(si); math.Abs(got-c) > 1e-10 {
			t.Errorf("%v °F is %v °C, want %v", f, got, c)
		}
		if got := kelvin.FromSI(si); math.Abs(got-(c+273.15)) > 1e-10 {
			t.Errorf("%v °F is %v K, want %v", f, got, c+273.15)
		}
	}
	if got := mustLookup(t, "Δ°F").ToSI(18); math.Abs(got-10) > 1e-14 {
		t.Errorf("18 degrees of difference are %v K", got)
	}
}

// A value comes back from the SI but for the last places: four roundings of
// half an ulp each, the offset's among them.
func TestRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	for _, r := range table {
		if r.IsGauge() {
			continue
		}
		for range 1000 {
			v := (random.Float64() - 0.5) * math.Pow(10, float64(random.IntN(13)-4))
			if back := r.FromSI(r.ToSI(v)); math.Abs(back-v) > 4*0x1p-53*(math.Abs(v)+r.Offset) {
				t.Errorf("%v %s comes back as %v", v, r.Symbol, back)
			}
		}
	}
}

// What compounds are computed from is what the table rounds.
func TestExactFactors(t *testing.T) {
	for _, r := range table {
		if r.IsGauge() || strings.ContainsAny(r.Symbol, "·/²³") {
			continue
		}
		if f, _ := r.exact().Float64(); f != r.Factor {
			t.Errorf("%s: %v from %v, the table has %v", r.Symbol, f, r.exact(), r.Factor)
		}
	}
}

// A compound unit of the table is what its parts make, to the last bit.
func TestCompoundRows(t *testing.T) {
	for _, r := range table {
		if !strings.ContainsAny(r.Symbol, "·/²³") {
			continue
		}
		delete(bySpelling(), r.Symbol)
		u, ok := compound(r.Symbol)
		bySpelling()[r.Symbol] = r.Unit
		n := r.Kind.nature()
		if !ok || u.Symbol != r.Symbol || u.Factor != r.Factor || u.Kind != r.Kind && u.Kind != n.bare() {
			t.Errorf("%s is composed as %+v, the table has %+v", r.Symbol, u, r.Unit)
		}
	}
}
