package calc

import "benchleaf/calc/elementary"

// WrenchSetting is how the setting of a wrench stands to the torque wanted.
type WrenchSetting int

const (
	SetLower WrenchSetting = iota
	SetSame
	SetHigher
	NoSetting // the extension folds back to the grip or beyond
)

// TorqueInputs is the torque wanted, the wrench and what is put on its square.
type TorqueInputs struct {
	Torque    float64 `name:"torque" symbol:"T" unit:"N·m" min:"0" max:"1000" start:"20"`
	Wrench    float64 `name:"wrench" symbol:"L" unit:"mm" min:"50" max:"2000" start:"300"`
	Extension float64 `name:"extension" symbol:"E" unit:"mm" min:"0" max:"1000" start:"50"`
	Angle     float64 `name:"angle" symbol:"θ" unit:"deg" min:"0" max:"180" start:"0"`
}

// TorqueResults is what to set, what to pull, and what comes of setting the
// torque wanted as if there were no extension.
type TorqueResults struct {
	Setting     float64       `name:"setting" symbol:"Tₛ" unit:"N·m" digits:"3"`
	Force       float64       `name:"force" symbol:"F" unit:"N" digits:"3"`
	Uncorrected float64       `name:"uncorrected" symbol:"Tᵤ" unit:"N·m" digits:"3"`
	Advice      WrenchSetting `name:"advice" options:"lower,same,higher,none"`
}

// sameSetting is a difference, in proportion, that no wrench can be set to.
const sameSetting = 1e-6

// Torque computes the setting of a torque wrench with an extension that
// offsets the bolt from the square, such as a crowfoot. An extension between
// square and socket that only makes it longer changes nothing. The length of
// the wrench is from the square to the middle of the grip, where the hand must
// pull, at right angles; that of the extension is from the square to the bolt.
// The angle is 0 where the extension carries the wrench on, 90° across it and
// 180° folded back.
//
// At a right angle the setting stays as it is. What is not corrected ends on
// the bolt. Values are those of clean threads, dry or oiled as the
// specification says.
//
// Formula: Tₛ = T · L / (L + E · cos θ)
// Formula: F = Tₛ / L
// Formula: Tᵤ = T · (L + E · cos θ) / L
// Source: US Army TM 9-254, torque wrench with straight and angled extension
// Source: Moments of one force about the square and about the bolt
// Example: torque = 70 lbf·in, wrench = 12 in, extension = 2 in gives setting = 60.0 lbf·in, force = 5.00 lbf, uncorrected = 81.7 lbf·in, advice = lower
// Example: torque = 20 N·m, angle = 90 deg gives setting = 20.0 N·m, force = 66.7 N, uncorrected = 20.0 N·m, advice = same
// Example: torque = 24 N·m, extension = 100 mm, angle = 120 deg gives setting = 28.8 N·m, force = 96.0 N, uncorrected = 20.0 N·m, advice = higher
func Torque(in TorqueInputs) TorqueResults {
	arm := in.Wrench + float64(in.Extension*elementary.Cos(in.Angle))
	if arm <= 0 {
		nan := elementary.NaN()
		return TorqueResults{nan, nan, nan, NoSetting}
	}
	out := TorqueResults{
		Setting:     in.Torque * in.Wrench / arm,
		Force:       in.Torque / arm,
		Uncorrected: in.Torque * arm / in.Wrench,
		Advice:      SetSame,
	}
	if out.Setting < in.Torque*(1-sameSetting) {
		out.Advice = SetLower
	} else if out.Setting > in.Torque*(1+sameSetting) {
		out.Advice = SetHigher
	}
	return out
}
