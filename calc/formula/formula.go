// Package formula turns a trainer's own calculator, ordinary arithmetic on named
// quantities, into a WebAssembly module.
//
// In comes a [Definition]: inputs with units and ranges, constants, intermediate
// values and results with formulas. Out goes a [Program]: the module, whose
// inputs and results are in SI like those of a built-in, the same calculation as
// Go source, and each formula as typeset text; or a list of [Problem] values
// with byte offsets into the formulas, written for the author.
//
// A formula is an expression of Go: numbers, names, + - * /, comparisons and
// && || ! where a condition is wanted, parentheses, and calls of the functions
// that [Functions] lists, choose(condition, a, b) among them. Every
// number is a float64: 1/2 is a half. Nothing else is a formula.
//
// It imports calc/unit, calc/elementary and calc/wasm.
package formula

import "benchleaf/calc/unit"

// Input is a quantity that is entered. Min, Max and Start are in Unit.
type Input struct {
	Name            string // letters, digits and hyphens; a formula writes an underscore for a hyphen
	Unit            unit.Unit
	Min, Max, Start float64
}

// Constant is a named figure with a unit.
type Constant struct {
	Name  string
	Unit  unit.Unit
	Value float64 // in Unit
}

// Value is an intermediate value. Its dimension is that of its formula.
type Value struct{ Name, Formula string }

// Result is a quantity that is shown, in Unit.
type Result struct {
	Name    string
	Unit    unit.Unit
	Formula string
}

// Definition is a calculator as its author writes it. Values may use inputs,
// constants and other values in any order; results may use other results too.
type Definition struct {
	Name      string // of the calculator; the Go function is named for it
	Inputs    []Input
	Constants []Constant
	Values    []Value
	Results   []Result
}

// Program is a compiled calculator.
type Program struct {
	Module  []byte   // one export, run: inputs in SI in, results in SI out, in the order of the definition
	Code    string   // the Go function, as gofmt formats it
	Formula []string // one line for each value and result, as typeset Unicode text: "power = U · I"
}

// Section is the part of a definition that a problem is in.
type Section int

// The sections.
const (
	InInputs Section = iota
	InConstants
	InValues
	InResults
)

// Fault says what kind of problem it is.
type Fault int

// The faults; each is a kind of remark.
const (
	Syntax      Fault = iota // no formula, or something that a formula may not have
	BadName                  // a name that cannot be one: a keyword, a function's, one given twice
	Unknown                  // a name that nothing has
	Dimensions               // the dimensions do not agree
	Unused                   // an input, constant or value that nothing uses
	Cycle                    // values that need one another
	Domain                   // with some entry in the ranges the result has no value: a sample shows it
	DomainDoubt              // the ranges do not exclude it, but no sample was found
	Limit                    // too long, too deep, too many
)

// Problem is one mistake of the author's. Offset and End are bytes in the
// formula; both are 0 for one that concerns the name.
type Problem struct {
	Fault       Fault
	Section     Section
	Index       int // in the section
	Offset, End int
	Message     string // what is wrong, without a full stop
	Mend        string // what to do, a sentence
}
