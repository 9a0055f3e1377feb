package formula

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"benchleaf/calc/elementary"
)

const pi = math.Pi

// function is one that a formula may call.
type function struct {
	arguments int                          // that it takes, or the least number
	more      bool                         // it takes any number beyond that
	code      string                       // in Go
	of        func(x, y float64) float64   // the same calculation; a function of one looks at x only
	rule      func(*judge, *node) quantity // for dimensions
}

// functions are all by name. choose is among them; it is treated apart, since it
// looks at one of its two values only.
var functions map[string]function

func init() { // a table would refer to itself
	one := func(f func(float64) float64) func(x, y float64) float64 {
		return func(x, _ float64) float64 { return f(x) }
	}
	functions = map[string]function{
		"exp":      {1, false, "elementary.Exp", one(elementary.Exp), (*judge).plain},
		"log":      {1, false, "elementary.Log", one(elementary.Log), (*judge).plain},
		"log10":    {1, false, "elementary.Log10", one(elementary.Log10), (*judge).plain},
		"pow":      {2, false, "elementary.Pow", elementary.Pow, (*judge).power},
		"sqrt":     {1, false, "elementary.Sqrt", one(elementary.Sqrt), (*judge).root},
		"sin":      {1, false, "elementary.Sin", one(elementary.Sin), (*judge).plain},
		"cos":      {1, false, "elementary.Cos", one(elementary.Cos), (*judge).plain},
		"atan":     {1, false, "elementary.Atan", one(elementary.Atan), (*judge).plain},
		"floor":    {1, false, "elementary.Floor", one(elementary.Floor), (*judge).plain},
		"ceil":     {1, false, "elementary.Ceil", one(elementary.Ceil), (*judge).plain},
		"trunc":    {1, false, "elementary.Trunc", one(elementary.Trunc), (*judge).plain},
		"abs":      {1, false, "elementary.Abs", one(elementary.Abs), (*judge).magnitude},
		"copysign": {2, false, "elementary.Copysign", elementary.Copysign, (*judge).magnitude},
		"min":      {2, true, "min", elementary.Min, (*judge).same},
		"max":      {2, true, "max", elementary.Max, (*judge).same},
		"choose":   {3, false, "", nil, (*judge).choose},
	}
}

// Functions returns the names of the functions that a formula may call, sorted.
func Functions() []string { return slices.Sorted(maps.Keys(functions)) }

// takes says how many arguments a function takes.
func (f function) takes() string {
	switch {
	case f.more:
		return fmt.Sprintf("%d arguments or more", f.arguments)
	case f.arguments == 1:
		return "1 argument"
	}
	return fmt.Sprintf("%d arguments", f.arguments)
}

// usage shows how a function is called.
func usage(called string) string {
	f := functions[called]
	if called == "choose" {
		return "choose(condition, a, b)"
	}
	if f.more {
		return called + "(a, b)"
	}
	return called + "(" + strings.Join([]string{"x", "y"}[:f.arguments], ", ") + ")"
}
