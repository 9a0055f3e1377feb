package wasm_test

import (
	"encoding/json"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	mutate = flag.Bool("mutations", false, "change the compiler in ways that are listed and ask that the tests notice")
	every  = flag.Bool("every", false, "in all of them, and not a third")
)

// A mutation is a mistake put into a file of the compiler. The old text must be
// there once.
type mutation struct{ file, old, new string }

// mutations are mistakes that could be made, and some that have been.
var mutations = []mutation{
	// Operators.
	{"expression.go", "b.op(opNeg) // 0 - x would give 0 for 0", "z := b.local(Float); b.set(z); b.float(0); b.get(z); b.op(opFSub)"},
	{"expression.go", "token.LEQ: {Float: opFLe,", "token.LEQ: {Float: opFLt,"},
	{"expression.go", "token.GTR: {Float: opFGt, Int: opIGtS}", "token.GTR: {Float: opFGt, Int: opIGeS}"},
	{"expression.go", "token.LSS: {Float: opFLt, Int: opILtS}", "token.LSS: {Float: opFLt, Int: 0x54}"}, // unsigned
	{"expression.go", "token.NEQ: {Float: opFNe,", "token.NEQ: {Float: opFLt,"},
	{"expression.go", "token.REM: {Int: opIRemS}", "token.REM: {Int: 0x82}"},                                    // unsigned
	{"expression.go", "token.QUO: {Float: opFDiv, Int: opIDivS}", "token.QUO: {opFDiv, 0x80}"},                  // unsigned
	{"expression.go", "return v != nil && v.ExactString() != \"-1\"", "return v != nil"},                        // traps for the least int
	{"call.go", "{op: opIntConst}, {op: opGet}, {op: opISub},", "{op: opIntConst}, {op: opGet}, {op: opIAdd},"}, // 7 / -1 is 7
	// && and || evaluate both operands.
	{"expression.go", "\tlabel := b.openWith(opIf, 1+int(Bool))\n\tb.expression(e.Y)\n\tb.op(opElse)\n\tb.emit(instr{op: opBoolConst})\n\tb.end(label, endOfIf)\n", "\tb.expression(e.Y)\n\tb.op(0x71)\n"},
	{"expression.go", "\tlabel := b.openWith(opIf, 1+int(Bool))\n\tb.emit(instr{op: opBoolConst, n: 1})\n\tb.op(opElse)\n\tsecond()\n\tb.end(label, endOfIf)\n", "\tsecond()\n\tb.op(opBOr)\n"},
	// Conversions and builtins.
	{"call.go", "b.callTo(b.toInt())", "b.op(opSaturate)"},
	{"call.go", "{op: opGet}, {op: opAbs}, {op: opFloatConst, value: 1 << 63}, {op: opFLt},", "{op: opGet}, {op: opAbs}, {op: opFloatConst, value: 1 << 63}, {op: opFLe},"},
	{"call.go", "{op: opGet}, {op: opFloatToInt},", "{op: opGet}, {op: 0x9e}, {op: opFloatToInt},"}, // rounds to nearest
	{"compile.go", "b.op(opSaturate)", "b.op(opFloatToInt)"},
	{"call.go", "b.op(opFMin)", "b.op(opFMax)"},
	{"call.go", "b.op(opFMin)", "x, y := b.local(Float), b.local(Float); b.store([]int{x, y}); b.push([]int{x, y, x, y}); b.op(opFLt); b.op(opSelect)"},
	{"call.go", "b.op(opILtS)", "b.op(opIGtS)"},
	{"intrinsic.go", "opcodes(opCopysign)", "opcodes(opDrop)"},
	{"intrinsic.go", "opcodes(opTrunc)", "opcodes(opFloor)"},
	{"intrinsic.go", "\t\tb.float(math.Inf(1))\n\t\tb.get(sign)\n\t\tb.op(opCopysign)\n", "\t\tb.float(math.Inf(1))\n"},
	// Constants.
	{"constant.go", "v, _ := constant.Float64Val(constant.ToFloat(value.Value))", "n, _ := constant.Float32Val(constant.ToFloat(value.Value)); v := float64(n)"},
	{"constant.go", "v, _ := constant.Float64Val(constant.ToFloat(value.Value))", "v, _ := constant.Float64Val(constant.ToInt(value.Value))"},
	{"constant.go", "if c.namesIota(e) {", "if false {"},
	{"constant.go", "if constant.Sign(constant.BinaryOp(n, token.REM, d)) != 0 {", "if false {"},
	{"constant.go", "; !ok {\n\t\treturn false\n\t}\n\tswitch e := e.(type) {", "; false && !ok {\n\t\treturn false\n\t}\n\tswitch e := e.(type) {"},
	{"check.go", "types.SizesFor(\"gc\", \"amd64\")", "types.SizesFor(\"gc\", \"386\")"},
	// Variables.
	{"statement.go", "if b.inLoop { // elsewhere locals are zero already", "if false {"},
	{"control.go", "b.inLoop, b.calls = wasInLoop, callsBefore", "b.inLoop, b.calls = wasInLoop && false, callsBefore"},
	{"statement.go", "if taken[local] {", "if false {"},
	{"statement.go", "for _, local := range slices.Backward(locals) {", "for _, local := range locals {"},
	{"statement.go", "if _, ok := b.layout(e, object.Type()); !ok {", "if false {"},
	{"expression.go", "for j := range i {", "for j := range max(i-1, 0) {"},
	{"array.go", "values[next] = b.code[len(b.code)-1]\n\t\tnext++", "values[next] = b.code[0]\n\t\tnext++"},
	{"array.go", "{op: opIGeU}", "{op: opIGeS}"},
	// Loops and branches.
	{"control.go", "b.code[burn].n = int64(1 + b.calls +", "b.code[burn].n = int64(0 * b.calls +"},
	{"control.go", "b.code[burn].n = int64(1 + b.calls +", "b.code[burn].n = int64(1 +"},
	{"control.go", "+ (len(b.code)-burn)/100", ""},
	{"call.go", "{op: opGet}, {op: opBoolConst}, {op: opBLtS},", "{op: opGet}, {op: opBoolConst, n: 1}, {op: opBLtS},"},
	{"control.go", "b.br(t.continueTo)", "b.br(t.breakTo)"},
	{"control.go", "s.Label != nil && t.label != s.Label.Name || ", ""},
	{"control.go", "\t\tb.get(count)\n\t\tb.get(limit)\n\t\tb.op(opIGeS)\n", "\t\tb.get(count)\n\t\tb.get(limit)\n\t\tb.op(opIGtS)\n"},
	{"control.go", "\t\t\totherwise = clause.Body\n\t\t\tcontinue\n", "\t\t\tcontinue\n"},
	// What is left out of the code.
	{"code.go", "opILtS: opIGeS, opIGeS: opILtS,", "opILtS: opIGeS, opIGeS: opILtS, opFLt: opFGe,"},
	{"code.go", "opILtS: opIGeS, opIGeS: opILtS,", "opILtS: opIGtS, opIGeS: opILtS,"},
	{"code.go", "if gets[in.n] == 1 {", "if gets[in.n] <= 2 {"},
	{"code.go", "case in.op == opSet && gets[in.n] == 0:", "case in.op == opSet && gets[in.n] <= 1:"},
	{"code.go", "case in.op == opGet && prev.op == opSet && prev.n == in.n:", "case in.op == opGet && prev.op == opSet:"},
	{"code.go", "case in.op == opEnd && in.result == 0 && prev.op == opBr && prev.n == in.n:", "case in.op == opEnd && in.result != endOfIf && prev.op == opBr && prev.n == in.n:"},
	{"code.go", "case opBlock, opLoop, opIf:\n\t\t\tdepth++", "case opBlock, opLoop:\n\t\t\tdepth++"},
	// The binary format.
	{"encode.go", "if n == 0 && low&0x40 == 0 ||", "if n == 0 ||"},
	{"encode.go", "n == -1 && low&0x40 != 0 {", "n == -1 {"},
	{"encode.go", "return len(depth) - 1 - slices.Index(depth, label)", "return max(0, len(depth)-2-slices.Index(depth, label))"},
	{"encode.go", "number[i] = next\n\t\t\t\tnext++", "number[i] = next\n\t\t\t\tnext = min(next+1, len(f.locals)-2)"},
	{"encode.go", "if narrow := float32(v); float64(narrow) == v || v != v {", "if narrow := float32(v); narrow == narrow || v != v {"},
	{"encode.go", "if v == math.Trunc(v) && math.Abs(v) < 1<<20 {", "if math.Abs(v) < 1<<20 {"},
}

// TestMutations runs the tests on a compiler with a mistake in it; they must
// fail, most of them TestDifferential, whose programs are random. Each mistake
// has the compiler compiled anew, so that a third of them is tried, and one of
// each file at least, or all:
//
//	go test ./calc/wasm -run TestMutations -mutations -every
func TestMutations(t *testing.T) {
	if !*mutate {
		t.Skip("only with -mutations")
	}
	native, err := differential().Answers("../..", t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	answers := filepath.Join(t.TempDir(), "answers")
	if err := os.WriteFile(answers, []byte(strings.Join(native, "\n")+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	tried := map[string]bool{}
	for i, m := range mutations {
		if i%3 != 0 && tried[m.file] && !*every {
			m.text(t) // it can be made still
			continue
		}
		tried[m.file] = true
		t.Run(m.file, func(t *testing.T) {
			t.Parallel()
			m.hold(t, answers)
		})
	}
}

var failed = regexp.MustCompile(`(?m)^--- FAIL: (\w+)`)

// text is the file with the mistake in it.
func (m mutation) text(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile(m.file)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(text), m.old); n != 1 {
		t.Fatalf("%q is there %d times", m.old, n)
	}
	return strings.Replace(string(text), m.old, m.new, 1)
}

// hold runs the tests on the mutated compiler, by an overlay.
func (m mutation) hold(t *testing.T, answers string) {
	text := m.text(t)
	dir := t.TempDir()
	mutated, overlay := filepath.Join(dir, m.file), filepath.Join(dir, "overlay.json")
	path, err := filepath.Abs(m.file)
	if err != nil {
		t.Fatal(err)
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {path: mutated}})
	if err != nil {
		t.Fatal(err)
	}
	for name, content := range map[string]string{mutated: text, overlay: string(list)} {
		if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	command := exec.Command("go", "test", "-overlay", overlay, "-vet=off", "-ldflags=-s", "-failfast", "-run=TestDifferential|TestTrap", ".", "-answers="+answers)
	command.Env = append(os.Environ(), "GOFLAGS=", "GOPROXY=off")
	out, err := command.CombinedOutput()
	switch by := failed.FindStringSubmatch(string(out)); {
	case err == nil:
		t.Errorf("nothing notices that\n%s\nhas become\n%s", m.old, m.new)
	case by == nil:
		t.Errorf("the tests do not run with\n%s\n%s", m.new, out)
	default:
		t.Logf("%s notices %s", by[1], m.new)
	}
}
