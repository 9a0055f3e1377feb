package calc

import "benchleaf/calc/elementary"

// Strokes is how many strokes make a cycle.
type Strokes int

const (
	TwoStroke Strokes = iota
	FourStroke
)

// EngineSpeedInputs is a reading of pulses and where they come from. Frequency
// counts before Period and Pulses before the cylinders; either of each may be
// missing (NaN).
type EngineSpeedInputs struct {
	Frequency float64 `name:"frequency" symbol:"f" unit:"Hz" min:"0" max:"20000" start:"60" optional:"true" metered:"true"`
	Period    float64 `name:"period" symbol:"T" unit:"ms" min:"0.05" max:"10000" optional:"true" metered:"true"`
	Pulses    float64 `name:"pulses" symbol:"z" unit:"" min:"0.5" max:"400" start:"1" optional:"true"`
	Cylinders float64 `name:"cylinders" symbol:"c" unit:"" min:"1" max:"16" start:"1"`
	Strokes   Strokes `name:"strokes" symbol:"s" options:"2,4" start:"2"`
}

// EngineSpeedResults is the speed, what was counted for it, and how often the
// engine fires at it.
type EngineSpeedResults struct {
	Speed   float64 `name:"speed" symbol:"N" unit:"rpm" digits:"4"`
	Counted float64 `name:"counted" symbol:"z" unit:"" digits:"3"`
	Firing  float64 `name:"firing-frequency" symbol:"fₑ" unit:"Hz" digits:"4"`
}

// EngineSpeed computes the speed of an engine from the frequency or the period
// of pulses: of the ignition, of a flywheel's teeth before a pickup, of marks
// under a stroboscope. It needs the number of pulses in one revolution.
//
// A flywheel magneto on a single cylinder gives one pulse each revolution, on
// four-stroke engines too: it sparks on the exhaust stroke as well. Two leads
// or a kill wire that two coils share may give two, a trigger on the camshaft
// gives one in two revolutions (0.5). Where the pulses are left empty they are
// taken to be the firings, evenly spread: half the cylinders each revolution
// with four strokes, all of them with two. The firing frequency is what exhaust
// note and vibration follow, whatever the pickup counts.
//
// Formula: N = f / z, f = 1 / T
// Formula: z = 2 · c / s, unless the pulses are given
// Formula: fₑ = N · 2 · c / s, s ∈ {2, 4}
// Source: Definition of speed of rotation, one revolution gives z pulses
// Source: Pulses of magnetos and camshaft triggers: common practice, no source
// Example: frequency = 60 Hz, pulses = 1, cylinders = 1, strokes = 4 gives speed = 3600 rpm, counted = 1.00, firing-frequency = 30.00 Hz
// Example: frequency = 1380 Hz, pulses = 46, cylinders = 2, strokes = 4 gives speed = 1800 rpm, firing-frequency = 30.00 Hz
func EngineSpeed(in EngineSpeedInputs) EngineSpeedResults {
	firings := in.Cylinders
	if in.Strokes == FourStroke {
		firings /= 2
	}
	counted := in.Pulses
	if elementary.IsNaN(counted) {
		counted = firings
	}
	frequency := in.Frequency
	if elementary.IsNaN(frequency) {
		frequency = 1 / in.Period
	}
	speed := frequency / counted
	return EngineSpeedResults{Speed: speed, Counted: counted, Firing: speed * firings}
}
