// Package wasm compiles a calculator, one Go function in a small subset of the
// language, to a WebAssembly module of a few hundred bytes, in process and
// without the Go toolchain.
//
// What comes in is Go source ([Source]) and the name of a function; what goes
// out is a [Module] or a list of [Problem] values with byte offsets, written for
// the author of a calculator. The subset is described in
// docs/calculator-subset.md; what is not known to be in it is refused.
//
// The module has one export, "run". Each parameter and each result is one f64,
// the fields of structs in their order. It imports nothing and has no memory.
//
// The stages, a file or two each: check.go parses and type-checks;
// compile.go, statement.go, control.go, expression.go, call.go, constant.go and array.go walk
// what the function reaches and emit instructions or problems; code.go holds the
// instructions and shortens them; encode.go writes the binary format.
//
// It imports the standard library only.
package wasm

import (
	"cmp"
	"slices"
)

// Source is what the compiler may read.
type Source struct {
	// Path is the import path of the package that holds the function.
	Path string
	// Files are its files, from name to Go source.
	Files map[string][]byte
	// Imports are the packages that may be imported, from import path to files.
	Imports map[string]map[string][]byte
	// Intrinsics is the import path of the one package that has the functions of
	// the table in intrinsic.go, which are instructions. Its files must not
	// declare them. It may be Path itself.
	Intrinsics string
}

// Problem says what is wrong at a place in the source and how to mend it.
type Problem struct {
	File        string // the name in Source.Files, or import path/name for an import
	Offset, End int    // byte offsets of the place: [Offset, End)
	Message     string // what is wrong
	Hint        string // how to mend it; may be empty
}

// Module is a compiled calculator.
type Module struct {
	Bytes   []byte // binary format
	Inputs  []Slot // the parameters of run, in order
	Results []Slot // the results of run, in order
}

// Slot is one number at the border of a module.
type Slot struct {
	// Name is the field's name (Outer.Inner in a nested struct), or the
	// parameter's or result's for one that is no struct; empty if that has none.
	Name string
	Type SlotType
}

// SlotType tells how the f64 at the border is read.
//
//	Float  as it is
//	Int    in: the fraction is cut off, NaN is 0, and what is out of range is the
//	       nearest int; out: rounded to the nearest float64 (exact up to 2^53)
//	Bool   in: true unless 0 (NaN is true); out: 0 or 1
type SlotType uint8

// The kinds of value that the subset knows.
const (
	Float SlotType = iota
	Int
	Bool
)

// String returns the Go type.
func (t SlotType) String() string { return [...]string{"float64", "int", "bool"}[t] }

// Fuel is what one call of run may spend: each turn of a loop, the test that
// ends the loop included, costs 1 and 1 more for each call that it makes outside
// inner loops, the calls within those calls included. What is long costs more:
// every full hundred of instructions, before they are shortened, counts as a
// call. A call of run that spends more ends in a trap.
const Fuel = 1_000_000

// Bounds on what one calculator may hold; they keep hostile source from costing
// the build more than a moment.
const (
	maxSlots    = 200     // in the parameters, the results or one value
	maxElements = 1_000   // of an array
	maxCalls    = 100_000 // made by one call of run, outside loops, and hundreds of instructions in them
	maxFuncs    = 500     // functions of a module
	maxInstrs   = 200_000 // instructions of a function, before they are shortened
	maxLocals   = 20_000  // of a function; browsers stop at 50,000
	maxWeight   = 10_000  // fields of a struct, those within them counted each time
	maxDepth    = 500     // of nested statements and expressions
)

// sortProblems orders problems by place and drops repetitions.
func sortProblems(problems []Problem) []Problem {
	slices.SortStableFunc(problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Offset, b.Offset))
	})
	return slices.Compact(problems)
}
