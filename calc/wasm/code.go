package wasm

// opcode is an instruction of WebAssembly 2.0 by its binary code; the one with
// the prefix 0xfc has its second byte above it.
type opcode uint16

const (
	opUnreachable opcode = 0x00
	opBlock       opcode = 0x02
	opLoop        opcode = 0x03
	opIf          opcode = 0x04
	opElse        opcode = 0x05
	opEnd         opcode = 0x0b
	opBr          opcode = 0x0c
	opBrIf        opcode = 0x0d
	opBrTable     opcode = 0x0e
	opReturn      opcode = 0x0f
	opCall        opcode = 0x10
	opDrop        opcode = 0x1a
	opSelect      opcode = 0x1b
	opGet         opcode = 0x20
	opSet         opcode = 0x21
	opTee         opcode = 0x22
	opGlobalGet   opcode = 0x23
	opGlobalSet   opcode = 0x24
	opBoolConst   opcode = 0x41 // i32.const
	opIntConst    opcode = 0x42 // i64.const
	opFloatConst  opcode = 0x44 // f64.const

	opBEqz  opcode = 0x45 // i32
	opBEq   opcode = 0x46
	opBNe   opcode = 0x47
	opBLtS  opcode = 0x48
	opIEq   opcode = 0x51 // i64
	opINe   opcode = 0x52
	opILtS  opcode = 0x53
	opIGtS  opcode = 0x55
	opILeS  opcode = 0x57
	opIGeS  opcode = 0x59
	opIGeU  opcode = 0x5a
	opFEq   opcode = 0x61 // f64
	opFNe   opcode = 0x62
	opFLt   opcode = 0x63
	opFGt   opcode = 0x64
	opFLe   opcode = 0x65
	opFGe   opcode = 0x66
	opBSub  opcode = 0x6b
	opBOr   opcode = 0x72
	opIAdd  opcode = 0x7c
	opISub  opcode = 0x7d
	opIMul  opcode = 0x7e
	opIDivS opcode = 0x7f
	opIRemS opcode = 0x81
	opShl   opcode = 0x86

	opAbs      opcode = 0x99
	opNeg      opcode = 0x9a
	opCeil     opcode = 0x9b
	opFloor    opcode = 0x9c
	opTrunc    opcode = 0x9d
	opSqrt     opcode = 0x9f
	opFAdd     opcode = 0xa0
	opFSub     opcode = 0xa1
	opFMul     opcode = 0xa2
	opFDiv     opcode = 0xa3
	opFMin     opcode = 0xa4
	opFMax     opcode = 0xa5
	opCopysign opcode = 0xa6

	opWrap        opcode = 0xa7   // i32.wrap_i64
	opFloatToInt  opcode = 0xb0   // i64.trunc_f64_s, which traps
	opSaturate    opcode = 0x06fc // i64.trunc_sat_f64_s, which does not
	opIntToFloat  opcode = 0xb9   // f64.convert_i64_s
	opBoolToFloat opcode = 0xb7   // f64.convert_i32_s
	opFloatToBits opcode = 0xbd   // i64.reinterpret_f64
	opBitsToFloat opcode = 0xbf   // f64.reinterpret_i64
)

// instr is one instruction. Labels are numbers of their own, turned into depths
// when the code is written.
type instr struct {
	op     opcode
	n      int64     // local, label, global or constant
	value  float64   // of opFloatConst
	result int       // of opIf: 1 + the SlotType that it leaves, or 0; of opEnd: what it ends
	callee *function // of opCall
	labels []int64   // of opBrTable
}

// function is one function of the module.
type function struct {
	params, results []SlotType
	locals          []SlotType // the parameters first
	labels          int64      // number of labels given out
	code            []instr
	index           int // in the module
	calls           int // calls that it makes outside loops, those within them included, and hundreds of instructions in them
}

// inverse is the comparison that holds when op does not. Floats have none but
// for equality: neither x < y nor x >= y holds for NaN.
var inverse = map[opcode]opcode{
	opBEq: opBNe, opBNe: opBEq, opIEq: opINe, opINe: opIEq, opFEq: opFNe, opFNe: opFEq,
	opILtS: opIGeS, opIGeS: opILtS, opIGtS: opILeS, opILeS: opIGtS,
}

// shorten removes what the translation left over, until nothing more is found. A
// few passes do for what people write; hostile source could ask for thousands.
func (f *function) shorten() {
	for range 50 {
		code := f.pass()
		if len(code) == len(f.code) {
			return
		}
		f.code = code
	}
}

// pass returns the code shortened once.
func (f *function) pass() []instr {
	gets := make([]int, len(f.locals))
	used := make([]bool, f.labels+1)
	for _, in := range f.code {
		switch in.op {
		case opGet:
			gets[in.n]++
		case opBr, opBrIf:
			used[in.n] = true
		case opBrTable:
			for _, label := range in.labels {
				used[label] = true
			}
		}
	}
	var out []instr
	last := func() *instr {
		if len(out) == 0 {
			return &instr{}
		}
		return &out[len(out)-1]
	}
	for i := 0; i < len(f.code); i++ {
		in := f.code[i]
		prev := last()
		switch {
		case (in.op == opBlock || in.op == opLoop || in.op == opEnd && in.result != endOfIf) && !used[in.n]:
			continue // nothing branches there
		case in.op == opGet && prev.op == opSet && prev.n == in.n:
			if gets[in.n] == 1 {
				out = out[:len(out)-1] // stored for this use only
			} else {
				prev.op = opTee
			}
			continue
		case in.op == opSet && gets[in.n] == 0:
			in = instr{op: opDrop}
		case in.op == opTee && gets[in.n] == 0:
			continue
		case in.op == opBEqz && inverse[prev.op] != 0:
			prev.op = inverse[prev.op]
			continue
		case (in.op == opIf || in.op == opBrIf) && prev.op == opBEqz && len(out) > 1 && out[len(out)-2].op == opBEqz:
			out = out[:len(out)-2]
		case in.op == opEnd && in.result == 0 && prev.op == opBr && prev.n == in.n:
			out = out[:len(out)-1] // falls through to the same place
		}
		if in.op == opDrop {
			switch last().op {
			case opGet, opBoolConst, opIntConst, opFloatConst:
				out = out[:len(out)-1]
				continue
			case opTee:
				last().op = opSet
				continue
			}
		}
		out = append(out, in)
		switch in.op {
		case opBr, opBrTable, opReturn, opUnreachable:
			i = f.skipDead(i)
		}
	}
	if last().op == opReturn {
		out = out[:len(out)-1]
	}
	return out
}

// What an opEnd ends stands in its result; a block's is 0.
const (
	endOfIf   = -1
	endOfLoop = -2
)

// skipDead returns the index of the last instruction that cannot be reached
// after the one at i: up to the end or the else of the block that holds it.
func (f *function) skipDead(i int) int {
	depth := 0
	for ; i+1 < len(f.code); i++ {
		switch f.code[i+1].op {
		case opBlock, opLoop, opIf:
			depth++
		case opElse:
			if depth == 0 {
				return i
			}
		case opEnd:
			if depth == 0 {
				return i
			}
			depth--
		}
	}
	return i
}
