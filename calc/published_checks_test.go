package calc

import (
	"math"
	"sort"
	"strings"

	"benchleaf/calc/unit"
)

// checks computes, for each quantity of the published tables, what a calculator
// or a unit makes of a row, in the row's own unit.
var checks = map[string]func(published) float64{
	// voltage-drop
	"voltage_drop":                         func(r published) float64 { return VoltageDrop(cable(r)).Drop },
	"wire_resistance":                      func(r published) float64 { return VoltageDrop(cable(r)).Resistance },
	"loop_resistance":                      func(r published) float64 { return VoltageDrop(cable(r)).Resistance },
	"bar_resistance":                       func(r published) float64 { return VoltageDrop(cable(r)).Resistance * 1e6 },
	"copper_conductivity":                  func(r published) float64 { return 1e-6 / resistivityAt(Copper, 20) },
	"aluminium_resistivity":                func(r published) float64 { return 1e6 * resistivityAt(Aluminium, 20) },
	"copper_temperature_coefficient":       func(r published) float64 { return coefficientAt(Copper, r.number("reference_temp")) },
	"aluminium_temperature_coefficient":    func(r published) float64 { return coefficientAt(Aluminium, r.number("reference_temp")) },
	"copper_inferred_zero_resistance_temp": func(r published) float64 { return 20 - 1/coefficientAt(Copper, 20) },
	"resistance_ratio_to_20C": func(r published) float64 {
		return resistivityAt(metal(r), r.number("temp")) / resistivityAt(metal(r), 20)
	},
	"resistance_ratio": func(r published) float64 {
		return resistivityAt(metal(r), r.number("temp_to")) / resistivityAt(metal(r), r.number("temp_from"))
	},

	// time-to-open
	"time_to_percent":       func(r published) float64 { return opening(0, 100, r.number("percent"), 1).Time },
	"rise_time_10_90":       func(published) float64 { return opening(0, 100, 90, 1).Time - opening(0, 100, 10, 1).Time },
	"step_response_percent": func(r published) float64 { return reached(0, 100, 1, r.number("time")) },
	"first_order_value": func(r published) float64 {
		return reached(r.number("start"), r.number("final"), r.number("tau"), r.number("time"))
	},
	"time_to_open": func(r published) float64 {
		return opening(r.number("start_temp"), r.number("steady_temp"), r.number("open_temp"), r.number("tau")).Time
	},
	"tau_from_two_points": func(r published) float64 {
		text, _ := r.text("temp") // "100 degC at time=60 s"
		_, at, _ := strings.Cut(text, " at ")
		return published{inputs: at}.number("time") / opening(r.number("start"), r.number("final"), r.number("temp"), 1).Time
	},
	"steady_temp_rise": func(r published) float64 {
		return steadyRise(math.Sqrt(r.number("power")), 1, r.number("thermal_resistance"))
	},

	// idle-speed
	"tach_reading": func(r published) float64 {
		// The ignition gives a pulse each revolution; the tachometer counts on one in two.
		rpm, _ := unit.Lookup("rpm")
		return rpm.FromSI(IdleSpeed(IdleSpeedInputs{Measured: math.NaN(), Frequency: r.si("true_speed"), Pulses: HalfPulse, Nominal: 1}).Speed)
	},

	// units and the wire gauge
	"wire_area":               func(r published) float64 { return gauge(r) * 1e6 },
	"wire_area_cmil":          func(r published) float64 { return gauge(r) / circularMil },
	"wire_diameter":           func(r published) float64 { return into(2*math.Sqrt(gauge(r)/math.Pi), r.unit) },
	"resistivity_unit_factor": func(published) float64 { return circularMil / foot },
	"convert":                 convert, "convert_torque": convert, "convert_length": convert, "convert_pressure": convert,
	"convert_power": convert, "convert_force": convert, "convert_mass": convert, "convert_temperature": convert,
	"convert_temperature_interval": func(r published) float64 {
		difference, _ := unit.Lookup("Δ°F")
		return difference.ToSI(r.number("value"))
	},
}

const (
	foot        = 0.3048                              // m
	circularMil = math.Pi / 4 * 0.0254e-3 * 0.0254e-3 // m², a round wire of one thousandth of an inch
)

func convert(r published) float64 { return into(r.si("value"), r.unit) }

func into(si float64, symbol string) float64 {
	u, ok := unit.Lookup(symbol)
	if !ok {
		panic("no unit " + symbol)
	}
	return u.FromSI(si)
}

func metal(r published) Material {
	if m, _ := r.text("material"); m == "aluminium" {
		return Aluminium
	}
	return Copper
}

func gauge(r published) float64 {
	area, _ := unit.Lookup("mm²")
	name, _ := r.text("awg")
	si, _, err := unit.Parse(name+" AWG", area, "en")
	if err != nil {
		panic(err)
	}
	return si
}

// cable reads the cable of a row. A row that states the resistance of its wire
// in a foot, or the resistivity of its metal, gets the area with which copper
// at 20 °C has the same resistance: what is checked then is length, paths and
// current.
func cable(r published) VoltageDropInputs {
	in := VoltageDropInputs{Temperature: 293.15, Supply: 12, Material: metal(r)}
	if c, _ := r.text("construction"); c == "stranded" {
		in.Construction = Stranded
	}
	if p, _ := r.text("paths"); p == "2" {
		in.Paths = TwoPaths
	}
	for name, field := range map[string]*float64{
		"current": &in.Current, "length": &in.Length, "run_length": &in.Length, "one_way_length": &in.Length, "temp": &in.Temperature,
	} {
		if text, ok := r.text(name); ok {
			if strings.HasSuffix(text, " km") {
				*field = 1000 * r.number(name)
			} else {
				*field = r.si(name)
			}
		}
	}
	if text, ok := r.text("area"); ok && strings.HasSuffix(text, " cmil") {
		in.Area = r.number("area") * circularMil
	} else if ok {
		in.Area = r.si("area")
	}
	text, ownMetal := r.text("resistivity")
	if _, ok := r.text("awg"); ok && !ownMetal {
		in.Area = gauge(r) // rather than the rounded area beside it
	}
	if ownMetal {
		if strings.HasSuffix(text, "ohm*cmil/ft") {
			in.Area *= resistivityAt(in.Material, 20) / (r.number("resistivity") * circularMil / foot)
		} else {
			in.Area *= resistivityAt(in.Material, 20) / (r.number("resistivity") * 1e-2) // Ω·cm
		}
	}
	if _, ok := r.text("resistance_per_ft"); ok {
		in.Area = resistivityAt(Copper, 20) / (r.number("resistance_per_ft") / foot)
	}
	return in
}

// resistivityAt is the resistance of a solid metre of one square metre, Ω·m.
func resistivityAt(m Material, celsius float64) float64 {
	return VoltageDrop(VoltageDropInputs{Length: 1, Area: 1, Material: m, Temperature: celsius + 273.15, Supply: 1}).Resistance
}

// coefficientAt is the change of resistance with one kelvin over that at the
// reference temperature, 1/K.
func coefficientAt(m Material, celsius float64) float64 {
	return (resistivityAt(m, celsius+1) - resistivityAt(m, celsius)) / resistivityAt(m, celsius)
}

// dividerVoltage is the voltage at a load between two wires of given
// resistance: copper of the area with which one metre has that resistance.
func dividerVoltage(r published) float64 {
	wire := r.number("wire1")
	return VoltageDrop(VoltageDropInputs{
		Current: r.number("source") / (r.number("load") + wire + r.number("wire2")),
		Length:  1, Area: resistivityAt(Copper, 20) / wire,
		Temperature: 293.15, Paths: TwoPaths, Supply: r.number("source"),
	}).LoadVoltage
}

// opening runs time-to-open between temperatures in any one scale: the heater
// gives 1 W and the thermal resistance makes the final temperature.
func opening(start, final, openAt, tau float64) TimeToOpenResults {
	const ambient = -300
	return TimeToOpen(TimeToOpenInputs{
		Voltage: 1, Resistance: 1, Ambient: ambient, ThermalResistance: final - ambient,
		Start: start, OpenAt: openAt, TimeConstant: tau,
	})
}

// reached is the temperature to which the coil has come after a time, found as
// the opening temperature that takes so long.
func reached(start, final, tau, time float64) float64 {
	const steps = 1 << 24
	i := sort.Search(steps, func(i int) bool {
		return opening(start, final, start+(final-start)*float64(i)/steps, tau).Time >= time
	})
	return start + (final-start)*float64(i)/steps
}

// steadyRise is the final temperature over the ambient one.
func steadyRise(voltage, resistance, thermalResistance float64) float64 {
	return TimeToOpen(TimeToOpenInputs{
		Voltage: voltage, Resistance: resistance, ThermalResistance: thermalResistance, OpenAt: 1, TimeConstant: 1,
	}).FinalTemperature
}

// pulsedSpeed is the speed in rpm from the frequency of a row; a row without a
// number of pulses is of a magneto that fires every revolution.
func pulsedSpeed(r published) float64 {
	pulses := OnePulse
	if text, ok := r.text("pulses_per_rev"); ok {
		if pulses, ok = map[string]Pulses{"0.5": HalfPulse, "1": OnePulse, "2": TwoPulses}[text]; !ok {
			return math.NaN()
		}
	}
	return into(IdleSpeed(IdleSpeedInputs{Measured: math.NaN(), Frequency: r.si("pulse_frequency"), Pulses: pulses, Nominal: 1}).Speed, "rpm")
}
