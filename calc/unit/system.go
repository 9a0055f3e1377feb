package unit

// System is a set of units that a technician is used to.
type System string

// The systems.
const (
	Metric System = "metric"
	Inch   System = "inch"
)

// switchable lists, field by field, the units among which a reader chooses. A
// set spans one kind and sizes that are read with the same tool: a cable's
// length is not switched to thousandths of an inch.
var switchable = [][]string{
	{"V", "mV"},
	{"A", "mA", "µA"},
	{"Ω", "mΩ", "kΩ", "MΩ"},
	{"µΩ·m", "Ω·mm²/m", "Ω·m"},
	{"µF", "nF"},
	{"H", "mH"},
	{"A·h", "mA·h"},
	{"W", "kW", "hp"},
	{"J", "kJ", "W·h", "kW·h"},
	{"m", "ft"},
	{"mm", "cm", "in", "thou"},
	{"1/m", "1/in"},
	{"mm²", "AWG"},
	{"cm²", "in²"},
	{"L", "mL", "cc", "in³", "qt", "gal"},
	{"L/min", "L/h", "gal/min", "gal/h"},
	{"kg", "g", "lb", "oz"},
	{"kg/h", "g/s", "lb/h"},
	{"kg/m³", "kg/L", "g/cm³", "lb/ft³", "lb/gal"},
	{"s", "ms", "min", "h"},
	{"m/s", "km/h", "ft/s", "mph"},
	{"°C", "°F", "K"},
	{"ΔK", "Δ°C", "Δ°F"},
	{"1/K", "1/°F"},
	{"deg/K", "deg/°F"},
	{"mV/K", "V/K", "mV/°F"},
	{"N", "lbf"},
	{"N·m", "lbf·in", "lbf·ft"},
	{"kPa", "bar", "psi", "inHg", "mmHg", "inH₂O", "Pa", "hPa", "mbar", "MPa"},
}

// at says what stands in a field of one unit for each system. A unit that has
// no row is used in both: V, A, Ω, s, rpm, %, and whatever an author composes.
//
// The choices are common practice, no source: wire is bought by mm² or by
// gauge, displacement is stated in cc or in³, fuel in L or US quarts, vacuum
// and barometric pressure in inHg where pressure is in psi, a draught or a
// crankcase's vacuum in inH₂O. Small and great units keep their size: thou and
// mm, lbf·in, g and oz. W stays, for electrical power has no horsepower; an
// engine's kW is its hp. K, a thermal resistance, and a temperature coefficient
// of a conductor are published in K everywhere.
var at = map[string]struct{ metric, inch string }{
	"m": {"m", "ft"}, "ft": {"m", "ft"},
	"mm": {"mm", "in"}, "cm": {"cm", "in"}, "in": {"mm", "in"}, "thou": {"mm", "thou"},
	"1/m": {"1/m", "1/in"}, "1/in": {"1/m", "1/in"},
	"mm²": {"mm²", "AWG"}, "AWG": {"mm²", "AWG"},
	"cm²": {"cm²", "in²"}, "in²": {"cm²", "in²"},
	"L": {"L", "qt"}, "mL": {"mL", "in³"}, "cc": {"cc", "in³"}, "in³": {"cc", "in³"}, "qt": {"L", "qt"}, "gal": {"L", "gal"},
	"L/min": {"L/min", "gal/min"}, "L/h": {"L/h", "gal/h"}, "gal/min": {"L/min", "gal/min"}, "gal/h": {"L/h", "gal/h"},
	"kg": {"kg", "lb"}, "lb": {"kg", "lb"}, "g": {"g", "oz"}, "oz": {"g", "oz"},
	"kg/h": {"kg/h", "lb/h"}, "g/s": {"g/s", "lb/h"}, "lb/h": {"kg/h", "lb/h"},
	"kg/m³": {"kg/m³", "lb/ft³"}, "lb/ft³": {"kg/m³", "lb/ft³"},
	"kg/L": {"kg/L", "lb/gal"}, "g/cm³": {"g/cm³", "lb/ft³"}, "lb/gal": {"kg/L", "lb/gal"},
	"m/s": {"m/s", "ft/s"}, "ft/s": {"m/s", "ft/s"}, "km/h": {"km/h", "mph"}, "mph": {"km/h", "mph"},
	"°C": {"°C", "°F"}, "°F": {"°C", "°F"},
	"ΔK": {"ΔK", "Δ°F"}, "Δ°C": {"Δ°C", "Δ°F"}, "Δ°F": {"Δ°C", "Δ°F"},
	"1/°F":  {"1/K", "1/°F"},
	"deg/K": {"deg/K", "deg/°F"}, "deg/°F": {"deg/K", "deg/°F"},
	"mV/K": {"mV/K", "mV/°F"}, "mV/°F": {"mV/K", "mV/°F"},
	"kW": {"kW", "hp"}, "hp": {"kW", "hp"},
	"N": {"N", "lbf"}, "lbf": {"N", "lbf"},
	"N·m": {"N·m", "lbf·ft"}, "lbf·in": {"N·m", "lbf·in"}, "lbf·ft": {"N·m", "lbf·ft"},
	"kPa": {"kPa", "psi"}, "bar": {"bar", "psi"}, "MPa": {"MPa", "psi"}, "psi": {"kPa", "psi"},
	"hPa": {"hPa", "inHg"}, "mmHg": {"mmHg", "inHg"}, "inHg": {"kPa", "inHg"},
	"Pa": {"Pa", "inH₂O"}, "mbar": {"mbar", "inH₂O"}, "inH₂O": {"kPa", "inH₂O"},
}

// In returns the unit that a field in u shows for a reader of that system: u
// itself where it is used in both, and for a system that is none.
func (u Unit) In(s System) Unit {
	choice := at[u.Symbol]
	symbol := map[System]string{Metric: choice.metric, Inch: choice.inch}[s]
	if symbol == "" {
		return u
	}
	other, _ := Lookup(symbol)
	return other
}

// Alternatives lists what a reader may switch a field in this unit to, itself
// included and the order fixed. A unit that nobody would switch is alone.
func (u Unit) Alternatives() []Unit {
	for _, set := range switchable {
		for _, symbol := range set {
			if symbol == u.Symbol {
				units := make([]Unit, 0, len(set))
				for _, s := range set {
					alternative, _ := Lookup(s)
					units = append(units, alternative)
				}
				return units
			}
		}
	}
	return []Unit{u}
}
