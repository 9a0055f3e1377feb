package calc

import (
	"math"
	"testing"
)

// dryTest is a test in dry air.
func dryTest(standard PowerStandard, pressure, temperature float64) PowerCorrectionInputs {
	return PowerCorrectionInputs{
		Standard: standard, Power: 3000, Pressure: pressure, Temperature: temperature, Humidity: math.NaN(), MechanicalEfficiency: 0.8,
		PressureExponent: 1, TemperatureExponent: 0.5,
	}
}

// In the reference air of a standard nothing is corrected.
func TestPowerCorrectionReference(t *testing.T) {
	for _, c := range []struct {
		name                  string
		standard              PowerStandard
		pressure, temperature float64
	}{
		{"SAE J1349", SAEJ1349, 99e3, 298.15}, {"ISO 1585", ISO1585, 99e3, 298}, {"ISO 3046-1", ISO3046, 100e3, 298},
		{"SAE J607", SAEJ607, 29.92 * 3386.389, 288.70556}, // inHg of NIST SP 811; 60 °F
	} {
		out := PowerCorrection(dryTest(c.standard, c.pressure, c.temperature))
		near(t, c.name+": factor", out.Factor, 1, 1e-6)
		near(t, c.name+": power", out.CorrectedPower, 3000, 1e-6)
	}
	in := dryTest(ISO3046, 100e3, 298)
	in.Humidity = 0.3 // the humidity of the reference counts on both sides
	near(t, "ISO 3046-1 with 30 %", PowerCorrection(in).Factor, 1, 1e-9)
}

// The vapour of 30 °C, 4.2455 kPa by the CRC Handbook, burns nothing: at 60 %
// it takes 2.547 kPa from the barometer.
func TestPowerCorrectionHumidity(t *testing.T) {
	in := dryTest(SAEJ1349, 99e3, 303.15)
	dry := PowerCorrection(in)
	in.Humidity = 0.6
	out := PowerCorrection(in)
	near(t, "dry pressure", out.DryPressure, 99e3-2547.3, 1e-5)
	near(t, "ratio", out.Ratio/dry.Ratio, 1-2547.3/99e3, 1e-5)
}

func TestPowerCorrectionValidity(t *testing.T) {
	// By SAE J1349 C = 1.18 · 99/p − 0.18 at 25 °C: 1.07 at 93.456 kPa, 0.93 at 105.243 kPa.
	for _, c := range []struct {
		standard PowerStandard
		pressure float64
		want     Validity
	}{
		{SAEJ1349, 99e3, WithinRange}, {SAEJ1349, 93.46e3, WithinRange}, {SAEJ1349, 93.45e3, BeyondRange},
		{SAEJ1349, 105.24e3, WithinRange}, {SAEJ1349, 105.25e3, BeyondRange},
		{ISO1585, 99e3, WithinRange}, {ISO1585, 80e3, BeyondRange},
		{ISO3046, 100e3, NoRange}, {ISO3046, 60e3, NoRange}, {SAEJ607, 60e3, NoRange},
	} {
		if got := PowerCorrection(dryTest(c.standard, c.pressure, 298.15)).Validity; got != c.want {
			t.Errorf("standard %v, %v Pa: %v, want %v", c.standard, c.pressure, got, c.want)
		}
	}
}

// Where friction would take all the power no factor makes sense: with half of
// it lost, k − 0.7 · (1 − k) is below zero from k = 0.41 down.
func TestPowerCorrectionNoPower(t *testing.T) {
	in := dryTest(ISO3046, 41e3, 298)
	in.MechanicalEfficiency = 0.5
	if out := PowerCorrection(in); !math.IsNaN(out.Factor) || !math.IsNaN(out.CorrectedPower) || !math.IsNaN(out.Adjustment) {
		t.Errorf("no power left: %+v", out)
	}
	in.Pressure = 42e3
	if out := PowerCorrection(in); !(out.Factor > 0) {
		t.Errorf("some power left: %+v", out)
	}
}

// The exponents count for ISO 3046-1 only: 0.8 squared, and the square of
// 298 / 310.
func TestPowerCorrectionExponents(t *testing.T) {
	for standard := SAEJ1349; standard <= SAEJ607; standard++ {
		plain := dryTest(standard, 80e3, 310)
		in := plain
		in.PressureExponent, in.TemperatureExponent = 2, 2
		got, want := PowerCorrection(in).Ratio, PowerCorrection(plain).Ratio
		if standard == ISO3046 {
			want = 0.64 * (298.0 / 310) * (298.0 / 310)
		}
		near(t, "ratio", got, want, 1e-14)
	}
}
