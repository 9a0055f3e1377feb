package calc

import (
	"maps"
	"math"
)

func init() { maps.Copy(checks, engineChecks) }

// engineChecks are the checks of air, mixture, compression and torque.
var engineChecks = map[string]func(published) float64{
	// air-density
	"isa_temperature":   func(r published) float64 { return into(AirDensity(air(r)).StandardTemperature, r.unit) },
	"isa_pressure":      func(r published) float64 { return into(AirDensity(air(r)).StandardPressure, r.unit) },
	"isa_density_ratio": func(r published) float64 { return AirDensity(air(r)).Relative },
	"isa_density":       func(r published) float64 { return AirDensity(air(r)).Density },
	"air_density":       func(r published) float64 { return AirDensity(air(r)).Density },

	// power-correction
	"power_correction_factor": func(r published) float64 { return PowerCorrection(measuredPower(r)).Factor },
	"indicated_power_ratio_k": func(r published) float64 { return PowerCorrection(measuredPower(r)).Ratio },
	"power_adjustment_factor": adjustment,
	"water_vapour_pressure":   vapourPressure,

	// leak-down
	"leakdown_percent": func(r published) float64 {
		// A ratio: the unit of both gauges counts for nothing.
		return 100 * LeakDown(LeakDownInputs{Supply: r.number("regulated"), Cylinder: r.number("cylinder")}).Leakage
	},

	// compression
	"ideal_compression_pressure_abs": func(r published) float64 {
		return idealPressure(r.si("intake_pressure"), r.number("compression_ratio"), r.number("exponent")) / 1e3
	},
	"adiabatic_pressure_ratio": func(r published) float64 {
		return idealPressure(1, r.number("volume_ratio"), r.number("gamma"))
	},
	"adiabatic_temperature": func(r published) float64 {
		// From the pressure by the law of ideal gases.
		ratio := r.number("volume_ratio")
		return r.si("initial") * idealPressure(1, ratio, r.number("gamma")) / ratio
	},

	// mixture
	"stoichiometric_afr": func(r published) float64 { return Mixture(fuel(r)).Stoichiometric },
	"lambda": func(r published) float64 {
		return Mixture(MixtureInputs{Ratio: r.number("afr"), Fuel: OwnRatio, Own: r.number("stoichiometric_afr")}).Lambda
	},
	"enleanment_percent": func(r published) float64 {
		// The row states the change of fuel in words, "gasoline 14.7 to E10 14.1".
		return 100 * Mixture(MixtureInputs{Fuel: OwnRatio, Own: 14.1, Set: r.number("carburettor_afr")}).Leaner
	},

	// torque
	"wrench_setting": func(r published) float64 { return into(Torque(wrench(r)).Setting, r.unit) },
	"bolt_torque":    func(r published) float64 { return into(Torque(wrench(r)).Uncorrected, r.unit) },
}

// air reads an altitude with the standard atmosphere there, or air as measured.
// Tables that do not say which altitude they mean are geopotential.
func air(r published) AirDensityInputs {
	in := AirDensityInputs{Pressure: math.NaN(), Temperature: math.NaN(), Scale: Geopotential}
	if kind, _ := r.text("altitude_type"); kind == "geometric" {
		in.Scale = Geometric
	}
	if humidity, ok := r.text("humidity"); ok && humidity != "dry" {
		in.Humidity = r.si("humidity")
	}
	for name, field := range map[string]*float64{"altitude": &in.Altitude, "pressure": &in.Pressure, "temp": &in.Temperature} {
		if _, ok := r.text(name); ok {
			*field = r.si(name)
		}
	}
	return in
}

// measuredPower reads the air of a power test; a row of dry air has no
// humidity.
func measuredPower(r published) PowerCorrectionInputs {
	in := PowerCorrectionInputs{
		Standard: ISO3046, Temperature: r.si("air_temp"), Humidity: math.NaN(), MechanicalEfficiency: 0.8,
	}
	if _, ok := r.text("m"); ok {
		in.PressureExponent, in.TemperatureExponent = r.number("m"), r.number("n")
	}
	switch name, _ := r.text("standard"); name {
	case "SAE J1349":
		in.Standard = SAEJ1349
	case "SAE J607":
		in.Standard = SAEJ607
	case "ISO 1585 spark ignition":
		in.Standard = ISO1585
	}
	if _, ok := r.text("relative_humidity"); ok {
		in.Pressure, in.Humidity = r.si("barometer"), r.si("relative_humidity")
	} else {
		in.Pressure = r.si("dry_pressure")
	}
	return in
}

// adjustment is that of the pressure at which the reference temperature gives
// the row's ratio.
func adjustment(r published) float64 {
	return PowerCorrection(PowerCorrectionInputs{
		Standard: ISO3046, Pressure: r.number("k") * 100e3, Temperature: 298, Humidity: math.NaN(),
		MechanicalEfficiency: r.number("mech_efficiency"), PressureExponent: 1, TemperatureExponent: 0.5,
	}).Adjustment
}

// vapourPressure is what saturated air takes from the barometer, in kPa.
func vapourPressure(r published) float64 {
	const pressure = 100e3
	return (pressure - PowerCorrection(PowerCorrectionInputs{
		Pressure: pressure, Temperature: r.si("temp"), Humidity: 1, MechanicalEfficiency: 1,
	}).DryPressure) / 1e3
}

// idealPressure is absolute: the gauge's plus the ambient.
func idealPressure(ambient, ratio, exponent float64) float64 {
	return ambient + Compression(CompressionInputs{Ambient: ambient, Ratio: ratio, Exponent: exponent}).Ideal
}

// fuel reads a fuel by its name; the atoms are those of its molecule.
func fuel(r published) MixtureInputs {
	atoms := func(c, h, o float64) MixtureInputs {
		return MixtureInputs{Fuel: Composition, Carbon: c, Hydrogen: h, Oxygen: o}
	}
	switch name, _ := r.text("fuel"); name {
	case "gasoline":
		return MixtureInputs{Fuel: Gasoline}
	case "E10 (10 vol-% ethanol)":
		return MixtureInputs{Fuel: Gasoline, Share: 0.10}
	case "ethanol":
		return MixtureInputs{Fuel: Ethanol}
	case "methanol":
		return MixtureInputs{Fuel: Methanol}
	case "methane", "natural gas (CNG)":
		return MixtureInputs{Fuel: Methane}
	case "propane":
		return MixtureInputs{Fuel: Propane}
	case "n-butane":
		return MixtureInputs{Fuel: Butane}
	case "iso-octane":
		return atoms(8, 18, 0)
	case "benzene":
		return atoms(6, 6, 0)
	case "toluene":
		return atoms(7, 8, 0)
	case "hydrogen":
		return atoms(0, 2, 0)
	case "carbon monoxide":
		return atoms(1, 0, 1)
	default:
		panic(r.String() + ": unknown fuel")
	}
}

func wrench(r published) TorqueInputs {
	in := TorqueInputs{Torque: r.si("torque"), Wrench: r.si("wrench"), Extension: r.si("extension")}
	if _, ok := r.text("angle"); ok {
		in.Angle = r.si("angle")
	}
	return in
}
