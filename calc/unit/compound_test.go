package unit

import (
	"math"
	"strings"
	"testing"
)

// Factors with seven digits, and 0.3048, are those of NIST SP 811 (2008),
// Appendix B.8; the others are worked beside them.
func TestCompound(t *testing.T) {
	for _, c := range []struct {
		written, symbol string
		kind            Kind
		factor          string
	}{
		{"lbf/in", "lbf/in", "kg·s⁻²", "1.751 268 E+02"},
		{"lbf/ft", "lbf/ft", "kg·s⁻²", "1.459 390 E+01"},
		{"lb/h", "lb/h", MassFlow, "1.259 979 E-04"},
		{"lb/gal", "lb/gal", Density, "1.198 264 E+02"},
		{"lb/in³", "lb/in³", Density, "2.767 990 E+04"},
		{"lb*ft^2", "lb·ft²", "m²·kg", "4.214 011 E-02"},
		{"lb·in2", "lb·in²", "m²·kg", "2.926 397 E-04"},
		{"lb/(hp·h)", "lb/(hp·h)", "m⁻²·s²", "1.689 659 E-07"},
		{"gal/(hp·h)", "gal/(hp·h)", "m·kg⁻¹·s²", "1.410 089 E-09"},
		{"gal/min", "gal/min", VolumeFlow, "6.309 020 E-05"},
		{"ft/s", "ft/s", Velocity, "0.3048"},
		{"ft/s²", "ft/s²", "m·s⁻²", "0.3048"},
		{"ft/s/s", "ft/s²", "m·s⁻²", "0.3048"},
		{"ohm·cmil/ft", "Ω·cmil/ft", Resistivity, "1.662 426 E-09"},
		{"lbf·s/ft²", "lbf·s/ft²", "m⁻¹·kg·s⁻¹", "4.788 026 E+01"},

		{"kgf/cm²", "kgf/cm²", Pressure, "9.806 65 E+04"},
		{"kgf·m", "kgf·m", Torque, "9.806 65 E+00"},

		{"kWh", "kW·h", Energy, "3600000"},
		{"g/(kW·h)", "g/(kW·h)", "m⁻²·s²", "2.777 778 E-10"}, // 1e-3/3.6e6
		{"g/kWh", "g/(kW·h)", "m⁻²·s²", "2.777 778 E-10"},
		{"N·cm", "N·cm", "m²·kg·s⁻²", "0.01"},
		{"kN·m", "kN·m", "m²·kg·s⁻²", "1000"},
		{"W/(m·K)", "W/(m·K)", "m·kg·s⁻³·K⁻¹", "1"},
		{"W / ( m * degC )", "W/(m·°C)", "m·kg·s⁻³·K⁻¹", "1"}, // a difference: no offset
		{"J/(kg·ΔK)", "J/(kg·K)", "m²·s⁻²·K⁻¹", "1"},
		{"W/(m/s)", "W·s/m", Force, "1"},
		{"V/A", "V/A", Resistance, "1"},
		{"V·s", "V·s", "m²·kg·s⁻²·A⁻¹", "1"},
		{"A/V", "A/V", "m⁻²·kg⁻¹·s³·A²", "1"},
		{"1/°F", "1/°F", TemperatureCoefficient, "1.8"},
		{"%/K", "%/K", TemperatureCoefficient, "0.01"},
		{"deg/°F", "deg/°F", AngularTemperatureRate, "0.031415926535897934"}, // π/180 * 9/5
		{"rad/s", "rad/s", "rad·s⁻¹", "1"},
		{"deg²", "deg²", "rad²", "0.00030461741978670857"}, // (π/180)²
		{"1/s", "1/s", "s⁻¹", "1"},
		{"V/rpm", "V/rpm", "m²·kg·s⁻²·A⁻¹", "60"},
		{"kg/kg", "kg/kg", Number, "1"},
		{"mm/m", "mm/m", Number, "0.001"},
		{"inH2O/L", "inH₂O/L", "m⁻⁴·kg·s⁻²", "249088.91"}, // 1000 * 9.80665 * 0.0254 Pa in 1e-3 m³

		// A product that the table knows is the table's.
		{"lb·ft", "lbf·ft", Torque, "1.355 818 E+00"},
		{"ft*lb", "lbf·ft", Torque, "1.355 818 E+00"},
		{"lb/in^2", "psi", Pressure, "6.894 757 E+03"},
		{"m·m", "m²", Area, "1"},
		{"min^-1", "rpm", RotationalFrequency, "1.666 667 E-02"},
		{"1/K⁻¹", "ΔK", TemperatureDifference, "1"},
		{"°C^1", "Δ°C", TemperatureDifference, "1"},

		// Prefixes.
		{"MV", "MV", Voltage, "1000000"},
		{"nm", "nm", Length, "0.000 000 001"},
		{"uH", "µH", Inductance, "0.000 001"},
		{"nF", "nF", Capacitance, "0.000 000 001"},
		{"pF", "pF", Capacitance, "0.000 000 000 001"},
		{"dL", "dL", Volume, "0.0001"},
		{"Mg", "Mg", Mass, "1000"},
		{"GΩ", "GΩ", Resistance, "1 000 000 000"},
		{"kbar", "kbar", Pressure, "100000000"},
	} {
		u, ok := Lookup(c.written)
		if !ok || u.Symbol != c.symbol || u.Kind != c.kind || !asPublished(u.Factor, c.factor) || u.Offset != 0 {
			t.Errorf("Lookup(%q) = %+v, %v, want %s of %s, factor %s", c.written, u, ok, c.symbol, c.kind, c.factor)
		}
	}
}

// What the table had to spell out if there were no rules.
func TestLookupByRule(t *testing.T) {
	for symbol, written := range map[string]string{
		"µV": "uV", "µA": "uA", "µΩ": "uΩ", "µF": "uF", "µm": "um", "mV/K": "mV/degC mV/C", "A·h": "A*h", "Ω·m": "ohm·m ohm*m",
		"µΩ·m": "µohm·m uohm*m", "Ω·mm²/m": "ohm·mm²/m ohm*mm2/m", "kW·h": "kW*h", "1/m": "/m m^-1 m⁻¹", "m²": "m2 m^2", "mm²": "mm2 mm^2",
		"cm²": "cm2 cm^2", "in²": "in2 in^2", "cc": "cm3 cm^3", "in³": "in3 in^3", "L/min": "l/min", "kg/m³": "kg/m3 kg/m^3", "kg/L": "kg/l",
		"g/cm³": "g/cm3 g/cm^3", "lb/ft³": "lb/ft3 lb/ft^3", "rpm": "min⁻¹", "1/K": "/K K^-1 K⁻¹ /°C 1/degC /degC", "1/°F": "/°F 1/degF",
		"deg/K": "deg/degC °/K", "K/W": "degC/W C/W", "W/K": "W/degC W/C", "J/K": "J/degC J/C", "N·m": "N*m", "lbf·in": "lbf*in", "lbf·ft": "lbf*ft",
	} {
		for _, s := range strings.Fields(written) {
			if u, ok := Lookup(s); !ok || u != bySpelling()[symbol] {
				t.Errorf("Lookup(%q) = %+v, %v, want %s", s, u, ok, symbol)
			}
		}
	}
}

func TestNoUnit(t *testing.T) {
	for _, s := range []string{
		"W/m·K", "1", "1/", "/", "·", "V·", "·V", "V//A", "V/1", "V/()", "V/(A", "V/A)", "(V)", "(V/A)", "V/(A)m", "V A", "V.A",
		"m⁰", "m^0", "m^", "m^1.5", "m^+2", "m10", "m^10", "m⁹·m", "^2", "2m", "m2m", "J⁹", "1/1", "1·m",
		"AWG/m", "AWG²", "kAWG", "kin", "mft", "kkg", "µµF", "k", "kC", "mmin", "kpsi", "daN", "MOHM", "KPA",
		"m·" + strings.Repeat("m·", 40) + "m", strings.Repeat("kg·", 20) + "g", "GPa⁹·GPa⁹", "\xff", "m\x00",
	} {
		if u, ok := Lookup(s); ok {
			t.Errorf("Lookup(%q) = %+v, want none", s, u)
		}
	}
}

// W/m·K may be read in two ways; the usual one is proposed.
func TestNearestCompound(t *testing.T) {
	for written, want := range map[string]string{"W/m·K": "W/(m·K)", "J/kg*K": "J/(kg·K)", "g/kW·h": "g/(kW·h)", "kg/m33": "kg/m³", "mV/Kk": "mV/K"} {
		if got := Nearest(written); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", written, got, want)
		}
	}
}

// Every unit that is found is found again by its symbol, and converts.
func FuzzLookup(f *testing.F) {
	for _, r := range table {
		f.Add(r.Symbol)
		for _, s := range r.spellings {
			f.Add(s)
		}
	}
	for _, s := range []string{"W/(m·K)", "kg·m^2/s²", "1/(a·b)", "m⁻⁹", "lbf/in2", "g/kWh", "ΔK/W", "N⁻m", "W/(N·m)/s", "/degF²", "1/K⁻¹", "in·lb²", "deg·rad", "µJ¹"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, written string) {
		u, ok := Lookup(written)
		if !ok {
			return
		}
		if again, ok := Lookup(u.Symbol); !ok || again != u {
			t.Errorf("Lookup(%q) = %+v, but Lookup(%q) = %+v, %v", written, u, u.Symbol, again, ok)
		}
		if !u.IsGauge() && (!(u.Factor > 0) || math.IsInf(u.Factor, 0)) {
			t.Errorf("Lookup(%q) = %+v", written, u)
		}
		if n := u.Kind.nature(); !u.IsGauge() && n.bare().nature() != n {
			t.Errorf("%s: kind %q of %v", u.Symbol, u.Kind, n)
		}
	})
}
