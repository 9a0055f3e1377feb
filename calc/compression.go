package calc

import "benchleaf/calc/elementary"

// SecondReading is what a second compression reading was taken of.
type SecondReading int

const (
	OtherCylinder SecondReading = iota
	WetCylinder                 // the same, with a spoonful of oil in it
)

// Decompressor says whether a device holds a valve open while cranking.
type Decompressor int

const (
	NoDecompressor Decompressor = iota
	DecompressorFitted
)

// CompressionFinding is how a reading stands to the theoretical value.
type CompressionFinding int

const (
	BelowIdeal CompressionFinding = iota
	AboveIdeal
	LimitOnly // with a decompressor: no theoretical value holds
)

// CompressionInputs is a reading of the compression gauge, a second one to
// hold beside it (NaN where there is none), the air of the day and the engine.
type CompressionInputs struct {
	Reading      float64       `name:"reading" symbol:"p₁" unit:"kPa" min:"0" max:"3000" start:"700" metered:"true"`
	Second       float64       `name:"second" symbol:"p₂" unit:"kPa" min:"0" max:"3000" optional:"true" metered:"true"`
	SecondOf     SecondReading `name:"second-of" options:"other-cylinder,wet" start:"other-cylinder"`
	Ambient      float64       `name:"ambient" symbol:"pₐ" unit:"kPa" min:"50" max:"110" start:"95" metered:"true"`
	Ratio        float64       `name:"ratio" symbol:"r" unit:"" min:"2" max:"25" start:"8"`
	Exponent     float64       `name:"exponent" symbol:"n" unit:"" min:"1" max:"1.67" start:"1.3"`
	Decompressor Decompressor  `name:"decompressor" options:"none,fitted" start:"none"`
}

// CompressionResults is the reading as it would be at sea level, the second
// one against it, and what the engine's geometry alone would give.
type CompressionResults struct {
	Corrected  float64            `name:"corrected" symbol:"p₀" unit:"kPa" digits:"3"`
	Shortfall  float64            `name:"shortfall" symbol:"s" unit:"%" digits:"3"`
	Difference float64            `name:"difference" symbol:"d" unit:"%" digits:"3"`
	Ideal      float64            `name:"ideal" symbol:"pᵢ" unit:"kPa" digits:"4"`
	Finding    CompressionFinding `name:"finding" options:"below,above,limit-only"`
}

// Compression puts a compression reading on the footing on which limits are
// given, standard air at sea level: the gauge reads in proportion to the
// ambient pressure, so that 84.6 kPa makes a sound engine read 16.5 % low. The
// difference is that of two cylinders, in parts of the higher reading, or the
// rise of a wet reading over the dry one: oil seals worn rings for a while and
// does nothing for valves and gasket.
//
// The theoretical reading is a bound that no gauge reaches: the inlet valve
// closes late, heat is lost, cranking is slow. A reading above it points to
// carbon or liquid in the chamber, or to a wrong ratio. A decompressor bleeds
// the cylinder while cranking: then no theoretical value holds, and the maker's
// own limit alone judges the reading. Read with throttle and choke wide open, at
// full cranking speed, until the needle stands.
//
// Formula: p₀ = p₁ · 101.325 kPa / pₐ
// Formula: s = 1 − pₐ / 101.325 kPa
// Formula: d = |p₁ − p₂| / max(p₁, p₂) of two cylinders; d = (p₂ − p₁) / p₁ wet
// Formula: pᵢ = pₐ · (rⁿ − 1)
// Source: Polytropic compression, p · Vⁿ constant; the gauge reads from the ambient pressure up
// Source: ISO 2533:1975, 101.325 kPa
// Source: Exponent of 1.3 while cranking; wet and dry readings: common practice, no source
// Example: reading = 600 kPa, second = 540 kPa, ambient = 84.6 kPa, ratio = 8.5 gives corrected = 719 kPa, shortfall = 16.5 %, difference = 10.0 %, ideal = 1282 kPa, finding = below
// Example: ambient = 101.325 kPa, reading = 500 kPa, second = 600 kPa, second-of = wet, decompressor = fitted gives corrected = 500 kPa, difference = 20.0 %, finding = limit-only
func Compression(in CompressionInputs) CompressionResults {
	out := CompressionResults{
		Corrected:  in.Reading * standardPressure / in.Ambient,
		Shortfall:  1 - in.Ambient/standardPressure,
		Difference: elementary.NaN(),
		Ideal:      elementary.NaN(),
		Finding:    LimitOnly,
	}
	base, rise := in.Reading, in.Second-in.Reading
	if in.SecondOf == OtherCylinder {
		base, rise = elementary.Max(in.Reading, in.Second), elementary.Abs(rise)
	}
	if base > 0 {
		out.Difference = rise / base
	}
	if in.Decompressor == NoDecompressor {
		out.Ideal = in.Ambient * (elementary.Pow(in.Ratio, in.Exponent) - 1)
		out.Finding = BelowIdeal
		if in.Reading > out.Ideal {
			out.Finding = AboveIdeal
		}
	}
	return out
}
