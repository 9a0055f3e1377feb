// Package elementary holds the elementary functions of the calculators: Exp,
// Log, Log10, Pow, Sin, Cos, Atan, and beside them the functions that are
// single WebAssembly instructions (Sqrt, Floor, Ceil, Trunc, Abs, Copysign,
// Min, Max, NaN, Inf, IsNaN).
//
// Numbers come in and numbers go out; nothing here fails, and what has no value
// is NaN, as IEEE 754 has it. Every file but instructions.go and files.go is
// written in the subset that calc/wasm compiles, so that the build, the tests
// and every phone compute the same bits. Go's math and the browsers' Math agree
// with neither each other nor themselves across processors; that is why this
// package exists. A product that goes into a sum stands in float64(...), which
// forbids the native compiler to fuse the two.
//
// Worst errors against a 240-bit reference, in units in the last place of the
// result, measured by `go test -points 60000` at some 200,000 points a function and
// by a search around the worst of them, which are among the points of every test
// (the tests hold each function to its figure here, and to the bound of 1):
//
//	Exp    0.77   every x, worst below the normal range
//	Log    0.51   every x > 0
//	Log10  0.51   every x > 0
//	Pow    0.78   every x and y
//	Sin    0.79   |x| <= 1e4, NaN beyond
//	Cos    0.79   |x| <= 1e4, NaN beyond
//	Atan   0.86   every x, worst near 11/16
//
// It imports only math, in instructions.go, for the native form of the
// instructions, and embed, in files.go.
package elementary
