// Package unit knows the units of the trade: what kind of quantity each
// measures, its exact factor to the SI, how a reader may write it, and how a
// number is read and printed in the language of a page.
//
// In come texts such as "2.4 A" or "16 AWG" and numbers in SI; out go numbers
// in SI and texts. Every conversion is the same two floating-point operations
// here and in a browser, so both give the same bits. The package imports
// calc/typo.
package unit

// Kind is a kind of quantity. Kinds of one dimension are kept apart where
// mixing them up would mislead: a temperature and a temperature difference, a
// speed of rotation and a frequency of pulses, an angle and a plain number.
type Kind string

// The kinds, each with its dimension in the table dimensions.
const (
	Number                        Kind = "number"
	Angle                         Kind = "angle"
	Length                        Kind = "length"
	Area                          Kind = "area"
	Volume                        Kind = "volume"
	Curvature                     Kind = "curvature"
	Mass                          Kind = "mass"
	Density                       Kind = "density"
	Time                          Kind = "time"
	Frequency                     Kind = "frequency"
	RotationalFrequency           Kind = "rotational frequency"
	Velocity                      Kind = "velocity"
	VolumeFlow                    Kind = "volume flow"
	MassFlow                      Kind = "mass flow"
	Force                         Kind = "force"
	Torque                        Kind = "torque"
	Pressure                      Kind = "pressure"
	Energy                        Kind = "energy"
	Power                         Kind = "power"
	Temperature                   Kind = "temperature"
	TemperatureDifference         Kind = "temperature difference"
	TemperatureCoefficient        Kind = "temperature coefficient"
	AngularTemperatureRate        Kind = "angle per temperature"
	ThermalResistance             Kind = "thermal resistance"
	ThermalConductance            Kind = "thermal conductance"
	HeatCapacity                  Kind = "heat capacity"
	Current                       Kind = "current"
	Charge                        Kind = "charge"
	Voltage                       Kind = "voltage"
	VoltageTemperatureCoefficient Kind = "voltage per temperature"
	Resistance                    Kind = "resistance"
	Resistivity                   Kind = "resistivity"
	Capacitance                   Kind = "capacitance"
	Inductance                    Kind = "inductance"
)

var dimensions = map[Kind]Dimension{
	Number:                        {},
	Angle:                         {},
	Length:                        {Length: 1},
	Area:                          {Length: 2},
	Volume:                        {Length: 3},
	Curvature:                     {Length: -1},
	Mass:                          {Mass: 1},
	Density:                       {Length: -3, Mass: 1},
	Time:                          {Time: 1},
	Frequency:                     {Time: -1},
	RotationalFrequency:           {Time: -1},
	Velocity:                      {Length: 1, Time: -1},
	VolumeFlow:                    {Length: 3, Time: -1},
	MassFlow:                      {Mass: 1, Time: -1},
	Force:                         {Length: 1, Mass: 1, Time: -2},
	Torque:                        {Length: 2, Mass: 1, Time: -2},
	Pressure:                      {Length: -1, Mass: 1, Time: -2},
	Energy:                        {Length: 2, Mass: 1, Time: -2},
	Power:                         {Length: 2, Mass: 1, Time: -3},
	Temperature:                   {Temperature: 1},
	TemperatureDifference:         {Temperature: 1},
	TemperatureCoefficient:        {Temperature: -1},
	AngularTemperatureRate:        {Temperature: -1},
	ThermalResistance:             {Length: -2, Mass: -1, Time: 3, Temperature: 1},
	ThermalConductance:            {Length: 2, Mass: 1, Time: -3, Temperature: -1},
	HeatCapacity:                  {Length: 2, Mass: 1, Time: -2, Temperature: -1},
	Current:                       {Current: 1},
	Charge:                        {Time: 1, Current: 1},
	Voltage:                       {Length: 2, Mass: 1, Time: -3, Current: -1},
	VoltageTemperatureCoefficient: {Length: 2, Mass: 1, Time: -3, Current: -1, Temperature: -1},
	Resistance:                    {Length: 2, Mass: 1, Time: -3, Current: -2},
	Resistivity:                   {Length: 3, Mass: 1, Time: -3, Current: -2},
	Capacitance:                   {Length: -2, Mass: -1, Time: 4, Current: 2},
	Inductance:                    {Length: 2, Mass: 1, Time: -2, Current: -2},
}

// Dimension returns the exponents of the kind. A kind that is named by its base
// units has them in its name.
func (k Kind) Dimension() Dimension { return k.nature().Dimension }

// Unit is one unit, a comparable value. The zero Unit is not a unit: Lookup("")
// is the plain number.
type Unit struct {
	Symbol string // as printed; unique
	Kind   Kind
	Factor float64 // SI units in one of these; 0 for AWG
	Offset float64 // of the scale's zero, in this unit
}

// IsGauge reports whether the unit is a wire gauge: a size looked up in the
// table of Sizes, not a multiple of anything.
func (u Unit) IsGauge() bool { return u.Symbol == gaugeSymbol }

// ToSI converts v in this unit to the SI unit of its kind. For a wire gauge v
// is the gauge number (0 for 1/0, -3 for 4/0) and the result is an area in m²,
// NaN when there is no such size.
//
// The expression is exactly (v + Offset) * Factor. A sum that is then
// multiplied cannot be fused into one operation, so every machine and every
// browser gives the same bits.
func (u Unit) ToSI(v float64) float64 {
	if u.IsGauge() {
		return gaugeArea(v)
	}
	return (v + u.Offset) * u.Factor
}

// FromSI converts a value in SI to this unit: exactly si/Factor - Offset. For
// a wire gauge it gives the number of the size whose area is nearest in
// proportion, NaN outside the table; ToSI of the result tells how far off that
// size is.
func (u Unit) FromSI(si float64) float64 {
	if u.IsGauge() {
		return gaugeNumber(si)
	}
	return si/u.Factor - u.Offset
}
