package calc

import (
	"math"
	"testing"
)

// The coefficient is that at 20 °C, wherever the cold resistance was read: 10 Ω
// at 0 °C and 0.004 /K are 10.87 Ω at 20 °C and 15.22 Ω at 120 °C.
func TestHeaterReadElsewhere(t *testing.T) {
	in := HeaterInputs{ColdResistance: 10, ColdTemperature: 273.15, Coefficient: 0.004, HotTemperature: 393.15, Supply: 12, Measured: 10 / 0.92}
	out := Heater(in)
	near(t, "hot-resistance", out.HotResistance, 10*1.4/0.92, 1e-14)
	near(t, "current", out.Current, 12*0.92/14, 1e-14)
	near(t, "power", out.Power, 144*0.92/14, 1e-14)
	near(t, "mean-temperature", out.MeanTemperature, 293.15, 1e-14)
}

// The mean temperature is the inverse of the hot resistance.
func TestHeaterThereAndBack(t *testing.T) {
	for _, coefficient := range []float64{0.00017, 0.00393, 0.0059} {
		for celsius := -20.0; celsius <= 500; celsius += 65 {
			in := HeaterInputs{ColdResistance: 7, ColdTemperature: 285, Coefficient: coefficient, HotTemperature: celsius + 273.15}
			in.Measured = Heater(in).HotResistance
			near(t, "mean-temperature", Heater(in).MeanTemperature, celsius+273.15, 1e-10)
		}
	}
}

func TestHeaterWithoutCoefficient(t *testing.T) {
	out := Heater(HeaterInputs{ColdResistance: 10, ColdTemperature: 293.15, HotTemperature: 500, Supply: 12, Measured: 11})
	near(t, "hot-resistance", out.HotResistance, 10, 0)
	if !math.IsNaN(out.MeanTemperature) {
		t.Errorf("mean temperature %v, though the resistance does not tell it", out.MeanTemperature)
	}
}

// A PTC heater follows neither U²/R nor an ohms check: no value at all.
func TestHeaterPTC(t *testing.T) {
	in := HeaterInputs{Type: PTCHeater, ColdResistance: 10, ColdTemperature: 293.15, Coefficient: 0.004, HotTemperature: 393.15, Supply: 12, Measured: 12}
	out := Heater(in)
	for name, v := range map[string]float64{
		"hot-resistance": out.HotResistance, "current": out.Current, "power": out.Power, "mean-temperature": out.MeanTemperature,
	} {
		if !math.IsNaN(v) {
			t.Errorf("%s of a PTC heater: %v", name, v)
		}
	}
	if out.Outcome != PTCHeater {
		t.Errorf("outcome %v", out.Outcome)
	}
}
