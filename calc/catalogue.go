// Package calc holds the built-in calculators, each one pure Go function over a
// struct of inputs that returns a struct of results, all in SI, in the subset
// that calc/wasm compiles; and their catalogue, which reads names, units and
// ranges from the struct tags and formulas and sources from the doc comments.
//
// A calculator's name or a slice of numbers comes in; descriptions, source text
// and results go out. The calculators import only calc/elementary, the
// catalogue calc/unit besides.
package calc

import (
	"embed"
	"math"
	"strconv"
	"sync"

	"benchleaf/calc/elementary"
	"benchleaf/calc/unit"
)

// sourceFiles holds the files of this package that are in the subset.
//
//go:embed air.go air_density.go battery_charge.go bimetal.go cable.go charging_voltage.go circuit_drop.go
//go:embed compression.go engine_speed.go generator_frequency.go governor_droop.go heater.go idle_speed.go
//go:embed leak_down.go mixture.go parallel_resistance.go power_correction.go time_to_close.go time_to_open.go
//go:embed torque.go verdict.go voltage_drop.go wire_size.go
var sourceFiles embed.FS

// builtins lists the calculators in the order of their names.
var builtins = []builtin{
	{"air-density", "air_density.go", AirDensity},
	{"battery-charge", "battery_charge.go", BatteryCharge},
	{"bimetal", "bimetal.go", Bimetal},
	{"charging-voltage", "charging_voltage.go", ChargingVoltage},
	{"circuit-drop", "circuit_drop.go", CircuitDrop},
	{"compression", "compression.go", Compression},
	{"engine-speed", "engine_speed.go", EngineSpeed},
	{"generator-frequency", "generator_frequency.go", GeneratorFrequency},
	{"governor-droop", "governor_droop.go", GovernorDroop},
	{"heater", "heater.go", Heater},
	{"idle-speed", "idle_speed.go", IdleSpeed},
	{"leak-down", "leak_down.go", LeakDown},
	{"mixture", "mixture.go", Mixture},
	{"parallel-resistance", "parallel_resistance.go", ParallelResistance},
	{"power-correction", "power_correction.go", PowerCorrection},
	{"time-to-close", "time_to_close.go", TimeToClose},
	{"time-to-open", "time_to_open.go", TimeToOpen},
	{"torque", "torque.go", Torque},
	{"voltage-drop", "voltage_drop.go", VoltageDrop},
	{"wire-size", "wire_size.go", WireSize},
}

type builtin struct {
	name, file string
	function   any // func(Inputs) Results
}

// Calculator describes one calculator, a built-in or one of a handbook's own.
// It is shared: do not change it.
type Calculator struct {
	Name     string   // "voltage-drop"
	Title    string   // of a handbook's own; a built-in's is in the message catalogue
	About    string   // the same: one sentence on what it is for
	Func     string   // "VoltageDrop", the Go function and what a compiler is asked for
	Doc      string   // the prose of its doc comment, paragraphs parted by an empty line
	Formula  []string // one line each, in plain Unicode text
	Sources  []string // what the formulas and constants rest on
	Examples []Example
	Code     string // Go source text of the function
	Inputs   []Quantity
	Results  []Quantity

	function any // nil for a handbook's own
}

// FormulaKey is the key under which a message catalogue has a line of the formula, counted from 0, if it has words.
func (c *Calculator) FormulaKey(line int) string {
	return "calculator." + c.Name + ".formula." + strconv.Itoa(line+1)
}

// Example is a worked example: values of inputs, and the results that they must
// give, to the last digit written. Inputs that are not named have their start
// value.
type Example struct {
	Inputs, Results []Assignment
}

// Assignment is a quantity's name and its value as a reader writes it: "2.4 A",
// "16 AWG", the name of an option.
type Assignment struct{ Name, Value string }

// QuantityKind tells numbers from choices.
type QuantityKind int

const (
	Number QuantityKind = iota // a number in a unit
	Choice                     // one of Options, carried as its index
)

// Quantity is one input or result of a calculator. Min, Max and Start are in
// Unit, the display unit; a Choice has the index of an option there. Start is
// NaN for an optional input that starts empty, which is also the value that
// stands for its absence.
type Quantity struct {
	Name     string
	Label    string // of a handbook's own calculator; a built-in's is in the message catalogue
	Symbol   string // as in the formula; "" for most choices
	Unit     unit.Unit
	Kind     QuantityKind
	Options  []string // words that name the options in a page and in its message keys
	Min, Max float64  // inputs only
	Start    float64  // inputs only
	Optional bool     // inputs only: may be left empty
	Metered  bool     // inputs only: read from a meter, whose accuracy counts in a verdict
	Follows  string   // inputs only: the input whose value it takes until it has one of its own, or ""
	Digits   int      // results only: the most significant digits that are shown
	Fixed    bool     // results only: shown in Unit to every reader: a size of a series is no size of another
}

var load = sync.OnceValue(func() []*Calculator {
	calculators := make([]*Calculator, len(builtins))
	for i, b := range builtins {
		calculators[i] = describe(b)
	}
	return calculators
})

// All returns the calculators in the order of their names. Descriptions are
// read on first use.
func All() []*Calculator { return append([]*Calculator(nil), load()...) }

// Find returns the calculator of that name.
func Find(name string) (*Calculator, bool) {
	for _, c := range load() {
		if c.Name == name {
			return c, true
		}
	}
	return nil, false
}

// Source is what a compiler needs to compile any calculator: the package's path
// and files, those of the packages it imports, and the path of the one whose
// functions of instructions.go are instructions.
type Source struct {
	Path       string
	Files      map[string][]byte
	Imports    map[string]map[string][]byte
	Intrinsics string
}

// Subset returns the source of all the calculators, which one check serves. The
// texts are shared: do not change them.
func Subset() Source {
	files := make(map[string][]byte)
	entries, _ := sourceFiles.ReadDir(".")
	for _, e := range entries {
		files[e.Name()], _ = sourceFiles.ReadFile(e.Name())
	}
	const path = "benchleaf/calc"
	return Source{
		Path:       path,
		Files:      files,
		Imports:    map[string]map[string][]byte{path + "/elementary": elementary.Files()},
		Intrinsics: path + "/elementary",
	}
}

// Own tells whether the calculator is one of a handbook's own.
func (c *Calculator) Own() bool { return c.function == nil }

// Starts returns the start values of the inputs in SI, in their order.
func (c *Calculator) Starts() []float64 {
	starts := make([]float64, len(c.Inputs))
	for i, q := range c.Inputs {
		starts[i] = q.ToSI(q.Start)
	}
	return starts
}

// Takes tells whether a value in SI lies in an input's range. What the conversion
// of units costs does not put 302 °F outside a range that ends at 150 °C.
func (q Quantity) Takes(si float64) bool {
	least, most := q.ToSI(q.Min), q.ToSI(q.Max)
	slack := 1e-12 * max(math.Abs(least), math.Abs(most))
	return si >= least-slack && si <= most+slack
}

// ToSI converts from the display unit; a choice's index stays as it is.
func (q Quantity) ToSI(v float64) float64 {
	if q.Kind == Choice {
		return v
	}
	return q.Unit.ToSI(v)
}

// FromSI converts to the display unit; a choice's index stays as it is.
func (q Quantity) FromSI(si float64) float64 {
	if q.Kind == Choice {
		return si
	}
	return q.Unit.FromSI(si)
}
