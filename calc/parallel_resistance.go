package calc

// ParallelResistanceInputs is up to four resistances side by side on one
// supply. All but the first may be missing (NaN).
type ParallelResistanceInputs struct {
	First  float64 `name:"first" symbol:"R₁" unit:"Ω" min:"0.001" max:"1000000" start:"10"`
	Second float64 `name:"second" symbol:"R₂" unit:"Ω" min:"0.001" max:"1000000" start:"15" optional:"true"`
	Third  float64 `name:"third" symbol:"R₃" unit:"Ω" min:"0.001" max:"1000000" optional:"true"`
	Fourth float64 `name:"fourth" symbol:"R₄" unit:"Ω" min:"0.001" max:"1000000" optional:"true"`
	Supply float64 `name:"supply" symbol:"U" unit:"V" min:"0" max:"250" start:"12" metered:"true"`
}

// ParallelResistanceResults is what the supply sees, and each one's share.
type ParallelResistanceResults struct {
	Resistance    float64 `name:"resistance" symbol:"R" unit:"Ω" digits:"4"`
	Current       float64 `name:"current" symbol:"I" unit:"A" digits:"4"`
	Power         float64 `name:"power" symbol:"P" unit:"W" digits:"4"`
	FirstCurrent  float64 `name:"first-current" symbol:"I₁" unit:"A" digits:"4"`
	SecondCurrent float64 `name:"second-current" symbol:"I₂" unit:"A" digits:"4"`
	ThirdCurrent  float64 `name:"third-current" symbol:"I₃" unit:"A" digits:"4"`
	FourthCurrent float64 `name:"fourth-current" symbol:"I₄" unit:"A" digits:"4"`
}

// ParallelResistance computes the resistance of up to four parts on one supply,
// lamps, coils or heaters, the current through each and through all, and the
// power. With one part alone it is Ohm's law.
//
// An ohmmeter across parts that hang together reads all of them: a reading
// below that of the part in question need not condemn it. Unplug it and read
// again, and never read ohms on a live circuit. A lamp is no resistor: hot it
// has many times its cold resistance.
//
// Formula: 1 / R = 1 / R₁ + 1 / R₂ + 1 / R₃ + 1 / R₄
// Formula: I₁ = U / R₁, I₂ = U / R₂, I₃ = U / R₃, I₄ = U / R₄
// Formula: I = U / R
// Formula: P = U² / R
// Source: Ohm's law; Kirchhoff's current law; Joule's law
// Source: Unplugging a part before reading its ohms: common practice, no source
// Example: first = 10 kΩ, second = 2 kΩ, third = 1 kΩ, supply = 9 V gives resistance = 625 Ω, current = 14.4 mA, power = 0.1296 W, first-current = 0.9 mA, second-current = 4.5 mA, third-current = 9 mA
func ParallelResistance(in ParallelResistanceInputs) ParallelResistanceResults {
	conductance := sumRead(sumRead(1/in.First, 1/in.Second), sumRead(1/in.Third, 1/in.Fourth))
	current := in.Supply * conductance
	return ParallelResistanceResults{
		Resistance:    1 / conductance,
		Current:       current,
		Power:         in.Supply * current,
		FirstCurrent:  in.Supply / in.First,
		SecondCurrent: in.Supply / in.Second,
		ThirdCurrent:  in.Supply / in.Third,
		FourthCurrent: in.Supply / in.Fourth,
	}
}
