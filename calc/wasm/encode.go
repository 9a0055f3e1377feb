package wasm

import (
	"encoding/binary"
	"math"
	"slices"
)

// valueTypes are the WebAssembly types of the slot types: f64, i64, i32.
var valueTypes = [...]byte{Float: 0x7c, Int: 0x7e, Bool: 0x7f}

// encode writes the module of the functions, the first of which is run, in the
// binary format of the WebAssembly core specification, release 2.0, chapter 5.
func encode(functions []*function, fueled bool) []byte {
	var types [][]byte
	typeOf := make([]int, len(functions))
	for i, f := range functions {
		t := append([]byte{0x60}, valueTypeList(f.params)...)
		t = append(t, valueTypeList(f.results)...)
		typeOf[i] = slices.IndexFunc(types, func(other []byte) bool { return slices.Equal(other, t) })
		if typeOf[i] < 0 {
			typeOf[i] = len(types)
			types = append(types, t)
		}
	}
	out := []byte("\x00asm\x01\x00\x00\x00")
	out = section(out, 1, vector(types))
	indices := unsigned(nil, len(functions))
	for _, t := range typeOf {
		indices = unsigned(indices, t)
	}
	out = section(out, 3, indices)
	if fueled {
		out = section(out, 6, []byte{1, valueTypes[Bool], 1, byte(opBoolConst), 0, byte(opEnd)})
	}
	out = section(out, 7, []byte("\x01\x03run\x00\x00"))
	bodies := make([][]byte, len(functions))
	for i, f := range functions {
		code := f.encode()
		bodies[i] = append(unsigned(nil, len(code)), code...)
	}
	return section(out, 10, vector(bodies))
}

// section appends a section.
func section(out []byte, id byte, content []byte) []byte {
	out = unsigned(append(out, id), len(content))
	return append(out, content...)
}

// vector returns the items behind their number.
func vector(items [][]byte) []byte {
	out := unsigned(nil, len(items))
	for _, item := range items {
		out = append(out, item...)
	}
	return out
}

func valueTypeList(slots []SlotType) []byte {
	out := unsigned(nil, len(slots))
	for _, t := range slots {
		out = append(out, valueTypes[t])
	}
	return out
}

// unsigned appends n in LEB128.
func unsigned(out []byte, n int) []byte { return binary.AppendUvarint(out, uint64(n)) }

// signed appends n in signed LEB128.
func signed(out []byte, n int64) []byte {
	for {
		low := byte(n & 0x7f)
		n >>= 7
		if n == 0 && low&0x40 == 0 || n == -1 && low&0x40 != 0 {
			return append(out, low)
		}
		out = append(out, low|0x80)
	}
}

// encode returns the function's locals and code. Locals that the code does not
// use are left out and the others grouped by type.
func (f *function) encode() []byte {
	number, out := f.numberLocals()
	var depth []int64 // labels of the open blocks
	toDepth := func(label int64) int {
		return len(depth) - 1 - slices.Index(depth, label)
	}
	for _, in := range f.code {
		if in.op != opFloatConst {
			out = append(out, byte(in.op))
		}
		switch in.op {
		case opSaturate:
			out = append(out, byte(in.op>>8))
		case opBlock, opLoop, opIf:
			blockType := byte(0x40) // leaves nothing
			if in.result > 0 {
				blockType = valueTypes[in.result-1]
			}
			out = append(out, blockType)
			depth = append(depth, in.n)
		case opEnd:
			depth = depth[:len(depth)-1]
		case opBr, opBrIf:
			out = unsigned(out, toDepth(in.n))
		case opBrTable:
			out = unsigned(out, len(in.labels)-1)
			for _, label := range in.labels {
				out = unsigned(out, toDepth(label))
			}
		case opCall:
			out = unsigned(out, in.callee.index)
		case opGet, opSet, opTee:
			out = unsigned(out, number[in.n])
		case opGlobalGet, opGlobalSet:
			out = unsigned(out, int(in.n))
		case opBoolConst, opIntConst:
			out = signed(out, in.n)
		case opFloatConst:
			out = floatConstant(out, in.value)
		}
	}
	return append(out, byte(opEnd))
}

// numberLocals returns the final number of each local and the declarations.
func (f *function) numberLocals() (number []int, declarations []byte) {
	used := make([]bool, len(f.locals))
	for _, in := range f.code {
		switch in.op {
		case opGet, opSet, opTee:
			used[in.n] = true
		}
	}
	number = make([]int, len(f.locals))
	next := len(f.params)
	for i := range f.params {
		number[i] = i
	}
	var groups [][]byte
	for t := range valueTypes {
		count := 0
		for i := len(f.params); i < len(f.locals); i++ {
			if used[i] && f.locals[i] == SlotType(t) {
				number[i] = next
				next++
				count++
			}
		}
		if count > 0 {
			groups = append(groups, append(unsigned(nil, count), valueTypes[t]))
		}
	}
	return number, vector(groups)
}

// floatConstant appends the shortest code that gives v: a small whole number is
// converted from an i32, a number that has few bits is promoted from an f32.
// Engines fold both.
func floatConstant(out []byte, v float64) []byte {
	const convertS, promote, f32Const = 0xb7, 0xbb, 0x43
	if v == math.Trunc(v) && math.Abs(v) < 1<<20 { // a constant is never -0
		out = signed(append(out, byte(opBoolConst)), int64(v))
		return append(out, convertS)
	}
	if narrow := float32(v); float64(narrow) == v || v != v {
		out = append(out, f32Const)
		out = binary.LittleEndian.AppendUint32(out, math.Float32bits(narrow))
		return append(out, promote)
	}
	out = append(out, byte(opFloatConst))
	return binary.LittleEndian.AppendUint64(out, math.Float64bits(v))
}
