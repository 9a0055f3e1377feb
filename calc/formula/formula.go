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
// The stages: names.go enters the names; scan.go, mistaken.go and read.go turn a
// formula into its tree; order.go puts the formulas in order and works out what
// is constant; dimension.go judges dimensions and temperatures, rotation.go revolutions,
// called.go names units; graph.go,
// prove.go and interval.go bound every step over the ranges of the inputs, and
// domain.go, sample.go and trial.go look for entries with which one has no value;
// typeset.go prints a formula; code.go writes the Go function and compiles it.
//
// It imports calc/unit, calc/elementary and calc/wasm.
package formula

import (
	"cmp"
	"fmt"
	"slices"

	"benchleaf/calc/unit"
)

// What a definition may hold; hostile ones must not hold up a build.
const (
	maxNames    = 100   // inputs, constants, values and results together
	maxName     = 60    // bytes of a name
	maxLength   = 2_000 // bytes of a formula
	maxDepth    = 100   // operations one within the other
	maxExponent = 20    // of a base unit
	maxRoot     = 6     // the nth root of a unit; with maxExponent it stays within an int8
)

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

// Definition is a calculator as its author writes it. Values and results may
// use inputs, constants and one another in any order.
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
	Formula []string // one line for each value and result, as typeset Unicode text: "power = supply · current"
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

// Compile checks a definition and compiles it. The problems are in the order of
// their places. With any other than Unused and DomainDoubt the Program is nil.
func Compile(d Definition) (*Program, []Problem) {
	c := newCompiler(d)
	var program *Program
	if c.sound() {
		program = c.program()
	}
	slices.SortStableFunc(c.problems, func(a, b Problem) int {
		return cmp.Or(cmp.Compare(a.Section, b.Section), cmp.Compare(a.Index, b.Index), cmp.Compare(a.Offset, b.Offset))
	})
	if c.sound() {
		return program, c.problems
	}
	return nil, c.problems
}

// newCompiler reads a definition and judges names and dimensions.
func newCompiler(d Definition) *compiler {
	c := &compiler{definition: d, symbols: map[string]*symbol{}, refused: map[string]bool{}}
	if !c.fits() {
		return c
	}
	c.declare()
	for _, f := range c.formulas {
		f.tree = c.read(f)
	}
	c.arranged = c.arrange()
	for _, f := range c.arranged {
		c.fold(f.tree)
		c.judge(f)
	}
	c.unused()
	return c
}

// program proves that the results have values and compiles, once names and
// dimensions are right.
func (c *compiler) program() *Program {
	program := &Program{}
	for _, f := range c.formulas {
		program.Formula = append(program.Formula, f.name+" = "+typeset(f))
		lower(f.tree)
	}
	c.domain()
	if c.sound() {
		c.generate(program)
	}
	return program
}

// compiler is the state of one Compile.
type compiler struct {
	definition Definition
	symbols    map[string]*symbol // as a formula writes them
	refused    map[string]bool    // names that cannot be one: told at their place
	names      []string           // of symbols, in the order of the definition
	inputs     []*symbol
	constants  []*symbol
	formulas   []*formula // values, then results
	arranged   []*formula // each behind those that it needs
	problems   []Problem
}

// problem adds a problem at a place in a formula.
func (c *compiler) problem(f *formula, fault Fault, start, end int, message, mend string) {
	c.problems = append(c.problems, Problem{fault, f.section, f.index, start, end, message, mend})
}

// sound reports whether there is no problem that forbids a Program.
func (c *compiler) sound() bool {
	return !slices.ContainsFunc(c.problems, func(p Problem) bool { return p.Fault != Unused && p.Fault != DomainDoubt })
}

// fits refuses a definition with too many names, or without a result.
func (c *compiler) fits() bool {
	d := c.definition
	if len(d.Results) == 0 {
		c.problems = append(c.problems, Problem{Fault: Limit, Section: InResults, Message: "the calculator has no result", Mend: "Give it one, with a name, a unit and a formula."})
		return false
	}
	sizes := [...]int{InInputs: len(d.Inputs), InConstants: len(d.Constants), InValues: len(d.Values), InResults: len(d.Results)}
	room := maxNames
	for section, n := range sizes {
		if n > room {
			c.problems = append(c.problems, Problem{Fault: Limit, Section: Section(section), Index: room,
				Message: fmt.Sprintf("the calculator has more than %d names", maxNames), Mend: "Divide it into two; the second can take results of the first."})
			return false
		}
		room -= n
	}
	return true
}

// unused tells what no formula uses, unless a formula that cannot be read might.
func (c *compiler) unused() {
	if slices.ContainsFunc(c.formulas, func(f *formula) bool { return f.tree == nil }) {
		return
	}
	for _, name := range c.names {
		s := c.symbols[name]
		if !s.used {
			c.problems = append(c.problems, Problem{Fault: Unused, Section: s.section, Index: s.index,
				Message: fmt.Sprintf("no formula uses %s", quote(spelling(s.name))), Mend: "Use it in a formula, or remove it."})
		}
	}
}
