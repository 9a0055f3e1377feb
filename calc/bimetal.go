package calc

import "benchleaf/calc/elementary"

// Bend is how a bimetal is held, and so what its curvature moves.
type Bend int

const (
	Cantilever Bend = iota // a strip held at one end
	SimpleBeam             // a strip that rests on both ends
	Spiral                 // a coil held at one end, free to turn
)

// BimetalInputs is a bimetal and its change of temperature. Flexivity counts
// before the layers; where it is missing (NaN) the layers give it.
type BimetalInputs struct {
	Shape          Bend    `name:"shape" options:"cantilever,simple-beam,spiral" start:"spiral"`
	Length         float64 `name:"length" symbol:"L" unit:"mm" min:"1" max:"10000" start:"300"`
	Thickness      float64 `name:"thickness" symbol:"h" unit:"mm" min:"0.05" max:"100" start:"0.5"`
	Change         float64 `name:"change" symbol:"ΔT" unit:"ΔK" min:"-500" max:"500" start:"40"`
	Flexivity      float64 `name:"flexivity" symbol:"F" unit:"1/K" min:"0" max:"0.0001" optional:"true"`
	Expansion      float64 `name:"expansion-difference" symbol:"Δα" unit:"1/K" min:"0" max:"0.0001" start:"0.000018"`
	ThicknessRatio float64 `name:"thickness-ratio" symbol:"m" unit:"" min:"0.05" max:"20" start:"1"`
	StiffnessRatio float64 `name:"stiffness-ratio" symbol:"n" unit:"" min:"0.05" max:"20" start:"1"`
}

// BimetalResults is how it bends, and how far its free part moves.
type BimetalResults struct {
	FlexivityUsed float64 `name:"flexivity-used" symbol:"F" unit:"1/K" digits:"3"`
	Curvature     float64 `name:"curvature" symbol:"κ" unit:"1/m" digits:"3"`
	Deflection    float64 `name:"deflection" symbol:"δ" unit:"mm" digits:"3"`
	Rotation      float64 `name:"rotation" symbol:"θ" unit:"deg" digits:"3"`
}

// Bimetal computes how far a bimetal moves with a change of temperature: the
// deflection of a strip, at its free end or halfway between its supports, and
// the angle by which one end turns against the other, which for a spiral is its
// rotation. It is free to move: what it pushes against takes a part of that.
//
// Flexivity is the change of curvature with one kelvin, at a thickness of one;
// data of the strip give it. Where it is not known the two layers do, by the
// ratios of their thickness and of their stiffness (modulus of elasticity),
// both of the same layer over the other; the ratio of stiffness matters little.
// Flexivity itself changes with temperature: take the one for the range in
// which the strip works. Design tables reckon with 67° and 0.53 where the
// formula here, which the definition of flexivity gives, has 57.3° (one radian)
// and 0.5. The deflection is that of a strip that bends little: when its ends
// turn by 20° it is 1 % too large.
//
// Formula: F = 6 · (1 + m)² · Δα / (3 · (1 + m)² + (1 + m · n) · (m² + 1 / (m · n)))
// Formula: κ = F · ΔT / h
// Formula: δ = κ · L² / 2 cantilever, κ · L² / 8 simple beam
// Formula: θ = κ · L
// Source: Timoshenko, J. Opt. Soc. Am. 11 (1925) 233: curvature from the two layers
// Source: ASTM B106, par. 3.1.2: F = h · (1/R₂ − 1/R₁) / (T₂ − T₁)
// Example: shape = cantilever, length = 40 mm, thickness = 0.6 mm, change = 40 ΔK, flexivity = 3.87e-5 1/K gives curvature = 2.58 1/m, deflection = 2.064 mm, rotation = 5.913 deg
// Example: shape = spiral, length = 300 mm, thickness = 0.5 mm, change = 50 ΔK, flexivity = 2.7e-5 1/K gives curvature = 2.70 1/m, rotation = 46.4 deg
func Bimetal(in BimetalInputs) BimetalResults {
	flexivity := in.Flexivity
	if elementary.IsNaN(flexivity) {
		m, n := in.ThicknessRatio, in.StiffnessRatio
		both := (1 + m) * (1 + m)
		layers := (1 + float64(m*n)) * (float64(m*m) + 1/(m*n))
		flexivity = 6 * both * in.Expansion / (float64(3*both) + layers)
	}
	curvature := flexivity * in.Change / in.Thickness
	deflection := curvature * in.Length * in.Length / 2
	switch in.Shape {
	case SimpleBeam:
		deflection /= 4
	case Spiral:
		deflection = elementary.NaN()
	}
	return BimetalResults{
		FlexivityUsed: flexivity,
		Curvature:     curvature,
		Deflection:    deflection,
		Rotation:      curvature * in.Length,
	}
}
