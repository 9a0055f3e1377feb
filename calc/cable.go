package calc

// Material is what a conductor is made of.
type Material int

const (
	Copper Material = iota
	Aluminium
)

// Construction is how a conductor is built up.
type Construction int

const (
	Solid Construction = iota
	Stranded
)

// Paths counts the conductors that the current passes: with OnePath it comes
// back through the frame.
type Paths int

const (
	OnePath Paths = iota
	TwoPaths
)

const (
	copperResistivity    = 1e-6 / 58                // Ω·m at 20 °C
	aluminiumResistivity = copperResistivity / 0.61 // Ω·m at 20 °C
	copperCoefficient    = 0.00393                  // 1/K at 20 °C
	aluminiumCoefficient = 0.00403                  // 1/K at 20 °C
	tableTemperature     = 293.15                   // K, 20 °C
	layFactor            = 1.02                     // length of a strand over that of its cable
)

// cableResistance is the resistance that a current meets on its way through a
// cable of that length, one way, at that temperature.
func cableResistance(length, area float64, material Material, construction Construction, temperature float64, paths Paths) float64 {
	resistivity, coefficient := copperResistivity, copperCoefficient
	if material == Aluminium {
		resistivity, coefficient = aluminiumResistivity, aluminiumCoefficient
	}
	if construction == Stranded {
		length *= layFactor
	}
	if paths == TwoPaths {
		length *= 2
	}
	warm := 1 + float64(coefficient*(temperature-tableTemperature))
	return resistivity * warm * length / area
}
