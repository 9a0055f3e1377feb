package calc

import (
	"math"
	"testing"
)

// standardAir is what was not measured: pressure and temperature are those of
// the standard atmosphere.
func standardAir(altitude float64, scale AltitudeScale) AirDensityInputs {
	return AirDensityInputs{Pressure: math.NaN(), Temperature: math.NaN(), Altitude: altitude, Scale: scale}
}

// The standard atmosphere's own density gives back its altitude, to the ends of
// the troposphere.
func TestAirDensityGivesTheAltitudeBack(t *testing.T) {
	for altitude := -5000.0; altitude <= 11000; altitude += 250 {
		out := AirDensity(standardAir(altitude, Geopotential))
		if math.Abs(out.DensityAltitude-altitude) > 1e-6 {
			t.Errorf("%v m: density altitude %v", altitude, out.DensityAltitude)
		}
	}
}

// At 11 km by the tape the work against gravity is that of 10,981 m: a metre
// counts 0.17 % less there. 6356.766 · 11 / 6367.766 = 10.98100 km.
func TestAirDensityScales(t *testing.T) {
	byTape, asTabled := AirDensity(standardAir(11000, Geometric)), AirDensity(standardAir(10981.00, Geopotential))
	near(t, "temperature", byTape.StandardTemperature, asTabled.StandardTemperature, 1e-7)
	near(t, "pressure", byTape.StandardPressure, asTabled.StandardPressure, 1e-6)
}

func TestAirDensityMeasured(t *testing.T) {
	in := standardAir(1500, Geometric)
	standard := AirDensity(in)
	in.Pressure = 80e3
	out := AirDensity(in)
	near(t, "density goes with the pressure", out.Density/standard.Density, 80e3/standard.StandardPressure, 1e-12)
	near(t, "standard pressure stays", out.StandardPressure, standard.StandardPressure, 0)
	in.Temperature = 2 * standard.StandardTemperature
	near(t, "density goes against the temperature", AirDensity(in).Density, out.Density/2, 1e-12)
	in = standardAir(0, Geometric)
	in.Temperature = 313.15
	dry := AirDensity(in).Density
	in.Humidity = 1
	// 0.378 · 7.3814 kPa of 101.325 kPa, the vapour of 40 °C by the CRC Handbook.
	near(t, "moist air", AirDensity(in).Density/dry, 1-0.378*7.3814/101.325, 1e-5)
}

// Thinner than the standard air at 11 km, no altitude of the troposphere fits.
func TestAirDensityBeyondTheTroposphere(t *testing.T) {
	in := standardAir(0, Geometric)
	in.Pressure = 20e3
	if out := AirDensity(in); !math.IsNaN(out.DensityAltitude) || math.IsNaN(out.Density) {
		t.Errorf("20 kPa at 15 °C: density %v, altitude %v", out.Density, out.DensityAltitude)
	}
}
