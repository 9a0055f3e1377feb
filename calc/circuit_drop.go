package calc

import "benchleaf/calc/elementary"

// Joint is a stretch of the circuit with its joints, as the readings part it.
type Joint int

const (
	NoJoint Joint = iota // nothing read, or no drop at all
	FeedFirst
	FeedSecond
	FeedThird
	GroundFirst
	GroundSecond
	Elsewhere // where no reading was taken
	NoCurrent // without it there is no drop to read
	Swapped   // the readings cannot all be of one circuit
)

// CircuitDropInputs is the readings of a drop test under load. The drops and
// the voltage at the load may be missing (NaN), whichever were not read.
type CircuitDropInputs struct {
	Source       float64 `name:"source" symbol:"U₀" unit:"V" min:"0" max:"60" start:"12.4" metered:"true"`
	FeedFirst    float64 `name:"feed-first" symbol:"U₁" unit:"V" min:"0" max:"60" start:"0.1" optional:"true" metered:"true"`
	FeedSecond   float64 `name:"feed-second" symbol:"U₂" unit:"V" min:"0" max:"60" optional:"true" metered:"true"`
	FeedThird    float64 `name:"feed-third" symbol:"U₃" unit:"V" min:"0" max:"60" optional:"true" metered:"true"`
	GroundFirst  float64 `name:"ground-first" symbol:"U₄" unit:"V" min:"0" max:"60" start:"0.3" optional:"true" metered:"true"`
	GroundSecond float64 `name:"ground-second" symbol:"U₅" unit:"V" min:"0" max:"60" optional:"true" metered:"true"`
	Load         float64 `name:"load" symbol:"U₆" unit:"V" min:"0" max:"60" optional:"true" metered:"true"`
	Current      float64 `name:"current" symbol:"I" unit:"A" min:"0" max:"1000" start:"1.5" metered:"true"`
}

// CircuitDropResults is where the voltage is lost, and the resistance there.
type CircuitDropResults struct {
	FeedDrop         float64 `name:"feed-drop" symbol:"ΔU₁" unit:"V" digits:"3"`
	GroundDrop       float64 `name:"ground-drop" symbol:"ΔU₂" unit:"V" digits:"3"`
	LoadVoltage      float64 `name:"load-voltage" symbol:"U" unit:"V" digits:"4"`
	Rest             float64 `name:"rest" symbol:"ΔU₃" unit:"V" digits:"3"`
	FeedFirstOhms    float64 `name:"feed-first-resistance" symbol:"R₁" unit:"mΩ" digits:"3"`
	FeedSecondOhms   float64 `name:"feed-second-resistance" symbol:"R₂" unit:"mΩ" digits:"3"`
	FeedThirdOhms    float64 `name:"feed-third-resistance" symbol:"R₃" unit:"mΩ" digits:"3"`
	GroundFirstOhms  float64 `name:"ground-first-resistance" symbol:"R₄" unit:"mΩ" digits:"3"`
	GroundSecondOhms float64 `name:"ground-second-resistance" symbol:"R₅" unit:"mΩ" digits:"3"`
	RestOhms         float64 `name:"rest-resistance" symbol:"R₆" unit:"mΩ" digits:"3"`
	Worst            Joint   `name:"worst" options:"none,feed-first,feed-second,feed-third,ground-first,ground-second,elsewhere,no-current,swapped"`
}

// sumRead adds two readings of which either may be missing.
func sumRead(a, b float64) float64 {
	if elementary.IsNaN(a) {
		return b
	}
	if elementary.IsNaN(b) {
		return a
	}
	return a + b
}

// beyondSource is how far, in V, the voltages read may add up to more than the
// source before the readings are taken to be swapped; meters alone part two
// readings of a 12 V circuit by less: common practice, no source.
const beyondSource = 0.05

// CircuitDrop computes from a drop test under load where the voltage is lost:
// along the feed, along the ground, and at which joint most of all. All
// readings belong to one current; the drops of the feed are read from the
// battery's positive post on, those of the ground back to its negative post,
// each from one joint to the next.
//
// The voltage at the load is the one read across it; where none was, it is what
// the drops leave of the source, once at least one stretch of the feed and one
// of the ground were read. A stretch that was not read counts as nothing then.
// Where the voltage across the load was read, the rest is what none of the
// drops has found; a rest greater than each of them means that the worst joint
// has not been read yet. A rest further below zero than 0.05 V means readings
// that do not belong together. Without current there is no drop and no
// resistance has a value: a good reading then proves nothing.
//
// Formula: ΔU₁ = U₁ + U₂ + U₃
// Formula: ΔU₂ = U₄ + U₅
// Formula: U = U₆, or U₀ − (ΔU₁ + ΔU₂) where U₆ was not read
// Formula: ΔU₃ = U₀ − U₆ − ΔU₁ − ΔU₂
// Formula: Rᵢ = Uᵢ / I, i = 1, 2, 3, 4, 5; R₆ = ΔU₃ / I
// Source: Kirchhoff's voltage law; Ohm's law
// Source: 0.05 V as what meters may differ by: common practice, no source
// Source: Back-probing the mated connector under load, never piercing a wire: common practice, no source
// Example: source = 12.40 V, feed-first = 0.45 V, ground-first = 0.20 V, ground-second = 0.05 V, current = 2.5 A gives feed-drop = 0.450 V, ground-drop = 0.250 V, load-voltage = 11.70 V, feed-first-resistance = 180 mΩ, ground-first-resistance = 80.0 mΩ, ground-second-resistance = 20.0 mΩ, worst = feed-first
// Example: source = 12.40 V, feed-first = 0.10 V, ground-first = 0.05 V, load = 11.25 V, current = 2 A gives load-voltage = 11.25 V, rest = 1.00 V, rest-resistance = 500 mΩ, worst = elsewhere
func CircuitDrop(in CircuitDropInputs) CircuitDropResults {
	feed := sumRead(sumRead(in.FeedFirst, in.FeedSecond), in.FeedThird)
	ground := sumRead(in.GroundFirst, in.GroundSecond)
	rest := in.Source - in.Load - sumRead(0, sumRead(feed, ground))
	load := in.Load
	if elementary.IsNaN(load) {
		load = elementary.Max(0, in.Source-(feed+ground))
	}

	worst, most := NoJoint, 0.0
	if in.FeedFirst > most {
		worst, most = FeedFirst, in.FeedFirst
	}
	if in.FeedSecond > most {
		worst, most = FeedSecond, in.FeedSecond
	}
	if in.FeedThird > most {
		worst, most = FeedThird, in.FeedThird
	}
	if in.GroundFirst > most {
		worst, most = GroundFirst, in.GroundFirst
	}
	if in.GroundSecond > most {
		worst, most = GroundSecond, in.GroundSecond
	}
	if rest > most {
		worst = Elsewhere
	}
	if rest < -beyondSource {
		worst = Swapped
	}
	current := in.Current
	if !(current > 0) {
		worst, current = NoCurrent, elementary.NaN()
	}
	return CircuitDropResults{
		FeedDrop:         feed,
		GroundDrop:       ground,
		LoadVoltage:      load,
		Rest:             rest,
		FeedFirstOhms:    in.FeedFirst / current,
		FeedSecondOhms:   in.FeedSecond / current,
		FeedThirdOhms:    in.FeedThird / current,
		GroundFirstOhms:  in.GroundFirst / current,
		GroundSecondOhms: in.GroundSecond / current,
		RestOhms:         rest / current,
		Worst:            worst,
	}
}
