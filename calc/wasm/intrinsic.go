package wasm

import (
	"maps"
	"math"
	"slices"
	"strings"
)

// An intrinsic is a function of the package Source.Intrinsics that stands for
// instructions; emit finds the arguments on the stack and leaves the result.
type intrinsic struct {
	signature string
	emit      func(b *body)
}

// intrinsics are all of them by name.
var intrinsics = map[string]intrinsic{
	"Sqrt":     {"(x float64) float64", opcodes(opSqrt)},
	"Floor":    {"(x float64) float64", opcodes(opFloor)},
	"Ceil":     {"(x float64) float64", opcodes(opCeil)},
	"Trunc":    {"(x float64) float64", opcodes(opTrunc)},
	"Abs":      {"(x float64) float64", opcodes(opAbs)},
	"Copysign": {"(x, sign float64) float64", opcodes(opCopysign)},
	"Min":      {"(x, y float64) float64", opcodes(opFMin)},
	"Max":      {"(x, y float64) float64", opcodes(opFMax)},
	"NaN":      {"() float64", func(b *body) { b.float(math.NaN()) }},
	"Inf": {"(sign int) float64", func(b *body) {
		sign := b.local(Float)
		b.op(opIntToFloat)
		b.set(sign)
		b.float(math.Inf(1))
		b.get(sign)
		b.op(opCopysign)
	}},
	"IsNaN": {"(x float64) bool", func(b *body) {
		x := b.local(Float)
		b.set(x)
		b.get(x)
		b.get(x)
		b.op(opFNe)
	}},
	"bits":     {"(x float64) int", opcodes(opFloatToBits)},
	"fromBits": {"(n int) float64", opcodes(opBitsToFloat)},
	"scale": {"(x float64, k int) float64", func(b *body) { // the exponent field is k+1023
		b.int(1023)
		b.op(opIAdd)
		b.int(52)
		b.op(opShl)
		b.op(opBitsToFloat)
		b.op(opFMul)
	}},
}

func opcodes(op opcode) func(*body) { return func(b *body) { b.op(op) } }

// signatures returns the declarations of all intrinsics, without bodies.
func signatures() string {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(intrinsics)) {
		b.WriteString("func " + name + intrinsics[name].signature + "\n")
	}
	return b.String()
}
