package calc

import (
	"math"
	"testing"
)

var restedBattery = BatteryChargeInputs{Voltage: 12.45, Gravity: math.NaN(), Temperature: 300.15, Capacity: math.NaN(), Draw: math.NaN()}

// Where the voltage tells nothing there is no value, and the outcome says why.
func TestBatteryChargeOutcomes(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		name    string
		change  func(*BatteryChargeInputs)
		charge  float64
		outcome ChargeFinding
	}{
		{"rested", func(*BatteryChargeInputs) {}, 0.75, ChargeKnown},
		{"above the table", func(in *BatteryChargeInputs) { in.Voltage = 12.80 }, 1, ChargeKnown},
		{"surface charge", func(in *BatteryChargeInputs) { in.Voltage = 12.81 }, none, SurfaceCharge},
		{"end of the table", func(in *BatteryChargeInputs) { in.Voltage = 11.89 }, 0, Flat},
		{"less than half: the middle of 12.24 and 12.06 V is 37.5 %", func(in *BatteryChargeInputs) { in.Voltage = 12.15 }, 0.375, ChargeFirst},
		{"a tenth of a step below 75 %", func(in *BatteryChargeInputs) { in.Voltage = 12.429 }, 0.725, ChargeFirst},
		{"a dead cell", func(in *BatteryChargeInputs) { in.Voltage = 10.4 }, 0, Flat},
		{"not rested", func(in *BatteryChargeInputs) { in.Rest = NotRested }, none, MustRest},
		{"AGM", func(in *BatteryChargeInputs) { in.Type = AGM }, none, OtherTable},
		{"lithium", func(in *BatteryChargeInputs) { in.Type = Lithium }, none, NoTable},
		{"lithium, not rested, cold", func(in *BatteryChargeInputs) { in.Type, in.Rest, in.Temperature = Lithium, NotRested, 260 }, none, NoTable},
		{"cold", func(in *BatteryChargeInputs) { in.Temperature = 289.5 }, none, OtherTemperature}, // 10.3 K below 80 °F
		{"shop", func(in *BatteryChargeInputs) { in.Temperature = 293.15 }, 0.75, ChargeKnown},
		{"hot", func(in *BatteryChargeInputs) { in.Temperature = 313.15 }, none, OtherTemperature},
		{"nothing read", func(in *BatteryChargeInputs) { in.Voltage = none }, none, NoVoltage},
	} {
		in := restedBattery
		c.change(&in)
		out := BatteryCharge(in)
		if out.Outcome != c.outcome {
			t.Errorf("%s: outcome %v, want %v", c.name, out.Outcome, c.outcome)
		}
		if math.IsNaN(c.charge) != math.IsNaN(out.Charge) || math.Abs(out.Charge-c.charge) > 1e-12 {
			t.Errorf("%s: %v, want %v", c.name, out.Charge, c.charge)
		}
	}
}

// 1.200 at 110 °F is 1.212 at 80 °F: between 1.190 and 1.225, 50 and 75 %.
func TestBatteryChargeHydrometer(t *testing.T) {
	in := restedBattery
	in.Voltage, in.Gravity, in.Temperature = math.NaN(), 1.2, (110+459.67)*5/9
	out := BatteryCharge(in)
	near(t, "corrected-gravity", out.CorrectedGravity, 1.212, 1e-12)
	near(t, "gravity-charge", out.GravityCharge, 0.5+0.25*22/35, 1e-10)
	for _, c := range [][2]float64{{1.300, 1}, {1.265, 1}, {1.120, 0}, {1.050, 0}} {
		if got := hydrometer(c[0], batteryTemperature).GravityCharge; math.Abs(got-c[1]) > 1e-12 {
			t.Errorf("%v: %v, want %v", c[0], got, c[1])
		}
	}
	for _, other := range []BatteryType{AGM, Lithium} {
		in.Type = other
		if out := BatteryCharge(in); !math.IsNaN(out.CorrectedGravity) || !math.IsNaN(out.GravityCharge) {
			t.Errorf("type %v: a hydrometer gives %v, %v", other, out.CorrectedGravity, out.GravityCharge)
		}
	}
}

// 75 % of 20 A·h are 15 A·h: 300 h at 50 mA, and 5 A·h are missing.
func TestBatteryChargeLasts(t *testing.T) {
	in := restedBattery
	in.Capacity, in.Draw = 20*3600, 0.05
	out := BatteryCharge(in)
	near(t, "missing", out.Missing, 5*3600, 1e-12)
	near(t, "lasts", out.Lasts, 300*3600, 1e-12)
}

func TestBatteryChargeRises(t *testing.T) {
	last := -1.0
	for voltage := 11.8901; voltage < 12.65; voltage += 0.0137 {
		got := charge(voltage, 300)
		if !(got > last) {
			t.Errorf("%v V: %v, not above %v", voltage, got, last)
		}
		last = got
	}
}
