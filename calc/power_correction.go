package calc

import "benchleaf/calc/elementary"

// PowerStandard is the rule by which a measured power is corrected.
type PowerStandard int

const (
	SAEJ1349 PowerStandard = iota
	ISO1585
	ISO3046
	SAEJ607
)

// Validity says whether a correction keeps to the range of its standard.
type Validity int

const (
	WithinRange Validity = iota
	BeyondRange
	NoRange // the standard states none
)

// PowerCorrectionInputs is a power as measured, and the air it was measured
// in. Without a humidity (NaN) the pressure counts as that of dry air.
type PowerCorrectionInputs struct {
	Standard             PowerStandard `name:"standard" options:"sae-j1349,iso-1585,iso-3046,sae-j607" start:"sae-j1349"`
	Power                float64       `name:"power" symbol:"P" unit:"kW" min:"0" max:"200" start:"3" metered:"true"`
	Pressure             float64       `name:"pressure" symbol:"p" unit:"kPa" min:"50" max:"110" start:"95" metered:"true"`
	Temperature          float64       `name:"temperature" symbol:"T" unit:"°C" min:"-30" max:"60" start:"30" metered:"true"`
	Humidity             float64       `name:"humidity" symbol:"φ" unit:"%" min:"0" max:"100" optional:"true" metered:"true"`
	MechanicalEfficiency float64       `name:"mechanical-efficiency" symbol:"ηₘ" unit:"%" min:"50" max:"100" start:"80"`
	PressureExponent     float64       `name:"pressure-exponent" symbol:"m" unit:"" min:"0" max:"2" start:"1"`
	TemperatureExponent  float64       `name:"temperature-exponent" symbol:"n" unit:"" min:"0" max:"3" start:"0.5"`
}

// PowerCorrectionResults is the power that the engine would give in standard
// air, and how it comes about.
type PowerCorrectionResults struct {
	DryPressure    float64  `name:"dry-pressure" symbol:"pₐ" unit:"kPa" digits:"4"`
	Ratio          float64  `name:"ratio" symbol:"k" unit:"" digits:"4"`
	Factor         float64  `name:"factor" symbol:"C" unit:"" digits:"4"`
	CorrectedPower float64  `name:"corrected-power" symbol:"P₀" unit:"kW" digits:"3"`
	Adjustment     float64  `name:"adjustment" symbol:"α" unit:"" digits:"4"`
	Validity       Validity `name:"validity" options:"within,beyond,none"`
}

const (
	correctionLeast = 0.93 // range of SAE J1349 and ISO 1585
	correctionMost  = 1.07
	roomTemperature = 298.0 // K, as ISO rounds 25 °C
)

// PowerCorrection computes what a naturally aspirated spark-ignition engine at
// full throttle would give in the air of a standard, from what it gave in the
// air of the day. It corrects full power only: under part load the throttle
// or the governor makes up for the air.
//
// The standards agree on the ratio k of the power in the cylinder and differ
// in their reference air and in the friction that they allow for. So a
// corrected power without its standard says nothing. SAE J1349 fixes the
// mechanical efficiency at 85 %; only ISO 3046-1 takes it from the input, and
// the two exponents: 1 and 0.5 for gasoline, others in its table for gas and
// diesel engines. Without a humidity the pressure counts as that of dry air;
// ISO 3046-1 leaves humidity out on both sides then. SAE J607 is withdrawn, but
// old figures still rest on it.
//
// Formula: pₐ = p − φ · e, e = 611.21 Pa · exp((18.678 − t / 234.5) · t / (257.14 + t)), t = T / K − 273.15
// Formula: k = (pₐ / pᵣ)^m · (Tᵣ / T)^n; SAE J1349, ISO 1585, SAE J607: m = 1, n = 0.5
// Formula: SAE J1349: C = 1.18 / k − 0.18, pᵣ = 99 kPa, Tᵣ = 25 °C
// Formula: ISO 1585: C = k^−1.2, pᵣ = 99 kPa, Tᵣ = 298 K
// Formula: ISO 3046-1: C = 1 / (k − 0.7 · (1 − k) · (1 / ηₘ − 1)), pᵣ = 100 kPa, φᵣ = 30 %, Tᵣ = 298 K
// Formula: SAE J607: C = 1 / k, pᵣ = 29.92 inHg, Tᵣ = 60 °F
// Formula: P₀ = C · P
// Formula: α = 1 / C
// Source: SAE J1349 (JUN90), spark ignition
// Source: ISO 1585:1992, spark ignition, from memory
// Source: ISO 3046-1:2002, power adjustment, m = 1 and n = 0.5 for gasoline, from memory
// Source: SAE J607, small engines
// Source: Range of C from 0.93 to 1.07 of SAE J1349 and ISO 1585, from memory
// Source: A. L. Buck, J. Appl. Meteorol. 20 (1981) 1527, vapour pressure, coefficients of 1996
// Example: power = 3 kW, pressure = 95 kPa, temperature = 30 °C gives dry-pressure = 95.00 kPa, factor = 1.060, corrected-power = 3.18 kW, adjustment = 0.9434, validity = within
// Example: standard = iso-3046, pressure = 85 kPa, temperature = 298 K, mechanical-efficiency = 85 % gives ratio = 0.8500, factor = 1.203, adjustment = 0.8315, validity = none
func PowerCorrection(in PowerCorrectionInputs) PowerCorrectionResults {
	dry := in.Pressure
	humid := !elementary.IsNaN(in.Humidity)
	if humid {
		dry -= float64(in.Humidity * saturationPressure(in.Temperature))
	}
	pressure, temperature := 99e3, roomTemperature
	m, n := 1.0, 0.5
	switch in.Standard {
	case SAEJ1349:
		temperature = 298.15
	case ISO3046:
		pressure = 100e3
		m, n = in.PressureExponent, in.TemperatureExponent
		if humid {
			pressure -= float64(0.3 * saturationPressure(roomTemperature))
		}
	case SAEJ607:
		pressure, temperature = 29.92*0.0254*13595.1*standardGravity, (60+459.67)/1.8
	}
	ratio := elementary.Pow(dry/pressure, m) * elementary.Pow(temperature/in.Temperature, n)
	var factor float64
	switch in.Standard {
	case SAEJ1349:
		factor = 1.18/ratio - 0.18
	case ISO1585:
		factor = elementary.Pow(ratio, -1.2)
	case ISO3046:
		factor = 1 / (ratio - float64(0.7*(1-ratio)*(1/in.MechanicalEfficiency-1)))
	case SAEJ607:
		factor = 1 / ratio
	}
	if !(factor > 0) {
		factor = elementary.NaN() // the air is too thin for the engine to turn itself
	}
	validity := NoRange
	if in.Standard == SAEJ1349 || in.Standard == ISO1585 {
		validity = BeyondRange
		if correctionLeast <= factor && factor <= correctionMost {
			validity = WithinRange
		}
	}
	return PowerCorrectionResults{
		DryPressure:    dry,
		Ratio:          ratio,
		Factor:         factor,
		CorrectedPower: factor * in.Power,
		Adjustment:     1 / factor,
		Validity:       validity,
	}
}
