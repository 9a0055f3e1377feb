package calc

import "benchleaf/calc/elementary"

// Fuel is what an engine burns.
type Fuel int

const (
	Gasoline Fuel = iota // with what share of ethanol, the input says
	Ethanol
	Methanol
	Methane
	Propane
	Butane
	Composition // the atoms of the inputs
	OwnRatio    // the ratio of the inputs
)

// MixtureState is on which side of complete burning a mixture lies.
type MixtureState int

const (
	Rich MixtureState = iota
	Stoichiometric
	Lean
	NoFuel // the composition needs no air
)

// MixtureInputs is the mixture, its fuel, and the fuel that the carburettor
// was set for.
type MixtureInputs struct {
	Ratio    float64 `name:"ratio" symbol:"A" unit:"" min:"1" max:"100" start:"13.2" metered:"true"`
	Fuel     Fuel    `name:"fuel" options:"gasoline,ethanol,methanol,methane,propane,butane,composition,own" start:"gasoline"`
	Share    float64 `name:"ethanol-share" symbol:"x" unit:"%" min:"0" max:"100" start:"10"`
	Carbon   float64 `name:"carbon" symbol:"c" unit:"" min:"0" max:"40" start:"8"`
	Hydrogen float64 `name:"hydrogen" symbol:"h" unit:"" min:"0" max:"100" start:"18"`
	Oxygen   float64 `name:"oxygen" symbol:"o" unit:"" min:"0" max:"20" start:"0"`
	Own      float64 `name:"own-ratio" symbol:"A₁" unit:"" min:"1" max:"40" start:"14.7"`
	Set      float64 `name:"set-for" symbol:"A₂" unit:"" min:"1" max:"40" start:"14.7"`
}

// MixtureResults is the ratio at which the fuel burns completely, and how the
// mixture stands to it.
type MixtureResults struct {
	Stoichiometric float64      `name:"stoichiometric" symbol:"Aₛ" unit:"" digits:"4"`
	Lambda         float64      `name:"lambda" symbol:"λ" unit:"" digits:"3"`
	Leaner         float64      `name:"leaner" symbol:"ε" unit:"%" digits:"3"`
	State          MixtureState `name:"state" options:"rich,stoichiometric,lean,no-fuel"`
}

const (
	gasolineRatio   = 14.7
	gasolineDensity = 745.0  // kg/m³
	ethanolDensity  = 789.0  // kg/m³, at 20 °C
	airPerOxygen    = 4.773  // molecules of air with one of oxygen
	airMass         = 28.96  // g/mol
	carbonMass      = 12.011 // g/mol
	hydrogenMass    = 1.008  // g/mol
	oxygenMass      = 15.999 // g/mol
	evenBand        = 0.005  // λ that rounds to 1.00
)

// airFor is the mass of air in which a mass of the fuel of these atoms burns
// completely, NaN if it needs none.
func airFor(carbon, hydrogen, oxygen float64) float64 {
	molecules := carbon + hydrogen/4 - oxygen/2
	if molecules <= 0 {
		return elementary.NaN()
	}
	return molecules * (airPerOxygen * airMass) /
		(float64(carbonMass*carbon) + float64(hydrogenMass*hydrogen) + float64(oxygenMass*oxygen))
}

// Mixture computes the air-fuel ratio at which a fuel burns completely, the
// excess of air λ of a mixture, and how much leaner a carburettor runs on this
// fuel than on the one that it was set for. Ratios are masses of air to fuel.
//
// The share of ethanol is by volume, as the pump states it, and counts for
// gasoline only. Air is needed by mass, so the ratios are weighed by mass: E10
// has 14.10. That the jets pass the same mass of either fuel is assumed; the
// small difference in density is left out. For a fuel of known composition
// count its atoms of carbon, hydrogen and oxygen. A mixture counts as
// stoichiometric where λ rounds to 1.00.
//
// Formula: Aₛ = (c + h / 4 − o / 2) · 4.773 · 28.96 / (12.011 · c + 1.008 · h + 15.999 · o)
// Formula: gasoline: Aₛ = (14.7 · 745 · (1 − x) + 9.001 · 789 · x) / (745 · (1 − x) + 789 · x)
// Formula: own ratio: Aₛ = A₁
// Formula: λ = A / Aₛ
// Formula: ε = A₂ / Aₛ − 1
// Source: J. B. Heywood, Internal Combustion Engine Fundamentals (1988), from memory
// Source: US DOE Alternative Fuels Data Center: gasoline 14.7, ethanol 9.0
// Source: Densities of gasoline and ethanol, 745 and 789 kg/m³, from memory
// Example: ratio = 13.2, ethanol-share = 0 % gives stoichiometric = 14.70, lambda = 0.898, leaner = 0.00 %, state = rich
// Example: ratio = 14.7, ethanol-share = 10 % gives stoichiometric = 14.10, lambda = 1.04, leaner = 4.26 %, state = lean
// Example: ratio = 15.1, fuel = composition gives stoichiometric = 15.13, lambda = 0.998, state = stoichiometric
func Mixture(in MixtureInputs) MixtureResults {
	var stoichiometric float64
	switch in.Fuel {
	case Gasoline:
		ethanol := ethanolDensity * in.Share
		gasoline := gasolineDensity * (1 - in.Share)
		stoichiometric = (float64(gasolineRatio*gasoline) + float64(airFor(2, 6, 1)*ethanol)) / (gasoline + ethanol)
	case Ethanol:
		stoichiometric = airFor(2, 6, 1)
	case Methanol:
		stoichiometric = airFor(1, 4, 1)
	case Methane:
		stoichiometric = airFor(1, 4, 0)
	case Propane:
		stoichiometric = airFor(3, 8, 0)
	case Butane:
		stoichiometric = airFor(4, 10, 0)
	case Composition:
		stoichiometric = airFor(in.Carbon, in.Hydrogen, in.Oxygen)
	default:
		stoichiometric = in.Own
	}
	lambda := in.Ratio / stoichiometric
	state := NoFuel
	switch {
	case elementary.Abs(lambda-1) < evenBand:
		state = Stoichiometric
	case lambda < 1:
		state = Rich
	case lambda > 1:
		state = Lean
	}
	return MixtureResults{
		Stoichiometric: stoichiometric,
		Lambda:         lambda,
		Leaner:         in.Set/stoichiometric - 1,
		State:          state,
	}
}
