package calc

import (
	"math"
	"testing"
)

// 4 mV/K in each of 6 cells are 24 mV/K; 15 K above 25 °C take 0.36 V away.
func TestChargingVoltageByHand(t *testing.T) {
	in := ChargingVoltageInputs{Reference: 14.4, Coefficient: 4e-3, Cells: 6, Temperature: 313.15, Measured: 14.2}
	out := ChargingVoltage(in)
	near(t, "voltage", out.Voltage, 14.04, 1e-12)
	near(t, "deviation", out.Deviation, 0.16, 1e-12)
	in.Temperature, in.Measured = 298.15, math.NaN()
	out = ChargingVoltage(in)
	if out.Voltage != 14.4 || !math.IsNaN(out.Deviation) {
		t.Errorf("at 25 °C %v V, deviation %v", out.Voltage, out.Deviation)
	}
}
