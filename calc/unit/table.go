package unit

import (
	"math"
	"sync"
)

// Where the factors come from. Factors are untyped constant expressions of
// the exact definitions, so that the compiler rounds each of them once.
const (
	brochure = "BIPM, The International System of Units, 9th ed. (2019)"
	nist     = "NIST SP 811 (2008), Appendix B"
	nistUS   = "NIST SP 811 (2008), Appendix B: U.S. liquid measure, 231 in³ in the gallon"
	nistHg   = "NIST SP 811 (2008), Appendix B: conventional mercury, 13595.1 kg/m³"
	nistH2O  = "NIST SP 811 (2008), Appendix B: conventional water, 1000 kg/m³"
	astm     = "ASTM B258"
)

const (
	inch          = 0.0254                 // m, exact
	poundMass     = 0.45359237             // kg, exact
	gravity       = 9.80665                // m/s², exact
	poundForce    = poundMass * gravity    // N
	fahrenheit    = 5.0 / 9.0              // K
	celsiusZero   = 273.15                 // K, exact
	fahrenheit0   = 459.67                 // °F, exact: 273.15 * 9/5 - 32
	mercury       = 13595.1 * gravity      // Pa in a metre
	water         = 1000 * gravity         // Pa in a metre
	footPerSecond = poundForce * 12 * inch // W in 1 lbf·ft/s
	squareInch    = inch * inch            // m²
	cubicInch     = inch * squareInch      // m³
	degree        = math.Pi / 180          // rad
)

// row is one unit, where its factor comes from, and the spellings accepted for
// it on input beside its symbol. The table comes before every rule: "min" is a
// minute, "in·lb" a torque and "lb/in²" a pressure.
type row struct {
	Unit
	source    string
	spellings []string
}

var table = []row{
	{Unit{"", Number, 1, 0}, brochure, nil},
	{Unit{"%", Number, 0.01, 0}, brochure, []string{"percent", "pct"}},
	{Unit{"ppm", Number, 1e-6, 0}, brochure, nil},
	{Unit{"deg", Angle, degree, 0}, brochure, []string{"degree", "degrees", "°"}},
	{Unit{"rad", Angle, 1, 0}, brochure, []string{"radian", "radians"}},
	{Unit{"rev", Angle, 2 * math.Pi, 0}, nist, []string{"revs", "revolution", "revolutions"}},

	{Unit{"V", Voltage, 1, 0}, brochure, []string{"v", "volt", "volts"}},
	{Unit{"kV", Voltage, 1e3, 0}, brochure, []string{"kilovolt", "kilovolts"}},
	{Unit{"mV", Voltage, 1e-3, 0}, brochure, []string{"mv", "millivolt", "millivolts"}},
	{Unit{"µV", Voltage, 1e-6, 0}, brochure, []string{"microvolt", "microvolts"}},
	{Unit{"V/K", VoltageTemperatureCoefficient, 1, 0}, brochure, []string{"V/°C"}},
	{Unit{"mV/K", VoltageTemperatureCoefficient, 1e-3, 0}, brochure, []string{"mV/°C"}},
	{Unit{"A", Current, 1, 0}, brochure, []string{"a", "amp", "amps", "ampere", "amperes"}},
	{Unit{"mA", Current, 1e-3, 0}, brochure, []string{"ma", "milliamp", "milliamps"}},
	{Unit{"µA", Current, 1e-6, 0}, brochure, []string{"microamp", "microamps"}},
	{Unit{"A·h", Charge, 3600, 0}, brochure, []string{"Ah", "A.h", "A-h", "amp-hour", "amp-hours", "AH", "ah", "A h"}},
	{Unit{"mA·h", Charge, 3.6, 0}, brochure, []string{"mAh", "mA.h", "mA-h", "mAH", "mah", "mA h"}},
	{Unit{"Ω", Resistance, 1, 0}, brochure, []string{"ohm", "ohms", "Ohm"}},
	{Unit{"MΩ", Resistance, 1e6, 0}, brochure, []string{"Mohm", "Mohms", "MOhm", "megohm", "megohms"}},
	{Unit{"kΩ", Resistance, 1e3, 0}, brochure, []string{"kohm", "kohms", "kOhm", "kilohm", "kilohms"}},
	{Unit{"mΩ", Resistance, 1e-3, 0}, brochure, []string{"mohm", "mohms", "mOhm", "milliohm", "milliohms"}},
	{Unit{"µΩ", Resistance, 1e-6, 0}, brochure, []string{"µohm", "µohms", "uohm", "uohms", "microhm", "microhms"}},
	{Unit{"Ω·m", Resistivity, 1, 0}, brochure, []string{"ohm-m", "ohm m"}},
	{Unit{"µΩ·m", Resistivity, 1e-6, 0}, brochure, []string{"uohm-m"}},
	{Unit{"Ω·mm²/m", Resistivity, 1e-6, 0}, brochure, []string{"ohm mm2/m"}},
	{Unit{"farad", Capacitance, 1, 0}, brochure, []string{"farads"}}, // F on a bench is Fahrenheit
	{Unit{"µF", Capacitance, 1e-6, 0}, brochure, []string{"microfarad", "microfarads"}},
	{Unit{"H", Inductance, 1, 0}, brochure, []string{"henry", "henries"}},
	{Unit{"mH", Inductance, 1e-3, 0}, brochure, nil},

	{Unit{"W", Power, 1, 0}, brochure, []string{"w", "watt", "watts"}},
	{Unit{"kW", Power, 1e3, 0}, brochure, []string{"kw", "kilowatt", "kilowatts", "KW"}},
	{Unit{"mW", Power, 1e-3, 0}, brochure, []string{"milliwatt", "milliwatts"}},
	{Unit{"hp", Power, 550 * footPerSecond, 0}, nist, []string{"HP", "Hp", "bhp", "BHP"}},
	{Unit{"V·A", Power, 1, 0}, brochure, []string{"VA"}},
	{Unit{"kV·A", Power, 1e3, 0}, brochure, []string{"kVA", "KVA"}},
	{Unit{"J", Energy, 1, 0}, brochure, []string{"joule", "joules"}},
	{Unit{"kJ", Energy, 1e3, 0}, brochure, nil},
	{Unit{"W·h", Energy, 3600, 0}, brochure, []string{"Wh", "W-h"}},
	{Unit{"kW·h", Energy, 3.6e6, 0}, brochure, []string{"kWh", "kW-h", "kwh", "KWh", "KWH"}},

	{Unit{"km", Length, 1e3, 0}, brochure, nil},
	{Unit{"m", Length, 1, 0}, brochure, []string{"metre", "metres", "meter", "meters"}},
	{Unit{"cm", Length, 1e-2, 0}, brochure, nil},
	{Unit{"mm", Length, 1e-3, 0}, brochure, nil},
	{Unit{"µm", Length, 1e-6, 0}, brochure, []string{"micron", "microns"}},
	{Unit{"ft", Length, 12 * inch, 0}, nist, []string{"foot", "feet", "ft."}},
	{Unit{"yd", Length, 36 * inch, 0}, nist, []string{"yard", "yards"}},
	{Unit{"in", Length, inch, 0}, nist, []string{"inch", "inches", "in."}},
	{Unit{"thou", Length, inch / 1000, 0}, nist, []string{"mil", "mils"}},
	{Unit{"1/m", Curvature, 1, 0}, brochure, nil},

	{Unit{"m²", Area, 1, 0}, brochure, nil},
	{Unit{"mm²", Area, 1e-6, 0}, brochure, []string{"sqmm", "sq mm"}},
	{Unit{"cm²", Area, 1e-4, 0}, brochure, nil},
	{Unit{"in²", Area, squareInch, 0}, nist, []string{"sq in", "sq. in."}},
	{Unit{"cmil", Area, math.Pi / 4 * squareInch / 1e6, 0}, nist, []string{"circular mil", "circular mils"}},
	{Unit{"kcmil", Area, math.Pi / 4 * squareInch / 1e3, 0}, nist, []string{"kcmils", "MCM", "mcm"}},
	{Unit{"AWG", Area, 0, 0}, astm, []string{"awg"}},

	{Unit{"m³", Volume, 1, 0}, brochure, nil},
	{Unit{"L", Volume, 1e-3, 0}, brochure, []string{"l", "litre", "litres", "liter", "liters"}},
	{Unit{"mL", Volume, 1e-6, 0}, brochure, []string{"ml"}},
	{Unit{"cc", Volume, 1e-6, 0}, nist, []string{"cm³"}},
	{Unit{"in³", Volume, cubicInch, 0}, nist, []string{"cu in", "cu. in."}},
	{Unit{"gal", Volume, 231 * cubicInch, 0}, nistUS, []string{"gallon", "gallons", "gal."}},
	{Unit{"qt", Volume, 231 * cubicInch / 4, 0}, nistUS, []string{"quart", "quarts", "qt."}},
	{Unit{"L/min", VolumeFlow, 1e-3 / 60, 0}, brochure, []string{"lpm", "LPM"}},
	{Unit{"L/h", VolumeFlow, 1e-3 / 3600, 0}, brochure, nil},
	{Unit{"gal/min", VolumeFlow, 231 * cubicInch / 60, 0}, nistUS, []string{"gpm", "GPM"}},
	{Unit{"gal/h", VolumeFlow, 231 * cubicInch / 3600, 0}, nistUS, []string{"gph", "GPH"}},
	{Unit{"ft³/min", VolumeFlow, 1728 * cubicInch / 60, 0}, nist, []string{"cfm", "CFM", "cu ft/min"}},

	{Unit{"kg", Mass, 1, 0}, brochure, nil},
	{Unit{"g", Mass, 1e-3, 0}, brochure, nil},
	{Unit{"mg", Mass, 1e-6, 0}, brochure, nil},
	{Unit{"lb", Mass, poundMass, 0}, nist, []string{"lbs", "lbm"}},
	{Unit{"oz", Mass, poundMass / 16, 0}, nist, []string{"ounce", "ounces"}},
	{Unit{"kg/h", MassFlow, 1.0 / 3600, 0}, brochure, nil},
	{Unit{"g/s", MassFlow, 1e-3, 0}, brochure, nil},
	{Unit{"kg/m³", Density, 1, 0}, brochure, nil},
	{Unit{"g/cm³", Density, 1e3, 0}, brochure, []string{"g/cc"}},
	{Unit{"kg/L", Density, 1e3, 0}, brochure, nil},
	{Unit{"lb/ft³", Density, poundMass / (1728 * cubicInch), 0}, nist, []string{"lb/cu ft"}},

	{Unit{"s", Time, 1, 0}, brochure, []string{"sec", "second", "seconds"}},
	{Unit{"ms", Time, 1e-3, 0}, brochure, nil},
	{Unit{"min", Time, 60, 0}, brochure, []string{"minute", "minutes", "min."}},
	{Unit{"h", Time, 3600, 0}, brochure, []string{"hr", "hrs", "hour", "hours"}},
	{Unit{"d", Time, 86400, 0}, brochure, []string{"day", "days"}},
	{Unit{"Hz", Frequency, 1, 0}, brochure, []string{"hz", "hertz"}},
	{Unit{"kHz", Frequency, 1e3, 0}, brochure, []string{"khz"}},
	{Unit{"rpm", RotationalFrequency, 1.0 / 60, 0}, nist, []string{"RPM", "r/min", "1/min", "min-1", "rev/min", "U/min"}},
	{Unit{"rps", RotationalFrequency, 1, 0}, nist, []string{"RPS", "r/s", "rev/s"}},
	{Unit{"m/s", Velocity, 1, 0}, brochure, nil},
	{Unit{"km/h", Velocity, 1 / 3.6, 0}, brochure, []string{"kph", "kmh"}},
	{Unit{"mph", Velocity, 5280 * 12 * inch / 3600, 0}, nist, []string{"MPH", "mi/h"}},

	{Unit{"K", Temperature, 1, 0}, brochure, []string{"kelvin"}},
	{Unit{"°C", Temperature, 1, celsiusZero}, brochure, []string{"degC", "deg C", "C", "c", "℃", "celsius", "°c", "degc"}},
	{Unit{"°F", Temperature, fahrenheit, fahrenheit0}, nist, []string{"degF", "deg F", "F", "f", "℉", "fahrenheit", "°f", "degf"}},
	{Unit{"ΔK", TemperatureDifference, 1, 0}, brochure, []string{"dK", "delta K"}},
	{Unit{"Δ°C", TemperatureDifference, 1, 0}, brochure, []string{"ddegC", "delta degC", "delta °C"}},
	{Unit{"Δ°F", TemperatureDifference, fahrenheit, 0}, nist, []string{"ddegF", "delta degF", "delta °F"}},
	{Unit{"1/K", TemperatureCoefficient, 1, 0}, brochure, []string{"1/°C"}},
	{Unit{"1/°F", TemperatureCoefficient, 1 / fahrenheit, 0}, nist, nil},
	{Unit{"deg/K", AngularTemperatureRate, degree, 0}, brochure, []string{"deg/°C"}},
	{Unit{"K/W", ThermalResistance, 1, 0}, brochure, []string{"°C/W"}},
	{Unit{"W/K", ThermalConductance, 1, 0}, brochure, []string{"W/°C"}},
	{Unit{"J/K", HeatCapacity, 1, 0}, brochure, []string{"J/°C"}},

	{Unit{"N", Force, 1, 0}, brochure, nil},
	{Unit{"lbf", Force, poundForce, 0}, nist, nil},
	{Unit{"kgf", Force, gravity, 0}, nist, nil},
	{Unit{"ozf", Force, poundForce / 16, 0}, nist, nil},
	{Unit{"N·m", Torque, 1, 0}, brochure, []string{"Nm", "N.m", "N-m", "N m", "NM"}},
	{Unit{"lbf·in", Torque, poundForce * inch, 0}, nist, []string{"lbf.in", "lbf-in", "lbfin", "in-lb", "in-lbs", "in lb", "in·lb", "lb-in", "lb in", "lb·in", "in-lbf", "in·lbf", "lbf in", "lb.in", "lbin", "in lbs", "in.lb", "in.lbs", "in·lbs", "inlb", "inlbs"}},
	{Unit{"lbf·ft", Torque, poundForce * 12 * inch, 0}, nist, []string{"lbf.ft", "lbf-ft", "lbfft", "ft-lb", "ft-lbs", "ft lb", "ft·lb", "lb-ft", "lb ft", "lb·ft", "ft-lbf", "ft·lbf", "lbf ft", "lb.ft", "lbft", "ft lbs", "ft.lb", "ft.lbs", "ft·lbs", "ftlb", "ftlbs"}},
	{Unit{"ozf·in", Torque, poundForce / 16 * inch, 0}, nist, []string{"ozf.in", "ozf-in", "ozf in", "oz·in", "oz.in", "oz-in", "oz in", "in-oz", "in·oz"}},
	{Unit{"kgf·m", Torque, gravity, 0}, nist, []string{"kgf.m", "kgf-m", "kgf m", "kg·m", "kg.m", "kg-m", "kg m"}},
	{Unit{"kgf·cm", Torque, gravity / 100, 0}, nist, []string{"kgf.cm", "kgf-cm", "kgf cm", "kg·cm", "kg.cm", "kg-cm", "kg cm"}},

	{Unit{"Pa", Pressure, 1, 0}, brochure, nil},
	{Unit{"hPa", Pressure, 1e2, 0}, brochure, nil},
	{Unit{"kPa", Pressure, 1e3, 0}, brochure, []string{"kpa", "KPa"}},
	{Unit{"MPa", Pressure, 1e6, 0}, brochure, nil},
	{Unit{"GPa", Pressure, 1e9, 0}, brochure, nil},
	{Unit{"bar", Pressure, 1e5, 0}, brochure, nil},
	{Unit{"mbar", Pressure, 1e2, 0}, brochure, nil},
	{Unit{"atm", Pressure, 101325, 0}, nist, nil},
	{Unit{"Torr", Pressure, 101325.0 / 760, 0}, nist, []string{"torr"}},
	{Unit{"psi", Pressure, poundForce / squareInch, 0}, nist, []string{"PSI", "lbf/in²", "lb/in²"}},
	{Unit{"inHg", Pressure, mercury * inch, 0}, nistHg, []string{"inhg", "in Hg", "in. Hg"}},
	{Unit{"mmHg", Pressure, mercury / 1000, 0}, nistHg, []string{"mmhg", "mm Hg"}},
	{Unit{"inH₂O", Pressure, water * inch, 0}, nistH2O, []string{"inH2O", "inh2o", "in H2O", "in. H2O", "in WC", "in. WC"}},

	// Behind psi, which a slip such as "pis" is more often.
	{Unit{"PS", Power, 75 * gravity, 0}, nist, []string{"cv", "CV", "ch"}}, // 75 kgf·m/s
}

// bySpelling finds a unit by its symbol or any spelling; filled on first use.
var bySpelling = sync.OnceValue(func() map[string]Unit {
	found := make(map[string]Unit, 4*len(table))
	for _, r := range table {
		found[r.Symbol] = r.Unit
		for _, s := range r.spellings {
			found[s] = r.Unit
		}
	}
	return found
})
