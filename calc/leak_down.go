package calc

import "benchleaf/calc/elementary"

// LeakDownReading says whether the two gauges can be right together; how much
// leakage is too much, it does not say.
type LeakDownReading int

const (
	Possible LeakDownReading = iota
	AboveSupply
)

// LeakDownInputs is what the two gauges of the tester show, and the bore.
type LeakDownInputs struct {
	Supply   float64 `name:"supply" symbol:"pₛ" unit:"kPa" min:"50" max:"1000" start:"550" metered:"true"`
	Cylinder float64 `name:"cylinder" symbol:"p" unit:"kPa" min:"0" max:"1000" start:"495" metered:"true"`
	Bore     float64 `name:"bore" symbol:"D" unit:"mm" min:"20" max:"150" start:"70"`
}

// LeakDownResults is the leakage, and what the air does to the piston.
type LeakDownResults struct {
	Leakage float64         `name:"leakage" symbol:"q" unit:"%" digits:"3"`
	Force   float64         `name:"force" symbol:"F" unit:"N" digits:"4"`
	Reading LeakDownReading `name:"reading" options:"possible,above-supply"`
}

const circle = 3.14159265358979323846 / 4 // of a square on the diameter

// LeakDown computes how much of the supplied pressure a cylinder lets through,
// from the gauge before the orifice of the tester and the one behind it. The
// figure depends on the orifice: hold it only against limits for that tester.
// Where the air comes out tells more than the figure: at the carburettor the
// inlet valve, at the muffler the exhaust valve, at the breather the rings, at
// the next cylinder or in the cooling fins the gasket.
//
// The air pushes on the piston with the force of a jack: 690 kPa on 70 mm push
// with 2.7 kN, and a tight cylinder takes the whole supply. Set the piston at
// top dead centre of compression, take off or block the blade or load, leave no
// tool on the crankshaft, keep hands clear, and let the air in slowly.
//
// Formula: q = (pₛ − p) / pₛ
// Formula: F = pₛ · π / 4 · D²
// Source: FAA AC 43.13-1B, 8-14, differential compression test: 60 of 80 psi, 25 % leakage, is its limit
// Source: Definition of pressure as force on an area
// Source: Places where the air comes out: common practice, no source
// Example: supply = 80 psi, cylinder = 60 psi, bore = 70 mm gives leakage = 25.0 %, force = 2123 N, reading = possible
// Example: supply = 690 kPa, cylinder = 690 kPa, bore = 70 mm gives leakage = 0.00 %, force = 2655 N
func LeakDown(in LeakDownInputs) LeakDownResults {
	out := LeakDownResults{
		Leakage: (in.Supply - in.Cylinder) / in.Supply,
		Force:   in.Supply * circle * in.Bore * in.Bore,
	}
	if in.Cylinder > in.Supply {
		out.Leakage, out.Reading = elementary.NaN(), AboveSupply
	}
	return out
}
