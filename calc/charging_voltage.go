package calc

// ChargingVoltageInputs is a regulator's voltage at 25 °C and the battery's
// temperature. Measured may be missing (NaN).
type ChargingVoltageInputs struct {
	Reference   float64 `name:"reference" symbol:"U₀" unit:"V" min:"1" max:"70" start:"14.4"`
	Coefficient float64 `name:"coefficient" symbol:"k" unit:"mV/K" min:"0" max:"10" start:"3"`
	Cells       float64 `name:"cells" symbol:"c" unit:"" min:"1" max:"24" start:"6"`
	Temperature float64 `name:"temperature" symbol:"T" unit:"°C" min:"-40" max:"70" start:"20"`
	Measured    float64 `name:"measured" symbol:"Uₘ" unit:"V" min:"0" max:"100" optional:"true" metered:"true"`
}

// ChargingVoltageResults is the voltage that the regulator should hold, and how
// far the measured one is from it.
type ChargingVoltageResults struct {
	Voltage   float64 `name:"voltage" symbol:"U" unit:"V" digits:"4"`
	Deviation float64 `name:"deviation" symbol:"ΔU" unit:"V" digits:"3"`
}

// chargingReference is 25 °C in K.
const chargingReference = 298.15

// ChargingVoltage computes the voltage at which a lead-acid battery is charged
// at its temperature: higher in the cold, where it accepts charge less
// willingly, lower in the heat, where it gasses. The temperature is that of the
// battery, or of the regulator where that one compensates by its own.
//
// Voltage at 25 °C and coefficient are the maker's, the coefficient for one
// cell; 3 to 5 mV/K are usual. It is given as a positive number. Read the
// voltage at the battery's posts, the engine at charging speed and the battery
// nearly full: a discharged one holds the voltage down.
//
// Formula: U = U₀ − k · c · (T − 25 °C)
// Formula: ΔU = Uₘ − U
// Source: Compensation linear in temperature about 25 °C, 3 to 5 mV/K for each cell: common practice, no source
// Example: reference = 14.4 V, coefficient = 3 mV/K, cells = 6, temperature = 0 °C, measured = 14.60 V gives voltage = 14.85 V, deviation = -0.25 V
func ChargingVoltage(in ChargingVoltageInputs) ChargingVoltageResults {
	voltage := in.Reference - float64(in.Coefficient*in.Cells*(in.Temperature-chargingReference))
	return ChargingVoltageResults{Voltage: voltage, Deviation: in.Measured - voltage}
}
