package calc

import (
	"math"
	"testing"
)

// The demo's figures: 12.6 V on 10 Ω, 5.6 K/W, 200 s, from 20 °C to 60 °C.
var coldChoke = TimeToOpenInputs{
	Voltage: 12.6, Resistance: 10, Ambient: 293.15, Start: 293.15, OpenAt: 333.15, ThermalResistance: 5.6, TimeConstant: 200,
}

// Common practice, no source: a heated choke is fully open about two minutes
// after a cold start at 20 °C.
func TestTimeToOpenRuleOfThumb(t *testing.T) {
	if out := TimeToOpen(coldChoke); out.Outcome != Opens || math.Abs(out.Time-120) > 10 {
		t.Errorf("opens in %v s (%v), want about 120 s", out.Time, out.Outcome)
	}
}

func TestTimeToOpenByHand(t *testing.T) {
	// 12.6² / 10 = 15.876 W; · 5.6 = 88.9056 K over 20 °C.
	out := TimeToOpen(coldChoke)
	near(t, "final-temperature", out.FinalTemperature, 293.15+88.9056, 1e-14)
	near(t, "time", out.Time, 200*math.Log(88.9056/48.9056), 1e-12)
	near(t, "least-voltage", out.LeastVoltage, math.Sqrt(40*10/5.6), 1e-14)
}

// 12.0 to 14.4 V is 44 % more power, and so 44 % more rise.
func TestTimeToOpenPower(t *testing.T) {
	in := coldChoke
	in.Voltage = 12
	low := TimeToOpen(in).FinalTemperature - in.Ambient
	in.Voltage = 14.4
	near(t, "rise", (TimeToOpen(in).FinalTemperature-in.Ambient)/low, 1.44, 1e-12)
}

func TestTimeToOpenOutcomes(t *testing.T) {
	const never = -1
	least := TimeToOpen(coldChoke).LeastVoltage
	for _, c := range []struct {
		name    string
		change  func(*TimeToOpenInputs)
		outcome Opening
		time    float64 // s, or never
		least   float64 // V
	}{
		{"no voltage", func(in *TimeToOpenInputs) { in.Voltage = 0 }, NeverOpens, never, least},
		{"just below the least voltage", func(in *TimeToOpenInputs) { in.Voltage = least * (1 - 1e-9) }, NeverOpens, never, least},
		{"just above the least voltage", func(in *TimeToOpenInputs) { in.Voltage = least * (1 + 1e-9) }, Opens, 200 * math.Log(40/(40*2e-9)), least},
		{"starts at the opening temperature", func(in *TimeToOpenInputs) { in.Start = in.OpenAt }, AlreadyOpen, 0, least},
		{"starts hot, without voltage", func(in *TimeToOpenInputs) { in.Start, in.Voltage = 400, 0 }, AlreadyOpen, 0, least},
		{"hot surroundings, cold coil, no voltage", func(in *TimeToOpenInputs) { in.Ambient, in.Voltage = 353.15, 0 }, Opens, 200 * math.Log(60.0/20), 0},
		{"hot surroundings, hot coil", func(in *TimeToOpenInputs) { in.Ambient, in.Start = 353.15, 353.15 }, AlreadyOpen, 0, 0},
		{"surroundings at the opening temperature, no voltage", func(in *TimeToOpenInputs) { in.Ambient, in.Voltage = in.OpenAt, 0 }, NeverOpens, never, 0},
	} {
		in := coldChoke
		c.change(&in)
		out := TimeToOpen(in)
		if out.Outcome != c.outcome {
			t.Errorf("%s: outcome %v, want %v", c.name, out.Outcome, c.outcome)
		}
		if c.time == never {
			if !math.IsNaN(out.Time) {
				t.Errorf("%s: time %v, want none", c.name, out.Time)
			}
		} else {
			near(t, c.name+": time", out.Time, c.time, 1e-6)
		}
		near(t, c.name+": least voltage", out.LeastVoltage, c.least, 1e-12)
	}
}

func TestTimeToOpenMonotonic(t *testing.T) {
	last := math.Inf(1)
	for volts := 9.0; volts <= 16; volts += 0.25 {
		in := coldChoke
		in.Voltage = volts
		if out := TimeToOpen(in); !(out.Time < last) {
			t.Errorf("%v V: %v s, not sooner than %v s", volts, out.Time, last)
		} else {
			last = out.Time
		}
	}
	last = math.Inf(1)
	for celsius := -20.0; celsius < 60; celsius += 5 {
		in := coldChoke
		in.Ambient, in.Start, in.Voltage = celsius+273.15, celsius+273.15, 14.4
		if out := TimeToOpen(in); !(out.Time < last) {
			t.Errorf("%v °C: %v s, not sooner than %v s", celsius, out.Time, last)
		} else {
			last = out.Time
		}
	}
}
