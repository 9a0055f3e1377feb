package wasm

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"slices"
)

// body is the state of the translation of one function.
type body struct {
	*compiler
	*function
	variables map[types.Object][]int // the locals of a variable, one a slot
	signature *types.Signature
	border    bool     // results leave the module: each becomes an f64
	targets   []target // the loops and switches around, innermost last
	depth     int      // of nested statements and expressions
	inLoop    bool
}

// target is where break and continue lead.
type target struct {
	label       string // in the source, or empty
	breakTo     int64
	continueTo  int64
	canContinue bool
}

// translate emits the code of a function's body.
func (b *body) translate(decl *ast.FuncDecl) {
	for v := range b.signature.Results().Variables() {
		if v.Name() != "" {
			b.variables[v] = b.localsFor(b.mustLayout(v.Type()))
		}
	}
	b.block(decl.Body.List)
	if len(b.results) > 0 {
		b.op(opUnreachable) // Go holds that the end is not reached
	}
	if b.calls > maxCalls {
		b.refuse(decl.Name, fmt.Sprintf("%s leads to more than %d calls", decl.Name.Name, maxCalls), "call functions in a loop, or fewer of them")
		b.calls = 0 // said once
	}
	if len(b.code) > maxInstrs || len(b.locals) > maxLocals {
		b.refuse(decl.Name, decl.Name.Name+" is too long", "divide it into functions")
	}
}

func (b *body) emit(in instr)    { b.code = append(b.code, in) }
func (b *body) op(op opcode)     { b.emit(instr{op: op}) }
func (b *body) get(local int)    { b.emit(instr{op: opGet, n: int64(local)}) }
func (b *body) set(local int)    { b.emit(instr{op: opSet, n: int64(local)}) }
func (b *body) float(v float64)  { b.emit(instr{op: opFloatConst, value: v}) }
func (b *body) int(v int64)      { b.emit(instr{op: opIntConst, n: v}) }
func (b *body) br(label int64)   { b.emit(instr{op: opBr, n: label}) }
func (b *body) brIf(label int64) { b.emit(instr{op: opBrIf, n: label}) }
func (b *body) callTo(f *function) {
	b.emit(instr{op: opCall, callee: f})
}

// open emits the start of a block, loop or if and returns its label.
func (b *body) open(op opcode) int64 { return b.openWith(op, 0) }

// openWith does so for an if that leaves a value, result being 1 + its SlotType.
func (b *body) openWith(op opcode, result int) int64 {
	b.labels++
	b.emit(instr{op: op, n: b.labels, result: result})
	return b.labels
}

// local returns a new local.
func (b *body) local(t SlotType) int {
	b.locals = append(b.locals, t)
	return len(b.locals) - 1
}

func (b *body) localsFor(slots []SlotType) []int {
	var out []int
	for _, t := range slots {
		out = append(out, b.local(t))
	}
	return out
}

// push and store move the slots of a variable; the last slot is on top.
func (b *body) push(locals []int) {
	for _, local := range locals {
		b.get(local)
	}
}

func (b *body) store(locals []int) {
	for _, local := range slices.Backward(locals) {
		b.set(local)
	}
}

// zero pushes the zero value of each slot.
func (b *body) zero(slots []SlotType) {
	for _, t := range slots {
		switch t {
		case Float:
			b.float(0)
		case Int:
			b.int(0)
		case Bool:
			b.emit(instr{op: opBoolConst})
		}
	}
}

// deeper counts the nesting; it refuses what is nested too deep and returns false.
func (b *body) deeper(node ast.Node) bool {
	b.depth++
	if b.depth > maxDepth || len(b.code) > maxInstrs {
		if len(b.problems) == 0 {
			b.refuse(node, "the function is too long or nested too deep", "divide it into functions")
		}
		return false
	}
	return true
}

func (b *body) block(list []ast.Stmt) {
	for _, s := range list {
		b.statement(s, "")
	}
}

// statement translates a statement; label is the one before it.
func (b *body) statement(s ast.Stmt, label string) {
	defer func() { b.depth-- }()
	if !b.deeper(s) {
		return
	}
	switch s := s.(type) {
	case *ast.EmptyStmt:
	case *ast.BlockStmt:
		b.block(s.List)
	case *ast.LabeledStmt:
		b.statement(s.Stmt, s.Label.Name)
	case *ast.DeclStmt:
		b.declare(s.Decl.(*ast.GenDecl))
	case *ast.AssignStmt:
		b.assign(s)
	case *ast.IncDecStmt:
		op := token.ADD
		if s.Tok == token.DEC {
			op = token.SUB
		}
		if place, t, ok := b.assignable(s.X); ok {
			b.push(place)
			if t == Float {
				b.float(1)
			} else {
				b.int(1)
			}
			b.arithmetic(s, op, t)
			b.store(place)
		}
	case *ast.ExprStmt:
		for range b.expression(s.X) {
			b.op(opDrop)
		}
	case *ast.IfStmt:
		b.ifElse(s)
	case *ast.SwitchStmt:
		b.switchOver(s, label)
	case *ast.ForStmt:
		b.forLoop(s, label)
	case *ast.RangeStmt:
		b.rangeLoop(s, label)
	case *ast.BranchStmt:
		b.branch(s)
	case *ast.ReturnStmt:
		b.returns(s)
	default:
		b.refuse(s, describe(s)+" is not in the subset", "calculate with assignments, if, for and switch")
	}
}

// declare translates var; constants and types need no code.
func (b *body) declare(decl *ast.GenDecl) {
	if decl.Tok != token.VAR {
		return
	}
	for _, spec := range decl.Specs {
		spec := spec.(*ast.ValueSpec)
		if len(spec.Values) == 0 {
			for _, name := range spec.Names {
				slots, ok := b.layout(spec.Type, b.info.TypeOf(spec.Type))
				if !ok || name.Name == "_" {
					continue
				}
				locals := b.localsFor(slots)
				b.variables[b.info.Defs[name]] = locals
				if b.inLoop { // elsewhere locals are zero already
					b.zero(slots)
					b.store(locals)
				}
			}
			continue
		}
		targets := make([]ast.Expr, len(spec.Names))
		for i, name := range spec.Names {
			targets[i] = name
		}
		b.assignAll(targets, spec.Values)
	}
}

func (b *body) assign(s *ast.AssignStmt) {
	if s.Tok == token.ASSIGN || s.Tok == token.DEFINE {
		b.assignAll(s.Lhs, s.Rhs)
		return
	}
	op := s.Tok - token.ADD_ASSIGN + token.ADD
	if place, t, ok := b.assignable(s.Lhs[0]); ok {
		b.push(place)
		b.expression(s.Rhs[0])
		b.arithmeticBy(s, op, t, s.Rhs[0])
		b.store(place)
	}
}

// assignAll evaluates every value, then stores them, the last first.
func (b *body) assignAll(targets, values []ast.Expr) {
	var slots [][]SlotType // of each target's value
	for _, v := range values {
		if tuple, ok := b.info.TypeOf(v).(*types.Tuple); ok {
			if b.expression(v) == nil {
				return
			}
			for x := range tuple.Variables() {
				slots = append(slots, b.mustLayout(x.Type()))
			}
			continue
		}
		s := b.expression(v)
		if s == nil {
			return
		}
		slots = append(slots, s)
	}
	// New variables get their locals after the values are translated: in
	// x := x + 1 the second x is another one.
	places := make([][]int, len(targets))
	for i, t := range targets {
		if places[i] = b.target(t, slots[i]); places[i] == nil && len(slots[i]) > 0 {
			return
		}
	}
	// Go assigns from left to right: a variable named twice keeps the later value.
	taken := map[int]bool{}
	for _, place := range slices.Backward(places) {
		for _, local := range slices.Backward(place) {
			if taken[local] {
				local = b.local(b.locals[local])
			}
			taken[local] = true
			b.set(local)
		}
	}
}

// target returns the locals that a value of these slots is assigned to: fresh
// ones for a new variable or for _.
func (b *body) target(e ast.Expr, slots []SlotType) []int {
	if name, ok := ast.Unparen(e).(*ast.Ident); ok {
		if object := b.info.Defs[name]; object != nil {
			if _, ok := b.layout(e, object.Type()); !ok { // an interface, for one, takes any value
				return nil
			}
			b.variables[object] = b.localsFor(slots)
			return b.variables[object]
		}
		if name.Name == "_" {
			return b.localsFor(slots)
		}
	}
	place, ok := b.place(e)
	if !ok {
		b.refuseTarget(e)
	}
	return place
}

// refuseTarget refuses what is assigned to, unless it is a variable whose
// declaration was refused.
func (b *body) refuseTarget(e ast.Expr) {
	if name, ok := ast.Unparen(e).(*ast.Ident); ok && len(b.problems) > 0 {
		if v, ok := b.info.Uses[name].(*types.Var); ok && !isPackageVariable(v) {
			return
		}
	}
	b.refuse(e, "only a local variable or a field of one can be assigned to", "assign to a local variable and return it")
}

// assignable returns the local of a variable or field that holds one number.
func (b *body) assignable(e ast.Expr) ([]int, SlotType, bool) {
	place, ok := b.place(e)
	if !ok {
		b.refuseTarget(e)
		return nil, 0, false
	}
	slots, ok := b.layout(e, b.info.TypeOf(e))
	if !ok || len(slots) != 1 {
		return nil, 0, false
	}
	return place, slots[0], true
}
