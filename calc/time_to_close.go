package calc

import "benchleaf/calc/elementary"

// Closing says whether the cooling coil reaches its closing temperature.
type Closing int

const (
	Closes Closing = iota
	AlreadyClosed
	NeverCloses
)

// TimeToCloseInputs is how far the coil was warmed before the engine stopped,
// and where it cools. Run may be missing (NaN): the coil stops at full heat.
type TimeToCloseInputs struct {
	Hot             float64 `name:"hot" symbol:"T∞" unit:"°C" min:"-50" max:"1000" start:"109"`
	Run             float64 `name:"run" symbol:"t₁" unit:"s" min:"0" max:"100000" optional:"true"`
	Start           float64 `name:"start" symbol:"T₀" unit:"°C" min:"-50" max:"400" start:"20"`
	RunTimeConstant float64 `name:"run-time-constant" symbol:"τ₁" unit:"s" min:"1" max:"10000" start:"200"`
	Ambient         float64 `name:"ambient" symbol:"Tₐ" unit:"°C" min:"-50" max:"150" start:"20"`
	CloseAt         float64 `name:"close-at" symbol:"T₂" unit:"°C" min:"-50" max:"400" start:"25"`
	TimeConstant    float64 `name:"time-constant" symbol:"τ₂" unit:"s" min:"1" max:"10000" start:"200"`
}

// TimeToCloseResults is when the plate is closed again, and how warm the coil
// was when the engine stopped.
type TimeToCloseResults struct {
	Time            float64 `name:"time" symbol:"t" unit:"s" digits:"3"`
	StopTemperature float64 `name:"stop-temperature" symbol:"T₁" unit:"°C" digits:"3"`
	Outcome         Closing `name:"outcome" options:"closes,already-closed,never-closes"`
}

// TimeToClose computes how long a heated coil takes after stopping until the
// choke plate is closed again. It cools from the temperature that it had at the
// stop: full heat, or what a run of a given time has warmed it to.
//
// Cooling is another case than heating. The surroundings are those after the
// stop, when the engine's heat soaks through and the fan stands, and the time
// constant without the moving air is its own; the temperature at full heat is
// the final temperature of time-to-open. Surroundings at or above the closing
// temperature never let the choke close: the time has no value then. A coil
// that is below the closing temperature at the stop is closed already, though
// heat soak may open it later.
//
// Formula: T₁ = T∞ − (T∞ − T₀) · e^(−t₁ / τ₁); t₁ → ∞: T₁ = T∞
// Formula: t = τ₂ · ln((T₁ − Tₐ) / (T₂ − Tₐ))
// Source: Newton's law of cooling; step response of a first-order system, 63.2 % after one time constant
// Source: Surroundings and time constant of their own after stopping: common practice, no source
// Example: hot = 140 °C, ambient = 20 °C, close-at = 60 °C, time-constant = 90 s gives time = 98.9 s, stop-temperature = 140 °C, outcome = closes
// Example: hot = 100 °C, run = 119.6 s, start = 0 °C, run-time-constant = 200 s, ambient = 0 °C, close-at = 5 °C, time-constant = 200 s gives time = 439 s, stop-temperature = 45.0 °C, outcome = closes
func TimeToClose(in TimeToCloseInputs) TimeToCloseResults {
	stop := in.Hot
	if !elementary.IsNaN(in.Run) {
		stop -= float64((in.Hot - in.Start) * elementary.Exp(-in.Run/in.RunTimeConstant))
	}
	out := TimeToCloseResults{Time: elementary.NaN(), StopTemperature: stop, Outcome: NeverCloses}
	if stop <= in.CloseAt {
		out.Time = 0
		out.Outcome = AlreadyClosed
	} else if in.Ambient < in.CloseAt {
		out.Time = in.TimeConstant * elementary.Log((stop-in.Ambient)/(in.CloseAt-in.Ambient))
		out.Outcome = Closes
	}
	return out
}
