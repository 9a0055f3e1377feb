package calc

import "benchleaf/calc/elementary"

// Opening says whether the heated coil reaches its opening temperature.
type Opening int

const (
	Opens Opening = iota
	AlreadyOpen
	NeverOpens
)

// TimeToOpenInputs is the heater, the coil that it warms and where it stands.
type TimeToOpenInputs struct {
	Voltage           float64 `name:"voltage" symbol:"U" unit:"V" min:"0" max:"60" start:"12.6" metered:"true"`
	Resistance        float64 `name:"resistance" symbol:"R" unit:"Ω" min:"0.1" max:"1000" start:"10" metered:"true"`
	Ambient           float64 `name:"ambient" symbol:"Tₐ" unit:"°C" min:"-50" max:"150" start:"20"`
	Start             float64 `name:"start" symbol:"T₀" unit:"°C" min:"-50" max:"400" start:"20" follows:"ambient"`
	OpenAt            float64 `name:"open-at" symbol:"T₁" unit:"°C" min:"-50" max:"400" start:"60"`
	ThermalResistance float64 `name:"thermal-resistance" symbol:"Rₜ" unit:"K/W" min:"0.1" max:"1000" start:"5.6"`
	TimeConstant      float64 `name:"time-constant" symbol:"τ" unit:"s" min:"1" max:"10000" start:"200"`
	ShutAt            float64 `name:"shut-at" symbol:"T₂" unit:"°C" min:"-50" max:"400" start:"26"`
	Elapsed           float64 `name:"elapsed" symbol:"tₑ" unit:"s" min:"0" max:"3600" start:"60"`
}

// TimeToOpenResults is when the plate is fully open, and what it needs for it.
type TimeToOpenResults struct {
	Time             float64 `name:"time" symbol:"t" unit:"s" digits:"3"`
	FinalTemperature float64 `name:"final-temperature" symbol:"T∞" unit:"°C" digits:"3"`
	LeastVoltage     float64 `name:"least-voltage" symbol:"Uₘᵢₙ" unit:"V" digits:"3"`
	Temperature      float64 `name:"temperature" symbol:"T" unit:"°C" digits:"3"`
	Opening          float64 `name:"opening" symbol:"x" unit:"%" digits:"3"`
	Outcome          Opening `name:"outcome" options:"opens,already-open,never-opens"`
}

// TimeToOpen computes how long an electrically heated coil takes from its
// start temperature to the temperature at which the choke plate is fully open.
// The coil warms as a body with one time constant towards the temperature at
// which it loses as much heat as the heater gives.
//
// A coil that starts at or above the opening temperature is open at once. One
// whose final temperature is not above it never opens: the time has no value
// then. At the least voltage the coil only just approaches the opening
// temperature; where the ambient alone is that warm the least voltage is zero.
// The heater's resistance is taken as fixed: a PTC heater follows another law.
// The plate turns with the coil: shut up to one temperature, fully open from
// another, in proportion between. A pull-off, which opens it by some degrees as
// soon as the engine fires, is not counted.
//
// Cooling down after stopping is another case, with surroundings and a time
// constant of its own.
//
// Formula: T∞ = Tₐ + U² / R · Rₜ
// Formula: t = τ · ln((T∞ − T₀) / (T∞ − T₁))
// Formula: T = T∞ + (T₀ − T∞) · exp(−tₑ / τ)
// Formula: x = (T − T₂) / (T₁ − T₂), 0 ≤ x ≤ 100 %
// Formula: Uₘᵢₙ = √((T₁ − Tₐ) · R / Rₜ)
// Source: Joule's law, P = U² / R
// Source: Plate in proportion to the temperature: common practice, no source
// Source: Newton's law of cooling; step response of a first-order system, 63.2 % after one time constant
// Example: voltage = 12 V, resistance = 14.4 Ω, ambient = 20 °C, open-at = 60 °C, thermal-resistance = 10 K/W, time-constant = 100 s, shut-at = 20 °C, elapsed = 30 s gives time = 51.1 s, final-temperature = 120 °C, temperature = 45.9 °C, opening = 64.8 %, least-voltage = 7.59 V, outcome = opens
func TimeToOpen(in TimeToOpenInputs) TimeToOpenResults {
	power := in.Voltage * in.Voltage / in.Resistance
	final := in.Ambient + float64(power*in.ThermalResistance)
	out := TimeToOpenResults{
		Time:             elementary.NaN(),
		FinalTemperature: final,
		Outcome:          NeverOpens,
	}
	if in.OpenAt > in.Ambient {
		out.LeastVoltage = elementary.Sqrt((in.OpenAt - in.Ambient) * in.Resistance / in.ThermalResistance)
	}
	out.Temperature = final + float64((in.Start-final)*elementary.Exp(-in.Elapsed/in.TimeConstant))
	if out.Temperature >= in.OpenAt {
		out.Opening = 1
	} else if out.Temperature > in.ShutAt {
		out.Opening = (out.Temperature - in.ShutAt) / (in.OpenAt - in.ShutAt)
	}
	if in.Start >= in.OpenAt {
		out.Time = 0
		out.Outcome = AlreadyOpen
	} else if final > in.OpenAt {
		out.Time = in.TimeConstant * elementary.Log((final-in.Start)/(final-in.OpenAt))
		out.Outcome = Opens
	}
	return out
}
