package calc

import "benchleaf/calc/elementary"

// GeneratorFrequencyInputs is a generator's rotor, its speed, and the frequency
// that it should give.
type GeneratorFrequencyInputs struct {
	Speed  float64 `name:"speed" symbol:"N" unit:"rpm" min:"0" max:"20000" start:"3720" metered:"true"`
	Poles  float64 `name:"poles" symbol:"p" unit:"" min:"2" max:"60" start:"2"`
	Wanted float64 `name:"wanted-frequency" symbol:"f₀" unit:"Hz" min:"1" max:"1000" start:"60"`
}

// GeneratorFrequencyResults is the frequency at that speed and the speed for
// the frequency wanted.
type GeneratorFrequencyResults struct {
	Frequency   float64 `name:"frequency" symbol:"f" unit:"Hz" digits:"4"`
	WantedSpeed float64 `name:"wanted-speed" symbol:"N₀" unit:"rpm" digits:"4"`
	Deviation   float64 `name:"deviation" symbol:"Δf" unit:"%" digits:"3"`
}

// GeneratorFrequency computes the frequency that a synchronous generator gives
// at a speed, and the speed at which it gives the frequency wanted. Poles come
// in pairs: an odd number, or one with a fraction, has no frequency.
//
// Set the frequency before the voltage, since the voltage follows the speed.
// Without load a governor runs faster than with it: the frequency without load
// stands above the rated one by the droop. An inverter set makes its frequency
// itself, and its engine's speed says nothing of it.
//
// Formula: f / Hz = p · (N / rpm) / 120
// Formula: N₀ = 120 · f₀ / p
// Formula: Δf = (f − f₀) / f₀
// Source: NEETS (US Navy) Module 5, p. 3-14: F = N · P / 120
// Example: speed = 3720 rpm, poles = 2, wanted-frequency = 60 Hz gives frequency = 62.00 Hz, wanted-speed = 3600 rpm, deviation = 3.33 %
// Example: speed = 1761 rpm, poles = 4, wanted-frequency = 60 Hz gives frequency = 58.70 Hz, wanted-speed = 1800 rpm, deviation = -2.17 %
func GeneratorFrequency(in GeneratorFrequencyInputs) GeneratorFrequencyResults {
	pairs := in.Poles / 2
	if pairs != elementary.Floor(pairs) {
		pairs = elementary.NaN()
	}
	frequency := pairs * in.Speed
	return GeneratorFrequencyResults{
		Frequency:   frequency,
		WantedSpeed: in.Wanted / pairs,
		Deviation:   (frequency - in.Wanted) / in.Wanted,
	}
}
