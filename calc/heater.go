package calc

import "benchleaf/calc/elementary"

// HeaterType is whether a heater's resistance follows from its temperature by
// a straight line or leaps at one temperature.
type HeaterType int

const (
	FixedHeater HeaterType = iota // resistance wire
	PTCHeater                     // ceramic with a positive temperature coefficient
)

// HeaterInputs is a heater as its resistance was had cold, and what it is
// asked about. Measured, its resistance while hot, may be missing (NaN).
type HeaterInputs struct {
	Type            HeaterType `name:"type" options:"fixed,ptc" start:"fixed"`
	ColdResistance  float64    `name:"cold-resistance" symbol:"R₀" unit:"Ω" min:"0.01" max:"10000" start:"10" metered:"true"`
	ColdTemperature float64    `name:"cold-temperature" symbol:"T₀" unit:"°C" min:"-50" max:"100" start:"20"`
	Coefficient     float64    `name:"coefficient" symbol:"α" unit:"1/K" min:"0" max:"0.01" start:"0.00017"`
	HotTemperature  float64    `name:"hot-temperature" symbol:"T" unit:"°C" min:"-50" max:"1000" start:"120"`
	Supply          float64    `name:"supply" symbol:"U" unit:"V" min:"0" max:"250" start:"12" metered:"true"`
	Measured        float64    `name:"measured" symbol:"Rₘ" unit:"Ω" min:"0.01" max:"10000" optional:"true" metered:"true"`
}

// HeaterResults is the heater at its hot temperature, and the mean temperature
// that a measured resistance tells of.
type HeaterResults struct {
	HotResistance   float64    `name:"hot-resistance" symbol:"R" unit:"Ω" digits:"4"`
	Current         float64    `name:"current" symbol:"I" unit:"A" digits:"3"`
	Power           float64    `name:"power" symbol:"P" unit:"W" digits:"3"`
	MeanTemperature float64    `name:"mean-temperature" symbol:"Tₘ" unit:"°C" digits:"3"`
	Outcome         HeaterType `name:"outcome" options:"fixed,ptc"`
}

// Heater computes the resistance of a heater of resistance wire at its working
// temperature, and the current and power there; and the other way round, the
// mean temperature of a winding from its measured hot resistance. The
// coefficient is the one at 20 °C, as tables give it; the cold resistance may
// be measured at any temperature.
//
// A PTC heater is another thing: its resistance leaps at one temperature, it
// draws a surge and then little, and neither U²/R nor an ohms check says whether
// it is good. For one no value is given, and none condemns it. With a
// coefficient of zero the resistance tells nothing of the temperature.
//
// Formula: R = R₀ · (1 + α · (T − 20 °C)) / (1 + α · (T₀ − 20 °C))
// Formula: I = U / R
// Formula: P = U² / R
// Formula: Tₘ = 20 °C + (Rₘ / R₀ · (1 + α · (T₀ − 20 °C)) − 1) / α
// Source: IEC 60287-1-1: resistance linear in temperature, coefficient at 20 °C
// Source: Ohm's law; Joule's law
// Source: IEC 60034-1: mean temperature by resistance
// Source: That an ohms check does not condemn a PTC heater: common practice, no source
// Example: cold-resistance = 9.0 Ω, coefficient = 0 1/K, hot-temperature = 120 °C, supply = 12 V gives hot-resistance = 9.000 Ω, current = 1.33 A, power = 16.0 W, outcome = fixed
// Example: cold-resistance = 10 Ω, cold-temperature = 20 °C, coefficient = 0.004 1/K, hot-temperature = 145 °C, supply = 12 V, measured = 12 Ω gives hot-resistance = 15.00 Ω, current = 0.800 A, power = 9.60 W, mean-temperature = 70.0 °C
func Heater(in HeaterInputs) HeaterResults {
	out := HeaterResults{elementary.NaN(), elementary.NaN(), elementary.NaN(), elementary.NaN(), in.Type}
	if in.Type == PTCHeater {
		return out
	}
	cold := 1 + float64(in.Coefficient*(in.ColdTemperature-tableTemperature))
	hot := 1 + float64(in.Coefficient*(in.HotTemperature-tableTemperature))
	out.HotResistance = in.ColdResistance * hot / cold
	out.Current = in.Supply / out.HotResistance
	out.Power = in.Supply * out.Current
	if in.Coefficient > 0 {
		out.MeanTemperature = tableTemperature + (in.Measured/in.ColdResistance*cold-1)/in.Coefficient
	}
	return out
}
