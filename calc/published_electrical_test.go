package calc

import (
	"maps"
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"benchleaf/calc/unit"
)

func init() { maps.Copy(checks, electricalChecks) }

// electricalChecks are the checks of circuits, battery, heater and coil,
// bimetal, speed and frequency.
var electricalChecks = map[string]func(published) float64{
	// wire-size
	"required_conductor_area": requiredArea,

	// circuit-drop
	"implied_max_resistance": func(r published) float64 { return into(joint(r.si("drop"), r.si("current")), r.unit) },
	"feed_side_drop": func(r published) float64 {
		in := unread
		in.Source, in.Load = r.si("battery"), r.si("load_terminal_to_battery_negative")
		return CircuitDrop(in).Rest
	},
	"load_voltage": func(r published) float64 {
		if _, ok := r.text("battery"); !ok {
			return dividerVoltage(r)
		}
		in := unread
		in.Source, in.FeedFirst, in.GroundFirst = r.si("battery"), r.si("feed_drop"), r.si("ground_drop")
		return CircuitDrop(in).LoadVoltage
	},
	"circuit_resistance": func(r published) float64 {
		if _, ok := r.text("measured_drop"); ok {
			return into(joint(r.si("measured_drop"), r.si("current")), r.unit)
		}
		in := unread
		in.Source, in.Load = r.si("battery"), r.si("across_load")
		in.Current = ohm(in.Load, r.si("load_resistance")).Current
		return CircuitDrop(in).RestOhms
	},

	// heater
	"heater_resistance_hot": func(r published) float64 {
		return Heater(HeaterInputs{
			ColdResistance: r.si("resistance_20C"), ColdTemperature: tableTemperature,
			Coefficient: r.si("alpha20"), HotTemperature: r.si("temp"),
		}).HotResistance
	},
	"correction_factor_to_20C": func(r published) float64 {
		const rounded = 0.004 // 1/K, Annex A: 250 / (230 + t)
		return Heater(HeaterInputs{
			ColdResistance: 1, ColdTemperature: r.si("measured_temp"), Coefficient: rounded, HotTemperature: tableTemperature,
		}).HotResistance
	},
	"wire_resistance_per_length": func(r published) float64 {
		if _, ok := r.text("table_75C"); !ok {
			return VoltageDrop(cable(r)).Resistance
		}
		return Heater(HeaterInputs{ // from the rounded value of a table for 75 °C
			ColdResistance: r.si("table_75C"), ColdTemperature: tableTemperature + 55, Coefficient: aluminiumCoefficient, HotTemperature: r.si("temp"),
		}).HotResistance
	},
	"heater_current": func(r published) float64 { return fixedHeater(r).Current },
	"heater_power": func(r published) float64 {
		return agreed(fixedHeater(r).Power, steadyRise(r.si("voltage"), r.si("resistance"), 1))
	},
	"mean_temp_from_resistance": func(r published) float64 {
		return into(Heater(HeaterInputs{
			ColdResistance: r.si("resistance_cold"), ColdTemperature: r.si("temp_cold"),
			Coefficient: copperCoefficient, Measured: r.si("resistance_hot"),
		}).MeanTemperature, r.unit)
	},
	"K_implied_copper_temp": func(r published) float64 {
		return into(temperatureOf(r.number("K"), r.number("rho20"), r.si("alpha20")), r.unit)
	},

	// time-to-close
	"time_to_close": func(r published) float64 {
		return TimeToClose(TimeToCloseInputs{
			Hot: r.si("start_temp"), Run: math.NaN(), Ambient: r.si("ambient"), CloseAt: r.si("close_temp"), TimeConstant: r.si("tau"),
		}).Time
	},

	// bimetal
	"bimetal_tip_deflection":     func(r published) float64 { return into(Bimetal(layers(r, Cantilever)).Deflection, r.unit) },
	"bimetal_midspan_deflection": func(r published) float64 { return into(Bimetal(layers(r, SimpleBeam)).Deflection, r.unit) },
	"bimetal_curvature":          func(r published) float64 { return Bimetal(layers(r, Cantilever)).Curvature },
	"bimetal_curvature_factor": func(r published) float64 {
		return Bimetal(BimetalInputs{
			Flexivity: math.NaN(), Expansion: 1, ThicknessRatio: r.number("thickness_ratio"), StiffnessRatio: r.number("E_ratio"),
		}).FlexivityUsed
	},
	"flexivity": func(r published) float64 { // curvature goes with flexivity: as much of it as the radius asks for
		out := Bimetal(BimetalInputs{Thickness: r.si("thickness"), Change: r.si("temp_2") - r.si("temp_1"), Flexivity: 1})
		return 1 / r.si("radius_2") / out.Curvature
	},
	"spiral_rotation":       func(r published) float64 { return into(Bimetal(strip(r, Spiral)).Rotation, r.unit) },
	"cantilever_deflection": func(r published) float64 { return into(Bimetal(strip(r, Cantilever)).Deflection, r.unit) },
	"thermal_deflection_rate": func(r published) float64 { // of the spiral that turns so far in so many kelvin
		in := BimetalInputs{Shape: Spiral, Length: 1, Thickness: 1, Change: r.si("temp_2") - r.si("temp_1"), Flexivity: 1}
		in.Flexivity = (r.si("angle_2") - r.si("angle_1")) / Bimetal(in).Rotation
		in.Change = 1
		return into(Bimetal(in).Rotation, "deg")
	},
	"flexivity_unit_conversion": func(r published) float64 { return r.si("flexivity") },

	// engine-speed
	"engine_speed": func(r published) float64 {
		in := EngineSpeedInputs{Frequency: r.si("pulse_frequency"), Pulses: 1, Cylinders: 1, Strokes: FourStroke}
		if _, ok := r.text("pulses_per_rev"); ok {
			in.Pulses = r.number("pulses_per_rev")
		}
		rpm := into(EngineSpeed(in).Speed, "rpm")
		if in.Pulses > 2 {
			return rpm // more than idle-speed knows
		}
		return agreed(rpm, pulsedSpeed(r))
	},
	"firing_order_number": func(r published) float64 { return EngineSpeed(firing(r)).Counted },
	"firing_frequency": func(r published) float64 {
		in := firing(r)
		in.Frequency, in.Pulses = r.si("speed"), 1
		return EngineSpeed(in).Firing
	},
	"pulse_period": func(r published) float64 { // speed goes with one over the period
		in := EngineSpeedInputs{Frequency: math.NaN(), Period: 1, Pulses: r.number("pulses_per_rev"), Cylinders: 1}
		return into(EngineSpeed(in).Speed/r.si("speed"), r.unit)
	},

	// generator-frequency
	"frequency": func(r published) float64 {
		return GeneratorFrequency(GeneratorFrequencyInputs{Speed: r.si("speed"), Poles: r.number("poles")}).Frequency
	},
	"speed": func(r published) float64 {
		return into(GeneratorFrequency(GeneratorFrequencyInputs{Poles: r.number("poles"), Wanted: r.si("frequency")}).WantedSpeed, r.unit)
	},

	// governor-droop
	"speed_droop_percent":          func(r published) float64 { return 100 * GovernorDroop(line(r)).OnFullLoad },
	"frequency_regulation_percent": func(r published) float64 { return 100 * GovernorDroop(line(r)).OnRated },
	"no_load_speed": func(r published) float64 {
		return into(GovernorDroop(GovernorDroopInputs{FullLoad: r.si("full_load"), Wanted: r.si("droop")}).WantedNoLoad, r.unit)
	},

	// battery-charge
	"state_of_charge":      func(r published) float64 { return 100 * charge(r.si("open_circuit_voltage"), r.si("temp")) },
	"open_circuit_voltage": func(r published) float64 { return voltageAt(r.si("state_of_charge"), r.si("temp")) },
	"specific_gravity": func(r published) float64 {
		return inverse(1, 1.3, r.si("state_of_charge"), func(g float64) float64 { return hydrometer(g, r.si("temp")).GravityCharge })
	},
	"hydrometer_correction": func(r published) float64 {
		return hydrometer(1.2, r.si("electrolyte_temp")).CorrectedGravity - 1.2
	},
	"ocv_from_specific_gravity": func(r published) float64 {
		const rated = batteryTemperature
		return voltageAt(hydrometer(r.number("specific_gravity"), rated).GravityCharge, rated)
	},
	"soc_per_10mV": func(r published) float64 {
		text, _ := r.text("range") // "11.89-12.65 V"
		text, _, _ = strings.Cut(text, " ")
		low, high, _ := strings.Cut(text, "-")
		ends := published{inputs: "low=" + low + "; high=" + high}
		from, to := ends.number("low"), ends.number("high")
		return 100 * (charge(to, batteryTemperature) - charge(from, batteryTemperature)) / (to - from) * 0.01
	},
	"discharge_time": func(r published) float64 {
		return into(stored(12.65, r.si("capacity"), r.si("current")).Lasts, r.unit)
	},
	"charge_time": func(r published) float64 {
		return into(stored(11.89, r.si("capacity"), 1).Missing/(r.si("current")*r.number("efficiency")), r.unit)
	},

	// charging-voltage
	"charging_voltage": func(r published) float64 {
		return ChargingVoltage(ChargingVoltageInputs{
			Reference: r.si("voltage_25C"), Coefficient: r.number("coefficient") * 1e-3, Cells: r.number("cells"), Temperature: r.si("temp"),
		}).Voltage
	},

	// parallel-resistance, alone and in networks; what stands in series is added here
	"parallel_resistance": func(r published) float64 { return sideBySide(r, "r1", "r2", "r3").Resistance },
	"parallel_branch_current": func(r published) float64 {
		return into(ohm(r.si("voltage"), r.si("resistor")).FirstCurrent, r.unit)
	},
	"resistance": func(r published) float64 { return joint(r.si("voltage"), r.si("current")) },
	"current": func(r published) float64 {
		if _, ok := r.text("emf"); ok {
			return ohm(r.si("emf"), r.si("internal_resistance")+r.si("load")).Current
		}
		return ohm(r.si("voltage"), r.si("resistance")).Current
	},
	"power": func(r published) float64 {
		if _, ok := r.text("horsepower"); ok {
			return r.si("horsepower")
		}
		if _, ok := r.text("resistance"); ok {
			return ohm(r.si("voltage"), r.si("resistance")).Power
		}
		return ohm(r.si("voltage"), joint(r.si("voltage"), r.si("current"))).Power
	},
	"series_current": func(r published) float64 {
		return into(ohm(r.si("voltage"), r.si("r1")+r.si("r2")+r.si("r3")).Current, r.unit)
	},
	"series_voltage_drop": func(r published) float64 {
		// As much of the source as the resistor has of the total: the source less what the rest takes.
		in := unread
		in.Source = r.si("voltage")
		in.FeedFirst = ohm(in.Source, r.si("total")).Current * (r.si("total") - r.si("resistor"))
		in.GroundFirst = 0
		return CircuitDrop(in).LoadVoltage
	},
	"series_parallel_current": func(r published) float64 {
		return into(ohm(r.si("voltage"), sideBySide(r, "r1", "r2").Resistance+sideBySide(r, "r3", "r4").Resistance).Current, r.unit)
	},
	"branch_current": func(r published) float64 {
		// The first pair of the network has the element; both pairs share the voltage.
		pairs := published{inputs: "r1=100 ohm; r2=250 ohm; r3=350 ohm; r4=200 ohm"}
		first, second := sideBySide(pairs, "r1", "r2").Resistance, sideBySide(pairs, "r3", "r4").Resistance
		across := ohm(r.si("voltage"), first+second).Current * first
		return into(ohm(across, r.number("element")).FirstCurrent, r.unit)
	},
	"circuit_current": func(r published) float64 {
		return into(ohm(r.si("source"), r.si("load")+r.si("wire1")+r.si("wire2")).Current, r.unit)
	},
}

// agreed is the value of two calculators that answer the same question, and
// none where they differ.
func agreed(a, b float64) float64 {
	if math.Abs(a-b) > 1e-9*math.Abs(a) {
		return math.NaN()
	}
	return a
}

// unread is a drop test of which nothing has been read yet.
var unread = CircuitDropInputs{
	FeedFirst: math.NaN(), FeedSecond: math.NaN(), FeedThird: math.NaN(),
	GroundFirst: math.NaN(), GroundSecond: math.NaN(), Load: math.NaN(), Current: math.NaN(),
}

// joint is the resistance of one stretch.
func joint(drop, current float64) float64 {
	in := unread
	in.FeedFirst, in.Current = drop, current
	return CircuitDrop(in).FeedFirstOhms
}

// ohm is one resistance on a supply.
func ohm(voltage, resistance float64) ParallelResistanceResults {
	return ParallelResistance(ParallelResistanceInputs{
		First: resistance, Second: math.NaN(), Third: math.NaN(), Fourth: math.NaN(), Supply: voltage,
	})
}

func sideBySide(r published, names ...string) ParallelResistanceResults {
	in := ParallelResistanceInputs{Second: math.NaN(), Third: math.NaN(), Fourth: math.NaN()}
	fields := []*float64{&in.First, &in.Second, &in.Third}
	for i, name := range names {
		if _, ok := r.text(name); ok {
			*fields[i] = r.si(name)
		}
	}
	return ParallelResistance(in)
}

func fixedHeater(r published) HeaterResults {
	return Heater(HeaterInputs{
		ColdResistance: r.si("resistance"), ColdTemperature: tableTemperature, HotTemperature: tableTemperature, Supply: r.si("voltage"),
	})
}

// temperatureOf is where a metal has a resistivity, of which the one at 20 °C
// is known, both in the same unit.
func temperatureOf(resistivity, at20, coefficient float64) float64 {
	return Heater(HeaterInputs{
		ColdResistance: at20, ColdTemperature: tableTemperature, Coefficient: coefficient, Measured: resistivity,
	}).MeanTemperature
}

// requiredArea is in cmil, from copper as warm as the row's resistivity has it.
func requiredArea(r published) float64 {
	name := "K"
	if _, ok := r.text("resistivity"); ok {
		name = "resistivity"
	}
	resistivity := r.number(name) * circularMil / foot
	in := WireSizeInputs{Temperature: temperatureOf(resistivity, copperResistivity, copperCoefficient)}
	if _, ok := r.text("max_resistance"); ok { // the drop of 1 A
		in.Length, in.Current, in.Allowed = r.si("length"), 1, r.si("max_resistance")
	} else {
		in.Length, in.Current, in.Allowed = r.si("round_trip_length")/2, r.si("current"), r.si("supply")*r.si("allowed_drop")
		in.Paths = TwoPaths
	}
	return WireSize(in).Area / circularMil
}

// layers reads a bimetal of two layers; one that moves has a length.
func layers(r published, shape Bend) BimetalInputs {
	a, b := r.si("thickness_a"), r.si("thickness_b")
	in := BimetalInputs{
		Shape: shape, Thickness: a + b, Change: difference(r, "delta_T"), Flexivity: math.NaN(), ThicknessRatio: a / b,
	}
	if _, ok := r.text("length"); ok {
		in.Length = r.si("length")
	}
	if _, ok := r.text("delta_alpha"); ok {
		in.Expansion = r.si("delta_alpha")
	} else {
		in.Expansion = r.si("alpha_b") - r.si("alpha_a")
	}
	if _, ok := r.text("E_ratio"); ok {
		in.StiffnessRatio = r.number("E_ratio")
	} else {
		in.StiffnessRatio = r.number("E_a") / r.number("E_b")
	}
	return in
}

// difference reads a difference of temperature, whose unit a row writes as that
// of a temperature.
func difference(r published, name string) float64 {
	text, _ := r.text(name)
	if strings.HasSuffix(text, " degF") {
		fahrenheit, _ := unit.Lookup("Δ°F")
		return fahrenheit.ToSI(r.number(name))
	}
	return r.number(name)
}

func strip(r published, shape Bend) BimetalInputs {
	return BimetalInputs{
		Shape: shape, Length: r.si("length"), Thickness: r.si("thickness"), Change: difference(r, "delta_T"), Flexivity: r.si("flexivity"),
	}
}

// firing reads an engine whose firings are the pulses.
func firing(r published) EngineSpeedInputs {
	in := EngineSpeedInputs{Pulses: math.NaN(), Cylinders: r.number("cylinders"), Strokes: FourStroke}
	if strokes, _ := r.text("strokes"); strokes == "2" {
		in.Strokes = TwoStroke
	}
	return in
}

// line reads a governor's two ends, as speeds or as frequencies.
func line(r published) GovernorDroopInputs {
	in := GovernorDroopInputs{NoLoad: r.si("no_load"), FullLoad: r.si("full_load"), Rated: math.NaN()}
	if _, ok := r.text("rated"); ok {
		in.Rated = r.si("rated")
	}
	return in
}

func charge(voltage, temperature float64) float64 {
	return BatteryCharge(BatteryChargeInputs{Voltage: voltage, Gravity: math.NaN(), Temperature: temperature}).Charge
}

func hydrometer(gravity, temperature float64) BatteryChargeResults {
	return BatteryCharge(BatteryChargeInputs{Voltage: math.NaN(), Gravity: gravity, Temperature: temperature})
}

func stored(voltage, capacity, draw float64) BatteryChargeResults {
	return BatteryCharge(BatteryChargeInputs{
		Voltage: voltage, Gravity: math.NaN(), Temperature: batteryTemperature, Capacity: capacity, Draw: draw,
	})
}

// voltageAt is the voltage at which the state of charge comes out.
func voltageAt(share, temperature float64) float64 {
	return inverse(11, surfaceVoltage, share, func(v float64) float64 { return charge(v, temperature) })
}

// inverse finds between low and high where a rising function reaches a value.
func inverse(low, high, value float64, f func(float64) float64) float64 {
	const steps = 1 << 24
	i := sort.Search(steps, func(i int) bool { return f(low+(high-low)*float64(i)/steps) >= value-1e-9 })
	return low + (high-low)*float64(i)/steps
}

// A run of time-to-close warms the coil by the published step response.
func TestPublishedRuns(t *testing.T) {
	n := 0
	for _, r := range readPublished(t) {
		in := TimeToCloseInputs{Hot: 100, RunTimeConstant: 1, TimeConstant: 1}
		switch r.quantity {
		case "step_response_percent":
		case "first_order_value":
			in.Hot, in.Start, in.RunTimeConstant = r.number("final"), r.number("start"), r.number("tau")
		default:
			continue
		}
		n++
		in.Run = r.number("time")
		row := published{inputs: "expected=" + r.expected + "; tolerance=" + r.tolerance}
		if got := TimeToClose(in).StopTemperature; !(math.Abs(got-row.number("expected")) <= row.number("tolerance")) {
			t.Errorf("%v: %v, published %s ± %s", r, got, r.expected, r.tolerance)
		}
	}
	if n == 0 {
		t.Error("no rows found")
	}
}

// The sizes of wire-size are sizes of the gauge, to the bit, and the metric
// ones are those of the published maxima.
func TestWireSizesArePublished(t *testing.T) {
	sizes := unit.Sizes()
	for _, area := range gaugeAreas {
		if !slices.ContainsFunc(sizes, func(s unit.Size) bool { return s.Area == area }) {
			t.Errorf("%v m² is no size of the gauge", area)
		}
	}
	if !slices.IsSorted(gaugeAreas[:]) || !slices.IsSorted(metricAreas[:]) {
		t.Error("the sizes are not in order")
	}
	for _, r := range readPublished(t) {
		if r.file != "wire_iec60228_20C" {
			continue
		}
		area := r.si("nominal_area")
		if !slices.ContainsFunc(metricAreas[:], func(a float64) bool { return math.Abs(a-area) < 1e-12 }) {
			t.Errorf("%v: not among the metric sizes", r)
		}
	}
}
