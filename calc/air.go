package calc

import "benchleaf/calc/elementary"

// The standard atmosphere at sea level, and what it is made of.
// Source: ISO 2533:1975.
const (
	standardPressure    = 101325.0  // Pa
	standardTemperature = 288.15    // K
	standardGravity     = 9.80665   // m/s²
	lapseRate           = 0.0065    // K/m, up to 11 km
	airConstant         = 287.05287 // J/(kg·K), dry air
	standardDensity     = standardPressure / (airConstant * standardTemperature)
	pressureExponent    = standardGravity / (airConstant * lapseRate) // 5.25588
)

// saturationPressure is the pressure of water vapour above water, in Pa, at a
// temperature in K, from -40 °C to 60 °C.
// Source: A. L. Buck, J. Appl. Meteorol. 20 (1981) 1527, coefficients of 1996.
func saturationPressure(temperature float64) float64 {
	celsius := temperature - 273.15
	return 611.21 * elementary.Exp((18.678-celsius/234.5)*celsius/(257.14+celsius))
}
