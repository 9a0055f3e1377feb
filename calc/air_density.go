package calc

import "benchleaf/calc/elementary"

// AltitudeScale is how an altitude counts: by the tape, or by the work against
// gravity, in which the tables of the atmosphere are drawn up.
type AltitudeScale int

const (
	Geometric AltitudeScale = iota
	Geopotential
)

// AirDensityInputs is the air as measured and the altitude of the place. A
// pressure or temperature that was not measured (NaN) is that of the standard
// atmosphere at the altitude.
type AirDensityInputs struct {
	Pressure    float64       `name:"pressure" symbol:"p" unit:"kPa" min:"20" max:"120" optional:"true" metered:"true"`
	Temperature float64       `name:"temperature" symbol:"T" unit:"°C" min:"-60" max:"60" optional:"true" metered:"true"`
	Humidity    float64       `name:"humidity" symbol:"φ" unit:"%" min:"0" max:"100" start:"0" metered:"true"`
	Altitude    float64       `name:"altitude" symbol:"z" unit:"m" min:"-5000" max:"11000" start:"1500"`
	Scale       AltitudeScale `name:"scale" options:"geometric,geopotential" start:"geometric"`
}

// AirDensityResults is the density, and the standard atmosphere beside it.
type AirDensityResults struct {
	StandardPressure    float64 `name:"standard-pressure" symbol:"pₛ" unit:"kPa" digits:"5"`
	StandardTemperature float64 `name:"standard-temperature" symbol:"Tₛ" unit:"°C" digits:"3"`
	Density             float64 `name:"density" symbol:"ρ" unit:"kg/m³" digits:"4"`
	Relative            float64 `name:"relative" symbol:"σ" unit:"%" digits:"4"`
	DensityAltitude     float64 `name:"density-altitude" symbol:"Hρ" unit:"m" digits:"4"`
}

const (
	earthRadius   = 6356766.0 // m, of ISO 2533
	vapourDeficit = 0.378     // 1 less the ratio of the molar masses of water and air, 0.622
	tropopause    = 11000.0   // m, geopotential
)

// AirDensity computes the density of the air that an engine breathes, and the
// altitude at which the standard atmosphere is as thin. A carburetted engine
// loses power in step with the density, and its mixture turns rich about half
// as fast.
//
// The pressure is the one that a barometer shows on the spot. A weather
// report's is reduced to sea level: leave the pressure empty then, and give
// the altitude. Moist air is lighter than dry air. The standard atmosphere is
// that of the troposphere, up to 11 km; beyond it the density altitude has no
// value.
//
// Formula: H = z · r / (r + z), r = 6356.766 km; H = z where z is geopotential
// Formula: Tₛ = T₀ − 6.5 K/km · H, T₀ = 288.15 K
// Formula: pₛ = p₀ · (Tₛ / T₀)^5.25588, p₀ = 101.325 kPa
// Formula: e = φ · 611.21 Pa · exp((18.678 − t / 234.5) · t / (257.14 + t)), t = T / K − 273.15
// Formula: ρ = (p − 0.378 · e) / (287.053 J/(kg·K) · T)
// Formula: σ = ρ / ρ₀, ρ₀ = 1.225 kg/m³
// Formula: Hρ = 44.331 km · (1 − σ^0.234969)
// Source: ISO 2533:1975, Standard Atmosphere
// Source: A. L. Buck, J. Appl. Meteorol. 20 (1981) 1527, vapour pressure, coefficients of 1996
// Source: Power and mixture against density: common practice, no source
// Source: Ideal gases; molar masses of water and air 18.015 and 28.964 g/mol
// Example: altitude = 1500 m, scale = geopotential gives standard-pressure = 84.556 kPa, standard-temperature = 5.25 °C, density = 1.058 kg/m³, relative = 86.37 %, density-altitude = 1500 m
// Example: pressure = 84.56 kPa, temperature = 30 °C, humidity = 60 % gives density = 0.9607 kg/m³, relative = 78.42 %, density-altitude = 2461 m
func AirDensity(in AirDensityInputs) AirDensityResults {
	height := in.Altitude
	if in.Scale == Geometric {
		height = earthRadius * in.Altitude / (earthRadius + in.Altitude)
	}
	standard := standardTemperature - float64(lapseRate*height)
	out := AirDensityResults{
		StandardTemperature: standard,
		StandardPressure:    standardPressure * elementary.Pow(standard/standardTemperature, pressureExponent),
		DensityAltitude:     elementary.NaN(),
	}
	pressure, temperature := in.Pressure, in.Temperature
	if elementary.IsNaN(pressure) {
		pressure = out.StandardPressure
	}
	if elementary.IsNaN(temperature) {
		temperature = out.StandardTemperature
	}
	vapour := in.Humidity * saturationPressure(temperature)
	out.Density = (pressure - float64(vapourDeficit*vapour)) / (airConstant * temperature)
	out.Relative = out.Density / standardDensity
	altitude := standardTemperature / lapseRate * (1 - elementary.Pow(out.Relative, 1/(pressureExponent-1)))
	if altitude <= tropopause {
		out.DensityAltitude = altitude
	}
	return out
}
