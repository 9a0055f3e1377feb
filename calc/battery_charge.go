package calc

import "benchleaf/calc/elementary"

// BatteryType is how a battery is built, and so which table its voltage
// belongs to.
type BatteryType int

const (
	Flooded BatteryType = iota
	AGM
	Lithium
)

// Rest is whether a battery has stood without current long enough.
type Rest int

const (
	Rested Rest = iota
	NotRested
)

// ChargeFinding says what the voltage tells, or why it tells nothing.
type ChargeFinding int

const (
	ChargeKnown   ChargeFinding = iota
	Flat                        // at or below the end of the table
	SurfaceCharge               // above what a rested battery has
	MustRest
	OtherTable // AGM
	NoTable    // lithium
	OtherTemperature
	NoVoltage
	ChargeFirst // known, and too low for a test
)

// BatteryChargeInputs is a battery of six cells and what was read on it.
// Voltage, gravity, capacity and draw may be missing (NaN).
type BatteryChargeInputs struct {
	Type        BatteryType `name:"type" options:"flooded,agm,lithium" start:"flooded"`
	Rest        Rest        `name:"rest" options:"rested,not-rested" start:"rested"`
	Voltage     float64     `name:"voltage" symbol:"U" unit:"V" min:"0" max:"20" start:"12.45" optional:"true" metered:"true"`
	Gravity     float64     `name:"gravity" symbol:"ρ" unit:"" min:"1" max:"1.4" optional:"true" metered:"true"`
	Temperature float64     `name:"temperature" symbol:"T" unit:"°C" min:"-40" max:"70" start:"27"`
	Capacity    float64     `name:"capacity" symbol:"Q" unit:"A·h" min:"1" max:"1000" start:"18" optional:"true"`
	Draw        float64     `name:"draw" symbol:"I" unit:"A" min:"0.0001" max:"100" optional:"true" metered:"true"`
}

// BatteryChargeResults is the state of charge by voltage and by hydrometer, and
// what it means in ampere-hours.
type BatteryChargeResults struct {
	Charge           float64       `name:"charge" symbol:"s" unit:"%" digits:"3"`
	CorrectedGravity float64       `name:"corrected-gravity" symbol:"ρ₀" unit:"" digits:"4"`
	GravityCharge    float64       `name:"gravity-charge" symbol:"s₀" unit:"%" digits:"3"`
	Missing          float64       `name:"missing" symbol:"ΔQ" unit:"A·h" digits:"3"`
	Lasts            float64       `name:"lasts" symbol:"t" unit:"h" digits:"3"`
	Outcome          ChargeFinding `name:"outcome" options:"known,flat,surface-charge,not-rested,other-table,no-table,other-temperature,no-voltage,charge-first"`
}

// chargeSteps holds the voltage of a rested battery of six cells, and after it
// the specific gravity, at 0, 25, 50, 75 and 100 % of charge.
// Source: BCI table of open-circuit voltage and specific gravity, at 80 °F.
var chargeSteps = [...]float64{
	11.89, 12.06, 12.24, 12.45, 12.65,
	1.120, 1.155, 1.190, 1.225, 1.265,
}

const (
	quarters           = 4                      // steps of the table from 0 to 100 %
	batteryTemperature = (80 + 459.67) * 5 / 9  // K, 80 °F
	gravityCoefficient = 0.004 / (10 * 5.0 / 9) // 1/K, 0.004 for 10 °F
	nearTable          = 10                     // K about 80 °F in which the voltages are taken: common practice, no source
	testCharge         = 0.75                   // from here on a load test tells something: common practice, no source
	surfaceVoltage     = 12.80                  // V; a rested battery stays below: common practice, no source
)

// chargeAt interpolates linearly in the part of chargeSteps that begins at
// first: it adds up what the reading fills of each step. What is beyond an end
// of the table counts as that end.
func chargeAt(reading float64, first int) float64 {
	filled, low := 0.0, chargeSteps[first]
	for i := first + 1; i <= first+quarters; i++ {
		high := chargeSteps[i]
		filled += elementary.Max(0, elementary.Min(1, (reading-low)/(high-low)))
		low = high
	}
	return filled / quarters
}

// BatteryCharge computes the state of charge of a flooded 12 V lead-acid
// battery from its open-circuit voltage, and from the specific gravity that a
// hydrometer reads, corrected for temperature. Between the points of the table
// it is interpolated linearly, and the points are averages: hold the result to
// within some 10 %.
//
// The voltage counts only of a rested battery, four hours without charge or
// load, near 27 °C. An AGM battery has a table of its own, its maker's; for
// lithium batteries the voltage tells next to nothing. Neither gets a value
// here, nor a voltage that only a surface charge explains. State of charge is
// not health: that is what a load test shows, at 75 % or more. Below, charge the
// battery before it is tested.
//
// With the capacity it tells how much charge is missing, and how long the
// battery lasts at a draw, such as a current that flows with the key out. The
// capacity holds for a discharge over twenty hours; at great currents it is
// less.
//
// Formula: U → s: 12.65 V → 100 %, 12.45 V → 75 %, 12.24 V → 50 %, 12.06 V → 25 %, 11.89 V → 0 %
// Formula: ρ₀ = ρ + 0.004 · (T − 80 °F) / 10 °F
// Formula: ρ₀ → s₀: 1.265 → 100 %, 1.225 → 75 %, 1.190 → 50 %, 1.155 → 25 %, 1.120 → 0 %
// Formula: ΔQ = (1 − s) · Q
// Formula: t = s · Q / I
// Source: BCI table of open-circuit voltage and specific gravity, 12 V flooded lead-acid, 80 °F
// Source: Correction of the hydrometer, 0.004 for 10 °F about 80 °F: BCI practice
// Source: Four hours of rest, within 10 K of 27 °C, no more than 12.80 V at rest, tests from 75 % on: common practice, no source
// Example: type = flooded, rest = rested, voltage = 12.55 V, capacity = 18 A·h, draw = 0.05 A gives charge = 87.5 %, missing = 2.25 A·h, lasts = 315 h, outcome = known
// Example: voltage = 12.35 V, gravity = 1.180, temperature = 95 °F gives charge = 63.1 %, corrected-gravity = 1.186, gravity-charge = 47.1 %, outcome = charge-first
func BatteryCharge(in BatteryChargeInputs) BatteryChargeResults {
	warmer := in.Temperature - batteryTemperature
	gravity := in.Gravity + float64(gravityCoefficient*warmer)
	if in.Type != Flooded {
		gravity = elementary.NaN()
	}
	out := BatteryChargeResults{
		Charge:           elementary.NaN(),
		CorrectedGravity: gravity,
		GravityCharge:    chargeAt(gravity, quarters+1),
	}
	switch {
	case in.Type == AGM:
		out.Outcome = OtherTable
	case in.Type == Lithium:
		out.Outcome = NoTable
	case elementary.IsNaN(in.Voltage):
		out.Outcome = NoVoltage
	case in.Rest == NotRested:
		out.Outcome = MustRest
	case elementary.Abs(warmer) > nearTable:
		out.Outcome = OtherTemperature
	case in.Voltage > surfaceVoltage:
		out.Outcome = SurfaceCharge
	default:
		out.Charge = chargeAt(in.Voltage, 0)
		if out.Charge == 0 {
			out.Outcome = Flat
		} else if out.Charge < testCharge {
			out.Outcome = ChargeFirst
		}
	}
	left := out.Charge * in.Capacity
	out.Missing = in.Capacity - left
	out.Lasts = left / in.Draw
	return out
}
