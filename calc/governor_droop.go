package calc

import "benchleaf/calc/elementary"

// GovernorDroopInputs is the two ends of a governor's line, and what it is
// asked about. Rated may be missing (NaN): the full-load speed is the rated one.
type GovernorDroopInputs struct {
	NoLoad   float64 `name:"no-load" symbol:"N₀" unit:"rpm" min:"1" max:"20000" start:"3780" metered:"true"`
	FullLoad float64 `name:"full-load" symbol:"N₁" unit:"rpm" min:"1" max:"20000" start:"3600" metered:"true"`
	Rated    float64 `name:"rated" symbol:"Nᵣ" unit:"rpm" min:"1" max:"20000" optional:"true"`
	Load     float64 `name:"load" symbol:"x" unit:"%" min:"0" max:"110" start:"50"`
	Wanted   float64 `name:"wanted-droop" symbol:"d" unit:"%" min:"0" max:"50" start:"5"`
}

// GovernorDroopResults is the droop on each basis in use, and speeds on the
// governor's line.
type GovernorDroopResults struct {
	OnFullLoad   float64 `name:"droop-full-load" symbol:"δ₁" unit:"%" digits:"4"`
	OnRated      float64 `name:"droop-rated" symbol:"δᵣ" unit:"%" digits:"4"`
	OnNoLoad     float64 `name:"droop-no-load" symbol:"δ₀" unit:"%" digits:"4"`
	LoadSpeed    float64 `name:"load-speed" symbol:"N" unit:"rpm" digits:"4"`
	WantedNoLoad float64 `name:"wanted-no-load" symbol:"Nₛ" unit:"rpm" digits:"4"`
}

// GovernorDroop computes how far a governor lets the speed fall from no load to
// full load, the speed at a share of the load, and the no-load speed to set for
// a wanted droop. One and the same governor has three figures, by the speed
// that the fall is related to: compare a figure only with one on the same
// basis.
//
// The full-load speed is the basis here where nothing else is said; at rated
// speed under full load it is the rated basis of generating sets as well. The
// same formulas hold for frequencies. Between the ends the line is taken as
// straight, which the springs of a mechanical governor are only nearly.
//
// Formula: δ₁ = (N₀ − N₁) / N₁
// Formula: δᵣ = (N₀ − N₁) / Nᵣ
// Formula: δ₀ = (N₀ − N₁) / N₀
// Formula: N = N₀ − x · (N₀ − N₁)
// Formula: Nₛ = N₁ · (1 + d)
// Source: US Army TM 55-1930-209-14&P-9-2: droop related to the full-load speed
// Source: US Army TM 9-6115-464-34, par. 4-14: frequency regulation related to the rated frequency; ISO 8528-5 likewise, from memory
// Source: Droop related to the no-load speed; a straight line between the ends: common practice, no source
// Example: no-load = 3780 rpm, full-load = 3600 rpm, load = 50 %, wanted-droop = 4 % gives droop-full-load = 5.000 %, droop-rated = 5.000 %, droop-no-load = 4.762 %, load-speed = 3690 rpm, wanted-no-load = 3744 rpm
func GovernorDroop(in GovernorDroopInputs) GovernorDroopResults {
	rated := in.Rated
	if elementary.IsNaN(rated) {
		rated = in.FullLoad
	}
	fall := in.NoLoad - in.FullLoad
	return GovernorDroopResults{
		OnFullLoad:   fall / in.FullLoad,
		OnRated:      fall / rated,
		OnNoLoad:     fall / in.NoLoad,
		LoadSpeed:    in.NoLoad - float64(in.Load*fall),
		WantedNoLoad: in.FullLoad * (1 + in.Wanted),
	}
}
